//! From placed magnets to a picture of their field in a plane.

use std::convert::Infallible;

use magnetics::plane::Plane;
use magnetics::section::{direction, outlines};
use magnetics::{Placed, Scene};
use materials::MU_0;
use thiserror::Error;

use crate::map::FieldMap;
use crate::picture::{FieldPicture, Part, PartKind};

/// Cells of the map along the longer side of the window.
const CELLS: f64 = 180.0;

/// Room about the bodies, as a share of the greatest of their width and height.
const ROOM: f64 = 0.65;

/// Most bodies in one picture.
pub const MOST_BODIES: usize = 256;

/// What is mapped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mapped {
    /// Magnitude of B.
    FluxDensity,
    /// Magnitude of H.
    FieldStrength,
    /// Nothing.
    Nothing,
}

/// Why there is no picture of a scene.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SceneError {
    /// There is nothing to draw.
    #[error("a picture needs at least one magnet")]
    Empty,
    /// There is too much to draw.
    #[error("a picture holds at most {MOST_BODIES} magnets, got {0}")]
    Bodies(usize),
}

/// The unit in which a map is read: its name, and how many of it make the SI unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MapUnit {
    /// Such as `mT`.
    pub name: &'static str,
    /// Times the value in SI.
    pub per_si: f64,
}

/// The window that holds all bodies with room about them, mm: from left to right, from bottom to top.
///
/// # Errors
/// [`SceneError`] for no bodies or too many.
pub fn window(scene: &Scene, plane: &Plane) -> Result<[[f64; 2]; 2], SceneError> {
    let box_ = extent(scene, plane)?;
    let size = (box_[0][1] - box_[0][0]).max(box_[1][1] - box_[1][0]);
    Ok(box_.map(|[low, high]| [low - ROOM * size, high + ROOM * size]))
}

/// How far all bodies reach, across and up in a plane, mm: what the plane cuts, and the whole of what it does not.
///
/// # Errors
/// [`SceneError`] for no bodies or too many.
pub fn extent(scene: &Scene, plane: &Plane) -> Result<[[f64; 2]; 2], SceneError> {
    let bodies = scene.bodies();
    if bodies.is_empty() {
        return Err(SceneError::Empty);
    }
    if bodies.len() > MOST_BODIES {
        return Err(SceneError::Bodies(bodies.len()));
    }
    let mut box_ = [[f64::INFINITY, f64::NEG_INFINITY]; 2];
    let mut grow = |place: [f64; 2]| {
        for (side, c) in box_.iter_mut().zip(place) {
            *side = [side[0].min(c), side[1].max(c)];
        }
    };
    for body in bodies {
        let outlines = outlines(body, plane);
        if outlines.is_empty() {
            let (centre, radius) = body.bounding_ball();
            let [a, u] = plane.place(centre);
            grow([a - radius, u - radius]);
            grow([a + radius, u + radius]);
        }
        outlines.into_iter().flatten().for_each(&mut grow);
    }
    Ok(box_.map(|side| side.map(|c| c * 1e3)))
}

/// The picture of a scene in a plane; `window` as [`window`] gives it. Lines of flux are the caller's, in metres.
///
/// # Errors
/// [`SceneError`] for no bodies or too many.
pub fn picture(
    scene: &Scene,
    plane: &Plane,
    [across, up]: [[f64; 2]; 2],
    mapped: Mapped,
    unit: MapUnit,
    lines: &[Vec<[f64; 2]>],
) -> Result<FieldPicture, SceneError> {
    window(scene, plane)?;
    let millimetres = |points: &Vec<[f64; 2]>| points.iter().map(|p| p.map(|c| c * 1e3)).collect();
    let parts = scene
        .bodies()
        .iter()
        .map(|body| Part {
            kind: PartKind::Magnet {
                towards: direction(body, plane),
            },
            outlines: outlines(body, plane).iter().map(millimetres).collect(),
            name: String::new(),
        })
        .filter(|part| !part.outlines.is_empty())
        .collect();
    let (title, map) = match mapped {
        Mapped::FluxDensity => (
            "Flux density and lines of flux",
            map(scene, plane, [across, up], mapped, unit, "|B|"),
        ),
        Mapped::FieldStrength => (
            "Field strength and lines of flux",
            map(scene, plane, [across, up], mapped, unit, "|H|"),
        ),
        Mapped::Nothing => ("Lines of flux", None),
    };
    Ok(FieldPicture {
        title: format!("{title} of {}", counted(scene.bodies())),
        across,
        up,
        map,
        lines: lines.iter().map(millimetres).collect(),
        parts,
        spots: Vec::new(),
        inch: false,
    })
}

