use std::f64::consts::PI;

use materials::MU_0;
use materials::grade::GradeTable;

use super::*;
use crate::draft::{self, Draft, UP};
use crate::family::Family;
use crate::known::{Known, USUAL_STEEL};
use crate::measure::{measure, rigid};
use crate::search::Effort;
use crate::wish::{Area, Goal, Space, Wish};
use magnetics::Solid;
use numerics::stop::Stop;

fn known() -> Known {
    Known::of_steel(USUAL_STEEL).unwrap()
}

/// A material that loses nothing, so that closed forms are exact.
fn stiff() -> Stuff {
    Stuff::given("stiff", 1.2, 3e6, 1.0, 7500.0).unwrap()
}

fn n42(celsius: f64) -> Stuff {
    Stuff::of_grade(GradeTable::builtin().unwrap().get("N42").unwrap(), celsius).unwrap()
}

fn wish(goal: Goal, across: Area, height: f64, families: &[Family]) -> Wish {
    Wish {
        goal,
        space: Space {
            across,
            height,
            filled: false,
        },
        stuff: stiff(),
        aims: vec![Aim::Mass],
        families: families.to_vec(),
        lot: 10,
    }
}

fn reach(field: f64, distance: f64) -> Goal {
    Goal::Reach {
        field,
        distance,
        spot: 0.0,
    }
}

/// Offered at a price of so many ten-thousandths of a piece.
fn offer(code: &str, each: i64, on_hand: Option<u64>) -> Offer {
    let bought = (1..=MOST_ALIKE as u64).map(|count| Bought {
        pieces: 10 * count,
        each: Some(Money::from_parts(each)),
    });
    Offer {
        code: code.into(),
        on_hand,
        bought: bought.collect(),
    }
}

fn disc(diameter: f64, thickness: f64) -> Shape {
    Shape::Disc {
        diameter: diameter * 1e-3,
        thickness: thickness * 1e-3,
    }
}

fn block(length: f64, width: f64, thickness: f64) -> Shape {
    Shape::Block {
        length: length * 1e-3,
        width: width * 1e-3,
        thickness: thickness * 1e-3,
    }
}

/// Sizes in mm and prices of discs that no rule joins.
const DISCS: [(f64, f64, i64); 7] = [
    (5.0, 3.0, 900),
    (8.0, 2.0, 1100),
    (10.0, 5.0, 3100),
    (12.0, 4.0, 3700),
    (15.0, 3.0, 3900),
    (20.0, 4.0, 8200),
    (20.0, 10.0, 21_000),
];

fn of_discs(stuff: &Stuff, plating: f64) -> Shelf {
    let mut shelf = Shelf::default();
    for (diameter, thickness, price) in DISCS {
        let code = format!("d{diameter}x{thickness}");
        shelf.add(
            disc(diameter, thickness),
            plating,
            stuff.clone(),
            offer(&code, price, Some(1000)),
        );
    }
    shelf
}

fn looked(wish: &Wish, shelf: &Shelf) -> Stock {
    look(wish, shelf, &known(), Effort::First, &Stop::new())
}

/// Of all discs and stacks of up to three, none wider than the one below, the cheapest and the lightest that reach a field: by the field of discs on their axis, added up, over every
/// choice there is.
#[test]
fn the_cheapest_and_the_lightest_of_all_stacks_are_found() {
    for field in [0.05, 0.12, 0.2] {
        let wish = wish(
            reach(field, 4e-3),
            Area::Round(25e-3),
            20e-3,
            &[Family::Disc, Family::Stepped],
        );
        let (mut cheapest, mut lightest) = (i64::MAX, f64::INFINITY);
        let mut stacks: Vec<Vec<usize>> = (0..DISCS.len()).map(|k| vec![k]).collect();
        for _ in 0..3 {
            for stack in &stacks {
                let (mut depth, mut sum) = (4e-3, 0.0);
                for &k in stack.iter().rev() {
                    let (radius, far) = (0.5e-3 * DISCS[k].0, depth + 1e-3 * DISCS[k].1);
                    sum += 0.6 * (far / far.hypot(radius) - depth / depth.hypot(radius));
                    depth = far;
                }
                if sum >= field && depth - 4e-3 <= 20e-3 {
                    let volume = |k: &usize| PI / 4.0 * DISCS[*k].0.powi(2) * DISCS[*k].1 * 1e-9;
                    cheapest = cheapest.min(stack.iter().map(|&k| 10 * DISCS[k].2).sum());
                    lightest = f64::min(lightest, 7500.0 * stack.iter().map(volume).sum::<f64>());
                }
            }
            let higher = |below: &Vec<usize>| -> Vec<Vec<usize>> {
                let on = |k: &usize| DISCS[*k].0 <= DISCS[*below.last().unwrap()].0;
                (0..DISCS.len())
                    .filter(on)
                    .map(|k| [below.clone(), vec![k]].concat())
                    .collect()
            };
            stacks = stacks.iter().flat_map(higher).collect();
        }
        let stock = looked(&wish, &of_discs(&stiff(), 0.0));
        let first = stock.builds.first().unwrap_or_else(|| panic!("{field} T is reached"));
        assert_eq!(first.price.unwrap().parts(), cheapest, "{field} T: {:?}", first.lines);
        let least = stock
            .builds
            .iter()
            .map(|build| build.found.mass)
            .fold(f64::INFINITY, f64::min);
        assert!(
            (least / lightest - 1.0).abs() < 1e-9,
            "{field} T: {least} kg for {lightest} kg"
        );
        assert!(
            stock
                .builds
                .iter()
                .all(|build| build.found.keeps && build.found.value() >= field * 0.999)
        );
    }
}

