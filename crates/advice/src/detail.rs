//! A closer look at a build: what its answer and its page show of it beyond its value.

mod curve;
mod heat;
mod section;
mod sheet;

use crate::answer::{Answer, Candidate, Closer, Detail};
use crate::catalogue::Catalogue;
use crate::criteria::Criteria;
use crate::exposure::Exposure;
use crate::predict::Task;

pub use curve::curve;
pub(crate) use heat::heat;
pub(crate) use section::alone;
pub use sheet::{Sheet, at_face, sheet};

/// A build is drawn to this multiple of the gap or distance asked, of its width, and of the place that has a ceiling.
const FARTHEST: [f64; 3] = [2.5, 0.5, 1.15];

/// How closely a candidate is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// What is worth the wait of somebody who types.
    AtOnce,
    /// Everything.
    Whole,
}

/// A closer look at a candidate of an answer, with the materials as they were; `None` where they are not known. The curve of a
/// build with a steel part was found with it.
pub fn detail(answer: &Answer, candidate: &Candidate, catalogue: &Catalogue, depth: Depth) -> Option<Detail> {
    let criteria = Criteria::new(&answer.question, catalogue);
    let delivered = criteria.prediction(&candidate.item, criteria.task)?;
    let pieces = candidate.build.pieces;
    let in_use = criteria.in_use(&delivered, pieces).ok()?;
    let [of_asked, of_width, of_far] = FARTHEST;
    let farthest = (of_asked * criteria.task.distance())
        .max(of_width * candidate.item.shape.widest())
        .max(of_far * criteria.far.map_or(0.0, Task::distance));
    let bare = candidate.build.part.is_none().then_some(&in_use);
    Some(Detail {
        curve: bare.and_then(|bare| curve(bare, farthest)),
        plate: bare.and_then(curve::plate),
        section: bare.and_then(section::in_use),
        closer: (depth == Depth::Whole).then(|| Closer {
            heat: heat(&delivered, pieces, &Exposure::of(&answer.question)),
            solved: bare.and_then(|bare| bare.confirmed(&catalogue.steels)),
        }),
    })
}
