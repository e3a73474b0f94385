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
    /// All for whom no place was left.
    Others,
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

    /// Notes that it is done now; or says how many seconds are to be waited before it may be done again.
    ///
    /// # Errors
    /// The seconds, where it was done too often of late.
    pub fn take(&self, one: &Watched, now: Instant) -> Result<(), u32> {
        let mut done = self.done.lock().unwrap_or_else(PoisonError::into_inner);
        let times = done.of(one, now, self.within);
        times.retain(|at| now.saturating_duration_since(*at) < self.within);
        let first = times.len().checked_sub(self.most).and_then(|first| times.get(first));
        if let Some(first) = first {
            let left = self.within.saturating_sub(now.saturating_duration_since(*first));
            return Err(u32::try_from(left.as_secs()).unwrap_or(u32::MAX).max(1));
        }
        times.push(now);
        Ok(())
    }

    /// What was taken at that time does not count.
    pub fn give_back(&self, one: &Watched, at: Instant) {
        let mut done = self.done.lock().unwrap_or_else(PoisonError::into_inner);
        let times = done.of(one, at, self.within);
        if let Some(place) = times.iter().position(|time| *time == at) {
            times.remove(place);
        }
    }
}

impl Done {
    /// When somebody did it. Where too many are watched at once, those who are new are watched together.
    fn of(&mut self, one: &Watched, now: Instant, within: Duration) -> &mut Vec<Instant> {
        let is_due = self
            .swept
            .is_none_or(|at| now.saturating_duration_since(at) >= SWEEP_EVERY);
        if self.by.len() >= MOST_WATCHED && is_due {
            self.by
                .retain(|_, times| times.iter().any(|at| now.saturating_duration_since(*at) < within));
            self.swept = Some(now);
        }
        let has_place = self.by.len() < MOST_WATCHED || self.by.contains_key(one);
        self.by
            .entry(if has_place { one.clone() } else { Watched::Others })
            .or_default()
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
            assert_eq!(rates.take(&home, start), Ok(()));
            assert_eq!(rates.take(&ada, start), Ok(()));
        }
        assert_eq!(rates.take(&ada, start), Err(900));
        assert_eq!(rates.take(&home, start), Err(900));
        assert_eq!(rates.take(&bob, start), Ok(()));
        // What did not count leaves its place, once.
        rates.give_back(&home, start);
        assert_eq!(rates.take(&home, start), Ok(()));
        assert_eq!(rates.take(&home, start), Err(900));
        assert_eq!(rates.take(&ada, start + Duration::from_secs(900)), Ok(()));
    }

    #[test]
    fn those_for_whom_no_place_is_left_are_watched_together() {
        let rates = Rates::new(2, Duration::from_secs(60));
        let at = |k: usize| Watched::at(IpAddr::from([10, 1, (k >> 8) as u8, k as u8]));
        let start = Instant::now();
        for k in 0..MOST_WATCHED {
            assert_eq!(rates.take(&at(k), start), Ok(()));
        }
        let late = ["10.9.0.1", "10.9.0.2", "10.9.0.3"].map(|text| Watched::at(text.parse().unwrap()));
        assert_eq!(
            late.each_ref().map(|one| rates.take(one, start)),
            [Ok(()), Ok(()), Err(60)]
        );
        // Whoever was there before is watched as before, and places are found again in time.
        assert_eq!(
            [rates.take(&at(7), start), rates.take(&at(7), start)],
            [Ok(()), Err(60)]
        );
        let later = start + Duration::from_secs(61);
        assert_eq!(late.each_ref().map(|one| rates.take(one, later)), [Ok(()); 3]);
    }

    #[test]
    fn a_household_is_watched_as_one() {
        let at = |text: &str| Watched::at(text.parse().unwrap());
        assert_eq!(at("2001:db8:1:2:3::4"), at("2001:db8:1:2:ffff::1"));
        assert_ne!(at("2001:db8:1:2::"), at("2001:db8:1:3::"));
        assert_ne!(at("10.0.0.1"), at("10.0.0.2"));
    }
}
