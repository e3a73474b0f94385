//! The value that a build gives for a need, and its band.
//!
//! One function of a few uncertain inputs stands for every verb; a [`Prediction`] fixes what is certain (the item, the
//! number of pieces, the use) and sends the inputs through it. Magnets are rigid, their polarisation lowered by
//! recoil to first order ([`magnetics::recoil`]), at the warmest temperature asked.

mod error;
mod fitted;
mod inputs;
mod steel;
mod task;

use magnetics::recoil_correction::{Effect, RecoilCorrection};
use magnetics::{Shape, StackField, StackPull};
use materials::coating::Coating;
use materials::grade::GradeRow;
use uncertainty::{Band, Input, NotFinite, against, outline, propagate};

use self::steel::OnSteel;
use crate::heat::{self, Exposure};
use crate::item::Item;
use crate::stacked::{Stacked, flux_density};
use inputs::{place, resized};

pub use self::error::NotComputable;
pub(crate) use self::fitted::{SOLVER_ERROR, State};
pub use self::steel::{BEHIND, Confirmation, SteelShare};
pub use inputs::{
    CALIBRATION, COEFFICIENT_TOLERANCE, Inputs, PAIR_MODEL, SEAT_GAP, STEEL_MODEL, TEMPERATURE_TOLERANCE,
};
pub use task::{FRICTION, PROBE_DEPTH_TOLERANCE, Task, reading_radius};

/// Room temperature, °C, at which grades are listed.
pub const ROOM_CELSIUS: f64 = 20.0;
/// Safety factor for a load where the question names none: straight or sliding, and hanging.
pub const SAFETY_FACTOR: f64 = 1.5;
/// Safety factor where what lets go falls.
pub const SAFETY_FACTOR_FALLING: f64 = 2.0;
/// Margin for a switch where the question names none; as used in a published test of Hall switches: field when present
/// at least twice the highest operating point, when absent at most half the lowest release point.
pub const SWITCH_MARGIN: f64 = 2.0;

/// What the sizes of a stack settle: evaluations that move nothing but gaps, strength or factors share it.
enum Prepared {
    Plate(OnSteel),
    Pull(StackPull, RecoilCorrection),
    Field(StackField, RecoilCorrection),
    Moment(f64),
}

/// How far the law may be from rising with the number of pieces, as a part of the value: more than its error.
const LAW_SLACK: f64 = 0.03;
/// A coverage factor that no mix of inputs falls below; a rectangular one alone has 1.645.
const LEAST_FACTOR: f64 = 1.6;
/// How far tabulated recoil may make a value bend where it should rise: more than the error of the tables.
const RECOIL_SLACK: f64 = 3e-3;
/// Rounding that a bound allows for.
const ROUNDING: f64 = 1e-9;

/// An item in a use, ready to be computed for any number of stacked pieces.
#[derive(Clone, Copy, Debug)]
pub struct Prediction<'a> {
    /// The item.
    pub item: &'a Item,
    /// Its grade.
    pub grade: &'a GradeRow,
    /// Its coating.
    pub coating: &'a Coating,
    /// What is asked.
    pub task: Task,
    /// Temperature of the magnet, °C.
    pub celsius: f64,
    /// Share of its remanence that it keeps for good ([`crate::heat`]); 1 for a build that has lost nothing.
    pub kept: f64,
}

impl<'a> Prediction<'a> {
    /// Sets up a prediction; a ring's face is read over its metal.
    pub fn new(item: &'a Item, grade: &'a GradeRow, coating: &'a Coating, task: Task, celsius: f64) -> Self {
        let task = match task {
            Task::Spot {
                distance,
                off_axis,
                tolerance,
                axial_only: true,
            } => Task::Spot {
                distance,
                off_axis: off_axis + reading_radius(&item.shape),
                tolerance,
                axial_only: true,
            },
            other => other,
        };
        Self {
            item,
            grade,
            coating,
            task,
            celsius,
            kept: 1.0,
        }
    }

    /// The same of a build that is exposed to what takes part of its strength for good, or `None` where its grade has no curve.
    #[must_use]
    pub fn worn(self, pieces: u32, exposure: &Exposure) -> Option<Self> {
        let kept = heat::wear(&self, pieces, exposure).ok()?.kept;
        Some(Self { kept, ..self })
    }

