//! Curves with bands, in the reader's units.

use magnetics::Shape;
use quantity::{FluxDensity, Force, Kind, Length, Quantity};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{Along, Answer, Candidate, Curve, NEXT};
use crate::detail::Sheet;
use crate::question::{Need, Question};
use crate::view::text::{Reader, percent};

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
pub fn for_candidate(answer: &Answer, candidate: &Candidate, found: &Curve, reader: &Reader) -> Chart {
    let quantity = answer.need.quantity;
    let y = |si: f64| scale(found, reader).apply(si);
    let need = answer.need.of_mass(candidate.mass);
    Chart {
        need: Some(Level {
            y: y(need),
            text: format!("you need {}", reader.predicted(quantity, need).text),
        }),
        ceiling: answer.need.ceiling.map(|c| Level {
            y: y(c),
            text: format!("no more than {} here", reader.text::<FluxDensity>(c)),
        }),
        here: Some(place(
            answer.question.need.distance(),
            here_words(&answer.question, found.along),
            reader,
        )),
        ..curve(found, reader)
    }
}

/// A curve, with the distance on it that was asked for.
pub fn at(found: &Curve, asked: Option<f64>, reader: &Reader) -> Chart {
    Chart {
        here: asked.map(|asked| place(asked, asked_words(found.along), reader)),
        ..curve(found, reader)
    }
}

fn place(distance: f64, text: &str, reader: &Reader) -> Place {
    Place {
        x: length_scale(reader).apply(distance),
        text: text.into(),
    }
}

fn here_words(question: &Question, along: Along) -> &'static str {
    match &question.need {
        Need::Hold { layers, .. } if layers.is_empty() => "on bare steel",
        Need::SwitchSensor { .. } => "near",
        Need::FaceField { .. } => "where it is read",
        _ => asked_words(along),
    }
}

fn asked_words(along: Along) -> &'static str {
    match along {
        Along::Plate => "through your layers",
        Along::Pair => "at your gap",
        Along::Field => "at your distance",
    }
}

fn length_scale(reader: &Reader) -> quantity::Scale {
    reader.units.scale(Kind::Length, 0.0)
}

/// A chart takes its unit from the value at contact.
fn scale(found: &Curve, reader: &Reader) -> quantity::Scale {
    let kind = match found.along {
        Along::Plate | Along::Pair => Force::KIND,
        Along::Field => FluxDensity::KIND,
    };
    reader.units.scale(kind, found.contact)
}

/// A value from contact on.
pub fn curve(found: &Curve, reader: &Reader) -> Chart {
    let (x, y) = (length_scale(reader), scale(found, reader));
    let values = |si: &[f64]| si.iter().map(|&si| y.apply(si)).collect();
    let (title, x_label, y_label, verb) = match found.along {
        Along::Plate => ("What it holds against the gap", "gap to the steel", "pull", "holds"),
        Along::Pair => ("The force against the gap", "gap", "force", "force of"),
        Along::Field => (
            "Its field against the distance",
            "distance from the face",
            "field",
            "gives",
        ),
    };
    Chart {
        title: title.into(),
        x: XAxis {
            label: x_label.into(),
            unit: x.label.into(),
            values: found.at.iter().map(|&d| x.apply(d)).collect(),
        },
        y: YAxis {
            label: y_label.into(),
            unit: y.label.into(),
        },
        mid: values(&found.mid),
        low: values(&found.low),
        high: values(&found.high),
        need: None,
        ceiling: None,
        here: None,
        remark: remark(found, reader),
        read_out: format!("{verb} {{y}} at {{x}}; 95\u{a0}% of pieces between {{low}} and {{high}}"),
    }
}

/// How fast the curve falls where it begins.
fn remark(found: &Curve, reader: &Reader) -> String {
    match found.next_takes {
        None => String::new(),
        Some(lost) if lost > 0.0 => {
            format!("the next {} takes {}", Length(NEXT).show(&reader.units), percent(lost))
        }
        Some(_) => "not falling yet: a ring's field peaks away from its face".into(),
    }
}

/// Both curves of an item by itself: field against distance, and pull on thick mild steel against the gap.
pub fn for_item(sheet: &Sheet, reader: &Reader) -> Vec<Chart> {
    let on_axis = match sheet.item.shape {
        Shape::Ring { .. } => "Field on the axis against the distance; inside the hole it turns about",
        _ => "Field on the axis against the distance",
    };
    [
        (&sheet.field_curve, on_axis),
        (&sheet.pull_curve, "Pull on thick mild steel against the gap"),
    ]
    .into_iter()
    .filter_map(|(found, title)| {
        Some(Chart {
            title: title.into(),
            ..curve(found.as_ref()?, reader)
        })
    })
    .collect()
}
