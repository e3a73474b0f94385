//! A small network of two hidden layers: a smooth function of a few coordinates, held by its weights.

/// Coordinates that go in.
pub const INPUTS: usize = 7;
/// Nodes of each hidden layer.
pub const NODES: usize = 14;
/// Weights of the whole: those of a node stand together, its constant last.
pub const WEIGHTS: usize = NODES * (INPUTS + 1) + NODES * (NODES + 1) + NODES + 1;

/// The network.
#[derive(Clone, Debug, PartialEq)]
pub struct Net {
    first: [[f64; INPUTS + 1]; NODES],
    second: [[f64; NODES + 1]; NODES],
    last: [f64; NODES + 1],
}

impl Net {
    /// The network with these weights, layer by layer; `None` unless there are [`WEIGHTS`], all finite.
    #[must_use]
    pub fn new(weights: &[f64]) -> Option<Self> {
        if weights.len() != WEIGHTS || !weights.iter().all(|w| w.is_finite()) {
            return None;
        }
        let (first, rest) = weights.split_at(NODES * (INPUTS + 1));
        let (second, last) = rest.split_at(NODES * (NODES + 1));
        let mut net = Self {
            first: [[0.0; INPUTS + 1]; NODES],
            second: [[0.0; NODES + 1]; NODES],
            last: [0.0; NODES + 1],
        };
        net.first.as_flattened_mut().copy_from_slice(first);
        net.second.as_flattened_mut().copy_from_slice(second);
        net.last.copy_from_slice(last);
        Some(net)
    }

    /// Its value.
    #[must_use]
    pub fn at(&self, x: &[f64; INPUTS]) -> f64 {
        let first = self.first.each_ref().map(|w| bend(sum(w, x)));
        let second = self.second.each_ref().map(|w| bend(sum(w, &first)));
        sum(&self.last, &second)
    }

    /// Its value, with its derivative by every weight put into `gradient`.
    #[must_use]
    pub fn differentiated(&self, x: &[f64; INPUTS], gradient: &mut [f64; WEIGHTS]) -> f64 {
        let first = self.first.each_ref().map(|w| bend(sum(w, x)));
        let second = self.second.each_ref().map(|w| bend(sum(w, &first)));
        let mut inward = [0.0; NODES];
        let (head, rest) = gradient.split_at_mut(NODES * (INPUTS + 1));
        let (middle, tail) = rest.split_at_mut(NODES * (NODES + 1));
        for (k, (chunk, row)) in middle.chunks_exact_mut(NODES + 1).zip(&self.second).enumerate() {
            let outer = self.last[k] * slope(second[k]);
            fill(chunk, outer, &first);
            for (inward, w) in inward.iter_mut().zip(row) {
                *inward += outer * w;
            }
        }
        for ((chunk, inward), y) in head.chunks_exact_mut(INPUTS + 1).zip(inward).zip(first) {
            fill(chunk, inward * slope(y), x);
        }
        fill(tail, 1.0, &second);
        sum(&self.last, &second)
    }
}

/// Weighted sum and constant.
fn sum(weights: &[f64], x: &[f64]) -> f64 {
    let constant = weights.last().copied().unwrap_or_default();
    constant + weights.iter().zip(x).map(|(w, x)| w * x).sum::<f64>()
}

fn fill(chunk: &mut [f64], outer: f64, x: &[f64]) {
    for (place, x) in chunk.iter_mut().zip(x.iter().chain(&[1.0])) {
        *place = outer * x;
    }
}

/// A step without corners, from -1 to 1.
fn bend(x: f64) -> f64 {
    x / (1.0 + x * x).sqrt()
}

/// Slope of [`bend`] where its value is `y`.
fn slope(y: f64) -> f64 {
    let c = 1.0 - y * y;
    c * c.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derivatives_are_those_of_the_value() {
        let mut weights: Vec<f64> = (0..WEIGHTS).map(|k| (k as f64 * 1.7).sin()).collect();
        let x = [0.3, -0.7, 0.1, 0.9, -0.2, 0.5, -0.4];
        let mut gradient = [0.0; WEIGHTS];
        let net = Net::new(&weights).unwrap();
        assert!((net.differentiated(&x, &mut gradient) - net.at(&x)).abs() <= 1e-14);
        for k in (0..WEIGHTS).step_by(3) {
            let step = 1e-5;
            let middle = weights[k];
            let mut value = |w: f64| {
                weights[k] = w;
                Net::new(&weights).unwrap().at(&x)
            };
            let numeric = (value(middle + step) - value(middle - step)) / (2.0 * step);
            weights[k] = middle;
            assert!((numeric - gradient[k]).abs() <= 1e-8, "{k}: {numeric} {}", gradient[k]);
        }
    }

    #[test]
    fn a_wrong_number_of_weights_or_one_that_is_not_finite_is_refused() {
        assert!(Net::new(&[0.0; WEIGHTS]).is_some());
        assert!(Net::new(&[0.0; WEIGHTS - 1]).is_none());
        let mut weights = [0.0; WEIGHTS];
        weights[5] = f64::NAN;
        assert!(Net::new(&weights).is_none());
    }
}
