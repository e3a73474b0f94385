//! The shop in its file: imports, exports, copies, the desk, the settings.

use std::fs;

use crate::common::{Folder, LIST, Ran, json, says};

#[test]
fn a_shop_lasts_from_run_to_run() {
    let folder = Folder::new();
    assert_eq!(
        json(&folder.run(&["shelf", "list", "--json"]).nothing()),
        serde_json::json!([])
    );
    folder.write("list.csv", LIST);
    let preview = folder.run(&["shelf", "import", "list.csv", "--preview"]).done();
    says(
        &preview,
        &["3 lines", "3 new", "14-07", "It can be imported", "thickness"],
    );
    folder.run(&["shelf", "list"]).nothing();
    says(
        &folder.run(&["shelf", "import", "list.csv"]).done(),
        &["3 new", "revision 1", "undo"],
    );
    says(&folder.run(&["shelf", "list", "15x5"]).done(), &["14-07", "1 item\n"]);
    says(&folder.run(&["shelf", "import", "list.csv"]).done(), &["3 unchanged"]);

    folder.run(&["shelf", "export", "out.csv"]).done();
    folder.run(&["shelf", "export", "out.xlsx"]).done();
    for file in ["out.csv", "out.xlsx"] {
        says(
            &folder.run(&["shelf", "import", file, "--preview"]).done(),
            &["0 new, 0 changed, 3 unchanged, 0 bad"],
        );
    }
    says(
        &folder.run(&["shelf", "export", "out.csv"]).problem(),
        &["exists already", "--overwrite"],
    );
    folder.run(&["shelf", "export", "out.csv", "--overwrite"]).done();
    says(
        &folder.run(&["shelf", "export", "out.ods"]).problem(),
        &["out.ods", "shelf.xlsx"],
    );
    folder.run(&["shelf", "export", "nowhere/out.csv"]).problem();

    folder.run(&["shelf", "backup", "copy.sqlite"]).done();
    says(
        &folder.run(&["shelf", "backup", "copy.sqlite"]).problem(),
        &["exists already"],
    );
    says(
        &folder
            .run(&["shelf", "backup", "lodewright-shop.sqlite", "--overwrite"])
            .problem(),
        &["itself"],
    );
    says(&folder.run(&["shelf", "undo"]).done(), &["revision 2"]);
    folder.run(&["shelf", "list"]).nothing();
    says(
        &folder.run(&["--shop", "copy.sqlite", "shelf", "list"]).done(),
        &["3 items"],
    );
    says(&folder.run(&["shelf", "undo"]).problem(), &["no import", "to undo"]);
    let expected = [
        "copy.sqlite",
        "list.csv",
        "lodewright-shop.sqlite",
        "out.csv",
        "out.xlsx",
    ];
    assert_eq!(folder.names(), expected, "something was left behind");
}

#[test]
fn a_bad_list_changes_nothing_and_is_told_line_by_line() {
    let folder = Folder::with_shop();
    folder.write("bad.csv", LIST.replace("15,,3,", "15,,-3,").replace("0.65", "0.60"));
    let preview = folder.run(&["shelf", "import", "bad.csv", "--preview"]).nothing();
    says(&preview, &["1 bad", "thickness (mm)", "-3", "cannot be imported"]);
    let ran = folder.run(&["shelf", "import", "bad.csv"]);
    assert_eq!(ran.code, Some(2), "{ran:?}");
    says(&ran.out, &["Problems", "thickness (mm)", "-3"]);
    says(&ran.err, &["an error", "nothing was imported"]);
    let problem = json(&folder.run(&["shelf", "import", "bad.csv", "--json"]).problem());
    assert_eq!(problem["problems"][0]["line"], 3);
    says(&folder.run(&["item", "14-07"]).done(), &["0.65"]);
    says(
        &folder.run(&["shelf", "import", "absent.csv"]).problem(),
        &["absent.csv"],
    );
    folder.write("picture.csv", b"\x89PNG\r\n\x1a\n");
    says(&folder.run(&["shelf", "import", "picture.csv"]).problem(), &["picture"]);
}

#[test]
fn what_is_no_shop_is_left_as_it_is() {
    let folder = Folder::new();
    for (name, content) in [
        ("notes.txt", &b"Buy more discs.\n"[..]),
        ("picture", b"\x89PNG\r\n\x1a\n\0\0\0"),
    ] {
        folder.write(name, content);
        for command in [&["shelf", "list"][..], &["ask", "hold 2 kg"], &["shelf", "undo"]] {
            let all = [&["--shop", name][..], command].concat();
            says(&folder.run(&all).problem(), &["not a database", name]);
        }
        assert_eq!(fs::read(folder.path(name)).unwrap(), content);
    }
    assert_eq!(folder.names(), ["notes.txt", "picture"]);
    folder
        .run(&["--shop", "no/such/folder.sqlite", "shelf", "list"])
        .problem();
    says(&folder.run(&["--shop", ".", "shelf", "list"]).problem(), &["."]);
}

