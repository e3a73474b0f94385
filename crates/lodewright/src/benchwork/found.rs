//! What the readings of a session say: in words, in figures, in charts, and what to read next.

use advice::view::plot::Plot;
use advice::view::text::{Run, capital, runs};
use bench::fit::{FACTOR, Finding, Fitted};
use bench::next::{AtHand, Next, rank};
use bench::{Fit, Parameter};
use quantity::{Length, Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

use super::charts::{
    LeftOver, ReadingChart, across_the_face, against_distance, against_stack, left_over, next_curve, together,
};
use super::opened::{Opened, keepable};
use super::wire::PlaceView;
use super::words::{ParameterLine, Words};
use crate::problem::{Kind, Problem};

/// Readings that are proposed.
const PROPOSED: usize = 3;
/// Part of its variance that a reading must take from what is wanted to be worth proposing.
const WORTH: f64 = 0.05;
/// Part of a value's uncertainty beforehand below which it counts as settled by the readings.
const SETTLED: f64 = 0.5;

/// What the readings of a session say.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct FoundView {
    /// What was found, in a sentence or two.
    pub lead: Vec<Run>,
    /// What is to be said of it, a line each.
    pub findings: Vec<FindingLine>,
    /// Every parameter.
    pub parameters: Vec<FoundParameter>,
    /// What to read next, the best first; empty where no reading at hand would tell much more.
    pub next: Vec<NextLine>,
    /// Spread of repeats and of placing, in words.
    pub noise: String,
    /// Readings against the height of the stack.
    pub stack: Option<ReadingChart>,
    /// Readings against their distance from the face.
    pub distance: Option<ReadingChart>,
    /// Readings across the face.
    pub across: Option<ReadingChart>,
    /// What is left over of each reading.
    pub left_over: LeftOver,
    /// The two values that go together most.
    pub together: Option<Plot>,
    /// How sure the wanted value would be after one more reading, against the spacer.
    pub next_curve: Option<Plot>,
    /// All of the fit as numbers, in SI.
    #[schema(value_type = Object)]
    pub fit: Fit,
}

/// Something that is to be said, with its kind in two or three words.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct FindingLine {
    /// Its kind.
    pub label: String,
    /// In a sentence.
    pub text: String,
}

/// A parameter as it was found, and whether it can be kept.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct FoundParameter {
    /// In words and figures.
    #[serde(flatten)]
    pub line: ParameterLine,
    /// Its name, by which it is kept; absent where it cannot be.
    pub keep: Option<String>,
    /// Whether the readings settle it; what is not settled is better kept after further readings.
    pub settled: bool,
    /// What keeping it would say.
    pub kept_as: String,
}

/// A reading that is proposed.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct NextLine {
    /// In a sentence.
    pub text: String,
    /// In a few words.
    pub what: String,
    /// Where.
    pub place: PlaceView,
}

/// What the readings of a session say; `None` without readings.
///
/// # Errors
/// A magnet of which no reading can be expected.
pub fn found_view(opened: &Opened, units: &Units) -> Result<Option<FoundView>, Problem> {
    let Some(fit) = &opened.fit else {
        return Ok(None);
    };
    let words = opened.words(units);
    let next = next(opened, fit)?;
    let told = words.next(opened.wanted, fit, &next);
    let proposed = next
        .iter()
        .zip(told)
        .map(|(next, text)| NextLine {
            text,
            what: super::expected::what(&next.reading, units),
            place: PlaceView::of(&next.reading, units),
        })
        .collect();
    Ok(Some(FoundView {
        lead: lead(opened, fit, &words),
        findings: findings(opened, fit, &words),
        parameters: fit.parameters.iter().map(|p| parameter(p, &words)).collect(),
        next: proposed,
        noise: format!(
            "Placing, tilt and piece to piece spread a reading by ±{:.1} % (95 %).",
            100.0 * FACTOR * fit.noise
        ),
        stack: against_stack(opened, units)?,
        distance: against_distance(opened, units)?,
        across: across_the_face(opened, units)?,
        left_over: left_over(opened, fit, units),
        together: together(opened, fit, &words),
        next_curve: next_curve(opened, fit, &next, &words)?,
        fit: fit.clone(),
    }))
}

/// What to read next.
fn next(opened: &Opened, fit: &Fit) -> Result<Vec<Next>, Problem> {
    let height = opened.lot().shape.height();
    let widest = opened.lot().shape.widest();
    // Spacers of usual thickness, and some that reach as far as the magnet is wide.
    let mut spacers: Vec<Length> = AtHand::default().spacers;
    spacers.extend([0.5, 1.0, 1.5, 2.0].map(|part| Length((part * widest.max(height) * 1e3).round() * 1e-3)));
    spacers.retain(|s| s.si() > 0.0);
    let at_hand = AtHand {
        spacers,
        ..AtHand::default()
    };
    let mut ranked = rank(
        &opened.probe,
        &opened.lots,
        &opened.readings,
        &opened.options,
        fit,
        opened.wanted,
        &at_hand.feasible(1),
    )
    .map_err(|e| Problem::new(Kind::Asked, "the readings cannot be fitted", e.to_string()))?;
    ranked.retain(|next| next.gain > WORTH);
    ranked.truncate(PROPOSED);
    Ok(ranked)
}

