//! What strangers are told of an answer: no codes, no stock, no notes, no costs of the shop.

use advice::view::text::plain;
use serde::Serialize;

use crate::desk::AnswerSheet;
use crate::reply::Reply;

/// The most offers and cautions that are told.
const MOST_OFFERS: usize = 4;
const MOST_CAUTIONS: usize = 4;

/// An answer as strangers see it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct PublicAnswer {
    /// How the question was taken.
    words: String,
    /// The answer in a sentence or three.
    lead: String,
    asks_heading: &'static str,
    /// What is asked back.
    asks: Vec<String>,
    offers_heading: &'static str,
    /// What would do.
    offers: Vec<String>,
    cautions_heading: &'static str,
    /// What to mind.
    cautions: Vec<String>,
    /// Where it can be opened again; absent where it is not kept.
    link: Option<String>,
    link_text: &'static str,
}

impl PublicAnswer {
    fn empty() -> Self {
        Self {
            asks_heading: "What we need to know",
            offers_heading: "What would do",
            cautions_heading: "Mind",
            link_text: "Link to this answer",
            ..Self::default()
        }
    }

    /// Of a kept answer.
    pub fn of_sheet(sheet: &AnswerSheet) -> Self {
        let view = &sheet.view;
        let offers = view.offers.iter().flat_map(|offers| &offers.named);
        let offer =
            |offer: &advice::view::offers::OfferView| format!("{}: {}. {}", offer.best, offer.choice.title, offer.why);
        Self {
            words: view.words.clone(),
            lead: plain(&view.lead),
            offers: offers.take(MOST_OFFERS).map(offer).collect(),
            cautions: view
                .cautions
                .iter()
                .take(MOST_CAUTIONS)
                .map(|caution| plain(&caution.runs))
                .collect(),
            link: sheet.id.as_ref().map(|id| format!("/answers/{id}")),
            ..Self::empty()
        }
    }

    /// Of a reply to a message; what could not be kept although it was to be is said.
    pub fn of_reply(reply: &Reply, kept: bool) -> Self {
        let mut answer = reply.sheet.as_ref().map_or_else(Self::empty, Self::of_sheet);
        answer.asks = reply.asks.iter().map(|ask| ask.question.clone()).collect();
        if let Some(told) = &reply.told {
            answer.lead = told.lead_text();
        } else if reply.sheet.is_none() {
            answer.lead = if answer.asks.is_empty() {
                "We could not tell what is wanted. Say what the magnet is for, and what it must hold or reach.".into()
            } else {
                "We need to know a little more.".into()
            };
        }
        if kept && answer.link.is_none() && reply.sheet.is_some() {
            answer.lead.push_str(" The answer could not be kept this time.");
        }
        answer
    }
}
