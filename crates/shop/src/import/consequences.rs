//! What an import would do to the shelf that could be regretted: counted, told, and confirmed before it is done.

use std::collections::HashMap;

use advice::view::text::Reader;
use serde::Serialize;
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;
use unicode_security::skeleton;
use utoipa::ToSchema;

use super::text::excerpt;
use crate::product::Product;

/// A price that becomes so many times as high or as low is worth a look: common practice, no source.
pub const PRICE_FACTOR: f64 = 2.0;
/// So many consequences are told; beyond that they are only counted.
const MOST_TOLD: usize = 200;

/// What of the shelf an import would take away or turn over.
#[derive(Clone, Debug, Default, PartialEq, Serialize, ToSchema)]
pub struct Consequences {
    /// Lines of which a price vanishes, or all.
    pub prices_lost: usize,
    /// Lines whose stock vanishes.
    pub stock_lost: usize,
    /// Lines whose note vanishes.
    pub notes_lost: usize,
    /// Lines with a price that becomes more than `factor` times as high or as low.
    pub prices_moved: usize,
    /// See `prices_moved`.
    pub factor: f64,
    /// Lines taken off the shelf.
    pub retired: usize,
    /// New codes that differ from another in case, accents, blanks or invisible marks only.
    pub look_alikes: usize,
    /// Each of them in words, at most 200.
    pub told: Vec<Consequence>,
}

/// One consequence.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct Consequence {
    /// Line of the file; 0 where it is about a line of the shelf that the file does not have.
    pub line: u32,
    /// Code.
    pub code: String,
    /// What would happen, in words.
    pub text: String,
}

impl Consequences {
    /// None so far.
    pub(super) fn new(factor: f64) -> Self {
        Self {
            factor,
            ..Self::default()
        }
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.prices_lost + self.stock_lost + self.notes_lost + self.prices_moved + self.retired + self.look_alikes
    }

    fn tell(&mut self, line: u32, code: &str, text: impl Into<String>) {
        if self.told.len() < MOST_TOLD {
            self.told.push(Consequence {
                line,
                code: excerpt(code),
                text: text.into(),
            });
        }
    }

    /// What a changed line brings.
    pub(super) fn change(&mut self, line: u32, before: &Product, after: &Product, reader: &Reader) {
        let code = after.code();
        let (old, new) = (before.listed(), after.listed());
        let gone = old
            .prices
            .iter()
            .filter(|step| new.prices.iter().all(|now| now.from != step.from));
        let gone: Vec<String> = gone.map(|step| format!("from {}", step.from)).collect();
        if !gone.is_empty() {
            self.prices_lost += 1;
            let text = match new.prices.is_empty() {
                true => "it loses its prices".to_owned(),
                false => format!("it loses its price {}", gone.join(" and ")),
            };
            self.tell(line, code, text);
        }
        if old.stock.is_some() && new.stock.is_none() {
            self.stock_lost += 1;
            self.tell(line, code, "its stock is no longer known");
        }
        if let Some(note) = old.note.filter(|_| new.note.is_none()) {
            self.notes_lost += 1;
            self.tell(line, code, format!("it loses its note \"{}\"", excerpt(&note)));
        }
        // Each quantity at which either has a step, with what one piece costs there.
        let each = |product: &Product, pieces: u64| {
            let steps = product.prices().iter().filter(|step| step.from <= pieces);
            steps.max_by_key(|step| step.from).map(|step| step.each)
        };
        let steps = before.prices().iter().chain(after.prices()).map(|step| step.from);
        let moved = steps.filter_map(|pieces| Some((pieces, each(before, pieces)?, each(after, pieces)?)));
        let far = moved.into_iter().find(|&(_, old, new)| {
            let (old, new) = (old.parts() as f64, new.parts() as f64);
            new > self.factor * old || old > self.factor * new
        });
        if let Some((pieces, old, new)) = far {
            self.prices_moved += 1;
            let text = format!(
                "from {pieces} its price goes from {} to {}",
                reader.money(old),
                reader.money(new)
            );
            self.tell(line, code, text);
        }
    }

