//! A draft in standard sizes, and what the rounding costs.

use numerics::stop::Stop;

use crate::draft::Draft;
use crate::known::Known;
use crate::measure::measure;
use crate::recipes;
use crate::search::{Found, judged_draft, least};
use crate::sizes::Series;
use crate::wish::{Goal, Wish};

/// Most sizes that are tried both ways; of the others the nearer is taken.
const MOST_TRIED: usize = 6;

/// The draft of a find with every size a preferred one: of all choices of the size below and the one above, the one that keeps the wish with the least of the first aim;
/// where none keeps it, the one that comes nearest. `None` where none fits the space.
#[must_use]
pub fn rounded(wish: &Wish, found: &Found, series: &Series, known: &Known, stop: &Stop) -> Option<Found> {
    let sizes = found.draft.sizes.len().min(MOST_TRIED);
    let first = wish.aims.first().copied()?;
    let mut best: Option<(f64, f64, Draft)> = None;
    for choice in 0..1_usize << sizes {
        if stop.is_set() {
            return None;
        }
        let snap = |index: usize, size: f64| {
            let [low, high] = series.beside(size);
            let up = if index < sizes {
                choice >> index & 1 == 1
            } else {
                high - size < size - low
            };
            if up { high } else { low }
        };
        let Some(draft) = recipes::snapped(found.draft.family, wish, &found.shares, &snap) else {
            continue;
        };
        if !recipes::fits(&draft, &wish.space) {
            continue;
        }
        let Ok(figures) = measure(wish, &draft, known, stop) else {
            continue;
        };
        // What the search saw of the find stands for what was confirmed of it.
        let asked = wish.goal.wanted() * found.figures.value / found.value();
        let short = match wish.goal {
            Goal::Even { tolerance, .. } => {
                let [low, high] = figures.spread;
                (1.0 - tolerance - low).max(high - 1.0 - tolerance).max(0.0)
            }
            _ => (1.0 - figures.value / asked).max(0.0),
        };
        let missed = short + (figures.strain - 1.0).max(0.0);
        let least = least(first, &draft, &figures, wish, known);
        let better = best
            .as_ref()
            .is_none_or(|(other, most, _)| (missed, least) < (*other, *most));
        if better {
            best = Some((missed, least, draft));
        }
    }
    let (_, _, draft) = best?;
    judged_draft(wish, draft, found.shares.clone(), known, stop)
}

#[cfg(test)]
mod tests;
