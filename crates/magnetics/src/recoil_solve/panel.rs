//! Pieces of surface with a smooth charge, known at the nodes of a Gauss rule.

use std::sync::LazyLock;

use super::surface::{Facet, Meridian};
use numerics::elliptic::cel_lanes;
use numerics::quadrature::{graded, unit_rule};
use numerics::vector::{Vector, add, dot, length, scale, sub};

use std::f64::consts::PI;

/// A place at which the charge is known, in the body's frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Node {
    /// Where it is, m.
    pub(crate) place: Vector,
    /// The way outwards.
    pub(crate) outwards: Vector,
    /// Its share of the surface, m².
    pub(crate) area: f64,
}

/// A piece of surface whose charge is the polynomial through its nodes.
pub(crate) trait Panel: Clone + Send + Sync {
    /// Error of the charge, times the width over the body's size, at which a panel is fine enough; a share of the polarisation.
    const FINE: f64;

    /// The field within a body is taken this share of a panel's width within it.
    const WITHIN: f64;

    /// The nodes.
    fn nodes(&self) -> &[Node];

    /// Shorter side, m.
    fn width(&self) -> f64;

    /// How far within the body the field at its nodes is taken, m.
    fn inset(&self) -> f64 {
        Self::WITHIN * self.width()
    }

    /// Whether its own charge has no field along its normal, and neither has that of other panels of its side.
    fn flat(&self) -> bool;

    /// A whole side in parts that are not much longer than wide.
    fn compact(self) -> Vec<Self> {
        vec![self]
    }

    /// The ways to cut it in two.
    fn halves(&self) -> Vec<[Self; 2]>;

    /// From values at the nodes those at the nodes of both [`Self::halves`] of that way.
    fn on_halves(way: usize, values: &[f64]) -> [Vec<f64>; 2];

    /// `μ0 H` at a point for a unit charge at each node, T, added to `fields`.
    fn influence(&self, point: Vector, fields: &mut [Vector]);

    /// `μ0 H` at a point for the charge of that density at the nodes, T.
    fn field(&self, point: Vector, density: &[f64]) -> Vector {
        let mut fields = [[0.0; 3]; MOST];
        self.influence(point, &mut fields);
        let parts = density.iter().zip(&fields);
        parts.fold([0.0; 3], |sum, (density, field)| add(sum, scale(*field, *density)))
    }

    /// For each node, the places that together feel what its charge feels.
    fn charges(&self) -> Vec<Vec<Node>>;
}

/// Most nodes of a panel.
const MOST: usize = 9;
/// Nodes of a ring's panel.
const ALONG: usize = 6;
/// Nodes along each side of a cell.
const ACROSS: usize = 3;
/// A panel nearer than this many of its lengths is integrated afresh.
const NEAR: f64 = 1.0;
/// The same for cells.
const NEAR_CELL: f64 = 1.5;
/// A part of a cell is well served by its rule from this many of its half lengths.
const SERVED: f64 = 3.0;
/// A point closer to a panel than this share of its width is taken this far off it.
const CLEAR: f64 = 1e-8;
/// The same for cells.
const CLEAR_CELL: f64 = 1e-6;
/// Cuts after which a part of a cell is taken as it is.
const MOST_CUTS: u32 = 60;

/// A Gauss rule with what interpolates between its nodes.
struct Rule<const N: usize> {
    nodes: [(f64, f64); N],
    /// Barycentric weights.
    weights: [f64; N],
}

impl<const N: usize> Rule<N> {
    fn new() -> Self {
        let nodes: [(f64, f64); N] = unit_rule();
        let weights = std::array::from_fn(|i| {
            let others = nodes.iter().enumerate().filter(|&(j, _)| j != i);
            others.map(|(_, &(t, _))| 1.0 / (nodes[i].0 - t)).product()
        });
        Self { nodes, weights }
    }

    /// The polynomials that are 1 at one node and 0 at the others, at `t`.
    fn basis(&self, t: f64) -> [f64; N] {
        std::array::from_fn(|i| {
            let others = self.nodes.iter().enumerate().filter(|&(j, _)| j != i);
            self.weights[i] * others.map(|(_, &(node, _))| t - node).product::<f64>()
        })
    }

    /// Values at `t` of the polynomial through `values`.
    fn between(&self, values: impl Iterator<Item = f64>, t: f64) -> f64 {
        self.basis(t).iter().zip(values).map(|(b, v)| b * v).sum()
    }
}

static RING: LazyLock<Rule<ALONG>> = LazyLock::new(Rule::new);
static CELL: LazyLock<Rule<ACROSS>> = LazyLock::new(Rule::new);
static FOUR: LazyLock<[(f64, f64); 4]> = LazyLock::new(unit_rule);

/// A stretch of an outline turned all the way, its charge the same all around.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Ring {
    meridian: Meridian,
    nodes: [Node; ALONG],
    /// Lengths of the meridian that the nodes stand for, m.
    lengths: [f64; ALONG],
    middle: [f64; 2],
}

