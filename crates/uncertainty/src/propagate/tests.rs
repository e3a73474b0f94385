use super::*;
use crate::input::Cause;

fn close(got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance, "got {got}, want {want}");
}

fn band(inputs: &[Input], value: impl Fn(&[f64]) -> f64) -> Band {
    propagate(inputs, value).unwrap()
}

/// The ends of 95 % of random draws, and the part of them inside the band.
fn random(inputs: &[Input], band: &Band, value: impl Fn(&[f64]) -> f64) -> ([f64; 2], f64) {
    let mut state = 0x2545_F491_4F6C_DD1Du64;
    let mut uniform = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        ((state >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    };
    let draws = 200_000;
    let mut values: Vec<f64> = (0..draws)
        .map(|_| {
            let x: Vec<f64> = inputs.iter().map(|i| i.distribution.quantile(uniform())).collect();
            value(&x)
        })
        .collect();
    values.sort_by(f64::total_cmp);
    let inside = values.iter().filter(|v| (band.low..=band.high).contains(v)).count();
    (
        [values[draws / 40], values[draws - draws / 40]],
        inside as f64 / draws as f64,
    )
}

fn agrees(inputs: &[Input], value: impl Fn(&[f64]) -> f64) -> Band {
    let got = band(inputs, &value);
    let ([low, high], inside) = random(inputs, &got, &value);
    let ratio = (got.high - got.low) / (high - low);
    assert!(
        (ratio - 1.0).abs() <= 0.05 && (0.93..=0.97).contains(&inside),
        "{ratio} {inside} {low} {high} {got:?}"
    );
    got
}

/// JCGM 100:2008, H.1 in little: a sum of independent inputs adds in quadrature; one that outweighs the other is held
/// by less than 1.96 standard uncertainties.
#[test]
fn a_sum_adds_in_quadrature() {
    let inputs = [
        Input::normal(Cause::Grade, 10.0, 3.0),
        Input::normal(Cause::Gap, 20.0, 4.0),
    ];
    let got = band(&inputs, |x| x[0] + x[1]);
    close(got.mid, 30.0, 1e-12);
    // Taken as factors, 30 ± 5 are a little lopsided.
    assert_eq!(got.shares[0].cause, Cause::Gap);
    close(got.shares[0].share, 16.0 / 25.0, 0.05);
    agrees(&inputs, |x| x[0] + x[1]);
}

#[test]
fn one_rectangular_input_is_held_within_its_limits() {
    let got = band(&[Input::plus_minus(Cause::Grade, 50.0, 5.0)], |x| x[0]);
    close(got.low, 50.0 - 4.75, 0.02);
    close(got.high, 50.0 + 4.75, 0.02);
    close(got.chance_of_at_least(50.0), 0.5, 2e-3);
    close(got.chance_of_at_least(54.0), 0.1, 5e-3);
    assert_eq!(got.chance_of_at_least(55.1), 0.0);
    assert_eq!(got.chance_of_at_least(44.9), 1.0);
}

#[test]
fn sums_products_and_powers_agree_with_random_draws() {
    let inputs = [
        Input::plus_minus(Cause::Grade, 1.3, 0.02),
        Input::plus_minus(Cause::Size, 5.0, 0.1),
        Input::plus_minus(Cause::Gap, 0.5, 0.05),
        Input::new(Cause::Model, 0.9, 0.97, 1.0),
        Input::normal(Cause::Calibration, 1.0, 0.005),
    ];
    let got = agrees(&inputs, |x| x[0] * x[0] * x[1] * x[3] * x[4] / (1.0 + x[2]));
    assert_eq!(got.method, Method::FirstOrder);
    agrees(&inputs, |x| x[0] + x[1] + x[2] + x[3] + x[4]);
    let got = agrees(&inputs, |x| x[0] * (-8.0 * x[2]).exp() * x[3]);
    assert_eq!(got.shares[0].cause, Cause::Gap);
}

#[test]
fn lopsided_limits_agree_with_random_draws() {
    let inputs = [
        Input::new(Cause::Gap, 0.0, 0.015, 0.05),
        Input::plus_minus(Cause::Grade, 1.3, 0.02),
        Input::new(Cause::Friction, 0.15, 0.2, 0.25),
    ];
    let got = agrees(&inputs, |x| x[1] * x[1] / (1.0 + 4.0 * x[0]));
    assert!(got.mid - got.low > 1.3 * (got.high - got.mid), "{got:?}");
    let got = agrees(&inputs, |x| x[1] * x[1] * x[2] / (1.0 + 4.0 * x[0]));
    assert_eq!(got.method, Method::SecondOrder);
}

#[test]
fn a_limit_in_the_middle_is_an_end() {
    let got = band(&[Input::new(Cause::Model, 0.8, 1.0, 1.0)], |x| 100.0 * x[0]);
    close(got.high, 100.0, 1e-12);
    close(got.low, 81.0, 0.4);
}

/// A response that turns about within its limits, and one that two inputs make only together.
#[test]
fn what_does_not_add_up_is_drawn() {
    let inputs = [
        Input::plus_minus(Cause::Size, 1.0, 0.5),
        Input::plus_minus(Cause::Gap, 1.0, 0.5),
    ];
    let got = agrees(&inputs, |x| 1.0 + 8.0 * (x[0] - x[1] + 0.1).powi(2));
    assert_eq!(got.method, Method::MonteCarlo);
    // Nothing lies below 1. Above 2 are x - y above d = sqrt(1/8) - 0.1 and below -e = -(sqrt(1/8) + 0.1): a triangle.
    let (d, e) = (0.125f64.sqrt() - 0.1, 0.125f64.sqrt() + 0.1);
    close(got.chance_of_at_least(1.0), 1.0, 1e-3);
    close(
        got.chance_of_at_least(2.0),
        ((1.0 - d).powi(2) + (1.0 - e).powi(2)) / 2.0,
        5e-3,
    );
}

#[test]
fn a_magnitude_does_not_fall_below_zero() {
    let got = band(&[Input::new(Cause::Gap, 0.0, 1.0, 9.0)], |x| {
        (1.0 - x[0] / 5.0).max(0.0)
    });
    assert!(got.low == 0.0 && got.mid == 0.8 && got.high > 0.9, "{got:?}");
}

#[test]
fn known_inputs_give_no_width_and_no_shares() {
    let got = band(&[Input::plus_minus(Cause::Size, 2.0, 0.0)], |x| x[0] * x[0]);
    assert_eq!((got.low, got.mid, got.high), (4.0, 4.0, 4.0));
    assert!(got.shares.is_empty());
    assert_eq!(got.chance_of_at_least(4.0), 1.0);
    assert_eq!(got.chance_of_at_least(4.1), 0.0);
    // Nor does an input that has no influence.
    let got = band(&[Input::plus_minus(Cause::Size, 2.0, 1.0)], |_| 4.0);
    assert_eq!((got.low, got.mid, got.high), (4.0, 4.0, 4.0));
    assert!(got.shares.is_empty());
    assert_eq!((got.chance_of_at_least(4.0), got.chance_of_at_least(4.1)), (1.0, 0.0));
}

#[test]
fn shares_show_what_each_cause_moves_by_itself() {
    let inputs = [
        Input::plus_minus(Cause::Size, 10.0, 1.0),
        Input::plus_minus(Cause::Gap, 5.0, 1.0),
        Input::plus_minus(Cause::Gap, 5.0, 1.0),
    ];
    let got = band(&inputs, |x| x[0] * 100.0 - x[1] - x[2]);
    let [size, gap] = got.shares[..] else { panic!("{got:?}") };
    assert_eq!((size.cause, gap.cause), (Cause::Size, Cause::Gap));
    close(size.low, 990.0 - 95.0, 1.0);
    close(size.high, 990.0 + 95.0, 1.0);
    close(gap.high - gap.low, 2.0 * 0.95 * 2f64.sqrt(), 0.01);
    close(size.share + gap.share, 1.0, 1e-12);
}

#[test]
fn what_is_not_finite_is_an_error() {
    let inputs = [Input::plus_minus(Cause::Size, 1.0, 0.5)];
    assert_eq!(propagate(&inputs, |x| x[0].ln() / (x[0] - 1.5)), Err(NotFinite));
    assert_eq!(propagate(&inputs, |_| f64::NAN), Err(NotFinite));
    assert_eq!(propagate(&[], |_| f64::INFINITY), Err(NotFinite));
}

/// A hundred alike weigh a hundred times as much as one, and so do their band and chances.
#[test]
fn a_band_can_be_multiplied() {
    let inputs = [
        Input::new(Cause::Size, 0.0, 1.0, 1.5),
        Input::plus_minus(Cause::Gap, 1.0, 0.5),
        Input::plus_minus(Cause::Grade, 0.0, 0.3),
    ];
    let one = |x: &[f64]| x[0] + x[1] * x[2];
    let hundred = |x: &[f64]| 100.0 * one(x);
    for (one, hundred) in [
        (band(&inputs, one), band(&inputs, hundred)),
        (outline(&inputs, one).unwrap(), outline(&inputs, hundred).unwrap()),
    ] {
        let one = one.scaled(100.0);
        assert_eq!(one.method, hundred.method);
        close(one.low, hundred.low, 1e-9);
        close(one.high, hundred.high, 1e-9);
        close(one.shares[0].half_width, hundred.shares[0].half_width, 1e-9);
        close(one.chance_of_at_least(80.0), hundred.chance_of_at_least(80.0), 1e-9);
    }
}

/// A band is the same every time, drawn or not, and survives being kept.
#[test]
fn a_band_survives_being_kept() {
    let inputs = [
        Input::plus_minus(Cause::Size, 1.0, 0.5),
        Input::plus_minus(Cause::Gap, 1.0, 0.5),
    ];
    let value = |x: &[f64]| 1.0 + (x[0] - 1.0) * (x[1] - 1.0);
    let got = band(&inputs, value);
    assert_eq!(got, band(&inputs, value));
    let kept: Band = serde_json::from_str(&serde_json::to_string(&got).unwrap()).unwrap();
    assert_eq!(kept.method, got.method);
    close(kept.chance_of_at_least(1.1), got.chance_of_at_least(1.1), 1e-9);
}
