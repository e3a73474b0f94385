//! A session with every reading against its own band.

use advice::view::answer::{Silhouette, outline};
use advice::view::text::capital;
use bench::fit::FACTOR;
use bench::{Setup, needed};
use magnetics::Shape;
use quantity::{Quantity, Units};
use serde::Serialize;
use shop::bench::Standing;
use utoipa::ToSchema;

use super::expected::{Beforehand, by_lot, what};
use super::kept::KeptLine;
use super::magnet::{edge, sizes_text};
use super::opened::Opened;
use super::wire::{PlaceView, ValueView, as_given, shown};
use crate::desk::time_text;
use crate::problem::Problem;

/// Reasons that are given for a reading outside its band.
const REASONS: usize = 3;

/// A session.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct SessionView {
    /// Its id.
    pub id: String,
    /// Name of the lot; may be empty.
    pub lot: String,
    /// Code of the item of the shelf, if it was one.
    pub code: Option<String>,
    /// The magnet: sizes and grade.
    pub magnet: String,
    /// Its outline.
    pub silhouette: Silhouette,
    /// From the axis to the edge of the face, such as `7.5 mm`; absent for a ball.
    pub edge: Option<String>,
    /// Thickness as measured, where somebody did.
    pub measured_thickness: Option<String>,
    /// Id of the probe.
    pub probe: String,
    /// Name of the probe.
    pub probe_name: String,
    /// Depth of its element below the tip, as it is known in this session.
    pub probe_depth: String,
    /// When it was begun, UTC.
    pub begun_at: String,
    /// Readings in it.
    pub count: usize,
    /// Those that do not count.
    pub left_out: usize,
    /// Its readings, the newest first.
    pub rows: Vec<ReadingRow>,
    /// Kept values of other sessions that are used in it.
    pub used: Vec<KeptLine>,
}

/// A reading against its band. Per cents are of the middle of the band.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ReadingRow {
    /// Its id.
    pub id: String,
    /// Its number in the session, from 1.
    pub number: usize,
    /// When it was taken, UTC.
    pub taken_at: String,
    /// Where.
    pub place: PlaceView,
    /// Of what and where, in words.
    pub what: String,
    /// What the instrument showed, as it was given.
    pub given: String,
    /// The same in the reader's units.
    pub value: ValueView,
    /// What was expected.
    pub expected: ValueView,
    /// What the expectation rests on: the other readings of the lot, or what was known before the first.
    pub by_lot: bool,
    /// Distance from the middle.
    pub at: f64,
    /// The band.
    pub low: f64,
    /// The band.
    pub high: f64,
    /// The band before the first reading.
    pub low_before: f64,
    /// The band before the first reading.
    pub high_before: f64,
    /// Whether it lies in its band.
    pub inside: bool,
    /// How it lies, in words.
    pub says: String,
    /// Where it lies outside: what would explain it, the likeliest first.
    pub reasons: Vec<String>,
    /// `judged`, `counted` or `left_out`.
    pub standing: String,
    /// Whether it counts in the fit.
    pub counts: bool,
    /// Whether the others contradict it, so that it was left out.
    pub odd: bool,
    /// Remark.
    pub note: String,
}

/// A session as it is shown.
///
/// # Errors
/// A magnet of which no reading can be expected.
pub fn session_view(opened: &Opened, used: Vec<KeptLine>, units: &Units) -> Result<SessionView, Problem> {
    let rows = rows(opened, units)?;
    let session = &opened.session;
    Ok(SessionView {
        id: session.id.clone(),
        lot: session.lot.clone(),
        code: session.code.clone(),
        magnet: format!("{} {}", sizes_text(&session.magnet, units), session.magnet.grade),
        silhouette: outline(&Shape::from(session.magnet.sizes), 1),
        edge: edge(session.magnet.sizes).map(|edge| edge.show_given(units).to_string()),
        measured_thickness: session
            .magnet
            .measured_thickness
            .map(|m| m.value.show_given(units).to_string()),
        probe: opened.entered.id.clone(),
        probe_name: opened.entered.probe.name.clone(),
        probe_depth: opened.probe.depth.show_to(2, units).to_string(),
        begun_at: time_text(session.begun_at),
        count: rows.len(),
        left_out: rows.iter().filter(|row| !row.counts).count(),
        rows,
        used,
    })
}