    /// The value with `pieces` stacked (on each side of a pair) and all inputs in the middle.
    ///
    /// 0 where the coating leaves no magnet.
    pub fn mid(&self, pieces: u32) -> f64 {
        self.value(pieces, &self.inputs().map(|i| i.mid()))
    }

    /// The value with `pieces` stacked and these values for [`Self::inputs`].
    pub fn value(&self, pieces: u32, at: &[f64; place::COUNT]) -> f64 {
        self.prepared(pieces, at)
            .map_or(0.0, |p| self.finish(&p, self.unit(&p, at), at, self.warmth()))
    }

    /// The value with its band.
    pub fn band(&self, pieces: u32) -> Band {
        self.sound_band(pieces, |inputs, value| propagate(inputs, value))
    }

    /// The low end of the band, no more exact than it takes to tell whether it reaches `least`.
    pub(crate) fn low_against(&self, pieces: u32, least: f64) -> f64 {
        self.sound_band(pieces, |inputs, value| against(inputs, least, value))
            .low
    }

    fn sound_band(
        &self,
        pieces: u32,
        propagate: impl Fn(&[Input], &dyn Fn(&[f64]) -> f64) -> Result<Band, NotFinite>,
    ) -> Band {
        let mut band = self.with_shared_work(pieces, propagate);
        // Where next to nothing is left at the middle, every draw may lie above it.
        band.low = band.low.min(self.surest_part() * band.mid);
        band
    }

    /// The value with its band as one of the many points of a curve ([`uncertainty::outline`]).
    pub fn outline(&self, pieces: u32) -> Band {
        self.with_shared_work(pieces, |inputs, value| outline(inputs, value))
    }

    /// Hands the model to a propagation: what an input leaves as it was is computed once.
    fn with_shared_work(
        &self,
        pieces: u32,
        propagate: impl Fn(&[Input], &dyn Fn(&[f64]) -> f64) -> Result<Band, NotFinite>,
    ) -> Band {
        let inputs = self.inputs();
        let mid = inputs.map(|i| i.mid());
        let warmth = self.warmth();
        let prepared = self.prepared(pieces, &mid);
        let unit = prepared.as_ref().map_or(0.0, |p| self.unit(p, &mid));
        let same = |at: &[f64], places: &[usize]| places.iter().all(|&k| at[k] == mid[k]);
        let value = |at: &[f64]| {
            if !same(at, &[place::PLATING, place::ACROSS, place::ALONG]) {
                return self
                    .prepared(pieces, at)
                    .map_or(0.0, |p| self.finish(&p, self.unit(&p, at), at, warmth));
            }
            prepared.as_ref().map_or(0.0, |p| {
                let here = same(at, &[place::LAYERS, place::SEAT, place::DEPTH]);
                self.finish(p, if here { unit } else { self.unit(p, at) }, at, warmth)
            })
        };
        // A magnet that cannot be computed gives nothing.
        propagate(&inputs, &value).unwrap_or_else(|_| Band::certain(0.0))
    }

    /// The band of another value of one piece, without draws: `value` takes the magnet inside the plating, its remanence
    /// at 20 °C, T, and the value of one input `more`. `None` where a coating leaves no magnet within its limits, or the
    /// value is not finite there.
    pub fn band_of(&self, more: Input, value: impl Fn(&Shape, f64, f64) -> f64) -> Option<Band> {
        let own = self.inputs();
        let inputs = [place::BR, place::PLATING, place::ACROSS, place::ALONG].map(|k| own[k]);
        let moved = |at: &[f64]| match *at {
            [br, plating, across, along, more] => resized(&self.item.shape, across, along)
                .shrunk(plating)
                .map_or(f64::NAN, |magnet| value(&magnet, br, more)),
            _ => f64::NAN,
        };
        let [br, plating, across, along] = inputs;
        outline(&[br, plating, across, along, more], moved).ok()
    }

