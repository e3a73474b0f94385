//! Values from outside the project, compared with ours.
//!
//! The tables are embedded, so that they can be run on any machine; `oracle/README.md` of the repository says how they are made.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use magnetics::assembly::Assembly;
use magnetics::body::Body;
use magnetics::demag::{self, spheroid};
use magnetics::fluxmetric;
use magnetics::force::{axial_force, block_force, plate_pull};
use magnetics::placed::Placed;
use magnetics::recoil::working_point;
use magnetics::scene::Scene;
use magnetics::shape::Shape;
use magnetics::solid::{Polarisation, Solid};
use materials::MU_0;
use numerics::elliptic::{cel, ellip_e, ellip_k, ellip_pi};
use numerics::quadrature::unit_rule;

/// The embedded tables, one text each.
const TABLES: [&str; 6] = [
    include_str!("../data/elliptic.toml"),
    include_str!("../data/demagnetising.toml"),
    include_str!("../data/field.toml"),
    include_str!("../data/force.toml"),
    include_str!("../data/finite.toml"),
    include_str!("../data/measured.toml"),
];

const MILLIMETRE: f64 = 1e-3;

/// What kind of value a check rests on, the strongest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CheckKind {
    /// Measured on magnets.
    Measured,
    /// Read in print.
    Printed,
    /// Computed by another route than ours.
    ComputedTwice,
    /// Common practice of the trade, without a source.
    CommonPractice,
    /// Remembered rather than read.
    FromMemory,
}

impl CheckKind {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Measured,
        Self::Printed,
        Self::ComputedTwice,
        Self::CommonPractice,
        Self::FromMemory,
    ];

    /// That of a source, by the words that every source of the tables has for it.
    #[must_use]
    pub fn of_source(source: &str) -> Self {
        let says = |word: &str| source.contains(word);
        if says("measured") {
            Self::Measured
        } else if says("computed") || says("exact") {
            Self::ComputedTwice
        } else if says("from memory") {
            Self::FromMemory
        } else if says("common practice") {
            Self::CommonPractice
        } else {
            Self::Printed
        }
    }

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Printed => "printed",
            Self::ComputedTwice => "computed twice",
            Self::CommonPractice => "common practice",
            Self::FromMemory => "from memory",
        }
    }
}

/// One comparison.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OracleRow {
    /// What is compared.
    pub what: String,
    /// Where the expected value comes from.
    pub source: String,
    /// What kind of value that is.
    pub kind: CheckKind,
    /// The value from outside.
    pub expected: f64,
    /// Our value; NaN if it could not be computed.
    pub got: f64,
    /// `got - expected`.
    pub difference: f64,
    /// Largest magnitude of the difference that passes, in the unit of the value.
    pub tolerance: f64,
    /// Whether it passes.
    pub pass: bool,
}

/// The embedded tables cannot be read.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("oracle table cannot be read: {0}")]
pub struct OracleError(String);

/// Compare every embedded value with ours.
///
/// # Errors
/// [`OracleError`] if an embedded table is defective, which its tests rule out.
pub fn run() -> Result<Vec<OracleRow>, OracleError> {
    let mut rows = Vec::new();
    for text in TABLES {
        let table: Table = toml::from_str(text).map_err(|error| OracleError(error.to_string()))?;
        rows.extend(table.case.into_iter().flat_map(Case::compare));
    }
    Ok(rows)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    case: Vec<Case>,
}

/// One question with one or more expected values.
#[derive(Deserialize)]
struct Case {
    id: String,
    what: String,
    source: String,
    expected: Vec<f64>,
    /// Absolute, in the unit of the expected values.
    tolerance: f64,
    #[serde(flatten)]
    question: Question,
}

