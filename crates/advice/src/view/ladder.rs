//! A ladder as it is shown: a sentence with blanks, a staircase of rungs, and what they teach.

mod sentence;

use quantity::{FluxDensity, Force, Length, Mass, Quantity};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::Predicted;
use crate::item::Item;
use crate::ladder::{Face, Ladder, LadderRequest, Measure, Rising, Rung, SolidAgainstStack};
use crate::sentence::Segment;
use crate::view::cautions::{self, Caution};
use crate::view::known;
use crate::view::text::{Figure, Reader, Run, Runs, count, multiple, percent, runs, shape_word, signed_percent};

/// A ladder in words and figures for one reader.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct LadderView {
    /// What was asked, quantities in SI.
    pub request: LadderRequest,
    /// What was asked, as a sentence with blanks.
    pub sentence: Vec<Segment>,
    /// What it teaches.
    pub lead: Vec<Run>,
    /// What is compared.
    pub y: LadderAxis,
    /// What a rung's width stands for.
    pub price: LadderAxis,
    /// The rungs.
    pub rungs: Vec<RungView>,
    /// The knee in words.
    pub knee: Option<Vec<Run>>,
    /// What no rung reaches.
    pub ceiling: CeilingView,
    /// Solid pieces against stacks of the same height.
    pub solid_against_stack: Vec<SolidAgainstStackView>,
}

/// A label with its unit.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct LadderAxis {
    /// What it is.
    pub label: String,
    /// Its unit.
    pub unit: String,
}

/// A rung as shown.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct RungView {
    /// `6 mm` or `3 pieces`.
    pub label: String,
    /// What it is made of.
    pub detail: String,
    /// The shop's code.
    pub code: Option<String>,
    /// Middle of the band.
    pub value: Figure,
    /// Low end.
    pub low: Figure,
    /// High end.
    pub high: Figure,
    /// Over the rung below.
    pub gain: Option<String>,
    /// Over the first rung.
    pub total_gain: String,
    /// Mass.
    pub mass: Figure,
    /// Mass over that of the first rung.
    pub mass_multiple: String,
    /// What its width stands for: a price in currency units, or a mass in the unit shown.
    pub price: Option<f64>,
    /// The price in words.
    pub price_text: String,
    /// Price over that of the first rung.
    pub cost_multiple: Option<String>,
    /// Gain in value for each per cent of money.
    pub gain_per_money: Option<String>,
    /// What is to be warnings of it in the conditions asked; empty for nothing.
    pub cautions: Vec<Caution>,
    /// `good`, `knee` or `poor`.
    pub tier: String,
}

/// The limit that physics sets.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct CeilingView {
    /// In the unit of the values.
    pub value: f64,
    /// In words.
    pub text: String,
}

/// A solid piece and a stack of the same height, as shown.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct SolidAgainstStackView {
    /// Their height.
    pub height: String,
    /// The solid piece's value.
    pub solid: Figure,
    /// Its code.
    pub solid_code: String,
    /// Its price.
    pub solid_price: Option<String>,
    /// The stack's value.
    pub stack: Figure,
    /// The stack in words.
    pub stack_text: String,
    /// Its price.
    pub stack_price: Option<String>,
    /// What the plating costs.
    pub loss: String,
}

