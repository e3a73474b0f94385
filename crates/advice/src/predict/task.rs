//! What is asked of the field of a build.

use magnetics::Shape;
use materials::coating::Coating;
use steel::pull_law::PullLaw;

use crate::catalogue::Catalogue;
use crate::known::{Meter, UsualProbe};
use crate::question::{Direction, Need, Question};

/// Friction of a plated magnet on a smooth painted wall where the question names none: sliding takes 15 to 25 % of the
/// pull; common practice, no source.
pub const FRICTION: [f64; 3] = [0.15, 0.2, 0.25];
/// How far the friction in use may be from a coefficient that the question names, as a part of it: published coefficients
/// depend on the system and are often misapplied (Blau, Tribology International 34, 585-591, 2001, abstract); the size is
/// common practice, no source.
pub const FRICTION_TOLERANCE: f64 = 0.15;
/// How far a place or gap that is asked may be from where it comes to lie, m: what a turned or printed holder keeps; common
/// practice, no source.
pub const PLACEMENT: f64 = 0.1e-3;
/// The same of a long distance, as a part of it; common practice, no source.
pub const PLACEMENT_OF_DISTANCE: f64 = 0.02;
/// Plus or minus on a distance or gap that is asked, m; no more than the distance itself.
pub fn placement_tolerance(distance: f64) -> f64 {
    (PLACEMENT_OF_DISTANCE * distance).max(PLACEMENT).min(distance)
}

/// What is asked of the field of a build, with all lengths in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Task {
    /// Pull on a plate.
    Plate {
        /// All layers together, with their tolerance.
        layers: [f64; 3],
        /// Thickness of the plate; `None` is thick.
        thickness: Option<f64>,
        /// Diameter of a round plate; `None` is wide.
        across: Option<f64>,
        /// The pull law of its steel; without one nothing is held.
        law: Option<&'static PullLaw>,
        /// Coefficient of friction where the load slides.
        friction: Option<[f64; 3]>,
    },
    /// Force between two such builds.
    Pair {
        /// Clear distance between the facing surfaces.
        gap: f64,
        /// Whether they push each other away.
        opposed: bool,
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
        /// The meter that reads it; without one it is the true field.
        meter: Option<Meter>,
    },
    /// Flux density on the axis far away, with the whole magnet taken as a dipole at its face; what a parcel is judged
    /// by, and on the safe side.
    Dipole {
        /// Distance from the outer face.
        distance: f64,
    },
}

/// The magnetisation curve of plain mild steel.
const MILD_STEEL: &str = "team13";

impl Task {
    /// Pull on thick mild steel through these layers, m.
    pub fn thick_steel(layers: [f64; 3]) -> Task {
        Task::Plate {
            layers,
            thickness: None,
            across: None,
            law: PullLaw::of_curve(MILD_STEEL),
            friction: None,
        }
    }

    /// The load along the plate at which it slides, with that friction.
    pub fn sliding(mut self, coefficient: [f64; 3]) -> Task {
        if let Task::Plate { friction, .. } = &mut self {
            *friction = Some(coefficient);
        }
        self
    }

    /// The same with what a coating does to it: an adhesive is a layer more, and its own friction counts where none is named.
    pub(super) fn of_coating(mut self, coating: &Coating) -> Task {
        if let Task::Plate { layers, friction, .. } = &mut self {
            if let Some(pad) = coating.pad {
                let [low, mid, high] = *layers;
                *layers = [low + pad.min, mid + pad.typical, high + pad.max];
            }
            if *friction == Some(FRICTION) {
                *friction = coating.friction.or(*friction);
            }
        }
        self
    }

    /// The same on a steel of another law.
    pub fn on_law(mut self, steel: &'static PullLaw) -> Task {
        if let Task::Plate { law, .. } = &mut self {
            *law = Some(steel);
        }
        self
    }

    /// What a probe flat on the face reads whose element lies that deep, m; with 0 the true field at the face.
    pub fn read_at_face(depth: f64, catalogue: &Catalogue) -> Task {
        if depth <= 0.0 {
            return Task::face();
        }
        Task::read_with(depth, catalogue.meter_at(depth))
    }

    /// What that probe reads, flat on the face.
    pub fn read_by(probe: &UsualProbe) -> Task {
        Task::read_with(probe.depth.si(), probe.reads())
    }

    fn read_with(depth: f64, (meter, tolerance): (Meter, f64)) -> Task {
        Task::Spot {
            distance: depth,
            off_axis: 0.0,
            tolerance,
            axial_only: true,
            meter: Some(meter),
        }
    }

