//! From a solved drawing of magnets with steel to a picture of its half section, drawn on both sides of the axis.

use ::steel::drawing::Material;
use ::steel::solve::Solution;
use contour::ContourBuilder;

use crate::map::{FieldMap, off_the_border};
use crate::picture::{FieldPicture, Part, PartKind};
use crate::scene::MapUnit;

/// Cells of the map along the longer side of the window.
const CELLS: f64 = 220.0;

/// Room about magnets and what is near them, as a share of the greatest of their width and height.
const ROOM: f64 = 0.45;

/// A plate that reaches further than so many times the magnets is cut off.
const FARTHEST: f64 = 1.6;

/// The window that holds the magnets with room about them, and of the steel what lies near, mm: from left to right, from bottom to top.
#[must_use]
pub fn window(solution: &Solution) -> [[f64; 2]; 2] {
    let parts = &solution.drawing().parts;
    let magnets: Vec<&[f64; 2]> = parts
        .iter()
        .filter(|part| part.material.recoil_line().is_some())
        .flat_map(|part| &part.profile)
        .collect();
    let shown: Vec<&[f64; 2]> = if magnets.is_empty() {
        parts.iter().flat_map(|part| &part.profile).collect()
    } else {
        magnets
    };
    let most = |k: usize| shown.iter().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max);
    let (radius, top) = (most(0), most(1));
    let bottom = shown.iter().map(|p| p[1]).fold(f64::INFINITY, f64::min);
    let size = (2.0 * radius).max(top - bottom);
    let across = radius + ROOM * size;
    // All of the steel near the magnets is shown in height.
    let near = parts
        .iter()
        .flat_map(|part| &part.profile)
        .filter(|p| p[0] <= FARTHEST * across);
    let (low, high) = near.fold((bottom, top), |(low, high), p| {
        (low.min(p[1].max(bottom - size)), high.max(p[1].min(top + size)))
    });
    let room = ROOM * size * 0.7;
    [[-across, across], [low - room, high + room]].map(|side| side.map(|c| c * 1e3))
}

/// The picture of a solved drawing, `count` lines of flux with equal flux between them on each side of the axis.
#[must_use]
pub fn picture(solution: &Solution, [across, up]: [[f64; 2]; 2], unit: MapUnit, count: usize) -> FieldPicture {
    let (wide, tall) = (across[1] - across[0], up[1] - up[0]);
    let cell = wide.max(tall) / CELLS;
    let cells = |side: f64| ((side / cell).round() as usize).clamp(2, CELLS as usize + 1);
    let (columns, rows) = (cells(wide), cells(tall));
    let place = |k: usize| {
        let share = |at: usize, of: usize| (at as f64 + 0.5) / of as f64;
        [
            (across[0] + wide * share(k % columns, columns)) * 1e-3,
            (up[0] + tall * share(k / columns, rows)) * 1e-3,
        ]
    };
    let field = |k: usize| {
        let [r, z] = place(k);
        let [br, bz] = solution.flux_density(r, z);
        br.hypot(bz) * unit.per_si
    };
    let values: Vec<f64> = (0..columns * rows).map(field).collect();
    let flux: Vec<f64> = (0..columns * rows)
        .map(|k| {
            let [r, z] = place(k);
            solution.psi(r, z)
        })
        .collect();
    let parts = solution.drawing().parts.iter().filter_map(part).collect();
    FieldPicture {
        title: "Flux density and lines of flux, solved with the steel in it".into(),
        across,
        up,
        map: FieldMap::new(columns, rows, values, "|B|", unit.name).ok(),
        lines: lines(&flux, [columns, rows], [across, up], count),
        parts,
        spots: Vec::new(),
        inch: false,
    }
}

