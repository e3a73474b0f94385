//! From a question and a shelf to ranked candidates.
//!
//! Every item is looked at on its own, in parallel: the rules first, which cost next to nothing, then the fewest pieces
//! that meet the need in the middle of the band, then the fewest that surely do. More pieces than that cost more and
//! stand taller, so they are never the better answer. Quick bounds ([`Prediction::at_most`],
//! [`Prediction::surest_part`]) spare the exact value and the band where they cannot decide, and a band that is far from the
//! need is left rough; neither changes what is found, nor whether it surely does.

mod limits;

use std::collections::HashMap;

use materials::coating::Coating;
use materials::grade::GradeRow;
use rayon::prelude::*;
use uncertainty::Band;

use crate::answer::{
    Answer, Build, Candidate, NeedFigure, Reason, RuledOut, Searched, ShelfStamp, Stack, Verdict, WithPart,
};
use crate::catalogue::{Catalogue, Wanted};
use crate::check::{MOST_STACKED, QuestionError, check};
use crate::exposure::Exposure;
use crate::hazards::{self, Placement};
use crate::item::Item;
use crate::need::{assumed, need_figure};
use crate::predict::{InUse, NotComputable, Prediction, Task};
use crate::question::{Need, Question};
use crate::rank::{self, Cost, Found, Missed};
use crate::reasons;
use crate::rules;
use crate::shortfall;
use crate::taste;
use crate::warnings;

/// Answers a question from a shelf.
///
/// # Errors
/// [`QuestionError`] when the question cannot be answered as it stands. Items whose grade or coating the catalogue does
/// not know, or whose sizes do not make a magnet, are left out; import does not let them in.
pub fn answer(
    question: &Question,
    shelf: &[Item],
    catalogue: &Catalogue,
    stamp: ShelfStamp,
) -> Result<Answer, QuestionError> {
    check(question, catalogue)?;
    let search = Search::new(question, catalogue);
    let outcomes: Vec<Outcome> = shelf.par_iter().map(|item| search.look_at(item)).collect();

    let mut searched = Searched {
        items: shelf.len(),
        ..Searched::default()
    };
    let (mut found, mut missed) = (Vec::new(), Vec::new());
    for outcome in outcomes {
        searched.builds += outcome.builds;
        searched.too_hot += usize::from(outcome.too_hot);
        searched.past_knee += usize::from(outcome.past_knee);
        found.extend(outcome.found);
        missed.extend(outcome.missed);
    }
    searched.sure = found.iter().filter(|f| f.verdict() == Verdict::Sure).count();
    searched.middle = found.len() - searched.sure;

    let unbeaten = rank::unbeaten(&found);
    let shown = rank::pick(&rank::order(&found), &found, &unbeaten);
    let near_misses = rank::near_misses(missed);
    let shortfall = (searched.sure == 0).then(|| shortfall::shortfall(&search, shelf, &near_misses));
    Ok(Answer {
        question: question.clone(),
        assumed: assumed(question),
        shelf: stamp,
        need: search.need,
        candidates: shown
            .into_par_iter()
            .filter_map(|k| search.bare(&found[k], unbeaten[k]))
            .collect(),
        near_misses,
        shortfall,
        searched,
        with_parts: None,
    })
}

/// The main value of a question for one item; `None` where its grade or coating is not known.
pub fn prediction<'a>(question: &'a Question, item: &'a Item, catalogue: &'a Catalogue) -> Option<Prediction<'a>> {
    let search = Search::new(question, catalogue);
    search.prediction(item, search.task)
}

/// A question with all that stays the same from item to item.
pub(crate) struct Search<'a> {
    pub question: &'a Question,
    pub catalogue: &'a Catalogue,
    pub need: NeedFigure,
    pub task: Task,
    pub far: Option<Task>,
    /// The warmest, at which magnets are weakest, °C.
    pub celsius: f64,
    /// The coldest, at which magnets are strongest, °C.
    pub coldest: f64,
    /// What its builds are exposed to.
    pub exposure: Exposure,
    pub wanted: Vec<Wanted>,
    coatings: HashMap<&'a str, &'a Coating>,
}

/// What came of one item.
#[derive(Default)]
struct Outcome<'s> {
    builds: usize,
    /// Whether its grade or coating is not rated for the heat.
    too_hot: bool,
    /// Whether it would lose too much of its strength for good, and does all else.
    past_knee: bool,
    /// The fewest pieces that do in the middle, and the fewest that surely do.
    found: Vec<Found<'s>>,
    missed: Option<Missed<'s>>,
}

