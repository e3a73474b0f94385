//! The discrete equations and Newton's method for them.

use materials::MU_0;

use super::Options;
use super::exterior::Exterior;
use super::response::{bend, bend_energy};
use super::space::{At, RULE, Space};
use super::sparse::{Factor, Pattern, Singular};
use crate::drawing::{Drawing, Material, RecoilLine};

/// Pairs of the nodes of an element.
const PAIRS: usize = 21;
/// Shrinkings of a step before the search gives up.
const MOST_SHRINKS: usize = 12;
/// Decrement, over the energy, from which the next step may be the last.
const NEAR_END: f64 = 1e-2;

/// Where the equations of a mesh stand in their matrix; the same for every drawing that is solved on it.
#[derive(Debug)]
pub(crate) struct Structure {
    pub(crate) pattern: Pattern,
    /// Where the pairs of every element stand in it, and then those of the circle.
    positions: Vec<u32>,
}

impl Structure {
    pub(crate) fn new(space: &Space, exterior: &Exterior) -> Result<Self, Singular> {
        let mut groups: Vec<&[u32]> = space.nodes.iter().map(|nodes| &nodes[..]).collect();
        groups.push(&exterior.nodes);
        let (pattern, positions) = Pattern::new(space.len(), &groups)?;
        Ok(Self { pattern, positions })
    }
}

/// Equations on one mesh: those of air and recoil lines are assembled once, those of steel and knees at every state.
#[derive(Debug)]
pub(crate) struct System<'a> {
    drawing: &'a Drawing,
    structure: &'a Structure,
    /// Stiffness of everything that is linear.
    linear: Vec<f64>,
    load: Vec<f64>,
    bent: Vec<BentElement<'a>>,
}

#[derive(Debug)]
struct BentElement<'a> {
    material: &'a Material,
    nodes: [u32; 6],
    at: [At; 7],
    /// Where the pairs stand in the matrix.
    slots: [u32; PAIRS],
}

/// A state of the system.
#[derive(Clone, Debug)]
pub(crate) struct State {
    residual: Vec<f64>,
    stiffness: Vec<f64>,
}

/// When Newton's method ends.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stop {
    /// Energy that a last step promises, over the energy at hand.
    pub(crate) decrement: f64,
    /// Steps after which it is given up.
    pub(crate) most: usize,
}

impl From<&Options> for Stop {
    fn from(options: &Options) -> Self {
        Self {
            decrement: options.decrement,
            most: options.most_iterations,
        }
    }
}

/// Where Newton's method ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ended {
    /// Steps taken.
    pub(crate) iterations: usize,
    /// Norm of the unbalanced load over that of the load.
    pub(crate) residual: f64,
}

/// How Newton's method ended.
#[derive(Debug)]
pub(crate) enum Newton<'a> {
    /// Whoever watches stopped it.
    Stopped,
    /// With the factors of the last step if it arrived, without if it did not.
    Ended(Ended, Option<Factor<'a>>),
}

/// Material of a region of a mesh.
pub(crate) fn material(drawing: &Drawing, region: u16) -> &Material {
    drawing
        .parts
        .get(region as usize)
        .map_or(&Material::Air, |part| &part.material)
}

impl<'a> System<'a> {
    pub(crate) fn new(drawing: &'a Drawing, space: &Space, exterior: &Exterior, structure: &'a Structure) -> Self {
        let mut linear = vec![0.0; structure.pattern.entries()];
        let mut load = vec![0.0; space.len()];
        let mut bent = Vec::new();
        let (inner, outer) = structure.positions.split_at(PAIRS * space.nodes.len());
        for (t, (nodes, slots)) in space.nodes.iter().zip(inner.chunks_exact(PAIRS)).enumerate() {
            let material = material(drawing, space.mesh.region[t]);
            let at = RULE.map(|(l, _)| space.at(t, l));
            if let Material::Steel(_) | Material::Kneed { .. } = material {
                let mut own = [0; PAIRS];
                own.copy_from_slice(slots);
                bent.push(BentElement {
                    material,
                    nodes: *nodes,
                    at,
                    slots: own,
                });
            }
            if let Some(RecoilLine {
                polarisation,
                permeability,
            }) = material.recoil_line()
            {
                let nu = 1.0 / (MU_0 * permeability);
                add_linear(&mut linear, slots, &at, nu);
                for (at, (_, weight)) in at.iter().zip(RULE) {
                    let measure = weight * at.area * at.r * nu * polarisation;
                    for (id, b) in nodes.iter().zip(at.b) {
                        load[*id as usize] += measure * b[1];
                    }
                }
            } else if let Material::Air = material {
                add_linear(&mut linear, slots, &at, 1.0 / MU_0);
            }
        }
        let ends = (0..exterior.nodes.len()).flat_map(|i| (0..=i).map(move |j| (i, j)));
        for ((i, j), &slot) in ends.zip(outer) {
            linear[slot as usize] += exterior.coupling(i, j);
        }
        for (i, &id) in exterior.nodes.iter().enumerate() {
            load[id as usize] += exterior.load(i);
        }
        Self {
            drawing,
            structure,
            linear,
            load,
            bent,
        }
    }

    /// Adds to the load.
    #[cfg(test)]
    pub(crate) fn push(&mut self, more: &[f64]) {
        for (load, more) in self.load.iter_mut().zip(more) {
            *load += more;
        }
    }

