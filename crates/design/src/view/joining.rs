//! The words of `data/joining.toml`: how arrangements are put together, and what to mind.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::family::Family;

/// The words of one kind of arrangement.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Arrangement {
    families: Vec<Family>,
    #[serde(default)]
    first: String,
    #[serde(default)]
    next: String,
    care: Vec<String>,
}

/// The words of what is felt.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Felt {
    /// Pulled to its place.
    pub pulled: String,
    /// Pushed back.
    pub pushed: String,
    /// Pulled down across its way.
    pub down: String,
    /// Lifted across its way.
    pub up: String,
    /// Turned over.
    pub turned: String,
    /// Where a gap closes.
    pub closed: String,
    /// Where skin is pinched.
    pub pinched: String,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    source: String,
    pinch: f64,
    felt: Felt,
    arrangement: Vec<Arrangement>,
}

static FILE: LazyLock<Result<File, String>> =
    LazyLock::new(|| toml::from_str(include_str!("../../data/joining.toml")).map_err(|error| error.to_string()));

fn file() -> Option<&'static File> {
    FILE.as_ref().ok()
}

fn of(family: Family) -> impl Iterator<Item = &'static Arrangement> {
    let all = file().map_or(&[][..], |file| &file.arrangement);
    all.iter().filter(move |one| one.families.contains(&family))
}

/// Jig, glue and danger of a family.
pub(super) fn care(family: Family) -> Vec<String> {
    of(family).flat_map(|one| one.care.iter().cloned()).collect()
}

/// How a piece is set, the first or another, with `{piece}` and `{pole}` to be filled in; `None` where nothing is joined.
pub(super) fn step(family: Family, first: bool) -> Option<&'static str> {
    let text = |one: &'static Arrangement| if first { one.first.as_str() } else { one.next.as_str() };
    of(family).map(text).find(|text| !text.is_empty())
}

/// The words of what is felt.
pub(super) fn felt() -> Option<&'static Felt> {
    file().map(|file| &file.felt)
}

/// Force from which pieces pinch, N.
pub(super) fn pinch() -> f64 {
    file().map_or(0.0, |file| file.pinch)
}

/// Where the words come from.
pub(super) fn source() -> &'static str {
    file().map_or("", |file| file.source.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::family::ALL;

    #[test]
    fn the_words_read_and_say_how_every_arrangement_of_several_pieces_is_joined() {
        assert!(FILE.is_ok(), "{FILE:?}");
        assert!(!source().is_empty());
        for family in ALL {
            let single = matches!(family, Family::Disc | Family::Ring | Family::Block);
            assert_eq!(care(family).is_empty(), single, "{family:?}");
        }
        for family in [
            Family::Stepped,
            Family::BackPlate,
            Family::Opposed,
            Family::Focused,
            Family::HalbachRow,
            Family::AlternatingRow,
            Family::FacingDiscs,
            Family::FacingRings,
            Family::FacingBlocks,
        ] {
            for first in [true, false] {
                let step = step(family, first).unwrap();
                assert!(step.contains("{piece}"), "{family:?}: {step}");
            }
        }
    }
}
