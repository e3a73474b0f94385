//! What can go wrong while serving a question, in one form for terminal and web.

use advice::QuestionError;
use advice::go_on::{NoAnswer, Stopped};
use advice::view::Pair;
use serde::Serialize;
use shop::ShopError;
use shop::import::{self, ApplyError, Preview, ReadError};
use utoipa::ToSchema;

use crate::reading::Misread;

/// What kind of problem it is, for the exit status and the status code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// What was asked cannot be answered as it stands.
    Asked,
    /// It is not even what can be read.
    Malformed,
    /// Nobody knows who asks.
    Unknown,
    /// It is not for whom asks.
    Refused,
    /// There is no such thing.
    Absent,
    /// It is there, but not for this method.
    Method,
    /// It comes in a form that is not taken.
    Media,
    /// Somebody else changed it meanwhile.
    Conflict,
    /// Too large to be taken.
    TooLarge,
    /// It did not come in time.
    Slow,
    /// Asked again too soon.
    TooOften,
    /// Not now: others are served first.
    Busy,
    /// The shop's file cannot be read or written.
    Storage,
    /// The program or the machine failed.
    Internal,
}

impl Kind {
    /// The status code of the web.
    fn status(self) -> u16 {
        match self {
            Kind::Asked => 422,
            Kind::Malformed => 400,
            Kind::Unknown => 401,
            Kind::Refused => 403,
            Kind::Absent => 404,
            Kind::Method => 405,
            Kind::Media => 415,
            Kind::Conflict => 409,
            Kind::TooLarge => 413,
            Kind::Slow => 408,
            Kind::TooOften => 429,
            Kind::Busy => 503,
            Kind::Internal => 500,
            Kind::Storage => 507,
        }
    }
}

/// A problem with what was wrong, where, and what would be right; the JSON form of every error.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Problem {
    /// In a few words.
    pub title: String,
    /// The status code of the web.
    pub status: u16,
    /// What was wrong.
    pub detail: String,
    /// Where it was, and what would be right.
    #[serde(flatten)]
    pub more: Box<Whereabouts>,
}

/// Where a problem lies and what would be right.
#[derive(Clone, Debug, Default, Serialize, ToSchema)]
pub struct Whereabouts {
    /// JSON pointer to the part of the request that is wrong.
    pub field: Option<String>,
    /// The part of a text that is wrong, from and to, in UTF-16 code units.
    #[schema(value_type = Option<Pair>)]
    pub span: Option<[usize; 2]>,
    /// What would be right.
    pub hint: Option<String>,
    /// What is wrong with an imported file, line by line.
    #[schema(required = false)]
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub problems: Vec<import::Problem>,
    /// How the typed words were taken.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub understood: Option<Understood>,
    /// After how many seconds it may go otherwise.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub retry_after: Option<u32>,
}

/// A typed text and what each part of it was taken for.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Understood {
    /// The text.
    pub text: String,
    /// Its parts.
    pub parts: Vec<UnderstoodPart>,
}

/// A part of a typed text.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct UnderstoodPart {
    /// From, in UTF-16 code units.
    pub start: usize,
    /// To, in UTF-16 code units.
    pub end: usize,
    /// What it was taken for; absent when it was not understood.
    pub meaning: Option<String>,
    /// Its place in the reading, a JSON pointer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Places that it could have had instead.
    #[schema(required = false)]
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub others: Vec<String>,
}

impl Problem {
    /// A problem of that kind.
    pub fn new(kind: Kind, title: &str, detail: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            status: kind.status(),
            detail: detail.into(),
            more: Box::default(),
        }
    }

    /// With what would be right.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.more.hint = Some(hint.into());
        self
    }

    /// With the part of the request that is wrong.
    pub fn field(mut self, field: impl Into<String>) -> Self {
        self.more.field = Some(field.into());
        self
    }

    /// With the seconds after which it may go otherwise.
    pub fn retry_after(mut self, seconds: u32) -> Self {
        self.more.retry_after = Some(seconds);
        self
    }

    /// A file that cannot be imported, with its problems.
    pub fn refused(preview: Preview) -> Self {
        let errors = if preview.errors == 1 {
            "an error".into()
        } else {
            format!("{} errors", preview.errors)
        };
        let detail = format!("the file has {errors}; nothing was imported");
        let mut problem = Self::new(Kind::Asked, "the file cannot be imported", detail)
            .hint("put right what the lines say and import again");
        problem.more.problems = preview.problems;
        problem
    }
}

