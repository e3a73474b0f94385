//! What any magnetostatic field must do, whatever the magnet.

use magnetics::{Assembly, Body, BodyError, FieldError, Shape};
use materials::MU_0;
use proptest::prelude::*;

const MM: f64 = 1e-3;

fn shapes() -> impl Strategy<Value = Shape> {
    let size = || 1.0 * MM..30.0 * MM;
    prop_oneof![
        (size(), size()).prop_map(|(diameter, thickness)| Shape::Disc { diameter, thickness }),
        (size(), 0.1..0.9, size()).prop_map(|(outer_diameter, hole, thickness)| Shape::Ring {
            outer_diameter,
            inner_diameter: hole * outer_diameter,
            thickness
        }),
        (size(), size(), size()).prop_map(|(length, width, thickness)| Shape::Block {
            length,
            width,
            thickness
        }),
        size().prop_map(|diameter| Shape::Sphere { diameter }),
    ]
}

fn turned() -> impl Strategy<Value = Shape> {
    shapes().prop_filter("turned", |shape| !matches!(shape, Shape::Block { .. }))
}

fn points(reach: f64) -> impl Strategy<Value = [f64; 3]> {
    [-reach..reach, -reach..reach, -reach..reach]
}

fn single(shape: Shape) -> Assembly {
    Assembly::new(vec![Body {
        shape,
        polarisation: 1.2,
        centre: [0.0; 3],
    }])
    .expect("a valid magnet")
}

fn length(v: [f64; 3]) -> f64 {
    v.iter().map(|c| c * c).sum::<f64>().sqrt()
}

/// Distance from a point to the nearest surface of a body centred at the origin, at least; used to stay clear of jumps and edges.
fn clear_of_surface(shape: &Shape, [x, y, z]: [f64; 3]) -> f64 {
    let rho = x.hypot(y);
    let face = (z.abs() - 0.5 * shape.height()).abs();
    let side = match *shape {
        Shape::Disc { diameter, .. } => (rho - 0.5 * diameter).abs(),
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            ..
        } => (rho - 0.5 * outer_diameter)
            .abs()
            .min((rho - 0.5 * inner_diameter).abs()),
        Shape::Block { length, width, .. } => (x.abs() - 0.5 * length).abs().min((y.abs() - 0.5 * width).abs()),
        Shape::Sphere { diameter } => return (rho.hypot(z) - 0.5 * diameter).abs(),
    };
    face.min(side)
}

