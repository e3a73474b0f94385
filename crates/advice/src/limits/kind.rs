//! What a magnet is made of, and how it is put together.

use materials::coating::{Coating, CoatingTable};

use super::{Asked, Distance, Has, IN_KIND, Limit, Rule};
use crate::blank::{BlankKind, Choice, Spec};
use crate::catalogue::Catalogue;
use crate::question::{Question, ShapeKind};
use crate::rules;
use crate::sane::{MOST_STACKED, QuestionError, wrong};

/// A miss by as many pieces again as are allowed, over this, is a miss of 1.
const STACKS: f64 = 8.0;

pub(super) static ROWS: [Limit; 6] = [
    Limit {
        blank: Spec::must(
            "/limits/shapes",
            "shapes",
            BlankKind::Choices,
            "which shapes will do; none chosen is all",
            "disc",
        ),
        options: |_| ShapeKind::ALL.map(|s| Choice::new(s.name(), s.name())).into(),
        asked: |t| any(t.limits.shapes.iter().map(|shape| shape.name())),
        rules: &[Rule::Item(|t, piece| {
            let shapes = &t.limits.shapes;
            Has::nothing_if(!shapes.is_empty() && !shapes.contains(&rules::kind_of(&piece.item.shape)))
        })],
        distance: Distance::Fixed(0.4),
        text: |_, _| "has another shape",
        ..Limit::ROW
    },
    Limit {
        blank: Spec::must(
            "/limits/grades",
            "grades",
            BlankKind::Words,
            "grades or families that will do; none named is all",
            "N42",
        ),
        words: ["grade ", ""],
        asked: |t| any(t.limits.grades.iter().map(String::as_str)),
        check: grades_are_known,
        rules: &[Rule::Item(|_, piece| {
            let admitted = piece.wanted.iter().any(|w| w.admits(piece.grade));
            Has::nothing_if(!piece.wanted.is_empty() && !admitted)
        })],
        distance: Distance::Fixed(IN_KIND),
        text: |_, _| "is {grade}, not the grade asked for",
        ..Limit::ROW
    },
    Limit {
        blank: Spec::may(
            "/limits/coating",
            "coating",
            BlankKind::Choice,
            "the coating that it must have",
            "epoxy",
        ),
        words: ["coated with ", ""],
        options: |_| {
            let choice = |c: &Coating| Choice::new(c.name.as_str(), c.name.as_str());
            CoatingTable::builtin().map_or_else(|_| Vec::new(), |table| table.rows().iter().map(choice).collect())
        },
        offered: |_| false,
        asked: |t| t.limits.coating.clone().map(Asked::Named),
        check: coating_is_known,
        rules: &[Rule::Item(|t, piece| {
            let wanted = t.limits.coating.as_deref()?;
            Has::nothing_if(!rules::is_coating(piece.coating, wanted))
        })],
        distance: Distance::Fixed(IN_KIND),
        text: |_, _| "has another coating: {coating}",
        ..Limit::ROW
    },
    Limit {
        blank: Spec::must(
            "/limits/without_nickel",
            "without nickel",
            BlankKind::Switch,
            "no nickel in its coating, for skin that does not bear it",
            "without nickel",
        ),
        asked: |t| Asked::on(t.limits.without_nickel, "without nickel"),
        rules: &[Rule::Item(|t, piece| {
            Has::nothing_if(t.limits.without_nickel && piece.coating.contains_nickel)
        })],
        distance: Distance::Fixed(IN_KIND),
        text: |_, _| "its coating, {coating}, holds nickel",
        ..Limit::ROW
    },
    Limit {
        blank: Spec::may(
            "/limits/stack",
            "pieces in a stack",
            BlankKind::Count,
            "the most pieces put on top of each other; 1 is not stacked",
            "3",
        ),
        words: ["stack of up to ", ""],
        asked: |t| {
            t.limits.stack.map(|most| match most {
                1 => Asked::One(1.into(), "not stacked".into()),
                most => Asked::Count(most),
            })
        },
        check: stack_can_be,
        rules: &[Rule::Build(|t, whole| {
            (whole.pieces > t.limits.stack?).then_some(Has::Stacked(whole.pieces))
        })],
        distance: Distance::Of(|t, has| Some(has.number()? / f64::from(t.limits.stack?) / STACKS)),
        text: |_, _| "only with {has} stacked",
        ..Limit::ROW
    },
    Limit {
        blank: Spec::may(
            "/limits/mass",
            "greatest mass",
            BlankKind::Mass,
            "of the magnet itself",
            "50 g",
        ),
        words: ["no heavier than ", ""],
        asked: |t| t.limits.mass.map(Asked::Mass),
        rules: &[Rule::Build(|t, whole| {
            (whole.mass > t.limits.mass?.si()).then_some(Has::Mass(whole.mass))
        })],
        text: |_, _| "weighs {has}",
        of_size: true,
        ..Limit::ROW
    },
];

fn any<'a>(names: impl Iterator<Item = &'a str>) -> Option<Asked> {
    let names: Vec<String> = names.map(str::to_owned).collect();
    (!names.is_empty()).then_some(Asked::Any(names))
}

fn grades_are_known(question: &Question, catalogue: &Catalogue) -> Result<(), QuestionError> {
    let unknown = |name: &String| catalogue.wanted(name).is_none();
    let Some(k) = question.limits.grades.iter().position(unknown) else {
        return Ok(());
    };
    let name = &question.limits.grades[k];
    let near = catalogue.like(name);
    let hint = if near.is_empty() {
        "name a grade such as N42 or a family such as ferrite".to_string()
    } else {
        format!("did you mean {}?", near.join(", "))
    };
    Err(wrong(
        format!("/limits/grades/{k}"),
        format!("no grade or family is known by the name {name:?}"),
        hint,
    ))
}

fn coating_is_known(question: &Question, catalogue: &Catalogue) -> Result<(), QuestionError> {
    match &question.limits.coating {
        Some(name) if catalogue.coatings.get(name).is_none() => {
            let names: Vec<&str> = catalogue.coatings.rows().iter().map(|c| c.name.as_str()).collect();
            Err(wrong(
                "/limits/coating",
                format!("no coating is known by the name {name:?}"),
                format!("known are {}", names.join(", ")),
            ))
        }
        _ => Ok(()),
    }
}

fn stack_can_be(question: &Question, _: &Catalogue) -> Result<(), QuestionError> {
    match question.limits.stack {
        Some(n) if !(1..=MOST_STACKED).contains(&n) => Err(wrong(
            "/limits/stack",
            format!("a stack has 1 to {MOST_STACKED} pieces, got {n}"),
            "1 means not stacked",
        )),
        _ => Ok(()),
    }
}
