//! What rules builds out, and the items that one such rule put out.

use serde::{Deserialize, Serialize};

use super::NeedFigure;
use super::build::Build;
use crate::item::Item;
use crate::limits::{self, FARTHEST, Has, Limit};
use crate::question::Question;

/// An item that one constraint ruled out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NearMiss {
    /// The item as it stood on the shelf.
    pub item: Item,
    /// The build looked at.
    pub build: Build,
    /// Its value at the middle of the band.
    pub value: f64,
    /// What ruled it out.
    pub ruled_out_by: RuledOut,
}

/// What ruled a build out: a limit of the question, its need, or what physics does to it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "rule", rename_all = "snake_case")]
pub enum RuledOut {
    /// A limit of the question.
    Limit {
        /// Which.
        #[serde(with = "limits")]
        limit: &'static Limit,
        /// What it has.
        has: Has,
    },
    /// Too weak: the part of the need that it reaches.
    TooWeak {
        /// Value over need, below 1.
        reaches: f64,
    },
    /// Too much field at the further point, T.
    TooMuchFar {
        /// Its value, T.
        has: f64,
    },
    /// Wider than the plate that it sticks to, so that part of its face has no steel under it, m.
    Overhangs {
        /// Its size.
        has: f64,
    },
    /// Its own field takes too much of it past its knee at this temperature.
    PastKnee {
        /// Share of its flux that is lost permanently.
        loss: f64,
        /// °C.
        celsius: f64,
    },
    /// The item's data cannot be computed with.
    NotComputable,
}

impl RuledOut {
    /// Whether it is the limit of that field.
    pub(crate) fn is_limit(&self, path: &str) -> bool {
        matches!(self, Self::Limit { limit, .. } if limit.path() == path)
    }

    /// How far it was missed by, for putting the closest near misses first: 0 is hardly at all, `None` is too far to be of interest.
    pub(crate) fn distance(&self, question: &Question, need: &NeedFigure) -> Option<f64> {
        let over = |has: f64, allowed: Option<f64>| allowed.map(|a| (has / a).ln().abs());
        let miss = match self {
            Self::Limit { limit, has } => limit.distance(question.terms(), has),
            Self::TooWeak { reaches } => Some(-reaches.max(1e-9).ln()),
            Self::TooMuchFar { has } => over(*has, need.ceiling),
            Self::Overhangs { has } => over(*has, question.need.plate_across()),
            Self::PastKnee { loss, .. } => Some(*loss),
            Self::NotComputable => None,
        };
        miss.filter(|distance| *distance <= FARTHEST)
    }
}

impl From<(&'static Limit, Has)> for RuledOut {
    fn from((limit, has): (&'static Limit, Has)) -> Self {
        Self::Limit { limit, has }
    }
}
