use proptest::prelude::*;

use super::*;

/// R10 and R20 are the powers of the tenth and twentieth root of ten, rounded to three figures or coarser (ISO 3): within 1.3 % of them.
#[test]
fn the_series_of_roots_of_ten_are_those_roots() {
    for (name, count) in [("R10", 10), ("R20", 20)] {
        let series = named(name).unwrap();
        assert_eq!(series.mantissas.len(), count);
        for (k, mantissa) in series.mantissas.iter().enumerate() {
            let root = 10.0_f64.powf(k as f64 / count as f64);
            assert!((mantissa / root - 1.0).abs() < 0.013, "{name}: {mantissa} for {root}");
        }
    }
}

#[test]
fn sizes_go_to_their_neighbours() {
    let close = |a: [f64; 2], b: [f64; 2]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12);
    let usual = &series()[0];
    assert!(close(usual.beside(7.3e-3), [7.0e-3, 7.5e-3]));
    assert!(close(usual.beside(7.5e-3), [7.5e-3, 7.5e-3]));
    assert!(close(usual.beside(21.2e-3), [21e-3, 22e-3]));
    assert!(close(named("r10").unwrap().beside(9e-3), [8e-3, 10e-3]));
    assert!(close(named("R20").unwrap().beside(23e-3), [22.4e-3, 25e-3]));
    assert!(named("R7").is_none());
}

proptest! {
    #[test]
    fn neighbours_enclose_a_size_and_are_their_own(size in 1e-3..0.9_f64) {
        for series in series() {
            let [low, high] = series.beside(size);
            prop_assert!(low <= size * (1.0 + 1e-9) && high >= size * (1.0 - 1e-9), "{}: {size}", series.name);
            for one in [low, high] {
                let again = series.beside(one);
                prop_assert!(again.iter().all(|s| (s / one - 1.0).abs() < 1e-9), "{}: {one} {again:?}", series.name);
            }
        }
    }
}
