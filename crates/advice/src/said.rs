//! What the words of a price list say of a piece that its sizes do not: a countersink, an adhesive.

use std::sync::LazyLock;

use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Words {
    countersunk: Vec<String>,
    self_adhesive: Vec<String>,
}

static WORDS: LazyLock<Words> = LazyLock::new(|| {
    toml::from_str(include_str!("../data/said.toml"))
        .unwrap_or_else(|error| unreachable!("the embedded word lists are read by a test: {error}"))
});

/// The words of a text that say that its hole is countersunk, as `csk` or `Senkbohrung`; `None` where none does.
pub fn countersunk(text: &str) -> Option<String> {
    begun(&WORDS.countersunk, text)
}

/// The words of a text that say that a face has an adhesive, as `self-adhesive` or `selbstklebend`; `None` where none does.
pub fn self_adhesive(text: &str) -> Option<String> {
    begun(&WORDS.self_adhesive, text)
}

/// The screw that a text names by its thread, in millimetres, as 4 of `for M4 screw`; `None` where it names none.
pub fn screw(text: &str) -> Option<f64> {
    let begins = text.match_indices(['M', 'm']).filter(|(at, _)| {
        let before = text[..*at].chars().next_back();
        before.is_none_or(|before| !before.is_alphanumeric() && before != '-')
    });
    begins.map(|(at, _)| &text[at + 1..]).find_map(|rest| {
        let end = rest
            .find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ','))
            .unwrap_or(rest.len());
        let behind = rest[end..].chars().next();
        let thread: f64 = rest[..end]
            .trim_end_matches(['.', ','])
            .replace(',', ".")
            .parse()
            .ok()?;
        let ends = behind.is_none_or(|behind| !behind.is_alphabetic() || behind == 'x');
        (ends && CLEARANCE.iter().any(|(known, _)| *known == thread)).then_some(thread)
    })
}

/// Threads of metric screws and the holes that they pass through, mm: ISO 273, medium series, from memory.
const CLEARANCE: [(f64, f64); 12] = [
    (2.0, 2.4),
    (2.5, 2.9),
    (3.0, 3.4),
    (3.5, 3.9),
    (4.0, 4.5),
    (5.0, 5.5),
    (6.0, 6.6),
    (8.0, 9.0),
    (10.0, 11.0),
    (12.0, 13.5),
    (14.0, 15.5),
    (16.0, 17.5),
];

/// The hole that a metric screw passes through, m, by its thread in millimetres: ISO 273, medium series, from memory. `None`
/// for a thread that is not usual.
pub fn hole_of(thread: f64) -> Option<f64> {
    let found = CLEARANCE.iter().find(|(known, _)| *known == thread);
    found.map(|(_, hole)| hole / 1e3)
}

/// The first words of a text that begin like some that are known.
fn begun(known: &[String], text: &str) -> Option<String> {
    let text = format!(" {}", plain(text));
    known.iter().find_map(|begins| {
        let at = text.find(&format!(" {begins}"))? + 1;
        let last = at + begins.len();
        let end = text[last..].find(' ').map_or(text.len(), |length| last + length);
        Some(text[at..end].to_owned())
    })
}

/// A text in lower case with a blank for all that is no letter or digit, and plain letters for the usual ones with accents.
fn plain(text: &str) -> String {
    let letter = |c: char| match c {
        'à' | 'á' | 'â' | 'ä' => 'a',
        'è' | 'é' | 'ê' | 'ë' => 'e',
        'ì' | 'í' | 'î' | 'ï' => 'i',
        'ò' | 'ó' | 'ô' | 'ö' => 'o',
        'ù' | 'ú' | 'û' | 'ü' => 'u',
        c if c.is_alphanumeric() => c,
        _ => ' ',
    };
    let mapped: String = text.chars().flat_map(char::to_lowercase).map(letter).collect();
    mapped.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn countersinks_and_adhesives_are_told_in_several_languages() {
        for text in [
            "Ring csk",
            "C/SUNK hole",
            "ctsk disc",
            "counter-sunk",
            "Senkbohrung M4",
            "anneau fraisé",
        ] {
            assert!(countersunk(text).is_some(), "{text}");
        }
        for text in ["disc 20 x 5", "sunken", "mask"] {
            assert_eq!(countersunk(text), None, "{text}");
        }
        for text in [
            "s/adhesive one side",
            "self-adh.",
            "peel + stick",
            "selbstklebend",
            "autocollant",
            "with sticky pad",
        ] {
            assert!(self_adhesive(text).is_some(), "{text}");
        }
        for text in ["adhesive force 3 kg", "2-part epoxy adhesive 24ml", "disc"] {
            assert_eq!(self_adhesive(text), None, "{text}");
        }
        assert_eq!(countersunk("Disc, Senkbohrung M4").as_deref(), Some("senkbohrung"));
    }

    #[test]
    fn screws_are_read_with_the_hole_that_they_pass_through() {
        for (text, thread) in [
            ("csk for M4", Some(4.0)),
            ("M3.5 screw", Some(3.5)),
            ("M4, 90°", Some(4.0)),
            ("M6x12", Some(6.0)),
            ("für Senkschraube M5", Some(5.0)),
            ("AM4", None),
            ("20 mm", None),
            ("M20000", None),
            ("m", None),
        ] {
            assert_eq!(screw(text), thread, "{text}");
        }
        assert_eq!(hole_of(4.0), Some(4.5e-3));
        assert_eq!(hole_of(4.2), None);
    }
}
