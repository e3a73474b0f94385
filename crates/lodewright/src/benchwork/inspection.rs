//! Receiving inspection: the sampling plan, the pieces read so far, the verdict, the spread, and the lots before.

use advice::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve, PlotMark};
use advice::view::text::{Fact, Run, percent, runs};
use bench::lots::{Capability, Limits, Spread, capability, conformity, spread};
use bench::sampling::{self, Plan, SamplingError, Verdict};
use quantity::{FluxDensity, Quantity, Units};
use serde::{Deserialize, Serialize};
use shop::bench::Inspected;
use utoipa::ToSchema;

use super::absent::parsed;
use super::lots_before::face_values;
use super::opened::{FitWish, Opened, title};
use super::strictness::Strictness;
use super::switching::Proposal;
use super::wire::{ValueView, shown};
use crate::desk::{Desk, seconds_now, time_text};
use crate::problem::{Kind, Problem};

/// Points of an operating curve.
const POINTS: usize = 60;
/// Chance of acceptance of the second point that is named on it.
const CONSUMER: f64 = 0.1;
/// Chance that a piece conforms below which it counts as bad, and above which as good; between, it is read again.
const SURE: [f64; 2] = [0.025, 0.5];

/// For which lot a plan is wanted.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanBody {
    /// Pieces in the lot.
    pub lot_size: u32,
    /// Inspection level: `S-1` to `S-4`, `I`, `II` or `III`.
    #[serde(default = "usual_level")]
    pub level: String,
    /// Acceptance quality limit, per cent nonconforming.
    #[serde(default = "usual_aql")]
    pub aql: f64,
    /// How strictly; where it is absent, as the lots before propose, and normal where there are none.
    #[serde(default)]
    pub severity: Option<Strictness>,
}

fn usual_level() -> String {
    "II".into()
}

fn usual_aql() -> f64 {
    1.0
}

/// What is agreed of a lot, and for which lot a plan is wanted.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct InspectionBody {
    /// The plan.
    pub plan: PlanBody,
    /// Least reading of one piece at its face that conforms, such as `280 mT`; absent or empty for none.
    #[serde(default)]
    pub least: Option<String>,
    /// Largest reading that conforms; absent or empty for none.
    #[serde(default)]
    pub most: Option<String>,
}

/// A sampling plan.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PlanView {
    /// In a sentence.
    pub lead: Vec<Run>,
    /// How strictly: `normal`, `tightened` or `reduced`.
    #[schema(value_type = String)]
    pub severity: Strictness,
    /// Code letter.
    pub letter: String,
    /// Pieces to inspect.
    pub sample: u32,
    /// Largest count of bad pieces that accepts the lot.
    pub accept: u32,
    /// Smallest count that rejects it.
    pub reject: u32,
    /// The operating curve.
    pub curve: Plot,
    /// When to inspect more or less strictly.
    pub switching: String,
    /// Where the plan comes from.
    pub source: String,
}

/// A piece that was read.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PieceView {
    /// The reading.
    pub value: ValueView,
    /// `good`, `bad` or `again`.
    pub state: String,
}

/// A lot while it is inspected.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct InspectionView {
    /// The plan.
    pub plan: PlanView,
    /// Pieces read so far, in the order in which they came.
    pub pieces: Vec<PieceView>,
    /// Pieces still to be read.
    pub left: u32,
    /// Bad pieces.
    pub bad: u32,
    /// Pieces that lie within the meter's uncertainty of a limit, to be read again.
    pub again: u32,
    /// `reading`, `accept` or `reject`.
    pub verdict: String,
    /// The verdict in a sentence.
    pub says: Vec<Run>,
    /// Spread and capability.
    pub facts: Vec<Fact>,
    /// Least reading that conforms, in the unit of the pieces.
    pub least: Option<f64>,
    /// Largest reading that conforms.
    pub most: Option<f64>,
    /// What counts as bad.
    pub rule: String,
    /// How strictly the lots before propose to inspect this one, and why.
    pub proposal: Proposal,
    /// The means of this and the lots of the same magnet before.
    pub lots: Option<Plot>,
    /// What the certificate states.
    pub certificate: Vec<Fact>,
}