impl<'a> Search<'a> {
    pub(crate) fn new(question: &'a Question, catalogue: &'a Catalogue) -> Self {
        let exposure = Exposure::of(question);
        let named = |c: &'a Coating| {
            std::iter::once(&c.name)
                .chain(&c.aliases)
                .map(move |name| (name.as_str(), c))
        };
        Self {
            question,
            catalogue,
            need: need_figure(question),
            task: Task::of(question, catalogue),
            far: Task::far(question),
            celsius: exposure.warmest,
            coldest: exposure.coldest,
            exposure,
            wanted: question
                .limits
                .grades
                .iter()
                .filter_map(|name| catalogue.wanted(name))
                .collect(),
            coatings: catalogue.coatings.rows().iter().flat_map(named).collect(),
        }
    }

    /// The materials of an item.
    fn materials(&self, item: &Item) -> Option<(&'a GradeRow, &'a Coating)> {
        let known = self.coatings.get(item.coating.as_str()).copied();
        let coating = known.or_else(|| self.catalogue.coatings.get(&item.coating))?;
        Some((self.catalogue.grade_of(item)?, coating))
    }

    pub(crate) fn prediction<'b>(&self, item: &'b Item, task: Task) -> Option<Prediction<'b>>
    where
        'a: 'b,
    {
        let (grade, coating) = self.materials(item)?;
        Some(Prediction::new(item, grade, coating, task, self.celsius))
    }

    /// The rules that an item breaks whatever is built of it.
    pub(crate) fn item_rules(&self, prediction: &Prediction) -> Vec<RuledOut> {
        rules::item_rules(
            self.question,
            prediction.item,
            prediction.grade,
            prediction.coating,
            &self.wanted,
        )
    }

    pub(crate) fn stack_limit(&self) -> u32 {
        self.question.limits.stack.unwrap_or(MOST_STACKED)
    }

    pub(crate) fn stack(&self, pieces: u32) -> Stack {
        Stack {
            pieces,
            pair: self.task.is_pair(),
        }
    }

    /// The mass of that many pieces of an item, on both sides of a pair, kg.
    pub(crate) fn mass(&self, prediction: &Prediction, pieces: u32) -> f64 {
        hazards::mass_of(prediction.item, prediction.grade) * self.stack(pieces).total_pieces() as f64
    }

    /// What a build of that many pieces must reach, its own weight included.
    pub(crate) fn needed(&self, prediction: &Prediction, pieces: u32) -> f64 {
        self.need.of_mass(self.mass(prediction, pieces))
    }

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
            too_hot: broken.iter().any(|rule| matches!(rule, RuledOut::TooHot { .. })),
            ..Outcome::default()
        };
        let far_off = |rule: &RuledOut| rules::distance(self.question, &self.need, rule).is_none();
        if broken.len() > 1 || broken.iter().any(far_off) {
            return outcome;
        }
        let Some(fewest) = self.fewest(&prediction) else {
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
        let distance = rules::distance(self.question, &self.need, &by)?;
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
        let near = self.needed(prediction, 1) * (-rules::FARTHEST).exp();
        if self.bound_on_strength(prediction).ok()? < near {
            return None;
        }
        let (pieces, value) = self.strongest(prediction)?;
        let reaches = value / self.needed(prediction, pieces);
        (reaches < 1.0).then(|| self.missed(prediction.item, pieces, value, RuledOut::TooWeak { reaches }))?
    }

    /// What no build of an item passes within the limit on its stack.
    ///
    /// # Errors
    /// [`NotComputable`] where one of the builds is.
    pub(crate) fn bound_on_strength(&self, prediction: &Prediction) -> Result<f64, NotComputable> {
        let most = self.stack_limit();
        if prediction.rises() {
            return prediction.at_most(most);
        }
        (1..=most).try_fold(0.0, |bound: f64, n| Ok(bound.max(prediction.at_most(n)?)))
    }

    /// The build of an item that keeps every rule and reaches most of what it needs, and its value at the middle.
    pub(crate) fn strongest(&self, prediction: &Prediction) -> Option<(u32, f64)> {
        let keeps = |n: &u32| self.build_rules(prediction, *n).is_empty();
        let mut allowed = (1..=self.stack_limit())
            .rev()
            .filter(keeps)
            .filter_map(|n| Some((n, self.in_use(prediction, n).ok()?.value().ok()?)));
        if prediction.rises() && self.need.per_kilogram == 0.0 {
            allowed.next()
        } else {
            let reaches = |&(n, value): &(u32, f64)| value / self.needed(prediction, n);
            allowed.max_by(|a, b| reaches(a).total_cmp(&reaches(b)))
        }
    }

    /// The fewest pieces that are high enough and reach the need at the middle.
    fn fewest(&self, prediction: &Prediction) -> Option<u32> {
        let least = self.fewest_for_height(prediction.item);
        let reaches = |value: Result<f64, NotComputable>, need: f64| value.is_ok_and(|value| value >= need);
        let does = |n: &u32| reaches(prediction.undiminished(*n).value(), self.needed(prediction, *n));
        if !prediction.rises() {
            return (least..=MOST_STACKED).find(does);
        }
        if does(&least) {
            return Some(least);
        }
        // More pieces weigh more: what a stack needs at least is what the lowest needs.
        let lightest = self.needed(prediction, least);
        let may = |n: u32| reaches(prediction.at_most(n), lightest);
        if !may(MOST_STACKED) {
            return None;
        }
        let (mut low, mut high) = (least, MOST_STACKED);
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

    /// So many pieces after what their use takes for good.
    ///
    /// # Errors
    /// [`NotComputable`] where the grade has no curve for that use.
    pub(crate) fn in_use<'p>(&self, prediction: &Prediction<'p>, pieces: u32) -> Result<InUse<'p>, NotComputable> {
        prediction.in_use(pieces, &self.exposure)
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
                second_choice: taste::second_choice(&self.question.limits, item, pieces, cost.bought).is_some(),
                cost,
                size,
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

    /// The low end of a build that surely does: there it reaches the need, and at the high end it keeps the ceiling.
    ///
    /// # Errors
    /// [`NotComputable`] where it cannot be told.
    pub(crate) fn low_if_sure(&self, prediction: &Prediction, pieces: u32) -> Result<Option<f64>, NotComputable> {
        let part = prediction.surest_part();
        let need = self.needed(prediction, pieces);
        let undiminished = prediction.undiminished(pieces);
        if prediction.at_most(pieces)? * part < need || undiminished.value()? * part < need {
            return Ok(None);
        }
        let in_use = self.in_use(prediction, pieces)?;
        let low = in_use.low_against(need)?;
        Ok((low >= need && self.surely_keeps_ceiling(&in_use)?).then_some(low))
    }

    fn keeps_ceiling(&self, far: f64) -> bool {
        self.need.ceiling.is_none_or(|ceiling| far <= ceiling)
    }

    /// The same build at the further point that has a ceiling, at the temperature where its field is strongest.
    pub(super) fn far<'p>(&self, in_use: &InUse<'p>) -> Option<InUse<'p>> {
        Some(in_use.at_coldest(self.coldest).for_task(self.far?))
    }

    /// Its field there with its band; `None` where no ceiling is asked.
    ///
    /// # Errors
    /// [`NotComputable`] as any band.
    pub(crate) fn far_band(&self, in_use: &InUse) -> Result<Option<Band>, NotComputable> {
        self.far(in_use).map(|far| far.band()).transpose()
    }

    /// Whether the field at the further point surely keeps its ceiling; true where none is asked.
    ///
    /// # Errors
    /// [`NotComputable`] as any band.
    pub(crate) fn surely_keeps_ceiling(&self, in_use: &InUse) -> Result<bool, NotComputable> {
        let far = self.far_band(in_use)?;
        Ok(far.is_none_or(|far| self.keeps_ceiling(far.high)))
    }

    /// A bare build with all that the answer says of it; `None` only for an item that could not have been found.
    fn bare(&self, found: &Found, unbeaten: bool) -> Option<Candidate> {
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

    /// How surely a value with that band does for a build of that mass, kg, with that further away, and the chance that it does.
    ///
    /// Strength that lifts the value lifts the field further away with it: both are met between the two points where either
    /// stops being met.
    pub(crate) fn judged(&self, band: &Band, far: Option<&Band>, mass: f64) -> (Verdict, f64) {
        let need = self.need.of_mass(mass);
        let ceiling = far.zip(self.need.ceiling);
        let too_much = ceiling.map_or(0.0, |(far, ceiling)| far.chance_of_at_least(ceiling));
        let sure = band.low >= need && ceiling.is_none_or(|(far, ceiling)| far.high <= ceiling);
        let verdict = if sure { Verdict::Sure } else { Verdict::Middle };
        (verdict, (band.chance_of_at_least(need) - too_much).max(0.0))
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
