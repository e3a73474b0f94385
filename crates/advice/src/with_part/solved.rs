//! One build with a steel part as a drawing, and its value by the finite elements.
//!
//! A stack is drawn as one magnet: its platings, and the air where it sits on the part, are spread over its height. Flux
//! passes them one after the other, so that a share `f` of magnet of recoil permeability `m` in a stack gives it a
//! permeability of `1 / (f / m + 1 - f)`, and a remanence lowered with it. Across a gap as thin as plating that is exact
//! but for the fringes; a test compares it with the pieces drawn one by one.

use std::sync::Arc;

use magnetics::Shape;
use magnetics::inside::Facing;
use rayon::prelude::*;
use steel::drawing::{Drawing, Material};
use steel::setups::{Cup, Piece, Size, Tip, in_cup, on_plate, with_back, with_tip};
use steel::solve::{Options, Solution, SolveError, solve_watched};
use steel::{BhCurve, NamedCurve};

use crate::go_on::{GoOn, still_wanted};
use crate::heat::numbers;
use crate::memo::Memo;
use crate::part::Form;
use crate::predict::{NotComputable, SEAT_GAP, SOLVER_ERROR, State, Task};

/// Relative error estimate at which a fine mesh is fine enough: what the band allows for the solver.
const FINE: f64 = SOLVER_ERROR;
/// How many times coarser than usual the first mesh of a rough solve is, with which it ends: it sieves builds and tells ratios.
const COARSER: f64 = 8.0;
/// Energy that the last Newton step promises, over the energy at hand, where values are sieved and curves drawn.
const VALUE_LEFT: f64 = 1e-5;
/// The same where ratios and fine values are read; what that and the mesh leave is told in docs/steel.md.
const RATIO_LEFT: f64 = 1e-6;
/// What a rough value may be below a fine one, as a part of it: 1 % for pulls, as was measured, and more beside tips.
pub(super) const ROUGH_SLACK: f64 = 0.05;

/// Flux density that no steel part of a shop gives at a pole, T: saturation with what the magnet's own field adds.
pub(super) const STRONGEST: f64 = 3.0;
/// A place is on an edge of a tip's end where it is nearer to it than this, as a part of the end's diameter.
const EDGE: f64 = 0.02;

/// Values that were found before.
static KNOWN: Memo<f64> = Memo::new(1 << 16);
/// Ratios that were found before.
static RATIOS: Memo<Ratios> = Memo::new(1 << 12);
/// Rough solutions of the builds that are looked at, up to a megabyte each.
static SOLVED: Memo<Arc<Solution>> = Memo::new(32);

/// A rough value, and what others are over it.
#[derive(Clone, Debug)]
pub(crate) struct Ratios {
    pub value: f64,
    pub ratios: Arc<[f64]>,
}

/// How fine a mesh is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Mesh {
    /// To sieve and for curves.
    Rough,
    /// The same mesh, with its equations solved closely enough for ratios.
    Close,
    /// For what is shown.
    Fine,
}

/// A steel by the name of its curve.
#[derive(Clone, Copy)]
pub(crate) struct Named<'a> {
    pub name: &'a str,
    pub curve: &'a Arc<BhCurve>,
}

impl<'a> From<&'a NamedCurve> for Named<'a> {
    fn from(found: &'a NamedCurve) -> Self {
        Self {
            name: &found.name,
            curve: &found.curve,
        }
    }
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
    /// Whether it is still wanted.
    pub go_on: GoOn<'a>,
}

