//! Small steel parts that a shop sells beside its magnets: back-plates, washers, cups and pole tips.

use std::f64::consts::{FRAC_PI_4, PI};

use quantity::{Length, Mass, Money};
use serde::{Deserialize, Serialize};
use steel::SteelTable;

use crate::item::{PriceBreak, least_order, price_each};
use crate::question::Steelwork;

/// Density of steel, kg/m³; from memory.
const DENSITY: f64 = 7850.0;
/// Sizes of parts, m: what lies outside is taken for a slip of the pen.
const SIZES: [f64; 2] = [0.1e-3, 1.0];

/// A steel part that a shop sells.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// The shop's own code, unique on its shelf among magnets and parts.
    pub code: String,
    /// What the shop calls it; may be empty.
    pub name: String,
    /// Its form and sizes.
    pub form: Form,
    /// Its steel, a name of the steel table.
    pub steel: String,
    /// Plus or minus on each size.
    pub tolerance: Length,
    /// Mass of one piece as listed; computed from size and density where the list has none.
    pub mass: Option<Mass>,
    /// Pieces on hand; `None` where the list does not say.
    pub stock: Option<u64>,
    /// Prices by quantity, rising `from`; the first is the least order.
    pub prices: Vec<PriceBreak>,
    /// Where to read more.
    pub link: Option<String>,
    /// Remark for the adviser.
    pub note: Option<String>,
}

/// The form of a part with its sizes, m.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Form {
    /// A plain disc, for the back of a magnet.
    Disc {
        /// Diameter.
        diameter: f64,
        /// Thickness.
        thickness: f64,
    },
    /// A disc with a hole, for the back of a ring.
    Washer {
        /// Outer diameter.
        outer_diameter: f64,
        /// Diameter of the hole.
        inner_diameter: f64,
        /// Thickness.
        thickness: f64,
    },
    /// A cup that a magnet sits in.
    Cup {
        /// Outer diameter.
        outer_diameter: f64,
        /// Diameter of the cavity.
        inner_diameter: f64,
        /// Height of the whole cup.
        height: f64,
        /// Depth of the cavity.
        depth: f64,
        /// Diameter of a hole through the floor; 0 for none.
        hole: f64,
    },
    /// A pole tip that narrows evenly.
    Cone {
        /// Diameter at the magnet.
        base: f64,
        /// Diameter at the end; 0 for a point.
        end: f64,
        /// Height.
        height: f64,
    },
    /// A pole tip that is a part of a ball.
    Dome {
        /// Diameter at the magnet.
        base: f64,
        /// Height, at most half the diameter.
        height: f64,
    },
}

/// The kinds of parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PartKind {
    /// [`Form::Disc`].
    Disc,
    /// [`Form::Washer`].
    Washer,
    /// [`Form::Cup`].
    Cup,
    /// [`Form::Cone`].
    Cone,
    /// [`Form::Dome`].
    Dome,
}

impl PartKind {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Disc, Self::Washer, Self::Cup, Self::Cone, Self::Dome];

    /// Its name on the shelf and in price lists.
    pub fn name(self) -> &'static str {
        match self {
            Self::Disc => "steel disc",
            Self::Washer => "steel washer",
            Self::Cup => "steel cup",
            Self::Cone => "cone tip",
            Self::Dome => "dome tip",
        }
    }

    /// The kind of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }
}

impl Form {
    /// Its kind.
    pub fn kind(&self) -> PartKind {
        match self {
            Self::Disc { .. } => PartKind::Disc,
            Self::Washer { .. } => PartKind::Washer,
            Self::Cup { .. } => PartKind::Cup,
            Self::Cone { .. } => PartKind::Cone,
            Self::Dome { .. } => PartKind::Dome,
        }
    }

    /// What it makes of a build.
    pub fn steelwork(&self) -> Steelwork {
        match self {
            Self::Disc { .. } | Self::Washer { .. } => Steelwork::BackPlate,
            Self::Cup { .. } => Steelwork::Cup,
            Self::Cone { .. } | Self::Dome { .. } => Steelwork::PoleTip,
        }
    }

