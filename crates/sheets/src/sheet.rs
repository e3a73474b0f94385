//! What all sheets share: the shop's head, the running foot, and the small blocks of every page.

use advice::view::cautions::Caution;
use advice::view::text::{Run, capital, plain};
use letters::Messages;
use press::drawing::Anchor;
use press::ink::{INK, SOFT};
use press::{Document, Face, Flow, PaperSize, Style, Table, Text};

/// Who makes a sheet, and for which paper.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Maker {
    /// The shop's name.
    pub name: String,
    /// How it is reached, a line each.
    pub lines: Vec<String>,
    /// The paper.
    pub paper: PaperSize,
    /// The program with its version.
    pub program: String,
}

/// When a sheet was made, and where the same is found again.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Imprint {
    /// Year, month and day.
    pub date: (u16, u8, u8),
    /// The date in words.
    pub day: String,
    /// The address of the same on the shop's page; empty where it is reached from nowhere.
    pub link: String,
    /// The tag of its language.
    pub language: String,
}

/// Width of a column of half a page, points, on the narrower paper.
pub(crate) const HALF: f32 = 236.0;
/// Width of the narrower of two columns that share a page as two to three, points.
pub(crate) const NARROW: f32 = 190.0;

/// The face of lead sentences.
pub const LEAD: Style = Style::new(Face::Book, 11.0, INK);

/// The document of these blocks, below the shop's head; the foot says of which revision of the shelf it is.
pub fn document(
    title: &str,
    body: Vec<Flow>,
    maker: &Maker,
    imprint: &Imprint,
    messages: &Messages,
    revision: u64,
) -> Document {
    let mut flows = head(maker);
    flows.extend(body);
    Document {
        title: title.into(),
        author: maker.name.clone(),
        language: imprint.language.clone(),
        creator: maker.program.clone(),
        date: imprint.date,
        paper: maker.paper,
        flows,
        link: imprint.link.clone(),
        foot: messages.text(
            "paper-made",
            &[
                ("day", (&imprint.day).into()),
                ("revision", (&revision.to_string()).into()),
                ("program", (&maker.program).into()),
            ],
        ),
        foot_page: messages.text("page-of", &[("page", "{page}".into()), ("pages", "{pages}".into())]),
    }
}

/// The shop's name and how it is reached.
fn head(maker: &Maker) -> Vec<Flow> {
    let name = Flow::Paragraph(Text::new(maker.name.clone(), Style::new(Face::BookStrong, 14.0, INK)));
    let reached = maker.lines.iter().map(|line| Flow::small(line.clone())).collect();
    vec![
        Flow::Columns(vec![(3.0, vec![name]), (2.0, reached)]),
        Flow::Space(6.0),
        Flow::line(),
        Flow::Space(12.0),
    ]
}

/// Runs as text, what is strong in the strong face.
pub fn text(runs: &[Run], style: Style) -> Text {
    Text {
        pieces: runs
            .iter()
            .map(|run| (run.text.clone(), if run.strong { style.strong() } else { style }))
            .collect(),
    }
}

/// A list, a line each.
pub fn list(rows: &[Vec<Run>]) -> Vec<Flow> {
    rows.iter()
        .map(|runs| {
            let mut line = Text::new("– ", Style::BODY);
            line.pieces.extend(text(runs, Style::BODY).pieces);
            Flow::Paragraph(line)
        })
        .collect()
}

/// Cautions with their rules in small letters, the most important first.
pub(crate) fn cautions(all: &[Caution]) -> Vec<Flow> {
    all.iter()
        .flat_map(|caution| {
            let said = text(&caution.runs, Style::BODY).and(format!(" ({})", caution.rule), Style::SMALL);
            [Flow::Paragraph(said), Flow::Space(3.0)]
        })
        .collect()
}

/// Labels and values below each other.
pub(crate) fn facts<'a>(rows: impl IntoIterator<Item = (&'a str, &'a str)>) -> Table {
    let row = |(label, value): (&str, &str)| {
        vec![
            Text::new(capital(label), Style::SMALL),
            Text::new(value.to_owned(), Style::BODY),
        ]
    };
    Table {
        rows: rows.into_iter().map(row).collect(),
        ..Table::default()
    }
}

/// A table of texts: the first column from the left, the others from the right.
pub(crate) fn table(head: Vec<String>, rows: Vec<Vec<String>>) -> Table {
    let columns = head.len();
    Table {
        head: head.into_iter().map(|cell| Text::new(cell, Style::SMALL)).collect(),
        rows: rows
            .into_iter()
            .map(|row| row.into_iter().map(|cell| Text::new(cell, Style::BODY)).collect())
            .collect(),
        align: (0..columns)
            .map(|k| if k == 0 { Anchor::Start } else { Anchor::End })
            .collect(),
        ..Table::default()
    }
}

/// Blocks as wide as half a page, two side by side.
pub(crate) fn in_pairs(halves: Vec<Vec<Flow>>) -> Vec<Flow> {
    let mut flows = Vec::new();
    let mut halves = halves.into_iter();
    while let Some(left) = halves.next() {
        let right = halves.next().unwrap_or_default();
        flows.push(Flow::Space(8.0));
        flows.push(Flow::Columns(vec![(1.0, left), (1.0, right)]));
    }
    flows
}

/// A title with what stands at its right.
pub fn titled(title: &str, beside: &str) -> Vec<Flow> {
    let title = Flow::title(title);
    if beside.is_empty() {
        return vec![title, Flow::Space(6.0)];
    }
    let beside = Flow::Table(Table {
        rows: vec![vec![Text::new(beside, Style::BODY.in_ink(SOFT))]],
        align: vec![Anchor::End],
        bare: true,
        ..Table::default()
    });
    vec![
        // An id of an answer stands on one line.
        Flow::Columns(vec![(5.0, vec![title]), (2.0, vec![beside])]),
        Flow::Space(6.0),
    ]
}

/// Runs without their emphasis, with a capital.
pub(crate) fn sentence(runs: &[Run]) -> String {
    capital(&plain(runs))
}
