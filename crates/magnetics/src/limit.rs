//! Limits of the field where it jumps or diverges: on surfaces and edges, as a point is approached from a side.

use crate::assembly::FieldError;
use crate::body::within_reach;
use crate::scene::Scene;
use crate::solid::Polarisation;
use materials::MU_0;
use numerics::vector::{add, length, scale};

/// The first step off the point, as a share of the smallest body's size, and how often it is halved: down to where forms for faces take over.
const FIRST: f64 = 1e-3;
const STEPS: usize = 21;

/// Powers of two that each stage of the extrapolation removes. Twice each, because at an edge powers of the distance come with its logarithm too.
const STAGES: [f64; 5] = [2.0, 2.0, 4.0, 4.0, 8.0];

/// Limits that are not certain to this share of the largest polarisation are none: by then a logarithm would have shown.
const CERTAIN: f64 = 1e-6;

/// The field as a point is approached; a component that grows without limit is `None`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Components of B, T.
    pub flux_density: [Option<f64>; 3],
    /// Components of H, A/m.
    pub field_strength: [Option<f64>; 3],
}

impl Scene {
    /// Limits of B and H as a point is approached from the side to which `side` points: of the field at `point + s side` as `s` falls to 0.
    ///
    /// On a face it tells the two sides apart: the component of B along the face and that of H across it jump there. On an edge the components
    /// that stay finite are given; they depend on the side. Elsewhere it is the field. Extrapolated from points off the surface; 1e-8 of the polarisation,
    /// 1e-6 where another edge is within a micrometre.
    ///
    /// # Errors
    /// [`FieldError::Side`] for a direction that is none, [`FieldError::Point`] for coordinates out of range,
    /// [`FieldError::OnEdge`] where the way along `side` is itself an edge.
    pub fn limits(&self, point: [f64; 3], side: [f64; 3]) -> Result<Limits, FieldError> {
        let size = length(side);
        if !(size > 0.0 && size.is_finite()) {
            return Err(FieldError::Side { side });
        }
        if !within_reach(point) {
            return Err(FieldError::Point { point });
        }
        let smallest = self
            .bodies()
            .iter()
            .map(|body| body.bounding_ball().1)
            .fold(1.0, f64::min);
        let largest = self
            .bodies()
            .iter()
            .map(|body| strength(body.polarisation()))
            .fold(0.0, f64::max);
        let mut samples = [[0.0; 6]; STEPS];
        for (k, sample) in samples.iter_mut().enumerate() {
            let off = FIRST * smallest * 0.5_f64.powi(k as i32);
            let (b, h) = self.both(add(point, scale(side, off / size)))?;
            *sample = [b[0], b[1], b[2], h[0], h[1], h[2]];
        }
        let limit = |i: usize| extrapolated(samples.map(|sample| sample[i]), CERTAIN * largest);
        Ok(Limits {
            flux_density: [limit(0), limit(1), limit(2)],
            field_strength: [limit(3), limit(4), limit(5)].map(|h| h.map(|h| h / MU_0)),
        })
    }
}

fn strength(polarisation: Polarisation) -> f64 {
    match polarisation {
        Polarisation::Along(j) => length(j),
        Polarisation::Radial(j) => j.abs(),
    }
}

