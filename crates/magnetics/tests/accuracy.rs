//! The table of measured accuracy, `docs/accuracy.md`: made by this test and held against the file.
//!
//! To write it anew: `ACCURACY=write cargo test -p magnetics --test accuracy`.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;

use magnetics::batch::answer;
use serde_json::Value;

/// The largest relative error of each group, and how many values it has.
fn measured() -> BTreeMap<String, (usize, f64, f64)> {
    let mut groups = BTreeMap::new();
    let length = |v: &[f64]| v.iter().map(|c| c * c).sum::<f64>().sqrt();
    for line in include_str!("../../../oracle/bodies.jsonl").lines() {
        let line: Value = serde_json::from_str(line).expect("bodies.jsonl can be read");
        let reply: Value = serde_json::from_str(&answer(&line["request"].to_string()).text).expect("JSON");
        let vector = |value: &Value| -> Vec<f64> {
            value
                .as_array()
                .into_iter()
                .flatten()
                .filter_map(Value::as_f64)
                .collect()
        };
        let (got, expected) = (vector(&reply["B_T"][0]), vector(&line["B_T"]));
        let off: Vec<f64> = got.iter().zip(&expected).map(|(a, b)| a - b).collect();
        let body = &line["request"]["bodies"][0];
        let shape = body["shape"].as_str().unwrap_or("");
        let way = if body.get("radial_polarisation_T").is_some() {
            "radially"
        } else {
            match vector(&body["polarisation_T"]).as_slice() {
                [0.0, 0.0, _] => "along its axis",
                [_, 0.0, 0.0] => "across its axis",
                _ => "in any direction",
            }
        };
        let tolerance = line["tolerance"].as_f64().expect("a tolerance");
        let place = if tolerance > 5e-9 {
            "within 1 µm of an edge, or at 1000 diameters"
        } else {
            "elsewhere"
        };
        let entry = groups
            .entry(format!("{shape}, magnetised {way} | {place}"))
            .or_insert((0, 0.0_f64, tolerance));
        entry.0 += 1;
        entry.1 = entry.1.max(length(&off) / length(&expected));
    }
    groups
}

/// Errors in powers of ten, rounded up, so that the table is the same on every processor.
fn power(error: f64) -> String {
    if error < 1e-14 {
        "below 1e-14".into()
    } else {
        format!("below 1e{}", error.log10().floor() as i32 + 1)
    }
}

#[test]
fn the_table_of_accuracy_is_as_measured() {
    let groups = measured();
    assert!(groups.len() >= 10, "{groups:?}");
    let mut text = String::from(
        "# Measured accuracy\n\n\
         Flux density of single bodies against values from other models, made by `oracle/bodies.py` in extended precision:\n\
         loops and sheets of bound current, and point dipoles summed over the volume, while the program sums bound charge.\n\
         The error is relative to the magnitude of the vector. Written by `ACCURACY=write cargo test -p magnetics --test accuracy`;\n\
         the same test fails where the program no longer keeps to the table.\n\n\
         | body | where | values | largest error | bar |\n| --- | --- | --- | --- | --- |\n",
    );
    for (name, (count, error, bar)) in &groups {
        assert!(*error <= *bar, "{name}: {error:e}");
        writeln!(text, "| {name} | {count} | {} | {bar:e} |", power(*error)).expect("a string takes it");
    }
    text.push_str(
        "\nForces by quadrature state their own error; against the closed forms for coaxial discs and parallel blocks it is below 1e-8\n\
         (`crates/magnetics/tests/load.rs`). Further values with their sources are compared by `lodewright verify`.\n",
    );
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/accuracy.md");
    if std::env::var("ACCURACY").is_ok_and(|way| way == "write") {
        std::fs::write(&path, &text).expect("docs can be written");
    }
    // A digit may be lost or won between processors; the rows, counts and bars may not change.
    let kept = std::fs::read_to_string(&path).expect("docs/accuracy.md is there");
    let rows = |text: &str| -> Vec<String> {
        let cells = |line: &str| {
            line.split('|')
                .enumerate()
                .filter(|(i, _)| *i != 4)
                .map(|(_, cell)| cell.trim().to_owned())
                .collect::<Vec<_>>()
        };
        text.lines()
            .filter(|line| line.starts_with("| "))
            .map(|line| cells(line).join("|"))
            .collect()
    };
    assert_eq!(rows(&kept), rows(&text), "write docs/accuracy.md anew");
}
