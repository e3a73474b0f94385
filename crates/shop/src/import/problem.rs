//! What is wrong with a price list, line by line.

use serde::Serialize;
use utoipa::ToSchema;

/// So many problems of a file are listed; beyond that they are only counted.
pub const MOST_REPORTED: usize = 1_000;

/// Whether a problem stands in the way of an import.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
#[schema(as = ProblemSeverity)]
pub enum Severity {
    /// The file cannot be imported until this is put right.
    Error,
    /// Worth a look; the file can be imported.
    Warning,
}

/// One thing that is wrong with a file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
#[schema(as = ImportProblem)]
pub struct Problem {
    /// Line of the file, from 1; 0 where it is about the file as a whole.
    pub line: u32,
    /// Heading of the column; empty where it is about the whole line.
    pub column: String,
    /// The text of the cell.
    pub value: String,
    /// What is wrong: lower case, no full stop.
    pub wrong: String,
    /// What would be right.
    pub right: String,
    /// Whether it stands in the way.
    pub severity: Severity,
}

/// The problems of one file.
#[derive(Debug, Default)]
pub(crate) struct Problems {
    listed: Vec<Problem>,
    errors: usize,
    /// Those of the errors that are of no line.
    whole: usize,
    warnings: usize,
}

impl Problems {
    /// Adds one; errors push warnings out of a full list.
    pub(crate) fn add(&mut self, problem: Problem) {
        match problem.severity {
            Severity::Error => {
                self.errors += 1;
                self.whole += usize::from(problem.line == 0);
            }
            Severity::Warning => self.warnings += 1,
        }
        if self.listed.len() < MOST_REPORTED {
            self.listed.push(problem);
        } else if problem.severity == Severity::Error
            && let Some(at) = self
                .listed
                .iter()
                .rposition(|listed| listed.severity == Severity::Warning)
        {
            self.listed.remove(at);
            self.listed.push(problem);
        }
    }

    /// Adds one that stands for many lines, of which each could be left out.
    pub(crate) fn add_for_lines(&mut self, problem: Problem) {
        let whole = self.whole;
        self.add(problem);
        self.whole = whole;
    }

    /// How many stand in the way.
    pub(crate) fn errors(&self) -> usize {
        self.errors
    }

    /// How many of them are about the file as a whole, so that leaving lines out does not help.
    pub(crate) fn whole(&self) -> usize {
        self.whole
    }

    /// How many do not.
    pub(crate) fn warnings(&self) -> usize {
        self.warnings
    }

    /// Those that are listed, by line.
    pub(crate) fn into_listed(mut self) -> Vec<Problem> {
        self.listed.sort_by_key(|problem| problem.line);
        self.listed
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem(line: u32, severity: Severity) -> Problem {
        Problem {
            line,
            column: String::new(),
            value: String::new(),
            wrong: "w".into(),
            right: "r".into(),
            severity,
        }
    }

    #[test]
    fn counts_all_and_lists_a_thousand() {
        let mut problems = Problems::default();
        (0..3_000).for_each(|line| problems.add(problem(line, Severity::Error)));
        assert_eq!(problems.errors(), 3_000);
        assert_eq!(problems.into_listed().len(), MOST_REPORTED);
    }

    #[test]
    fn an_error_after_a_thousand_warnings_is_listed() {
        let mut problems = Problems::default();
        (0..2_000).for_each(|line| problems.add(problem(line, Severity::Warning)));
        problems.add(problem(2_000, Severity::Error));
        assert_eq!((problems.errors(), problems.warnings()), (1, 2_000));
        let listed = problems.into_listed();
        assert_eq!(listed.len(), MOST_REPORTED);
        assert!(listed.iter().any(|problem| problem.severity == Severity::Error));
    }
}
