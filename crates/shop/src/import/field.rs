//! What a column of a price list can hold.

use std::fmt;

use quantity::{Kind, Unit};
use serde::{Deserialize, Serialize};

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Field {
    /// The shop's own code.
    Code,
    /// What the shop calls it.
    Name,
    /// Disc, ring, block, sphere, or the kind of a steel part.
    Shape,
    /// All sizes in one: `20 x 10 x 5 mm`.
    Size,
    /// Outer diameter.
    Diameter,
    /// Diameter of the hole.
    InnerDiameter,
    /// Length.
    Length,
    /// Width.
    Width,
    /// Thickness or height.
    Thickness,
    /// Depth of the cavity of a cup.
    CavityDepth,
    /// Diameter of the hole through the floor of a cup.
    FloorHole,
    /// Diameter at the end of a cone.
    EndDiameter,
    /// Grade, or steel of a part.
    Grade,
    /// Coating.
    Coating,
    /// Side along which it is magnetised.
    Magnetised,
    /// The countersink of its hole, or the screw for it.
    Countersink,
    /// The adhesive on one face.
    Adhesive,
    /// Plus or minus on each size.
    Tolerance,
    /// Mass of one piece.
    Mass,
    /// The pull that the maker of goods states.
    StatedPull,
    /// Pieces on hand.
    Stock,
    /// Least number of pieces sold.
    LeastOrder,
    /// Price of so many pieces when at least so many are bought.
    #[serde(skip)]
    Price {
        /// Least number of pieces.
        from: u64,
        /// Number of pieces that the price is for.
        per: u64,
    },
    /// Web address.
    Link,
    /// Remark.
    Note,
    /// A text out of which is read what no other column states: sizes, grade, coating and shape.
    Description,
    /// The number of pieces that the prices of the line are for.
    PricePer,
}

impl Field {
    /// Whether a line has both in one place: a price from a quantity is one, whatever number of pieces it is stated for.
    pub(crate) fn is_same_as(self, other: Self) -> bool {
        match (self, other) {
            (Field::Price { from: a, .. }, Field::Price { from: b, .. }) => a == b,
            (a, b) => a == b,
        }
    }

    /// Whether it holds lengths.
    pub(crate) fn is_length(self) -> bool {
        use Field::{
            CavityDepth, Diameter, EndDiameter, FloorHole, InnerDiameter, Length, Size, Thickness, Tolerance, Width,
        };
        matches!(
            self,
            Size | Diameter
                | InnerDiameter
                | Length
                | Width
                | Thickness
                | CavityDepth
                | FloorHole
                | EndDiameter
                | Tolerance
        )
    }

    /// Whether a unit in its heading can be its own: a pull is stated as a force, or as the mass that it lifts.
    pub(crate) fn takes(self, unit: Unit) -> bool {
        match (self, unit.kind()) {
            (Field::Mass, Kind::Mass) | (Field::StatedPull, Kind::Force | Kind::Mass) => true,
            (field, Kind::Length) => field.is_length(),
            _ => false,
        }
    }
}

/// The name of every field but the prices, as it stands in previews, maps and exported lists.
const NAMES: [(Field, &str); 26] = [
    (Field::Code, "code"),
    (Field::Name, "name"),
    (Field::Description, "description"),
    (Field::Shape, "shape"),
    (Field::Size, "size"),
    (Field::Diameter, "diameter"),
    (Field::InnerDiameter, "inner diameter"),
    (Field::Length, "length"),
    (Field::Width, "width"),
    (Field::Thickness, "thickness"),
    (Field::CavityDepth, "cavity depth"),
    (Field::FloorHole, "floor hole"),
    (Field::EndDiameter, "end diameter"),
    (Field::Grade, "grade"),
    (Field::Coating, "coating"),
    (Field::Magnetised, "magnetised"),
    (Field::Countersink, "countersink"),
    (Field::Adhesive, "adhesive"),
    (Field::Tolerance, "tolerance"),
    (Field::Mass, "mass"),
    (Field::StatedPull, "stated pull"),
    (Field::Stock, "stock"),
    (Field::LeastOrder, "least order"),
    (Field::PricePer, "price unit"),
    (Field::Link, "link"),
    (Field::Note, "note"),
];

impl Field {
    /// The names of all fields but the prices, which are `price from 10` or `price of 100 from 1`.
    pub fn names() -> impl Iterator<Item = &'static str> {
        NAMES.iter().map(|(_, name)| *name)
    }

    /// The field of this name, as it is printed.
    pub fn named(name: &str) -> Option<Self> {
        let name = name.trim().to_lowercase();
        let known = NAMES.iter().find(|(_, known)| *known == name).map(|(field, _)| *field);
        known.or_else(|| price(&name))
    }
}

/// The price that a name means: `price`, `price from 10`, `price of 100`, `price of 100 from 1`.
fn price(name: &str) -> Option<Field> {
    let number = |text: &str| text.trim().parse().ok().filter(|number| *number >= 1);
    let rest = name.strip_prefix("price")?;
    let (per, from) = match rest.split_once("from") {
        Some((per, from)) => (per, number(from)?),
        None => (rest, 1),
    };
    let per = match per.trim() {
        "" => 1,
        per => number(per.strip_prefix("of")?)?,
    };
    Some(Field::Price { from, per })
}

impl fmt::Display for Field {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Field::Price { from, per: 1 } => write!(f, "price from {from}"),
            Field::Price { from, per } => write!(f, "price of {per} from {from}"),
            field => match NAMES.iter().find(|(known, _)| known == field) {
                Some((_, name)) => f.write_str(name),
                None => unreachable!("every field but the prices is in the table, as a test sees"),
            },
        }
    }
}

impl Serialize for Field {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_is_found_again_by_its_name() {
        let lexicon: toml::Table = toml::from_str(include_str!("../../data/headings.toml")).unwrap();
        for key in lexicon.keys().filter(|key| !["price", "pack"].contains(&key.as_str())) {
            let field: Field = toml::Value::String(key.clone()).try_into().unwrap();
            assert_eq!(Field::named(&field.to_string()), Some(field));
        }
        for (text, from, per) in [
            ("price", 1, 1),
            ("price from 10", 10, 1),
            ("Price of 100 from 1", 1, 100),
            ("price of 100", 1, 100),
        ] {
            assert_eq!(Field::named(text), Some(Field::Price { from, per }), "{text}");
        }
        for text in ["", "price from 0", "price of", "prices", "colour", "price 10"] {
            assert_eq!(Field::named(text), None, "{text}");
        }
    }
}
