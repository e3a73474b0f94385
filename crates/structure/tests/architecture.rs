//! `ARCHITECTURE.md` says of the workspace what is so: its layers are those of cargo, its tables name every crate, and what it names is there.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn document() -> String {
    fs::read_to_string(root().join("ARCHITECTURE.md")).expect("ARCHITECTURE.md can be read")
}

/// The lines below a heading, up to the next.
fn section<'a>(document: &'a str, heading: &str) -> Vec<&'a str> {
    document
        .lines()
        .skip_while(|line| line.trim_start_matches('#').trim() != heading)
        .skip(1)
        .take_while(|line| !line.starts_with('#'))
        .collect()
}

/// The cells of the rows of a section's table, its headings left out.
fn rows<'a>(document: &'a str, heading: &str) -> Vec<Vec<&'a str>> {
    section(document, heading)
        .into_iter()
        .filter(|line| line.starts_with('|'))
        .skip(2)
        .map(|line| line.trim_matches('|').split('|').map(str::trim).collect())
        .collect()
}

/// What stands between backticks.
fn named(text: &str) -> Vec<&str> {
    text.split('`').skip(1).step_by(2).collect()
}

/// By crate of ours, what it depends on: ours by path, others from elsewhere; for tests and builds too.
fn dependencies() -> BTreeMap<String, [BTreeSet<String>; 2]> {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--no-deps", "--offline", "--format-version", "1"])
        .current_dir(root())
        .output()
        .expect("cargo runs");
    let told: Value = serde_json::from_slice(&output.stdout).expect("cargo tells JSON");
    let text = |value: &Value| value.as_str().expect("a name").to_owned();
    let packages = told["packages"].as_array().expect("packages");
    packages
        .iter()
        .map(|package| {
            let mut of = [BTreeSet::new(), BTreeSet::new()];
            for dependency in package["dependencies"].as_array().expect("dependencies") {
                let elsewhere = usize::from(dependency["path"].is_null());
                of[elsewhere].insert(text(&dependency["name"]));
            }
            (text(&package["name"]), of)
        })
        .collect()
}

#[test]
fn the_layers_are_those_of_cargo() {
    let document = document();
    let mut actual = dependencies();
    let mut above = BTreeSet::new();
    for row in rows(&document, "Layers") {
        let [name, _, may_use] = row.as_slice() else {
            panic!("a row of the layers has three cells: {row:?}")
        };
        let name = named(name).first().map_or("", |name| *name).to_owned();
        let said: BTreeSet<String> = named(may_use).into_iter().map(str::to_owned).collect();
        let [used, _] = actual
            .remove(&name)
            .unwrap_or_else(|| panic!("the layers name {name:?}, which is no crate of ours or named twice"));
        assert_eq!(
            said, used,
            "what {name} may use by ARCHITECTURE.md, and what its Cargo.toml names"
        );
        assert!(
            used.is_subset(&above),
            "{name} uses a crate that stands below it in the layers: {used:?}"
        );
        assert!(!said.is_empty() || *may_use == "nothing of ours", "{name}: {may_use}");
        above.insert(name);
    }
    let left: Vec<&String> = actual.keys().collect();
    assert!(left.is_empty(), "crates that the layers do not name: {left:?}");
}

#[test]
fn the_table_of_dependencies_is_whole() {
    let document = document();
    let actual: BTreeSet<String> = dependencies().into_values().flat_map(|[_, others]| others).collect();
    let rows = rows(&document, "Dependencies");
    let said: BTreeSet<String> = rows
        .iter()
        .filter_map(|row| row.first())
        .flat_map(|cell| named(cell))
        .map(str::to_owned)
        .collect();
    let missing: Vec<_> = actual.difference(&said).collect();
    let gone: Vec<_> = said.difference(&actual).collect();
    assert!(
        missing.is_empty() && gone.is_empty(),
        "not in the table: {missing:?}; used by none: {gone:?}"
    );
}

/// Sources of a crate, as one text.
fn sources(folder: &Path) -> String {
    let mut text = String::new();
    let mut left = vec![folder.to_path_buf()];
    while let Some(folder) = left.pop() {
        for entry in fs::read_dir(&folder).into_iter().flatten().flatten() {
            let path = entry.path();
            if path.is_dir() {
                // The names in these tests are examples.
                left.extend(Some(path).filter(|path| !path.ends_with("structure")));
            } else if path.extension().is_some_and(|e| e == "rs") {
                text += &fs::read_to_string(&path).expect("a source can be read");
            }
        }
    }
    text
}

