//! From what may be built to what is shown: sieved on rough meshes, judged on fine ones.

use std::collections::{HashMap, HashSet};

use rayon::prelude::*;
use uncertainty::Band;

use super::options::{Choice, Look};
use super::solved::{ROUGH_SLACK, Setting};
use crate::answer::{Build, Candidate, CurvePoint, Verdict, WithPart};
use crate::predict::{InUse, NotComputable, Prediction, State, Task};
use crate::question::Steelwork;
use crate::reasons;
use crate::rules::SIZE_SLACK;
use crate::search::Built;

/// The most builds that are shown.
pub const MOST_SHOWN: usize = 4;
/// The most builds whose value is solved for a question.
pub const MOST_SOLVED: usize = 96;
/// The most builds that are solved on a fine mesh and whose band is found.
pub const MOST_BANDS: usize = 12;
/// Builds solved at once, between looks at what was found.
const AT_ONCE: usize = 4;
/// The most builds shown with one part.
const MOST_OF_A_PART: usize = 2;
/// Distances of the curve, as shares of the farthest.
const PLACES: [f64; 7] = [0.0, 0.02, 0.06, 0.14, 0.3, 0.6, 1.0];
/// The curve goes so far, as a share of the magnet's diameter, or to this multiple of the gap or distance asked.
const FARTHEST: f64 = 0.3;
const FARTHEST_MULTIPLE: f64 = 2.0;

/// A build that does, with its band.
struct Found<'a> {
    choice: &'a Choice<'a>,
    in_use: InUse<'a>,
    verdict: Verdict,
    band: Band,
    far: Option<Band>,
}

impl Look<'_, '_> {
    /// Solves in the order given until enough surely do.
    pub(super) fn choose<'b>(&self, options: &'b [Choice<'b>]) -> Vec<Candidate> {
        let (mut sure, mut middle): (Vec<Found<'b>>, Vec<Found<'b>>) = (Vec::new(), Vec::new());
        let mut seen = Seen::default();
        let (mut solved, mut bands) = (0, 0);
        let mut rest = options;
        while sure.len() < MOST_SHOWN
            && solved < MOST_SOLVED
            && bands < MOST_BANDS
            && !rest.is_empty()
            && (self.go_on)()
        {
            let mut batch = Vec::new();
            while batch.len() < AT_ONCE.min(MOST_SOLVED - solved) {
                let Some((next, more)) = rest.split_first() else { break };
                rest = more;
                if seen.allows(next) {
                    batch.push(next);
                }
            }
            solved += batch.len();
            let shows_middle = !self.offered && middle.len() < MOST_SHOWN;
            let sieved: Vec<(&Choice, InUse)> = batch
                .into_par_iter()
                .filter_map(|choice| Some((choice, self.sieve(choice, shows_middle)?)))
                .collect();
            let tried = sieved.len().min(MOST_BANDS - bands);
            bands += tried;
            let judged: Vec<Option<Found>> = sieved
                .into_par_iter()
                .take(tried)
                .map(|(choice, in_use)| self.judge(choice, in_use, shows_middle).ok().flatten())
                .collect();
            for found in judged.into_iter().flatten() {
                if found.verdict == Verdict::Middle {
                    middle.push(found);
                } else if sure.len() < MOST_SHOWN && seen.allows(found.choice) {
                    seen.note(found.choice);
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

    /// What is left of a build in its use where it may do by its rough value: surely, or at the middle where that is shown.
    fn sieve<'b>(&self, choice: &Choice<'b>, shows_middle: bool) -> Option<InUse<'b>> {
        // Steel at a magnet eases its own field: what a bare stack keeps is kept.
        let in_use = self.criteria.in_use(&choice.prediction, choice.pieces).ok()?;
        if in_use.wear().is_too_much() {
            return None;
        }
        let (state, beside) = in_use.fitted_middle();
        let rough = self.setting(choice, in_use.task, true).rough_value(&state).ok()?;
        let value = rough * (1.0 + ROUGH_SLACK) * beside;
        let may_do = self.may_be_sure(choice, value) || (shows_middle && value >= self.needed(choice));
        may_do.then_some(in_use)
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
            go_on: self.go_on,
        }
    }

    /// The band of a build and whether it surely does; `None` where it does not do at the middle, or is too strong further
    /// away.
    fn judge<'b>(
        &self,
        choice: &'b Choice<'b>,
        in_use: InUse<'b>,
        shows_middle: bool,
    ) -> Result<Option<Found<'b>>, NotComputable> {
        let criteria = self.criteria;
        let part = choice.with.part;
        let is_cup = part.form.steelwork() == Steelwork::Cup;
        let rim_tolerance = if is_cup { part.tolerance.si() } else { 0.0 };
        // The band, where the rough one is not surely of no use.
        let band_of = |in_use: &InUse, may_do: &dyn Fn(&Band) -> bool| {
            let setting = self.setting(choice, in_use.task, true);
            let mut rough = 0.0;
            let about = in_use.about_middle(rim_tolerance, |middle, states| {
                let found = setting.ratios(middle, states)?;
                rough = found.value;
                Ok(found.ratios)
            })?;
            if !may_do(&about.band(rough * (1.0 + ROUGH_SLACK))?) {
                return Ok(None);
            }
            let (state, _) = in_use.fitted_middle();
            Ok::<_, NotComputable>(Some(about.band(setting.value(&state)?)?))
        };
        let needed = self.needed(choice);
        let may_do = |band: &Band| band.low >= needed || (shows_middle && band.mid >= needed);
        let Some(band) = band_of(&in_use, &may_do)? else {
            return Ok(None);
        };
        if band.mid < needed {
            return Ok(None);
        }
        let far = criteria
            .far(&in_use)
            .map(|far| band_of(&far, &|_| true))
            .transpose()?
            .flatten();
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
        let bare = self.setting(choice, in_use.task, false).value(&state)? * beside;
        let curve = self.curve(choice, &in_use, [band.mid, bare])?;
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
                bare,
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

