//! A disc or ring on a steel plate, bare, under a back-plate or in a cup: solved, and compared over gap and thickness.

use rayon::prelude::*;
use steel::Behind;
use steel::beside::{BesideError, side_by_side};
pub use steel::beside::{Between, SideBySide};
use steel::drawing::Drawing;
pub use steel::edge::Edge;
use steel::setups::{Cup, Piece, Size, in_cup, on_plate, with_back};
use steel::solve::{Options, Solution, SolveError, solve_watched};
use thiserror::Error;

use crate::answer::BEHIND;
use crate::go_on::{GoOn, still_wanted};

/// The share of the pull on thick steel at which a plate counts as thick enough.
pub const ENOUGH: f64 = 0.95;
/// Gaps that are compared, as shares of the greatest.
const GAPS: [f64; 9] = [0.0, 0.02, 0.06, 0.13, 0.23, 0.36, 0.53, 0.74, 1.0];
/// The greatest gap, as a share of the magnet's diameter, or this multiple of the gap asked.
const FARTHEST_GAP: f64 = 0.3;
const GAP_MULTIPLE: f64 = 2.5;
/// Thicknesses that are compared, as shares of the magnet's diameter.
const THICKNESSES: [f64; 9] = [0.01, 0.02, 0.035, 0.055, 0.08, 0.12, 0.18, 0.28, 0.45];

/// Relative error estimate at which the solve of a curve's points ends; the point asked is solved as everything else is.
const OF_CURVES: f64 = 1e-2;

/// Thickness and gap over the diameter of discs of which it is told what they keep near an edge.
const EDGE_HEIGHT: [f64; 2] = [0.1, 1.0];
const EDGE_GAP: f64 = 0.2;

/// A magnet on a plate of steel, and what is asked of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Setup {
    /// The magnet: a disc, or a ring if it has an inner diameter.
    pub magnet: Piece,
    /// The plate below it.
    pub plate: Piece,
    /// The steel that it carries.
    pub carries: Carries,
    /// Between the plate and what is nearest to it, the magnet or the rim of a cup, m.
    pub gap: f64,
    /// Between the rims of it and of an equal one beside it, m, where there is one; for a bare magnet only.
    pub beside: Option<f64>,
}

/// What steel a magnet carries.
#[derive(Clone, Debug, PartialEq)]
pub enum Carries {
    /// None.
    Nothing,
    /// A plate on its back.
    BackPlate(Piece),
    /// A cup that it sits in.
    Cup(Cup),
}

/// A set-up solved, with what its parts are worth, N and m.
#[derive(Clone, Debug)]
pub struct Study {
    /// The set-up, solved.
    pub solution: Solution,
    /// Pull on the plate.
    pub pull: f64,
    /// Pull of the magnet without what it carries at the same gap; `None` where it carries nothing.
    pub bare: Option<f64>,
    /// The gap asked.
    pub gap: f64,
    /// Against the gap, the nearest first; the gap asked is among them.
    pub against_gap: Vec<AtGap>,
    /// The thickness of the plate.
    pub thickness: f64,
    /// Thickness of the plate and pull, the thinnest first; the thickness asked is among them.
    pub against_thickness: Vec<[f64; 2]>,
    /// The thickness from which a plate pulls [`ENOUGH`] of what the thickest does, and that pull; `None` where none of them
    /// does.
    pub enough: Option<[f64; 2]>,
    /// What it keeps near a straight edge of a wide plate as thick; `None` where that is not known: it is of bare discs that are not very flat, tall or far away.
    pub edge: Option<Edge>,
    /// What is behind the plate; `None` where no flux goes into it.
    pub behind: Option<Behind>,
    /// Distance and pull of two side by side, where that is asked.
    pub beside: Option<(f64, SideBySide)>,
}

/// Pulls across a gap, N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtGap {
    /// The gap, m.
    pub gap: f64,
    /// As it is.
    pub pull: f64,
    /// Without what it carries; `None` where it carries nothing.
    pub bare: Option<f64>,
    /// As it is, on a thick plate.
    pub thick: f64,
}

