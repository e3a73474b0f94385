//! From a question and a shelf to ranked candidates.
//!
//! Every item is looked at on its own, in parallel: the rules first, which cost next to nothing, then the fewest pieces
//! that meet the need in the middle of the band, then the fewest that surely do. More pieces than that cost more and
//! stand taller, so they are never the better answer.

use std::collections::{BTreeMap, HashMap};

use magnetics::coating::Coating;
use magnetics::grade::GradeRow;
use quantity::Money;
use rayon::prelude::*;

use crate::answer::{Answer, Assumed, Build, Candidate, NearMiss, NeedFigure, Predicted, RuledOut, Searched, ShelfStamp, Verdict};
use crate::because;
use crate::catalogue::{Catalogue, Wanted};
use crate::check::{MOST_STACKED, QuestionError, check};
use crate::hazards;
use crate::item::Item;
use crate::predict::{FRICTION, Prediction, ROOM_CELSIUS, SAFETY_FACTOR, SAFETY_FACTOR_FALLING, SWITCH_MARGIN, Task};
use crate::question::{Direction, Need, Question};
use crate::rules;
use crate::shortfall;

/// The most candidates and near misses that an answer holds.
const MOST_SHOWN: usize = 40;
const MOST_NEAR_MISSES: usize = 8;
/// Field inside over coercivity beyond which strength is lost for good: 0.9 for materials of good squareness, from
/// memory.
pub const KNEE: f64 = 0.9;
/// Flux density at 2.1 m from which a package may count as magnetised under the older air transport rule, T.
pub const FLIGHT_LIMIT: f64 = 0.2e-6;

