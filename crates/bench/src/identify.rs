//! Which grade a magnet is, by its sizes and readings.

use materials::grade::GradeRow;
use serde::Serialize;
use statrs::distribution::{Continuous, ContinuousCDF, Normal};

use crate::fit::{FACTOR, FitError, Options, Parameter, fit};
use crate::lot::Lot;
use crate::next::{self, AtHand, Next};
use crate::probe::Probe;
use crate::reading::Reading;

/// Chance below which readings are not consistent with a grade.
const CONSISTENT: f64 = 0.01;
/// By how much a sum of squares must be smaller for one explanation to be the better of two with as many parameters: the
/// likelihoods are then as 20 to 1.
const BETTER: f64 = 5.99;
/// Proposed readings that are returned.
const PROPOSED: usize = 3;

/// Grades that no field tells apart: of one remanence and permeability.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Candidate {
    /// Their names.
    pub grades: Vec<String>,
    /// Their usual remanence, T.
    pub remanence: f64,
    /// Probability among the candidates, each as likely beforehand; they add up to 1.
    pub probability: f64,
    /// Standard uncertainties from the effective remanence found, lot spread included.
    pub standards: f64,
    /// Chance that such readings find a lot of it not to be what the label says, see [`power`].
    pub found: f64,
}

/// What the sizes on the label say against the readings.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Thinner {
    /// Thickness that the label's grade would have, m.
    pub thickness: f64,
    /// Its standard uncertainty, m.
    pub standard: f64,
    /// Whether the readings speak for it rather than for another remanence at the thickness listed: by one in twenty.
    pub surely: bool,
}

/// What a magnet is.
#[derive(Clone, Debug, Serialize)]
pub struct Identified {
    /// Effective remanence at 20 °C, T, with its standard uncertainty, by the permeability of the likeliest candidate.
    pub remanence: [f64; 2],
    /// The candidates, the likeliest first.
    pub candidates: Vec<Candidate>,
    /// Whether the readings are consistent with one at least.
    pub consistent: bool,
    /// Chance that a lot as labelled lies as far from its grade or farther.
    pub label: f64,
    /// A thickness that would explain a lot that is weaker than its label.
    pub thinner: Option<Thinner>,
    /// What to measure next to narrow the remanence, the best first.
    pub next: Vec<Next>,
}

/// Finds the grade of a lot among `grades`, by readings of it alone (their lot is number 0). The lot's own grade is the label,
/// its scale's uncertainty the spread of lots.
///
/// # Errors
/// [`FitError`].
pub fn identify(
    probe: &Probe,
    lot: &Lot,
    readings: &[Reading],
    grades: &[GradeRow],
    at_hand: &AtHand,
) -> Result<Identified, FitError> {
    let options = Options {
        free: vec![Parameter::Scale(0)],
        ..Options::default()
    };
    let spread = lot.scale[1];
    // A fit for each permeability and temperature coefficient; remanence itself only scales it.
    let mut fits: Vec<([f64; 2], [f64; 2])> = Vec::new();
    let mut candidates: Vec<(Candidate, f64, [f64; 2])> = Vec::new();
    for grade in grades {
        let same =
            |c: &&mut (Candidate, f64, [f64; 2])| c.0.remanence == grade.br_typical && c.1 == grade.recoil_permeability;
        if let Some((candidate, ..)) = candidates.iter_mut().find(same) {
            candidate.grades.push(grade.name.clone());
            continue;
        }
        let key = [grade.recoil_permeability, grade.alpha_br_per_k];
        let effective = match fits.iter().find(|(k, _)| *k == key) {
            Some((_, effective)) => *effective,
            None => {
                let as_grade = Lot {
                    grade: grade.clone(),
                    ..lot.clone()
                };
                let found = fit(probe, std::slice::from_ref(&as_grade), readings, &options)?;
                let effective = found.effective_remanence(0, &as_grade).unwrap_or([0.0, f64::INFINITY]);
                fits.push((key, effective));
                effective
            }
        };
        let candidate = Candidate {
            grades: vec![grade.name.clone()],
            remanence: grade.br_typical,
            probability: 0.0,
            standards: (effective[0] - grade.br_typical) / width(grade.br_typical, effective, spread),
            found: 0.0,
        };
        candidates.push((candidate, grade.recoil_permeability, effective));
    }
    let mut total = 0.0;
    for (candidate, _, effective) in &mut candidates {
        let width = width(candidate.remanence, *effective, spread);
        candidate.probability = Normal::new(candidate.remanence, width).map_or(0.0, |law| law.pdf(effective[0]));
        total += candidate.probability;
    }
    for (candidate, ..) in &mut candidates {
        candidate.probability = if total > 0.0 {
            candidate.probability / total
        } else {
            0.0
        };
    }
    candidates.sort_by(|a, b| b.0.probability.total_cmp(&a.0.probability));
    let own = fit(probe, std::slice::from_ref(lot), readings, &options)?;
    let labelled = own.effective_remanence(0, lot).unwrap_or([0.0, f64::INFINITY]);
    let usual = lot.grade.br_typical;
    let label = two_sided((labelled[0] - usual) / width(usual, labelled, spread));
    for (candidate, _, effective) in &mut candidates {
        candidate.found = power(usual, candidate.remanence, effective[1] / effective[0], spread);
    }
    let feasible = at_hand.feasible(1);
    let mut next = next::rank(
        probe,
        std::slice::from_ref(lot),
        readings,
        &options,
        &own,
        Parameter::Scale(0),
        &feasible,
    )?;
    next.truncate(PROPOSED);
    let thinner = thinner(probe, lot, readings)?;
    let nearest = candidates
        .iter()
        .map(|(c, ..)| two_sided(c.standards))
        .fold(0.0, f64::max);
    Ok(Identified {
        remanence: candidates.first().map_or(labelled, |(_, _, effective)| *effective),
        consistent: nearest >= CONSISTENT,
        candidates: candidates.into_iter().map(|(candidate, ..)| candidate).collect(),
        label,
        thinner,
        next,
    })
}

