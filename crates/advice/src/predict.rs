//! The value that a build gives for a need, and its band.
//!
//! One function of a few uncertain inputs stands for every verb; a [`Prediction`] fixes what is certain (the item, the
//! number of pieces, the use) and sends the inputs through it. Magnets are rigid, their polarisation lowered by
//! recoil to first order ([`magnetics::recoil`]), at the warmest temperature asked.

use bench::band::COVERAGE_FACTOR;
use bench::{Band, Cause, Input, propagate};
use magnetics::coating::Coating;
use magnetics::grade::GradeRow;
use magnetics::{Shape, StackField, StackPull};
use steel::thin_plate;

use crate::catalogue::Catalogue;
use crate::item::Item;
use crate::question::{Direction, Need, Question};
use crate::stacked::{Stacked, flux_density};

/// Air between rough faces that touch, m: none to 0.05 mm; common practice, no source.
pub const SEAT_GAP: [f64; 3] = [0.0, 0.015e-3, 0.05e-3];
/// Pull on real steel over that on ideal steel. Measured forces between magnets agreed with the rigid model within
/// 10 % in Vokoun, Tomassetti, Beleggia and Stachiv, JMMM 323(1), 55-60 (2011), abstract; steel adds on one side only.
pub const STEEL_MODEL: [f64; 3] = [0.90, 0.97, 1.0];
/// The same between two magnets, on both sides.
pub const PAIR_MODEL: [f64; 3] = [0.95, 1.0, 1.05];
/// Friction of a plated magnet on a smooth painted wall where the question names none: sliding takes 15 to 25 % of the
/// pull; common practice, no source.
pub const FRICTION: [f64; 3] = [0.15, 0.2, 0.25];
/// Tolerance on the depth of a probe's active element, m: that of the toy-test probe of Canada Toys Regulations
/// SOR/2011-17, Schedule 10.
pub const PROBE_DEPTH_TOLERANCE: f64 = 0.13e-3;
/// Room temperature, °C, at which grades are listed.
pub const ROOM_CELSIUS: f64 = 20.0;
/// Safety factor for a load where the question names none: straight or sliding, and hanging.
pub const SAFETY_FACTOR: f64 = 1.5;
/// Safety factor where what lets go falls.
pub const SAFETY_FACTOR_FALLING: f64 = 2.0;
/// Margin for a switch where the question names none; as used in a published test of Hall switches: field when present
/// at least twice the highest operating point, when absent at most half the lowest release point.
pub const SWITCH_MARGIN: f64 = 2.0;

/// What is asked of the field of a build, with all lengths in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Task {
    /// Pull on a plate.
    Plate {
        /// All layers together, with their tolerance.
        layers: [f64; 3],
        /// Thickness of the plate; `None` is thick.
        thickness: Option<f64>,
        /// Flux density that its section carries, T.
        usable: f64,
        /// Coefficient of friction where the load slides.
        friction: Option<[f64; 3]>,
    },
    /// Force between two such builds.
    Pair {
        /// Clear distance between the facing surfaces.
        gap: f64,
    },
    /// Flux density at a place.
    Spot {
        /// Distance from the outer face.
        distance: f64,
        /// Distance from the axis.
        off_axis: f64,
        /// Plus or minus on the distance.
        tolerance: f64,
        /// Whether only the part along the axis counts, as for a probe flat on the face.
        axial_only: bool,
    },
}

