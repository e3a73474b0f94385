//! What an order costs, and what rules a build out.

use magnetics::Shape;

use super::Criteria;
use crate::answer::RuledOut;
use crate::check::MOST_STACKED;
use crate::item::Item;
use crate::limits::{self, Piece, Whole};
use crate::predict::{InUse, NotComputable, Prediction};
use crate::rank::Cost;
use crate::{hazards, rules};

impl Criteria<'_> {
    /// What an order of builds of that many pieces costs, and what those cost that share a load.
    pub(crate) fn cost(&self, item: &Item, pieces: u32) -> Cost {
        let one = self.stack(pieces).total_pieces();
        let together = one * u64::from(self.question.need.shared_by());
        let wanted = one * u64::from(self.question.builds());
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

    /// An item by itself, as limits look at it.
    pub(crate) fn piece<'p>(&'p self, prediction: &'p Prediction) -> Piece<'p> {
        let item = prediction.item;
        Piece {
            item,
            grade: prediction.grade,
            coating: prediction.coating,
            wanted: &self.wanted,
            width: item.shape.widest(),
            hole: match item.shape {
                Shape::Ring { inner_diameter, .. } => inner_diameter,
                _ => 0.0,
            },
            priced: !item.prices.is_empty(),
        }
    }

    /// What rules an item out whatever is built of it.
    pub(crate) fn item_rules(&self, prediction: &Prediction) -> Vec<RuledOut> {
        let piece = self.piece(prediction);
        let overhangs = self.question.need.plate_across();
        let overhangs = overhangs.filter(|plate| piece.width > plate + rules::SIZE_SLACK);
        limits::broken_by_item(self.question.terms(), &piece)
            .map(RuledOut::from)
            .chain(overhangs.map(|_| RuledOut::Overhangs { has: piece.width }))
            .collect()
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
        let item = prediction.item;
        let cost = self.cost(item, pieces);
        let whole = Whole {
            pieces,
            height: item.shape.height() * f64::from(pieces),
            mass: self.mass(prediction, pieces),
            each: cost.each,
            total: cost.total,
            stock: &[(item.stock, cost.bought)],
        };
        let mut out: Vec<RuledOut> = limits::broken_by_build(self.question.terms(), &whole)
            .map(RuledOut::from)
            .collect();
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
        let far_off = || Ok(hazards::parcel(&strongest, self.stack(in_use.pieces()))?.high);
        let broken = limits::broken_by_far_field(self.question.terms(), &far_off)?;
        out.extend(broken.into_iter().map(RuledOut::from));
        if let Some(far) = self.far(in_use) {
            let has = far.value()?;
            if !self.keeps_ceiling(has) {
                out.push(RuledOut::TooMuchFar { has });
            }
        }
        Ok(out)
    }
}
