//! Forces between bodies with parallel axes, and the pull on an ideal plate.
//!
//! Discs and rings: sums over their charged end faces, coaxial. Blocks: Akoun and Yonnet, IEEE Trans. Magn. 20, 1962-1964, 1984,
//! at any offset. Spheres: exact dipoles, at any offset.

use std::f64::consts::PI;

use thiserror::Error;

use crate::body::{Body, BodyError, coaxial};
use crate::shape::Shape;
use crate::sheet::SheetPair;
use materials::MU_0;
use numerics::quadrature::rule_for;

/// Pairs of blocks farther apart than this many times the root of the sum of their squared half diagonals
/// act through grids of point dipoles; the corner sum loses digits as the sixth power of the distance.
const BLOCKS_FAR: f64 = 3.0;

/// Relative error that the grids of dipoles aim at, along each side of each block.
const GRID_ERROR: f64 = 1e-12;

/// Bodies may reach into one another by this share of their sizes, which rounding can do to touching faces.
const TOUCHING: f64 = 1e-9;

/// Why a force cannot be given.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ForceError {
    /// A body is out of range.
    #[error(transparent)]
    Body(#[from] BodyError),
    /// No closed form for this pair of shapes.
    #[error("no closed form for the force between {first} and {second}")]
    Mixed {
        /// Shape in the upper group.
        first: &'static str,
        /// Shape in the lower group.
        second: &'static str,
    },
    /// Discs or rings whose axes differ.
    #[error("discs and rings must share one axis, but their axes are {apart} m apart")]
    OffAxis {
        /// Distance of the axes, m.
        apart: f64,
    },
    /// Two bodies share space.
    #[error("body {upper} of the upper group and body {lower} of the lower group overlap")]
    Overlap {
        /// Index in the upper group.
        upper: usize,
        /// Index in the lower group.
        lower: usize,
    },
    /// A gap is negative or not a number.
    #[error("gap must be finite and not negative, got {gap} m")]
    Gap {
        /// What was given, m.
        gap: f64,
    },
}

/// Force on the upper group along `+z`, N; negative is attraction of the upper towards the lower one.
///
/// Accuracy 1e-8 relative to the largest force of any pair.
///
/// # Errors
/// [`ForceError`] for bodies out of range or overlapping, pairs of shapes without a closed form, and discs or rings off one another's axis.
pub fn axial_force(upper: &[Body], lower: &[Body]) -> Result<f64, ForceError> {
    for group in [upper, lower] {
        if group.is_empty() {
            return Err(BodyError::Empty.into());
        }
        for (index, body) in group.iter().enumerate() {
            body.validate(index)?;
        }
    }
    let mut total = 0.0;
    for (i, a) in upper.iter().enumerate() {
        for (j, b) in lower.iter().enumerate() {
            if overlap(a, b) {
                return Err(ForceError::Overlap { upper: i, lower: j });
            }
            total += pair_force(a, b)?;
        }
    }
    Ok(total)
}

/// Pull of bodies on a thick plate of very high permeability, `gap` metres below their lowest face, N, positive.
///
/// The mirror image: an upper bound for real steel.
///
/// # Errors
/// [`ForceError::Gap`] for a gap out of range; otherwise as [`axial_force`].
pub fn plate_pull(bodies: &[Body], gap: f64) -> Result<f64, ForceError> {
    if !(gap >= 0.0 && gap.is_finite()) {
        return Err(ForceError::Gap { gap });
    }
    let plate = bodies.iter().map(Body::bottom).fold(f64::INFINITY, f64::min) - gap;
    let images: Vec<Body> = bodies.iter().map(|body| mirrored(body, plate)).collect();
    axial_force(bodies, &images).map(|force| -force)
}

/// The mirror image of a body in an ideal plate whose face is at `z = plate`; its polarisation points the same way.
pub(crate) fn mirrored(body: &Body, plate: f64) -> Body {
    let [x, y, z] = body.centre;
    Body {
        centre: [x, y, 2.0 * plate - z],
        ..*body
    }
}

/// Force on block `moving` from block `fixed`, N, all three components, at any offset.
///
/// # Errors
/// [`ForceError`] for bodies out of range, overlapping, or of another shape.
pub fn block_force(moving: &Body, fixed: &Body) -> Result<[f64; 3], ForceError> {
    moving.validate(0)?;
    fixed.validate(1)?;
    if overlap(moving, fixed) {
        return Err(ForceError::Overlap { upper: 0, lower: 0 });
    }
    between_blocks(moving, fixed).ok_or_else(|| mixed(moving, fixed))
}

