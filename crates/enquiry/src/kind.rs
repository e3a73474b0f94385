//! What kind of enquiry a message is.

use std::collections::BTreeSet;

use crate::learned::{Chance, Learned};
use crate::scene::Scene;
use crate::vocabulary::Vocabulary;

/// The five kinds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sort {
    Choose,
    Tell,
    Compare,
    Explain,
    Refuse,
}

impl Sort {
    /// The kind of a name in `data/learned/kinds.tsv`.
    fn named(name: &str) -> Self {
        match name {
            "tell" => Self::Tell,
            "compare" => Self::Compare,
            "explain" => Self::Explain,
            "refuse" => Self::Refuse,
            _ => Self::Choose,
        }
    }
}

/// What kind, and what led to it.
#[derive(Clone, Debug)]
pub(crate) struct Decision {
    pub sort: Sort,
    /// Whether another kind is nearly as likely.
    pub doubtful: bool,
    /// How likely the kind is, of 1.
    pub chance: f64,
    /// The reason of a refusal.
    pub reason: Option<String>,
    /// The topic of a standing question.
    pub topic: Option<String>,
}

/// Below this chance of the likeliest kind, the customer is asked.
const SURE: f64 = 0.5;

/// Decides between the kinds.
pub(crate) fn decide(scene: &Scene, marks: &BTreeSet<String>, vocabulary: &Vocabulary) -> Decision {
    let learned = scene.learned;
    let first = |chances: Vec<Chance>| chances.first().map(|c| c.0.to_owned());
    if no_such_grade(scene, vocabulary) {
        return Decision {
            sort: Sort::Refuse,
            doubtful: false,
            chance: 1.0,
            reason: Some("no_such_grade".into()),
            topic: None,
        };
    }
    let reason = first(learned.reasons.one_of(marks));
    let foreign = reason.as_deref() == Some("off_topic") && is_ours(marks);
    let kinds = learned.kinds.one_of(marks);
    let likeliest = kinds.iter().find(|k| !(foreign && k.0 == "refuse"));
    let (kind, chance) = likeliest.copied().unwrap_or(("choose", 0.0));
    let sort = Sort::named(kind);
    // a question without a word of the trade is about something else
    let strange =
        sort == Sort::Explain && marks.contains("no trade") && !marks.iter().any(|m| m.starts_with("topic first "));
    if strange {
        return Decision {
            sort: Sort::Refuse,
            doubtful: false,
            chance,
            reason: Some("off_topic".into()),
            topic: None,
        };
    }
    Decision {
        sort,
        doubtful: chance < SURE,
        chance,
        reason: reason.filter(|_| sort == Sort::Refuse),
        topic: (sort == Sort::Explain)
            .then(|| first(learned.topics.one_of(marks)))
            .flatten(),
    }
}

/// Whether a message is about magnets whatever else it tells: it names one by its size, or has a load beside steel.
fn is_ours(marks: &BTreeSet<String>) -> bool {
    let has = |mark: &str| marks.contains(mark);
    !has("named=0") || (has("<mass>") || has("<force>")) && has("is surface")
}

/// A neodymium grade beyond the highest that the vocabulary has.
fn no_such_grade(scene: &Scene, vocabulary: &Vocabulary) -> bool {
    let number = |name: &str| {
        let digits = name.strip_prefix(['n', 'N'])?;
        let end = digits.find(|c: char| !c.is_ascii_digit()).unwrap_or(digits.len());
        (end == 2 && digits[end..].chars().all(|c| c.is_ascii_alphabetic()))
            .then(|| digits[..end].parse::<u32>().ok())
            .flatten()
    };
    let highest = vocabulary
        .grades
        .iter()
        .filter_map(|g| number(&g.name))
        .max()
        .unwrap_or(52);
    scene
        .items
        .iter()
        .any(|i| i.grade().is_none() && number(&i.norm).is_some_and(|n| n >= highest && n < 100))
}

/// Above this chance a further matter is asked too.
const ASKED_TOO: f64 = 0.5;
/// A matter whose chance is so near to that is doubtful.
const DOUBT: f64 = 0.1;

