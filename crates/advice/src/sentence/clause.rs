//! What may be set beyond the need, each as a clause of the sentence, or as an offer while it is unset.

use quantity::{Length, Units};
use serde_json::{Value, json};

use super::{opening, print};
use crate::blank::{Blank, BlankKind, Choice, Segment, Spec};
use crate::limits::{self, Asked, Limit};
use crate::question::{FieldCeiling, Need, Question};

const SAFETY: Spec = Spec::may(
    "/need/safety_factor",
    "safety factor",
    BlankKind::Factor,
    "the load is multiplied by this; unset, it follows the direction",
    "3",
);
const SHARED: Spec = Spec::must(
    "/need/shared_by",
    "magnets that share the load",
    BlankKind::Count,
    "how many magnets carry the load together",
    "4",
);
const FRICTION: Spec = Spec::may(
    "/need/friction",
    "friction",
    BlankKind::Factor,
    "coefficient of friction, for a load that would slide",
    "0.2",
);
const OFF_AXIS: Spec = Spec::must(
    "/need/off_axis",
    "distance off the axis",
    BlankKind::Length,
    "how far the place lies beside the axis",
    "3 mm",
);
const CEILING: Spec = Spec::may(
    "/need/no_more_than",
    "stray field",
    BlankKind::Choice,
    "a place further away where the field must stay low",
    "no more than",
);
const CEILING_FIELD: Spec = Spec::must(
    "/need/no_more_than/field",
    "stray field allowed",
    BlankKind::Field,
    "the most flux density there",
    "0.5 mT",
);
const CEILING_DISTANCE: Spec = Spec::must(
    "/need/no_more_than/distance",
    "distance of the stray field",
    BlankKind::Length,
    "from the outer face, along the axis",
    "100 mm",
);
const MARGIN: Spec = Spec::may(
    "/need/margin",
    "margin",
    BlankKind::Factor,
    "near, the field is this many times what operates; far, what releases over this",
    "1.5",
);
const PROBE: Spec = Spec::may(
    "/need/probe_depth",
    "depth of the probe",
    BlankKind::Length,
    "how deep the active element lies; unset is the true face",
    "0.5 mm",
);
/// A clause, or the place of one.
pub(super) struct Clause {
    /// What stands before the first blank of it, without the comma.
    before: &'static str,
    /// The blank while it is unset.
    unset: Blank,
    /// The blanks and texts after `before`; empty while unset.
    filled: Vec<Segment>,
}

impl Clause {
    /// A clause of one blank.
    fn new(before: &'static str, spec: Spec, set: Option<Blank>, after: &'static str) -> Self {
        let unset = spec.blank(offer_text(before, spec, after), Value::Null);
        let filled = set.map_or_else(Vec::new, |blank| {
            let after = (!after.is_empty()).then(|| Segment::text(after));
            std::iter::once(Segment::Blank { blank }).chain(after).collect()
        });
        Self { before, unset, filled }
    }

    fn options(mut self, options: Vec<Choice>) -> Self {
        for segment in &mut self.filled {
            if let Segment::Blank { blank } = segment {
                blank.options = Some(options.clone());
            }
        }
        self.unset.options = Some(options);
        self
    }

    /// The clause with its comma; nothing while unset.
    pub(super) fn segments(self) -> Vec<Segment> {
        if self.filled.is_empty() {
            return Vec::new();
        }
        std::iter::once(Segment::text(format!(", {}", self.before)))
            .chain(self.filled)
            .collect()
    }

    /// The blank to offer; nothing while set.
    pub(super) fn offer(self) -> Option<Blank> {
        self.filled.is_empty().then_some(self.unset)
    }
}

/// How an unset blank is offered: the words of its clause where they can stand alone, and else its label.
fn offer_text(before: &str, spec: Spec, after: &str) -> String {
    if before.is_empty() || !after.is_empty() {
        spec.label.into()
    } else {
        before.trim_end().into()
    }
}

/// All clauses that the verb of a question allows, in the order of the sentence.
pub(super) fn clauses(question: &Question, units: &Units) -> Vec<Clause> {
    let mut clauses = of_need(question, units);
    clauses.extend(limits::all().filter_map(|limit| of_limit(limit, question, units)));
    clauses
}

