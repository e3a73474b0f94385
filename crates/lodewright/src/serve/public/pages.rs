//! Lessons and sheets that were made of late: equal ones of one moment are made once. They are in memory alone, and few.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

use axum::body::Bytes;
use axum::http::HeaderMap;

/// So many are held.
const MOST: usize = 100;

/// A page as it is sent.
pub type Made = (HeaderMap, Bytes);

/// The pages, by where they are; what is not there is none of them, so that nobody can push the others out by guessing.
#[derive(Debug, Default)]
pub struct Pages(Mutex<HashMap<String, (Made, Instant)>>);

impl Pages {
    /// The page of that place, opened now, where it was made already.
    pub fn get(&self, place: &str, now: Instant) -> Option<Made> {
        let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        held.get_mut(place).map(|(made, opened)| {
            *opened = now;
            made.clone()
        })
    }

    /// Holds the page of that place, in the stead of the one that was not opened for longest.
    pub fn hold(&self, place: String, made: Made, now: Instant) {
        let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if held.len() >= MOST && !held.contains_key(&place) {
            let oldest = held.iter().min_by_key(|(_, (_, opened))| *opened);
            let oldest = oldest.map(|(place, _)| place.clone());
            oldest.map(|place| held.remove(&place));
        }
        held.insert(place, (made, now));
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;

    #[test]
    fn the_page_that_was_not_opened_for_longest_gives_way() {
        let pages = Pages::default();
        let start = Instant::now();
        let at = |second: u64| start + Duration::from_secs(second);
        let made = |text: &'static str| (HeaderMap::new(), Bytes::from_static(text.as_bytes()));
        pages.hold("first".into(), made("1"), at(0));
        pages.hold("second".into(), made("2"), at(1));
        for k in 2..MOST {
            pages.hold(k.to_string(), made("k"), at(2));
        }
        assert_eq!(pages.get("first", at(3)), Some(made("1")));
        pages.hold("another".into(), made("a"), at(4));
        assert_eq!(pages.get("second", at(5)), None);
        assert_eq!(pages.get("first", at(5)), Some(made("1")));
        pages.hold("first".into(), made("new"), at(6));
        assert_eq!(pages.get("first", at(7)), Some(made("new")));
        assert_eq!(pages.get("another", at(7)), Some(made("a")));
    }
}
