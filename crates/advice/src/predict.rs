//! The value that a build gives for a need, and its band.
//!
//! One function of a few uncertain inputs stands for every verb; a [`Prediction`] fixes what is certain (the item, the
//! number of pieces, the use) and sends the inputs through it. Magnets are rigid, their polarisation lowered by
//! recoil to first order ([`magnetics::recoil`]), at the warmest temperature asked.

use bench::{Band, Cause, Input, propagate};
use magnetics::coating::Coating;
use magnetics::grade::GradeRow;
use magnetics::Shape;
use steel::thin_plate;

use crate::stacked::Stacked;
use crate::catalogue::Catalogue;
use crate::item::Item;
use crate::question::{Direction, Need, Question};

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
            Need::Hold { direction, steel, layers, friction, .. } => {
                let mut total = [0.0; 3];
                for layer in layers {
                    let t = layer.thickness.si();
                    let tolerance = catalogue.layer(&layer.material).map_or(0.1, |l| l.tolerance);
                    for (sum, part) in total.iter_mut().zip([1.0 - tolerance, 1.0, 1.0 + tolerance]) {
                        *sum += t * part;
                    }
                }
                let usable = catalogue.steels.find(&steel.material).and_then(|s| s.usable_flux_density_t);
                Task::Plate {
                    layers: total,
                    thickness: steel.thickness.map(|t| t.si()),
                    usable: usable.unwrap_or(0.0),
                    friction: (*direction == Direction::Sideways)
                        .then(|| friction.map_or(FRICTION, |mu| [mu, mu, mu])),
                }
            }
            Need::PullTogether { gap, .. } | Need::PushApart { gap, .. } => Task::Pair { gap: gap.si() },
            Need::ReachField { distance, off_axis, .. } => Task::Spot {
                distance: distance.si(),
                off_axis: off_axis.si(),
                tolerance: 0.0,
                axial_only: false,
            },
            Need::SwitchSensor { near, .. } => {
                Task::Spot { distance: near.si(), off_axis: 0.0, tolerance: 0.0, axial_only: false }
            }
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
            Need::ReachField { no_more_than: Some(ceiling), .. } => ceiling.distance.si(),
            Need::SwitchSensor { far, .. } => far.si(),
            _ => return None,
        };
        Some(Task::Spot { distance, off_axis: 0.0, tolerance: 0.0, axial_only: false })
    }

    /// The same task with another distance: between magnet and steel, between the pair, or to the spot.
    pub fn at_distance(self, x: f64) -> Task {
        match self {
            Task::Plate { thickness, usable, friction, .. } => {
                Task::Plate { layers: [x, x, x], thickness, usable, friction }
            }
            Task::Pair { .. } => Task::Pair { gap: x },
            Task::Spot { off_axis, tolerance, axial_only, .. } => {
                Task::Spot { distance: x, off_axis, tolerance, axial_only }
            }
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
        Shape::Ring { outer_diameter, inner_diameter, .. } => (outer_diameter + inner_diameter) / 4.0,
        _ => 0.0,
    }
}

/// The shape with every size across changed by `across` and the height by `along`, m.
pub(crate) fn resized(shape: &Shape, across: f64, along: f64) -> Shape {
    match *shape {
        Shape::Disc { diameter, thickness } => Shape::Disc { diameter: diameter + across, thickness: thickness + along },
        Shape::Ring { outer_diameter, inner_diameter, thickness } => Shape::Ring {
            outer_diameter: outer_diameter + across,
            inner_diameter: inner_diameter - across,
            thickness: thickness + along,
        },
        Shape::Block { length, width, thickness } => {
            Shape::Block { length: length + across, width: width + across, thickness: thickness + along }
        }
        Shape::Sphere { diameter } => Shape::Sphere { diameter: diameter + across },
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
            Task::Spot { distance, off_axis, tolerance, axial_only: true } => Task::Spot {
                distance,
                off_axis: off_axis + reading_radius(&item.shape),
                tolerance,
                axial_only: true,
            },
            other => other,
        };
        Self { item, grade, coating, task, celsius }
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
        all[input::BR] = bracket(Cause::Grade, [self.grade.br_min, self.grade.br_typical, self.grade.br_max]);
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
        let inputs = self.inputs();
        let mut at = [0.0; input::COUNT];
        for (a, i) in at.iter_mut().zip(&inputs) {
            *a = i.mid;
        }
        self.value(pieces, &at)
    }

    /// The value with its band.
    pub fn band(&self, pieces: u32) -> Band {
        propagate(&self.inputs(), |at| self.value(pieces, at))
    }

    /// The stack at the most likely inputs; `None` where the coating leaves no magnet.
    pub fn stack(&self, pieces: u32) -> Option<Stacked> {
        self.stack_with(pieces, self.grade.br_typical, self.coating.thickness.typical, 0.0, 0.0)
    }

    fn stack_with(&self, pieces: u32, br: f64, plating: f64, across: f64, along: f64) -> Option<Stacked> {
        let outer = resized(&self.item.shape, across, along);
        let br = self.grade.br_at(br, self.celsius).ok()?;
        Stacked::new(outer, plating, pieces, br, self.grade.recoil_permeability).ok()
    }

    fn value(&self, pieces: u32, at: &[f64]) -> f64 {
        let Some(stack) =
            self.stack_with(pieces, at[input::BR], at[input::PLATING], at[input::ACROSS], at[input::ALONG])
        else {
            return 0.0;
        };
        match self.task {
            Task::Plate { thickness, usable, .. } => {
                let pull = stack.plate_pull(at[input::LAYERS] + at[input::SEAT]);
                let kept = thickness.map_or(1.0, |t| self.thin(pull, usable, t).factor);
                pull * kept * at[input::MODEL] * at[input::FRICTION]
            }
            Task::Pair { gap } => stack.pair_force(gap) * at[input::MODEL],
            Task::Spot { distance, off_axis, axial_only, .. } => {
                let b = stack.flux_density(off_axis, distance + at[input::DEPTH]);
                if axial_only { b[1].abs() } else { b[0].hypot(b[1]) }
            }
        }
    }

    /// What a plate of that thickness leaves of a pull.
    pub fn thin(&self, pull: f64, usable: f64, thickness: f64) -> steel::ThinPlate {
        thin_plate(pull, self.item.shape.pole_area(), self.item.shape.pole_perimeter(), usable, thickness)
    }
}
