//! What of a kind strangers may open: nothing, all, or what is named.

use std::collections::BTreeSet;
use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// The most names that are kept.
const MOST_NAMES: usize = 10_000;

/// What of a kind, such as the sheets of items, is released to strangers.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Released {
    /// None of it.
    #[default]
    Nothing,
    /// All of it, and what comes to it later.
    All,
    /// What has these names.
    Named(BTreeSet<String>),
}

impl Released {
    /// Whether what has that name is released.
    pub fn has(&self, name: &str) -> bool {
        match self {
            Self::Nothing => false,
            Self::All => true,
            Self::Named(names) => names.contains(name),
        }
    }

    /// Whether anything is.
    pub fn is_some(&self) -> bool {
        *self != Self::Nothing
    }

    /// The names of what is released one by one.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        let names = match self {
            Self::Named(names) => Some(names),
            Self::Nothing | Self::All => None,
        };
        names.into_iter().flatten().map(String::as_str)
    }

    /// Whether it can be kept: as many names as may be, none of them empty.
    pub(crate) fn fits(&self) -> bool {
        match self {
            Self::Nothing | Self::All => true,
            Self::Named(names) => {
                (1..=MOST_NAMES).contains(&names.len()) && names.iter().all(|name| !name.trim().is_empty())
            }
        }
    }
}

impl FromStr for Released {
    type Err = String;

    /// `nothing`, `all`, or names with commas.
    fn from_str(text: &str) -> Result<Self, String> {
        let read = match text.trim() {
            "nothing" => Self::Nothing,
            "all" => Self::All,
            names => Self::Named(names.split(',').map(|name| name.trim().to_owned()).collect()),
        };
        match read.fits() {
            true => Ok(read),
            false => Err(format!("{text:?} is neither all, nor nothing, nor names with commas")),
        }
    }
}

impl fmt::Display for Released {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::Nothing => f.write_str("nothing"),
            Self::All => f.write_str("all"),
            Self::Named(_) => f.write_str(&self.names().collect::<Vec<_>>().join(", ")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_all_nothing_or_what_is_named() {
        let read = |text: &str| text.parse::<Released>();
        assert_eq!(read(" all "), Ok(Released::All));
        assert_eq!(read("nothing"), Ok(Released::Nothing));
        let named = read("gap, heat").unwrap();
        assert!(named.has("gap") && named.has("heat") && !named.has("all") && !named.has(""));
        assert!(Released::All.has("gap") && !Released::Nothing.has("gap"));
        assert_eq!(named.to_string(), "gap, heat");
        for odd in ["", ",", "gap,,heat", " "] {
            assert!(read(odd).unwrap_err().contains("names with commas"), "{odd}");
        }
        for one in [Released::Nothing, Released::All, named] {
            let text = serde_json::to_string(&one).unwrap();
            assert_eq!(serde_json::from_str::<Released>(&text).unwrap(), one);
        }
    }
}
