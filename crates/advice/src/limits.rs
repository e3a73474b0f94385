//! The table of limits: whatever a question may ask of a magnet beside its need, a row each.
//!
//! A row has all that is known of its limit: the field of the question, the blank and the words of the sentence, what is
//! sensible to ask, what breaks it, how far off a miss is, and how a miss is told. Who checks, searches, ranks or words
//! goes through the rows and knows none of them by name, so that a new limit is a field of the question and a row here.

mod conditions;
mod kind;
mod order;
mod size;

use std::fmt;

use materials::coating::Coating;
use materials::grade::GradeRow;
use quantity::{Length, Mass, Money, Temperature};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use serde_json::Value;

use crate::blank::{BlankKind, Choice, Spec};
use crate::catalogue::{Catalogue, Wanted};
use crate::item::Item;
use crate::not_computable::NotComputable;
use crate::question::{Conditions, Limits, Question};
use crate::sane::{self, QuestionError, wrong};

/// The distance of a miss beyond which it is of no interest: by a factor of 1.57.
pub(crate) const FARTHEST: f64 = 0.45;
/// The distance of a miss in kind.
const IN_KIND: f64 = 0.35;

/// A row of the table.
pub struct Limit {
    /// Its place in the question, and its blank.
    pub(crate) blank: Spec,
    /// What stands before and behind the blank in the sentence.
    pub(crate) words: [&'static str; 2],
    /// What may be chosen for it; nothing where it is typed.
    pub(crate) options: fn(&Question) -> Vec<Choice>,
    /// Whether it is offered while it is unset.
    pub(crate) offered: fn(&Question) -> bool,
    /// What the question asks; `None` where it does not.
    pub(crate) asked: fn(Terms) -> Option<Asked>,
    /// The limit that this one may not lie above.
    not_above: Option<&'static str>,
    /// What else is wrong to ask, beside what lies out of reason.
    check: fn(&Question, &Catalogue) -> Result<(), QuestionError>,
    /// What breaks it.
    rules: &'static [Rule],
    /// How far off a miss is.
    distance: Distance,
    /// How a miss is told, after "but": `{has}` stands for what it has, `{over}` for how far that is off, `{grade}` and
    /// `{coating}` for the item's, `{place}` for its surroundings.
    pub(crate) text: fn(Terms, &Has) -> &'static str,
    /// Whether it limits the size of a build.
    pub(crate) of_size: bool,
}

/// What a question asks beside its need.
#[derive(Clone, Copy)]
pub(crate) struct Terms<'a> {
    pub conditions: &'a Conditions,
    pub limits: &'a Limits,
}

/// A limit as it is asked.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Asked {
    Length(Length),
    Mass(Mass),
    Temperature(Temperature),
    Money(Money),
    Count(u32),
    /// A name.
    Named(String),
    /// One of a choice, and how it reads; it stands without the words of its row.
    One(Value, String),
    /// Any of these.
    Any(Vec<String>),
}

/// What a build has where a limit asks for something else.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Has {
    /// None of it, or something of another kind.
    Nothing,
    /// m.
    Length(f64),
    /// kg.
    Mass(f64),
    /// °C.
    Celsius(f64),
    /// Flux density far off, as rules of transport count it, T.
    FarField(f64),
    /// An amount.
    Money(Money),
    /// Pieces in a stack.
    Stacked(u32),
    /// Pieces on hand.
    Stock {
        /// On hand.
        has: u64,
        /// Needed.
        needs: u64,
    },
}

/// What breaks a limit: what is had in its place, or `None` where it is kept.
pub(crate) enum Rule {
    /// By the item and its part, whatever is built of them.
    Item(fn(Terms, &Piece) -> Option<Has>),
    /// By the whole build.
    Build(fn(Terms, &Whole) -> Option<Has>),
    /// By the field of the build at 2.1 m, T, at the high end of its band.
    FarField(fn(Terms, &dyn Fn() -> FarField) -> Judged),
}

/// What is had in place of what is asked, where that can be computed.
pub(crate) type Judged = Result<Option<Has>, NotComputable>;

/// A flux density far off, T.
pub(crate) type FarField = Result<f64, NotComputable>;

/// What is known of an item, on its own or with a part.
pub(crate) struct Piece<'a> {
    pub item: &'a Item,
    pub grade: &'a GradeRow,
    pub coating: &'a Coating,
    /// The grades that the question names.
    pub wanted: &'a [Wanted],
    /// Size across, m.
    pub width: f64,
    /// Diameter of a hole through it, m; 0 for none.
    pub hole: f64,
    /// Whether all of it has a price.
    pub priced: bool,
}

