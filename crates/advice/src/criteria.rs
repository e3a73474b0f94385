//! What a question asks of every item of a shelf: the need, the task, the use and the limits, worked out once, and what builds come to by them.

mod limits;

use std::collections::HashMap;

use materials::coating::Coating;
use materials::grade::GradeRow;
use uncertainty::Band;

use crate::answer::{NeedFigure, Stack, Verdict};
use crate::catalogue::{Catalogue, Wanted};
use crate::check::MOST_STACKED;
use crate::exposure::Exposure;
use crate::hazards;
use crate::item::Item;
use crate::need::need_figure;
use crate::predict::{InUse, NotComputable, Prediction, Task};
use crate::question::Question;
use crate::rank::Cost;
use crate::taste::Look;

/// A question with all that stays the same from item to item.
pub(crate) struct Criteria<'a> {
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

impl<'a> Criteria<'a> {
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
        let lot = self.catalogue.read_pieces(item);
        Some(Prediction::new(item, grade, coating, task, self.celsius).of_lot(lot))
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

    /// A build of that many pieces as taste looks at it.
    pub(crate) fn look<'p>(&self, prediction: &Prediction<'p>, pieces: u32, cost: &Cost) -> Look<'p> {
        Look {
            item: prediction.item,
            pieces,
            bought: cost.bought,
            mass: self.mass(prediction, pieces),
        }
    }

    /// What a build of that many pieces must reach, its own weight included.
    pub(crate) fn needed(&self, prediction: &Prediction, pieces: u32) -> f64 {
        self.need.of_mass(self.mass(prediction, pieces))
    }

    /// So many pieces after what their use takes permanently.
    ///
    /// # Errors
    /// [`NotComputable`] where the grade has no curve for that use.
    pub(crate) fn in_use<'p>(&self, prediction: &Prediction<'p>, pieces: u32) -> Result<InUse<'p>, NotComputable> {
        prediction.in_use(pieces, &self.exposure)
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
}
