//! What heat and cold do to a body: loss permanently, and the highest temperature that a shape stands in its use.

use super::{Inside, State};
use materials::curve::{CurveError, Material};
use materials::grade::REFERENCE_CELSIUS;

/// A body after a history of temperatures.
#[derive(Clone, Debug, PartialEq)]
pub struct Heated {
    /// As put together and to use, at 20 °C ([`Inside::as_delivered`]).
    pub fresh: State,
    /// At each temperature that was visited, in turn.
    pub visits: Vec<State>,
    /// Back at 20 °C.
    pub after: State,
    /// Share of the flux that its loose pieces had which is lost permanently.
    pub loss: f64,
    /// Share by which it then falls short of a body whose curve has no knee.
    pub short: f64,
}

impl Inside {
    /// Takes a body as delivered at 20 °C to each temperature in turn and back; what is lost is lost permanently, and counted from
    /// what its pieces had when they lay loose.
    ///
    /// Flux is the magnetic moment, as a Helmholtz coil reads it.
    ///
    /// # Errors
    /// [`CurveError`] for a temperature out of range or a grade without a curve.
    pub fn heated(&self, material: &Material, celsius: &[f64]) -> Result<Heated, CurveError> {
        let room = material.curve_at_reference()?;
        let loose = self.loose(&room);
        let fresh = self.settle_from(&room, loose.as_deref());
        // At a temperature where it is already nothing moves.
        let mut visits: Vec<State> = Vec::with_capacity(celsius.len());
        let mut here = REFERENCE_CELSIUS;
        for &t in celsius {
            let before = visits.last().unwrap_or(&fresh);
            let there = if t == here {
                before.clone()
            } else {
                self.settle(&material.curve(t)?, Some(before))
            };
            visits.push(there);
            here = t;
        }
        let last = visits.last().unwrap_or(&fresh);
        let after = if here == REFERENCE_CELSIUS {
            last.clone()
        } else {
            self.settle(&room, Some(last))
        };
        let straight = self.straight(&room);
        Ok(Heated {
            loss: self.lost(loose.as_deref(), &fresh, &after),
            short: share_lost(straight, after.polarisation),
            fresh,
            visits,
            after,
        })
    }

    /// Share of the flux that is lost: from what the loose pieces had, or of a body that is one from the fresh state.
    fn lost(&self, loose: Option<&[f64]>, fresh: &State, after: &State) -> f64 {
        match loose {
            // What it faces lowers the polarisation for as long as it is there; what the cells retain tells the rest.
            Some(loose) => share_lost(self.mean(loose), self.mean(&after.retained)),
            None => share_lost(fresh.polarisation, after.polarisation),
        }
    }

    /// Mean over the volume.
    fn mean(&self, of: &[f64]) -> f64 {
        self.shares.iter().zip(of).map(|(share, x)| share * x).sum()
    }

    /// Mean polarisation of a body that keeps all of its remanence, to first order in the recoil, T.
    fn straight(&self, curve: &materials::curve::Curve) -> f64 {
        let factor: f64 = self
            .local_factors()
            .iter()
            .zip(&self.shares)
            .map(|(n, share)| n * share)
            .sum();
        curve.remanence() / (1.0 + curve.susceptibility() * factor)
    }
}

fn share_lost(before: f64, after: f64) -> f64 {
    if before > 0.0 {
        (1.0 - after / before).clamp(0.0, 1.0)
    } else {
        1.0
    }
}

/// The highest temperature, °C, to which a body may be taken without losing more than a share `allowed` of its flux permanently,
/// between `from` and `to`, to 0.5 K; `from` where even that is too much.
///
/// A temperature without a curve, where no coercivity is left, counts as too hot. With `allowed` = 0.05, a disc of L/D = 0.7 and nothing
/// facing it, this is the maximum working temperature as GB/T 13560-2017, 3.4 defines it.
#[must_use]
pub fn highest_celsius(inside: &Inside, material: &Material, allowed: f64, from: f64, to: f64) -> f64 {
    let Ok(room) = material.curve_at_reference() else {
        return from;
    };
    let loose = inside.loose(&room);
    let fresh = inside.settle_from(&room, loose.as_deref());
    let stands = |celsius: f64| {
        material.curve(celsius).is_ok_and(|curve| {
            let hot = inside.settle(&curve, Some(&fresh));
            let after = inside.settle(&room, Some(&hot));
            inside.lost(loose.as_deref(), &fresh, &after) <= allowed
        })
    };
    if stands(to) {
        return to;
    }
    if !stands(from) {
        return from;
    }
    let (mut low, mut high) = (from, to);
    while high - low > 0.5 {
        let middle = 0.5 * (low + high);
        if stands(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}