    /// Unbalanced load and stiffness at `u`; `start` takes for steel its greatest permeability and for magnets their recoil line, whatever their state.
    pub(crate) fn state(&self, u: &[f64], start: bool) -> State {
        let mut residual = self.structure.pattern.times(&self.linear, u);
        for (r, f) in residual.iter_mut().zip(&self.load) {
            *r -= f;
        }
        let mut stiffness = self.linear.clone();
        for element in &self.bent {
            let values = element.nodes.map(|id| u[id as usize]);
            let mut block = [0.0; PAIRS];
            let mut force = [0.0; 6];
            for (at, (_, weight)) in element.at.iter().zip(RULE) {
                let measure = weight * at.area * at.r;
                let answer = bend(element.material, at.flux(&values));
                let [mut rr, mut rz, mut zz] = answer.slope.map(|s| s * measure);
                if start {
                    rr = match element.material {
                        Material::Steel(curve) => measure / curve.greatest_permeability(),
                        _ => 0.0,
                    };
                    (rz, zz) = (0.0, rr);
                }
                let h = answer.h.map(|h| h * measure);
                let mut k = 0;
                for (i, (&[br, bz], force)) in at.b.iter().zip(&mut force).enumerate() {
                    *force += br * h[0] + bz * h[1];
                    let d = [rr * br + rz * bz, rz * br + zz * bz];
                    for other in &at.b[..=i] {
                        block[k] += d[0] * other[0] + d[1] * other[1];
                        k += 1;
                    }
                }
            }
            for (slot, value) in element.slots.iter().zip(block) {
                stiffness[*slot as usize] += value;
            }
            for (id, value) in element.nodes.iter().zip(force) {
                residual[*id as usize] += value;
            }
        }
        State { residual, stiffness }
    }

    /// Newton's method from `u`, until the energy that a full step promises to win is below a share of the energy at hand.
    ///
    /// The energy is convex, so the line search only looks at its slope along the step: where it has turned by more than half of what it was, the step is shortened
    /// to where a straight slope would vanish. `step` is told every iteration and may stop it.
    pub(crate) fn newton(
        &self,
        u: &mut [f64],
        fresh: bool,
        Stop { decrement, most }: Stop,
        step: &mut dyn FnMut(usize, f64) -> bool,
    ) -> Result<Newton<'_>, Singular> {
        let scale = norm(&self.load);
        let mut state = self.state(u, fresh);
        let ended = |iterations: usize, state: &State| Ended {
            iterations,
            residual: norm(&state.residual) / scale,
        };
        for iteration in 1..=most {
            if !step(iteration, norm(&state.residual) / scale) {
                return Ok(Newton::Stopped);
            }
            let mut towards: Vec<f64> = state.residual.iter().map(|r| -r).collect();
            let factor = self.structure.pattern.factor(&state.stiffness)?;
            factor.solve(&mut towards)?;
            let slope = dot(&state.residual, &towards);
            let from = u.to_vec();
            let mut length = 1.0;
            for _ in 0..MOST_SHRINKS {
                for ((u, from), d) in u.iter_mut().zip(&from).zip(&towards) {
                    *u = from + length * d;
                }
                state = self.state(u, false);
                let after = dot(&state.residual, &towards);
                if after <= -0.5 * slope {
                    break;
                }
                length *= slope / (slope - after);
            }
            let energy = 0.5 * dot(&self.load, u).abs();
            if !(energy.is_finite() && slope.is_finite()) {
                return Err(Singular);
            }
            if -0.5 * slope <= decrement * energy {
                return Ok(Newton::Ended(ended(iteration, &state), Some(factor)));
            }
            // Near the end the same factor tells what is left, and takes it away.
            if -0.5 * slope <= NEAR_END * energy {
                let mut rest: Vec<f64> = state.residual.iter().map(|r| -r).collect();
                factor.solve(&mut rest)?;
                if -0.5 * dot(&state.residual, &rest) <= decrement * energy {
                    for (u, d) in u.iter_mut().zip(&rest) {
                        *u += d;
                    }
                    let state = self.state(u, false);
                    return Ok(Newton::Ended(ended(iteration, &state), Some(factor)));
                }
            }
        }
        Ok(Newton::Ended(ended(most, &state), None))
    }

    /// Energy of the field in all space, J: its derivative by a displacement of a part is the force against it.
    pub(crate) fn energy(&self, space: &Space, u: &[f64]) -> f64 {
        let stiff = self.structure.pattern.times(&self.linear, u);
        let mut energy = 0.5 * dot(&stiff, u) - dot(&self.load, u);
        for element in &self.bent {
            let values = element.nodes.map(|id| u[id as usize]);
            for (at, (_, weight)) in element.at.iter().zip(RULE) {
                energy += weight * at.area * at.r * bend_energy(element.material, at.flux(&values));
            }
        }
        for t in 0..space.nodes.len() {
            if let Some(line) = material(self.drawing, space.mesh.region[t]).recoil_line() {
                let own = 0.5 * line.polarisation * line.polarisation / (MU_0 * line.permeability);
                energy += RULE
                    .iter()
                    .map(|&(l, weight)| {
                        let at = space.at(t, l);
                        weight * at.area * at.r * own
                    })
                    .sum::<f64>();
            }
        }
        std::f64::consts::TAU * energy
    }
}

fn add_linear(values: &mut [f64], slots: &[u32], at: &[At; 7], nu: f64) {
    let mut block = [0.0; PAIRS];
    for (at, (_, weight)) in at.iter().zip(RULE) {
        let measure = weight * at.area * at.r * nu;
        let mut k = 0;
        for i in 0..6 {
            let [br, bz] = at.b[i].map(|b| b * measure);
            for other in &at.b[..=i] {
                block[k] += br * other[0] + bz * other[1];
                k += 1;
            }
        }
    }
    for (slot, value) in slots.iter().zip(block) {
        values[*slot as usize] += value;
    }
}

pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn norm(a: &[f64]) -> f64 {
    dot(a, a).sqrt()
}
