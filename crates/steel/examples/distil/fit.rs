//! The fit of the law's network to solves, by Levenberg and Marquardt's method.

use faer::linalg::solvers::Solve;
use faer::{Mat, Side};
use steel::law::{INPUTS, NODES, Net, WEIGHTS, base, coordinates};

use crate::sample::Sample;

/// Steps of a fit at most, and rises of the damping in a row after which it has arrived.
const MOST_STEPS: usize = 400;
const MOST_RISES: usize = 12;
/// Weight of the squares of the weights beside the mean square of the residuals: it keeps the function smooth between solves.
const SMOOTHING: f64 = 3e-7;

/// Coordinates and the value that the network should have there.
type Point = ([f64; INPUTS], f64);

/// Weights that fit the samples best, from those of a related law or from small ones.
pub fn fit(samples: &[Sample], saturation: f64, start: Option<&[f64]>) -> Vec<f64> {
    let points: Vec<Point> = samples
        .iter()
        .map(|s| (coordinates(&s.at, saturation), s.eta.ln() - base(&s.at, saturation)))
        .collect();
    let mut weights = start.map_or_else(small, <[f64]>::to_vec);
    let (mut damping, mut rises) = (1e-2, 0);
    let mut loss = losses(&weights, &points);
    for _ in 0..MOST_STEPS {
        let (normal, slope) = equations(&weights, &points);
        loop {
            let next = step(&normal, &slope, &weights, damping);
            let now = next.as_deref().map_or(f64::INFINITY, |w| losses(w, &points));
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
fn small() -> Vec<f64> {
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

fn losses(weights: &[f64], points: &[Point]) -> f64 {
    let Some(net) = Net::new(weights) else {
        return f64::INFINITY;
    };
    let squares: f64 = points.iter().map(|(x, y)| (net.at(x) - y).powi(2)).sum();
    squares / points.len() as f64 + SMOOTHING * weights.iter().map(|w| w * w).sum::<f64>()
}

/// Matrix and right side of the linear least squares problem around the weights.
fn equations(weights: &[f64], points: &[Point]) -> (Mat<f64>, Mat<f64>) {
    let mut jacobian = Mat::zeros(points.len(), WEIGHTS);
    let mut residual = Mat::zeros(points.len(), 1);
    let scale = 1.0 / (points.len() as f64).sqrt();
    if let Some(net) = Net::new(weights) {
        let mut gradient = [0.0; WEIGHTS];
        for (i, (x, y)) in points.iter().enumerate() {
            residual[(i, 0)] = scale * (y - net.differentiated(x, &mut gradient));
            for (k, d) in gradient.iter().enumerate() {
                jacobian[(i, k)] = scale * d;
            }
        }
    }
    let mut normal = jacobian.transpose() * &jacobian;
    let mut slope = jacobian.transpose() * &residual;
    for (k, w) in weights.iter().enumerate() {
        normal[(k, k)] += SMOOTHING;
        slope[(k, 0)] -= SMOOTHING * w;
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
