use materials::grade::GradeTable;
use numerics::stop::Stop;

use super::*;
use crate::ask::read;
use crate::known::{Known, USUAL_STEEL};
use crate::sizes::series;
use crate::told::tell;

fn told(text: &str, aims: &[Aim], families: &[Family]) -> Told {
    let mut read = read(text, GradeTable::builtin().unwrap(), aims).unwrap();
    read.wish.families = families.to_vec();
    let known = Known::of_steel(USUAL_STEEL).unwrap();
    tell(&read, &known, &series()[0], Effort::First, &Stop::new(), &|_| {}).unwrap()
}

#[test]
fn a_wish_that_is_kept_is_told_with_its_limit_and_standard_sizes() {
    let told = told(
        "100 mT at 5 mm in a space of 30 x 20 mm",
        &[Aim::Mass, Aim::Height],
        &[Family::Disc, Family::Taper],
    );
    let view = view(&told, &Units::metric(), None);
    assert!(
        view.read
            .starts_with("Reach 100\u{a0}mT 5\u{a0}mm in front of the face"),
        "{}",
        view.read
    );
    assert!(view.lead.starts_with("With the least mass: "), "{}", view.lead);
    assert!(view.limit.contains("cannot pass"), "{}", view.limit);
    assert_eq!(view.aims, ["mass", "height"]);
    assert_eq!(view.assumed, ["grade N42"]);
    let best = &view.drafts[0];
    assert!(best.keeps && best.least.len() == 2 && !best.outlines.is_empty());
    let standard = best.standard.as_ref().expect("the first are rounded");
    assert!(standard.costs.contains('%'), "{}", standard.costs);
    assert!(view.notes.iter().any(|note| note.contains("no price")));
}

#[test]
fn a_wish_beyond_the_limit_is_told_so() {
    let told = told(
        "400 N across 6 mm in a space of 20 x 10 mm of N42",
        &[],
        &[Family::Disc],
    );
    let view = view(&told, &Units::metric(), None);
    assert!(view.lead.starts_with("None that was found does it."), "{}", view.lead);
    assert!(
        view.limit.ends_with("That is less than is wished for."),
        "{}",
        view.limit
    );
    assert!(!view.drafts[0].keeps && view.drafts[0].standard.is_none());
}
