use magnetics::profile::Profile;

use super::*;

/// A cone of 10 mm base and 10 mm height, and a cylinder: volume and surface by the formulas of school.
#[test]
fn turned_parts_have_the_volume_and_surface_of_school_formulas() {
    let cone = SteelPart {
        name: "tip",
        profile: vec![[0.0, 0.0], [5e-3, 0.0], [0.0, 10e-3]],
    };
    assert!((cone.volume() / (PI * 25e-6 * 10e-3 / 3.0) - 1.0).abs() < 1e-12);
    let slant = 5e-3_f64.hypot(10e-3);
    assert!((cone.surface() / (PI * 25e-6 + PI * 5e-3 * slant) - 1.0).abs() < 1e-12);
    let disc = Piece::disc(10e-3, 4e-3, -4e-3);
    assert!((disc.surface() / (0.5 * PI * 1e-4 + PI * 10e-3 * 4e-3) - 1.0).abs() < 1e-12);
}

#[test]
fn reach_and_height_hold_every_part() {
    let frustum = Profile::frustum(20e-3, 10e-3, 6e-3).unwrap();
    let draft = Draft {
        family: Family::Taper,
        sizes: Vec::new(),
        magnets: vec![
            Piece::new(Solid::Turned(frustum), UP, [0.0, 0.0, -3e-3]),
            Piece::disc(20e-3, 5e-3, -11e-3),
        ],
        steel: vec![SteelPart {
            name: "back-plate",
            profile: vec![[0.0, -13e-3], [15e-3, -13e-3], [15e-3, -11e-3], [0.0, -11e-3]],
        }],
    };
    assert_eq!(draft.reach(), [15e-3, 15e-3]);
    assert!((draft.height() - 13e-3).abs() < 1e-15);
    assert!(draft.is_turned());
}

/// By hand: both volumes times both densities.
#[test]
fn the_steel_counts_in_the_mass() {
    let draft = Draft {
        family: Family::BackPlate,
        sizes: Vec::new(),
        magnets: vec![Piece::disc(20e-3, 5e-3, -5e-3)],
        steel: vec![SteelPart {
            name: "back-plate",
            profile: vec![[0.0, -8e-3], [10e-3, -8e-3], [10e-3, -5e-3], [0.0, -5e-3]],
        }],
    };
    let by_hand = PI * 1e-4 * (5e-3 * 7500.0 + 3e-3 * 7850.0);
    assert!((draft.mass(7500.0) / by_hand - 1.0).abs() < 1e-12);
}
