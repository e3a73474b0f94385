//! Refinement by halving longest sides, which keeps the mesh conforming and its angles bounded.
//!
//! M.-C. Rivara, International Journal for Numerical Methods in Engineering 40 (1997) 3313: a triangle is halved across its longest side only together with the
//! neighbour whose longest side that is too; a neighbour with a longer side is halved first.

use super::plane::{distance, middle};
use super::size::onto_circle;
use super::{Mesh, NONE, side};

/// Halves every triangle, and its parts again, at least as often as `times` says, and others as far as needed. Afterwards `parent` leads to the triangles before.
pub(crate) fn refine(mesh: &mut Mesh, times: &[u8]) {
    mesh.parent = (0..mesh.triangles.len() as u32).collect();
    let most = times.iter().copied().max().unwrap_or_default();
    for round in 0..most {
        let mut halved = vec![false; mesh.triangles.len()];
        for t in 0..halved.len() {
            let wanted = mesh.parent.get(t).and_then(|&parent| times.get(parent as usize));
            if wanted.is_some_and(|&wanted| wanted > round) {
                while !halved[t] {
                    split_towards(mesh, t as u32, &mut halved);
                }
            }
        }
    }
}

/// Follows longer and longer sides from a triangle and halves the last pair.
fn split_towards(mesh: &mut Mesh, start: u32, halved: &mut [bool]) {
    let mut t = start;
    loop {
        let k = longest(mesh, t);
        let next = mesh.neighbours[t as usize][k as usize];
        if next == NONE {
            halve(mesh, t, k, None, halved);
            return;
        }
        let l = longest(mesh, next);
        if mesh.neighbours[next as usize][l as usize] == t {
            halve(mesh, t, k, Some((next, l)), halved);
            return;
        }
        t = next;
    }
}

/// The longest side; between sides of equal length the same is taken from both triangles.
fn longest(mesh: &Mesh, t: u32) -> u8 {
    let tri = &mesh.triangles[t as usize];
    let key = |k: u8| {
        let [a, b] = side(tri, k);
        let (a, b) = (a.min(b), a.max(b));
        (distance(mesh.points[a as usize], mesh.points[b as usize]), a, b)
    };
    let mut best = 0;
    for k in 1..3 {
        let (x, y) = (key(k), key(best));
        if x.0.total_cmp(&y.0).then((x.1, x.2).cmp(&(y.1, y.2))).is_gt() {
            best = k;
        }
    }
    best
}

/// Halves a triangle, and its neighbour, across their common side.
fn halve(mesh: &mut Mesh, t: u32, k: u8, other: Option<(u32, u8)>, halved: &mut [bool]) {
    let [a, b] = side(&mesh.triangles[t as usize], k);
    let mut m = middle(mesh.points[a as usize], mesh.points[b as usize]);
    if mesh.on_circle(t as usize, k) {
        m = onto_circle(m, mesh.centre, mesh.radius);
    }
    let id = mesh.points.len() as u32;
    mesh.points.push(m);
    let (first, second) = cut(mesh, t, k, id, halved);
    if let Some((u, l)) = other {
        // Seen from the other side the ends are swapped.
        let (near_b, near_a) = cut(mesh, u, l, id, halved);
        link(mesh, first, near_a);
        link(mesh, second, near_b);
        link(mesh, near_a, first);
        link(mesh, near_b, second);
    }
}

/// Cuts one triangle; the halves at the first and the second end of the side are returned. Their neighbours across the halved side are left open.
fn cut(mesh: &mut Mesh, t: u32, k: u8, m: u32, halved: &mut [bool]) -> (u32, u32) {
    let index = t as usize;
    let tri = mesh.triangles[index];
    let [a, b] = side(&tri, k);
    let apex = tri[k as usize];
    // With corners (apex, a, b) the sides opposite to a and b come next.
    let beyond_b = mesh.neighbours[index][(k as usize + 1) % 3];
    let beyond_a = mesh.neighbours[index][(k as usize + 2) % 3];
    let new = mesh.triangles.len() as u32;
    mesh.triangles[index] = [apex, a, m];
    mesh.triangles.push([apex, m, b]);
    // Opposite to apex, a, m: open, the other half, the old neighbour beyond side (apex, a).
    mesh.neighbours[index] = [NONE, new, beyond_a];
    mesh.neighbours.push([NONE, beyond_b, t]);
    if beyond_b != NONE
        && let Some(back) = mesh.neighbours[beyond_b as usize].iter_mut().find(|n| **n == t)
    {
        *back = new;
    }
    mesh.region.push(mesh.region[index]);
    mesh.parent.push(mesh.parent[index]);
    if let Some(flag) = halved.get_mut(index) {
        *flag = true;
    }
    (t, new)
}

/// Sets the open neighbour of a half, which lies opposite to its first corner.
fn link(mesh: &mut Mesh, half: u32, neighbour: u32) {
    mesh.neighbours[half as usize][0] = neighbour;
}
