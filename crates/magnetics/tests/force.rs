//! What forces between magnets must do, and the quick path against the general one.

use magnetics::force::{ForceError, axial_force, block_force, plate_pull};
use magnetics::{Assembly, Body, Shape, StackPull, stack};
use materials::MU_0;
use proptest::prelude::*;

const MM: f64 = 1e-3;

/// The quick path does the same sums in another order.
const SAME: f64 = 1e-12;

fn flat_faced() -> impl Strategy<Value = Shape> {
    let size = || 1.0 * MM..30.0 * MM;
    prop_oneof![
        (size(), size()).prop_map(|(diameter, thickness)| Shape::Disc { diameter, thickness }),
        (size(), 0.1..0.85, size()).prop_map(|(outer_diameter, hole, thickness)| Shape::Ring {
            outer_diameter,
            inner_diameter: hole * outer_diameter,
            thickness
        }),
        (size(), size(), size()).prop_map(|(length, width, thickness)| Shape::Block {
            length,
            width,
            thickness
        }),
    ]
}

fn any_shape() -> impl Strategy<Value = Shape> {
    prop_oneof![
        flat_faced(),
        (1.0 * MM..30.0 * MM).prop_map(|diameter| Shape::Sphere { diameter })
    ]
}

fn turned() -> impl Strategy<Value = Shape> {
    flat_faced().prop_filter("turned", |shape| !matches!(shape, Shape::Block { .. }))
}

fn body(shape: Shape, z: f64) -> Body {
    Body {
        shape,
        polarisation: 1.3,
        centre: [0.0, 0.0, z],
    }
}

/// `upper` with its bottom face `gap` above the top face of `lower`.
fn apart(upper: Shape, lower: Shape, gap: f64) -> (Body, Body) {
    (
        body(upper, 0.5 * (upper.height() + lower.height()) + gap),
        body(lower, 0.0),
    )
}

