//! The integral equation of the induced charge, on panels of any kind.

use rayon::prelude::*;

use super::SettleError;
use super::panel::{Node, Panel};
use crate::placed::Placed;
use crate::solid::Polarisation;
use numerics::stop::Stop;
use numerics::vector::{Vector, add, dot, scale, sub};

/// Most nodes on all bodies together; the matrix has their square of numbers.
const MOST_NODES: usize = 8000;
/// Where the panels are too many, they may be coarser by this factor, so many times.
const COARSER: f64 = 3.0;
const MOST_COARSER: usize = 6;
/// The iteration ends when the charge changes by less than this share of the polarisation.
const SETTLED: f64 = 1e-10;
const MOST_ROUNDS: usize = 5000;

/// The charge on the surface of a body.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Layer<P> {
    panels: Vec<P>,
    /// Charge at the nodes of all panels, T.
    density: Vec<f64>,
}

impl<P: Panel> Layer<P> {
    /// `μ0 H` at a point in space, T.
    pub(crate) fn field(&self, body: &Placed, point: Vector) -> Vector {
        let p = body.to_body(point);
        let mut sum = [0.0; 3];
        let mut first = 0;
        for panel in &self.panels {
            let count = panel.nodes().len();
            let density = self.density.get(first..first + count).unwrap_or_default();
            sum = add(sum, panel.field(p, density));
            first += count;
        }
        body.turn().out(sum)
    }

    /// Places in space, ways outwards and charges, T m².
    pub(crate) fn charges(&self, body: &Placed) -> Vec<(Vector, Vector, f64)> {
        let nodes = self.panels.iter().flat_map(|panel| panel.charges());
        nodes
            .zip(&self.density)
            .flat_map(|(places, density)| places.into_iter().map(move |node| (node, density)))
            .map(|(node, density)| {
                let (place, outwards) = (body.to_space(node.place), body.turn().out(node.outwards));
                (place, outwards, node.area * density)
            })
            .collect()
    }
}

/// A panel in the making: whose it is, and of which side.
struct Piece<P> {
    body: usize,
    side: usize,
    panel: P,
}

/// A node in space, with the part of its equation that is known.
struct Unknown {
    piece: usize,
    /// Just within the body.
    place: Vector,
    outwards: Vector,
    area: f64,
    /// Susceptibility of the body.
    chi: f64,
    /// The charge that the rigid bodies alone induce, T.
    known: f64,
}

/// The charge on every body whose recoil permeability is above 1; `make` cuts its surface into sides.
pub(crate) fn layers<P: Panel>(
    bodies: &[Placed],
    make: impl Fn(&Placed) -> Vec<P>,
    stop: &Stop,
) -> Result<Vec<Option<Layer<P>>>, SettleError> {
    let rigid = Rigid::new(bodies, stop);
    let permeable = bodies.iter().filter(|body| body.susceptibility() > 0.0).count();
    let mut fine = P::FINE;
    for _ in 0..MOST_COARSER {
        if let Some(pieces) = panelled(bodies, &rigid, &make, fine)? {
            return settled(bodies, &rigid, pieces);
        }
        fine *= COARSER;
    }
    Err(SettleError::Size { bodies: permeable })
}

/// The bodies as if rigid.
struct Rigid<'a> {
    bodies: &'a [Placed],
    /// Largest polarisation, T.
    strength: f64,
    /// What ends the work on them.
    stop: &'a Stop,
}

impl<'a> Rigid<'a> {
    fn new(bodies: &'a [Placed], stop: &'a Stop) -> Self {
        let strength = |body: &Placed| match body.polarisation() {
            Polarisation::Along(j) => dot(j, j).sqrt(),
            Polarisation::Radial(j) => j.abs(),
        };
        Self {
            bodies,
            strength: bodies.iter().map(strength).fold(0.0, f64::max),
            stop,
        }
    }

    /// `μ0 H` just within a body at one of its nodes, T.
    fn field(&self, body: &Placed, node: &Node, inset: f64) -> Vector {
        let field = |place: Vector| {
            self.bodies
                .iter()
                .try_fold([0.0; 3], |sum, other| other.fields(place).map(|(_, h)| add(sum, h)))
        };
        // A node on the edge of another body is taken a little further within.
        let further = || field(within(body, node, 1e3 * inset).0);
        field(within(body, node, inset).0).or_else(further).unwrap_or_default()
    }
}

