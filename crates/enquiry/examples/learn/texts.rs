//! The texts that teach: the read enquiries of `tests/corpus/` and the sentences of `data/taught/`.

use std::collections::BTreeMap;
use std::path::Path;

use advice::sentence::Verb;
use enquiry::{Evidence, Vocabulary, evidence};
use serde_json::Value;

use crate::amounts;
use crate::regression::Example;
use crate::scorer::{Case, cases};

/// A text with what it teaches of each matter.
pub struct Text {
    /// The corpus that it is from, `taught` for a sentence.
    pub file: String,
    /// The enquiry with its expected reading; none of a sentence.
    pub case: Option<Case>,
    pub lessons: Vec<(&'static str, Example)>,
    kind: String,
    asked: Vec<String>,
    text: String,
}

fn example(evidence: &Evidence, holds: Vec<String>) -> Example {
    Example {
        features: evidence.features.clone(),
        rules: evidence.places.clone(),
        holds,
    }
}

/// What a text teaches of its kind and of what is asked.
fn of_kind(evidence: &Evidence, kind: &str, asked: &[String]) -> Vec<(&'static str, Example)> {
    let mut out = vec![("kinds", example(evidence, vec![kind.to_owned()]))];
    let further = match kind {
        "refuse" => "reasons",
        "explain" => "topics",
        "tell" | "compare" => "abouts",
        _ => return out,
    };
    if !asked.is_empty() {
        out.push((further, example(evidence, asked.to_vec())));
    }
    out
}

/// A text whose kind is known and nothing else.
fn plain(file: &str, kind: &str, asked: Vec<String>, text: &str, vocabulary: &Vocabulary) -> Text {
    let seen = evidence(text, vocabulary, None);
    Text {
        file: file.to_owned(),
        case: None,
        lessons: seen.iter().flat_map(|e| of_kind(e, kind, &asked)).collect(),
        kind: kind.to_owned(),
        asked,
        text: text.to_owned(),
    }
}

/// A read enquiry.
fn read(file: &str, case: Case, vocabulary: &Vocabulary) -> Text {
    let expect = &case.expect;
    let asked = match expect["reason"].as_str() {
        Some(reason) => vec![reason.to_owned()],
        None => strings(&expect["about"]),
    };
    let kind = expect["kind"].as_str().unwrap_or_default().to_owned();
    let need = |key: &str| expect["question"]["need"][key].as_str().unwrap_or_default().to_owned();
    let verb = Verb::ALL
        .into_iter()
        .find(|v| kind == "choose" && v.name() == need("verb"));
    let seen = evidence(&case.text, vocabulary, verb);
    let mut lessons = Vec::new();
    for e in &seen {
        match e.matter {
            "kind" => lessons.extend(of_kind(e, &kind, &asked)),
            "verb" => lessons.push(("verbs", example(e, vec![need("verb")]))),
            "direction" if !need("direction").is_empty() => {
                lessons.push(("directions", example(e, vec![need("direction")])));
            }
            _ => {}
        }
    }
    let of_amounts: Vec<Evidence> = seen.into_iter().filter(|e| e.matter == "amount").collect();
    let places = amounts::places(expect, &of_amounts);
    lessons.extend(
        of_amounts
            .iter()
            .zip(places)
            .filter_map(|(e, place)| Some((e, place?)))
            .filter(|(e, place)| e.places.iter().any(|p| p.0 == *place))
            .map(|(e, place)| ("amounts", example(e, vec![place.to_owned()]))),
    );
    Text {
        file: file.to_owned(),
        lessons,
        kind,
        asked,
        text: case.text.clone(),
        case: Some(case),
    }
}

/// A sentence that says itself what its amounts are: `hold sideways: a sign of [2 kg|load]`; `\n` is a new line.
fn marked(line: &str, vocabulary: &Vocabulary) -> Text {
    let (head, marked) = line.split_once(": ").unwrap_or_else(|| panic!("no verb: {line}"));
    let (name, way) = head.split_once(' ').unwrap_or((head, ""));
    let verb = Verb::ALL
        .into_iter()
        .find(|v| v.name() == name)
        .unwrap_or_else(|| panic!("no such verb: {line}"));
    let marked = marked.replace("\\n", "\n");
    let mut text = String::new();
    let mut said: Vec<(std::ops::Range<usize>, &str)> = Vec::new();
    let mut rest = marked.as_str();
    while let Some(open) = rest.find('[') {
        let close = rest.find(']').unwrap_or_else(|| panic!("no closing bracket: {line}"));
        let (amount, place) = rest[open + 1..close]
            .split_once('|')
            .unwrap_or_else(|| panic!("no place: {line}"));
        text.push_str(&rest[..open]);
        said.push((text.len()..text.len() + amount.len(), place));
        text.push_str(amount);
        rest = &rest[close + 1..];
    }
    text.push_str(rest);
    let mut lessons = Vec::new();
    for e in evidence(&text, vocabulary, Some(verb)) {
        let (matter, holds) = match e.matter {
            "kind" => ("kinds", "choose"),
            "verb" => ("verbs", name),
            "direction" => ("directions", way),
            _ => {
                let own = said.iter().find(|s| s.0.start < e.range.end && e.range.start < s.0.end);
                let has = |place: &str| e.places.iter().any(|p| p.0 == place);
                let place = match own.map_or("nobody", |s| s.1) {
                    // what lies there has no name that is known
                    "layer" if !has("layer") => "gap",
                    place => place,
                };
                ("amounts", if e.sizes_mm.is_empty() { place } else { of_size(place) })
            }
        };
        let known = matter == "kinds" || e.places.iter().any(|p| p.0 == holds);
        if known {
            lessons.push((matter, example(&e, vec![holds.to_owned()])));
        } else if matter == "amounts" {
            println!("  cannot be {holds}: {} in {text}", &text[e.range.clone()]);
        }
    }
    Text {
        file: "taught".into(),
        case: None,
        lessons,
        kind: "choose".into(),
        asked: Vec::new(),
        text,
    }
}

/// The place of a size such as `20x10` that limits the magnet or measures the steel.
fn of_size(place: &str) -> &str {
    match place {
        "widest" | "tallest" | "narrowest" | "shortest" => "magnet_size",
        "thickness" | "across" => "steel_size",
        other => other,
    }
}

/// Enquiries that show what to expect of texts that nothing was learned from, so that nothing is.
const KEPT_APART: [&str; 4] = ["ah", "ai", "an", "ao"];

/// All texts under a folder of this crate that teach.
pub fn all(root: &Path, vocabulary: &Vocabulary) -> Vec<Text> {
    let mut out = Vec::new();
    for path in files(root, "tests/corpus", "jsonl") {
        let name = path.file_stem().and_then(|n| n.to_str()).unwrap_or_default();
        if KEPT_APART.contains(&name) {
            continue;
        }
        out.extend(
            cases(&contents(&path))
                .into_iter()
                .map(|case| read(name, case, vocabulary)),
        );
    }
    let mut taught: Vec<Text> = Vec::new();
    for path in files(root, "data/taught", "toml") {
        let file: BTreeMap<String, BTreeMap<String, Vec<String>>> =
            toml::from_str(&contents(&path)).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        for (kind, rows) in file {
            for (asked, sentences) in rows {
                let asked: Vec<String> = asked.split('+').filter(|a| !a.is_empty()).map(str::to_owned).collect();
                taught.extend(
                    sentences
                        .iter()
                        .map(|s| plain("taught", &kind, asked.clone(), s, vocabulary)),
                );
            }
        }
    }
    let of = |kind: &str| -> Vec<&Text> { taught.iter().filter(|t| t.kind == kind).collect() };
    for (kind, further) in [("tell", "further"), ("compare", "further_beside")] {
        out.extend(joined(&of(kind), &of(further), vocabulary));
    }
    out.extend(amid(&taught, &of("filler"), vocabulary));
    taught.retain(|t| KINDS.contains(&t.kind.as_str()));
    out.extend(taught);
    for path in files(root, "data/taught", "txt") {
        let text = contents(&path);
        let lines = text.lines().filter(|l| !l.is_empty() && !l.starts_with('#'));
        out.extend(lines.map(|l| marked(l, vocabulary)));
    }
    out
}

/// The kinds of enquiry; what else stands in `data/taught/` is joined to their sentences.
const KINDS: [&str; 5] = ["choose", "tell", "compare", "explain", "refuse"];

/// Sentences about magnets, each with two further questions about them.
fn joined(texts: &[&Text], further: &[&Text], vocabulary: &Vocabulary) -> Vec<Text> {
    let twice = texts.iter().enumerate().flat_map(|(n, t)| [(t, 2 * n), (t, 2 * n + 1)]);
    twice
        .filter_map(|(t, n)| {
            // in steps that meet every further question in turn
            let next = &further[n * 7 % further.len()];
            let known = t.asked.iter().any(|a| next.asked.contains(a) || a == "card");
            let asked = t.asked.iter().chain(&next.asked).cloned().collect();
            (!known).then(|| {
                plain(
                    "taught",
                    &t.kind,
                    asked,
                    &format!("{} {}", t.text, next.text),
                    vocabulary,
                )
            })
        })
        .collect()
}

/// The sentences of all kinds amid what people write beside their question, which changes nothing of what they ask.
fn amid(texts: &[Text], fillers: &[&Text], vocabulary: &Vocabulary) -> Vec<Text> {
    let of_kinds = texts.iter().filter(|t| KINDS.contains(&t.kind.as_str()));
    of_kinds
        .enumerate()
        .map(|(n, t)| {
            let (before, after) = (fillers[n * 3 % fillers.len()], fillers[(n * 7 + 1) % fillers.len()]);
            let text = match n % 3 {
                0 => format!("{} {}", before.text, t.text),
                1 => format!("{}\n\n{}", t.text, after.text),
                _ => format!("{}\n{}\n{}", before.text, t.text, after.text),
            };
            plain("taught", &t.kind, t.asked.clone(), &text, vocabulary)
        })
        .collect()
}

fn contents(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn files(root: &Path, folder: &str, ending: &str) -> Vec<std::path::PathBuf> {
    let mut paths: Vec<_> = std::fs::read_dir(root.join(folder))
        .unwrap_or_else(|e| panic!("{folder}: {e}"))
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|p| p.extension().is_some_and(|e| e == ending))
        .collect();
    paths.sort();
    paths
}

fn strings(list: &Value) -> Vec<String> {
    list.as_array()
        .into_iter()
        .flatten()
        .filter_map(|a| a.as_str().map(str::to_owned))
        .collect()
}