/// Shows a ladder to a reader; `shelf` gives the choices of its blanks.
pub fn view(ladder: &Ladder, shelf: &[Item], reader: &Reader) -> LadderView {
    let request = &ladder.request;
    let figure = |si| reader.predicted(ladder.quantity, si);
    let priced = ladder.rungs.iter().all(|r| r.price.is_some());
    let y_unit = match ladder.quantity {
        Predicted::Force => reader.units.scale(Force::KIND, 1.0).label,
        Predicted::FluxDensity => reader.units.scale(FluxDensity::KIND, 1.0).label,
    };
    let ceiling = figure(ladder.ceiling);
    LadderView {
        sentence: sentence::sentence(request, shelf, reader),
        lead: lead(ladder, reader),
        y: LadderAxis {
            label: measured(request, reader),
            unit: y_unit.into(),
        },
        price: if priced {
            LadderAxis {
                label: format!("price each at {}", count(request.pieces.into())),
                unit: reader.currency.symbol().into(),
            }
        } else {
            LadderAxis {
                label: "mass each".into(),
                unit: reader.units.scale(Mass::KIND, 0.0).label.into(),
            }
        },
        rungs: (0..ladder.rungs.len())
            .map(|k| rung(ladder, k, priced, reader))
            .collect(),
        knee: knee(ladder, reader),
        ceiling: CeilingView {
            value: ceiling.value,
            text: format!(
                "no {} of {} {} more than {}, however long",
                face_words(&request.body, reader, false),
                request.grade,
                match request.measure {
                    Measure::Pull { .. } => "pulls",
                    Measure::Face { .. } => "reads",
                    Measure::Field { .. } => "gives",
                },
                ceiling.text
            ),
        },
        solid_against_stack: ladder
            .solid_against_stack
            .iter()
            .map(|s| solid(s, ladder.quantity, reader))
            .collect(),
        request: request.clone(),
    }
}

/// What a rung is made of, and by what it is reckoned.
fn detail(rung: &Rung) -> String {
    let mut text = match &rung.item {
        None => "made to size".into(),
        Some(item) if rung.pieces > 1 => format!("{} × {}", rung.pieces, item.code),
        Some(item) => item.code.clone(),
    };
    if let Some(lot) = &rung.known {
        text += &format!(", {}", known::short(lot));
    }
    text
}

fn rung(ladder: &Ladder, k: usize, priced: bool, reader: &Reader) -> RungView {
    let (first, r) = (&ladder.rungs[0], &ladder.rungs[k]);
    let [low, high] = reader.predicted_ends(ladder.quantity, r.band.low, r.band.high);
    let tier = match ladder.knee {
        Some(knee) if k > knee => "poor",
        Some(knee) if k == knee => "knee",
        _ => "good",
    };
    let cost = |r: &Rung| r.price.map(quantity::Money::to_f64);
    RungView {
        label: label(ladder, r, reader),
        detail: detail(r),
        code: r.item.as_ref().map(|i| i.code.clone()),
        value: reader.predicted(ladder.quantity, r.band.mid),
        low,
        high,
        gain: r.gain.map(signed_percent),
        total_gain: multiple(r.band.mid / first.band.mid),
        mass: reader.figure::<Mass>(r.mass),
        mass_multiple: multiple(r.mass / first.mass),
        price: if priced {
            cost(r)
        } else {
            Some(reader.units.scale(Mass::KIND, 0.0).apply(r.mass))
        },
        price_text: r.price.map_or_else(|| "no price".into(), |m| reader.money(m)),
        cost_multiple: cost(r).zip(cost(first)).map(|(a, b)| multiple(a / b)),
        gain_per_money: r.return_.map(|x| {
            if x.is_finite() {
                format!("{x:.2}")
            } else {
                "free".into()
            }
        }),
        cautions: cautions::for_conditions(&r.warnings, reader),
        tier: tier.into(),
    }
}

fn label(ladder: &Ladder, rung: &Rung, reader: &Reader) -> String {
    match ladder.request.by {
        Rising::Count if rung.pieces == 1 => "1 piece".into(),
        Rising::Count => format!("{} pieces", rung.pieces),
        _ => Length(rung.height).show(&reader.units).to_string(),
    }
}

