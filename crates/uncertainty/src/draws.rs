//! Propagation of distributions by drawing from them (JCGM 101:2008, 5.9).
//!
//! The draws are points of a Kronecker sequence: they fill the space of the inputs evenly and are the same every time.

use crate::input::Input;
use crate::normal;

/// Draws of a band. With evenly filling points a few thousand place the ends as well as ten times as many random ones.
pub const DRAWS: usize = 4096;
/// Draws that place an end within some 5 % of its distance from the middle.
pub const FEW_DRAWS: usize = DRAWS / 8;
/// Steps of probability between the quantiles that are kept.
const STEPS: usize = 200;

/// The ends of the 95 % interval by so many draws, and quantiles at even steps of probability; `None` where a value is not finite.
pub fn drawn(inputs: &[Input], draws: usize, mut value: impl FnMut(&[f64]) -> f64) -> Option<([f64; 2], Vec<f64>)> {
    let spread: Vec<usize> = (0..inputs.len()).filter(|&k| inputs[k].is_spread()).collect();
    let root = root(spread.len());
    let mut at: Vec<f64> = inputs.iter().map(Input::mid).collect();
    let mut values = Vec::with_capacity(draws);
    for draw in 0..draws {
        let mut stride = 1.0;
        for &k in &spread {
            stride /= root;
            let p = (0.5 + (draw + 1) as f64 * stride).fract();
            at[k] = inputs[k].distribution.quantile(p.clamp(1e-9, 1.0 - 1e-9));
        }
        values.push(Some(value(&at)).filter(|v| v.is_finite())?);
    }
    values.sort_by(f64::total_cmp);
    let tail = (1.0 - normal::COVERAGE) / 2.0;
    let ends = [quantile(&values, tail), quantile(&values, 1.0 - tail)];
    let kept = (0..=STEPS)
        .map(|k| quantile(&values, k as f64 / STEPS as f64))
        .collect();
    Some((ends, kept))
}

fn quantile(sorted: &[f64], p: f64) -> f64 {
    let at = p * sorted.len() as f64 - 0.5;
    let k = (at.max(0.0) as usize).min(sorted.len().saturating_sub(2));
    match sorted.get(k..k + 2) {
        Some(&[a, b]) => a + (b - a) * (at - k as f64).clamp(0.0, 1.0),
        _ => sorted.first().copied().unwrap_or(0.0),
    }
}

/// The root above 1 of x^(n + 1) = x + 1, whose inverse powers are as far from fractions as they come.
fn root(n: usize) -> f64 {
    let power = 1.0 / (n as f64 + 1.0);
    (0..60).fold(1.5, |x: f64, _| (1.0 + x).powf(power))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::Cause;

    /// The golden ratio for one input, the plastic number 1.3247... for two.
    #[test]
    fn roots_are_the_golden_and_the_plastic_number() {
        assert!((root(1) - 1.618_033_988_75).abs() <= 1e-10);
        assert!((root(2) - 1.324_717_957_24).abs() <= 1e-10);
    }

    /// The product of two rectangular inputs from 0 to 1 is below x with the chance x (1 - ln x).
    #[test]
    fn ends_of_a_product_agree_with_its_distribution() {
        let unit = Input::plus_minus(Cause::Size, 0.5, 0.5);
        let ([low, high], kept) = drawn(&[unit, unit], DRAWS, |x| x[0] * x[1]).unwrap();
        let below = |x: f64| x * (1.0 - x.ln());
        assert!((below(low) - 0.025).abs() <= 1e-3, "{low}");
        assert!((below(high) - 0.975).abs() <= 1e-3, "{high}");
        assert!((below(kept[100]) - 0.5).abs() <= 3e-3);
        assert!(kept.is_sorted());
    }

    #[test]
    fn what_is_not_finite_is_not_kept() {
        let unit = Input::plus_minus(Cause::Size, 0.5, 0.5);
        assert!(drawn(&[unit], DRAWS, |x| if x[0] > 0.9 { f64::NAN } else { 1.0 }).is_none());
    }
}