fn counted(bodies: &[Placed]) -> String {
    match bodies.len() {
        1 => "one magnet".into(),
        n => format!("{n} magnets"),
    }
}

fn map(
    scene: &Scene,
    plane: &Plane,
    [across, up]: [[f64; 2]; 2],
    mapped: Mapped,
    unit: MapUnit,
    label: &str,
) -> Option<FieldMap> {
    let (wide, tall) = (across[1] - across[0], up[1] - up[0]);
    let cell = wide.max(tall) / CELLS;
    let count = |side: f64| ((side / cell).round() as usize).clamp(2, CELLS as usize + 1);
    let (columns, rows) = (count(wide), count(tall));
    let points: Vec<[f64; 3]> = (0..columns * rows)
        .map(|k| {
            let (column, row) = (k % columns, k / columns);
            let share = |at: usize, of: usize| (at as f64 + 0.5) / of as f64;
            plane.point([
                (across[0] + wide * share(column, columns)) * 1e-3,
                (up[0] + tall * share(row, rows)) * 1e-3,
            ])
        })
        .collect();
    let at = |scene: &Scene, point: [f64; 3]| {
        let vector = match mapped {
            Mapped::FieldStrength => scene.field_strength(point),
            Mapped::FluxDensity | Mapped::Nothing => scene.flux_density(point),
        };
        // An edge has no value: its cell stays blank.
        let size = vector.map_or(f64::NAN, |[x, y, z]| x.hypot(y).hypot(z));
        Ok::<f64, Infallible>(size * unit.per_si)
    };
    let values = scene.at_all(&points, at).unwrap_or_default();
    FieldMap::new(columns, rows, values, label, unit.name).ok()
}

/// The usual units of a map: mT or G for B, kA/m or Oe for H.
#[must_use]
pub fn usual_unit(mapped: Mapped, gauss: bool) -> MapUnit {
    match (mapped, gauss) {
        (Mapped::FieldStrength, false) => MapUnit {
            name: "kA/m",
            per_si: 1e-3,
        },
        (Mapped::FieldStrength, true) => MapUnit {
            name: "Oe",
            per_si: 1e4 * MU_0,
        },
        (_, false) => MapUnit {
            name: "mT",
            per_si: 1e3,
        },
        (_, true) => MapUnit { name: "G", per_si: 1e4 },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use magnetics::{Polarisation, Shape, Solid};

    fn disc(centre: [f64; 3]) -> Placed {
        let shape = Shape::Disc {
            diameter: 0.01,
            thickness: 0.005,
        };
        Placed::new(
            Solid::Plain(shape),
            Polarisation::Along([0.0, 0.0, 1.2]),
            centre,
            [0.0; 3],
        )
        .expect("in range")
    }

    #[test]
    fn a_disc_is_drawn_with_room_about_it() {
        let scene = Scene::new(vec![disc([0.0; 3])]);
        let plane = Plane::xz(0.0);
        let window = window(&scene, &plane).expect("one body");
        assert!(
            (window[0][0] + 11.5).abs() < 1e-9 && (window[1][1] - 9.0).abs() < 1e-9,
            "{window:?}"
        );
        let unit = usual_unit(Mapped::FluxDensity, false);
        let drawn = picture(&scene, &plane, window, Mapped::FluxDensity, unit, &[]).expect("drawn");
        assert_eq!(drawn.parts.len(), 1);
        assert_eq!(drawn.parts[0].kind, PartKind::Magnet { towards: [0.0, 1.2] });
        let svg = drawn.svg(480.0, "a").expect("drawn");
        assert!(svg.contains("|B|, mT") && svg.contains("one magnet"));
    }

    #[test]
    fn nothing_and_too_much_are_refused() {
        assert_eq!(window(&Scene::default(), &Plane::xz(0.0)), Err(SceneError::Empty));
        let many = Scene::new((0..257).map(|k| disc([0.0, 0.0, f64::from(k) * 0.01])).collect());
        assert_eq!(window(&many, &Plane::xz(0.0)), Err(SceneError::Bodies(257)));
    }
}