    /// The true field along the axis at the face.
    pub fn face() -> Task {
        Task::Spot {
            distance: 0.0,
            off_axis: 0.0,
            tolerance: 0.0,
            axial_only: true,
            meter: None,
        }
    }

    /// The true field at exactly that place, m.
    pub fn spot(distance: f64, off_axis: f64) -> Task {
        Task::Spot {
            distance,
            off_axis,
            tolerance: 0.0,
            axial_only: false,
            meter: None,
        }
    }

    /// The field at a place that is asked, and kept to as well as such places are, m.
    fn asked(distance: f64, off_axis: f64) -> Task {
        Task::spot(distance, off_axis).within(placement_tolerance(distance))
    }

    /// The same field with that plus or minus on its distance, m.
    fn within(mut self, tolerance: f64) -> Task {
        if let Task::Spot {
            tolerance: plus_minus, ..
        } = &mut self
        {
            *plus_minus = tolerance;
        }
        self
    }

    /// The meter that reads it, if one does.
    pub fn meter(&self) -> Option<Meter> {
        match self {
            Task::Spot { meter, .. } => *meter,
            _ => None,
        }
    }

    /// Attraction across a gap, m.
    pub fn pair(gap: f64) -> Task {
        Task::Pair { gap, opposed: false }
    }

    /// The same task on a plate of another thickness, m; `None` is thick.
    pub fn on_plate(mut self, plate: Option<f64>) -> Task {
        if let Task::Plate { thickness, .. } = &mut self {
            *thickness = plate;
        }
        self
    }

    /// The task behind the question's main value.
    pub fn of(question: &Question, catalogue: &Catalogue) -> Task {
        match &question.need {
            Need::Hold {
                direction,
                steel: plate,
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
                Task::Plate {
                    layers: total,
                    thickness: plate.thickness.map(|t| t.si()),
                    across: plate.across.map(|d| d.si()),
                    law: catalogue.steels.find(&plate.material).and_then(steel::Steel::law),
                    friction: (*direction == Direction::Sideways).then(|| friction.map_or(FRICTION, friction_of)),
                }
            }
            Need::PullTogether { gap, .. } => Task::pair(gap.si()),
            Need::PushApart { gap, .. } => Task::Pair {
                gap: gap.si(),
                opposed: true,
            },
            Need::ReachField { distance, off_axis, .. } => Task::asked(distance.si(), off_axis.si()),
            Need::SwitchSensor { near, .. } => Task::asked(near.si(), 0.0),
            Need::FaceField { probe_depth, .. } => Task::read_at_face(probe_depth.map_or(0.0, |d| d.si()), catalogue),
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
        Some(Task::asked(distance, 0.0))
    }

    /// The same task with another distance: between magnet and steel, between the pair, or to the spot.
    pub fn at_distance(self, x: f64) -> Task {
        match self {
            Task::Plate {
                layers: [low, mid, high],
                thickness,
                across,
                law,
                friction,
            } => Task::Plate {
                // Of the same kind, and so as uncertain for their thickness.
                layers: if mid > 0.0 {
                    [x * low / mid, x, x * high / mid]
                } else {
                    [x; 3]
                },
                thickness,
                across,
                law,
                friction,
            },
            Task::Pair { opposed, .. } => Task::Pair { gap: x, opposed },
            // A probe's element never lies inside the magnet.
            Task::Spot {
                off_axis,
                tolerance,
                axial_only,
                meter,
                ..
            } => Task::Spot {
                distance: x,
                off_axis,
                tolerance: if axial_only || tolerance == 0.0 {
                    tolerance.min(x)
                } else {
                    placement_tolerance(x)
                },
                axial_only,
                meter,
            },
            Task::Dipole { .. } => Task::Dipole { distance: x },
        }
    }

    /// The distance that [`Task::at_distance`] sets.
    pub fn distance(self) -> f64 {
        match self {
            Task::Plate { layers, .. } => layers[1],
            Task::Pair { gap, .. } => gap,
            Task::Spot { distance, .. } | Task::Dipole { distance } => distance,
        }
    }

    /// Whether two builds face each other.
    pub fn is_pair(self) -> bool {
        matches!(self, Task::Pair { .. })
    }
}

/// The spread of a coefficient of friction that the question names.
pub fn friction_of(named: f64) -> [f64; 3] {
    [1.0 - FRICTION_TOLERANCE, 1.0, 1.0 + FRICTION_TOLERANCE].map(|part| part * named)
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
