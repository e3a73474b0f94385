use materials::MU_0;
use materials::grade::GradeTable;

use super::*;
use crate::draft::{Draft, Piece};
use crate::known::USUAL_STEEL;
use crate::recipes;
use crate::stuff::Stuff;
use crate::wish::{Aim, Area, Space};

pub(super) fn rigid() -> Stuff {
    Stuff::given("rigid", 1.2, 3e6, 1.0, 7500.0).unwrap()
}

pub(super) fn wish(goal: Goal, stuff: Stuff) -> Wish {
    Wish {
        goal,
        space: Space {
            across: Area::Round(40e-3),
            height: 40e-3,
            filled: false,
        },
        stuff,
        aims: vec![Aim::Mass],
        families: Vec::new(),
        lot: 1,
    }
}

fn known() -> Known {
    Known::of_steel(USUAL_STEEL).unwrap()
}

fn of(family: Family, magnets: Vec<Piece>) -> Draft {
    Draft {
        family,
        sizes: Vec::new(),
        magnets,
        steel: Vec::new(),
    }
}

/// The field of a rigid disc on its axis in closed form; its middle is `J - N J` of the charge of both faces: at the middle of the face nearly `J/2` of demagnetising field.
#[test]
fn a_disc_gives_its_closed_form_and_its_strain() {
    let goal = Goal::Reach {
        field: 0.1,
        distance: 3e-3,
        spot: 0.0,
    };
    let wish = wish(goal, rigid());
    let draft = of(Family::Disc, vec![Piece::disc(20e-3, 10e-3, -10e-3)]);
    let figures = measure(&wish, &draft, &known(), &Stop::new()).unwrap();
    let cosine = |z: f64| z / z.hypot(10e-3);
    let closed = 0.6 * (cosine(13e-3) - cosine(3e-3));
    assert!((figures.value / closed - 1.0).abs() < 1e-9);
    // At 3 % below the middle of a face: H = J/2 (2 - cos - cos).
    let h = 0.6 / MU_0 * (2.0 - cosine(9.7e-3) - cosine(0.3e-3));
    assert!(
        figures.strain >= h / wish.stuff.curve.knee() - 1e-9,
        "{}",
        figures.strain
    );
}

/// What the recoil takes to first order is within 1 % (at the face of a disc the mean factor is that much too high) of what the surface charge takes, for a disc, a taper, two that oppose and a facing pair.
#[test]
fn the_recoil_to_first_order_is_near_to_that_which_is_solved() {
    let n42 = Stuff::of_grade(GradeTable::builtin().unwrap().get("N42").unwrap(), 20.0).unwrap();
    let reach = Goal::Reach {
        field: 0.1,
        distance: 3e-3,
        spot: 0.0,
    };
    let gap = Goal::Gap {
        field: 0.1,
        gap: 8e-3,
        spot: 2e-3,
    };
    for (goal, family) in [
        (reach.clone(), Family::Disc),
        (reach.clone(), Family::Taper),
        (reach, Family::Opposed),
        (gap, Family::FacingDiscs),
    ] {
        let wish = wish(goal, n42.clone());
        let count = recipes::free(family, &wish).unwrap();
        let draft = recipes::draft(family, &wish, &vec![0.7; count]).unwrap();
        let rough = measure(&wish, &draft, &known(), &Stop::new()).unwrap().value;
        let scene = air::settled(&wish, &draft, &Stop::new()).unwrap();
        let solved = air::axial(&scene, &wish, &draft).unwrap();
        let confirmed = confirm(&wish, &draft, &known(), &Stop::new()).unwrap();
        assert_eq!(confirmed.way, way(&wish.goal, family));
        assert!(confirmed.value.is_none_or(|value| value == solved), "{family:?}");
        assert!((rough / solved - 1.0).abs() < 1e-2, "{family:?}: {rough} for {solved}");
    }
}