/// Lines of equal flux, mm.
fn lines(flux: &[f64], [columns, rows]: [usize; 2], [across, up]: [[f64; 2]; 2], count: usize) -> Vec<Vec<[f64; 2]>> {
    let most = flux.iter().map(|psi| psi.abs()).fold(0.0, f64::max);
    if most == 0.0 || count == 0 {
        return Vec::new();
    }
    let levels: Vec<f64> = (0..count)
        .flat_map(|k| {
            let level = most * (k as f64 + 0.5) / count as f64;
            [level, -level]
        })
        .collect();
    let drawn = ContourBuilder::new(columns, rows, true).lines(flux, &levels);
    let mut out = Vec::new();
    for level in drawn.unwrap_or_default() {
        for line in &level.geometry().0 {
            let points: Vec<[f64; 2]> = line.coords().map(|c| [c.x, c.y]).collect();
            let share = |at: f64, of: usize, [from, to]: [f64; 2]| from + (to - from) * at / of as f64;
            let place = |[c, r]: [f64; 2]| [share(c, columns, across), share(r, rows, up)];
            let runs = off_the_border(&points, [columns, rows]);
            out.extend(
                runs.into_iter()
                    .map(|run| run.into_iter().map(place).collect::<Vec<_>>()),
            );
        }
    }
    out
}

/// Both halves of a part; one outline where it reaches the axis.
fn part(part: &::steel::drawing::Part) -> Option<Part> {
    let kind = match &part.material {
        Material::Air => return None,
        Material::Steel(_) => PartKind::Steel,
        magnet @ (Material::Magnet { .. } | Material::Kneed { .. }) => PartKind::Magnet {
            towards: [0.0, magnet.recoil_line()?.polarisation],
        },
    };
    let right: Vec<[f64; 2]> = part.profile.iter().map(|p| p.map(|c| c * 1e3)).collect();
    let left: Vec<[f64; 2]> = right.iter().rev().map(|[r, z]| [-r, *z]).collect();
    let from = right.iter().position(|p| p[0] == 0.0);
    let outlines = match from {
        // From the axis around the right half, and back around the left one: the points on the axis fall away.
        Some(_) => {
            let whole: Vec<[f64; 2]> = off_axis(&right).into_iter().chain(off_axis(&left)).collect();
            vec![whole]
        }
        None => vec![right, left],
    };
    Some(Part {
        kind,
        outlines,
        name: match kind {
            PartKind::Steel => part.name.clone(),
            PartKind::Magnet { .. } => String::new(),
        },
    })
}

/// The corners off the axis, in order from where the outline leaves it.
fn off_axis(outline: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let n = outline.len();
    let start = (0..n)
        .find(|&k| outline[k][0] == 0.0 && outline[(k + 1) % n][0] != 0.0)
        .unwrap_or(0);
    (1..=n)
        .map(|k| outline[(start + k) % n])
        .filter(|p| p[0] != 0.0)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use ::steel::drawing::{Drawing, Part as Turned};
    use ::steel::solve::{Options, solve};

    fn solved() -> Solution {
        let magnet = Material::Magnet {
            polarisation: 1.3,
            recoil_permeability: 1.05,
        };
        let steels = ::steel::SteelTable::builtin().expect("built in");
        let curve = steels.curve("team13").expect("known").curve.clone();
        let drawing = Drawing::new(vec![
            Turned::ring("magnet", [0.0, 0.01], [0.001, 0.006], magnet),
            Turned::ring("plate", [0.0, 0.03], [-0.002, 0.0], Material::Steel(curve)),
        ]);
        solve(&drawing, &Options::force_on("plate")).expect("solved")
    }

    #[test]
    fn magnet_and_plate_are_whole_outlines_with_flux_between_them() {
        let solution = solved();
        let window = window(&solution);
        let unit = MapUnit {
            name: "mT",
            per_si: 1e3,
        };
        let drawn = picture(&solution, window, unit, 10);
        assert_eq!(drawn.parts.len(), 2);
        for part in &drawn.parts {
            assert_eq!(part.outlines.len(), 1, "a part on the axis is one outline");
            assert_eq!(part.outlines[0].len(), 4, "{:?}", part.outlines);
        }
        assert!(drawn.lines.len() >= 10);
        // The same flux to the left and to the right.
        let sides = drawn.lines.iter().flatten().fold(0.0, |sum, p| sum + p[0]);
        let size: f64 = drawn.lines.iter().flatten().map(|p| p[0].abs()).sum();
        assert!(sides.abs() < 0.02 * size, "{sides} of {size}");
        assert!(drawn.svg(600.0, "s").expect("drawn").contains("plate"));
    }
}