impl Task {
    /// The task behind the question's main value.
    pub fn of(question: &Question, catalogue: &Catalogue) -> Task {
        match &question.need {
            Need::Hold {
                direction,
                steel,
                layers,
                friction,
                ..
            } => {
                let mut total = [0.0; 3];
                for layer in layers {
                    let t = layer.thickness.si();
                    let tolerance = catalogue.layer(&layer.material).map_or(0.1, |l| l.tolerance);
                    for (sum, part) in total.iter_mut().zip([1.0 - tolerance, 1.0, 1.0 + tolerance]) {
                        *sum += t * part;
                    }
                }
                let usable = catalogue
                    .steels
                    .find(&steel.material)
                    .and_then(|s| s.usable_flux_density_t);
                Task::Plate {
                    layers: total,
                    thickness: steel.thickness.map(|t| t.si()),
                    usable: usable.unwrap_or(0.0),
                    friction: (*direction == Direction::Sideways).then(|| friction.map_or(FRICTION, |mu| [mu, mu, mu])),
                }
            }
            Need::PullTogether { gap, .. } | Need::PushApart { gap, .. } => Task::Pair { gap: gap.si() },
            Need::ReachField { distance, off_axis, .. } => Task::Spot {
                distance: distance.si(),
                off_axis: off_axis.si(),
                tolerance: 0.0,
                axial_only: false,
            },
            Need::SwitchSensor { near, .. } => Task::Spot {
                distance: near.si(),
                off_axis: 0.0,
                tolerance: 0.0,
                axial_only: false,
            },
            Need::FaceField { probe_depth, .. } => Task::Spot {
                distance: probe_depth.map_or(0.0, |d| d.si()),
                off_axis: 0.0,
                tolerance: probe_depth.map_or(0.0, |d| d.si().min(PROBE_DEPTH_TOLERANCE)),
                axial_only: true,
            },
        }
    }

    /// The task behind the field that must stay low further away, if one is asked.
    pub fn far(question: &Question) -> Option<Task> {
        let distance = match &question.need {
            Need::ReachField {
                no_more_than: Some(ceiling),
                ..
            } => ceiling.distance.si(),
            Need::SwitchSensor { far, .. } => far.si(),
            _ => return None,
        };
        Some(Task::Spot {
            distance,
            off_axis: 0.0,
            tolerance: 0.0,
            axial_only: false,
        })
    }

    /// The same task with another distance: between magnet and steel, between the pair, or to the spot.
    pub fn at_distance(self, x: f64) -> Task {
        match self {
            Task::Plate {
                thickness,
                usable,
                friction,
                ..
            } => Task::Plate {
                layers: [x, x, x],
                thickness,
                usable,
                friction,
            },
            Task::Pair { .. } => Task::Pair { gap: x },
            // A probe's element never lies inside the magnet.
            Task::Spot {
                off_axis,
                tolerance,
                axial_only,
                ..
            } => Task::Spot {
                distance: x,
                off_axis,
                tolerance: tolerance.min(x),
                axial_only,
            },
        }
    }

    /// The distance that [`Task::at_distance`] sets.
    pub fn distance(self) -> f64 {
        match self {
            Task::Plate { layers, .. } => layers[1],
            Task::Pair { gap } => gap,
            Task::Spot { distance, .. } => distance,
        }
    }

    /// Whether two builds face each other.
    pub fn is_pair(self) -> bool {
        matches!(self, Task::Pair { .. })
    }
}

/// Where a probe reads the face of that shape: on the axis, and for a ring over the middle of its metal, m.
pub fn reading_radius(shape: &Shape) -> f64 {
    match *shape {
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            ..
        } => (outer_diameter + inner_diameter) / 4.0,
        _ => 0.0,
    }
}

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
mod input {
    pub const BR: usize = 0;
    pub const PLATING: usize = 1;
    pub const ACROSS: usize = 2;
    pub const ALONG: usize = 3;
    pub const LAYERS: usize = 4;
    pub const SEAT: usize = 5;
    pub const DEPTH: usize = 6;
    pub const MODEL: usize = 7;
    pub const FRICTION: usize = 8;
    pub const COUNT: usize = 9;
}

