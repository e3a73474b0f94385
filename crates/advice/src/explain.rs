//! Standing questions and refusals, from `data/topics.toml` and `data/refusals.toml`.
//!
//! Their texts hold figures in braces that are computed for a shelf when they are shown ([`crate::view::explain`]).

mod figures;
mod model;

use std::sync::OnceLock;

use serde::Deserialize;

use crate::check::QuestionError;
use crate::enquiry::{Enquiry, RefuseReason, Subject};

pub use figures::{Figure, Figures};

/// A standing question with its text.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Topic {
    /// Its name in an enquiry.
    pub name: String,
    /// The question, as customers put it.
    pub title: String,
    /// The answer, with figures in braces and `**` marks.
    pub text: String,
    /// Where a limit that it names is published.
    pub rule: Option<String>,
    /// Where it leads on to.
    pub next: Vec<Lead>,
}

/// Why something is refused, and what would do.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Refusal {
    /// The reason.
    pub reason: RefuseReason,
    /// It in a sentence or two.
    pub lead: String,
    /// Why that is so.
    pub because: Vec<String>,
    /// What would do.
    pub instead: Vec<String>,
    /// Where a limit that it names is published.
    pub rule: Option<String>,
    /// Where it leads on to.
    #[serde(default)]
    pub next: Vec<Lead>,
}

/// Where a text leads on to.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lead {
    /// To what.
    pub to: LeadTo,
    /// In words.
    pub text: String,
    /// The magnets of a comparison, by what they are beside the reference: `twice`, `ferrite`.
    #[serde(default)]
    pub of: Vec<String>,
    /// The standing question.
    pub topic: Option<String>,
}

/// What a text may lead on to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LeadTo {
    /// The ladder of the reference magnet.
    Ladder,
    /// Its field.
    Field,
    /// A comparison.
    Compare,
    /// A standing question.
    Explain,
}

#[derive(Deserialize)]
struct TopicFile {
    topic: Vec<Topic>,
}

#[derive(Deserialize)]
struct RefusalFile {
    refusal: Vec<Refusal>,
}

/// All standing questions.
pub fn topics() -> &'static [Topic] {
    static TOPICS: OnceLock<Vec<Topic>> = OnceLock::new();
    // A test reads the embedded data, so that it cannot be broken in a release.
    TOPICS.get_or_init(|| {
        toml::from_str(include_str!("../data/topics.toml")).map_or_else(|_| Vec::new(), |f: TopicFile| f.topic)
    })
}

/// All refusals.
pub fn refusals() -> &'static [Refusal] {
    static REFUSALS: OnceLock<Vec<Refusal>> = OnceLock::new();
    REFUSALS.get_or_init(|| {
        toml::from_str(include_str!("../data/refusals.toml")).map_or_else(|_| Vec::new(), |f: RefusalFile| f.refusal)
    })
}

/// The standing question of that name.
pub fn topic(name: &str) -> Option<&'static Topic> {
    topics().iter().find(|topic| topic.name == name)
}

/// The standing question of an enquiry.
///
/// # Errors
/// Where it names none that is known.
pub fn topic_of(enquiry: &Enquiry) -> Result<&'static Topic, QuestionError> {
    let named = enquiry.about.iter().find_map(|subject| match subject {
        Subject::Topic(name) => Some(name.as_str()),
        Subject::Thing(_) => None,
    });
    let found = match named {
        Some(name) => topic(name),
        // What is asked of a magnet is also a topic of principle.
        None => enquiry.about.iter().find_map(|subject| match subject {
            Subject::Thing(thing) => topic(principle(*thing)?),
            Subject::Topic(_) => None,
        }),
    };
    found.ok_or_else(|| QuestionError {
        field: "/about".into(),
        message: match named {
            Some(name) => format!("no standing question is known by the name {name:?}"),
            None => "which standing question is meant is not said".into(),
        },
        hint: "such as twice_thickness, thin_sheet, gap, heat or sideways".into(),
    })
}

/// The standing question behind something that is asked of magnets at large.
fn principle(about: crate::enquiry::About) -> Option<&'static str> {
    use crate::enquiry::About;
    Some(match about {
        About::Pull => "why_pull_differs",
        About::Field | About::DistanceForField => "shielding",
        About::FaceField => "meter_less",
        About::Heat => "heat",
        About::Fly => "flying",
        About::Toy => "toys",
        About::SteelMm => "plate_thickness",
        About::Machine => "drilling",
        About::Price => "price_quantity",
        About::Corrosion => "coatings_rust",
        About::KeepAway => "safe_distance",
        About::Jump | About::Danger => "brittle",
        About::Value => "grade_meaning",
        About::Weight | About::Moment | About::Card => return None,
    })
}

/// The refusal of an enquiry.
///
/// # Errors
/// Where it names no reason.
pub fn refusal_of(enquiry: &Enquiry) -> Result<&'static Refusal, QuestionError> {
    let found = enquiry
        .reason
        .and_then(|reason| refusals().iter().find(|r| r.reason == reason));
    found.ok_or_else(|| QuestionError {
        field: "/reason".into(),
        message: "why it is refused is not said".into(),
        hint: "such as not_magnetic or no_such_grade".into(),
    })
}
