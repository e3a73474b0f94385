//! How often something may be done in a while: sign-ins that fail, questions of strangers.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// So many addresses and names are watched at once.
const MOST_WATCHED: usize = 10_000;

/// Who is watched.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Watched {
    /// An address; of the long kind its first half, which is one household's or firm's.
    Address(IpAddr),
    /// A name, whoever uses it.
    Name(String),
}

impl Watched {
    /// Whoever asks from that address.
    pub fn at(address: IpAddr) -> Self {
        Self::Address(match address {
            IpAddr::V6(long) => {
                let [a, b, c, d, ..] = long.segments();
                IpAddr::from([a, b, c, d, 0, 0, 0, 0])
            }
            short => short,
        })
    }
}

/// What was done of late, by whom.
#[derive(Debug)]
pub struct Rates {
    most: usize,
    within: Duration,
    done: Mutex<Done>,
}

/// When what was done, and when it was last looked what is long past.
#[derive(Debug, Default)]
struct Done {
    by: HashMap<Watched, Vec<Instant>>,
    swept: Option<Instant>,
}

/// What is long past is looked for so often, where many are watched.
const SWEEP_EVERY: Duration = Duration::from_secs(1);

impl Rates {
    /// So many times in so long.
    pub fn new(most: usize, within: Duration) -> Self {
        Self {
            most,
            within,
            done: Mutex::default(),
        }
    }

    /// Seconds to wait before it may be done again; `None` where it may be done now.
    pub fn wait(&self, watched: &[Watched], now: Instant) -> Option<u32> {
        let done = self.done.lock().unwrap_or_else(PoisonError::into_inner);
        let waits = watched.iter().filter_map(|one| {
            let recent: Vec<&Instant> = done.by.get(one)?.iter().filter(|at| now - **at < self.within).collect();
            let first = recent.len().checked_sub(self.most)?;
            let left = self.within.saturating_sub(now - **recent.get(first)?);
            Some(u32::try_from(left.as_secs()).unwrap_or(u32::MAX).max(1))
        });
        waits.max()
    }

    /// Notes that it was done.
    pub fn note(&self, watched: &[Watched], now: Instant) {
        let mut done = self.done.lock().unwrap_or_else(PoisonError::into_inner);
        let is_due = done
            .swept
            .is_none_or(|at| now.saturating_duration_since(at) >= SWEEP_EVERY);
        if done.by.len() >= MOST_WATCHED && is_due {
            done.by
                .retain(|_, times| times.iter().any(|at| now - *at < self.within));
            done.swept = Some(now);
        }
        for one in watched {
            // Where too many are watched at once, those that are new are not.
            if done.by.len() < MOST_WATCHED || done.by.contains_key(one) {
                let times = done.by.entry(one.clone()).or_default();
                times.retain(|at| now - *at < self.within);
                times.push(now);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn after_too_many_times_there_is_a_wait_that_ends() {
        let rates = Rates::new(8, Duration::from_secs(900));
        let (ada, bob) = (Watched::Name("Ada".into()), Watched::Name("Bob".into()));
        let home = Watched::at(IpAddr::from([10, 0, 0, 7]));
        let start = Instant::now();
        for _ in 0..8 {
            assert_eq!(rates.wait(&[home.clone(), ada.clone()], start), None);
            rates.note(&[home.clone(), ada.clone()], start);
        }
        assert_eq!(rates.wait(std::slice::from_ref(&ada), start), Some(900));
        assert_eq!(rates.wait(&[home, bob.clone()], start), Some(900));
        assert_eq!(rates.wait(&[bob], start), None);
        assert_eq!(rates.wait(&[ada], start + Duration::from_secs(900)), None);
    }

    #[test]
    fn a_household_is_watched_as_one() {
        let at = |text: &str| Watched::at(text.parse().unwrap());
        assert_eq!(at("2001:db8:1:2:3::4"), at("2001:db8:1:2:ffff::1"));
        assert_ne!(at("2001:db8:1:2::"), at("2001:db8:1:3::"));
        assert_ne!(at("10.0.0.1"), at("10.0.0.2"));
    }
}
