//! Work that takes a while and may be stopped by the one who asked for it.

use std::ops::ControlFlow;

use thiserror::Error;

use crate::check::QuestionError;

/// Whether work is still wanted: asked between solves and at every step of one. It may wait before it answers.
pub type GoOn<'a> = &'a (dyn Fn() -> bool + Sync);

/// The work was stopped before its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[error("the work was stopped before its end")]
pub struct Stopped;

/// Why a question has no answer.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum NoAnswer {
    /// It cannot be answered as it stands.
    #[error("{}", .0.message)]
    Question(QuestionError),
    /// Nobody waits for it any more.
    #[error(transparent)]
    Stopped(#[from] Stopped),
}

impl From<QuestionError> for NoAnswer {
    fn from(error: QuestionError) -> Self {
        Self::Question(error)
    }
}

/// Goes on only where the work is still wanted.
///
/// # Errors
/// [`Stopped`] where it is not.
pub(crate) fn wanted(go_on: GoOn) -> Result<(), Stopped> {
    if go_on() { Ok(()) } else { Err(Stopped) }
}

/// The same for whoever watches the steps of a solve.
pub(crate) fn still_wanted(go_on: GoOn) -> ControlFlow<()> {
    if go_on() {
        ControlFlow::Continue(())
    } else {
        ControlFlow::Break(())
    }
}

#[cfg(test)]
mod tests;