/// What is known of a build, bare or with a part.
pub(crate) struct Whole<'a> {
    pub pieces: u32,
    /// m.
    pub height: f64,
    /// kg.
    pub mass: f64,
    /// Price of one build, or of all that share a load.
    pub each: Option<Money>,
    /// Price of all builds.
    pub total: Option<Money>,
    /// What is on hand of its magnets and of its part, and what is needed.
    pub stock: &'a [(Option<u64>, u64)],
}

/// How far off a miss is: 0 is hardly at all.
enum Distance {
    /// By the ratio to what is asked; that much where there is none.
    Ratio(f64),
    /// A fixed one, for what differs in kind.
    Fixed(f64),
    /// Its own.
    Of(fn(Terms, &Has) -> Option<f64>),
}

impl Question {
    pub(crate) fn terms(&self) -> Terms<'_> {
        Terms {
            conditions: &self.conditions,
            limits: &self.limits,
        }
    }
}

/// All limits, in the order of the sentence.
pub(crate) fn all() -> impl Iterator<Item = &'static Limit> {
    let groups: [&'static [Limit]; 4] = [&conditions::ROWS, &size::ROWS, &kind::ROWS, &order::ROWS];
    groups.into_iter().flatten()
}

/// The limit of that field, a JSON pointer into the question.
pub(crate) fn at(path: &str) -> Option<&'static Limit> {
    all().find(|limit| limit.blank.path == path)
}

/// The limits that are asked or not, without a value.
pub fn switches() -> impl Iterator<Item = &'static Limit> {
    all().filter(|limit| limit.blank.kind == BlankKind::Switch)
}

/// The limits that an item breaks whatever is built of it, with what it has.
pub(crate) fn broken_by_item(terms: Terms, piece: &Piece) -> impl Iterator<Item = (&'static Limit, Has)> {
    broken(move |rule| match rule {
        Rule::Item(rule) => rule(terms, piece),
        _ => None,
    })
}

/// The limits that a build breaks as a whole.
pub(crate) fn broken_by_build(terms: Terms, whole: &Whole) -> impl Iterator<Item = (&'static Limit, Has)> {
    broken(move |rule| match rule {
        Rule::Build(rule) => rule(terms, whole),
        _ => None,
    })
}

/// The limits that a build breaks by its field far off.
///
/// # Errors
/// [`NotComputable`] where that field is.
pub(crate) fn broken_by_far_field(
    terms: Terms,
    field: &dyn Fn() -> FarField,
) -> Result<Vec<(&'static Limit, Has)>, NotComputable> {
    let mut out = Vec::new();
    for limit in all() {
        for rule in limit.rules {
            if let Rule::FarField(rule) = rule {
                out.extend(rule(terms, field)?.map(|has| (limit, has)));
            }
        }
    }
    Ok(out)
}

fn broken(has: impl Fn(&Rule) -> Option<Has>) -> impl Iterator<Item = (&'static Limit, Has)> {
    all().filter_map(move |limit| limit.rules.iter().find_map(&has).map(|has| (limit, has)))
}

/// Checks what a question asks beside its need.
pub(crate) fn check(question: &Question, catalogue: &Catalogue) -> Result<(), QuestionError> {
    all().try_for_each(|limit| {
        limit.in_reason(question.terms())?;
        (limit.check)(question, catalogue)
    })
}

/// Checks that conditions are within reason.
pub(crate) fn check_conditions(conditions: &Conditions) -> Result<(), QuestionError> {
    let none = Limits::default();
    let terms = Terms {
        conditions,
        limits: &none,
    };
    conditions::ROWS.iter().try_for_each(|limit| limit.in_reason(terms))
}

impl Limit {
    /// What most rows have in common.
    const ROW: Self = Self {
        blank: Spec::may("", "", BlankKind::Length, "", ""),
        words: ["", ""],
        options: |_| Vec::new(),
        offered: |_| true,
        asked: |_| None,
        not_above: None,
        check: |_, _| Ok(()),
        rules: &[],
        distance: Distance::Ratio(IN_KIND),
        text: |_, _| "",
        of_size: false,
    };

