//! Speed of a question over ten thousand items in stacks of up to eight.
//!
//! Run with `cargo bench -p shop`. The bar is 150 ms on two cores.

use advice::answer::ShelfStamp;
use advice::{Catalogue, Question};
use divan::{Bencher, black_box};
use quantity::Currency;

fn main() {
    divan::main();
}

const QUESTIONS: [(&str, &str); 7] = [
    ("hold without limits", r#"{"need": {"verb": "hold", "load": "2 kg"}}"#),
    (
        "hold with limits",
        r#"{"need": {"verb": "hold", "load": "2 kg", "direction": "hanging_below",
            "steel": {"material": "mild steel", "thickness": "3 mm"},
            "layers": [{"material": "paint", "thickness": "0.4 mm"}]},
            "conditions": {"warmest": "60 °C"}, "limits": {"widest": "25 mm"}, "pieces": 200}"#,
    ),
    (
        "hold what nothing holds",
        r#"{"need": {"verb": "hold", "load": "3000 kg"}}"#,
    ),
    (
        "reach a field",
        r#"{"need": {"verb": "reach_field", "field": "50 mT", "distance": "10 mm"}}"#,
    ),
    (
        "switch a sensor",
        r#"{"need": {"verb": "switch_sensor", "operate": "10 mT", "release": "5 mT", "near": "8 mm", "far": "40 mm"}}"#,
    ),
    (
        "make a face field",
        r#"{"need": {"verb": "face_field", "field": "400 mT", "probe_depth": "0.5 mm"}}"#,
    ),
    (
        "pull together",
        r#"{"need": {"verb": "pull_together", "force": "20 N", "gap": "3 mm"}}"#,
    ),
];

#[divan::bench(args = QUESTIONS.map(|(name, _)| name), sample_count = 10)]
fn question(bencher: Bencher, name: &str) {
    let text = QUESTIONS.iter().find(|(n, _)| *n == name).map_or("", |(_, text)| text);
    let (Ok(question), Ok(catalogue)) = (serde_json::from_str::<Question>(text), Catalogue::builtin()) else {
        return;
    };
    let shelf = shop::demo::generate(10_000, 1);
    let stamp = ShelfStamp {
        revision: 1,
        version: String::new(),
        currency: Currency::EUR,
    };
    bencher.bench(|| {
        advice::search::answer(
            black_box(&question),
            black_box(&shelf),
            &catalogue,
            stamp.clone(),
            &|| true,
        )
    });
}
