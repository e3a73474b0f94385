//! The sizes in a description: `40/20 x 10 mm`, `Ø 20, H 5`, `20 mm diameter, 5 mm thick`.

use advice::said;
use quantity::{Length, Unit, parse_with_default};

use super::Tables;
use super::marks::Taken;
use super::pieces::{Piece, What};
use crate::exact;
use crate::import::decimal::pointed;
use crate::import::size::{self, Part};
use crate::import::text::excerpt;
use crate::import::value::Misfit;
use crate::import::vocabulary::{ShapeWord, Side, vocabulary};

/// What a description may look like, for messages.
const EXAMPLES: &str = "one size such as 20 x 10 x 5 mm, 40/20 x 10 or Ø 10 x 5; or columns for the sizes";
/// A size that is stated in two units is the same within so much.
const SAME_WITHIN: f64 = 0.02;

/// One number as it stands in the text.
struct Seen<'a> {
    raw: &'a str,
    side: Option<Side>,
    /// What stands before the number names its side.
    named_before: bool,
    unit: Option<Unit>,
    /// Which run of numbers with `x` or `/` between them it is in.
    run: usize,
    /// `/` stands before it.
    after_slash: bool,
}

/// The sizes that a text states; none where it has no number that could be one.
pub(super) fn sizes(
    text: &str,
    pieces: &[Piece],
    taken: &[Taken],
    shape: Option<ShapeWord>,
    tables: &Tables,
) -> Result<Vec<Part>, Misfit> {
    let seen = seen(text, pieces, taken);
    let runs = chosen(&seen, shape, tables)?;
    let mut parts = Vec::new();
    for run in runs {
        parts.extend(run);
    }
    size::smaller_is_hole(&mut parts);
    if parts.len() > 3 {
        let wrong = format!("the description has {} numbers that could be sizes", parts.len());
        return Err(Misfit::new(wrong, EXAMPLES));
    }
    Ok(parts)
}

/// Whether one of the sizes is that of a hole.
pub(super) fn has_hole(sizes: &[Part]) -> bool {
    sizes.iter().any(|part| part.side == Some(Side::InnerDiameter))
}

/// The numbers that are free, with the words and signs about them.
fn seen<'a>(text: &'a str, pieces: &[Piece], taken: &[Taken]) -> Vec<Seen<'a>> {
    let mut seen: Vec<Seen> = Vec::new();
    let mut run = 0;
    // The side that was named for the next number, and what joins it to the last.
    let (mut pending, mut joint): (Option<Side>, Option<bool>) = (None, None);
    // Whether the last piece was a number, its unit or its side.
    let mut after_number = false;
    let is_free_number = |at: usize| {
        let number = pieces.get(at).is_some_and(|piece| piece.what == What::Number);
        number && taken.get(at) == Some(&Taken::Free)
    };
    let side_at = |at: usize| match pieces.get(at).map(|piece| &piece.what) {
        Some(What::Word(word)) => vocabulary().side(word),
        _ => None,
    };
    // The number that the word for a side would stand before: "hole diameter 5" is one of the hole.
    let number_after = |at: usize| {
        let passed = |next: &usize| {
            let what = &pieces[*next].what;
            *what == What::Joint || is_filler(what) || side_at(*next) == Some(Side::Diameter)
        };
        (at + 1..pieces.len().min(at + 5))
            .find(|next| !passed(next))
            .filter(|next| is_free_number(*next))
    };
    // "20 mm diameter 5 mm thick": words for sides stand behind their numbers where the last one has no number behind it.
    let last_side = (0..pieces.len()).rev().find(|at| side_at(*at).is_some());
    let stands_behind = last_side.is_some_and(|at| number_after(at).is_none());
    for (at, piece) in pieces.iter().enumerate() {
        match (taken.get(at), &piece.what) {
            (Some(Taken::Within), _) => {}
            (Some(Taken::Free), What::Number) => {
                if joint.is_none() {
                    run += 1;
                }
                seen.push(Seen {
                    raw: &text[piece.start..piece.end],
                    side: pending,
                    named_before: pending.is_some(),
                    unit: None,
                    run,
                    after_slash: joint == Some(true),
                });
                (pending, joint, after_number) = (None, None, true);
            }
            (Some(Taken::Free), What::Times | What::Slash) if after_number => {
                joint = Some(piece.what == What::Slash);
                after_number = false;
            }
            (Some(Taken::Free), what) if pending.is_some() && is_filler(what) => {}
            // "4.5 mm csk hole": the word between a number and its side says how the hole is made.
            (Some(Taken::Free), What::Word(word)) if after_number && said::countersunk(word).is_some() => {}
            (Some(Taken::Free), What::Word(word)) => {
                let last = seen.last_mut().filter(|_| after_number);
                let unit = vocabulary().length_unit(word);
                match (unit, vocabulary().side(word), last) {
                    (Some(unit), _, Some(last)) if last.unit.is_none() => last.unit = Some(unit),
                    // "20 mm diameter": behind a number, unless the numbers before had theirs in front.
                    (_, Some(side), Some(last))
                        if last.side.is_none()
                            && (number_after(at).is_none()
                                || (stands_behind && !last.named_before && word.chars().count() > 2)) =>
                    {
                        last.side = Some(side);
                    }
                    (_, Some(side), _) => {
                        // "hole diameter 5": the word before it says more.
                        let is_hole = pending == Some(Side::InnerDiameter) && side == Side::Diameter;
                        pending = Some(if is_hole { Side::InnerDiameter } else { side })
                            .filter(|_| number_after(at).is_some());
                        after_number = false;
                    }
                    _ => (pending, joint, after_number) = (None, None, false),
                }
            }
            (_, What::Joint) => {}
            _ => (pending, joint, after_number) = (None, None, false),
        }
    }
    seen
}

