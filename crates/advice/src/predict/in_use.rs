//! So many pieces of an item in a use: what is left of them gives a value and a band.

use std::ops::Deref;

use bench::{Probe, element};
use magnetics::recoil_correction::Effect;
use magnetics::{Shape, demag};
use uncertainty::{Band, Input, NotFinite, against, outline, propagate};

use super::inputs::place;
use super::on_steel::OnSteel;
use super::{NotComputable, Prediction, Prepared, Task, dipole_field, resized};
use crate::exposure::Wear;
use crate::stacked::{Stacked, flux_density};

/// Inputs that make it another magnet.
const SIZES: [usize; 5] = [
    place::PLATING,
    place::ACROSS,
    place::ALONG,
    place::DEAD_LAYER,
    place::JOINT,
];

/// So many stacked pieces after what their use takes permanently.
///
/// It reads as the [`Prediction`] that it came from; what is changed there begins again as delivered.
#[derive(Clone, Copy, Debug)]
pub struct InUse<'a> {
    delivered: Prediction<'a>,
    pieces: u32,
    wear: Wear,
}

impl<'a> Deref for InUse<'a> {
    type Target = Prediction<'a>;

    fn deref(&self) -> &Prediction<'a> {
        &self.delivered
    }
}

impl<'a> InUse<'a> {
    pub(crate) fn new(delivered: Prediction<'a>, pieces: u32, wear: Wear) -> Self {
        Self {
            delivered,
            pieces,
            wear,
        }
    }

    /// Pieces stacked, on each side of a pair.
    pub fn pieces(&self) -> u32 {
        self.pieces
    }

    /// What the use has taken.
    pub fn wear(&self) -> &Wear {
        &self.wear
    }

    /// The same build asked for something else in the same use.
    #[must_use]
    pub fn for_task(self, task: Task) -> Self {
        let delivered = Prediction { task, ..self.delivered };
        Self { delivered, ..self }
    }

    /// The same build across another gap or at another distance, m.
    #[must_use]
    pub fn at_distance(self, distance: f64) -> Self {
        self.for_task(self.task.at_distance(distance))
    }

    /// The same build where it is strongest: at its coldest, °C, and before heat has taken anything from a straight curve.
    #[must_use]
    pub fn at_coldest(self, coldest: f64) -> Self {
        let wear = if self.grade.linear { Wear::NONE } else { self.wear };
        let delivered = Prediction {
            celsius: coldest,
            ..self.delivered
        };
        Self {
            delivered,
            wear,
            ..self
        }
    }

    /// The value with all inputs in the middle, in the unit of the task; 0 beyond the Curie temperature.
    ///
    /// # Errors
    /// [`NotComputable`] where the sizes make no magnet or nothing is known of the steel.
    pub fn value(&self) -> Result<f64, NotComputable> {
        self.value_with(&self.inputs().map(|i| i.mid()))
    }

    /// The value with these values for [`Prediction::inputs`].
    ///
    /// # Errors
    /// As [`Self::value`].
    pub fn value_with(&self, at: &[f64; place::COUNT]) -> Result<f64, NotComputable> {
        let prepared = self.prepared(at)?;
        self.finish(&prepared, self.unit(&prepared, at)?, at, self.warmth())
    }

    /// The value with its band.
    ///
    /// # Errors
    /// As [`Self::value`], for any value within the limits of the inputs.
    pub fn band(&self) -> Result<Band, NotComputable> {
        self.sound_band(|inputs, value| propagate(inputs, value))
    }

    /// The low end of the band, no more exact than it takes to tell whether it reaches `least`.
    pub(crate) fn low_against(&self, least: f64) -> Result<f64, NotComputable> {
        Ok(self.sound_band(|inputs, value| against(inputs, least, value))?.low)
    }

    fn sound_band(
        &self,
        propagate: impl Fn(&[Input], &dyn Fn(&[f64]) -> f64) -> Result<Band, NotFinite>,
    ) -> Result<Band, NotComputable> {
        let mut band = self.with_shared_work(propagate)?;
        // Where next to nothing is left at the middle, every draw may lie above it.
        band.low = band.low.min(self.surest_part() * band.mid);
        Ok(band)
    }

    /// The value with its band as one of the many points of a curve ([`uncertainty::outline`]).
    ///
    /// # Errors
    /// As [`Self::band`].
    pub fn outline(&self) -> Result<Band, NotComputable> {
        self.with_shared_work(|inputs, value| outline(inputs, value))
    }

