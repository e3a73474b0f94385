//! The fit of the law's network to solves, by Levenberg and Marquardt's method.

use faer::linalg::solvers::Solve;
use faer::{Mat, Side};
use steel::pull_law::{INPUTS, NODES, Net, WEIGHTS, base, coordinates};

use crate::sample::Sample;

/// Steps of a fit at most, and rises of the damping in a row after which it has arrived.
const MOST_STEPS: usize = 400;
const MOST_RISES: usize = 12;
/// Weight of the squares of the weights beside the mean square of the residuals: it keeps the function smooth between solves.
const SMOOTHING: f64 = 3e-7;

/// Coordinates and the value that the network should have there.
type Point = ([f64; INPUTS], f64);

/// Takes the residual of a point, wanted less given, and the derivatives of the given value by the weights.
pub type Visit<'a> = &'a mut dyn FnMut(f64, &[f64]);

/// What is fitted.
pub struct Model<'a> {
    /// Number of points.
    pub points: usize,
    /// Weight of the squares of the weights beside the mean square of the residuals.
    pub smoothing: f64,
    /// Steps at most.
    pub most_steps: usize,
    /// Visits all points with these weights; nothing where the weights make no function.
    pub residuals: &'a dyn Fn(&[f64], Visit),
}

/// Weights that fit the samples best, from those of a related law or from small ones.
pub fn fit(samples: &[Sample], saturation: f64, start: Option<&[f64]>) -> Vec<f64> {
    let points: Vec<Point> = samples
        .iter()
        .map(|s| (coordinates(&s.at, saturation), s.eta.ln() - base(&s.at, saturation)))
        .collect();
    let residuals = |weights: &[f64], visit: Visit| {
        if let Some(net) = Net::new(weights) {
            let mut gradient = [0.0; WEIGHTS];
            for (x, y) in &points {
                let residual = y - net.differentiated(x, &mut gradient);
                visit(residual, &gradient);
            }
        }
    };
    let model = Model {
        points: points.len(),
        smoothing: SMOOTHING,
        most_steps: MOST_STEPS,
        residuals: &residuals,
    };
    arrive(&model, start.map_or_else(small, <[f64]>::to_vec))
}

/// Levenberg and Marquardt's method from these weights.
pub fn arrive(model: &Model, start: Vec<f64>) -> Vec<f64> {
    let mut weights = start;
    let (mut damping, mut rises) = (1e-2, 0);
    let mut loss = losses(model, &weights);
    for _ in 0..model.most_steps {
        let (normal, slope) = equations(model, &weights);
        loop {
            let next = step(&normal, &slope, &weights, damping);
            let now = next.as_deref().map_or(f64::INFINITY, |w| losses(model, w));
            if now < loss {
                let gain = (loss - now) / loss;
                (weights, loss) = (next.unwrap_or_default(), now);
                damping = (damping / 3.0).max(1e-12);
                rises = if gain < 1e-5 { rises + 1 } else { 0 };
                break;
            }
            damping *= 4.0;
            rises += 1;
            if rises > MOST_RISES {
                break;
            }
        }
        if rises > MOST_RISES {
            break;
        }
    }
    weights
}

/// Small weights from a linear congruence, the same at every run; the larger the fewer go into a node.
pub fn small() -> Vec<f64> {
    let mut state = 20_240_229u64;
    let mut draw = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1u64 << 53) as f64 * 2.0 - 1.0
    };
    (0..WEIGHTS)
        .map(|k| {
            draw()
                / if k < NODES * (INPUTS + 1) {
                    1.0
                } else {
                    (NODES as f64).sqrt()
                }
        })
        .collect()
}

fn losses(model: &Model, weights: &[f64]) -> f64 {
    let (mut squares, mut seen) = (0.0, false);
    (model.residuals)(weights, &mut |residual, _| {
        seen = true;
        squares += residual * residual;
    });
    if !seen {
        return f64::INFINITY;
    }
    squares / model.points as f64 + model.smoothing * weights.iter().map(|w| w * w).sum::<f64>()
}

/// Matrix and right side of the linear least squares problem around the weights.
fn equations(model: &Model, weights: &[f64]) -> (Mat<f64>, Mat<f64>) {
    let mut jacobian = Mat::zeros(model.points, weights.len());
    let mut residuals = Mat::zeros(model.points, 1);
    let scale = 1.0 / (model.points as f64).sqrt();
    let mut i = 0;
    (model.residuals)(weights, &mut |residual, gradient| {
        residuals[(i, 0)] = scale * residual;
        for (k, d) in gradient.iter().enumerate() {
            jacobian[(i, k)] = scale * d;
        }
        i += 1;
    });
    let mut normal = jacobian.transpose() * &jacobian;
    let mut slope = jacobian.transpose() * &residuals;
    for (k, w) in weights.iter().enumerate() {
        normal[(k, k)] += model.smoothing;
        slope[(k, 0)] -= model.smoothing * w;
    }
    (normal, slope)
}

fn step(normal: &Mat<f64>, slope: &Mat<f64>, weights: &[f64], damping: f64) -> Option<Vec<f64>> {
    let mut damped = normal.clone();
    for k in 0..weights.len() {
        damped[(k, k)] *= 1.0 + damping;
    }
    let change = damped.llt(Side::Lower).ok()?.solve(slope);
    Some(weights.iter().enumerate().map(|(k, w)| w + change[(k, 0)]).collect())
}
