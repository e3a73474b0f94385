//! What each phrase of the message became.

use std::ops::Range;

use crate::scene::Scene;

/// A phrase and its place in the reading.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Note {
    pub range: Range<usize>,
    pub path: String,
    pub meaning: String,
}

/// The phrases understood so far.
#[derive(Debug, Default)]
pub(crate) struct Notes(pub Vec<Note>);

impl Notes {
    /// Notes what an item became.
    pub(crate) fn put(&mut self, scene: &Scene, item: usize, path: &str, meaning: &str) {
        self.span(scene, (item, item), path, meaning);
    }

    /// Notes what a row of items became.
    pub(crate) fn span(&mut self, scene: &Scene, items: (usize, usize), path: &str, meaning: &str) {
        let (Some(first), Some(last)) = (scene.items.get(items.0), scene.items.get(items.1)) else {
            return;
        };
        self.over(first.range.start..last.range.end.max(first.range.end), path, meaning);
    }

    /// Notes what a stretch of the text became.
    pub(crate) fn over(&mut self, range: Range<usize>, path: &str, meaning: &str) {
        self.0.push(Note {
            range,
            path: path.to_owned(),
            meaning: meaning.to_owned(),
        });
    }
}