/// The magnet inside a plating of 50 µm on every side is smaller by twice that and further away by once.
#[test]
fn plating_takes_from_every_size_and_from_the_distance() {
    let wish = wish(reach(0.01, 4e-3), Area::Round(25e-3), 20e-3, &[Family::Stepped]);
    let mut shelf = Shelf::default();
    shelf.add(disc(20.0, 4.0), 50e-6, stiff(), offer("a", 1, None));
    let stock = looked(&wish, &shelf);
    let two = &stock.builds[0];
    assert_eq!(two.found.draft.magnets.len(), 2);
    let cosine = |z: f64| z / z.hypot(9.95e-3);
    let one = |from: f64| 0.6 * (cosine(from + 3.9e-3) - cosine(from));
    let closed = one(4.05e-3) + one(8.05e-3);
    assert!(
        (two.found.value() / closed - 1.0).abs() < 1e-9,
        "{} {closed}",
        two.found.value()
    );
}

/// A plated magnet across a gap holds as the bare one does across the gap and the plating.
#[test]
fn plating_is_a_gap_to_the_steel_too() {
    let hold = |gap: f64| {
        let goal = Goal::Hold {
            force: 1.0,
            gap,
            plate: Some(3e-3),
        };
        wish(goal, Area::Box([80e-3, 40e-3]), 20e-3, &[])
    };
    let row = |low: f64| {
        let piece = |k: i32| {
            let along = if k % 2 == 0 { UP } else { [0.0, 0.0, -1.0] };
            let centre = [(f64::from(k) - 1.5) * 10e-3, 0.0, low - 2.5e-3];
            draft::Piece::new(Solid::Plain(block(10.0, 20.0, 5.0)), along, centre)
        };
        Draft {
            family: Family::AlternatingRow,
            sizes: Vec::new(),
            magnets: (0..4).map(piece).collect(),
            steel: Vec::new(),
        }
    };
    let alone = |low: f64| Draft {
        family: Family::Disc,
        sizes: Vec::new(),
        magnets: vec![draft::Piece::disc(20e-3, 5e-3, low - 5e-3)],
        steel: Vec::new(),
    };
    let value = |gap: f64, draft: &Draft| measure(&hold(gap), draft, &known(), &Stop::new()).unwrap().value;
    for [plated, bare] in [[row(-0.2e-3), row(0.0)], [alone(-0.2e-3), alone(0.0)]] {
        let [a, b] = [value(1e-3, &plated), value(1.2e-3, &bare)];
        assert!((a / b - 1.0).abs() < 1e-6, "{a} N for {b} N");
    }
}

