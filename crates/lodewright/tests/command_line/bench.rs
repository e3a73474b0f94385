//! Readings of the bench on the command line.

use crate::common::{Folder, json, says};

const SESSION: &str = r#"{
  "lots": [{ "name": "A", "sizes": { "shape": "disc", "diameter": "10 mm", "thickness": "5 mm" }, "grade": "N42" }],
  "fit": { "free": [{ "scale": 0 }] }, "probe": { "depth": "0.5 mm" }, "wanted": { "scale": 0 } }"#;

#[test]
fn a_file_and_a_table_are_worked_out() {
    let folder = Folder::new();
    folder.write("session.json", SESSION);
    folder.write(
        "readings.csv",
        "lot,pieces,spacer,value\nA,1,,390 mT\nA,1,1 mm,2950 G\nA,2,,480 mT\n",
    );
    let arguments = ["--demo", "bench", "session.json", "--readings", "readings.csv"];
    let out = folder.run(&arguments).done();
    says(
        &out,
        &[
            "1 × A, on 1 mm",
            "295 mT",
            "A: effective remanence",
            "free",
            "Read next",
        ],
    );
    let told = json(&folder.run(&[&arguments[..], &["--json"]].concat()).done());
    assert_eq!(told["report"]["readings"].as_array().map(Vec::len), Some(3));
}

#[test]
fn a_row_that_cannot_be_read_is_named() {
    let folder = Folder::new();
    folder.write("session.json", SESSION);
    folder.write("readings.csv", "value\n390 mT\nmuch\n");
    let problem = folder
        .run(&["--demo", "bench", "session.json", "--readings", "readings.csv"])
        .problem();
    says(&problem, &["row 3", "much"]);
}

#[test]
fn the_table_as_measured_is_printed_and_written() {
    let folder = Folder::new();
    says(&folder.run(&["--demo", "bench", "table"]).done(), &["No readings"]);
    says(
        &folder.run(&["--demo", "bench", "table", "--out", "table.csv"]).done(),
        &["table.csv"],
    );
    let written = std::fs::read_to_string(folder.path("table.csv")).unwrap();
    assert!(written.starts_with("\u{feff}code,magnet,lot,place,probe,readings,mean,unit"));
    for (arguments, said) in [
        (["table", "--out", "table.doc"].as_slice(), ".pdf"),
        (&["table", "--out", "table.csv"], "exists"),
    ] {
        let problem = folder.run(&[&["--demo", "bench"], arguments].concat()).problem();
        says(&problem, &[said]);
    }
}
