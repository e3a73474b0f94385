//! What may be set beyond the need, each as a clause of the sentence, or as an offer while it is unset.

use materials::coating::CoatingTable;
use quantity::{Length, Units};
use serde_json::{Value, json};

use super::blank::{Blank, BlankKind, Choice, Segment, Spec};
use super::{opening, print};
use crate::question::{FieldCeiling, Goal, Need, Question, ShapeKind, Steelwork, Surroundings};

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
const WARMEST: Spec = Spec::may(
    "/conditions/warmest",
    "highest temperature",
    BlankKind::Temperature,
    "the warmest the magnet gets",
    "60 °C",
);
const COLDEST: Spec = Spec::may(
    "/conditions/coldest",
    "lowest temperature",
    BlankKind::Temperature,
    "the coldest the magnet gets",
    "-20 °C",
);
const SURROUNDINGS: Spec = Spec::may(
    "/conditions/surroundings",
    "surroundings",
    BlankKind::Choice,
    "where the magnet lives",
    "outdoors",
);
const WIDEST: Spec = Spec::may(
    "/limits/widest",
    "greatest width",
    BlankKind::Length,
    "across the face: the diameter, or the longer side of a block",
    "25 mm",
);
const NARROWEST: Spec = Spec::may(
    "/limits/narrowest",
    "least width",
    BlankKind::Length,
    "smallest size across the face",
    "10 mm",
);
const TALLEST: Spec = Spec::may(
    "/limits/tallest",
    "greatest height",
    BlankKind::Length,
    "along the magnetisation, stack included",
    "10 mm",
);
const SHORTEST: Spec = Spec::may(
    "/limits/shortest",
    "least height",
    BlankKind::Length,
    "along the magnetisation, stack included",
    "3 mm",
);
const SHAPES: Spec = Spec::must(
    "/limits/shapes",
    "shapes",
    BlankKind::Choices,
    "which shapes will do; none chosen is all",
    "disc",
);
const HOLE: Spec = Spec::may(
    "/limits/hole",
    "hole",
    BlankKind::Length,
    "a hole of at least this diameter",
    "4 mm",
);
const COUNTERSUNK: Spec = Spec::must(
    "/limits/countersunk",
    "countersunk",
    BlankKind::Switch,
    "the hole takes the head of a countersunk screw",
    "countersunk",
);
const COATING: Spec = Spec::may(
    "/limits/coating",
    "coating",
    BlankKind::Choice,
    "the coating that it must have",
    "epoxy",
);
const GOAL: Spec = Spec::may(
    "/limits/goal",
    "what matters most",
    BlankKind::Choice,
    "which of those that do comes first",
    "cheapest",
);
const GRADES: Spec = Spec::must(
    "/limits/grades",
    "grades",
    BlankKind::Words,
    "grades or families that will do; none named is all",
    "N42",
);
const STACK: Spec = Spec::may(
    "/limits/stack",
    "pieces in a stack",
    BlankKind::Count,
    "the most pieces put on top of each other; 1 is not stacked",
    "3",
);
const MASS: Spec = Spec::may(
    "/limits/mass",
    "greatest mass",
    BlankKind::Mass,
    "of the magnet itself",
    "50 g",
);
const EACH: Spec = Spec::may(
    "/limits/budget_each",
    "budget for each",
    BlankKind::Money,
    "the most that one may cost, in the shop's currency",
    "1",
);
const TOTAL: Spec = Spec::may(
    "/limits/budget_total",
    "budget in total",
    BlankKind::Money,
    "the most that all may cost, in the shop's currency",
    "200",
);
const STOCK: Spec = Spec::must(
    "/limits/in_stock",
    "in stock",
    BlankKind::Switch,
    "only what the shelf can deliver now",
    "in stock",
);
const AIR: Spec = Spec::must(
    "/limits/ships_by_air",
    "by air",
    BlankKind::Switch,
    "the magnet must fly unrestricted",
    "by air",
);
const STEELWORK: Spec = Spec::may(
    "/limits/steelwork",
    "steel parts",
    BlankKind::Choice,
    "steel from the shelf on the magnet; unset, it is offered where it wins",
    "in a cup",
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
    clauses.extend(of_conditions(question, units));
    clauses.extend(of_size(question, units));
    clauses.extend(of_choice(question, units));
    clauses
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

fn of_conditions(question: &Question, units: &Units) -> Vec<Clause> {
    let conditions = &question.conditions;
    let places = [
        (Surroundings::Dry, "dry", "indoors and dry"),
        (Surroundings::Damp, "damp", "damp"),
        (Surroundings::Outdoors, "outdoors", "outdoors"),
        (Surroundings::Food, "food", "in contact with food"),
    ];
    let place = conditions
        .surroundings
        .and_then(|set| places.iter().find(|p| p.0 == set));
    let temperature =
        |spec: Spec, value: Option<quantity::Temperature>| value.map(|v| spec.typed(print::quantity(v, units)));
    vec![
        Clause::new("up to ", WARMEST, temperature(WARMEST, conditions.warmest), ""),
        Clause::new("down to ", COLDEST, temperature(COLDEST, conditions.coldest), ""),
        Clause::new("", SURROUNDINGS, place.map(|p| SURROUNDINGS.blank(p.2, p.1)), "")
            .options(places.iter().map(|p| Choice::new(p.1, p.2)).collect()),
    ]
}

fn of_size(question: &Question, units: &Units) -> Vec<Clause> {
    let limits = &question.limits;
    let length = |before, spec: Spec, value: Option<Length>| {
        Clause::new(before, spec, value.map(|v| spec.typed(print::quantity(v, units))), "")
    };
    vec![
        length("no wider than ", WIDEST, limits.widest),
        length("no narrower than ", NARROWEST, limits.narrowest),
        length("no taller than ", TALLEST, limits.tallest),
        length("no shorter than ", SHORTEST, limits.shortest),
        length("with a hole of at least ", HOLE, limits.hole),
    ]
}

fn of_choice(question: &Question, units: &Units) -> Vec<Clause> {
    let limits = &question.limits;
    let shapes = [
        (ShapeKind::Disc, "disc"),
        (ShapeKind::Ring, "ring"),
        (ShapeKind::Block, "block"),
        (ShapeKind::Sphere, "sphere"),
    ];
    let named = |wanted: &ShapeKind| shapes.iter().find(|s| s.0 == *wanted).map(|s| s.1.to_owned());
    let chosen: Vec<String> = limits.shapes.iter().filter_map(named).collect();
    let list = |spec: Spec, names: &[String]| {
        (!names.is_empty()).then(|| spec.blank(print::list(names, "or"), names.to_vec()))
    };
    let single = limits.stack == Some(1);
    let stack = limits.stack.map(|n| {
        if single {
            STACK.blank("not stacked", n)
        } else {
            count(STACK, n)
        }
    });
    let mass = limits.mass.map(|m| MASS.typed(print::quantity(m, units)));
    let money = |spec: Spec, amount: Option<quantity::Money>| amount.map(|m| spec.typed(print::money(m)));
    let mut clauses = vec![
        Clause::new("", SHAPES, list(SHAPES, &chosen), "")
            .options(shapes.iter().map(|s| Choice::new(s.1, s.1)).collect()),
        Clause::new("grade ", GRADES, list(GRADES, &limits.grades), ""),
        Clause::new(if single { "" } else { "stack of up to " }, STACK, stack, ""),
        Clause::new("no heavier than ", MASS, mass, ""),
        Clause::new("budget ", EACH, money(EACH, limits.budget_each), " each"),
        Clause::new("budget ", TOTAL, money(TOTAL, limits.budget_total), " in total"),
        Clause::new("", STOCK, limits.in_stock.then(|| STOCK.blank("in stock", true)), ""),
        Clause::new("", AIR, limits.ships_by_air.then(|| AIR.blank("by air", true)), ""),
    ];
    clauses.extend(steelwork(question));
    clauses.extend(of_taste(question));
    clauses
}

/// Limits that are not offered as blanks, and stand in the sentence once they are set.
fn of_taste(question: &Question) -> Vec<Clause> {
    let limits = &question.limits;
    let countersunk = limits.countersunk.then(|| COUNTERSUNK.blank("countersunk", true));
    let coating = limits
        .coating
        .as_ref()
        .map(|name| COATING.blank(name.clone(), name.clone()));
    let goal = limits.goal.map(|goal| GOAL.blank(goal.name(), goal.name()));
    let goals = Goal::ALL
        .iter()
        .map(|goal| Choice::new(goal.name(), goal.name()))
        .collect();
    let coatings = CoatingTable::builtin().map_or_else(
        |_| Vec::new(),
        |table| {
            let choice = |c: &materials::coating::Coating| Choice::new(c.name.as_str(), c.name.as_str());
            table.rows().iter().map(choice).collect()
        },
    );
    let clauses = vec![
        Clause::new("", COUNTERSUNK, countersunk, ""),
        Clause::new("coated with ", COATING, coating, "").options(coatings),
        Clause::new("first the ", GOAL, goal, "").options(goals),
    ];
    clauses.into_iter().filter(|clause| !clause.filled.is_empty()).collect()
}

/// The steel parts that the need may have; no clause where it has none.
fn steelwork(question: &Question) -> Option<Clause> {
    let serves = question.need.steelwork();
    if serves.is_empty() && question.limits.steelwork.is_none() {
        return None;
    }
    let choice = |s: Steelwork| Choice::new(s.name(), s.text());
    let options = std::iter::once(Steelwork::Bare).chain(serves.iter().copied());
    let set = question.limits.steelwork.map(|s| STEELWORK.blank(s.text(), s.name()));
    Some(Clause::new("", STEELWORK, set, "").options(options.map(choice).collect()))
}

fn number(spec: Spec, value: f64) -> Blank {
    spec.blank(value.to_string(), value)
}

fn count(spec: Spec, value: u32) -> Blank {
    spec.blank(value.to_string(), value)
}
