//! What a reading comes from: one function of a few uncertain inputs.
//!
//! Magnets are rigid, their polarisation lowered by recoil as [`magnetics::recoil_correction`] has it for the stack as one
//! solid; pieces keep their plating, dead layer and joints as gaps. Pull is that on an ideal plate with the law of the real one.

use magnetics::recoil_correction::{Effect, RecoilCorrection};
use magnetics::{Shape, StackField, StackPull, demag, recoil};
use materials::MU_0;
use uncertainty::{Cause, Input};

use crate::element;
use crate::error::SetupError;
use crate::lot::{DEAD_LAYER, JOINT, Lot};
use crate::plate::{PAINT_TOLERANCE, Plate, Under};
use crate::probe::{CALIBRATION_CELSIUS, Probe};
use crate::reading::{ROOM_CELSIUS, Reading, Value};

/// Noise of a probe reading for placing, tilt and piece to piece, as a part of it: 1.2 to 1.5 % by fits of hand-held readings;
/// common practice, no source.
pub const NOISE: f64 = 0.0135;
/// Distance from the place meant to the place read, m: none to 0.6 mm by hand; common practice, no source.
pub const OFF_CENTRE: [f64; 3] = [0.0, 0.2e-3, 0.6e-3];
/// Standard uncertainty of a spacer's thickness, m: a micrometer and dust; common practice, no source.
pub const SPACER_STANDARD: f64 = 0.01e-3;
/// Standard uncertainty of a distance set by a stand or a ruler, m; common practice, no source.
pub const ALONG_STANDARD: f64 = 0.1e-3;
/// How far a temperature may be from that named, K; common practice, no source.
pub const TEMPERATURE_TOLERANCE: f64 = 2.0;
/// How far makers differ in the coefficient of a grade's remanence, as a part of it; common practice, no source.
pub const COEFFICIENT_TOLERANCE: f64 = 0.1;
/// Pull on a plate over that of the law of its steel. Measured forces between magnets agreed with the rigid model within
/// 10 % in Vokoun, Tomassetti, Beleggia and Stachiv, JMMM 323(1), 55-60 (2011), abstract; plates are poorer and less flat
/// than the law's more often than better.
pub const STEEL: [f64; 3] = [0.93, 1.0, 1.03];
/// Air between rough faces that touch, m; common practice, no source.
pub const SEAT: [f64; 3] = [0.0, 0.015e-3, 0.05e-3];
/// Standard uncertainty of a moment by a coil pair, as a part of it, and of a pull by a tester; common practice, no source.
pub const COIL_STANDARD: f64 = 0.01;
/// The same of a pull tester; common practice, no source.
pub const TESTER_STANDARD: f64 = 0.03;
/// Standard uncertainties in half a 95 % interval of a normal distribution.
const COVERAGE: f64 = 1.96;

/// The inputs of a reading, by their place.
pub mod place {
    /// Effective remanence over the usual one of the grade.
    pub const SCALE: usize = 0;
    /// Plating a side, m.
    pub const PLATING: usize = 1;
    /// Dead layer at each surface, m.
    pub const DEAD_LAYER: usize = 2;
    /// What sizes across are larger, m.
    pub const ACROSS: usize = 3;
    /// What each piece is thicker, m.
    pub const THICKNESS: usize = 4;
    /// Air in each joint, m.
    pub const JOINT: usize = 5;
    /// Depth of the element, m.
    pub const DEPTH: usize = 6;
    /// Gain of the probe.
    pub const GAIN: usize = 7;
    /// Part missing at 1 T.
    pub const FALL_OFF: usize = 8;
    /// Zero of the meter and the step of its display, T.
    pub const ZERO: usize = 9;
    /// Distance from the place meant, m.
    pub const OFF_CENTRE: usize = 10;
    /// What spacer and distance are larger, m.
    pub const DISTANCE: usize = 11;
    /// What the magnet is warmer, K.
    pub const WARMER: usize = 12;
    /// What the change with temperature is larger, as a part of it.
    pub const COEFFICIENT: usize = 13;
    /// Reading over that of a steady hand.
    pub const PLACING: usize = 14;
    /// Pull over that of the law of its steel.
    pub const STEEL: usize = 15;
    /// Air between magnet and plate, m.
    pub const SEAT: usize = 16;
    /// Pull by the solver over that of the law.
    pub const LAW: usize = 17;
    /// Paint of the plate, m.
    pub const PAINT: usize = 18;
    /// How many there are.
    pub const COUNT: usize = 19;
}

/// Values of the inputs.
pub type At = [f64; place::COUNT];

/// One reading of one lot by one probe, ready to be predicted.
#[derive(Clone, Copy, Debug)]
pub struct Setup<'a> {
    /// The probe.
    pub probe: &'a Probe,
    /// The lot.
    pub lot: &'a Lot,
    /// Where and of how many pieces; its value only tells the kind.
    pub reading: &'a Reading,
    /// Standard uncertainty of placing, tilt and piece to piece, as a part of a probe's reading.
    pub noise: f64,
    /// What it pulls from.
    plate: Option<Under>,
}

