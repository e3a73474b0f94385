//! What the public side tells of a shop, and how long enquiries and answers are kept.

use std::collections::BTreeSet;
use std::str::FromStr;

use clap::Args;
use shop::{Released, Settings, Told};

/// What the shop decides on the public side and on what is kept.
#[derive(Debug, Args)]
pub struct PolicyArgs {
    /// What the public side tells besides what would do: grades, prices, stock, notes, or nothing; several with commas.
    #[arg(long, value_name = "WHAT")]
    pub public_tells: Option<Tells>,
    /// The lessons that the public side shows: all, nothing, or names with commas.
    #[arg(long, value_name = "NAMES")]
    pub public_lessons: Option<Released>,
    /// The sheets of items that the public side shows: all, nothing, or codes with commas.
    #[arg(long, value_name = "CODES")]
    pub public_sheets: Option<Released>,
    /// So many days are enquiries and answers kept, marked ones always; 0 for always.
    #[arg(long, value_name = "DAYS")]
    pub keep_days: Option<u32>,
}

/// What the public side tells, in words: `grades,prices`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tells(BTreeSet<Told>);

impl FromStr for Tells {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        if text.trim() == "nothing" {
            return Ok(Self(BTreeSet::new()));
        }
        let named = |word: &str| {
            let word = word.trim();
            Told::ALL.into_iter().find(|told| told.name() == word).ok_or_else(|| {
                let all = Told::ALL.map(Told::name).join(", ");
                format!("{word:?} is none of {all}, nothing")
            })
        };
        text.split(',').map(named).collect::<Result<_, _>>().map(Self)
    }
}

impl PolicyArgs {
    /// The settings with what was given in the place of what was there.
    pub fn over(&self, settings: Settings) -> Settings {
        Settings {
            public_tells: self
                .public_tells
                .clone()
                .map_or(settings.public_tells, |Tells(told)| told),
            public_lessons: self.public_lessons.clone().unwrap_or(settings.public_lessons),
            public_sheets: self.public_sheets.clone().unwrap_or(settings.public_sheets),
            keep_days: match self.keep_days {
                Some(0) => None,
                Some(days) => Some(days),
                None => settings.keep_days,
            },
            ..settings
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_public_side_tells_is_a_list_or_nothing() {
        let tells = |text: &str| text.parse::<Tells>().map(|Tells(told)| Vec::from_iter(told));
        assert_eq!(tells("stock, grades"), Ok(vec![Told::Grades, Told::Stock]));
        assert_eq!(tells("nothing"), Ok(vec![]));
        for odd in ["", "codes", "grades,,stock", "nothing,stock"] {
            assert!(
                tells(odd)
                    .unwrap_err()
                    .contains("grades, prices, stock, notes, nothing"),
                "{odd}"
            );
        }
    }

    #[test]
    fn what_is_not_given_stays() {
        let args = |public_tells: Option<&str>, keep_days| PolicyArgs {
            public_tells: public_tells.map(|text| text.parse().unwrap()),
            public_lessons: None,
            public_sheets: Some(Released::All),
            keep_days,
        };
        let set = args(Some("prices"), Some(400)).over(Settings::default());
        assert_eq!((set.public_tells.len(), set.keep_days), (1, Some(400)));
        assert_eq!(
            (&set.public_lessons, &set.public_sheets),
            (&Released::Nothing, &Released::All)
        );
        assert_eq!(args(None, None).over(set.clone()), set);
        assert_eq!(args(None, Some(0)).over(set).keep_days, None);
    }
}
