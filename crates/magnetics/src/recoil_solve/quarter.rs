//! Cells of bodies that are their own mirror images across `x` and across `y`: a quarter of the charge tells it all.

use super::panel::{Cell, Node, Panel};
use super::surface::{self, Facet};
use crate::placed::Placed;
use crate::shape::Shape;
use crate::solid::{Polarisation, Solid};
use numerics::vector::{Vector, add, cross, length, sub};

/// The four mirrors of the quarter, in the body's frame.
const MIRRORS: [Vector; 4] = [[1.0, 1.0, 1.0], [-1.0, 1.0, 1.0], [1.0, -1.0, 1.0], [-1.0, -1.0, 1.0]];

/// Directions and centres that differ by less than this, in radians and by the size of the body, are one.
const ALIGNED: f64 = 1e-9;

/// A cell with its three images.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Quarter {
    cell: Cell,
    /// Those of the cell, each with the area of its images too.
    nodes: Vec<Node>,
}

impl Quarter {
    pub(crate) fn new(cell: Cell) -> Self {
        let four = |node: &Node| Node {
            area: 4.0 * node.area,
            ..*node
        };
        let nodes = cell.nodes().iter().map(four).collect();
        Self { cell, nodes }
    }

    /// The quarter of a block's surface, side by side; nothing for any other body.
    pub(crate) fn of(body: &Placed) -> Vec<Self> {
        let (whole, half) = ([0.0, 1.0], [0.5, 1.0]);
        let facets = surface::facets(body.solid()).into_iter();
        let kept = facets.filter_map(|facet| match facet {
            // Sides follow one another in the order of the axes, which settles the order of their edges.
            Facet::Flat {
                outwards: [x, y, z], ..
            } if z != 0.0 && x == 0.0 && y == 0.0 => Some(facet.part(half, half)),
            Facet::Flat {
                outwards: [x, _, _], ..
            } if x > 0.0 => Some(facet.part(half, whole)),
            Facet::Flat {
                outwards: [_, y, _], ..
            } if y > 0.0 => Some(facet.part(whole, half)),
            _ => None,
        });
        kept.map(|facet| Self::new(Cell::new(facet))).collect()
    }
}

/// Whether all bodies are blocks on one axis, polarised along it, their sides parallel.
pub(crate) fn upright(bodies: &[Placed]) -> bool {
    let Some(first) = bodies.first() else { return false };
    let (axis, side) = (first.turn().out([0.0, 0.0, 1.0]), first.turn().out([1.0, 0.0, 0.0]));
    bodies.iter().all(|body| {
        let block = matches!(body.solid(), Solid::Plain(Shape::Block { .. }));
        let along = matches!(body.polarisation(), Polarisation::Along([x, y, _]) if x == 0.0 && y == 0.0);
        let turn = |v: Vector| body.turn().out(v);
        let parallel = |a: Vector, b: Vector| length(cross(a, b)) <= ALIGNED;
        let off = length(cross(axis, sub(body.centre(), first.centre())));
        block
            && along
            && parallel(axis, turn([0.0, 0.0, 1.0]))
            && (parallel(side, turn([1.0, 0.0, 0.0])) || parallel(side, turn([0.0, 1.0, 0.0])))
            && off <= ALIGNED * body.bounding_ball().1
    })
}

fn mirrored(v: Vector, mirror: Vector) -> Vector {
    [v[0] * mirror[0], v[1] * mirror[1], v[2] * mirror[2]]
}

impl Panel for Quarter {
    const FINE: f64 = Cell::FINE;
    const WITHIN: f64 = Cell::WITHIN;

    fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    fn width(&self) -> f64 {
        self.cell.width()
    }

    fn flat(&self) -> bool {
        // An upright side has an image on the other side of the block.
        self.nodes.first().is_some_and(|node| node.outwards[2] != 0.0)
    }

    fn compact(self) -> Vec<Self> {
        self.cell.compact().into_iter().map(Self::new).collect()
    }

    fn halves(&self) -> Vec<[Self; 2]> {
        self.cell
            .halves()
            .into_iter()
            .map(|halves| halves.map(Self::new))
            .collect()
    }

    fn on_halves(way: usize, values: &[f64]) -> [Vec<f64>; 2] {
        Cell::on_halves(way, values)
    }

    fn influence(&self, point: Vector, fields: &mut [Vector]) {
        for mirror in MIRRORS {
            let mut image = vec![[0.0; 3]; fields.len()];
            self.cell.influence(mirrored(point, mirror), &mut image);
            for (field, image) in fields.iter_mut().zip(image) {
                *field = add(*field, mirrored(image, mirror));
            }
        }
    }

    fn charges(&self) -> Vec<Vec<Node>> {
        let images = |node: &Node| {
            MIRRORS
                .map(|mirror| Node {
                    place: mirrored(node.place, mirror),
                    outwards: mirrored(node.outwards, mirror),
                    area: 0.25 * node.area,
                })
                .to_vec()
        };
        self.nodes.iter().map(images).collect()
    }
}