impl<'a> Setup<'a> {
    /// With usual noise.
    ///
    /// # Errors
    /// [`SetupError`] for a value out of range.
    pub fn new(probe: &'a Probe, lot: &'a Lot, reading: &'a Reading) -> Result<Self, SetupError> {
        probe.validate()?;
        lot.validate()?;
        reading.validate()?;
        lot.grade.br_at(lot.grade.br_typical, reading.celsius())?;
        let plate = match (reading.value, &reading.plate) {
            (Value::Pull(_), Some(plate)) => Some(plate.under(&lot.shape)?),
            (Value::Pull(_), None) => Some(Plate::default().under(&lot.shape)?),
            _ => None,
        };
        Ok(Self {
            probe,
            lot,
            reading,
            noise: NOISE,
            plate,
        })
    }

    /// The same with noise found from repeats ([`crate::fit::repeatability`]).
    #[must_use]
    pub fn with_noise(self, noise: f64) -> Self {
        Self { noise, ..self }
    }

    /// Whether the probe and where it is held count.
    #[must_use]
    pub fn by_probe(&self) -> bool {
        matches!(self.reading.value, Value::FluxDensity(_))
    }

    /// The uncertain inputs, by their places; those that the kind of reading does not feel have no spread.
    #[must_use]
    pub fn inputs(&self) -> [Input; place::COUNT] {
        let (probe, lot, reading) = (self.probe, self.lot, self.reading);
        let limits = |cause, [low, mid, high]: [f64; 3]| Input::new(cause, low, mid, high);
        let by_probe = self.by_probe();
        let felt = |yes: bool, standard: f64| if yes { standard } else { 0.0 };
        let turned_to_one = matches!(lot.shape, Shape::Sphere { .. });
        let thickness = match lot.measured_thickness {
            _ if turned_to_one => Input::normal(Cause::Size, 0.0, 0.0),
            Some([thickness, standard]) => Input::normal(Cause::Size, thickness - lot.shape.height(), standard),
            None => Input::plus_minus(Cause::Size, 0.0, lot.tolerance),
        };
        let stacked = reading.pieces > 1;
        let (spacer, along) = (reading.spacer.si() > 0.0, reading.along.si() > 0.0);
        let distance = felt(spacer, SPACER_STANDARD).hypot(felt(along, ALONG_STANDARD));
        let off_centre = match reading.across.si() {
            _ if !by_probe => [0.0; 3],
            0.0 => OFF_CENTRE,
            _ => [-OFF_CENTRE[2], 0.0, OFF_CENTRE[2]],
        };
        let noise = match reading.value {
            Value::FluxDensity(_) => self.noise,
            Value::Pull(_) => TESTER_STANDARD,
            Value::Moment(_) => COIL_STANDARD,
        };
        let pulls = self.plate.is_some();
        let paint = reading
            .plate
            .as_ref()
            .filter(|_| pulls)
            .map_or(0.0, |plate| plate.paint.si());
        let zero = felt(by_probe, probe.zero_standard());
        [
            Input::normal(Cause::Lot, lot.scale[0], lot.scale[1]),
            limits(Cause::Plating, lot.plating),
            limits(Cause::DeadLayer, DEAD_LAYER),
            Input::plus_minus(Cause::Size, 0.0, lot.tolerance),
            thickness,
            limits(Cause::Gap, if stacked { JOINT } else { [0.0; 3] }),
            Input::normal(
                Cause::ProbeDepth,
                probe.depth.si(),
                felt(by_probe, probe.depth_standard.si()),
            ),
            Input::normal(Cause::Calibration, probe.gain, felt(by_probe, probe.gain_standard)),
            Input::normal(
                Cause::Calibration,
                probe.fall_off,
                felt(by_probe, probe.fall_off_standard),
            ),
            Input::normal(Cause::Calibration, 0.0, zero),
            limits(Cause::Placement, off_centre),
            Input::normal(Cause::Placement, 0.0, distance),
            Input::plus_minus(Cause::Temperature, 0.0, TEMPERATURE_TOLERANCE),
            Input::plus_minus(Cause::Coefficient, 0.0, COEFFICIENT_TOLERANCE),
            Input::normal(Cause::Repeatability, 1.0, noise),
            limits(Cause::Model, if pulls { STEEL } else { [1.0; 3] }),
            limits(Cause::Gap, if pulls { SEAT } else { [0.0; 3] }),
            Input::normal(Cause::Model, 1.0, self.law_error() / COVERAGE),
            limits(
                Cause::Gap,
                [1.0 - PAINT_TOLERANCE, 1.0, 1.0 + PAINT_TOLERANCE].map(|part| part * paint),
            ),
        ]
    }

