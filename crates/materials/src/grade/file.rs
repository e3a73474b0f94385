//! The table of grades as it is written: rows, and series with classes that stand for many rows.

use serde::Deserialize;

use super::{Family, GradeError, GradeRow};

/// The file as written.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    grade: Vec<GradeRow>,
    #[serde(default)]
    series: Vec<Series>,
    #[serde(default)]
    class: Vec<Class>,
}

/// What the grades of one prefix have in common.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Series {
    prefix: String,
    family: Family,
    recoil_permeability: f64,
    squareness: f64,
    curie_celsius: f64,
    min_service_celsius: f64,
    density: f64,
    linear: bool,
    source: String,
    remanence: Vec<Remanence>,
}

/// Remanence of one number in a series, T.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Remanence {
    number: u32,
    br_min: f64,
    br_typical: f64,
    br_max: f64,
}

/// Resistance to heat of the numbers with one suffix.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Class {
    series: String,
    suffix: String,
    numbers: Vec<u32>,
    /// Another prefix under which the trade knows these numbers.
    also: Option<String>,
    hcj_min: f64,
    hcj_typical: Option<f64>,
    hcj_max: Option<f64>,
    alpha_br_per_k: f64,
    beta_hcj_per_k: f64,
    coefficients_celsius: Option<[f64; 2]>,
    max_service_celsius: f64,
}

/// Read a table and write out its series.
pub(super) fn rows(text: &str) -> Result<Vec<GradeRow>, GradeError> {
    let File {
        grade: mut rows,
        series,
        class,
    } = toml::from_str(text).map_err(|error| GradeError::Text(error.to_string()))?;
    for class in &class {
        let missing = |missing: String| GradeError::Series {
            series: class.series.clone(),
            suffix: class.suffix.clone(),
            missing,
        };
        let series = series
            .iter()
            .find(|series| series.prefix == class.series)
            .ok_or_else(|| missing(format!("series {}", class.series)))?;
        for &number in &class.numbers {
            let remanence = series
                .remanence
                .iter()
                .find(|remanence| remanence.number == number)
                .ok_or_else(|| missing(format!("number {number}")))?;
            rows.push(combined(series, class, remanence));
        }
    }
    Ok(rows)
}

fn combined(series: &Series, class: &Class, remanence: &Remanence) -> GradeRow {
    GradeRow {
        name: format!("{}{}{}", series.prefix, remanence.number, class.suffix),
        aliases: class
            .also
            .iter()
            .map(|also| format!("{also}{}{}", remanence.number, class.suffix))
            .collect(),
        family: series.family,
        br_min: remanence.br_min,
        br_typical: remanence.br_typical,
        br_max: remanence.br_max,
        hcj_min: class.hcj_min,
        hcj_typical: class.hcj_typical,
        hcj_max: class.hcj_max,
        recoil_permeability: series.recoil_permeability,
        squareness: series.squareness,
        alpha_br_per_k: class.alpha_br_per_k,
        beta_hcj_per_k: class.beta_hcj_per_k,
        coefficients_celsius: class.coefficients_celsius,
        max_service_celsius: class.max_service_celsius,
        min_service_celsius: series.min_service_celsius,
        curie_celsius: series.curie_celsius,
        density: series.density,
        linear: series.linear,
        hcb: None,
        energy_product: None,
        source: series.source.clone(),
    }
}
