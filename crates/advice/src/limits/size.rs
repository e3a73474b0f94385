//! Sizes of a build.

use quantity::Length;

use super::{Asked, Distance, Has, IN_KIND, Limit, Rule};
use crate::blank::{BlankKind, Spec};
use crate::rules::SIZE_SLACK;

/// The widest plain hole that still holds the head of a countersunk screw, m: that for M10, 11 mm (ISO 273, medium fit; from memory).
const WIDEST_SCREWED: f64 = 11e-3;

fn over(has: f64, most: Option<Length>) -> Option<Has> {
    (has > most?.si() + SIZE_SLACK).then_some(Has::Length(has))
}

fn under(has: f64, least: Option<Length>) -> Option<Has> {
    (has < least?.si() - SIZE_SLACK).then_some(Has::Length(has))
}

pub(super) static ROWS: [Limit; 6] = [
    Limit {
        blank: Spec::may(
            "/limits/widest",
            "greatest width",
            BlankKind::Length,
            "across the face: the diameter, or the longer side of a block",
            "25 mm",
        ),
        words: ["no wider than ", ""],
        asked: |t| t.limits.widest.map(Asked::Length),
        rules: &[Rule::Item(|t, piece| over(piece.width, t.limits.widest))],
        text: |_, _| "is {has} wide: {over} too wide",
        of_size: true,
        ..Limit::ROW
    },
    Limit {
        blank: Spec::may(
            "/limits/narrowest",
            "least width",
            BlankKind::Length,
            "smallest size across the face",
            "10 mm",
        ),
        words: ["no narrower than ", ""],
        asked: |t| t.limits.narrowest.map(Asked::Length),
        not_above: Some("/limits/widest"),
        rules: &[Rule::Item(|t, piece| under(piece.width, t.limits.narrowest))],
        text: |_, _| "is {has} wide: {over} too narrow",
        of_size: true,
        ..Limit::ROW
    },
    Limit {
        blank: Spec::may(
            "/limits/tallest",
            "greatest height",
            BlankKind::Length,
            "along the magnetisation, stack included",
            "10 mm",
        ),
        words: ["no taller than ", ""],
        asked: |t| t.limits.tallest.map(Asked::Length),
        rules: &[Rule::Build(|t, whole| over(whole.height, t.limits.tallest))],
        text: |_, _| "is {has} high: {over} too tall",
        of_size: true,
        ..Limit::ROW
    },
    Limit {
        blank: Spec::may(
            "/limits/shortest",
            "least height",
            BlankKind::Length,
            "along the magnetisation, stack included",
            "3 mm",
        ),
        words: ["no shorter than ", ""],
        asked: |t| t.limits.shortest.map(Asked::Length),
        not_above: Some("/limits/tallest"),
        rules: &[Rule::Build(|t, whole| under(whole.height, t.limits.shortest))],
        text: |_, _| "is {has} high: {over} too short",
        of_size: true,
        ..Limit::ROW
    },
    Limit {
        blank: Spec::may(
            "/limits/hole",
            "hole",
            BlankKind::Length,
            "a hole of at least this diameter",
            "4 mm",
        ),
        words: ["with a hole of at least ", ""],
        asked: |t| t.limits.hole.map(Asked::Length),
        rules: &[Rule::Item(|t, piece| match under(piece.hole, t.limits.hole)? {
            Has::Length(0.0) => Some(Has::Nothing),
            has => Some(has),
        })],
        text: |_, has| match has {
            Has::Nothing => "has no hole",
            _ => "its hole is only {has}",
        },
        ..Limit::ROW
    },
    Limit {
        blank: Spec::must(
            "/limits/countersunk",
            "countersunk",
            BlankKind::Switch,
            "the hole takes the head of a countersunk screw",
            "countersunk",
        ),
        offered: |_| false,
        asked: |t| Asked::on(t.limits.countersunk, "countersunk"),
        rules: &[Rule::Item(|t, piece| {
            let missed = t.limits.countersunk && !piece.item.is_countersunk();
            missed.then_some(match piece.hole {
                0.0 => Has::Nothing,
                hole => Has::Length(hole),
            })
        })],
        // A screw with a flat head is held by a plain hole that it just goes through; what has none, or one that its head goes through
        // too, is no help.
        distance: Distance::Of(|_, has| match has {
            Has::Length(hole) if *hole <= WIDEST_SCREWED => Some(IN_KIND),
            _ => None,
        }),
        text: |_, has| match has {
            Has::Nothing => "has no countersunk hole",
            _ => "its hole of {has} is not countersunk",
        },
        ..Limit::ROW
    },
];