/// A word between the name of a side and its number that says no more: `diameter of 20`, `hole Ø 4`.
fn is_filler(what: &What) -> bool {
    matches!(what, What::Word(word) if matches!(word.as_str(), "ø" | "of" | "de" | "von" | "di" | "van" | "ca" | "about"))
}

/// The numbers that are the size, as parts, run by run.
fn chosen(seen: &[Seen], shape: Option<ShapeWord>, tables: &Tables) -> Result<Vec<Vec<Part>>, Misfit> {
    let runs: Vec<&[Seen]> = seen.chunk_by(|a, b| a.run == b.run).collect();
    let mut stated = seen.iter().filter_map(|one| one.unit);
    let common = stated.next().filter(|first| stated.all(|other| other == *first));
    let read = |run: &[Seen]| parts(run, shape, common, tables);
    let long: Vec<&&[Seen]> = runs.iter().filter(|run| run.len() > 1).collect();
    let mut found: Vec<Vec<Part>> = Vec::new();
    for run in &long {
        let parts = read(run)?;
        match found.first() {
            None => found.push(parts),
            Some(first) if is_same(first, &parts) => {}
            Some(_) => {
                let wrong = "the description has two sizes";
                return Err(Misfit::new(wrong, EXAMPLES));
            }
        }
    }
    let single = runs.iter().filter(|run| run.len() == 1);
    let (named, bare): (Vec<&&[Seen]>, Vec<&&[Seen]>) =
        single.partition(|run| run.iter().any(|one| one.side.is_some()));
    for run in named {
        found.push(read(run)?);
    }
    let with_unit: Vec<&&[Seen]> = bare
        .iter()
        .copied()
        .filter(|run| run.iter().any(|one| one.unit.is_some()))
        .collect();
    let is_one_size = matches!(shape, Some(ShapeWord::Sphere | ShapeWord::Cube));
    let rest = if !with_unit.is_empty() {
        with_unit
    } else if found.is_empty() && bare.len() == 1 && is_one_size {
        bare
    } else {
        Vec::new()
    };
    if long.is_empty() {
        for run in rest {
            found.push(read(run)?);
        }
    } else if let Some(one) = rest.iter().flat_map(|run| run.iter()).next() {
        let wrong = format!("it is not clear what \"{}\" is the size of", excerpt(one.raw));
        return Err(Misfit::new(
            wrong,
            "a word for the side beside it, such as thickness or hole",
        ));
    }
    Ok(found)
}

/// The numbers of one run. A unit behind the last holds for all that have none.
fn parts(run: &[Seen], shape: Option<ShapeWord>, common: Option<Unit>, tables: &Tables) -> Result<Vec<Part>, Misfit> {
    let unit = run
        .iter()
        .rev()
        .find_map(|one| one.unit)
        .or(common)
        .unwrap_or(tables.unit);
    let mut parts = Vec::with_capacity(run.len());
    for one in run {
        let written = pointed(one.raw, tables.convention);
        let length = parse_with_default::<Length>(&written.replacen('-', " ", 1), one.unit.unwrap_or(unit))
            .map_err(|error| Misfit::new(error.to_string(), error.hint.unwrap_or_else(|| EXAMPLES.to_owned())))?;
        let metres = exact::length(length).0;
        if metres <= 0.0 {
            return Err(Misfit::new("each size must be greater than 0", EXAMPLES));
        }
        parts.push(Part { side: one.side, metres });
    }
    // "40/20": outer over inner diameter, but not of what has no hole.
    let may_have_hole = matches!(shape, None | Some(ShapeWord::Ring));
    let slashed = run.get(1).is_some_and(|one| one.after_slash);
    if let [outer, inner, ..] = parts.as_mut_slice()
        && may_have_hole
        && slashed
        && matches!(outer.side, None | Some(Side::Diameter))
        && matches!(inner.side, None | Some(Side::Diameter))
    {
        outer.side = Some(Side::Diameter);
        inner.side = Some(Side::InnerDiameter);
    }
    Ok(parts)
}

/// Whether two runs state the same size in two units.
fn is_same(a: &[Part], b: &[Part]) -> bool {
    let near = |(a, b): (&Part, &Part)| (a.metres - b.metres).abs() <= SAME_WITHIN * a.metres.max(b.metres);
    a.len() == b.len() && a.iter().zip(b).all(near)
}
