//! A section through the axis of a build, with the lines of its flux.

use magnetics::lines::flux_lines;
use magnetics::plane::Window;
use magnetics::{Assembly, Body, Shape};

use crate::answer::{CrossSection, Magnet};
use crate::predict::{InUse, Task};

/// Lines that start in a magnet's half section.
const LINES: usize = 9;
/// Least distance between points of a line that is kept, as a part of the picture's width.
const FINE: f64 = 1.0 / 400.0;
/// Points are kept to so many parts of a metre.
const PARTS: f64 = 1e6;
/// A magnet is never quite in contact, so that it and its image do not share an edge, m.
const APART: f64 = 1e-6;

/// The section of a build in its use; `None` where there is nothing to draw.
pub(super) fn in_use(in_use: &InUse) -> Option<CrossSection> {
    let stack = in_use.stack().ok()?.assembly().ok()?;
    let outer = &in_use.item.shape;
    match in_use.task {
        Task::Plate { .. } => draw(
            moved(&stack, in_use.task.distance().max(APART), false),
            outer,
            true,
            None,
        ),
        Task::Pair { gap, opposed } => {
            let upper = moved(&stack, gap / 2.0, false);
            let height = stack.top() - stack.bottom() + 2.0 * stack.bottom();
            let lower = moved(&stack, -gap / 2.0 - height, opposed);
            draw([upper, lower].concat(), outer, false, None)
        }
        Task::Spot { distance, off_axis, .. } => {
            let top = stack.top() + stack.bottom();
            draw(stack.bodies().to_vec(), outer, false, Some([off_axis, top + distance]))
        }
        Task::Dipole { .. } => None,
    }
}

/// The section of a build alone.
pub(crate) fn alone(in_use: &InUse) -> Option<CrossSection> {
    let stack = in_use.stack().ok()?.assembly().ok()?;
    draw(stack.bodies().to_vec(), &in_use.item.shape, false, None)
}

/// The bodies lifted by `up`, and turned over where asked.
fn moved(assembly: &Assembly, up: f64, turned: bool) -> Vec<Body> {
    let sign = if turned { -1.0 } else { 1.0 };
    let lift = |b: &Body| Body {
        centre: [b.centre[0], b.centre[1], b.centre[2] + up],
        polarisation: b.polarisation * sign,
        ..*b
    };
    assembly.bodies().iter().map(lift).collect()
}

fn draw(bodies: Vec<Body>, outer: &Shape, plate: bool, spot: Option<[f64; 2]>) -> Option<CrossSection> {
    let assembly = Assembly::new(bodies).ok()?;
    let (bottom, top) = (assembly.bottom(), assembly.top());
    let reach = outer.widest().max(top - bottom);
    let [beside, above] = spot.unwrap_or_default();
    let width = (0.5 * outer.widest() + 0.8 * reach).max(1.1 * beside);
    let window = Window {
        left: 0.0,
        right: width,
        bottom: if plate { 0.0 } else { bottom - 0.7 * reach },
        top: (top + 0.75 * reach).max(above + 0.1 * reach),
    };
    let lines = flux_lines(&assembly, window, LINES, plate).ok()?;
    Some(CrossSection {
        half_width: width,
        heights: [window.bottom, window.top],
        lines: lines.iter().map(|line| thinned(line, width * FINE)).collect(),
        magnets: assembly.bodies().iter().map(magnet).collect(),
        spot,
    })
}

fn magnet(body: &Body) -> Magnet {
    Magnet {
        shape: body.shape,
        heights: [body.bottom(), body.top()],
        north_up: body.polarisation > 0.0,
    }
}

/// The line without points that lie closer than `least` to the one before; its ends stay.
fn thinned(line: &[[f64; 2]], least: f64) -> Vec<[f64; 2]> {
    let mut out: Vec<[f64; 2]> = Vec::new();
    for (k, &point) in line.iter().enumerate() {
        let near = out
            .last()
            .is_some_and(|p| (p[0] - point[0]).hypot(p[1] - point[1]) < least);
        if !near || k + 1 == line.len() {
            out.push(point.map(|x| (x * PARTS).round() / PARTS));
        }
    }
    out
}