    /// A line that leaves the shelf.
    pub(super) fn retire(&mut self, product: &Product) {
        self.retired += 1;
        self.tell(0, product.code(), "it is taken off the shelf");
    }

    /// New codes that look like others, of the file or of the shelf.
    pub(super) fn look_alikes<'a>(
        &mut self,
        new: impl Iterator<Item = (u32, &'a str)>,
        others: impl Iterator<Item = &'a str>,
    ) {
        let mut seen: HashMap<String, &str> = others.map(|code| (looks(code), code)).collect();
        for (line, code) in new {
            match seen.insert(looks(code), code) {
                Some(other) if other != code => {
                    self.look_alikes += 1;
                    self.tell(line, code, format!("the new code looks like \"{}\"", excerpt(other)));
                }
                _ => {}
            }
        }
    }
}

/// A code without what the eye passes over: case, accents, blanks, marks that are not seen, letters of another script that look the
/// same. Letters and digits of ASCII stay apart, such as O and 0.
fn looks(code: &str) -> String {
    code.nfkd()
        .filter(|c| !is_unseen(*c))
        .flat_map(look_of)
        .flat_map(char::to_lowercase)
        .filter(|c| !is_unseen(*c))
        .collect()
}

/// What a character looks like; dashes of any length are one.
fn look_of(c: char) -> Vec<char> {
    match c {
        c if c.is_ascii() => vec![c],
        '\u{2010}'..='\u{2015}' | '\u{2212}' => vec!['-'],
        c => skeleton(c.encode_utf8(&mut [0; 4])).collect(),
    }
}

/// Blanks, marks that stand over or under a letter, and characters that are not seen: `Default_Ignorable_Code_Point` of the Unicode
/// character database, from memory.
fn is_unseen(c: char) -> bool {
    c.is_whitespace()
        || c.is_control()
        || is_combining_mark(c)
        || matches!(c, '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}'..='\u{1160}' | '\u{17b4}'..='\u{17b5}' | '\u{180b}'..='\u{180f}'
            | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}'
            | '\u{feff}' | '\u{ffa0}' | '\u{fff0}'..='\u{fff8}' | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}'
            | '\u{e0000}'..='\u{e0fff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_that_look_alike_are_told_and_others_are_not() {
        let mut found = Consequences::new(PRICE_FACTOR);
        let new = [
            (2, "ab-1"),
            (3, "Ä-7\u{200b}"),
            (4, "C 9"),
            (5, "d\u{301}-2"),
            (6, "E-5"),
        ];
        found.look_alikes(new.into_iter(), ["AB-1", "a-7", "c9", "D-2", "F-5"].into_iter());
        assert_eq!(found.look_alikes, 4, "{:?}", found.told);
        assert_eq!(found.told[0].text, "the new code looks like \"AB-1\"");
        for (new, other) in [
            ("01-03\u{2066}", "01-03"),
            ("01-03\u{61c}", "01-03"),
            ("01-03\u{3164}", "01-03"),
            ("01-03\u{e0041}", "01-03"),
            ("01-03\u{180e}", "01-03"),
            ("０１-０３", "01-03"),
            ("QẠ-7", "QA-7"),
            ("\u{410}-1", "A-1"),
            ("14\u{2212}07", "14-07"),
            ("Ø-5", "o-5"),
        ] {
            let mut found = Consequences::new(PRICE_FACTOR);
            found.look_alikes([(2, new)].into_iter(), [other].into_iter());
            assert_eq!(found.look_alikes, 1, "{new:?} and {other}");
        }
        let mut none = Consequences::new(PRICE_FACTOR);
        none.look_alikes([(2, "A-1"), (3, "A-2")].into_iter(), ["A-1", "A-3"].into_iter());
        assert_eq!(none.count(), 0);
    }
}