/// A matter so likely of a question alone is asked too, whatever stands around it.
const ASKED_ALONE: f64 = 0.9;

/// What is asked of magnets.
pub(crate) struct Asked {
    /// The matters, the surest first.
    pub matters: Vec<String>,
    /// Whether another matter may be asked as well, or one of them not.
    pub doubtful: bool,
    /// How likely the least likely matter is, and the likeliest of those that are not asked, of 1.
    pub edges: [f64; 2],
}

/// What is asked of the magnets named; `card` where nothing particular is. `marks` are those of the message, `questions`
/// those of each question in it alone.
pub(crate) fn about(learned: &Learned, marks: &BTreeSet<String>, questions: &[BTreeSet<String>]) -> Asked {
    let chances = learned.abouts.any_of(marks);
    let mut alone: Vec<&str> = Vec::new();
    for question in questions {
        let mut fields = 0;
        for (what, chance) in learned.abouts.any_of(question) {
            // of the field somewhere and at the face, a question alone means one
            fields += usize::from(what.ends_with("field"));
            let second = what.ends_with("field") && fields > 1;
            if chance >= ASKED_ALONE && what != "card" && !second && !alone.contains(&what) {
                alone.push(what);
            }
        }
    }
    let doubtful = chances
        .iter()
        .any(|c| (c.1 - ASKED_TOO).abs() < DOUBT && !alone.contains(&c.0));
    let likely = chances.iter().filter(|c| c.1 >= ASKED_TOO).count();
    let mut out: Vec<String> = chances.iter().take(likely).map(|c| c.0.to_owned()).collect();
    for what in alone {
        if !out.iter().any(|a| a == what) {
            out.push(what.to_owned());
        }
    }
    if out.is_empty() {
        out.extend(chances.first().map(|c| c.0.to_owned()));
    }
    // the field somewhere needs a length; without one it is that at the face
    if marks.contains("no <length>") && out.iter().any(|a| a == "face_field") {
        out.retain(|a| a != "field");
    }
    let asked = |c: &&Chance| out.iter().any(|a| a == c.0);
    let least = chances.iter().filter(asked).map(|c| c.1).fold(1.0, f64::min);
    let next = chances.iter().filter(|c| !asked(c)).map(|c| c.1).fold(0.0, f64::max);
    Asked {
        edges: [least, next],
        matters: out,
        doubtful,
    }
}

/// How many questions of a message are looked at alone.
const QUESTIONS: usize = 10;

/// What joins two questions in one sentence.
const JOINED: [&str; 5] = [" and ", "; ", " plus ", " & ", " + "];

/// The questions of a message, where it says more than them, and the parts of those that ask several things at once.
pub(crate) fn questions(text: &str) -> Vec<&str> {
    let mut sentences: Vec<&str> = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let end = rest
            .char_indices()
            .find(|(i, c)| {
                let after = rest[i + c.len_utf8()..].chars().next();
                *c == '?' || matches!(c, '.' | '!' | ';' | '\n') && after.is_none_or(char::is_whitespace)
            })
            .map_or(rest.len(), |(i, c)| i + c.len_utf8());
        sentences.push(rest[..end].trim());
        rest = &rest[end..];
    }
    sentences.retain(|s| s.len() > 3);
    let several = sentences.len() > 1;
    sentences.retain(|s| s.ends_with('?'));
    let mut parts: Vec<&str> = sentences.iter().flat_map(|s| joined(s)).collect();
    if several {
        parts.splice(0..0, sentences);
    }
    parts.truncate(QUESTIONS);
    parts
}

/// The parts of a sentence that asks several things at once.
fn joined(sentence: &str) -> Vec<&str> {
    let mut parts = vec![sentence];
    for by in JOINED {
        parts = parts.into_iter().flat_map(|part| part.split(by)).collect();
    }
    if parts.len() < 2 {
        return Vec::new();
    }
    parts.retain(|part| part.len() > 3);
    parts
}