/// Why a set-up is not solved.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum StudyError {
    /// It has no solution, or was stopped.
    #[error(transparent)]
    Solve(#[from] SolveError),
    /// Two side by side are not estimated.
    #[error(transparent)]
    Beside(#[from] BesideError),
    /// Two that carry steel stand side by side.
    #[error("two side by side are estimated for bare magnets only")]
    BesideCarried,
    /// The gap is narrower than faces are rough.
    #[error("a gap of {} mm is narrower than ground faces are rough", .0 * 1e3)]
    GapTooNarrow(f64),
}

/// The narrowest gap that is solved beside contact, m: the cells of a mesh follow the gap, and a tenth of this takes ten times as long
/// for the same pull. Ground faces are rough by some micrometres; common practice, no source.
pub const NARROWEST_GAP: f64 = 5e-6;

impl StudyError {
    /// What would be right.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Solve(error) => error.hint(),
            Self::Beside(error) => error.hint(),
            Self::BesideCarried => "let it carry nothing, or ask for one alone",
            Self::GapTooNarrow(_) => "ask for contact, a gap of 0, or for 0.005 mm and more",
        }
    }

    /// Whether it is the distance between two that is wrong.
    #[must_use]
    pub fn is_about_distance(&self) -> bool {
        matches!(self, Self::BesideCarried | Self::Beside(BesideError::Distance(_)))
    }
}

impl Setup {
    fn drawing(&self, carries: &Carries, gap: f64, plate: &Piece) -> Drawing {
        match carries {
            Carries::Nothing => on_plate(&self.magnet, gap, plate),
            Carries::BackPlate(back) => with_back(&self.magnet, back, gap, plate),
            Carries::Cup(cup) => in_cup(&self.magnet, cup, gap, plate),
        }
    }

    fn solved(
        &self,
        carries: &Carries,
        gap: f64,
        plate: &Piece,
        aim: f64,
        go_on: GoOn,
    ) -> Result<(Solution, f64), SolveError> {
        let drawing = self.drawing(carries, gap, plate);
        let options = Options {
            tolerance: aim,
            ..Options::force_on("plate")
        };
        let solution = solve_watched(&drawing, &options, &mut |_| still_wanted(go_on))?;
        let pull = solution.force_on("plate")?;
        Ok((solution, pull))
    }

    /// A pull that a curve passes through.
    fn rough(&self, carries: &Carries, gap: f64, plate: &Piece, go_on: GoOn) -> Result<f64, SolveError> {
        Ok(self.solved(carries, gap, plate, OF_CURVES, go_on)?.1)
    }

    /// The plate with another thickness.
    fn plated(&self, thickness: f64) -> Piece {
        let mut plate = self.plate.clone();
        plate.size = Size {
            thickness,
            ..plate.size
        };
        plate
    }

    /// What it keeps near a straight edge, where such discs were solved.
    fn edge(&self, enough: bool) -> Option<Edge> {
        let size = self.magnet.size;
        let [flat, tall] = EDGE_HEIGHT.map(|height| height * size.outer);
        let known = self.is_bare()
            && size.inner == 0.0
            && (flat..=tall).contains(&size.thickness)
            && self.gap <= EDGE_GAP * size.outer;
        known.then(|| Edge::of(enough).ok()).flatten()
    }

    fn is_bare(&self) -> bool {
        self.carries == Carries::Nothing
    }