/// The node in space, so far within the body, and the way outwards.
fn within(body: &Placed, node: &Node, inset: f64) -> (Vector, Vector) {
    let place = sub(node.place, scale(node.outwards, inset));
    (body.to_space(place), body.turn().out(node.outwards))
}

/// What of the surface charge of a radial polarisation its closed form leaves out: see [`super::rigid_part`].
fn left_over(body: &Placed, node: &Node) -> f64 {
    match body.polarisation() {
        Polarisation::Along(_) => 0.0,
        Polarisation::Radial(j) => {
            let [x, y, _] = node.place;
            let along = (x * node.outwards[0] + y * node.outwards[1]) / x.hypot(y);
            body.susceptibility() * j * along
        }
    }
}

/// The sides of all permeable bodies, halved until the field of the rigid bodies is smooth over each, along it too, since
/// that grows at edges where the part across it may not; `None` if that takes too many.
fn panelled<P: Panel>(
    bodies: &[Placed],
    rigid: &Rigid,
    make: impl Fn(&Placed) -> Vec<P>,
    fine: f64,
) -> Result<Option<Vec<Piece<P>>>, SettleError> {
    let mut done = Vec::new();
    let mut nodes = 0;
    for (index, body) in bodies.iter().enumerate() {
        if body.susceptibility() == 0.0 {
            continue;
        }
        // A body that is long or flat counts by its volume.
        let size = body.bounding_ball().1.min(body.volume().cbrt());
        let aim = rigid.strength * fine;
        let values = |panel: &P| -> [Vec<f64>; 4] {
            let nodes = panel.nodes().iter();
            let fields: Vec<Vector> = nodes.map(|node| rigid.field(body, node, panel.inset())).collect();
            let across = |(h, node): (&Vector, &Node)| dot(*h, body.turn().out(node.outwards));
            let [x, y, z] = [0, 1, 2].map(|axis| fields.iter().map(|h| h[axis]).collect());
            [x, y, z, fields.iter().zip(panel.nodes()).map(across).collect()]
        };
        for (side, whole) in make(body).into_iter().enumerate() {
            let mut left: Vec<_> = whole
                .compact()
                .into_iter()
                .map(|part| {
                    let known = values(&part);
                    (part, known)
                })
                .collect();
            while let Some((panel, known)) = left.pop() {
                if rigid.stop.is_set() {
                    return Err(SettleError::Stopped);
                }
                match roughest(&panel, &known, values) {
                    Some((error, halves)) if error * panel.width() > aim * size => left.extend(halves),
                    _ => {
                        nodes += panel.nodes().len();
                        done.push(Piece {
                            body: index,
                            side,
                            panel,
                        });
                    }
                }
                if nodes + left.len() > MOST_NODES {
                    return Ok(None);
                }
            }
        }
    }
    Ok(Some(done))
}

/// A panel cut in two, with the field at the nodes of both halves: its components and its part outwards.
type Halved<P> = [(P, [Vec<f64>; 4]); 2];

/// The way to cut a panel along which the field at its nodes tells least of that between them, with the error.
fn roughest<P: Panel>(
    panel: &P,
    known: &[Vec<f64>; 4],
    values: impl Fn(&P) -> [Vec<f64>; 4],
) -> Option<(f64, Halved<P>)> {
    let ways = panel.halves().into_iter().enumerate().map(|(way, halves)| {
        let halves = halves.map(|half| {
            let known = values(&half);
            (half, known)
        });
        let mut error = 0.0_f64;
        for (part, known) in known.iter().enumerate() {
            for ((_, got), expected) in halves.iter().zip(P::on_halves(way, known)) {
                for (got, expected) in got[part].iter().zip(expected) {
                    error = error.max((got - expected).abs());
                }
            }
        }
        (error, halves)
    });
    ways.max_by(|(a, _), (b, _)| a.total_cmp(b))
}

