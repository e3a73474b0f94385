//! Candidates looked at more closely, as far as that was wanted.

use advice::Answer;
use advice::answer::Detail;
use advice::catalogue::Catalogue;
use advice::detail::{Depth, detail};
use advice::view;
use advice::view::detail::CandidateDetail;
use advice::view::text::Reader;
use quantity::Units;

/// The candidate that is put first, without what takes longer to find, whether that is known or not.
pub(super) fn first_shown(answer: &Answer, units: &Units) -> Option<CandidateDetail> {
    let shown = shown(answer, *answer.order().first()?, units)?;
    Some(CandidateDetail {
        confirmed: None,
        heat: None,
        ..shown
    })
}

/// A candidate of an answer as it was looked at, for one reader.
pub(super) fn shown(answer: &Answer, index: usize, units: &Units) -> Option<CandidateDetail> {
    let candidate = answer.candidates.get(index)?;
    let reader = Reader {
        units: *units,
        currency: answer.shelf.currency,
    };
    Some(view::detail::view(
        answer,
        candidate,
        candidate.detail.as_ref()?,
        &reader,
    ))
}

/// Looks at the candidate that is put first, as closely as is worth the wait of somebody who types.
pub(super) fn look_at_first(answer: &mut Answer, catalogue: &Catalogue) {
    if let Some(&first) = answer.order().first() {
        look(answer, first, catalogue, Depth::AtOnce);
    }
}

/// Looks at a candidate as closely as that, where nobody has yet; whether something was found.
pub(super) fn look(answer: &mut Answer, index: usize, catalogue: &Catalogue, depth: Depth) -> bool {
    let known = |found: &Detail| depth == Depth::AtOnce || found.closer.is_some();
    let Some(candidate) = answer.candidates.get(index) else {
        return false;
    };
    if candidate.detail.as_deref().is_some_and(known) {
        return false;
    }
    let found = detail(answer, candidate, catalogue, depth).map(Box::new);
    let is_new = found.is_some();
    answer.candidates[index].detail = found;
    is_new
}
