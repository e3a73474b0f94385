//! What is not there, and what does not read.

use quantity::Quantity;

use crate::problem::{Kind, Problem};

/// Something that the bench does not have.
pub fn absent(what: &str, id: &str) -> Problem {
    Problem::new(
        Kind::Absent,
        &format!("no such {what}"),
        format!("the bench has no {what} {id:?}"),
    )
}

/// A quantity out of a text, with the field to blame.
///
/// # Errors
/// What is wrong with it.
pub fn parsed<Q: Quantity>(field: &str, text: &str) -> Result<Q, Problem> {
    quantity::parse(text).map_err(|error| {
        Problem::new(Kind::Asked, "this does not read", error.one_line())
            .field(format!("/{field}"))
            .hint("write a number with its unit, such as 0.5 mm")
    })
}

/// What a removal or a return found.
///
/// # Errors
/// Where it found nothing.
pub fn was_there(there: bool, what: &str, id: &str) -> Result<(), Problem> {
    if there { Ok(()) } else { Err(absent(what, id)) }
}
