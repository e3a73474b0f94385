//! What strangers see: the shop as it stood at one moment, and the answers given of it.
//!
//! Nobody who asks waits for the shelf to be read. Where the shop has changed, the shelf is read and what was asked of late is
//! answered anew beside the old sight, which then gives way as a whole.

use std::sync::{Arc, Mutex, PoisonError, RwLock};
use std::time::{Duration, Instant};

use numerics::stop::Stop;
use shop::Shop;

use super::answers::Answers;
use super::pages::Pages;
use super::told;
use crate::desk::Desk;
use crate::problem::Problem;
use crate::serve::Shared;

/// How often it is looked whether the shop has changed.
const LOOK_EVERY: Duration = Duration::from_millis(500);
/// What was asked of late and more than once is answered anew before a sight changes: at most so many questions, in about so long.
const MOST_ANEW: usize = 64;
const ANEW_WITHIN: Duration = Duration::from_secs(300);

/// The shop as it stood at one moment.
pub struct Sight {
    /// A desk that keeps to that moment, and cannot change the shop.
    pub desk: Shared,
    /// Answers given of it.
    pub answers: Answers,
    /// Lessons and sheets that were made of it.
    pub pages: Pages,
    /// Which moment that was.
    of: Moment,
}

/// The sight of a shop, and whether there is a newer one.
pub struct Sights {
    /// The shop, for reading.
    shop: Arc<Shop>,
    now: RwLock<Arc<Sight>>,
    looked: Mutex<Instant>,
}

/// A shop for reading alone; one in memory has but one connection.
fn for_reading(shop: &Arc<Shop>) -> Result<Arc<Shop>, Problem> {
    Ok(match shop.path() {
        Some(path) => Arc::new(Shop::open_for_reading(path)?),
        None => shop.clone(),
    })
}

/// What tells one moment of a shop from another.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Moment {
    revision: u64,
    /// How often its file was replaced.
    replaced: u64,
    /// Its own lessons, which are no part of the revision.
    lessons: Vec<(String, String)>,
}

impl Moment {
    fn of(shop: &Shop) -> Result<Self, Problem> {
        Ok(Self {
            revision: shop.revision()?,
            lessons: shop.own_lessons()?,
            replaced: shop.replaced(),
        })
    }
}

impl Sight {
    fn of(shop: &Arc<Shop>, of: Moment) -> Result<Self, Problem> {
        let desk = Arc::new(Desk::of_one_moment(for_reading(shop)?));
        desk.shelf()?;
        Ok(Self {
            desk,
            answers: Answers::default(),
            pages: Pages::default(),
            of,
        })
    }
}

impl Sights {
    /// The sight of a shop.
    ///
    /// # Errors
    /// When it cannot be read.
    pub fn of(shop: &Arc<Shop>) -> Result<Self, Problem> {
        let shop = for_reading(shop)?;
        let first = Sight::of(&shop, Moment::of(&shop)?)?;
        Ok(Self {
            shop,
            now: RwLock::new(Arc::new(first)),
            looked: Mutex::new(Instant::now()),
        })
    }

    /// The newest sight.
    pub fn now(&self) -> Arc<Sight> {
        self.now.read().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Whether it is time to look whether the shop has changed; it is then somebody's turn.
    pub fn is_due(&self, now: Instant) -> bool {
        let mut looked = self.looked.lock().unwrap_or_else(PoisonError::into_inner);
        let is_due = now.saturating_duration_since(*looked) >= LOOK_EVERY;
        if is_due {
            *looked = now;
        }
        is_due
    }

    /// Looks at the shop anew where it has changed.
    ///
    /// # Errors
    /// When it cannot be read; the sight is then the old one.
    pub fn renew(&self, stop: &Stop) -> Result<(), Problem> {
        let (old, of) = (self.now(), Moment::of(&self.shop)?);
        if old.of == of {
            return Ok(());
        }
        let new = Sight::of(&self.shop, of)?;
        let begun = Instant::now();
        // What the shop does not tell any more is not told for another minute either.
        let stays = old.desk.shelf()?.settings == new.desk.shelf()?.settings;
        let wanted = if stays { MOST_ANEW } else { 0 };
        for (words, asked) in old.answers.of_late(begun).into_iter().take(wanted) {
            if stop.is_set() || begun.elapsed() >= ANEW_WITHIN {
                break;
            }
            // What cannot be answered any more is said to whoever asks it.
            if let Ok(told) = told(&new.desk, &words, false, stop) {
                new.answers.take(words, asked, told);
            }
        }
        *self.now.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(new);
        Ok(())
    }
}

#[cfg(test)]
mod tests;
