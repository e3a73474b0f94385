//! Answers, items and ladders on paper.

use advice::ladder::LadderRequest;
use advice::question::Conditions;
use advice::view::detail::CandidateDetail;
use letters::Messages;
use press::PaperSize;
use quantity::Units;
use sheets::answer::Asked;
use sheets::{Imprint, Maker};
use shop::{Paper, Settings};

use crate::desk::{Desk, VERSION};
use crate::letter::LANGUAGE;
use crate::problem::{Kind, Problem};

impl Desk {
    /// A kept answer as PDF, on that paper or the shop's own.
    ///
    /// # Errors
    /// When there is none of that id, or the database fails.
    pub fn answer_pdf(&self, id: &str, paper: Option<Paper>, units: &Units) -> Result<Vec<u8>, Problem> {
        let settings = self.shop.settings()?;
        let sheet = self.open(id, units)?;
        let (answer, view) = self.kept_view(id, units)?;
        let chart = sheet
            .first
            .as_ref()
            .and_then(|first: &CandidateDetail| first.chart.as_ref());
        let asked = Asked {
            answer: &answer,
            view: &view,
            chart,
            id,
        };
        let imprint = imprint(&settings, &format!("#/answer/{id}"), &sheet.asked_at);
        let document = sheets::answer::paper(&asked, units, &maker(&settings, paper), &imprint, &messages()?);
        document.pdf().map_err(unprinted)
    }

    /// The sheet of an item as PDF, on that paper or the shop's own.
    ///
    /// # Errors
    /// When the shelf has none of that code, or the database fails.
    pub fn item_pdf(&self, code: &str, paper: Option<Paper>, units: &Units) -> Result<Vec<u8>, Problem> {
        let settings = self.shop.settings()?;
        let view = self.item(code, &Conditions::default(), units)?;
        let shelf = self.shelf()?;
        let imprint = imprint(&settings, &format!("#/item/{code}"), &now());
        let document = sheets::item::paper(
            shelf.item(code)?,
            &view,
            units,
            &maker(&settings, paper),
            &imprint,
            shelf.revision,
            &messages()?,
        );
        document.pdf().map_err(unprinted)
    }
}

impl Desk {
    /// A ladder as PDF, on that paper or the shop's own.
    ///
    /// # Errors
    /// As for a ladder on the page.
    pub fn ladder_pdf(&self, request: &LadderRequest, paper: Option<Paper>, units: &Units) -> Result<Vec<u8>, Problem> {
        let settings = self.shop.settings()?;
        let view = self.ladder(request, units)?;
        let imprint = imprint(&settings, "#/ladder", &now());
        let revision = self.shelf()?.revision;
        let document = sheets::ladder::paper(&view, &maker(&settings, paper), &imprint, revision, &messages()?);
        document.pdf().map_err(unprinted)
    }
}

/// The time in UTC as text, for an imprint.
pub fn now() -> String {
    jiff::Timestamp::now().to_string()
}

/// The messages on paper.
///
/// # Errors
/// When their file does not read, which a test excludes.
pub fn messages() -> Result<Messages, Problem> {
    Messages::of(LANGUAGE).map_err(|e| Problem::new(Kind::Internal, "the messages", e.to_string()))
}

/// Why a sheet could not be made.
pub fn unprinted(error: press::PressError) -> Problem {
    Problem::new(Kind::Internal, "the paper cannot be made", error.to_string())
}

/// Who makes the sheets of a shop.
pub fn maker(settings: &Settings, paper: Option<Paper>) -> Maker {
    let head = &settings.letterhead;
    let address = Some(head.address.clone()).filter(|a| !a.is_empty());
    Maker {
        name: settings.name.clone(),
        lines: head.lines.iter().cloned().chain(address).collect(),
        paper: match paper.unwrap_or(head.paper) {
            Paper::A4 => PaperSize::A4,
            Paper::Letter => PaperSize::Letter,
        },
        program: format!("Lodewright {VERSION}"),
    }
}

/// When a sheet was made, from a time in UTC as text, and where the same is found.
pub fn imprint(settings: &Settings, place: &str, time: &str) -> Imprint {
    let date = time
        .parse::<jiff::Timestamp>()
        .map(|t| t.to_zoned(jiff::tz::TimeZone::UTC).date());
    let date = date.unwrap_or(jiff::civil::Date::ZERO);
    let address = settings.letterhead.address.trim_end_matches('/');
    let part = |n: i8| u8::try_from(n).unwrap_or(1);
    Imprint {
        date: (
            u16::try_from(date.year()).unwrap_or(0),
            part(date.month()),
            part(date.day()),
        ),
        day: date.strftime("%-d %B %Y").to_string(),
        link: if address.is_empty() {
            String::new()
        } else {
            format!("{address}/{place}")
        },
        language: LANGUAGE.into(),
    }
}

#[cfg(test)]
mod tests;
