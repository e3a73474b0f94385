//! How strictly lots are inspected.

use bench::sampling::Severity;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// How strictly the lots of a supplier are inspected.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Strictness {
    /// As one begins.
    #[default]
    Normal,
    /// After lots were rejected.
    Tightened,
    /// After many good lots.
    Reduced,
}

impl From<Strictness> for Severity {
    fn from(strictness: Strictness) -> Self {
        match strictness {
            Strictness::Normal => Self::Normal,
            Strictness::Tightened => Self::Tightened,
            Strictness::Reduced => Self::Reduced,
        }
    }
}

impl From<Severity> for Strictness {
    fn from(severity: Severity) -> Self {
        match severity {
            Severity::Normal => Self::Normal,
            Severity::Tightened => Self::Tightened,
            Severity::Reduced => Self::Reduced,
        }
    }
}

impl Strictness {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Tightened => "tightened",
            Self::Reduced => "reduced",
        }
    }
}
