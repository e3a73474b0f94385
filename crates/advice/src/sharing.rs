//! Several magnets weighed in place of one: where a load may be shared, the cheapest kind for each number of magnets.
//!
//! A customer who asks for one magnet is often served better by two or four small ones. Each carries an even part of the
//! load, its own weight, and less than it would alone: like poles side by side take from each other.
//!
//! One piece is as strong whatever share it carries. So the search says of every item that keeps its rules what one piece
//! gives, and only what may carry a share is priced and judged, the cheapest first.

use quantity::Money;
use rayon::prelude::*;

use crate::answer::Shared;
use crate::catalogue::Catalogue;
use crate::criteria::Criteria;
use crate::go_on::{GoOn, Stopped, wanted};
use crate::predict::{InUse, NotComputable, Prediction, Task};
use crate::question::{Need, Question};
use crate::rank::{Cost, Found};
use crate::taste;

/// The numbers of magnets that are weighed.
const NUMBERS: [u32; 4] = [2, 3, 4, 6];
/// Part of its pull that a build may lose beside others: on thick steel like poles in a row of three that touch take 16 to
/// 19 % from each other by the mirror image, four up to 21 %, six up to 23 %.
pub(crate) const LOST_SIDE_BY_SIDE: f64 = 0.25;
/// The same on steel that is too thin for one of them: there a row of discs without end that touch took 36 % from each other at
/// worst, which makes 30 % for six (`spatial`, discs of 20 x 5 mm over 0.5 to 3 mm).
const LOST_ON_THIN: f64 = 0.35;

/// Part of its pull that a build may lose beside others in its use.
pub(crate) fn lost_side_by_side(in_use: &InUse) -> f64 {
    let too_thin = match in_use.task {
        Task::Plate {
            thickness: Some(thickness),
            ..
        } => in_use.steel().is_some_and(|steel| thickness < steel.enough),
        _ => false,
    };
    if too_thin { LOST_ON_THIN } else { LOST_SIDE_BY_SIDE }
}

/// One piece of an item that keeps every rule that an item can break.
#[derive(Clone, Copy)]
pub(crate) struct Alone<'s> {
    prediction: Prediction<'s>,
    /// What the low end of its band beside others does not pass.
    low_at_most: f64,
}

impl<'s> Alone<'s> {
    /// One piece that gives so much before its use takes anything.
    pub(crate) fn new(prediction: Prediction<'s>, value: f64) -> Self {
        let low_at_most = value * prediction.surest_part() * (1.0 - LOST_SIDE_BY_SIDE);
        Self {
            prediction,
            low_at_most,
        }
    }
}

/// Whether several may share the load of a question: something is held, the question does not say how many share it, and the
/// plate has no width that they would have to fit.
pub(crate) fn is_open(question: &Question) -> bool {
    matches!(&question.need, Need::Hold { shared_by: 1, steel, .. } if steel.across.is_none())
}

/// For each number of magnets the cheapest kind of which so many surely hold the load, among pieces that were looked at for
/// the question; nothing where [`is_open`] says no.
///
/// # Errors
/// [`Stopped`] where `go_on` said no.
pub(crate) fn shared(
    question: &Question,
    catalogue: &Catalogue,
    alone: &[Alone],
    go_on: GoOn,
) -> Result<Vec<Shared>, Stopped> {
    if !is_open(question) {
        return Ok(Vec::new());
    }
    let among = |by: u32| {
        let mut among = question.clone();
        if let Need::Hold { shared_by, .. } = &mut among.need {
            *shared_by = by;
        }
        // As many in place of each.
        among.pieces = among.pieces.saturating_mul(by);
        cheapest(&Criteria::new(&among, catalogue), alone, go_on).transpose()
    };
    NUMBERS.into_par_iter().filter_map(among).collect()
}

fn cheapest(criteria: &Criteria, alone: &[Alone], go_on: GoOn) -> Result<Option<Shared>, Stopped> {
    let mut priced: Vec<(Money, Cost, &Prediction)> = alone
        .iter()
        .filter(|one| one.low_at_most >= criteria.needed(&one.prediction, 1))
        .filter_map(|Alone { prediction, .. }| {
            let cost = criteria.cost(prediction.item, 1);
            let is_usual = taste::second_choice(criteria.question, criteria.look(prediction, 1, &cost)).is_none();
            Some((cost.total.filter(|_| is_usual)?, cost, prediction))
        })
        .collect();
    priced.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.2.item.code.cmp(&b.2.item.code)));
    for (_, cost, prediction) in priced {
        wanted(go_on)?;
        if let Ok(Some(shared)) = beside(criteria, prediction, cost) {
            return Ok(Some(shared));
        }
    }
    Ok(None)
}

/// One piece beside as many more as share the load, where it surely carries its part.
fn beside(criteria: &Criteria, prediction: &Prediction, cost: Cost) -> Result<Option<Shared>, NotComputable> {
    if !criteria.build_rules(prediction, 1).is_empty() {
        return Ok(None);
    }
    let need = criteria.needed(prediction, 1);
    let in_use = criteria.in_use(prediction, 1)?;
    let kept = 1.0 - lost_side_by_side(&in_use);
    let least = need / kept;
    let low = in_use.low_against(least)?;
    if low < least {
        return Ok(None);
    }
    let item = prediction.item;
    let found = Found {
        item,
        pieces: 1,
        low_if_sure: Some(low),
        cost,
        second_choice: false,
        size: item.shape.widest() * item.shape.height(),
        goal: 0.0,
    };
    Ok(criteria.bare(&found, false).and_then(|candidate| {
        let low = candidate.band.low * kept;
        (low >= need).then_some(Shared {
            by: criteria.question.need.shared_by(),
            candidate,
            need,
            low,
        })
    }))
}

#[cfg(test)]
mod tests;