    /// The value against the gap or the distance, with the part and without, by rough meshes; at the place asked, which is
    /// among them, they are `here`, and what the rough ones miss there is taken out everywhere.
    fn curve(&self, choice: &Choice, in_use: &InUse, here: [f64; 2]) -> Result<Vec<CurvePoint>, NotComputable> {
        let asked = in_use.task.distance();
        let is_asked = |at: f64| (at - asked).abs() <= SIZE_SLACK;
        let farthest = (FARTHEST * in_use.item.shape.widest()).max(FARTHEST_MULTIPLE * asked);
        let mut places: Vec<f64> = PLACES.iter().map(|share| share * farthest).collect();
        if !places.iter().any(|&at| is_asked(at)) {
            places.push(asked);
        }
        places.sort_by(f64::total_cmp);
        let there: Vec<(Task, State, f64)> = places
            .iter()
            .map(|&at| {
                let there = in_use.at_distance(at);
                let (state, beside) = there.fitted_middle();
                (there.task, state, beside)
            })
            .collect();
        let asks: Vec<(Task, State)> = there.iter().map(|&(task, state, _)| (task, state)).collect();
        let rough = |part: bool| -> Result<Vec<f64>, NotComputable> {
            let found = self.setting(choice, in_use.task, part).rough_along(&asks)?;
            Ok(found.iter().zip(&there).map(|(value, at)| value * at.2).collect())
        };
        let (with, without) = rayon::join(|| rough(true), || rough(false));
        let (with, bare) = (with?, without?);
        let here_at = places.iter().position(|&at| is_asked(at)).unwrap_or_default();
        let mended = |values: &[f64], here: f64, k: usize| values[k] * here / values[here_at];
        Ok((0..places.len())
            .map(|k| CurvePoint {
                at: places[k],
                with: mended(&with, here[0], k),
                bare: mended(&bare, here[1], k),
            })
            .collect())
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