proptest! {
    #[test]
    fn action_is_reaction(first in turned(), second in turned(), gap in 0.0..50.0 * MM) {
        let (upper, lower) = apart(first, second, gap);
        let up = axial_force(&[upper], &[lower]).expect("coaxial");
        let down = axial_force(&[lower], &[upper]).expect("coaxial");
        let contact = 1.3 * 1.3 / (2.0 * MU_0) * first.pole_area().max(second.pole_area());
        prop_assert!((up + down).abs() <= 1e-13 * contact, "{} {}", up, down);
    }

    #[test]
    fn blocks_act_equally_on_each_other(a in [1.0..20.0_f64, 1.0..20.0, 1.0..20.0], b in [1.0..20.0_f64, 1.0..20.0, 1.0..20.0], x in -20.0..20.0_f64, y in -20.0..20.0_f64, gap in 0.1..20.0_f64) {
        let block = |s: [f64; 3]| Shape::Block { length: s[0] * MM, width: s[1] * MM, thickness: s[2] * MM };
        let moving = Body { shape: block(a), polarisation: 1.0, centre: [x * MM, y * MM, (0.5 * (a[2] + b[2]) + gap) * MM] };
        let fixed = body(block(b), 0.0);
        let (there, back) = (block_force(&moving, &fixed).expect("blocks"), block_force(&fixed, &moving).expect("blocks"));
        let contact = 1.3 / (2.0 * MU_0) * (a[0] * a[1]).min(b[0] * b[1]) * MM * MM;
        for i in 0..3 {
            prop_assert!((there[i] + back[i]).abs() <= 1e-10 * contact);
        }
    }

    /// Far apart: two dipoles, `3 μ0 m1 m2 / (2 π r⁴)`, at 1000 sizes to the square of size over distance.
    #[test]
    fn far_away_dipoles(shape in any_shape()) {
        let distance = 1000.0 * shape.widest().max(shape.height());
        let (upper, lower) = (body(shape, distance), body(shape, 0.0));
        let force = axial_force(&[upper], &[lower]).expect("coaxial");
        let expected = -3.0 * MU_0 * upper.moment() * lower.moment() / (2.0 * std::f64::consts::PI * distance.powi(4));
        prop_assert!((force / expected - 1.0).abs() <= 1e-5, "{} {}", force, expected);
    }

    #[test]
    fn quick_pull_is_the_general_one(shape in any_shape(), pieces in 1_usize..9, plating in prop_oneof![Just(0.0), 1e-6..30e-6], gap in 0.0..3.0 * MM) {
        let general = stack(&shape, plating, pieces, 1.3).expect("valid");
        let quick = StackPull::new(&shape, plating, pieces, 1.3).expect("valid");
        let expected = plate_pull(general.bodies(), gap + plating).expect("valid");
        let got = quick.plate_pull(gap).expect("valid");
        // Rounding counts against the pull in contact, from whose parts the pull across a gap is the difference.
        let contact = quick.plate_pull(0.0).expect("valid");
        let area = 1.3 * 1.3 / MU_0 * shape.pole_area();
        prop_assert!((got - expected).abs() <= SAME * (contact + area), "{} {}", got, expected);
        let twice = quick.pair_attraction(2.0 * gap).expect("valid");
        prop_assert!((twice - got).abs() <= SAME * (contact + area));
    }

    #[test]
    fn an_unplated_stack_is_solid(shape in flat_faced(), pieces in 2_usize..9, gap in 0.0..3.0 * MM) {
        let solid = shape.with_height(shape.height() * pieces as f64).expect("flat faces");
        prop_assume!(solid.validate().is_ok());
        let stacked = StackPull::solid_equivalent(&shape, pieces, 1.3).expect("valid").plate_pull(gap).expect("valid");
        let single = StackPull::new(&solid, 0.0, 1, 1.3).expect("valid").plate_pull(gap).expect("valid");
        prop_assert!((stacked - single).abs() <= 1e-12 * single.abs());
    }

    /// Attraction is the slope of the field energy: the flux that each face of one sends through the other, over the gap.
    #[test]
    fn force_over_distance_is_smooth(shape in flat_faced(), ratio in 2.0..4.0_f64) {
        // Where the closed form hands over to the series, at about three sizes.
        let pull = StackPull::new(&shape, 0.0, 1, 1.0).expect("valid");
        let reach = match shape {
            Shape::Block { length, width, .. } => length.hypot(width),
            _ => shape.widest(),
        };
        let at = |gap: f64| pull.pair_attraction(gap).expect("valid");
        let change = 3.0 * reach;
        let (near, far) = (at(change * (1.0 - 1e-12)), at(change * (1.0 + 1e-12)));
        prop_assert!((near / far - 1.0).abs() <= 1e-8, "{:e}", near / far - 1.0);
        prop_assert!(at(ratio * reach) > at(1.1 * ratio * reach));
    }

    /// Blocks go over to dipole grids without a step.
    #[test]
    fn distant_blocks_join_near_ones(s in [2.0..20.0_f64, 2.0..20.0, 2.0..20.0], direction in [0.2..1.0_f64, 0.2..1.0, 0.2..1.0]) {
        let shape = Shape::Block { length: s[0] * MM, width: s[1] * MM, thickness: s[2] * MM };
        let size = (0.5 * s.iter().map(|c| c * c).sum::<f64>()).sqrt() * MM;
        let norm = direction.iter().map(|c| c * c).sum::<f64>().sqrt();
        let at = |share: f64| {
            let centre = direction.map(|c| c / norm * 3.0 * size * share);
            block_force(&Body { shape, polarisation: 1.0, centre }, &body(shape, 0.0)).expect("blocks")
        };
        let (near, far) = (at(1.0 - 1e-10), at(1.0 + 1e-10));
        let length = |v: [f64; 3]| v.iter().map(|c| c * c).sum::<f64>().sqrt();
        let error = length([0, 1, 2].map(|i| near[i] - far[i])) / length(far);
        prop_assert!(error <= 1e-8, "{error:e}");
    }
}

