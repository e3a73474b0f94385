//! A session with its probe and lots as they are known, and what its readings were fitted to.

use bench::fit::{Options, fit};
use bench::session::{LotEntry, Measured};
use bench::{Fit, Lot, Parameter, Probe, Reading, Value};
use materials::coating::CoatingTable;
use quantity::{Length, Units};
use serde::Deserialize;
use shop::bench::{Kept, KeptParameter, KeptProbe, Session, Standing, Subject, Taken};
use utoipa::IntoParams;

use super::absent::absent;
use super::magnet::sizes_text;
use super::words::Words;
use crate::desk::Desk;
use crate::problem::{Kind, Problem};

/// Readings from which the others say what one should be.
pub const ENOUGH: usize = 3;

/// How a session is fitted.
#[derive(Clone, Debug, Default, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(default)]
pub struct FitWish {
    /// What nothing is taken to be known of beforehand, beside the lot's remanence: `depth`, `face_loss`, `joint`,
    /// `thickness`, separated by commas.
    pub free: String,
    /// Other sessions with the same probe whose readings count too, by their ids, separated by commas.
    pub with: String,
    /// What a next reading is to narrow: `depth` of the probe, or `remanence` of the lot where it is absent.
    pub wanted: String,
}

fn listed(text: &str) -> impl Iterator<Item = &str> {
    text.split(',').map(str::trim).filter(|part| !part.is_empty())
}

impl FitWish {
    fn free(&self) -> Result<Vec<Parameter>, Problem> {
        let mut free = vec![Parameter::Scale(0)];
        for name in listed(&self.free) {
            free.push(match name {
                "depth" => Parameter::Depth,
                "face_loss" => Parameter::FaceLoss(0),
                "joint" => Parameter::Joint(0),
                "thickness" => Parameter::Thickness(0),
                other => {
                    return Err(unknown("free", other, "depth, face_loss, joint or thickness"));
                }
            });
        }
        Ok(free)
    }

    /// What a next reading is to narrow.
    ///
    /// # Errors
    /// Another name.
    pub fn wanted(&self) -> Result<Parameter, Problem> {
        match self.wanted.trim() {
            "" | "remanence" => Ok(Parameter::Scale(0)),
            "depth" => Ok(Parameter::Depth),
            other => Err(unknown("wanted", other, "depth or remanence")),
        }
    }
}

fn unknown(field: &str, got: &str, right: &str) -> Problem {
    Problem::new(
        Kind::Asked,
        "no such parameter",
        format!("{got:?} is not told by readings"),
    )
    .hint(right)
    .field(field)
}

/// A session that is worked with.
pub struct Opened {
    /// The session.
    pub session: Session,
    /// Its probe as it was entered.
    pub entered: KeptProbe,
    /// Its probe with what was kept of it in other sessions.
    pub probe: Probe,
    /// The lots as written; its own is the first.
    pub entries: Vec<LotEntry>,
    /// The lots with what was kept of them in other sessions.
    pub lots: Vec<Lot>,
    /// Its own readings.
    pub taken: Vec<Taken>,
    /// Values that were kept and are used in it.
    pub used: Vec<Kept>,
    /// The readings of the fit: those of its own that may count, and those of the other sessions.
    pub readings: Vec<Reading>,
    /// By own reading its number in the fit.
    pub numbers: Vec<Option<usize>>,
    /// How they were fitted.
    pub options: Options,
    /// What they tell; absent without any.
    pub fit: Option<Fit>,
    /// What a next reading is to narrow.
    pub wanted: Parameter,
}

impl Opened {
    /// What things are called.
    pub fn words<'a>(&'a self, units: &'a Units) -> Words<'a> {
        Words {
            entries: &self.entries,
            lots: &self.lots,
            units,
        }
    }

    /// Its own lot.
    pub fn lot(&self) -> &Lot {
        // A session is never without its lot.
        &self.lots[0]
    }

