//! The rules of transport, from `data/rules.toml`.

use std::sync::OnceLock;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// How a parcel may go by air, as far as its field goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Carriage {
    /// Unrestricted under the older and the current wording.
    Free,
    /// Unrestricted under the current wording; some carriers ask for the older.
    Ask,
    /// Magnetised material, to be declared and carried as cargo.
    Declared,
    /// Not without approval of states.
    Never,
}

/// A rule with its limit.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Rule {
    /// What it is called.
    pub name: String,
    /// Where it is measured, m from any surface.
    pub distance: f64,
    /// The most flux density within it, T.
    pub most: f64,
    /// What a parcel beyond it is.
    pub beyond: Carriage,
    /// What it says, and where.
    pub clause: String,
    /// Where that was read.
    pub source: String,
}

/// Another way to send it.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize, ToSchema)]
pub struct Way {
    /// What it is called.
    pub name: String,
    /// What holds for it.
    pub text: String,
    /// Where that was read.
    pub source: String,
}

/// All that the file holds.
#[derive(Debug, Default, Deserialize)]
pub struct Rules {
    /// The rules of air transport.
    pub rule: Vec<Rule>,
    /// The other ways.
    pub way: Vec<Way>,
}

/// The rules.
pub fn rules() -> &'static Rules {
    static RULES: OnceLock<Rules> = OnceLock::new();
    // A test reads the embedded data, so that it cannot be broken in a release.
    RULES.get_or_init(|| toml::from_str(include_str!("../data/rules.toml")).unwrap_or_default())
}

#[cfg(test)]
mod tests;
