//! The search of one family.

use numerics::stop::Stop;

use super::descent::{Trial, descend};
use super::{Effort, Found, starts};
use crate::draft::Draft;
use crate::family::Family;
use crate::known::Known;
use crate::measure::{Figures, confirm, measure, way};
use crate::recipes;
use crate::wish::{Aim, Goal, Wish};

/// How much of each step an effort may spend on one family.
struct Spending {
    /// Places looked at before the first descent.
    places: usize,
    /// The best of these from which a descent starts.
    descents: usize,
    /// Trials of a descent.
    trials: usize,
    /// Weightings between several aims that are descended for.
    between: usize,
    /// How often it asks for more where the confirmed value falls short.
    rounds: usize,
}

impl Spending {
    fn of(effort: Effort, family: Family) -> Self {
        let (places, descents, trials, between, rounds) =
            match (effort, family.has_steel() || family == Family::Coupling) {
                (Effort::First, false) => (16, 2, 80, 1, 1),
                (Effort::First, true) => (5, 1, 20, 0, 1),
                (Effort::Refined, false) => (48, 3, 160, 3, 2),
                (Effort::Refined, true) => (16, 2, 50, 1, 2),
            };
        Self {
            places,
            descents,
            trials,
            between,
            rounds,
        }
    }
}

/// Starts that fill the space, as far as that: what keeps a wish at all often does so there.
const FILLING: [f64; 2] = [0.95, 0.7];

/// First step of a descent from a start, and of one that goes on from a place that is nearly right.
const STEP: f64 = 0.15;
const SMALL_STEP: f64 = 0.02;
/// How near the knee a magnet may be driven: 1 is at it.
const STRAIN: f64 = 1.0;
/// How far the confirmed value may fall short of the wish and still keep it, as a share.
const SHORT: f64 = 1e-3;

/// Share of the wish below which a confirmed value is not asked to rise: the two ways of computing it have nothing in common then.
const LEAST_SHARE: f64 = 0.5;

/// How much more than was wished for is too much, as a multiple: it could have been had for less.
const MUCH: f64 = 1.01;

/// Things that a wish may ask to be kept: the value, the knee, and evenness.
const KEPT: usize = 3;

/// What is looked for in one family.
struct Look<'a> {
    wish: &'a Wish,
    family: Family,
    known: &'a Known,
    stop: &'a Stop,
    /// The value asked for: the one wished for, or more where the confirmed value fell short.
    asked: f64,
    /// Weights of the aims.
    weights: Vec<f64>,
    /// The index of a family that can be made in several ways.
    choice: Option<f64>,
    /// Whether the value itself is to be as large as can be, since nothing that keeps the wish was found.
    farthest: bool,
}

