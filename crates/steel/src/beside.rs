//! Two equal magnets side by side on one plate, poles alternating or alike.
//!
//! Side by side there is no common axis, so the pair is not solved but estimated. On thick steel the pull on both follows exactly from the mirror image: each magnet feels its own image and that of its
//! neighbour (the neighbour itself pulls sideways only). The pull of one magnet on the real plate is solved, and both together pull `2 P (pair over two singles by the mirror image)`.
//!
//! A thin plate is loaded otherwise than by one magnet. The flux of a magnet leaves through the section of the plate below its rim, all around. Beside a neighbour of the other pole it leaves mostly towards it,
//! beside a like one mostly away from it. How much that may matter is told by one magnet on a plate of `t (1 - D / (2 (D + s)))`, with the distance s between the rims: half as thick in contact, unchanged
//! far away. Solves of pairs in three dimensions lie between the ratio of thick steel less 0.15 and more 0.13 of what that plate takes; the interval reaches further (`CROWDING`). The middle of both
//! ends is given, with both ends.

use magnetics::Shape;
use magnetics::ShapeError;
use magnetics::load::{LoadError, plate_pull};
use magnetics::placed::Placed;
use magnetics::solid::{PlacedError, Polarisation, Solid};
use thiserror::Error;

use crate::setups::{Piece, Size, on_plate};
use crate::solve::{Options, SolveError, solve};

/// Error of a solve.
const SOLVED: f64 = 5e-3;
/// Parts of what the plate loaded by half takes that the ends of the interval lie below and above the ratio of thick steel: more than the 0.15 and 0.13 that solves in three dimensions showed, of discs of 20 x 5 mm on
/// plates of 0.4 to 3 mm, 0.1 to 3 mm away (`spatial`, `tests/beside.rs`).
const CROWDING: [f64; 2] = [0.3, 0.2];
/// What the neighbour's field does to a magnet that gives way, over what its recoil permeability is above 1, as a part of the pull: the ratio of magnets that give way differed by 0.11 of that in contact.
const GIVING_WAY: f64 = 0.25;

/// A pull with the interval that it surely lies in, N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Between {
    /// Lower end.
    pub low: f64,
    /// Middle.
    pub value: f64,
    /// Upper end.
    pub high: f64,
}

/// Pulls of two magnets together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SideBySide {
    /// Twice that of one alone, N.
    pub singles: f64,
    /// Poles alternating.
    pub alternating: Between,
    /// Poles alike.
    pub alike: Between,
}

