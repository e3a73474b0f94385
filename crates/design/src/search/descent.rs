//! One descent of COBYLA in numbers from 0 to 1, that remembers the best place it saw.

use std::cell::RefCell;

use cobyla::{RhoBeg, StopTols, minimize};

/// What is thought of a place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Trial {
    /// What is to be least.
    pub aim: f64,
    /// Each at least 0 where what was wished for is kept.
    pub kept: Vec<f64>,
}

/// Aim of a place where nothing can be computed.
const NOWHERE: f64 = 1e3;
/// How far a wish may be missed and still count as kept.
const SLACK: f64 = 1e-6;

impl Trial {
    /// One that keeps nothing.
    pub(super) fn nowhere(count: usize) -> Self {
        Self {
            aim: NOWHERE,
            kept: vec![-1.0; count],
        }
    }

    /// How much is missed in all; 0 where all is kept.
    pub(super) fn missed(&self) -> f64 {
        self.kept.iter().map(|kept| (-kept - SLACK).max(0.0)).sum()
    }

    /// Whether it is better than another: misses less, or as little with less of what is to be least.
    pub(super) fn is_better(&self, other: &Self) -> bool {
        match self.missed().total_cmp(&other.missed()) {
            std::cmp::Ordering::Less => true,
            std::cmp::Ordering::Equal => self.aim < other.aim,
            std::cmp::Ordering::Greater => false,
        }
    }
}

/// The best place of a descent from a start with a first step, after at most so many trials.
pub(super) fn descend(
    start: &[f64],
    step: f64,
    most: usize,
    count: usize,
    trial: &dyn Fn(&[f64]) -> Trial,
) -> (Vec<f64>, Trial) {
    // The aim and each of what is to be kept are asked for one after the other at the same place.
    let last: RefCell<(Vec<f64>, Trial)> = RefCell::new((Vec::new(), Trial::nowhere(count)));
    let best: RefCell<Option<(Vec<f64>, Trial)>> = RefCell::new(None);
    let at = |x: &[f64]| {
        let inside: Vec<f64> = x.iter().map(|x| x.clamp(0.0, 1.0)).collect();
        if last.borrow().0 != inside {
            let found = trial(&inside);
            let better = best.borrow().as_ref().is_none_or(|(_, best)| found.is_better(best));
            if better {
                *best.borrow_mut() = Some((inside.clone(), found.clone()));
            }
            *last.borrow_mut() = (inside, found);
        }
    };
    let aim = |x: &[f64], (): &mut ()| {
        at(x);
        last.borrow().1.aim
    };
    let at = &at;
    let last = &last;
    let kept: Vec<_> = (0..count)
        .map(|k| {
            move |x: &[f64], (): &mut ()| {
                at(x);
                last.borrow().1.kept.get(k).copied().unwrap_or(-1.0)
            }
        })
        .collect();
    let bounds = vec![(0.0, 1.0); start.len()];
    let tolerances = StopTols {
        xtol_abs: vec![1e-4; start.len()],
        ..StopTols::default()
    };
    // Whatever it ends with, the best place is remembered.
    let _ended = minimize(
        aim,
        start,
        &bounds,
        &kept,
        (),
        most,
        RhoBeg::All(step),
        Some(tolerances),
    );
    let best = best.into_inner();
    best.unwrap_or_else(|| (start.to_vec(), trial(start)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The least of `x + y` on and outside a circle about the middle of radius 0.3 is at its lower left, `0.5 - 0.3/√2` each, within the half plane `x ≥ 0.1`
    /// and inside the circle.
    #[test]
    fn it_finds_the_least_within_what_is_to_be_kept() {
        let trial = |x: &[f64]| Trial {
            aim: x[0] + x[1],
            kept: vec![0.09 - (x[0] - 0.5).powi(2) - (x[1] - 0.5).powi(2), x[0] - 0.1],
        };
        let (x, found) = descend(&[0.9, 0.6], 0.2, 300, 2, &trial);
        let want = 0.5 - 0.3 / 2.0_f64.sqrt();
        assert!((x[0] - want).abs() < 1e-3 && (x[1] - want).abs() < 1e-3, "{x:?}");
        assert_eq!(found.missed(), 0.0);
    }

    #[test]
    fn a_place_that_keeps_the_wish_is_better_than_any_that_does_not() {
        let keeps = Trial {
            aim: 5.0,
            kept: vec![0.0],
        };
        let misses = Trial {
            aim: 1.0,
            kept: vec![-0.1],
        };
        assert!(keeps.is_better(&misses) && !misses.is_better(&keeps));
        assert!(misses.is_better(&Trial::nowhere(1)));
    }
}