    /// The value of one solid piece as high as the stack, with one plating outside; `None` for balls, which do not add
    /// up to one.
    ///
    /// Forces of the stack are never above it, since the plating inside only takes magnet away: with equal faces the
    /// attraction is a sum over wavelengths of a positive weight times the square of a sum over the faces, and filling
    /// the gaps raises every such sum. It costs as much as one piece.
    pub fn solid(&self, pieces: u32) -> Option<f64> {
        let shape = self
            .item
            .shape
            .with_height(self.item.shape.height() * f64::from(pieces))?;
        let at = self.inputs().map(|i| i.mid());
        let stack = self.stacked(&shape, 1, &at)?;
        let prepared = self.prepare(&stack)?;
        Some(self.finish(&prepared, self.unit(&prepared, &at), &at, self.warmth()))
    }

    /// A value that [`Self::mid`] does not pass, for less work than that where it is a force.
    pub fn at_most(&self, pieces: u32) -> f64 {
        let quick = if matches!(self.task, Task::Spot { .. }) || pieces == 1 {
            None
        } else {
            self.solid(pieces)
        };
        quick.unwrap_or_else(|| self.mid(pieces)) * (1.0 + self.slack())
    }

    /// What bounds on the value allow for, as a part of it.
    pub(crate) fn slack(&self) -> f64 {
        match self.task {
            Task::Plate { .. } => LAW_SLACK,
            Task::Pair { .. } | Task::Spot { .. } => RECOIL_SLACK,
            Task::Dipole { .. } => ROUNDING,
        }
    }

    /// Whether more pieces never give less, but for what bounds allow for ([`Self::slack`]): not on a small plate, for a spot off the axis, nor above the hole of a ring, where the field
    /// turns about.
    pub fn rises(&self) -> bool {
        match self.task {
            // A small plate takes more of a tall stack's pull than of a flat one's.
            Task::Plate { across, .. } => across.is_none(),
            Task::Pair { .. } | Task::Dipole { .. } => true,
            Task::Spot { off_axis, .. } => off_axis == 0.0 && !matches!(self.item.shape, Shape::Ring { .. }),
        }
    }

    /// A part of [`Self::mid`] that the low end of the band does not pass: what the inputs that are plain factors of the
    /// value take by themselves.
    pub fn surest_part(&self) -> f64 {
        let inputs = self.inputs();
        // Steel that saturates hides part of the remanence's range; a thick plate does so at its surface only.
        let power = match self.task {
            Task::Plate { thickness: Some(_), .. } | Task::Plate { across: Some(_), .. } => 0,
            Task::Plate { .. } => 1,
            Task::Pair { .. } => 2,
            Task::Spot { .. } | Task::Dipole { .. } => 1,
        };
        let falls = [(place::BR, power), (place::MODEL, 1), (place::FRICTION, 1)].map(|(k, power)| {
            let ([low, _], mid) = (inputs[k].distribution.ends(), inputs[k].mid());
            let standard = (mid - low) / 3f64.sqrt();
            1.0 - (1.0 - standard / mid).powi(power)
        });
        let together = falls.iter().map(|f| f * f).sum::<f64>().sqrt();
        (1.0 - LEAST_FACTOR * together).max(0.0) + ROUNDING
    }

    /// The stack at the most likely inputs; `None` where the coating leaves no magnet.
    pub fn stack(&self, pieces: u32) -> Option<Stacked> {
        let br = self.kept * self.br(self.grade.br_typical)?;
        Stacked::new(
            self.item.shape,
            self.coating.thickness.typical,
            pieces,
            br,
            self.grade.recoil_permeability,
        )
        .ok()
    }

    /// The stack at its strongest: the largest sizes, the thinnest plating, the highest remanence of its grade, and no recoil;
    /// `None` where the coating leaves no magnet.
    pub fn strongest(&self, pieces: u32) -> Option<Stacked> {
        let inputs = self.inputs();
        let [_, largest] = inputs[place::ACROSS].distribution.ends();
        let [_, tallest] = inputs[place::ALONG].distribution.ends();
        let outer = resized(&self.item.shape, largest, tallest);
        let br = self.br(self.grade.br_max)?;
        Stacked::new(outer, self.coating.thickness.min, pieces, br, 1.0).ok()
    }

    fn br(&self, at_room: f64) -> Option<f64> {
        self.grade.br_at(at_room, self.celsius).ok()
    }

