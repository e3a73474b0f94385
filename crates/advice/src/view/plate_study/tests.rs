use std::sync::Arc;

use steel::drawing::Material;
use steel::setups::{Piece, Size};

use super::*;
use crate::plate_study::{Carries, Setup, study};

fn shown(carried: bool, thickness: f64, beside: Option<f64>) -> StudyView {
    let table = ::steel::SteelTable::builtin().unwrap();
    let steel = Material::Steel(Arc::clone(&table.curve("team13").unwrap().curve));
    let piece = |diameter, thickness, material: &Material| Piece {
        size: Size::disc(diameter, thickness),
        material: material.clone(),
    };
    let magnet = Material::Magnet {
        polarisation: 1.3,
        recoil_permeability: 1.05,
    };
    let setup = Setup {
        magnet: piece(20e-3, 5e-3, &magnet),
        plate: piece(60e-3, thickness, &steel),
        carries: if carried {
            Carries::BackPlate(piece(20e-3, 2e-3, &steel))
        } else {
            Carries::Nothing
        },
        gap: 0.3e-3,
        beside,
    };
    view(&study(&setup, &|| true).unwrap(), &Units::metric())
}

#[test]
fn what_steel_is_worth_is_said_with_what_would_be_thick_enough() {
    let back = shown(true, 8e-3, None);
    assert!(
        back.lead.contains("bare it would pull") && back.lead.contains("times"),
        "{}",
        back.lead
    );
    assert!(back.bare.is_some_and(|bare| bare.value < back.pull.value));
    assert_eq!(back.against_gap.curves.len(), 3);
    let thin = shown(false, 0.5e-3, None);
    assert!(thin.lead.contains("95") && thin.bare.is_none(), "{}", thin.lead);
    assert_eq!(thin.against_gap.curves.len(), 2);
    assert_eq!(thin.against_thickness.marks.len(), 2);
    assert!(
        thin.behind.contains("mT at its back") && thin.behind.contains("of the flux"),
        "{}",
        thin.behind
    );
    assert!(thin.beside.is_none());
}

#[test]
fn two_side_by_side_are_told_as_an_estimate() {
    let beside = shown(false, 5e-3, Some(0.0)).beside.unwrap();
    assert!(
        beside.text.contains("touching") && beside.text.contains("estimate"),
        "{}",
        beside.text
    );
    assert!(beside.alternating.low < beside.alternating.value && beside.alternating.value < beside.alternating.high);
    assert!(shown(false, 5e-3, Some(2e-3)).beside.unwrap().text.contains("apart"));
}
