//! What is uncertain in a prediction, and how much.

use bench::lot::{DEAD_LAYER, JOINT, LOT_SPREAD};
use bench::setup::{COEFFICIENT_TOLERANCE, NOISE, OFF_CENTRE, TEMPERATURE_TOLERANCE};
use magnetics::Shape;
use uncertainty::{Cause, Input};

use super::{Prediction, SEAT_GAP, STEEL_MODEL, Task, placement_tolerance};
use crate::coercivity;
use crate::known::Meter;

/// Standard uncertainties in half a 95 % interval of a normal distribution.
pub(super) const COVERAGE: f64 = 1.96;

/// Force between two magnets over that of the model: as for [`bench::setup::STEEL`], but on both sides.
pub const PAIR_MODEL: [f64; 3] = [0.95, 1.0, 1.05];

/// How far what a bent curve leaves of a short piece may be from what the hyperbola through remanence, coercivity and energy
/// product leaves, as a part of it: makers' curves differ between these three points; common practice, no source.
pub const BENT_CURVE: f64 = 0.1;

/// The uncertain inputs, by their place in the list that goes through the model.
pub(super) mod place {
    /// Remanence at 20 °C, T.
    pub const BR: usize = 0;
    /// Plating a side, m.
    pub const PLATING: usize = 1;
    /// What every size across is larger, m.
    pub const ACROSS: usize = 2;
    /// What the height is larger, m.
    pub const ALONG: usize = 3;
    /// Layers together, m.
    pub const LAYERS: usize = 4;
    /// Air between rough faces, m.
    pub const SEAT: usize = 5;
    /// What the distance to the place or the probe's element, or the gap of a pair, is larger, m.
    pub const DEPTH: usize = 6;
    /// Reading over field, where that is low.
    pub const CALIBRATION: usize = 7;
    /// What the magnet is warmer, K.
    pub const WARMER: usize = 8;
    /// What the change of remanence with temperature is larger, as a part of it.
    pub const COEFFICIENT: usize = 9;
    /// Value over that of the model.
    pub const MODEL: usize = 10;
    /// Coefficient of friction.
    pub const FRICTION: usize = 11;
    /// Pull by the solver over that of the law of its steel.
    pub const LAW: usize = 12;
    /// What the place is further off the axis, m.
    pub const ASIDE: usize = 13;
    /// Coercivity over the usual one of the grade.
    pub const COERCIVITY: usize = 14;
    /// What a bent curve leaves over what its formula does.
    pub const CURVE: usize = 15;
    /// Layer at each surface that holds no magnetisation, m.
    pub const DEAD_LAYER: usize = 16;
    /// Air in each joint of a stack, m.
    pub const JOINT: usize = 17;
    /// Part that a meter misses at 1 T.
    pub const FALL_OFF: usize = 18;
    /// Zero of a meter, T.
    pub const ZERO: usize = 19;
    /// Reading over that of a steady hand.
    pub const PLACING: usize = 20;
    /// How many there are.
    pub const COUNT: usize = 21;
}

/// How far a hand-held probe is from where it is meant to be, m.
fn off_centre(off_axis: f64) -> [f64; 3] {
    let [_, _, most] = OFF_CENTRE;
    // From the axis every way is outwards.
    if off_axis == 0.0 {
        OFF_CENTRE
    } else {
        [-most, 0.0, most]
    }
}

/// What is uncertain in a prediction.
pub type Inputs = [Input; place::COUNT];

