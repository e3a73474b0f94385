//! Learns the weights of `data/learned/` from the read enquiries of `tests/corpus/` and the sentences of `data/taught/`.
//!
//! `cargo run -p enquiry --example teach` writes the files anew; with `--check` it writes nothing, and shows how each corpus
//! would be told by what is learned from all the others.

mod regression;

use std::collections::BTreeMap;
use std::path::Path;

use advice::Catalogue;
use enquiry::Vocabulary;
use regression::{Example, Model, Shape};
use serde_json::Value;

/// A text with what an adviser says that it is.
struct Text {
    /// The file that it is from.
    file: String,
    kind: String,
    /// What is asked: topic, reason, or what is asked of magnets.
    asked: Vec<String>,
    marks: Vec<String>,
    text: String,
}

/// What is learned, in a file of its own.
struct Lesson {
    file: &'static str,
    shape: Shape,
    /// How strongly weights are drawn to nothing: more, where there are few texts for each matter.
    decay: f64,
    /// The matters of a text; none where it teaches nothing here.
    matters: fn(&Text) -> Vec<String>,
}

const LESSONS: [Lesson; 4] = [
    Lesson {
        file: "kinds",
        shape: Shape::OneOf,
        decay: 1e-4,
        matters: |t| vec![t.kind.clone()],
    },
    Lesson {
        file: "reasons",
        shape: Shape::OneOf,
        decay: 1e-3,
        matters: |t| asked_of(t, &["refuse"]),
    },
    Lesson {
        file: "topics",
        shape: Shape::OneOf,
        decay: 1e-3,
        matters: |t| asked_of(t, &["explain"]),
    },
    Lesson {
        file: "abouts",
        shape: Shape::AnyOf,
        decay: 1e-3,
        matters: |t| asked_of(t, &["tell", "compare"]),
    },
];

fn asked_of(text: &Text, kinds: &[&str]) -> Vec<String> {
    if kinds.contains(&text.kind.as_str()) {
        text.asked.clone()
    } else {
        Vec::new()
    }
}

fn main() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let check = std::env::args().any(|a| a == "--check");
    let texts = texts(root);
    for lesson in &LESSONS {
        if check {
            crossed(lesson, &texts);
        } else {
            let model = Model::new(&examples(lesson, texts.iter()), lesson.shape, lesson.decay);
            let file = root.join(format!("data/learned/{}.tsv", lesson.file));
            std::fs::write(&file, model.lines()).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
            println!("{}: {} marks", lesson.file, model.marks());
        }
    }
}

fn examples<'t>(lesson: &Lesson, texts: impl Iterator<Item = &'t Text>) -> Vec<Example> {
    texts
        .map(|t| Example {
            marks: t.marks.clone(),
            matters: (lesson.matters)(t),
        })
        .filter(|e| !e.matters.is_empty())
        .collect()
}

/// How each corpus is told by what the others teach.
fn crossed(lesson: &Lesson, texts: &[Text]) {
    let files: BTreeMap<&str, ()> = texts.iter().map(|t| (t.file.as_str(), ())).collect();
    let (mut right, mut all) = (0u32, 0u32);
    for file in files.keys().filter(|f| f.len() == 1) {
        let others = texts.iter().filter(|t| t.file != *file);
        let model = Model::new(&examples(lesson, others), lesson.shape, lesson.decay);
        let (mut good, mut of) = (0u32, 0u32);
        for text in texts.iter().filter(|t| t.file == *file) {
            let mut expected = (lesson.matters)(text);
            if expected.is_empty() {
                continue;
            }
            let (mut told, chance) = model.tell(&text.marks);
            told.sort();
            expected.sort();
            of += 1;
            good += u32::from(told == expected);
            if told != expected {
                let start: String = text.text.chars().take(160).collect();
                println!(
                    "  {file} {told:?} {chance:.2} expected {expected:?}: {}",
                    start.replace('\n', " / ")
                );
            }
        }
        println!("{} {file}: {good} of {of}", lesson.file);
        right += good;
        all += of;
    }
    println!(
        "{}: {right} of {all}, {:.1} %",
        lesson.file,
        100.0 * f64::from(right) / f64::from(all)
    );
}

fn texts(root: &Path) -> Vec<Text> {
    let catalogue = Catalogue::builtin().expect("built-in data reads");
    let vocabulary = Vocabulary::of(&catalogue, None);
    let text = |file: &str, kind: &str, asked: Vec<String>, text: &str| Text {
        file: file.to_owned(),
        kind: kind.to_owned(),
        asked,
        marks: enquiry::marks(text, &vocabulary).into_iter().collect(),
        text: text.to_owned(),
    };
    let read = |path: &Path| std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let files = |folder: &str| {
        let mut paths: Vec<_> = std::fs::read_dir(root.join(folder))
            .unwrap_or_else(|e| panic!("{folder}: {e}"))
            .filter_map(|entry| Some(entry.ok()?.path()))
            .collect();
        paths.sort();
        paths
    };
    let (mut out, mut further) = (Vec::new(), Vec::new());
    for path in files("tests/corpus")
        .iter()
        .filter(|p| p.extension().is_some_and(|e| e == "jsonl"))
    {
        let name = path.file_stem().and_then(|n| n.to_str()).unwrap_or_default();
        for line in read(path).lines().filter(|l| !l.trim().is_empty()) {
            let case: Value = serde_json::from_str(line).unwrap_or_else(|e| panic!("{e}: {line}"));
            let expect = &case["expect"];
            let asked = match expect["reason"].as_str() {
                Some(reason) => vec![reason.to_owned()],
                None => strings(&expect["about"]),
            };
            out.push(text(
                name,
                expect["kind"].as_str().unwrap_or_default(),
                asked,
                case["text"].as_str().unwrap_or_default(),
            ));
        }
    }
    for path in files("data/taught") {
        let taught: BTreeMap<String, BTreeMap<String, Vec<String>>> =
            toml::from_str(&read(&path)).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        for (kind, rows) in taught {
            for (asked, sentences) in rows {
                let asked: Vec<String> = asked.split('+').filter(|a| !a.is_empty()).map(str::to_owned).collect();
                let row = sentences.iter().map(|s| text("taught", &kind, asked.clone(), s));
                if kind == "further" {
                    further.extend(row)
                } else {
                    out.extend(row)
                }
            }
        }
    }
    let joined = joined(&out, &further, |asked, both| text("taught", "tell", asked, both));
    out.extend(joined);
    out
}

/// Sentences about a magnet, each with two further questions about it.
fn joined(texts: &[Text], further: &[Text], make: impl Fn(Vec<String>, &str) -> Text) -> Vec<Text> {
    let told = texts.iter().filter(|t| t.file == "taught" && t.kind == "tell");
    told.enumerate()
        .flat_map(|(n, t)| [(t, 2 * n), (t, 2 * n + 1)])
        .filter_map(|(t, n)| {
            // in steps that meet every further question in turn
            let next = &further[n * 7 % further.len()];
            let known = t.asked.iter().any(|a| next.asked.contains(a) || a == "card");
            let asked = t.asked.iter().chain(&next.asked).cloned().collect();
            (!known).then(|| make(asked, &format!("{} {}", t.text, next.text)))
        })
        .collect()
}

fn strings(list: &Value) -> Vec<String> {
    list.as_array()
        .into_iter()
        .flatten()
        .filter_map(|a| a.as_str().map(str::to_owned))
        .collect()
}
