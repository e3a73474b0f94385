//! The whole reading of a message.

use std::collections::BTreeSet;
use std::ops::Range;

use advice::Question;
use advice::enquiry::{Draft, Enquiry, Kind};
use quantity::{Currency, FluxDensity, Length, Load};
use serde::Serialize;
use serde_json::{Value, json};

use crate::asks::Ask;
use crate::choose::{self, Partial};
use crate::doubts::{self, Part, Whole};
use crate::kind::{self, Sort};
use crate::learned::Learned;
use crate::lexer::What;
use crate::lexicon::Phrases;
use crate::loads;
use crate::magnets;
use crate::meanwhile;
use crate::named::Class;
use crate::note::{Note, Notes};
use crate::own;
use crate::roles;
use crate::scene::Scene;
use crate::shown;
use crate::told;
use crate::vocabulary::Vocabulary;
use advice::sentence::Verb;

/// The longest text that is read, in bytes; of a longer one the beginning is.
pub const LONGEST_TEXT: usize = 10_000;

/// What was understood of a message.
#[derive(Clone, Debug)]
pub struct Reading {
    /// Its kind, the question as far as it was said, what it is about, and the magnets that it names.
    pub enquiry: Enquiry,
    /// What must be asked, all at once.
    pub asks: Vec<Ask>,
    /// What each phrase of the message became, in the order of the text.
    pub phrases: Vec<Phrase>,
    /// What was left out and could matter, as ranges of bytes.
    pub left_out: Vec<Range<usize>>,
    /// The whole question of a message that asks for a choice, with what its asks take meanwhile; `None` while something that
    /// it needs is missing.
    pub question: Option<Question>,
}

/// A stretch of the message and what it became.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Phrase {
    /// Byte offsets into the text.
    pub range: Range<usize>,
    /// The meaning in words, such as `thickness of the steel`.
    pub meaning: String,
    /// Its place in the reading, a JSON pointer.
    pub place: String,
    /// Places that it could have had instead.
    pub others: Vec<String>,
}

/// Reads a message.
///
/// Total: any text gives a reading, in a time that grows with its length. The same text gives the same reading.
pub fn read(text: &str, vocabulary: &Vocabulary) -> Reading {
    read_by(text, vocabulary, Learned::builtin())
}

/// Reads a message by other weights than the committed ones, to measure what they are worth.
pub fn read_by(text: &str, vocabulary: &Vocabulary, learned: &Learned) -> Reading {
    read_in_parts(text, vocabulary, learned).0
}

/// The same, with the parts of the reading that may be wrong and what speaks for and against each: those that are not asked
/// about for another reason.
pub fn read_in_parts(text: &str, vocabulary: &Vocabulary, learned: &Learned) -> (Reading, Vec<Part>) {
    let mut end = text.len().min(LONGEST_TEXT);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let text = &text[..end];
    if let Some((question, notes)) = own::read(text, vocabulary) {
        return (printed(question, &notes), Vec::new());
    }
    let names = Phrases::of(vocabulary);
    let scene = Scene::new(text, &names, learned);
    let magnets = magnets::named(&scene);
    let marks = crate::marks::marks(&scene, &magnets);
    let decision = kind::decide(&scene, &marks, vocabulary);
    let mut notes = Notes::default();
    let mut asks: Vec<String> = Vec::new();
    if decision.doubtful {
        asks.push("/kind".into());
    }
    let mut json = json!({});
    let (mut sort, mut reason) = (decision.sort, decision.reason.clone());
    // what a rule refuses, no other kind is likelier for
    let mut likely = decision.chance;
    let principle = decision.topic.as_deref() == Some("stainless") || scene.says(&["why", "general", "generally"]);
    if (matches!(sort, Sort::Tell | Sort::Choose) || sort == Sort::Explain && !principle)
        && choose::verb(&scene) == Verb::Hold
        && inert(&scene)
        && scene.says(&HOLDING)
        && !(matches!(sort, Sort::Tell) && scene.says(&GLUING))
    {
        (sort, reason) = (Sort::Refuse, Some("not_magnetic".into()));
        likely = 1.0;
    }
    let mut said = Partial::default();
    let mut abouts = [1.0, 0.0];
    match sort {
        Sort::Refuse => {
            json["kind"] = json!("refuse");
            json["reason"] = json!(reason);
        }
        Sort::Explain => {
            json["kind"] = json!("explain");
            json["about"] = json!([decision.topic]);
        }
        Sort::Tell | Sort::Compare => {
            json["kind"] = json!(if sort == Sort::Tell { "tell" } else { "compare" });
            let asked = kind::about(learned, &marks, &questions(text, &names, learned));
            if asked.doubtful {
                asks.push("/about".into());
            }
            abouts = asked.edges;
            said = told::read(&scene, sort, &asked.matters, &magnets, &mut json, &mut asks, &mut notes);
        }
        Sort::Choose => {
            let verb = choose::verb(&scene);
            let partial = choose::read(&scene, &magnets, verb, &mut notes);
            if let Some(why) = refusal(&scene, verb, &partial) {
                json["kind"] = json!("refuse");
                json["reason"] = json!(why);
                (sort, reason) = (Sort::Refuse, Some(why.into()));
                likely = 1.0;
            } else {
                json["kind"] = json!("choose");
                json["question"] = partial.json();
                asks.extend(partial.asks.iter().cloned());
                said = partial;
            }
        }
    }
    let whole = Whole {
        sort,
        reason: reason.as_deref(),
        kind: likely,
        abouts,
        placed: &said.placed,
        signs: &said.signs,
        notes: &notes.0,
        asks: &asks,
    };
    let parts = doubts::parts(&scene, &json, &whole);
    let doubtful = doubts::asked(&learned.doubts, &parts);
    let open = doubtful.iter().any(|place| place == VERB);
    if open {
        // what hangs on it is asked once it is said
        if let Some(need) = json["question"]["need"].as_object_mut() {
            need.retain(|key, _| OF_ANY_VERB.contains(&key.as_str()));
        }
        asks.retain(|place| !place.starts_with(NEED));
    }
    asks.extend(doubtful);
    let mut enquiry = enquiry(&json);
    let mut left_out = left_out(&scene, &notes.0);
    shown::take(text, &mut enquiry, &mut left_out, &mut notes);
    let currency = vocabulary.currency.unwrap_or(Currency::EUR);
    if enquiry.kind == Kind::Choose
        && !open
        && vocabulary.currency.is_some()
        && let Err(missing) = enquiry.question.question(currency)
    {
        for place in missing {
            let place = format!("/question{place}");
            if !asks.contains(&place) {
                asks.push(place);
            }
        }
    }
    let (asks, whole) = meanwhile::asks(&asks, &json, &enquiry.question, loads::not_positive(&scene));
    let question = whole.question(currency).ok().filter(|_| enquiry.kind == Kind::Choose);
    let reading = Reading {
        enquiry,
        asks,
        phrases: phrases(notes.0),
        left_out,
        question,
    };
    (reading, parts)
}

