//! What can be told of a given magnet: [`tell`] finds what an enquiry wants to know, as data in SI.

mod curve;
mod find;
mod finding;
mod handling;
mod reach;
mod setting;

pub use curve::Curves;
pub(crate) use find::farthest;
pub use find::{FRICTION_ON_TABLE, SHEET, USUAL_DISTANCES, USUAL_LEVELS};
pub use finding::{Carriage, Finding, GradeWorth, Onto, Place, Toy};
pub(crate) use reach::reach;
pub use setting::Setting;

use crate::answer::Hazards;
use crate::answer::Warning;
use crate::catalogue::Catalogue;
use crate::check::QuestionError;
use crate::enquiry::{About, Enquiry, Subject};
use crate::given::{Given, given};
use crate::hazards::{self, Placement};
use crate::item::Item;
use crate::known::Known;
use crate::not_computable::NotComputable;
use crate::warnings;

/// What was found of a given magnet.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// The magnet.
    pub given: Given,
    /// By what it is reckoned in place of its grade.
    pub known: Option<Known>,
    /// Under what conditions.
    pub setting: Setting,
    /// What was asked.
    pub about: Vec<About>,
    /// What was found, in the order of what was asked.
    pub findings: Vec<Finding>,
    /// The figures from which cautions are drawn, of one build and of the order.
    pub hazards: Hazards,
    /// What to mind in those conditions.
    pub warnings: Vec<Warning>,
}

/// Finds what an enquiry wants to know of the first magnet that it names.
///
/// # Errors
/// Where no magnet is named, where it cannot be told or made, and for conditions out of reason.
pub fn tell(enquiry: &Enquiry, shelf: &[Item], catalogue: &Catalogue) -> Result<Told, QuestionError> {
    let named = enquiry.magnets.first().ok_or_else(|| QuestionError {
        field: "/magnets".into(),
        message: "no magnet is named".into(),
        hint: "say which, such as a disc of 20 x 5 mm in N42".into(),
    })?;
    let given = given(named, 0, shelf, catalogue)?;
    let setting = Setting::of(&enquiry.question, catalogue)?;
    told(given, setting, things(enquiry), shelf, catalogue)
}

/// What an enquiry wants to know; the card where it names nothing.
pub(crate) fn things(enquiry: &Enquiry) -> Vec<About> {
    let mut about: Vec<About> = Vec::new();
    for subject in &enquiry.about {
        if let Subject::Thing(thing) = subject
            && !about.contains(thing)
        {
            about.push(*thing);
        }
    }
    if about.is_empty() { vec![About::Card] } else { about }
}

/// Finds what is asked of a magnet that is given.
///
/// # Errors
/// Where its grade or coating is not known, or the coating leaves no magnet.
pub fn told(
    given: Given,
    setting: Setting,
    about: Vec<About>,
    shelf: &[Item],
    catalogue: &Catalogue,
) -> Result<Told, QuestionError> {
    let no_magnet = || QuestionError {
        field: "/magnets/0".into(),
        message: "such a magnet cannot be reckoned with: its coating leaves nothing of it, or its grade is not known"
            .into(),
        hint: "give other sizes, or another grade or coating".into(),
    };
    let subject = find::Subject::new(&given, &setting, shelf, catalogue).ok_or_else(no_magnet)?;
    let mut findings: Vec<Finding> = Vec::new();
    for thing in &about {
        for finding in subject.find(*thing).map_err(|error| not_computable(&error))? {
            if !findings.contains(&finding) {
                findings.push(finding);
            }
        }
    }
    let strongest = subject.strongest();
    let used = Placement {
        on_steel: about.contains(&About::Pull) && !given.build.pair && !setting.opposed,
        opposed: setting.opposed.then_some(setting.exposure().warmest),
    };
    let hazards =
        hazards::of_build(&strongest, given.build, setting.pieces(), used).map_err(|error| not_computable(&error))?;
    let warnings = warnings::warnings(&subject.fresh(), given.build.pieces, setting.conditions());
    Ok(Told {
        known: catalogue.known_of(&given.item),
        given,
        setting,
        about,
        findings,
        hazards,
        warnings,
    })
}

fn not_computable(error: &NotComputable) -> QuestionError {
    QuestionError {
        field: "/magnets/0".into(),
        message: error.to_string(),
        hint: "give other sizes, or another grade or coating".into(),
    }
}

#[cfg(test)]
mod tests;
