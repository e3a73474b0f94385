//! A file of probe, lots and readings worked out, in words and figures.

use bench::session::{Report, SessionError};
use bench::{Parameter, Session};
use materials::coating::CoatingTable;
use materials::grade::GradeTable;
use quantity::Units;
use serde::Serialize;
use utoipa::ToSchema;

use super::words::{ParameterLine, ReadingLine, Words};
use crate::problem::{Kind, Problem};

/// What a session of readings tells.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct BenchSheet {
    /// Each reading against what was expected before it.
    pub readings: Vec<ReadingLine>,
    /// What was fitted.
    pub parameters: Vec<ParameterLine>,
    /// What is to be said of it, a sentence each.
    pub findings: Vec<String>,
    /// What to read next, the best first, a sentence each.
    pub next: Vec<String>,
    /// All of it as numbers, in SI.
    #[schema(value_type = Object)]
    pub report: Report,
}

/// Works a session out with the grades of a shop.
///
/// # Errors
/// What is wrong with the session.
pub fn sheet(session: &Session, grades: &GradeTable, units: &Units) -> Result<BenchSheet, Problem> {
    let wrong = |error: SessionError| Problem::new(Kind::Asked, "the readings cannot be worked out", error.to_string());
    let coatings = CoatingTable::builtin().map_err(|e| Problem::new(Kind::Internal, "coatings", e.to_string()))?;
    let report = session.report(grades, coatings).map_err(wrong)?;
    let lots = session.lots(grades, coatings).map_err(wrong)?;
    let words = Words {
        entries: &session.lots,
        lots: &lots,
        units,
    };
    let readings = report
        .readings
        .iter()
        .zip(&session.readings)
        .map(|(compared, reading)| words.reading(compared, reading, &report))
        .collect();
    let fit = report.fit.as_ref();
    let parameters = fit.map_or_else(Vec::new, |fit| {
        fit.parameters.iter().map(|p| words.parameter(p)).collect()
    });
    let findings = fit.map_or_else(Vec::new, |fit| words.findings(&fit.findings, &session.readings));
    let next = match fit {
        Some(fit) => words.next(session.wanted.unwrap_or(Parameter::Depth), fit, &report.next),
        None => Vec::new(),
    };
    Ok(BenchSheet {
        readings,
        parameters,
        findings,
        next,
        report,
    })
}

/// Adds a table of readings to a session.
///
/// # Errors
/// The row that cannot be read, and why.
pub fn add_table(session: &mut Session, text: &str) -> Result<(), Problem> {
    session
        .add_table(text)
        .map_err(|error| Problem::new(Kind::Asked, "the table cannot be read", error.to_string()))
}