    /// Largest size across, m.
    pub fn widest(&self) -> f64 {
        match *self {
            Self::Disc { diameter, .. } => diameter,
            Self::Washer { outer_diameter, .. } | Self::Cup { outer_diameter, .. } => outer_diameter,
            Self::Cone { base, end, .. } => base.max(end),
            Self::Dome { base, .. } => base,
        }
    }

    /// Size along the axis, m.
    pub fn height(&self) -> f64 {
        match *self {
            Self::Disc { thickness, .. } | Self::Washer { thickness, .. } => thickness,
            Self::Cup { height, .. } | Self::Cone { height, .. } | Self::Dome { height, .. } => height,
        }
    }

    /// Diameter of the hole that goes through it, m; 0 for none.
    pub fn hole(&self) -> f64 {
        match *self {
            Self::Washer { inner_diameter, .. } => inner_diameter,
            Self::Cup { hole, .. } => hole,
            Self::Disc { .. } | Self::Cone { .. } | Self::Dome { .. } => 0.0,
        }
    }

    /// Volume of its steel, m³.
    pub fn volume(&self) -> f64 {
        let disc = |diameter: f64, height: f64| FRAC_PI_4 * diameter * diameter * height;
        match *self {
            Self::Disc { diameter, thickness } => disc(diameter, thickness),
            Self::Washer {
                outer_diameter,
                inner_diameter,
                thickness,
            } => disc(outer_diameter, thickness) - disc(inner_diameter, thickness),
            Self::Cup {
                outer_diameter,
                inner_diameter,
                height,
                depth,
                hole,
            } => disc(outer_diameter, height) - disc(inner_diameter, depth) - disc(hole, height - depth),
            Self::Cone { base, end, height } => PI / 12.0 * height * (base * base + base * end + end * end),
            Self::Dome { base, height } => PI / 6.0 * height * (0.75 * base * base + height * height),
        }
    }

    /// Its kind and sizes as numbers, to tell one form from another.
    pub(crate) fn numbers(&self) -> [f64; 6] {
        match *self {
            Self::Disc { diameter, thickness } => [0.0, diameter, thickness, 0.0, 0.0, 0.0],
            Self::Washer {
                outer_diameter,
                inner_diameter,
                thickness,
            } => [1.0, outer_diameter, inner_diameter, thickness, 0.0, 0.0],
            Self::Cup {
                outer_diameter,
                inner_diameter,
                height,
                depth,
                hole,
            } => [2.0, outer_diameter, inner_diameter, height, depth, hole],
            Self::Cone { base, end, height } => [3.0, base, end, height, 0.0, 0.0],
            Self::Dome { base, height } => [4.0, base, height, 0.0, 0.0, 0.0],
        }
    }

    /// What is wrong with its sizes, and what would be right; `None` where nothing is.
    pub fn fault(&self) -> Option<(&'static str, &'static str)> {
        let [least, most] = SIZES;
        let sane = |size: f64| (least..=most).contains(&size);
        let sizes_are_sane = match *self {
            Self::Disc { diameter, thickness } => sane(diameter) && sane(thickness),
            Self::Washer {
                outer_diameter,
                inner_diameter,
                thickness,
            } => sane(outer_diameter) && sane(inner_diameter) && sane(thickness),
            Self::Cup {
                outer_diameter,
                inner_diameter,
                height,
                depth,
                hole,
            } => {
                sane(outer_diameter)
                    && sane(inner_diameter)
                    && sane(height)
                    && sane(depth)
                    && (hole == 0.0 || sane(hole))
            }
            Self::Cone { base, end, height } => sane(base) && (end == 0.0 || sane(end)) && sane(height),
            Self::Dome { base, height } => sane(base) && sane(height),
        };
        match *self {
            _ if !sizes_are_sane => Some(("a size is missing or out of reason", "sizes from 0.1 mm to 1 m")),
            Self::Washer {
                outer_diameter,
                inner_diameter,
                ..
            } if inner_diameter >= outer_diameter => Some((
                "the hole is not smaller than the body",
                "an inner diameter below the outer diameter",
            )),
            Self::Cup {
                outer_diameter,
                inner_diameter,
                ..
            } if inner_diameter >= outer_diameter => Some((
                "the cavity is not narrower than the cup",
                "an inner diameter below the outer diameter",
            )),
            Self::Cup { height, depth, .. } if depth >= height => Some((
                "the cavity is as deep as the cup is high, so it has no floor",
                "a depth of the cavity below the height of the whole cup",
            )),
            Self::Cup {
                inner_diameter, hole, ..
            } if hole >= inner_diameter => Some((
                "the hole through the floor is not smaller than the cavity",
                "a hole below the inner diameter",
            )),
            Self::Cone { base, end, .. } if end >= base => Some((
                "the cone does not narrow",
                "an end diameter below the diameter at the magnet; 0 for a point",
            )),
            Self::Dome { base, height } if height > 0.5 * base => Some((
                "the dome is higher than half a ball",
                "a height of at most half the diameter",
            )),
            _ => None,
        }
    }
}

