//! What strangers are told of an answer: no codes and no costs of the shop, and of grades, prices, stock and notes what the shop
//! wants to be told.

use std::collections::HashSet;

use advice::view::offers::OfferView;
use advice::view::text::{Reader, count, plain};
use materials::grade::Family;
use quantity::Currency;
use serde::Serialize;
use shop::Told;

use crate::desk::{AnswerSheet, Shelf};
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
    offers: Vec<PublicOffer>,
    cautions_heading: &'static str,
    /// What to mind.
    cautions: Vec<String>,
    /// Where it can be opened again; absent where it is not kept.
    link: Option<String>,
    link_text: &'static str,
}

/// What would do, as strangers see it.
#[derive(Clone, Debug, Serialize)]
struct PublicOffer {
    text: String,
    /// Where its sheet is, where that is released.
    #[serde(skip_serializing_if = "Option::is_none")]
    sheet: Option<String>,
    sheet_text: &'static str,
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
    pub fn of_sheet(sheet: &AnswerSheet, shelf: &Shelf) -> Self {
        Self::whole(sheet, shelf).told_as_wanted("", &codes_of(sheet), shelf)
    }

    fn whole(sheet: &AnswerSheet, shelf: &Shelf) -> Self {
        let view = &sheet.view;
        let offers = view.offers.iter().flat_map(|offers| &offers.named);
        Self {
            words: view.words.clone(),
            lead: plain(&view.lead),
            offers: offers.take(MOST_OFFERS).map(|one| offer(one, shelf)).collect(),
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
    pub fn of_reply(reply: &Reply, message: &str, kept: bool, shelf: &Shelf) -> Self {
        let mut answer = match &reply.sheet {
            Some(sheet) => Self::whole(sheet, shelf),
            None => Self::empty(),
        };
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
        let codes = reply.sheet.as_ref().map(codes_of).unwrap_or_default();
        answer.told_as_wanted(message, &codes, shelf)
    }

    /// Without codes, and without what the shop does not want to be told: sentences with a price, and names of grades, in whose
    /// place the materials are but where the customer named the grade.
    /// The answer may be older than the shelf: its own `codes` count as well, and its money may be another.
    fn told_as_wanted(mut self, message: &str, codes: &HashSet<&str>, shelf: &Shelf) -> Self {
        let names = (!shelf.tells(Told::Grades)).then(|| Grades::of(shelf, message));
        let texts = [&mut self.words, &mut self.lead];
        let lists = [&mut self.asks, &mut self.cautions].into_iter().flatten();
        let offers = self.offers.iter_mut().map(|offer| &mut offer.text);
        for text in texts.into_iter().chain(lists).chain(offers) {
            *text = without_codes(text, |code| codes.contains(code) || shelf.item(code).is_ok());
            if !shelf.tells(Told::Prices) {
                *text = without_money(text, &shelf.settings.currency);
            }
            if let Some(names) = &names {
                *text = names.taken_out_of(text);
            }
        }
        self
    }
}

/// An offer with what the shop tells of it.
fn offer(offer: &OfferView, shelf: &Shelf) -> PublicOffer {
    let sheet = shelf.released_item(&offer.choice.code).map(|item| sheet_of(&item.code));
    PublicOffer {
        text: offer_text(offer, shelf),
        sheet,
        sheet_text: "Its sheet",
    }
}

/// The address of a sheet; what means something in an address is written by its number.
fn sheet_of(code: &str) -> String {
    let bytes = code.bytes().map(|byte| match byte {
        b'-' | b'.' | b'_' | b'~' => char::from(byte).to_string(),
        byte if byte.is_ascii_alphanumeric() => char::from(byte).to_string(),
        byte => format!("%{byte:02X}"),
    });
    format!("/sheets/{}", bytes.collect::<String>())
}

fn offer_text(offer: &OfferView, shelf: &Shelf) -> String {
    let mut text = format!(
        "{}: {}. {}.",
        offer.best,
        offer.choice.title,
        offer.why.trim_end_matches('.')
    );
    // The shelf may have another item under that code by now, or none.
    let Ok(item) = shelf.item(&offer.choice.code) else {
        return text;
    };
    if shelf.tells(Told::Prices) && !item.prices.is_empty() {
        let reader = Reader {
            units: shelf.settings.units,
            currency: shelf.settings.currency,
        };
        let breaks = item.prices.iter().map(|step| match step.from {
            ..=1 => format!("{} each", reader.money(step.each)),
            from => format!("{} from {}", reader.money(step.each), count(from)),
        });
        text.push_str(&format!(" {}.", breaks.collect::<Vec<_>>().join(", ")));
    }
    if shelf.tells(Told::Stock) {
        match item.stock {
            Some(0) => text.push_str(" None in stock."),
            Some(stock) => text.push_str(&format!(" {} in stock.", count(stock))),
            None => {}
        }
    }
    if let Some(note) = item.note.as_ref().filter(|_| shelf.tells(Told::Notes)) {
        text.push_str(&format!(" {}.", note.trim().trim_end_matches('.')));
    }
    text
}

/// The codes of all that an answer names.
fn codes_of(sheet: &AnswerSheet) -> HashSet<&str> {
    let view = &sheet.view;
    let found = view.candidates.iter().map(|one| one.code.as_str());
    let near = view.near_misses.iter().map(|one| one.code.as_str());
    let offered = view.offers.iter().flat_map(|offers| &offers.named);
    found
        .chain(near)
        .chain(offered.map(|one| one.choice.code.as_str()))
        .collect()
}

/// A text without the shop's codes in brackets.
fn without_codes(text: &str, is_code: impl Fn(&str) -> bool) -> String {
    let mut parts = text.split(" (");
    let mut out = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        match part.split_once(')') {
            Some((code, rest)) if is_code(code) => out.push_str(rest),
            _ => {
                out.push_str(" (");
                out.push_str(part);
            }
        }
    }
    out
}

/// A text without the sentences that name an amount of money, in the shop's currency or one that it had before.
fn without_money(text: &str, currency: &Currency) -> String {
    let names_money = |sentence: &str| {
        is_amount_in(sentence, currency.symbol()) || Currency::symbols().any(|sign| is_amount_in(sentence, sign))
    };
    let sentences = text.split_inclusive(". ").filter(|sentence| !names_money(sentence));
    sentences.collect::<String>().trim_end().to_owned()
}

/// Whether a number stands beside that sign somewhere.
fn is_amount_in(text: &str, sign: &str) -> bool {
    let is_digit = |c: char| c.is_ascii_digit();
    let spaces: &[char] = &[' ', '\u{a0}', '\u{202f}'];
    text.match_indices(sign).any(|(at, _)| {
        let (before, after) = (&text[..at], &text[at + sign.len()..]);
        after.trim_start_matches(spaces).starts_with(is_digit) || before.trim_end_matches(spaces).ends_with(is_digit)
    })
}

/// What a magnet is made of, for those who are not told its grade.
fn material(family: Family) -> &'static str {
    match family {
        Family::NdFeB => "neodymium",
        Family::SmCo => "samarium cobalt",
        Family::Ferrite => "ferrite",
        Family::AlNiCo => "alnico",
        Family::BondedNdFeB => "bonded neodymium",
    }
}

