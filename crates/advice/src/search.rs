//! From a question and a shelf to ranked candidates.
//!
//! Every item is looked at on its own, in parallel: the rules first, which cost next to nothing, then the fewest pieces
//! that meet the need in the middle of the band, then the fewest that surely do. More pieces than that cost more and
//! stand taller, so they are never the better answer. Quick bounds ([`Prediction::at_most`],
//! [`Prediction::surest_part`]) spare the exact value and the band where they cannot decide, and a band that is far from the
//! need is left rough; neither changes what is found, nor whether it surely does.

use rayon::prelude::*;
use uncertainty::Band;

use crate::answer::{Answer, Build, Candidate, Reason, RuledOut, Searched, ShelfStamp, Verdict, WithPart};
use crate::catalogue::Catalogue;
use crate::check::{MOST_STACKED, check};
use crate::criteria::Criteria;
use crate::go_on::{GoOn, NoAnswer, Stopped, wanted};
use crate::hazards::{self, Placement};
use crate::item::Item;
use crate::limits::FARTHEST;
use crate::need::assumed;
use crate::predict::{InUse, NotComputable, Prediction, Task};
use crate::question::{Goal, Need, Question};
use crate::rank::{self, Cost, Found, Missed};
use crate::reasons;
use crate::sharing::{self, Alone};
use crate::shortfall;
use crate::taste;
use crate::warnings;

/// Answers a question from a shelf, as long as the answer is wanted: that is asked at every item.
///
/// # Errors
/// [`NoAnswer`] when the question cannot be answered as it stands, or is not wanted any more. Items whose grade or coating the catalogue does
/// not know, or whose sizes do not make a magnet, are left out; import does not let them in.
pub fn answer(
    question: &Question,
    shelf: &[Item],
    catalogue: &Catalogue,
    stamp: ShelfStamp,
    go_on: GoOn,
) -> Result<Answer, NoAnswer> {
    check(question, catalogue)?;
    let criteria = Criteria::new(question, catalogue);
    let looked = shelf.par_iter().map(|item| {
        wanted(go_on)?;
        Ok(criteria.look_at(item))
    });
    let outcomes: Vec<Outcome> = looked.collect::<Result<_, Stopped>>()?;

    let mut searched = Searched {
        items: shelf.len(),
        ..Searched::default()
    };
    let (mut found, mut missed, mut alone) = (Vec::new(), Vec::new(), Vec::new());
    for outcome in outcomes {
        searched.builds += outcome.builds;
        searched.too_hot += usize::from(outcome.too_hot);
        searched.past_knee += usize::from(outcome.past_knee);
        found.extend(outcome.found);
        missed.extend(outcome.missed);
        alone.extend(outcome.alone);
    }
    searched.sure = found.iter().filter(|f| f.verdict() == Verdict::Sure).count();
    searched.middle = found.len() - searched.sure;

    let unbeaten = rank::unbeaten(&found);
    let shown = rank::pick(&rank::order(&found), &found, &unbeaten);
    let near_misses = rank::near_misses(missed);
    let shortfall = match searched.sure {
        0 => Some(shortfall::shortfall(&criteria, shelf, &near_misses, go_on)?),
        _ => None,
    };
    let shared = sharing::shared(question, catalogue, &alone, go_on)?;
    wanted(go_on)?;
    Ok(Answer {
        question: question.clone(),
        assumed: assumed(question),
        shelf: stamp,
        need: criteria.need,
        candidates: shown
            .into_par_iter()
            .filter_map(|k| criteria.bare(&found[k], unbeaten[k]))
            .collect(),
        shared,
        near_misses,
        shortfall,
        searched,
        stated: Vec::new(),
        parts_searched: false,
    })
}

/// The main value of a question for one item; `None` where its grade or coating is not known.
pub fn prediction<'a>(question: &'a Question, item: &'a Item, catalogue: &'a Catalogue) -> Option<Prediction<'a>> {
    let criteria = Criteria::new(question, catalogue);
    criteria.prediction(item, criteria.task)
}

/// What came of one item.
#[derive(Default)]
struct Outcome<'s> {
    builds: usize,
    /// Whether its grade or coating is not rated for the heat.
    too_hot: bool,
    /// Whether it would lose too much of its strength permanently, and does all else.
    past_knee: bool,
    /// The fewest pieces that do in the middle, and the fewest that surely do.
    found: Vec<Found<'s>>,
    missed: Option<Missed<'s>>,
    /// One piece of it, where several may share the load.
    alone: Option<Alone<'s>>,
}

