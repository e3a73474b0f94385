//! Figures of texts in words, and texts with their figures filled in.

use materials::grade::REFERENCE_CELSIUS;
use quantity::{FluxDensity, Force, Length, Mass, Quantity, Units};

use crate::answer::Predicted;
use crate::explain::{Figure, Figures};
use crate::item::Item;
use crate::view::text::{Reader, count, percent, shape_word};

/// The figures of a shelf for one reader.
pub(super) struct Words<'a> {
    pub figures: &'a Figures<'a>,
    pub reader: &'a Reader,
}

impl Words<'_> {
    /// What the figures are of.
    pub(super) fn subject(&self) -> String {
        let item = self.reader.item(&self.figures.reference);
        if self.figures.stocked {
            format!(
                "figures of this shelf's {item} ({}), at {}",
                self.figures.reference.code,
                self.reader.celsius(REFERENCE_CELSIUS)
            )
        } else {
            format!(
                "figures of a magnet that the shelf does not have: {item}, at {}",
                self.reader.celsius(REFERENCE_CELSIUS)
            )
        }
    }

    /// The text with its figures; a name that is not known stays in its braces, which a test excludes.
    pub(super) fn fill(&self, text: &str) -> String {
        let mut out = String::with_capacity(text.len() * 2);
        let mut rest = text;
        while let Some((before, after)) = rest.split_once('{') {
            out.push_str(before);
            let Some((name, behind)) = after.split_once('}') else {
                out.push('{');
                rest = after;
                continue;
            };
            match self.figures.figure(name) {
                Some(figure) => out.push_str(&self.of(&figure)),
                None => {
                    out.push('{');
                    out.push_str(name);
                    out.push('}');
                }
            }
            rest = behind;
        }
        out.push_str(rest);
        out
    }

    fn of(&self, figure: &Figure) -> String {
        let reader = self.reader;
        match figure {
            Figure::Force(newtons) => reader.text::<Force>(*newtons),
            Figure::Newton(newtons) => in_units(Force(*newtons), "N"),
            Figure::Field(tesla) => reader.text::<FluxDensity>(*tesla),
            Figure::Tesla(tesla) => in_units(FluxDensity(*tesla), "T"),
            Figure::Gauss(tesla) => in_units(FluxDensity(*tesla), "G"),
            Figure::LowForce([low, high]) => reader.predicted_ends(Predicted::Force, *low, *high)[0].text.clone(),
            Figure::HighForce([low, high]) => reader.predicted_ends(Predicted::Force, *low, *high)[1].text.clone(),
            Figure::LowField([low, high]) => reader.predicted_ends(Predicted::FluxDensity, *low, *high)[0]
                .text
                .clone(),
            Figure::HighField([low, high]) => reader.predicted_ends(Predicted::FluxDensity, *low, *high)[1]
                .text
                .clone(),
            Figure::FarField(tesla) => reader.microtesla(*tesla),
            Figure::Mass(kilograms) => reader.text::<Mass>(*kilograms),
            Figure::Kilogram(kilograms) => Mass(*kilograms).show_to(2, &Units::metric()).to_string(),
            Figure::Length(metres) => reader.text::<Length>(*metres),
            Figure::About(metres) => reader.about(*metres),
            Figure::NoLess(metres) => reader.no_less::<Length>(*metres),
            Figure::Sheet(metres) => format!("{} sheet", reader.text::<Length>(*metres)),
            Figure::Celsius(celsius) => reader.up_to_celsius(*celsius),
            Figure::Share(part) => percent(*part),
            Figure::Gain(part) => {
                let more = if *part < 0.0 { "less" } else { "more" };
                format!("{} {more}", percent(part.abs()))
            }
            // As the rules for toys count it.
            Figure::FluxIndex(si) => format!("{:.0}\u{a0}kG²\u{a0}mm²", si / 1e-8),
            Figure::Count(n) => count(*n),
            Figure::Name(name) => name.clone(),
            Figure::Magnet(item) => self.described(item),
            Figure::Prices(item) => self.prices(item),
            Figure::Nothing => "nothing".into(),
        }
    }

    /// `disc of 20 × 5 mm, N42`.
    fn described(&self, item: &Item) -> String {
        let shape = shape_word(&item.shape, false);
        format!("{shape} of {}", self.reader.size_and_grade(item))
    }

    fn prices(&self, item: &Item) -> String {
        let prices = &item.prices;
        let (Some(first), Some(last)) = (prices.first(), prices.last()) else {
            return "This shelf lists no price for such a disc.".into();
        };
        let disc = self.described(item);
        let price = |each| self.reader.money(each);
        if last.each >= first.each {
            return format!("A {disc} costs {} each.", price(first.each));
        }
        format!(
            "A {disc} costs {} each for {}, and {} each from {} on: {} less.",
            price(first.each),
            count(first.from),
            price(last.each),
            count(last.from),
            percent(1.0 - last.each.to_f64() / first.each.to_f64())
        )
    }
}

/// A quantity in a unit of its own, whatever the reader's.
fn in_units<Q: Quantity>(quantity: Q, unit: &str) -> String {
    let units: Units = unit.parse().unwrap_or_default();
    quantity.show(&units).to_string()
}