/// Answers a question from a shelf.
///
/// # Errors
/// [`QuestionError`] when the question cannot be answered as it stands. Items whose grade or coating the catalogue does
/// not know, or whose sizes do not make a magnet, are left out; import does not let them in.
pub fn answer(question: &Question, shelf: &[Item], catalogue: &Catalogue, stamp: ShelfStamp) -> Result<Answer, QuestionError> {
    check(question, catalogue)?;
    let search = Search::new(question, catalogue);
    let outcomes: Vec<Outcome> = shelf.par_iter().map(|item| search.look_at(item)).collect();

    let mut searched = Searched { items: shelf.len(), ..Searched::default() };
    let (mut found, mut missed) = (Vec::new(), Vec::new());
    for (item, outcome) in shelf.iter().zip(outcomes) {
        searched.builds += outcome.builds;
        found.extend(outcome.found.into_iter().map(|f| (item, f)));
        missed.extend(outcome.missed.map(|m| (item, m)));
    }
    searched.sure = found.iter().filter(|(_, f)| f.verdict == Verdict::Sure).count();
    searched.middle = found.len() - searched.sure;

    let unbeaten = unbeaten(&found);
    let mut order: Vec<usize> = (0..found.len()).collect();
    let rank = |k: usize| {
        let (item, f) = &found[k];
        (f.verdict, f.cost_total.is_none(), f.cost_total, f.pieces, item.code.clone())
    };
    order.sort_by_cached_key(|&k| rank(k));
    let shown = pick(&order, &found, &unbeaten);
    let candidates = shown.into_iter().map(|k| search.candidate(found[k].0, &found[k].1, unbeaten[k])).collect();

    missed.sort_by(|a, b| a.1.distance.total_cmp(&b.1.distance));
    let near_misses = near_misses(&missed);
    let need = search.need;
    let shortfall = (searched.sure == 0).then(|| shortfall::shortfall(&search, shelf, &near_misses));
    Ok(Answer {
        question: question.clone(),
        assumed: assumed(question),
        shelf: stamp,
        need,
        candidates,
        near_misses,
        shortfall,
        searched,
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
    pub celsius: f64,
    pub wanted: Vec<Wanted>,
    coatings: HashMap<&'a str, &'a Coating>,
}

/// What came of one item.
#[derive(Default)]
struct Outcome {
    builds: usize,
    found: Vec<Found>,
    missed: Option<Missed>,
}

/// A build that will do, before it is dressed for the answer.
struct Found {
    pieces: u32,
    verdict: Verdict,
    low: f64,
    cost_each: Option<Money>,
    cost_total: Option<Money>,
    pieces_bought: u64,
    size: f64,
}

struct Missed {
    pieces: u32,
    value: f64,
    by: RuledOut,
    distance: f64,
}

/// What an order of builds costs.
struct Cost {
    each: Option<Money>,
    total: Option<Money>,
    bought: u64,
}

impl<'a> Search<'a> {
    pub(crate) fn new(question: &'a Question, catalogue: &'a Catalogue) -> Self {
        Self {
            question,
            catalogue,
            need: need_figure(question),
            task: Task::of(question, catalogue),
            far: Task::far(question),
            celsius: question.conditions.warmest.map_or(ROOM_CELSIUS, |t| t.celsius()),
            wanted: question.limits.grades.iter().filter_map(|name| catalogue.wanted(name)).collect(),
            coatings: catalogue.coatings.rows().iter().map(|c| (c.name.as_str(), c)).collect(),
        }
    }

    /// The materials of an item.
    pub(crate) fn materials(&self, item: &Item) -> Option<(&'a GradeRow, &'a Coating)> {
        let known = self.coatings.get(item.coating.as_str()).copied();
        let coating = known.or_else(|| self.catalogue.coatings.get(&item.coating))?;
        Some((self.catalogue.grades.get(&item.grade)?, coating))
    }

    pub(crate) fn prediction<'b>(&self, item: &'b Item, task: Task) -> Option<Prediction<'b>>
    where
        'a: 'b,
    {
        let (grade, coating) = self.materials(item)?;
        Some(Prediction::new(item, grade, coating, task, self.celsius))
    }

    fn stack_limit(&self) -> u32 {
        self.question.limits.stack.unwrap_or(MOST_STACKED)
    }

    pub(crate) fn build(&self, pieces: u32) -> Build {
        Build { pieces, pair: self.task.is_pair() }
    }

    fn cost(&self, item: &Item, pieces: u32) -> Cost {
        let per_build = self.build(pieces).total_pieces();
        let wanted = per_build * u64::from(self.question.pieces);
        let bought = wanted.max(item.least_order());
        let price = item.price_each(bought);
        Cost {
            each: price.and_then(|p| p.times(per_build).ok()),
            total: price.and_then(|p| p.times(bought).ok()),
            bought,
        }
    }

    fn look_at(&self, item: &Item) -> Outcome {
        let Some((grade, coating)) = self.materials(item) else { return Outcome::default() };
        let mut broken = rules::item_rules(self.question, item, grade, coating, &self.wanted);
        let builds = if broken.is_empty() { self.stack_limit() as usize } else { 0 };
        let mut outcome = Outcome { builds, ..Outcome::default() };
        if broken.len() > 1 {
            return outcome;
        }
        if let Some(rule) = broken.first()
            && rules::distance(self.question, rule).is_none()
        {
            return outcome;
        }
        let prediction = Prediction::new(item, grade, coating, self.task, self.celsius);
        let least = self.fewest_for_height(item);
        let Some((pieces, value)) = fewest(least, MOST_STACKED, self.need.at_least, |n| prediction.mid(n)) else {
            if broken.is_empty() {
                let pieces = self.stack_limit().max(least);
                let value = prediction.mid(pieces);
                outcome.missed = self.missed(pieces, value, RuledOut::TooWeak { reaches: value / self.need.at_least });
            }
            return outcome;
        };
        broken.extend(self.build_rules(item, grade, coating, pieces));
        match broken.len() {
            0 => self.judge(&prediction, pieces, &mut outcome),
            1 => outcome.missed = broken.pop().and_then(|rule| self.missed(pieces, value, rule)),
            _ => {}
        }
        outcome
    }

    fn missed(&self, pieces: u32, value: f64, by: RuledOut) -> Option<Missed> {
        rules::distance(self.question, &by).map(|distance| Missed { pieces, value, by, distance })
    }

    /// Finds the fewest pieces that surely do, from the fewest that do in the middle, and records both.
    fn judge(&self, prediction: &Prediction, pieces: u32, outcome: &mut Outcome) {
        let mut record = |verdict, pieces, low| {
            let cost = self.cost(prediction.item, pieces);
            let height = prediction.item.shape.height() * f64::from(pieces);
            outcome.found.push(Found {
                pieces,
                verdict,
                low,
                cost_each: cost.each,
                cost_total: cost.total,
                pieces_bought: cost.bought,
                size: prediction.item.shape.widest() * height,
            });
        };
        let mut first = true;
        for n in pieces..=MOST_STACKED {
            if !first && !self.build_rules(prediction.item, prediction.grade, prediction.coating, n).is_empty() {
                return;
            }
            let band = prediction.band(n);
            let far_sure = self.far_band(prediction, n).is_none_or(|far| far.high <= self.need.ceiling.unwrap_or(f64::INFINITY));
            if band.low >= self.need.at_least && far_sure {
                record(Verdict::Sure, n, band.low);
                return;
            }
            if first {
                record(Verdict::Middle, n, band.low);
                first = false;
            }
            if !far_sure {
                return;
            }
        }
    }

    pub(crate) fn far_band(&self, prediction: &Prediction, pieces: u32) -> Option<bench::Band> {
        let far = self.far?;
        Some(Prediction { task: far, ..*prediction }.band(pieces))
    }

    fn fewest_for_height(&self, item: &Item) -> u32 {
        let Some(shortest) = self.question.limits.shortest else { return 1 };
        let pieces = ((shortest.si() - rules::SIZE_SLACK) / item.shape.height()).ceil();
        if pieces.is_finite() { pieces.clamp(1.0, f64::from(MOST_STACKED)) as u32 } else { 1 }
    }

    /// What rules out that many pieces of an item.
    pub(crate) fn build_rules(&self, item: &Item, grade: &GradeRow, coating: &Coating, pieces: u32) -> Vec<RuledOut> {
        let limits = &self.question.limits;
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
        let mass = hazards::mass_of(item, grade) * self.build(pieces).total_pieces() as f64;
        if limits.mass.is_some_and(|m| mass > m.si()) {
            out.push(RuledOut::TooHeavy { has: mass });
        }
        let cost = self.cost(item, pieces);
        if let (Some(budget), Some(each)) = (limits.budget_each, cost.each)
            && each > budget
        {
            out.push(RuledOut::OverBudgetEach { has: each });
        }
        if let (Some(budget), Some(total)) = (limits.budget_total, cost.total)
            && total > budget
        {
            out.push(RuledOut::OverBudgetTotal { has: total });
        }
        if limits.in_stock
            && let Some(has) = item.stock
            && has < cost.bought
        {
            out.push(RuledOut::NotInStock { has, needs: cost.bought });
        }
        let prediction = Prediction::new(item, grade, coating, self.task, self.celsius);
        let Some(stack) = prediction.stack(pieces) else {
            out.push(RuledOut::NotComputable);
            return out;
        };
        let ratio = because::knee_ratio(&stack, grade, self.celsius);
        if ratio > KNEE {
            out.push(RuledOut::PastKnee { ratio, celsius: self.celsius });
        }
        if limits.ships_by_air {
            let has = hazards::far_field(&stack, self.build(pieces).total_pieces(), pieces, 2.1);
            if has > FLIGHT_LIMIT {
                out.push(RuledOut::Flight { has });
            }
        }
        if let (Some(far), Some(ceiling)) = (self.far, self.need.ceiling) {
            let has = Prediction { task: far, ..prediction }.mid(pieces);
            if has > ceiling {
                out.push(RuledOut::TooMuchFar { has });
            }
        }
        out
    }

    fn candidate(&self, item: &Item, found: &Found, unbeaten: bool) -> Candidate {
        let (grade, coating) = self.materials(item).expect("an item that was found has its materials");
        let prediction = Prediction::new(item, grade, coating, self.task, self.celsius);
        let band = prediction.band(found.pieces);
        let build = self.build(found.pieces);
        let far = self.far_band(&prediction, found.pieces);
        Candidate {
            build,
            verdict: found.verdict,
            chance: band.chance_of_at_least(self.need.at_least),
            cost_each: found.cost_each,
            cost_total: found.cost_total,
            pieces_bought: found.pieces_bought,
            mass: hazards::mass_of(item, grade) * build.total_pieces() as f64,
            height: item.shape.height() * f64::from(found.pieces),
            unbeaten,
            because: because::reasons(self, &prediction, found.pieces, found.pieces_bought, far.as_ref()),
            hazards: hazards::of_build(&prediction, build, self.question.pieces, matches!(self.question.need, Need::PushApart { .. })),
            item: item.clone(),
            band,
            far,
        }
    }
}

/// The fewest pieces between `least` and `most` whose value reaches `need`, with that value. More pieces never give less.
fn fewest(least: u32, most: u32, need: f64, value: impl Fn(u32) -> f64) -> Option<(u32, f64)> {
    let first = value(least);
    if first >= need {
        return Some((least, first));
    }
    let (mut low, mut high, mut best) = (least, most, value(most));
    if best < need {
        return None;
    }
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        let v = value(middle);
        if v >= need {
            (high, best) = (middle, v);
        } else {
            low = middle;
        }
    }
    Some((high, best))
}

