//! A computed picture of a build: where it stands, and the lines of its flux.

use magnetics::lines::flux_lines;
use magnetics::plane::Window;
use magnetics::{Assembly, Body, Shape};
use quantity::Quantity;
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::Candidate;
use crate::predict::{InUse, Task};
use crate::question::{Need, Question};
use crate::view::Pair;
use crate::view::text::Reader;

/// Lines that start in a magnet's half section.
const LINES: usize = 9;
/// Least distance between points of a line that is sent, as a part of the picture's width.
const FINE: f64 = 1.0 / 400.0;

/// A section through the axis, in millimetres whatever the units shown, to scale.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Picture {
    /// From left to right.
    #[schema(value_type = Pair)]
    pub x_range_mm: [f64; 2],
    /// From bottom to top.
    #[schema(value_type = Pair)]
    pub z_range_mm: [f64; 2],
    /// Lines of flux, both halves, each a list of [x, z].
    #[schema(value_type = Vec<Vec<Pair>>)]
    pub lines: Vec<Vec<[f64; 2]>>,
    /// The magnets.
    pub magnets: Vec<Section>,
    /// The steel that is held on.
    pub steel: Option<SteelSection>,
    /// What lies between.
    pub layers: Vec<LayerSection>,
    /// The place where a field is asked, as [x, z].
    #[schema(value_type = Option<Pair>)]
    pub spot_mm: Option<[f64; 2]>,
    /// What it shows.
    pub caption: String,
}

/// A magnet in section.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Section {
    /// `disc`, `ring`, `block` or `sphere`.
    pub shape: String,
    /// From left to right.
    #[schema(value_type = Pair)]
    pub x_mm: [f64; 2],
    /// From bottom to top.
    #[schema(value_type = Pair)]
    pub z_mm: [f64; 2],
    /// Hole of a ring.
    pub hole_mm: f64,
    /// Whether the north pole is on top.
    pub north_up: bool,
}

/// The steel in section.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct SteelSection {
    /// Its upper face.
    pub z_mm: f64,
    /// Its thickness; absent for thick steel.
    pub thickness_mm: Option<f64>,
    /// In words.
    pub text: String,
}

/// A layer in section.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct LayerSection {
    /// From bottom to top.
    #[schema(value_type = Pair)]
    pub z_mm: [f64; 2],
    /// In words.
    pub text: String,
}

/// The picture of a candidate in its use; `None` where there is nothing to draw.
pub fn for_candidate(question: &Question, candidate: &Candidate, in_use: &InUse, reader: &Reader) -> Option<Picture> {
    let stack = in_use.stack().ok()?.assembly().ok()?;
    match (&question.need, in_use.task) {
        (Need::Hold { steel, layers, .. }, _) => {
            let mut at = 0.0;
            let layers: Vec<LayerSection> = layers
                .iter()
                .map(|l| {
                    let from = at;
                    at += l.thickness.si();
                    LayerSection {
                        z_mm: [from * 1e3, at * 1e3],
                        text: l.material.clone(),
                    }
                })
                .collect();
            let thickness = steel.thickness.map(|t| t.si());
            let text = match steel.thickness {
                Some(t) => format!("{}, {}", steel.material, t.show(&reader.units)),
                None => format!("{}, thick", steel.material),
            };
            let steel = SteelSection {
                z_mm: 0.0,
                thickness_mm: thickness.map(|t| t * 1e3),
                text,
            };
            // Never quite in contact, so that the magnet and its image do not share an edge.
            let bodies = moved(&stack, at.max(1e-6), false);
            draw(bodies, &candidate.item.shape, Some(steel), layers, None)
        }
        (Need::PullTogether { .. } | Need::PushApart { .. }, Task::Pair { gap, .. }) => {
            let upper = moved(&stack, gap / 2.0, false);
            let turned = matches!(question.need, Need::PushApart { .. });
            let height = stack.top() - stack.bottom() + 2.0 * stack.bottom();
            let lower = moved(&stack, -gap / 2.0 - height, turned);
            draw([upper, lower].concat(), &candidate.item.shape, None, Vec::new(), None)
        }
        (_, Task::Spot { distance, off_axis, .. }) => {
            let top = stack.top() + stack.bottom();
            let spot = [off_axis * 1e3, (top + distance) * 1e3];
            draw(
                stack.bodies().to_vec(),
                &candidate.item.shape,
                None,
                Vec::new(),
                Some(spot),
            )
        }
        _ => None,
    }
}

/// The picture of one piece alone.
pub fn for_item(in_use: &InUse) -> Option<Picture> {
    let stack = in_use.stack().ok()?.assembly().ok()?;
    draw(stack.bodies().to_vec(), &in_use.item.shape, None, Vec::new(), None)
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

fn draw(
    bodies: Vec<Body>,
    outer: &Shape,
    steel: Option<SteelSection>,
    layers: Vec<LayerSection>,
    spot_mm: Option<[f64; 2]>,
) -> Option<Picture> {
    let assembly = Assembly::new(bodies).ok()?;
    let (bottom, top) = (assembly.bottom(), assembly.top());
    let reach = outer.widest().max(top - bottom);
    let spot_top = spot_mm.map_or(0.0, |s| s[1] * 1e-3);
    let width = (0.5 * outer.widest() + 0.8 * reach).max(spot_mm.map_or(0.0, |s| s[0] * 1e-3 * 1.1));
    let plate = steel.is_some();
    let window = Window {
        left: 0.0,
        right: width,
        bottom: if plate { 0.0 } else { bottom - 0.7 * reach },
        top: (top + 0.75 * reach).max(spot_top + 0.1 * reach),
    };
    let half = flux_lines(&assembly, window, LINES, plate).ok()?;
    let millimetres = |line: &Vec<[f64; 2]>, sign: f64| -> Vec<[f64; 2]> {
        thinned(line, width * FINE)
            .into_iter()
            .map(|[x, z]| [round(sign * x * 1e3), round(z * 1e3)])
            .collect()
    };
    let lines = half
        .iter()
        .flat_map(|l| [millimetres(l, 1.0), millimetres(l, -1.0)])
        .collect();
    let sections = assembly.bodies().iter().map(section).collect();
    let caption = if matches!(outer, Shape::Block { .. }) {
        "Computed lines of flux in the section through the middle, to scale"
    } else {
        "Computed lines of flux, to scale; equal flux between neighbours"
    };
    Some(Picture {
        x_range_mm: [-width * 1e3, width * 1e3],
        z_range_mm: [window.bottom * 1e3, window.top * 1e3],
        lines,
        magnets: sections,
        steel,
        layers,
        spot_mm,
        caption: caption.into(),
    })
}

fn section(body: &Body) -> Section {
    let outline = super::answer::outline(&body.shape, 1);
    // A block is cut along its length.
    let half = match body.shape {
        Shape::Block { length, .. } => length / 2.0,
        ref round => round.widest() / 2.0,
    };
    Section {
        shape: outline.shape,
        x_mm: [-half * 1e3, half * 1e3],
        z_mm: [body.bottom() * 1e3, body.top() * 1e3],
        hole_mm: outline.hole_mm,
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
            out.push(point);
        }
    }
    out
}

fn round(mm: f64) -> f64 {
    (mm * 1e3).round() / 1e3
}
