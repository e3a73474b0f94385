//! Standing questions and refusals with their figures, as they are shown.

mod words;

use serde::Serialize;
use serde_json::json;
use utoipa::ToSchema;

use self::words::Words;
use crate::catalogue::Catalogue;
use crate::enquiry::RefuseReason;
use crate::explain::{Figures, Lead, LeadTo, Refusal, Topic};
use crate::item::Item;
use crate::view::row::{NextPlace, NextView, ladder_of};
use crate::view::text::{Reader, Run, runs};

/// A standing question answered with this shelf's figures.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ExplainView {
    /// Its name.
    pub topic: String,
    /// The question, as customers put it.
    pub title: String,
    /// The answer.
    pub text: Vec<Run>,
    /// Where a limit that it names is published.
    pub rule: Option<String>,
    /// What the figures are of.
    pub assumed: Vec<Vec<Run>>,
    /// Where it leads on to.
    pub next: Vec<NextView>,
}

/// Why something is refused, and what would do.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct RefuseView {
    /// The reason.
    pub reason: RefuseReason,
    /// It in a sentence or two.
    pub lead: Vec<Run>,
    /// Why that is so.
    pub because: Vec<Vec<Run>>,
    /// What would do.
    pub instead: Vec<Vec<Run>>,
    /// Where a limit that it names is published.
    pub rule: Option<String>,
    /// Where it leads on to.
    pub next: Vec<NextView>,
}

/// Shows a standing question to a reader, with figures of a shelf.
pub fn explain(topic: &Topic, shelf: &[Item], catalogue: &Catalogue, reader: &Reader) -> ExplainView {
    let figures = &Figures::new(shelf, catalogue);
    let words = Words { figures, reader };
    ExplainView {
        topic: topic.name.clone(),
        title: topic.title.clone(),
        text: runs(&words.fill(&topic.text)),
        rule: topic.rule.clone(),
        assumed: vec![runs(&words.subject())],
        next: next(&topic.next, figures),
    }
}

/// Shows a refusal to a reader, with figures of a shelf.
pub fn refuse(refusal: &Refusal, shelf: &[Item], catalogue: &Catalogue, reader: &Reader) -> RefuseView {
    let figures = &Figures::new(shelf, catalogue);
    let words = Words { figures, reader };
    let filled = |texts: &[String]| texts.iter().map(|text| runs(&words.fill(text))).collect();
    RefuseView {
        reason: refusal.reason,
        lead: runs(&words.fill(&refusal.lead)),
        because: filled(&refusal.because),
        instead: filled(&refusal.instead),
        rule: refusal.rule.clone(),
        next: next(&refusal.next, figures),
    }
}

fn next(leads: &[Lead], figures: &Figures) -> Vec<NextView> {
    let reference = || figures.named("reference");
    leads
        .iter()
        .filter_map(|lead| {
            let text = lead.text.as_str();
            Some(match lead.to {
                LeadTo::Ladder => NextView {
                    text: text.into(),
                    ..ladder_of(&figures.given("reference")?)?
                },
                LeadTo::Field => NextView::new(NextPlace::Field, text, json!({ "magnets": [reference()?] })),
                LeadTo::Compare => {
                    let magnets: Vec<_> = lead.of.iter().filter_map(|name| figures.named(name)).collect();
                    let enquiry = json!({ "kind": "compare", "magnets": magnets });
                    NextView::new(NextPlace::Compare, text, enquiry)
                }
                LeadTo::Explain => {
                    let enquiry = json!({ "kind": "explain", "about": [lead.topic.as_ref()?] });
                    NextView::new(NextPlace::Explain, text, enquiry)
                }
            })
        })
        .collect()
}

#[cfg(test)]
mod tests;
