//! The table of measured accuracy, `docs/accuracy.md`: made by this test and held against the file.
//!
//! To write it anew: `ACCURACY=write cargo test -p compute --test accuracy`.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;

use compute::answer_line;
use serde_json::Value;

/// All numbers of a value, in order.
fn numbers(value: &Value) -> Vec<f64> {
    match value {
        Value::Array(list) => list.iter().flat_map(numbers).collect(),
        other => other.as_f64().into_iter().collect(),
    }
}

fn answered(line: &Value) -> Value {
    serde_json::from_str(&answer_line(&line["request"].to_string()).text).expect("JSON")
}

fn relative(got: &[f64], expected: &[f64]) -> f64 {
    let length = |v: &mut dyn Iterator<Item = f64>| v.map(|c| c * c).sum::<f64>().sqrt();
    assert_eq!(got.len(), expected.len());
    let off = length(&mut got.iter().zip(expected).map(|(a, b)| a - b));
    off / length(&mut expected.iter().copied())
}

/// The same for forces, torques, work, gradients, means and pulls, and for bodies together or far from the origin.
fn of_quantities(groups: &mut BTreeMap<String, (usize, f64, f64)>) {
    for line in include_str!("../../../oracle/quantities.jsonl").lines() {
        let line: Value = serde_json::from_str(line).expect("quantities.jsonl can be read");
        let reply = answered(&line);
        let key = line["key"].as_str().expect("a key");
        let error = relative(&numbers(&reply[key]), &numbers(&line["value"]));
        let (what, of) = line["what"]
            .as_str()
            .and_then(|what| what.split_once(", "))
            .unwrap_or_else(|| {
                let what = line["what"].as_str().expect("a name");
                let on = &line["request"]["on"]["shape"];
                (
                    what,
                    on.as_str()
                        .or(line["request"]["bodies"][0]["shape"].as_str())
                        .unwrap_or("bodies"),
                )
            });
        let tolerance = line["tolerance"].as_f64().expect("a tolerance");
        let entry = groups.entry(format!("{of} | {what}")).or_insert((0, 0.0, tolerance));
        entry.0 += 1;
        entry.1 = entry.1.max(error);
    }
}

/// The largest relative error of each group, and how many values it has.
fn measured() -> BTreeMap<String, (usize, f64, f64)> {
    let mut groups = BTreeMap::new();
    for line in include_str!("../../../oracle/bodies.jsonl").lines() {
        let line: Value = serde_json::from_str(line).expect("bodies.jsonl can be read");
        let error = relative(&numbers(&answered(&line)["B_T"]), &numbers(&line["B_T"]));
        let body = &line["request"]["bodies"][0];
        let shape = body["shape"].as_str().unwrap_or("");
        let way = if body.get("radial_polarisation_T").is_some() {
            "radially"
        } else {
            match numbers(&body["polarisation_T"]).as_slice() {
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
        entry.1 = entry.1.max(error);
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

fn rows(text: &mut String, groups: &BTreeMap<String, (usize, f64, f64)>) {
    for (name, (count, error, bar)) in groups {
        assert!(*error <= *bar, "{name}: {error:e}");
        writeln!(text, "| {name} | {count} | {} | {bar:e} |", power(*error)).expect("a string takes it");
    }
}

#[test]
fn the_table_of_accuracy_is_as_measured() {
    let fields = measured();
    let mut quantities = BTreeMap::new();
    of_quantities(&mut quantities);
    assert!(
        fields.len() >= 10 && quantities.len() >= 20,
        "{fields:?} {quantities:?}"
    );
    let mut text = String::from(
        "# Measured accuracy\n\n\
         Flux density of single bodies against values from other models, made by `oracle/bodies.py` in extended precision:\n\
         loops and sheets of bound current, and point dipoles summed over the volume, while the program sums bound charge.\n\
         The error is relative to the magnitude of the vector. Written by `ACCURACY=write cargo test -p compute --test accuracy`;\n\
         the same test fails where the program no longer keeps to the table.\n\n\
         | body | where | values | largest error | bar |\n| --- | --- | --- | --- | --- |\n",
    );
    rows(&mut text, &fields);
    text.push_str(
        "\nForces, torques, work, gradients, means and pulls on a plate, and the fields of many bodies and of bodies a metre off the origin, against point\n\
         dipoles summed over the volumes of both (`oracle/quantities.py`), relative to the magnitude of the whole value:\n\n\
         | body | what | values | largest error | bar |\n| --- | --- | --- | --- | --- |\n",
    );
    rows(&mut text, &quantities);
    text.push_str(
        "\nForces by quadrature state their own error; against the closed forms for coaxial discs and parallel blocks it is below 1e-8\n\
         (`crates/magnetics/tests/load.rs`). Against closed forms too: demagnetising factors of turned profiles and of arcs, 1e-9 (`ballistic.rs`); the stream\n\
         function, whose slopes are the field, 1e-8 (`stream.rs`); means over elements that straddle rims and sides, 1e-6 (`tests/properties.rs`); limits on faces\n\
         1e-9 and on edges 1e-7 (`limit.rs`). Further values with their sources are compared by `lodewright verify`.\n\
         With a recoil permeability the errors are those of [physics.md](physics.md#recoil-permeability).\n",
    );
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/accuracy.md");
    if std::env::var("ACCURACY").is_ok_and(|way| way == "write") {
        std::fs::write(&path, &text).expect("docs can be written");
    }
    // A digit may be lost or won between processors; the rows, counts and bars may not change.
    let kept = std::fs::read_to_string(&path).expect("docs/accuracy.md is there");
    let cells = |text: &str| -> Vec<String> {
        let of = |line: &str| {
            line.split('|')
                .enumerate()
                .filter(|(i, _)| *i != 4)
                .map(|(_, cell)| cell.trim().to_owned())
                .collect::<Vec<_>>()
        };
        text.lines()
            .filter(|line| line.starts_with("| "))
            .map(|line| of(line).join("|"))
            .collect()
    };
    assert_eq!(cells(&kept), cells(&text), "write docs/accuracy.md anew");
}
