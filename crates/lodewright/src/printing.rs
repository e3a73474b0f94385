//! What leaves the shop as documents: on paper or as a page of HTML.

use std::path::Path;

use advice::enquiry::Enquiry;
use advice::given::Given;
use advice::ladder::LadderRequest;
use advice::question::Conditions;
use advice::view::item::ItemView;
use advice::{Item, compare, tell};
use letters::Messages;
use press::{Document, PaperSize};
use quantity::Units;
use serde::Deserialize;
use sheets::answer::Asked;
use sheets::{Imprint, Maker, told};
use shop::{Paper, Settings};
use utoipa::ToSchema;

use crate::desk::{Desk, Shelf, VERSION, Wish};
use crate::enquiries::EnquirySheet;
use crate::letter::LANGUAGE;
use crate::problem::{Kind, Problem};

/// As what a document is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum Form {
    /// Pages for a printer.
    #[default]
    Pdf,
    /// One page of HTML that needs nothing beside it.
    Html,
}

impl Form {
    /// The form of a file by the end of its name; PDF where it says nothing.
    pub fn of_file(file: &Path) -> Self {
        let ends = |end: &str| file.extension().is_some_and(|e| e.eq_ignore_ascii_case(end));
        match ends("html") || ends("htm") {
            true => Self::Html,
            false => Self::Pdf,
        }
    }

    /// The end of its files' names.
    pub const fn end(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Html => "html",
        }
    }

    /// The document in this form.
    ///
    /// # Errors
    /// When a typeface of the program does not read, which a test excludes.
    pub fn written(self, document: &Document) -> Result<Vec<u8>, Problem> {
        match self {
            Self::Pdf => document
                .pdf()
                .map_err(|e| Problem::new(Kind::Internal, "the paper cannot be made", e.to_string())),
            Self::Html => Ok(document.html().into_bytes()),
        }
    }
}

impl Desk {
    /// A kept answer, on that paper or the shop's own.
    ///
    /// # Errors
    /// When there is none of that id, or the database fails.
    pub fn answer_paper(&self, id: &str, paper: Option<Paper>, units: &Units) -> Result<Document, Problem> {
        let sheet = self.open(id, units)?;
        let (answer, view) = self.kept_view(id, units)?;
        let asked = Asked {
            answer: &answer,
            view: &view,
            first: sheet.first.as_ref(),
            id,
        };
        self.answered(&asked, &sheet.asked_at, paper, units)
    }

    /// The same with its question answered on the shelf as it stands now, on the shop's own paper. Nothing of it is kept.
    ///
    /// # Errors
    /// When there is none of that id, its question cannot be answered any more, or the database fails.
    pub fn answer_paper_today(&self, id: &str, units: &Units) -> Result<Document, Problem> {
        let (_, sheet, answer) = self.asked_again(id, units)?;
        let asked = Asked {
            answer: &answer,
            view: &sheet.view,
            first: sheet.first.as_ref(),
            id,
        };
        self.answered(&asked, &sheet.asked_at, None, units)
    }

    fn answered(
        &self,
        asked: &Asked,
        asked_at: &str,
        paper: Option<Paper>,
        units: &Units,
    ) -> Result<Document, Problem> {
        let settings = self.shop.settings()?;
        let imprint = imprint(&settings, &format!("#/answer/{}", asked.id), asked_at);
        let maker = maker(&settings, paper);
        Ok(sheets::answer::paper(asked, units, &maker, &imprint, &messages()?))
    }

    /// The sheet of an item, on that paper or the shop's own.
    ///
    /// # Errors
    /// When the shelf has none of that code, or the database fails.
    pub fn item_paper(&self, code: &str, paper: Option<Paper>, units: &Units) -> Result<Document, Problem> {
        let shelf = self.shelf()?;
        let view = self.item(code, &Conditions::default(), units)?;
        let imprint = imprint(&shelf.settings, &format!("#/item/{code}"), &now());
        item_document(shelf.item(code)?, &view, paper, units, &imprint, &shelf)
    }
}

impl Desk {
    /// A ladder, on that paper or the shop's own.
    ///
    /// # Errors
    /// As for a ladder on the page.
    pub fn ladder_paper(
        &self,
        request: &LadderRequest,
        paper: Option<Paper>,
        units: &Units,
    ) -> Result<Document, Problem> {
        let settings = self.shop.settings()?;
        let view = self.ladder(request, units)?;
        let imprint = imprint(&settings, "#/ladder", &now());
        let revision = self.shelf()?.revision;
        let maker = maker(&settings, paper);
        Ok(sheets::ladder::paper(&view, &maker, &imprint, revision, &messages()?))
    }
}

impl Desk {
    /// What is told, compared, explained or refused, on that paper or the shop's own.
    ///
    /// # Errors
    /// As `enquire`; magnets that were chosen go on paper from where the answer is kept.
    pub fn enquiry_paper(&self, enquiry: &Enquiry, paper: Option<Paper>, units: &Units) -> Result<Document, Problem> {
        let settings = self.shop.settings()?;
        let shelf = self.shelf()?;
        let (maker, messages) = (maker(&settings, paper), messages()?);
        let by = told::For {
            units,
            maker: &maker,
            imprint: &imprint(&settings, "#/ask", &now()),
            revision: shelf.revision,
            messages: &messages,
        };
        Ok(match self.enquire(enquiry, Wish::default(), units)? {
            EnquirySheet::Choose(_) => {
                let detail = "magnets that were chosen go on paper once their answer is kept";
                return Err(Problem::new(Kind::Asked, "the answer is not kept", detail)
                    .hint("keep it, and take /answers/{id}/paper"));
            }
            EnquirySheet::Tell(view) => {
                let told = tell::tell(enquiry, &shelf.items, &shelf.catalogue)?;
                told::tell(&view, drawn(&told.given), &by)
            }
            EnquirySheet::Compare(view) => {
                let compared = compare::compare(enquiry, &shelf.items, &shelf.catalogue)?;
                let drawn: Vec<_> = compared.columns.iter().map(|column| drawn(&column.given)).collect();
                told::compare(&view, &drawn, &by)
            }
            EnquirySheet::Explain(view) => told::explain(&view, &by),
            EnquirySheet::Refuse(view) => told::refuse(&view, &by),
        })
    }
}

/// The sheet of an item as it is shown, on that paper or the shop's own.
///
/// # Errors
/// When the messages of the program do not read, which a test excludes.
pub fn item_document(
    item: &Item,
    view: &ItemView,
    paper: Option<Paper>,
    units: &Units,
    imprint: &Imprint,
    shelf: &Shelf,
) -> Result<Document, Problem> {
    Ok(sheets::item::paper(
        item,
        view,
        units,
        &maker(&shelf.settings, paper),
        imprint,
        shelf.revision,
        &messages()?,
    ))
}

/// How a magnet is drawn.
fn drawn(given: &Given) -> told::Drawn<'_> {
    (&given.item.shape, given.build.pieces)
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

/// A document as PDF that keeps to its paper, and as HTML that takes nothing as code: for tests of what goes on paper.
#[cfg(test)]
pub fn written(document: &Document) -> Vec<u8> {
    let html = document.html();
    assert!(html.ends_with("</html>\n") && !html.contains("<script") && !html.contains("NaN"));
    assert_eq!(document.outside(), Vec::<String>::new());
    document.pdf().unwrap()
}

#[cfg(test)]
mod tests;
