use serde::Deserialize;

use super::*;
use crate::pack::{Pieces, pack};
use crate::request::{Arrangement, USUAL_FILLER};

fn dipole(at: Vector, moment: Vector) -> Source {
    Source { at, moment }
}

/// Moments at which a dipole on its axis meets the limits; computed from `m = 2 π r³ B / μ0`: 0.525 µT at 4.6 m, at 4.5 m and at
/// 2.1 m, 0.2 µT at 2.1 m.
#[test]
fn a_dipole_meets_the_limits_at_the_known_moments() {
    for (moment, distance, limit) in [
        (255.5, 4.6, 0.525e-6),
        (239.2, 4.5, 0.525e-6),
        (24.31, 2.1, 0.525e-6),
        (9.261, 2.1, 0.2e-6),
    ] {
        let source = [dipole([0.0; 3], [0.0, 0.0, moment])];
        let found = most(&source, [0.0; 3], distance);
        assert!((found.flux_density / limit - 1.0).abs() < 5e-4, "{moment}: {found:?}");
        assert!(found.direction[2].abs() > 0.9999, "{found:?}");
    }
}

/// Two turned against each other at ± s/2: at r beyond the end of the couple `-μ0 m / 4π (1/(r - s/2)³ - 1/(r + s/2)³)`.
#[test]
fn a_couple_is_as_by_hand() {
    let (s, r, m) = (22e-3, 2.1, 10.0);
    let couple = [
        dipole([0.5 * s, 0.0, 0.0], [0.0, 0.0, m]),
        dipole([-0.5 * s, 0.0, 0.0], [0.0, 0.0, -m]),
    ];
    let by_hand = -1e-7 * m * (1.0 / (r - 0.5 * s).powi(3) - 1.0 / (r + 0.5 * s).powi(3));
    let [x, y, z] = flux_density(&couple, [r, 0.0, 0.0]);
    assert!(
        x.abs() + y.abs() < 1e-20 && (z / by_hand - 1.0).abs() < 1e-9,
        "{z} {by_hand}"
    );
    // The far field falls with the fourth power: 3 s / r times that of one at its side.
    assert!((by_hand.abs() / (3.0 * s / r * 1e-7 * m / r.powi(3)) - 1.0).abs() < 1e-3);
}

#[test]
fn points_lie_at_the_distance_from_the_nearest_surface() {
    let half: Vector = [0.2, 0.1, 0.05];
    for direction in directions(300) {
        let p = point_at(half, direction, 2.1);
        let out: Vector = std::array::from_fn(|k| (p[k].abs() - half[k]).max(0.0));
        assert!((length(out) - 2.1).abs() < 1e-8, "{direction:?}");
        assert!((dot(p, direction) / length(p) - 1.0).abs() < 1e-12);
    }
}

fn packed(count: u32, arrangement: Arrangement) -> (Vec<Source>, Vector) {
    let lines = [Pieces {
        count,
        sides: [30e-3, 20e-3, 7e-3],
        moment: 4.0,
    }];
    let content = pack(&lines, arrangement, None);
    let half = content.size.map(|side| 0.5 * side + USUAL_FILLER);
    (content.sources(&lines), half)
}

/// The search finds what 20,000 directions find, or a little more between them.
#[test]
fn the_worst_direction_is_found() {
    for arrangement in Arrangement::ALL {
        for count in [4, 37, 150] {
            let (sources, half) = packed(count, arrangement);
            let dense = directions(20_000)
                .map(|u| length(flux_density(&sources, point_at(half, u, 2.1))))
                .fold(0.0, f64::max);
            let found = most(&sources, half, 2.1).flux_density;
            assert!(
                found >= dense * (1.0 - 1e-6),
                "{arrangement:?} {count}: {found} {dense}"
            );
            assert!(found <= dense * 1.01, "{arrangement:?} {count}: {found} {dense}");
        }
    }
}

#[derive(Deserialize)]
struct Outside {
    diameter: f64,
    thickness: f64,
    polarisation: f64,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    arrangement: Arrangement,
    distance: f64,
    most: f64,
}

/// Coulomb's law over the charged faces of 64 discs, 10,000 directions; `oracle/parcels.py`.
#[test]
fn packed_discs_are_as_by_their_charges() {
    let outside: Outside = serde_json::from_str(include_str!("../../data/oracle.json")).unwrap();
    let volume = 0.25 * PI * outside.diameter * outside.diameter * outside.thickness;
    let lines = [Pieces {
        count: 64,
        sides: [outside.diameter, outside.diameter, outside.thickness],
        moment: outside.polarisation * volume / MU_0,
    }];
    assert_eq!(outside.cases.len(), 12);
    for case in &outside.cases {
        let content = pack(&lines, case.arrangement, Some(4));
        let half = content.size.map(|side| 0.5 * side + USUAL_FILLER);
        let found = most(&content.sources(&lines), half, case.distance).flux_density;
        // The pieces of the program are dipoles, and the directions of the other lie up to a degree beside the peak.
        let apart = (found / case.most - 1.0).abs();
        assert!(
            apart < 2e-3,
            "{:?} at {} m: {found} {}",
            case.arrangement,
            case.distance,
            case.most
        );
    }
}
