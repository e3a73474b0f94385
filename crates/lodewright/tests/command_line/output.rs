//! What is printed: pages, JSON, help, and to whom.

use std::process::Stdio;

use crate::common::{Folder, Ran, json, says};

#[test]
fn the_demo_answers_and_leaves_no_file() {
    let folder = Folder::new();
    let out = folder
        .run(&[
            "--demo",
            "ask",
            "hold 2 kg hanging below 3 mm steel through 0.4 mm paint, 200 pieces",
        ])
        .done();
    says(
        &out,
        &[
            "Hold 2 kg hanging below 3 mm of mild steel",
            "Suitable magnets, cheapest first",
            "95 % of pieces",
            "Cautions",
            "implants",
        ],
    );
    says(
        &folder.run(&["--demo", "ladder"]).done(),
        &["made of", "gain", "the knee"],
    );
    says(
        &folder.run(&["--demo", "item", "14-07"]).done(),
        &["(14-07)", "grade:", "Prices", "Cautions"],
    );
    says(
        &folder.run(&["--demo", "shelf", "list", "n42", "ring"]).done(),
        &["Ring", "at the face", "items"],
    );
    says(
        &folder.run(&["--demo", "shelf", "grades"]).done(),
        &["N42", "remanence"],
    );
    says(&folder.run(&["--demo", "shelf", "settings"]).done(), &["EUR", "metric"]);
    assert!(folder.names().is_empty(), "{:?}", folder.names());
}

#[test]
fn no_line_is_wider_than_the_terminal() {
    let folder = Folder::new();
    let hold = [
        "--demo",
        "ask",
        "hold 2 kg hanging below 3 mm steel through 0.4 mm paint, no wider than 25 mm, 200 pieces",
    ];
    let sensor = [
        "--demo",
        "ask",
        "switch a sensor: operates at 5 mT, releases at 2 mT, near 4 mm, far 25 mm",
    ];
    let runs: [&[&str]; 8] = [
        &hold,
        &sensor,
        &["--demo", "ladder"],
        &["--demo", "ladder", "--item", "14-07", "--at", "10mm"],
        &["--demo", "item", "14-07"],
        &["--demo", "shelf", "list"],
        &["--demo", "shelf", "grades"],
        &["verify"],
    ];
    for arguments in runs {
        for columns in [80, 110] {
            let output = folder
                .command(arguments)
                .env("COLUMNS", columns.to_string())
                .output()
                .unwrap();
            let text = String::from_utf8(output.stdout).unwrap();
            for line in text.lines() {
                assert!(line.chars().count() <= columns, "{arguments:?} at {columns}: {line:?}");
            }
            assert!(!text.contains('\u{1b}'), "{arguments:?}: colour in a pipe");
        }
    }
}

#[test]
fn every_command_prints_json_when_asked() {
    let folder = Folder::with_shop();
    let ask = json(
        &folder
            .run(&["ask", "--json", "--keep", "hold 0.5 kg, 200 pieces"])
            .done(),
    );
    let id = ask["id"].as_str().unwrap();
    assert!(ask["candidates"][0]["value"]["value"].is_f64(), "{ask}");
    let lines: [&[&str]; 14] = [
        &["ladder", "--diameter", "15mm", "--grade", "N42"],
        &["item", "20-01"],
        &["shelf", "list"],
        &["shelf", "import", "list.csv", "--preview"],
        &["shelf", "import", "list.csv"],
        &["shelf", "export", "out.csv"],
        &["shelf", "backup", "copy.sqlite"],
        &["shelf", "grades"],
        &["shelf", "settings", "--name", "Corner"],
        &["desk", "list"],
        &["desk", "open", id],
        &["desk", "delete", id],
        &["desk", "restore", id],
        &["shelf", "undo"],
    ];
    for arguments in lines {
        let all = [arguments, &["--json"]].concat();
        let value = json(&folder.run(&all).done());
        assert!(value.is_object() || value.is_array(), "{arguments:?}: {value}");
    }
    assert!(
        json(&folder.run(&["verify", "--json"]).done())
            .as_array()
            .is_some_and(|rows| rows.len() > 20)
    );
    assert_eq!(json(&folder.run(&["openapi", "--json"]).done())["openapi"], "3.1.0");
    let problem = json(&folder.run(&["item", "99-99", "--json"]).problem());
    assert_eq!(problem["status"], 404);
    let reply = json(&folder.run(&["ask", "--json", "🧲 hold something"]).nothing());
    assert_eq!(
        (&reply["kind"], &reply["asks"][0]["place"]),
        (&"choose".into(), &"/question/need/load".into())
    );
    assert!(reply["understood"]["parts"].is_array());
}

#[test]
fn help_shows_examples_and_what_the_status_means() {
    let folder = Folder::new();
    says(
        &folder.run(&["--help"]).done(),
        &["Examples:", "Exit status:", "0  done", "LODEWRIGHT_SHOP"],
    );
    for command in ["ask", "ladder", "item", "serve", "verify", "openapi"] {
        says(
            &folder.run(&[command, "--help"]).done(),
            &["Examples:", "lodewright", "--json"],
        );
    }
    for command in ["list", "import", "export", "undo", "backup", "grades", "settings"] {
        says(
            &folder.run(&["shelf", command, "--help"]).done(),
            &["Examples:", "lodewright"],
        );
    }
    for command in ["list", "take", "drop"] {
        says(
            &folder.run(&["lot", command, "--help"]).done(),
            &["Examples:", "lodewright"],
        );
    }
    for command in ["list", "open", "delete", "restore"] {
        says(
            &folder.run(&["desk", command, "--help"]).done(),
            &["Examples:", "lodewright"],
        );
    }
    says(&folder.run(&["--version"]).done(), &[env!("CARGO_PKG_VERSION")]);
    assert!(folder.names().is_empty());
}

#[test]
fn verify_prints_its_table() {
    let out = Folder::new().run(&["verify"]).done();
    says(
        &out,
        &["expected", "got", "difference", "agrees", " 0 differ", "Abramowitz"],
    );
    assert!(!out.contains("DIFFERS"));
}

#[cfg(unix)]
#[test]
fn a_closed_pipe_is_no_error() {
    let folder = Folder::new();
    for arguments in [
        &["--demo", "shelf", "list"][..],
        &["--demo", "--json", "shelf", "list"],
        &["verify"],
        &["openapi"],
    ] {
        let mut child = folder
            .command(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let ran = Ran::of(&arguments.join(" "), child.wait_with_output().unwrap());
        ran.done();
    }
}