/// What the sizes of a stack settle: evaluations that move nothing but gaps, strength or factors share it.
enum Prepared {
    Pull(StackPull),
    Field(StackField),
}

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
        }
    }

    fn inputs(&self) -> [Input; input::COUNT] {
        let plating = self.coating.thickness;
        let tolerance = self.item.tolerance.si();
        let bracket = |cause, [low, mid, high]: [f64; 3]| Input::new(cause, low, mid, high);
        let (layers, seat, depth, model, friction) = match self.task {
            Task::Plate { layers, friction, .. } => {
                (layers, SEAT_GAP, [0.0; 3], STEEL_MODEL, friction.unwrap_or([1.0; 3]))
            }
            Task::Pair { .. } => ([0.0; 3], [0.0; 3], [0.0; 3], PAIR_MODEL, [1.0; 3]),
            Task::Spot { tolerance, .. } => ([0.0; 3], [0.0; 3], [-tolerance, 0.0, tolerance], [1.0; 3], [1.0; 3]),
        };
        let mut all = [Input::plus_minus(Cause::Size, 0.0, 0.0); input::COUNT];
        all[input::BR] = bracket(
            Cause::Grade,
            [self.grade.br_min, self.grade.br_typical, self.grade.br_max],
        );
        all[input::PLATING] = bracket(Cause::Plating, [plating.min, plating.typical, plating.max]);
        all[input::ACROSS] = Input::plus_minus(Cause::Size, 0.0, tolerance);
        all[input::ALONG] = Input::plus_minus(Cause::Size, 0.0, tolerance);
        all[input::LAYERS] = bracket(Cause::Gap, layers);
        all[input::SEAT] = bracket(Cause::Gap, seat);
        all[input::DEPTH] = bracket(Cause::ProbeDepth, depth);
        all[input::MODEL] = bracket(Cause::Model, model);
        all[input::FRICTION] = bracket(Cause::Friction, friction);
        all
    }

    /// The value with `pieces` stacked (on each side of a pair) and all inputs at their most likely value.
    ///
    /// 0 where the coating leaves no magnet.
    pub fn mid(&self, pieces: u32) -> f64 {
        let at = self.inputs().map(|i| i.mid);
        self.prepared(pieces, &at)
            .map_or(0.0, |p| self.finish(self.unit(&p, &at), &at))
    }

    /// The value with its band.
    pub fn band(&self, pieces: u32) -> Band {
        let inputs = self.inputs();
        let mid = inputs.map(|i| i.mid);
        let prepared = self.prepared(pieces, &mid);
        let unit = prepared.as_ref().map_or(0.0, |p| self.unit(p, &mid));
        propagate(&inputs, |at| {
            let same = |places: &[usize]| places.iter().all(|&k| at[k] == mid[k]);
            if !same(&[input::PLATING, input::ACROSS, input::ALONG]) {
                return self
                    .prepared(pieces, at)
                    .map_or(0.0, |p| self.finish(self.unit(&p, at), at));
            }
            let moved = !same(&[input::LAYERS, input::SEAT, input::DEPTH]);
            let unit = if moved {
                prepared.as_ref().map_or(0.0, |p| self.unit(p, at))
            } else {
                unit
            };
            self.finish(unit, at)
        })
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
        let at = self.inputs().map(|i| i.mid);
        let stack = self.stacked(&shape, 1, &at)?;
        Some(self.finish(self.unit(&self.prepare(&stack)?, &at), &at))
    }

    /// A value that [`Self::mid`] does not pass, for less work than that where it is a force.
    pub fn at_most(&self, pieces: u32) -> f64 {
        let quick = if matches!(self.task, Task::Spot { .. }) || pieces == 1 {
            None
        } else {
            self.solid(pieces)
        };
        quick.unwrap_or_else(|| self.mid(pieces)) * (1.0 + ROUNDING)
    }

    /// Whether more pieces never give less: not for a spot off the axis, nor above the hole of a ring, where the field
    /// turns about.
    pub fn rises(&self) -> bool {
        match self.task {
            Task::Plate { .. } | Task::Pair { .. } => true,
            Task::Spot { off_axis, .. } => off_axis == 0.0 && !matches!(self.item.shape, Shape::Ring { .. }),
        }
    }

    /// A part of [`Self::mid`] that the low end of the band does not pass: what the inputs that are plain factors of the
    /// value take by themselves.
    pub fn surest_part(&self) -> f64 {
        let inputs = self.inputs();
        // Steel that is too thin hides part of the remanence's range.
        let power = match self.task {
            Task::Plate { thickness: Some(_), .. } => 0,
            Task::Plate { .. } | Task::Pair { .. } => 2,
            Task::Spot { .. } => 1,
        };
        let falls = [(input::BR, power), (input::MODEL, 1), (input::FRICTION, 1)].map(|(k, power)| {
            let standard = (inputs[k].mid - inputs[k].low) / 3f64.sqrt();
            1.0 - (1.0 - standard / inputs[k].mid).powi(power)
        });
        let together = falls.iter().map(|f| f * f).sum::<f64>().sqrt();
        (1.0 - COVERAGE_FACTOR * together).max(0.0) + ROUNDING
    }

    /// The stack at the most likely inputs; `None` where the coating leaves no magnet.
    pub fn stack(&self, pieces: u32) -> Option<Stacked> {
        let br = self.br(self.grade.br_typical)?;
        Stacked::new(
            self.item.shape,
            self.coating.thickness.typical,
            pieces,
            br,
            self.grade.recoil_permeability,
        )
        .ok()
    }

    fn br(&self, at_room: f64) -> Option<f64> {
        self.grade.br_at(at_room, self.celsius).ok()
    }

    /// A stack of pieces of that shape with a remanence of 1 T.
    fn stacked(&self, shape: &Shape, pieces: u32, at: &[f64]) -> Option<Stacked> {
        let outer = resized(shape, at[input::ACROSS], at[input::ALONG]);
        Stacked::new(outer, at[input::PLATING], pieces, 1.0, self.grade.recoil_permeability).ok()
    }

    fn prepare(&self, stack: &Stacked) -> Option<Prepared> {
        match self.task {
            Task::Plate { .. } | Task::Pair { .. } => stack.pull().map(Prepared::Pull),
            Task::Spot { .. } => stack.field().map(Prepared::Field),
        }
    }

    fn prepared(&self, pieces: u32, at: &[f64]) -> Option<Prepared> {
        self.prepare(&self.stacked(&self.item.shape, pieces, at)?)
    }

    /// The value at a remanence of 1 T on ideal steel, before all factors.
    fn unit(&self, prepared: &Prepared, at: &[f64]) -> f64 {
        let force = match (self.task, prepared) {
            (Task::Plate { .. }, Prepared::Pull(pull)) => pull.plate_pull(at[input::LAYERS] + at[input::SEAT]),
            (Task::Pair { gap }, Prepared::Pull(pull)) => pull.pair_attraction(gap),
            (
                Task::Spot {
                    distance,
                    off_axis,
                    axial_only,
                    ..
                },
                Prepared::Field(field),
            ) => {
                let [radial, axial] = flux_density(field, off_axis, distance + at[input::DEPTH]);
                return if axial_only { axial.abs() } else { radial.hypot(axial) };
            }
            // A stack is prepared for its task.
            (Task::Spot { .. }, Prepared::Pull(_)) | (_, Prepared::Field(_)) => return 0.0,
        };
        force.unwrap_or(0.0)
    }

    /// The value from that at a remanence of 1 T; 0 beyond the Curie temperature.
    fn finish(&self, unit: f64, at: &[f64]) -> f64 {
        let br = self.br(at[input::BR]).unwrap_or(0.0);
        match self.task {
            Task::Plate { thickness, usable, .. } => {
                let pull = br * br * unit;
                let kept = thickness.map_or(1.0, |t| self.thin(pull, usable, t).factor);
                pull * kept * at[input::MODEL] * at[input::FRICTION]
            }
            Task::Pair { .. } => br * br * unit * at[input::MODEL],
            Task::Spot { .. } => br * unit,
        }
    }

    /// What a plate of that thickness leaves of a pull.
    pub fn thin(&self, pull: f64, usable: f64, thickness: f64) -> steel::ThinPlate {
        thin_plate(
            pull,
            self.item.shape.pole_area(),
            self.item.shape.pole_perimeter(),
            usable,
            thickness,
        )
    }
}

#[cfg(test)]
mod tests;
