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

/// MIL-STD-105E, Tables II-A to II-C: with every letter and every next larger quality limit the plans go one step along one
/// row, arrows before its first and behind its last. Table II-A for 0.65 to 4.0 is so in transcriptions of the standard.
#[test]
fn every_cell_is_the_plan_of_its_diagonal() {
    const NORMAL: [&str; 11] = [
        "0/1", "^", "v", "1/2", "2/3", "3/4", "5/6", "7/8", "10/11", "14/15", "21/22",
    ];
    const TIGHTENED: [&str; 10] = ["0/1", "v", "v", "1/2", "2/3", "3/4", "5/6", "8/9", "12/13", "18/19"];
    const REDUCED: [&str; 11] = [
        "0/1", "^", "v", "0/2", "1/3", "1/4", "2/5", "3/6", "5/8", "7/10", "10/13",
    ];
    let samples = [2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000];
    let fewer = [2, 2, 2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800];
    let tables = tables().unwrap();
    for (table, plans, samples, first) in [
        (&tables.normal, NORMAL.as_slice(), samples, 6),
        (&tables.tightened, &TIGHTENED, samples, 7),
        (&tables.reduced, &REDUCED, fewer, 6),
    ] {
        assert_eq!(table.aql, [0.40, 0.65, 1.0, 1.5, 2.5, 4.0]);
        assert_eq!(
            table.rows.iter().map(|row| row.letter).collect::<String>(),
            "ABCDEFGHJKLMNPQR"
        );
        for (down, row) in table.rows.iter().enumerate() {
            assert_eq!(row.sample, samples[down]);
            assert_eq!(row.plans.len(), table.aql.len());
            for (across, cell) in row.plans.iter().enumerate() {
                let want = match (down + across).checked_sub(first) {
                    None => "v",
                    Some(at) => plans.get(at).copied().unwrap_or("^"),
                };
                assert_eq!(cell, want, "{} {}", row.letter, table.aql[across]);
            }
        }
    }
}

/// MIL-STD-105E, Table I, general level II (from a table made from it), and what rises with it.
#[test]
fn letters_rise_with_lots_and_levels() {
    let ends = [
        (8, 'A'),
        (15, 'B'),
        (25, 'C'),
        (50, 'D'),
        (90, 'E'),
        (150, 'F'),
        (280, 'G'),
        (500, 'H'),
        (1200, 'J'),
        (3200, 'K'),
        (10_000, 'L'),
        (35_000, 'M'),
        (150_000, 'N'),
        (500_000, 'P'),
    ];
    for (largest, want) in ends {
        assert_eq!(letter(largest, "II").unwrap(), want);
        assert!(letter(largest + 1, "II").unwrap() > want);
        let levels = ["S-1", "S-2", "S-3", "S-4", "I", "II", "III"];
        let letters = levels.map(|level| letter(largest, level).unwrap());
        assert!(letters.is_sorted(), "{largest}: {letters:?}");
        assert!(letters[4] < letters[6]);
    }
    assert_eq!(letter(u32::MAX, "II").unwrap(), 'Q');
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
        // A count between the two numbers of a reduced plan accepts too.
        if accept > 0 {
            let apart = Plan {
                accept: accept - 1,
                ..plan
            };
            assert_eq!(apart.acceptance(number("nonconforming")), got);
        }
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

/// Two rejected lots count where they are among five in a row, and five accepted ones where they follow each other.
#[test]
fn lots_that_lie_apart_do_not_switch() {
    let normal = plan(1000, "II", 1.0, Severity::Normal).unwrap();
    let mut history = History::default();
    for bad in [3, 0, 0, 0, 0, 3, 0, 0, 0, 0] {
        assert_eq!(history.severity, Severity::Normal);
        history.record(&normal, None, bad);
    }
    assert_eq!(history.severity, Severity::Normal);
    history.record(&normal, None, 3);
    history.record(&normal, None, 3);
    assert_eq!(history.severity, Severity::Tightened);
    let tightened = plan(1000, "II", 1.0, Severity::Tightened).unwrap();
    for bad in [0, 0, 0, 0, 2, 0, 0, 0, 0] {
        history.record(&tightened, None, bad);
        assert_eq!(history.severity, Severity::Tightened);
    }
    history.record(&tightened, None, 0);
    assert_eq!(history.severity, Severity::Normal);
    // Somebody who chooses otherwise begins the count anew.
    history.record(&normal, None, 3);
    history.take_up(Severity::Tightened);
    history.take_up(Severity::Normal);
    history.record(&normal, None, 3);
    assert_eq!((history.severity, history.score()), (Severity::Normal, 0));
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