fn wrong(error: &SamplingError) -> Problem {
    let problem = Problem::new(Kind::Asked, "no such plan", error.to_string());
    match error {
        SamplingError::LotSize(_) => problem.field("/lot_size").hint("how many pieces were delivered"),
        SamplingError::Level(_) => problem.field("/level"),
        SamplingError::Aql(_) => problem.field("/aql"),
        SamplingError::Tables(_) => problem,
    }
}

/// The plan for a lot.
///
/// # Errors
/// A lot, level or quality limit that the tables do not have.
pub fn plan_view(body: &PlanBody) -> Result<PlanView, Problem> {
    let plan = plan(body)?;
    let source = sampling::sources().map_err(|e| wrong(&e))?;
    let severity = body.severity.unwrap_or_default();
    let table = match severity {
        Strictness::Normal => &source.normal,
        Strictness::Tightened => &source.tightened,
        Strictness::Reduced => &source.reduced,
    };
    let strictness = severity.name();
    let pieces = |n: u32| match n {
        0 => "no bad piece".to_owned(),
        1 => "one bad piece or none".to_owned(),
        n => format!("{n} bad pieces or fewer"),
    };
    let read = if plan.every_piece {
        format!("read **every one** of {}", body.lot_size)
    } else {
        format!("read **{}** of {}", plan.sample, body.lot_size)
    };
    Ok(PlanView {
        lead: runs(&format!(
            "To {} %, {strictness} inspection, level {}: {read}. Accept with **{}**, send back with **{}**.",
            body.aql,
            body.level,
            pieces(plan.accept),
            plan.reject
        )),
        severity,
        letter: plan.letter.to_string(),
        sample: plan.sample,
        accept: plan.accept,
        reject: plan.reject,
        curve: operating_curve(&plan, body.aql),
        switching: "Two of five consecutive lots sent back: tightened inspection. Five in a row accepted: normal again. Five sent back under tightened inspection: stop until the supplier has mended the cause.".into(),
        source: format!("Plan: {table}. Letters: {}. Switching: {}.", source.letters, source.switching),
    })
}

fn plan(body: &PlanBody) -> Result<Plan, Problem> {
    sampling::plan(
        body.lot_size,
        &body.level,
        body.aql,
        body.severity.unwrap_or_default().into(),
    )
    .map_err(|e| wrong(&e))
}

fn operating_curve(plan: &Plan, aql: f64) -> Plot {
    let consumer = plan.quality_accepted_with(CONSUMER);
    let end = (2.0 * consumer).clamp(0.02, 1.0);
    let points = (0..=POINTS).map(|k| {
        let part = end * k as f64 / POINTS as f64;
        [100.0 * part, 100.0 * plan.acceptance(part)]
    });
    let at = |part: f64| [100.0 * part, 100.0 * plan.acceptance(part)];
    let here = at(aql / 100.0);
    Plot {
        title: "What the plan lets through".into(),
        x: PlotAxis {
            label: "bad pieces in the lot".into(),
            unit: "%".into(),
        },
        y: PlotAxis {
            label: "lots accepted".into(),
            unit: "%".into(),
        },
        curves: vec![PlotCurve {
            name: "accepted".into(),
            role: CurveRole::Main,
            points: points.collect(),
        }],
        marks: vec![
            PlotMark {
                at: here,
                text: format!("{aql} % bad: {:.0} of 100 lots pass", here[1]),
            },
            PlotMark {
                at: at(consumer),
                text: format!("{} bad: 10 of 100", percent(consumer)),
            },
        ],
        stretches: Vec::new(),
        remark: format!(
            "It protects the supplier at {aql} % and you from about {}. By the binomial distribution: the sample is small beside the lot.",
            percent(consumer)
        ),
    }
}

