//! What is it: the grade of a lot by its readings.

use advice::view::text::{Run, capital, percent, runs};
use bench::Lot;
use bench::identify::{Candidate, Identified, RISK, identify};
use bench::next::AtHand;
use quantity::{FluxDensity, Length, Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

use super::found::FindingLine;
use super::opened::{FitWish, Opened};
use super::words::DIGITS;
use crate::desk::Desk;
use crate::problem::{Kind, Problem};

/// Chance below which a grade is not named.
const LEAST: f64 = 0.005;
/// Grades that are named at most.
const MOST: usize = 9;
/// Chance with which a weaker grade is found out that counts as sure.
const SURELY_FOUND: f64 = 0.9;

/// What a lot is.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct GradeView {
    /// In a sentence or two.
    pub lead: Vec<Run>,
    /// The grades, the likeliest first.
    pub grades: Vec<GradeLine>,
    /// What speaks for and against, a line each.
    pub findings: Vec<FindingLine>,
}

/// A grade, or several that no field tells apart.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct GradeLine {
    /// Their names.
    pub name: String,
    /// Chance among the grades of its family, 0 to 1.
    pub chance: f64,
    /// The same in words.
    pub text: String,
    /// Whether it is what the label says.
    pub label: bool,
    /// Chance that readings like these find a lot of it, sold as what the label says, not to be that, 0 to 1.
    pub found_out: f64,
}

impl Desk {
    /// What the lot of a session is by its readings.
    ///
    /// # Errors
    /// When there are no readings, or no such session.
    pub fn grade(&self, id: &str, units: &Units) -> Result<GradeView, Problem> {
        let opened = self.opened_session(id, &FitWish::default(), units)?;
        if opened.readings.is_empty() {
            return Err(
                Problem::new(Kind::Asked, "no readings", "no reading of this lot counts yet")
                    .hint("take one at the face and one on a spacer"),
            );
        }
        let lot = opened.lot();
        let family = lot.grade.family;
        let shelf = self.shelf()?;
        let grades: Vec<_> = shelf
            .catalogue
            .grades
            .rows()
            .iter()
            .filter(|row| row.family == family)
            .cloned()
            .collect();
        let found = identify(&opened.probe, lot, &opened.readings, &grades, &AtHand::default())
            .map_err(|e| Problem::new(Kind::Asked, "the readings cannot be fitted", e.to_string()))?;
        Ok(view(&opened, &found, lot, units))
    }
}

/// Several grades in a few words: those that differ by what they stand in heat.
fn names(candidate: &Candidate) -> String {
    match candidate.grades.as_slice() {
        [one] => one.clone(),
        [first, rest @ ..] if rest.len() > 2 => format!("{first} and {} that read the same", rest.len()),
        all => all.join(", "),
    }
}

/// How surely readings like these find out a weaker grade that is sold as what the label says: the next weaker one, and the
/// next that is hardly ever missed.
fn found_out(found: &Identified, lot: &Lot) -> Option<String> {
    let mut weaker: Vec<&Candidate> = found
        .candidates
        .iter()
        .filter(|c| c.remanence < lot.grade.br_typical)
        .collect();
    weaker.sort_by(|a, b| b.remanence.total_cmp(&a.remanence));
    let next = *weaker.first()?;
    let sure = weaker.iter().find(|c| c.found >= SURELY_FOUND);
    // The plainest name of those that read the same.
    let name = |c: &Candidate| c.grades.first().cloned().unwrap_or_default();
    let label = &lot.grade.name;
    let mut text = format!(
        "Readings like these find out {} of lots of {} that are sold as {label}",
        percent(next.found),
        name(next)
    );
    text += &match sure {
        Some(one) if one.remanence < next.remanence => format!(", and {} of {}", percent(one.found), name(one)),
        Some(_) => String::new(),
        None => match weaker.last() {
            Some(last) if last.remanence < next.remanence => {
                format!(", and {} of the weakest, {}", percent(last.found), name(last))
            }
            _ => String::new(),
        },
    };
    Some(format!("{text}; of sound ones they call {} wrong.", percent(RISK)))
}

fn view(opened: &Opened, found: &Identified, lot: &Lot, units: &Units) -> GradeView {
    let label = &lot.grade.name;
    let chance = |c: &Candidate| {
        if c.probability < LEAST {
            "less than 0.5 %".to_owned()
        } else {
            percent(c.probability)
        }
    };
    let grades: Vec<GradeLine> = found
        .candidates
        .iter()
        .filter(|c| c.probability >= LEAST || c.grades.contains(label))
        .take(MOST)
        .map(|c| GradeLine {
            name: names(c),
            chance: c.probability,
            text: chance(c),
            label: c.grades.contains(label),
            found_out: c.found,
        })
        .collect();
    let [br, standard] = found.remanence;
    let tesla = |si: f64| FluxDensity(si).show_to(DIGITS, units).to_string();
    let lead = match found.candidates.first() {
        Some(_) if !found.consistent => format!(
            "The readings are not consistent with **any grade** of this family: an effective remanence of {} ± {} is none of theirs.",
            tesla(br),
            tesla(1.96 * standard)
        ),
        Some(first) if first.probability > 0.9 => format!("It is **{}** as far as readings tell.", names(first)),
        Some(first) => format!("Most likely **{}**, but its neighbours are not out.", names(first)),
        None => "The family has no grades to compare with.".into(),
    };
    let mut findings = vec![FindingLine {
        label: "the label".into(),
        text: if found.label >= RISK {
            format!(
                "{label} is possible: of sound lots of it {} lie as far off or farther.",
                percent(found.label)
            )
        } else {
            format!(
                "{label} is hardly so: of sound lots of it only {} lie as far off or farther.",
                percent(found.label)
            )
        },
    }];
    if let Some(text) = found_out(found, lot) {
        findings.push(FindingLine {
            label: "how surely".into(),
            text,
        });
    }
    if let Some(thin) = found.thinner {
        let thickness = Length(thin.thickness).show_to(DIGITS, units);
        findings.push(FindingLine {
            label: "thinner than it says".into(),
            text: if thin.surely {
                format!(
                    "A {label} of {thickness} explains the readings better than another remanence does. Measure it."
                )
            } else {
                format!(
                    "A {label} of {thickness} would read the same. Measure the thickness, and this line goes or stays."
                )
            },
        });
    }
    let words = opened.words(units);
    for next in found.next.iter().take(2) {
        findings.push(FindingLine {
            label: "read next".into(),
            text: format!("{}.", capital(&words.place(&next.reading))),
        });
    }
    GradeView {
        lead: runs(&lead),
        grades,
        findings,
    }
}