/// Marks what no other build beats: none is at least as cheap, small and strong, and better in one of them.
fn unbeaten(found: &[(&Item, Found)]) -> Vec<bool> {
    let mut order: Vec<usize> = (0..found.len()).filter(|&k| found[k].1.verdict == Verdict::Sure).collect();
    order.retain(|&k| found[k].1.cost_total.is_some());
    order.sort_by_key(|&k| found[k].1.cost_total);
    let mut marks = vec![false; found.len()];
    // By rising cost, the front holds (size, strength) pairs that nothing cheaper beats.
    let mut front: Vec<(f64, f64, Option<Money>)> = Vec::new();
    for k in order {
        let f = &found[k].1;
        let beaten = front.iter().any(|&(size, low, cost)| {
            size <= f.size && low >= f.low && (size < f.size || low > f.low || cost < f.cost_total)
        });
        if !beaten {
            marks[k] = true;
            front.push((f.size, f.low, f.cost_total));
        }
    }
    marks
}

/// Chooses what is shown: the cheapest of each verdict, and every unbeaten build.
fn pick(order: &[usize], found: &[(&Item, Found)], unbeaten: &[bool]) -> Vec<usize> {
    let mut shown: Vec<usize> = Vec::new();
    let mut left: BTreeMap<Verdict, usize> = BTreeMap::from([(Verdict::Sure, MOST_SHOWN / 2), (Verdict::Middle, 6)]);
    let mut extra = MOST_SHOWN / 2;
    for &k in order {
        let room = left.entry(found[k].1.verdict).or_default();
        if *room > 0 {
            *room -= 1;
            shown.push(k);
        } else if unbeaten[k] && extra > 0 {
            extra -= 1;
            shown.push(k);
        }
    }
    shown
}

