//! Magnets in order: piles, grids, circles, facing pairs, Halbach rows. Each takes a group of placed bodies and gives more of them.

use std::f64::consts::PI;

use thiserror::Error;

use crate::placed::Placed;
use crate::solid::{PlacedError, Polarisation};
use numerics::vector::Turn;

/// Most bodies that an arrangement gives.
pub const MOST_BODIES: usize = 4096;

/// Why there is no such arrangement.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ArrangementError {
    /// There is nothing to arrange.
    #[error("an arrangement needs at least one body")]
    Empty,
    /// There would be none, or too many.
    #[error("an arrangement has 1 to {MOST_BODIES} bodies, this one would have {0}")]
    Count(usize),
    /// A length or angle is not finite, or a pitch is zero.
    #[error("{what} must be {allowed}, got {value}")]
    Size {
        /// Which one.
        what: &'static str,
        /// What would be right.
        allowed: &'static str,
        /// What was given, SI.
        value: f64,
    },
    /// A body cannot stand where it would have to.
    #[error(transparent)]
    Placed(#[from] PlacedError),
}

impl ArrangementError {
    /// What to do about it, for a person.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Empty => "give a body, or a list of them",
            Self::Count(_) => "ask for fewer",
            Self::Size { .. } => "give a finite number in the unit of its name",
            Self::Placed(error) => error.hint(),
        }
    }
}

/// `count` copies of a group, each on top of the one before with `gap` metres between; the first stays.
///
/// # Errors
/// [`ArrangementError`] for an empty group, too many bodies or a gap that is negative or not finite.
pub fn pile(group: &[Placed], count: usize, gap: f64) -> Result<Vec<Placed>, ArrangementError> {
    counted(group, count)?;
    gap_of(gap)?;
    let rise = height(group) + gap;
    repeated(count, |k| moved(group, [0.0, 0.0, k as f64 * rise]))
}

/// Bodies one on top of the other, in the order given, with `gap` metres between: steps of falling diameter, a stack of unlike pieces.
/// Each keeps its place across; the first stays.
///
/// # Errors
/// [`ArrangementError`] for an empty group, too many bodies or a gap that is negative or not finite.
pub fn tower(pieces: &[Placed], gap: f64) -> Result<Vec<Placed>, ArrangementError> {
    counted(pieces, 1)?;
    gap_of(gap)?;
    let mut standing: Vec<Placed> = Vec::with_capacity(pieces.len());
    for piece in pieces {
        let lift = standing.last().map_or(0.0, |below| below.top() + gap - piece.bottom());
        standing.push(piece.moved([0.0, 0.0, lift])?);
    }
    Ok(standing)
}

/// A grid of `columns` by `rows` copies of a group at `pitch` metres along `x` and `y`, its middle where the group is.
/// With `alternating`, every other one is polarised the other way, like the squares of a draughtboard.
///
/// # Errors
/// [`ArrangementError`] for an empty group, too many bodies or a pitch that is not positive.
pub fn grid(
    group: &[Placed],
    [columns, rows]: [usize; 2],
    pitch: [f64; 2],
    alternating: bool,
) -> Result<Vec<Placed>, ArrangementError> {
    let count = columns.saturating_mul(rows);
    counted(group, count)?;
    for (what, value) in ["pitch across", "pitch in depth"].into_iter().zip(pitch) {
        positive(what, value)?;
    }
    let reversed = group.iter().map(Placed::reversed).collect::<Result<Vec<_>, _>>()?;
    repeated(count, |k| {
        let (column, row) = (k % columns, k / columns);
        let place = |at: usize, of: usize, pitch: f64| (at as f64 - 0.5 * (of as f64 - 1.0)) * pitch;
        let other = alternating && (column + row) % 2 == 1;
        moved(
            if other { &reversed } else { group },
            [place(column, columns, pitch[0]), place(row, rows, pitch[1]), 0.0],
        )
    })
}