impl Look<'_> {
    fn draft(&self, shares: &[f64]) -> Option<(Draft, Figures)> {
        if self.stop.is_set() {
            return None;
        }
        let draft = recipes::draft(self.family, self.wish, &self.whole(shares))?;
        let figures = measure(self.wish, &draft, self.known, self.stop).ok()?;
        figures.value.is_finite().then_some((draft, figures))
    }

    /// The numbers of a draft from those that the descent moves.
    fn whole(&self, shares: &[f64]) -> Vec<f64> {
        shares.iter().copied().chain(self.choice).collect()
    }

    fn trial(&self, shares: &[f64]) -> Trial {
        let Some((draft, figures)) = self.draft(shares) else {
            return Trial::nowhere(KEPT);
        };
        // In logarithms: fields and forces go as powers of the sizes.
        let ratio = logarithm(figures.value / self.asked);
        let [value, also] = match self.wish.goal {
            // Evenness about the wanted value says both.
            Goal::Even { tolerance, .. } => {
                let [low, high] = figures.spread;
                [logarithm(low / (1.0 - tolerance)), -logarithm(high / (1.0 + tolerance))]
            }
            _ => [ratio, ratio],
        };
        let knee = -logarithm(figures.strain / STRAIN);
        if self.farthest {
            // An uneven field is evened out by what is to be kept, a weak one is raised.
            let (aim, kept) = match self.wish.goal {
                Goal::Even { .. } => (0.0, vec![value, knee, also]),
                _ => (-ratio, vec![0.0, knee, 0.0]),
            };
            return Trial { aim, kept };
        }
        let aim = self
            .wish
            .aims
            .iter()
            .zip(&self.weights)
            .filter(|(_, weight)| **weight > 0.0)
            .map(|(&aim, weight)| weight * least(aim, &draft, &figures, self.wish, self.known).max(1e-30).ln())
            .sum();
        Trial {
            aim,
            kept: vec![value, knee, also],
        }
    }

    /// The best places of so many, and descents from them; the best of all.
    fn best(&self, spending: &Spending) -> (Vec<f64>, Trial) {
        let count = recipes::free(self.family, self.wish)
            .unwrap_or(0)
            .saturating_sub(usize::from(self.choice.is_some()));
        let mut seen: Vec<(Vec<f64>, Trial)> = FILLING
            .into_iter()
            .map(|share| vec![share; count])
            .chain((0..spending.places).map(|index| starts::place(index, count)))
            .map(|place| {
                let trial = self.trial(&place);
                (place, trial)
            })
            .collect();
        seen.sort_by(|(_, a), (_, b)| a.missed().total_cmp(&b.missed()).then(a.aim.total_cmp(&b.aim)));
        seen.truncate(spending.descents);
        let mut best: Option<(Vec<f64>, Trial)> = None;
        for (start, _) in &seen {
            let ended = self.from(start, STEP, spending.trials);
            if best.as_ref().is_none_or(|(_, best)| ended.1.is_better(best)) {
                best = Some(ended);
            }
        }
        best.unwrap_or_else(|| (vec![0.5; count], Trial::nowhere(KEPT)))
    }

    fn from(&self, start: &[f64], step: f64, trials: usize) -> (Vec<f64>, Trial) {
        descend(start, step, trials, KEPT, &|shares| self.trial(shares))
    }
}

/// The logarithm of a ratio, held to what is worth telling apart.
fn logarithm(ratio: f64) -> f64 {
    ratio.clamp(1e-4, 1e4).ln()
}

/// What an aim wants least of a draft, in SI.
pub(crate) fn least(aim: Aim, draft: &Draft, figures: &Figures, wish: &Wish, known: &Known) -> f64 {
    match aim {
        Aim::Volume => draft.magnet_volume(),
        Aim::Mass => draft.mass(wish.stuff.density),
        Aim::Cost => known.costs.estimate(draft, &wish.stuff, wish.lot).total(),
        Aim::Height => draft.height(),
        Aim::Stray => figures.stray.unwrap_or(f64::INFINITY),
    }
}

/// The weightings of the aims that are searched for: each alone, and so many between neighbours.
///
/// Between two aims the front is found where it bulges outwards in the logarithms of both.
fn weightings(aims: usize, between: usize) -> Vec<Vec<f64>> {
    let alone = |k: usize| (0..aims).map(|i| f64::from(u8::from(i == k))).collect::<Vec<f64>>();
    let mut all: Vec<Vec<f64>> = (0..aims).map(alone).collect();
    for first in 0..aims {
        for second in first + 1..aims {
            for step in 1..=between {
                let share = step as f64 / (between + 1) as f64;
                let mut mixed = vec![0.0; aims];
                mixed[first] = 1.0 - share;
                mixed[second] = share;
                all.push(mixed);
            }
        }
    }
    all
}

/// What is found of one family: for each weighting the best draft, confirmed. Where nothing keeps the wish, the one that comes nearest.
pub(super) fn family(wish: &Wish, family: Family, known: &Known, effort: Effort, stop: &Stop) -> Vec<Found> {
    let spending = Spending::of(effort, family);
    let mut found: Vec<Found> = Vec::new();
    for weights in weightings(wish.aims.len(), spending.between) {
        if stop.is_set() {
            break;
        }
        let one = best_choice(wish, family, known, &spending, &weights, stop);
        let hopeless = one.as_ref().is_none_or(|one| !one.keeps);
        found.extend(one);
        if hopeless {
            break;
        }
    }
    found.dedup_by(|a, b| a.draft == b.draft);
    found
}