/// The closest misses, with no rule named more than three times.
fn near_misses(missed: &[(&Item, Missed)]) -> Vec<NearMiss> {
    let mut named: Vec<(std::mem::Discriminant<RuledOut>, usize)> = Vec::new();
    let mut out = Vec::new();
    for (item, miss) in missed {
        let rule = std::mem::discriminant(&miss.by);
        let seen = match named.iter_mut().find(|(r, _)| *r == rule) {
            Some((_, n)) => n,
            None => {
                named.push((rule, 0));
                &mut named.last_mut().expect("just pushed").1
            }
        };
        if *seen < 3 {
            *seen += 1;
            out.push(NearMiss {
                item: (*item).clone(),
                build: Build { pieces: miss.pieces, pair: false },
                value: miss.value,
                ruled_out_by: miss.by.clone(),
            });
        }
        if out.len() == MOST_NEAR_MISSES {
            break;
        }
    }
    out
}

/// What a build must reach.
fn need_figure(question: &Question) -> NeedFigure {
    let field = |at_least, ceiling| NeedFigure { quantity: Predicted::FluxDensity, at_least, ceiling };
    match &question.need {
        Need::Hold { load, direction, safety_factor, shared_by, .. } => NeedFigure {
            quantity: Predicted::Force,
            at_least: load.force().si() * safety_factor.unwrap_or(usual_safety(*direction)) / f64::from(*shared_by),
            ceiling: None,
        },
        Need::PullTogether { force, .. } | Need::PushApart { force, .. } => {
            NeedFigure { quantity: Predicted::Force, at_least: force.force().si(), ceiling: None }
        }
        Need::ReachField { field: b, no_more_than, .. } => field(b.si(), no_more_than.map(|c| c.field.si())),
        Need::SwitchSensor { operate, release, margin, .. } => {
            let margin = margin.unwrap_or(SWITCH_MARGIN);
            field(operate.si() * margin, Some(release.si() / margin))
        }
        Need::FaceField { field: b, .. } => field(b.si(), None),
    }
}

fn usual_safety(direction: Direction) -> f64 {
    if direction == Direction::HangingBelow { SAFETY_FACTOR_FALLING } else { SAFETY_FACTOR }
}

/// What the question left open and how it was filled.
fn assumed(question: &Question) -> Vec<Assumed> {
    let mut out = Vec::new();
    match &question.need {
        Need::Hold { direction, safety_factor: factor, friction, steel, .. } => {
            if factor.is_none() {
                let falls = *direction == Direction::HangingBelow;
                out.push(Assumed::SafetyFactor { factor: usual_safety(*direction), falls });
            }
            if *direction == Direction::Sideways && friction.is_none() {
                let [low, mid, high] = FRICTION;
                out.push(Assumed::Friction { low, mid, high });
            }
            if steel.thickness.is_none() {
                out.push(Assumed::ThickSteel);
            }
        }
        Need::SwitchSensor { margin: None, .. } => out.push(Assumed::SwitchMargin { margin: SWITCH_MARGIN }),
        _ => {}
    }
    if question.conditions.warmest.is_none() {
        out.push(Assumed::RoomTemperature);
    }
    out
}