/// Solve for the charge on those panels.
fn settled<P: Panel>(
    bodies: &[Placed],
    rigid: &Rigid,
    pieces: Vec<Piece<P>>,
) -> Result<Vec<Option<Layer<P>>>, SettleError> {
    let mut unknowns = Vec::new();
    let mut firsts = Vec::with_capacity(pieces.len());
    for (index, piece) in pieces.iter().enumerate() {
        firsts.push(unknowns.len());
        let Some(body) = bodies.get(piece.body) else { continue };
        let inset = piece.panel.inset();
        for node in piece.panel.nodes() {
            let (place, outwards) = within(body, node, inset);
            let known = dot(rigid.field(body, node, inset), outwards);
            unknowns.push(Unknown {
                piece: index,
                place,
                outwards,
                area: node.area,
                chi: body.susceptibility(),
                known: body.susceptibility() * known + left_over(body, node),
            });
        }
    }
    let matrix = matrix(rigid, &pieces, &firsts, &unknowns)?;
    let mut density = iterated(&matrix, &unknowns, SETTLED * rigid.strength, rigid.stop)?;
    // A body gains no charge as a whole: what the panels leave of that is spread over it, lest it be felt far away.
    let mut layers: Vec<Option<Layer<P>>> = bodies.iter().map(|_| None).collect();
    for (index, layer) in layers.iter_mut().enumerate() {
        let mine = |unknown: &Unknown| pieces.get(unknown.piece).is_some_and(|piece| piece.body == index);
        let (mut charge, mut area) = (0.0, 0.0);
        for (unknown, density) in unknowns.iter().zip(&density).filter(|(unknown, _)| mine(unknown)) {
            charge += unknown.area * density;
            area += unknown.area;
        }
        if area > 0.0 {
            for (_, density) in unknowns.iter().zip(&mut density).filter(|(unknown, _)| mine(unknown)) {
                *density -= charge / area;
            }
            *layer = Some(Layer {
                panels: Vec::new(),
                density: unknowns
                    .iter()
                    .zip(&density)
                    .filter(|(unknown, _)| mine(unknown))
                    .map(|(_, &density)| density)
                    .collect(),
            });
        }
    }
    for piece in pieces {
        if let Some(Some(layer)) = layers.get_mut(piece.body) {
            layer.panels.push(piece.panel);
        }
    }
    Ok(layers)
}

/// The outward field just within the body at every node, for a unit charge at every other, row by row.
fn matrix<P: Panel>(
    rigid: &Rigid,
    pieces: &[Piece<P>],
    firsts: &[usize],
    unknowns: &[Unknown],
) -> Result<Vec<f64>, SettleError> {
    let Rigid { bodies, stop, .. } = *rigid;
    let count = unknowns.len();
    let mut matrix = vec![0.0; count * count];
    matrix
        .par_chunks_mut(count.max(1))
        .zip(unknowns)
        .enumerate()
        .try_for_each(|(at, (row, unknown))| {
            if stop.is_set() {
                return Err(SettleError::Stopped);
            }
            let mut fields = Vec::new();
            for (index, (piece, &first)) in pieces.iter().zip(firsts).enumerate() {
                let Some(body) = bodies.get(piece.body) else { continue };
                let same_side = pieces
                    .get(unknown.piece)
                    .is_some_and(|own| (own.body, own.side) == (piece.body, piece.side));
                if same_side && piece.panel.flat() {
                    // Half of its own charge points inwards; the rest of a flat side has no field along its normal.
                    if index == unknown.piece
                        && let Some(value) = row.get_mut(at)
                    {
                        *value = -0.5;
                    }
                    continue;
                }
                fields.clear();
                fields.resize(piece.panel.nodes().len(), [0.0; 3]);
                piece.panel.influence(body.to_body(unknown.place), &mut fields);
                let outwards = body.turn().back(unknown.outwards);
                for (value, field) in row.iter_mut().skip(first).zip(&fields) {
                    *value = dot(*field, outwards);
                }
            }
            Ok(())
        })?;
    Ok(matrix)
}

/// `σ = known + χ A σ` by steps that halve the span of `A`, which lies between -1 and 0: each leaves `χ / (2 + χ)` of the error.
fn iterated(matrix: &[f64], unknowns: &[Unknown], aim: f64, stop: &Stop) -> Result<Vec<f64>, SettleError> {
    let mut density: Vec<f64> = unknowns.iter().map(|unknown| unknown.known).collect();
    for _ in 0..MOST_ROUNDS {
        if stop.is_set() {
            return Err(SettleError::Stopped);
        }
        let next: Vec<f64> = unknowns
            .par_iter()
            .zip(matrix.par_chunks(unknowns.len().max(1)))
            .zip(&density)
            .map(|((unknown, row), own)| {
                let field: f64 = row.iter().zip(&density).map(|(a, b)| a * b).sum();
                (unknown.known + unknown.chi * (field + 0.5 * own)) / (1.0 + 0.5 * unknown.chi)
            })
            .collect();
        let change = next
            .iter()
            .zip(&density)
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f64::max);
        density = next;
        if change <= aim {
            return Ok(density);
        }
    }
    Err(SettleError::Unsettled)
}
