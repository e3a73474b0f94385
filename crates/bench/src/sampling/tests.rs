use super::*;

/// Worked cases of MIL-STD-105E, Table II-A: lot size, AQL at level II, letter, sample, accept.
#[test]
fn worked_plans_are_met() {
    for (lot, aql, letter, sample, accept) in [
        (1000, 1.0, 'J', 80, 2),
        // F points up to E, G down to H.
        (100, 1.0, 'E', 13, 0),
        (200, 1.0, 'H', 50, 1),
        (3000, 4.0, 'K', 125, 10),
        (3000, 0.65, 'K', 125, 2),
        (600_000, 2.5, 'N', 500, 21),
        (600_000, 0.65, 'Q', 1250, 14),
        (30, 4.0, 'E', 13, 1),
    ] {
        let got = plan(lot, "II", aql, Severity::Normal).unwrap();
        assert_eq!(
            (got.letter, got.sample, got.accept, got.reject),
            (letter, sample, accept, accept + 1),
            "{lot} {aql}"
        );
    }
}

/// MIL-STD-105E, Tables II-B and II-C, from memory: lot 1000 at level II is letter J.
#[test]
fn severities_differ() {
    let of = |severity| plan(1000, "II", 1.0, severity).unwrap();
    let (tightened, reduced) = (of(Severity::Tightened), of(Severity::Reduced));
    assert_eq!((tightened.sample, tightened.accept, tightened.reject), (80, 1, 2));
    assert_eq!((reduced.sample, reduced.accept, reduced.reject), (32, 1, 3));
    assert_eq!(reduced.verdict(1), Verdict::Accept);
    assert_eq!(reduced.verdict(2), Verdict::AcceptAndReturnToNormal);
    assert_eq!(reduced.verdict(3), Verdict::Reject);
}

/// Every lot size, level, AQL and severity has a plan, and a plan that is as large as the lot inspects every piece.
#[test]
fn there_is_always_a_plan() {
    let lots = [
        2,
        8,
        9,
        15,
        25,
        50,
        90,
        150,
        280,
        500,
        1200,
        3200,
        10_000,
        35_000,
        150_000,
        500_000,
        u32::MAX,
    ];
    for lot in lots {
        for level in ["S-1", "S-2", "S-3", "S-4", "I", "II", "III"] {
            for aql in [0.40, 0.65, 1.0, 1.5, 2.5, 4.0] {
                for severity in [Severity::Normal, Severity::Tightened, Severity::Reduced] {
                    let plan = plan(lot, level, aql, severity).unwrap();
                    assert!(plan.sample <= lot && plan.accept < plan.reject && plan.accept < plan.sample);
                    assert!(!plan.every_piece || plan.sample == lot);
                }
            }
        }
    }
    assert_eq!(plan(1, "II", 1.0, Severity::Normal), Err(SamplingError::LotSize(1)));
    assert!(matches!(
        plan(100, "IV", 1.0, Severity::Normal),
        Err(SamplingError::Level(_))
    ));
    assert_eq!(plan(100, "II", 3.0, Severity::Normal), Err(SamplingError::Aql(3.0)));
}

/// Tightened inspection is never easier on poor lots than normal, nor reduced inspection harder.
#[test]
fn tightened_is_stricter() {
    for lot in [150, 500, 1200, 3200, 10_000] {
        for aql in [0.65, 1.0, 1.5, 2.5] {
            let chance = |severity| plan(lot, "II", aql, severity).unwrap().acceptance(0.04 * aql);
            let [tightened, normal, reduced] = [Severity::Tightened, Severity::Normal, Severity::Reduced].map(chance);
            assert!(
                tightened <= normal && normal <= reduced,
                "{lot} {aql}: {tightened} {normal} {reduced}"
            );
        }
    }
}

/// SciPy's binomial distribution, `oracle/bench.py`.
#[test]
fn the_operating_characteristic_agrees_with_another_library() {
    let oracle: serde_json::Value = serde_json::from_str(include_str!("../../../../oracle/bench.json")).unwrap();
    let cases = oracle["acceptance"].as_array().unwrap();
    assert!(cases.len() > 40);
    for case in cases {
        let number = |key: &str| case[key].as_f64().unwrap();
        let accept = number("accept") as u32;
        let plan = Plan {
            letter: 'A',
            sample: number("sample") as u32,
            accept,
            reject: accept + 1,
            every_piece: false,
        };
        let got = plan.acceptance(number("nonconforming"));
        assert!((got - number("acceptance")).abs() <= 1e-10, "{case}: {got}");
        let back = plan.quality_accepted_with(0.1);
        assert!((plan.acceptance(back) - 0.1).abs() <= 1e-8);
    }
}

#[test]
fn severity_follows_the_lots() {
    let normal = plan(1000, "II", 1.0, Severity::Normal).unwrap();
    let tighter = plan(1000, "II", 0.65, Severity::Normal).unwrap();
    let mut history = History::default();
    history.record(&normal, Some(&tighter), 3);
    for _ in 0..3 {
        history.record(&normal, Some(&tighter), 0);
    }
    assert_eq!(history.severity, Severity::Normal);
    history.record(&normal, Some(&tighter), 4);
    assert_eq!(history.severity, Severity::Tightened);
    let tightened = plan(1000, "II", 1.0, Severity::Tightened).unwrap();
    for _ in 0..5 {
        history.record(&tightened, None, 0);
    }
    assert_eq!(history.severity, Severity::Normal);
    for _ in 0..9 {
        history.record(&normal, Some(&tighter), 0);
    }
    assert_eq!(history.severity, Severity::Normal);
    history.record(&normal, Some(&tighter), 1);
    assert_eq!(history.severity, Severity::Reduced);
    let reduced = plan(1000, "II", 1.0, Severity::Reduced).unwrap();
    assert_eq!(history.record(&reduced, None, 2), Verdict::AcceptAndReturnToNormal);
    assert_eq!(history.severity, Severity::Normal);
    // A count that the next tighter AQL would reject starts the score anew.
    for _ in 0..9 {
        history.record(&normal, Some(&tighter), 0);
    }
    history.record(&normal, Some(&tighter), 2);
    history.record(&normal, Some(&tighter), 0);
    assert_eq!(history.severity, Severity::Normal);
}

#[test]
fn five_lots_rejected_under_tightened_inspection_stop_it() {
    let plan = plan(1000, "II", 1.0, Severity::Tightened).unwrap();
    let mut history = History {
        severity: Severity::Tightened,
        ..History::default()
    };
    for lot in 0..5 {
        assert!(!history.stopped, "{lot}");
        history.record(&plan, None, 9);
        history.record(&plan, None, 0);
    }
    assert!(history.stopped);
    history.resume();
    assert!(!history.stopped && history.severity == Severity::Tightened);
}
