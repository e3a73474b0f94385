//! What an order costs, and what rules a build out.

use super::Criteria;
use crate::answer::RuledOut;
use crate::check::MOST_STACKED;
use crate::item::Item;
use crate::predict::{InUse, NotComputable, Prediction};
use crate::rank::Cost;
use crate::rules::FLIGHT_LIMIT;
use crate::{hazards, rules};

impl Criteria<'_> {
    /// What an order of builds of that many pieces costs; as many builds as share a load are bought together.
    pub(crate) fn cost(&self, item: &Item, pieces: u32) -> Cost {
        let together = self.stack(pieces).total_pieces() * u64::from(self.question.need.shared_by());
        let wanted = together * u64::from(self.question.pieces);
        let bought = wanted.max(item.least_order());
        let price = item.price_each(bought);
        Cost {
            each: price.and_then(|p| p.times(together).ok()),
            total: price.and_then(|p| p.times(bought).ok()),
            bought,
        }
    }

    /// The fewest pieces that are high enough.
    pub(crate) fn fewest_for_height(&self, item: &Item) -> u32 {
        let Some(shortest) = self.question.limits.shortest else {
            return 1;
        };
        let pieces = ((shortest.si() - rules::SIZE_SLACK) / item.shape.height()).ceil();
        if pieces.is_finite() {
            pieces.clamp(1.0, f64::from(MOST_STACKED)) as u32
        } else {
            1
        }
    }

    /// What rules out that many pieces of an item.
    pub(crate) fn build_rules(&self, prediction: &Prediction, pieces: u32) -> Vec<RuledOut> {
        self.build_rules_of(prediction, pieces, &self.in_use(prediction, pieces))
    }

    /// The same, where it is known what the use does to them.
    pub(crate) fn build_rules_of(
        &self,
        prediction: &Prediction,
        pieces: u32,
        in_use: &Result<InUse, NotComputable>,
    ) -> Vec<RuledOut> {
        let limits = &self.question.limits;
        let item = prediction.item;
        let mut out = Vec::new();
        let height = item.shape.height() * f64::from(pieces);
        if pieces > self.stack_limit() {
            out.push(RuledOut::StackTooHigh { pieces });
        }
        if limits.tallest.is_some_and(|t| height > t.si() + rules::SIZE_SLACK) {
            out.push(RuledOut::TooTall { has: height });
        }
        if limits.shortest.is_some_and(|t| height < t.si() - rules::SIZE_SLACK) {
            out.push(RuledOut::TooShort { has: height });
        }
        let mass = self.mass(prediction, pieces);
        if limits.mass.is_some_and(|m| mass > m.si()) {
            out.push(RuledOut::TooHeavy { has: mass });
        }
        let cost = self.cost(item, pieces);
        if let (Some(budget), Some(has)) = (limits.budget_each, cost.each)
            && has > budget
        {
            out.push(RuledOut::OverBudgetEach { has });
        }
        if let (Some(budget), Some(has)) = (limits.budget_total, cost.total)
            && has > budget
        {
            out.push(RuledOut::OverBudgetTotal { has });
        }
        if limits.in_stock
            && let Some(has) = item.stock
            && has < cost.bought
        {
            out.push(RuledOut::NotInStock {
                has,
                needs: cost.bought,
            });
        }
        out.extend(match in_use {
            Ok(in_use) => self.field_rules(in_use),
            Err(_) => vec![RuledOut::NotComputable],
        });
        out
    }

    /// The rules that rest on a computed field.
    pub(crate) fn field_rules(&self, in_use: &InUse) -> Vec<RuledOut> {
        self.field_rules_broken(in_use)
            .unwrap_or_else(|_| vec![RuledOut::NotComputable])
    }

    fn field_rules_broken(&self, in_use: &InUse) -> Result<Vec<RuledOut>, NotComputable> {
        let strongest = in_use.at_coldest(self.coldest);
        strongest.stack()?;
        let mut out = Vec::new();
        let wear = in_use.wear();
        if wear.is_too_much() {
            out.push(RuledOut::PastKnee {
                loss: wear.loss,
                celsius: wear.celsius,
            });
        }
        if self.question.limits.ships_by_air {
            let has = hazards::parcel(&strongest, self.stack(in_use.pieces()))?.high;
            if has > FLIGHT_LIMIT {
                out.push(RuledOut::Flight { has });
            }
        }
        if let Some(far) = self.far(in_use) {
            let has = far.value()?;
            if !self.keeps_ceiling(has) {
                out.push(RuledOut::TooMuchFar { has });
            }
        }
        Ok(out)
    }
}
