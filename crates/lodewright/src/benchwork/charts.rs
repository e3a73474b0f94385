//! Charts of a session: readings against height and distance, what is left over, what goes together.

use advice::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve, PlotMark};
use advice::view::text::capital;
use bench::fit::{FACTOR, Finding};
use bench::next::{Next, rank};
use bench::{Fit, Parameter, Reading, Value};
use quantity::{Kind as QuantityKind, Length, Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

use super::expected::{Beforehand, by_lot, what};
use super::magnet::edge;
use super::opened::Opened;
use super::wire::shown;
use super::words::Words;
use crate::problem::{Kind, Problem};

/// Pieces up to which a stack is charted at least, and at most.
const PIECES: [u32; 2] = [6, 24];
/// Points of a curve.
const POINTS: usize = 15;
/// Quantile of the chi-squared distribution of two degrees of freedom at 95 %: minus twice the logarithm of 0.05.
const ELLIPSE: f64 = 5.991_464_547_107_98;

/// A curve with its band.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct BandCurve {
    /// What it is, short enough to stand on it.
    pub name: String,
    /// Middle.
    pub mid: Vec<f64>,
    /// Low end.
    pub low: Vec<f64>,
    /// High end.
    pub high: Vec<f64>,
}

/// A reading on a chart.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ChartDot {
    /// Along the axis.
    pub x: f64,
    /// The value.
    pub y: f64,
    /// Whether it counts in the fit.
    pub counts: bool,
    /// Of what and how much, in words.
    pub text: String,
}

/// Readings with what was expected before them and what they say together.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ReadingChart {
    /// What is shown.
    pub title: String,
    /// From left to right.
    pub x: PlotAxis,
    /// From bottom to top.
    pub y: PlotAxis,
    /// Places along the axis.
    pub xs: Vec<f64>,
    /// Before the first reading.
    pub before: BandCurve,
    /// By the readings.
    pub lot: Option<BandCurve>,
    /// The readings.
    pub dots: Vec<ChartDot>,
    /// What it teaches.
    pub remark: String,
}

/// What is left over of each reading when the fit is taken off, in per cent.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct LeftOver {
    /// What is shown.
    pub title: String,
    /// Within this lie 95 % of readings by placing and piece to piece alone.
    pub band: f64,
    /// The readings in the order in which they came: number, and what is left.
    pub dots: Vec<ChartDot>,
    /// What stands on the band.
    pub label: String,
}

/// Which readings a chart shows, and where.
struct Along<'a> {
    title: &'a str,
    x: PlotAxis,
    /// Readings that the curves are drawn through, and where.
    curve: Vec<(f64, Reading)>,
    /// Whether a reading belongs on it.
    belongs: &'a dyn Fn(&Reading) -> bool,
    /// Where a reading stands.
    place: &'a dyn Fn(&Reading) -> f64,
    remark: String,
}

fn flux_on_axis(reading: &Reading) -> bool {
    matches!(reading.value, Value::FluxDensity(_)) && reading.across.si() == 0.0
}

fn away(reading: &Reading) -> f64 {
    reading.spacer.si() + reading.along.si()
}

fn flux(pieces: u32, spacer: f64) -> Reading {
    Reading {
        spacer: Length(spacer),
        ..Reading::at_face(0, pieces, Value::FluxDensity(quantity::FluxDensity(1.0)))
    }
}

/// Readings at the face against the pieces in the stack; nothing where there are none.
pub fn against_stack(opened: &Opened, units: &Units) -> Result<Option<ReadingChart>, Problem> {
    let belongs = |r: &Reading| flux_on_axis(r) && away(r) == 0.0;
    let own = || opened.taken.iter().map(|t| &t.reading).filter(|r| belongs(r));
    let Some(most) = own().map(|r| r.pieces).max() else {
        return Ok(None);
    };
    let most = (most + 1).clamp(PIECES[0], PIECES[1]);
    let height = Length(opened.lot().shape.height()).show(units);
    chart(
        opened,
        &Along {
            title: "Reading against the stack",
            x: PlotAxis {
                label: format!("pieces in the stack, {height} each"),
                unit: String::new(),
            },
            curve: (1..=most).map(|n| (f64::from(n), flux(n, 0.0))).collect(),
            belongs: &|r| belongs(r) && r.pieces <= most,
            place: &|r| f64::from(r.pieces),
            remark: "Pale: before any reading. Full: this lot on this probe, 95 % of readings.".into(),
        },
        units,
    )
    .map(Some)
}

