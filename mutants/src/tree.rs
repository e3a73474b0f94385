//! The scratch copy of the workspace in which every chosen mutant is compiled in, each behind its switch.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::mutant::{Edit, Keys, Mutant, Piece, Plan};
use crate::sources::{self, Constant, Found};
use crate::{Outcome, data};

/// Sources and data of the crates, and what could be changed in them.
pub struct Workspace {
    root: PathBuf,
    /// All files that git knows or would, relative to the root.
    files: Vec<String>,
    texts: BTreeMap<String, String>,
    found: BTreeMap<String, Found>,
}

impl Workspace {
    pub fn read(root: &Path) -> Outcome<Self> {
        let listed = Command::new("git")
            .args(["ls-files", "-co", "--exclude-standard"])
            .current_dir(root)
            .output()?;
        let files: Vec<String> = String::from_utf8(listed.stdout)?
            .lines()
            .filter(|file| root.join(file).is_file())
            .map(str::to_owned)
            .collect();
        let (mut texts, mut found) = (BTreeMap::new(), BTreeMap::new());
        for file in files.iter().filter(|file| file.starts_with("crates/")) {
            if file.ends_with(".rs") {
                let text = fs::read_to_string(root.join(file))?;
                let in_file = sources::look(file, &text, is_tests(file)).map_err(|error| format!("{file}: {error}"))?;
                found.insert(file.clone(), in_file);
                texts.insert(file.clone(), text);
            } else if file.contains("/data/") && file.ends_with(".toml") {
                texts.insert(file.clone(), fs::read_to_string(root.join(file))?);
            }
        }
        Ok(Self {
            root: root.to_owned(),
            files,
            texts,
            found,
        })
    }

    /// The mutants that are tried, in the order of their files and lines.
    pub fn mutants(&mut self, plan: &Plan) -> Vec<Mutant> {
        let mut all = self.of_constants();
        for in_file in self.found.values_mut() {
            all.append(&mut in_file.mutants);
        }
        for (file, text) in &self.texts {
            if file.ends_with(".toml") {
                all.extend(data::look(file, text));
            }
        }
        all.retain(|mutant| plan.picks(mutant));
        all.sort_by(|a, b| (a.file(), a.line, &a.key).cmp(&(b.file(), b.line, &b.key)));
        all
    }

    /// A constant cannot ask for a switch, so each of its uses in its crate does.
    fn of_constants(&self) -> Vec<Mutant> {
        let mut keys = Keys::default();
        let mut all = Vec::new();
        for (file, found) in &self.found {
            for Constant { name, line, whole } in &found.constants {
                let package = file.split('/').nth(1);
                let owners = self.found.iter().filter(|(other, found)| {
                    other.split('/').nth(1) == package && found.constants.iter().any(|constant| constant.name == *name)
                });
                let alone = owners.count() == 1;
                let mut uses = Vec::new();
                for (other, found) in &self.found {
                    if other == file || alone && other.split('/').nth(1) == package {
                        let here = found.uses.iter().filter(|(used, _)| used == name);
                        uses.extend(here.map(|(_, range)| (other.clone(), range.clone())));
                    }
                }
                if uses.is_empty() {
                    continue;
                }
                let changes = match whole {
                    true => [("one more", " + 1"), ("one less", " - 1")],
                    false => [("a third more", " * 1.34"), ("a third less", " * 0.66")],
                };
                for (change, factor) in changes {
                    let edits = uses.iter().map(|(file, range)| Edit {
                        file: file.clone(),
                        range: range.clone(),
                        changed: vec![Piece::Source(range.clone()), Piece::Text(factor.to_owned())],
                    });
                    // The first edit names the mutant's file: that where the constant is.
                    let mut edits: Vec<Edit> = edits.collect();
                    edits.sort_by_key(|edit| edit.file != *file);
                    all.push(Mutant {
                        key: keys.next(file, name, change),
                        line: *line,
                        edits,
                    });
                }
            }
        }
        all
    }

    /// Writes the scratch copy; files that are as they were keep their time, so that little is compiled anew.
    pub fn write(&self, tree: &Path, mutants: &[Mutant], left_out: &BTreeSet<String>) -> Outcome {
        let mut edits: BTreeMap<&str, Vec<(usize, &Edit)>> = BTreeMap::new();
        for (number, mutant) in mutants.iter().enumerate() {
            if !left_out.contains(&mutant.key) {
                for edit in &mutant.edits {
                    edits.entry(&edit.file).or_default().push((number, edit));
                }
            }
        }
        for of_file in edits.values_mut() {
            of_file.sort_by_key(|(_, edit)| (edit.range.start, std::cmp::Reverse(edit.range.end)));
        }
        let mut kept = BTreeSet::new();
        for file in &self.files {
            let to = tree.join(file);
            let content = match (
                self.found.get(file),
                file.ends_with("Cargo.toml") && file.starts_with("crates/"),
            ) {
                (Some(found), _) => self.source(file, found, &edits).into_bytes(),
                (None, true) => with_switch(&fs::read_to_string(self.root.join(file))?).into_bytes(),
                (None, false) if file == "Cargo.toml" => {
                    let profile = "\n[profile.dev.package.mutant_switch]\nopt-level = 2\n";
                    (fs::read_to_string(self.root.join(file))? + profile).into_bytes()
                }
                (None, false) => fs::read(self.root.join(file))?,
            };
            put(&to, &content)?;
            kept.insert(file.clone());
        }
        let switch = tree.join("mutant_switch");
        put(&switch.join("Cargo.toml"), include_bytes!("../switch/Cargo.toml"))?;
        put(&switch.join("src/lib.rs"), include_bytes!("../switch/src/lib.rs"))?;
        remove_others(&tree.join("crates"), tree, &kept)
    }

