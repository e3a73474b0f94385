//! A computed picture of a build: where it stands, and the lines of its flux.

use magnetics::Shape;
use quantity::Quantity;
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{Candidate, CrossSection, Magnet};
use crate::question::{Need, Question};
use crate::view::Pair;
use crate::view::text::Reader;

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

/// The picture of a candidate in its use.
pub fn for_candidate(question: &Question, candidate: &Candidate, found: &CrossSection, reader: &Reader) -> Picture {
    let plain = alone(found, &candidate.item.shape);
    let Need::Hold { steel, layers, .. } = &question.need else {
        return plain;
    };
    let mut at = 0.0;
    let layers = layers
        .iter()
        .map(|layer| {
            let from = at;
            at += layer.thickness.si();
            LayerSection {
                z_mm: [from * 1e3, at * 1e3],
                text: layer.material.clone(),
            }
        })
        .collect();
    let text = match steel.thickness {
        Some(t) => format!("{}, {}", steel.material, t.show(&reader.units)),
        None => format!("{}, thick", steel.material),
    };
    Picture {
        layers,
        steel: Some(SteelSection {
            z_mm: 0.0,
            thickness_mm: steel.thickness.map(|t| t.si() * 1e3),
            text,
        }),
        ..plain
    }
}

/// The picture of a build of that outer shape, and nothing else.
pub fn alone(found: &CrossSection, outer: &Shape) -> Picture {
    let millimetres = |line: &Vec<[f64; 2]>, sign: f64| -> Vec<[f64; 2]> {
        line.iter()
            .map(|[x, z]| [round(sign * x * 1e3), round(z * 1e3)])
            .collect()
    };
    let caption = if matches!(outer, Shape::Block { .. }) {
        "Computed lines of flux in the section through the middle, to scale"
    } else {
        "Computed lines of flux, to scale; equal flux between neighbours"
    };
    Picture {
        x_range_mm: [-found.half_width * 1e3, found.half_width * 1e3],
        z_range_mm: found.heights.map(|z| z * 1e3),
        lines: found
            .lines
            .iter()
            .flat_map(|line| [millimetres(line, 1.0), millimetres(line, -1.0)])
            .collect(),
        magnets: found.magnets.iter().map(magnet).collect(),
        steel: None,
        layers: Vec::new(),
        spot_mm: found.spot.map(|spot| spot.map(|x| x * 1e3)),
        caption: caption.into(),
    }
}

fn magnet(found: &Magnet) -> Section {
    let outline = super::answer::outline(&found.shape, 1);
    // A block is cut along its length.
    let half = match found.shape {
        Shape::Block { length, .. } => length / 2.0,
        ref round => round.widest() / 2.0,
    };
    Section {
        shape: outline.shape,
        x_mm: [-half * 1e3, half * 1e3],
        z_mm: found.heights.map(|z| z * 1e3),
        hole_mm: outline.hole_mm,
        north_up: found.north_up,
    }
}

fn round(mm: f64) -> f64 {
    (mm * 1e3).round() / 1e3
}