/// The place of what must be done, and of what hangs on it.
const VERB: &str = "/question/need/verb";
const NEED: &str = "/question/need/";

/// What is said whatever must be done; a load is the force of a pair.
const OF_ANY_VERB: [&str; 6] = ["verb", "load", "force", "field", "shared_by", "safety_factor"];

/// Words of somebody who asks how a magnet is glued, whatever it is glued to.
const GLUING: [&str; 6] = ["glue", "glued", "gluing", "adhesive", "bond", "epoxy"];

/// The marks of each question of a message alone.
fn questions(text: &str, names: &Phrases, learned: &Learned) -> Vec<BTreeSet<String>> {
    let parts = kind::questions(text).into_iter();
    parts
        .map(|part| {
            let scene = Scene::new(part, names, learned);
            crate::marks::marks(&scene, &magnets::named(&scene))
        })
        .collect()
}

/// Words of somebody who wants something held.
const HOLDING: [&str; 9] = [
    "hold", "holds", "stick", "sticks", "hang", "fix", "attach", "put", "held",
];

/// The reading of a sentence that the program printed.
fn printed(question: Question, notes: &[Note]) -> Reading {
    let draft = serde_json::to_value(&question)
        .ok()
        .and_then(|json| serde_json::from_value::<Draft>(json).ok());
    Reading {
        enquiry: Enquiry {
            kind: Kind::Choose,
            question: draft.unwrap_or_default(),
            about: Vec::new(),
            magnets: Vec::new(),
            reason: None,
        },
        asks: Vec::new(),
        phrases: phrases(notes.to_vec()),
        left_out: Vec::new(),
        question: Some(question),
    }
}

/// The enquiry of its JSON; what does not fit is left out, part by part.
fn enquiry(json: &Value) -> Enquiry {
    if let Ok(enquiry) = serde_json::from_value(json.clone()) {
        return enquiry;
    }
    let part = |key: &str| json.get(key).cloned().unwrap_or(Value::Null);
    let mut draft = json!({});
    for group in ["need", "conditions", "limits"] {
        for (key, value) in part("question")
            .get(group)
            .and_then(Value::as_object)
            .into_iter()
            .flatten()
        {
            let mut tried = draft.clone();
            tried[group][key] = value.clone();
            if serde_json::from_value::<Draft>(tried.clone()).is_ok() {
                draft = tried;
            }
        }
    }
    Enquiry {
        kind: serde_json::from_value(part("kind")).unwrap_or(Kind::Choose),
        question: serde_json::from_value(draft).unwrap_or_default(),
        about: serde_json::from_value(part("about")).unwrap_or_default(),
        magnets: serde_json::from_value(part("magnets")).unwrap_or_default(),
        reason: serde_json::from_value(part("reason")).unwrap_or_default(),
    }
}

fn phrases(mut notes: Vec<Note>) -> Vec<Phrase> {
    notes.sort_by_key(|n| (n.range.start, n.range.end));
    let mut out: Vec<Phrase> = Vec::new();
    for note in notes {
        if let Some(last) = out.last_mut()
            && last.range.end > note.range.start
        {
            // one phrase, two meanings
            if last.place != note.path && !last.others.contains(&note.path) {
                last.others.push(note.path);
            }
            continue;
        }
        out.push(Phrase {
            range: note.range,
            meaning: note.meaning,
            place: note.path,
            others: Vec::new(),
        });
    }
    out
}

