//! A way to end long work from outside: a flag that is looked at between its steps.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Whether work is to end. Copies are of one flag; once set it stays set.
#[derive(Clone, Debug, Default)]
pub struct Stop(Arc<AtomicBool>);

impl Stop {
    /// A flag that is not set.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Asks the work to end.
    pub fn set(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether it has been asked to end. Costs about as much as reading a variable.
    #[must_use]
    pub fn is_set(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Two flags are equal if setting one sets the other.
impl PartialEq for Stop {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copy_is_the_same_flag() {
        let stop = Stop::new();
        let (copy, other) = (stop.clone(), Stop::new());
        assert!(!copy.is_set());
        stop.set();
        assert!(copy.is_set() && !other.is_set());
        assert!(copy == stop && other != stop);
    }
}
