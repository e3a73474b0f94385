//! Bands: the interval in which the true value lies with 95 % coverage, and what widens it.

use serde::{Deserialize, Serialize};

use crate::input::Cause;
use crate::spread::Spread;

/// How a band was found.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// Terms of second order move it by less than a fiftieth of its half-width (JCGM 100:2008, Eq. 10 and 12).
    #[default]
    FirstOrder,
    /// The response bends: terms of second order count (JCGM 100:2008, 5.1.2 note).
    SecondOrder,
    /// The inputs do not act apart from each other: their distributions were drawn from (JCGM 101:2008).
    MonteCarlo,
}

/// A predicted value with its 95 % interval and the share of each cause.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Band {
    /// The value with every input at its median. It is near the median of the value, but not the same where limits or
    /// the response are lopsided.
    pub mid: f64,
    /// Lower end of the 95 % interval: one in forty lies below.
    pub low: f64,
    /// Upper end of the 95 % interval: one in forty lies above.
    pub high: f64,
    /// How the interval was found.
    #[serde(default)]
    pub method: Method,
    /// Causes by falling share; the shares add up to 1 unless the band has no width.
    pub shares: Vec<Share>,
    /// How the value is spread; `None` where it is certain.
    #[serde(default, rename = "law")]
    pub spread: Option<Spread>,
}

/// What one cause adds to a band.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Share {
    /// The cause.
    pub cause: Cause,
    /// The lowest value that this cause brings at its 95 % ends, everything else in the middle; inputs of one cause
    /// are combined in quadrature.
    #[serde(default)]
    pub low: f64,
    /// The highest such value.
    #[serde(default)]
    pub high: f64,
    /// Half the width between the two, in the unit of the value.
    pub half_width: f64,
    /// Its part of the variance, 0 to 1.
    pub share: f64,
}

impl Band {
    /// A value without any doubt.
    pub fn certain(value: f64) -> Self {
        Self {
            mid: value,
            low: value,
            high: value,
            method: Method::FirstOrder,
            shares: Vec::new(),
            spread: None,
        }
    }

    /// The band of so many times the value.
    #[must_use]
    pub fn scaled(mut self, factor: f64) -> Self {
        for x in [&mut self.mid, &mut self.low, &mut self.high] {
            *x *= factor;
        }
        for share in &mut self.shares {
            for x in [&mut share.low, &mut share.high, &mut share.half_width] {
                *x *= factor;
            }
        }
        self.spread = self.spread.map(|spread| spread.scaled(factor));
        self
    }

    /// The chance that a piece reaches at least `need`, 0 to 1.
    pub fn chance_of_at_least(&self, need: f64) -> f64 {
        match &self.spread {
            Some(spread) => 1.0 - spread.below(need),
            None if need <= self.mid => 1.0,
            None => 0.0,
        }
    }
}