/// What is known of one reading when it is judged, in SI.
struct Judged {
    middle: f64,
    low: f64,
    high: f64,
    by_lot: bool,
    weight: f64,
}

fn rows(opened: &Opened, units: &Units) -> Result<Vec<ReadingRow>, Problem> {
    let mut beforehand = Beforehand::default();
    let tells = opened.tells();
    let outside_fit: Vec<bench::Reading> = opened
        .taken
        .iter()
        .zip(&opened.numbers)
        .filter(|(_, number)| number.is_none())
        .map(|(taken, _)| taken.reading.clone())
        .collect();
    let mut foretold = by_lot(opened, &outside_fit)?.into_iter();
    let (probe, lot) = opened.as_found();
    let words = opened.words(units);
    let mut rows = Vec::with_capacity(opened.taken.len());
    for (at, (taken, number)) in opened.taken.iter().zip(&opened.numbers).enumerate() {
        let reading = &taken.reading;
        let value = reading.value.si();
        let before = beforehand.band(opened, reading)?;
        let fitted = number.and_then(|k| opened.fit.as_ref()?.readings.get(k));
        let plain = |weight| Judged {
            middle: before.mid,
            low: before.low,
            high: before.high,
            by_lot: false,
            weight,
        };
        let judged = match (fitted, number) {
            (Some(one), _) if tells => Judged {
                middle: one.from_others,
                low: one.from_others - FACTOR * one.apart,
                high: one.from_others + FACTOR * one.apart,
                by_lot: true,
                weight: one.weight,
            },
            (Some(one), _) => plain(one.weight),
            (None, Some(_)) => plain(1.0),
            (None, None) => match foretold.next().flatten() {
                Some(told) => Judged {
                    middle: told.value,
                    low: told.interval()[0],
                    high: told.interval()[1],
                    by_lot: true,
                    weight: 0.0,
                },
                None => plain(0.0),
            },
        };
        let percent = |si: f64| 100.0 * (si / judged.middle - 1.0);
        let inside = value >= judged.low && value <= judged.high;
        let mut reasons = Vec::new();
        if !inside && let Ok(setup) = Setup::new(&probe, &lot, reading) {
            reasons = needed(&setup, value)
                .iter()
                .take(REASONS)
                .map(|n| capital(&words.needed(n, reading)))
                .collect();
        }
        let largest = value.max(before.high);
        rows.push(ReadingRow {
            id: taken.id.clone(),
            number: at + 1,
            taken_at: time_text(taken.taken_at),
            place: PlaceView::of(reading, units),
            what: what(reading, units),
            given: as_given(taken),
            value: shown(reading.value, value, largest, units),
            expected: shown(reading.value, judged.middle, largest, units),
            by_lot: judged.by_lot,
            at: percent(value),
            low: percent(judged.low),
            high: percent(judged.high),
            low_before: percent(before.low),
            high_before: percent(before.high),
            inside,
            says: says(percent(value), [percent(judged.low), percent(judged.high)]),
            reasons,
            standing: taken.standing.name().into(),
            counts: judged.weight > 0.0,
            odd: judged.weight == 0.0 && taken.standing != Standing::LeftOut,
            note: reading.note.clone(),
        });
    }
    rows.reverse();
    Ok(rows)
}

/// How a reading lies in its band, in per cent of the middle.
fn says(at: f64, [low, high]: [f64; 2]) -> String {
    let part = |p: f64| format!("{:.1} %", p.abs());
    if at < low {
        format!("outside, {} below its band", part(low - at))
    } else if at > high {
        format!("outside, {} above its band", part(at - high))
    } else if at.abs() < 0.05 {
        "inside, in the middle".into()
    } else if at < 0.0 {
        format!("inside, {} below the middle", part(at))
    } else {
        format!("inside, {} above the middle", part(at))
    }
}