    /// The inputs in their middle.
    #[must_use]
    pub fn middle(&self) -> At {
        self.inputs().map(|input| input.mid())
    }

    /// Half width of the 95 % interval of the error of the plate's law, as a part of the pull; 0 for what is no pull.
    fn law_error(&self) -> f64 {
        let Some(plate) = self.plate else { return 0.0 };
        let (lot, reading) = (self.lot, self.reading);
        let height = lot.shape.height() * f64::from(reading.pieces);
        let solid = lot.shape.with_height(height).unwrap_or(lot.shape);
        let paint = reading.plate.as_ref().map_or(0.0, |plate| plate.paint.si());
        let gap = reading.spacer.si() + reading.along.si() + paint;
        plate.error(&solid, gap, lot.grade.br_typical, lot.grade.recoil_permeability)
    }

    /// The reading for these inputs, in SI; not a number where they leave no magnet.
    ///
    /// Accuracy for given inputs: of a field that of the mean over the element ([`element::mean`]) and of the recoil
    /// correction, 0.15 %; of a moment 0.1 %; of a pull 0.3 % and the error of the law.
    #[must_use]
    pub fn value(&self, at: &At) -> f64 {
        self.physical(at).map_or(f64::NAN, |physical| self.shown(at, physical))
    }

    /// What the instrument shows for the field over the element, T, the pull by the law of the steel, N, or the moment, A m².
    #[must_use]
    pub(crate) fn shown(&self, at: &At, physical: f64) -> f64 {
        let steady = match self.reading.value {
            Value::FluxDensity(_) => {
                let away = self.reading.celsius() - CALIBRATION_CELSIUS;
                let gain = at[place::GAIN] * (1.0 + self.probe.temperature_coefficient * away);
                Probe::shows(gain, at[place::FALL_OFF], physical) + at[place::ZERO]
            }
            Value::Pull(_) => at[place::STEEL] * at[place::LAW] * physical,
            Value::Moment(_) => physical,
        };
        at[place::PLACING] * steady
    }

    /// The field over the element, T, the pull by the law of the steel, N, or the moment, A m²: but for the pull proportional to
    /// the scale. `None` where the inputs leave no magnet.
    pub(crate) fn physical(&self, at: &At) -> Option<f64> {
        let (lot, reading) = (self.lot, self.reading);
        let loss = at[place::PLATING] + at[place::DEAD_LAYER];
        let outer = resized(&lot.shape, at[place::ACROSS], at[place::THICKNESS]);
        let magnet = resized(&outer, -2.0 * loss, -2.0 * loss);
        magnet.validate().ok()?;
        let pieces = reading.pieces as usize;
        let pitch = outer.height() + at[place::JOINT];
        let grade = &lot.grade;
        let factor = demag::of_stack(&magnet, pieces).ok()?;
        let warmer = reading.celsius() + at[place::WARMER] - ROOM_CELSIUS;
        let warmth = 1.0 + grade.alpha_br_per_k * (1.0 + at[place::COEFFICIENT]) * warmer;
        let remanence = at[place::SCALE] * grade.br_typical * warmth;
        let polarisation = recoil::effective_polarisation(remanence, grade.recoil_permeability, factor).ok()?;
        let solid = || {
            let height = pitch * pieces as f64 - (pitch - magnet.height());
            magnet.with_height(height).unwrap_or(magnet)
        };
        let uneven = |effect| {
            let solid = solid();
            RecoilCorrection::new(&solid, factor, grade.recoil_permeability, effect)
        };
        let away = reading.spacer.si() + reading.along.si() + at[place::DISTANCE];
        match reading.value {
            Value::FluxDensity(_) => {
                let distance = away + at[place::DEPTH];
                let across = reading.across.si() + at[place::OFF_CENTRE];
                let field = StackField::spaced(magnet, pieces, pitch, loss, polarisation).ok()?;
                let even = element::mean(&field, self.probe.element, across, distance);
                Some((even * uneven(Effect::Field).over_even(distance + loss)).abs())
            }
            Value::Pull(_) => {
                // Half of a joint's air is taken as plating, so that pieces stand `pitch` apart.
                let half = 0.5 * at[place::JOINT];
                let gap = (away + at[place::SEAT] + at[place::PAINT] - half).max(0.0);
                let spaced = resized(&outer, 2.0 * half, 2.0 * half);
                let pull = StackPull::new(&spaced, (loss + half).max(0.0), pieces, polarisation).ok()?;
                let mirror = pull.plate_pull(gap).ok()?;
                let away = (gap + half + loss).max(0.0);
                let permeability = grade.recoil_permeability;
                Some(self.plate?.pull(&solid(), away, polarisation, permeability, mirror))
            }
            Value::Moment(_) => Some(polarisation * magnet.volume() * pieces as f64 / MU_0),
        }
    }
}

/// The shape with every size across changed by `across` and the height by `along`, m.
#[must_use]
pub fn resized(shape: &Shape, across: f64, along: f64) -> Shape {
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
