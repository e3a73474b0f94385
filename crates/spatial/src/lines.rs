//! Lines of a grid along one axis, close where sizes are small and wide elsewhere.

/// A place that the lines pass through, and how close they are there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Key {
    /// The place, m.
    pub at: f64,
    /// Distance of lines there, m, above zero.
    pub size: f64,
}

impl Key {
    /// A place with its distance of lines, both in metres.
    #[must_use]
    pub fn new(at: f64, size: f64) -> Self {
        Self { at, size }
    }
}

/// Steps in which a distance of lines is passed when they are counted.
const STEPS: f64 = 16.0;
/// `fineness` at which distances are those of the keys.
pub const USUAL: usize = 2;

/// Lines from the first key to the last, through all of them. Distances grow by `growth` per length away from a key. With another `fineness` than [`USUAL`] each piece
/// between two keys has that many times half its lines, laid by the same rule, so that errors of grids can be extrapolated. Keys must rise.
#[must_use]
pub fn graded(keys: &[Key], growth: f64, fineness: usize) -> Vec<f64> {
    let size = |x: f64| {
        keys.iter()
            .map(|key| key.size + growth * (x - key.at).abs())
            .fold(f64::INFINITY, f64::min)
    };
    let mut lines: Vec<f64> = keys.first().map(|key| key.at).into_iter().collect();
    for pair in keys.windows(2) {
        let (from, to) = (pair[0].at, pair[1].at);
        let (mut passed, mut at) = (vec![(from, 0.0)], from);
        let mut count = 0.0;
        while at < to {
            let step = (size(at) / STEPS).min(to - at).max(1e-9 * (to - from));
            count += step / size(at + 0.5 * step);
            at = (at + step).min(to);
            passed.push((at, count));
        }
        let cells = fineness * (count / USUAL as f64).ceil().max(1.0) as usize;
        let mut piece = 0;
        for k in 1..cells {
            let wanted = count * k as f64 / cells as f64;
            while passed[piece + 1].1 < wanted {
                piece += 1;
            }
            let ((x0, c0), (x1, c1)) = (passed[piece], passed[piece + 1]);
            lines.push(x0 + (x1 - x0) * (wanted - c0) / (c1 - c0));
        }
        lines.push(to);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_pass_through_the_keys_and_are_close_there() {
        let keys = [
            Key::new(0.0, 0.2),
            Key::new(1.0, 0.01),
            Key::new(1.1, 0.05),
            Key::new(9.0, 3.0),
        ];
        let lines = graded(&keys, 0.4, USUAL);
        assert!(lines.windows(2).all(|w| w[1] > w[0]));
        for key in keys {
            assert!(lines.contains(&key.at), "{}", key.at);
        }
        let at = lines.iter().position(|&x| x == 1.0).unwrap();
        for step in [lines[at] - lines[at - 1], lines[at + 1] - lines[at]] {
            assert!((0.006..=0.0124).contains(&step), "{step}");
        }
        let finer = graded(&keys, 0.4, 3 * USUAL);
        assert_eq!(finer.len() - 1, 3 * (lines.len() - 1));
        // Every third line of the finer ones is one of the others.
        for (k, x) in lines.iter().enumerate() {
            assert!((finer[3 * k] - x).abs() <= 1e-12 * 9.0, "{k}");
        }
    }
}