#[test]
fn what_is_on_hand_for_the_lot_goes_before_what_is_cheaper_and_none_at_all_is_left_out() {
    let wish = wish(reach(0.05, 4e-3), Area::Round(25e-3), 20e-3, &[Family::Disc]);
    let of = |enough: Option<u64>| {
        let mut shelf = Shelf::default();
        shelf.add(disc(20.0, 4.0), 0.0, stiff(), offer("few", 100, Some(9)));
        shelf.add(disc(20.0, 4.5), 0.0, stiff(), offer("none", 50, Some(0)));
        shelf.add(disc(20.0, 5.0), 0.0, stiff(), offer("enough", 900, enough));
        shelf
    };
    let told = |shelf: &Shelf| -> Vec<(String, bool, Option<u64>)> {
        let builds = looked(&wish, shelf).builds;
        let code = |build: &Build| match build.lines[0].taken {
            Taken::Magnet(index) => shelf.pieces[index].offer.code.clone(),
            Taken::Plate(_) => panic!("a disc has no plate"),
        };
        builds
            .iter()
            .map(|build| (code(build), build.enough, build.on_hand))
            .collect()
    };
    assert_eq!(told(&of(Some(10))), [("enough".into(), true, Some(10))]);
    assert_eq!(told(&of(None)), [("enough".into(), true, None)]);
    assert_eq!(told(&of(Some(8))), [("few".into(), false, Some(9))]);
    // Two of one kind to a build: ten pieces are five builds.
    let pair = Wish {
        families: vec![Family::Stepped],
        ..wish.clone()
    };
    let mut alone = Shelf::default();
    alone.add(disc(20.0, 4.0), 0.0, stiff(), offer("a", 100, Some(11)));
    let twice = &looked(&pair, &alone).builds[0];
    assert_eq!((twice.lines[0].count, twice.on_hand, twice.enough), (2, Some(5), false));
    assert_eq!(twice.lines[0].bought.pieces, 20);
    // One piece makes no stack of two.
    let mut one = Shelf::default();
    one.add(disc(20.0, 4.0), 0.0, stiff(), offer("a", 100, Some(1)));
    assert!(looked(&pair, &one).builds.is_empty());
}

/// Every family that a shelf serves is made of it, lies within the space with its plating, and comes out the same twice.
#[test]
fn every_family_of_the_shelf_is_made_of_it() {
    let stuff = Stuff::of_grade(GradeTable::builtin().unwrap().get("N42SH").unwrap(), 20.0).unwrap();
    let mut shelf = of_discs(&stuff, 15e-6);
    for (k, [length, width, thickness]) in [[10.0, 10.0, 10.0], [20.0, 10.0, 5.0], [30.0, 8.0, 8.0]]
        .into_iter()
        .enumerate()
    {
        shelf.add(
            block(length, width, thickness),
            15e-6,
            stuff.clone(),
            offer(&format!("b{k}"), 5000, None),
        );
    }
    let ring = Shape::Ring {
        outer_diameter: 20e-3,
        inner_diameter: 10e-3,
        thickness: 5e-3,
    };
    shelf.add(ring, 15e-6, stuff, offer("r", 7000, None));
    shelf.plates.push(Plate {
        diameter: 22e-3,
        thickness: 3e-3,
        offer: offer("p", 2000, None),
    });
    let even = Goal::Even {
        field: 0.05,
        distance: 1e-3,
        area: Area::Round(2e-3),
        tolerance: 0.1,
    };
    let gap = Goal::Gap {
        field: 0.1,
        gap: 8e-3,
        spot: 0.0,
    };
    let hold = |force: f64| Goal::Hold {
        force,
        gap: 0.3e-3,
        plate: None,
    };
    for (goal, family) in [
        (reach(0.1, 3e-3), Family::Disc),
        (reach(0.1, 3e-3), Family::Block),
        (reach(0.02, 8e-3), Family::Ring),
        (reach(0.1, 3e-3), Family::Stepped),
        (reach(0.1, 3e-3), Family::Opposed),
        (reach(0.2, 3e-3), Family::Focused),
        (reach(0.1, 3e-3), Family::HalbachRow),
        (hold(50.0), Family::HalbachRow),
        (hold(50.0), Family::AlternatingRow),
        (hold(60.0), Family::BackPlate),
        (gap.clone(), Family::FacingDiscs),
        (gap, Family::FacingBlocks),
        (even.clone(), Family::FacingRings),
        (even, Family::FacingDiscs),
    ] {
        let wish = wish(goal, Area::Box([60e-3, 45e-3]), 60e-3, &[family]);
        let stock = looked(&wish, &shelf);
        assert!(
            !stock.builds.is_empty(),
            "{family:?} for {:?}: {:?}",
            wish.goal,
            stock.nearest
        );
        assert_eq!(stock, looked(&wish, &shelf), "{family:?}");
        for build in &stock.builds {
            assert!(build.found.keeps && build.found.draft.family == family, "{build:?}");
            assert!(crate::recipes::fits(&build.found.draft, &wish.space), "{build:?}");
            let joined = build.found.draft.magnets.len() + build.found.draft.steel.len();
            assert_eq!(
                build.joining.steps.len(),
                if joined > 1 { joined } else { 0 },
                "{build:?}"
            );
            for step in build.joining.steps.iter().skip(1) {
                assert!(step.felt.is_some_and(|felt| felt.force > 0.0), "{step:?}");
            }
        }
    }
}