/// Why there is no estimate.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum BesideError {
    /// The distance is negative or not a number.
    #[error("the distance between the magnets must be finite and not negative, got {0} m")]
    Distance(f64),
    /// The single magnet is not solved.
    #[error(transparent)]
    Solve(#[from] SolveError),
    /// The size is none of a disc or ring.
    #[error(transparent)]
    Shape(#[from] ShapeError),
    /// The magnet cannot be placed.
    #[error(transparent)]
    Placed(#[from] PlacedError),
    /// The mirror image gives no force.
    #[error(transparent)]
    Load(#[from] LoadError),
}

impl BesideError {
    /// What would be right.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Distance(_) => "0 is contact",
            Self::Solve(error) => error.hint(),
            Self::Shape(error) => error.hint(),
            Self::Placed(error) => error.hint(),
            Self::Load(_) => "check sizes and gap",
        }
    }
}

/// Two such magnets on a plate that is as wide around each as the plate is, `distance` metres between their rims, each `gap` metres above it.
///
/// # Errors
/// [`BesideError`] for sizes and distances that cannot be.
pub fn side_by_side(magnet: &Piece, plate: &Piece, gap: f64, distance: f64) -> Result<SideBySide, BesideError> {
    if !(distance >= 0.0 && distance.is_finite()) {
        return Err(BesideError::Distance(distance));
    }
    let pull = |thickness: f64| -> Result<f64, SolveError> {
        let plate = Piece {
            size: Size {
                thickness,
                ..plate.size
            },
            ..plate.clone()
        };
        solve(&on_plate(magnet, gap, &plate), &Options::force_on("plate"))?.force_on("plate")
    };
    let pitch = magnet.size.outer + distance;
    let thickness = plate.size.thickness;
    let pulls = [
        2.0 * pull(thickness)?,
        2.0 * pull(thickness * (1.0 - 0.5 * magnet.size.outer / pitch))?,
    ];
    let permeability = magnet.material.recoil_line().map_or(1.0, |line| line.permeability);
    let error = SOLVED.hypot(GIVING_WAY * (permeability - 1.0));
    let estimate = |alternating: bool| {
        Ok::<_, BesideError>(between(
            pulls,
            pair_over_singles(magnet.size, 1.0, gap, pitch, alternating)?,
            error,
        ))
    };
    Ok(SideBySide {
        singles: pulls[0],
        alternating: estimate(true)?,
        alike: estimate(false)?,
    })
}

/// The interval: pulls of the singles on the plate and on one that is loaded as the pair loads it, the ratio on thick steel, and the relative error of both.
fn between([singles, loaded]: [f64; 2], ratio: f64, error: f64) -> Between {
    let crowded = (1.0 - loaded / singles).max(0.0);
    let [below, above] = CROWDING.map(|part| part * crowded);
    let low = singles * ratio * (1.0 - below) * (1.0 - error);
    let high = singles * ratio * (1.0 + above) * (1.0 + error);
    Between {
        low,
        value: 0.5 * (low + high),
        high,
    }
}

/// Pull of two magnets on thick ideal steel over twice that of one.
fn pair_over_singles(
    size: Size,
    permeability: f64,
    gap: f64,
    pitch: f64,
    alternating: bool,
) -> Result<f64, BesideError> {
    let shape = if size.inner > 0.0 {
        Shape::Ring {
            outer_diameter: size.outer,
            inner_diameter: size.inner,
            thickness: size.thickness,
        }
    } else {
        Shape::Disc {
            diameter: size.outer,
            thickness: size.thickness,
        }
    };
    let at = |x: f64, polarisation: f64| -> Result<Placed, BesideError> {
        let along = Polarisation::Along([0.0, 0.0, polarisation]);
        let placed = Placed::new(Solid::Plain(shape), along, [x, 0.0, 0.0], [0.0; 3])?;
        Ok(placed.with_recoil_permeability(permeability)?)
    };
    let other = if alternating { -1.0 } else { 1.0 };
    let (pair, _) = plate_pull(&[at(0.0, 1.0)?, at(pitch, other)?], gap)?;
    let (single, _) = plate_pull(&[at(0.0, 1.0)?], gap)?;
    Ok(pair / (2.0 * single))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use magnetics::load::load;

    use super::*;
    use crate::SteelTable;
    use crate::drawing::Material;

    fn steel() -> Material {
        let table = SteelTable::builtin().unwrap();
        Material::Steel(Arc::clone(&table.curve("team13").unwrap().curve))
    }

    fn magnet(diameter: f64, inner: f64, thickness: f64) -> Piece {
        Piece {
            size: Size {
                outer: diameter,
                inner,
                thickness,
            },
            material: Material::Magnet {
                polarisation: 1.3,
                recoil_permeability: 1.05,
            },
        }
    }

    fn plate(thickness: f64) -> Piece {
        Piece {
            size: Size::disc(100e-3, thickness),
            material: steel(),
        }
    }

    #[test]
    fn far_apart_they_are_two_singles_and_near_alternating_ones_pull_more() {
        let magnet = magnet(20e-3, 0.0, 5e-3);
        let near = side_by_side(&magnet, &plate(10e-3), 1e-3, 0.0).unwrap();
        assert!(
            near.alternating.low > near.singles && near.alike.high < near.singles,
            "{near:?}"
        );
        let far = side_by_side(&magnet, &plate(10e-3), 1e-3, 0.4).unwrap();
        for pull in [far.alternating, far.alike] {
            assert!((pull.value / far.singles - 1.0).abs() <= 3e-3, "{far:?}");
            assert!(pull.high / pull.low <= 1.05, "{far:?}");
        }
        // A thin plate widens the interval, most in contact.
        let width = |distance: f64, thickness: f64| {
            let got = side_by_side(&magnet, &plate(thickness), 1e-3, distance)
                .unwrap()
                .alternating;
            got.high / got.low
        };
        let [thick, thin, apart] = [width(0.0, 10e-3), width(0.0, 1e-3), width(60e-3, 1e-3)];
        assert!(thick < 1.06 && thin > 1.2 && apart < thin, "{thick} {thin} {apart}");
    }

    /// The work of the pull and that of the force between the two come from one energy: the pull changes with the distance as the sideways force does with the gap.
    #[test]
    fn pull_and_sideways_force_have_one_energy() {
        let (size, step) = (Size::disc(20e-3, 5e-3), 1e-5);
        for other in [-1.0, 1.0] {
            let at = |x: f64, z: f64, j: f64| {
                let solid = Solid::Plain(Shape::Disc {
                    diameter: size.outer,
                    thickness: size.thickness,
                });
                Placed::new(solid, Polarisation::Along([0.0, 0.0, j]), [x, 0.0, z], [0.0; 3]).unwrap()
            };
            let pull = |gap: f64, pitch: f64| plate_pull(&[at(0.0, 0.0, 1.0), at(pitch, 0.0, other)], gap).unwrap().0;
            let sideways = |gap: f64, pitch: f64| {
                let image = -size.thickness - 2.0 * gap;
                let from = [at(0.0, 0.0, 1.0), at(0.0, image, 1.0), at(pitch, image, other)];
                load(&at(pitch, 0.0, other), &from).unwrap().force[0]
            };
            let (gap, pitch) = (1e-3, 23e-3);
            let by_distance = (pull(gap, pitch + step) - pull(gap, pitch - step)) / (2.0 * step);
            let by_gap = -(sideways(gap + step, pitch) - sideways(gap - step, pitch)) / (2.0 * step);
            assert!((by_distance / by_gap - 1.0).abs() <= 1e-3, "{by_distance} {by_gap}");
        }
    }

    /// That a magnet gives way to its neighbour changes the ratio by less than the error taken.
    #[test]
    fn giving_way_changes_the_ratio_by_less_than_its_error() {
        let size = Size::disc(20e-3, 4e-3);
        for alternating in [true, false] {
            let ratio = |permeability| pair_over_singles(size, permeability, 0.5e-3, 20e-3, alternating).unwrap();
            let (rigid, soft) = (ratio(1.0), ratio(1.1));
            println!("{alternating}: {rigid} {soft}");
            assert!((soft / rigid - 1.0).abs() <= GIVING_WAY * 0.1, "{rigid} {soft}");
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let sound = magnet(20e-3, 0.0, 5e-3);
        for distance in [-1e-3, f64::NAN] {
            assert!(matches!(
                side_by_side(&sound, &plate(2e-3), 1e-3, distance),
                Err(BesideError::Distance(_))
            ));
        }
        let none = magnet(20e-3, 0.0, -5e-3);
        let error = side_by_side(&none, &plate(2e-3), 1e-3, 0.0).unwrap_err();
        assert!(!error.hint().is_empty());
    }
}
