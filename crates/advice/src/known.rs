//! What a shop knows of its lots and of its meter beyond what grades say: certificates, and readings at its bench.

use bench::lot::alive;
use bench::probe::{CALIBRATION_CELSIUS, Element, Probe};
use bench::reading::ROOM_CELSIUS;
use magnetics::Shape;
use materials::grade::{GradeError, GradeRow};
use quantity::{FieldStrength, FluxDensity, Length};
use serde::{Deserialize, Serialize};
use uncertainty::{Cause, Input};
use utoipa::ToSchema;

use crate::question::Amount;

/// What a maker's certificate says of a lot.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Certificate {
    /// The lot.
    pub lot: String,
    /// Remanence at 20 °C.
    #[schema(value_type = Amount)]
    pub br: FluxDensity,
    /// Intrinsic coercivity at 20 °C, where it is given.
    #[serde(default)]
    #[schema(value_type = Option<Amount>)]
    pub hcj: Option<FieldStrength>,
}

/// Spread of the remanence within a lot and of its measurement, as a share: common practice, no source.
const LOT_SPREAD: f64 = 0.01;
/// The same of the coercivity.
const LOT_SPREAD_HCJ: f64 = 0.03;
/// More than any magnet has, T: the saturation of iron with cobalt, the highest of all materials; from memory.
const MOST_REMANENCE: f64 = 2.4;
/// Standard uncertainties in half a 95 % interval of a normal distribution.
const COVERAGE: f64 = 1.96;

impl Certificate {
    /// The row of a lot: its grade with what the certificate says in place of the grade's own brackets.
    ///
    /// # Errors
    /// [`GradeError`] for values that no magnet has.
    pub fn row(&self, grade: &GradeRow) -> Result<GradeRow, GradeError> {
        let hcj = self.hcj.map(|h| h.si());
        let mut row = of_remanence(grade, self.br.si(), LOT_SPREAD * self.br.si());
        row.source = format!("certificate of lot {}", self.lot);
        if let Some(hcj) = hcj {
            row.hcj_min = hcj * (1.0 - LOT_SPREAD_HCJ);
            row.hcj_typical = Some(hcj);
            row.hcj_max = Some(hcj * (1.0 + LOT_SPREAD_HCJ));
            let ratio = hcj / grade.hcj_typical();
            row.hcb = grade.hcb.map(|h| h * ratio);
            row.energy_product = row.energy_product.map(|p| p * ratio);
        }
        row.validate()?;
        Ok(row)
    }
}

/// What readings say of a lot.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadLot {
    /// The lot; empty where it has no name.
    pub lot: String,
    /// Effective remanence at 20 °C, where it was kept: what a piece that is magnetised through to its plating would need to
    /// read so.
    pub br: Option<FluxDensity>,
    /// Its standard uncertainty.
    pub standard: Option<FluxDensity>,
    /// Thickness of a piece with its standard uncertainty, where it was kept.
    #[serde(default)]
    pub thickness: Option<[Length; 2]>,
    /// Readings that it rests on.
    pub readings: u32,
    /// The day on which it was kept, such as `2026-03-12`.
    pub day: String,
}

impl ReadLot {
    /// The row of a lot: its grade, or its certificate, with the 95 % interval of the readings in place of the bracket.
    ///
    /// # Errors
    /// [`GradeError`] for values that no magnet has.
    pub fn row(&self, grade: &GradeRow) -> Result<GradeRow, GradeError> {
        let Some([br, standard]) = self.remanence() else {
            return Ok(grade.clone());
        };
        if br > MOST_REMANENCE {
            return Err(GradeError::Value {
                grade: grade.name.clone(),
                field: "br",
                allowed: "at most 2.4 T",
                value: br,
            });
        }
        let mut row = of_remanence(grade, br, COVERAGE * standard);
        row.source = format!("{} readings kept {}", self.readings, self.day);
        row.validate()?;
        Ok(row)
    }

    /// Effective remanence and its standard uncertainty, T.
    pub(crate) fn remanence(&self) -> Option<[f64; 2]> {
        Some([self.br?.si(), self.standard?.si()])
    }

    /// What it says of pieces of that shape under a plating, m.
    pub(crate) fn pieces(&self, shape: &Shape, plating: f64) -> ReadPieces {
        let scaled = self.remanence().zip(alive(shape, plating));
        ReadPieces {
            remanence: scaled.map(|(all, part)| all.map(|t| t / part)),
            thickness: self.thickness.map(|all| all.map(|length| length.si())),
        }
    }
}

/// What readings say of the pieces of an item, in SI: each with its standard uncertainty.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ReadPieces {
    /// Remanence at 20 °C of a piece with its dead layer, T: what further readings hang on.
    pub remanence: Option<[f64; 2]>,
    /// Thickness, m.
    pub thickness: Option<[f64; 2]>,
}