/// What is computed. Sizes in millimetres, polarisations 1 T.
#[derive(Deserialize)]
#[serde(tag = "question", rename_all = "snake_case")]
enum Question {
    /// `cel(kc, p, a, b)`, times a number.
    Cel {
        arguments: [f64; 4],
        #[serde(default = "once")]
        times: f64,
    },
    /// `∫₀¹ K(m) dm`.
    FirstKindIntegral,
    /// `K(m)`.
    FirstKind { m: f64 },
    /// `E(m)`.
    SecondKind { m: f64 },
    /// `Π(n, m)`.
    ThirdKind { n: f64, m: f64 },
    /// Factor along the axis.
    DemagnetisingFactor { magnet: Shape },
    /// Factor along the axis, over the section in the middle.
    FluxmetricFactor { magnet: Shape },
    /// Factor of a spheroid of that length over width, along its axis or across.
    SpheroidFactor {
        ratio: f64,
        #[serde(default)]
        across: bool,
    },
    /// `B_z` on the axis at each distance above the face.
    AxisField { magnet: Shape, above_face: Vec<f64> },
    /// B at a point from the centre; polarised along `z` unless told otherwise.
    Field {
        magnet: Shape,
        point: [f64; 3],
        #[serde(default = "upwards")]
        polarisation: [f64; 3],
    },
    /// `B_z` on the axis at each distance above the face, of a magnet of finite recoil permeability.
    RecoilField {
        magnet: Shape,
        recoil_permeability: f64,
        above_face: Vec<f64>,
    },
    /// Force on the second magnet, centred at `offset` from the first: along `z`, or all components of two blocks.
    Force {
        magnet: Shape,
        other: Shape,
        offset: [f64; 3],
    },
    /// Repulsion of two discs or rings at each gap, whose remanence is fitted to what was measured; the gap is known to `gap_error`.
    RepulsionOfAFittedRemanence {
        magnet: Shape,
        other: Shape,
        gaps: Vec<f64>,
        gap_error: f64,
    },
    /// Attraction of two equal magnets at each gap.
    Attraction { magnet: Shape, gaps: Vec<f64> },
    /// The same over `J² A / (2 μ0)`.
    AttractionShare { magnet: Shape, gaps: Vec<f64> },
    /// Pull on an ideal plate at each gap.
    PlatePull { magnet: Shape, gaps: Vec<f64> },
    /// B on the load line, in T.
    LoadLine {
        remanence: f64,
        recoil_permeability: f64,
        factor: f64,
    },
    /// H on the load line, in kA/m.
    LoadLineField {
        remanence: f64,
        recoil_permeability: f64,
        factor: f64,
    },
}

fn once() -> f64 {
    1.0
}

fn upwards() -> [f64; 3] {
    [0.0, 0.0, 1.0]
}

impl Case {
    fn compare(self) -> Vec<OracleRow> {
        let (got, tolerances) = match &self.question {
            Question::RepulsionOfAFittedRemanence {
                magnet,
                other,
                gaps,
                gap_error,
            } => fitted_repulsion([magnet, other], gaps, *gap_error, &self.expected, self.tolerance),
            question => (
                question.answer(self.expected.len()),
                vec![self.tolerance; self.expected.len()],
            ),
        };
        let several = self.expected.len() > 1;
        self.expected
            .iter()
            .enumerate()
            .map(|(index, &expected)| {
                let got = got.get(index).copied().unwrap_or(f64::NAN);
                let tolerance = tolerances.get(index).copied().unwrap_or(0.0);
                let difference = got - expected;
                let part = if several {
                    format!(" [{}]", index + 1)
                } else {
                    String::new()
                };
                OracleRow {
                    what: format!("{} {}{part}", self.id, self.what),
                    source: self.source.clone(),
                    kind: CheckKind::of_source(&self.source),
                    expected,
                    got,
                    difference,
                    tolerance,
                    pass: difference.abs() <= tolerance,
                }
            })
            .collect()
    }
}

