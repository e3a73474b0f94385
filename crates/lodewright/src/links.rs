//! Papers as links that can be sent: each shows the same figures later, and tells what is otherwise on today's shelf.

use advice::enquiry::Enquiry;
use advice::ladder::LadderRequest;
use parcels::ParcelRequest;
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};
use press::Document;
use quantity::Units;
use serde::{Deserialize, Serialize};
use shop::SentPaper;
use utoipa::ToSchema;

use crate::desk::{Desk, seconds_now, time_text};
use crate::problem::{Kind, Problem};

/// What is put on a paper.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Subject {
    /// The sheet of an item.
    Item {
        /// Its code.
        code: String,
    },
    /// A ladder.
    Ladder {
        /// As it is asked for.
        request: LadderRequest,
    },
    /// A lesson.
    Lesson {
        /// Its name.
        name: String,
    },
    /// What is told, compared, explained or refused.
    Told {
        /// As it was read.
        enquiry: Box<Enquiry>,
    },
    /// The packing slip of a parcel.
    Parcel {
        /// As it is to be packed.
        request: ParcelRequest,
    },
    /// A kept answer.
    Answer {
        /// Its id on the desk.
        id: String,
    },
    /// A quotation.
    Quotation {
        /// Its number.
        number: String,
        /// Which issue of it; the last where absent.
        issue: Option<u32>,
    },
}

/// What stands in an address as it is: as `encodeURIComponent` of a page has it, but for marks that end a word in running text.
const KEPT: &AsciiSet = &NON_ALPHANUMERIC.remove(b'-').remove(b'_').remove(b'.').remove(b'~');

impl Subject {
    /// The place of the shop's page that shows it on the shelf as it stands, below the shop's address: with the whole request, so that
    /// the same opens again.
    pub fn place(&self) -> String {
        let within = |text: &str| utf8_percent_encode(text, KEPT).to_string();
        // A request of the interface has nothing that JSON cannot say.
        let request = |made: serde_json::Result<String>| within(&made.unwrap_or_default());
        match self {
            Self::Item { code } => format!("#/item/{}", within(code)),
            Self::Lesson { name } => format!("#/lessons/{}", within(name)),
            Self::Answer { id } => format!("#/answer/{}", within(id)),
            Self::Ladder { request: of } => format!("#/ladder?for={}", request(serde_json::to_string(of))),
            Self::Parcel { request: of } => format!("#/parcel?for={}", request(serde_json::to_string(of))),
            Self::Told { enquiry } => format!("#/?enquiry={}", request(serde_json::to_string(enquiry))),
            Self::Quotation { number, issue } => {
                let issue = issue.map(|issue| format!("?issue={issue}")).unwrap_or_default();
                format!("#/quotation/{}{issue}", within(number))
            }
        }
    }
}

/// What a kept paper was made of.
#[derive(Serialize, Deserialize)]
struct Made {
    of: Subject,
    units: Units,
}

/// A paper that was sent as a link.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct LinkView {
    /// Its id, which nobody can guess.
    pub id: String,
    /// Where it is opened: below the shop's address, or else from the root of the server.
    pub address: String,
    /// What it is called.
    pub title: String,
    /// When it was made, UTC.
    pub made_at: String,
    /// Revision of the shelf that its figures are of.
    pub revision: u64,
    /// Whether the shelf has changed since.
    pub stale: bool,
    /// What is on it.
    pub of: Subject,
}

/// A line of a paper that is otherwise today.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct ChangedLine {
    /// As it was; absent for what is new.
    pub was: Option<String>,
    /// As it is; absent for what is gone.
    pub is: Option<String>,
}

/// What is otherwise on today's shelf.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct LinkChanges {
    /// Revision of the shelf as it stands.
    pub revision: u64,
    /// The lines that differ, from top to bottom; none where all of it is the same.
    pub changes: Vec<ChangedLine>,
}

impl Desk {
    /// The document of a subject on the shop's own paper.
    fn document_of(&self, of: &Subject, units: &Units) -> Result<Document, Problem> {
        match of {
            Subject::Item { code } => self.item_paper(code, None, units),
            Subject::Ladder { request } => self.ladder_paper(request, None, units),
            Subject::Lesson { name } => self.lesson_paper(name, None, units),
            Subject::Told { enquiry } => self.enquiry_paper(enquiry, None, units),
            Subject::Parcel { request } => self.parcel_paper(request, None, units),
            Subject::Answer { id } => self.answer_paper(id, None, units),
            Subject::Quotation { number, issue } => self.quotation_paper(number, *issue, None),
        }
    }

    /// The same on the shelf as it stands now.
    fn document_today(&self, of: &Subject, units: &Units) -> Result<Document, Problem> {
        match of {
            // These are frozen themselves.
            Subject::Answer { id } => self.answer_paper_today(id, units),
            Subject::Quotation { number, issue } => self.quotation_paper_today(number, *issue),
            other => self.document_of(other, units),
        }
    }

