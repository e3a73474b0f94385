use std::sync::Arc;

use steel::drawing::Material;

use super::*;

fn setup(carries: impl Fn(&Material) -> Carries, thickness: f64) -> Setup {
    let table = steel::SteelTable::builtin().unwrap();
    let steel = Material::Steel(Arc::clone(&table.curve("team13").unwrap().curve));
    Setup {
        magnet: Piece {
            size: Size::disc(20e-3, 5e-3),
            material: Material::Magnet {
                polarisation: 1.3,
                recoil_permeability: 1.05,
            },
        },
        plate: Piece {
            size: Size::disc(60e-3, thickness),
            material: steel.clone(),
        },
        carries: carries(&steel),
        gap: 0.3e-3,
        beside: None,
    }
}

fn bare(thickness: f64) -> Setup {
    setup(|_| Carries::Nothing, thickness)
}

fn cup(outer: f64, inner: f64) -> impl Fn(&Material) -> Carries {
    move |steel| {
        Carries::Cup(Cup {
            outer,
            inner,
            floor: 2.5e-3,
            hole: 0.0,
            rim: 0.0,
            steel: steel.clone(),
        })
    }
}

fn back(steel: &Material) -> Carries {
    Carries::BackPlate(Piece {
        size: Size::disc(20e-3, 2e-3),
        material: steel.clone(),
    })
}

fn solved(setup: &Setup) -> Study {
    study(setup, &|| true).unwrap()
}

/// A gap that no ground faces leave would take a hundred times as long as contact, and pull the same.
#[test]
fn a_gap_narrower_than_faces_are_rough_is_refused_and_contact_is_not() {
    let with = |gap: f64| study(&Setup { gap, ..bare(1e-3) }, &|| true);
    let refused = with(1e-6).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "a gap of 0.001 mm is narrower than ground faces are rough"
    );
    assert!(refused.hint().contains("0.005 mm"));
    assert!(with(0.0).unwrap().pull > with(0.3e-3).unwrap().pull);
}

#[test]
fn a_cup_adds_most_in_contact_and_is_worth_less_across_a_gap() {
    let found = solved(&setup(cup(25e-3, 21.5e-3), 8e-3));
    assert!(found.pull > 1.5 * found.bare.unwrap(), "{} N", found.pull);
    let gain = |at: &AtGap| at.pull / at.bare.unwrap();
    let (near, far) = (found.against_gap.first().unwrap(), found.against_gap.last().unwrap());
    assert!(gain(near) > gain(far), "{near:?} to {far:?}");
    let asked = found.against_gap.iter().find(|at| at.gap == 0.3e-3).unwrap();
    assert!((asked.pull - found.pull).abs() <= 1e-12 * found.pull);
}

#[test]
fn a_thin_sheet_takes_less_and_what_would_do_is_found() {
    let (thin, thick) = (solved(&bare(0.5e-3)), solved(&bare(8e-3)));
    assert!(thin.pull < 0.7 * thick.pull && thin.bare.is_none());
    let [enough, pull] = thin.enough.unwrap();
    let most = thin.against_thickness.iter().map(|p| p[1]).fold(0.0, f64::max);
    assert!((1e-3..5e-3).contains(&enough) && (pull - ENOUGH * most).abs() <= 1e-12 * most);
    assert!(thin.against_thickness.iter().any(|p| p[0] == 0.5e-3));
    assert!(thin.behind.unwrap().carried < thick.behind.unwrap().carried);
}

/// What a disc keeps near an edge is told of bare discs like those that were solved; on a plate that is too thin for it it keeps less.
#[test]
fn what_is_kept_near_an_edge_is_told_of_bare_discs() {
    let [thin, thick] = [0.5e-3, 8e-3].map(|thickness| solved(&bare(thickness)).edge.unwrap());
    assert_eq!(thin, Edge::of(false).unwrap());
    assert_eq!(thick, Edge::of(true).unwrap());
    let known = |setup: Setup| setup.edge(true).is_some();
    assert!(known(bare(2e-3)) && !known(setup(back, 2e-3)));
    let sized = |outer: f64, inner: f64, thickness: f64| {
        let mut other = bare(2e-3);
        other.magnet.size = Size {
            outer,
            inner,
            thickness,
        };
        other
    };
    assert!(!known(sized(20e-3, 6e-3, 5e-3)) && !known(sized(20e-3, 0.0, 1e-3)) && !known(sized(5e-3, 0.0, 10e-3)));
    assert!(!known(Setup {
        gap: 5e-3,
        ..bare(2e-3)
    }));
}

#[test]
fn two_side_by_side_are_estimated_bare_only_and_apart() {
    let with = |beside, setup: Setup| {
        study(
            &Setup {
                beside: Some(beside),
                ..setup
            },
            &|| true,
        )
    };
    let two = with(0.0, bare(5e-3)).unwrap();
    let (distance, found) = two.beside.unwrap();
    assert_eq!(distance, 0.0);
    assert!(found.alternating.low > 2.0 * two.pull && found.alike.high < 2.0 * two.pull);
    assert!(with(-1e-3, bare(5e-3)).unwrap_err().is_about_distance());
    assert_eq!(with(1e-3, setup(back, 5e-3)).unwrap_err(), StudyError::BesideCarried);
}

#[test]
fn what_does_not_fit_or_is_not_wanted_any_more_is_not_solved() {
    let tight = study(&setup(cup(18e-3, 15e-3), 2e-3), &|| true).unwrap_err();
    assert!(matches!(tight, StudyError::Solve(SolveError::Drawing(_))), "{tight:?}");
    let below = Setup {
        gap: -1e-3,
        ..bare(2e-3)
    };
    assert!(!study(&below, &|| true).unwrap_err().is_about_distance());
    assert_eq!(
        study(&bare(2e-3), &|| false).unwrap_err(),
        StudyError::Solve(SolveError::Cancelled)
    );
}

#[test]
fn a_share_is_reached_between_two_points_or_not_at_all() {
    let got = reaches(&[[0.0, 0.0], [1.0, 0.9], [2.0, 1.0]], 0.95).unwrap();
    assert!((got[0] - 1.5).abs() <= 1e-12 && got[1] == 0.95);
    assert_eq!(reaches(&[[0.0, 1.0], [1.0, 1.0]], 0.95), None);
}
