//! What is uncertain in a prediction, and how much.

use magnetics::Shape;
use uncertainty::{Cause, Input};

use super::{Prediction, Task, placement_tolerance};
use crate::coercivity;

/// Standard uncertainties in half a 95 % interval of a normal distribution.
pub(super) const COVERAGE: f64 = 1.96;

/// Air between rough faces that touch, m: none to 0.05 mm; common practice, no source.
pub const SEAT_GAP: [f64; 3] = [0.0, 0.015e-3, 0.05e-3];
/// Pull on a plate over that of the law of its steel. Measured forces between magnets agreed with the rigid model within
/// 10 % in Vokoun, Tomassetti, Beleggia and Stachiv, JMMM 323(1), 55-60 (2011), abstract; plates are poorer and less flat
/// than the law's more often than better.
pub const STEEL_MODEL: [f64; 3] = [0.93, 1.0, 1.03];
/// The same between two magnets, on both sides.
pub const PAIR_MODEL: [f64; 3] = [0.95, 1.0, 1.05];
/// Standard uncertainty of a probe's calibration, as a part of the reading: transverse probes are sold as accurate to
/// 0.5 to 2 %, taken as an expanded uncertainty of 1 % with a coverage factor of 2; common practice, no source.
pub const CALIBRATION: f64 = 0.005;
/// How far a magnet's temperature may be from that named, K; common practice, no source.
pub const TEMPERATURE_TOLERANCE: f64 = 2.0;
/// How far makers differ in the coefficient of a grade's remanence, as a part of it; common practice, no source.
pub const COEFFICIENT_TOLERANCE: f64 = 0.1;

/// How far what a bent curve leaves of a short piece may be from what the hyperbola through remanence, coercivity and energy
/// product leaves, as a part of it: makers' curves differ between these three points; common practice, no source.
pub const BENT_CURVE: f64 = 0.1;

/// The shape with every size across changed by `across` and the height by `along`, m.
pub(crate) fn resized(shape: &Shape, across: f64, along: f64) -> Shape {
    match *shape {
        Shape::Disc { diameter, thickness } => Shape::Disc {
            diameter: diameter + across,
            thickness: thickness + along,
        },
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        } => Shape::Ring {
            outer_diameter: outer_diameter + across,
            inner_diameter: inner_diameter - across,
            thickness: thickness + along,
        },
        Shape::Block {
            length,
            width,
            thickness,
        } => Shape::Block {
            length: length + across,
            width: width + across,
            thickness: thickness + along,
        },
        Shape::Sphere { diameter } => Shape::Sphere {
            diameter: diameter + across,
        },
    }
}

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
    /// Reading over field.
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
    /// How many there are.
    pub const COUNT: usize = 16;
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
        let (depth, aside, calibration) = match self.task {
            Task::Spot {
                tolerance,
                axial_only: true,
                ..
            } => {
                let read = if tolerance > 0.0 { CALIBRATION } else { 0.0 };
                (Input::plus_minus(Cause::ProbeDepth, 0.0, tolerance), 0.0, read)
            }
            Task::Spot {
                tolerance, off_axis, ..
            } => {
                let aside = if tolerance > 0.0 {
                    placement_tolerance(off_axis)
                } else {
                    0.0
                };
                (Input::plus_minus(Cause::Placement, 0.0, tolerance), aside, 0.0)
            }
            Task::Pair { gap, .. } => (
                Input::plus_minus(Cause::Placement, 0.0, placement_tolerance(gap)),
                0.0,
                0.0,
            ),
            Task::Plate { .. } | Task::Dipole { .. } => (Input::plus_minus(Cause::Placement, 0.0, 0.0), 0.0, 0.0),
        };
        let along = if matches!(self.item.shape, Shape::Sphere { .. }) {
            0.0
        } else {
            tolerance
        };
        let [least, most] = coercivity::range(self.grade);
        // In the order of their places.
        [
            bracket(
                Cause::Grade,
                [self.grade.br_min, self.grade.br_typical, self.grade.br_max],
            ),
            bracket(Cause::Plating, [plating.min, plating.typical, plating.max]),
            Input::plus_minus(Cause::Size, 0.0, tolerance),
            Input::plus_minus(Cause::Size, 0.0, along),
            bracket(Cause::Gap, layers),
            bracket(Cause::Gap, seat),
            depth,
            Input::normal(Cause::Calibration, 1.0, calibration),
            Input::plus_minus(Cause::Temperature, 0.0, TEMPERATURE_TOLERANCE),
            Input::plus_minus(Cause::Coefficient, 0.0, COEFFICIENT_TOLERANCE),
            bracket(Cause::Model, model),
            bracket(Cause::Friction, friction),
            Input::normal(Cause::Model, 1.0, self.law_error() / COVERAGE),
            Input::plus_minus(Cause::Placement, 0.0, aside),
            bracket(Cause::Coercivity, [least, 1.0, most]),
            Input::plus_minus(Cause::Coercivity, 1.0, if self.grade.linear { 0.0 } else { BENT_CURVE }),
        ]
    }
}