    /// Keeps a paper as it stands now, to be sent as a link.
    ///
    /// # Errors
    /// As the paper itself; a database that fails.
    pub fn keep_link(&self, of: &Subject, units: &Units) -> Result<LinkView, Problem> {
        let document = self.document_of(of, units)?;
        let mut made = Made {
            of: of.clone(),
            units: *units,
        };
        if let Subject::Quotation { number, issue } = &mut made.of {
            // A later issue is another paper.
            *issue = Some(self.quotation(number, *issue)?.issue);
        }
        let request = serde_json::to_string(&made)
            .map_err(|e| Problem::new(Kind::Internal, "the paper cannot be kept", e.to_string()))?;
        let sent = SentPaper {
            title: document.title.clone(),
            made_at: seconds_now(),
            revision: self.shelf()?.revision,
            request,
            words: document.lines().join("\n"),
        };
        let address = self.shop.settings()?.letterhead.address;
        let id = self.shop.keep_sent(&sent, |id| {
            // It leads to itself.
            let link = match address.is_empty() {
                true => String::new(),
                false => address_of(&address, id),
            };
            Document { link, ..document }.html()
        })?;
        self.link(&id)
    }

    /// What is known of a paper that was sent as a link.
    ///
    /// # Errors
    /// When there is none of that id, or the database fails.
    pub fn link(&self, id: &str) -> Result<LinkView, Problem> {
        let (sent, made) = self.sent(id)?;
        Ok(LinkView {
            id: id.into(),
            address: address_of(&self.shop.settings()?.letterhead.address, id),
            title: sent.title,
            made_at: time_text(sent.made_at),
            revision: sent.revision,
            stale: sent.revision != self.shelf()?.revision,
            of: made.of,
        })
    }

    /// The page of a paper that was sent as a link, as it was kept.
    ///
    /// # Errors
    /// When there is none of that id, or the database fails.
    pub fn link_page(&self, id: &str) -> Result<String, Problem> {
        self.shop.sent_page(id)?.ok_or_else(|| absent(id))
    }

    /// The same paper on the shelf as it stands now, line by line. Nothing of it is kept.
    ///
    /// # Errors
    /// When there is none of that id, what it is of is there no more, or the database fails.
    pub fn link_again(&self, id: &str) -> Result<LinkChanges, Problem> {
        let (sent, made) = self.sent(id)?;
        let now = self.document_today(&made.of, &made.units)?.lines().join("\n");
        let (was, is): (Vec<&str>, Vec<&str>) = (sent.words.lines().collect(), now.lines().collect());
        Ok(LinkChanges {
            revision: self.shelf()?.revision,
            changes: changed(&was, &is),
        })
    }

    fn sent(&self, id: &str) -> Result<(SentPaper, Made), Problem> {
        let sent = self.shop.sent_paper(id)?.ok_or_else(|| absent(id))?;
        let made = serde_json::from_str(&sent.request)
            .map_err(|e| Problem::new(Kind::Storage, "the paper does not read", e.to_string()))?;
        Ok((sent, made))
    }
}

fn absent(id: &str) -> Problem {
    Problem::new(Kind::Absent, "no such paper", format!("no paper was sent as {id:?}"))
        .hint("the address may have been cut off; ask for it again")
}

fn address_of(shop: &str, id: &str) -> String {
    format!("{}/papers/{id}", shop.trim_end_matches('/'))
}

/// Lines that are in one and not in the other; of these, those that are alike are one line that has changed.
fn changed(was: &[&str], is: &[&str]) -> Vec<ChangedLine> {
    /// Lines are the same line, changed, where so much of them agrees.
    const ALIKE: f64 = 0.6;
    let without = |all: &[&str], others: &[&str]| -> Vec<String> {
        let missing = all.iter().filter(|line| !others.contains(line));
        missing.map(|line| (*line).to_owned()).collect()
    };
    let gone = without(was, is);
    let mut new: Vec<Option<String>> = without(is, was).into_iter().map(Some).collect();
    let mut out = Vec::new();
    for line in gone {
        let alike = |other: &Option<String>| {
            let other = other.as_deref()?;
            Some(strsim::normalized_levenshtein(&line, other)).filter(|alike| *alike >= ALIKE)
        };
        let best = new
            .iter()
            .enumerate()
            .filter_map(|(at, other)| Some((at, alike(other)?)))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        let is = best.and_then(|(at, _)| new.get_mut(at)?.take());
        out.push(ChangedLine { was: Some(line), is });
    }
    out.extend(new.into_iter().flatten().map(|line| ChangedLine {
        was: None,
        is: Some(line),
    }));
    out
}

#[cfg(test)]
mod tests;
