//! The note of what was changed at the terminal.

use shop::{Deed, Shop};

use crate::desk::seconds_now;

/// Notes what was changed, by whom the system says; what cannot be noted is in the log.
pub(super) fn note(shop: &Shop, what: impl Into<String>) {
    let user = ["USER", "LOGNAME"]
        .into_iter()
        .find_map(|name| std::env::var(name).ok().filter(|user| !user.is_empty()));
    let deed = Deed {
        at: seconds_now(),
        person: format!("{} at the terminal", user.as_deref().unwrap_or("somebody")),
        what: what.into(),
    };
    if let Err(problem) = shop.note_deed(&deed) {
        tracing::warn!(%problem, "who did what is not noted");
    }
}