impl Setting<'_> {
    /// Pull on the plate, N, or flux density at the place, T.
    ///
    /// # Errors
    /// [`NotComputable`] where there is no magnet or no solution, and where the field at the steel has no limit.
    pub(crate) fn value(&self, state: &State) -> Result<f64, NotComputable> {
        self.value_on(Mesh::Fine, state)
    }

    /// The same for less work, within [`ROUGH_SLACK`].
    ///
    /// # Errors
    /// As [`Self::value`].
    pub(crate) fn rough_value(&self, state: &State) -> Result<f64, NotComputable> {
        self.value_on(Mesh::Rough, state)
    }

    fn value_on(&self, mesh: Mesh, state: &State) -> Result<f64, NotComputable> {
        let mut inputs = self.inputs(state);
        inputs.push(if mesh == Mesh::Fine { 0.0 } else { 1.0 });
        // What fails is solved again, which is rare.
        KNOWN.once(inputs, || {
            self.check(state)?;
            match (mesh, self.task) {
                // The rough mesh is at hand, and is refined where the force needs it for half the work of a new one.
                (Mesh::Fine, Task::Plate { .. }) => self.read(state, &self.refined(mesh, state)?),
                (Mesh::Fine, _) => self.read(state, &self.solve(mesh, &self.drawing(state)?, &[self.point(state)])?),
                _ => self.read(state, &*self.rough(state)?),
            }
        })
    }

    /// The solution on a rough mesh, from which ratios and a fine value follow.
    fn rough(&self, state: &State) -> Result<Arc<Solution>, NotComputable> {
        SOLVED.once(self.inputs(state), || {
            let solution = self.solve(Mesh::Rough, &self.drawing(state)?, &[self.point(state)])?;
            Ok(Arc::new(solution))
        })
    }

    /// The rough solution brought as near as that mesh wants it, or refined.
    fn refined(&self, mesh: Mesh, state: &State) -> Result<Solution, NotComputable> {
        let options = self.options(mesh, &[self.point(state)]);
        let rough = self.rough(state)?;
        Ok(rough.refined(&options, &mut |_| still_wanted(self.go_on))?)
    }

    /// The rough value at the middle, and those at these states over it, all on one rough mesh that is moved along.
    ///
    /// # Errors
    /// As [`Self::value`].
    pub(crate) fn ratios(&self, middle: &State, states: &[State]) -> Result<Ratios, NotComputable> {
        let mut inputs = self.inputs(middle);
        inputs.extend(states.iter().flat_map(State::numbers));
        RATIOS.once(inputs, || {
            self.check(middle)?;
            let solution = self.refined(Mesh::Close, middle)?;
            let value = self.read(middle, &solution)?;
            let ratios: Arc<[f64]> = states
                .par_iter()
                .map(|state| Ok(self.beside(&solution, state)? / value))
                .collect::<Result<_, NotComputable>>()?;
            Ok(Ratios { value, ratios })
        })
    }

    /// The value at a state near one that is solved.
    fn beside(&self, solved: &Solution, state: &State) -> Result<f64, NotComputable> {
        self.check(state)?;
        let drawing = self.drawing(state)?;
        // The place of a field moves without any of the parts.
        if drawing == *solved.drawing() {
            return self.read(state, solved);
        }
        match solved.nearby(&drawing, &mut |_| still_wanted(self.go_on)) {
            Ok(solution) => self.read(state, &solution),
            Err(SolveError::Apart) => self.read(state, &self.solve(Mesh::Close, &drawing, &[self.point(state)])?),
            Err(error) => Err(error.into()),
        }
    }

    /// Rough values of the same build for several tasks, which differ in their gap or distance.
    ///
    /// # Errors
    /// As [`Self::value`].
    pub(crate) fn rough_along(&self, at: &[(Task, State)]) -> Result<Vec<f64>, NotComputable> {
        let there = |task: Task| Setting { task, ..*self };
        match at.first() {
            // The parts stay where they are, whatever place is asked.
            Some((task @ Task::Spot { .. }, state)) => {
                let points: Vec<_> = at.iter().map(|(task, state)| there(*task).point(state)).collect();
                let solution = self.solve(Mesh::Rough, &there(*task).drawing(state)?, &points)?;
                at.iter()
                    .map(|(task, state)| {
                        there(*task).check(state)?;
                        there(*task).read(state, &solution)
                    })
                    .collect()
            }
            _ => at
                .par_iter()
                .map(|(task, state)| there(*task).rough_value(state))
                .collect(),
        }
    }

    fn solve(&self, mesh: Mesh, drawing: &Drawing, points: &[[f64; 2]]) -> Result<Solution, NotComputable> {
        let options = self.options(mesh, points);
        Ok(solve_watched(drawing, &options, &mut |_| still_wanted(self.go_on))?)
    }

    fn options(&self, mesh: Mesh, points: &[[f64; 2]]) -> Options {
        let usual = match self.task {
            Task::Plate { .. } => Options::force_on("plate"),
            _ => Options {
                points: points.to_vec(),
                ..Options::default()
            },
        };
        match (mesh, self.task) {
            (Mesh::Rough | Mesh::Close, _) => Options {
                tolerance: 1.0,
                least_unknowns: 0,
                decrement: if mesh == Mesh::Rough { VALUE_LEFT } else { RATIO_LEFT },
                coarser: COARSER,
                ..usual
            },
            (Mesh::Fine, Task::Plate { .. }) => Options {
                tolerance: FINE,
                decrement: RATIO_LEFT,
                ..usual
            },
            (Mesh::Fine, _) => usual,
        }
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

    /// Where the field is asked, `[r, z]`, m; the face or the end of a tip lies at z = 0.
    fn point(&self, state: &State) -> [f64; 2] {
        match self.task {
            Task::Spot { distance, off_axis, .. } => [off_axis, -(distance + state.gap())],
            _ => [0.0; 2],
        }
    }

    /// Whether there is a value at all.
    fn check(&self, state: &State) -> Result<(), NotComputable> {
        let (Task::Spot { .. }, Some((Form::Cone { end, .. }, _))) = (self.task, self.part) else {
            return Ok(());
        };
        if *end <= 0.0 {
            return Err(NotComputable::PointedTip);
        }
        let [r, z] = self.point(state);
        if (r - 0.5 * end).hypot(z) < EDGE * end {
            return Err(NotComputable::EdgeOfSteel);
        }
        Ok(())
    }

    /// The value of a solved drawing.
    fn read(&self, state: &State, solution: &Solution) -> Result<f64, NotComputable> {
        match self.task {
            Task::Plate { .. } => Ok(solution.force_on("plate")?),
            Task::Spot { axial_only, .. } => {
                let [r, z] = self.point(state);
                let [radial, axial] = solution.flux_density(r, z);
                let value = if axial_only { axial.abs() } else { radial.hypot(axial) };
                if value > STRONGEST {
                    return Err(NotComputable::AboveSaturation(value));
                }
                Ok(value)
            }
            Task::Pair { .. } | Task::Dipole { .. } => Err(NotComputable::NoSetUp),
        }
    }

    /// The build at a state.
    pub(super) fn drawing(&self, state: &State) -> Result<Drawing, NotComputable> {
        match self.task {
            Task::Plate { thickness, across, .. } => self.on_plate(state, [thickness, across]),
            Task::Spot { .. } => self.in_air(state),
            Task::Pair { .. } | Task::Dipole { .. } => Err(NotComputable::NoSetUp),
        }
    }

    fn on_plate(&self, state: &State, [thickness, across]: [Option<f64>; 2]) -> Result<Drawing, NotComputable> {
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
        Ok(match self.part {
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
        })
    }

    fn in_air(&self, state: &State) -> Result<Drawing, NotComputable> {
        let magnet = self.magnet(state)?;
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
        Ok(match self.part {
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
        })
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