proptest! {
    /// div B = 0 everywhere and curl B = 0 off the surfaces, inside and outside, by central differences of fourth order.
    #[test]
    fn no_sources_and_no_curl(shape in shapes(), point in points(30.0 * MM)) {
        let clear = clear_of_surface(&shape, point);
        prop_assume!(clear > 0.3 * MM);
        let magnet = single(shape);
        let step = 0.01 * clear;
        let slope = |along: usize| {
            let at = |k: f64| {
                let mut moved = point;
                moved[along] += k * step;
                magnet.flux_density(moved).expect("off the edges")
            };
            let (a, b, c, d) = (at(-2.0), at(-1.0), at(1.0), at(2.0));
            [0, 1, 2].map(|i| (a[i] - 8.0 * b[i] + 8.0 * c[i] - d[i]) / (12.0 * step))
        };
        let [dx, dy, dz] = [slope(0), slope(1), slope(2)];
        // Rounding of the field over the step, and the remainder of the differences.
        let allowed = 1e-12 / step + 1e-6 * length([length(dx), length(dy), length(dz)]);
        prop_assert!((dx[0] + dy[1] + dz[2]).abs() <= allowed);
        let curl = length([dy[2] - dz[1], dz[0] - dx[2], dx[1] - dy[0]]);
        prop_assert!(curl <= 2.0 * allowed, "{curl} {allowed}");
    }

    #[test]
    fn mirror_images(shape in shapes(), point in points(40.0 * MM)) {
        let magnet = single(shape);
        let [bx, by, bz] = magnet.flux_density(point).expect("off the edges");
        let [x, y, z] = point;
        prop_assert_eq!(magnet.flux_density([-x, y, z]).expect("off"), [-bx, by, bz]);
        prop_assert_eq!(magnet.flux_density([x, -y, z]).expect("off"), [bx, -by, bz]);
        let below = magnet.flux_density([x, y, -z]).expect("off");
        let size = length([bx, by, bz]);
        prop_assert!(length([below[0] + bx, below[1] + by, below[2] - bz]) <= 1e-11 * size + 1e-15);
    }

    #[test]
    fn fields_add_up(one in shapes(), other in shapes(), point in points(40.0 * MM), shift in points(20.0 * MM)) {
        let bodies = [
            Body { shape: one, polarisation: 1.2, centre: [0.0; 3] },
            Body { shape: other, polarisation: -0.7, centre: shift },
        ];
        let both = Assembly::new(bodies.to_vec()).expect("valid").flux_density(point).expect("off");
        let parts = bodies.map(|body| Assembly::new(vec![body]).expect("valid").flux_density(point).expect("off"));
        for i in 0..3 {
            prop_assert!((both[i] - parts[0][i] - parts[1][i]).abs() <= 1e-15);
        }
    }

    /// At 1000 diameters any magnet is a dipole, to the square of size over distance.
    #[test]
    fn far_away_a_dipole(shape in shapes(), direction in points(1.0)) {
        let size = length(direction);
        prop_assume!(size > 0.1);
        let magnet = single(shape);
        let reach = 1000.0 * shape.widest().max(shape.height());
        let point = direction.map(|c| c / size * reach);
        let scale = MU_0 * magnet.moment() / (4.0 * std::f64::consts::PI * reach.powi(3));
        let cos = point[2] / reach;
        let expected = [3.0 * cos * point[0] / reach, 3.0 * cos * point[1] / reach, 3.0 * cos * cos - 1.0].map(|c| c * scale);
        let got = magnet.flux_density(point).expect("off");
        let error = length([0, 1, 2].map(|i| got[i] - expected[i])) / length(expected);
        prop_assert!(error <= 3e-6, "{error:e}");
    }

    /// The near and the far form meet where one takes over from the other.
    #[test]
    fn no_step_where_methods_change(shape in shapes(), direction in points(1.0), ratio in 5.9..8.1_f64) {
        let size = length(direction);
        prop_assume!(size > 0.1);
        let bounding = match shape {
            Shape::Block { length, width, thickness } => 0.5 * length.hypot(width).hypot(thickness),
            _ => 0.5 * shape.widest().hypot(shape.height()),
        };
        let magnet = single(shape);
        // Just inside and outside the change, the field differs only as the distance does.
        let limit = if matches!(shape, Shape::Block { .. }) { 6.0 } else { 8.0 };
        let at = |r: f64| magnet.flux_density(direction.map(|c| c / size * r)).expect("off");
        let (near, far) = (at(bounding * limit * (1.0 - 1e-12)), at(bounding * limit * (1.0 + 1e-12)));
        let error = length([0, 1, 2].map(|i| near[i] - far[i])) / length(far);
        prop_assert!(error <= 1e-10, "{error:e}");
        prop_assert!(length(at(bounding * ratio)).is_finite());
    }

    #[test]
    fn axis_form_is_the_general_one(shape in shapes(), distance in -20.0 * MM..200.0 * MM) {
        let magnet = single(shape);
        let general = magnet.flux_density([0.0, 0.0, 0.5 * shape.height() + distance]).expect("off")[2];
        let axis = magnet.axial_flux_density(distance).expect("in range");
        prop_assert!((general - axis).abs() <= 1e-10 * axis.abs() + 1e-13, "{} {}", general, axis);
    }

    /// The mean over a disc by flux and by quadrature, and the mean over a tiny disc is the value at its centre.
    #[test]
    fn mean_over_an_element(shape in shapes(), distance in 0.3 * MM..20.0 * MM) {
        let magnet = single(shape);
        let diameter = 0.5 * distance.min(shape.widest());
        let top = 0.5 * shape.height();
        let flux = magnet.axial_mean_flux_density(distance, diameter).expect("in range");
        let points = magnet.mean_flux_density_over_disc([0.0, 0.0, top + distance], diameter).expect("in range");
        prop_assert!((flux - points).abs() <= 1e-9, "{} {}", flux, points);
        let tiny = magnet.axial_mean_flux_density(distance, 1e-4 * distance).expect("in range");
        prop_assert!((tiny - magnet.axial_flux_density(distance).expect("in range")).abs() <= 1e-7);
    }

    /// Flux through a circle is the integral of its rim's field: the slope over the radius is `2 π ρ B_z`.
    #[test]
    fn flux_through_a_circle_has_the_field_as_its_slope(shape in turned(), rho in 0.5..1.5_f64, z in -1.5..1.5_f64) {
        let (rho, z) = (rho * 0.5 * shape.widest(), z * shape.height());
        let clear = clear_of_surface(&shape, [rho, 0.0, z]);
        prop_assume!(clear > 0.05 * shape.widest().min(shape.height()));
        let magnet = single(shape);
        let step = 1e-2 * clear;
        let at = |k: f64| magnet.flux_through_circle(rho + k * step, z).expect("turned");
        let slope = (at(-2.0) - 8.0 * at(-1.0) + 8.0 * at(1.0) - at(2.0)) / (12.0 * step);
        let expected = 2.0 * std::f64::consts::PI * rho * magnet.flux_density([rho, 0.0, z]).expect("off")[2];
        let unit = 2.0 * std::f64::consts::PI * rho;
        prop_assert!((slope - expected).abs() <= 1e-6 * unit, "{} {}", slope / unit, expected / unit);
    }
}

