//! All that is told of a wish: what was found, in standard sizes too, and the limit.

use numerics::stop::Stop;

use crate::ask::Read;
use crate::ceiling::ceiling;
use crate::known::Known;
use crate::round::rounded;
use crate::search::{Effort, Found, Progress, SearchError, search};
use crate::sizes::Series;
use crate::stock::{Shelf, Stock, look};

/// Most drafts that are told of.
pub const MOST_TOLD: usize = 12;
/// How many of them are told in standard sizes, by effort.
const ROUNDED_FIRST: usize = 2;
const ROUNDED_REFINED: usize = MOST_TOLD;

/// A draft that is told of.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    /// The draft as it was found.
    pub found: Found,
    /// The same in standard sizes, where that was looked at.
    pub standard: Option<Found>,
}

/// What is told of a wish.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// The wish as it was read.
    pub read: Read,
    /// How much work it was.
    pub effort: Effort,
    /// What pieces of a shelf do it.
    pub stock: Stock,
    /// The drafts, the best first.
    pub drafts: Vec<Shown>,
    /// The limit of magnets alone, in the unit of the goal.
    pub limit: Option<f64>,
    /// The limit with steel in the space.
    pub steel_limit: Option<f64>,
    /// Name of the series of standard sizes.
    pub series: String,
    /// How many prices the costs were fitted to; 0 where they are invented.
    pub fitted_to: usize,
}

/// Searches a wish, looks along a shelf for it, rounds the best drafts to standard sizes, and finds the limit.
///
/// # Errors
/// As [`search`].
pub fn tell(
    read: &Read,
    known: &Known,
    shelf: &Shelf,
    series: &Series,
    effort: Effort,
    stop: &Stop,
    progress: &(impl Fn(Progress) + Sync),
) -> Result<Told, SearchError> {
    let wish = &read.wish;
    let outcome = search(wish, known, effort, stop, progress)?;
    let stock = look(wish, shelf, known, effort, stop);
    let rounds = match effort {
        Effort::First => ROUNDED_FIRST,
        Effort::Refined => ROUNDED_REFINED,
    };
    let drafts = outcome
        .found
        .into_iter()
        .take(MOST_TOLD)
        .enumerate()
        .map(|(place, found)| {
            let wanted = found.keeps && place < rounds;
            let standard = wanted.then(|| rounded(wish, &found, series, known, stop)).flatten();
            Shown { found, standard }
        })
        .collect();
    if stop.is_set() {
        return Err(SearchError::Stopped);
    }
    let remanence = wish.stuff.remanence;
    Ok(Told {
        read: read.clone(),
        effort,
        stock,
        drafts,
        limit: ceiling(wish, remanence),
        steel_limit: ceiling(wish, remanence.max(known.saturation)),
        series: series.name.clone(),
        fitted_to: known.costs.fitted_to,
    })
}