impl Problem {
    /// A file whose import would lose or turn over something of the shelf.
    pub fn unconfirmed(preview: &Preview) -> Self {
        let told = &preview.consequences.told;
        let first: Vec<String> = told
            .iter()
            .take(MOST_CONSEQUENCES)
            .map(|one| format!("{}: {}", one.code, one.text))
            .collect();
        let detail = format!(
            "the import has {} consequences to confirm: {}{}; nothing was imported",
            preview.consequences.count(),
            first.join("; "),
            if told.len() > first.len() { "; and more" } else { "" },
        );
        Self::new(Kind::Conflict, "to be confirmed", detail)
            .hint("look at the preview, and confirm the import if it is what you want")
            .field(CONFIRMED)
    }

    /// What was wrong and what would be right, for the end of a sentence.
    pub fn in_a_sentence(self) -> String {
        match self.more.hint {
            Some(hint) => format!("{}; {hint}", self.detail),
            None => self.detail,
        }
    }

    /// With the shop's file that it is about, where it is about its storage.
    pub fn of_file(mut self, file: Option<&std::path::Path>) -> Self {
        if let Some(file) = file.filter(|_| self.status == Kind::Storage.status()) {
            self.detail = format!("{}: {}", file.display(), self.detail);
        }
        self
    }
}

/// So many consequences are told in an error; the preview has more.
const MOST_CONSEQUENCES: usize = 8;
/// Parameter by which an import is confirmed.
pub const CONFIRMED: &str = "confirmed";

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str(&self.detail)
    }
}

impl std::error::Error for Problem {}

impl From<QuestionError> for Problem {
    fn from(error: QuestionError) -> Self {
        Self::new(
            Kind::Asked,
            "the question cannot be answered as it stands",
            error.message,
        )
        .hint(error.hint)
        .field(error.field)
    }
}

impl From<NoAnswer> for Problem {
    fn from(none: NoAnswer) -> Self {
        match none {
            NoAnswer::Question(error) => error.into(),
            NoAnswer::Stopped(stopped) => stopped.into(),
        }
    }
}

impl From<Stopped> for Problem {
    fn from(stopped: Stopped) -> Self {
        Self::new(Kind::Busy, "stopped", stopped.to_string()).hint("ask again")
    }
}

impl From<Misread> for Problem {
    fn from(misread: Misread) -> Self {
        let hint = misread
            .hint
            .unwrap_or_else(|| "see /api/openapi.json for the form of each request".into());
        Self::new(Kind::Asked, "this does not read", misread.message)
            .field(misread.pointer)
            .hint(hint)
    }
}

impl From<ShopError> for Problem {
    fn from(error: ShopError) -> Self {
        let kind = match error {
            ShopError::Conflict { .. } => Kind::Conflict,
            ShopError::NotOnShelf(_) => Kind::Absent,
            ShopError::Setting { .. }
            | ShopError::Grades(_)
            | ShopError::Lot(_)
            | ShopError::Bench(_)
            | ShopError::NothingToUndo
            | ShopError::NothingToRedo
            | ShopError::Ununderstood(_)
            | ShopError::BadBackup { .. }
            | ShopError::Exists(_)
            | ShopError::SameFile(_) => Kind::Asked,
            ShopError::ReadOnly(_) | ShopError::Database(_) | ShopError::Gone(_) => Kind::Storage,
            _ => Kind::Internal,
        };
        let problem = Self::new(kind, "the shop", error.to_string());
        match error.hint() {
            Some(hint) => problem.hint(hint),
            None => problem,
        }
    }
}

impl From<ReadError> for Problem {
    fn from(error: ReadError) -> Self {
        Self::new(Kind::Asked, "the file cannot be read as a price list", error.wrong).hint(error.right)
    }
}

impl From<import::MapError> for Problem {
    fn from(error: import::MapError) -> Self {
        Self::new(Kind::Asked, "the columns cannot be read so", error.wrong)
            .hint(error.right)
            .field("map")
    }
}

impl From<ApplyError> for Problem {
    fn from(error: ApplyError) -> Self {
        match error {
            ApplyError::Refused(preview) => Self::refused(*preview),
            ApplyError::Unconfirmed(preview) => Self::unconfirmed(&preview),
            ApplyError::Shop(error) => error.into(),
        }
    }
}

impl From<advice::catalogue::CatalogueError> for Problem {
    fn from(error: advice::catalogue::CatalogueError) -> Self {
        Self::new(Kind::Internal, "the program's own data", error.to_string())
    }
}
