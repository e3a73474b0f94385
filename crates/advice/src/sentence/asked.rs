//! The six verbs by name.

use serde::{Deserialize, Serialize};

use crate::question::Need;

/// What a magnet can be asked to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Verb {
    /// Hold a load on steel.
    Hold,
    /// Attract an equal magnet across a gap.
    PullTogether,
    /// Repel an equal magnet across a gap.
    PushApart,
    /// Give a flux density at a distance.
    ReachField,
    /// Operate and release a field switch.
    SwitchSensor,
    /// Give a flux density at the middle of the face.
    FaceField,
}

impl Verb {
    /// All verbs, in the order in which they are offered.
    pub const ALL: [Verb; 6] = [
        Verb::Hold,
        Verb::PullTogether,
        Verb::PushApart,
        Verb::ReachField,
        Verb::SwitchSensor,
        Verb::FaceField,
    ];

    /// The verb of a need.
    pub fn of(need: &Need) -> Self {
        match need {
            Need::Hold { .. } => Verb::Hold,
            Need::PullTogether { .. } => Verb::PullTogether,
            Need::PushApart { .. } => Verb::PushApart,
            Need::ReachField { .. } => Verb::ReachField,
            Need::SwitchSensor { .. } => Verb::SwitchSensor,
            Need::FaceField { .. } => Verb::FaceField,
        }
    }

    /// The verb of this name, as the question's JSON has it: `pull_together`.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|verb| verb.name() == name)
    }

    /// Its name in the question's JSON.
    pub fn name(self) -> &'static str {
        match self {
            Verb::Hold => "hold",
            Verb::PullTogether => "pull_together",
            Verb::PushApart => "push_apart",
            Verb::ReachField => "reach_field",
            Verb::SwitchSensor => "switch_sensor",
            Verb::FaceField => "face_field",
        }
    }

    /// The verb as a reader knows it.
    pub fn text(self) -> &'static str {
        match self {
            Verb::Hold => "hold",
            Verb::PullTogether => "pull together",
            Verb::PushApart => "push apart",
            Verb::ReachField => "reach a field",
            Verb::SwitchSensor => "switch a sensor",
            Verb::FaceField => "make a face field",
        }
    }
}
