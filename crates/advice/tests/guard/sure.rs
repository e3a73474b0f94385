//! *Sure* is decided by the low end of the band, for every verb, a hair below and above.

use advice::Item;
use advice::answer::{Candidate, Verdict};

use crate::shelf::{ask, disc, made_of, ring};

/// How near to the threshold it is tried, as a part of it: nearer than any figure that is shown.
const HAIR: f64 = 2e-4;

/// The only build of an item as it is judged for that need.
fn judged(question: &str, need: f64, item: &Item) -> Option<Candidate> {
    let json = question.replace("NEED", &format!("{need}"));
    ask(&json, std::slice::from_ref(item)).candidates.into_iter().next()
}

/// What must be reached for a build is that many times what is asked, and what a kilogram of it adds, N/kg.
struct Case {
    question: &'static str,
    factor: f64,
    per_kilogram: f64,
}

const fn case(question: &'static str, factor: f64, per_kilogram: f64) -> Case {
    Case {
        question,
        factor,
        per_kilogram,
    }
}

const G: f64 = 9.80665;

const CASES: [Case; 13] = [
    // The usual factor is 1.5, and 2 for what would fall, which carries itself too; common practice, no source.
    case(
        r#"{"need": {"verb": "hold", "load": "NEED N"}, "limits": {"stack": 1}}"#,
        1.5,
        0.0,
    ),
    case(
        r#"{"need": {"verb": "hold", "load": "NEED N", "safety_factor": 3.0, "shared_by": 4}, "limits": {"stack": 1}}"#,
        0.75,
        0.0,
    ),
    case(
        r#"{"need": {"verb": "hold", "load": "NEED N", "direction": "hanging_below"}, "limits": {"stack": 1}}"#,
        2.0,
        2.0 * G,
    ),
    case(
        r#"{"need": {"verb": "hold", "load": "NEED N", "direction": "hanging_below", "safety_factor": 5.0,
            "layers": [{"material": "wood", "thickness": "3 mm"}]}, "limits": {"stack": 1}}"#,
        5.0,
        5.0 * G,
    ),
    case(
        r#"{"need": {"verb": "hold", "load": "NEED N", "direction": "sideways"}, "limits": {"stack": 1}}"#,
        1.5,
        1.5 * G,
    ),
    case(
        r#"{"need": {"verb": "hold", "load": "NEED N", "steel": {"material": "mild steel", "thickness": "1 mm"},
            "layers": [{"material": "paint", "thickness": "0.3 mm"}]}, "limits": {"stack": 1}}"#,
        1.5,
        0.0,
    ),
    case(
        r#"{"need": {"verb": "hold", "load": "NEED N", "safety_factor": 1.0}, "conditions": {"warmest": "75 °C"}, "limits": {"stack": 1}}"#,
        1.0,
        0.0,
    ),
    case(
        r#"{"need": {"verb": "pull_together", "force": "NEED N", "gap": "2 mm"}, "limits": {"stack": 1}}"#,
        1.0,
        0.0,
    ),
    case(
        r#"{"need": {"verb": "push_apart", "force": "NEED N", "gap": "4 mm"}, "limits": {"stack": 1}}"#,
        1.0,
        0.0,
    ),
    case(
        r#"{"need": {"verb": "reach_field", "field": "NEED T", "distance": "6 mm"}, "limits": {"stack": 1}}"#,
        1.0,
        0.0,
    ),
    case(
        r#"{"need": {"verb": "reach_field", "field": "NEED T", "distance": "6 mm", "off_axis": "3 mm"}, "limits": {"stack": 1}}"#,
        1.0,
        0.0,
    ),
    case(
        r#"{"need": {"verb": "switch_sensor", "operate": "NEED T", "release": "0.000001 T", "margin": 1.0, "near": "5 mm", "far": "9 m"},
            "limits": {"stack": 1}}"#,
        1.0,
        0.0,
    ),
    case(
        r#"{"need": {"verb": "face_field", "field": "NEED T", "probe_depth": "0.5 mm"}, "limits": {"stack": 1}}"#,
        1.0,
        0.0,
    ),
];

