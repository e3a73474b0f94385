//! Flux lines for pictures: polylines in a window of a plane.
//!
//! Where all bodies are turned about one axis in the plane, the lines are the level lines of the [`stream`](crate::stream) function, so that equal flux
//! through rings lies between neighbours. Otherwise lines start across the middle of each magnet with equal flux per depth between them
//! and follow the field's part in the plane until they leave the window or close on themselves.

use thiserror::Error;

use crate::assembly::Assembly;
use crate::force::mirrored;
use crate::placed::Placed;
use crate::plane::{Plane, Window};
use crate::scene::Scene;
use crate::solid::{PlacedError, Polarisation, Solid};
use crate::stream::Stream;
use crate::trace::{Drawn, Tracer};
use numerics::contour::level_lines;
use numerics::vector::{Vector, dot};

/// Points of the table of flux across a magnet.
const ACROSS: usize = 512;

/// Cells along the longer side of the grid on which level lines are sought.
const CELLS: f64 = 56.0;

/// Grid lines closer than this share of a cell to a face of a magnet give way to it.
const GIVES_WAY: f64 = 0.3;

/// Faces closer than this share of a cell, as in a stack, share a grid line.
const ONE_FACE: f64 = 0.05;

/// An axis lies in the plane if it is off it by no more than this, as a sine or as a share of the window.
const IN_PLANE: f64 = 1e-9;

/// Most lines asked for at once.
pub const MOST_LINES: usize = 200;

/// Most magnets in one picture.
pub const MOST_BODIES: usize = 200;

/// Why lines cannot be drawn.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LinesError {
    /// The window is empty or not finite.
    #[error("the window must have its right beyond its left and its top above its bottom, got {0:?}")]
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
    /// A body or its mirror image lies out of range.
    #[error(transparent)]
    Image(#[from] PlacedError),
}

/// Lines of flux of an upright assembly on the axis `x = y = 0`, in the plane `y = 0`, each a polyline of `[x, z]` in metres, in the direction of B.
///
/// As [`of`]; with `plate`, the half space below `z = 0` is an ideal plate and lines end on it.
///
/// # Errors
/// [`LinesError`] for a window or count out of range, and for bodies off the axis or inside the plate.
pub fn flux_lines(
    assembly: &Assembly,
    window: Window,
    count: usize,
    plate: bool,
) -> Result<Vec<Vec<[f64; 2]>>, LinesError> {
    let mut bodies = Vec::new();
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
        let image = plate.then(|| mirrored(body, 0.0));
        for body in [*body].into_iter().chain(image) {
            let along = Polarisation::Along([0.0, 0.0, body.polarisation]);
            bodies.push(Placed::new(Solid::Plain(body.shape), along, body.centre, [0.0; 3])?);
        }
    }
    let bottom = if plate { window.bottom.max(0.0) } else { window.bottom };
    of(&Scene::new(bodies), &Plane::xz(0.0), Window { bottom, ..window }, count)
}

/// Lines of flux in a window of a plane, each a polyline of plane coordinates in metres, in the direction of B; a closed line ends where it starts.
///
/// `count` lines pass each half of the middle section of the magnet that carries most flux, others in proportion.
/// Where the plane holds no axis about which all is turned, lines are those of the field's part in the plane, start within the window only, and end where they
/// would come too near to others.
///
/// # Errors
/// [`LinesError`] for a window or count out of range, or too many bodies.
pub fn of(scene: &Scene, plane: &Plane, window: Window, count: usize) -> Result<Vec<Vec<[f64; 2]>>, LinesError> {
    if !window.is_drawable() {
        return Err(LinesError::Window(window));
    }
    if !(1..=MOST_LINES).contains(&count) {
        return Err(LinesError::Count(count));
    }
    if scene.bodies().len() > MOST_BODIES {
        return Err(LinesError::Bodies(scene.bodies().len()));
    }
    let turned = Stream::new(scene).filter(|stream| {
        let (origin, axis) = stream.axis();
        let lean = dot(axis, plane.normal());
        lean.abs() <= IN_PLANE && plane.height(origin).abs() <= IN_PLANE * window.diagonal()
    });
    Ok(match turned {
        Some(stream) => by_levels(scene, &stream, plane, window, count),
        None => by_following(scene, plane, window, count),
    })
}