    /// Whether the readings say better than the grade what one should be.
    pub fn tells(&self) -> bool {
        self.fit.as_ref().is_some_and(|fit| {
            let own = |k: &usize| fit.readings.get(*k).is_some_and(|r| r.weight > 0.0);
            self.numbers.iter().flatten().filter(|k| own(k)).count() >= ENOUGH
        })
    }

    /// The probe and the lot as the readings show them.
    pub fn as_found(&self) -> (Probe, Lot) {
        match &self.fit {
            Some(fit) if self.tells() => (fit.probe(&self.probe), fit.lot(0, self.lot())),
            _ => (self.probe.clone(), self.lot().clone()),
        }
    }
}

/// What a session's lot is called: its name, or the magnet's sizes and grade.
pub fn lot_name(session: &Session, units: &Units) -> String {
    if session.lot.is_empty() {
        format!("{} {}", sizes_text(&session.magnet, units), session.magnet.grade)
    } else {
        session.lot.clone()
    }
}

/// What a session is called in a list.
pub fn title(session: &shop::bench::Session, units: &Units) -> String {
    let magnet = format!("{} {}", sizes_text(&session.magnet, units), session.magnet.grade);
    if session.lot.is_empty() {
        magnet
    } else {
        format!("{magnet}, lot {}", lot_name(session, units))
    }
}

fn no_session(id: &str) -> Problem {
    absent("session", id).hint("it may have been taken away; begin another")
}

impl Desk {
    /// The session of that id with its probe, lots and readings, fitted.
    ///
    /// # Errors
    /// When there is none, when its magnet's grade is not known any more, and when the database fails.
    pub fn opened_session(&self, id: &str, wish: &FitWish, units: &Units) -> Result<Opened, Problem> {
        let session = self.shop.session(id)?.ok_or_else(|| no_session(id))?;
        let entered = self
            .shop
            .probe(&session.probe)?
            .ok_or_else(|| Problem::new(Kind::Internal, "the bench", "the probe of the session is not there"))?;
        let mut sessions = vec![session];
        for other in listed(&wish.with).filter(|other| *other != id) {
            let one = self.shop.session(other)?.ok_or_else(|| no_session(other))?;
            if one.probe != entered.id {
                let detail = format!("the session {other:?} was read with another probe");
                return Err(Problem::new(Kind::Asked, "another probe", detail)
                    .hint("readings count together where one probe took them")
                    .field("with"));
            }
            sessions.push(one);
        }
        let results = self.shop.results()?;
        let foreign: Vec<&Kept> = results
            .iter()
            .filter(|kept| sessions.iter().all(|s| s.id != kept.session))
            .collect();
        let mut used = Vec::new();
        let mut probe = entered.probe.clone();
        for kept in newest(&foreign, &Subject::Probe(entered.id.clone())) {
            amend_probe(&mut probe, kept);
            used.push(kept.clone());
        }
        let mut entries = Vec::with_capacity(sessions.len());
        for one in &sessions {
            let mut entry = LotEntry {
                name: lot_name(one, units),
                ..one.magnet.clone()
            };
            let subject = Subject::Lot {
                magnet: one.magnet_key()?,
                lot: one.lot.clone(),
            };
            for kept in newest(&foreign, &subject) {
                amend_lot(&mut entry, kept);
                used.push(kept.clone());
            }
            entries.push(entry);
        }
        let coatings = CoatingTable::builtin().map_err(|e| Problem::new(Kind::Internal, "coatings", e.to_string()))?;
        let lots = bench::Session {
            lots: entries.clone(),
            ..bench::Session::default()
        }
        .lots(&self.shelf()?.catalogue.grades, coatings)
        .map_err(|e| Problem::new(Kind::Asked, "the magnet of the session", e.to_string()))?;

        let mut readings = Vec::new();
        let mut counted = Vec::new();
        let mut taken = Vec::new();
        let mut numbers = Vec::new();
        for (lot, one) in sessions.iter().enumerate() {
            for reading in self.shop.readings(&one.id)? {
                let number = (reading.standing != Standing::LeftOut).then_some(readings.len());
                if number.is_some() {
                    if reading.standing == Standing::Counted {
                        counted.push(readings.len());
                    }
                    readings.push(Reading {
                        lot,
                        ..reading.reading.clone()
                    });
                }
                if lot == 0 {
                    numbers.push(number);
                    taken.push(reading);
                }
            }
        }
        let options = Options {
            free: wish.free()?,
            counted,
            ..Options::default()
        };
        let found = if readings.is_empty() {
            None
        } else {
            let fitted = fit(&probe, &lots, &readings, &options);
            Some(fitted.map_err(|e| Problem::new(Kind::Asked, "the readings cannot be fitted", e.to_string()))?)
        };
        let session = sessions.swap_remove(0);
        Ok(Opened {
            session,
            entered,
            probe,
            entries,
            lots,
            taken,
            used,
            readings,
            numbers,
            options,
            fit: found,
            wanted: wish.wanted()?,
        })
    }
}