/// Two discs that hold a pair of steel by the law and by finite elements: within the error that the law states, and a little of the rough mesh.
#[test]
fn the_law_and_finite_elements_agree_on_a_disc() {
    let n42 = Stuff::of_grade(GradeTable::builtin().unwrap().get("N42").unwrap(), 20.0).unwrap();
    let goal = Goal::Hold {
        force: 10.0,
        gap: 1e-3,
        plate: Some(4e-3),
    };
    let wish = wish(goal, n42);
    let draft = of(Family::Disc, vec![Piece::disc(20e-3, 8e-3, -8e-3)]);
    let law = measure(&wish, &draft, &known(), &Stop::new()).unwrap().value;
    let solved = confirm(&wish, &draft, &known(), &Stop::new()).unwrap();
    assert_eq!(solved.way, Way::Elements);
    let solved = solved.value.unwrap();
    assert!((law / solved - 1.0).abs() < 0.03, "{law} N for {solved} N");
}

/// A row of one block has the pull of its mirror image in closed form.
#[test]
fn the_stress_over_the_plane_is_the_pull_of_the_mirror_image() {
    let goal = Goal::Hold {
        force: 10.0,
        gap: 2e-3,
        plate: None,
    };
    let wish = wish(goal, rigid());
    let blocks = recipes::draft(Family::AlternatingRow, &wish, &[0.8, 0.6, 0.6]).unwrap();
    let bodies = air::settled_to_first_order(&wish, &blocks, &Stop::new()).unwrap();
    let stress = hold::stress(&blocks, &bodies, 2e-3).unwrap();
    let placed: Vec<_> = blocks
        .magnets
        .iter()
        .map(|piece| {
            // The plate of the closed form lies below.
            let turned = Piece {
                centre: [piece.centre[0], piece.centre[1], -piece.centre[2]],
                ..piece.clone()
            };
            turned.placed(1.2).unwrap()
        })
        .collect();
    let (closed, _) = magnetics::load::plate_pull(&placed, 2e-3).unwrap();
    assert!((stress / closed - 1.0).abs() < 5e-3, "{stress} for {closed}");
}

/// The torque of two facing rotors by the charge of one arc against the field forces of all arcs, by the quadrature of the loads.
#[test]
fn the_torque_is_that_of_the_loads_of_all_arcs() {
    let goal = Goal::Turn { torque: 0.1, gap: 4e-3 };
    let wish = wish(goal, rigid());
    let draft = recipes::draft(Family::Coupling, &wish, &[0.9, 0.4, 0.7, 1.0]).unwrap();
    let value = measure(&wish, &draft, &known(), &Stop::new()).unwrap().value;
    let placed: Vec<_> = draft.magnets.iter().map(|piece| piece.placed(1.2).unwrap()).collect();
    let (lower, upper) = placed.split_at(placed.len() / 2);
    let one = magnetics::load(&upper[0], lower).unwrap();
    let all = one.torque[2].abs() * upper.len() as f64;
    assert!((value / all - 1.0).abs() < 0.01, "{value} for {all}");
}

/// A pole tip lifts the field where it ends, a cup and a back-plate lift the pull in contact: against the same magnet bare.
#[test]
fn steel_helps_where_it_should() {
    let n42 = Stuff::of_grade(GradeTable::builtin().unwrap().get("N42").unwrap(), 20.0).unwrap();
    let stop = Stop::new();
    let hold = wish(
        Goal::Hold {
            force: 10.0,
            gap: 0.1e-3,
            plate: None,
        },
        n42.clone(),
    );
    for family in [Family::BackPlate, Family::Cup] {
        let count = recipes::free(family, &hold).unwrap();
        let draft = recipes::draft(family, &hold, &vec![0.5; count]).unwrap();
        let bare = Draft {
            family: Family::Disc,
            steel: Vec::new(),
            ..draft.clone()
        };
        let with = confirm(&hold, &draft, &known(), &stop).unwrap().value.unwrap();
        let without = confirm(&hold, &bare, &known(), &stop).unwrap().value.unwrap();
        assert!(with > 1.05 * without, "{family:?}: {with} N with, {without} N without");
        let rough = measure(&hold, &draft, &known(), &stop).unwrap().value;
        assert!(
            (rough / with - 1.0).abs() > 1e-6,
            "{family:?} is confirmed on another mesh"
        );
        assert!(
            (rough / with - 1.0).abs() < 0.06,
            "{family:?}: {rough} N rough, {with} N fine"
        );
    }
    let reach = wish(
        Goal::Reach {
            field: 0.5,
            distance: 0.5e-3,
            spot: 1e-3,
        },
        n42,
    );
    let draft = recipes::draft(Family::PoleTip, &reach, &[0.6, 0.0, 0.8, 0.1]).unwrap();
    let bare = Draft {
        family: Family::Disc,
        steel: Vec::new(),
        ..draft.clone()
    };
    let with = measure(&reach, &draft, &known(), &stop).unwrap().value;
    let without = measure(&reach, &bare, &known(), &stop).unwrap().value;
    assert!(with > without, "{with} T with a tip, {without} T there without");
}