/// Level lines of the stream function.
fn by_levels(scene: &Scene, stream: &Stream, plane: &Plane, window: Window, count: usize) -> Vec<Vec<[f64; 2]>> {
    let most = stream.most();
    if most == 0.0 {
        return Vec::new();
    }
    let (xs, zs) = grid(stream, plane, window);
    let mut lines = level_lines(&xs, &zs, most / count as f64, &|at: [f64; 2]| {
        stream.at(plane.point(at))
    });
    let tracer = Tracer {
        scene,
        plane: *plane,
        window,
    };
    for line in &mut lines {
        // Chords across a face or around a rim may mislead; the whole does not.
        let with: f64 = line
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] => {
                    let [across, up] = tracer.field([0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])])?;
                    Some(across * (b[0] - a[0]) + up * (b[1] - a[1]))
                }
                _ => None,
            })
            .sum();
        if with < 0.0 {
            line.reverse();
        }
    }
    lines
}

/// Coordinates of grid lines: even ones, and one along every flat or upright face, where lines of flux have their kinks.
fn grid(stream: &Stream, plane: &Plane, window: Window) -> (Vec<f64>, Vec<f64>) {
    let Window {
        left,
        right,
        bottom,
        top,
    } = window;
    let cell = (right - left).max(top - bottom) / CELLS;
    let (origin, axis) = stream.axis();
    let ([x, z], [dx, dz]) = (plane.place(origin), plane.part(axis));
    // Where the axis leans in the picture no face is along a grid line.
    let square = dx.abs().min(dz.abs()) <= IN_PLANE;
    let (mut across, mut up) = (Vec::new(), Vec::new());
    for [r, h] in stream.corners().into_iter().filter(|_| square) {
        for r in [r, -r] {
            across.push(x + h * dx + r * dz);
            up.push(z + h * dz - r * dx);
        }
    }
    (spaced(left, right, cell, across), spaced(bottom, top, cell, up))
}

/// Rising coordinates from one end to the other, no farther apart than a cell, among them those given.
fn spaced(from: f64, to: f64, cell: f64, mut given: Vec<f64>) -> Vec<f64> {
    let apart = ONE_FACE * cell;
    given.retain(|&c| c > from + apart && c < to - apart);
    given.extend([from, to]);
    given.sort_by(f64::total_cmp);
    given.dedup_by(|a, b| (*a - *b).abs() <= apart);
    let steps = ((to - from) / cell).ceil().max(1.0);
    let even = (1..steps as usize).map(|k| from + (to - from) * k as f64 / steps);
    let free = |c: &f64| given.iter().all(|g| (g - c).abs() > GIVES_WAY * cell);
    let mut all: Vec<f64> = even.filter(free).collect();
    all.extend(&given);
    all.sort_by(f64::total_cmp);
    all
}

/// Lines followed from the middle of each magnet.
fn by_following(scene: &Scene, plane: &Plane, window: Window, count: usize) -> Vec<Vec<[f64; 2]>> {
    let tracer = Tracer {
        scene,
        plane: *plane,
        window,
    };
    let starts: Vec<Across> = scene
        .bodies()
        .iter()
        .filter_map(|body| Across::new(&tracer, body))
        .collect();
    let most = starts.iter().map(|across| across.total.abs()).fold(0.0, f64::max);
    let mut lines: Vec<Vec<[f64; 2]>> = Vec::new();
    if most == 0.0 {
        return lines;
    }
    let share = 0.5 * most / count as f64;
    let beside = starts
        .iter()
        .flat_map(|across| {
            let seeds = across.seeds(share);
            let gap = |pair: &[f64]| match pair {
                [a, b] => b - a,
                _ => f64::INFINITY,
            };
            let gaps: Vec<f64> = seeds.windows(2).map(gap).collect();
            gaps
        })
        .fold(f64::INFINITY, f64::min);
    let mut all = Drawn::new(window, beside);
    for across in &starts {
        let seeds: Vec<f64> = across.seeds(share);
        let drawn: Vec<f64> = lines.iter().flat_map(|line| across.crossings(line)).collect();
        for (index, &at) in seeds.iter().enumerate() {
            let beside = [index.checked_sub(1), Some(index + 1)];
            let nearest = beside
                .into_iter()
                .filter_map(|i| seeds.get(i?))
                .map(|other| (other - at).abs())
                .fold(f64::INFINITY, f64::min);
            let start = across.point(at);
            if window.contains(start) && drawn.iter().all(|other| (other - at).abs() > 0.5 * nearest) {
                let line = tracer.line(start, &all);
                all.draw(&line);
                lines.push(line);
            }
        }
    }
    lines
}