    /// Hands the model to a propagation: what an input leaves as it was is computed once.
    fn with_shared_work(
        &self,
        propagate: impl Fn(&[Input], &dyn Fn(&[f64]) -> f64) -> Result<Band, NotFinite>,
    ) -> Result<Band, NotComputable> {
        let inputs = self.inputs();
        let mid = inputs.map(|i| i.mid());
        let warmth = self.warmth();
        let prepared = self.prepared(&mid)?;
        let unit = self.unit(&prepared, &mid)?;
        let same = |at: &[f64], places: &[usize]| places.iter().all(|&k| at[k] == mid[k]);
        let value = |at: &[f64]| {
            if !same(at, &SIZES) {
                let prepared = self.prepared(at)?;
                return self.finish(&prepared, self.unit(&prepared, at)?, at, warmth);
            }
            let here = same(at, &[place::LAYERS, place::SEAT, place::DEPTH, place::ASIDE]);
            let unit = if here { unit } else { self.unit(&prepared, at)? };
            self.finish(&prepared, unit, at, warmth)
        };
        // What is not finite ends the propagation.
        Ok(propagate(&inputs, &|at| value(at).unwrap_or(f64::NAN))?)
    }

    /// The value of one solid piece as high as the stack, with one plating outside; `None` for balls, which do not add
    /// up to one.
    ///
    /// Forces of the stack are never above it, since the plating inside only takes magnet away: with equal faces the
    /// attraction is a sum over wavelengths of a positive weight times the square of a sum over the faces, and filling
    /// the gaps raises every such sum. It costs as much as one piece.
    pub fn solid(&self) -> Option<f64> {
        let shape = self
            .item
            .shape
            .with_height(self.item.shape.height() * f64::from(self.pieces))?;
        let mut at = self.inputs().map(|i| i.mid());
        at[place::ALONG] *= f64::from(self.pieces);
        let prepared = self.prepare(&self.stacked(&shape, 1, &at).ok()?).ok()?;
        let unit = self.unit(&prepared, &at).ok()?;
        self.finish(&prepared, unit, &at, self.warmth()).ok()
    }

    /// The stack at the most likely inputs.
    ///
    /// # Errors
    /// [`NotComputable`] where the coating leaves no magnet, or the grade has no remanence at the temperature.
    pub fn stack(&self) -> Result<Stacked, NotComputable> {
        self.stack_of_remanence(self.grade.br_typical)
    }

    /// The same with that remanence at 20 °C, T.
    ///
    /// # Errors
    /// As [`Self::stack`].
    pub fn stack_of_remanence(&self, at_room: f64) -> Result<Stacked, NotComputable> {
        let br = self.grade.br_at(at_room, self.celsius).map_err(|_| NotFinite)?;
        let thicker = self.inputs()[place::ALONG].mid();
        Ok(Stacked::new(
            resized(&self.item.shape, 0.0, thicker),
            self.coating.thickness.typical,
            self.pieces,
            self.wear.kept_by.usual() * br,
            self.grade.recoil_permeability,
        )?)
    }

    /// A stack of pieces of that shape with a remanence of 1 T.
    fn stacked(&self, shape: &Shape, pieces: u32, at: &[f64]) -> Result<Stacked, NotComputable> {
        let outer = resized(shape, at[place::ACROSS], at[place::ALONG]);
        Ok(Stacked::new(
            outer,
            at[place::PLATING] + at[place::DEAD_LAYER],
            pieces,
            1.0,
            self.grade.recoil_permeability,
        )?
        .with_joints(at[place::JOINT]))
    }

    fn prepare(&self, stack: &Stacked) -> Result<Prepared, NotComputable> {
        Ok(match self.task {
            Task::Plate { law: None, .. } => return Err(NotComputable::NoPullLaw),
            Task::Plate { law: Some(law), .. } => Prepared::Plate(OnSteel::new(stack)?, law),
            Task::Pair { opposed, .. } => {
                let effect = if opposed { Effect::Repulsion } else { Effect::Attraction };
                Prepared::Pull(stack.pull()?, stack.recoil_correction(effect)?)
            }
            Task::Spot { .. } => Prepared::Field(stack.field()?, stack.recoil_correction(Effect::Field)?),
            Task::Dipole { .. } => Prepared::Moment(stack.moment()),
        })
    }