/// Source: Akoun and Yonnet 1984; `None` if either is not a block.
fn between_blocks(moving: &Body, fixed: &Body) -> Option<[f64; 3]> {
    let (mine, theirs) = (half_sides(&moving.shape)?, half_sides(&fixed.shape)?);
    let offset = [0, 1, 2].map(|i| moving.centre[i] - fixed.centre[i]);
    let scale = moving.polarisation * fixed.polarisation / (4.0 * PI * MU_0);
    let size = mine.iter().chain(&theirs).map(|half| half * half).sum::<f64>().sqrt();
    let apart = offset.iter().map(|o| o * o).sum::<f64>().sqrt();
    let unit = if apart > BLOCKS_FAR * size {
        dipole_grid(mine, theirs, offset)
    } else {
        corner_sum(mine, theirs, offset)
    };
    Some(unit.map(|part| part * scale))
}

fn mixed(first: &Body, second: &Body) -> ForceError {
    ForceError::Mixed {
        first: name(&first.shape),
        second: name(&second.shape),
    }
}

fn half_sides(shape: &Shape) -> Option<[f64; 3]> {
    match *shape {
        Shape::Block {
            length,
            width,
            thickness,
        } => Some([0.5 * length, 0.5 * width, 0.5 * thickness]),
        _ => None,
    }
}

/// Outer and inner radius of a turned body with flat faces.
fn radii(shape: &Shape) -> Option<[f64; 2]> {
    match *shape {
        Shape::Disc { diameter, .. } => Some([0.5 * diameter, 0.0]),
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            ..
        } => Some([0.5 * outer_diameter, 0.5 * inner_diameter]),
        Shape::Block { .. } | Shape::Sphere { .. } => None,
    }
}

fn name(shape: &Shape) -> &'static str {
    match shape {
        Shape::Disc { .. } => "a disc",
        Shape::Ring { .. } => "a ring",
        Shape::Block { .. } => "a block",
        Shape::Sphere { .. } => "a sphere",
    }
}

/// Whether two bodies share space: exact for spheres, for blocks, and for discs and rings on one axis; by bounding box otherwise.
fn overlap(a: &Body, b: &Body) -> bool {
    let slack = TOUCHING * a.shape.height().min(b.shape.height());
    let apart = [0, 1, 2].map(|i| (a.centre[i] - b.centre[i]).abs());
    if apart[2] >= 0.5 * (a.shape.height() + b.shape.height()) - slack {
        return false;
    }
    if let (Shape::Sphere { diameter: first }, Shape::Sphere { diameter: second }) = (a.shape, b.shape) {
        return apart[0].hypot(apart[1]).hypot(apart[2]) < 0.5 * (first + second) - slack;
    }
    if coaxial(a, b)
        && let (Some([outer_a, inner_a]), Some([outer_b, inner_b])) = (radii(&a.shape), radii(&b.shape))
    {
        return outer_a > inner_b && outer_b > inner_a;
    }
    let (across_a, across_b) = (half_across(&a.shape), half_across(&b.shape));
    (0..2).all(|i| apart[i] < across_a[i] + across_b[i] - slack)
}

/// Half the sizes of the box around a body, across its axis.
fn half_across(shape: &Shape) -> [f64; 2] {
    match *shape {
        Shape::Block { length, width, .. } => [0.5 * length, 0.5 * width],
        _ => [0.5 * shape.widest(); 2],
    }
}

/// Force on `a` from `b` along `+z`.
fn pair_force(a: &Body, b: &Body) -> Result<f64, ForceError> {
    if let (Shape::Sphere { .. }, Shape::Sphere { .. }) = (a.shape, b.shape) {
        return Ok(dipole_force(a, b));
    }
    if let Some(pair) = facing_sheets(a, b) {
        return Ok(sheet_force(&pair, a, b));
    }
    if let Some(force) = between_blocks(a, b) {
        return Ok(force[2]);
    }
    if radii(&a.shape).is_none() || radii(&b.shape).is_none() {
        return Err(ForceError::Mixed {
            first: name(&a.shape),
            second: name(&b.shape),
        });
    }
    let apart = (a.centre[0] - b.centre[0]).hypot(a.centre[1] - b.centre[1]);
    Err(ForceError::OffAxis { apart })
}

/// The end faces of two bodies on one axis: discs and rings, or blocks of equal section.
fn facing_sheets(a: &Body, b: &Body) -> Option<SheetPair> {
    if !coaxial(a, b) {
        return None;
    }
    if let (
        Shape::Block { length, width, .. },
        Shape::Block {
            length: l, width: w, ..
        },
    ) = (a.shape, b.shape)
    {
        return (length == l && width == w).then(|| SheetPair::rectangles(length, width));
    }
    Some(SheetPair::rings(radii(&a.shape)?, radii(&b.shape)?))
}

/// Force on `a` from `b` along `+z`, from the fluxes between their end faces.
fn sheet_force(pair: &SheetPair, a: &Body, b: &Body) -> f64 {
    let pressure = a.polarisation * b.polarisation / MU_0;
    let (height_a, height_b) = (a.shape.height(), b.shape.height());
    let rise = a.centre[2] - b.centre[2];
    let clear = rise.abs() - 0.5 * (height_a + height_b);
    if clear >= -TOUCHING * height_a.min(height_b) {
        let attraction = pair.second_difference(clear.max(0.0), height_a, height_b);
        return -pressure * attraction * rise.signum();
    }
    // One inside the hole of the other: the four faces one by one, like charges pushing apart.
    let faces = [-1.0, 1.0];
    let sum: f64 = faces
        .into_iter()
        .flat_map(|upper| faces.map(|lower| (upper, lower)))
        .map(|(upper, lower)| {
            let distance = rise + 0.5 * (upper * height_a - lower * height_b);
            let sign = if distance == 0.0 { 0.0 } else { distance.signum() };
            upper * lower * sign * pair.flux(distance.abs())
        })
        .sum();
    pressure * sum
}

