use super::*;
use crate::setups::{Piece, Size, on_plate};
use magnetics::MU_0;
use std::sync::Arc;

fn linear(mu_r: f64) -> Material {
    let curve = BhCurve::new(&[1.0], &[1.0 / (MU_0 * mu_r)], MU_0 * mu_r);
    Material::Steel(Arc::new(curve.unwrap()))
}

fn magnet(diameter: f64, thickness: f64) -> Piece {
    Piece {
        size: Size::disc(diameter, thickness),
        material: Material::Magnet {
            polarisation: 1.0,
            recoil_permeability: 1.0,
        },
    }
}

/// Two discs of 10 x 5 mm and 1 T pull each other with 11.242 024 755 N across 1 mm (Bessel integral and Maxwell stress, computed by both).
#[test]
fn two_discs_in_air_pull_as_in_closed_form() {
    let disc = magnet(10e-3, 5e-3);
    let mut drawing = on_plate(&disc, 1e-3, &disc);
    drawing.parts[1].name = "other".into();
    let solution = solve(&drawing, &Options::force_on("magnet")).unwrap();
    for (name, wanted) in [("magnet", -11.242024755), ("other", 11.242024755)] {
        let got = solution.force_on(name).unwrap();
        assert!((got - wanted).abs() <= 1e-3 * 11.242, "{name}: {got} N");
    }
}

/// In contact the same discs, or one on thick soft steel, pull with 19.658 891 N.
#[test]
fn a_disc_in_contact_with_thick_soft_steel_pulls_like_its_mirror_image() {
    let plate = Piece {
        size: Size::disc(60e-3, 15e-3),
        material: linear(1e5),
    };
    let drawing = on_plate(&magnet(10e-3, 5e-3), 0.0, &plate);
    let got = solve(&drawing, &Options::force_on("plate"))
        .unwrap()
        .force_on("plate")
        .unwrap();
    assert!((got - 19.658891).abs() <= 3e-3 * 19.66, "{got} N");
}