    fn prepared(&self, at: &[f64]) -> Result<Prepared, NotComputable> {
        self.prepare(&self.stacked(&self.item.shape, self.pieces, at)?)
    }

    /// The value at a remanence of 1 T on ideal steel, before all factors.
    fn unit(&self, prepared: &Prepared, at: &[f64]) -> Result<f64, NotComputable> {
        match (self.task, prepared) {
            (_, Prepared::Plate(on, _)) => Ok(on.pull.plate_pull(at[place::LAYERS] + at[place::SEAT])?),
            (Task::Pair { gap, .. }, Prepared::Pull(pull, uneven)) => {
                let gap = gap + at[place::DEPTH] + at[place::SEAT];
                let share = uneven.over_even(gap + 2.0 * at[place::PLATING]);
                Ok(pull.pair_attraction(gap)? * share * share)
            }
            (
                Task::Spot {
                    distance,
                    off_axis,
                    axial_only,
                    meter,
                    ..
                },
                Prepared::Field(field, uneven),
            ) => {
                let (distance, off_axis) = (distance + at[place::DEPTH], off_axis + at[place::ASIDE]);
                let share = uneven.over_even(distance + at[place::PLATING] + at[place::DEAD_LAYER]);
                if let Some(meter) = meter {
                    return Ok((share * element::mean(field, meter.element, off_axis, distance)).abs());
                }
                let [radial, axial] = flux_density(field, off_axis, distance)?.map(|even| share * even);
                Ok(if axial_only { axial.abs() } else { radial.hypot(axial) })
            }
            (Task::Dipole { distance }, Prepared::Moment(moment)) => Ok(dipole_field(*moment, distance)),
            _ => Err(NotComputable::NoSetUp),
        }
    }

    /// The share of its remanence that a piece with these inputs keeps permanently.
    ///
    /// What it keeps follows from its coercivity over the field of its own: warmth, remanence and size move that as well.
    pub(super) fn left(&self, at: &[f64]) -> f64 {
        let kept = &self.wear.kept_by;
        if kept.is_whole() {
            return 1.0;
        }
        let grade = self.grade;
        let warmer = at[place::WARMER] * (grade.beta_hcj_per_k - grade.alpha_br_per_k);
        let factor = |across: f64, along: f64, plating: f64| {
            let magnet = resized(&self.item.shape, across, along).shrunk(plating).ok()?;
            demag::of_stack(&magnet, 1).ok()
        };
        let usual = factor(0.0, 0.0, self.coating.thickness.typical);
        let here = factor(at[place::ACROSS], at[place::ALONG], at[place::PLATING]);
        let eased = usual.zip(here).map_or(1.0, |(usual, here)| usual / here);
        let part = at[place::COERCIVITY] * grade.br_typical / at[place::BR] * (1.0 + warmer) * eased;
        (kept.at(part) * at[place::CURVE]).min(1.0)
    }

    /// The value from that at a remanence of 1 T, with its part that temperature leaves; 0 beyond the Curie temperature.
    fn finish(&self, prepared: &Prepared, unit: f64, at: &[f64], warmth: f64) -> Result<f64, NotComputable> {
        if warmth <= 0.0 {
            return Ok(0.0);
        }
        let warmer = self.grade.alpha_br_per_k * at[place::WARMER] + at[place::COEFFICIENT] * (warmth - 1.0);
        let br = self.left(at) * at[place::BR] * (warmth + warmer).max(0.0);
        Ok(match (self.task, prepared) {
            (Task::Plate { thickness, across, .. }, Prepared::Plate(on, law)) => {
                let mirror = br * br * unit;
                let gap = at[place::LAYERS] + at[place::SEAT];
                let here = on.place(gap, [thickness, across], br, self.grade.recoil_permeability, mirror);
                mirror * law.factor(&here) * at[place::LAW] * at[place::MODEL] * at[place::FRICTION]
            }
            (Task::Pair { .. }, _) => br * br * unit * at[place::MODEL],
            (Task::Spot { .. }, _) => {
                let shown = Probe::shows(at[place::CALIBRATION], at[place::FALL_OFF], br * unit);
                at[place::PLACING] * (shown + at[place::ZERO])
            }
            (Task::Plate { .. } | Task::Dipole { .. }, _) => br * unit,
        })
    }
}