/// The outsides count: with its plating this disc is just as wide as the space, and a hair wider it is left out.
#[test]
fn the_space_is_kept_and_filled_by_the_outsides() {
    let mut wish = wish(reach(0.01, 4e-3), Area::Round(20e-3), 20e-3, &[Family::Disc]);
    let of = |diameter: f64| {
        let mut shelf = Shelf::default();
        shelf.add(disc(diameter, 4.0), 100e-6, stiff(), offer("a", 1, None));
        shelf
    };
    assert_eq!(looked(&wish, &of(20.0)).builds.len(), 1);
    assert!(looked(&wish, &of(20.1)).builds.is_empty());
    assert_eq!(looked(&wish, &of(15.0)).builds.len(), 1);
    wish.space.filled = true;
    assert!(looked(&wish, &of(15.0)).builds.is_empty());
    assert_eq!(looked(&wish, &of(19.7)).builds.len(), 1);
}

/// A disc of a grade without reserves loses for good at 120 °C: it is not offered, whatever it gives.
#[test]
fn what_would_pass_its_knee_is_not_offered() {
    let wish = wish(reach(0.01, 1e-3), Area::Round(40e-3), 20e-3, &[Family::Disc]);
    let of = |celsius: f64| {
        let mut shelf = Shelf::default();
        shelf.add(disc(15.0, 12.0), 0.0, n42(celsius), offer("a", 1, None));
        shelf
    };
    assert_eq!(looked(&wish, &of(20.0)).builds.len(), 1);
    assert!(looked(&wish, &of(120.0)).builds.is_empty());
}

/// Where nothing does it the strongest is told of: of these discs the largest, three high.
#[test]
fn where_nothing_does_it_the_nearest_is_told_of() {
    let wish = wish(
        reach(1.0, 10e-3),
        Area::Round(25e-3),
        40e-3,
        &[Family::Disc, Family::Stepped],
    );
    let stock = looked(&wish, &of_discs(&stiff(), 0.0));
    assert!(stock.builds.is_empty());
    let nearest = stock.nearest.expect("there is one");
    let cosine = |z: f64| z / z.hypot(10e-3);
    let closed = 0.6 * (cosine(40e-3) - cosine(10e-3));
    assert!((nearest.found.value() / closed - 1.0).abs() < 1e-9, "{nearest:?}");
    assert!(!nearest.found.keeps);
}

/// Two short discs far apart pull as dipoles, `3 μ0 m² / (2π z⁴)`; two halves of a long rod meet with `J² A / (2 μ0)` (Maxwell's stress over the joint).
#[test]
fn forces_on_the_way_are_those_of_dipoles_and_of_a_cut_rod() {
    let gap = Goal::Gap {
        field: 1e-6,
        gap: 100e-3,
        spot: 0.0,
    };
    let wish_far = wish(gap, Area::Round(25e-3), 400e-3, &[Family::FacingDiscs]);
    let mut shelf = Shelf::default();
    shelf.add(disc(4.0, 3.0), 0.0, stiff(), offer("a", 1, None));
    let build = &looked(&wish_far, &shelf).builds[0];
    let felt = build.joining.steps[1].felt.unwrap();
    let moment = 1.2 / MU_0 * PI * 4e-6 * 3e-3;
    let dipoles = 3.0 * MU_0 * moment * moment / (2.0 * PI * 103e-3_f64.powi(4));
    assert!(
        (felt.force / dipoles - 1.0).abs() < 2e-3,
        "{} N for {dipoles} N",
        felt.force
    );
    assert_eq!(felt.sense, Sense::In);

    let mut rods = Shelf::default();
    rods.add(disc(2.0, 100.0), 0.0, stiff(), offer("a", 1, None));
    let wish_near = wish(reach(0.1, 0.5e-3), Area::Round(25e-3), 210e-3, &[Family::Stepped]);
    let build = &looked(&wish_near, &rods).builds[0];
    let felt = build.joining.steps[1].felt.unwrap();
    let stress = 1.44 * PI * 1e-6 / (2.0 * MU_0);
    assert_eq!(felt.sense, Sense::Down);
    // The far ends, 100 mm away, pull with less than a thousandth of that.
    assert!(
        (felt.force / stress - 1.0).abs() < 1e-2,
        "{} N for {stress} N",
        felt.force
    );
}

