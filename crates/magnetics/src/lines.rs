//! Flux lines for pictures: polylines in the half plane `y = 0`, `x >= 0`.
//!
//! Lines start where they cross the middle of a magnet, spaced so that equal flux lies between neighbours: equal flux through rings
//! for turned bodies, equal `B_z dx` for blocks, whose picture is a section. They are followed until they leave the window,
//! run into the plate or close on themselves.

use std::f64::consts::PI;

use thiserror::Error;

use crate::assembly::{Assembly, FieldError};
use crate::body::{Body, BodyError, LARGEST_COORDINATE};
use crate::force::mirrored;
use crate::shape::Shape;

/// Points of the table of flux across a magnet, from its axis to its rim.
const ACROSS: usize = 256;

/// Share of the window's diagonal that one step may cover at most, and must cover at least.
const LONGEST_STEP: f64 = 1.0 / 80.0;
const SHORTEST_STEP: f64 = 1e-7;

/// Error allowed in one step, as a share of the window's diagonal; far below the width of a drawn line.
const STEP_ERROR: f64 = 1e-6;

/// The direction may turn by about this many radians in a step, so that the polyline looks smooth.
const TURN: f64 = 0.12;

/// Steps along one line before it is given up; a closed loop needs some hundreds.
const MOST_STEPS: usize = 5000;

/// Most lines asked for at once.
pub const MOST_LINES: usize = 200;

/// Most magnets in one picture.
pub const MOST_BODIES: usize = 64;

/// The part of the half plane that is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// From the axis to this `x`, m.
    pub width: f64,
    /// From this `z`, m.
    pub bottom: f64,
    /// To this `z`, m.
    pub top: f64,
}

