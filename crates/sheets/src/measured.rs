//! The table as measured on paper: what the shop's meters read on its magnets, beside what was predicted.

use letters::Messages;
use press::{Document, Flow, Style, Text};

use crate::sheet::{Imprint, Maker, document, table, titled};

/// What was read of one lot at one place with one probe, in words and figures.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Measured {
    /// Code, sizes, grade and lot.
    pub magnet: String,
    /// Of how many pieces, and where.
    pub place: String,
    /// By what probe, how often, and when last.
    pub read: String,
    /// Mean, and its spread where there is one.
    pub mean: String,
    /// What was to be expected.
    pub predicted: String,
    /// Its band.
    pub band: String,
    /// Mean over prediction, less one.
    pub off: String,
    /// Whether the mean lies in the band.
    pub inside: bool,
}

/// The document of the table; `says` is what it shows and leaves out.
pub fn paper(
    says: &str,
    rows: &[Measured],
    maker: &Maker,
    imprint: &Imprint,
    revision: u64,
    messages: &Messages,
) -> Document {
    let say = |name: &str| messages.text(name, &[]);
    let title = say("measured");
    let mut flows = titled(&title, "");
    flows.push(Flow::small(says.to_owned()));
    flows.push(Flow::Space(8.0));
    if rows.is_empty() {
        flows.push(Flow::Paragraph(Text::new(say("measured-none"), Style::BODY)));
    } else {
        let head = [
            "measured-magnet",
            "measured-place",
            "measured-mean",
            "measured-predicted",
            "measured-band",
            "measured-off",
            "measured-read",
        ]
        .map(say)
        .to_vec();
        let row = |row: &Measured| {
            let off = if row.inside {
                row.off.clone()
            } else {
                format!("{}, {}", row.off, say("measured-outside"))
            };
            vec![
                row.magnet.clone(),
                row.place.clone(),
                row.mean.clone(),
                row.predicted.clone(),
                row.band.clone(),
                off,
                row.read.clone(),
            ]
        };
        flows.push(Flow::Table(table(head, rows.iter().map(row).collect())));
    }
    flows.push(Flow::Space(8.0));
    document(&title, flows, maker, imprint, messages, revision)
}