fn plus_minus(fitted: &Fitted, words: &Words<'_>) -> Option<String> {
    let (value, half) = (words.spoken(fitted.parameter, fitted.value), FACTOR * fitted.standard);
    let half = match fitted.parameter {
        Parameter::Scale(lot) => {
            let usual = words.lots.get(lot)?.grade.br_typical;
            quantity::FluxDensity(half * usual).show_to(2, words.units).to_string()
        }
        _ => Length(half).show_to(2, words.units).to_string(),
    };
    fitted.standard.is_finite().then(|| format!("{value} ± {half}"))
}

fn lead(opened: &Opened, fit: &Fit, words: &Words<'_>) -> Vec<Run> {
    let count = fit.readings.iter().filter(|r| r.weight > 0.0).count();
    let of = match count {
        1 => "From this one reading".to_owned(),
        n => format!("From these {n} readings"),
    };
    let said = |parameter| fit.get(parameter).and_then(|f| plus_minus(f, words));
    let lot = said(Parameter::Scale(0)).map_or_else(
        || format!("{of} nothing is told of the lot."),
        |text| {
            let thin = opened.lot().wants_thickness();
            let mind = if thin { " if its thickness is as listed" } else { "" };
            format!("{of} the lot has an effective remanence of **{text}**{mind}.")
        },
    );
    let depth = said(Parameter::Depth).map_or_else(String::new, |text| {
        let entered = &opened.entered.probe.name;
        format!(" The element of {entered} sits **{text}** below its tip.")
    });
    let settled = if opened.tells() {
        ""
    } else {
        " Three readings and more say what this lot reads; until then its grade does."
    };
    runs(&format!("{lot}{depth}{settled} ± is for 95 %."))
}

/// Its kind in a few words.
fn label(finding: &Finding) -> &'static str {
    match finding {
        Finding::OddReading { .. } => "left out",
        Finding::Scatter { .. } => "wide scatter",
        Finding::OutsideGrade { .. } => "not its grade",
        Finding::OutsideRange { .. } => "cannot be",
        Finding::MeasureThickness { .. } => "measure",
        Finding::NotToldApart { .. } => "not told apart",
        Finding::NotTold { .. } => "not told",
    }
}

fn findings(opened: &Opened, fit: &Fit, words: &Words<'_>) -> Vec<FindingLine> {
    let pair = |f: &&Finding| matches!(f, Finding::NotToldApart { .. });
    let rest = fit.findings.iter().filter(|f| !pair(f));
    let pairs = fit.findings.iter().filter(pair).take(2);
    let mut lines: Vec<FindingLine> = rest
        .chain(pairs)
        .map(|finding| FindingLine {
            label: label(finding).into(),
            text: capital(&words.finding(finding, &opened.readings)),
        })
        .collect();
    if opened.tells()
        && let Ok(Some(told)) = super::expected::by_lot(opened, std::slice::from_ref(&face())).map(|t| t[0])
    {
        let value = bench::Value::FluxDensity(quantity::FluxDensity(0.0));
        let half = words.value(value, FACTOR * told.mean_standard);
        lines.push(FindingLine {
            label: "sure all the same".into(),
            text: format!(
                "What this probe reads on this lot: one piece at its face {} ± {half} on the average.",
                words.value(value, told.value)
            ),
        });
    }
    lines
}

/// One piece at the middle of its face.
fn face() -> bench::Reading {
    bench::Reading::at_face(0, 1, bench::Value::FluxDensity(quantity::FluxDensity(1.0)))
}

fn parameter(fitted: &Fitted, words: &Words<'_>) -> FoundParameter {
    let keep = keepable(fitted.parameter);
    let settled = fitted.standard.is_finite()
        && match fitted.prior {
            Some([_, before]) => fitted.standard < SETTLED * before,
            // Of what was free, the usual spread of lots is the measure.
            None => match fitted.parameter {
                Parameter::Scale(_) => fitted.standard < SETTLED * bench::lot::LOT_SPREAD,
                _ => fitted.standard < SETTLED * bench::probe::USUAL_DEPTH[1],
            },
        };
    FoundParameter {
        line: words.parameter(fitted),
        keep: keep.filter(|_| fitted.standard.is_finite()).map(|k| k.name().into()),
        settled,
        kept_as: plus_minus_plain(fitted, words),
    }
}

/// Value and interval of any parameter.
fn plus_minus_plain(fitted: &Fitted, words: &Words<'_>) -> String {
    match fitted.parameter {
        Parameter::Gain | Parameter::FallOff | Parameter::Steel => {
            format!(
                "{}, {}",
                words.spoken(fitted.parameter, fitted.value),
                words.interval(fitted.parameter, fitted.interval())
            )
        }
        _ => plus_minus(fitted, words).unwrap_or_default(),
    }
}
