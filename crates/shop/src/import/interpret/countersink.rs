//! What a line says of a countersink.

use advice::said;

/// What is known of a countersink.
#[derive(Default)]
pub(super) struct Countersink {
    /// The word that says so.
    word: Option<String>,
    /// The thread of its screw, mm.
    screw: Option<f64>,
    /// It in words, for the remark.
    pub(super) remark: String,
}

impl Countersink {
    /// One that a word says is there, for a screw of that thread, mm.
    pub(super) fn new(word: String, screw: Option<f64>) -> Self {
        let remark = screw.map_or_else(|| "countersunk".to_owned(), |thread| format!("countersunk, M{thread}"));
        Self {
            word: Some(word),
            screw,
            remark,
        }
    }

    /// The word that says that there is one.
    pub(super) fn word(&self) -> Option<&str> {
        self.word.as_deref()
    }

    /// Whether there is one.
    pub(super) fn is_sunk(&self) -> bool {
        self.word.is_some()
    }

    /// The hole that its screw passes through, m.
    pub(super) fn hole(&self) -> Option<f64> {
        said::hole_of(self.screw?)
    }
}