/// Chance that a normal value lies so many standard uncertainties from its mean or farther.
fn two_sided(z: f64) -> f64 {
    2.0 * Normal::standard().cdf(-z.abs())
}

/// The thickness that would explain a lot of the label's grade better than another remanence does.
fn thinner(probe: &Probe, lot: &Lot, readings: &[Reading]) -> Result<Option<Thinner>, FitError> {
    // All readings count in both, so that their sums of squares compare.
    let with = |parameter| {
        let options = Options {
            free: vec![parameter],
            leave_out_odd: false,
            ..Options::default()
        };
        fit(probe, std::slice::from_ref(lot), readings, &options)
    };
    // The lot's scale is known within its spread in the one, the thickness within its tolerance in the other.
    let (by_thickness, by_scale) = (with(Parameter::Thickness(0))?, with(Parameter::Scale(0))?);
    let Some(found) = by_thickness.get(Parameter::Thickness(0)) else {
        return Ok(None);
    };
    let missing = -found.value;
    let beyond = missing - FACTOR * found.standard > lot.tolerance;
    let surely = by_scale.chi_squared - by_thickness.chi_squared > BETTER;
    let possible = by_thickness.chi_squared - by_scale.chi_squared < BETTER;
    Ok((beyond && possible).then(|| Thinner {
        thickness: lot.shape.height() - missing,
        standard: found.standard,
        surely,
    }))
}

/// Standard uncertainty of the effective remanence that would be found of a lot of remanence `br`, T, with readings like those
/// that found `effective`: their part of the value and the spread of lots. It belongs to the grade that is held against the
/// readings, not to the value found, or a weak lot would be judged more strictly than a strong one.
fn width(br: f64, effective: [f64; 2], spread: f64) -> f64 {
    br * (effective[1] / effective[0]).hypot(spread)
}

/// Risk that a lot of the label's grade is found not to be of it.
pub const RISK: f64 = 0.05;

/// Chance that a lot of remanence `other`, T, is found not to be of a grade of remanence `label`, T, at the risk of 5 % for
/// lots that are ([`Identified::label`] below [`RISK`]): with the effective remanence known to `standard` (a part of it) and
/// lots that spread by `spread` (a part).
///
/// Over 2,000 simulated lots of each of six pairs of grades the part found lies within 0.034 of it, see the tests.
#[must_use]
pub fn power(label: f64, other: f64, standard: f64, spread: f64) -> f64 {
    let part = standard.hypot(spread);
    let half = FACTOR * part * label;
    Normal::new(other, part * other).map_or(f64::NAN, |law| law.cdf(label - half) + law.sf(label + half))
}