/// Of the values kept of a subject the newest of each parameter; `results` are newest first.
fn newest<'a>(results: &[&'a Kept], subject: &Subject) -> Vec<&'a Kept> {
    let mut found: Vec<&Kept> = Vec::new();
    for kept in results.iter().filter(|kept| kept.subject == *subject) {
        if found.iter().all(|known| known.parameter != kept.parameter) {
            found.push(kept);
        }
    }
    found
}

fn amend_probe(probe: &mut Probe, kept: &Kept) {
    match kept.parameter {
        KeptParameter::Depth => {
            probe.depth = Length(kept.value);
            probe.depth_standard = Length(kept.standard);
        }
        KeptParameter::Gain => {
            probe.gain = kept.value;
            probe.gain_standard = kept.standard;
        }
        KeptParameter::FallOff => {
            probe.fall_off = kept.value;
            probe.fall_off_standard = kept.standard;
        }
        KeptParameter::Scale | KeptParameter::Thickness => {}
    }
}

/// A lot with a value that was kept of it.
pub fn amend_lot(entry: &mut LotEntry, kept: &Kept) {
    match kept.parameter {
        KeptParameter::Scale => entry.scale = [kept.value, kept.standard],
        KeptParameter::Thickness => {
            let shape = magnetics::Shape::from(entry.sizes);
            entry.measured_thickness = Some(Measured {
                value: Length(shape.height() + kept.value),
                standard: Length(kept.standard),
            });
        }
        _ => {}
    }
}

/// What can be kept of a fit: its name in the database, and of what it is.
pub fn keepable(parameter: Parameter) -> Option<KeptParameter> {
    match parameter {
        Parameter::Depth => Some(KeptParameter::Depth),
        Parameter::Gain => Some(KeptParameter::Gain),
        Parameter::FallOff => Some(KeptParameter::FallOff),
        Parameter::Scale(0) => Some(KeptParameter::Scale),
        Parameter::Thickness(0) => Some(KeptParameter::Thickness),
        _ => None,
    }
}

/// The probe of the shop with what was kept of it.
///
/// # Errors
/// When the database fails.
pub fn usual_probe(desk: &Desk) -> Result<Option<(KeptProbe, Probe)>, Problem> {
    let Some(entered) = desk.shop.usual_probe()? else {
        return Ok(None);
    };
    let probe = probe_as_known(&entered, &desk.shop.results()?);
    Ok(Some((entered, probe)))
}

/// A probe with what was kept of it; `results` are newest first.
pub fn probe_as_known(entered: &KeptProbe, results: &[Kept]) -> Probe {
    let all: Vec<&Kept> = results.iter().collect();
    let mut probe = entered.probe.clone();
    for kept in newest(&all, &Subject::Probe(entered.id.clone())) {
        amend_probe(&mut probe, kept);
    }
    probe
}

/// Whether a reading is of the flux density at the middle of the face.
pub fn at_face(reading: &Reading) -> bool {
    let away = reading.spacer.si() + reading.along.si() + reading.across.si().abs();
    matches!(reading.value, Value::FluxDensity(_)) && away == 0.0
}