/// Flux across one body: along a stretch through its middle, across its polarisation.
struct Across {
    middle: [f64; 2],
    /// Direction of the stretch.
    along: [f64; 2],
    /// `[place, flux from the start]`, rising in its place, in T m.
    table: Vec<[f64; 2]>,
    total: f64,
}

impl Across {
    /// `None` if the body is not met by the plane, or carries no flux in it.
    fn new(tracer: &Tracer, body: &Placed) -> Option<Self> {
        let (centre, reach) = body.bounding_ball();
        let ([x, z], off) = (tracer.plane.place(centre), tracer.plane.height(centre));
        let span = (reach * reach - off * off).max(0.0).sqrt();
        let [jx, jz] = tracer.plane.part(polarisation(body));
        let strength = jx.hypot(jz);
        if span == 0.0 || strength == 0.0 {
            return None;
        }
        let (with, along) = ([jx / strength, jz / strength], [jz / strength, -jx / strength]);
        let mut across = Self {
            middle: [x, z],
            along,
            table: vec![[-span, 0.0]],
            total: 0.0,
        };
        let step = 2.0 * span / ACROSS as f64;
        for k in 0..ACROSS {
            // Middles of the steps, so that no face or edge is touched.
            let at = (k as f64 + 0.5) * step - span;
            let point = across.point(at);
            if body.contains(tracer.plane.point(point))
                && let Some(b) = tracer.field(point)
            {
                across.total += (b[0] * with[0] + b[1] * with[1]) * step;
            }
            across.table.push([at + 0.5 * step, across.total]);
        }
        (across.total != 0.0).then_some(across)
    }

    fn point(&self, at: f64) -> [f64; 2] {
        [0, 1].map(|i| self.middle[i] + at * self.along[i])
    }

    /// Places that leave equal flux between them, half as much at each end.
    fn seeds(&self, share: f64) -> Vec<f64> {
        // Counted from the middle of the flux, so that symmetric magnets get symmetric lines.
        let sign = self.total.signum();
        let whole = sign * self.total;
        let count = (whole / share).round().max(1.0);
        (0..count as usize)
            .filter_map(|k| {
                let wanted = 0.5 * whole + (k as f64 + 0.5 - 0.5 * count) * share.min(whole);
                self.table.windows(2).find_map(|pair| match pair {
                    [a, b] if sign * a[1] <= wanted && wanted < sign * b[1] => {
                        Some(a[0] + (b[0] - a[0]) * (wanted - sign * a[1]) / (sign * (b[1] - a[1])))
                    }
                    _ => None,
                })
            })
            .collect()
    }

    /// Where a polyline crosses the stretch.
    fn crossings(&self, line: &[[f64; 2]]) -> Vec<f64> {
        let off = |p: [f64; 2]| (p[0] - self.middle[0]) * -self.along[1] + (p[1] - self.middle[1]) * self.along[0];
        let at = |p: [f64; 2]| (p[0] - self.middle[0]) * self.along[0] + (p[1] - self.middle[1]) * self.along[1];
        line.windows(2)
            .filter_map(|pair| match *pair {
                [a, b] if off(a) * off(b) <= 0.0 && off(a) != off(b) => {
                    Some(at(a) + (at(b) - at(a)) * off(a) / (off(a) - off(b)))
                }
                _ => None,
            })
            .collect()
    }
}

/// Polarisation in the middle of a body, in space.
fn polarisation(body: &Placed) -> Vector {
    let local = match body.polarisation() {
        Polarisation::Along(j) => j,
        Polarisation::Radial(j) => [j, 0.0, 0.0],
    };
    body.turn().out(local)
}
