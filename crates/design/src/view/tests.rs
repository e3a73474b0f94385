use materials::grade::GradeTable;
use numerics::stop::Stop;

use super::*;
use crate::ask::read;
use crate::known::{Known, USUAL_STEEL};
use crate::sizes::series;
use crate::stock::{Bought, MOST_ALIKE, Offer};
use crate::stuff::Stuff;
use crate::told::tell;
use magnetics::Shape;

fn told(text: &str, aims: &[Aim], families: &[Family]) -> Told {
    let mut read = read(text, GradeTable::builtin().unwrap(), aims).unwrap();
    read.wish.families = families.to_vec();
    let known = Known::of_steel(USUAL_STEEL).unwrap();
    tell(
        &read,
        &known,
        &Shelf::default(),
        &series()[0],
        Effort::First,
        &Stop::new(),
        &|_| {},
    )
    .unwrap()
}

#[test]
fn a_wish_that_is_kept_is_told_with_its_limit_and_standard_sizes() {
    let told = told(
        "100 mT at 5 mm in a space of 30 x 20 mm",
        &[Aim::Mass, Aim::Height],
        &[Family::Disc, Family::Taper],
    );
    let view = view(&told, &Shelf::default(), &Units::metric(), Currency::EUR);
    assert!(
        view.read
            .starts_with("Reach 100\u{a0}mT 5\u{a0}mm in front of the face"),
        "{}",
        view.read
    );
    assert!(view.lead.starts_with("With the least mass: "), "{}", view.lead);
    assert!(view.limit.contains("cannot pass"), "{}", view.limit);
    assert_eq!(view.aims, ["mass", "height"]);
    assert_eq!(view.assumed, ["grade N42", "a lot of 100"]);
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
    let view = view(&told, &Shelf::default(), &Units::metric(), Currency::EUR);
    assert!(view.lead.starts_with("None that was found does it."), "{}", view.lead);
    assert!(
        view.limit.ends_with("That is less than is wished for."),
        "{}",
        view.limit
    );
    assert!(!view.drafts[0].keeps && view.drafts[0].standard.is_none());
}

/// Offered at 0.50 a piece.
fn offer(code: &str, lot: u64, on_hand: Option<u64>) -> Offer {
    let bought = (1..=MOST_ALIKE as u64).map(|count| Bought {
        pieces: lot * count,
        each: Some(Money::from_parts(5000)),
    });
    Offer {
        code: code.into(),
        on_hand,
        bought: bought.collect(),
    }
}

fn of_blocks(side: f64, on_hand: Option<u64>) -> Shelf {
    // Blocks that oppose each other lose for good in a plain grade.
    let n42sh = GradeTable::builtin().unwrap().get("N42SH").unwrap();
    let mut shelf = Shelf::default();
    let cube = Shape::Block {
        length: side,
        width: side,
        thickness: side,
    };
    shelf.add(
        cube,
        0.0,
        Stuff::of_grade(n42sh, 20.0).unwrap(),
        offer("12-34", 20, on_hand),
    );
    shelf
}

fn from_the_shelf(text: &str, shelf: &Shelf, family: Family) -> StockView {
    let mut read = read(text, GradeTable::builtin().unwrap(), &[Aim::Cost, Aim::Mass]).unwrap();
    read.wish.families = vec![family];
    let known = Known::of_steel(USUAL_STEEL).unwrap();
    let told = tell(&read, &known, shelf, &series()[0], Effort::First, &Stop::new(), &|_| {}).unwrap();
    view(&told, shelf, &Units::metric(), Currency::EUR).stock
}

#[test]
fn a_build_from_the_shelf_says_what_it_takes_and_how_it_is_put_together() {
    let wish = "50 mT at 5 mm in a space of 60 x 40 x 40 mm, 20 pieces";
    let stock = from_the_shelf(wish, &of_blocks(15e-3, Some(10)), Family::Opposed);
    let build = &stock.builds[0];
    assert!(build.keeps && !build.enough);
    assert_eq!(build.on_hand, "On hand for 5 builds of 20");
    assert!(stock.lead.contains("On hand for 5 builds of 20."), "{}", stock.lead);
    assert_eq!(
        (build.price.as_str(), build.lot_price.as_str()),
        ("€\u{a0}1.00 a build", "€\u{a0}20.00")
    );
    let piece = &build.pieces[0];
    assert_eq!(
        (piece.code.as_str(), piece.count, piece.bought, piece.steel),
        ("12-34", 2, 40, false)
    );
    assert_eq!(build.least[0], build.price);
    assert_eq!(build.steps.len(), 2);
    assert_eq!(build.steps[0], "Clamp 12-34 in the jig, north pole to the right.");
    assert!(
        build.steps[1].contains("north pole to the left") && build.steps[1].contains("pushed back with up to"),
        "{}",
        build.steps[1]
    );
    // Two such cubes push with more than 50 N; small ones do not, and nobody is pinched.
    assert!(build.care.iter().any(|care| care.contains("pinch")), "{:?}", build.care);
    let small = from_the_shelf(
        "1 mT at 5 mm in a space of 60 x 40 x 40 mm, 20 pieces",
        &of_blocks(4e-3, None),
        Family::Opposed,
    );
    assert!(
        !small.builds[0].care.iter().any(|care| care.contains("pinch")),
        "{:?}",
        small.builds[0].steps
    );
    assert_eq!(small.builds[0].on_hand, "The shelf does not say how many are on hand");
}

