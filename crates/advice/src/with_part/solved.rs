//! One build with a steel part as a drawing, and its value by the finite elements.
//!
//! A stack is drawn as one magnet: its platings, and the air where it sits on the part, are spread over its height. Flux
//! passes them one after the other, so that a share `f` of magnet of recoil permeability `m` in a stack gives it a
//! permeability of `1 / (f / m + 1 - f)`, and a remanence lowered with it. Across a gap as thin as plating that is exact
//! but for the fringes; a test compares it with the pieces drawn one by one.

use std::sync::Arc;

use magnetics::Shape;
use magnetics::inside::Facing;
use steel::BhCurve;
use steel::drawing::{Drawing, Material};
use steel::setups::{Cup, Piece, Size, Tip, in_cup, on_plate, with_back, with_tip};
use steel::solve::{Options, solve};

use crate::heat::numbers;
use crate::memo::Memo;
use crate::part::Form;
use crate::predict::{NotComputable, SEAT_GAP, SOLVER_ERROR, State, Task};

/// Relative error estimate at which a mesh is fine enough: what the band allows for the solver.
const TOLERANCE: f64 = SOLVER_ERROR;

/// Flux density that no steel part of a shop gives at a pole, T: saturation with what the magnet's own field adds.
pub(super) const STRONGEST: f64 = 3.0;
/// A place is on an edge of a tip's end where it is nearer to it than this, as a part of the end's diameter.
const EDGE: f64 = 0.02;

/// Values that were found before.
static KNOWN: Memo<f64> = Memo::new(1 << 16);

/// A steel by the name of its curve.
#[derive(Clone, Copy)]
pub(crate) struct Named<'a> {
    pub name: &'a str,
    pub curve: &'a Arc<BhCurve>,
}

/// A build, ready to be solved at many states.
#[derive(Clone, Copy)]
pub(crate) struct Setting<'a> {
    /// Outer shape of one piece.
    pub shape: &'a Shape,
    /// Pieces stacked.
    pub pieces: u32,
    /// Recoil permeability of the magnet.
    pub permeability: f64,
    /// The part and its steel; `None` for the bare stack.
    pub part: Option<(&'a Form, Named<'a>)>,
    /// How far the rim of a cup stands out, m.
    pub rim: f64,
    /// The steel that is held on; not used for a field.
    pub plate: Option<Named<'a>>,
    /// What is asked.
    pub task: Task,
}

