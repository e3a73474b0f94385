//! A closer look at a candidate, as it is shown.

use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{Answer, Candidate, Detail};
use crate::view::chart::{self, Chart};
use crate::view::heat::{self, HeatView};
use crate::view::picture::{self, Picture};
use crate::view::plot::Plot;
use crate::view::steel::{self, Confirmed};
use crate::view::text::Reader;

/// The curve and the picture of a candidate.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct CandidateDetail {
    /// Its value against the gap or the distance.
    pub chart: Option<Chart>,
    /// Its pull against the thickness of the steel; absent where it holds on none.
    pub steel: Option<Plot>,
    /// Its pull as the solver has it; absent where it holds on no steel.
    pub confirmed: Option<Confirmed>,
    /// Where it stands, with the lines of its flux.
    pub picture: Option<Picture>,
    /// What heat and its own field do to it; absent where its grade has no curve.
    pub heat: Option<HeatView>,
}

/// Shows what was found of a candidate on a closer look.
pub fn view(answer: &Answer, candidate: &Candidate, found: &Detail, reader: &Reader) -> CandidateDetail {
    let closer = found.closer.as_ref();
    CandidateDetail {
        chart: found
            .curve
            .as_ref()
            .map(|curve| chart::for_candidate(answer, candidate, curve, reader)),
        steel: found.plate.as_ref().map(|plate| steel::plot(plate, reader)),
        confirmed: closer
            .and_then(|closer| closer.solved.as_ref())
            .map(|solved| steel::confirmed(solved, reader)),
        picture: found
            .section
            .as_ref()
            .map(|section| picture::for_candidate(&answer.question, candidate, section, reader)),
        heat: closer
            .and_then(|closer| closer.heat.as_ref())
            .map(|heat| heat::view(heat, reader)),
    }
}
