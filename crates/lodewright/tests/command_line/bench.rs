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

/// A folder whose shop has a probe and a session of lot B-118.
fn begun() -> (Folder, String) {
    let folder = Folder::with_shop();
    folder
        .run(&["bench", "probe", "hand probe", "--depth", "0.5mm", "--within", "0.2mm"])
        .done();
    let begun = json(
        &folder
            .run(&["bench", "begin", "14-07", "--lot", "B-118", "--json"])
            .done(),
    );
    let id = begun["session"]["id"].as_str().unwrap().to_owned();
    (folder, id)
}

fn rows(folder: &Folder, session: &str) -> Vec<serde_json::Value> {
    let shown = json(&folder.run(&["bench", "show", session, "--json"]).done());
    shown["session"]["rows"].as_array().unwrap().clone()
}

#[test]
fn a_session_is_begun_read_and_taken_back() {
    let (folder, id) = begun();
    says(
        &folder
            .run(&["bench", "expect", "last", "--pieces", "2", "--spacer", "0.5mm"])
            .done(),
        &["Two pieces, on 0.5 mm", "95 % of such magnets read between"],
    );
    let out = folder
        .run(&["bench", "read", "last", "391mT", "3880 G", "--pole", "north"])
        .done();
    says(
        &out,
        &["1. one piece: 391 mT, expected", "2. one piece: 388 mT, expected"],
    );
    folder
        .run(&["bench", "read", &id, "470mT", "--pieces", "2", "--note", "clean faces"])
        .done();
    let all = rows(&folder, &id);
    assert_eq!(all.len(), 3);
    assert_eq!(
        (all[0]["given"].as_str(), all[0]["note"].as_str()),
        (Some("470\u{a0}mT"), Some("clean faces"))
    );
    assert_eq!(all[1]["given"], "3880\u{a0}G");
    assert_eq!(all[2]["place"]["pole"], "north");

    says(
        &folder.run(&["bench", "undo", "last"]).done(),
        &["Taken back: two pieces, 470 mT", "bring-back"],
    );
    assert_eq!(rows(&folder, &id).len(), 2);
    let reading = all[0]["id"].as_str().unwrap();
    says(&folder.run(&["bench", "bring-back", reading]).done(), &["The reading"]);
    assert_eq!(rows(&folder, &id), all);

    folder.run(&["bench", "undo", "last", "--number", "1"]).done();
    let left = rows(&folder, &id);
    assert_eq!(left.len(), 2);
    assert!(left.iter().all(|row| row["value"]["text"] != all[2]["value"]["text"]));
    folder.run(&["bench", "stand", "last", "1", "left-out"]).done();
    assert_eq!(rows(&folder, &id)[1]["standing"], "left_out");

    folder.run(&["bench", "remove", &id]).done();
    says(&folder.run(&["bench", "list"]).done(), &["None: begin one"]);
    folder.run(&["bench", "bring-back", &id]).done();
    assert_eq!(rows(&folder, &id).len(), 2);
}

/// A plain number is a flux density in the shop's own unit: mT, or gauss where the shop reads gauss.
#[test]
fn a_plain_number_is_in_the_shops_unit() {
    let (folder, id) = begun();
    folder.run(&["bench", "read", "last", "391", "39,1"]).done();
    folder
        .run(&["--units", "inch,gauss", "bench", "read", "last", "3880"])
        .done();
    let given = |row: &serde_json::Value| row["given"].as_str().map(|g| g.replace('\u{a0}', " "));
    let all: Vec<_> = rows(&folder, &id).iter().map(given).collect();
    assert_eq!(all, ["3880 G", "39.1 mT", "391 mT"].map(|g| Some(g.to_owned())));
}