/// Names of grades with what is said in their place, the longest name first.
struct Grades<'a>(Vec<(&'a str, &'static str)>);

impl<'a> Grades<'a> {
    /// Those of a shelf that a message does not name.
    fn of(shelf: &'a Shelf, message: &str) -> Self {
        let rows = shelf.catalogue.grades.rows();
        let mut names: Vec<(&str, &'static str)> = rows
            .iter()
            .filter(|row| place_of(message, &row.name).is_none())
            .map(|row| (row.name.as_str(), material(row.family)))
            .collect();
        names.sort_by_key(|(name, _)| std::cmp::Reverse(name.len()));
        Self(names)
    }

    fn taken_out_of(&self, text: &str) -> String {
        let mut text = text.to_owned();
        for (name, material) in &self.0 {
            let mut from = 0;
            while let Some(at) = place_of(&text[from..], name).map(|at| from + at) {
                text.replace_range(at..at + name.len(), material);
                from = at + material.len();
            }
        }
        text
    }
}

/// Where a name stands in a text as a word of its own, in large or small letters.
fn place_of(text: &str, name: &str) -> Option<usize> {
    let is_part = |c: char| c.is_alphanumeric();
    let starts = text.char_indices().map(|(at, _)| at);
    starts.into_iter().find(|&at| {
        let end = at + name.len();
        text.get(at..end).is_some_and(|part| part.eq_ignore_ascii_case(name))
            && !text[..at].chars().next_back().is_some_and(is_part)
            && !text[end..].chars().next().is_some_and(is_part)
    })
}
