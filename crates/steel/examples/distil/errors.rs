//! How far a law is from solves.

use std::fmt;

use steel::pull_law::{OnPlate, PullLaw};

use crate::sample::Sample;

/// Relative errors of a law.
pub struct Errors {
    /// Number of places.
    pub places: usize,
    /// Half of them are below this.
    pub median: f64,
    /// 95 % of them are below this.
    pub most: f64,
    /// Share of them within 2 %.
    pub within: f64,
    /// The greatest.
    pub worst: f64,
    /// Where that is.
    pub at: Option<OnPlate>,
}

impl Errors {
    /// Those of a law at these solves.
    pub fn of(law: &PullLaw, samples: &[Sample]) -> Self {
        let mut errors: Vec<(f64, OnPlate)> = samples
            .iter()
            .map(|s| ((law.factor(&s.at) / s.eta - 1.0).abs(), s.at))
            .collect();
        errors.sort_by(|a, b| a.0.total_cmp(&b.0));
        let quantile = |q: f64| errors.get((q * errors.len() as f64) as usize).map_or(f64::NAN, |e| e.0);
        Self {
            places: errors.len(),
            median: quantile(0.5),
            most: quantile(0.95),
            within: errors.iter().filter(|e| e.0 <= 0.02).count() as f64 / errors.len() as f64,
            worst: errors.last().map_or(f64::NAN, |e| e.0),
            at: errors.last().map(|e| e.1),
        }
    }
}

impl fmt::Display for Errors {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(
            f,
            "{} places: median {:.2} %, 95 % below {:.2} %, within 2 % {:.1} %, worst {:.1} %",
            self.places,
            100.0 * self.median,
            100.0 * self.most,
            100.0 * self.within,
            100.0 * self.worst
        )?;
        if let Some(at) = self.at {
            write!(
                f,
                " at L/D {:.2}, bore {:.2}, gap/D {:.3}, t/D {:.3}, {:.2} T, mu {:.2}",
                at.height, at.bore, at.gap, at.plate, at.polarisation, at.permeability
            )?;
        }
        Ok(())
    }
}
