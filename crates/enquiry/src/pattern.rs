//! Patterns of words, as the data files write them.
//!
//! `a|b` is either word, a space is *directly after*, `..` is *within six words after*, `&` is *anywhere in the text*,
//! `word*` is any word that begins so, `a_b` is a row of words, `#` is any amount or size, and `!` before a part means that
//! it may stand nowhere.

use crate::lexer::{Item, What};

/// How many words `..` may skip.
const GAP: usize = 6;

/// A pattern of words.
#[derive(Clone, Debug)]
pub(crate) struct Pattern {
    parts: Vec<Part>,
}

#[derive(Clone, Debug)]
struct Part {
    absent: bool,
    row: Vec<Element>,
}

#[derive(Clone, Debug)]
struct Element {
    /// Whether words may stand before it.
    after_gap: bool,
    alternatives: Vec<Vec<Word>>,
}

#[derive(Clone, Debug)]
enum Word {
    /// A word, and its mark.
    Exact(String, u64),
    Prefix(String),
    Amount,
}

impl Pattern {
    pub(crate) fn new(source: &str) -> Self {
        let parts = source
            .split(" & ")
            .map(|part| {
                let part = part.trim();
                let (absent, part) = part.strip_prefix('!').map_or((false, part), |rest| (true, rest));
                let mut row = Vec::new();
                let mut after_gap = false;
                for piece in part.split_whitespace() {
                    if piece == ".." {
                        after_gap = true;
                        continue;
                    }
                    let alternatives = piece
                        .split('|')
                        .map(|a| a.split('_').map(Word::new).collect())
                        .collect();
                    row.push(Element {
                        after_gap,
                        alternatives,
                    });
                    after_gap = false;
                }
                Part { absent, row }
            })
            .collect();
        Self { parts }
    }

    /// Where it first stands, as items; `None` where it does not.
    pub(crate) fn find(&self, words: &Words) -> Option<(usize, usize)> {
        let mut place = None;
        for part in &self.parts {
            let found = part.find(words);
            if found.is_some() == part.absent {
                return None;
            }
            if !part.absent && place.is_none() {
                place = found;
            }
        }
        place.or(Some((0, 0)))
    }
}

/// By what a pattern begins, so that it need not be looked for where none of its beginnings stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Beginning {
    /// This word.
    Exact(String),
    /// A word that begins so.
    Prefix(String),
    /// An amount or a size.
    Amount,
    /// Anything: the pattern only says what may not stand.
    Any,
}

impl Pattern {
    /// The beginnings of the first part that must stand.
    pub(crate) fn beginnings(&self) -> Vec<Beginning> {
        let first = self.parts.iter().find(|p| !p.absent).and_then(|p| p.row.first());
        let Some(first) = first.filter(|f| !f.after_gap) else {
            return vec![Beginning::Any];
        };
        first
            .alternatives
            .iter()
            .map(|row| match row.first() {
                Some(Word::Exact(exact, _)) => Beginning::Exact(exact.clone()),
                Some(Word::Prefix(prefix)) => Beginning::Prefix(prefix.clone()),
                Some(Word::Amount) => Beginning::Amount,
                None => Beginning::Any,
            })
            .collect()
    }
}

impl Word {
    fn new(source: &str) -> Self {
        if source == "#" {
            Self::Amount
        } else if let Some(prefix) = source.strip_suffix('*') {
            Self::Prefix(prefix.to_owned())
        } else {
            Self::Exact(source.to_owned(), mark(source))
        }
    }

    fn matches(&self, seen: &Seen) -> bool {
        match self {
            Self::Exact(exact, mark) => seen.mark == *mark && seen.norm == *exact,
            Self::Prefix(prefix) => seen.norm.starts_with(prefix.as_str()),
            Self::Amount => seen.amount,
        }
    }
}

/// A number by which most different words are told apart at a glance: their first bytes and their length.
fn mark(word: &str) -> u64 {
    let first = word.bytes().take(7).fold(0, |sum, byte| sum << 8 | u64::from(byte));
    first << 8 | (word.len() as u64 & 0xFF)
}

impl Part {
    fn find(&self, words: &Words) -> Option<(usize, usize)> {
        (0..words.list.len()).find_map(|start| {
            let end = self.at(words, start, 0)?;
            Some((words.list[start].item, words.list[end - 1].item))
        })
    }