impl Question {
    /// Our values; fewer than expected if they cannot be computed.
    fn answer(&self, count: usize) -> Vec<f64> {
        match self {
            Self::Cel {
                arguments: [kc, p, a, b],
                times,
            } => vec![times * cel(*kc, *p, *a, *b)],
            // m = 1 - t⁸ flattens the logarithm at m = 1.
            Self::FirstKindIntegral => {
                let rule: [(f64, f64); 32] = unit_rule();
                let term = |&(t, weight): &(f64, f64)| weight * 8.0 * t.powi(7) * cel(t.powi(4), 1.0, 1.0, 1.0);
                vec![rule.iter().map(term).sum()]
            }
            Self::FirstKind { m } => vec![ellip_k(*m)],
            Self::SecondKind { m } => vec![ellip_e(*m)],
            Self::ThirdKind { n, m } => vec![ellip_pi(*n, *m)],
            Self::DemagnetisingFactor { magnet } => {
                demag::of_shape(&in_metres(magnet)).map_or_else(|_| Vec::new(), |factor| vec![factor])
            }
            Self::FluxmetricFactor { magnet } => {
                fluxmetric::of_shape(&in_metres(magnet)).map_or_else(|_| Vec::new(), |factors| vec![factors.fluxmetric])
            }
            Self::SpheroidFactor { ratio, across } => {
                let along = spheroid(*ratio);
                vec![if *across { 0.5 * (1.0 - along) } else { along }]
            }
            Self::AxisField { magnet, above_face } => {
                let Ok(assembly) = Assembly::new(vec![at(magnet, [0.0; 3])]) else {
                    return Vec::new();
                };
                above_face
                    .iter()
                    .map(|d| assembly.axial_flux_density(d * MILLIMETRE).unwrap_or(f64::NAN))
                    .collect()
            }
            Self::Field {
                magnet,
                point,
                polarisation,
            } => field(in_metres(magnet), *polarisation, point.map(|c| c * MILLIMETRE)),
            Self::RecoilField {
                magnet,
                recoil_permeability,
                above_face,
            } => recoil_field(&in_metres(magnet), *recoil_permeability, above_face).unwrap_or_default(),
            Self::Force { magnet, other, offset } => {
                let (fixed, moving) = (at(magnet, [0.0; 3]), at(other, *offset));
                if count == 3 {
                    return block_force(&moving, &fixed).map_or_else(|_| Vec::new(), |force| force.to_vec());
                }
                axial_force(&[moving], &[fixed]).map_or_else(|_| Vec::new(), |force| vec![force])
            }
            // Fitted to the values that are expected.
            Self::RepulsionOfAFittedRemanence { .. } => Vec::new(),
            Self::Attraction { magnet, gaps } => gaps.iter().map(|gap| attraction(magnet, *gap)).collect(),
            Self::AttractionShare { magnet, gaps } => {
                let most = in_metres(magnet).pole_area() / (2.0 * MU_0);
                gaps.iter().map(|gap| attraction(magnet, *gap) / most).collect()
            }
            Self::PlatePull { magnet, gaps } => gaps
                .iter()
                .map(|gap| plate_pull(&[at(magnet, [0.0; 3])], gap * MILLIMETRE).unwrap_or(f64::NAN))
                .collect(),
            Self::LoadLine {
                remanence,
                recoil_permeability,
                factor,
            } => {
                vec![working_point(*remanence, *recoil_permeability, *factor).map_or(f64::NAN, |p| p.flux_density)]
            }
            Self::LoadLineField {
                remanence,
                recoil_permeability,
                factor,
            } => {
                vec![
                    working_point(*remanence, *recoil_permeability, *factor)
                        .map_or(f64::NAN, |p| p.field_strength / 1e3),
                ]
            }
        }
    }
}

/// B at a point from the centre, T; empty where there is none.
fn field(shape: Shape, polarisation: [f64; 3], point: [f64; 3]) -> Vec<f64> {
    let placed = Placed::new(
        Solid::Plain(shape),
        Polarisation::Along(polarisation),
        [0.0; 3],
        [0.0; 3],
    );
    placed
        .ok()
        .and_then(|placed| Scene::new(vec![placed]).flux_density(point).ok())
        .map_or_else(Vec::new, |b| b.to_vec())
}

/// Attraction of two equal magnets across a gap, N; NaN where there is none.
fn attraction(magnet: &Shape, gap: f64) -> f64 {
    let height = in_metres(magnet).height() / MILLIMETRE;
    let upper = at(magnet, [0.0, 0.0, height + gap]);
    axial_force(&[upper], &[at(magnet, [0.0; 3])]).map_or(f64::NAN, |force| -force)
}

/// Forces of two magnets at each gap, times the product of their remanences that fits the measured ones best, and how far each may be off:
/// by the stated error of the balance, and by what the error of the gap moves the force.
fn fitted_repulsion(
    [magnet, other]: [&Shape; 2],
    gaps: &[f64],
    gap_error: f64,
    measured: &[f64],
    force_error: f64,
) -> (Vec<f64>, Vec<f64>) {
    let height = |shape: &Shape| in_metres(shape).height() / MILLIMETRE;
    let middles = 0.5 * (height(magnet) + height(other));
    let force = |gap: f64| {
        let upper = at(other, [0.0, 0.0, middles + gap]);
        axial_force(&[upper], &[at(magnet, [0.0; 3])]).map_or(f64::NAN, f64::abs)
    };
    let unit: Vec<f64> = gaps.iter().map(|gap| force(*gap)).collect();
    let steep: Vec<f64> = gaps
        .iter()
        .map(|gap| 0.5 * (force(gap - gap_error) - force(gap + gap_error)).abs())
        .collect();
    // Least squares, each by its error; the slope is that of the magnets fitted by it, which two rounds settle.
    let mut product = 1.0;
    let mut errors = Vec::new();
    for _ in 0..2 {
        errors = steep.iter().map(|steep| force_error.hypot(product * steep)).collect();
        let sum = |of: &dyn Fn(usize) -> f64| (0..unit.len().min(measured.len())).map(of).sum::<f64>();
        product = sum(&|k| unit[k] * measured[k] / f64::powi(errors[k], 2))
            / sum(&|k| unit[k] * unit[k] / f64::powi(errors[k], 2));
    }
    (unit.iter().map(|unit| product * unit).collect(), errors)
}