#[test]
fn the_shop_can_be_named_by_the_surroundings() {
    let folder = Folder::with_shop();
    fs::rename(folder.path("lodewright-shop.sqlite"), folder.path("mine.sqlite")).unwrap();
    let output = folder
        .command(&["shelf", "list"])
        .env("LODEWRIGHT_SHOP", "mine.sqlite")
        .output()
        .unwrap();
    says(&Ran::of("", output).done(), &["3 items"]);
}

#[test]
fn answers_are_kept_shown_deleted_and_restored() {
    let folder = Folder::with_shop();
    says(&folder.run(&["desk", "list"]).nothing(), &["empty", "--keep"]);
    folder
        .run(&["ask", "hold 0.5 kg straight off 5 mm steel, 200 pieces"])
        .done();
    folder.run(&["desk", "list"]).nothing();
    let out = folder
        .run(&["ask", "--keep", "hold 0.5 kg straight off 5 mm steel, 200 pieces"])
        .done();
    let id = out
        .lines()
        .find_map(|l| l.strip_prefix("Kept on the desk as "))
        .unwrap()
        .trim_end_matches('.')
        .to_string();
    says(&folder.run(&["desk", "list"]).done(), &[&id, "Hold 500 g"]);
    says(
        &folder.run(&["desk", "open", &id, "--units", "inch"]).done(),
        &["Asked 20", "lbf", "Suitable magnets"],
    );
    folder.write("dearer.csv", LIST.replace("0.65", "0.99"));
    folder.run(&["shelf", "import", "dearer.csv"]).done();
    let opened = folder.run(&["desk", "open", &id]).done();
    says(&opened, &["revision 1", "the shelf has changed since"]);
    assert!(!opened.contains("0.99"), "{opened}");
    folder.run(&["desk", "delete", &id]).done();
    says(&folder.run(&["desk", "open", &id]).problem(), &[&id]);
    folder.run(&["desk", "delete", &id]).problem();
    folder.run(&["desk", "restore", &id]).done();
    folder.run(&["desk", "open", &id]).done();
    says(&folder.run(&["desk", "restore", "nosuch"]).problem(), &["nosuch"]);
}

#[test]
fn settings_and_units_are_kept_and_shown() {
    let folder = Folder::with_shop();
    let shown = folder
        .run(&[
            "shelf",
            "settings",
            "--name",
            "Corner",
            "--currency",
            "USD",
            "--confirm",
            "--show",
            "inch",
        ])
        .done();
    says(&shown, &["Corner", "USD", "inch"]);
    assert_eq!(folder.run(&["shelf", "settings"]).done(), shown);
    let item = folder.run(&["item", "14-07"]).done();
    says(&item, &["lbf", "$"]);
    says(&folder.run(&["item", "14-07", "--units", "metric"]).done(), &["mm"]);
    says(&folder.run(&["item", "14-07", "--units", "mm,G"]).done(), &[" G"]);
}

#[test]
fn lessons_and_sheets_are_released_where_they_are_there() {
    let folder = Folder::with_shop();
    let set = |more: &[&str]| folder.run(&[&["shelf", "settings"], more].concat());
    says(
        &set(&["--public-lessons", "gap, heat", "--public-sheets", "14-07"]).done(),
        &["It shows lessons: gap, heat; sheets: 14-07."],
    );
    for (more, said) in [
        (["--public-lessons", "nosuch"], "no lesson \"nosuch\""),
        (["--public-sheets", "14-07,nosuch"], "no item \"nosuch\""),
        (["--public-tells", "prices"], "names of grades"),
    ] {
        says(&set(&more).problem(), &[said]);
    }
    // What was released and is off the shelf now keeps nothing else from being set.
    folder.run(&["shelf", "remove", "14-07"]).done();
    says(&set(&["--name", "Corner"]).done(), &["Corner", "sheets: 14-07"]);
    let closed = set(&["--public-lessons", "nothing", "--public-sheets", "nothing"]).done();
    assert!(!closed.contains("It shows"), "{closed}");
}

#[test]
fn own_grades_are_taken_or_refused() {
    let folder = Folder::with_shop();
    folder.write("odd.toml", "this is no grade");
    folder.run(&["shelf", "grades", "--import", "odd.toml"]).problem();
    says(
        &folder.run(&["shelf", "grades", "--import", "absent.toml"]).problem(),
        &["absent.toml"],
    );
    assert!(folder.path("lodewright-shop.sqlite").exists());
}

#[test]
fn a_backup_is_restored_and_what_was_there_is_kept() {
    let folder = Folder::with_shop();
    folder.run(&["shelf", "backup", "copy.sqlite"]).done();
    folder.write("more.csv", LIST.replace("14-07", "99-07"));
    folder.run(&["shelf", "import", "more.csv"]).done();
    says(&folder.run(&["shelf", "list"]).done(), &["4 items"]);
    let said = folder.run(&["shelf", "restore", "copy.sqlite"]).done();
    says(&said, &["copy.sqlite is in the place of", "revision 3", "is kept in"]);
    says(&folder.run(&["shelf", "list"]).done(), &["3 items"]);
    says(&folder.run(&["shelf", "check"]).done(), &["is whole"]);
    folder.write("bad.sqlite", "Buy more discs.");
    says(
        &folder.run(&["shelf", "restore", "bad.sqlite"]).problem(),
        &["not a database"],
    );
    says(
        &folder.run(&["shelf", "restore", "absent.sqlite"]).problem(),
        &["absent.sqlite"],
    );
    folder.write("lodewright-shop.sqlite", "Oh.");
    folder.run(&["shelf", "list"]).problem();
    folder.run(&["shelf", "restore", "copy.sqlite"]).done();
    says(&folder.run(&["shelf", "list"]).done(), &["3 items"]);
}