impl Setting<'_> {
    /// Pull on the plate, N, or flux density at the place, T.
    ///
    /// # Errors
    /// [`NotComputable`] where there is no magnet or no solution, and where the field at the steel has no limit.
    pub(crate) fn value(&self, state: &State) -> Result<f64, NotComputable> {
        let find = || match self.task {
            Task::Plate { thickness, across, .. } => self.pull(state, [thickness, across]),
            Task::Spot {
                distance,
                off_axis,
                axial_only,
                ..
            } => self.field(state, [off_axis, -(distance + state.gap())], axial_only),
            Task::Pair { .. } | Task::Dipole { .. } => Err(NotComputable::NoSetUp),
        };
        // What fails is solved again, which is rare.
        KNOWN.once(self.inputs(state), find)
    }

    /// Everything that the value depends on, as numbers of which no two cases have the same.
    fn inputs(&self, state: &State) -> Vec<f64> {
        let mut inputs = numbers(self.shape, self.pieces as usize, Facing::Nothing).to_vec();
        inputs.extend([self.permeability, self.rim]);
        inputs.extend(state.numbers());
        inputs.extend(match self.task {
            Task::Plate { thickness, across, .. } => [0.0, thickness.unwrap_or(-1.0), across.unwrap_or(-1.0)],
            Task::Spot {
                distance,
                off_axis,
                axial_only,
                ..
            } => [if axial_only { 2.0 } else { 1.0 }, distance, off_axis],
            Task::Pair { .. } | Task::Dipole { .. } => [3.0; 3],
        });
        let form = self.part.map(|(form, _)| form);
        inputs.extend(form.map_or([-1.0; 6], Form::numbers));
        for steel in [self.part.map(|(_, steel)| steel), self.plate] {
            let name = steel.map_or("", |steel| steel.name);
            inputs.push(name.len() as f64);
            inputs.extend(name.bytes().map(f64::from));
        }
        inputs
    }

    /// The stack as one magnet, from its bare face to the part, or to its other bare face where it carries none.
    fn magnet(&self, state: &State) -> Result<Piece, NotComputable> {
        let (outer, inner) = match *self.shape {
            Shape::Disc { diameter, .. } => (diameter, 0.0),
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                ..
            } => (outer_diameter, inner_diameter),
            Shape::Block { .. } | Shape::Sphere { .. } => return Err(NotComputable::NoSetUp),
        };
        let grown = state.across() - 2.0 * state.plating();
        let pieces = f64::from(self.pieces);
        let each = self.shape.height() + state.along();
        let inside = pieces * (each - 2.0 * state.plating());
        let seat = if self.part.is_some() {
            state.plating() + SEAT_GAP[1]
        } else {
            0.0
        };
        let thickness = pieces * each - 2.0 * state.plating() + seat;
        let share = inside / thickness;
        let permeability = 1.0 / (share / self.permeability + 1.0 - share);
        Ok(Piece {
            size: Size {
                outer: outer + grown,
                inner: if inner > 0.0 { inner - grown } else { 0.0 },
                thickness,
            },
            material: Material::Magnet {
                polarisation: state.br() * share / self.permeability * permeability,
                recoil_permeability: permeability,
            },
        })
    }

    fn pull(&self, state: &State, [thickness, across]: [Option<f64>; 2]) -> Result<f64, NotComputable> {
        let magnet = self.magnet(state)?;
        let plate = self.plate.ok_or(NotComputable::NoPullLaw)?;
        let steel = Material::Steel(Arc::clone(plate.curve));
        // As wide and as thick as the pull law's plates.
        let width = magnet.size.outer.max(self.part.map_or(0.0, |(form, _)| form.widest()));
        let wide = 8.0 * width + 6.0 * state.gap() + 2.0 * magnet.size.thickness;
        let diameter = across.map_or(wide, |across| across.min(wide));
        let plate = Piece {
            size: Size::disc(diameter, thickness.unwrap_or(width).min(width)),
            material: steel,
        };
        let face = state.gap() + state.plating();
        let drawing = match self.part {
            None => on_plate(&magnet, face, &plate),
            Some((form, steel)) => {
                let steel = Material::Steel(Arc::clone(steel.curve));
                match *form {
                    Form::Cup {
                        outer_diameter,
                        inner_diameter,
                        height,
                        depth,
                        hole,
                    } => {
                        let stands = self.rim + state.out() - f64::from(self.pieces) * state.along();
                        let cup = Cup {
                            outer: outer_diameter,
                            inner: inner_diameter,
                            floor: height - depth,
                            hole,
                            rim: stands + state.plating(),
                            steel,
                        };
                        let bare_face = face + stands.max(0.0);
                        let rim = state.gap() + (-stands).max(0.0);
                        in_cup(&magnet, &cup, bare_face.min(rim), &plate)
                    }
                    _ => match back(form, &steel) {
                        Some(back) => with_back(&magnet, &back, face, &plate),
                        None => return Err(NotComputable::NoSetUp),
                    },
                }
            }
        };
        let options = Options {
            tolerance: TOLERANCE,
            ..Options::force_on("plate")
        };
        let solution = solve(&drawing, &options)?;
        Ok(solution.force_on("plate")?)
    }

    fn field(&self, state: &State, point: [f64; 2], axial_only: bool) -> Result<f64, NotComputable> {
        let magnet = self.magnet(state)?;
        if let Some((Form::Cone { end, .. }, _)) = self.part {
            if *end <= 0.0 {
                return Err(NotComputable::PointedTip);
            }
            if (point[0] - 0.5 * end).hypot(point[1]) < EDGE * end {
                return Err(NotComputable::EdgeOfSteel);
            }
        }
        // The plated face lies at z = 0, or the end of the tip does.
        let stand = Piece {
            size: Size::disc(magnet.size.outer, magnet.size.thickness),
            material: Material::Air,
        };
        let bare = |drawing: Drawing| {
            let mut drawing = drawing;
            drawing.parts.retain(|part| part.name != "plate");
            drawing
        };
        let drawing = match self.part {
            None => bare(on_plate(&magnet, state.plating(), &stand)),
            Some((form, steel)) => {
                let steel = Material::Steel(Arc::clone(steel.curve));
                match (*form, back(form, &steel)) {
                    (_, Some(back)) => bare(with_back(&magnet, &back, state.plating(), &stand)),
                    (Form::Cone { base, end, height }, _) => with_tip(&magnet, Tip::Cone { base, end, height }, &steel),
                    (Form::Dome { base, height }, _) => with_tip(&magnet, Tip::Dome { base, height }, &steel),
                    _ => return Err(NotComputable::NoSetUp),
                }
            }
        };
        let options = Options {
            points: vec![point],
            ..Options::default()
        };
        let [radial, axial] = solve(&drawing, &options)?.flux_density(point[0], point[1]);
        let value = if axial_only { axial.abs() } else { radial.hypot(axial) };
        if value > STRONGEST {
            return Err(NotComputable::AboveSaturation(value));
        }
        Ok(value)
    }
}

/// A part that backs a magnet.
fn back(form: &Form, steel: &Material) -> Option<Piece> {
    let size = match *form {
        Form::Disc { diameter, thickness } => Size::disc(diameter, thickness),
        Form::Washer {
            outer_diameter,
            inner_diameter,
            thickness,
        } => Size {
            outer: outer_diameter,
            inner: inner_diameter,
            thickness,
        },
        Form::Cup { .. } | Form::Cone { .. } | Form::Dome { .. } => return None,
    };
    Some(Piece {
        size,
        material: steel.clone(),
    })
}
