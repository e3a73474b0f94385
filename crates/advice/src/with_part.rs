//! Builds with a steel part of the shelf: a back-plate, a cup, a pole tip.
//!
//! Each is solved by finite elements, ten milliseconds a solve and more, so the shelf is thinned first: by which part goes
//! with which magnet ([`fits`]), by the limits of the question, by the price, and by a bound on the value ([`bound`]). What
//! is left is solved on a rough mesh in the order of its price until as many as are shown will surely do, at most
//! [`MOST_SOLVED`]. Only what may do by then is solved on a fine mesh, refined from the rough one; what moves its value, for the band
//! ([`crate::predict`]), and the curve against the gap with the part and without come from rough meshes, whose errors the
//! fine value takes out.
//!
//! Where the question does not say, such builds are offered when they win: when nothing bare surely does, or when they
//! are cheaper than the cheapest bare build that surely does, or narrower or lower at no more than its price. Where it
//! asks for a part, the cheapest are shown, whether they win or not.

mod bound;
mod choose;
mod fits;
mod options;
mod solved;

use rayon::prelude::*;
use steel::SteelTable;

use crate::answer::{Answer, Candidate};
use crate::catalogue::Catalogue;
use crate::criteria::Criteria;
use crate::go_on::{GoOn, Stopped, wanted};
use crate::item::Item;
use crate::part::Part;
use crate::predict::Task;
use crate::question::{Question, Steelwork};
use options::{Choice, Look, Usable};
use solved::Named;

pub use choose::{MOST_BANDS, MOST_SHOWN, MOST_SOLVED};

/// The parts of a shelf that may serve a question, whatever they win.
fn serving<'a>(question: &Question, parts: &'a [Part]) -> impl Iterator<Item = &'a Part> {
    let serves: Vec<Steelwork> = match question.limits.steelwork {
        Some(one) => vec![one],
        None => question.need.steelwork().to_vec(),
    };
    parts.iter().filter(move |part| serves.contains(&part.form.steelwork()))
}

/// Whether there is a part to look at for a question.
pub fn is_worth_a_look(question: &Question, parts: &[Part]) -> bool {
    serving(question, parts).next().is_some()
}

/// The builds with steel parts that go with an answer, the cheapest first, sure ones before the others.
///
/// Empty where the need has no use for steel, the question wants none, or none wins. Parts of a steel that the table does
/// not know, and magnets of materials that it does not, are left out.
///
/// # Errors
/// [`Stopped`] where `go_on` said no.
pub fn find(
    answer: &Answer,
    shelf: &[Item],
    parts: &[Part],
    catalogue: &Catalogue,
    go_on: GoOn,
) -> Result<Vec<Candidate>, Stopped> {
    let question = &answer.question;
    let usable: Vec<Usable> = serving(question, parts)
        .filter_map(|part| Usable::new(part, &catalogue.steels))
        .collect();
    if usable.is_empty() {
        return Ok(Vec::new());
    }
    let criteria = Criteria::new(question, catalogue);
    let look = Look {
        criteria: &criteria,
        plate: plate(&criteria, &catalogue.steels),
        offered: question.limits.steelwork.is_none(),
        beside: answer.best_bare(),
        go_on,
    };
    let mut options: Vec<Choice> = shelf
        .par_iter()
        .flat_map_iter(|item| look.options(item, &usable))
        .collect();
    options.sort_by(|a, b| a.order().cmp(&b.order()));
    let found = look.choose(&options);
    wanted(go_on)?;
    Ok(found)
}

/// The steel that is held on.
fn plate<'a>(criteria: &Criteria, steels: &'a SteelTable) -> Option<Named<'a>> {
    let Task::Plate { law: Some(law), .. } = criteria.task else {
        return None;
    };
    steels.curve(law.curve()).map(Named::from)
}

#[cfg(test)]
mod tests;
