//! Text with emphasis, and the small phrases that all places share.

use magnetics::Shape;
use quantity::{Currency, FluxDensity, Force, Length, Money, Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{Predicted, Stack};
use crate::item::{Item, Magnetised};

/// A piece of text; `strong` numbers decide, `em` words explain.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, ToSchema)]

pub struct Run {
    /// The text.
    pub text: String,
    /// Whether it carries the point.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub strong: bool,
    /// Whether it is an aside.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub em: bool,
}

/// Text in runs.
pub type Runs = Vec<Run>;

/// Splits text at `**` (strong) and `_` pairs written as `__` (aside).
pub fn runs(marked: &str) -> Runs {
    let mut out = Runs::new();
    for (k, part) in marked.split("**").enumerate() {
        for (j, text) in part.split("__").enumerate() {
            if !text.is_empty() {
                out.push(Run {
                    text: text.into(),
                    strong: k % 2 == 1,
                    em: j % 2 == 1,
                });
            }
        }
    }
    out
}

/// The text without its emphasis.
pub fn plain(runs: &[Run]) -> String {
    runs.iter().map(|r| r.text.as_str()).collect()
}

/// A number as shown, with its unit and its text.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]

pub struct Figure {
    /// In the unit shown.
    pub value: f64,
    /// The unit shown.
    pub unit: String,
    /// Number and unit, rounded to what makes sense.
    pub text: String,
}

/// How a reader wants to see numbers.
#[derive(Clone, Copy, Debug)]
pub struct Reader {
    /// Units of every quantity.
    pub units: Units,
    /// Currency of every price.
    pub currency: Currency,
}

impl Reader {
    /// A quantity as figure.
    pub fn figure<Q: Quantity>(&self, si: f64) -> Figure {
        let q = Q::from_si(si);
        let shown = if Q::KIND == Length::KIND {
            q.show_to(3, &self.units)
        } else {
            q.show(&self.units)
        };
        let scale = self.units.scale(Q::KIND, si.abs());
        Figure {
            value: scale.apply(si),
            unit: scale.label.to_string(),
            text: shown.to_string(),
        }
    }

    /// A predicted value as figure.
    pub fn predicted(&self, kind: Predicted, si: f64) -> Figure {
        match kind {
            Predicted::Force => self.figure::<Force>(si),
            Predicted::FluxDensity => self.figure::<FluxDensity>(si),
        }
    }

    /// A quantity as text.
    pub fn text<Q: Quantity>(&self, si: f64) -> String {
        Q::from_si(si).show(&self.units).to_string()
    }

    /// A length that was computed, as text.
    pub fn about(&self, si: f64) -> String {
        Length(si).show_to(2, &self.units).to_string()
    }

    /// A quantity that must not be shown smaller than it is, as text.
    pub fn no_less<Q: Quantity>(&self, si: f64) -> String {
        Q::from_si(si).show_up_to(2, &self.units).to_string()
    }

    /// An interval of a predicted value as text.
    pub fn range(&self, kind: Predicted, low: f64, high: f64) -> String {
        match kind {
            Predicted::Force => Force::show_range(Force(low), Force(high), &self.units).to_string(),
            Predicted::FluxDensity => {
                FluxDensity::show_range(FluxDensity(low), FluxDensity(high), &self.units).to_string()
            }
        }
    }

    /// The ends of a predicted interval, rounded outwards as [`Self::range`] prints them.
    pub fn predicted_ends(&self, kind: Predicted, low: f64, high: f64) -> [Figure; 2] {
        match kind {
            Predicted::Force => self.ends::<Force>(low, high),
            Predicted::FluxDensity => self.ends::<FluxDensity>(low, high),
        }
    }

    /// The ends of an interval, rounded outwards.
    pub fn ends<Q: Quantity>(&self, low: f64, high: f64) -> [Figure; 2] {
        let shown = Q::show_range(Q::from_si(low), Q::from_si(high), &self.units);
        let (lower, upper) = shown
            .number
            .split_once(" to ")
            .unwrap_or((&shown.number, &shown.number));
        [(low, lower), (high, upper)].map(|(si, number)| Figure {
            text: format!("{number}\u{a0}{}", shown.unit),
            ..self.figure::<Q>(si)
        })
    }

    /// An amount with its currency.
    pub fn money(&self, amount: Money) -> String {
        amount.show(self.currency)
    }

    /// Sizes of an item, as [`sizes`].
    pub fn sizes(&self, item: &Item) -> String {
        sizes(item, &self.units)
    }

    /// `15 × 5 mm, N42`.
    pub fn size_and_grade(&self, item: &Item) -> String {
        format!("{}, {}", self.sizes(item), item.grade)
    }

    /// An item on its own: `Disc, 15 × 5 mm, N42`.
    pub fn item(&self, item: &Item) -> String {
        format!(
            "{}, {}",
            capital(shape_word(&item.shape, false)),
            self.size_and_grade(item)
        )
    }

    /// `two discs stacked, 15 × 3 mm, N42`.
    pub fn title(&self, item: &Item, build: Stack) -> String {
        format!("{}, {}", build_words(&item.shape, build), self.size_and_grade(item))
    }
}

/// Sizes of an item, outer, as the trade lists them: `15 × 5 mm`, `20 / 10 × 5 mm`, `20 × 10 × 5 mm`.
pub fn sizes(item: &Item, units: &Units) -> String {
    let join = |parts: &[f64]| {
        let shown: Vec<_> = parts.iter().map(|p| Length(*p).show(units)).collect();
        let numbers: Vec<&str> = shown.iter().map(|s| s.number.as_str()).collect();
        let unit = shown.first().map_or("", |s| s.unit);
        format!("{}\u{a0}{unit}", numbers.join("\u{a0}×\u{a0}"))
    };
    match item.shape {
        Shape::Disc { diameter, thickness } => join(&[diameter, thickness]),
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        } => {
            let outer = Length(outer_diameter).show(units).number;
            format!("{outer}\u{a0}/\u{a0}{}", join(&[inner_diameter, thickness]))
        }
        Shape::Block { .. } => {
            let along = match item.magnetised {
                Magnetised::Thickness => "",
                Magnetised::Width => " along the width",
                Magnetised::Length => " along the length",
            };
            format!("{}{along}", join(&item.listed_sides()))
        }
        Shape::Sphere { diameter } => join(&[diameter]),
    }
}

