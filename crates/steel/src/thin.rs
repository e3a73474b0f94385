//! A conservative estimate of the pull on steel too thin to carry the flux, from flux continuity.
//!
//! All flux that enters the steel under the pole must leave sideways through the section at the pole's rim. With a
//! pole of area A and rim P, a mean flux density B under it and a plate of thickness t, the section carries
//! B_plate = B A / (P t). Steel carries no more than its usable value B_s, so the thickness that is just enough is
//!
//! t_enough = B A / (P B_s)     (for a round pole: B R / (2 B_s))
//!
//! B follows from the pull on thick steel, F = B_rms^2 A / (2 mu0) by the Maxwell stress: B_rms counts the pull of the
//! whole plate on the pole alone and is not below the mean, so t_enough is not too small. Below t_enough the flux, and
//! with it B, is cut in the ratio t / t_enough, and the pull by its square. Derived here; no published source.

use magnetics::MU_0;

/// What a plate of some thickness does to the pull on a thick one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThinPlate {
    /// Pull on this plate over pull on a thick plate, 0 to 1.
    pub factor: f64,
    /// Thickness in metres that carries all the flux.
    pub enough: f64,
}

/// Estimates what a plate `thickness` metres thick leaves of `thick_pull` newtons.
///
/// `pole_area` (m2) and `pole_rim` (m, outer edge) describe the face towards the steel, `usable` (T) the steel. All must
/// be greater than zero, except `thick_pull`, which may be zero and then needs no steel at all.
pub fn thin_plate(thick_pull: f64, pole_area: f64, pole_rim: f64, usable: f64, thickness: f64) -> ThinPlate {
    let flux_density = (2.0 * MU_0 * thick_pull / pole_area).sqrt();
    let enough = flux_density * pole_area / (pole_rim * usable);
    let ratio = if enough > thickness { thickness / enough } else { 1.0 };
    ThinPlate { factor: ratio * ratio, enough }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    /// A 15 x 5 mm disc that pulls 45 N: B = 0.8 T over its pole, so t = B R / (2 B_s).
    #[test]
    fn round_pole_needs_half_its_radius_times_the_ratio_of_flux_densities() {
        let radius = 7.5e-3;
        let area = PI * radius * radius;
        let b = 0.8;
        let pull = b * b * area / (2.0 * MU_0);
        let got = thin_plate(pull, area, 2.0 * PI * radius, 1.6, 3e-3);
        assert!((got.enough - b * radius / (2.0 * 1.6)).abs() <= 1e-12);
        assert_eq!(got.factor, 1.0);
    }

    #[test]
    fn half_the_thickness_leaves_a_quarter() {
        let (area, rim) = (1e-4, 0.04);
        let enough = thin_plate(30.0, area, rim, 1.6, 1.0).enough;
        let got = thin_plate(30.0, area, rim, 1.6, enough / 2.0);
        assert!((got.factor - 0.25).abs() <= 1e-12);
    }

    #[test]
    fn more_steel_never_pulls_less_and_never_more_than_thick() {
        let mut last = 0.0;
        for k in 1..200 {
            let f = thin_plate(50.0, 2e-4, 0.05, 1.2, k as f64 * 5e-5).factor;
            assert!(f >= last && f <= 1.0);
            last = f;
        }
        assert_eq!(last, 1.0);
    }

    #[test]
    fn no_pull_needs_no_steel() {
        assert_eq!(thin_plate(0.0, 1e-4, 0.04, 1.6, 1e-3), ThinPlate { factor: 1.0, enough: 0.0 });
    }
}
