//! Blocks into slices that fill a width, and slices onto pages.

use std::rc::Rc;

use crate::drawing::{Anchor, Mark, Pen};
use crate::flow::Flow;
use crate::ink::RULE;
use crate::table::{GUTTER, Table};
use crate::text::{Line, Text, lines};

/// What a mark is for those who listen to the page.
#[derive(Clone, Debug, PartialEq)]
pub enum Role {
    /// A heading of that level.
    Heading(u16),
    /// Running text.
    Paragraph,
    /// A drawing, in these words.
    Figure(String),
    /// A cell of a table.
    Cell {
        /// Which row.
        row: usize,
        /// Which column.
        column: usize,
        /// Whether it is a heading.
        head: bool,
    },
    /// An address that is led to.
    Link(String),
    /// Nothing: lines, running feet, headings that are said again.
    Ornament,
}

/// Marks of one block.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// Which block: those of the same number belong together.
    pub block: usize,
    /// What they are.
    pub role: Role,
    /// The marks.
    pub marks: Vec<Mark>,
}

/// What is not torn.
#[derive(Clone, Debug)]
struct Slice {
    height: f32,
    placed: Vec<Placed>,
    /// Whether the next slice must follow on the same page.
    holds_next: bool,
    /// What stands above it where it opens a page: the head of its table.
    head: Option<Rc<Slice>>,
    /// Whether it is only room.
    is_room: bool,
}

impl Slice {
    fn new(height: f32, placed: Vec<Placed>) -> Self {
        Self {
            height,
            placed,
            holds_next: false,
            head: None,
            is_room: false,
        }
    }
}

/// A page's marks, from the top left of what is printed.
pub type Sheet = Vec<Placed>;

/// Numbers of blocks as they are laid out.
#[derive(Default)]
struct Numbers(usize);

impl Numbers {
    fn next(&mut self) -> usize {
        self.0 += 1;
        self.0
    }
}

/// Sets blocks on pages of that width and height; at least one page.
pub fn sheets(flows: &[Flow], width: f32, height: f32) -> Vec<Sheet> {
    let slices = slices(flows, width, height, &mut Numbers::default());
    let mut pages: Vec<Sheet> = vec![Vec::new()];
    let mut y = 0.0;
    for (at, slice) in slices.iter().enumerate() {
        let needed = chained(slices.get(at..).unwrap_or_default());
        if y > 0.0 && y + needed.min(height) > height + 0.01 {
            pages.push(Vec::new());
            y = 0.0;
        }
        if y == 0.0 && slice.is_room {
            continue;
        }
        let Some(page) = pages.last_mut() else { continue };
        if y == 0.0
            && let Some(head) = &slice.head
        {
            let again = head.placed.iter().cloned().map(|placed| Placed {
                role: Role::Ornament,
                ..placed
            });
            page.extend(again);
            y += head.height;
        }
        page.extend(slice.placed.iter().cloned().map(|placed| moved(placed, 0.0, y)));
        y += slice.height;
    }
    pages
}

/// The height of the first of these with all that must stand on its page.
fn chained(slices: &[Slice]) -> f32 {
    let mut height = 0.0;
    for slice in slices {
        height += slice.height;
        if !slice.holds_next && !slice.is_room {
            break;
        }
    }
    height
}

fn moved(placed: Placed, x: f32, y: f32) -> Placed {
    Placed {
        marks: placed.marks.into_iter().map(|mark| mark.moved(x, y)).collect(),
        ..placed
    }
}

fn slices(flows: &[Flow], width: f32, page: f32, numbers: &mut Numbers) -> Vec<Slice> {
    flows
        .iter()
        .flat_map(|flow| of_flow(flow, width, page, numbers))
        .collect()
}

fn of_flow(flow: &Flow, width: f32, page: f32, numbers: &mut Numbers) -> Vec<Slice> {
    match flow {
        Flow::Heading { level, text } => {
            let mut slices = of_text(text, width, Role::Heading(*level), numbers.next());
            slices.iter_mut().for_each(|slice| slice.holds_next = true);
            slices
        }
        Flow::Paragraph(text) | Flow::Link { text, .. } => {
            let mut slices = of_text(text, width, Role::Paragraph, numbers.next());
            // No line of a paragraph stands alone at the end or the top of a page.
            let last = slices.len().saturating_sub(1);
            for (at, slice) in slices.iter_mut().enumerate() {
                slice.holds_next = at < last && (at == 0 || at + 1 == last);
            }
            slices
        }
        Flow::Space(height) => vec![Slice {
            is_room: true,
            ..Slice::new(*height, Vec::new())
        }],
        Flow::Rule { width: thick, ink } => {
            let across = Mark::Path {
                steps: vec![
                    crate::drawing::Step::Move(0.0, 0.0),
                    crate::drawing::Step::Line(width, 0.0),
                ],
                pen: Pen::line(*ink, *thick),
            };
            vec![Slice {
                holds_next: true,
                ..Slice::new(0.01, vec![ornament(vec![across])])
            }]
        }
        Flow::Table(table) => of_table(table, width, numbers.next()),
        Flow::Drawing(drawing) => {
            let placed = Placed {
                block: numbers.next(),
                role: Role::Figure(drawing.alt.clone()),
                marks: drawing.marks.clone(),
            };
            vec![Slice::new(drawing.height, vec![placed])]
        }
        Flow::Columns(columns) => of_columns(columns, width, page, numbers),
        Flow::Together(flows) => {
            let parts = slices(flows, width, page, numbers);
            let height: f32 = parts.iter().map(|slice| slice.height).sum();
            if height > page {
                return parts;
            }
            vec![stacked(parts)]
        }
    }
}

