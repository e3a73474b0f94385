use materials::grade::GradeTable;

use super::*;
use crate::family::Family;

fn stuff(name: &str) -> Stuff {
    Stuff::of_grade(GradeTable::builtin().unwrap().get(name).unwrap(), 20.0).unwrap()
}

fn disc(diameter: f64, thickness: f64) -> Draft {
    Draft {
        family: Family::Disc,
        sizes: Vec::new(),
        magnets: vec![Piece::disc(diameter, thickness, -thickness)],
        steel: Vec::new(),
    }
}

/// By hand from the figures of the data: mass over yield times the price of a kilogram, and so on.
#[test]
fn a_disc_costs_what_its_parts_add_up_to() {
    let costs = CostModel::builtin().unwrap();
    let n42 = stuff("N42");
    let draft = disc(20e-3, 5e-3);
    let estimate = costs.estimate(&draft, &n42, 10_000);
    let kg = std::f64::consts::PI * 1e-4 * 5e-3 * 7500.0;
    let per_kg = 60.0 + 30.0 * (0.955 - 0.9);
    assert!((estimate.material / (kg / 0.7 * per_kg) - 1.0).abs() < 1e-9);
    let cm2 = 2.0 * std::f64::consts::PI + std::f64::consts::PI * 2.0 * 0.5;
    assert!((estimate.surface / (cm2 * 0.016) - 1.0).abs() < 1e-9);
    assert!((estimate.handling - 0.06).abs() < 1e-12 && estimate.joints == 0.0);
    assert!(estimate.lot < 1e-9, "a large lot pays no more");
    assert!(estimate.band[0] < estimate.total() && estimate.total() < estimate.band[1]);
    let few = costs.estimate(&draft, &n42, 1);
    assert!((few.total() - 60.0).abs() < 1e-9, "the least order: {}", few.total());
}

/// A list that was made with other figures is found again, with no band to speak of; with a spread of 10 % the band holds it.
#[test]
fn a_fit_finds_the_figures_of_a_list_again() {
    let costs = CostModel::builtin().unwrap();
    let shapes: Vec<Shape> = (0..12)
        .map(|k| Shape::Disc {
            diameter: (5.0 + 3.0 * f64::from(k)) * 1e-3,
            thickness: (1.0 + f64::from(k * 7 % 5)) * 1e-3,
        })
        .collect();
    let priced = |spread: f64| -> Vec<Priced> {
        shapes
            .iter()
            .enumerate()
            .map(|(k, &shape)| {
                let stuff = stuff(["N42", "N35SH"][k % 2]);
                let piece = Piece::new(Solid::Plain(shape), UP, [0.0; 3]);
                let [material, surface, handling] = costs.parts(&piece, &stuff);
                let sign = if k % 3 == 0 { 1.0 } else { -0.5 };
                Priced {
                    shape,
                    price: (1.7 * material + 0.6 * surface + 2.5 * handling) * (1.0 + spread * sign),
                    stuff,
                }
            })
            .collect()
    };
    let exact = costs.fitted(&priced(0.0)).unwrap();
    for (got, want) in exact.scales.iter().zip([1.7, 0.6, 2.5]) {
        assert!((got / want - 1.0).abs() < 1e-6, "{:?}", exact.scales);
    }
    assert!(exact.band < 1e-6 && exact.fitted_to == 12);
    let loose = costs.fitted(&priced(0.1)).unwrap();
    assert!((0.08..0.4).contains(&loose.band), "{}", loose.band);
}

#[test]
fn lists_that_say_nothing_and_prices_that_are_none_are_refused() {
    let costs = CostModel::builtin().unwrap();
    let one = Priced {
        shape: Shape::Disc {
            diameter: 10e-3,
            thickness: 5e-3,
        },
        stuff: stuff("N42"),
        price: 1.0,
    };
    let few = vec![one.clone(); 2];
    assert!(matches!(costs.fitted(&few), Err(CostError::TooFew { got: 2, .. })));
    let mut bad = vec![one; 8];
    bad[3].price = f64::NAN;
    assert!(matches!(costs.fitted(&bad), Err(CostError::Price { index: 4, .. })));
    for text in ["", "band = -1.0", "band = 0.1"] {
        assert!(matches!(CostModel::parse(text), Err(CostError::Unreadable(_))));
    }
}