/// Readings against their distance from the face, of the stack that was read most so; nothing where all are at the face.
pub fn against_distance(opened: &Opened, units: &Units) -> Result<Option<ReadingChart>, Problem> {
    let own = || opened.taken.iter().map(|t| &t.reading).filter(|r| flux_on_axis(r));
    let mut counts: Vec<(u32, usize)> = Vec::new();
    for reading in own().filter(|r| away(r) > 0.0) {
        match counts.iter_mut().find(|(pieces, _)| *pieces == reading.pieces) {
            Some((_, count)) => *count += 1,
            None => counts.push((reading.pieces, 1)),
        }
    }
    let Some((pieces, _)) = counts.into_iter().max_by_key(|(_, count)| *count) else {
        return Ok(None);
    };
    let farthest = own().map(away).fold(0.0, f64::max);
    let scale = units.scale(QuantityKind::Length, farthest);
    let end = farthest * 1.15;
    let curve = (0..POINTS).map(|k| {
        // Closer together near the face, where the curve bends.
        let part = k as f64 / (POINTS - 1) as f64;
        let distance = end * part * part;
        (scale.apply(distance), flux(pieces, distance))
    });
    let name = what(&flux(pieces, 0.0), units);
    chart(
        opened,
        &Along {
            title: "Reading against the distance",
            x: PlotAxis {
                label: "distance from the face".into(),
                unit: scale.label.into(),
            },
            curve: curve.collect(),
            belongs: &|r| flux_on_axis(r) && r.pieces == pieces,
            place: &|r| scale.apply(away(r)),
            remark: format!("{}.", capital(&name)),
        },
        units,
    )
    .map(Some)
}

/// Readings across the face, of the stack and at the distance that was read most so; nothing where all are on the axis.
pub fn across_the_face(opened: &Opened, units: &Units) -> Result<Option<ReadingChart>, Problem> {
    let by_probe = |r: &&Reading| matches!(r.value, Value::FluxDensity(_));
    let own = || opened.taken.iter().map(|t| &t.reading).filter(by_probe);
    let place = |r: &Reading| (r.pieces, away(r));
    let aside: Vec<&Reading> = own().filter(|r| r.across.si() != 0.0).collect();
    let count = |of: &Reading| aside.iter().filter(|r| place(r) == place(of)).count();
    let Some(most) = aside.iter().max_by_key(|r| count(r)) else {
        return Ok(None);
    };
    let like = place(most);
    let farthest = own().filter(|r| place(r) == like).map(|r| r.across.si().abs());
    let edge = edge(opened.session.magnet.sizes).map_or(0.0, |edge| edge.si());
    let end = 1.15 * farthest.fold(edge, f64::max);
    let scale = units.scale(QuantityKind::Length, end);
    let last = 2 * POINTS - 2;
    let curve = (0..=last).map(|k| {
        let across = end * (2.0 * k as f64 / last as f64 - 1.0);
        let reading = Reading {
            across: Length(across),
            ..flux(like.0, like.1)
        };
        (scale.apply(across), reading)
    });
    let name = what(&flux(like.0, like.1), units);
    chart(
        opened,
        &Along {
            title: "Reading across the face",
            x: PlotAxis {
                label: "distance from the axis".into(),
                unit: scale.label.into(),
            },
            curve: curve.collect(),
            belongs: &|r| by_probe(&r) && place(r) == like,
            place: &|r| scale.apply(r.across.si()),
            remark: format!(
                "{}. The edge of the face lies at {}.",
                capital(&name),
                Length(edge).show(units)
            ),
        },
        units,
    )
    .map(Some)
}

