//! Known words close to one that is not known.

use super::dictionary::{Dictionary, Phrases};

/// Finds the nearest known word, for the first few unknown words of a text.
pub(super) struct Speller<'a> {
    names: &'a Phrases,
    left: usize,
}

impl<'a> Speller<'a> {
    /// Words that are looked up in one text; the rest go without a hint, which bounds the work.
    const MOST_WORDS: usize = 8;

    pub(super) fn new(names: &'a Phrases) -> Self {
        Self {
            names,
            left: Self::MOST_WORDS,
        }
    }

    /// The known word with the fewest slips, when they are few for its length.
    pub(super) fn nearest(&mut self, word: &str) -> Option<String> {
        const SHORTEST: usize = 4;
        const LONGEST: usize = 24;
        let length = word.chars().count();
        if self.left == 0 || !(SHORTEST..=LONGEST).contains(&length) {
            return None;
        }
        self.left -= 1;
        let most = if length < 7 { 1 } else { 2 };
        let letters: Vec<char> = word.chars().collect();
        Dictionary::builtin()
            .phrases
            .words()
            .chain(self.names.words())
            .filter(|known| *known != word && known.chars().count() >= SHORTEST)
            .map(|known| (slips(&letters, &known.chars().collect::<Vec<_>>()), known))
            .filter(|(slips, _)| *slips <= most)
            .min()
            .map(|(_, known)| known.to_owned())
    }
}

/// Letters added, left out, exchanged or swapped with their neighbour between two words: the restricted edit distance.
fn slips(a: &[char], b: &[char]) -> usize {
    let mut rows: Vec<Vec<usize>> = vec![(0..=b.len()).collect()];
    for i in 1..=a.len() {
        let mut row = vec![i];
        for j in 1..=b.len() {
            let same = usize::from(a[i - 1] != b[j - 1]);
            let mut least = (rows[i - 1][j] + 1).min(row[j - 1] + 1).min(rows[i - 1][j - 1] + same);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                least = least.min(rows[i - 2][j - 2] + 1);
            }
            row.push(least);
        }
        rows.push(row);
    }
    rows.last().and_then(|row| row.last()).copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_slips() {
        let slips = |a: &str, b: &str| slips(&a.chars().collect::<Vec<_>>(), &b.chars().collect::<Vec<_>>());
        assert_eq!(slips("paint", "paint"), 0);
        assert_eq!(slips("piant", "paint"), 1);
        assert_eq!(slips("pait", "paint"), 1);
        assert_eq!(slips("paints", "paint"), 1);
        assert_eq!(slips("", "paint"), 5);
        assert_eq!(slips("sideway", "sideways"), 1);
    }
}