    fn source(&self, file: &str, found: &Found, edits: &BTreeMap<&str, Vec<(usize, &Edit)>>) -> String {
        let text = &self.texts[file];
        let mut here = edits.get(file).cloned().unwrap_or_default();
        let taken_in: Vec<(Edit, &str)> = found
            .taken_in
            .iter()
            .filter_map(|(range, path)| {
                let data = resolve(file, path);
                let of_data = edits.get(data.as_str())?;
                let list: Vec<String> = of_data
                    .iter()
                    .map(|(number, edit)| {
                        let now: String = edit.changed.iter().map(|piece| plain(piece)).collect();
                        format!("({number}, {}, {}, {now:?})", edit.range.start, edit.range.end)
                    })
                    .collect();
                let changed = format!("mutant_switch::text({}, &[{}])", &text[range.clone()], list.join(", "));
                let edit = Edit {
                    file: file.to_owned(),
                    range: range.clone(),
                    changed: vec![Piece::Text(changed)],
                };
                Some((edit, path.as_str()))
            })
            .collect();
        here.extend(taken_in.iter().map(|(edit, _)| (ALWAYS, edit)));
        here.sort_by_key(|(_, edit)| (edit.range.start, std::cmp::Reverse(edit.range.end)));
        render(text, 0..text.len(), &here)
    }
}

/// The number of an edit that has no switch.
const ALWAYS: usize = usize::MAX;

/// The text of a range with the edits in it, which stand in order, an outer one before what is in it.
fn render(text: &str, range: Range<usize>, edits: &[(usize, &Edit)]) -> String {
    let mut out = String::new();
    let mut at = range.start;
    let mut index = 0;
    while index < edits.len() {
        let (number, edit) = edits[index];
        if edit.range.start < at || edit.range.end > range.end {
            index += 1;
            continue;
        }
        out += &text[at..edit.range.start];
        // Those after it and within it; one on the same bytes counts as within.
        let rest = &edits[index + 1..];
        let within = rest.partition_point(|(_, inner)| inner.range.start < edit.range.end);
        let inner = &rest[..within];
        let changed: String = edit
            .changed
            .iter()
            .map(|piece| match piece {
                Piece::Text(text) => text.clone(),
                Piece::Source(range) => render(text, range.clone(), inner),
            })
            .collect();
        if number == ALWAYS {
            out += &changed;
        } else {
            let kept = render(text, edit.range.clone(), inner);
            out += &format!("(if mutant_switch::on({number}) {{ {changed} }} else {{ {kept} }})");
        }
        at = edit.range.end;
        index += 1 + within;
    }
    out += &text[at..range.end];
    out
}

fn plain(piece: &Piece) -> &str {
    match piece {
        Piece::Text(text) => text,
        Piece::Source(_) => "",
    }
}

/// The file that a path written in a source names.
fn resolve(file: &str, path: &str) -> String {
    let mut parts: Vec<&str> = file.split('/').collect();
    parts.pop();
    for part in path.split('/') {
        if part == ".." {
            parts.pop();
        } else {
            parts.push(part);
        }
    }
    parts.join("/")
}

/// Whether a file is tests, benches or examples, in which nothing is changed.
fn is_tests(file: &str) -> bool {
    let parts: Vec<&str> = file.split('/').collect();
    let folder = |name: &str| parts[2..parts.len() - 1].contains(&name);
    let name = parts[parts.len() - 1];
    ["tests", "benches", "examples"].iter().any(|f| folder(f))
        || name == "build.rs"
        || name == "tests.rs"
        || name == "fixture.rs"
        || name.ends_with("_tests.rs")
        || ["structure", "page"].contains(&parts[1])
}

fn with_switch(manifest: &str) -> String {
    let switch = "mutant_switch = { path = \"../../mutant_switch\" }\n";
    match manifest.split_once("[dependencies]\n") {
        Some((before, after)) => format!("{before}[dependencies]\n{switch}{after}"),
        None => format!("{manifest}\n[dependencies]\n{switch}"),
    }
}

fn put(path: &Path, content: &[u8]) -> Outcome {
    if fs::read(path).is_ok_and(|was| was == content) {
        return Ok(());
    }
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder)?;
    }
    Ok(fs::write(path, content)?)
}

/// Takes away what is in the scratch copy and no longer in the workspace.
fn remove_others(folder: &Path, tree: &Path, kept: &BTreeSet<String>) -> Outcome {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            remove_others(&path, tree, kept)?;
        } else if !kept.contains(&*path.strip_prefix(tree)?.to_string_lossy()) {
            fs::remove_file(&path)?;
        }
    }
    Ok(())
}