/// The limit of a sequence whose steps are halved, if it is certain to within `certain`.
fn extrapolated(mut row: [f64; STEPS], certain: f64) -> Option<f64> {
    let mut best = (f64::INFINITY, 0.0);
    let mut used = STEPS;
    for power in STAGES {
        used -= 1;
        for k in 0..used {
            row[k] = (power * row[k + 1] - row[k]) / (power - 1.0);
        }
        for pair in row[..used].windows(2) {
            let change = (pair[1] - pair[0]).abs();
            if change < best.0 {
                best = (change, pair[1]);
            }
        }
    }
    (best.0 <= certain).then_some(best.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::placed::Placed;
    use crate::shape::Shape;
    use crate::solid::Solid;
    use numerics::vector::Vector;

    fn scene(shape: Shape, along: Vector) -> Scene {
        Scene::new(vec![
            Placed::new(Solid::Plain(shape), Polarisation::Along(along), [0.0; 3], [0.0; 3]).expect("valid"),
        ])
    }

    const BLOCK: Shape = Shape::Block {
        length: 0.02,
        width: 0.01,
        thickness: 0.005,
    };

    #[test]
    fn faces_have_two_sides() {
        let j = [0.0, 0.0, 1.0];
        for (shape, point, out) in [
            (BLOCK, [0.003, 0.001, 0.0025], [0.0, 0.0, 1.0]),
            (BLOCK, [0.01, 0.001, 0.0007], [1.0, 0.0, 0.0]),
            (
                Shape::Disc {
                    diameter: 0.01,
                    thickness: 0.004,
                },
                [0.003, 0.004, 0.001],
                [0.6, 0.8, 0.0],
            ),
        ] {
            let scene = scene(shape, j);
            let outside = scene.limits(point, out).expect("a side");
            let within = scene.limits(point, out.map(|c: f64| -c)).expect("a side");
            let at = |limits: &Limits| limits.flux_density.map(|b| b.expect("finite"));
            let (b_out, b_in) = (at(&outside), at(&within));
            let h = |limits: &Limits| limits.field_strength.map(|h| MU_0 * h.expect("finite"));
            let (h_out, h_in) = (h(&outside), h(&within));
            // B keeps its normal component, H its tangential ones; J is what B has more than H inside.
            let normal = |v: Vector| v[0] * out[0] + v[1] * out[1] + v[2] * out[2];
            assert!((normal(b_out) - normal(b_in)).abs() <= 1e-9, "{b_out:?} {b_in:?}");
            for i in 0..3 {
                assert!((b_in[i] - h_in[i] - j[i]).abs() <= 1e-9 && (b_out[i] - h_out[i]).abs() <= 1e-9);
                let jump = normal(j) * out[i];
                assert!((h_out[i] - h_in[i] - jump).abs() <= 1e-9, "{h_out:?} {h_in:?}");
            }
            let field = scene.flux_density(point).expect("off the edges");
            assert!(
                (0..3).all(|i| (field[i] - b_out[i]).abs() <= 1e-9),
                "{field:?} {b_out:?}"
            );
        }
    }

    /// On the edge of a pole face only the component across the side face diverges; that along z takes a value for every direction,
    /// by the angle under which the face is left: from `B_z` on the face's own plane, a half turn takes away half of J.
    #[test]
    fn edges_keep_what_is_finite() {
        let scene = scene(BLOCK, [0.0, 0.0, 1.0]);
        let edge = [0.01, 0.001, 0.0025];
        let at = |side: Vector| scene.limits(edge, side).expect("a side").flux_density;
        let (up, aside, slant) = (at([0.0, 0.0, 1.0]), at([1.0, 0.0, 0.0]), at([1.0, 0.0, 1.0]));
        for limits in [up, aside, slant] {
            assert_eq!(limits[0], None);
            assert!(limits[1].is_some());
        }
        let z = |limits: [Option<f64>; 3]| limits[2].expect("finite");
        // The angle of the charged half plane, seen from there, over 2π.
        assert!((z(up) - z(aside) - 0.25).abs() <= 1e-7, "{up:?} {aside:?}");
        assert!((z(slant) - z(aside) - 0.125).abs() <= 1e-7, "{slant:?} {aside:?}");
        assert!(matches!(scene.flux_density(edge), Err(FieldError::OnEdge { .. })));
    }

    #[test]
    fn elsewhere_the_limit_is_the_field() {
        let scene = scene(BLOCK, [0.3, 0.0, 1.0]);
        let point = [0.013, 0.002, 0.004];
        let got = scene.limits(point, [0.3, -0.2, 0.7]).expect("a side").flux_density;
        let expected = scene.flux_density(point).expect("off the edges");
        assert!(
            (0..3).all(|i| (got[i].expect("finite") - expected[i]).abs() <= 1e-12),
            "{got:?}"
        );
        for side in [[0.0; 3], [f64::NAN, 0.0, 0.0]] {
            assert!(matches!(scene.limits(point, side), Err(FieldError::Side { .. })));
        }
        assert!(matches!(
            scene.limits([f64::NAN, 0.0, 0.0], [1.0, 0.0, 0.0]),
            Err(FieldError::Point { .. })
        ));
    }
}