/// The shape in one word.
pub fn shape_word(shape: &Shape, plural: bool) -> &'static str {
    match (shape, plural) {
        (Shape::Disc { .. }, false) => "disc",
        (Shape::Disc { .. }, true) => "discs",
        (Shape::Ring { .. }, false) => "ring",
        (Shape::Ring { .. }, true) => "rings",
        (Shape::Block { .. }, false) => "block",
        (Shape::Block { .. }, true) => "blocks",
        (Shape::Sphere { .. }, false) => "ball",
        (Shape::Sphere { .. }, true) => "balls",
    }
}

/// `one disc`, `three discs stacked`, `two discs facing`, `two stacks of three discs`.
pub fn build_words(shape: &Shape, build: Stack) -> String {
    match (build.pair, build.pieces) {
        (false, 1) => format!("one {}", shape_word(shape, false)),
        (false, n) => format!("{} {} stacked", small_number(n), shape_word(shape, true)),
        (true, 1) => format!("two {} facing", shape_word(shape, true)),
        (true, n) => format!("two stacks of {} {}", small_number(n), shape_word(shape, true)),
    }
}

/// A count in words up to twelve.
pub fn small_number(n: u32) -> String {
    const WORDS: [&str; 13] = [
        "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    ];
    WORDS
        .get(n as usize)
        .map_or_else(|| n.to_string(), |w| (*w).to_string())
}

/// The text with its first letter large.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A part as per cent: `35 %`, `0.4 %`.
pub fn percent(part: f64) -> String {
    let p = part * 100.0;
    if p > 0.0 && p < 0.05 {
        return "less than 0.1\u{a0}%".into();
    }
    let text = if (0.05..9.95).contains(&p.abs()) {
        format!("{p:.1}").trim_end_matches(".0").to_string()
    } else {
        // Adding 0 turns a negative zero about.
        format!("{:.0}", p.round() + 0.0)
    };
    format!("{}\u{a0}%", text.replace('-', "−"))
}

/// A part that must not be shown smaller than it is, as per cent: in whole ones from ten on, else in tenths.
pub fn percent_up(part: f64) -> String {
    let steps = if part < 0.0995 { 1000.0 } else { 100.0 };
    percent((part * steps - 1e-6).ceil() / steps)
}

/// A change as signed per cent: `+16 %`, `−4 %`; `0 %` where nothing is left after rounding.
pub fn signed_percent(part: f64) -> String {
    if part.abs() < 0.0005 {
        return percent(0.0);
    }
    let text = percent(part);
    if part > 0.0 { format!("+{text}") } else { text }
}

/// A multiple: `×3.5`.
pub fn multiple(ratio: f64) -> String {
    if ratio < 9.95 {
        format!("×{ratio:.1}")
    } else {
        format!("×{ratio:.0}")
    }
}

/// A count with its thousands apart.
pub fn count(n: u64) -> String {
    let digits = n.to_string();
    let mut out = String::new();
    for (k, c) in digits.chars().enumerate() {
        if k > 0 && (digits.len() - k).is_multiple_of(3) && digits.len() > 4 {
            out.push('\u{202f}');
        }
        out.push(c);
    }
    out
}

/// A fact with its label.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Fact {
    /// What it is.
    pub label: String,
    /// Its value in words.
    pub text: String,
}

/// A chance in per cent, without claiming certainty.
pub(crate) fn chance_words(chance: f64) -> String {
    if chance > 0.995 {
        "over 99\u{a0}%".into()
    } else {
        percent(chance)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_become_runs_and_back() {
        let r = runs("One disc of **15 mm** holds __about__ **34 N**.");
        assert_eq!(plain(&r), "One disc of 15 mm holds about 34 N.");
        assert!(r[1].strong && r[1].text == "15 mm");
        assert!(r[3].em && r[3].text == "about");
    }

    #[test]
    fn numbers_read_well() {
        assert_eq!(percent(0.354), "35\u{a0}%");
        assert_eq!(percent(0.034), "3.4\u{a0}%");
        assert_eq!(percent(0.05), "5\u{a0}%");
        assert_eq!(signed_percent(-0.04), "−4\u{a0}%");
        assert_eq!(signed_percent(-1e-5), "0\u{a0}%");
        assert_eq!(signed_percent(1e-5), "0\u{a0}%");
        assert_eq!(signed_percent(0.16), "+16\u{a0}%");
        assert_eq!(multiple(3.46), "×3.5");
        assert_eq!(count(1240), "1240");
        assert_eq!(count(1_234_567), "1\u{202f}234\u{202f}567");
        assert_eq!(capital("one disc"), "One disc");
        assert_eq!(small_number(13), "13");
    }
}