fn chart(opened: &Opened, along: &Along<'_>, units: &Units) -> Result<ReadingChart, Problem> {
    let mut beforehand = Beforehand::default();
    let kind = Value::FluxDensity(quantity::FluxDensity(0.0));
    let mut largest: f64 = 0.0;
    let mut before = [Vec::new(), Vec::new(), Vec::new()];
    for (_, reading) in &along.curve {
        let band = beforehand.band(opened, reading)?;
        largest = largest.max(band.high);
        for (list, value) in before.iter_mut().zip([band.mid, band.low, band.high]) {
            list.push(value);
        }
    }
    let unit = |si: f64| shown(kind, si, largest, units);
    let in_unit = |values: &[f64]| values.iter().map(|&si| unit(si).value).collect::<Vec<f64>>();
    let curve = |name: &str, [mid, low, high]: &[Vec<f64>; 3]| BandCurve {
        name: name.into(),
        mid: in_unit(mid),
        low: in_unit(low),
        high: in_unit(high),
    };
    let readings: Vec<Reading> = along.curve.iter().map(|(_, r)| r.clone()).collect();
    let told: Option<Vec<_>> = by_lot(opened, &readings)?.into_iter().collect();
    let lot = told.map(|told| {
        let of = |value: &dyn Fn(&bench::Foretold) -> f64| told.iter().map(value).collect::<Vec<f64>>();
        let three = [
            of(&|t| t.value),
            of(&|t| t.interval()[0].max(0.0)),
            of(&|t| t.interval()[1]),
        ];
        curve("by the readings", &three)
    });
    let dots = opened.taken.iter().zip(&opened.numbers).filter_map(|(taken, number)| {
        let reading = &taken.reading;
        (along.belongs)(reading).then(|| ChartDot {
            x: (along.place)(reading),
            y: unit(reading.value.si()).value,
            counts: counts(opened, *number),
            text: format!("{}: {}", what(reading, units), unit(reading.value.si()).text),
        })
    });
    Ok(ReadingChart {
        title: along.title.into(),
        x: along.x.clone(),
        y: PlotAxis {
            label: "reading".into(),
            unit: unit(largest).unit,
        },
        xs: along.curve.iter().map(|(x, _)| *x).collect(),
        before: curve("before any reading", &before),
        lot,
        dots: dots.collect(),
        remark: along.remark.clone(),
    })
}

/// Whether a reading of that number in the fit counts in it.
fn counts(opened: &Opened, number: Option<usize>) -> bool {
    number
        .and_then(|k| opened.fit.as_ref()?.readings.get(k))
        .is_some_and(|r| r.weight > 0.0)
}

/// What is left over of each reading of the session.
pub fn left_over(opened: &Opened, fit: &Fit, units: &Units) -> LeftOver {
    let dots = opened.taken.iter().zip(&opened.numbers).enumerate();
    LeftOver {
        title: "What is left over".into(),
        band: 100.0 * FACTOR * fit.noise,
        dots: dots
            .filter_map(|(k, (taken, number))| {
                let fitted = fit.readings.get((*number)?)?;
                let left = 100.0 * (fitted.value / fitted.fitted - 1.0);
                Some(ChartDot {
                    x: k as f64 + 1.0,
                    y: left,
                    counts: fitted.weight > 0.0,
                    text: format!("reading {}, {}: {left:+.1} %", k + 1, what(&taken.reading, units)),
                })
            })
            .collect(),
        label: format!("placing and piece to piece, ±{:.1} %", 100.0 * FACTOR * fit.noise),
    }
}

/// A parameter on an axis: its name, its unit, and what turns a value into that unit.
fn axis(parameter: Parameter, words: &Words<'_>) -> (PlotAxis, f64, f64) {
    let label = words.name(parameter);
    let of = |unit: &str, factor, offset| {
        let axis = PlotAxis {
            label: label.clone(),
            unit: unit.into(),
        };
        (axis, factor, offset)
    };
    match parameter {
        Parameter::Scale(lot) => {
            let usual = words.lots.get(lot).map_or(1.0, |lot| lot.grade.br_typical);
            of("T", usual, 0.0)
        }
        Parameter::Thickness(lot) => {
            let scale = words.units.scale(QuantityKind::Length, 1e-3);
            let listed = words.lots.get(lot).map_or(0.0, |lot| lot.shape.height());
            of(scale.label, scale.factor, listed * scale.factor)
        }
        Parameter::Depth | Parameter::FaceLoss(_) | Parameter::Joint(_) => {
            let scale = words.units.scale(QuantityKind::Length, 1e-3);
            of(scale.label, scale.factor, 0.0)
        }
        Parameter::Gain | Parameter::FallOff | Parameter::Steel => of("", 1.0, 0.0),
    }
}