#[test]
fn a_stop_ends_it() {
    let goal = Goal::Reach {
        field: 0.1,
        distance: 3e-3,
        spot: 0.0,
    };
    let wish = wish(goal, rigid());
    let stop = Stop::new();
    stop.set();
    let draft = of(Family::Disc, vec![Piece::disc(20e-3, 10e-3, -10e-3)]);
    assert!(measure(&wish, &draft, &known(), &stop).is_err());
}

/// Two facing discs have at their middle the field of four charged discs.
#[test]
fn a_pair_has_the_field_of_its_four_faces() {
    let goal = Goal::Gap {
        field: 0.1,
        gap: 10e-3,
        spot: 0.0,
    };
    let wish = wish(goal, rigid());
    let draft = recipes::draft(Family::FacingDiscs, &wish, &[0.6, 0.4]).unwrap();
    let [diameter, thickness] = [draft.sizes[0].value, draft.sizes[1].value];
    let face = |z: f64| 0.5 * (1.0 - z / z.hypot(0.5 * diameter));
    let closed = 2.0 * 1.2 * (face(5e-3) - face(5e-3 + thickness));
    let value = measure(&wish, &draft, &known(), &Stop::new()).unwrap().value;
    assert!((value / closed - 1.0).abs() < 1e-9, "{value} {closed}");
}

/// A block that lies, small against the distance, strays as a dipole: most in the direction that it points to, `2 J V / (4π r³)`, half of that elsewhere.
#[test]
fn what_strays_is_the_largest_around() {
    let goal = Goal::Reach {
        field: 0.1,
        distance: 3e-3,
        spot: 0.0,
    };
    let wish = Wish {
        aims: vec![Aim::Stray],
        ..wish(goal, rigid())
    };
    let cube = magnetics::Shape::Block {
        length: 4e-3,
        width: 4e-3,
        thickness: 4e-3,
    };
    let lying = Piece::new(magnetics::Solid::Plain(cube), [1.0, 0.0, 0.0], [0.0, 0.0, -2e-3]);
    let figures = measure(&wish, &of(Family::Opposed, vec![lying]), &known(), &Stop::new()).unwrap();
    let dipole = 2.0 * 1.2 * 64e-9 / (4.0 * std::f64::consts::PI * 52e-3_f64.powi(3));
    let stray = figures.stray.unwrap();
    assert!((stray / dipole - 1.0).abs() < 0.01, "{stray} T for {dipole} T");
}

/// A sheet of half a millimetre cannot carry the flux of a disc of 20 mm: it holds less than half of what thick steel does, by the law and solved.
#[test]
fn thin_steel_holds_less() {
    let held = |plate: Option<f64>| {
        let goal = Goal::Hold {
            force: 10.0,
            gap: 0.5e-3,
            plate,
        };
        let n42 = Stuff::of_grade(GradeTable::builtin().unwrap().get("N42").unwrap(), 20.0).unwrap();
        let wish = wish(goal, n42);
        let draft = of(Family::Disc, vec![Piece::disc(20e-3, 8e-3, -8e-3)]);
        let law = measure(&wish, &draft, &known(), &Stop::new()).unwrap().value;
        let solved = confirm(&wish, &draft, &known(), &Stop::new()).unwrap().value.unwrap();
        [law, solved]
    };
    for (thin, thick) in held(Some(0.5e-3)).into_iter().zip(held(None)) {
        assert!(thin < 0.5 * thick, "{thin} N on a sheet, {thick} N on thick steel");
    }
}
