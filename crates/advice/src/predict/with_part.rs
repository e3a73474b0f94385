//! The band of a build with a steel part, out of a few solves about its middle.
//!
//! A solve costs ten milliseconds and a band needs dozens of values. So the solver gives the value at the middle, and the
//! ratios to it at the ends of what it depends on, one at a time; the logarithm of the value is taken as a sum of parabolas
//! through these points. Everything else (model, friction, calibration) is a plain factor. The same propagation as for bare
//! builds takes it from there.

use std::sync::Arc;

use uncertainty::{Band, Cause, Input, NotFinite, propagate};

use super::inputs::{COVERAGE, place};
use super::{InUse, NotComputable, Task};

/// Half width of the 95 % interval of the solver's error, as a part of the value (docs/steel.md).
pub(crate) const SOLVER_ERROR: f64 = 0.005;
/// Where the rim of a cup stands among the inputs.
const RIM: usize = place::COUNT;

/// What a solve depends on, as far as it is uncertain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct State([f64; AXES]);

const AXES: usize = 6;
const BR: usize = 0;
const GAP: usize = 1;
const PLATING: usize = 2;
const ACROSS: usize = 3;
const ALONG: usize = 4;
const OUT: usize = 5;

impl State {
    /// Remanence at temperature, T.
    pub(crate) fn br(&self) -> f64 {
        self.0[BR]
    }

    /// Layers and seat together; for a field what the distance is larger, m.
    pub(crate) fn gap(&self) -> f64 {
        self.0[GAP]
    }

    /// Plating a side, m.
    pub(crate) fn plating(&self) -> f64 {
        self.0[PLATING]
    }

    /// What every size across the magnet is larger, m.
    pub(crate) fn across(&self) -> f64 {
        self.0[ACROSS]
    }

    /// What each piece is thicker, m.
    pub(crate) fn along(&self) -> f64 {
        self.0[ALONG]
    }

    /// What the rim of a cup stands further out, m.
    pub(crate) fn out(&self) -> f64 {
        self.0[OUT]
    }

    /// All of it, to tell one state from another.
    pub(crate) fn numbers(&self) -> [f64; AXES] {
        self.0
    }

    fn with(&self, axis: usize, x: f64) -> Self {
        let mut state = *self;
        state.0[axis] = x;
        state
    }
}

/// The logarithm of a value along one axis, against that in the middle: a parabola.
#[derive(Clone, Copy)]
struct Along {
    middle: f64,
    slope: f64,
    curve: f64,
}

impl Along {
    const FLAT: Self = Self {
        middle: 0.0,
        slope: 0.0,
        curve: 0.0,
    };

    /// Through the middle, and through each end that lies off it.
    fn through(middle: f64, ends: [Option<(f64, f64)>; 2]) -> Self {
        let chord = |end: Option<(f64, f64)>| end.map(|(x, ln)| (x - middle, ln / (x - middle)));
        let (slope, curve) = match ends.map(chord) {
            [Some((a, before)), Some((b, after))] => {
                let curve = (after - before) / (b - a);
                (before - curve * a, curve)
            }
            [Some((_, slope)), None] | [None, Some((_, slope))] => (slope, 0.0),
            [None, None] => (0.0, 0.0),
        };
        Self { middle, slope, curve }
    }

    fn at(&self, x: f64) -> f64 {
        let off = x - self.middle;
        off * (self.slope + off * self.curve)
    }
}

