//! Replies to customers: from kept answers, and to enquiries of every other kind.

use advice::enquiry::Enquiry;
use letters::choose::{self, Sender};
use letters::told::QuestionBack;
use letters::{Letter, Messages, told};
use quantity::Units;
use shop::Settings;

use crate::desk::{Desk, Wish};
use crate::enquiries::EnquirySheet;
use crate::problem::{Kind, Problem};

/// The language of a reply where none is named.
pub const LANGUAGE: &str = "en";

impl Desk {
    /// The reply to a kept answer, in the words of that language. Its figures are those of the answer as it was kept.
    ///
    /// # Errors
    /// When there is no such answer or language, or the database fails.
    pub fn letter(&self, id: &str, language: &str, units: &Units) -> Result<Letter, Problem> {
        let messages = messages(language)?;
        let (answer, view) = self.kept_view(id, units)?;
        let sender = sender(&self.shop.settings()?);
        Ok(choose::letter(&answer, &view, units, &messages, &sender))
    }

    /// The reply to an enquiry as it was read: to a choice from today's shelf, which is not kept.
    ///
    /// # Errors
    /// As [`Self::enquire`], and where there is no such language.
    pub fn letter_to(&self, enquiry: &Enquiry, language: &str, units: &Units) -> Result<Letter, Problem> {
        let messages = messages(language)?;
        let sender = sender(&self.shop.settings()?);
        Ok(match self.enquire(enquiry, Wish::default(), units)? {
            EnquirySheet::Choose(_) => {
                return Err(Problem::new(
                    Kind::Asked,
                    "not kept yet",
                    "the reply to a choice is made from the answer that was kept",
                )
                .hint("keep the answer, then ask for /answers/{id}/reply")
                .field("/kind"));
            }
            EnquirySheet::Tell(view) => told::tell(&view, &messages, &sender),
            EnquirySheet::Compare(view) => told::compare(&view, &messages, &sender),
            EnquirySheet::Explain(view) => told::explain(&view, &messages, &sender),
            EnquirySheet::Refuse(view) => told::refuse(&view, &messages, &sender),
        })
    }
}

impl Desk {
    /// The letter that asks back what an enquiry lacks.
    ///
    /// # Errors
    /// Where nothing is asked, there is no such language, or the database fails.
    pub fn letter_back(&self, questions: &[QuestionBack], language: &str) -> Result<Letter, Problem> {
        if questions.iter().all(|back| back.question.trim().is_empty()) {
            return Err(Problem::new(Kind::Asked, "nothing is asked", "no question back is given").field("/questions"));
        }
        let sender = sender(&self.shop.settings()?);
        Ok(told::ask_back(questions, &messages(language)?, &sender))
    }
}

fn messages(language: &str) -> Result<Messages, Problem> {
    Messages::of(language)
        .map_err(|error| Problem::new(Kind::Asked, "no such language", error.to_string()).field("language"))
}

/// The lines below every message of a shop.
fn sender(settings: &Settings) -> Sender {
    let head = &settings.letterhead;
    let lines = [settings.name.clone()].into_iter().chain(head.lines.iter().cloned());
    Sender {
        lines: lines
            .chain(Some(head.address.clone()).filter(|a| !a.is_empty()))
            .collect(),
    }
}

#[cfg(test)]
mod tests;
