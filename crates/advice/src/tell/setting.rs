//! The conditions under which a given magnet is asked about.

use magnetics::inside::Facing;
use quantity::{FluxDensity, Force, Length, Load};

use crate::answer::Along;
use crate::catalogue::Catalogue;
use crate::check::{QuestionError, check};
use crate::enquiry::Draft;
use crate::exposure::Exposure;
use crate::predict::{SAFETY_FACTOR, SAFETY_FACTOR_FALLING, Task};
use crate::question::{Conditions, Direction, Layer, Limits, Need, Question, SteelPart};
use crate::sentence::Verb;

/// What a draft says of the use of a given magnet.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The use as a question of holding, whose load is of no account.
    question: Question,
    /// Whether anything was said of what it sticks to or of what lies between.
    pub on_steel: bool,
    /// Between two magnets, m.
    pub gap: Option<f64>,
    /// Whether like poles face each other.
    pub opposed: bool,
    /// Distance from the face at which its field is wanted, m.
    pub distance: Option<f64>,
    /// Distance from its axis, m.
    pub off_axis: f64,
    /// The flux density whose distance is wanted, T.
    pub level: Option<f64>,
    /// How deep the element of the customer's probe lies, m.
    pub probe_depth: Option<f64>,
    /// What is to be held, where it is said.
    pub load: Option<Load>,
}

impl Setting {
    /// What a draft says.
    ///
    /// # Errors
    /// For a steel or layer that is not known, a layer without its thickness, and figures out of reason; pointers begin
    /// with `/question`.
    pub fn of(draft: &Draft, catalogue: &Catalogue) -> Result<Self, QuestionError> {
        let need = &draft.need;
        let mut lacking = None;
        let layers = need.whole_layers(|pointer| lacking = lacking.take().or(Some(pointer)));
        if let Some(pointer) = lacking {
            return Err(QuestionError {
                field: format!("/question{pointer}"),
                message: "the thickness of a layer is not said".into(),
                hint: "say how thick it is, such as 0.4 mm of paint".into(),
            });
        }
        let direction = need.direction.unwrap_or_default();
        let setting = Self {
            on_steel: need.steel.is_some() || !layers.is_empty() || need.direction.is_some(),
            gap: need.gap.map(|gap| gap.high.0),
            opposed: need.verb == Some(Verb::PushApart),
            distance: need.distance.or(need.near).map(|distance| distance.high.0),
            off_axis: need.off_axis.map_or(0.0, |off| off.high.0),
            level: need.field.map(|field| field.low.0),
            probe_depth: need.probe_depth.map(|depth| depth.high.0),
            load: need.load.or(need.force).map(|load| load.high),
            question: Question {
                need: Need::Hold {
                    load: Load::Force(Force(1.0)),
                    direction,
                    steel: need.whole_steel(),
                    layers,
                    safety_factor: need.safety_factor,
                    shared_by: need.shared_by.unwrap_or(1),
                    friction: need.friction,
                },
                conditions: draft.conditions.whole(),
                limits: Limits::default(),
                pieces: draft.pieces.unwrap_or(1),
            },
        };
        let spot = Question {
            need: Need::ReachField {
                field: FluxDensity(setting.level.unwrap_or(0.1)),
                distance: Length(setting.distance.or(setting.gap).unwrap_or(0.0)),
                off_axis: Length(setting.off_axis),
                no_more_than: None,
            },
            ..setting.question.clone()
        };
        for question in [&setting.question, &spot] {
            check(question, catalogue).map_err(|error| QuestionError {
                field: format!("/question{}", error.field),
                ..error
            })?;
        }
        Ok(setting)
    }

    /// Temperature and surroundings.
    pub fn conditions(&self) -> &Conditions {
        &self.question.conditions
    }

    /// How many builds are wanted.
    pub fn pieces(&self) -> u32 {
        self.question.pieces
    }

    /// What it sticks to.
    pub fn steel(&self) -> SteelPart {
        match &self.question.need {
            Need::Hold { steel, .. } => steel.clone(),
            _ => SteelPart::default(),
        }
    }

    /// What lies between.
    pub fn layers(&self) -> &[Layer] {
        match &self.question.need {
            Need::Hold { layers, .. } => layers,
            _ => &[],
        }
    }

    /// The distance that was said for a curve, m: between two magnets, through what lies on the steel, or from the face.
    pub fn said_along(&self, along: Along) -> Option<f64> {
        match along {
            Along::Pair => self.gap,
            Along::Field => self.distance,
            Along::Plate => (!self.layers().is_empty()).then(|| self.question.need.distance()),
        }
    }

    /// Which way the load pulls.
    pub fn direction(&self) -> Direction {
        match &self.question.need {
            Need::Hold { direction, .. } => *direction,
            _ => Direction::default(),
        }
    }

    /// The share of the load that one build carries, N, and the factor that is usual or asked.
    pub fn share(&self) -> Option<(f64, f64)> {
        let Need::Hold {
            direction,
            safety_factor,
            shared_by,
            ..
        } = &self.question.need
        else {
            return None;
        };
        let usual = if *direction == Direction::HangingBelow {
            SAFETY_FACTOR_FALLING
        } else {
            SAFETY_FACTOR
        };
        let share = self.load?.force().si() / f64::from(*shared_by);
        Some((share, safety_factor.unwrap_or(usual)))
    }

    /// Its pull there.
    pub(crate) fn plate(&self, catalogue: &Catalogue) -> Task {
        Task::of(&self.question, catalogue)
    }

    /// What a magnet is exposed to there.
    pub fn exposure(&self) -> Exposure {
        let exposure = Exposure::alone(self.conditions());
        if self.opposed {
            let gap = self.gap.unwrap_or(0.0);
            return exposure.facing(Facing::Opposing { gap });
        }
        exposure
    }
}
