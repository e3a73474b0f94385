//! The word lists of data/cells.toml, ready for look-up.

use std::collections::HashMap;
use std::sync::LazyLock;

use advice::part::PartKind;
use serde::Deserialize;

use super::text::folded;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Lists {
    shapes: HashMap<ShapeWord, Vec<String>>,
    parts: HashMap<PartKind, Vec<String>>,
    directions: HashMap<DirectionWord, Vec<String>>,
    sides: HashMap<Side, Vec<String>>,
    coatings: HashMap<String, Vec<String>>,
}

/// What a cell can call a shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ShapeWord {
    Disc,
    Ring,
    Block,
    /// A block of equal sides.
    Cube,
    Sphere,
}

impl ShapeWord {
    /// Whether it has a length, a width and a thickness.
    pub(crate) fn is_block(self) -> bool {
        matches!(self, ShapeWord::Block | ShapeWord::Cube)
    }

    /// The shape in a word.
    pub(crate) fn name(self) -> &'static str {
        match self {
            ShapeWord::Disc => "disc",
            ShapeWord::Ring => "ring",
            ShapeWord::Block => "block",
            ShapeWord::Cube => "cube",
            ShapeWord::Sphere => "sphere",
        }
    }
}

/// What a cell can say about the direction of magnetisation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum DirectionWord {
    /// Along the axis, or through the thickness.
    Axial,
    Width,
    Length,
    /// A known way that cannot be computed.
    Unsupported,
}

/// A size of a shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Side {
    Diameter,
    InnerDiameter,
    Length,
    Width,
    Thickness,
}

/// Folded words to what they mean.
pub(crate) struct Vocabulary {
    shapes: HashMap<String, ShapeWord>,
    parts: HashMap<String, PartKind>,
    directions: HashMap<String, DirectionWord>,
    sides: HashMap<String, Side>,
    coatings: HashMap<String, String>,
}

static VOCABULARY: LazyLock<Vocabulary> = LazyLock::new(|| {
    let lists: Lists = toml::from_str(include_str!("../../data/cells.toml"))
        .unwrap_or_else(|error| unreachable!("the embedded word lists are read by a test: {error}"));
    Vocabulary {
        shapes: turned(lists.shapes),
        parts: turned(lists.parts),
        directions: turned(lists.directions),
        sides: turned(lists.sides),
        coatings: turned(lists.coatings),
    }
});

fn turned<M: Clone>(lists: HashMap<M, Vec<String>>) -> HashMap<String, M> {
    lists
        .into_iter()
        .flat_map(|(meaning, words)| words.into_iter().map(move |word| (folded(&word), meaning.clone())))
        .collect()
}

/// The word lists that come with the program.
pub(crate) fn vocabulary() -> &'static Vocabulary {
    &VOCABULARY
}

impl Vocabulary {
    /// The shape that a cell names, as a whole.
    pub(crate) fn shape(&self, text: &str) -> Option<ShapeWord> {
        let text = folded(text);
        let shape = self
            .shapes
            .get(&text)
            .or_else(|| self.shapes.get(text.strip_suffix(" magnet")?));
        shape.copied()
    }

    /// The kind of steel part that a cell names, as a whole.
    pub(crate) fn part(&self, text: &str) -> Option<PartKind> {
        self.parts.get(&folded(text)).copied()
    }

    /// The first word of a longer text that names a shape.
    pub(crate) fn shape_within(&self, text: &str) -> Option<ShapeWord> {
        super::text::words(text)
            .iter()
            .find_map(|word| self.shapes.get(word))
            .copied()
    }

    /// The direction that a cell names.
    pub(crate) fn direction(&self, text: &str) -> Option<DirectionWord> {
        self.directions.get(&folded(text)).copied()
    }

    /// The name in the coating table of a coating that a cell calls something else.
    pub(crate) fn coating(&self, text: &str) -> Option<&str> {
        self.coatings.get(&folded(text)).map(String::as_str)
    }

    /// The side that a letter or word beside a number names.
    pub(crate) fn side(&self, text: &str) -> Option<Side> {
        self.sides.get(&folded(text)).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_shapes_in_several_languages() {
        for (text, shape) in [
            ("Disc", ShapeWord::Disc),
            ("Scheibe", ShapeWord::Disc),
            ("CYLINDRE", ShapeWord::Disc),
            ("anneau", ShapeWord::Ring),
            ("Würfel", ShapeWord::Cube),
            ("bloque", ShapeWord::Block),
            ("sfera", ShapeWord::Sphere),
            ("kogel", ShapeWord::Sphere),
            ("ring magnet", ShapeWord::Ring),
        ] {
            assert_eq!(vocabulary().shape(text), Some(shape), "{text}");
        }
        assert_eq!(vocabulary().shape("horseshoe"), None);
    }

    #[test]
    fn reads_directions() {
        assert_eq!(vocabulary().direction("Through the width"), Some(DirectionWord::Width));
        assert_eq!(vocabulary().direction("diametral"), Some(DirectionWord::Unsupported));
        assert_eq!(vocabulary().direction("axial"), Some(DirectionWord::Axial));
        assert_eq!(vocabulary().direction("sideways"), None);
    }

    #[test]
    fn coatings_are_in_the_coating_table() {
        let table = materials::coating::CoatingTable::builtin().unwrap();
        let lists: Lists = toml::from_str(include_str!("../../data/cells.toml")).unwrap();
        for name in lists.coatings.keys() {
            assert_eq!(table.get(name).map(|coating| &coating.name), Some(name));
        }
        assert_eq!(vocabulary().coating("vernickelt"), Some("nickel-copper-nickel"));
        assert_eq!(vocabulary().coating("chocolate"), None);
    }

    #[test]
    fn no_word_means_two_things() {
        let lists: Lists = toml::from_str(include_str!("../../data/cells.toml")).unwrap();
        fn check<M: PartialEq + std::fmt::Debug + Clone>(lists: HashMap<M, Vec<String>>) {
            let mut seen: HashMap<String, M> = HashMap::new();
            for (meaning, words) in lists {
                for word in words {
                    let before = seen.insert(folded(&word), meaning.clone());
                    assert!(
                        before.as_ref().is_none_or(|before| *before == meaning),
                        "{word}: {before:?} and {meaning:?}"
                    );
                }
            }
        }
        check(lists.shapes);
        check(lists.parts);
        check(lists.directions);
        check(lists.sides);
        check(lists.coatings);
    }
}