/// Amounts and things that became nothing and stand where they could matter.
fn left_out(scene: &Scene, notes: &[Note]) -> Vec<Range<usize>> {
    let used = |range: &Range<usize>| {
        notes
            .iter()
            .any(|n| n.range.start < range.end && range.start < n.range.end)
    };
    scene
        .items
        .iter()
        .enumerate()
        .filter(|(i, item)| {
            let unit = item.size().is_some() || item.amount().is_some_and(|a| a.kind().is_some());
            let near = scene
                .nearest(*i, 9.0, |x| x.is_magnet() || roles::is_steel(x))
                .is_some();
            unit && near && !used(&item.range)
        })
        .map(|(_, item)| item.range.clone())
        .collect()
}

/// The most that a magnet can pull on each square metre of its face, Pa: saturated iron, 2.1 T squared over 2 µ0, is 1.75 MPa,
/// and no magnet of today reaches 1 MPa.
const MOST_PULL: f64 = 1.0e6;
/// More than any magnet without iron has outside its face, T.
const MOST_FIELD: f64 = 1.0;

/// Why what is asked cannot be.
fn refusal(scene: &Scene, verb: Verb, partial: &Partial) -> Option<&'static str> {
    let text = |v: Option<&Value>| v.and_then(Value::as_str).map(str::to_owned);
    if matches!(verb, Verb::FaceField | Verb::ReachField) {
        let field: FluxDensity = quantity::parse(&text(partial.need.get("field"))?).ok()?;
        return (field.0 > MOST_FIELD).then_some("impossible");
    }
    if verb != Verb::Hold {
        return None;
    }
    if inert(scene) {
        return Some("not_magnetic");
    }
    let load = Load::parse(&text(partial.need.get("load"))?).ok()?;
    let widest: Length = quantity::parse(&text(partial.limits.get("widest"))?).ok()?;
    let shared = partial.need.get("shared_by").and_then(Value::as_f64).unwrap_or(1.0);
    let most = MOST_PULL * widest.0 * widest.0;
    (load.force().0 / shared > most).then_some("impossible")
}

/// Whether what the magnet would stick to holds none, and no steel is named.
fn inert(scene: &Scene) -> bool {
    let metal = |norm: &str| {
        [
            "steel",
            "iron",
            "tin",
            "ms",
            "sheet metal",
            "fridge",
            "gauge",
            "ferritic",
            "430",
            "keeper",
            "washer",
            "s235",
            "crca",
        ]
        .iter()
        .any(|w| norm.contains(w))
    };
    // "stainless steel, 316L": the number says that no magnet sticks
    let austenitic = scene.any(|x| x.thing(Class::Inert).is_some_and(|t| t.material.is_some()));
    let steel = scene.items.iter().enumerate().any(|(i, x)| {
        let sheet = matches!(x.norm.as_str(), "sheet" | "skin" | "plate" | "panel")
            && scene
                .nearest(i, 3.0, |a| {
                    a.amount().is_some_and(|a| a.kind() == Some(quantity::Kind::Length))
                })
                .is_some()
            && scene.nearest(i, 3.0, |a| a.of(Class::Inert)).is_none();
        let known = sheet
            || metal(&x.norm) && !(austenitic && x.norm.contains("stainless"))
            || x.thing(Class::Surface)
                .is_some_and(|t| t.thickness_mm.is_some() || t.material.as_deref().is_some_and(|m| m != "mild steel"));
        let before = scene.previous(i);
        let denied = [before, before.and_then(|b| scene.previous(b))]
            .into_iter()
            .any(|b| matches!(scene.word(b), "no" | "without" | "any" | "not"));
        let owned = scene.nearest(i, 1.8, |x| x.of(Class::Inert)).is_some();
        !x.is("inside") && roles::is_steel(x) && known && !denied && !owned
    });
    if steel {
        return false;
    }
    const BEFORE: [&str; 18] = [
        "bare",
        "plastered",
        "plain",
        "on",
        "onto",
        "to",
        "in",
        "my",
        "the",
        "of",
        "for",
        "a",
        "solid",
        "from",
        "is",
        "are",
        "our",
        "an",
    ];
    scene.items.iter().enumerate().any(|(i, x)| {
        let on = BEFORE.contains(&scene.word(scene.previous(i)));
        let shim = matches!(
            scene.word(scene.next(i)),
            "shim" | "foil" | "strip" | "spacer" | "cover" | "layer" | "skin" | "between"
        );
        let surface = scene
            .next(i)
            .is_some_and(|n| scene.items[n].of(Class::Perhaps) || scene.items[n].of(Class::Surface));
        let plate = x.of(Class::Layer) && ["brass", "copper", "alumin"].iter().any(|m| x.norm.starts_with(m)) && on;
        x.what == What::Word && (x.of(Class::Inert) && (on || surface) || plate) && !x.is("inside") && !shim
    })
}