/// The two values that go together most, as the ellipse that holds them in 95 % of cases; depth and remanence where no two do.
pub fn together(opened: &Opened, fit: &Fit, words: &Words<'_>) -> Option<Plot> {
    let pair = fit.findings.iter().find_map(|finding| match finding {
        Finding::NotToldApart { first, second, .. } => Some((*first, *second)),
        _ => None,
    });
    let (first, second) = pair.unwrap_or((Parameter::Depth, Parameter::Scale(0)));
    let place = |wanted| fit.parameters.iter().position(|p| p.parameter == wanted);
    let (a, b) = (place(first)?, place(second)?);
    let of = |i: usize, j: usize| fit.covariance.get(i)?.get(j).copied();
    let (aa, ab, bb) = (of(a, a)?, of(a, b)?, of(b, b)?);
    let correlation = fit.correlation(first, second)?;
    let (x_axis, x_factor, x_offset) = axis(first, words);
    let (y_axis, y_factor, y_offset) = axis(second, words);
    let (x0, y0) = (fit.parameters[a].value, fit.parameters[b].value);
    // The factor of the covariance by Cholesky turns a circle into the ellipse.
    let l11 = aa.sqrt();
    let l21 = ab / l11;
    let l22 = (bb - l21 * l21).max(0.0).sqrt();
    let at = |x: f64, y: f64| [x * x_factor + x_offset, y * y_factor + y_offset];
    let ellipse: Vec<[f64; 2]> = (0..=72)
        .map(|k| {
            let (sin, cos) = (f64::from(k) * std::f64::consts::TAU / 72.0).sin_cos();
            let radius = ELLIPSE.sqrt();
            at(x0 + radius * l11 * cos, y0 + radius * (l21 * cos + l22 * sin))
        })
        .collect();
    if !ellipse.iter().flatten().all(|v| v.is_finite()) {
        return None;
    }
    let mut curves = vec![PlotCurve {
        name: "these readings".into(),
        role: CurveRole::Main,
        points: ellipse.clone(),
    }];
    if let Parameter::Scale(lot) = second
        && let Some(lot) = opened.lots.get(lot)
    {
        let ends = [f64::min, f64::max].map(|pick| ellipse.iter().map(|p| p[0]).reduce(pick).unwrap_or(0.0));
        for (br, name) in [
            (lot.grade.br_min, format!("{} at least", lot.grade.name)),
            (lot.grade.br_max, format!("{} at most", lot.grade.name)),
        ] {
            curves.push(PlotCurve {
                name,
                role: CurveRole::Limit,
                points: ends.iter().map(|&x| [x, br]).collect(),
            });
        }
    }
    Some(Plot {
        title: "What goes together".into(),
        x: x_axis,
        y: y_axis,
        curves,
        marks: vec![PlotMark {
            at: at(x0, y0),
            text: "likeliest".into(),
        }],
        stretches: Vec::new(),
        remark: format!(
            "Each point of the ellipse explains the readings nearly as well (correlation {correlation:.2}). The longer and thinner it is, the less the two are told apart."
        ),
    })
}

/// How sure the wanted value would be after one more reading of the proposed stack, against the spacer under the probe.
///
/// # Errors
/// A reading that cannot be.
pub fn next_curve(opened: &Opened, fit: &Fit, next: &[Next], words: &Words<'_>) -> Result<Option<Plot>, Problem> {
    let (Some(best), Some(now)) = (next.first(), fit.get(opened.wanted)) else {
        return Ok(None);
    };
    if !matches!(best.reading.value, Value::FluxDensity(_)) || !now.standard.is_finite() {
        return Ok(None);
    }
    let shape = opened.lot().shape;
    let end = (2.5 * shape.widest().max(shape.height())).max(1.3 * away(&best.reading));
    let spacers: Vec<f64> = (0..POINTS)
        .map(|k| end * (k as f64 / (POINTS - 1) as f64).powi(2))
        .collect();
    let mut curve = Vec::new();
    for &spacer in &spacers {
        let one = [flux(best.reading.pieces, spacer)];
        let ranked = rank(
            &opened.probe,
            &opened.lots,
            &opened.readings,
            &opened.options,
            fit,
            opened.wanted,
            &one,
        )
        .map_err(|e| Problem::new(Kind::Asked, "the readings cannot be fitted", e.to_string()))?;
        if let Some(next) = ranked.first() {
            curve.push((spacer, next.standard));
        }
    }
    let scale = words.units.scale(QuantityKind::Length, end);
    let (y, factor, _) = axis(opened.wanted, words);
    let sure = |standard: f64| FACTOR * standard * factor;
    let points = curve.iter().map(|&(x, s)| [scale.apply(x), sure(s)]).collect();
    Ok(Some(Plot {
        title: "What one more reading would do".into(),
        x: PlotAxis {
            label: format!("spacer, {}", what(&flux(best.reading.pieces, 0.0), words.units)),
            unit: scale.label.into(),
        },
        y: PlotAxis {
            label: format!("± of {}", y.label),
            unit: y.unit,
        },
        curves: vec![
            PlotCurve {
                name: "after it".into(),
                role: CurveRole::Main,
                points,
            },
            PlotCurve {
                name: "now".into(),
                role: CurveRole::Limit,
                points: [0.0, end]
                    .iter()
                    .map(|&x| [scale.apply(x), sure(now.standard)])
                    .collect(),
            },
        ],
        marks: vec![PlotMark {
            at: [scale.apply(away(&best.reading)), sure(best.standard)],
            text: "proposed".into(),
        }],
        stretches: Vec::new(),
        remark: String::new(),
    }))
}
