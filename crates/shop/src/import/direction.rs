//! The side along which a magnet is magnetised.

use advice::Magnetised;
use quantity::{Length, Unit, parse_with_default};

use super::size::Sizes;
use super::table::Cell;
use super::text::folded;
use super::told::Through;
use super::value::{Misfit, Read, is_blank, text};
use super::vocabulary::{DirectionWord, vocabulary};

/// The direction that a cell names; `None` where it is empty.
pub(crate) fn read(cell: &Cell) -> Read<DirectionWord> {
    let Some(text) = text(cell, "direction")?.filter(|text| !is_blank(text)) else {
        return Ok(None);
    };
    match vocabulary().direction(&text) {
        Some(DirectionWord::Unsupported) => Err(Misfit::new(
            format!(
                "magnets that are magnetised \"{}\" cannot be computed",
                super::text::excerpt(&text)
            ),
            "axial for round shapes; thickness, width or length for blocks; or leave the item out",
        )),
        Some(word) => Ok(Some(word)),
        None => Err(Misfit::new(
            format!("unknown direction of magnetisation \"{}\"", super::text::excerpt(&text)),
            "axial for round shapes; thickness, width or length for blocks",
        )),
    }
}

/// The size that a cell says a block is magnetised through: `thru 5 mm`, `durch 5 mm`, `2 mm`; `None` where it names none.
pub(crate) fn through(cell: &Cell, unit: Unit) -> Option<Length> {
    let Cell::Text(text) = cell else { return None };
    let begin = text.find(|c: char| c.is_ascii_digit())?;
    let before = text[..begin].split_whitespace().last().map(folded).unwrap_or_default();
    let is_through = before.is_empty() || THROUGH.contains(&before.as_str());
    parse_with_default(&text[begin..].replace(',', "."), unit)
        .ok()
        .filter(|_| is_through)
}

/// Words before the size that a magnet is magnetised through.
const THROUGH: [&str; 9] = [
    "through", "thru", "durch", "along", "par", "selon", "door", "parallel", "dans",
];

/// The side of a block that the magnetisation goes through: its thickness where another side is as long.
pub(crate) fn side_of(sizes: &Sizes, through: Through) -> Option<Magnetised> {
    let is = |side: Option<f64>, size: f64| side.is_some_and(|side| (side - size).abs() < SAME_SIZE);
    let all = [
        (Magnetised::Thickness, sizes.thickness, [sizes.length, sizes.width]),
        (Magnetised::Width, sizes.width, [sizes.length, sizes.thickness]),
        (Magnetised::Length, sizes.length, [sizes.width, sizes.thickness]),
    ];
    let found = all.into_iter().find(|(_, own, [a, b])| match through {
        Through::Size(size) => is(*own, size),
        Through::Faces([one, other]) => (is(*a, one) && is(*b, other)) || (is(*a, other) && is(*b, one)),
    });
    found.map(|(side, ..)| side)
}

/// Sizes within this are the same, m.
const SAME_SIZE: f64 = 1e-6;

/// The side of the shape that a direction means.
pub(crate) fn side(word: DirectionWord, is_block: bool) -> Result<Magnetised, Misfit> {
    match word {
        DirectionWord::Axial => Ok(Magnetised::Thickness),
        // The length of a rod is its axis.
        DirectionWord::Length if !is_block => Ok(Magnetised::Thickness),
        DirectionWord::Length => Ok(Magnetised::Length),
        DirectionWord::Width if is_block => Ok(Magnetised::Width),
        DirectionWord::Width | DirectionWord::Unsupported => Err(Misfit::new(
            "a round magnet that is magnetised across cannot be computed",
            "axial, or leave the item out",
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn directions_of_blocks_and_round_shapes() {
        let word = |text| read(&Cell::text(text));
        assert_eq!(
            word("through the width").unwrap().map(|word| side(word, true)),
            Some(Ok(Magnetised::Width))
        );
        assert_eq!(
            word("Länge").unwrap().map(|word| side(word, true)),
            Some(Ok(Magnetised::Length))
        );
        assert_eq!(
            word("length").unwrap().map(|word| side(word, false)),
            Some(Ok(Magnetised::Thickness))
        );
        assert!(side(DirectionWord::Width, false).is_err());
        assert_eq!(word(""), Ok(None));
        let misfit = word("Diametral").unwrap_err();
        assert_eq!(
            misfit.wrong,
            "magnets that are magnetised \"Diametral\" cannot be computed"
        );
        assert!(misfit.right.contains("axial"));
        assert!(word("up").unwrap_err().wrong.contains("unknown"));
    }
}
