//! What the magnet must stand.

use materials::coating::Surroundings;

use super::{Asked, Distance, FARTHEST, Has, Limit, Rule};
use crate::blank::{BlankKind, Choice, Spec};
use crate::rules;

/// Degrees of heat or cold that count as a miss of 1.
const DEGREES: f64 = 60.0;

/// Places by their names in JSON, and as the sentence has them.
const PLACES: [(Surroundings, &str, &str); 4] = [
    (Surroundings::Dry, "dry", "indoors and dry"),
    (Surroundings::Damp, "damp", "damp"),
    (Surroundings::Outdoors, "outdoors", "outdoors"),
    (Surroundings::Food, "food", "in contact with food"),
];

pub(super) static ROWS: [Limit; 3] = [
    Limit {
        blank: Spec::may(
            "/conditions/warmest",
            "highest temperature",
            BlankKind::Temperature,
            "the warmest the magnet gets",
            "60 °C",
        ),
        words: ["up to ", ""],
        asked: |t| t.conditions.warmest.map(Asked::Temperature),
        rules: &[Rule::Item(|t, piece| {
            let stands = piece.grade.max_service_celsius.min(piece.coating.max_celsius);
            let warmest = t.conditions.warmest?.celsius();
            (warmest > stands).then_some(Has::Celsius(stands))
        })],
        // Whoever asks for heat is told why the common grades are out.
        distance: Distance::Of(|t, has| {
            let off = t.conditions.warmest?.celsius() - has.number()?;
            Some((off / DEGREES).min(FARTHEST))
        }),
        text: |_, _| "may be used only up to {has}",
        ..Limit::ROW
    },
    Limit {
        blank: Spec::may(
            "/conditions/coldest",
            "lowest temperature",
            BlankKind::Temperature,
            "the coldest the magnet gets",
            "-20 °C",
        ),
        words: ["down to ", ""],
        asked: |t| t.conditions.coldest.map(Asked::Temperature),
        not_above: Some("/conditions/warmest"),
        rules: &[Rule::Item(|t, piece| {
            let stands = piece.grade.min_service_celsius;
            let coldest = t.conditions.coldest?.celsius();
            (coldest < stands).then_some(Has::Celsius(stands))
        })],
        distance: Distance::Of(|t, has| Some((has.number()? - t.conditions.coldest?.celsius()) / DEGREES)),
        text: |_, _| "loses strength below {has}",
        ..Limit::ROW
    },
    Limit {
        blank: Spec::may(
            "/conditions/surroundings",
            "surroundings",
            BlankKind::Choice,
            "where the magnet lives",
            "outdoors",
        ),
        options: |_| PLACES.iter().map(|p| Choice::new(p.1, p.2)).collect(),
        asked: |t| {
            let place = PLACES.iter().find(|p| Some(p.0) == t.conditions.surroundings)?;
            Some(Asked::One(place.1.into(), place.2.into()))
        },
        rules: &[Rule::Item(|t, piece| {
            let surroundings = t.conditions.surroundings?;
            Has::nothing_if(!rules::suits(piece.grade, piece.coating, surroundings))
        })],
        distance: Distance::Fixed(0.25),
        text: |_, _| "{coating} does not last {place}",
        ..Limit::ROW
    },
];
