//! Work that takes a while and may be stopped by the one who asked for it.

use std::ops::ControlFlow;

use thiserror::Error;

/// Whether work is still wanted: asked between solves and at every step of one. It may wait before it answers.
pub type GoOn<'a> = &'a (dyn Fn() -> bool + Sync);

/// The work was stopped before its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[error("the work was stopped before its end")]
pub struct Stopped;

/// The same for whoever watches the steps of a solve.
pub(crate) fn still_wanted(go_on: GoOn) -> ControlFlow<()> {
    if go_on() {
        ControlFlow::Continue(())
    } else {
        ControlFlow::Break(())
    }
}
