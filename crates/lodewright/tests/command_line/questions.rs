//! Questions that are odd, wrong or come from elsewhere.

use crate::common::{Folder, json, says};

#[test]
fn words_that_are_not_understood_are_told() {
    let folder = Folder::with_shop();
    let out = folder
        .run(&["ask", "hold", "0.5", "kg", "wobbly", "🧲,", "200", "pieces"])
        .done();
    says(&out, &["Hold 500 g", "To be asked: How thick is the steel?"]);
    says(&folder.run(&["ask", "qwertz"]).done(), &["Read as: what cannot be had"]);
    says(
        &folder.run(&["ask", "hold something"]).nothing(),
        &["To be asked: How much must it hold?", "200 g"],
    );
    says(&folder.run(&["ask"]).problem(), &["Usage"]);
}

#[test]
fn absurd_questions_have_a_clear_end() {
    let folder = Folder::with_shop();
    for (question, said) in [
        ("hold 2 kg at 5000 °C", "temperature must be"),
        (
            "switch a sensor: operates at 2 mT, releases at 5 mT, near 4 mm, far 25 mm",
            "",
        ),
    ] {
        let err = folder.run(&["ask", question]).problem();
        says(&err, &[said]);
        assert!(
            err.contains("hint: ") || err.contains("^"),
            "neither where nor what would be right: {err}"
        );
    }
    says(&folder.run(&["ask", "hold 0.5 kg at 400 °C"]).nothing(), &["400 °C"]);
    says(
        &folder.run(&["ask", "hold 500 kg on steel"]).nothing(),
        &["What would do"],
    );
    says(
        &folder.run(&["ask", "reach 9 T at 10 mm"]).done(),
        &["Read as: what cannot be had"],
    );
    for (arguments, said) in [
        (&["ladder", "--diameter", "-3mm"][..], ""),
        (&["ladder", "--diameter", "0mm"], ""),
        (&["ladder", "--diameter", "15"], "unit"),
        (&["ladder", "--diameter", "15mm", "--worth", "NaN"], ""),
        (&["ladder", "--diameter", "15mm", "--pieces", "0"], ""),
        (&["ladder", "--probe=-1mm"], ""),
        (&["ladder", "--item", "99-99"], "99-99"),
        (&["ladder", "--outer", "20mm"], "--inner"),
        (
            &[
                "ladder", "--outer", "10mm", "--inner", "20mm", "--grade", "N42", "--by", "free",
            ],
            "",
        ),
        (&["ladder", "--at", "1mm", "--pull", "1mm"], "--pull"),
        (&["item", "99-99"], "99-99"),
        (&["--units", "ell", "shelf", "list"], "ell"),
        (&["shelf", "settings", "--currency", "shells"], "EUR"),
        (&["shelf", "settings", "--name", " "], "name"),
        (&["nonsense"], "nonsense"),
        (&[], "Usage"),
    ] {
        says(&folder.run(arguments).problem(), &[said]);
    }
}

#[test]
fn a_question_comes_from_a_file_or_a_pipe() {
    let folder = Folder::with_shop();
    let question = r#"{"need": {"verb": "hold", "load": "1.1 lb"}, "pieces": 200}"#;
    folder.write("question.json", question);
    let out = folder.run(&["ask", "--question", "question.json"]).done();
    says(&out, &["Hold"]);
    assert_eq!(folder.run_with_input(&["ask", "--question", "-"], question).done(), out);
    let kept = json(&folder.run(&["ask", "hold 0.5 kg, 200 pieces", "--json"]).done());
    let again = json(
        &folder
            .run_with_input(&["ask", "--question", "-", "--json"], &kept["question"].to_string())
            .done(),
    );
    assert_eq!(kept["lead"], again["lead"]);
    let wrong = question.replace("1.1 lb", "1.1 parsecs");
    says(
        &folder.run_with_input(&["ask", "--question", "-"], &wrong).problem(),
        &["parsecs", "at: /need/load", "kg"],
    );
    says(
        &folder.run_with_input(&["ask", "--question", "-"], "{").problem(),
        &["not JSON"],
    );
    says(
        &folder.run(&["ask", "--question", "absent.json"]).problem(),
        &["absent.json"],
    );
    folder
        .run(&["ask", "--question", "question.json", "hold 2 kg"])
        .problem();
}

#[test]
fn ladders_need_no_shelf_when_all_is_said() {
    let folder = Folder::new();
    let free = [
        "ladder",
        "--diameter",
        "12mm",
        "--grade",
        "N42",
        "--by",
        "free",
        "--at",
        "10mm",
    ];
    says(&folder.run(&free).done(), &["12 mm", "N42"]);
    says(&folder.run(&["ladder"]).problem(), &["import a price list"]);
    let stack = folder
        .run(&["--demo", "ladder", "--item", "14-07", "--pull", "0.5mm"])
        .done();
    says(&stack, &["2 pieces", "8 pieces"]);
}

