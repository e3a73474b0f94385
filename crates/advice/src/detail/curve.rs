//! A value against a distance, and against the thickness of the steel.

use crate::answer::{Along, Curve, NEXT, PlateCurve};
use crate::predict::{InUse, Task};

/// Points of a curve against distance.
const POINTS: usize = 61;
/// Points of a curve against thickness.
const PLATES: u32 = 48;
/// That curve ends at this many times the thickness that is enough, or the one asked.
const PAST_ENOUGH: f64 = 2.5;
const PAST_ASKED: f64 = 1.3;

/// The value of a build from contact to `end` metres; `None` where it cannot be computed.
pub fn curve(in_use: &InUse, end: f64) -> Option<Curve> {
    // Close points where the curve is steep.
    let mut at: Vec<f64> = (0..POINTS)
        .map(|k| end * (k as f64 / (POINTS - 1) as f64).powf(1.6))
        .collect();
    // The place asked is read off exactly.
    let asked = in_use.task.distance();
    if !at.contains(&asked) && asked < end {
        at.push(asked);
        at.sort_by(f64::total_cmp);
    }
    let bands: Vec<uncertainty::Band> = at
        .iter()
        .map(|&x| in_use.at_distance(x).outline().ok())
        .collect::<Option<_>>()?;
    let value = |x: f64| in_use.at_distance(x).value().ok();
    let first = value(asked)?;
    Some(Curve {
        along: match in_use.task {
            Task::Plate { .. } => Along::Plate,
            Task::Pair { .. } => Along::Pair,
            Task::Spot { .. } | Task::Dipole { .. } => Along::Field,
        },
        mid: bands.iter().map(|band| band.mid).collect(),
        low: bands.iter().map(|band| band.low).collect(),
        high: bands.iter().map(|band| band.high).collect(),
        contact: value(0.0)?,
        next_takes: if first > 0.0 {
            Some(1.0 - value(asked + NEXT)? / first)
        } else {
            None
        },
        at,
    })
}

/// Pull of a build against the thickness of the plate; `None` where it holds on none.
pub(super) fn plate(in_use: &InUse) -> Option<PlateCurve> {
    let Task::Plate { thickness, .. } = in_use.task else {
        return None;
    };
    let enough = in_use.steel()?.enough;
    let on = |plate: Option<f64>| in_use.for_task(in_use.task.on_plate(plate)).value().ok();
    let point = |t: f64| Some([t, on(Some(t))?]);
    let end = (PAST_ENOUGH * enough).max(PAST_ASKED * thickness.unwrap_or(0.0));
    Some(PlateCurve {
        points: (1..=PLATES)
            .map(|k| point(end * f64::from(k) / f64::from(PLATES)))
            .collect::<Option<_>>()?,
        enough: point(enough)?,
        asked: match thickness {
            Some(thickness) => Some(point(thickness)?),
            None => None,
        },
        thick: on(None)?,
        on_half: on(Some(0.5 * enough))?,
    })
}
