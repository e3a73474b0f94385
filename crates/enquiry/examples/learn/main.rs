//! Learns the weights of `data/learned/` from the read enquiries of `tests/corpus/` and the sentences of `data/taught/`.
//!
//! `cargo run -p enquiry --example learn` writes the files anew. With `--check` it writes nothing: each corpus is read by what
//! all the others teach, which is what to expect of enquiries that nothing was learned from. `--check FILE...` reads those
//! files alone, by name without ending, or several together as `k+l`; `-v` shows what was not right.

mod amounts;
mod regression;
#[path = "../../tests/scorer/mod.rs"]
mod scorer;
#[path = "../score/table.rs"]
mod table;
mod texts;
mod unseen;

use std::collections::BTreeMap;
use std::path::Path;

use enquiry::{Learned, Vocabulary, read_by};
use regression::{Example, How, Model, Shape};
use scorer::Scored;
use texts::Text;

/// What is learned, each in a file of its own, and how.
const LESSONS: [(&str, How); 7] = [
    ("kinds", one_of(1e-4, 0.0, 2)),
    ("reasons", one_of(1e-3, 0.0, 2)),
    ("topics", one_of(1e-3, 0.0, 2)),
    (
        "abouts",
        How {
            shape: Shape::AnyOf,
            ..one_of(1e-3, 1e-6, 2)
        },
    ),
    ("amounts", one_of(3e-4, 1e-6, 2)),
    ("verbs", one_of(1e-4, 1e-6, 2)),
    ("directions", one_of(3e-4, 1e-6, 2)),
];

const fn one_of(decay: f64, sparse: f64, least: usize) -> How {
    How {
        shape: Shape::OneOf,
        decay,
        sparse,
        least,
    }
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let vocabulary = scorer::vocabulary();
    let texts = texts::all(root, &vocabulary);
    if args.iter().any(|a| a == "--check") {
        let only: Vec<&str> = args
            .iter()
            .filter(|a| !a.starts_with('-'))
            .map(String::as_str)
            .collect();
        check(&texts, &only, args.iter().any(|a| a == "-v"), &vocabulary);
        return;
    }
    let read = unseen::read(&texts, &unseen::folds(&texts, &[]), &vocabulary, &mut BTreeMap::new());
    let mut learned = models(&texts.iter().collect::<Vec<_>>());
    learned.insert("doubts", read.doubts(|_| true));
    for (matter, model) in learned {
        let file = root.join(format!("data/learned/{matter}.tsv"));
        std::fs::write(&file, model.lines()).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
        println!("{matter}: {} features", model.features());
    }
}

fn examples<'t>(matter: &'static str, texts: &[&'t Text]) -> Vec<&'t Example> {
    let of = |t: &'t Text| t.lessons.iter().filter(move |l| l.0 == matter).map(|l| &l.1);
    texts.iter().flat_map(|t| of(t)).collect()
}

fn models(texts: &[&Text]) -> BTreeMap<&'static str, Model> {
    std::thread::scope(|scope| {
        let learning =
            LESSONS.map(|(matter, how)| (matter, scope.spawn(move || Model::new(&examples(matter, texts), how))));
        let models = learning.map(|(matter, model)| (matter, model.join().expect("no model panics")));
        models.into_iter().collect()
    })
}

/// How each corpus is read by what the others teach; corpora whose names are joined by `+` are left out together.
fn check(texts: &[Text], only: &[&str], loud: bool, vocabulary: &Vocabulary) {
    let mut told: BTreeMap<&str, [usize; 2]> = BTreeMap::new();
    let folds = unseen::folds(texts, only);
    let read = unseen::read(texts, &folds, vocabulary, &mut told);
    let mut all: Vec<Scored> = Vec::new();
    for (fold, lines) in &read.taught {
        for file in fold {
            let doubts = read.doubts(|other| other != *file).lines();
            let learned = Learned::of(|matter| lines.get(matter).unwrap_or(&doubts).clone());
            let scored: Vec<Scored> = texts
                .iter()
                .filter(|t| t.file == *file)
                .filter_map(|t| t.case.as_ref())
                .map(|case| scorer::score(case, &read_by(&case.text, vocabulary, &learned), vocabulary))
                .collect();
            println!("{file}: {}", table::short(&scored));
            all.extend(scored);
        }
    }
    if loud {
        all.iter().filter(|s| !s.grade.is_right()).for_each(table::fault);
    }
    for (matter, [right, of]) in told {
        println!("{matter}: {right} of {of}, {:.1} %", 100.0 * right as f64 / of as f64);
    }
    table::print(&all);
}
