//! Results that were found before: questions over one shelf ask for the same builds, in the same shapes, again and again.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hasher};
use std::sync::{LazyLock, Mutex, PoisonError};

/// Results by their inputs.
pub(crate) struct Memo<T> {
    known: LazyLock<Mutex<HashMap<u128, T>>>,
    /// Results kept at most; then the memory begins afresh.
    most: usize,
}

impl<T: Clone> Memo<T> {
    pub(crate) const fn new(most: usize) -> Self {
        Self {
            known: LazyLock::new(Mutex::default),
            most,
        }
    }

    /// What `find` gives for these inputs, found once. Inputs are told apart by 128 bits of hash over all their digits.
    pub(crate) fn once<E>(
        &self,
        inputs: impl IntoIterator<Item = f64>,
        find: impl FnOnce() -> Result<T, E>,
    ) -> Result<T, E> {
        let key = key(inputs);
        // A thread that panicked has left a map that is whole.
        let known = || self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = known().get(&key) {
            return Ok(found.clone());
        }
        let found = find()?;
        let mut known = known();
        if known.len() >= self.most {
            known.clear();
        }
        known.insert(key, found.clone());
        Ok(found)
    }
}

fn key(inputs: impl IntoIterator<Item = f64>) -> u128 {
    let mut hashers = [DefaultHasher::new(), DefaultHasher::new()];
    hashers[1].write_u8(1);
    for number in inputs {
        hashers.iter_mut().for_each(|hasher| hasher.write_u64(number.to_bits()));
    }
    let [high, low] = hashers.map(|hasher| u128::from(hasher.finish()));
    high << 64 | low
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_is_found_once_and_the_next_float_is_another() {
        let memo = Memo::new(100);
        let mut found = 0;
        let mut ask = |x: f64| {
            memo.once([x], || {
                found += 1;
                Ok::<_, ()>(x)
            })
        };
        assert_eq!(ask(0.5), ask(0.5));
        assert_ne!(ask(0.5), ask(0.5 + f64::EPSILON));
        assert_eq!(found, 2);
        assert_eq!(memo.once([2.0], || Err("no")), Err("no"));
        assert_eq!(memo.once([2.0], || Ok::<_, ()>(0.25)), Ok(0.25));
    }

    #[test]
    fn a_full_memory_begins_afresh() {
        let memo = Memo::new(2);
        for x in [0.0, 1.0, 2.0, 3.0, 4.0] {
            assert_eq!(memo.once([x], || Ok::<_, ()>(x)), Ok(x));
            assert!(memo.known.lock().unwrap().len() <= 2);
        }
    }
}
