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

#[test]
fn a_lot_apart_and_a_run_are_seen() {
    let mut values = vec![10.0, 10.1, 9.9, 10.0, 10.1, 9.9, 10.0, 10.1, 9.9, 12.0];
    assert_eq!(control_chart(&values).unwrap().outside, [9]);
    values.pop();
    values.extend([10.2; 8]);
    assert_eq!(control_chart(&values).unwrap().runs.last(), Some(&16));
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
