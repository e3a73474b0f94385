//! An enquiry as it was read: its kind, what it is about, the magnets that it names, and the question as far as it was said.
//!
//! Whoever reads a message fills an [`Enquiry`]; [`Draft::question`] makes a whole [`Question`](crate::Question) of what
//! was said, or names what is missing. A quantity may be a range, where an everyday word stands for one: `"0.4..0.8 mm"`.

mod draft;
mod said;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

pub use draft::{Draft, DraftConditions, DraftLayer, DraftLimits, DraftNeed, DraftSteel, Price, SwitchKind};
pub use said::{Said, Sayable};

use crate::question::ShapeKind;

/// What an enquiry wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Which magnet will do.
    Choose,
    /// About a given magnet.
    Tell,
    /// Two or more things side by side.
    Compare,
    /// A standing question of principle.
    Explain,
    /// What cannot be done, is unlawful, or is not about magnets.
    Refuse,
}

/// What an enquiry wants to know of a magnet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum About {
    /// Its pull on steel or on another magnet.
    Pull,
    /// Its field at a distance.
    Field,
    /// The field at its face.
    FaceField,
    /// How far off it still gives a field.
    DistanceForField,
    /// Whether it stands heat or frost.
    Heat,
    /// Its weight.
    Weight,
    /// Whether it may fly.
    Fly,
    /// Whether it may go into a toy.
    Toy,
    /// How thick its steel must be.
    SteelMm,
    /// Whether it can be drilled, cut or glued.
    Machine,
    /// Its price.
    Price,
    /// How it stands water and weather.
    Corrosion,
    /// What must stay away from it.
    KeepAway,
    /// From how far it jumps to steel or to another magnet.
    Jump,
    /// Its magnetic moment.
    Moment,
    /// What can hurt.
    Danger,
    /// Whether a dearer grade is worth its price.
    Value,
    /// All that an adviser would read out.
    Card,
}

/// A thing to know of a magnet, or the topic of a standing question.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Subject {
    /// Of a given magnet.
    Thing(About),
    /// The name of a topic, such as `twice_thickness`.
    Topic(String),
}

/// A magnet as a message names it; what is not said is left out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct NamedMagnet {
    /// Its shape.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shape: Option<ShapeKind>,
    /// Its sizes, mm: disc diameter, thickness; ring outer, inner, thickness; block length, width, thickness; ball diameter.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub size_mm: Vec<f64>,
    /// Its grade, such as `N42`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// Its coating.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coating: Option<String>,
    /// The shop's code.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub code: Option<String>,
    /// Pieces stacked on each other; 1 where nothing is said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// Whether two of it work on each other.
    #[serde(skip_serializing_if = "is_false")]
    pub pair: bool,
}

impl NamedMagnet {
    /// Pieces stacked on each other, at least 1.
    pub fn pieces(&self) -> u32 {
        self.count.unwrap_or(1).max(1)
    }
}

/// Why something is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum RefuseReason {
    /// No grade has what is asked.
    NoSuchGrade,
    /// That surface holds no magnet.
    NotMagnetic,
    /// Magnets at rest do not make anything float stably.
    StableFloat,
    /// The law forbids it.
    Unlawful,
    /// Not about magnets.
    OffTopic,
    /// Physics forbids it.
    Impossible,
    /// Someone would be hurt.
    Harm,
}

/// An enquiry as read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Enquiry {
    /// What it wants.
    pub kind: Kind,
    /// The question, or the conditions under which a magnet is asked about.
    #[serde(default)]
    pub question: Draft,
    /// What it wants to know.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(value_type = Vec<String>)]
    pub about: Vec<Subject>,
    /// The magnets that it names.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub magnets: Vec<NamedMagnet>,
    /// Why it is refused.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<RefuseReason>,
}

fn is_false(value: &bool) -> bool {
    !value
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_keeps_its_keys() {
        let json = r#"{"kind":"tell","question":{"need":{"verb":"hold","steel":{"thickness":"0.4..0.8 mm"}},"pieces":200},
            "about":["pull","price"],"magnets":[{"shape":"disc","size_mm":[20,5],"grade":"N42","count":2}]}"#;
        let read: Enquiry = serde_json::from_str(json).unwrap();
        assert_eq!(read.about, [Subject::Thing(About::Pull), Subject::Thing(About::Price)]);
        assert_eq!(read.magnets[0].pieces(), 2);
        let again: Enquiry = serde_json::from_str(&serde_json::to_string(&read).unwrap()).unwrap();
        assert_eq!(again, read);
        let topic: Subject = serde_json::from_str(r#""twice_thickness""#).unwrap();
        assert_eq!(topic, Subject::Topic("twice_thickness".into()));
    }
}