/// Like poles are pushed back, unlike ones side by side are pulled in, and a gap that closes is worse than one that is held open.
#[test]
fn rows_push_and_pull_as_their_poles_say() {
    let mut shelf = Shelf::default();
    shelf.add(block(10.0, 10.0, 10.0), 0.0, stiff(), offer("a", 1, None));
    let across = Area::Box([60e-3, 40e-3]);
    let felt = |goal: Goal, family: Family| -> Vec<Sense> {
        let stock = looked(&wish(goal, across, 40e-3, &[family]), &shelf);
        let steps = stock.builds[0].joining.steps.iter();
        steps.filter_map(|step| step.felt).map(|felt| felt.sense).collect()
    };
    assert_eq!(felt(reach(0.05, 3e-3), Family::Opposed), [Sense::Away]);
    let hold = Goal::Hold {
        force: 5.0,
        gap: 1e-3,
        plate: None,
    };
    assert_eq!(felt(hold, Family::AlternatingRow), [Sense::In; 3]);
    let gap = Goal::Gap {
        field: 0.05,
        gap: 8e-3,
        spot: 0.0,
    };
    let stock = looked(&wish(gap, across, 40e-3, &[Family::FacingBlocks]), &shelf);
    let joining = &stock.builds[0].joining;
    assert!(joining.closed.unwrap() > 2.0 * joining.steps[1].felt.unwrap().force);
}

/// The quick look never passes over what does it: the rigid field is above the one that is left by the recoil.
#[test]
fn the_rigid_field_is_not_below_the_one_that_is_left() {
    let wish = Wish {
        stuff: n42(20.0),
        ..wish(reach(0.1, 3e-3), Area::Round(25e-3), 40e-3, &[Family::Stepped])
    };
    let stock = looked(&wish, &of_discs(&n42(20.0), 15e-6));
    for build in &stock.builds {
        let quick = rigid(&wish, &build.found.draft, &Stop::new()).unwrap();
        assert!(
            quick >= 0.98 * build.found.value(),
            "{quick} T for {} T",
            build.found.value()
        );
    }
}

#[test]
fn one_of_a_size_that_costs_less_stands_for_those_that_cost_more() {
    let wish = wish(reach(0.05, 4e-3), Area::Round(25e-3), 20e-3, &[Family::Disc]);
    let mut shelf = Shelf::default();
    shelf.add(disc(20.0, 4.0), 0.0, stiff(), offer("dear", 900, None));
    shelf.add(disc(20.0, 4.0), 0.0, stiff(), offer("cheap", 300, None));
    let stock = looked(&wish, &shelf);
    assert_eq!(stock.builds.len(), 1);
    assert_eq!(stock.builds[0].lines[0].taken, Taken::Magnet(1));
    assert_eq!(stock.builds[0].price, Some(Money::from_parts(3000)));
}

/// A stack of two costs and weighs twice the disc that does it alone, and is told behind it: joining is in no price, and a family is a way to build.
#[test]
fn the_cheapest_of_each_family_is_told_where_another_beats_it() {
    let wish = wish(
        reach(0.05, 4e-3),
        Area::Round(25e-3),
        20e-3,
        &[Family::Disc, Family::Stepped],
    );
    let mut shelf = Shelf::default();
    shelf.add(disc(20.0, 4.0), 0.0, stiff(), offer("a", 100, None));
    shelf.add(disc(20.0, 6.0), 0.0, stiff(), offer("b", 300, None));
    let builds = looked(&wish, &shelf).builds;
    let told: Vec<(Family, usize)> = builds
        .iter()
        .map(|build| (build.found.draft.family, build.lines.len()))
        .collect();
    assert_eq!(told, [(Family::Disc, 1), (Family::Stepped, 1)]);
}

/// The lighter of two that do it costs more: the cheaper one is told first, and the lighter one too.
#[test]
fn what_is_lighter_is_told_behind_what_is_cheaper() {
    let wish = wish(reach(0.05, 4e-3), Area::Round(25e-3), 20e-3, &[Family::Disc]);
    let mut shelf = Shelf::default();
    shelf.add(disc(15.0, 4.0), 0.0, stiff(), offer("light", 900, None));
    shelf.add(disc(20.0, 4.0), 0.0, stiff(), offer("cheap", 100, None));
    let builds = looked(&wish, &shelf).builds;
    let told: Vec<Taken> = builds.iter().map(|build| build.lines[0].taken).collect();
    assert_eq!(told, [Taken::Magnet(1), Taken::Magnet(0)]);
}
