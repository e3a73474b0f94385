//! Several magnets weighed in place of one: where a load may be shared, the cheapest kind for each number of magnets.
//!
//! A customer who asks for one magnet is often served better by two or four small ones. Each carries an even part of the
//! load, its own weight, and less than it would alone: like poles side by side take from each other.

use quantity::Money;
use rayon::prelude::*;

use crate::answer::Shared;
use crate::catalogue::Catalogue;
use crate::criteria::Criteria;
use crate::item::Item;
use crate::question::{Need, Question};
use crate::rank::Found;
use crate::taste;

/// The numbers of magnets that are weighed.
const NUMBERS: [u32; 4] = [2, 3, 4, 6];
/// Part of its pull that a build keeps at worst beside others: like poles in a row take 8 to 20 % from each other.
pub(crate) const KEPT_SIDE_BY_SIDE: f64 = 0.8;

/// For each number of magnets the cheapest kind of which so many surely hold the load; nothing where the question says how
/// many share it, where nothing is held, or where the plate has a width that they would have to fit.
pub(crate) fn shared(question: &Question, shelf: &[Item], catalogue: &Catalogue) -> Vec<Shared> {
    let among = |by: u32| {
        let mut among = question.clone();
        match &mut among.need {
            Need::Hold { shared_by, steel, .. } if *shared_by == 1 && steel.across.is_none() => *shared_by = by,
            _ => return None,
        }
        cheapest(&Criteria::new(&among, catalogue), shelf)
    };
    NUMBERS.into_par_iter().filter_map(among).collect()
}

fn cheapest(criteria: &Criteria, shelf: &[Item]) -> Option<Shared> {
    let mut priced: Vec<(Money, &Item)> = shelf
        .par_iter()
        .filter_map(|item| Some((criteria.cost(item, 1).total?, item)))
        .collect();
    priced.par_sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.code.cmp(&b.1.code)));
    priced.into_iter().find_map(|(_, item)| beside(criteria, item))
}

/// One piece of an item beside as many more as share the load, where it surely carries its part.
fn beside(criteria: &Criteria, item: &Item) -> Option<Shared> {
    let by = criteria.question.need.shared_by();
    let prediction = criteria.prediction(item, criteria.task)?;
    let need = criteria.needed(&prediction, 1);
    let cost = criteria.cost(item, 1);
    let bound = prediction.at_most(1).ok()?;
    if bound * KEPT_SIDE_BY_SIDE < need
        || taste::second_choice(&criteria.question.limits, item, 1, cost.bought).is_some()
        || !criteria.item_rules(&prediction).is_empty()
        || !criteria.build_rules(&prediction, 1).is_empty()
    {
        return None;
    }
    let found = Found {
        item,
        pieces: 1,
        low_if_sure: criteria.low_if_sure(&prediction, 1).ok()?,
        cost,
        second_choice: false,
        size: item.shape.widest() * item.shape.height(),
        goal: 0.0,
    };
    found.low_if_sure?;
    let candidate = criteria.bare(&found, false)?;
    let low = candidate.band.low * KEPT_SIDE_BY_SIDE;
    (low >= need).then_some(Shared {
        by,
        candidate,
        need,
        low,
    })
}

#[cfg(test)]
mod tests;