    /// Its place in the question, a JSON pointer.
    pub fn path(&self) -> &'static str {
        self.blank.path
    }

    /// What it is, in a few words; of a switch, those that ask for it.
    pub fn label(&self) -> &'static str {
        self.blank.label
    }

    /// The question with that value in its place; `None` where it does not fit there.
    pub fn set(&self, question: &Question, value: Value) -> Option<Question> {
        let mut json = serde_json::to_value(question).ok()?;
        let (parent, field) = self.path().rsplit_once('/')?;
        json.pointer_mut(parent)?
            .as_object_mut()?
            .insert(field.to_owned(), value);
        serde_json::from_value(json).ok()
    }

    /// Whether what is asked is no slip of the pen.
    fn in_reason(&self, terms: Terms) -> Result<(), QuestionError> {
        let Spec {
            path, label, example, ..
        } = self.blank;
        let Some(asked) = (self.asked)(terms) else {
            return Ok(());
        };
        let what = format!("the {label}");
        let hint = |kind: &str| format!("give {kind} such as {example}, or leave it out");
        match asked {
            Asked::Length(l) => sane::within::<Length>(path, &what, l.si(), sane::SIZE, &hint("a length"))?,
            Asked::Mass(m) => sane::within::<Mass>(path, &what, m.si(), sane::MASS, &hint("a mass"))?,
            Asked::Temperature(t) => {
                let range = sane::CELSIUS.map(|celsius| Temperature::from_celsius(celsius).si());
                sane::within::<Temperature>(path, &what, t.si(), range, &hint("a temperature"))?;
            }
            Asked::Money(m) if m <= Money::ZERO => {
                return Err(wrong(path, format!("{what} must be greater than 0"), hint("an amount")));
            }
            Asked::Money(_) | Asked::Count(_) | Asked::Named(_) | Asked::One(..) | Asked::Any(_) => {}
        }
        if let Some(upper) = self.not_above.and_then(at)
            && let (Some(low), Some(high)) = (asked.number(), (upper.asked)(terms).and_then(|high| high.number()))
            && low > high
        {
            return Err(wrong(
                path,
                format!("{what} is above the {}", upper.blank.label),
                format!("give the smaller value as the {label}"),
            ));
        }
        Ok(())
    }

    /// How far off a miss is; `None` where it is of no interest.
    pub(crate) fn distance(&self, terms: Terms, has: &Has) -> Option<f64> {
        match self.distance {
            Distance::Fixed(distance) => Some(distance),
            Distance::Of(distance) => distance(terms, has),
            Distance::Ratio(else_) => match (has.number(), (self.asked)(terms)?.number()) {
                (Some(has), Some(asked)) => Some((has / asked).ln().abs()),
                _ => Some(else_),
            },
        }
    }
}

impl Asked {
    /// In SI, °C, or the shop's currency.
    pub(crate) fn number(&self) -> Option<f64> {
        Some(match self {
            Self::Length(length) => length.si(),
            Self::Mass(mass) => mass.si(),
            Self::Temperature(temperature) => temperature.celsius(),
            Self::Money(money) => money.to_f64(),
            Self::Count(n) => f64::from(*n),
            Self::Named(_) | Self::One(..) | Self::Any(_) => return None,
        })
    }

    /// A switch that is on.
    fn on(set: bool, text: &str) -> Option<Self> {
        set.then(|| Self::One(true.into(), text.into()))
    }
}

impl Has {
    /// In SI, °C, or the shop's currency.
    pub(crate) fn number(&self) -> Option<f64> {
        Some(match self {
            Self::Length(x) | Self::Mass(x) | Self::Celsius(x) | Self::FarField(x) => *x,
            Self::Money(money) => money.to_f64(),
            Self::Stacked(n) => f64::from(*n),
            Self::Nothing | Self::Stock { .. } => return None,
        })
    }

    /// Nothing, where that breaks a limit.
    fn nothing_if(broken: bool) -> Option<Self> {
        broken.then_some(Self::Nothing)
    }
}

impl PartialEq for Limit {
    fn eq(&self, other: &Self) -> bool {
        self.blank.path == other.blank.path
    }
}

impl fmt::Debug for Limit {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(self.blank.path)
    }
}

/// Writes a limit as its field.
pub(crate) fn serialize<S: Serializer>(limit: &&'static Limit, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(limit.blank.path)
}

/// Reads a limit by its field.
pub(crate) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<&'static Limit, D::Error> {
    let path = String::deserialize(deserializer)?;
    at(&path).ok_or_else(|| de::Error::custom(format!("no limit is at {path:?}")))
}

#[cfg(test)]
mod tests;
