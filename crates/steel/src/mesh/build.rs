//! The first mesh of a drawing: points by a quadtree that follows the sizes of the walls, joined by a constrained Delaunay triangulation.

use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};

use super::outline::{Outline, overlap};
use super::plane::{Point, distance, inside, to_segment};
use super::size::{GROWTH, Pieces};
use super::{Mesh, NONE};
use crate::drawing::{Drawing, DrawingError};

/// How near a free point may come to a wall, in local sizes.
const CLEARANCE: f64 = 0.6;
/// Deepest quadtree.
const DEPTH: u32 = 40;

/// Joins the pieces of walls to a mesh of the half disc.
pub(crate) fn build(drawing: &Drawing, outline: &Outline, cut: &Pieces) -> Result<Mesh, DrawingError> {
    let mut points = cut.points.clone();
    fill(outline.centre, cut, &mut points);
    let vertices = points.iter().map(|p| Point2::new(p[0], p[1])).collect();
    let narrow = |[r, z]: Point| DrawingError::Narrow { r, z };
    let mut conflict = None;
    let made =
        ConstrainedDelaunayTriangulation::<Point2<f64>>::try_bulk_load_cdt(vertices, cut.pieces.clone(), |edge| {
            conflict = Some(edge);
        });
    let triangulation = match (made, conflict) {
        (Ok(made), None) if made.num_vertices() == points.len() => made,
        (_, conflict) => return Err(narrow(cut.ends(conflict.unwrap_or_default())[0])),
    };
    let mut triangles = Vec::with_capacity(triangulation.num_inner_faces());
    let mut walled = Vec::with_capacity(triangulation.num_inner_faces());
    for face in triangulation.inner_faces() {
        triangles.push(face.vertices().map(|v| v.index() as u32));
        // Side k lies opposite to corner k.
        let [e0, e1, e2] = face.adjacent_edges();
        walled.push([e1, e2, e0].map(|e| e.is_constraint_edge()));
    }
    let mut mesh = Mesh::new(points, triangles, outline.centre, cut.radius);
    label(drawing, outline, &mut mesh, &walled)?;
    Ok(mesh)
}

/// Adds free points inside the circle.
fn fill(centre: f64, cut: &Pieces, points: &mut Vec<Point>) {
    struct Cell {
        middle: Point,
        side: f64,
        depth: u32,
        near: Vec<u32>,
    }
    let spans: Vec<([Point; 2], f64)> = cut
        .pieces
        .iter()
        .map(|&piece| {
            let [a, b] = cut.ends(piece);
            ([a, b], distance(a, b))
        })
        .collect();
    let side = 2.0 * cut.radius;
    let mut open = vec![Cell {
        middle: [0.5 * side, centre],
        side,
        depth: 0,
        near: (0..spans.len() as u32).collect(),
    }];
    let mut values = Vec::new();
    while let Some(cell) = open.pop() {
        let half_diagonal = cell.side * std::f64::consts::FRAC_1_SQRT_2;
        if distance(cell.middle, [0.0, centre]) > cut.radius + half_diagonal {
            continue;
        }
        values.clear();
        let (mut size, mut wall) = (f64::INFINITY, f64::INFINITY);
        for &id in &cell.near {
            let ([a, b], length) = spans[id as usize];
            let away = to_segment(cell.middle, a, b);
            let value = length + GROWTH * away;
            size = size.min(value);
            wall = wall.min(away);
            values.push((id, value, away));
        }
        if cell.side <= size || cell.depth >= DEPTH {
            let within = distance(cell.middle, [0.0, centre]) < cut.radius;
            if within && wall >= CLEARANCE * size.min(cell.side) {
                points.push(cell.middle);
            }
            continue;
        }
        // A piece matters to a quarter if it can set the size there, or be the nearest.
        let near: Vec<u32> = values
            .iter()
            .filter(|v| v.1 <= size + 2.0 * GROWTH * half_diagonal || v.2 <= wall + 2.0 * half_diagonal)
            .map(|v| v.0)
            .collect();
        let quarter = 0.25 * cell.side;
        for [dr, dz] in [[-1.0, -1.0], [1.0, -1.0], [-1.0, 1.0], [1.0, 1.0]] {
            open.push(Cell {
                middle: [cell.middle[0] + dr * quarter, cell.middle[1] + dz * quarter],
                side: 0.5 * cell.side,
                depth: cell.depth + 1,
                near: near.clone(),
            });
        }
    }
}

/// Finds the part of every triangle: all that are not parted by walls belong to the same.
fn label(drawing: &Drawing, outline: &Outline, mesh: &mut Mesh, walled: &[[bool; 3]]) -> Result<(), DrawingError> {
    let mut patch = vec![NONE; mesh.triangles.len()];
    let mut patches: Vec<usize> = Vec::new();
    let mut open = Vec::new();
    for start in 0..patch.len() {
        if patch[start] != NONE {
            continue;
        }
        let id = patches.len() as u32;
        patch[start] = id;
        open.push(start);
        let mut widest = start;
        while let Some(t) = open.pop() {
            if mesh.double_area(t) > mesh.double_area(widest) {
                widest = t;
            }
            for (&next, &wall) in mesh.neighbours[t].iter().zip(&walled[t]) {
                if next != NONE && !wall && patch[next as usize] == NONE {
                    patch[next as usize] = id;
                    open.push(next as usize);
                }
            }
        }
        patches.push(widest);
    }
    let air = drawing.parts.len() as u16;
    let mut owners = Vec::with_capacity(patches.len());
    for widest in patches {
        let [a, b, c] = mesh.corners(widest);
        let place = [(a[0] + b[0] + c[0]) / 3.0, (a[1] + b[1] + c[1]) / 3.0];
        let mut holders =
            (0..drawing.parts.len()).filter(|&i| outline.profiles.get(i).is_some_and(|profile| inside(place, profile)));
        let owner = holders.next();
        if let (Some(first), Some(second)) = (owner, holders.next()) {
            return Err(overlap(&drawing.parts, first, second, place));
        }
        owners.push(owner.map_or(air, |i| i as u16));
    }
    mesh.region = patch
        .iter()
        .map(|&id| owners.get(id as usize).copied().unwrap_or(air))
        .collect();
    Ok(())
}