/// Ends of the 95 % interval of a value with its standard uncertainty.
pub fn ends([value, standard]: [f64; 2]) -> [f64; 2] {
    let within = COVERAGE * standard;
    [value - within, value + within]
}

/// A grade with another remanence and its plus or minus, T. The fullness of a bent curve stays that of the grade.
fn of_remanence(grade: &GradeRow, br: f64, within: f64) -> GradeRow {
    GradeRow {
        br_min: br - within,
        br_typical: br,
        br_max: br + within,
        energy_product: grade.energy_product.map(|p| p * br / grade.br_typical),
        ..grade.clone()
    }
}

/// By what an item is reckoned in place of its grade.
#[derive(Clone, Debug, PartialEq)]
pub enum Known {
    /// By the certificate of its lot.
    Certificate(Certificate),
    /// By readings of its lot.
    Readings(ReadLot),
}

/// The probe that a shop usually reads with.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UsualProbe {
    /// Its name.
    pub name: String,
    /// From tip to element, as questions name it.
    pub depth: Length,
    /// Standard uncertainty of the depth.
    pub standard: Length,
    /// How it reads a field.
    #[serde(default = "Meter::usual")]
    pub meter: Meter,
}

impl UsualProbe {
    /// A usual hand-held probe which nobody has measured: what is read with where the shop has named none.
    pub fn unmeasured() -> Self {
        let probe = Probe::default();
        Self {
            name: String::new(),
            depth: probe.depth,
            standard: probe.depth_standard,
            meter: Meter::of(&probe),
        }
    }

    /// How it reads, and plus or minus on its depth, m.
    pub fn reads(&self) -> (Meter, f64) {
        let meter = Meter {
            measured: true,
            ..self.meter
        };
        (meter, RECTANGULAR * self.standard.si())
    }
}

/// How a meter reads a field, beside where its element lies.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Meter {
    /// The active element.
    pub element: Element,
    /// Reading over field at low field and 20 °C, with its standard uncertainty.
    pub gain: [f64; 2],
    /// Part of the reading that is missing at 1 T, with its standard uncertainty.
    pub fall_off: [f64; 2],
    /// Standard uncertainty of its zero, the step of its display included, T.
    pub zero: f64,
    /// Whether its depth is known with a standard uncertainty, and not only within limits.
    #[serde(default)]
    pub measured: bool,
}

impl Meter {
    /// One that shows the field.
    pub const TRUE: Self = Self {
        element: Element::Disc { diameter: Length(0.0) },
        gain: [1.0, 0.0],
        fall_off: [0.0; 2],
        zero: 0.0,
        measured: false,
    };

    /// That of a usual hand-held probe which nobody has measured.
    pub fn usual() -> Self {
        Self::of(&Probe::default())
    }

    /// That of a probe.
    pub fn of(probe: &Probe) -> Self {
        let away = ROOM_CELSIUS - CALIBRATION_CELSIUS;
        Self {
            element: probe.element,
            gain: [
                probe.gain * (1.0 + probe.temperature_coefficient * away),
                probe.gain_standard,
            ],
            fall_off: [probe.fall_off, probe.fall_off_standard],
            zero: probe.zero_standard(),
            measured: false,
        }
    }

    /// How far its depth is from the one named, where that is known to plus or minus `tolerance`, m.
    pub(crate) fn depth_within(&self, tolerance: f64) -> Input {
        if self.measured {
            Input::normal(Cause::ProbeDepth, 0.0, tolerance / RECTANGULAR)
        } else {
            Input::plus_minus(Cause::ProbeDepth, 0.0, tolerance)
        }
    }
}

/// Plus or minus that a rectangular distribution has for a standard uncertainty of 1.
const RECTANGULAR: f64 = 1.732_050_807_568_877_2;
/// Depths that differ by less than this name the same probe, m.
const SAME_DEPTH: f64 = 1e-6;
/// Tolerance on the depth of a probe's active element, m: that of the toy-test probe of Canada Toys Regulations
/// SOR/2011-17, Schedule 10.
pub const PROBE_DEPTH_TOLERANCE: f64 = 0.13e-3;

/// How a probe whose element lies that deep (m) reads, and plus or minus on its depth, m: as the shop knows it where it is
/// its usual probe.
pub fn meter_at(usual: Option<&UsualProbe>, depth: f64) -> (Meter, f64) {
    let own = usual.filter(|probe| (probe.depth.si() - depth).abs() < SAME_DEPTH);
    own.map_or_else(|| (Meter::usual(), PROBE_DEPTH_TOLERANCE.min(depth)), UsualProbe::reads)
}

#[cfg(test)]
mod tests;
