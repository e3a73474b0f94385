//! Enquiries of every kind, as they were read, and what is answered.

use advice::enquiry::{Enquiry, Kind as EnquiryKind};
use advice::view::compare::{self as compare_view, CompareView};
use advice::view::explain::{self as explain_view, ExplainView, RefuseView};
use advice::view::tell::{self as tell_view, TellView};
use advice::view::text::plain;
use advice::{compare, explain, tell};
use quantity::Units;
use serde::Serialize;
use utoipa::ToSchema;

use crate::desk::{AnswerSheet, Desk, Wish};
use crate::problem::{Kind, Problem};

/// What is answered to an enquiry; `kind` says which.
#[derive(Clone, Debug, Serialize, ToSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum EnquirySheet {
    /// Magnets that will do.
    Choose(Box<AnswerSheet>),
    /// What is told of a magnet.
    Tell(Box<TellView>),
    /// Magnets side by side.
    Compare(Box<CompareView>),
    /// A standing question.
    Explain(Box<ExplainView>),
    /// What cannot be done, and what would do.
    Refuse(Box<RefuseView>),
}

impl EnquirySheet {
    /// What is answered first, without emphasis.
    pub fn lead_text(&self) -> String {
        match self {
            Self::Choose(sheet) => plain(&sheet.view.lead),
            Self::Tell(view) => plain(&view.lead),
            Self::Compare(view) => plain(&view.lead),
            Self::Explain(view) => plain(&view.text),
            Self::Refuse(view) => plain(&view.lead),
        }
    }
}

impl Desk {
    /// Answers an enquiry as it was read. Only an answer of the kind `choose` can be kept.
    ///
    /// # Errors
    /// What is missing or cannot be answered, with the place in the enquiry; a database that fails.
    pub fn enquire(&self, enquiry: &Enquiry, wish: Wish, units: &Units) -> Result<EnquirySheet, Problem> {
        Ok(match enquiry.kind {
            EnquiryKind::Choose => EnquirySheet::Choose(Box::new(self.choose(enquiry, wish, units)?)),
            // Of several magnets the same is told side by side.
            EnquiryKind::Tell if enquiry.magnets.len() > 1 => {
                EnquirySheet::Compare(Box::new(self.compare(enquiry, units)?))
            }
            EnquiryKind::Tell => EnquirySheet::Tell(Box::new(self.tell(enquiry, units)?)),
            EnquiryKind::Compare => EnquirySheet::Compare(Box::new(self.compare(enquiry, units)?)),
            EnquiryKind::Explain => EnquirySheet::Explain(Box::new(self.explain(enquiry, units)?)),
            EnquiryKind::Refuse => EnquirySheet::Refuse(Box::new(self.refuse(enquiry, units)?)),
        })
    }

    fn choose(&self, enquiry: &Enquiry, wish: Wish, units: &Units) -> Result<AnswerSheet, Problem> {
        let currency = self.shelf()?.settings.currency;
        let question = enquiry.question.question(currency).map_err(|missing| {
            let first = missing.first().map_or("", String::as_str);
            let detail = format!(
                "the enquiry does not say {}, or says it in another currency",
                missing.join(", ")
            );
            Problem::new(Kind::Asked, "something is missing", detail).field(format!("/question{first}"))
        })?;
        Ok(self.ask(&self.as_the_shop_reads(question)?, wish, units)?.0)
    }

    /// What is told of the first magnet that an enquiry names.
    ///
    /// # Errors
    /// Where it cannot be told or made, for conditions out of reason, and when the database fails.
    pub fn tell(&self, enquiry: &Enquiry, units: &Units) -> Result<TellView, Problem> {
        let shelf = self.shelf()?;
        let told = tell::tell(enquiry, &shelf.items, &shelf.catalogue)?;
        let curves = told.curves(&shelf.catalogue);
        let mut view = tell_view::view(&told, &curves, &shelf.reader(units));
        self.judge_reading(enquiry, &mut view, units)?;
        Ok(view)
    }

    /// The magnets of an enquiry side by side.
    ///
    /// # Errors
    /// As [`Self::tell`].
    pub fn compare(&self, enquiry: &Enquiry, units: &Units) -> Result<CompareView, Problem> {
        let shelf = self.shelf()?;
        let compared = compare::compare(enquiry, &shelf.items, &shelf.catalogue)?;
        Ok(compare_view::view(&compared, &shelf.reader(units)))
    }

    /// The standing question of an enquiry with figures of the shelf.
    ///
    /// # Errors
    /// Where it names none that is known, and when the database fails.
    pub fn explain(&self, enquiry: &Enquiry, units: &Units) -> Result<ExplainView, Problem> {
        let (shelf, topic, lessons) = (self.shelf()?, explain::topic_of(enquiry)?, self.all_lessons()?);
        // What the shop says of a question goes before what the program says.
        let topic = lessons.named(&topic.name).map_or(topic, |lesson| &lesson.topic);
        Ok(explain_view::explain(
            topic,
            &shelf.items,
            &shelf.catalogue,
            &shelf.reader(units),
        ))
    }

    /// Why an enquiry is refused, and what would do.
    ///
    /// # Errors
    /// Where it names no reason, and when the database fails.
    pub fn refuse(&self, enquiry: &Enquiry, units: &Units) -> Result<RefuseView, Problem> {
        let (shelf, refusal) = (self.shelf()?, explain::refusal_of(enquiry)?);
        Ok(explain_view::refuse(
            refusal,
            &shelf.items,
            &shelf.catalogue,
            &shelf.reader(units),
        ))
    }
}