#[test]
fn an_empty_shelf_is_told_with_a_way_on() {
    let out = Folder::new().run(&["ask", "hold 2 kg"]).nothing();
    says(&out, &["The shelf is empty", "shelf import", "--demo"]);
}

#[test]
fn heat_refuses_plain_grades_and_thin_pieces_and_says_why() {
    let folder = Folder::new();
    let hot = folder
        .run(&["--demo", "ask", "--json", "hold 0.5 kg up to 120 °C"])
        .done();
    let hot = json(&hot);
    let rated = |code: &str| json(&folder.run(&["--demo", "item", code, "--json"]).done());
    for candidate in hot["candidates"].as_array().unwrap() {
        let title = candidate["title"].as_str().unwrap();
        let grade = title.rsplit(", ").next().unwrap();
        let plain = grade.starts_with('N') && grade.ends_with(|c: char| c.is_ascii_digit());
        assert!(!plain, "{title}");
    }
    says(hot["searched"].as_str().unwrap(), &["not rated for 120"]);
    says(&hot["near_misses"].to_string(), &["may be used only up to"]);
    let item = rated("14-07");
    assert!(
        item["heat"]["curve"]["curves"].as_array().is_some_and(|c| c.len() >= 3),
        "{item}"
    );
    says(
        &folder
            .run(&[
                "--demo",
                "item",
                "14-07",
                "--warmest",
                "120C",
                "--surroundings",
                "outdoors",
            ])
            .done(),
        &[
            "in use: up to 120",
            "rated",
            "does not last outdoors",
            "Heat and its own field",
            "by definition",
        ],
    );
    says(
        &folder
            .run(&[
                "--demo",
                "ladder",
                "--diameter",
                "10mm",
                "--grade",
                "N42",
                "--by",
                "free",
                "--warmest",
                "80C",
            ])
            .done(),
        &["up to 80", "lost permanently"],
    );
    for (arguments, said) in [
        (&["--demo", "item", "14-07", "--warmest", "80"][..], "unit"),
        (&["--demo", "item", "14-07", "--warmest", "9000C"], "temperature"),
        (&["--demo", "item", "14-07", "--surroundings", "moon"], "outdoors"),
    ] {
        says(&folder.run(arguments).problem(), &[said]);
    }
}

#[test]
fn the_same_magnet_is_taken_as_a_rod_and_refused_as_a_thin_disc() {
    let folder = Folder::new();
    folder.write(
        "pair.csv",
        "code,shape,diameter mm,thickness mm,grade,coating,price EUR\nrod,disc,10,12,N42,NiCuNi,1\nthin,disc,10,1,N42,NiCuNi,1\n",
    );
    folder.run(&["shelf", "import", "pair.csv"]).done();
    let out = folder
        .run(&["ask", "reach 5 mT at 5 mm up to 80 °C, not stacked"])
        .done();
    says(&out, &["rod", "(thin)", "permanently at 80"]);
}

#[test]
fn a_lot_is_used_instead_of_the_grade_until_it_is_dropped() {
    let folder = Folder::with_shop();
    let ask = ["ask", "hold 0.5 kg, 200 pieces"];
    let before = folder.run(&ask).done();
    folder
        .run(&[
            "lot",
            "take",
            "20-01",
            "B2231",
            "--br",
            "1.25T",
            "--hcj",
            "13kOe",
            "--note",
            "from spring",
        ])
        .done();
    says(
        &folder.run(&["lot", "list"]).done(),
        &["20-01", "B2231", "1250 mT", "in use", "from spring"],
    );
    says(&folder.run(&["item", "20-01"]).done(), &["certificate of lot", "B2231"]);
    folder.run(&["lot", "drop", "20-01"]).done();
    let after = folder.run(&ask).done();
    let without_revision = |text: &str| text.split("shelf revision").next().unwrap().to_string();
    assert_eq!(without_revision(&before), without_revision(&after));
    folder.run(&["lot", "take", "20-01", "B2231"]).done();
    for (arguments, said) in [
        (&["lot", "take", "99-99", "A", "--br", "1.3T"][..], "99-99"),
        (&["lot", "take", "20-01", "A"], "no lot"),
        (&["lot", "take", "20-01", "A", "--br", "1.3"], "unit"),
        (&["lot", "take", "20-01", "A", "--br", "30T"], "certificate"),
        (&["lot", "take", "20-01", "B2231", "--br", "1.2T"], "other values"),
        (&["lot", "take", "20-01", "A", "--hcj", "1000kA/m"], "--br"),
        (&["lot", "drop", "99-99"], "99-99"),
    ] {
        says(&folder.run(arguments).problem(), &[said]);
    }
}
