//! Answers that were given of late: equal questions of one moment are answered once. They are in memory alone, and few.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use axum::body::Bytes;
use tokio::sync::OnceCell;

/// So many are held.
pub const MOST: usize = 500;
/// One that nobody has asked for so long is forgotten.
pub const FORGOTTEN_AFTER: Duration = Duration::from_secs(600);

/// The place of an answer: empty until it is worked out, by one for all who wait for it.
pub type Place = Arc<OnceCell<Bytes>>;

/// The answers to questions, by their words.
#[derive(Debug, Default)]
pub struct Answers(Mutex<HashMap<String, (Place, Instant)>>);

impl Answers {
    /// The place of the answer to a question that is asked now.
    pub fn place(&self, words: &str, now: Instant) -> Place {
        let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((place, asked)) = held.get_mut(words) {
            *asked = now;
            return place.clone();
        }
        if held.len() >= MOST {
            held.retain(|_, (_, asked)| now.saturating_duration_since(*asked) < FORGOTTEN_AFTER);
        }
        if held.len() >= MOST {
            let oldest = held
                .iter()
                .min_by_key(|(_, (_, asked))| *asked)
                .map(|(words, _)| words.clone());
            oldest.map(|words| held.remove(&words));
        }
        let place = Place::default();
        held.insert(words.to_owned(), (place.clone(), now));
        place
    }

    /// The questions that were asked of late, with when; the latest first.
    pub fn of_late(&self, now: Instant) -> Vec<(String, Instant)> {
        let held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let mut asked: Vec<(String, Instant)> = held
            .iter()
            .map(|(words, (_, asked))| (words.clone(), *asked))
            .filter(|(_, asked)| now.saturating_duration_since(*asked) < FORGOTTEN_AFTER)
            .collect();
        asked.sort_by_key(|(_, asked)| std::cmp::Reverse(*asked));
        asked
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_questions_have_one_place_and_the_oldest_is_given_up() {
        let answers = Answers::default();
        let start = Instant::now();
        let at = |second: u64| start + Duration::from_secs(second);
        let first = answers.place("first", at(0));
        first.set(Bytes::from_static(b"told")).unwrap();
        assert!(Arc::ptr_eq(&first, &answers.place("first", at(1))));
        for k in 1..MOST {
            answers.place(&format!("question {k}"), at(2));
        }
        answers.place("first", at(3));
        for k in 0..20 {
            answers.place(&format!("another {k}"), at(4));
        }
        let held = answers.of_late(at(4));
        assert_eq!(held.len(), MOST);
        assert!(held[0].0.starts_with("another") && held.iter().any(|(words, _)| words == "first"));
        assert_eq!(answers.place("first", at(5)).get(), Some(&Bytes::from_static(b"told")));
    }

    #[test]
    fn what_nobody_asks_for_a_while_is_forgotten() {
        let answers = Answers::default();
        let start = Instant::now();
        answers.place("early", start);
        answers.place("late", start + FORGOTTEN_AFTER / 2);
        let of_late = answers.of_late(start + FORGOTTEN_AFTER);
        assert_eq!(
            of_late.iter().map(|(words, _)| words.as_str()).collect::<Vec<_>>(),
            ["late"]
        );
    }
}