/// Slices as one.
fn stacked(parts: Vec<Slice>) -> Slice {
    let mut y = 0.0;
    let mut placed = Vec::new();
    for slice in parts {
        placed.extend(slice.placed.into_iter().map(|p| moved(p, 0.0, y)));
        y += slice.height;
    }
    Slice::new(y, placed)
}

fn ornament(marks: Vec<Mark>) -> Placed {
    Placed {
        block: 0,
        role: Role::Ornament,
        marks,
    }
}

/// Marks of a line of text whose top left is there.
fn letters(line: &Line, x: f32, y: f32) -> Mark {
    Mark::Letters {
        at: [x, y + line.base],
        text: Text {
            pieces: line.pieces.clone(),
        },
        anchor: Anchor::Start,
    }
}

fn of_text(text: &Text, width: f32, role: Role, block: usize) -> Vec<Slice> {
    let slice = |line: &Line| {
        let placed = Placed {
            block,
            role: role.clone(),
            marks: vec![letters(line, 0.0, 0.0)],
        };
        Slice::new(line.height, vec![placed])
    };
    lines(text, width).iter().map(slice).collect()
}

fn of_columns(columns: &[(f32, Vec<Flow>)], width: f32, page: f32, numbers: &mut Numbers) -> Vec<Slice> {
    let between = GUTTER * 2.0;
    let shares: f32 = columns.iter().map(|(share, _)| share.max(0.0)).sum();
    let room = width - between * columns.len().saturating_sub(1) as f32;
    let mut x = 0.0;
    let mut tallest: f32 = 0.0;
    let mut placed = Vec::new();
    for (share, flows) in columns {
        let wide = room * share.max(0.0) / shares.max(f32::MIN_POSITIVE);
        let column = stacked(slices(flows, wide, page, numbers));
        tallest = tallest.max(column.height);
        placed.extend(column.placed.into_iter().map(|p| moved(p, x, 0.0)));
        x += wide + between;
    }
    if tallest > page {
        // Too long to stand side by side: one below the other, and broken as they come.
        return columns
            .iter()
            .flat_map(|(_, flows)| slices(flows, width, page, numbers))
            .collect();
    }
    vec![Slice::new(tallest, placed)]
}

/// Above and below what stands in a cell.
const PADDING: f32 = 2.6;

fn of_table(table: &Table, width: f32, block: usize) -> Vec<Slice> {
    let widths = table.widths(width);
    let has_head = !table.head.is_empty();
    let head = has_head.then(|| Rc::new(row(table, &table.head, &widths, (0, true), block)));
    let mut out = Vec::new();
    if let Some(head) = &head {
        out.push(Slice {
            holds_next: true,
            ..(**head).clone()
        });
    }
    for (at, cells) in table.rows.iter().enumerate() {
        let mut slice = row(table, cells, &widths, (at + 1, false), block);
        // The first row follows its head anyway.
        slice.head = head.clone();
        out.push(slice);
    }
    out
}

fn row(table: &Table, cells: &[Text], widths: &[f32], (number, head): (usize, bool), block: usize) -> Slice {
    let mut x = 0.0;
    let mut tallest: f32 = 0.0;
    let mut placed = Vec::new();
    for (column, wide) in widths.iter().enumerate() {
        let empty = Text::default();
        let lines = lines(cells.get(column).unwrap_or(&empty), *wide);
        let mut y = PADDING;
        let mut marks = Vec::new();
        for line in &lines {
            let left = match table.align_of(column) {
                Anchor::Start => x,
                Anchor::Middle => x + (wide - line.width) / 2.0,
                Anchor::End => x + wide - line.width,
            };
            marks.push(letters(line, left, y));
            y += line.height;
        }
        tallest = tallest.max(y + PADDING);
        placed.push(Placed {
            block,
            role: Role::Cell {
                row: number,
                column,
                head,
            },
            marks,
        });
        x += wide + GUTTER;
    }
    let across = widths.iter().sum::<f32>() + GUTTER * widths.len().saturating_sub(1) as f32;
    let below = Mark::Path {
        steps: vec![
            crate::drawing::Step::Move(0.0, tallest),
            crate::drawing::Step::Line(across, tallest),
        ],
        pen: Pen::line(RULE, 0.5),
    };
    if !table.bare {
        placed.push(ornament(vec![below]));
    }
    Slice::new(tallest, placed)
}

#[cfg(test)]
mod tests;