/// The clause of a limit; `None` where it is neither set nor offered.
fn of_limit(limit: &Limit, question: &Question, units: &Units) -> Option<Clause> {
    let spec = limit.blank;
    let [before, after] = limit.words;
    let asked = (limit.asked)(question.terms());
    if asked.is_none() && !(limit.offered)(question) {
        return None;
    }
    let mut before = before;
    let set = asked.map(|asked| match asked {
        Asked::Length(length) => spec.typed(print::quantity(length, units)),
        Asked::Mass(mass) => spec.typed(print::quantity(mass, units)),
        Asked::Temperature(temperature) => spec.typed(print::quantity(temperature, units)),
        Asked::Money(money) => spec.typed(print::money(money)),
        Asked::Count(n) => count(spec, n),
        Asked::Named(name) => spec.typed(name),
        Asked::One(value, text) => {
            before = "";
            spec.blank(text, value)
        }
        Asked::Any(names) => spec.blank(print::list(&names, "or"), names),
    });
    let clause = Clause::new(before, spec, set, after);
    let options = (limit.options)(question);
    Some(if options.is_empty() {
        clause
    } else {
        clause.options(options)
    })
}

fn of_need(question: &Question, units: &Units) -> Vec<Clause> {
    let length = |spec: Spec, value: Option<Length>| value.map(|v| spec.typed(print::quantity(v, units)));
    match &question.need {
        Need::Hold {
            layers,
            safety_factor,
            shared_by,
            friction,
            ..
        } => {
            let mut clauses = vec![
                Clause::new(
                    "with a safety factor of ",
                    SAFETY,
                    safety_factor.map(|f| number(SAFETY, f)),
                    "",
                ),
                Clause::new(
                    "shared by ",
                    SHARED,
                    (*shared_by != 1).then(|| count(SHARED, *shared_by)),
                    " magnets",
                ),
                Clause::new("friction ", FRICTION, friction.map(|f| number(FRICTION, f)), ""),
            ];
            if layers.is_empty() {
                let unset = Blank {
                    text: "through a layer".into(),
                    ..opening::layers_blank(layers, units)
                };
                clauses.insert(
                    0,
                    Clause {
                        before: "",
                        unset,
                        filled: Vec::new(),
                    },
                );
            }
            clauses
        }
        Need::ReachField {
            off_axis, no_more_than, ..
        } => {
            let off_axis = Some(*off_axis).filter(|off| off.si() != 0.0);
            vec![
                Clause::new("off axis ", OFF_AXIS, length(OFF_AXIS, off_axis), ""),
                ceiling(no_more_than.as_ref(), units),
            ]
        }
        Need::SwitchSensor { margin, .. } => {
            vec![Clause::new("margin ", MARGIN, margin.map(|f| number(MARGIN, f)), "")]
        }
        Need::FaceField { probe_depth, .. } => {
            vec![Clause::new(
                "read by a probe ",
                PROBE,
                length(PROBE, *probe_depth),
                " deep",
            )]
        }
        Need::PullTogether { .. } | Need::PushApart { .. } => Vec::new(),
    }
}

/// The clause of a place where the field must stay low. Its words are themselves a blank, by which it is cleared.
fn ceiling(set: Option<&FieldCeiling>, units: &Units) -> Clause {
    let value = |ceiling: &FieldCeiling| json!({"field": print::quantity(ceiling.field, units), "distance": print::quantity(ceiling.distance, units)});
    let usual = json!({"field": CEILING_FIELD.example, "distance": CEILING_DISTANCE.example});
    let text = format!("no more than {} at {}", CEILING_FIELD.example, CEILING_DISTANCE.example);
    let options = vec![Choice::new(usual, text)];
    let filled = set.map_or_else(Vec::new, |ceiling| {
        vec![
            Segment::Blank {
                blank: CEILING.blank("no more than", value(ceiling)).with(options.clone()),
            },
            Segment::text(" "),
            Segment::Blank {
                blank: CEILING_FIELD.typed(print::quantity(ceiling.field, units)),
            },
            Segment::text(" at "),
            Segment::Blank {
                blank: CEILING_DISTANCE.typed(print::quantity(ceiling.distance, units)),
            },
        ]
    });
    Clause {
        before: "",
        unset: CEILING.blank(CEILING.label, Value::Null).with(options),
        filled,
    }
}

fn number(spec: Spec, value: f64) -> Blank {
    spec.blank(value.to_string(), value)
}

fn count(spec: Spec, value: u32) -> Blank {
    spec.blank(value.to_string(), value)
}
