//! Curves that share two axes, with marked points and shaded stretches: for charts that are no value against a distance.

use serde::Serialize;
use utoipa::ToSchema;

use crate::view::Pair;

/// Several curves over one another, in the reader's units.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Plot {
    /// What is shown.
    pub title: String,
    /// From left to right.
    pub x: PlotAxis,
    /// From bottom to top.
    pub y: PlotAxis,
    /// The curves, the one that is read first.
    pub curves: Vec<PlotCurve>,
    /// Points with their words.
    pub marks: Vec<PlotMark>,
    /// Stretches of the x axis with their words.
    pub stretches: Vec<PlotStretch>,
    /// What the curves teach.
    pub remark: String,
}

/// An axis.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PlotAxis {
    /// What it is.
    pub label: String,
    /// Its unit; empty for a plain number.
    pub unit: String,
}

/// A curve.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PlotCurve {
    /// What it is, short enough to stand on it.
    pub name: String,
    /// How it is drawn.
    pub role: CurveRole,
    /// Its points `[x, y]`, in the axes' units.
    #[schema(value_type = Vec<Pair>)]
    pub points: Vec<[f64; 2]>,
}

/// How a curve is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum CurveRole {
    /// The one that is read.
    Main,
    /// One to compare it with.
    Beside,
    /// A limit that is not to be passed.
    Limit,
    /// A thin straight guide.
    Guide,
}

/// A point with its words.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PlotMark {
    /// `[x, y]`, in the axes' units.
    #[schema(value_type = Pair)]
    pub at: [f64; 2],
    /// In words.
    pub text: String,
}

/// A stretch of the x axis with its words.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PlotStretch {
    /// From here.
    pub from: f64,
    /// To here.
    pub to: f64,
    /// In words.
    pub text: String,
}
