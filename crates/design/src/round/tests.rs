use materials::grade::GradeTable;

use super::*;
use crate::family::Family;
use crate::known::USUAL_STEEL;
use crate::search::{Effort, search};
use crate::sizes::series;
use crate::stuff::Stuff;
use crate::wish::{Aim, Area, Space};

/// In half and whole millimetres the disc still keeps its wish, every size is one of the series, and it costs mass: no more than the whole step up would.
#[test]
fn a_rounded_draft_keeps_the_wish_and_costs_a_little() {
    let n42 = GradeTable::builtin().unwrap().get("N42").unwrap();
    let wish = Wish {
        goal: Goal::Reach {
            field: 0.1,
            distance: 5e-3,
            spot: 0.0,
        },
        space: Space {
            across: Area::Round(30e-3),
            height: 20e-3,
            filled: false,
        },
        stuff: Stuff::of_grade(n42, 20.0).unwrap(),
        aims: vec![Aim::Mass],
        families: vec![Family::Disc],
        lot: 100,
    };
    let known = Known::of_steel(USUAL_STEEL).unwrap();
    let outcome = search(&wish, &known, Effort::First, &Stop::new(), &|_| {}).unwrap();
    let exact = &outcome.found[0];
    for series in series() {
        let round = rounded(&wish, exact, series, &known, &Stop::new()).unwrap();
        assert!(round.keeps, "{}: {round:?}", series.name);
        let mut up = 1.0;
        for (size, before) in round.draft.sizes.iter().zip(&exact.draft.sizes) {
            let [low, high] = series.beside(size.value);
            assert!((high - low).abs() < 1e-9, "{}: {size:?}", series.name);
            let [_, above] = series.beside(before.value);
            up *= above / before.value;
        }
        // Of the sizes beside both the lightest choice that does it.
        let beside = [0, 1].map(|k: usize| series.beside(exact.draft.sizes[k].value));
        let mut lightest = f64::INFINITY;
        for diameter in beside[0] {
            for thickness in beside[1] {
                let draft = Draft {
                    magnets: vec![crate::draft::Piece::disc(diameter, thickness, -thickness)],
                    ..exact.draft.clone()
                };
                let one = judged_draft(&wish, draft, Vec::new(), &known, &Stop::new()).unwrap();
                if one.keeps {
                    lightest = lightest.min(one.mass);
                }
            }
        }
        assert!(
            (round.mass / lightest - 1.0).abs() < 1e-9,
            "{}: {} kg for {lightest} kg",
            series.name,
            round.mass
        );
        // Up in both sizes, the diameter counting twice.
        assert!(round.mass >= 0.999 * exact.mass && round.mass <= up * up * exact.mass);
    }
}

/// What a disc that fills a space of 10.3 mm just does one of 10 mm does not; one of 11 mm would, and does not fit.
#[test]
fn a_rounded_draft_stays_in_its_space() {
    let n42 = GradeTable::builtin().unwrap().get("N42").unwrap();
    let known = Known::of_steel(USUAL_STEEL).unwrap();
    let mut wish = Wish {
        goal: Goal::Reach {
            field: 0.1,
            distance: 3e-3,
            spot: 0.0,
        },
        space: Space {
            across: Area::Round(10.3e-3),
            height: 20e-3,
            filled: true,
        },
        stuff: Stuff::of_grade(n42, 20.0).unwrap(),
        aims: vec![Aim::Mass],
        families: vec![Family::Disc],
        lot: 100,
    };
    let most = |diameter: f64| {
        let draft = Draft {
            family: Family::Disc,
            sizes: Vec::new(),
            magnets: vec![crate::draft::Piece::disc(diameter, 20e-3, -20e-3)],
            steel: Vec::new(),
        };
        let one = judged_draft(&wish, draft, Vec::new(), &known, &Stop::new());
        one.unwrap().value()
    };
    let field = 0.5 * (most(10e-3) + most(10.3e-3));
    wish.goal = Goal::Reach {
        field,
        distance: 3e-3,
        spot: 0.0,
    };
    let outcome = search(&wish, &known, Effort::First, &Stop::new(), &|_| {}).unwrap();
    let exact = &outcome.found[0];
    assert!(
        exact.keeps && (exact.draft.sizes[0].value - 10.3e-3).abs() < 1e-9,
        "as wide as the space: {exact:?}"
    );
    let round = rounded(&wish, exact, &series()[0], &known, &Stop::new()).unwrap();
    assert!(
        !round.keeps && (round.draft.sizes[0].value - 10e-3).abs() < 1e-9,
        "{round:?}"
    );
}
