//! What may be built of a shelf and its parts, by everything that costs no solve.

use quantity::Money;
use steel::SteelTable;

use super::bound;
use super::fits::{self, Fit};
use super::solved::Named;
use crate::answer::{Candidate, RuledOut};
use crate::criteria::Criteria;
use crate::go_on::GoOn;
use crate::hazards;
use crate::item::Item;
use crate::limits::{self, Piece, Whole};
use crate::part::Part;
use crate::predict::Prediction;
use crate::rank::Cost;
use crate::rules::SIZE_SLACK;

/// The most pieces stacked with a part.
const MOST_PIECES: u32 = 3;

/// A part whose steel is known.
#[derive(Clone, Copy)]
pub(super) struct Usable<'a> {
    pub(super) part: &'a Part,
    pub(super) steel: Named<'a>,
}

impl<'a> Usable<'a> {
    pub(super) fn new(part: &'a Part, steels: &'a SteelTable) -> Option<Self> {
        crate::part::steel_named(steels, &part.steel)?;
        (part.form.fault().is_none()).then_some(())?;
        Some(Self {
            part,
            steel: steels.curve(&part.steel).map(Named::from)?,
        })
    }
}

/// A build that may do, before it is solved.
#[derive(Clone, Copy)]
pub(super) struct Choice<'a> {
    pub(super) prediction: Prediction<'a>,
    pub(super) pieces: u32,
    pub(super) with: Usable<'a>,
    pub(super) fit: Fit,
    /// Magnets and parts together.
    pub(super) cost: Cost,
    pub(super) parts_bought: u64,
    pub(super) mass: f64,
}

impl<'a> Choice<'a> {
    /// Those without a price last, then by price and size.
    pub(super) fn order(&self) -> (bool, Option<Money>, u32, &'a str, &'a str) {
        let codes = (self.prediction.item.code.as_str(), self.with.part.code.as_str());
        (
            self.cost.total.is_none(),
            self.cost.total,
            self.pieces,
            codes.0,
            codes.1,
        )
    }
}

/// What stays the same while the shelf is looked through.
pub(super) struct Look<'a, 's> {
    pub(super) criteria: &'s Criteria<'a>,
    pub(super) plate: Option<Named<'s>>,
    /// Whether such builds are offered only when they win.
    pub(super) offered: bool,
    /// The cheapest bare build that surely does.
    pub(super) beside: Option<&'s Candidate>,
    pub(super) go_on: GoOn<'s>,
}

impl Look<'_, '_> {
    /// What may be built of an item, by everything that costs no solve.
    pub(super) fn options<'b>(&'b self, item: &'b Item, usable: &'b [Usable<'b>]) -> Vec<Choice<'b>> {
        let mut out = Vec::new();
        let most = self.criteria.stack_limit().min(MOST_PIECES);
        // A part makes a magnet wider, and nothing else of its own better.
        let of_magnet = |rule: &RuledOut| !rule.is_limit("/limits/narrowest");
        let may_fit = |with: &Usable| (1..=most).any(|n| fits::fit(&item.shape, n, &with.part.form).is_some());
        if !usable.iter().any(may_fit) {
            return out;
        }
        let Some(prediction) = self.criteria.prediction(item, self.criteria.task) else {
            return out;
        };
        if self.criteria.item_rules(&prediction).iter().any(of_magnet) {
            return out;
        }
        let (state, beside) = prediction.undiminished(1).fitted_middle();
        let sure = Prediction {
            // Steel that saturates hides part of the remanence's range, as in a thin plate.
            task: prediction.task.on_plate(Some(f64::INFINITY)),
            ..prediction
        }
        .surest_part();
        for pieces in 1..=most {
            for with in usable {
                let Some(fit) = fits::fit(&item.shape, pieces, &with.part.form) else {
                    continue;
                };
                let (cost, parts_bought) = self.cost(item, pieces, with.part);
                let mass = hazards::mass_of(item, prediction.grade) * f64::from(pieces) + with.part.mass_each();
                let choice = Choice {
                    prediction,
                    pieces,
                    with: *with,
                    fit,
                    cost,
                    parts_bought,
                    mass,
                };
                if !self.allows(&choice) || !self.may_win(&fit, &cost) {
                    continue;
                }
                let Ok(bound) = bound::at_most(&item.shape, pieces, &with.part.form, &fit, prediction.task, &state)
                else {
                    continue;
                };
                let most = bound * beside;
                let needed = if self.offered { sure } else { 1.0 };
                if most * needed < self.criteria.need.of_mass(mass) {
                    continue;
                }
                out.push(choice);
            }
        }
        out
    }

    /// What an order of builds costs, magnets and parts, and the parts that must be bought.
    fn cost(&self, item: &Item, pieces: u32, part: &Part) -> (Cost, u64) {
        let magnets = self.criteria.cost(item, pieces);
        let together = u64::from(self.criteria.question.need.shared_by());
        let bought = u64::from(self.criteria.question.builds()).max(part.least_order());
        let each = part.price_each(bought);
        let sum = |a: Option<Money>, b: Option<Money>| a?.plus(b?).ok();
        let cost = Cost {
            each: sum(magnets.each, each.and_then(|e| e.times(together).ok())),
            total: sum(magnets.total, each.and_then(|e| e.times(bought).ok())),
            bought: magnets.bought,
        };
        (cost, bought)
    }

    /// Whether a build keeps the limits of the question as a whole.
    fn allows(&self, choice: &Choice) -> bool {
        let Choice {
            prediction,
            pieces,
            with: Usable { part, .. },
            fit,
            cost,
            parts_bought,
            mass,
        } = *choice;
        let criteria = self.criteria;
        let (question, item) = (criteria.question, prediction.item);
        let terms = question.terms();
        let magnet = criteria.piece(&prediction);
        let piece = Piece {
            width: fit.width,
            hole: magnet.hole.min(part.form.hole()),
            priced: magnet.priced && !part.prices.is_empty(),
            ..magnet
        };
        let whole = Whole {
            pieces,
            height: fit.height,
            mass,
            each: cost.each,
            total: cost.total,
            stock: &[(item.stock, cost.bought), (part.stock, parts_bought)],
        };
        // Steel mirrors a magnet at most, so that it is no stronger from afar than two.
        let far_off = || {
            let in_use = criteria.in_use(&prediction, pieces)?;
            let parcel = hazards::parcel(&in_use.at_coldest(criteria.coldest), criteria.stack(pieces))?;
            Ok(2.0 * parcel.high)
        };
        let plate = question.need.plate_across();
        plate.is_none_or(|plate| fit.width <= plate + SIZE_SLACK)
            && limits::broken_by_item(terms, &piece).next().is_none()
            && limits::broken_by_build(terms, &whole).next().is_none()
            && limits::broken_by_far_field(terms, &far_off).is_ok_and(|broken| broken.is_empty())
    }

    /// Whether a build that surely does is worth offering; always where one is asked for.
    fn may_win(&self, fit: &Fit, cost: &Cost) -> bool {
        let Some(bare) = self.beside.filter(|_| self.offered) else {
            return true;
        };
        let smaller = fit.width < bare.item.shape.widest() - SIZE_SLACK || fit.height < bare.height - SIZE_SLACK;
        match (cost.total, bare.cost_total) {
            (Some(cost), Some(least)) => cost < least || (cost == least && smaller),
            (_, None) => smaller,
            (None, Some(_)) => false,
        }
    }
}
