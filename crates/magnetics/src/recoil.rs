//! Real magnets to first order: recoil permeability, working point, margin to the knee.
//!
//! A magnet's own demagnetising field lowers its polarisation along a recoil line of slope `μ_rec`.
//! Taking the body's mean demagnetising factor for all of it gives its moment and mean working point;
//! the field at the face of a disc with `μ_rec` = 1.05 would come out about 1 % too high.
//! [`crate::recoil_correction`] has factors for single fields and forces, [`crate::recoil_solve`] the solve behind them.

use thiserror::Error;

use materials::LARGEST_POLARISATION;
use materials::MU_0;

/// Mean state of a magnet on its own load line, open circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorkingPoint {
    /// Mean polarisation, T.
    pub polarisation: f64,
    /// Mean field strength inside, A/m, negative.
    pub field_strength: f64,
    /// Mean flux density inside, T.
    pub flux_density: f64,
    /// Permeance coefficient `B / (μ0 |H|) = (1 - N) / N`.
    pub permeance_coefficient: f64,
}

/// Why there is no working point.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum RecoilError {
    /// Remanence out of range.
    #[error("remanence must be above 0 T and at most {LARGEST_POLARISATION} T, got {0} T")]
    Remanence(f64),
    /// Recoil permeability out of range.
    #[error("recoil permeability must be from 1 to 100, got {0}")]
    Permeability(f64),
    /// Demagnetising factor out of range.
    #[error("demagnetising factor must lie between 0 and 1, got {0}")]
    Factor(f64),
    /// Coercivity out of range.
    #[error("coercivity must be finite and positive, got {0} A/m")]
    Coercivity(f64),
}

/// Effective polarisation `J = Br / (1 + (μ_rec - 1) N)`, T, of a body with demagnetising factor `factor`.
///
/// `remanence` in tesla at the temperature in question. For a stack take the factor of the whole ([`crate::demag::of_stack`]).
///
/// # Errors
/// [`RecoilError`] for an argument out of range.
pub fn effective_polarisation(remanence: f64, recoil_permeability: f64, factor: f64) -> Result<f64, RecoilError> {
    if !(remanence > 0.0 && remanence <= LARGEST_POLARISATION) {
        return Err(RecoilError::Remanence(remanence));
    }
    if !(1.0..=100.0).contains(&recoil_permeability) {
        return Err(RecoilError::Permeability(recoil_permeability));
    }
    if !(factor > 0.0 && factor < 1.0) {
        return Err(RecoilError::Factor(factor));
    }
    Ok(remanence / (1.0 + (recoil_permeability - 1.0) * factor))
}

/// Mean working point of a body alone in air.
///
/// Equal to the crossing of the load line with the straight curve: `B = Br Pc / (Pc + μ_rec)`, `H = -Br / (μ0 (Pc + μ_rec))`.
///
/// # Errors
/// [`RecoilError`] for an argument out of range.
pub fn working_point(remanence: f64, recoil_permeability: f64, factor: f64) -> Result<WorkingPoint, RecoilError> {
    let polarisation = effective_polarisation(remanence, recoil_permeability, factor)?;
    Ok(WorkingPoint {
        polarisation,
        field_strength: -factor * polarisation / MU_0,
        flux_density: (1.0 - factor) * polarisation,
        permeance_coefficient: (1.0 - factor) / factor,
    })
}

/// Share of the intrinsic coercivity that the body's own mean field uses up: `|H| / HcJ`.
///
/// Both at the temperature in question; `coercivity` in A/m. Irreversible loss starts at about 0.9 for a curve of good squareness
/// (common practice, no source); corners and faces see more than the mean.
///
/// # Errors
/// [`RecoilError`] for an argument out of range.
pub fn knee_margin(remanence: f64, recoil_permeability: f64, factor: f64, coercivity: f64) -> Result<f64, RecoilError> {
    if !(coercivity > 0.0 && coercivity.is_finite()) {
        return Err(RecoilError::Coercivity(coercivity));
    }
    Ok(working_point(remanence, recoil_permeability, factor)?
        .field_strength
        .abs()
        / coercivity)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn load_line_crosses_the_straight_curve() {
        let (br, mu, factor) = (1.2, 1.05, 0.3933);
        let point = working_point(br, mu, factor).expect("in range");
        let pc = (1.0 - factor) / factor;
        assert!((point.flux_density - br * pc / (pc + mu)).abs() <= 1e-14);
        assert!((point.field_strength + br / (MU_0 * (pc + mu))).abs() <= 1e-8);
        assert!((point.flux_density - (br + mu * MU_0 * point.field_strength)).abs() <= 1e-14);
        assert!((point.permeance_coefficient - pc).abs() <= 1e-14);
    }

    /// A grade sold for 80 °C is beyond its knee at 80 °C when the disc is thin: 0.954 of HcJ at L/D 0.2 (computed, two routes).
    #[test]
    fn thin_disc_loses_at_the_quoted_ceiling() {
        let margin = knee_margin(1.1136, 1.05, 0.680_174_53, 611.2e3).expect("in range");
        assert!((margin - 0.954).abs() <= 5e-4, "{margin}");
    }

    #[test]
    fn arguments_out_of_range_are_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(matches!(working_point(bad, 1.05, 0.3), Err(RecoilError::Remanence(_))));
            assert!(matches!(
                working_point(1.2, bad, 0.3),
                Err(RecoilError::Permeability(_))
            ));
            assert!(matches!(working_point(1.2, 1.05, bad), Err(RecoilError::Factor(_))));
            assert!(matches!(
                knee_margin(1.2, 1.05, 0.3, bad),
                Err(RecoilError::Coercivity(_))
            ));
        }
    }
}