/// Force along `z` on sphere `a` from sphere `b`, as dipoles.
fn dipole_force(a: &Body, b: &Body) -> f64 {
    let offset = [0, 1, 2].map(|i| a.centre[i] - b.centre[i]);
    MU_0 * a.moment() * b.moment() / (4.0 * PI) * dipole_pair(offset)[2]
}

/// Force on one of two unit dipoles along `z`, the given offset from the other, without its factor `μ0 / 4π`.
fn dipole_pair([x, y, z]: [f64; 3]) -> [f64; 3] {
    let r2 = x * x + y * y + z * z;
    let r5 = r2 * r2 * r2.sqrt();
    let across = 3.0 * (1.0 - 5.0 * z * z / r2) / r5;
    [across * x, across * y, (across + 6.0 / r5) * z]
}

/// Far apart, each block is a grid of dipoles, as dense as its sides need; result without the factor `J1 J2 / (4π μ0)`.
fn dipole_grid(mine: [f64; 3], theirs: [f64; 3], offset: [f64; 3]) -> [f64; 3] {
    let length = |v: [f64; 3]| v.iter().map(|c| c * c).sum::<f64>().sqrt();
    let apart = length(offset);
    let (from_mine, from_theirs) = (apart - length(theirs), apart - length(mine));
    let nodes = |axis: usize| {
        let my_rule = rule_for(mine[axis], from_mine, GRID_ERROR);
        let their_rule = rule_for(theirs[axis], from_theirs, GRID_ERROR);
        my_rule.iter().flat_map(move |&(s, ws)| {
            their_rule.iter().map(move |&(t, wt)| {
                (
                    offset[axis] + mine[axis] * (2.0 * s - 1.0) - theirs[axis] * (2.0 * t - 1.0),
                    ws * wt,
                )
            })
        })
    };
    let mut sum = [0.0; 3];
    for (x, wx) in nodes(0) {
        for (y, wy) in nodes(1) {
            for (z, wz) in nodes(2) {
                let part = dipole_pair([x, y, z]);
                for (total, force) in sum.iter_mut().zip(part) {
                    *total += wx * wy * wz * force;
                }
            }
        }
    }
    let volume = |half: [f64; 3]| 8.0 * half[0] * half[1] * half[2];
    sum.map(|part| part * volume(mine) * volume(theirs))
}

/// The 64 corner terms of Akoun and Yonnet 1984, without the factor `J1 J2 / (4π μ0)`.
fn corner_sum(mine: [f64; 3], theirs: [f64; 3], offset: [f64; 3]) -> [f64; 3] {
    // Distances of the four pairs of faces along one axis, with their signs.
    let pairs = |axis: usize| {
        let near = theirs[axis] - mine[axis];
        let far = theirs[axis] + mine[axis];
        // Faces that touch but for rounding touch: on the wrong side of each other the angles below would jump by half a turn.
        let between = |distance: f64| {
            if distance.abs() <= TOUCHING * far {
                0.0_f64.copysign(offset[axis])
            } else {
                distance
            }
        };
        [
            (offset[axis] - near, 1.0),
            (offset[axis] + near, 1.0),
            (between(offset[axis] - far), -1.0),
            (between(offset[axis] + far), -1.0),
        ]
    };
    let mut sum = [0.0; 3];
    for (u, su) in pairs(0) {
        for (v, sv) in pairs(1) {
            for (w, sw) in pairs(2) {
                let sign = su * sv * sw;
                let r = (u * u + v * v + w * w).sqrt();
                let log_u = log_less(r, u, v * v + w * w);
                let log_v = log_less(r, v, u * u + w * w);
                let turn = (u * v).atan2(r * w);
                sum[0] += sign * (0.5 * (v * v - w * w) * log_u + u * v * log_v + v * w * turn + 0.5 * r * u);
                sum[1] += sign * (0.5 * (u * u - w * w) * log_v + u * v * log_u + u * w * turn + 0.5 * r * v);
                sum[2] += sign * (-u * w * log_u - v * w * log_v + u * v * turn - r * w);
            }
        }
    }
    sum
}

/// `ln(r - t)` with `across = r² - t²`; zero where the argument is zero, since its factor then is zero as well.
fn log_less(r: f64, t: f64, across: f64) -> f64 {
    let argument = if t > 0.0 { across / (r + t) } else { r - t };
    if argument == 0.0 { 0.0 } else { argument.ln() }
}