/// What is wrong with a name, if it is that of a file, a folder, a path in a crate or a constant.
fn missing(name: &str, line: &str) -> Option<String> {
    let root = root();
    let constant = name.split('=').next().unwrap_or(name);
    let capitals = constant
        .chars()
        .all(|c| c.is_ascii_uppercase() || c == '_' || c.is_ascii_digit());
    if name.contains("::") && !name.contains(' ') {
        let mut parts = name.split("::");
        let folder = root.join("crates").join(parts.next()?).join("src");
        let mut at = folder.clone();
        for part in parts {
            let part = part.trim_end_matches("()");
            at = at.join(part);
            let defined = |kind: &str| sources(&folder).contains(&format!("{kind} {part}"));
            let there = at.with_extension("rs").exists() || at.is_dir();
            let item = ["pub struct", "pub enum", "pub fn", "pub const", "pub trait", "pub type"];
            if !there && !item.into_iter().any(defined) {
                return Some(format!("`{name}` names no module or public item"));
            }
        }
        return None;
    }
    let is_file = ["rs", "toml", "md", "mjs", "py", "json", "jsonl", "sh"]
        .iter()
        .any(|end| name.ends_with(&format!(".{end}")));
    if (name.contains('/') || is_file) && !name.starts_with('@') && !name.contains(' ') {
        // A name may continue from one before it in the line: a file beside it, or a place in the same crate.
        let before = named(line).into_iter().take_while(|other| *other != name);
        let bases = before.flat_map(|other| root.join(other).ancestors().map(Path::to_path_buf).collect::<Vec<_>>());
        let there = bases.chain([root.clone()]).any(|base| base.join(name).exists());
        return (!there).then(|| format!("`{name}` names no file or folder"));
    }
    if capitals && constant.len() > 3 && constant.contains('_') {
        let there = sources(&root.join("crates")).contains(constant);
        return (!there).then(|| format!("`{name}` names no constant"));
    }
    None
}

#[test]
fn what_is_named_is_there() {
    let document = document();
    let dependencies = dependencies();
    let mut wrong = Vec::new();
    for line in document.lines() {
        wrong.extend(named(line).into_iter().filter_map(|name| missing(name, line)));
    }
    // The second column of the places may name crates alone.
    for row in rows(&document, "Where to find what") {
        for name in row.get(1).into_iter().flat_map(|cell| named(cell)) {
            let plain = name.chars().all(|c| c.is_ascii_lowercase() || c == '_');
            if plain && !dependencies.contains_key(name) {
                wrong.push(format!("`{name}` names no crate"));
            }
        }
    }
    assert!(wrong.is_empty(), "ARCHITECTURE.md:\n{}", wrong.join("\n"));
}

/// In the other documents: modules of our crates, and places in their folders.
#[test]
fn what_the_documents_name_is_there() {
    let dependencies = dependencies();
    let folders = ["", "docs", "oracle"].map(|folder| root().join(folder));
    let files = folders
        .iter()
        .flat_map(|folder| fs::read_dir(folder).expect("a folder of documents"));
    let mut wrong = Vec::new();
    for file in files.map(|entry| entry.expect("an entry").path()) {
        if file.extension().is_none_or(|end| end != "md") {
            continue;
        }
        let text = fs::read_to_string(&file).expect("a document can be read");
        let ours = |name: &&str| {
            name.starts_with("crates/")
                || name
                    .split_once("::")
                    .is_some_and(|(of, _)| dependencies.contains_key(of))
        };
        for name in text.lines().flat_map(named).filter(ours) {
            wrong.extend(missing(name, "").map(|what| format!("{}: {what}", file.display())));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The check itself: names of what is not there are seen, whichever kind they are.
#[test]
fn what_is_not_there_is_seen() {
    for name in [
        "crates/nothing/",
        "crates/steel/src/nothing.rs",
        "steel::nothing",
        "nothing::at_all",
        "NO_SUCH_CONSTANT",
        "nothing.toml",
    ] {
        assert!(missing(name, &format!("`{name}`")).is_some(), "{name}");
    }
    assert_eq!(missing("steel::solve", ""), None);
    assert_eq!(missing("src/lib.rs", "`crates/steel/data/`, `src/lib.rs`"), None);
}
