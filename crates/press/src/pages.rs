//! A document: what it is, the paper, its blocks and its running foot.

use crate::MM;
use crate::drawing::{Anchor, Mark, Pen, Step};
use crate::flow::Flow;
use crate::ink::RULE;
use crate::layout::{Placed, Role, sheets};
use crate::text::{Style, Text, shortened};

/// A size of paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PaperSize {
    /// 210 × 297 mm, ISO 216.
    #[default]
    A4,
    /// 8.5 × 11 in, ANSI/ASME Y14.1.
    Letter,
}

impl PaperSize {
    /// Width and height, points.
    pub fn points(self) -> [f32; 2] {
        match self {
            Self::A4 => [210.0 * MM, 297.0 * MM],
            Self::Letter => [612.0, 792.0],
        }
    }
}

/// Left and right of what is printed.
const SIDE: f32 = 18.0 * MM;
/// Above it.
const TOP: f32 = 16.0 * MM;
/// Below it; the foot stands in here.
const BOTTOM: f32 = 20.0 * MM;
/// From the lower edge to the line above the foot, below which two lines stand.
const FOOT: f32 = 15.0 * MM;

/// A document to be put on paper.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Document {
    /// What it is called.
    pub title: String,
    /// Whose it is.
    pub author: String,
    /// Its language, such as `en`.
    pub language: String,
    /// The program that made it, with its version.
    pub creator: String,
    /// When, year, month and day.
    pub date: (u16, u8, u8),
    /// The paper.
    pub paper: PaperSize,
    /// Its blocks.
    pub flows: Vec<Flow>,
    /// When and of what it was made, at the left of every foot.
    pub foot: String,
    /// The address of the same, on a line of its own below that; a web address is led to. Empty where there is none.
    pub link: String,
    /// The page's number in words, with `{page}` and `{pages}`.
    pub foot_page: String,
}

impl Document {
    /// The width of what is printed, points.
    pub fn width(&self) -> f32 {
        self.paper.points()[0] - 2.0 * SIDE
    }

    /// Its pages as they are printed: blocks with their marks, from the top left corner of the paper.
    pub fn pages(&self) -> Vec<Vec<Placed>> {
        let [_, tall] = self.paper.points();
        let mut pages = sheets(&self.flows, self.width(), tall - TOP - BOTTOM);
        let count = pages.len();
        for (at, page) in pages.iter_mut().enumerate() {
            for placed in page.iter_mut() {
                let marks = std::mem::take(&mut placed.marks);
                placed.marks = marks.into_iter().map(|mark| mark.moved(SIDE, TOP)).collect();
            }
            page.push(self.foot(at + 1, count));
            page.extend(self.link_back(at + 1));
        }
        pages
    }

    /// Its words from top to bottom: a line for each heading, each paragraph and each row of a table, drawings as they are told to
    /// those who listen.
    pub fn lines(&self) -> Vec<String> {
        let mut out = Vec::new();
        self.flows.iter().for_each(|flow| lines_of(flow, &mut out));
        out
    }

    /// What of it does not lie on its paper, in words; nothing where all of it does. Lettering is broken and cut to its place, so
    /// that only a drawing that is made too large has something to tell.
    pub fn outside(&self) -> Vec<String> {
        let [wide, tall] = self.paper.points();
        let off = |x: f32, y: f32| !((0.0..=wide).contains(&x) && (0.0..=tall).contains(&y));
        let pages = self.pages();
        let marks = pages.iter().flatten().flat_map(|placed| &placed.marks);
        marks
            .filter_map(|mark| match mark {
                Mark::Letters {
                    at: [x, y],
                    text,
                    anchor,
                } => {
                    let left = x - anchor.share() * text.width();
                    let runs_out = off(left, *y) || off(left + text.width(), *y);
                    runs_out.then(|| text.plain())
                }
                Mark::Path { steps, .. } => steps
                    .iter()
                    .find(|step| step.end().is_some_and(|[x, y]| off(x, y)))
                    .map(|step| format!("{step:?}")),
            })
            .collect()
    }

    fn foot(&self, page: usize, pages: usize) -> Placed {
        let [wide, tall] = self.paper.points();
        let y = tall - FOOT;
        let number = self
            .foot_page
            .replace("{pages}", &pages.to_string())
            .replace("{page}", &page.to_string());
        let mut marks = vec![Mark::Path {
            steps: vec![Step::Move(SIDE, y), Step::Line(wide - SIDE, y)],
            pen: Pen::line(RULE, 0.5),
        }];
        let mut put = |text: &str, x: f32, anchor: Anchor, share: f32| {
            // What is too long for its place is cut, not written over its neighbour.
            let text = shortened(text, Style::SMALL, self.width() * share - 6.0);
            marks.push(Mark::Letters {
                at: [x, y + 11.0],
                text: Text::new(text, Style::SMALL),
                anchor,
            });
        };
        put(&self.foot, SIDE, Anchor::Start, 0.8);
        put(&number, wide - SIDE, Anchor::End, 0.2);
        Placed {
            block: 0,
            role: Role::Ornament,
            marks,
        }
    }

    /// The address below the foot, as far as it fits on one line; in the file it leads to the whole of it.
    fn link_back(&self, page: usize) -> Option<Placed> {
        if self.link.is_empty() {
            return None;
        }
        let [_, tall] = self.paper.points();
        let text = Text::new(shortened(&self.link, Style::SMALL, self.width()), Style::SMALL);
        Some(Placed {
            // No block of the pages has such a number.
            block: usize::MAX - page,
            role: match is_web(&self.link) {
                true => Role::Link(self.link.clone()),
                false => Role::Ornament,
            },
            marks: vec![Mark::Letters {
                at: [SIDE, tall - FOOT + 20.5],
                text,
                anchor: Anchor::Start,
            }],
        })
    }
}

/// Whether that is an address that a browser opens.
pub(crate) fn is_web(address: &str) -> bool {
    ["https://", "http://"].iter().any(|scheme| address.starts_with(scheme))
}

fn lines_of(flow: &Flow, out: &mut Vec<String>) {
    let mut put = |text: String| {
        let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
        if !line.is_empty() {
            out.push(line);
        }
    };
    match flow {
        Flow::Heading { text, .. } | Flow::Paragraph(text) | Flow::Link { text, .. } => put(text.plain()),
        Flow::Drawing(drawing) => put(drawing.alt.clone()),
        Flow::Table(table) => {
            for row in [&table.head].into_iter().chain(&table.rows) {
                let cells: Vec<String> = row
                    .iter()
                    .map(Text::plain)
                    .filter(|cell| !cell.trim().is_empty())
                    .collect();
                put(cells.join("; "));
            }
        }
        Flow::Columns(columns) => columns
            .iter()
            .flat_map(|(_, flows)| flows)
            .for_each(|flow| lines_of(flow, out)),
        Flow::Together(flows) => flows.iter().for_each(|flow| lines_of(flow, out)),
        Flow::Space(_) | Flow::Rule { .. } => {}
    }
}

#[cfg(test)]
mod tests;