#[test]
fn a_gap_that_closes_is_warned_of_and_a_shelf_without_pieces_says_so() {
    let wish = "50 mT in a gap of 8 mm in a space of 60 x 40 x 60 mm, 20 pieces";
    let stock = from_the_shelf(wish, &of_blocks(15e-3, None), Family::FacingBlocks);
    let steps = &stock.builds[0].steps;
    assert_eq!(steps.len(), 3);
    assert!(
        steps[2].starts_with("If the gap closes, the two meet with"),
        "{steps:?}"
    );
    assert_eq!(stock.builds[0].sizes[0].size, "8\u{a0}mm");
    let bare = from_the_shelf(wish, &Shelf::default(), Family::FacingBlocks);
    assert!(
        bare.builds.is_empty() && bare.lead.contains("no magnets of that grade"),
        "{}",
        bare.lead
    );
    let weak = from_the_shelf(
        "2 T in a gap of 8 mm in a space of 60 x 40 x 60 mm, 20 pieces",
        &of_blocks(15e-3, None),
        Family::FacingBlocks,
    );
    assert!(
        weak.lead
            .starts_with("Nothing out of pieces on the shelf does it. The nearest"),
        "{}",
        weak.lead
    );
    assert!(!weak.builds[0].keeps);
}

#[test]
fn the_limit_with_steel_goes_as_its_saturation() {
    let told = told(
        "0.4 T at the face over 3 mm in a space of 20 x 20 mm of N42",
        &[],
        &[Family::Disc, Family::PoleTip],
    );
    let known = Known::of_steel(USUAL_STEEL).unwrap();
    let ratio = told.steel_limit.unwrap() / told.limit.unwrap();
    let expected = known.saturation / told.read.wish.stuff.remanence;
    assert!((ratio / expected - 1.0).abs() < 1e-9, "{ratio} {expected}");
    let view = view(&told, &Shelf::default(), &Units::metric(), Currency::EUR);
    let shown = amount(&told.read.wish.goal, told.steel_limit.unwrap(), &Units::metric());
    assert!(
        view.limit.contains(&format!("with saturated steel in it {shown}")),
        "{}",
        view.limit
    );
}

#[test]
fn costs_that_were_invented_are_in_no_currency_and_rounding_says_what_it_costs() {
    let mut told = told(
        "100 mT at 5 mm in a space of 30 x 20 mm",
        &[],
        &[Family::Disc, Family::Ring],
    );
    let shown = |told: &Told| view(told, &Shelf::default(), &Units::metric(), Currency::EUR);
    let first = shown(&told);
    assert!(
        !first.drafts[0].cost.contains('€') && first.notes[0].contains("invented"),
        "{}",
        first.notes[0]
    );
    assert_eq!(first.drafts.len(), told.drafts.len());
    assert!(told.drafts.len() >= 2, "a disc and a ring");
    let [exact, round] = [&told.drafts[0].found, told.drafts[0].standard.as_ref().unwrap()].map(|one| one.mass);
    let costs = &first.drafts[0].standard.as_ref().unwrap().costs;
    let more = 100.0 * (round / exact - 1.0);
    let said = if more >= 0.0 {
        format!("{more:.1}\u{a0}% more mass")
    } else {
        format!("{:.1}\u{a0}% less mass", -more)
    };
    assert!(costs.contains(&said), "{costs}: {said}");
    assert!(first.refine.is_some());
    told.fitted_to = 8;
    told.effort = Effort::Refined;
    let fitted = shown(&told);
    assert!(fitted.drafts[0].cost.contains('€') && fitted.refine.is_none());
}

#[test]
fn what_no_longer_does_it_and_what_passes_its_knee_are_said() {
    assert!(words::rounding("R10", 1.0, false).contains("no longer does what is wished for"));
    assert!(!words::rounding("R10", 1.0, true).contains("no longer"));
    assert!(words::strain(1.2).starts_with("past the knee") && words::strain(1.2).contains("120"));
    assert!(!words::strain(0.99).contains("past the knee"));
}
