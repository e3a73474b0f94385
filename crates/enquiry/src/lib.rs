//! A customer's message, in anybody's words, into a reading: its kind, the question as far as it was said, the magnets that
//! it names, and what must be asked back.
//!
//! A sentence that the program printed is read back exactly (`own`). Any other text is cut into words and amounts (`lexer`);
//! words get what they may mean (`lexicon`, `pattern`, data in `data/`); the kind of enquiry is decided (`kind`); every
//! amount competes for the places of a question (`roles`, `loads`, `counts`); and what matters and is missing or doubtful
//! is asked (`asks`), and taken at its unfavourable end meanwhile (`meanwhile`).

mod asks;
mod bounds;
mod choose;
mod counts;
mod data;
mod doubts;
mod evidence;
mod fit;
mod kind;
mod learned;
mod lexer;
mod lexicon;
mod loads;
mod magnets;
mod marks;
mod meanwhile;
mod named;
mod note;
mod number;
mod own;
mod pattern;
mod places;
mod read;
mod roles;
mod scene;
mod shown;
mod told;
mod vocabulary;

pub use asks::{Ask, UsualAnswer};
pub use doubts::Part;
pub use fit::{Evidence, evidence};
pub use learned::Learned;
pub use read::{LONGEST_TEXT, Phrase, Reading, read, read_by, read_in_parts};
pub use vocabulary::{Name, Vocabulary};
