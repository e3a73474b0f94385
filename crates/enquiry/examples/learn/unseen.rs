//! Enquiries as they are read by what other enquiries teach: which parts of such readings are wrong.

use std::collections::{BTreeMap, BTreeSet};

use enquiry::{Learned, Vocabulary, read_in_parts};

use crate::regression::{Example, How, Model, Shape};
use crate::scorer::{judged, score};
use crate::texts::Text;
use crate::{examples, models};

/// How the weights of doubts are learned.
const DOUBTS: How = How {
    shape: Shape::AnyOf,
    decay: 1e-2,
    sparse: 0.0,
    least: 8,
};

/// The place of what must be done.
const VERB: &str = "/question/need/verb";

/// In how many groups the corpora are left out, where none is named.
const GROUPS: usize = 7;

/// What an enquiry that nothing was learned from teaches.
struct Lesson {
    file: String,
    example: Example,
}

/// The weights that some corpora teach, by their matter.
type Lines = BTreeMap<&'static str, String>;

/// What was read of enquiries by what the others teach.
pub struct Unseen<'f> {
    /// Corpora that were left out together, and what the others teach.
    pub taught: Vec<(Vec<&'f str>, Lines)>,
    parts: Vec<Lesson>,
}

/// The corpora that are left out together: those named, or else all in a few groups.
pub fn folds<'f>(texts: &'f [Text], only: &[&'f str]) -> Vec<Vec<&'f str>> {
    if !only.is_empty() {
        return only.iter().map(|names| names.split('+').collect()).collect();
    }
    let read = texts.iter().filter(|t| t.case.is_some());
    let corpora: BTreeSet<&str> = read.map(|t| t.file.as_str()).collect();
    let mut out = vec![Vec::new(); GROUPS];
    for (n, file) in corpora.into_iter().enumerate() {
        out[n % GROUPS].push(file);
    }
    out
}

/// Reads the corpora of each fold by what the others teach; `told` counts what is told rightly of each matter.
pub fn read<'f>(
    texts: &[Text],
    folds: &[Vec<&'f str>],
    vocabulary: &Vocabulary,
    told: &mut BTreeMap<&'static str, [usize; 2]>,
) -> Unseen<'f> {
    let mut out = Unseen {
        taught: Vec::new(),
        parts: Vec::new(),
    };
    for fold in folds {
        let (own, others): (Vec<&Text>, Vec<&Text>) = texts.iter().partition(|t| fold.contains(&t.file.as_str()));
        let models = models(&others);
        for (matter, model) in &models {
            for example in examples(matter, &own) {
                let [right, of] = told.entry(matter).or_default();
                *right += usize::from(model.tells(example).0);
                *of += 1;
            }
        }
        let lines: Lines = models.iter().map(|(m, model)| (*m, model.lines())).collect();
        let learned = learned(&lines);
        out.parts
            .extend(own.iter().flat_map(|text| parts(text, vocabulary, &learned)));
        out.taught.push((fold.clone(), lines));
    }
    out
}

fn learned(lines: &Lines) -> Learned {
    Learned::of(|matter| lines.get(matter).cloned().unwrap_or_default())
}

/// What the parts of the reading of an enquiry teach.
fn parts(text: &Text, vocabulary: &Vocabulary, learned: &Learned) -> Vec<Lesson> {
    let Some(case) = &text.case else { return Vec::new() };
    let (reading, parts) = read_in_parts(&case.text, vocabulary, learned);
    let places: Vec<String> = parts.iter().map(|p| p.place.clone()).collect();
    let scored = score(case, &reading, vocabulary);
    let judged = judged(&scored, &reading, &places, vocabulary);
    // what hangs on a wrong verb is not wrong by itself
    let hangs = |place: &str| place.starts_with("/question/need/") && place != VERB;
    let astray = scored.wrong.iter().any(|place| place == VERB);
    let parts = parts.into_iter().zip(judged);
    parts
        .filter(|(part, _)| !(astray && hangs(&part.place)))
        .map(|(part, [wrong, _])| Lesson {
            file: text.file.clone(),
            example: Example {
                features: part.features,
                rules: Vec::new(),
                holds: wrong.then(|| "wrong".to_owned()).into_iter().collect(),
            },
        })
        .collect()
}

impl Unseen<'_> {
    /// What the readings of some corpora teach of which parts are wrong.
    pub fn doubts(&self, of: impl Fn(&str) -> bool) -> Model {
        let own = self.parts.iter().filter(|l| of(&l.file));
        Model::new(&own.map(|l| &l.example).collect::<Vec<_>>(), DOUBTS)
    }
}