/// `count` copies of a group around the `z` axis, the group first moved out by `radius` metres along `x`; each turns with its place.
/// With `extra_turns`, its polarisation turns by so many full turns more in the plane on the way round: 1 makes the inside of a Halbach ring
/// uniform, for polarisations across the axis.
///
/// # Errors
/// [`ArrangementError`] for an empty group, too many bodies or a radius that is negative or not finite.
pub fn circle(
    group: &[Placed],
    count: usize,
    radius: f64,
    extra_turns: i32,
    alternating: bool,
) -> Result<Vec<Placed>, ArrangementError> {
    counted(group, count)?;
    if !(radius >= 0.0 && radius.is_finite()) {
        return Err(ArrangementError::Size {
            what: "radius",
            allowed: "0 m or more",
            value: radius,
        });
    }
    let out = moved(group, [radius, 0.0, 0.0])?;
    repeated(count, |k| {
        let angle = 2.0 * PI * k as f64 / count as f64;
        out.iter()
            .map(|body| {
                let body = if alternating && k % 2 == 1 {
                    body.reversed()?
                } else {
                    body.clone()
                };
                let body = match extra_turns {
                    0 => body,
                    turns => body.repolarised([0.0, 0.0, f64::from(turns) * angle])?,
                };
                body.turned([0.0, 0.0, angle])
            })
            .collect()
    })
}

/// A group and its like above it across `gap` metres: north to south, so that they attract, or with like poles facing.
///
/// # Errors
/// [`ArrangementError`] for an empty group, too many bodies or a gap that is negative or not finite.
pub fn facing_pair(group: &[Placed], gap: f64, like_poles: bool) -> Result<Vec<Placed>, ArrangementError> {
    counted(group, 2)?;
    gap_of(gap)?;
    let upper = group
        .iter()
        .map(|body| if like_poles { body.reversed() } else { Ok(body.clone()) })
        .collect::<Result<Vec<_>, _>>()?;
    let upper = moved(&upper, [0.0, 0.0, height(group) + gap])?;
    Ok([group, &upper].concat())
}

/// `count` copies of a group in a row along `x` at `pitch` metres, the polarisation of each turned about `y` by `step` radians more than that of the
/// one before: a quarter turn makes one side strong and the other weak (Halbach 1980). The middle of the row is where the group is.
///
/// # Errors
/// [`ArrangementError`] for an empty group, too many bodies, a pitch that is not positive, and bodies that cannot be polarised across their axis.
pub fn halbach_row(group: &[Placed], count: usize, pitch: f64, step: f64) -> Result<Vec<Placed>, ArrangementError> {
    counted(group, count)?;
    positive("pitch", pitch)?;
    if !step.is_finite() {
        return Err(ArrangementError::Size {
            what: "step",
            allowed: "a finite angle",
            value: step,
        });
    }
    repeated(count, |k| {
        let turned = group
            .iter()
            .map(|body| body.repolarised([0.0, k as f64 * step, 0.0]))
            .collect::<Result<Vec<_>, _>>()?;
        moved(&turned, [(k as f64 - 0.5 * (count as f64 - 1.0)) * pitch, 0.0, 0.0])
    })
}

fn counted(group: &[Placed], copies: usize) -> Result<(), ArrangementError> {
    if group.is_empty() {
        return Err(ArrangementError::Empty);
    }
    match group.len().saturating_mul(copies) {
        count if (1..=MOST_BODIES).contains(&count) => Ok(()),
        count => Err(ArrangementError::Count(count)),
    }
}

fn gap_of(gap: f64) -> Result<(), ArrangementError> {
    if gap >= 0.0 && gap.is_finite() {
        return Ok(());
    }
    Err(ArrangementError::Size {
        what: "gap",
        allowed: "0 m or more",
        value: gap,
    })
}

fn positive(what: &'static str, value: f64) -> Result<(), ArrangementError> {
    if value > 0.0 && value.is_finite() {
        return Ok(());
    }
    Err(ArrangementError::Size {
        what,
        allowed: "above 0 m",
        value,
    })
}

