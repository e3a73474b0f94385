//! What is found of a build on a closer look, in SI: its curves, its section, its heat, and what the solver says of it.

use magnetics::Shape;
use materials::grade::GradeRow;
use serde::{Deserialize, Serialize};

/// A closer look at a build.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Detail {
    /// Its value against the gap or the distance.
    pub curve: Option<Curve>,
    /// Its pull against the thickness of the steel; `None` where it holds on none.
    pub plate: Option<PlateCurve>,
    /// Where it stands, with the lines of its flux.
    pub section: Option<CrossSection>,
    /// What takes longer to find; `None` while it was not looked for.
    pub closer: Option<Closer>,
}

/// What takes longer to find of a build.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Closer {
    /// What heat and its own field do to it; `None` where its grade has no curve.
    pub heat: Option<Heat>,
    /// Its pull by the solver; `None` where it holds on no steel.
    pub solved: Option<Solved>,
}

/// What a value is taken along.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Along {
    /// A pull, against the gap to the steel.
    Plate,
    /// A force between two, against the gap between them.
    Pair,
    /// A flux density, against the distance from the face.
    Field,
}

/// A value against a distance, with its band.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Curve {
    /// What it is.
    pub along: Along,
    /// The distances, m.
    pub at: Vec<f64>,
    /// Middle of the band, N or T.
    pub mid: Vec<f64>,
    /// Low end.
    pub low: Vec<f64>,
    /// High end.
    pub high: Vec<f64>,
    /// Value in contact, at the middle.
    pub contact: f64,
    /// Part of the value at the distance asked that the next [`NEXT`] takes; `None` where there is no value.
    pub next_takes: Option<f64>,
}

/// The step by which the fall of a curve is told, m.
pub const NEXT: f64 = 1e-3;

/// A pull against the thickness of the steel; points are `[thickness, pull]`, m and N.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PlateCurve {
    /// The curve.
    pub points: Vec<[f64; 2]>,
    /// Where it is 95 % of the pull on thick steel.
    pub enough: [f64; 2],
    /// The steel asked; `None` for thick steel.
    pub asked: Option<[f64; 2]>,
    /// Pull on thick steel, N.
    pub thick: f64,
    /// Pull on half of what is enough, N.
    pub on_half: f64,
}

/// A section through the axis of a build with the lines of its flux, m.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CrossSection {
    /// Half of the width of the picture.
    pub half_width: f64,
    /// From bottom to top.
    pub heights: [f64; 2],
    /// Lines of flux right of the axis, each a list of `[x, z]`.
    pub lines: Vec<Vec<[f64; 2]>>,
    /// The magnets.
    pub magnets: Vec<Magnet>,
    /// The place where a field is asked, as `[x, z]`.
    pub spot: Option<[f64; 2]>,
}

/// A magnet in section.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Magnet {
    /// Its shape, plating left out.
    pub shape: Shape,
    /// From bottom to top, m.
    pub heights: [f64; 2],
    /// Whether its north pole is on top.
    pub north_up: bool,
}

/// A pull on steel by the solver.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Solved {
    /// The value by the law of the steel, N.
    pub predicted: f64,
    /// The same with the solver in place of the law, N.
    pub value: f64,
    /// Half width of the 95 % interval of the error of the law, as a part.
    pub error: f64,
    /// Whether a disc or ring that stands for another shape was solved.
    pub stand_in: bool,
    /// Flux density at the back of a plate whose thickness is given and [`BEHIND`] further, T.
    pub behind: Option<[f64; 2]>,
}

/// Distance behind the steel at which its field is told, m.
pub const BEHIND: f64 = 10e-3;

/// What ends the temperatures that a build stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LimitedBy {
    /// Its shape: too much of its flux would be lost permanently.
    Shape,
    /// What its grade is rated for.
    Grade,
    /// What its coating is rated for.
    Coating,
}

/// The highest temperature that a build stands, °C, and what sets it.
pub type Stands = (f64, LimitedBy);

/// What heat and its own field do to a build. Temperatures are in °C, strengths of fields in A/m, flux densities in T.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Heat {
    /// Its grade.
    pub grade: GradeRow,
    /// What grade and coating are rated for.
    pub rated: f64,
    /// Its mean demagnetising factor.
    pub factor: f64,
    /// What it stands in its use.
    pub in_use: Stands,
    /// What it stands alone, on thick steel, and with like poles pressed together.
    pub stands: [Stands; 3],
    /// What a common piece of the grade stands by the definition of its standard.
    pub by_definition: Option<f64>,
    /// Part of its flux that the use takes permanently, of a piece of the least coercivity.
    pub loss: f64,
    /// The same with what its own field takes as soon as it stands alone.
    pub short: f64,
    /// Its curve at the temperatures of its use, room temperature first.
    pub curves: Vec<Branches>,
    /// Its flux when it is heated once.
    pub warming: Warming,
    /// The field inside at the worst temperature of its use.
    pub inside: InsideField,
}

/// The second quadrant at a temperature; points are `[demagnetising field, B or J]`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Branches {
    /// °C.
    pub celsius: f64,
    /// Flux density.
    pub b: Vec<[f64; 2]>,
    /// Polarisation.
    pub j: Vec<[f64; 2]>,
    /// Coercivity HcJ and remanence.
    pub ends: [f64; 2],
    /// Where the shape works, in the mean.
    pub works: [f64; 2],
}

/// Flux against temperature as shares of the fresh flux at room temperature.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Warming {
    /// Temperature, flux while it is there, flux if all came back, and flux back at room temperature.
    pub points: Vec<[f64; 4]>,
    /// The highest temperature shown.
    pub end: f64,
    /// What its shape stands, whatever grade and coating are rated for.
    pub stands: f64,
}

/// A section through the axis of a build with the field of each cell.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct InsideField {
    /// Of which temperature.
    pub celsius: f64,
    /// Edges of the cells from the axis, m.
    pub across: Vec<f64>,
    /// Edges of the cells from the lower face, m.
    pub along: Vec<f64>,
    /// Demagnetising field over that at the knee: rows from the lower face upwards, each from the axis outwards.
    pub cells: Vec<Vec<f64>>,
    /// Share of the remanence that each cell keeps permanently, in the same order.
    pub kept: Vec<Vec<f64>>,
    /// Share of the volume past the knee.
    pub past_knee: f64,
    /// The largest field over that at the knee.
    pub worst: f64,
}
