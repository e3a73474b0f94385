//! The field of one body at many points, several at a time on the vector units of the processor.
//!
//! The same closed forms as for one point, for discs and rings magnetised along their axis and for blocks; points in a special place
//! (far away, on an edge, on the axis, level with the curved side) and other bodies go one by one.

use pulp::{Simd, WithSimd};

use crate::kind::Kind;
use crate::placed::Placed;
use crate::{block, cylinder, far};
use numerics::number::{ARCH, Lanes, Number, WIDTH};
use numerics::vector::{Vector, add, dot};

/// Points closer to the axis, to the curved side or to the faces of a block than this share of its size go one by one.
const SPECIAL: f64 = 1e-9;

/// Add the flux density of a body at `points`, T, to `sums`; the index of the first point without a value otherwise.
pub(crate) fn add_flux_densities(body: &Placed, points: &[Vector], sums: &mut [Vector]) -> Result<(), usize> {
    let lanes = match *body.kind() {
        Kind::Cylinder { along, .. } => along[0] == 0.0 && along[1] == 0.0,
        Kind::Block { .. } => true,
        Kind::Sphere { .. } | Kind::Turned { .. } | Kind::Arc { .. } => false,
    };
    let mut done = 0;
    if lanes {
        done = points.len() / WIDTH * WIDTH;
        ARCH.dispatch(ByLanes {
            body,
            points,
            sums: &mut *sums,
        })?;
    }
    for (index, (&point, sum)) in points.iter().zip(sums.iter_mut()).enumerate().skip(done) {
        *sum = add(*sum, body.fields(point).ok_or(index)?.0);
    }
    Ok(())
}

/// All full groups of points, compiled once for every kind of vector unit.
struct ByLanes<'a> {
    body: &'a Placed,
    points: &'a [Vector],
    sums: &'a mut [Vector],
}

impl WithSimd for ByLanes<'_> {
    type Output = Result<(), usize>;

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) -> Self::Output {
        by_lanes(self.body, self.points, self.sums)
    }
}

#[inline(always)]
fn by_lanes(body: &Placed, points: &[Vector], sums: &mut [Vector]) -> Result<(), usize> {
    let groups = points.as_chunks::<WIDTH>().0;
    for (group, (points, sums)) in groups.iter().zip(sums.as_chunks_mut::<WIDTH>().0).enumerate() {
        let mut p = [Lanes::every(0.0); 3];
        let mut special = [false; WIDTH];
        for (lane, &point) in points.iter().enumerate() {
            let local = body.to_body(point);
            special[lane] = is_special(body.kind(), local);
            for (axis, c) in local.into_iter().enumerate() {
                p[axis].0[lane] = c;
            }
        }
        let field = match *body.kind() {
            Kind::Cylinder {
                outer,
                inner,
                half,
                along,
            } => {
                let rho = (p[0] * p[0] + p[1] * p[1]).sqrt();
                let (mut radial, mut axial) = cylinder::smooth(outer, half, rho, p[2]);
                if inner > 0.0 {
                    let hole = cylinder::smooth(inner, half, rho, p[2]);
                    (radial, axial) = (radial - hole.0, axial - hole.1);
                }
                let share = radial * along[2] / rho;
                [p[0] * share, p[1] * share, axial * along[2]]
            }
            Kind::Block { half, along } => {
                let folded = [p[0].abs(), p[1].abs(), p[2].abs()];
                let mut sum = [Lanes::every(0.0); 3];
                for (axis, j) in along.into_iter().enumerate() {
                    if j != 0.0 {
                        let from: [usize; 3] = [(axis + 1) % 3, (axis + 2) % 3, axis];
                        let part = block::smooth(
                            [half[from[0]], half[from[1]], half[from[2]]],
                            [folded[from[0]], folded[from[1]], folded[from[2]]],
                        );
                        // The two lateral parts turn about with each of their coordinates.
                        let sign = |c: Lanes, part: Lanes| Lanes::choose(c, part, -part);
                        let rise = p[axis];
                        for (k, to) in from.into_iter().enumerate() {
                            let value = if k == 2 {
                                part[k]
                            } else {
                                sign(rise, sign(p[to], part[k]))
                            };
                            sum[to] = sum[to] + value * j;
                        }
                    }
                }
                sum
            }
            _ => return Ok(()),
        };
        for (lane, sum) in sums.iter_mut().enumerate() {
            *sum = add(
                *sum,
                if special[lane] {
                    body.fields(points[lane]).ok_or(group * WIDTH + lane)?.0
                } else {
                    body.turn().out([field[0].0[lane], field[1].0[lane], field[2].0[lane]])
                },
            );
        }
    }
    Ok(())
}

/// Whether a point, in the body's frame, is in a place where one form does not serve.
#[inline(always)]
fn is_special(kind: &Kind, p: Vector) -> bool {
    match *kind {
        Kind::Cylinder { outer, inner, half, .. } => {
            let rho = (p[0] * p[0] + p[1] * p[1]).sqrt();
            let near = SPECIAL * outer;
            let reach = far::TURNED_REACH * far::TURNED_REACH * (outer * outer + half * half);
            let level = (rho - outer).abs() <= near || (rho - inner).abs() <= near;
            rho <= near || level || rho * rho + p[2] * p[2] > reach
        }
        Kind::Block { half, .. } => {
            let size2 = dot(half, half);
            let near = |i: usize| (p[i].abs() - half[i]).powi(2) <= SPECIAL * SPECIAL * size2;
            let faces = u8::from(near(0)) + u8::from(near(1)) + u8::from(near(2));
            faces >= 2 || dot(p, p) > far::BLOCK_REACH * far::BLOCK_REACH * size2
        }
        Kind::Sphere { .. } | Kind::Turned { .. } | Kind::Arc { .. } => true,
    }
}