#[test]
fn what_an_import_would_lose_is_told_and_confirmed() {
    let folder = Folder::with_shop();
    folder.write("dear.csv", LIST.replace("0.95", "9.50"));
    let ran = folder.run(&["shelf", "import", "dear.csv"]);
    assert_eq!(ran.code, Some(2), "{ran:?}");
    says(&ran.out, &["To be confirmed", "a factor of 2", "14-07"]);
    says(&ran.err, &["nothing was imported", "--confirm"]);
    says(&folder.run(&["item", "14-07"]).done(), &["0.95"]);
    folder.run(&["shelf", "import", "dear.csv", "--confirm"]).done();
    says(&folder.run(&["shelf", "undo"]).done(), &["dear.csv"]);
    says(&folder.run(&["shelf", "redo"]).done(), &["dear.csv"]);
    says(&folder.run(&["shelf", "redo"]).problem(), &["nothing to do again"]);
    says(&folder.run(&["item", "14-07"]).done(), &["9.50"]);
}

#[test]
fn another_currency_is_confirmed_and_can_be_taken_back() {
    let folder = Folder::with_shop();
    let dollars = ["shelf", "settings", "--currency", "USD"];
    says(&folder.run(&dollars).problem(), &["3 lines", "EUR", "USD", "--confirm"]);
    folder.run(&[&dollars[..], &["--confirm"]].concat()).done();
    says(&folder.run(&["item", "14-07"]).done(), &["$"]);
    says(&folder.run(&["shelf", "undo"]).done(), &["settings"]);
    says(&folder.run(&["item", "14-07"]).done(), &["€"]);
}

#[test]
fn people_are_invited_listed_and_removed() {
    let folder = Folder::with_shop();
    folder.run(&["people", "list"]).nothing();
    let link = folder
        .run(&[
            "people",
            "invite",
            "Ada",
            "--role",
            "owner",
            "--origin",
            "https://desk.example",
        ])
        .done();
    says(&link, &["https://desk.example/sign-in/join?token=", "once"]);
    says(
        &folder.run(&["people", "invite", "Ada", "--role", "king"]).err,
        &["owner, adviser or reader"],
    );
    says(&folder.run(&["people", "remove", "Eve"]).problem(), &["Eve"]);
    says(&folder.run(&["people", "deeds"]).done(), &["invite Ada as owner"]);
}

/// Only what went through the web was noted.
#[test]
fn what_the_terminal_changes_is_noted() {
    let folder = Folder::with_shop();
    folder.run(&["shelf", "put", "code=X-1", "size=10 x 3 mm", "grade=N42"]);
    folder.run(&["shelf", "undo"]).done();
    folder.run(&["shelf", "settings", "--name", "Corner"]).done();
    folder.run(&["lot", "take", "14-07", "A1", "--br", "1.31 T"]).done();
    folder
        .run(&[
            "people",
            "invite",
            "Ada",
            "--role",
            "owner",
            "--origin",
            "http://127.0.0.1:1",
        ])
        .done();
    folder.run(&["shelf", "backup", "copy.sqlite"]).done();
    folder.run(&["shelf", "restore", "copy.sqlite"]).done();
    let noted = json(&folder.run(&["people", "deeds", "--json"]).done());
    let noted: Vec<(&str, &str)> = noted
        .as_array()
        .unwrap()
        .iter()
        .map(|deed| (deed["person"].as_str().unwrap(), deed["what"].as_str().unwrap()))
        .collect();
    assert!(
        noted.iter().all(|(person, _)| person.ends_with("at the terminal")),
        "{noted:?}"
    );
    for parts in [
        ["import", "list.csv", "revision 1"],
        ["undo", "revision 3", "revision 3"],
        ["settings", "name", "revision 4"],
        ["lot", "14-07", "A1"],
        ["invite", "Ada", "owner"],
        ["restore", "copy.sqlite", "revision"],
    ] {
        let is_told = |what: &str| parts.iter().all(|part| what.contains(part));
        assert!(noted.iter().any(|(_, what)| is_told(what)), "{parts:?} in {noted:?}");
    }
}

#[cfg(unix)]
#[test]
fn a_shop_that_others_can_read_is_told_when_it_is_served() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::with_shop();
    let file = folder.path("lodewright-shop.sqlite");
    std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o644)).unwrap();
    let mut command = folder.command(&["serve", "--port", "0"]);
    let child = command
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let (mut served, _) = crate::server::said_by(child);
    served.0.kill().unwrap();
    let mut said = String::new();
    std::io::Read::read_to_string(&mut served.0.stderr.take().unwrap(), &mut said).unwrap();
    says(&said, &["chmod 600"]);
}