    fn at(&self, words: &Words, place: usize, element: usize) -> Option<usize> {
        let Some(wanted) = self.row.get(element) else {
            return Some(place);
        };
        let reach = if wanted.after_gap { GAP } else { 0 };
        for skip in 0..=reach {
            for alternative in &wanted.alternatives {
                if let Some(next) = words.after(place + skip, alternative)
                    && let Some(end) = self.at(words, next, element + 1)
                {
                    return Some(end);
                }
            }
        }
        None
    }
}

/// A word as patterns see it.
struct Seen {
    norm: String,
    mark: u64,
    /// Whether it is an amount or a size.
    amount: bool,
    /// Whether it is the unit of the amount before it.
    unit: bool,
    item: usize,
}

/// The words of a text as patterns see them: amounts and sizes are `#`, other stops than the end of a sentence are left out.
pub(crate) struct Words {
    list: Vec<Seen>,
    /// The different words in their order.
    sorted: Vec<String>,
    amounts: bool,
}

impl Words {
    pub(crate) fn of(text: &str, items: &[Item]) -> Self {
        let mut list = Vec::new();
        for (item, it) in items.iter().enumerate() {
            let mut push = |norm: &str, amount: bool, unit: bool| {
                list.push(Seen {
                    norm: norm.to_owned(),
                    mark: mark(norm),
                    amount,
                    unit,
                    item,
                });
            };
            match &it.what {
                What::Word => it
                    .norm
                    .split(['-', ' '])
                    .filter(|p| !p.is_empty())
                    .for_each(|part| push(part, false, false)),
                What::Amount(_) | What::Size(_) => {
                    let source = text[it.range.clone()].to_lowercase();
                    let mut words = source
                        .split(|c: char| !c.is_alphabetic() && c != '/')
                        .filter(|w| !w.is_empty() && *w != "/");
                    let spelled = source.starts_with(char::is_alphabetic) && matches!(it.what, What::Amount(_));
                    push(if spelled { words.next().unwrap_or("") } else { "" }, true, false);
                    words.for_each(|w| push(w, false, true));
                }
                What::Mark('.' | '!' | '?' | ';') => push(".", false, false),
                What::Mark(_) | What::Break => {}
            }
        }
        let mut sorted: Vec<String> = list.iter().map(|s| s.norm.clone()).collect();
        sorted.sort_unstable();
        sorted.dedup();
        Self {
            amounts: list.iter().any(|s| s.amount),
            list,
            sorted,
        }
    }

    /// The different words, in their order.
    pub(crate) fn each(&self) -> &[String] {
        &self.sorted
    }

    /// Whether an amount or a size stands among them.
    pub(crate) fn has_amounts(&self) -> bool {
        self.amounts
    }

    /// Whether a word begins so.
    pub(crate) fn any_begins(&self, prefix: &str) -> bool {
        let from = self.sorted.partition_point(|w| w.as_str() < prefix);
        self.sorted.get(from).is_some_and(|w| w.starts_with(prefix))
    }

    /// The place after a row of words that stands at `place`.
    fn after(&self, place: usize, row: &[Word]) -> Option<usize> {
        let mut at = place;
        for word in row {
            let seen = self.list.get(at)?;
            if !word.matches(seen) {
                return None;
            }
            at += 1;
            if matches!(word, Word::Amount) {
                at += self.list[at..].iter().take_while(|s| s.unit).count();
            }
        }
        Some(at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexer::items;

    #[test]
    fn patterns_say_what_they_say() {
        let text = "Is a magnet that is twice as thick also twice as strong, or 20 mT at 5 mm?";
        let words = Words::of(text, &items(text));
        assert!(Pattern::new("# at #").find(&words).is_some());
        assert!(Pattern::new("mt").find(&words).is_some());
        assert!(Pattern::new("twice|double .. thick*").find(&words).is_some());
        assert!(Pattern::new("thick & strong & twice_as").find(&words).is_some());
        assert!(Pattern::new("twice thick").find(&words).is_none());
        assert!(Pattern::new("thick & !strong").find(&words).is_none());
        assert!(Pattern::new("# mm").find(&words).is_none());
    }
}