/// One line that does not read is told and the others are saved; several values of one call are taken together or not at all.
#[test]
fn typed_lines_are_saved_one_by_one_and_values_together() {
    let (folder, id) = begun();
    let ran = folder.run_with_input(
        &["bench", "read", "last"],
        "391 mT\n\nmuch\n-389 mT\n395 mT\nundo\n388 mT\n",
    );
    assert_eq!(ran.code, Some(2), "{ran:?}");
    says(&ran.err, &["\"much\" is not a reading", "1 of 6 lines were not taken"]);
    says(
        &ran.out,
        &[
            "Expected",
            "1. one piece: 391 mT",
            "2. one piece: 389 mT",
            "Taken back: one piece, 395 mT",
            "3. one piece: 388 mT",
        ],
    );
    assert_eq!(rows(&folder, &id).len(), 3);
    let problem = folder.run(&["bench", "read", "last", "390mT", "many"]).problem();
    says(&problem, &["\"many\" is not a reading"]);
    assert_eq!(rows(&folder, &id).len(), 3);
}

#[test]
fn a_magnet_of_sizes_is_begun_and_what_is_found_of_it_is_kept() {
    let (folder, _) = begun();
    let sizes = [
        "bench",
        "begin",
        "--diameter",
        "12mm",
        "--thickness",
        "6mm",
        "--grade",
        "N42",
        "--coating",
        "Ni-Cu-Ni",
    ];
    let out = folder
        .run(&[&sizes[..], &["--lot", "C-1", "--probe", "hand probe"]].concat())
        .done();
    says(
        &out,
        &["12 × 6 mm N42, lot C-1, read with hand probe", "One piece: Expected"],
    );
    folder.run(&["bench", "read", "last", "381mT", "383mT", "379mT"]).done();
    folder
        .run(&["bench", "read", "last", "127mT", "--spacer", "5mm"])
        .done();
    says(&folder.run(&["bench", "grade", "last"]).done(), &["chance", "N42"]);
    let kept = folder.run(&["bench", "keep", "last", "scale"]).done();
    says(&kept, &["lot C-1: effective remanence", "4 readings of"]);
    let id = kept
        .split("id ")
        .nth(1)
        .unwrap()
        .split(')')
        .next()
        .unwrap()
        .trim()
        .to_owned();
    says(&folder.run(&["bench", "list"]).done(), &["effective remanence", &id]);
    folder.run(&["bench", "remove", &id]).done();
    assert!(!folder.run(&["bench", "list"]).done().contains("effective remanence"));

    says(
        &folder.run(&["bench", "plan", "--lot-size", "1000"]).done(),
        &["read 80 of 1000", "MIL-STD-105E"],
    );
    let inspected = [
        "bench",
        "inspect",
        "last",
        "--lot-size",
        "3",
        "--aql",
        "4",
        "--least",
        "370mT",
    ];
    let before = folder.run(&inspected).done();
    says(&before, &["381 mT", "good", "Certificate"]);
    assert!(!before.contains("Noted"), "{before}");
    folder.run(&[&inspected[..], &["--note"]].concat()).done();
    says(
        &folder.run(&inspected).done(),
        &["Noted of this lot: normal inspection,", "accepted"],
    );
}

#[test]
fn a_probe_is_corrected_by_its_name_and_what_is_not_there_is_told() {
    let folder = Folder::with_shop();
    says(
        &folder.run(&["bench", "begin", "14-07"]).problem(),
        &["the shop has named no usual probe", "enter a probe first"],
    );
    says(
        &folder.run(&["bench", "read", "last", "390mT"]).problem(),
        &["no session was begun yet"],
    );
    let enter = ["bench", "probe", "pen", "--depth", "0.7mm", "--accuracy", "1", "--json"];
    let first = json(&folder.run(&enter).done());
    assert_eq!(first["usual"], true);
    let flat = [
        "bench",
        "probe",
        "pen",
        "--flat",
        "--element",
        "1.5 mm x 0.5 mm",
        "--json",
    ];
    let second = json(&folder.run(&flat).done());
    assert_eq!(second["id"], first["id"]);
    assert_eq!(second["entered"]["depth"], first["entered"]["depth"]);
    assert_eq!(second["entered"]["transverse"], true);
    says(
        &folder.run(&["bench", "begin", "14-07", "--probe", "pan"]).problem(),
        &["no probe \"pan\"", "the probes are pen"],
    );
    folder.run(&["bench", "begin", "14-07"]).done();
    for arguments in [
        ["bench", "undo", "last"],
        ["bench", "grade", "last"],
        ["bench", "bring-back", "x"],
    ] {
        folder.run(&arguments).problem();
    }
}