/// From the lowest point of a group to its highest, m.
fn height(group: &[Placed]) -> f64 {
    let bottom = group.iter().map(Placed::bottom).fold(f64::INFINITY, f64::min);
    let top = group.iter().map(Placed::top).fold(f64::NEG_INFINITY, f64::max);
    top - bottom
}

fn moved(group: &[Placed], by: [f64; 3]) -> Result<Vec<Placed>, PlacedError> {
    group.iter().map(|body| body.moved(by)).collect()
}

fn repeated(
    count: usize,
    copy: impl Fn(usize) -> Result<Vec<Placed>, PlacedError>,
) -> Result<Vec<Placed>, ArrangementError> {
    let copies = (0..count).map(copy).collect::<Result<Vec<_>, _>>()?;
    Ok(copies.concat())
}

impl Placed {
    /// Height of the highest point, m.
    #[must_use]
    pub fn top(&self) -> f64 {
        -self.upside_down().bottom()
    }

    /// The same body turned about the origin of space by a rotation vector, rad.
    ///
    /// # Errors
    /// [`PlacedError`] for a vector that is not finite.
    pub fn turned(&self, rotation: [f64; 3]) -> Result<Self, PlacedError> {
        self.checked_turn(rotation)
    }

    /// The same body polarised the other way.
    ///
    /// # Errors
    /// [`PlacedError`] never for a body that stands.
    pub fn reversed(&self) -> Result<Self, PlacedError> {
        let polarisation = match self.polarisation() {
            Polarisation::Along(j) => Polarisation::Along(j.map(|j| -j)),
            Polarisation::Radial(j) => Polarisation::Radial(-j),
        };
        self.with_polarisation(polarisation)
    }

