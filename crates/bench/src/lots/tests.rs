use super::*;

/// Intervals of the index by SciPy's chi-squared distribution, `oracle/bench.py`.
#[test]
fn capability_agrees_with_another_library() {
    let oracle: serde_json::Value = serde_json::from_str(include_str!("../../../../oracle/bench.json")).unwrap();
    for case in oracle["capability"].as_array().unwrap() {
        let number = |key: &str| case[key].as_f64().unwrap();
        let values = Spread {
            count: number("count") as usize,
            mean: 0.0,
            deviation: 1.0,
            deviation_interval: [1.0; 2],
        };
        let half = 3.0 * number("cp");
        let limits = Limits {
            lower: Some(-half),
            upper: Some(half),
        };
        let got = capability(&values, &limits).unwrap();
        for (got, want) in got.cp.unwrap().into_iter().zip(["cp", "low", "high"]) {
            assert!((got - number(want)).abs() <= 1e-6, "{want}: {got} for {}", number(want));
        }
        assert!((got.cpk[0] - number("cp")).abs() <= 1e-12);
    }
}

/// The index of one limit by SciPy's noncentral t distribution, which is exact, `oracle/bench.py`.
#[test]
fn the_one_sided_index_agrees_with_its_exact_interval() {
    let oracle: serde_json::Value = serde_json::from_str(include_str!("../../../../oracle/bench.json")).unwrap();
    let cases = oracle["one_sided"].as_array().unwrap();
    assert!(cases.len() >= 4);
    for case in cases {
        let number = |key: &str| case[key].as_f64().unwrap();
        let values = Spread {
            count: number("count") as usize,
            mean: 5.0,
            deviation: 0.5,
            deviation_interval: [0.5; 2],
        };
        let away = 3.0 * number("cpk") * values.deviation;
        let limit = |lower, upper| Limits { lower, upper };
        for limits in [limit(Some(5.0 - away), None), limit(None, Some(5.0 + away))] {
            let got = capability(&values, &limits).unwrap();
            assert!(got.cp.is_none());
            for (got, want) in got.cpk.into_iter().zip(["cpk", "low", "high"]) {
                assert!(
                    (got / number(want) - 1.0).abs() <= 5e-3,
                    "{want}: {got} for {}",
                    number(want)
                );
            }
            assert!((got.outside / number("outside") - 1.0).abs() <= 1e-6, "{}", got.outside);
        }
    }
}

/// The nearer limit decides the index, and both count for what lies outside.
#[test]
fn a_mean_off_the_middle_lowers_the_index() {
    let values = Spread {
        count: 50,
        mean: 11.0,
        deviation: 1.0,
        deviation_interval: [1.0; 2],
    };
    let limits = Limits {
        lower: Some(8.0),
        upper: Some(12.0),
    };
    let got = capability(&values, &limits).unwrap();
    assert!((got.cp.unwrap()[0] - 4.0 / 6.0).abs() <= 1e-12);
    assert!((got.cpk[0] - 1.0 / 3.0).abs() <= 1e-12);
    // Tables of the normal distribution: 0.158655 beyond 1, 0.001350 beyond 3.
    assert!((got.outside - 0.160_005).abs() <= 1e-6, "{}", got.outside);
}

/// Values at a limit conform with a chance of one half; one expanded uncertainty inside it, with 97.7 %
/// (JCGM 106:2012, 8.3.2).
#[test]
fn a_guard_band_of_the_expanded_uncertainty_limits_false_acceptance() {
    let limits = Limits {
        lower: Some(10.0),
        upper: None,
    };
    let at_limit = conformity(10.0, 0.5, &limits, 0.0).unwrap();
    assert!((at_limit.probability - 0.5).abs() <= 1e-9 && at_limit.accepted);
    let guarded = conformity(10.9, 0.5, &limits, 2.0).unwrap();
    assert!(!guarded.accepted && guarded.acceptance.lower == Some(11.0));
    let inside = conformity(11.0, 0.5, &limits, 2.0).unwrap();
    assert!(inside.accepted && (inside.probability - 0.977_249_868).abs() <= 1e-8);
    let exact = conformity(10.0, 0.0, &limits, 2.0).unwrap();
    assert!(exact.accepted && exact.probability == 1.0);
}

/// Of two limits the chance is the part of the normal distribution between them, and the guard band comes off both sides.
#[test]
fn two_limits_are_kept_off_on_both_sides() {
    let limits = Limits {
        lower: Some(9.0),
        upper: Some(11.0),
    };
    let middle = conformity(10.0, 0.5, &limits, 2.0).unwrap();
    // Within two standard deviations: 95.45 %.
    assert!(
        (middle.probability - 0.954_499_736).abs() <= 1e-8,
        "{}",
        middle.probability
    );
    assert_eq!(
        (middle.acceptance.lower, middle.acceptance.upper),
        (Some(10.0), Some(10.0))
    );
    assert!(middle.accepted);
    for off in [9.9, 10.1] {
        assert!(!conformity(off, 0.5, &limits, 2.0).unwrap().accepted);
        assert!(conformity(off, 0.5, &limits, 0.0).unwrap().accepted);
    }
    let beyond = conformity(12.0, 0.5, &limits, 2.0).unwrap();
    assert!(
        (beyond.probability - 0.022_750_132).abs() <= 1e-8,
        "{}",
        beyond.probability
    );
}

/// Worked by hand: moving ranges 0.2, 0.4, 0.2 and 0.4 have the mean 0.3; 3 · 0.3 / 1.128 = 0.798, and 3.267 · 0.3 = 0.980.
#[test]
fn control_limits_are_those_of_the_mean_moving_range() {
    let chart = control_chart(&[10.0, 10.2, 9.8, 10.0, 10.4]).unwrap();
    assert!((chart.centre - 10.08).abs() <= 1e-12);
    assert!((chart.limits[1] - chart.centre - 0.798).abs() <= 5e-4, "{chart:?}");
    assert!((chart.centre - chart.limits[0] - 0.798).abs() <= 5e-4);
    assert!((chart.range[0] - 0.3).abs() <= 1e-12 && (chart.range[1] - 0.980).abs() <= 5e-4);
    assert!(chart.outside.is_empty() && chart.runs.is_empty());
}

#[test]
fn a_lot_apart_and_a_run_are_seen() {
    let mut values = vec![10.0, 10.1, 9.9, 10.0, 10.1, 9.9, 10.0, 10.1, 9.9, 12.0];
    assert_eq!(control_chart(&values).unwrap().outside, [9]);
    values.pop();
    values.extend([10.2; 7]);
    assert!(control_chart(&values).unwrap().runs.is_empty());
    values.push(10.2);
    assert_eq!(control_chart(&values).unwrap().runs, [16]);
}

#[test]
fn what_says_nothing_is_refused() {
    assert!(spread(&[1.0]).is_err());
    assert!(spread(&[1.0, f64::NAN]).is_err());
    assert!(control_chart(&[1.0, 2.0]).is_err());
    let same = spread(&[2.0, 2.0]).unwrap();
    let limits = Limits {
        lower: Some(1.0),
        upper: Some(3.0),
    };
    assert!(capability(&same, &limits).is_err());
    let swapped = Limits {
        lower: Some(3.0),
        upper: Some(1.0),
    };
    assert!(conformity(2.0, 0.1, &swapped, 2.0).is_err());
    let none = Limits {
        lower: None,
        upper: None,
    };
    assert!(conformity(2.0, 0.1, &none, 2.0).is_err());
}