impl Desk {
    /// A lot of a session while it is inspected: each reading of one piece at its face is a piece of the sample.
    ///
    /// # Errors
    /// A plan or limit that cannot be; when there is no such session.
    pub fn inspection(&self, id: &str, body: &InspectionBody, units: &Units) -> Result<InspectionView, Problem> {
        let opened = self.opened_session(id, &FitWish::default(), units)?;
        let limit = |field: &str, text: &Option<String>| match text.as_deref().map(str::trim) {
            None | Some("") => Ok(None),
            Some(text) => parsed::<FluxDensity>(field, text).map(|b| Some(b.si())),
        };
        let limits = Limits {
            lower: limit("least", &body.least)?,
            upper: limit("most", &body.most)?,
        };
        if let (Some(lower), Some(upper)) = (limits.lower, limits.upper)
            && lower >= upper
        {
            return Err(Problem::new(
                Kind::Asked,
                "no such limits",
                "the least reading that conforms is not below the largest",
            )
            .field("/most"));
        }
        let before = Before {
            lots: self.lots_before(&opened, units)?,
            proposal: self.proposal(&opened.session, body.plan.aql, units)?,
        };
        let mut body = body.clone();
        body.plan.severity.get_or_insert(before.proposal.severity);
        view(&opened, &body, &limits, before, &self.shelf()?.settings.name, units)
    }

    /// Notes the verdict on a lot, for how strictly the next is inspected.
    ///
    /// # Errors
    /// A plan that cannot be, and a lot of which too few pieces were read; when there is no such session.
    pub fn note_verdict(&self, id: &str, body: &InspectionBody, units: &Units) -> Result<(), Problem> {
        let named = |text: &Option<String>| text.as_deref().is_some_and(|text| !text.trim().is_empty());
        if !named(&body.least) && !named(&body.most) {
            return Err(Problem::new(
                Kind::Asked,
                "no verdict yet",
                "no limit is agreed, so that no piece is bad",
            )
            .hint("name the least reading of one piece at its face that conforms")
            .field("/least"));
        }
        let view = self.inspection(id, body, units)?;
        if view.verdict == "reading" {
            let detail = format!("{} pieces are still to be read", view.left + view.again);
            return Err(Problem::new(Kind::Asked, "no verdict yet", detail)
                .hint("read the rest of the sample; what was noted can be taken back"));
        }
        self.shop.note_inspection(&Inspected {
            session: id.into(),
            lot_size: body.plan.lot_size,
            level: body.plan.level.clone(),
            aql: body.plan.aql,
            severity: view.plan.severity.into(),
            bad: view.bad,
            noted_at: seconds_now(),
        })?;
        Ok(())
    }
}

/// What the lots before say.
struct Before {
    lots: Option<Plot>,
    proposal: Proposal,
}

