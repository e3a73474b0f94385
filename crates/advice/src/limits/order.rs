//! What it may cost, when and how it must be there, and what it is chosen by.

use quantity::Money;

use super::{Asked, Distance, Has, Limit, Rule, Terms};
use crate::blank::{BlankKind, Choice, Spec};
use crate::catalogue::Catalogue;
use crate::question::{Goal, Question, ShapeKind, Steelwork};
use crate::rules::FLIGHT_LIMIT;
use crate::sane::{QuestionError, wrong};

/// The distance of a miss for want of a price.
const NO_PRICE: f64 = 0.3;
/// That of a miss for want of the last piece in stock, and what is added where none are there.
const NOT_IN_STOCK: [f64; 2] = [0.1, 0.3];

fn dearer(has: Option<Money>, budget: Option<Money>) -> Option<Has> {
    has.filter(|has| budget.is_some_and(|budget| *has > budget))
        .map(Has::Money)
}

pub(super) static ROWS: [Limit; 6] = [
    Limit {
        blank: Spec::may(
            "/limits/budget_each",
            "budget for each",
            BlankKind::Money,
            "the most that one may cost, in the shop's currency",
            "1",
        ),
        words: ["budget ", " each"],
        asked: |t| t.limits.budget_each.map(Asked::Money),
        rules: &[
            Rule::Item(|t, piece| Has::nothing_if(t.limits.budget_each.is_some() && !piece.priced)),
            Rule::Build(|t, whole| dearer(whole.each, t.limits.budget_each)),
        ],
        distance: Distance::Ratio(NO_PRICE),
        text: |_, has| match has {
            Has::Nothing => "has no price on the shelf",
            _ => "costs {has} each",
        },
        ..Limit::ROW
    },
    Limit {
        blank: Spec::may(
            "/limits/budget_total",
            "budget in total",
            BlankKind::Money,
            "the most that all may cost, in the shop's currency",
            "200",
        ),
        words: ["budget ", " in total"],
        asked: |t| t.limits.budget_total.map(Asked::Money),
        rules: &[
            // Where there is a budget for each, that one says it.
            Rule::Item(|Terms { limits, .. }, piece| {
                Has::nothing_if(limits.budget_total.is_some() && limits.budget_each.is_none() && !piece.priced)
            }),
            Rule::Build(|t, whole| dearer(whole.total, t.limits.budget_total)),
        ],
        distance: Distance::Ratio(NO_PRICE),
        text: |_, has| match has {
            Has::Nothing => "has no price on the shelf",
            _ => "costs {has} in all",
        },
        ..Limit::ROW
    },
    Limit {
        blank: Spec::must(
            "/limits/in_stock",
            "in stock",
            BlankKind::Switch,
            "only what the shelf can deliver now",
            "in stock",
        ),
        asked: |t| Asked::on(t.limits.in_stock, "in stock"),
        rules: &[Rule::Build(|t, whole| {
            let short = |&(has, needs): &(Option<u64>, u64)| Some((has?, needs)).filter(|(has, needs)| has < needs);
            let (has, needs) = whole.stock.iter().find_map(short).filter(|_| t.limits.in_stock)?;
            Some(Has::Stock { has, needs })
        })],
        distance: Distance::Of(|_, has| match *has {
            Has::Stock { has, needs } => {
                let [least, more] = NOT_IN_STOCK;
                Some(least + more * (1.0 - has as f64 / needs.max(1) as f64))
            }
            _ => None,
        }),
        text: |_, has| match has {
            Has::Stock { has: 0, .. } => "is out of stock",
            _ => "only {has} of {needs} are in stock",
        },
        ..Limit::ROW
    },
    Limit {
        blank: Spec::must(
            "/limits/ships_by_air",
            "by air",
            BlankKind::Switch,
            "the magnet must fly unrestricted",
            "by air",
        ),
        asked: |t| Asked::on(t.limits.ships_by_air, "by air"),
        rules: &[Rule::FarField(|t, field| {
            if !t.limits.ships_by_air {
                return Ok(None);
            }
            let has = field()?;
            Ok((has > FLIGHT_LIMIT).then_some(Has::FarField(has)))
        })],
        distance: Distance::Of(|_, has| Some((has.number()? / FLIGHT_LIMIT).ln())),
        text: |_, _| "one alone gives {has} at 2.1 m, too much to fly unrestricted",
        ..Limit::ROW
    },
    // It rules nothing out: a part is added to what is there.
    Limit {
        blank: Spec::may(
            "/limits/steelwork",
            "steel parts",
            BlankKind::Choice,
            "steel from the shelf on the magnet; unset, it is offered where it wins",
            "in a cup",
        ),
        options: |question| {
            let all = std::iter::once(&Steelwork::Bare).chain(question.need.steelwork());
            all.map(|s| Choice::new(s.name(), s.text())).collect()
        },
        offered: |question| !question.need.steelwork().is_empty(),
        asked: |t| t.limits.steelwork.map(|s| Asked::One(s.name().into(), s.text().into())),
        check: steelwork_serves,
        ..Limit::ROW
    },
    // It rules nothing out: it orders what will do.
    Limit {
        blank: Spec::may(
            "/limits/goal",
            "what matters most",
            BlankKind::Choice,
            "which of those that do comes first",
            "cheapest",
        ),
        words: ["first the ", ""],
        options: |_| Goal::ALL.map(|goal| Choice::new(goal.name(), goal.name())).into(),
        offered: |_| false,
        asked: |t| t.limits.goal.map(|goal| Asked::Named(goal.name().into())),
        ..Limit::ROW
    },
];

/// Whether the steel that is wanted serves the need, and a magnet that it goes with is allowed.
fn steelwork_serves(question: &Question, _: &Catalogue) -> Result<(), QuestionError> {
    let field = "/limits/steelwork";
    let Some(wanted) = question.limits.steelwork.filter(|w| *w != Steelwork::Bare) else {
        return Ok(());
    };
    let serves = question.need.steelwork();
    if !serves.contains(&wanted) {
        let choice: Vec<&str> = serves.iter().map(|s| s.text()).collect();
        let message = format!("a build {} is not reckoned for this need", wanted.text());
        let hint = if choice.is_empty() {
            "steel parts are reckoned for holding on steel and for fields; leave it out here".to_string()
        } else {
            format!("for this need: {}", choice.join(", or "))
        };
        return Err(wrong(field, message, hint));
    }
    let round = |kind: &ShapeKind| match wanted {
        Steelwork::PoleTip => *kind == ShapeKind::Disc,
        _ => matches!(kind, ShapeKind::Disc | ShapeKind::Ring),
    };
    let shapes = &question.limits.shapes;
    if !shapes.is_empty() && !shapes.iter().any(round) {
        let with = if wanted == Steelwork::PoleTip {
            "discs"
        } else {
            "discs and rings"
        };
        return Err(wrong(
            field,
            format!(
                "a build {} is reckoned for {with} only: its field is solved about one axis",
                wanted.text()
            ),
            format!("allow {with}, or leave the steel out"),
        ));
    }
    Ok(())
}
