//! Curves with bands, in the reader's units.

use magnetics::Shape;
use quantity::{FluxDensity, Force, Kind, Length, Quantity};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{Answer, Candidate, Predicted};
use crate::catalogue::Catalogue;
use crate::criteria::Criteria;
use crate::predict::{InUse, Task};
use crate::question::{Need, Question};
use crate::view::text::{Reader, percent};

/// Points of a curve.
const POINTS: usize = 61;

/// A value against a distance, with its band.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Chart {
    /// What is shown.
    pub title: String,
    /// The distance.
    pub x: XAxis,
    /// The value.
    pub y: YAxis,
    /// Middle of the band.
    pub mid: Vec<f64>,
    /// Low end.
    pub low: Vec<f64>,
    /// High end.
    pub high: Vec<f64>,
    /// The value needed.
    pub need: Option<Level>,
    /// The value allowed at most further away.
    pub ceiling: Option<Level>,
    /// Where the question stands.
    pub here: Option<Place>,
    /// What the curve teaches.
    pub remark: String,
    /// Sentence with {y}, {x}, {low} and {high} to be filled at the point read.
    pub read_out: String,
}

/// The axis of distances.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct XAxis {
    /// What it is.
    pub label: String,
    /// Its unit.
    pub unit: String,
    /// The distances, in that unit.
    pub values: Vec<f64>,
}

/// The axis of values.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct YAxis {
    /// What it is.
    pub label: String,
    /// Its unit.
    pub unit: String,
}

/// A value with its words.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Level {
    /// In the unit of the values.
    pub y: f64,
    /// In words.
    pub text: String,
}

/// A distance with its words.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Place {
    /// In the unit of the distances.
    pub x: f64,
    /// In words.
    pub text: String,
}

/// The curve that belongs to a candidate: its value against the gap or the distance.
pub fn for_candidate(answer: &Answer, candidate: &Candidate, catalogue: &Catalogue, reader: &Reader) -> Option<Chart> {
    let criteria = Criteria::new(&answer.question, catalogue);
    let fresh = criteria.prediction(&candidate.item, criteria.task)?;
    let in_use = criteria.in_use(&fresh, candidate.build.pieces).ok()?;
    let at = criteria.task.distance();
    let widest = candidate.item.shape.widest();
    let far = criteria.far.map_or(0.0, Task::distance);
    let end = (at * 2.5).max(widest * 0.5).max(far * 1.15);
    let mut chart = curve(&in_use, answer.need.quantity, end, reader)?;
    let top = in_use.at_distance(0.0).value().ok()?;
    let y = |si: f64| scale(answer.need.quantity, reader, top).apply(si);
    let need = answer.need.of_mass(candidate.mass);
    chart.need = Some(Level {
        y: y(need),
        text: format!("you need {}", reader.predicted(answer.need.quantity, need).text),
    });
    chart.ceiling = answer.need.ceiling.map(|c| Level {
        y: y(c),
        text: format!("no more than {} here", reader.text::<FluxDensity>(c)),
    });
    chart.here = Some(Place {
        x: length_scale(reader).apply(at),
        text: here_words(&answer.question).into(),
    });
    Some(chart)
}

fn here_words(question: &Question) -> &'static str {
    match &question.need {
        Need::Hold { layers, .. } if layers.is_empty() => "on bare steel",
        Need::Hold { .. } => "through your layers",
        Need::PullTogether { .. } | Need::PushApart { .. } => "at your gap",
        Need::SwitchSensor { .. } => "near",
        Need::ReachField { .. } => "at your distance",
        Need::FaceField { .. } => "where it is read",
    }
}

fn length_scale(reader: &Reader) -> quantity::Scale {
    reader.units.scale(Kind::Length, 0.0)
}

fn scale(quantity: Predicted, reader: &Reader, largest: f64) -> quantity::Scale {
    match quantity {
        Predicted::Force => reader.units.scale(Force::KIND, largest),
        Predicted::FluxDensity => reader.units.scale(FluxDensity::KIND, largest),
    }
}