impl InUse<'_> {
    /// The inputs of a build whose part has that tolerance, m: those of the bare build, with the error of the solver in
    /// place of that of the law, and the place of a cup's rim.
    fn fitted_inputs(&self, tolerance: f64) -> Vec<Input> {
        let mut inputs = self.inputs().to_vec();
        inputs[place::LAW] = Input::normal(Cause::Model, 1.0, SOLVER_ERROR / COVERAGE);
        inputs.push(Input::plus_minus(Cause::Part, 0.0, tolerance));
        inputs
    }

    fn state(&self, at: &[f64]) -> State {
        let room = self.warmth();
        let warmer = self.grade.alpha_br_per_k * at[place::WARMER] + at[place::COEFFICIENT] * (room - 1.0);
        let gap = match self.task {
            Task::Plate { .. } => at[place::LAYERS] + at[place::SEAT],
            _ => at[place::DEPTH],
        };
        // Fall-off, zero and where a hand holds the probe count for little beside the lot at the end of a part.
        State([
            self.left(at) * at[place::BR] * (room + warmer).max(0.0),
            gap,
            at[place::PLATING] + at[place::DEAD_LAYER],
            at[place::ACROSS],
            at[place::ALONG],
            at[RIM],
        ])
    }

    /// What a solved value is multiplied by.
    fn beside(at: &[f64]) -> f64 {
        [
            place::CALIBRATION,
            place::MODEL,
            place::FRICTION,
            place::LAW,
            place::PLACING,
        ]
        .iter()
        .map(|&k| at[k])
        .product()
    }

    /// The middle of what a solve depends on, and what a solved value is multiplied by there.
    pub(crate) fn fitted_middle(&self) -> (State, f64) {
        let mid: Vec<f64> = self.fitted_inputs(0.0).iter().map(Input::mid).collect();
        (self.state(&mid), Self::beside(&mid))
    }

    /// How the value of a build with a part moves about its middle: `ratios` are the values at some states over that there.
    /// A rim is known to `tolerance`, m, where there is one.
    ///
    /// # Errors
    /// [`NotComputable`] where one of the solves is.
    pub(crate) fn about_middle(
        &self,
        tolerance: f64,
        ratios: impl FnOnce(&State, &[State]) -> Result<Arc<[f64]>, NotComputable>,
    ) -> Result<AboutMiddle<'_>, NotComputable> {
        let inputs = self.fitted_inputs(tolerance);
        let mid: Vec<f64> = inputs.iter().map(Input::mid).collect();
        let middle = self.state(&mid);
        // All inputs of an axis at that end.
        let end = |axis: usize, side: usize| {
            let of: &[usize] = match (axis, self.task) {
                (BR, _) => &[place::BR],
                (GAP, Task::Plate { .. }) => &[place::LAYERS, place::SEAT],
                (GAP, _) => &[place::DEPTH],
                (PLATING, _) => &[place::PLATING, place::DEAD_LAYER],
                (ACROSS, _) => &[place::ACROSS],
                (ALONG, _) => &[place::ALONG],
                _ => &[RIM],
            };
            let mut at = mid.clone();
            for &k in of {
                at[k] = inputs[k].distribution.ends()[side];
            }
            self.state(&at).0[axis]
        };
        // What the value bends with is looked at both ways; plating and diameter move it by a per cent or two. They are looked
        // at where the magnet is smaller, so that it does not grow beyond the steel that it stands on.
        let ends: Vec<(usize, usize, f64)> = [BR, GAP, ALONG, OUT]
            .into_iter()
            .flat_map(|axis| [(axis, 0), (axis, 1)])
            .chain([(PLATING, 1), (ACROSS, 0)])
            .map(|(axis, side)| (axis, side, end(axis, side)))
            .filter(|&(axis, _, x)| x != middle.0[axis])
            .collect();
        let states: Vec<State> = ends.iter().map(|&(axis, _, x)| middle.with(axis, x)).collect();
        let solved: Vec<(usize, usize, f64, f64)> = ends
            .iter()
            .zip(&*ratios(&middle, &states)?)
            .map(|(&(axis, side, x), &ratio)| Ok((axis, side, x, positive(ratio)?.ln())))
            .collect::<Result<_, NotFinite>>()?;
        let mut along = [Along::FLAT; AXES];
        for (axis, along) in along.iter_mut().enumerate() {
            let at_end = |side: usize| {
                let found = solved.iter().find(|s| s.0 == axis && s.1 == side);
                found.map(|&(_, _, x, ln)| (x, ln))
            };
            *along = Along::through(middle.0[axis], [at_end(0), at_end(1)]);
        }
        Ok(AboutMiddle {
            in_use: self,
            inputs,
            along,
        })
    }
}

fn positive(value: f64) -> Result<f64, NotFinite> {
    if value > 0.0 { Ok(value) } else { Err(NotFinite) }
}

/// How the value of a build with a part moves about its middle.
pub(crate) struct AboutMiddle<'a> {
    in_use: &'a InUse<'a>,
    inputs: Vec<Input>,
    along: [Along; AXES],
}

impl AboutMiddle<'_> {
    /// The band about that solved value.
    ///
    /// # Errors
    /// [`NotComputable`] where the value is none.
    pub(crate) fn band(&self, value: f64) -> Result<Band, NotComputable> {
        let value = positive(value)?;
        let model = |at: &[f64]| {
            let state = self.in_use.state(at);
            let moved: f64 = self.along.iter().zip(state.0).map(|(along, x)| along.at(x)).sum();
            value * moved.exp() * InUse::beside(at)
        };
        Ok(propagate(&self.inputs, model)?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_parabola_goes_through_its_points() {
        let f = |x: f64| 0.3 * (x - 1.0) - 0.2 * (x - 1.0) * (x - 1.0);
        let whole = Along::through(1.0, [Some((0.5, f(0.5))), Some((3.0, f(3.0)))]);
        for x in [0.0, 0.5, 1.0, 2.0, 3.0] {
            assert!((whole.at(x) - f(x)).abs() <= 1e-12, "{x}");
        }
        let half = Along::through(1.0, [None, Some((3.0, 0.4))]);
        assert!((half.at(2.0) - 0.2).abs() <= 1e-12 && half.at(1.0) == 0.0);
        assert_eq!(Along::through(1.0, [None, None]).at(5.0), 0.0);
    }
}