/// The best of all ways in which a family can be made.
fn best_choice(
    wish: &Wish,
    family: Family,
    known: &Known,
    spending: &Spending,
    weights: &[f64],
    stop: &Stop,
) -> Option<Found> {
    let choices = recipes::choices(family);
    let mut best: Option<(Trial, Look, Vec<f64>)> = None;
    for choice in 0..choices {
        let mut look = Look {
            wish,
            family,
            known,
            stop,
            asked: wish.goal.wanted() * (1.0 + way(&wish.goal, family).margin()),
            weights: weights.to_vec(),
            choice: (choices > 1).then_some(choice as f64),
            farthest: false,
        };
        let (mut shares, mut trial) = look.best(spending);
        if trial.missed() > 0.0 {
            look.farthest = true;
            (shares, trial) = if family.has_steel() {
                look.from(&shares, STEP, spending.trials)
            } else {
                look.best(spending)
            };
        }
        let better = best.as_ref().is_none_or(|(other, with, _)| {
            (look.farthest, trial.missed()) < (with.farthest, other.missed())
                || (look.farthest == with.farthest && trial.is_better(other))
        });
        if better {
            best = Some((trial, look, shares));
        }
    }
    let (_, mut look, mut shares) = best?;
    let mut one = judged(wish, family, &look.whole(&shares), known, stop)?;
    for _ in 0..spending.rounds {
        // What the search sees of a value that is right when it is confirmed.
        let seen = one.figures.value / one.value();
        let spare = one.value() / wish.goal.wanted();
        let serves = one.keeps && spare < MUCH && one.confirmed.is_some();
        let even = matches!(wish.goal, Goal::Even { .. });
        if look.farthest || serves || even || !(LEAST_SHARE..=1.0 / LEAST_SHARE).contains(&seen) {
            break;
        }
        look.asked = wish.goal.wanted() * seen * (1.0 + 0.1 * SHORT);
        (shares, _) = look.from(&shares, SMALL_STEP, spending.trials / 2);
        let again = judged(wish, family, &look.whole(&shares), known, stop)?;
        let lighter = |aim: Aim| again.least(aim) <= one.least(aim);
        if !one.keeps || again.keeps && wish.aims.first().copied().is_some_and(lighter) {
            one = again;
        }
    }
    Some(one)
}

/// The draft of these numbers with all that is known of it; `None` where it cannot be computed.
#[must_use]
pub fn judged(wish: &Wish, family: Family, shares: &[f64], known: &Known, stop: &Stop) -> Option<Found> {
    judged_draft(
        wish,
        recipes::draft(family, wish, shares)?,
        shares.to_vec(),
        known,
        stop,
    )
}

/// A draft with all that is known of it; `None` where it cannot be computed.
#[must_use]
pub fn judged_draft(wish: &Wish, draft: Draft, shares: Vec<f64>, known: &Known, stop: &Stop) -> Option<Found> {
    let figures = measure(wish, &draft, known, stop).ok()?;
    let confirmed = confirm(wish, &draft, known, stop).ok();
    let mut found = Found {
        mass: draft.mass(wish.stuff.density),
        cost: known.costs.estimate(&draft, &wish.stuff, wish.lot),
        shares,
        draft,
        figures,
        confirmed,
        keeps: false,
        in_front: false,
    };
    found.keeps = keeps(wish, &found);
    Some(found)
}

fn keeps(wish: &Wish, found: &Found) -> bool {
    let margin = way(&wish.goal, found.draft.family).margin();
    let does = match wish.goal {
        Goal::Even { tolerance, .. } => {
            let confirmed = found.confirmed.filter(|confirmed| confirmed.value.is_some());
            let [low, high] = confirmed.map_or(found.figures.spread, |confirmed| confirmed.spread);
            low >= 1.0 - tolerance - SHORT && high <= 1.0 + tolerance + SHORT
        }
        _ => found.value() >= wish.goal.wanted() * (1.0 + margin - SHORT),
    };
    does && found.figures.strain <= STRAIN * (1.0 + SHORT)
}
