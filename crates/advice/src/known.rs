//! What a shop knows of its lots and of its meter beyond what grades say: certificates, and readings at its bench.

use materials::grade::{GradeError, GradeRow};
use quantity::{FieldStrength, FluxDensity, Length};
use serde::{Deserialize, Serialize};
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
    /// Effective remanence at 20 °C: what a piece that is magnetised through to its plating would need to read so.
    pub br: FluxDensity,
    /// Its standard uncertainty.
    pub standard: FluxDensity,
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
        if self.br.si() > MOST_REMANENCE {
            return Err(GradeError::Value {
                grade: grade.name.clone(),
                field: "br",
                allowed: "at most 2.4 T",
                value: self.br.si(),
            });
        }
        let [low, _] = ends(self);
        let mut row = of_remanence(grade, self.br.si(), self.br.si() - low);
        row.source = format!("{} readings kept {}", self.readings, self.day);
        row.validate()?;
        Ok(row)
    }
}

/// Ends of the 95 % interval of the effective remanence, T.
pub fn ends(lot: &ReadLot) -> [f64; 2] {
    let within = COVERAGE * lot.standard.si();
    [lot.br.si() - within, lot.br.si() + within]
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
}

/// Plus or minus that a rectangular distribution has for a standard uncertainty of 1.
const RECTANGULAR: f64 = 1.732_050_807_568_877_2;
/// Depths that differ by less than this name the same probe, m.
const SAME_DEPTH: f64 = 1e-6;
/// Tolerance on the depth of a probe's active element, m: that of the toy-test probe of Canada Toys Regulations
/// SOR/2011-17, Schedule 10.
pub const PROBE_DEPTH_TOLERANCE: f64 = 0.13e-3;

/// Plus or minus on the depth of a probe whose element lies that deep, m: as the shop knows it where it is its usual probe.
pub fn depth_tolerance(usual: Option<&UsualProbe>, depth: f64) -> f64 {
    let own = usual.filter(|probe| (probe.depth.si() - depth).abs() < SAME_DEPTH);
    own.map_or(PROBE_DEPTH_TOLERANCE, |probe| RECTANGULAR * probe.standard.si())
        .min(depth)
}

#[cfg(test)]
mod tests;
