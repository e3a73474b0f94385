//! What the bench keeps: probes, sessions, readings and values that were found.

use advice::enquiry::NamedMagnet;
use advice::given::given;
use bench::session::Measured;
use magnetics::Shape;
use quantity::{Length, Quantity, Units};
use serde::{Deserialize, Serialize};
use shop::bench::{KeptProbe, Session, SessionEntry, Standing};
use utoipa::ToSchema;

use super::absent::{absent, parsed};
use super::expected::{ExpectedView, expected_view};
use super::found::{FoundView, found_view};
use super::kept::KeptLine;
use super::magnet::lot_entry;
use super::opened::{FitWish, Opened, title};
use super::probes::{ProbeLine, probe_line};
use super::view::{SessionView, session_view};
use super::wire::{PlaceBody, ReadingBody};
use crate::desk::{Desk, seconds_now, time_text};
use crate::problem::{Kind, Problem};

/// Sessions that are listed.
const MOST_LISTED: usize = 200;
/// Standard uncertainty of a thickness by a micrometer, m; common practice, no source.
const MICROMETER: f64 = 0.01e-3;

/// The bench: its probes, its sessions, and what was kept.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct BenchView {
    /// The probes.
    pub probes: Vec<ProbeLine>,
    /// The sessions, the newest first.
    pub sessions: Vec<SessionLine>,
    /// Values that were kept, the newest first.
    pub kept: Vec<KeptLine>,
}

/// A session in a list.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct SessionLine {
    /// Its id.
    pub id: String,
    /// Magnet and lot.
    pub title: String,
    /// Name of the probe.
    pub probe: String,
    /// Id of the probe.
    pub probe_id: String,
    /// Code of the item, if it was one of the shelf.
    pub code: Option<String>,
    /// Readings in it.
    pub readings: u32,
    /// When it was begun, UTC.
    pub begun_at: String,
    /// When the newest reading was taken, UTC.
    pub last_at: Option<String>,
}

/// A session that is to be begun.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewSession {
    /// Its id, made by whoever begins it: 1 to 64 letters, digits, `-` or `_`. Sent again, it is the same session.
    pub id: String,
    /// Id of the probe; the usual one where it is absent.
    #[serde(default)]
    pub probe: Option<String>,
    /// The magnet: a code of the shelf, or sizes and grade.
    pub magnet: NamedMagnet,
    /// Name of the lot.
    #[serde(default)]
    pub lot: String,
}

/// What is to be changed of a session; what is absent stays.
#[derive(Clone, Debug, Default, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct SessionChange {
    /// Name of the lot.
    pub lot: Option<String>,
    /// Thickness of a piece as measured, such as `2.98 mm`; empty for none.
    pub measured_thickness: Option<String>,
}

impl Desk {
    /// The bench.
    ///
    /// # Errors
    /// When the database fails.
    pub fn bench(&self, units: &Units) -> Result<BenchView, Problem> {
        let probes = self.shop.probes()?;
        let sessions = self.shop.sessions(MOST_LISTED)?;
        let lines = sessions.iter().map(|entry| self.session_line(entry, &probes, units));
        Ok(BenchView {
            sessions: lines.collect::<Result<_, _>>()?,
            kept: self.kept_lines(&self.shop.results()?, units)?,
            probes: probes.into_iter().map(|probe| probe_line(probe, units)).collect(),
        })
    }

    fn session_line(&self, entry: &SessionEntry, probes: &[KeptProbe], units: &Units) -> Result<SessionLine, Problem> {
        let session = &entry.session;
        let probe = match probes.iter().find(|p| p.id == session.probe) {
            Some(probe) => probe.probe.name.clone(),
            None => self
                .shop
                .probe(&session.probe)?
                .map_or_else(String::new, |p| p.probe.name),
        };
        Ok(SessionLine {
            id: session.id.clone(),
            title: title(session, units),
            probe,
            probe_id: session.probe.clone(),
            code: session.code.clone(),
            readings: entry.readings,
            begun_at: time_text(session.begun_at),
            last_at: entry.last_at.map(time_text),
        })
    }

