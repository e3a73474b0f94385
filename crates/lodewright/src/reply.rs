//! What comes back to a message in anybody's words: how it was read, what is asked back, and the answer where there is one.

use std::ops::Range;

use advice::Answer;
use advice::enquiry::{Draft, Enquiry, Kind as EnquiryKind, NamedMagnet, RefuseReason, Subject};
use enquiry::{Reading, read};
use quantity::Units;
use serde::Serialize;
use utoipa::ToSchema;

use crate::desk::{AnswerSheet, Desk, Wish};
use crate::enquiries::EnquirySheet;
use crate::problem::{Problem, Understood, UnderstoodPart};

/// A message as it was read, with its answer where nothing that it needs is missing.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Reply {
    /// What it wants.
    pub kind: EnquiryKind,
    /// What it wants to know, or the topic of a standing question.
    #[schema(value_type = Vec<String>)]
    pub about: Vec<Subject>,
    /// The magnets that it names.
    pub magnets: Vec<NamedMagnet>,
    /// Why it is refused.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reason: Option<RefuseReason>,
    /// What must be asked back, all at once; where there is an answer nevertheless, the usual was assumed.
    pub asks: Vec<AskBack>,
    /// The question as far as it was said, each quantity as text; absent where the answer has the whole one.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<serde_json::Value>)]
    pub question: Option<Draft>,
    /// How the words were taken; absent where the answer has it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub understood: Option<Understood>,
    /// What is told, compared, explained or refused.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub told: Option<EnquirySheet>,
    /// The magnets that will do.
    #[serde(flatten)]
    #[schema(inline = false)]
    pub sheet: Option<AnswerSheet>,
}

/// A short question back.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct AskBack {
    /// JSON pointer into the reading: `/question/need/load`.
    pub place: String,
    /// The question.
    pub question: String,
    /// Usual answers to press.
    pub answers: Vec<UsualAnswer>,
    /// What the answer takes until this is said, as it is shown; absent where there is no answer without it, or it was said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub meanwhile: Option<String>,
}

/// An answer to press.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct UsualAnswer {
    /// As it is shown.
    pub label: String,
    /// What it sets at the place.
    #[schema(value_type = Option<serde_json::Value>)]
    pub sets: serde_json::Value,
}

impl Reply {
    /// The reply to a structured question.
    pub fn to(sheet: AnswerSheet) -> Self {
        Self {
            kind: EnquiryKind::Choose,
            about: Vec::new(),
            magnets: Vec::new(),
            reason: None,
            asks: Vec::new(),
            question: None,
            understood: None,
            told: None,
            sheet: Some(sheet),
        }
    }
}

impl Desk {
    /// Reads a message and answers it as it is wished.
    ///
    /// # Errors
    /// A question that cannot be answered, or a database that fails; a message that lacks something is no error.
    pub fn reply(&self, text: &str, wish: Wish, units: &Units) -> Result<(Reply, Option<Answer>), Problem> {
        let shelf = self.shelf()?;
        let reading = read(text, &shelf.vocabulary);
        let understood = understood(text, &reading);
        let mut reply = Reply {
            kind: reading.enquiry.kind,
            about: reading.enquiry.about.clone(),
            magnets: reading.enquiry.magnets.clone(),
            reason: reading.enquiry.reason,
            asks: reading.asks.into_iter().map(AskBack::from).collect(),
            question: None,
            understood: None,
            told: None,
            sheet: None,
        };
        if let Some(question) = reading.question {
            let asker = wish.asker;
            let (mut sheet, answer) = self.ask(&self.as_the_shop_reads(question)?, wish, units)?;
            if let Some(id) = &sheet.id {
                self.file_choice(text, &answer, &sheet.view, id, asker)?;
            }
            sheet.understood = Some(understood);
            reply.sheet = Some(sheet);
            return Ok((reply, Some(answer)));
        }
        let (keep, asker) = (wish.keep, wish.asker);
        reply.told = self.told(&reading.enquiry, &mut reply.asks, wish, units)?;
        if let Some(told) = reply.told.as_ref().filter(|_| keep) {
            self.file_told(text, told, asker)?;
        }
        reply.question = Some(reading.enquiry.question);
        reply.understood = Some(understood);
        Ok((reply, None))
    }

    /// A message as it is read.
    ///
    /// # Errors
    /// When the database fails.
    pub fn read(&self, text: &str) -> Result<Enquiry, Problem> {
        Ok(read(text, &self.shelf()?.vocabulary).enquiry)
    }

    /// What is told of an enquiry that asks for no choice; what it lacks is asked.
    fn told(
        &self,
        enquiry: &Enquiry,
        asks: &mut Vec<AskBack>,
        wish: Wish,
        units: &Units,
    ) -> Result<Option<EnquirySheet>, Problem> {
        if enquiry.kind == EnquiryKind::Choose {
            return Ok(None);
        }
        match self.enquire(enquiry, wish, units) {
            Ok(sheet) => Ok(Some(sheet)),
            Err(problem) if problem.status == 422 => {
                if asks.is_empty() {
                    let place = problem.more.field.clone().unwrap_or_else(|| "/kind".into());
                    asks.push(AskBack {
                        place,
                        question: problem.detail,
                        answers: Vec::new(),
                        meanwhile: None,
                    });
                }
                Ok(None)
            }
            Err(problem) => Err(problem),
        }
    }
}

impl From<enquiry::Ask> for AskBack {
    fn from(ask: enquiry::Ask) -> Self {
        let answers = ask
            .answers
            .into_iter()
            .map(|a| UsualAnswer {
                label: a.label,
                sets: a.sets,
            })
            .collect();
        Self {
            place: ask.place,
            question: ask.question,
            answers,
            meanwhile: ask.meanwhile.map(|m| m.label),
        }
    }
}

/// How the parts of a text were taken, where a page cuts them; what was left out and could matter has no meaning.
fn understood(text: &str, reading: &Reading) -> Understood {
    let units = |byte: usize| text.get(..byte).map_or(0, |t| t.encode_utf16().count());
    let part = |range: &Range<usize>, meaning: Option<&str>, place: Option<&str>, others: &[String]| UnderstoodPart {
        start: units(range.start),
        end: units(range.end),
        meaning: meaning.map(str::to_owned),
        place: place.map(str::to_owned),
        others: others.to_vec(),
    };
    let mut parts: Vec<UnderstoodPart> = reading
        .phrases
        .iter()
        .map(|p| part(&p.range, Some(&p.meaning), Some(&p.place), &p.others))
        .chain(reading.left_out.iter().map(|range| part(range, None, None, &[])))
        .collect();
    parts.sort_by_key(|p| p.start);
    Understood {
        text: text.into(),
        parts,
    }
}