impl Ring {
    pub(crate) fn new(meridian: Meridian) -> Self {
        let mut lengths = [0.0; ALONG];
        let nodes = std::array::from_fn(|i| {
            let (t, weight) = RING.nodes[i];
            let spot = meridian.at(t);
            lengths[i] = weight * spot.speed;
            Node {
                place: [spot.place[0], 0.0, spot.place[1]],
                outwards: [spot.outwards[0], 0.0, spot.outwards[1]],
                area: 2.0 * PI * spot.place[0] * lengths[i],
            }
        });
        Self {
            meridian,
            nodes,
            lengths,
            middle: meridian.at(0.5).place,
        }
    }

    /// Radial and axial field at radius `rho` and height `z` for a unit charge at each node.
    fn around(&self, rho: f64, z: f64) -> [[f64; 2]; ALONG] {
        let length = self.meridian.length();
        let away = (rho - self.middle[0]).hypot(z - self.middle[1]) - 0.5 * length;
        if away > NEAR * length {
            return std::array::from_fn(|i| {
                let place = self.nodes[i].place;
                ring_of_charge(rho, rho - place[0], z - place[2]).map(|h| h * self.lengths[i])
            });
        }
        let [rho, z] = self.meridian.cleared([rho, z], CLEAR * length);
        // Counted from the nearest place, towards which the panels grow short.
        let nearest = self.meridian.nearest([rho, z]);
        let distance = |from: f64, to: f64| {
            let at = self.meridian.at(nearest + 0.0_f64.clamp(from, to)).place;
            (rho - at[0]).hypot(z - at[1]) / length
        };
        let mut flat = |t: f64| {
            let spot = self.meridian.at(nearest + t);
            let h = ring_of_charge(rho, rho - spot.place[0], z - spot.place[1]).map(|h| h * spot.speed);
            let basis = RING.basis(nearest + t);
            let mut all = [0.0; 2 * ALONG];
            for (i, b) in basis.into_iter().enumerate() {
                all[2 * i] = b * h[0];
                all[2 * i + 1] = b * h[1];
            }
            all
        };
        let below = graded(-nearest, 0.0, &distance, &mut flat);
        let above = graded(0.0, 1.0 - nearest, &distance, &mut flat);
        std::array::from_fn(|i| [below[2 * i] + above[2 * i], below[2 * i + 1] + above[2 * i + 1]])
    }
}

impl Panel for Ring {
    const FINE: f64 = 1e-3;
    const WITHIN: f64 = 1e-6;

    fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    fn width(&self) -> f64 {
        self.meridian.length()
    }

    fn flat(&self) -> bool {
        matches!(self.meridian, Meridian::Straight([a, b]) if a[1] == b[1])
    }

    fn halves(&self) -> Vec<[Self; 2]> {
        vec![[[0.0, 0.5], [0.5, 1.0]].map(|part| Self::new(self.meridian.part(part)))]
    }

    fn on_halves(_: usize, values: &[f64]) -> [Vec<f64>; 2] {
        [0.0, 0.5].map(|start| {
            RING.nodes
                .iter()
                .map(|&(t, _)| RING.between(values.iter().copied(), start + 0.5 * t))
                .collect()
        })
    }

    fn charges(&self) -> Vec<Vec<Node>> {
        // Two opposite places: forces across the axis and torques cancel, as they do all around.
        let opposite = |node: &Node| {
            [1.0, -1.0]
                .map(|sign| Node {
                    place: [sign * node.place[0], 0.0, node.place[2]],
                    outwards: [sign * node.outwards[0], 0.0, node.outwards[2]],
                    area: 0.5 * node.area,
                })
                .to_vec()
        };
        self.nodes.iter().map(opposite).collect()
    }

    fn influence(&self, point: Vector, fields: &mut [Vector]) {
        let rho = point[0].hypot(point[1]);
        let (cos, sin) = if rho == 0.0 {
            (0.0, 0.0)
        } else {
            (point[0] / rho, point[1] / rho)
        };
        for (field, [radial, axial]) in fields.iter_mut().zip(self.around(rho, point[2])) {
            *field = add(*field, [radial * cos, radial * sin, axial]);
        }
    }
}

/// `μ0 H` (radial, axial) at radius `rho` of a ring of unit charge by area and unit length of meridian, `apart` further out
/// and `w` above it.
fn ring_of_charge(rho: f64, apart: f64, w: f64) -> [f64; 2] {
    let r = rho - apart;
    let sum = rho + r;
    let far2 = sum * sum + w * w;
    let kc2 = (apart * apart + w * w) / far2;
    let [radial, axial] = cel_lanes([kc2.sqrt(); 2], [kc2; 2], [sum, 1.0], [apart, 1.0]);
    let share = r / (PI * far2 * far2.sqrt());
    [share * radial, share * w * axial]
}

/// A part of a facet.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cell {
    facet: Facet,
    nodes: [Node; ACROSS * ACROSS],
    /// A ball that holds it: centre and radius, m.
    ball: (Vector, f64),
}

