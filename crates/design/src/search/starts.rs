//! Where a search starts: places spread evenly over the free numbers.

/// Bases of Halton's sequence, one for each free number: the first primes.
const BASES: [u32; 8] = [2, 3, 5, 7, 11, 13, 17, 19];

/// The place of that index, from 0, in so many free numbers (at most eight; more are 0.5).
pub(super) fn place(index: usize, count: usize) -> Vec<f64> {
    (0..count)
        .map(|k| BASES.get(k).map_or(0.5, |&base| radical_inverse(index + 1, base)))
        .collect()
}

/// The digits of a number mirrored at the point (Halton 1960, from memory).
fn radical_inverse(mut index: usize, base: u32) -> f64 {
    let (mut value, mut unit) = (0.0, 1.0);
    let base = base as usize;
    while index > 0 {
        unit /= base as f64;
        value += (index % base) as f64 * unit;
        index /= base;
    }
    value
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_places_are_those_of_haltons_sequence() {
        assert_eq!(place(0, 2), [0.5, 1.0 / 3.0]);
        assert_eq!(place(1, 2), [0.25, 2.0 / 3.0]);
        assert_eq!(place(2, 1), [0.75]);
        let ninth = place(3, 9);
        assert_eq!(ninth.len(), 9);
        assert_eq!(ninth[8], 0.5);
    }
}