    /// Begins a session.
    ///
    /// # Errors
    /// A magnet that cannot be told or made, a probe that is not there, and when the database fails.
    pub fn begin_session(&self, body: &NewSession, units: &Units) -> Result<SessionView, Problem> {
        let shelf = self.shelf()?;
        let probe = match &body.probe {
            Some(id) => id.clone(),
            None => match self.shop.usual_probe()? {
                Some(probe) => probe.id,
                None => {
                    return Err(Problem::new(
                        Kind::Asked,
                        "no probe",
                        "the shop has named no usual probe, and the session names none",
                    )
                    .hint("enter a probe first")
                    .field("/probe"));
                }
            },
        };
        let named = NamedMagnet {
            count: None,
            pair: false,
            ..body.magnet.clone()
        };
        let given = given(&named, 0, &shelf.items, &shelf.catalogue).map_err(|error| {
            let field = format!("/magnet{}", error.field.trim_start_matches("/magnets/0"));
            Problem::from(error).field(field)
        })?;
        let magnet = lot_entry(&given.item, &shelf.catalogue);
        let session = Session {
            id: body.id.clone(),
            probe,
            code: given.stocked.then(|| given.item.code.clone()),
            lot: body.lot.trim().into(),
            magnet,
            begun_at: seconds_now(),
        };
        let kept = self.shop.begin_bench_session(&session)?;
        self.session(&kept.id, &FitWish::default(), units)
    }

    /// A session with its readings.
    ///
    /// # Errors
    /// When there is none, and when the database fails.
    pub fn session(&self, id: &str, wish: &FitWish, units: &Units) -> Result<SessionView, Problem> {
        let opened = self.opened_session(id, wish, units)?;
        self.viewed(&opened, units)
    }

    fn viewed(&self, opened: &Opened, units: &Units) -> Result<SessionView, Problem> {
        session_view(opened, self.kept_lines(&opened.used, units)?, units)
    }

    /// Changes a session.
    ///
    /// # Errors
    /// What does not read; when there is none, and when the database fails.
    pub fn change_session(&self, id: &str, change: &SessionChange, units: &Units) -> Result<SessionView, Problem> {
        let session = self.shop.session(id)?.ok_or_else(|| absent("session", id))?;
        let mut magnet = session.magnet.clone();
        if let Some(text) = &change.measured_thickness {
            magnet.measured_thickness = if text.trim().is_empty() {
                None
            } else {
                let thickness: Length = parsed("measured_thickness", text)?;
                let listed = Shape::from(magnet.sizes).height();
                if !(0.3 * listed..=3.0 * listed).contains(&thickness.si()) {
                    let got = format!("a thickness of {} is not that of this magnet", thickness.show(units));
                    return Err(Problem::new(Kind::Asked, "another thickness", got)
                        .hint(format!("it is listed with {}", Length(listed).show(units)))
                        .field("/measured_thickness"));
                }
                Some(Measured {
                    value: thickness,
                    standard: Length(MICROMETER),
                })
            };
        }
        let lot = change.lot.as_deref().unwrap_or(&session.lot);
        self.shop.amend_session(id, lot, &magnet)?;
        self.session(id, &FitWish::default(), units)
    }

    /// Adds readings, all of them or none, which are on the disk when this returns.
    ///
    /// # Errors
    /// What does not read; when there is no such session, and when the database fails.
    pub fn add_readings(&self, id: &str, bodies: &[ReadingBody]) -> Result<(), Problem> {
        let now = seconds_now();
        let taken: Vec<_> = bodies.iter().map(|body| body.taken(now)).collect::<Result<_, _>>()?;
        if self.shop.session(id)?.is_none() {
            return Err(absent("session", id));
        }
        self.shop.add_readings(id, &taken)?;
        Ok(())
    }

    /// Says whether a reading counts.
    ///
    /// # Errors
    /// Another name of a standing; when there is no such reading, and when the database fails.
    pub fn stand(&self, id: &str, standing: &str) -> Result<(), Problem> {
        let standing = Standing::named(standing).ok_or_else(|| {
            Problem::new(
                Kind::Asked,
                "no such standing",
                format!("a reading is not {standing:?}"),
            )
            .hint("judged, counted or left_out")
            .field("/standing")
        })?;
        if self.shop.set_standing(id, standing)? {
            Ok(())
        } else {
            Err(absent("reading", id))
        }
    }

    /// Takes a reading back. One that was taken back already stays so.
    ///
    /// # Errors
    /// When there is no such reading, and when the database fails.
    pub fn take_back(&self, id: &str) -> Result<(), Problem> {
        if self.shop.take_back(id)? || self.shop.has_reading(id)? {
            Ok(())
        } else {
            Err(absent("reading", id))
        }
    }

    /// What an instrument is expected to show in a session.
    ///
    /// # Errors
    /// A place that cannot be; when there is no such session.
    pub fn expected(
        &self,
        id: &str,
        wish: &FitWish,
        place: &PlaceBody,
        units: &Units,
    ) -> Result<ExpectedView, Problem> {
        expected_view(&self.opened_session(id, wish, units)?, place, units)
    }

    /// What the readings of a session say; nothing without readings.
    ///
    /// # Errors
    /// When there is no such session, and when the database fails.
    pub fn found(&self, id: &str, wish: &FitWish, units: &Units) -> Result<Option<FoundView>, Problem> {
        found_view(&self.opened_session(id, wish, units)?, units)
    }
}