/// A disc in the hole of a ring is pushed out by the slope of the ring's own flux.
#[test]
fn a_plunger_in_a_ring() {
    let ring = Shape::Ring {
        outer_diameter: 20.0 * MM,
        inner_diameter: 10.0 * MM,
        thickness: 6.0 * MM,
    };
    let plunger = Shape::Disc {
        diameter: 8.0 * MM,
        thickness: 4.0 * MM,
    };
    let lower = body(ring, 0.0);
    let alone = Assembly::new(vec![lower]).expect("valid");
    for z in [0.0, 1.0 * MM, 3.0 * MM, 4.0 * MM, 6.0 * MM] {
        let force = axial_force(&[body(plunger, z)], &[lower]).expect("fits in the hole");
        // Charge on the faces of the plunger times H of the ring; H = B / μ0 outside the ring.
        let flux = |face: f64| alone.flux_through_circle(4.0 * MM, face).expect("turned");
        let expected = 1.3 / MU_0 * (flux(z + 2.0 * MM) - flux(z - 2.0 * MM));
        assert!((force - expected).abs() <= 1e-9, "{z}: {force} {expected}");
    }
    let tight = Shape::Disc {
        diameter: 12.0 * MM,
        thickness: 4.0 * MM,
    };
    assert_eq!(
        axial_force(&[body(tight, 0.0)], &[lower]),
        Err(ForceError::Overlap { upper: 0, lower: 0 })
    );
}

#[test]
fn pairs_without_a_closed_form_are_refused() {
    let disc = Shape::Disc {
        diameter: 10.0 * MM,
        thickness: 5.0 * MM,
    };
    let block = Shape::Block {
        length: 10.0 * MM,
        width: 10.0 * MM,
        thickness: 5.0 * MM,
    };
    let (upper, lower) = apart(disc, block, 1.0 * MM);
    assert_eq!(
        axial_force(&[upper], &[lower]),
        Err(ForceError::Mixed {
            first: "a disc",
            second: "a block"
        })
    );
    let (mut upper, lower) = apart(disc, disc, 1.0 * MM);
    upper.centre[0] = 1.0 * MM;
    assert!(matches!(
        axial_force(&[upper], &[lower]),
        Err(ForceError::OffAxis { .. })
    ));
    assert!(matches!(axial_force(&[], &[lower]), Err(ForceError::Body(_))));
    let cube = body(block, 0.0);
    assert!(matches!(
        block_force(
            &lower,
            &Body {
                centre: [0.1, 0.0, 0.0],
                ..cube
            }
        ),
        Err(ForceError::Mixed { .. })
    ));
    assert!(matches!(block_force(&cube, &cube), Err(ForceError::Overlap { .. })));
    assert!(matches!(
        block_force(
            &cube,
            &Body {
                polarisation: f64::NAN,
                ..cube
            }
        ),
        Err(ForceError::Body(_))
    ));
    for bad in [-1e-6, f64::NAN, f64::INFINITY] {
        assert!(
            matches!(plate_pull(&[lower], bad), Err(ForceError::Gap { .. })),
            "{bad}"
        );
        let quick = StackPull::new(&disc, 0.0, 1, 1.0).expect("valid");
        assert!(quick.plate_pull(bad).is_err() && quick.pair_attraction(bad).is_err());
    }
    for pieces in [0, 1001] {
        assert!(StackPull::new(&disc, 1e-6, pieces, 1.0).is_err() && stack(&disc, 1e-6, pieces, 1.0).is_err());
    }
    assert!(StackPull::new(&disc, 3.0 * MM, 1, 1.0).is_err() && StackPull::new(&disc, 0.0, 1, f64::NAN).is_err());
}

#[test]
fn a_stack_stands_on_its_plated_face() {
    let disc = Shape::Disc {
        diameter: 10.0 * MM,
        thickness: 2.0 * MM,
    };
    let three = stack(&disc, 20e-6, 3, 1.2).expect("valid");
    assert_eq!(three.bodies().len(), 3);
    assert!((three.bottom() - 20e-6).abs() <= 1e-15 && (three.top() - (6.0 * MM - 20e-6)).abs() <= 1e-15);
    let solid = stack(&disc, 0.0, 3, 1.2).expect("valid");
    assert_eq!(solid.bodies().len(), 1);
    assert!(solid.bottom().abs() <= 1e-15 && (solid.top() - 6.0 * MM).abs() <= 1e-15);
}