impl<'a> Criteria<'a> {
    fn look_at<'s>(&self, item: &'s Item) -> Outcome<'s>
    where
        'a: 's,
    {
        let Some(prediction) = self.prediction(item, self.task) else {
            return Outcome::default();
        };
        let mut broken = self.item_rules(&prediction);
        let builds = if broken.is_empty() {
            self.stack_limit() as usize
        } else {
            0
        };
        let mut outcome = Outcome {
            builds,
            too_hot: broken.iter().any(|rule| rule.is_limit("/conditions/warmest")),
            ..Outcome::default()
        };
        let far_off = |rule: &RuledOut| rule.distance(self.question, &self.need).is_none();
        if broken.len() > 1 || broken.iter().any(far_off) {
            return outcome;
        }
        let least = self.fewest_for_height(item);
        let of_least = prediction.undiminished(least).value();
        if least == 1 && broken.is_empty() && sharing::is_open(self.question) {
            outcome.alone = of_least.as_ref().ok().map(|&value| Alone::new(prediction, value));
        }
        let Some(fewest) = self.fewest(&prediction, least, of_least) else {
            if broken.is_empty() {
                outcome.missed = self.too_weak(&prediction);
            }
            return outcome;
        };
        let (pieces, build_rules) = self.that_keep_their_strength(&prediction, fewest);
        outcome.past_knee = broken.is_empty() && matches!(build_rules[..], [RuledOut::PastKnee { .. }]);
        broken.extend(build_rules);
        match broken.len() {
            0 => outcome.found = self.judge(&prediction, pieces),
            1 => {
                let value = self.in_use(&prediction, pieces).and_then(|in_use| in_use.value());
                outcome.missed = broken
                    .pop()
                    .and_then(|rule| self.missed(item, pieces, value.ok()?, rule));
            }
            // With fewer pieces it may only be too weak.
            _ => {
                if self.item_rules(&prediction).is_empty() {
                    outcome.missed = self.too_weak(&prediction);
                }
            }
        }
        outcome
    }

    fn missed<'s>(&self, item: &'s Item, pieces: u32, value: f64, by: RuledOut) -> Option<Missed<'s>> {
        let distance = by.distance(self.question, &self.need)?;
        Some(Missed {
            item,
            build: self.stack(pieces),
            value,
            by,
            distance,
        })
    }

    /// The miss of an item that keeps every rule and is only too weak.
    fn too_weak<'s>(&self, prediction: &Prediction<'s>) -> Option<Missed<'s>> {
        let near = self.needed(prediction, 1) * (-FARTHEST).exp();
        if self.bound_on_strength(prediction).ok()? < near {
            return None;
        }
        let (pieces, value) = self.strongest(prediction)?;
        let reaches = value / self.needed(prediction, pieces);
        (reaches < 1.0).then(|| self.missed(prediction.item, pieces, value, RuledOut::TooWeak { reaches }))?
    }

    /// The fewest pieces that are high enough and reach the need at the middle; `least` are high enough and give `of_least`.
    fn fewest(&self, prediction: &Prediction, least: u32, of_least: Result<f64, NotComputable>) -> Option<u32> {
        let reaches = |value: Result<f64, NotComputable>, need: f64| value.is_ok_and(|value| value >= need);
        let does = |n: &u32| reaches(prediction.undiminished(*n).value(), self.needed(prediction, *n));
        if reaches(of_least, self.needed(prediction, least)) {
            return Some(least);
        }
        if !prediction.rises() {
            return (least + 1..=MOST_STACKED).find(does);
        }
        // More pieces weigh more: what a stack needs at least is what the lowest needs.
        let lightest = self.needed(prediction, least);
        let may = |n: u32| reaches(prediction.at_most(n), lightest);
        if !may(MOST_STACKED) {
            return None;
        }
        let (mut low, mut high) = (least + 1, MOST_STACKED);
        while low < high {
            let middle = low.midpoint(high);
            if may(middle) { high = middle } else { low = middle + 1 }
        }
        (low..=MOST_STACKED).find(does)
    }

    /// The fewest pieces from `pieces` on that keep enough of their strength, with the rules that they break; a taller stack
    /// demagnetises itself less.
    fn that_keep_their_strength(&self, prediction: &Prediction, pieces: u32) -> (u32, Vec<RuledOut>) {
        let judged = |n: u32| {
            let in_use = self.in_use(prediction, n);
            let broken = self.build_rules_of(prediction, n, &in_use);
            let value = in_use.and_then(|in_use| in_use.value());
            (broken, value.map(|value| value / self.needed(prediction, n)))
        };
        let (mut broken, reaches) = judged(pieces);
        let Ok(reaches) = reaches else {
            return (pieces, vec![RuledOut::NotComputable]);
        };
        if broken.is_empty() && reaches >= 1.0 {
            return (pieces, broken);
        }
        if matches!(broken[..], [] | [RuledOut::PastKnee { .. }]) {
            let does = |n: &u32| matches!(judged(*n), (broken, Ok(reaches)) if broken.is_empty() && reaches >= 1.0);
            if let Some(more) = (pieces + 1..=MOST_STACKED).find(does) {
                return (more, Vec::new());
            }
        }
        if reaches < 1.0 && !matches!(broken[..], [RuledOut::PastKnee { .. }]) {
            broken.push(RuledOut::TooWeak { reaches });
        }
        (pieces, broken)
    }

    /// From the fewest pieces that do in the middle: those, and the fewest that surely do.
    fn judge<'s>(&self, prediction: &Prediction<'s>, pieces: u32) -> Vec<Found<'s>> {
        let item = prediction.item;
        let build = |pieces: u32, low_if_sure: Option<f64>| {
            let size = item.shape.widest() * item.shape.height() * f64::from(pieces);
            let cost = self.cost(item, pieces);
            Found {
                item,
                pieces,
                low_if_sure,
                second_choice: taste::second_choice(self.question, self.look(prediction, pieces, &cost)).is_some(),
                cost,
                size,
                goal: self.goal(prediction, pieces, size, low_if_sure),
            }
        };
        let low_if_sure = |n: u32| self.low_if_sure(prediction, n).ok().flatten();
        if let Some(low) = low_if_sure(pieces) {
            return vec![build(pieces, Some(low))];
        }
        let mut out = vec![build(pieces, None)];
        let (bound, need) = (prediction.at_most(self.stack_limit()), self.needed(prediction, pieces));
        let never_sure = prediction.rises() && bound.is_ok_and(|bound| bound * prediction.surest_part() < need);
        if !never_sure {
            let sure = (pieces + 1..=self.stack_limit())
                .take_while(|&n| self.build_rules(prediction, n).is_empty())
                .find_map(|n| Some(build(n, Some(low_if_sure(n)?))));
            out.extend(sure);
        }
        out
    }

    /// What is wanted most of a build, the less of it the better.
    fn goal(&self, prediction: &Prediction, pieces: u32, size: f64, low_if_sure: Option<f64>) -> f64 {
        match self.question.limits.goal {
            None | Some(Goal::Cheapest) => 0.0,
            Some(Goal::Smallest) => size,
            Some(Goal::Thinnest) => prediction.item.shape.height() * f64::from(pieces),
            Some(Goal::Lightest) => self.mass(prediction, pieces),
            Some(Goal::Strongest) => -low_if_sure.unwrap_or(0.0),
        }
    }

    /// A bare build with all that the answer says of it; `None` only for an item that could not have been found.
    pub(crate) fn bare(&self, found: &Found, unbeaten: bool) -> Option<Candidate> {
        let item = found.item;
        let prediction = self.prediction(item, self.task)?;
        let in_use = self.in_use(&prediction, found.pieces).ok()?;
        let far = self.far_band(&in_use).ok()?;
        let stack = self.stack(found.pieces);
        let built = Built {
            build: Build::bare(stack),
            band: in_use.band().ok()?,
            cost: found.cost,
            mass: self.mass(&prediction, found.pieces),
            width: item.shape.widest(),
            height: item.shape.height() * f64::from(found.pieces),
            because: reasons::of_bare(self, &in_use, found, far.as_ref()).ok()?,
            far,
            with_part: None,
        };
        Some(Candidate {
            unbeaten,
            ..self.candidate(&in_use, built).ok()?
        })
    }

    /// A build, bare or with a part, with all that the answer says of it.
    ///
    /// # Errors
    /// [`NotComputable`] where its hazards are.
    pub(crate) fn candidate(&self, in_use: &InUse, built: Built) -> Result<Candidate, NotComputable> {
        let opposed = matches!(self.question.need, Need::PushApart { .. });
        let used = Placement {
            on_steel: matches!(self.task, Task::Plate { .. }) || built.with_part.is_some(),
            opposed: opposed.then_some(self.celsius),
        };
        let (verdict, chance) = self.judged(&built.band, built.far.as_ref(), built.mass);
        let (pieces, stack) = (built.build.pieces, built.build.stack);
        Ok(Candidate {
            verdict,
            chance,
            cost_each: built.cost.each,
            cost_total: built.cost.total,
            pieces_bought: built.cost.bought,
            mass: built.mass,
            width: built.width,
            height: built.height,
            unbeaten: false,
            because: built.because,
            hazards: hazards::of_build(&in_use.at_coldest(self.coldest), stack, self.question.builds(), used)?,
            warnings: warnings::warnings(in_use, pieces, &self.question.conditions),
            item: in_use.item.clone(),
            build: built.build,
            band: built.band,
            far: built.far,
            with_part: built.with_part,
            detail: None,
        })
    }
}

/// A build whose value is known.
pub(crate) struct Built {
    pub build: Build,
    pub band: Band,
    /// The band further away, where a ceiling is asked.
    pub far: Option<Band>,
    pub cost: Cost,
    pub mass: f64,
    pub width: f64,
    pub height: f64,
    pub because: Vec<Reason>,
    pub with_part: Option<WithPart>,
}

#[cfg(test)]
mod tests;
