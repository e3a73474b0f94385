//! What an adviser writes back to a customer: short messages made from answers.
//!
//! The words stand in message files, one for each language ([`messages`]); the figures are those of the answer, nothing is
//! worked out anew. A [`letter::Letter`] is plain text and HTML and is meant to be looked over before it leaves.

pub mod choose;
pub mod letter;
pub mod messages;
pub mod told;

pub use letter::Letter;
pub use messages::{LanguageError, Messages};
