//! What gets through a sheet that a magnet holds on: the field behind it, and the flux that it carries.

use crate::drawing::Part;
use crate::solve::Solution;

/// What is behind a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Behind {
    /// Flux density on the axis at the back of the sheet, T.
    pub at_back: f64,
    /// The same at the wanted distance behind it, T.
    pub away: f64,
    /// Flux that the sheet's section below the rim of the magnet leads outwards, over that through the magnet's face: 1 where it takes all.
    pub carried: f64,
}

impl Solution {
    /// What is behind `sheet`, which lies below `magnet`, also `away` metres from its back; `None` where there are no such parts or no flux.
    ///
    /// A solve for the force is not refined there: what is shown is good to some per cent of itself where at least a hundredth of the face's field gets through, as a test says.
    #[must_use]
    pub fn behind(&self, magnet: &str, sheet: &str, away: f64) -> Option<Behind> {
        let part = |name: &str| self.drawing().parts.get(self.drawing().find(name)?);
        let (magnet, sheet) = (part(magnet)?, part(sheet)?);
        let (rim, [face, _]) = (outer(magnet), ends(magnet));
        let [back, front] = ends(sheet);
        let through = self.flux(rim, face);
        let inside = rim.min(outer(sheet));
        let carried = (self.flux(inside, front) - self.flux(inside, back)) / through;
        let on_axis = |z: f64| self.flux_density(0.0, z)[1].abs();
        carried.is_finite().then(|| Behind {
            at_back: on_axis(back),
            away: on_axis(back - away),
            carried: carried.clamp(0.0, 1.0),
        })
    }
}

fn outer(part: &Part) -> f64 {
    part.profile.iter().map(|p| p[0]).fold(0.0, f64::max)
}

/// Lowest and highest place.
fn ends(part: &Part) -> [f64; 2] {
    let heights = part.profile.iter().map(|p| p[1]);
    [
        heights.clone().fold(f64::INFINITY, f64::min),
        heights.fold(f64::NEG_INFINITY, f64::max),
    ]
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;
    use std::sync::Arc;

    use materials::MU_0;

    use crate::SteelTable;
    use crate::curve::BhCurve;
    use crate::drawing::{Drawing, Material};
    use crate::setups::{Piece, Size, on_plate};
    use crate::solve::{Options, Solution, solve};

    fn on_sheet(diameter: f64, length: f64, gap: f64, sheet: [f64; 2], steel: &Arc<BhCurve>) -> Drawing {
        let piece = |d, t, material| Piece {
            size: Size::disc(d, t),
            material,
        };
        let magnet = Material::Magnet {
            polarisation: 1.3,
            recoil_permeability: 1.0,
        };
        let [width, thickness] = sheet;
        on_plate(
            &piece(diameter, length, magnet),
            gap,
            &piece(width, thickness, Material::Steel(Arc::clone(steel))),
        )
    }

    fn linear(mu: f64) -> Arc<BhCurve> {
        Arc::new(BhCurve::new(&[1.0], &[1.0 / (MU_0 * mu)], MU_0 * mu).unwrap())
    }

    /// On the axis, flux density behind an infinite plate of permeability mu, of a charged disc at a height: each wave `exp(-k z)` of its potential passes with
    /// `4 mu / ((mu + 1)^2 - (mu - 1)^2 exp(-2 k t))` (W. R. Smythe, Static and Dynamic Electricity, images in a slab; here as a Fourier-Bessel integral).
    fn behind_slab(radius: f64, polarisation: f64, heights: [f64; 2], mu: f64, thickness: f64, away: f64) -> f64 {
        // Lower face with charge +J or -J alike in magnitude: B = J/2 integral of a J1(k a) (e^-k z1 - e^-k z2) T(k) dk, summed by the trapezium rule over many waves.
        let steps = 400_000;
        let longest = 60.0 / away.max(heights[0] + thickness);
        let dk = longest / f64::from(steps);
        (1..steps)
            .map(|i| {
                let k = f64::from(i) * dk;
                let far = k * (thickness + away);
                let wave = (-k * heights[0] - far).exp() - (-k * heights[1] - far).exp();
                let passes = 4.0 * mu / ((mu + 1.0).powi(2) - (mu - 1.0).powi(2) * (-2.0 * k * thickness).exp());
                0.5 * polarisation * radius * bessel_1(k * radius) * wave * passes * dk
            })
            .sum()
    }

    /// `J1(x)` by its integral over half a turn.
    fn bessel_1(x: f64) -> f64 {
        let n = 64 + x as u32;
        let terms = (0..n).map(|k| {
            let t = (f64::from(k) + 0.5) / f64::from(n) * PI;
            (t - x * t.sin()).cos()
        });
        terms.sum::<f64>() / f64::from(n)
    }

    /// A thin wide plate of constant permeability shields as the integral says.
    #[test]
    fn a_linear_sheet_shields_as_its_integral_says() {
        let (mu, thickness) = (200.0, 0.5e-3);
        let drawing = on_sheet(10e-3, 5e-3, 2e-3, [200e-3, thickness], &linear(mu));
        let solution = solve(&drawing, &Options::force_on("plate")).unwrap();
        let got = solution.behind("magnet", "plate", 10e-3).unwrap();
        for (found, away) in [(got.at_back, 0.0), (got.away, 10e-3)] {
            let wanted = behind_slab(5e-3, 1.3, [2e-3, 7e-3], mu, thickness, away);
            assert!((found / wanted - 1.0).abs() <= 0.03, "{found} {wanted}");
        }
    }

    /// What a solve for the force says of the field behind, against a solve refined for it.
    #[test]
    fn a_solve_for_the_force_knows_the_field_behind_to_a_few_percent() {
        let steel = &SteelTable::builtin().unwrap().curve("team13").unwrap().curve.clone();
        let mut last: Option<crate::behind::Behind> = None;
        for thickness in [0.3e-3, 0.5e-3, 1e-3, 2e-3, 4e-3] {
            let drawing = on_sheet(20e-3, 5e-3, 0.5e-3, [80e-3, thickness], steel);
            let behind = |solution: &Solution| solution.behind("magnet", "plate", 10e-3).unwrap();
            let got = behind(&solve(&drawing, &Options::force_on("plate")).unwrap());
            let fine = Options {
                points: vec![[1e-6, -thickness - 1e-6], [0.0, -thickness - 10e-3]],
                tolerance: 1e-3,
                least_unknowns: 8000,
                ..Options::force_on("plate")
            };
            let wanted = behind(&solve(&drawing, &fine).unwrap());
            println!("{thickness} {got:?} {wanted:?}");
            for (got, wanted) in [(got.at_back, wanted.at_back), (got.away, wanted.away)] {
                assert!(
                    (got - wanted).abs() <= 0.03 * wanted + 2e-5,
                    "{thickness}: {got} {wanted}"
                );
            }
            assert!((got.carried - wanted.carried).abs() <= 0.01, "{got:?} {wanted:?}");
            if let Some(last) = last {
                assert!(
                    got.at_back < last.at_back && got.carried > last.carried,
                    "{got:?} after {last:?}"
                );
            }
            last = Some(got);
        }
    }

    #[test]
    fn parts_that_are_not_there_have_nothing_behind_them() {
        let drawing = on_sheet(20e-3, 5e-3, 0.5e-3, [60e-3, 1e-3], &linear(1e3));
        let solution = solve(&drawing, &Options::force_on("plate")).unwrap();
        assert!(solution.behind("magnet", "lid", 0.01).is_none() && solution.behind("lid", "plate", 0.01).is_none());
    }
}
