//! The value that a build gives for a need, and its band.
//!
//! One function of a few uncertain inputs stands for every verb. A [`Prediction`] fixes what is certain of an item as it is
//! delivered, and has bounds; [`InUse`] is so many pieces of it after what their use takes permanently, and has a value and a
//! band. Another grade or size begins again as delivered. Magnets are rigid, their polarisation lowered by
//! recoil to first order ([`magnetics::recoil`]), at the warmest temperature asked.

mod in_use;
mod inputs;
mod on_steel;
mod steel;
mod task;
mod with_part;

use ::steel::pull_law::PullLaw;
pub(crate) use bench::setup::resized;
pub use bench::setup::{SEAT as SEAT_GAP, STEEL as STEEL_MODEL};
use magnetics::inside::{self, Facing};
use magnetics::recoil_correction::RecoilCorrection;
use magnetics::{Shape, StackField, StackPull};
use materials::coating::Coating;
use materials::grade::{GradeRow, REFERENCE_CELSIUS};
use uncertainty::{Band, Input, NotFinite, outline};

use crate::coercivity;
use crate::exposure::Wear;
use crate::item::Item;
use crate::known::ReadPieces;
use crate::stacked::Stacked;
use inputs::place;
use on_steel::OnSteel;

pub use self::in_use::InUse;
pub use self::steel::SteelShare;
pub(crate) use self::with_part::{SOLVER_ERROR, State};
pub use crate::not_computable::NotComputable;
pub use inputs::{Inputs, PAIR_MODEL};
pub use task::{
    FRICTION, FRICTION_TOLERANCE, PLACEMENT, PLACEMENT_OF_DISTANCE, Task, friction_of, placement_tolerance,
    reading_radius,
};

/// Safety factor for a load where the question names none: straight or sliding, and hanging.
pub const SAFETY_FACTOR: f64 = 1.5;
/// Safety factor where what lets go falls.
pub const SAFETY_FACTOR_FALLING: f64 = 2.0;
/// Margin for a switch where the question names none; as used in a published test of Hall switches: field when present
/// at least twice the highest operating point, when absent at most half the lowest release point.
pub const SWITCH_MARGIN: f64 = 2.0;

/// What the sizes of a stack settle: evaluations that move nothing but gaps, strength or factors share it.
enum Prepared {
    Plate(OnSteel, &'static PullLaw),
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

/// An item for a use, as it is delivered: nothing has been taken from it yet.
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
    /// What readings say of its pieces.
    pub lot: ReadPieces,
}

impl<'a> Prediction<'a> {
    /// Sets up a prediction; a ring's face is read over its metal, an adhesive lies between magnet and steel, and rubber slides less
    /// than metal.
    pub fn new(item: &'a Item, grade: &'a GradeRow, coating: &'a Coating, task: Task, celsius: f64) -> Self {
        let task = match task {
            Task::Spot {
                distance,
                off_axis,
                tolerance,
                axial_only: true,
                meter,
            } => Task::Spot {
                distance,
                off_axis: off_axis + reading_radius(&item.shape),
                tolerance,
                axial_only: true,
                meter,
            },
            other => other.of_coating(coating),
        };
        Self {
            item,
            grade,
            coating,
            task,
            celsius,
            lot: ReadPieces::default(),
        }
    }

    /// The same of pieces of which readings say that.
    #[must_use]
    pub fn of_lot(self, lot: ReadPieces) -> Self {
        Self { lot, ..self }
    }

    /// So many pieces of it in a use that takes nothing: for bounds, and for listings at room temperature.
    pub fn undiminished(self, pieces: u32) -> InUse<'a> {
        InUse::new(self, pieces, Wear::NONE)
    }

    /// A value that so many pieces do not pass in use, for less work than the value where it is a force.
    ///
    /// # Errors
    /// [`NotComputable`] where there is no value.
    pub fn at_most(&self, pieces: u32) -> Result<f64, NotComputable> {
        let whole = self.undiminished(pieces);
        let quick = if matches!(self.task, Task::Spot { .. }) || pieces == 1 {
            None
        } else {
            whole.solid()
        };
        Ok(quick.map_or_else(|| whole.value(), Ok)? * (1.0 + self.slack()))
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

    /// A part of [`InUse::value`] that the low end of the band does not pass: what the inputs that are plain factors of the
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
        // A piece of higher remanence loses more, where any of it is lost.
        let power = if self.may_lose() { 0 } else { power };
        let falls = [(place::BR, power), (place::MODEL, 1), (place::FRICTION, 1)].map(|(k, power)| {
            let ([low, _], mid) = (inputs[k].distribution.ends(), inputs[k].mid());
            let standard = (mid - low) / 3f64.sqrt();
            1.0 - (1.0 - standard / mid).powi(power)
        });
        let together = falls.iter().map(|f| f * f).sum::<f64>().sqrt();
        (1.0 - LEAST_FACTOR * together).max(0.0) + ROUNDING
    }

    /// Whether a piece may lose any of its strength permanently, alone or facing its like, where its grade is weakest.
    fn may_lose(&self) -> bool {
        let grade = self.grade;
        let Ok(magnet) = self.item.shape.shrunk(self.coating.thickness.typical) else {
            return true;
        };
        let facing = match self.task {
            Task::Pair { gap, opposed: true } => Facing::Opposing { gap },
            _ => Facing::Nothing,
        };
        let most = inside::worst_factor(&magnet, 1, facing);
        let [from, _] = coercivity::span(grade);
        let piece = coercivity::piece_at(grade, from);
        let weakest = if grade.beta_hcj_per_k > 0.0 {
            grade.min_service_celsius
        } else {
            self.celsius
        };
        let keeps_all = |celsius: f64| coercivity::keeps_all(&piece, celsius, most);
        !(grade.linear && keeps_all(REFERENCE_CELSIUS) && keeps_all(weakest))
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

    /// The stack at its strongest: the largest sizes, the thinnest plating, the highest remanence of its grade, and no recoil.
    ///
    /// # Errors
    /// [`NotComputable`] where the coating leaves no magnet.
    pub fn strongest(&self, pieces: u32) -> Result<Stacked, NotComputable> {
        let inputs = self.inputs();
        let [_, largest] = inputs[place::ACROSS].distribution.ends();
        let [_, tallest] = inputs[place::ALONG].distribution.ends();
        let outer = resized(&self.item.shape, largest, tallest);
        let br = self.br(self.grade.br_max).ok_or(NotFinite)?;
        Ok(Stacked::new(outer, self.coating.thickness.min, pieces, br, 1.0)?)
    }

    fn br(&self, at_room: f64) -> Option<f64> {
        self.grade.br_at(at_room, self.celsius).ok()
    }

    /// Remanence at temperature over that at 20 °C; 0 beyond the Curie temperature.
    fn warmth(&self) -> f64 {
        let room = self.grade.br_typical;
        self.br(room).map_or(0.0, |br| br / room)
    }
}

/// Flux density on the axis of a dipole of that moment (A m²), T: `mu0 m / (2 pi r³)`.
pub fn dipole_field(moment: f64, distance: f64) -> f64 {
    2e-7 * moment / distance.powi(3)
}

#[cfg(test)]
mod tests;