#[test]
fn h_inside_is_opposed_and_b_continuous_through_the_pole() {
    let shape = Shape::Disc {
        diameter: 10.0 * MM,
        thickness: 5.0 * MM,
    };
    let magnet = single(shape);
    let below = magnet.field_strength([1.0 * MM, 0.0, 2.4999999 * MM]).expect("inside");
    let above = magnet
        .field_strength([1.0 * MM, 0.0, 2.5 * MM])
        .expect("on the face: limit from outside");
    assert!(below[2] < 0.0 && above[2] > 0.0);
    assert!((above[2] - below[2] - 1.2 / MU_0).abs() <= 1e-6 * 1.2 / MU_0);
    // On the curved side the limit from outside, where B_z falls by the polarisation.
    for (shape, radius, outward) in [
        (shape, 5.0 * MM, 1.0),
        (
            Shape::Ring {
                outer_diameter: 20.0 * MM,
                inner_diameter: 10.0 * MM,
                thickness: 5.0 * MM,
            },
            5.0 * MM,
            -1.0,
        ),
        (
            Shape::Block {
                length: 10.0 * MM,
                width: 8.0 * MM,
                thickness: 5.0 * MM,
            },
            5.0 * MM,
            1.0,
        ),
    ] {
        let magnet = single(shape);
        let at = |offset: f64| {
            magnet
                .flux_density([radius + offset, 0.0, 1.0 * MM])
                .expect("off the edges")[2]
        };
        let step = 1e-9 * outward;
        assert!(
            (at(0.0) - at(step)).abs() <= 1e-5,
            "{shape:?}: {} {}",
            at(0.0),
            at(step)
        );
        assert!(
            (at(-step) - at(0.0) - 1.2).abs() <= 1e-5,
            "{shape:?}: {} {}",
            at(-step),
            at(0.0)
        );
    }
}

#[test]
fn edges_and_odd_points_are_refused() {
    let disc = single(Shape::Disc {
        diameter: 10.0 * MM,
        thickness: 5.0 * MM,
    });
    let rim = [5.0 * MM, 0.0, 2.5 * MM];
    assert_eq!(disc.flux_density(rim), Err(FieldError::OnEdge { body: 0, point: rim }));
    let ring = single(Shape::Ring {
        outer_diameter: 20.0 * MM,
        inner_diameter: 10.0 * MM,
        thickness: 5.0 * MM,
    });
    assert!(matches!(ring.flux_density(rim), Err(FieldError::OnEdge { .. })));
    let block = single(Shape::Block {
        length: 10.0 * MM,
        width: 8.0 * MM,
        thickness: 5.0 * MM,
    });
    assert!(matches!(
        block.flux_density([5.0 * MM, 1.0 * MM, -2.5 * MM]),
        Err(FieldError::OnEdge { .. })
    ));
    // On the extension of an edge, and half way up a corner, the field is finite.
    for point in [
        [5.0 * MM, 9.0 * MM, 2.5 * MM],
        [-20.0 * MM, -4.0 * MM, 2.5 * MM],
        [5.0 * MM, 4.0 * MM, 0.0],
    ] {
        let b = block.flux_density(point).expect("finite");
        assert!(b.iter().all(|c| c.is_finite()), "{point:?} {b:?}");
        let aside = block.flux_density(point.map(|c| c * (1.0 + 1e-9))).expect("finite");
        assert!((0..2).all(|i| (b[i] - aside[i]).abs() <= 1e-6), "{b:?} {aside:?}");
    }
    for bad in [f64::NAN, f64::INFINITY, 1e7] {
        assert!(
            matches!(disc.flux_density([0.0, bad, 0.0]), Err(FieldError::Point { .. })),
            "{bad}"
        );
        assert!(
            matches!(disc.axial_flux_density(bad), Err(FieldError::Point { .. })),
            "{bad}"
        );
        assert!(
            matches!(
                disc.mean_flux_density_over_disc([0.0; 3], bad),
                Err(FieldError::Element { .. })
            ),
            "{bad}"
        );
        assert!(disc.flux_through_circle(bad, 0.0).is_none());
    }
    assert!(!FieldError::Element { diameter: 0.0 }.hint().is_empty());
}

#[test]
fn bodies_out_of_range_are_refused() {
    assert_eq!(Assembly::new(Vec::new()), Err(BodyError::Empty));
    let good = Body {
        shape: Shape::Sphere { diameter: 0.01 },
        polarisation: 1.0,
        centre: [0.0; 3],
    };
    for bad in [f64::NAN, f64::INFINITY, 11.0] {
        let body = Body {
            polarisation: bad,
            ..good
        };
        assert!(
            matches!(Assembly::new(vec![good, body]), Err(BodyError::Shape { body: 1, .. })),
            "{bad}"
        );
    }
    let body = Body {
        centre: [0.0, f64::NAN, 0.0],
        ..good
    };
    assert!(matches!(
        Assembly::new(vec![body]),
        Err(BodyError::Centre { body: 0, .. })
    ));
}