/// Why lines cannot be drawn.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LinesError {
    /// The window is empty or not finite.
    #[error("the window must have a positive width and its top above its bottom, got {0:?}")]
    Window(Window),
    /// The number of lines is out of range.
    #[error("the number of lines must be from 1 to {MOST_LINES}, got {0}")]
    Count(usize),
    /// There are too many bodies for a picture.
    #[error("a picture can have at most {MOST_BODIES} magnets, got {0}")]
    Bodies(usize),
    /// A body is not centred on the axis of the picture.
    #[error("body {body} must be centred on x = y = 0, got {centre:?} m")]
    OffAxis {
        /// Index of the body.
        body: usize,
        /// Its centre, m.
        centre: [f64; 3],
    },
    /// A body reaches into the plate at `z = 0`.
    #[error("body {body} must lie above the plate at z = 0, but reaches down to {bottom} m")]
    InPlate {
        /// Index of the body.
        body: usize,
        /// Its lowest point, m.
        bottom: f64,
    },
    /// A mirror image lies out of range.
    #[error(transparent)]
    Image(#[from] BodyError),
    /// The field cannot be given where a line starts.
    #[error(transparent)]
    Field(#[from] FieldError),
}

/// Lines of flux, each a polyline of `[x, z]` in metres, in the direction of B.
///
/// `count` lines start in the magnet that carries most flux, others in proportion; a line through several magnets is drawn once.
/// The window should hold the middle of each magnet, where its lines start.
/// With `plate`, the half space below `z = 0` is an ideal plate and lines end on it.
///
/// # Errors
/// [`LinesError`] for a window or count out of range, and for bodies off the axis or inside the plate.
pub fn flux_lines(
    assembly: &Assembly,
    window: Window,
    count: usize,
    plate: bool,
) -> Result<Vec<Vec<[f64; 2]>>, LinesError> {
    check(assembly, window, count, plate)?;
    let tracer = Tracer::new(assembly, window, plate)?;
    let starts = assembly
        .bodies()
        .iter()
        .map(|body| Across::new(&tracer.field, body))
        .collect::<Result<Vec<_>, _>>()?;
    let most = starts.iter().map(|across| across.total().abs()).fold(0.0, f64::max);
    let mut lines: Vec<Vec<[f64; 2]>> = Vec::new();
    if most == 0.0 {
        return Ok(lines);
    }
    let share = most / count as f64;
    for across in &starts {
        let seeds: Vec<f64> = (0..count)
            .map_while(|k| across.place_of((k as f64 + 0.5) * share))
            .collect();
        let drawn: Vec<f64> = lines.iter().flat_map(|line| crossings(line, across.z)).collect();
        for (index, &x) in seeds.iter().enumerate() {
            let before = index.checked_sub(1).and_then(|i| seeds.get(i)).copied().unwrap_or(-x);
            let spacing = seeds.get(index + 1).map_or(x - before, |after| (after - before) / 2.0);
            if drawn.iter().all(|at| (at - x).abs() > 0.5 * spacing) {
                lines.push(tracer.line([x, across.z]));
            }
        }
    }
    Ok(lines)
}

fn check(assembly: &Assembly, window: Window, count: usize, plate: bool) -> Result<(), LinesError> {
    let Window { width, bottom, top } = window;
    let limits = -LARGEST_COORDINATE..=LARGEST_COORDINATE;
    if !(width > 0.0 && top > bottom && [width, bottom, top].iter().all(|c| limits.contains(c))) {
        return Err(LinesError::Window(window));
    }
    if !(1..=MOST_LINES).contains(&count) {
        return Err(LinesError::Count(count));
    }
    if assembly.bodies().len() > MOST_BODIES {
        return Err(LinesError::Bodies(assembly.bodies().len()));
    }
    for (index, body) in assembly.bodies().iter().enumerate() {
        if body.centre[0] != 0.0 || body.centre[1] != 0.0 {
            return Err(LinesError::OffAxis {
                body: index,
                centre: body.centre,
            });
        }
        if plate && body.bottom() < 0.0 {
            return Err(LinesError::InPlate {
                body: index,
                bottom: body.bottom(),
            });
        }
    }
    Ok(())
}

/// Where a polyline crosses a height.
fn crossings(line: &[[f64; 2]], z: f64) -> impl Iterator<Item = f64> {
    line.windows(2).filter_map(move |pair| match pair {
        [a, b] if (a[1] - z) * (b[1] - z) <= 0.0 && a[1] != b[1] => {
            Some(a[0] + (b[0] - a[0]) * (z - a[1]) / (b[1] - a[1]))
        }
        _ => None,
    })
}

/// Flux from the axis outwards, in the middle plane of one body.
struct Across {
    z: f64,
    /// `[x, flux within x]`, rising in `x`.
    table: Vec<[f64; 2]>,
}

impl Across {
    fn new(field: &Assembly, body: &Body) -> Result<Self, FieldError> {
        let (rim, turned) = match body.shape {
            Shape::Block { length, .. } => (0.5 * length, false),
            shape => (0.5 * shape.widest(), true),
        };
        let z = body.centre[2];
        let step = rim / ACROSS as f64;
        let mut flux = 0.0;
        let mut table = vec![[0.0, 0.0]];
        for k in 0..ACROSS {
            // Middles of the steps, so that no face or edge is touched.
            let x = (k as f64 + 0.5) * step;
            let weight = if turned { 2.0 * PI * x } else { 1.0 };
            flux += field.flux_density([x, 0.0, z])?[2] * weight * step;
            table.push([x + 0.5 * step, flux]);
        }
        Ok(Self { z, table })
    }

    /// Flux across the whole magnet, Wb for turned bodies, Wb/m for blocks.
    fn total(&self) -> f64 {
        self.table.last().map_or(0.0, |[_, flux]| *flux)
    }

    /// The `x` within which the given flux passes, counted in the direction of the whole; `None` if there is not so much.
    fn place_of(&self, flux: f64) -> Option<f64> {
        let sign = self.total().signum();
        self.table.windows(2).find_map(|pair| match pair {
            [a, b] if sign * a[1] <= flux && flux < sign * b[1] => {
                Some(a[0] + (b[0] - a[0]) * (flux - sign * a[1]) / (sign * (b[1] - a[1])))
            }
            _ => None,
        })
    }
}

/// Follows lines through a field.
struct Tracer {
    field: Assembly,
    window: Window,
    plate: bool,
    diagonal: f64,
}

impl Tracer {
    fn new(assembly: &Assembly, window: Window, plate: bool) -> Result<Self, BodyError> {
        let images = assembly
            .bodies()
            .iter()
            .filter(|_| plate)
            .map(|body| mirrored(body, 0.0));
        let field = Assembly::new(assembly.bodies().iter().copied().chain(images).collect())?;
        Ok(Self {
            field,
            window,
            plate,
            diagonal: window.width.hypot(window.top - window.bottom),
        })
    }

    /// The whole line through a point, from where it enters to where it leaves; closed if it returns.
    fn line(&self, start: [f64; 2]) -> Vec<[f64; 2]> {
        let (forward, closed) = self.follow(start, 1.0);
        if closed {
            return forward;
        }
        let (mut line, _) = self.follow(start, -1.0);
        line.reverse();
        line.pop();
        line.extend(forward);
        line
    }

    /// Follow a line with (`sense` = 1) or against B; true if it came back to its start.
    fn follow(&self, start: [f64; 2], sense: f64) -> (Vec<[f64; 2]>, bool) {
        let longest = LONGEST_STEP * self.diagonal;
        let mut line = vec![start];
        let mut at = start;
        let mut step = 0.1 * longest;
        let mut travelled = 0.0;
        for _ in 0..MOST_STEPS {
            let Some((next, error, turn)) = self.step(at, sense * step) else {
                step *= 0.5;
                if step < SHORTEST_STEP * self.diagonal {
                    break;
                } else {
                    continue;
                }
            };
            let smallest = step <= SHORTEST_STEP * self.diagonal;
            if (error > STEP_ERROR * self.diagonal || turn > TURN) && !smallest {
                step = (0.5 * step).max(SHORTEST_STEP * self.diagonal);
                continue;
            }
            travelled += step;
            if !self.inside(next) {
                line.push(self.clipped(at, next));
                return (line, false);
            }
            let away = (next[0] - start[0]).hypot(next[1] - start[1]);
            // Loops come back across the start's height from the side they left it on.
            let returned = travelled > 4.0 * away && away < step && (at[1] - start[1]) * (next[1] - start[1]) <= 0.0;
            if returned && line.len() > 8 {
                line.push(start);
                return (line, true);
            }
            line.push(next);
            at = next;
            if error < 0.02 * STEP_ERROR * self.diagonal && turn < 0.5 * TURN {
                step = (1.6 * step).min(longest);
            }
        }
        (line, false)
    }

    /// One Runge-Kutta step by two halves: where it leads, its error against a single one, and the angle turned.
    fn step(&self, at: [f64; 2], step: f64) -> Option<([f64; 2], f64, f64)> {
        let from = self.direction(at)?;
        let single = self.runge_kutta(at, step, from)?;
        let middle = self.runge_kutta(at, 0.5 * step, from)?;
        let onward = self.direction(middle)?;
        let double = self.runge_kutta(middle, 0.5 * step, onward)?;
        let to = self.direction(double)?;
        let error = (single[0] - double[0]).hypot(single[1] - double[1]);
        let turn = (from[0] * to[1] - from[1] * to[0])
            .atan2(from[0] * to[0] + from[1] * to[1])
            .abs();
        Some((double, error, turn))
    }

    fn runge_kutta(&self, at: [f64; 2], step: f64, k1: [f64; 2]) -> Option<[f64; 2]> {
        let moved = |k: [f64; 2], share: f64| [at[0] + share * step * k[0], at[1] + share * step * k[1]];
        let k2 = self.direction(moved(k1, 0.5))?;
        let k3 = self.direction(moved(k2, 0.5))?;
        let k4 = self.direction(moved(k3, 1.0))?;
        Some([0, 1].map(|i| at[i] + step / 6.0 * (k1[i] + 2.0 * (k2[i] + k3[i]) + k4[i])))
    }

    /// Unit vector of B in the half plane; `None` on an edge or where there is no field.
    fn direction(&self, [x, z]: [f64; 2]) -> Option<[f64; 2]> {
        let [bx, _, bz] = self.field.flux_density([x, 0.0, z]).ok()?;
        let size = bx.hypot(bz);
        (size > 0.0).then(|| [bx / size, bz / size])
    }

    fn floor(&self) -> f64 {
        if self.plate {
            self.window.bottom.max(0.0)
        } else {
            self.window.bottom
        }
    }

    fn inside(&self, [x, z]: [f64; 2]) -> bool {
        (0.0..=self.window.width).contains(&x) && (self.floor()..=self.window.top).contains(&z)
    }

    /// The point between `from` (inside) and `to` (outside) on the frame.
    fn clipped(&self, from: [f64; 2], to: [f64; 2]) -> [f64; 2] {
        let share = |a: f64, b: f64, low: f64, high: f64| {
            if b < low {
                (low - a) / (b - a)
            } else if b > high {
                (high - a) / (b - a)
            } else {
                1.0
            }
        };
        let t = share(from[0], to[0], 0.0, self.window.width).min(share(from[1], to[1], self.floor(), self.window.top));
        [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])]
    }
}