    fn against_gap(&self, asked: &Asked, go_on: GoOn) -> Result<Vec<AtGap>, SolveError> {
        let farthest = (FARTHEST_GAP * self.magnet.size.outer).max(GAP_MULTIPLE * self.gap);
        let thick = self.plated(self.plate.size.thickness.max(0.5 * self.magnet.size.outer));
        let pulls = |gap: f64| -> Result<(f64, Option<f64>), SolveError> {
            if gap == self.gap {
                return Ok((asked.pull, asked.bare));
            }
            let bare = || self.rough(&Carries::Nothing, gap, &self.plate, go_on);
            let pull = self.rough(&self.carries, gap, &self.plate, go_on)?;
            Ok((pull, (!self.is_bare()).then(bare).transpose()?))
        };
        with_asked(GAPS.iter().map(|share| share * farthest), self.gap)
            .into_par_iter()
            .map(|gap| {
                let (pull, bare) = pulls(gap)?;
                let thick = if thick == self.plate {
                    pull
                } else {
                    self.rough(&self.carries, gap, &thick, go_on)?
                };
                Ok(AtGap { gap, pull, bare, thick })
            })
            .collect()
    }

    fn against_thickness(&self, asked: &Asked, go_on: GoOn) -> Result<Vec<[f64; 2]>, SolveError> {
        let all = THICKNESSES.iter().map(|share| share * self.magnet.size.outer);
        with_asked(all, self.plate.size.thickness)
            .into_par_iter()
            .map(|thickness| {
                let pull = if thickness == self.plate.size.thickness {
                    asked.pull
                } else {
                    self.rough(&self.carries, self.gap, &self.plated(thickness), go_on)?
                };
                Ok([thickness, pull])
            })
            .collect()
    }
}

/// The pulls of a set-up as it is asked, N, which its curves pass through.
struct Asked {
    pull: f64,
    bare: Option<f64>,
}

/// The places in order, the one asked among them.
fn with_asked(places: impl Iterator<Item = f64>, asked: f64) -> Vec<f64> {
    let mut all: Vec<f64> = places.collect();
    if !all.contains(&asked) {
        all.push(asked);
        all.sort_by(f64::total_cmp);
    }
    all
}

/// Where a rising curve first reaches a share of its greatest value, and that value, by straight lines between its points.
fn reaches(curve: &[[f64; 2]], share: f64) -> Option<[f64; 2]> {
    let line = share * curve.iter().map(|p| p[1]).fold(0.0, f64::max);
    curve.windows(2).find_map(|pair| match *pair {
        [[x0, y0], [x1, y1]] if y0 < line && y1 >= line => Some([x0 + (x1 - x0) * (line - y0) / (y1 - y0), line]),
        _ => None,
    })
}

/// Solves a magnet on steel, and what its parts are worth over gap and thickness.
///
/// # Errors
/// [`StudyError`]: sizes that do not fit, a solve that does not arrive or is stopped.
pub fn study(setup: &Setup, go_on: GoOn) -> Result<Study, StudyError> {
    if setup.beside.is_some() && !setup.is_bare() {
        return Err(StudyError::BesideCarried);
    }
    if setup.gap > 0.0 && setup.gap < NARROWEST_GAP {
        return Err(StudyError::GapTooNarrow(setup.gap));
    }
    let aim = Options::default().tolerance;
    let (solution, pull) = setup.solved(&setup.carries, setup.gap, &setup.plate, aim, go_on)?;
    let bare = || setup.solved(&Carries::Nothing, setup.gap, &setup.plate, aim, go_on);
    let asked = Asked {
        pull,
        bare: (!setup.is_bare()).then(bare).transpose()?.map(|(_, pull)| pull),
    };
    let beside = |distance: f64| {
        let found = side_by_side(&setup.magnet, &setup.plate, setup.gap, distance)?;
        Ok::<_, StudyError>((distance, found))
    };
    let against_thickness = setup.against_thickness(&asked, go_on)?;
    let enough = reaches(&against_thickness, ENOUGH);
    Ok(Study {
        edge: setup.edge(enough.is_some_and(|[thickness, _]| thickness <= setup.plate.size.thickness)),
        pull,
        bare: asked.bare,
        gap: setup.gap,
        against_gap: setup.against_gap(&asked, go_on)?,
        thickness: setup.plate.size.thickness,
        enough,
        against_thickness,
        behind: solution.behind("magnet", "plate", BEHIND),
        beside: setup.beside.map(beside).transpose()?,
        solution,
    })
}

#[cfg(test)]
mod tests;
