//! Goods that are named beside an answer, since the pull that their maker states is enough; stated, not computed.

use quantity::Money;

use crate::answer::{NeedFigure, Predicted};
use crate::goods::{Goods, StatedOffer};
use crate::question::{Direction, Limits, Need, Question, SteelPart, Steelwork};

/// Steel from here on is as thick as that on which makers measure, m: common practice, no source.
const THICK: f64 = 10e-3;
/// So many are named beside an answer.
const MOST_NAMED: usize = 3;

/// The goods that hold what is asked by their stated pull, cheapest first, at most three. Only a load that pulls straight off is
/// weighed so: along the steel a stated pull says too little. Limits that cannot be judged of them rule them out.
pub fn offered(question: &Question, need: &NeedFigure, goods: &[Goods]) -> Vec<StatedOffer> {
    let Need::Hold {
        direction,
        steel,
        layers,
        ..
    } = &question.need
    else {
        return Vec::new();
    };
    if *direction == Direction::Sideways || need.quantity != Predicted::Force || steel.across.is_some() {
        return Vec::new();
    }
    let less = steel.thickness.is_some_and(|thickness| thickness.0 < THICK)
        || !layers.is_empty()
        || steel.material != SteelPart::default().material;
    let by = question.need.shared_by();
    let mut offers: Vec<StatedOffer> = goods
        .iter()
        .filter(|goods| keeps(goods, question))
        .filter_map(|goods| {
            let pull = goods.stated_pull?.0;
            let needed = need.of_mass(goods.mass.map_or(0.0, |mass| mass.0));
            let pieces = u64::from(question.pieces).max(goods.least_order());
            let each = goods.price_each(pieces);
            let offer = StatedOffer {
                goods: goods.clone(),
                pull,
                need: needed,
                cost_each: each.and_then(|each| each.times(u64::from(by)).ok()),
                cost_total: each.and_then(|each| each.times(pieces).ok()),
                takes_less: less,
            };
            (pull >= needed && within_budget(&offer, &question.limits)).then_some(offer)
        })
        .collect();
    offers.sort_by(|a, b| {
        let key = |offer: &StatedOffer| (offer.cost_total.is_none(), offer.cost_total);
        key(a).cmp(&key(b)).then_with(|| a.goods.code.cmp(&b.goods.code))
    });
    offers.truncate(MOST_NAMED);
    offers
}

fn within_budget(offer: &StatedOffer, limits: &Limits) -> bool {
    let under = |limit: Option<Money>, cost: Option<Money>| limit.is_none_or(|most| cost.is_some_and(|c| c <= most));
    under(limits.budget_each, offer.cost_each) && under(limits.budget_total, offer.cost_total)
}

/// Whether goods keep the limits and conditions, as far as the list tells; what it does not tell counts as broken.
fn keeps(goods: &Goods, question: &Question) -> bool {
    let Limits {
        widest,
        narrowest,
        tallest,
        shortest,
        ref shapes,
        hole,
        countersunk,
        ref grades,
        ref coating,
        without_nickel,
        stack: _,
        mass,
        budget_each: _,
        budget_total: _,
        in_stock,
        ships_by_air,
        steelwork,
        goal: _,
    } = question.limits;
    let at_most = |limit: Option<f64>, has: Option<f64>| limit.is_none_or(|most| has.is_some_and(|has| has <= most));
    let at_least = |limit: Option<f64>, has: Option<f64>| limit.is_none_or(|least| has.is_some_and(|has| has >= least));
    let across = goods.sizes.widest();
    let untold = countersunk
        || without_nickel
        || ships_by_air
        || hole.is_some()
        || coating.is_some()
        || !shapes.is_empty()
        || !grades.is_empty()
        || question.conditions.warmest.is_some()
        || question.conditions.coldest.is_some();
    let by_steelwork = match steelwork {
        None => true,
        Some(Steelwork::Cup) => goods.goods.is_pot(),
        Some(_) => false,
    };
    !untold
        && by_steelwork
        && at_most(widest.map(|l| l.0), across)
        && at_least(narrowest.map(|l| l.0), across)
        && at_most(tallest.map(|l| l.0), goods.sizes.thickness)
        && at_least(shortest.map(|l| l.0), goods.sizes.thickness)
        && at_most(mass.map(|m| m.0), goods.mass.map(|m| m.0))
        && (!in_stock || goods.stock.is_some_and(|stock| stock >= u64::from(question.pieces)))
}

#[cfg(test)]
mod tests;
