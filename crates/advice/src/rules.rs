//! The constraints of a question, each checked on its own so that a near miss can name the one that ruled it out.

use magnetics::Shape;
use materials::coating::{Coating, Rating, Surroundings};
use materials::grade::{Family, GradeRow};

use crate::answer::{NeedFigure, RuledOut};
use crate::catalogue::Wanted;
use crate::item::Item;
use crate::question::{Question, ShapeKind};

/// Flux density at 2.1 m from which a package may count as magnetised under the older air transport rule, T.
pub const FLIGHT_LIMIT: f64 = 0.2e-6;

/// Slack in comparing sizes, m: below any tolerance, above rounding of inches.
pub(crate) const SIZE_SLACK: f64 = 1e-6;

/// The distance of a miss beyond which it is of no interest: by a factor of 1.57.
pub(crate) const FARTHEST: f64 = 0.45;

/// The kind of a shape.
pub fn kind_of(shape: &Shape) -> ShapeKind {
    match shape {
        Shape::Disc { .. } => ShapeKind::Disc,
        Shape::Ring { .. } => ShapeKind::Ring,
        Shape::Block { .. } => ShapeKind::Block,
        Shape::Sphere { .. } => ShapeKind::Sphere,
    }
}

/// What rules an item out whatever is built of it: at most two are looked for, since a near miss has one.
pub(crate) fn item_rules(
    question: &Question,
    item: &Item,
    grade: &GradeRow,
    coating: &Coating,
    wanted: &[Wanted],
) -> Vec<RuledOut> {
    let limits = &question.limits;
    let conditions = &question.conditions;
    let mut out = Vec::new();
    let width = item.shape.widest();
    if limits.widest.is_some_and(|w| width > w.si() + SIZE_SLACK) {
        out.push(RuledOut::TooWide { has: width });
    }
    if limits.narrowest.is_some_and(|w| width < w.si() - SIZE_SLACK) {
        out.push(RuledOut::TooNarrow { has: width });
    }
    if let Some(plate) = question.need.plate_across()
        && width > plate + SIZE_SLACK
    {
        out.push(RuledOut::Overhangs { has: width });
    }
    if !limits.shapes.is_empty() && !limits.shapes.contains(&kind_of(&item.shape)) {
        out.push(RuledOut::WrongShape);
    }
    if let Some(hole) = limits.hole {
        let has = match item.shape {
            Shape::Ring { inner_diameter, .. } => inner_diameter,
            _ => 0.0,
        };
        if has < hole.si() - SIZE_SLACK {
            out.push(RuledOut::HoleTooSmall { has });
        }
    }
    if !wanted.is_empty() && !wanted.iter().any(|w| w.admits(grade)) {
        out.push(RuledOut::WrongGrade);
    }
    if limits.coating.as_ref().is_some_and(|name| !is_coating(coating, name)) {
        out.push(RuledOut::WrongCoating);
    }
    if limits.countersunk && !item.is_countersunk() {
        out.push(RuledOut::NotCountersunk);
    }
    let stands = grade.max_service_celsius.min(coating.max_celsius);
    if conditions.warmest.is_some_and(|t| t.celsius() > stands) {
        out.push(RuledOut::TooHot { stands });
    }
    if conditions
        .coldest
        .is_some_and(|t| t.celsius() < grade.min_service_celsius)
    {
        out.push(RuledOut::TooCold {
            stands: grade.min_service_celsius,
        });
    }
    if let Some(surroundings) = conditions.surroundings
        && !suits(grade, coating, surroundings)
    {
        out.push(RuledOut::Coating { surroundings });
    }
    if (limits.budget_each.is_some() || limits.budget_total.is_some()) && item.prices.is_empty() {
        out.push(RuledOut::NoPrice);
    }
    out
}

/// Whether a coating is what a customer calls by that name; `nickel` alone is any that has some.
pub(crate) fn is_coating(coating: &Coating, wanted: &str) -> bool {
    coating.answers_to(wanted) || (wanted.trim().eq_ignore_ascii_case("nickel") && coating.contains_nickel)
}

/// Whether a coating on that material is fit for a place. Ferrite, SmCo and AlNiCo need no coating against water.
pub(crate) fn suits(grade: &GradeRow, coating: &Coating, surroundings: Surroundings) -> bool {
    let bare = coating.thickness.max == 0.0;
    let lasting = matches!(grade.family, Family::Ferrite | Family::SmCo | Family::AlNiCo);
    coating.suitability(surroundings).rating != Rating::Poor || (bare && lasting && surroundings != Surroundings::Food)
}

/// How far a constraint was missed, for putting the closest near misses first: 0 is hardly at all, `None` is too far
/// to be of interest. Kind rules count as a fixed distance.
pub(crate) fn distance(question: &Question, need: &NeedFigure, missed: &RuledOut) -> Option<f64> {
    let limits = &question.limits;
    let over = |has: f64, allowed: Option<f64>| allowed.map(|a| (has / a).ln().abs());
    let money = |has: quantity::Money, allowed: Option<quantity::Money>| {
        allowed.map(|a| (has.to_f64() / a.to_f64()).ln().abs())
    };
    let miss = match missed {
        RuledOut::TooWeak { reaches } => Some(-reaches.max(1e-9).ln()),
        RuledOut::TooWide { has } => over(*has, limits.widest.map(|l| l.si())),
        RuledOut::TooNarrow { has } => over(*has, limits.narrowest.map(|l| l.si())),
        RuledOut::Overhangs { has } => over(*has, question.need.plate_across()),
        RuledOut::TooTall { has } => over(*has, limits.tallest.map(|l| l.si())),
        RuledOut::TooShort { has } => over(*has, limits.shortest.map(|l| l.si())),
        RuledOut::TooHeavy { has } => over(*has, limits.mass.map(|m| m.si())),
        RuledOut::OverBudgetEach { has } => money(*has, limits.budget_each),
        RuledOut::OverBudgetTotal { has } => money(*has, limits.budget_total),
        RuledOut::TooHot { stands } => question
            .conditions
            .warmest
            // Whoever asks for heat is told why the common grades are out.
            .map(|t| ((t.celsius() - stands) / 60.0).min(FARTHEST)),
        RuledOut::TooCold { stands } => question.conditions.coldest.map(|t| (stands - t.celsius()) / 60.0),
        RuledOut::PastKnee { loss, .. } => Some(*loss),
        RuledOut::StackTooHigh { pieces } => limits.stack.map(|s| f64::from(*pieces) / f64::from(s) / 8.0),
        RuledOut::TooMuchFar { has } => over(*has, need.ceiling),
        RuledOut::Flight { has } => over(*has, Some(FLIGHT_LIMIT)),
        RuledOut::NotInStock { has, needs } => Some(0.1 + 0.3 * (1.0 - *has as f64 / (*needs).max(1) as f64)),
        RuledOut::HoleTooSmall { has } if *has > 0.0 => over(*has, limits.hole.map(|l| l.si())),
        RuledOut::Coating { .. } => Some(0.25),
        RuledOut::WrongGrade | RuledOut::WrongCoating | RuledOut::NotCountersunk | RuledOut::HoleTooSmall { .. } => {
            Some(0.35)
        }
        RuledOut::WrongShape => Some(0.4),
        RuledOut::NoPrice => Some(0.3),
        RuledOut::NotComputable => None,
    };
    miss.filter(|d| *d <= FARTHEST)
}
