//! How far a field reaches on the axis.

use magnetics::StackField;

/// Distance from the face on the axis beyond which the field stays below `level` (T), m; 0 where it never reaches it.
pub(crate) fn reach(field: &StackField, level: f64) -> f64 {
    // From far away inwards in small steps, so that the turning field over the hole of a ring cannot mislead.
    const STEP: f64 = 0.9;
    let above = |distance: f64| field.on_axis(distance).abs() > level;
    let mut high = 10.0;
    while !above(high * STEP) {
        high *= STEP;
        if high < 1e-6 {
            return 0.0;
        }
    }
    let mut low = high * STEP;
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if above(middle) { low = middle } else { high = middle }
    }
    high
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::disc;
    use crate::stacked::Stacked;

    /// D10 L5 at 1.3 T: 0.5 mT at 51.9 mm and 1 mT at 40.6 mm on the axis; computed.
    #[test]
    fn distances_agree_with_the_field_on_the_axis() {
        let stack = Stacked::new(disc("a", 10.0, 5.0).shape, 0.0, 1, 1.3, 1.0).unwrap();
        let field = stack.field().unwrap();
        for (level, millimetres) in [(0.5e-3, 51.9), (1e-3, 40.6)] {
            let got = reach(&field, level) * 1e3;
            assert!((got - millimetres).abs() <= 0.05, "{got} for {millimetres}");
        }
    }

    #[test]
    fn what_never_reaches_a_level_has_no_distance() {
        let faint = Stacked::new(disc("a", 10.0, 0.001).shape, 0.0, 1, 0.1, 1.0).unwrap();
        assert_eq!(reach(&faint.field().unwrap(), 1e-3), 0.0);
    }
}