impl Cell {
    pub(crate) fn new(facet: Facet) -> Self {
        let nodes = std::array::from_fn(|i| {
            let ((u, wu), (v, wv)) = (CELL.nodes[i / ACROSS], CELL.nodes[i % ACROSS]);
            let (place, outwards, area) = facet.at(u, v);
            Node {
                place,
                outwards,
                area: wu * wv * area,
            }
        });
        let centre = facet.at(0.5, 0.5).0;
        let corners = [[0.0, 0.0], [0.0, 1.0], [1.0, 0.0], [1.0, 1.0]];
        let radius = corners
            .iter()
            .map(|&[u, v]| length(sub(facet.at(u, v).0, centre)))
            .fold(0.0, f64::max);
        Self {
            facet,
            nodes,
            ball: (centre, radius),
        }
    }

    /// By parts, the smaller the nearer they are.
    fn by_parts(&self, point: Vector, fields: &mut [Vector]) {
        let point = self.facet.cleared(point, CLEAR_CELL * self.width());
        let mut left = vec![([0.0, 1.0], [0.0, 1.0], 0)];
        while let Some((u, v, cuts)) = left.pop() {
            let (centre, _, _) = self.facet.at(0.5 * (u[0] + u[1]), 0.5 * (v[0] + v[1]));
            let half = self.facet.part(u, v).sides().map(|side| 0.5 * side);
            if cuts < MOST_CUTS && length(sub(point, centre)) < SERVED * half[0].max(half[1]) {
                let halves = |[a, b]: [f64; 2]| [[a, 0.5 * (a + b)], [0.5 * (a + b), b]];
                if half[0] >= half[1] {
                    left.extend(halves(u).map(|u| (u, v, cuts + 1)));
                } else {
                    left.extend(halves(v).map(|v| (u, v, cuts + 1)));
                }
                continue;
            }
            for &(s, ws) in FOUR.iter() {
                let s = u[0] + s * (u[1] - u[0]);
                let along = CELL.basis(s);
                for &(t, wt) in FOUR.iter() {
                    let t = v[0] + t * (v[1] - v[0]);
                    let (place, _, area) = self.facet.at(s, t);
                    let share = ws * wt * (u[1] - u[0]) * (v[1] - v[0]) * area;
                    let h = scale(point_charge(sub(point, place)), share);
                    let across = CELL.basis(t);
                    for (i, field) in fields.iter_mut().enumerate() {
                        *field = add(*field, scale(h, along[i / ACROSS] * across[i % ACROSS]));
                    }
                }
            }
        }
    }
}

impl Panel for Cell {
    const FINE: f64 = 3e-3;
    const WITHIN: f64 = 1e-5;

    fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    fn width(&self) -> f64 {
        let [a, b] = self.facet.sides();
        a.min(b)
    }

    fn flat(&self) -> bool {
        match self.facet {
            Facet::Flat { .. } => true,
            Facet::Turned { meridian, .. } => matches!(meridian, Meridian::Straight([a, b]) if a[1] == b[1]),
        }
    }

    fn compact(self) -> Vec<Self> {
        self.facet.compact().into_iter().map(Self::new).collect()
    }

    fn halves(&self) -> Vec<[Self; 2]> {
        let (whole, halves) = ([0.0, 1.0], [[0.0, 0.5], [0.5, 1.0]]);
        vec![
            halves.map(|half| Self::new(self.facet.part(half, whole))),
            halves.map(|half| Self::new(self.facet.part(whole, half))),
        ]
    }

    fn on_halves(way: usize, values: &[f64]) -> [Vec<f64>; 2] {
        [0.0, 0.5].map(|start| {
            (0..ACROSS * ACROSS)
                .map(|i| {
                    let (row, column) = (i / ACROSS, i % ACROSS);
                    let (moved, first, step) = if way == 0 {
                        (row, column, ACROSS)
                    } else {
                        (column, row * ACROSS, 1)
                    };
                    let line = values.iter().skip(first).step_by(step).take(ACROSS).copied();
                    CELL.between(line, start + 0.5 * CELL.nodes[moved].0)
                })
                .collect()
        })
    }

    fn charges(&self) -> Vec<Vec<Node>> {
        self.nodes.iter().map(|node| vec![*node]).collect()
    }

    fn influence(&self, point: Vector, fields: &mut [Vector]) {
        let (centre, radius) = self.ball;
        if length(sub(point, centre)) - radius < 2.0 * NEAR_CELL * radius {
            self.by_parts(point, fields);
            return;
        }
        for (field, node) in fields.iter_mut().zip(&self.nodes) {
            *field = add(*field, scale(point_charge(sub(point, node.place)), node.area));
        }
    }
}

/// `μ0 H` of a unit charge, at `p` from it.
fn point_charge(p: Vector) -> Vector {
    let square = dot(p, p);
    scale(p, 1.0 / (4.0 * PI * square * square.sqrt()))
}
