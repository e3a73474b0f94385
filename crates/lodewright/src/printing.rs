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
use sheets::list::List;
use sheets::{Imprint, Maker, told};
use shop::{Paper, Settings};
use utoipa::ToSchema;

use crate::desk::{Desk, Shelf, VERSION, Wish};
use crate::enquiries::EnquirySheet;
use crate::letter::LANGUAGE;
use crate::links::Subject;
use crate::problem::{Kind, Problem};

/// As what a document or a list is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum Form {
    /// Pages for a printer.
    #[default]
    Pdf,
    /// One page of HTML that needs nothing beside it.
    Html,
    /// A list as comma-separated text.
    Csv,
    /// A list as a workbook.
    Xlsx,
}

impl Form {
    const ALL: [Self; 4] = [Self::Pdf, Self::Html, Self::Csv, Self::Xlsx];

    /// The form of a file by the end of its name; `None` where it says nothing.
    pub fn named(file: &Path) -> Option<Self> {
        let ends = |end: &str| file.extension().is_some_and(|e| e.eq_ignore_ascii_case(end));
        let named = Self::ALL.into_iter().find(|form| ends(form.end()));
        named.or_else(|| ends("htm").then_some(Self::Html))
    }

    /// The same; PDF where it says nothing.
    pub fn of_file(file: &Path) -> Self {
        Self::named(file).unwrap_or_default()
    }

    /// The end of its files' names.
    pub const fn end(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Html => "html",
            Self::Csv => "csv",
            Self::Xlsx => "xlsx",
        }
    }

    /// Its media type.
    pub const fn media_type(self) -> &'static str {
        match self {
            Self::Pdf => "application/pdf",
            Self::Html => "text/html; charset=utf-8",
            Self::Csv => "text/csv; charset=utf-8",
            Self::Xlsx => "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        }
    }

    /// The document in this form.
    ///
    /// # Errors
    /// Where it is no list and one is asked for; when a typeface of the program does not read, which a test excludes.
    pub fn written(self, document: &Document) -> Result<Vec<u8>, Problem> {
        self.made(|| Ok(document.clone()), || Err(no_list(&document.title)))
    }

    /// The document or the list, whichever has this form.
    ///
    /// # Errors
    /// Those of the one that is made; when it cannot be written, which a test excludes.
    pub fn made(
        self,
        document: impl FnOnce() -> Result<Document, Problem>,
        list: impl FnOnce() -> Result<List, Problem>,
    ) -> Result<Vec<u8>, Problem> {
        let failed = |what: &str, why: String| Problem::new(Kind::Internal, what, why);
        match self {
            Self::Pdf => document()?
                .pdf()
                .map_err(|e| failed("the paper cannot be made", e.to_string())),
            Self::Html => Ok(document()?.html().into_bytes()),
            // With the mark by which spreadsheet programs know UTF-8.
            Self::Csv => Ok(format!("\u{feff}{}", list()?.csv()).into_bytes()),
            Self::Xlsx => list()?
                .xlsx()
                .map_err(|e| failed("the workbook cannot be made", e.to_string())),
        }
    }
}

fn no_list(title: &str) -> Problem {
    Problem::new(
        Kind::Asked,
        "no list",
        format!("\"{title}\" is no list with a row for each thing"),
    )
    .field("form")
    .hint("pdf or html; answers, ladders, comparisons and the table as measured are lists too")
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

    /// The candidates of a kept answer as a list.
    ///
    /// # Errors
    /// As [`Self::answer_paper`].
    pub fn answer_list(&self, id: &str, units: &Units) -> Result<List, Problem> {
        let (answer, view) = self.kept_view(id, units)?;
        Ok(sheets::answer::listed(&answer, &view, units, &messages()?))
    }

    fn answered(
        &self,
        asked: &Asked,
        asked_at: &str,
        paper: Option<Paper>,
        units: &Units,
    ) -> Result<Document, Problem> {
        let settings = self.shop.settings()?;
        let of = Subject::Answer { id: asked.id.into() };
        let imprint = imprint(&settings, &of.place(), asked_at);
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
        let of = Subject::Item { code: code.into() };
        let imprint = imprint(&shelf.settings, &of.place(), &now());
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
        let of = Subject::Ladder {
            request: request.clone(),
        };
        let imprint = imprint(&settings, &of.place(), &now());
        let revision = self.shelf()?.revision;
        let maker = maker(&settings, paper);
        Ok(sheets::ladder::paper(&view, &maker, &imprint, revision, &messages()?))
    }

    /// The rungs of a ladder as a list.
    ///
    /// # Errors
    /// As for a ladder on the page.
    pub fn ladder_list(&self, request: &LadderRequest, units: &Units) -> Result<List, Problem> {
        let view = self.ladder(request, units)?;
        Ok(sheets::ladder::listed(&view, units, &messages()?))
    }
}

impl Desk {
    /// Magnets side by side as a list.
    ///
    /// # Errors
    /// As `enquire`; for an enquiry that compares nothing.
    pub fn comparison_list(&self, enquiry: &Enquiry, units: &Units) -> Result<List, Problem> {
        match self.enquire(enquiry, Wish::default(), units)? {
            EnquirySheet::Compare(view) => Ok(told::compared(&view, &messages()?)),
            _ => Err(no_list("what is told")),
        }
    }

    /// What is told, compared, explained or refused, on that paper or the shop's own.
    ///
    /// # Errors
    /// As `enquire`; magnets that were chosen go on paper from where the answer is kept.
    pub fn enquiry_paper(&self, enquiry: &Enquiry, paper: Option<Paper>, units: &Units) -> Result<Document, Problem> {
        let settings = self.shop.settings()?;
        let shelf = self.shelf()?;
        let (maker, messages) = (maker(&settings, paper), messages()?);
        let of = Subject::Told {
            enquiry: Box::new(enquiry.clone()),
        };
        let by = told::For {
            units,
            maker: &maker,
            imprint: &imprint(&settings, &of.place(), &now()),
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