impl Prediction<'_> {
    /// The uncertain inputs, in the order that [`super::InUse::value_with`] takes them.
    pub fn inputs(&self) -> Inputs {
        let plating = self.coating.thickness;
        let tolerance = self.item.tolerance.si();
        let bracket = |cause, [low, mid, high]: [f64; 3]| Input::new(cause, low, mid, high);
        let (none, whole) = ([0.0; 3], [1.0; 3]);
        let (layers, seat, model, friction) = match self.task {
            Task::Plate { layers, friction, .. } => (layers, SEAT_GAP, STEEL_MODEL, friction.unwrap_or(whole)),
            Task::Pair { .. } => (none, SEAT_GAP, PAIR_MODEL, whole),
            Task::Spot { .. } | Task::Dipole { .. } => (none, none, whole, whole),
        };
        let placed = |tolerance| Input::plus_minus(Cause::Placement, 0.0, tolerance);
        let (depth, aside) = match self.task {
            Task::Spot {
                tolerance,
                off_axis,
                meter: Some(meter),
                ..
            } => (
                meter.depth_within(tolerance),
                bracket(Cause::Placement, off_centre(off_axis)),
            ),
            Task::Spot {
                tolerance,
                off_axis,
                axial_only: false,
                ..
            } if tolerance > 0.0 => (placed(tolerance), placed(placement_tolerance(off_axis))),
            Task::Spot { tolerance, .. } => (placed(tolerance), placed(0.0)),
            Task::Pair { gap, .. } => (placed(placement_tolerance(gap)), placed(0.0)),
            Task::Plate { .. } | Task::Dipole { .. } => (placed(0.0), placed(0.0)),
        };
        let along = match self.lot.thickness {
            _ if matches!(self.item.shape, Shape::Sphere { .. }) => Input::plus_minus(Cause::Size, 0.0, 0.0),
            Some([thickness, standard]) => Input::normal(Cause::Size, thickness - self.item.shape.height(), standard),
            None => Input::plus_minus(Cause::Size, 0.0, tolerance),
        };
        let meter = self.task.meter();
        let (dead_layer, joint) = meter.map_or((none, none), |_| (DEAD_LAYER, JOINT));
        let meter = meter.unwrap_or(Meter::TRUE);
        let normal = |cause, [mid, standard]: [f64; 2]| Input::normal(cause, mid, standard);
        let [least, most] = coercivity::range(self.grade);
        // In the order of their places.
        [
            self.remanence(),
            bracket(Cause::Plating, [plating.min, plating.typical, plating.max]),
            Input::plus_minus(Cause::Size, 0.0, tolerance),
            along,
            bracket(Cause::Gap, layers),
            bracket(Cause::Gap, seat),
            depth,
            normal(Cause::Calibration, meter.gain),
            Input::plus_minus(Cause::Temperature, 0.0, TEMPERATURE_TOLERANCE),
            Input::plus_minus(Cause::Coefficient, 0.0, COEFFICIENT_TOLERANCE),
            bracket(Cause::Model, model),
            bracket(Cause::Friction, friction),
            Input::normal(Cause::Model, 1.0, self.law_error() / COVERAGE),
            aside,
            bracket(Cause::Coercivity, [least, 1.0, most]),
            Input::plus_minus(Cause::Coercivity, 1.0, if self.grade.linear { 0.0 } else { BENT_CURVE }),
            bracket(Cause::DeadLayer, dead_layer),
            bracket(Cause::Gap, joint),
            normal(Cause::Calibration, meter.fall_off),
            normal(Cause::Calibration, [0.0, meter.zero]),
            Input::normal(
                Cause::Repeatability,
                1.0,
                if self.task.meter().is_some() { NOISE } else { 0.0 },
            ),
        ]
    }

    /// The remanence at 20 °C: within the bracket of the grade, and for a reading as far from the usual one as lots are.
    fn remanence(&self) -> Input {
        let usual = self.grade.br_typical;
        match (self.task.meter(), self.lot.remanence) {
            (None, _) => Input::new(Cause::Grade, self.grade.br_min, usual, self.grade.br_max),
            (Some(_), Some([read, standard])) => Input::normal(Cause::Lot, read, standard),
            (Some(_), None) => Input::normal(Cause::Lot, usual, LOT_SPREAD * usual),
        }
    }
}
