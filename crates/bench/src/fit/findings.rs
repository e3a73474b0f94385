//! What is to be said of a fit, without words.

use nalgebra::DMatrix;
use serde::Serialize;

use super::model::{Model, lot_of};
use super::{FACTOR, Fitted, FittedReading, Parameter};
use crate::lot::{DEAD_LAYER, JOINT};

/// Correlation from which two parameters count as not told apart.
const TOGETHER: f64 = 0.9;
/// Least part of what was known beforehand that readings must take from a parameter's uncertainty for it to be told.
const LEARNT: f64 = 0.5;
/// Standard uncertainties from what was known of a probe beyond which it is not that probe.
const FAR: f64 = 3.0;
/// Remanence that no magnet passes, T: above the best sintered grade; from memory.
pub const LARGEST_REMANENCE: f64 = 1.55;

/// What would tell two parameters apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Cure {
    /// A probe whose depth is known, from a reference magnet with shims.
    KnowDepth,
    /// A moment by a coil pair, which feels neither depth nor joints.
    Coil,
    /// A reading one to three diameters away.
    FarReading,
    /// Readings on spacers of known thickness.
    Spacers,
    /// A micrometer.
    MeasureThickness,
    /// Readings of single pieces and of stacks.
    OtherCounts,
    /// A calibrated field for the probe.
    Calibration,
}

/// Something to be said of a fit.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "finding")]
pub enum Finding {
    /// A reading that the others contradict; it was left out if its weight is 0.
    OddReading {
        /// Its number, from 0.
        reading: usize,
        /// Standard uncertainties from what the others give.
        studentised: f64,
        /// What the others give, in SI.
        from_others: f64,
    },
    /// The readings scatter more than stated; uncertainties were enlarged by that factor.
    Scatter {
        /// The factor.
        factor: f64,
    },
    /// An effective remanence that no magnet of the lot's grade has.
    OutsideGrade {
        /// The lot.
        lot: usize,
        /// Effective remanence, T.
        remanence: f64,
        /// Its standard uncertainty, T.
        standard: f64,
        /// Least and largest remanence of the grade, T.
        bracket: [f64; 2],
        /// Whether it is outside by more than its uncertainty.
        surely: bool,
        /// Whether no magnet of any kind has it.
        no_magnet: bool,
    },
    /// Another value that cannot be.
    OutsideRange {
        /// Which.
        parameter: Parameter,
        /// Its value, in SI.
        value: f64,
        /// Its standard uncertainty.
        standard: f64,
        /// Least and largest value that can be.
        range: [f64; 2],
        /// Whether it is outside by more than its uncertainty.
        surely: bool,
    },
    /// A thin magnet whose thickness nobody measured.
    MeasureThickness {
        /// The lot.
        lot: usize,
    },
    /// Two parameters that these readings hardly tell apart.
    NotToldApart {
        /// One.
        first: Parameter,
        /// The other.
        second: Parameter,
        /// Their correlation.
        correlation: f64,
        /// What would tell them apart.
        cures: Vec<Cure>,
    },
    /// A free parameter that no reading tells.
    NotTold {
        /// Which.
        parameter: Parameter,
    },
}

/// The findings of a fit: odd readings before odd lots, then what is not told.
pub(super) fn of(
    model: &Model<'_>,
    parameters: &[Fitted],
    covariance: &DMatrix<f64>,
    readings: &[FittedReading],
    scatter: f64,
    left_out: &[bool],
) -> Vec<Finding> {
    let mut findings: Vec<Finding> = readings
        .iter()
        .enumerate()
        .filter(|(k, _)| left_out[*k])
        .map(|(reading, r)| Finding::OddReading {
            reading,
            studentised: r.studentised,
            from_others: r.from_others,
        })
        .collect();
    if scatter > 1.0 {
        findings.push(Finding::Scatter { factor: scatter });
    }
    findings.extend(parameters.iter().filter_map(|fitted| outside(model, fitted)));
    for (lot, listed) in model.lots.iter().enumerate() {
        if listed.wants_thickness() && model.readings.iter().any(|r| r.lot == lot) {
            findings.push(Finding::MeasureThickness { lot });
        }
    }
    let blind = parameters.iter().filter(|fitted| !fitted.standard.is_finite());
    let untold = blind.map(|fitted| fitted.parameter).chain(model.untold.iter().copied());
    findings.extend(untold.map(|parameter| Finding::NotTold { parameter }));
    let mut pairs = Vec::new();
    for (i, first) in parameters.iter().enumerate() {
        for (j, second) in parameters.iter().enumerate().skip(i + 1) {
            let correlation = covariance[(i, j)] / (covariance[(i, i)] * covariance[(j, j)]).sqrt();
            // What was known already and stays as unknown as it was is not for these readings to tell.
            let sought = is_sought(first) && is_sought(second);
            if correlation.abs() >= TOGETHER && sought {
                pairs.push((first.parameter, second.parameter, correlation));
            }
        }
    }
    pairs.sort_by(|a, b| b.2.abs().total_cmp(&a.2.abs()));
    findings.extend(
        pairs
            .into_iter()
            .map(|(first, second, correlation)| Finding::NotToldApart {
                first,
                second,
                correlation,
                cures: cures(first, second),
            }),
    );
    findings
}