impl Part {
    /// The price of one piece when `pieces` are bought, as [`crate::Item::price_each`].
    pub fn price_each(&self, pieces: u64) -> Option<Money> {
        price_each(&self.prices, pieces)
    }

    /// The least number of pieces that the shop sells.
    pub fn least_order(&self) -> u64 {
        least_order(&self.prices)
    }

    /// Mass of one piece, kg: as listed, or from its size.
    pub fn mass_each(&self) -> f64 {
        self.mass.map_or_else(|| self.form.volume() * DENSITY, |m| m.si())
    }
}

/// The name in the steel table of a steel that parts may be made of: one that holds a magnet and whose curve is known.
pub fn steel_named<'t>(table: &'t SteelTable, name: &str) -> Option<&'t str> {
    let steel = table.find(name)?;
    steel.usable_flux_density_t?;
    steel.curve.as_ref().map(|_| steel.name.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volumes_agree_with_what_they_are_made_of() {
        let close = |a: f64, b: f64| (a / b - 1.0).abs() <= 1e-12;
        let disc = |diameter: f64, thickness: f64| Form::Disc { diameter, thickness }.volume();
        let cup = Form::Cup {
            outer_diameter: 25.0,
            inner_diameter: 21.0,
            height: 7.0,
            depth: 5.0,
            hole: 4.0,
        };
        assert!(close(cup.volume(), disc(25.0, 7.0) - disc(21.0, 5.0) - disc(4.0, 2.0)));
        let cone = |end| Form::Cone {
            base: 10.0,
            end,
            height: 6.0,
        };
        assert!(close(cone(10.0).volume(), disc(10.0, 6.0)));
        assert!(close(cone(0.0).volume(), disc(10.0, 6.0) / 3.0));
        let half_a_ball = Form::Dome {
            base: 10.0,
            height: 5.0,
        };
        assert!(close(half_a_ball.volume(), 2.0 / 3.0 * PI * 125.0));
    }

    #[test]
    fn what_cannot_be_is_said() {
        let mm = |size: f64| size * 1e-3;
        let cup = |inner: f64, depth: f64, hole: f64| Form::Cup {
            outer_diameter: mm(25.0),
            inner_diameter: mm(inner),
            height: mm(7.0),
            depth: mm(depth),
            hole: mm(hole),
        };
        assert_eq!(cup(21.0, 5.0, 0.0).fault(), None);
        for (form, word) in [
            (cup(25.0, 5.0, 0.0), "narrower"),
            (cup(21.0, 7.0, 0.0), "floor"),
            (cup(21.0, 5.0, 21.0), "hole"),
            (
                Form::Cone {
                    base: mm(10.0),
                    end: mm(12.0),
                    height: mm(5.0),
                },
                "narrow",
            ),
            (
                Form::Dome {
                    base: mm(10.0),
                    height: mm(6.0),
                },
                "half a ball",
            ),
            (
                Form::Disc {
                    diameter: f64::NAN,
                    thickness: mm(1.0),
                },
                "out of reason",
            ),
        ] {
            let (wrong, _) = form.fault().unwrap();
            assert!(wrong.contains(word), "{form:?}: {wrong}");
        }
    }

    #[test]
    fn kinds_have_names_of_their_own_and_steels_must_hold() {
        for kind in PartKind::ALL {
            assert_eq!(PartKind::named(kind.name()), Some(kind));
        }
        let table = SteelTable::builtin().unwrap();
        assert_eq!(steel_named(&table, "S235"), Some("mild steel"));
        assert_eq!(steel_named(&table, "stainless steel"), None);
        assert_eq!(steel_named(&table, "N42"), None);
    }
}
