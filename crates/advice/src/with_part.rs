//! Builds with a steel part of the shelf: a back-plate, a cup, a pole tip.
//!
//! Each is solved by finite elements, ten milliseconds a solve, so the shelf is thinned first: by which part goes with
//! which magnet ([`fits`]), by the limits of the question, by the price, and by a bound on the value ([`bound`]). What is
//! left is solved in the order of its price until as many as are shown will surely do, at most [`MOST_SOLVED`]. Of these
//! the band is found ([`crate::predict`]), and the curve against the gap with the part and without.
//!
//! Where the question does not say, such builds are offered when they win: when nothing bare surely does, or when they
//! are cheaper than the cheapest bare build that surely does, or narrower or lower at no more than its price. Where it
//! asks for a part, the cheapest are shown, whether they win or not.

mod bound;
mod fits;
mod solved;

use std::collections::{HashMap, HashSet};

use quantity::Money;
use rayon::prelude::*;
use steel::SteelTable;
use uncertainty::Band;

use crate::answer::{Answer, Build, Candidate, CurvePoint, RuledOut, Verdict, WithPart};
use crate::catalogue::Catalogue;
use crate::criteria::Criteria;
use crate::hazards;
use crate::item::Item;
use crate::limits::{self, Piece, Whole};
use crate::part::Part;
use crate::predict::{InUse, NotComputable, Prediction, State, Task};
use crate::question::Steelwork;
use crate::rank::Cost;
use crate::reasons;
use crate::rules::SIZE_SLACK;
use crate::search::Built;
use fits::Fit;
use solved::{Named, Setting};

/// The most builds that are shown.
pub const MOST_SHOWN: usize = 4;
/// The most builds whose value is solved for a question.
pub const MOST_SOLVED: usize = 96;
/// The most builds whose band is found, some ten solves each.
pub const MOST_BANDS: usize = 12;
/// The most pieces stacked with a part.
const MOST_PIECES: u32 = 3;
/// Builds solved at once, between looks at what was found.
const AT_ONCE: usize = 4;
/// The most builds shown with one part.
const MOST_OF_A_PART: usize = 2;
/// Distances of the curve, as shares of the farthest.
const PLACES: [f64; 7] = [0.0, 0.02, 0.06, 0.14, 0.3, 0.6, 1.0];
/// The curve goes so far, as a share of the magnet's diameter, or to this multiple of the gap or distance asked.
const FARTHEST: f64 = 0.3;
const FARTHEST_MULTIPLE: f64 = 2.0;

/// The builds with steel parts that go with an answer, the cheapest first, sure ones before the others.
///
/// Empty where the need has no use for steel, the question wants none, or none wins. Parts of a steel that the table does
/// not know, and magnets of materials that it does not, are left out.
pub fn find(answer: &Answer, shelf: &[Item], parts: &[Part], catalogue: &Catalogue) -> Vec<Candidate> {
    let question = &answer.question;
    let wanted = question.limits.steelwork;
    let serves: Vec<Steelwork> = match wanted {
        Some(one) => vec![one],
        None => question.need.steelwork().to_vec(),
    };
    let usable: Vec<Usable> = parts
        .iter()
        .filter(|part| serves.contains(&part.form.steelwork()))
        .filter_map(|part| Usable::new(part, &catalogue.steels))
        .collect();
    if usable.is_empty() {
        return Vec::new();
    }
    let criteria = Criteria::new(question, catalogue);
    let look = Look {
        criteria: &criteria,
        plate: plate(&criteria, &catalogue.steels),
        offered: wanted.is_none(),
        beside: answer.best_bare(),
    };
    let mut options: Vec<Choice> = shelf
        .par_iter()
        .flat_map_iter(|item| look.options(item, &usable))
        .collect();
    options.sort_by(|a, b| a.order().cmp(&b.order()));
    look.choose(&options)
}

/// The steel that is held on.
fn plate<'a>(criteria: &Criteria, steels: &'a SteelTable) -> Option<Named<'a>> {
    let Task::Plate { law: Some(law), .. } = criteria.task else {
        return None;
    };
    steels.curve(law.curve()).map(named)
}

fn named(found: &steel::NamedCurve) -> Named<'_> {
    Named {
        name: &found.name,
        curve: &found.curve,
    }
}

/// A part whose steel is known.
#[derive(Clone, Copy)]
struct Usable<'a> {
    part: &'a Part,
    steel: Named<'a>,
}

impl<'a> Usable<'a> {
    fn new(part: &'a Part, steels: &'a SteelTable) -> Option<Self> {
        crate::part::steel_named(steels, &part.steel)?;
        (part.form.fault().is_none()).then_some(())?;
        Some(Self {
            part,
            steel: steels.curve(&part.steel).map(named)?,
        })
    }
}

