//! What a message says that a meter showed.

use std::ops::Range;

use advice::enquiry::{About, Enquiry, Kind, Said, Subject};
use quantity::{FluxDensity, parse};

use crate::note::Notes;

/// Takes the one flux density that a message about the field of a given magnet leaves over for what a meter showed.
pub(crate) fn take(text: &str, enquiry: &mut Enquiry, left_out: &mut Vec<Range<usize>>, notes: &mut Notes) {
    let about = |thing: About| enquiry.about.contains(&Subject::Thing(thing));
    let asked = enquiry.kind == Kind::Tell && (about(About::FaceField) || about(About::Field));
    if !asked || enquiry.question.need.field.is_some() {
        return;
    }
    let value = |range: &Range<usize>| parse::<FluxDensity>(text.get(range.clone())?.trim()).ok();
    let mut found = left_out
        .iter()
        .enumerate()
        .filter_map(|(at, range)| Some((at, value(range)?)));
    let (Some((at, shown)), None) = (found.next(), found.next()) else {
        return;
    };
    enquiry.question.need.field = Some(Said::one(shown));
    notes.over(left_out.remove(at), "/question/need/field", "what a meter showed");
}
