//! A ladder as it is shown: a sentence with blanks, a staircase of rungs, and what they teach.

use quantity::{FluxDensity, Force, Length, Mass, Quantity};
use serde::Serialize;
use serde_json::{Value, json};
use utoipa::ToSchema;

use crate::answer::Predicted;
use crate::item::Item;
use crate::ladder::{Face, Ladder, LadderRequest, Measure, Rising, Rung, SolidAgainstStack};
use crate::sentence::{Blank, BlankKind, Choice, Segment};
use crate::view::text::{Figure, Reader, Runs, count, multiple, percent, runs, shape_word, signed_percent};

/// A ladder in words and figures for one reader.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct LadderView {
    /// What was asked, quantities in SI.
    #[schema(value_type = Object)]
    pub request: LadderRequest,
    /// What was asked, as a sentence with blanks.
    #[schema(value_type = Vec<Object>)]
    pub sentence: Vec<Segment>,
    /// What it teaches.
    pub lead: Runs,
    /// What is compared.
    pub y: LadderAxis,
    /// What a rung's width stands for.
    pub price: LadderAxis,
    /// The rungs.
    pub rungs: Vec<RungView>,
    /// The knee in words.
    pub knee: Option<Runs>,
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
    /// The band in words.
    pub range: String,
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
        sentence: sentence(request, shelf, reader),
        lead: lead(ladder, reader),
        y: LadderAxis { label: measured(request).into(), unit: y_unit.into() },
        price: if priced {
            LadderAxis { label: format!("price each at {}", count(request.pieces.into())), unit: reader.currency.symbol().into() }
        } else {
            LadderAxis { label: "mass each".into(), unit: reader.units.scale(Mass::KIND, 0.0).label.into() }
        },
        rungs: (0..ladder.rungs.len()).map(|k| rung(ladder, k, priced, reader)).collect(),
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
        solid_against_stack: ladder.solid_against_stack.iter().map(|s| solid(s, ladder.quantity, reader)).collect(),
        request: request.clone(),
    }
}

