//! Magnets whose sizes stand in a row of numbers with words or letters: `OD 25 x ID 10 x 5 thick`, `L40 W20 H5`,
//! `30 mm outside, 12 mm hole, 6 mm high`.

use super::dimension::{dimension, length_mm};
use super::dims::Dims;
use super::written::{bounded, owns_sizes};
use super::{Named, SHAPES};
use crate::lexer::{Item, What};
use crate::scene::Scene;

/// How far the name or the grade of a magnet may stand from its row of sizes.
const NEAR: f64 = 9.0;
/// How far the numbers of a row may stand from each other.
const STEP: f64 = 5.0;

/// The magnets of which two or more sizes stand in such a row.
pub(super) fn in_rows(scene: &Scene, found: &mut Vec<Named>) {
    let mut at = 0;
    while at < scene.items.len() {
        let row = row(scene, at);
        let Some((last, _, _)) = row.last() else {
            at += 1;
            continue;
        };
        at = last + 1;
        if row.len() < 2 || found.iter().any(|n| row.iter().any(|(i, _, _)| n.items.contains(i))) {
            continue;
        }
        let named = of_row(scene, &row);
        found.extend(named);
    }
}

/// A number of a row: its item, the word for its dimension, and mm.
type Sized = (usize, &'static str, f64);

/// The row that starts at an item.
fn row(scene: &Scene, start: usize) -> Vec<Sized> {
    let mut out: Vec<Sized> = Vec::new();
    for i in start..scene.items.len() {
        let item = &scene.items[i];
        if let Some(amount) = item.amount() {
            let sized = size_word(scene, i).and_then(|word| Some((i, word, length_mm(amount, true)?)));
            let follows = out
                .last()
                .is_none_or(|l| scene.distance(l.0, i) <= STEP && scene.same_sentence(l.0, i));
            match sized.filter(|s| follows && (0.3..=300.0).contains(&s.2) && out.iter().all(|o| o.1 != s.1)) {
                Some(sized) => out.push(sized),
                None => break,
            }
        } else if out.is_empty() || !joins(item) {
            break;
        }
    }
    out
}

/// What may stand between the numbers of a row.
fn joins(item: &Item) -> bool {
    match item.what {
        What::Word => {
            item.is_any(&[
                "dia", "inner", "thick", "high", "deep", "long", "wide", "hole", "inside",
            ]) || matches!(
                item.norm.as_str(),
                "x" | "by" | "and" | "with" | "a" | "of" | "in" | "l" | "b" | "is" | "the"
            )
        }
        What::Mark(c) => matches!(c, ',' | ';' | '=' | ':' | '*' | '×' | '-' | '/' | 'Ø' | 'ø' | '⌀'),
        _ => false,
    }
}

/// The dimension of a number in a row.
fn size_word(scene: &Scene, i: usize) -> Option<&'static str> {
    let letter = |at: Option<usize>| at.is_some_and(|n| scene.items[n].norm == "l");
    let hole = |at: Option<usize>| at.is_some_and(|n| scene.items[n].is("hole"));
    if hole(scene.next(i)) {
        return Some("inner");
    }
    let word = dimension(scene, i);
    if word.is_some() {
        return word;
    }
    if letter(scene.previous(i)) || letter(scene.next(i)) {
        Some("long")
    } else {
        hole(scene.previous(i)).then_some("inner")
    }
}

fn of_row(scene: &Scene, row: &[Sized]) -> Option<Named> {
    let (first, last) = (row.first()?.0, row.last()?.0);
    let near = |fits: &dyn Fn(&Item) -> bool| {
        let before = scene.nearest(first, NEAR, fits);
        let after = scene.nearest(last, NEAR, fits);
        [before, after].into_iter().flatten().min_by(|a, b| a.1.total_cmp(&b.1))
    };
    let named = near(&|x| x.is_magnet() && x.norm != "round" || x.grade().is_some())?;
    let owner = near(&|x| owns_sizes(x) && !x.is("hole")).filter(|o| o.0 < first || scene.same_clause(last, o.0));
    if owner.is_some_and(|o| o.1 < named.1) {
        return None;
    }
    let has = |word: &str| row.iter().any(|(_, w, _)| *w == word);
    let told = near(&|x| SHAPES.iter().any(|s| x.is(s)) && x.norm != "round" && x.norm != "bar")
        .and_then(|(n, _)| SHAPES.into_iter().find(|s| scene.items[n].is(s)));
    let shape = if has("inner") {
        Some("ring")
    } else if has("long") && has("wide") {
        Some("block")
    } else {
        told.or((has("dia") && row.len() == 2).then_some("disc"))
    };
    let mut dims = Dims::default();
    for (i, word, mm) in row {
        dims.add(Some(word), *mm, *i);
    }
    let size_mm = dims.sizes(shape)?;
    Some(Named {
        item: first,
        items: row.iter().map(|r| r.0).collect(),
        shape,
        size_mm,
        grade: None,
        count: None,
        bound: row.iter().any(|r| bounded(scene, r.0)),
        written: false,
    })
}
