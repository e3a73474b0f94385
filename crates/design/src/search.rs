//! The search: free sizes of each family, so that the wish is kept and what is to be least is.
//!
//! COBYLA (Powell 1994, constrained optimisation by linear approximation) from a few starts of each family. Nothing in it is left to chance: the starts are places of Halton's sequence,
//! and the same wish, effort and version give the same drafts. What is found is confirmed by a better way ([`crate::measure::confirm`]); where that says less than was wished for,
//! the search asks for that much more and goes on from there.

mod descent;
mod one;
mod starts;

use numerics::stop::Stop;
use rayon::prelude::*;
use thiserror::Error;

use crate::cost::Estimate;
use crate::draft::Draft;
use crate::family::Family;
use crate::known::Known;
use crate::measure::{Confirmed, Figures};
use crate::recipes;
use crate::wish::{Aim, Wish, WishError};

pub(crate) use one::least;
pub use one::{judged, judged_draft};

/// How much work a search may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effort {
    /// A first answer, within a few seconds.
    First,
    /// As good as it gets.
    Refined,
}

/// A draft that was found, with all that is known of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The draft.
    pub draft: Draft,
    /// Its free numbers, from which it can be drawn again.
    pub shares: Vec<f64>,
    /// What it does, as the search saw it.
    pub figures: Figures,
    /// What it does, confirmed.
    pub confirmed: Option<Confirmed>,
    /// Mass of all, kg.
    pub mass: f64,
    /// What it may cost.
    pub cost: Estimate,
    /// Whether it does what was wished for.
    pub keeps: bool,
    /// Whether no other that does is at least as good in all that is to be least, and better in one.
    pub in_front: bool,
}

impl Found {
    /// The value that is shown: the confirmed one where there is one.
    #[must_use]
    pub fn value(&self) -> f64 {
        self.confirmed
            .and_then(|confirmed| confirmed.value)
            .unwrap_or(self.figures.value)
    }

    /// What is to be least: m³, kg, money, m or T.
    #[must_use]
    pub fn least(&self, aim: Aim) -> f64 {
        match aim {
            Aim::Volume => self.draft.magnet_volume(),
            Aim::Mass => self.mass,
            Aim::Cost => self.cost.total(),
            Aim::Height => self.draft.height(),
            Aim::Stray => self.figures.stray.unwrap_or(f64::INFINITY),
        }
    }
}

/// How far a search is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// The family that was ended.
    pub family: Family,
    /// How many are done.
    pub done: usize,
    /// Of how many.
    pub of: usize,
}

/// Why a search found nothing.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SearchError {
    /// The wish cannot be looked at.
    #[error(transparent)]
    Wish(#[from] WishError),
    /// The caller stopped it.
    #[error("stopped on request")]
    Stopped,
}

/// What a search found, the best by the first aim first; those that do not do what was wished for behind those that do.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The drafts.
    pub found: Vec<Found>,
    /// The families that were looked at.
    pub families: Vec<Family>,
}

/// Searches all families that serve a wish, on all cores, and tells `progress` of each that is done.
///
/// # Errors
/// [`SearchError`] for a wish that cannot be looked at, and where it was stopped.
pub fn search(
    wish: &Wish,
    known: &Known,
    effort: Effort,
    stop: &Stop,
    progress: &(impl Fn(Progress) + Sync),
) -> Result<Outcome, SearchError> {
    wish.check()?;
    let families: Vec<Family> = recipes::serving(wish).collect();
    if families.is_empty() {
        return Err(WishError::NoFamily.into());
    }
    let done = std::sync::atomic::AtomicUsize::new(0);
    let by_family: Vec<Vec<Found>> = families
        .par_iter()
        .with_max_len(1)
        .map(|&family| {
            let found = one::family(wish, family, known, effort, stop);
            let done = 1 + done.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
            progress(Progress {
                family,
                done,
                of: families.len(),
            });
            found
        })
        .collect();
    if stop.is_set() {
        return Err(SearchError::Stopped);
    }
    let mut found: Vec<Found> = by_family.into_iter().flatten().collect();
    mark_front(&mut found, &wish.aims);
    let first = wish.aims.first().copied().unwrap_or(Aim::Mass);
    found.sort_by(|a, b| {
        let by_aim = a.least(first).total_cmp(&b.least(first));
        let by_value = b.value().total_cmp(&a.value());
        b.keeps.cmp(&a.keeps).then(if a.keeps { by_aim } else { by_value })
    });
    Ok(Outcome { found, families })
}

/// Whether the first is at least as good in everything and better in something.
fn beats(a: &Found, b: &Found, aims: &[Aim]) -> bool {
    let pairs = || aims.iter().map(|&aim| (a.least(aim), b.least(aim)));
    pairs().all(|(a, b)| a <= b) && pairs().any(|(a, b)| a < b)
}

/// Marks those that do what was wished for and that no other of them beats.
fn mark_front(found: &mut [Found], aims: &[Aim]) {
    let beaten: Vec<bool> = found
        .iter()
        .map(|one| found.iter().any(|other| other.keeps && beats(other, one, aims)))
        .collect();
    for (one, beaten) in found.iter_mut().zip(beaten) {
        one.in_front = one.keeps && !beaten;
    }
}

#[cfg(test)]
mod tests;
