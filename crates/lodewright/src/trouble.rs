//! What can go wrong while serving a question, in one form for terminal and web.

use advice::QuestionError;
use serde::Serialize;
use shop::import::{ApplyError, Preview, Problem, ReadError};
use shop::ShopError;
use utoipa::ToSchema;

/// What kind of trouble it is, for the exit status and the status code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// What was asked cannot be answered as it stands.
    Asked,
    /// There is no such thing.
    Absent,
    /// Somebody else changed it meanwhile.
    Conflict,
    /// Too large to be taken.
    TooLarge,
    /// The program or the machine failed.
    Internal,
}

/// A trouble with what was wrong, where, and what would be right; the JSON form of every error.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Trouble {
    /// In a few words.
    pub title: String,
    /// The status code of the web.
    pub status: u16,
    /// What was wrong.
    pub detail: String,
    /// JSON pointer to the part of the request that is wrong.
    pub field: Option<String>,
    /// The part of a text that is wrong, from and to, in UTF-16 code units.
    pub span: Option<[usize; 2]>,
    /// What would be right.
    pub hint: Option<String>,
    /// What is wrong with an imported file, line by line.
    #[schema(value_type = Vec<Object>)]
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub problems: Vec<Problem>,
    /// How the typed words were taken.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub understood: Option<Understood>,
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
    /// What may have been meant.
    pub hint: Option<String>,
}

impl Trouble {
    /// A trouble of that kind.
    pub fn new(kind: Kind, title: &str, detail: impl Into<String>) -> Self {
        let status = match kind {
            Kind::Asked => 422,
            Kind::Absent => 404,
            Kind::Conflict => 409,
            Kind::TooLarge => 413,
            Kind::Internal => 500,
        };
        Self {
            title: title.into(),
            status,
            detail: detail.into(),
            field: None,
            span: None,
            hint: None,
            problems: Vec::new(),
            understood: None,
        }
    }

    /// With what would be right.
    pub fn hint(self, hint: impl Into<String>) -> Self {
        Self { hint: Some(hint.into()), ..self }
    }

    /// With the part of the request that is wrong.
    pub fn field(self, field: impl Into<String>) -> Self {
        Self { field: Some(field.into()), ..self }
    }

    /// A file that cannot be imported, with its problems.
    pub fn refused(preview: Preview) -> Self {
        let detail = format!("the file has {} errors; nothing was imported", preview.errors);
        let trouble = Self::new(Kind::Asked, "the file cannot be imported", detail);
        Self { problems: preview.problems, ..trouble.hint("put right what the lines say and import again") }
    }
}

impl std::fmt::Display for Trouble {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str(&self.detail)
    }
}

impl std::error::Error for Trouble {}

impl From<QuestionError> for Trouble {
    fn from(error: QuestionError) -> Self {
        Self::new(Kind::Asked, "the question cannot be answered as it stands", error.message)
            .hint(error.hint)
            .field(error.field)
    }
}

impl From<ShopError> for Trouble {
    fn from(error: ShopError) -> Self {
        let kind = match error {
            ShopError::Conflict { .. } => Kind::Conflict,
            ShopError::Setting { .. } | ShopError::Grades(_) | ShopError::NothingToUndo | ShopError::Exists(_) => Kind::Asked,
            _ => Kind::Internal,
        };
        Self::new(kind, "the shop", error.to_string())
    }
}

impl From<ReadError> for Trouble {
    fn from(error: ReadError) -> Self {
        Self::new(Kind::Asked, "the file cannot be read as a price list", error.wrong).hint(error.right)
    }
}

impl From<ApplyError> for Trouble {
    fn from(error: ApplyError) -> Self {
        match error {
            ApplyError::Refused(preview) => Self::refused(*preview),
            ApplyError::Shop(error) => error.into(),
        }
    }
}

impl From<advice::catalogue::CatalogueError> for Trouble {
    fn from(error: advice::catalogue::CatalogueError) -> Self {
        Self::new(Kind::Internal, "the program's own data", error.to_string())
    }
}