/// Where the steps pay and where they no longer do, from the ladder's own numbers.
fn lead(ladder: &Ladder, reader: &Reader) -> Runs {
    let rungs = &ladder.rungs;
    let Some(last) = rungs.last().filter(|_| rungs.len() > 1) else {
        return runs("The shelf has a single size of this kind: no step to compare.");
    };
    let name = |r: &Rung| label(ladder, r, reader);
    let step = |a: &Rung, b: &Rung| {
        let gain = percent(b.band.mid / a.band.mid - 1.0);
        let money = match (a.price, b.price) {
            (Some(x), Some(y)) => format!("{} times the money", times(y.to_f64() / x.to_f64())),
            _ => format!("{} times the mass", times(b.mass / a.mass)),
        };
        format!("{} to {} brings **{gain}** more for {money}", name(a), name(b))
    };
    let paying = ladder.knee.unwrap_or(rungs.len() - 1);
    let every = rungs[..=paying]
        .iter()
        .all(|r| r.return_.is_none_or(|x| x >= ladder.request.worth));
    let pays = match (ladder.knee, every) {
        (Some(knee), true) => format!("Up to **{}** every step pays.", name(&rungs[knee])),
        (Some(knee), false) => format!("Past **{}** no step pays.", name(&rungs[knee])),
        (None, true) => "Every step pays.".to_string(),
        (None, false) => "The last step still pays.".to_string(),
    };
    // The first and the last doubling that the ladder holds.
    let doublings: Vec<(&Rung, &Rung)> = rungs
        .iter()
        .filter_map(|a| Some((a, rungs.iter().find(|b| (b.height / a.height - 2.0).abs() < 0.02)?)))
        .collect();
    match (doublings.first(), doublings.last()) {
        (Some((a, b)), Some((c, d))) if a.height < c.height => {
            runs(&format!("{pays} Doubling {}; doubling {}.", step(a, b), step(c, d)))
        }
        _ => runs(&format!("{pays} From {}.", step(&rungs[0], last))),
    }
}

fn times(ratio: f64) -> String {
    format!("{ratio:.1}")
}

fn knee(ladder: &Ladder, reader: &Reader) -> Option<Runs> {
    let knee = ladder.knee?;
    let (a, b) = (&ladder.rungs[knee], ladder.rungs.get(knee + 1)?);
    let gain = percent(b.band.mid / a.band.mid - 1.0);
    let what = match ladder.quantity {
        Predicted::Force => "pull",
        Predicted::FluxDensity => "field",
    };
    let cost = match (a.price, b.price) {
        (Some(x), Some(y)) => format!("{} more money", percent(y.to_f64() / x.to_f64() - 1.0)),
        _ => format!("{} more mass", percent(b.mass / a.mass - 1.0)),
    };
    Some(runs(&format!(
        "the knee: past **{}**, {gain} more {what} costs {cost}",
        label(ladder, a, reader)
    )))
}

fn solid(s: &SolidAgainstStack, quantity: Predicted, reader: &Reader) -> SolidAgainstStackView {
    let piece = Length(s.stacked.shape.height()).show(&reader.units);
    SolidAgainstStackView {
        height: Length(s.solid.shape.height()).show(&reader.units).to_string(),
        solid: reader.predicted(quantity, s.solid_value),
        solid_code: s.solid.code.clone(),
        solid_price: s.solid_price.map(|m| reader.money(m)),
        stack: reader.predicted(quantity, s.stack_value),
        stack_text: format!("{} × {piece} ({})", s.pieces, s.stacked.code),
        stack_price: s.stack_price.map(|m| reader.money(m)),
        loss: signed_percent(s.stack_value / s.solid_value - 1.0),
    }
}

fn measured(request: &LadderRequest, reader: &Reader) -> String {
    match request.measure {
        Measure::Face {
            probe_depth: Some(depth),
        } => format!("read by a probe {} deep", depth.show(&reader.units)),
        Measure::Face { probe_depth: None } => "field at the face".into(),
        Measure::Field { .. } => "field at a distance".into(),
        Measure::Pull { .. } => "pull on thick steel".into(),
    }
}

/// `12 mm discs`, `20 × 10 mm blocks`.
fn face_words(face: &Face, reader: &Reader, plural: bool) -> String {
    let number = |l: Length| l.show(&reader.units).number;
    let word = shape_word(&face.with_thickness(1e-3), plural);
    match *face {
        Face::Disc { diameter } => format!("{} {word}", diameter.show(&reader.units)),
        Face::Ring {
            outer_diameter,
            inner_diameter,
        } => {
            format!(
                "{} / {} {word}",
                number(outer_diameter),
                inner_diameter.show(&reader.units)
            )
        }
        Face::Block { length, width } => format!("{} × {} {word}", number(length), width.show(&reader.units)),
    }
}