/// A build that may do, before it is solved.
#[derive(Clone, Copy)]
struct Choice<'a> {
    prediction: Prediction<'a>,
    pieces: u32,
    with: Usable<'a>,
    fit: Fit,
    /// Magnets and parts together.
    cost: Cost,
    parts_bought: u64,
    mass: f64,
}

impl<'a> Choice<'a> {
    /// Those without a price last, then by price and size.
    fn order(&self) -> (bool, Option<Money>, u32, &'a str, &'a str) {
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

/// A build that does, with its band.
struct Found<'a> {
    choice: &'a Choice<'a>,
    in_use: InUse<'a>,
    verdict: Verdict,
    band: Band,
    far: Option<Band>,
}

/// What stays the same while the shelf is looked through.
struct Look<'a, 's> {
    criteria: &'s Criteria<'a>,
    plate: Option<Named<'s>>,
    /// Whether such builds are offered only when they win.
    offered: bool,
    /// The cheapest bare build that surely does.
    beside: Option<&'s Candidate>,
}

impl Look<'_, '_> {
    /// What may be built of an item, by everything that costs no solve.
    fn options<'b>(&'b self, item: &'b Item, usable: &'b [Usable<'b>]) -> Vec<Choice<'b>> {
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

    /// Solves in the order given until enough surely do.
    fn choose<'b>(&self, options: &'b [Choice<'b>]) -> Vec<Candidate> {
        let (mut sure, mut middle): (Vec<Found<'b>>, Vec<Found<'b>>) = (Vec::new(), Vec::new());
        let mut seen = Seen::default();
        let (mut solved, mut bands) = (0, 0);
        let mut rest = options;
        while sure.len() < MOST_SHOWN && solved < MOST_SOLVED && bands < MOST_BANDS && !rest.is_empty() {
            let mut batch = Vec::new();
            while batch.len() < AT_ONCE.min(MOST_SOLVED - solved) {
                let Some((next, more)) = rest.split_first() else { break };
                rest = more;
                if seen.allows(next) {
                    batch.push(next);
                }
            }
            solved += batch.len();
            let values: Vec<Result<(InUse, f64), NotComputable>> =
                batch.par_iter().map(|choice| self.solve(choice)).collect();
            for (choice, found) in batch.into_iter().zip(values) {
                let Some((in_use, value)) = found.ok().filter(|(_, value)| *value >= self.needed(choice)) else {
                    continue;
                };
                let may_be_sure = sure.len() < MOST_SHOWN && seen.allows(choice) && self.may_be_sure(choice, value);
                if bands == MOST_BANDS || !(may_be_sure || (!self.offered && middle.len() < MOST_SHOWN)) {
                    continue;
                }
                bands += 1;
                let Ok(Some(found)) = self.judge(choice, in_use) else {
                    continue;
                };
                if found.verdict == Verdict::Middle {
                    middle.push(found);
                } else if sure.len() < MOST_SHOWN && seen.allows(choice) {
                    seen.note(choice);
                    sure.push(found);
                }
            }
        }
        if self.offered {
            middle.clear();
        }
        middle.truncate(MOST_SHOWN - sure.len());
        sure.extend(middle);
        sure.into_par_iter()
            .filter_map(|found| self.candidate(found).ok())
            .collect()
    }

    /// Whether the low end of a band about that value could reach the need.
    fn may_be_sure(&self, choice: &Choice, value: f64) -> bool {
        let saturated = Prediction {
            task: choice.prediction.task.on_plate(Some(f64::INFINITY)),
            ..choice.prediction
        };
        value * saturated.surest_part() >= self.needed(choice)
    }

    /// What a build must reach, its own weight included.
    fn needed(&self, choice: &Choice) -> f64 {
        self.criteria.need.of_mass(choice.mass)
    }

    /// The value at the middle with what its use leaves of the magnet.
    fn solve<'b>(&self, choice: &Choice<'b>) -> Result<(InUse<'b>, f64), NotComputable> {
        // Steel at a magnet eases its own field: what a bare stack keeps is kept.
        let in_use = self.criteria.in_use(&choice.prediction, choice.pieces)?;
        if in_use.wear().is_too_much() {
            return Ok((in_use, 0.0));
        }
        let (state, beside) = in_use.fitted_middle();
        let value = self.setting(choice, in_use.task, true).value(&state)? * beside;
        Ok((in_use, value))
    }

    fn setting<'b>(&'b self, choice: &Choice<'b>, task: Task, with_part: bool) -> Setting<'b> {
        Setting {
            shape: &choice.prediction.item.shape,
            pieces: choice.pieces,
            permeability: choice.prediction.grade.recoil_permeability,
            part: with_part.then_some((&choice.with.part.form, choice.with.steel)),
            rim: choice.fit.rim,
            plate: self.plate,
            task,
        }
    }

    /// The band of a build and whether it surely does; `None` where it is too strong further away.
    fn judge<'b>(&self, choice: &'b Choice<'b>, in_use: InUse<'b>) -> Result<Option<Found<'b>>, NotComputable> {
        let criteria = self.criteria;
        let part = choice.with.part;
        let is_cup = part.form.steelwork() == Steelwork::Cup;
        let rim_tolerance = if is_cup { part.tolerance.si() } else { 0.0 };
        let band_of = |in_use: &InUse| {
            let setting = self.setting(choice, in_use.task, true);
            in_use.fitted_band(rim_tolerance, |state| setting.value(state))
        };
        let band = band_of(&in_use)?;
        let far = criteria.far(&in_use).map(|far| band_of(&far)).transpose()?;
        let ceiling = far.as_ref().zip(criteria.need.ceiling);
        if ceiling.is_some_and(|(far, ceiling)| far.mid > ceiling) {
            return Ok(None);
        }
        let (verdict, _) = criteria.judged(&band, far.as_ref(), choice.mass);
        Ok(Some(Found {
            choice,
            in_use,
            verdict,
            band,
            far,
        }))
    }