/// Below the low end a build is sure, above it is not, and above the high end it is no candidate for long: its middle decides.
#[test]
fn sure_begins_at_the_low_end_for_every_verb() {
    let items = [
        disc(12.0, 6.0),
        ring(14.0, 4.0, 5.0),
        made_of(disc(14.0, 10.0), "Y30", "none"),
    ];
    for case in &CASES {
        for item in &items {
            let at = format!("{} of {:?} in {}", case.question, item.shape, item.grade);
            let Some(easy) = judged(case.question, 1e-3, item) else {
                // Steel too thin or friction too low for a need as small as this is no case.
                panic!("{at}: not even a thousandth");
            };
            let own = case.per_kilogram * easy.mass;
            let asked = |reached: f64| (reached - own) / case.factor;
            let low = asked(easy.band.low);
            assert!(low > 0.0, "{at}: {:?}", easy.band);
            let below = judged(case.question, low * (1.0 - HAIR), item).expect("it does in the middle");
            assert_eq!(below.verdict, Verdict::Sure, "{at}: a hair below {low}");
            assert!(below.chance >= 0.97, "{at}: {}", below.chance);
            let above = judged(case.question, low * (1.0 + HAIR), item).expect("it does in the middle");
            assert_eq!(above.verdict, Verdict::Middle, "{at}: a hair above {low}");
            assert!(above.chance < 0.98 && above.chance > 0.5, "{at}: {}", above.chance);
            // What the middle does not reach is no candidate.
            let mid = asked(easy.band.mid);
            assert!(
                judged(case.question, mid * (1.0 - HAIR), item).is_some(),
                "{at}: a hair below {mid}"
            );
            assert!(
                judged(case.question, mid * (1.0 + HAIR), item).is_none(),
                "{at}: a hair above {mid}"
            );
        }
    }
}

/// A ceiling further away is kept by the high end there, in the cold.
#[test]
fn ceilings_are_kept_by_the_high_end() {
    let item = disc(12.0, 6.0);
    for (question, part) in [
        (
            r#"{"need": {"verb": "reach_field", "field": "1 mT", "distance": "5 mm",
                "no_more_than": {"field": "NEED T", "distance": "20 mm"}}, "limits": {"stack": 1},
                "conditions": {"warmest": "20 °C", "coldest": "-20 °C"}}"#,
            1.0,
        ),
        // A switch has a margin of 2 on either side.
        (
            r#"{"need": {"verb": "switch_sensor", "operate": "0.1 T", "release": "NEED T", "near": "1 mm", "far": "20 mm"},
                "limits": {"stack": 1}, "conditions": {"warmest": "20 °C", "coldest": "-20 °C"}}"#,
            2.0,
        ),
    ] {
        let free = judged(question, 90e-3, &item).expect("90 mT is more than it gives");
        let far = free.far.expect("a ceiling was asked");
        let at = part * far.high;
        let above = judged(question, at * (1.0 + HAIR), &item).expect("kept");
        assert_eq!(above.verdict, Verdict::Sure, "{question}");
        let below = judged(question, at * (1.0 - HAIR), &item).expect("kept in the middle");
        assert_eq!(below.verdict, Verdict::Middle, "{question}");
        assert!(
            judged(question, part * far.mid * (1.0 - HAIR), &item).is_none(),
            "{question}"
        );
        // Colder is stronger: 0.12 % a kelvin over 40 K and the 2 K that nobody knows.
        let warm = judged(&question.replace("-20 °C", "20 °C"), 90e-3, &item).expect("kept");
        let grows = far.mid / warm.far.expect("a ceiling was asked").mid;
        assert!((grows - 1.048).abs() <= 1e-3, "{grows}");
    }
}