    /// Remanence at temperature over that at 20 °C; 0 beyond the Curie temperature.
    fn warmth(&self) -> f64 {
        let room = self.grade.br_typical;
        self.br(room).map_or(0.0, |br| br / room)
    }

    /// A stack of pieces of that shape with a remanence of 1 T.
    fn stacked(&self, shape: &Shape, pieces: u32, at: &[f64]) -> Option<Stacked> {
        let outer = resized(shape, at[place::ACROSS], at[place::ALONG]);
        Stacked::new(outer, at[place::PLATING], pieces, 1.0, self.grade.recoil_permeability).ok()
    }

    fn prepare(&self, stack: &Stacked) -> Option<Prepared> {
        match self.task {
            Task::Plate { .. } => OnSteel::new(stack).map(Prepared::Plate),
            Task::Pair { opposed, .. } => {
                let effect = if opposed { Effect::Repulsion } else { Effect::Attraction };
                Some(Prepared::Pull(stack.pull()?, stack.recoil_correction(effect)?))
            }
            Task::Spot { .. } => Some(Prepared::Field(stack.field()?, stack.recoil_correction(Effect::Field)?)),
            Task::Dipole { .. } => Some(Prepared::Moment(stack.moment())),
        }
    }

    fn prepared(&self, pieces: u32, at: &[f64]) -> Option<Prepared> {
        self.prepare(&self.stacked(&self.item.shape, pieces, at)?)
    }

    /// The value at a remanence of 1 T on ideal steel, before all factors.
    fn unit(&self, prepared: &Prepared, at: &[f64]) -> f64 {
        let force = match (self.task, prepared) {
            (Task::Plate { .. }, Prepared::Plate(on)) => on.pull.plate_pull(at[place::LAYERS] + at[place::SEAT]),
            (Task::Pair { gap, .. }, Prepared::Pull(pull, uneven)) => {
                let share = uneven.over_even(gap + 2.0 * at[place::PLATING]);
                pull.pair_attraction(gap).map(|even| even * share * share)
            }
            (
                Task::Spot {
                    distance,
                    off_axis,
                    axial_only,
                    ..
                },
                Prepared::Field(field, uneven),
            ) => {
                let distance = distance + at[place::DEPTH];
                let share = uneven.over_even(distance + at[place::PLATING]);
                let [radial, axial] = flux_density(field, off_axis, distance).map(|even| share * even);
                return if axial_only { axial.abs() } else { radial.hypot(axial) };
            }
            (Task::Dipole { distance }, Prepared::Moment(moment)) => return dipole_field(*moment, distance),
            // A stack is prepared for its task.
            _ => return 0.0,
        };
        force.unwrap_or(0.0)
    }

    /// The value from that at a remanence of 1 T, with its part that temperature leaves; 0 beyond the Curie temperature.
    fn finish(&self, prepared: &Prepared, unit: f64, at: &[f64], warmth: f64) -> f64 {
        if warmth <= 0.0 {
            return 0.0;
        }
        let warmer = self.grade.alpha_br_per_k * at[place::WARMER] + at[place::COEFFICIENT] * (warmth - 1.0);
        let br = self.kept * at[place::BR] * (warmth + warmer).max(0.0);
        match (self.task, prepared) {
            (
                Task::Plate {
                    thickness, across, law, ..
                },
                Prepared::Plate(on),
            ) => {
                let mirror = br * br * unit;
                let gap = at[place::LAYERS] + at[place::SEAT];
                let here = on.place(gap, [thickness, across], br, self.grade.recoil_permeability, mirror);
                let share = law.map_or(0.0, |law| law.factor(&here));
                mirror * share * at[place::LAW] * at[place::MODEL] * at[place::FRICTION]
            }
            (Task::Pair { .. }, _) => br * br * unit * at[place::MODEL],
            (Task::Spot { .. }, _) => br * unit * at[place::CALIBRATION],
            (Task::Plate { .. } | Task::Dipole { .. }, _) => br * unit,
        }
    }
}

/// Flux density on the axis of a dipole of that moment (A m²), T: `mu0 m / (2 pi r³)`.
pub fn dipole_field(moment: f64, distance: f64) -> f64 {
    2e-7 * moment / distance.powi(3)
}

#[cfg(test)]
mod tests;
