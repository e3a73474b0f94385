//! How strictly the next lot of a magnet is inspected, by what was found of those before.

use advice::view::text::{Run, runs};
use bench::sampling::{self, History, Plan, Severity, Verdict};
use quantity::Units;
use serde::Serialize;
use shop::bench::{Inspected, Session};
use utoipa::ToSchema;

use super::opened::lot_name;
use super::shelf_lots::day;
use super::strictness::Strictness;
use crate::desk::Desk;
use crate::problem::Problem;

/// Lots that are listed, the newest ones.
const MOST_LISTED: usize = 10;

/// How strictly a lot is to be inspected, and why.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Proposal {
    /// `normal`, `tightened` or `reduced`.
    #[schema(value_type = String)]
    pub severity: Strictness,
    /// Whether no lot is to be inspected until the supplier has mended the cause.
    pub stopped: bool,
    /// Why, in a sentence.
    pub says: Vec<Run>,
    /// The lots that were noted, the newest first.
    pub lots: Vec<NotedLot>,
    /// What was noted of this lot; absent where nothing was.
    pub noted: Option<NotedLot>,
}

/// A lot that was noted.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct NotedLot {
    /// Its session.
    pub session: String,
    /// Its name.
    pub lot: String,
    /// How it was inspected and what was found.
    pub says: String,
    /// Whether it was accepted.
    pub accepted: bool,
}

/// What the lots before say of the next.
struct Replayed {
    history: History,
    why: String,
    lots: Vec<NotedLot>,
}

fn plan_of(lot: &Inspected, aql: f64, severity: Severity) -> Option<Plan> {
    sampling::plan(lot.lot_size, &lot.level, aql, severity).ok()
}

fn noted(session: &Session, lot: &Inspected, plan: &Plan, units: &Units) -> NotedLot {
    let accepted = plan.verdict(lot.bad) != Verdict::Reject;
    NotedLot {
        session: session.id.clone(),
        lot: lot_name(session, units),
        says: format!(
            "{} inspection, {} read, {} bad: {}, {}",
            Strictness::from(lot.severity).name(),
            plan.sample,
            lot.bad,
            if accepted { "accepted" } else { "sent back" },
            day(lot.noted_at)
        ),
        accepted,
    }
}

/// Goes through the lots in their order.
fn replayed(lots: &[&(Session, Inspected)], units: &Units) -> Replayed {
    let mut out = Replayed {
        history: History::default(),
        why: "No lot of this magnet was noted before: **normal** inspection to begin with.".into(),
        lots: Vec::new(),
    };
    for (session, lot) in lots {
        let Some(plan) = plan_of(lot, lot.aql, lot.severity) else {
            continue;
        };
        let history = &mut out.history;
        history.take_up(lot.severity);
        let tighter = sampling::tighter_aql(lot.aql).and_then(|aql| plan_of(lot, aql, lot.severity));
        let verdict = history.record(&plan, tighter.as_ref(), lot.bad);
        out.lots.push(noted(session, lot, &plan, units));
        out.why = why(lot.severity, history, verdict, out.lots.len());
    }
    out.lots.reverse();
    out
}

/// Why the next lot is inspected so, after one that was inspected with `before`.
fn why(before: Severity, history: &History, last: Verdict, lots: usize) -> String {
    if history.stopped {
        return "Five lots were sent back under tightened inspection: **inspect no further lot** until the supplier has mended the cause; then tightened inspection.".into();
    }
    match (before, history.severity) {
        (Severity::Normal, Severity::Tightened) => {
            "Two of the last five lots were sent back: **tightened** inspection.".into()
        }
        (Severity::Normal, Severity::Reduced) => "The lots before were good enough for long (switching score 30): **reduced** inspection, where production is steady and both sides agree; else normal.".into(),
        (Severity::Tightened, Severity::Normal) => "Five lots in a row were accepted: **normal** inspection again.".into(),
        (Severity::Reduced, Severity::Normal) if last == Verdict::Reject => {
            "A lot was sent back under reduced inspection: **normal** inspection again.".into()
        }
        (Severity::Reduced, Severity::Normal) => {
            "The last lot was accepted with more bad pieces than reduced inspection allows: **normal** inspection again.".into()
        }
        (_, Severity::Normal) => format!(
            "After {} nothing calls for another: **normal** inspection (switching score {} of 30).",
            counted(lots),
            history.score()
        ),
        (_, Severity::Tightened) => "Tightened inspection began and five lots in a row were not yet accepted: **tightened** inspection.".into(),
        (_, Severity::Reduced) => "The lots under reduced inspection were accepted: **reduced** inspection.".into(),
    }
}

fn counted(lots: usize) -> String {
    match lots {
        1 => "one lot".into(),
        n => format!("{n} lots"),
    }
}

impl Desk {
    /// How strictly the lot of a session is to be inspected to that quality limit, by the lots of the same magnet that were
    /// noted before it.
    ///
    /// # Errors
    /// When the database fails.
    pub fn proposal(&self, session: &Session, aql: f64, units: &Units) -> Result<Proposal, Problem> {
        let key = session.magnet_key()?;
        let all = self.shop.inspections()?;
        let mut same = Vec::new();
        for one in &all {
            if one.0.magnet_key()? == key && one.1.aql == aql {
                same.push(one);
            }
        }
        let own = same.iter().position(|(of, _)| of.id == session.id);
        let noted_here = own.and_then(|at| {
            let (of, lot) = same.get(at)?;
            Some(noted(of, lot, &plan_of(lot, lot.aql, lot.severity)?, units))
        });
        let before = same.get(..own.unwrap_or(same.len())).unwrap_or_default();
        let Replayed { history, why, mut lots } = replayed(before, units);
        lots.truncate(MOST_LISTED);
        Ok(Proposal {
            severity: history.severity.into(),
            stopped: history.stopped,
            says: runs(&why),
            lots,
            noted: noted_here,
        })
    }
}
