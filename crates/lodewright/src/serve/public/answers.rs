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
pub struct Answers(Mutex<HashMap<String, Held>>);

#[derive(Debug)]
struct Held {
    place: Place,
    /// When it was asked last.
    asked: Instant,
    /// Whether it was asked more than once.
    again: bool,
}

impl Answers {
    /// The place of the answer to a question that is asked now.
    pub fn place(&self, words: &str, now: Instant) -> Place {
        let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(one) = held.get_mut(words) {
            (one.asked, one.again) = (now, true);
            return one.place.clone();
        }
        if held.len() >= MOST {
            held.retain(|_, one| now.saturating_duration_since(one.asked) < FORGOTTEN_AFTER);
        }
        if held.len() >= MOST {
            let oldest = held
                .iter()
                .min_by_key(|(_, one)| one.asked)
                .map(|(words, _)| words.clone());
            oldest.map(|words| held.remove(&words));
        }
        let place = Place::default();
        let one = Held {
            place: place.clone(),
            asked: now,
            again: false,
        };
        held.insert(words.to_owned(), one);
        place
    }

    /// Takes the answer to a question that was asked more than once, at last then.
    pub fn take(&self, words: String, asked: Instant, told: Bytes) {
        let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let one = Held {
            place: Arc::new(OnceCell::new_with(Some(told))),
            asked,
            again: true,
        };
        held.insert(words, one);
    }

    /// The questions that were asked of late and more than once, with when; the latest first.
    pub fn of_late(&self, now: Instant) -> Vec<(String, Instant)> {
        let held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let mut asked: Vec<(String, Instant)> = held
            .iter()
            .filter(|(_, one)| one.again)
            .map(|(words, one)| (words.clone(), one.asked))
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
        assert_eq!(answers.0.lock().unwrap().len(), MOST);
        assert_eq!(answers.place("first", at(5)).get(), Some(&Bytes::from_static(b"told")));
    }

    #[test]
    fn what_was_asked_once_or_long_ago_is_not_of_late() {
        let answers = Answers::default();
        let start = Instant::now();
        answers.place("early", start);
        answers.place("early", start);
        answers.place("late", start);
        answers.place("late", start + FORGOTTEN_AFTER / 2);
        answers.place("once", start + FORGOTTEN_AFTER / 2);
        answers.take("taken".into(), start + FORGOTTEN_AFTER / 3, Bytes::new());
        let of_late = answers.of_late(start + FORGOTTEN_AFTER);
        assert_eq!(
            of_late.iter().map(|(words, _)| words.as_str()).collect::<Vec<_>>(),
            ["late", "taken"]
        );
    }
}
