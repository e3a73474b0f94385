//! Steel parts in words and as lines of a list.

use quantity::{Length, Mass, Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::Build;
use crate::item::Item;
use crate::part::{Form, Part, PartKind};
use crate::view::text::{Figure, Reader, capital};

/// A steel part as a line of a list.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PartLine {
    /// The shop's code.
    pub code: String,
    /// `Steel cup, 25 / 21 × 7 mm, 5 mm deep`.
    pub title: String,
    /// What the shop calls it.
    pub name: String,
    /// `steel disc`, `steel washer`, `steel cup`, `cone tip` or `dome tip`.
    pub kind: String,
    /// Outer sizes.
    pub size: String,
    /// Its steel.
    pub steel: String,
    /// On hand.
    pub stock: Option<u64>,
    /// Price at the least order.
    pub price_from: Option<String>,
    /// Price at the largest break.
    pub price_least: Option<String>,
    /// Mass of one.
    pub mass: Figure,
    /// The shop's remark.
    pub note: Option<String>,
}

/// A part as a line of a list.
pub fn line(part: &Part, reader: &Reader) -> PartLine {
    let price = |step: Option<&crate::PriceBreak>| step.map(|p| reader.money(p.each));
    PartLine {
        code: part.code.clone(),
        title: title(part, reader),
        name: part.name.clone(),
        kind: part.form.kind().name().into(),
        size: sizes(&part.form, &reader.units),
        steel: part.steel.clone(),
        stock: part.stock,
        price_from: price(part.prices.first()),
        price_least: price(part.prices.last()),
        mass: reader.figure::<Mass>(part.mass_each()),
        note: part.note.clone(),
    }
}

/// A part on its own: `Steel cup, 25 / 21 × 7 mm, 5 mm deep, mild steel`.
pub fn title(part: &Part, reader: &Reader) -> String {
    format!(
        "{}, {}, {}",
        capital(part.form.kind().name()),
        sizes(&part.form, &reader.units),
        part.steel
    )
}

/// What a part is to a magnet: `a back-plate`, `a cup`.
pub fn role(kind: PartKind) -> &'static str {
    match kind {
        PartKind::Disc => "a back-plate",
        PartKind::Washer => "a back washer",
        PartKind::Cup => "a cup",
        PartKind::Cone => "a cone tip",
        PartKind::Dome => "a dome tip",
    }
}

/// A part on a magnet: `in a cup, 25 / 21 × 5 mm, 3 mm deep`.
pub fn on_magnet(part: &Part, units: &Units) -> String {
    let kind = part.form.kind();
    let with = if kind == PartKind::Cup { "in" } else { "with" };
    format!("{with} {}, {}", role(kind), sizes(&part.form, units))
}

impl Reader {
    /// `one disc, 20 × 3 mm, N42, in a cup, 25 / 21 × 5 mm, 3 mm deep`; a bare build without its part.
    pub fn build(&self, item: &Item, build: &Build) -> String {
        let magnets = self.title(item, build.stack);
        match &build.part {
            Some(part) => format!("{magnets}, {}", on_magnet(part, &self.units)),
            None => magnets,
        }
    }
}

/// Sizes of a part as the trade lists them: `20 × 2 mm`, `20 / 8 × 2 mm`, `25 / 21 × 7 mm, 5 mm deep`, `10 to 3 × 6 mm`.
pub fn sizes(form: &Form, units: &Units) -> String {
    let number = |m: f64| Length(m).show(units).number;
    let whole = |m: f64| Length(m).show(units).to_string();
    match *form {
        Form::Disc { diameter, thickness } => format!("{}\u{a0}×\u{a0}{}", number(diameter), whole(thickness)),
        Form::Dome { base, height } => format!("{}\u{a0}×\u{a0}{}", number(base), whole(height)),
        Form::Washer {
            outer_diameter,
            inner_diameter,
            thickness,
        } => format!(
            "{}\u{a0}/\u{a0}{}\u{a0}×\u{a0}{}",
            number(outer_diameter),
            number(inner_diameter),
            whole(thickness)
        ),
        Form::Cup {
            outer_diameter,
            inner_diameter,
            height,
            depth,
            hole,
        } => {
            let cup = format!(
                "{}\u{a0}/\u{a0}{}\u{a0}×\u{a0}{}, {} deep",
                number(outer_diameter),
                number(inner_diameter),
                whole(height),
                whole(depth)
            );
            if hole > 0.0 {
                format!("{cup}, {} hole", whole(hole))
            } else {
                cup
            }
        }
        Form::Cone { base, end, height } => {
            format!("{} to {}\u{a0}×\u{a0}{}", number(base), number(end), whole(height))
        }
    }
}

#[cfg(test)]
mod tests {
    use quantity::Currency;

    use super::*;
    use crate::fixture::{cone, cup, plate};

    #[test]
    fn parts_are_named_by_what_they_are() {
        let reader = Reader {
            units: Units::metric(),
            currency: Currency::EUR,
        };
        let title = |part: &Part| title(part, &reader).replace('\u{a0}', " ");
        assert_eq!(title(&plate("a", 20.0, 2.5)), "Steel disc, 20 × 2.5 mm, mild steel");
        assert_eq!(
            title(&cup("a", [25.0, 21.0, 7.0, 5.0])),
            "Steel cup, 25 / 21 × 7 mm, 5 mm deep, mild steel"
        );
        assert_eq!(
            title(&cone("a", [10.0, 3.0, 6.0])),
            "Cone tip, 10 to 3 × 6 mm, mild steel"
        );
        let line = line(&plate("a", 20.0, 2.0), &reader);
        assert_eq!(
            (line.price_from.as_deref(), line.mass.text.as_str()),
            (Some("€\u{a0}0.50"), "4.93\u{a0}g")
        );
    }
}