fn view(
    opened: &Opened,
    body: &InspectionBody,
    limits: &Limits,
    before: Before,
    shop: &str,
    units: &Units,
) -> Result<InspectionView, Problem> {
    let plan = plan(&body.plan)?;
    let probe = &opened.probe;
    let all = face_values(&opened.taken);
    let values = all.get(..all.len().min(plan.sample as usize)).unwrap_or_default();
    let limited = limits.lower.is_some() || limits.upper.is_some();
    // The meter's own: its gain, its zero, and the step of its display.
    let own = |b: f64| (probe.gain_standard * b).hypot(probe.zero_drift.hypot(probe.resolution / 12f64.sqrt()));
    let states: Vec<&str> = values
        .iter()
        .map(|&b| match conformity(b, own(b), limits, 0.0) {
            Ok(found) if limited && found.probability < SURE[0] => "bad",
            Ok(found) if limited && found.probability < SURE[1] => "again",
            _ => "good",
        })
        .collect();
    let count = |state: &str| states.iter().filter(|s| **s == state).count() as u32;
    let (bad, again) = (count("bad"), count("again"));
    let left = plan.sample.saturating_sub(values.len() as u32);
    let verdict = match plan.verdict(bad) {
        Verdict::Reject => "reject",
        _ if left > 0 || again > 0 => "reading",
        _ => "accept",
    };
    let says = match verdict {
        "reject" if plan.reject == 1 => format!("**Send it back**: {bad} bad, and one is too many."),
        "reject" => format!("**Send it back**: {bad} bad, and {} are too many.", plan.reject),
        "accept" if limited => format!("**Accept**: {bad} bad of {}.", values.len()),
        "accept" => "Every piece of the sample is read. **Name the least reading agreed** to judge the lot.".into(),
        _ if left > 0 => format!("**{left}** more to read; {bad} bad so far, {} allowed.", plan.accept),
        _ => format!("**{again}** to be read again: within the meter's own uncertainty of the limit."),
    };
    let largest = values.iter().copied().fold(0.0, f64::max);
    let one = |b: f64| shown(bench::Value::FluxDensity(FluxDensity(b)), b, largest, units);
    let typical = own(values.first().copied().unwrap_or(0.3));
    let facts = facts(values, limits, limited, units);
    let mut certificate = vec![
        fact("inspected by", shop.into()),
        fact("magnet", title(&opened.session, units)),
        fact("pieces in the lot", body.plan.lot_size.to_string()),
        fact(
            "plan",
            format!(
                "letter {}, {} pieces, accept {}, reject {}; AQL {} %, level {}, {} inspection",
                plan.letter,
                plan.sample,
                plan.accept,
                plan.reject,
                body.plan.aql,
                body.plan.level,
                body.plan.severity.unwrap_or_default().name()
            ),
        ),
        fact("instrument", opened.entered.probe.name.clone()),
        fact("calibrated", opened.entered.probe.calibrated.clone()),
        fact("read", format!("{} pieces, one at its face, {bad} bad", values.len())),
        fact("agreed", agreed(limits, units)),
        fact(
            "uncertainty of the meter",
            format!("±{} (95 %)", FluxDensity(1.96 * typical).show_to(2, units)),
        ),
        fact(
            "date",
            time_text(seconds_now()).get(..10).unwrap_or_default().to_owned(),
        ),
    ];
    certificate.extend(facts.iter().cloned());
    certificate.retain(|f| !f.text.is_empty());
    Ok(InspectionView {
        pieces: values
            .iter()
            .zip(&states)
            .map(|(&b, state)| PieceView {
                value: one(b),
                state: (*state).into(),
            })
            .collect(),
        plan: plan_view(&body.plan)?,
        left,
        bad,
        again,
        verdict: verdict.into(),
        says: runs(&says),
        facts,
        least: limits.lower.map(|b| one(b).value),
        most: limits.upper.map(|b| one(b).value),
        rule: format!(
            "A piece counts as bad where it lies beyond the limit by more than the meter's own ±{}; within that it is read again.",
            FluxDensity(1.96 * typical).show_to(2, units)
        ),
        proposal: before.proposal,
        lots: before.lots,
        certificate,
    })
}

fn fact(label: &str, text: String) -> Fact {
    Fact {
        label: label.into(),
        text,
    }
}

fn agreed(limits: &Limits, units: &Units) -> String {
    let b = |si: f64| FluxDensity(si).show(units).to_string();
    match (limits.lower, limits.upper) {
        (Some(lower), Some(upper)) => format!("from {} to {}", b(lower), b(upper)),
        (Some(lower), None) => format!("at least {}", b(lower)),
        (None, Some(upper)) => format!("at most {}", b(upper)),
        (None, None) => String::new(),
    }
}

/// Mean, spread and capability in words.
fn facts(values: &[f64], limits: &Limits, limited: bool, units: &Units) -> Vec<Fact> {
    let Ok(found) = spread(values) else {
        return Vec::new();
    };
    let Spread {
        mean,
        deviation,
        deviation_interval: [low, high],
        ..
    } = found;
    let b = |si: f64| FluxDensity(si).show_to(3, units).to_string();
    let mut facts = vec![
        fact("mean", b(mean)),
        fact(
            "standard deviation",
            format!("{} (95 %: {} to {})", b(deviation), b(low), b(high)),
        ),
    ];
    if limited && let Ok(Capability { cp, cpk, outside }) = capability(&found, limits) {
        let index =
            |[value, low, high]: [f64; 3]| format!("{value:.2} (95 %: {low:.2} to {high:.2})").replace('-', "−");
        facts.extend(cp.map(|cp| fact("Cp", index(cp))));
        facts.push(fact("Cpk", index(cpk)));
        facts.push(fact("expected outside the limits", percent(outside)));
    }
    facts
}