/// `B_z` in T on the axis of a body of 1 T, at distances in millimetres above its face; `None` where it has none.
fn recoil_field(shape: &Shape, permeability: f64, above_face: &[f64]) -> Option<Vec<f64>> {
    let along = Polarisation::Along([0.0, 0.0, 1.0]);
    let body = Placed::new(Solid::Plain(*shape), along, [0.0; 3], [0.0; 3]).ok()?;
    let body = body.with_recoil_permeability(permeability).ok()?;
    let scene = Scene::new(vec![body]).settled().ok()?;
    let top = 0.5 * shape.height();
    let at = |above: &f64| scene.flux_density([0.0, 0.0, top + above * MILLIMETRE]).ok();
    above_face.iter().map(|above| Some(at(above)?[2])).collect()
}

/// A body of 1 T whose sizes and centre are given in millimetres.
fn at(shape: &Shape, centre: [f64; 3]) -> Body {
    Body {
        shape: in_metres(shape),
        polarisation: 1.0,
        centre: centre.map(|c| c * MILLIMETRE),
    }
}

fn in_metres(shape: &Shape) -> Shape {
    let mm = |size: f64| size * MILLIMETRE;
    match *shape {
        Shape::Disc { diameter, thickness } => Shape::Disc {
            diameter: mm(diameter),
            thickness: mm(thickness),
        },
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        } => Shape::Ring {
            outer_diameter: mm(outer_diameter),
            inner_diameter: mm(inner_diameter),
            thickness: mm(thickness),
        },
        Shape::Block {
            length,
            width,
            thickness,
        } => Shape::Block {
            length: mm(length),
            width: mm(width),
            thickness: mm(thickness),
        },
        Shape::Sphere { diameter } => Shape::Sphere { diameter: mm(diameter) },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_from_outside_is_met() {
        let rows = run().expect("the embedded tables can be read");
        assert!(rows.len() > 150, "only {} rows", rows.len());
        let failed: Vec<_> = rows.iter().filter(|row| !row.pass).collect();
        assert!(
            failed.is_empty(),
            "{} of {} rows failed: {failed:#?}",
            failed.len(),
            rows.len()
        );
    }

    /// 44 forces were measured on two pairs of magnets; 23 values were read in print.
    #[test]
    fn every_kind_of_check_is_counted() {
        let rows = run().expect("the embedded tables can be read");
        let count = |kind: CheckKind| rows.iter().filter(|row| row.kind == kind).count();
        assert_eq!(count(CheckKind::Measured), 44);
        assert!(count(CheckKind::Printed) >= 23 && count(CheckKind::ComputedTwice) > 100);
        assert_eq!(CheckKind::ALL.map(count).iter().sum::<usize>(), rows.len());
    }

    /// A force law that falls off by another power of the gap does not pass for what was measured.
    #[test]
    fn a_wrong_shape_does_not_pass_for_the_measured_one() {
        let text = include_str!("../data/measured.toml").replace("thickness = 3.175", "thickness = 19.05");
        let table: Table = toml::from_str(&text).expect("the table can be read");
        let rows: Vec<_> = table.case.into_iter().flat_map(Case::compare).collect();
        assert!(rows.iter().any(|row| !row.pass));
    }

    #[test]
    fn a_value_that_cannot_be_computed_fails() {
        let text = r#"
            [[case]]
            id = "x"
            what = "no field on a rim"
            source = "test"
            question = "field"
            magnet = { shape = "disc", diameter = 2.0, thickness = 2.0 }
            point = [1.0, 0.0, 1.0]
            expected = [0.0]
            tolerance = 1e9
        "#;
        let table: Table = toml::from_str(text).expect("the table can be read");
        let rows: Vec<_> = table.case.into_iter().flat_map(Case::compare).collect();
        assert_eq!(rows.len(), 1);
        assert!(!rows[0].pass && rows[0].got.is_nan());
    }
}