    /// The same body with its polarisation, but not itself, turned in space by a rotation vector, rad. A radial polarisation stays.
    ///
    /// # Errors
    /// [`PlacedError::Across`] where the form is polarised along its axis only.
    pub fn repolarised(&self, rotation: [f64; 3]) -> Result<Self, PlacedError> {
        match self.polarisation() {
            Polarisation::Along(j) => {
                let turned = self.turn().back(Turn::about(rotation).out(self.turn().out(j)));
                // A quarter turn leaves no dust of the other axis.
                let size = j.iter().map(|j| j.abs()).fold(0.0, f64::max);
                let clean = turned.map(|j| if j.abs() < 1e-14 * size { 0.0 } else { j });
                self.with_polarisation(Polarisation::Along(clean))
            }
            Polarisation::Radial(_) => Ok(self.clone()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Solid;
    use crate::overlap::overlapping;
    use crate::scene::Scene;
    use crate::shape::Shape;
    use numerics::vector;

    fn block(polarisation: [f64; 3]) -> Placed {
        let shape = Shape::Block {
            length: 0.01,
            width: 0.01,
            thickness: 0.01,
        };
        Placed::new(
            Solid::Plain(shape),
            Polarisation::Along(polarisation),
            [0.0; 3],
            [0.0; 3],
        )
        .expect("in range")
    }

    fn disc(diameter: f64, thickness: f64) -> Placed {
        let shape = Shape::Disc { diameter, thickness };
        Placed::new(
            Solid::Plain(shape),
            Polarisation::Along([0.0, 0.0, 1.0]),
            [0.0; 3],
            [0.0; 3],
        )
        .expect("in range")
    }

    fn field(bodies: Vec<Placed>, point: [f64; 3]) -> [f64; 3] {
        Scene::new(bodies).flux_density(point).expect("off the edges")
    }

    fn close(a: [f64; 3], b: [f64; 3]) {
        assert!(vector::length(vector::sub(a, b)) <= 1e-13, "{a:?} against {b:?}");
    }

    #[test]
    fn a_pile_in_contact_is_one_long_magnet() {
        let pile = pile(&[disc(0.01, 0.005)], 3, 0.0).expect("three");
        let solid = disc(0.01, 0.015).moved([0.0, 0.0, 0.005]).expect("near");
        let point = [0.004, 0.002, 0.021];
        close(field(pile, point), field(vec![solid], point));
    }

    #[test]
    fn a_tower_of_falling_diameters_stands_without_overlap() {
        let tower = tower(&[disc(0.02, 0.005), disc(0.015, 0.004), disc(0.01, 0.003)], 1e-4).expect("three");
        let middles: Vec<f64> = tower.iter().map(|b| b.centre()[2]).collect();
        for (got, want) in middles.iter().zip([0.0, 0.0046, 0.0082]) {
            assert!((got - want).abs() <= 1e-12, "{middles:?}");
        }
        assert!(overlapping(&tower).is_empty());
    }

    #[test]
    fn a_halbach_row_is_strong_on_one_side() {
        let row = halbach_row(&[block([0.0, 0.0, 1.0])], 5, 0.01, PI / 2.0).expect("five");
        let size = |point| vector::length(field(row.clone(), point));
        let (above, below) = (size([0.0, 0.0, 0.015]), size([0.0, 0.0, -0.015]));
        assert!(above.max(below) > 3.0 * above.min(below), "{above} against {below}");
        let directions: Vec<[f64; 3]> = row.iter().map(Placed::moment).map(|m| m.map(f64::signum)).collect();
        assert_eq!(directions[0][2], 1.0);
        assert_eq!(directions[1][0], 1.0);
        assert_eq!(directions[2][2], -1.0);
    }

    /// The field inside a Halbach ring of many pieces comes near to `J ln(outer / inner)`, for a long ring (Halbach 1980).
    #[test]
    fn a_halbach_ring_has_a_uniform_field_inside() {
        let shape = Shape::Block {
            length: 0.01,
            width: 0.0105,
            thickness: 0.2,
        };
        let piece = Placed::new(
            Solid::Plain(shape),
            Polarisation::Along([1.0, 0.0, 0.0]),
            [0.0; 3],
            [0.0; 3],
        );
        let ring = circle(&[piece.expect("in range")], 16, 0.03, 1, false).expect("sixteen");
        let middle = field(ring.clone(), [0.0; 3]);
        let aside = field(ring, [0.004, 0.003, 0.0]);
        assert!(vector::length(middle) > 0.25, "{middle:?}");
        assert!(
            vector::length(vector::sub(middle, aside)) < 0.01 * vector::length(middle),
            "{middle:?} {aside:?}"
        );
    }

    #[test]
    fn facing_pairs_face_rightly_and_grids_alternate() {
        let pair = facing_pair(&[disc(0.01, 0.005)], 0.002, true).expect("two");
        let middle = field(pair, [0.0, 0.0, 0.0035]);
        assert!(
            vector::length(middle) <= 1e-13,
            "like poles cancel half way: {middle:?}"
        );
        let grid = grid(&[disc(0.01, 0.005)], [3, 2], [0.012, 0.012], true).expect("six");
        let total: f64 = grid.iter().map(|b| b.moment()[2]).sum();
        assert!(grid.len() == 6 && total.abs() <= 1e-9);
    }

    #[test]
    fn nothing_too_much_and_numbers_that_are_none_are_refused() {
        let one = [disc(0.01, 0.005)];
        assert_eq!(pile(&[], 2, 0.0), Err(ArrangementError::Empty));
        assert_eq!(pile(&one, 0, 0.0), Err(ArrangementError::Count(0)));
        assert_eq!(
            grid(&one, [usize::MAX, 2], [0.1, 0.1], false),
            Err(ArrangementError::Count(usize::MAX))
        );
        for bad in [-1.0, f64::NAN, f64::INFINITY] {
            assert!(matches!(pile(&one, 2, bad), Err(ArrangementError::Size { .. })));
            assert!(matches!(
                halbach_row(&one, 2, bad, 0.0),
                Err(ArrangementError::Size { .. })
            ));
            assert!(matches!(
                circle(&one, 2, bad, 0, false),
                Err(ArrangementError::Size { .. })
            ));
        }
        assert!(matches!(
            pile(&one, 4096, 1e6),
            Err(ArrangementError::Placed(PlacedError::Centre { .. }))
        ));
    }
}