    /// A build with all that the answer says of it.
    fn candidate(&self, found: Found) -> Result<Candidate, NotComputable> {
        let Found {
            choice,
            in_use,
            band,
            far,
            ..
        } = found;
        let criteria = self.criteria;
        let (state, beside) = in_use.fitted_middle();
        let curve = self.curve(choice, &in_use)?;
        let contact = match in_use.task {
            Task::Plate { friction, .. } => curve.first().map(|p| p.with / friction.map_or(1.0, |[_, mu, _]| mu)),
            _ => None,
        };
        let built = Built {
            build: Build {
                stack: criteria.stack(choice.pieces),
                part: Some(choice.with.part.clone()),
            },
            cost: choice.cost,
            mass: choice.mass,
            width: choice.fit.width,
            height: choice.fit.height,
            because: reasons::of_use(criteria, &in_use, choice.mass, choice.cost.bought, far.as_ref()),
            with_part: Some(WithPart {
                bare: self.setting(choice, in_use.task, false).value(&state)? * beside,
                curve,
                contact,
                parts_bought: choice.parts_bought,
                rim: choice.fit.rim,
            }),
            band,
            far,
        };
        criteria.candidate(&in_use, built)
    }

    /// The value against the gap or the distance, with the part and without; the place asked is among them.
    fn curve(&self, choice: &Choice, in_use: &InUse) -> Result<Vec<CurvePoint>, NotComputable> {
        let asked = in_use.task.distance();
        let farthest = (FARTHEST * in_use.item.shape.widest()).max(FARTHEST_MULTIPLE * asked);
        let mut places: Vec<f64> = PLACES.iter().map(|share| share * farthest).collect();
        if places.iter().all(|at| (at - asked).abs() > SIZE_SLACK) {
            places.push(asked);
        }
        places.sort_by(f64::total_cmp);
        places
            .par_iter()
            .map(|&at| {
                let there = in_use.at_distance(at);
                let (state, beside): (State, f64) = there.fitted_middle();
                let value = |part: bool| self.setting(choice, there.task, part).value(&state);
                Ok(CurvePoint {
                    at,
                    with: value(true)? * beside,
                    bare: value(false)? * beside,
                })
            })
            .collect()
    }
}

/// What is shown already, so that it is not shown over and over in other words.
#[derive(Default)]
struct Seen<'a> {
    stacks: HashSet<(&'a str, u32)>,
    parts: HashMap<&'a str, usize>,
}

impl<'a> Seen<'a> {
    fn allows(&self, choice: &Choice<'a>) -> bool {
        let stack = (choice.prediction.item.code.as_str(), choice.pieces);
        let times = self.parts.get(choice.with.part.code.as_str()).copied().unwrap_or(0);
        !self.stacks.contains(&stack) && times < MOST_OF_A_PART
    }

    fn note(&mut self, choice: &Choice<'a>) {
        let stack = (choice.prediction.item.code.as_str(), choice.pieces);
        self.stacks.insert(stack);
        *self.parts.entry(choice.with.part.code.as_str()).or_default() += 1;
    }
}

#[cfg(test)]
mod tests;