/// Whether the readings are to tell a parameter: it is free, or they tell much of it.
fn is_sought(fitted: &Fitted) -> bool {
    fitted
        .prior
        .is_none_or(|[_, standard]| fitted.standard < LEARNT * standard)
}

fn outside(model: &Model<'_>, fitted: &Fitted) -> Option<Finding> {
    let (value, standard) = (fitted.value, fitted.standard);
    if !standard.is_finite() {
        return None;
    }
    let outside_by = |doubt: f64, [low, high]: [f64; 2]| value + doubt < low || value - doubt > high;
    let surely = |range| outside_by(FACTOR * standard, range);
    // What was known beforehand is not called wrong for a little.
    let is_outside = |range| {
        if fitted.prior.is_some() {
            surely(range)
        } else {
            outside_by(0.0, range)
        }
    };
    if let Parameter::Scale(lot) = fitted.parameter {
        let grade = &model.lots.get(lot)?.grade;
        let remanence = value * grade.br_typical;
        let bracket = [grade.br_min, grade.br_max];
        let range = bracket.map(|br| br / grade.br_typical);
        return outside_by(0.0, range).then_some(Finding::OutsideGrade {
            lot,
            remanence,
            standard: standard * grade.br_typical,
            bracket,
            surely: surely(range),
            no_magnet: remanence > LARGEST_REMANENCE,
        });
    }
    let probe = model.probe;
    let about = |mid: f64, standard: f64| [mid - FAR * standard, mid + FAR * standard];
    let range = match fitted.parameter {
        Parameter::Depth => {
            let [low, high] = about(probe.depth.si(), probe.depth_standard.si());
            [low.max(0.0), high]
        }
        Parameter::Gain => about(probe.gain, probe.gain_standard),
        Parameter::FallOff => about(probe.fall_off, probe.fall_off_standard),
        Parameter::Steel => [0.5, 1.1],
        Parameter::Joint(_) => [0.0, JOINT[2]],
        Parameter::FaceLoss(lot) => [0.0, model.lots.get(lot)?.plating[2] + DEAD_LAYER[2]],
        Parameter::Thickness(lot) => {
            let lot = model.lots.get(lot)?;
            match lot.measured_thickness {
                Some([thickness, standard]) => about(thickness - lot.shape.height(), standard),
                None => [-lot.tolerance, lot.tolerance],
            }
        }
        Parameter::Scale(_) => return None,
    };
    is_outside(range).then_some(Finding::OutsideRange {
        parameter: fitted.parameter,
        value,
        standard,
        range,
        surely: surely(range),
    })
}

/// What parts two parameters, the best first.
fn cures(first: Parameter, second: Parameter) -> Vec<Cure> {
    use Parameter::{Depth, FaceLoss, FallOff, Gain, Joint, Scale, Steel, Thickness};
    let ranked = |p| match p {
        Depth => 0,
        Gain => 1,
        FallOff => 2,
        Steel => 3,
        Scale(_) => 4,
        FaceLoss(_) => 5,
        Joint(_) => 6,
        Thickness(_) => 7,
    };
    let (a, b) = if ranked(first) <= ranked(second) {
        (first, second)
    } else {
        (second, first)
    };
    match (a, b) {
        (Depth, Scale(_)) => vec![Cure::KnowDepth, Cure::Coil, Cure::FarReading],
        (Depth, Gain | FallOff) => vec![Cure::Calibration, Cure::Spacers],
        (Depth, FaceLoss(_) | Joint(_) | Thickness(_)) => vec![Cure::KnowDepth, Cure::Spacers],
        (Gain | FallOff, _) => vec![Cure::Calibration, Cure::Coil],
        (Scale(_), Thickness(_)) => vec![Cure::MeasureThickness, Cure::OtherCounts],
        (Scale(_), FaceLoss(_) | Joint(_)) => vec![Cure::OtherCounts, Cure::Coil, Cure::MeasureThickness],
        (Scale(x), Scale(y)) if x != y => vec![Cure::KnowDepth, Cure::Coil],
        (FaceLoss(_), _) | (Joint(_), _) => vec![Cure::MeasureThickness, Cure::OtherCounts],
        (Steel, _) => vec![Cure::Coil],
        _ if lot_of(a) != lot_of(b) => vec![Cure::KnowDepth, Cure::Coil],
        _ => vec![Cure::OtherCounts],
    }
}