/// The value of a build from contact to `end` metres; `None` where it cannot be computed.
pub fn curve(in_use: &InUse, quantity: Predicted, end: f64, reader: &Reader) -> Option<Chart> {
    // Close points where the curve is steep.
    let mut distances: Vec<f64> = (0..POINTS)
        .map(|k| end * (k as f64 / (POINTS - 1) as f64).powf(1.6))
        .collect();
    // The place asked is read off exactly.
    let asked = in_use.task.distance();
    if !distances.contains(&asked) && asked < end {
        distances.push(asked);
        distances.sort_by(f64::total_cmp);
    }
    let bands: Vec<_> = distances
        .iter()
        .map(|&x| in_use.at_distance(x).outline().ok())
        .collect::<Option<_>>()?;
    // A chart takes its unit from the value at contact.
    let y = scale(quantity, reader, in_use.at_distance(0.0).value().ok()?);
    let x = length_scale(reader);
    let value = |pick: fn(&uncertainty::Band) -> f64| bands.iter().map(|b| y.apply(pick(b))).collect();
    let (title, x_label, y_label, verb) = match in_use.task {
        Task::Plate { .. } => ("What it holds against the gap", "gap to the steel", "pull", "holds"),
        Task::Pair { .. } => ("The force against the gap", "gap", "force", "force of"),
        Task::Spot { .. } | Task::Dipole { .. } => (
            "Its field against the distance",
            "distance from the face",
            "field",
            "gives",
        ),
    };
    Some(Chart {
        title: title.into(),
        x: XAxis {
            label: x_label.into(),
            unit: x.label.into(),
            values: distances.iter().map(|&d| x.apply(d)).collect(),
        },
        y: YAxis {
            label: y_label.into(),
            unit: y.label.into(),
        },
        mid: value(|b| b.mid),
        low: value(|b| b.low),
        high: value(|b| b.high),
        need: None,
        ceiling: None,
        here: None,
        remark: remark(in_use, reader)?,
        read_out: format!("{verb} {{y}} at {{x}}; 95\u{a0}% of pieces between {{low}} and {{high}}"),
    })
}

/// How fast the curve falls where it begins.
fn remark(in_use: &InUse, reader: &Reader) -> Option<String> {
    let at = |x: f64| in_use.at_distance(x).value().ok();
    let start = in_use.task.distance();
    let (first, step) = (at(start)?, 1e-3);
    if first <= 0.0 {
        return Some(String::new());
    }
    let lost = 1.0 - at(start + step)? / first;
    Some(if lost > 0.0 {
        format!("the next {} takes {}", Length(step).show(&reader.units), percent(lost))
    } else {
        "not falling yet: a ring's field peaks away from its face".into()
    })
}

/// Both curves of an item by itself: field against distance, and pull on thick mild steel against the gap.
pub fn for_item(in_use: &InUse, reader: &Reader) -> Vec<Chart> {
    let shape = &in_use.item.shape;
    let reach = shape.widest().max(shape.height());
    let spot = Task::Spot {
        distance: 0.0,
        off_axis: 0.0,
        tolerance: 0.0,
        axial_only: false,
    };
    let on_axis = match shape {
        Shape::Ring { .. } => "Field on the axis against the distance; inside the hole it turns about",
        _ => "Field on the axis against the distance",
    };
    let plate = Task::thick_steel([0.0; 3]);
    let curve = |task, quantity, end, title: &str| {
        let chart = curve(&in_use.for_task(task), quantity, end, reader)?;
        Some(Chart {
            title: title.into(),
            ..chart
        })
    };
    [
        curve(spot, Predicted::FluxDensity, 2.0 * reach, on_axis),
        curve(
            plate,
            Predicted::Force,
            0.6 * reach,
            "Pull on thick mild steel against the gap",
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}