fn rung(ladder: &Ladder, k: usize, priced: bool, reader: &Reader) -> RungView {
    let (first, r) = (&ladder.rungs[0], &ladder.rungs[k]);
    let figure = |si| reader.predicted(ladder.quantity, si);
    let tier = match ladder.knee {
        Some(knee) if k > knee => "poor",
        Some(knee) if k == knee => "knee",
        _ => "good",
    };
    let cost = |r: &Rung| r.price.map(quantity::Money::to_f64);
    RungView {
        label: label(ladder, r, reader),
        detail: r.item.as_ref().map_or_else(|| "made to size".into(), |i| {
            if r.pieces > 1 { format!("{} × {}", r.pieces, i.code) } else { i.code.clone() }
        }),
        code: r.item.as_ref().map(|i| i.code.clone()),
        value: figure(r.band.mid),
        low: figure(r.band.low),
        high: figure(r.band.high),
        range: reader.range(ladder.quantity, r.band.low, r.band.high),
        gain: r.gain.map(signed_percent),
        total_gain: multiple(r.band.mid / first.band.mid),
        mass: reader.figure::<Mass>(r.mass),
        mass_multiple: multiple(r.mass / first.mass),
        price: if priced { cost(r) } else { Some(reader.units.scale(Mass::KIND, 0.0).apply(r.mass)) },
        price_text: r.price.map_or_else(|| "no price".into(), |m| reader.money(m)),
        cost_multiple: cost(r).zip(cost(first)).map(|(a, b)| multiple(a / b)),
        gain_per_money: r.return_.map(|x| if x.is_finite() { format!("{x:.2}") } else { "free".into() }),
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
    let pays = match ladder.knee {
        Some(knee) => format!("Up to **{}** every step pays.", name(&rungs[knee])),
        None => "Every step pays.".to_string(),
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
    Some(runs(&format!("the knee: past **{}**, {gain} more {what} costs {cost}", label(ladder, a, reader))))
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

fn measured(request: &LadderRequest) -> &'static str {
    match request.measure {
        Measure::Face { .. } => "field at the face",
        Measure::Field { .. } => "field at a distance",
        Measure::Pull { .. } => "pull on thick steel",
    }
}

/// `12 mm discs`, `20 × 10 mm blocks`.
fn face_words(face: &Face, reader: &Reader, plural: bool) -> String {
    let number = |l: Length| l.show(&reader.units).number;
    let word = shape_word(&face.with_thickness(1e-3), plural);
    match *face {
        Face::Disc { diameter } => format!("{} {word}", diameter.show(&reader.units)),
        Face::Ring { outer_diameter, inner_diameter } => {
            format!("{} / {} {word}", number(outer_diameter), inner_diameter.show(&reader.units))
        }
        Face::Block { length, width } => format!("{} × {} {word}", number(length), width.show(&reader.units)),
    }
}

/// The request as a sentence; every blank's path points into the request.
fn sentence(request: &LadderRequest, shelf: &[Item], reader: &Reader) -> Vec<Segment> {
    let mut out = vec![
        Segment::Text { text: "What does the next step buy for ".into() },
        choice("/body", face_words(&request.body, reader, true), "size", &request.body, faces(shelf, reader)),
        Segment::Text { text: " of ".into() },
        choice("/grade", request.grade.clone(), "grade", &request.grade, grades(request, shelf)),
        Segment::Text { text: ", measured ".into() },
    ];
    let measures = [
        (Measure::Face { probe_depth: None }, "at the true face"),
        (Measure::Face { probe_depth: Some(Length::from_mm(0.5)) }, "at the face with a probe"),
        (Measure::Field { distance: Length::from_mm(10.0) }, "on the axis"),
        (Measure::Pull { gap: Length::from_mm(0.0) }, "as pull on thick steel"),
    ];
    let (text, number) = match request.measure {
        Measure::Face { probe_depth: None } => (measures[0].1, None),
        Measure::Face { probe_depth: Some(d) } => (measures[1].1, Some(("/measure/probe_depth", " ", d, " deep", "depth of the probe's active element"))),
        Measure::Field { distance } => (measures[2].1, Some(("/measure/distance", " at ", distance, "", "distance from the face"))),
        Measure::Pull { gap } => (measures[3].1, Some(("/measure/gap", " through ", gap, "", "what lies between"))),
    };
    let options = measures.iter().map(|(m, text)| (json!(m), (*text).to_string())).collect();
    out.push(choice("/measure", text.into(), "what is compared", &request.measure, options));
    if let Some((path, before, length, after, help)) = number {
        out.push(Segment::Text { text: before.into() });
        let shown = length.show(&reader.units).to_string();
        out.push(blank(path, shown.clone(), help, BlankKind::Length, json!(shown), None, "0.5 mm"));
        if !after.is_empty() {
            out.push(Segment::Text { text: after.into() });
        }
    }
    out.push(Segment::Text { text: ", by ".into() });
    let by = [(Rising::Thickness, "thickness"), (Rising::Count, "pieces stacked"), (Rising::Free, "any thickness")];
    let present = by.iter().find(|(b, _)| *b == request.by).map_or("thickness", |(_, t)| t);
    out.push(choice("/by", present.into(), "what rises", &request.by, by.iter().map(|(b, t)| (json!(b), (*t).to_string())).collect()));
    if request.by == Rising::Count {
        let mut items: Vec<&Item> = shelf.iter().filter(|i| i.grade == request.grade && request.body.is_face_of(&i.shape)).collect();
        items.sort_by(|a, b| a.shape.height().total_cmp(&b.shape.height()));
        let name = |i: &Item| format!("{} ({})", reader.sizes(i), i.code);
        let chosen = items.iter().find(|i| request.item.as_deref().is_none_or(|code| code == i.code));
        let text = chosen.map_or_else(|| "an item".to_string(), |i| name(i));
        out.push(Segment::Text { text: " of ".into() });
        let options = items.iter().map(|i| (json!(i.code), name(i))).collect();
        out.push(choice("/item", text, "item to stack", &chosen.map(|i| i.code.clone()), options));
    }
    out.push(Segment::Text { text: ", for ".into() });
    out.push(blank("/pieces", count(request.pieces.into()), "pieces bought", BlankKind::Count, json!(request.pieces), None, "200"));
    out.push(Segment::Text { text: " pieces? A step pays if 10\u{a0}% more money buys ".into() });
    let worth: Vec<(Value, String)> = [0.1, 0.2, 0.3, 0.5, 0.8].iter().map(|w| (json!(w), percent(w * 0.1))).collect();
    out.push(choice("/worth", percent(request.worth * 0.1), "least return", &request.worth, worth));
    out.push(Segment::Text { text: " more.".into() });
    out
}

fn blank(path: &str, text: String, label: &str, kind: BlankKind, value: Value, options: Option<Vec<Choice>>, example: &str) -> Segment {
    Segment::Blank {
        blank: Blank {
            path: path.into(),
            text,
            label: label.into(),
            kind,
            options,
            value,
            optional: false,
            assumed: false,
            help: label.into(),
            example: example.into(),
        },
    }
}

fn choice<T: Serialize>(path: &str, text: String, label: &str, value: &T, options: Vec<(Value, String)>) -> Segment {
    let options: Vec<Choice> = options.into_iter().map(|(value, text)| Choice { value, text }).collect();
    let example = options.first().map_or_else(String::new, |o| o.text.clone());
    blank(path, text, label, BlankKind::Choice, json!(value), Some(options), &example)
}

/// The faces of which the shelf has at least two thicknesses in one grade, discs first, by size.
fn faces(shelf: &[Item], reader: &Reader) -> Vec<(Value, String)> {
    let mut seen: Vec<(Face, Vec<(&str, f64)>)> = Vec::new();
    for item in shelf {
        let Some(face) = Face::of(&item.shape) else { continue };
        let member = (item.grade.as_str(), item.shape.height());
        match seen.iter_mut().find(|(f, _)| f.is_face_of(&item.shape)) {
            Some((_, members)) => members.push(member),
            None => seen.push((face, vec![member])),
        }
    }
    seen.retain(|(_, members)| members.iter().any(|(g, h)| members.iter().any(|(g2, h2)| g == g2 && (h - h2).abs() > 1e-5)));
    let kind = |f: &Face| match f {
        Face::Disc { .. } => 0,
        Face::Ring { .. } => 1,
        Face::Block { .. } => 2,
    };
    seen.sort_by(|(a, _), (b, _)| {
        kind(a).cmp(&kind(b)).then(a.with_thickness(1.0).widest().total_cmp(&b.with_thickness(1.0).widest()))
    });
    seen.iter().map(|(f, _)| (json!(f), face_words(f, reader, true))).collect()
}

/// The grades in which the shelf has this face.
fn grades(request: &LadderRequest, shelf: &[Item]) -> Vec<(Value, String)> {
    let mut names: Vec<&str> =
        shelf.iter().filter(|i| request.body.is_face_of(&i.shape)).map(|i| i.grade.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    names.into_iter().map(|n| (json!(n), n.to_string())).collect()
}

