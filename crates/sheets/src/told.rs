//! What is told of a magnet, magnets side by side, standing questions and refusals, on paper.

use advice::view::compare::{ColumnView, CompareView};
use advice::view::explain::{ExplainView, RefuseView};
use advice::view::row::RowView;
use advice::view::tell::TellView;
use advice::view::text::{Run, capital};
use letters::Messages;
use magnetics::Shape;
use press::drawing::Anchor;
use press::{Document, Flow, Style, Table, Text};
use quantity::Units;

use crate::list::{Cell, List, ends, measured};
use crate::sheet::{HALF, Imprint, LEAD, Maker, NARROW, cautions, document, in_pairs, list, text, titled};
use crate::{chart, shape};

/// Magnets are drawn so many side by side,
const IN_A_ROW: usize = 3;
/// each that wide.
const THIRD: f32 = 153.0;

/// For whom these papers are made, and of which shelf.
pub struct For<'a> {
    /// The reader's units.
    pub units: &'a Units,
    /// The shop.
    pub maker: &'a Maker,
    /// The day and the address.
    pub imprint: &'a Imprint,
    /// The revision of the shelf.
    pub revision: u64,
    /// The words of paper.
    pub messages: &'a Messages,
}

/// A magnet to be drawn: its form, and how many pieces are stacked.
pub type Drawn<'a> = (&'a Shape, u32);

impl For<'_> {
    fn say(&self, name: &str) -> String {
        self.messages.text(name, &[])
    }

    fn drawing(&self, (form, pieces): Drawn, title: &str, widest: f32) -> Vec<Flow> {
        let drawn = shape::drawn(form, pieces, self.units, title, widest);
        let scale = self.messages.text("paper-scale", &[("scale", drawn.scale.into())]);
        vec![Flow::Drawing(drawn.drawing), Flow::small(scale)]
    }

    fn section(&self, name: &str, blocks: Vec<Flow>) -> Vec<Flow> {
        if blocks.is_empty() {
            return blocks;
        }
        let mut flows = vec![Flow::Space(8.0), Flow::heading(self.say(name)), Flow::Space(2.0)];
        flows.extend(blocks);
        flows
    }

    /// The whole of a paper of this kind, with that title.
    fn whole(&self, kind: &str, title: &str, lead: &[Run], body: Vec<Flow>) -> Document {
        let kind = Some(self.say(kind)).filter(|kind| kind != title);
        let mut flows = titled(title, &kind.unwrap_or_default());
        flows.push(Flow::Paragraph(text(lead, LEAD)));
        flows.push(Flow::Space(8.0));
        flows.extend(body);
        flows.push(Flow::Space(8.0));
        flows.push(Flow::small(self.say("paper-method")));
        document(title, flows, self.maker, self.imprint, self.messages, self.revision)
    }
}

/// The document of what is told of a magnet.
pub fn tell(view: &TellView, drawn: Drawn, by: &For) -> Document {
    let mut right = vec![
        Flow::heading(by.say("told-figures")),
        Flow::Table(figures(&view.figures)),
    ];
    right.extend(by.section("paper-because", list(&view.because)));
    let columns = vec![(2.0, by.drawing(drawn, &view.title, NARROW)), (3.0, right)];
    let mut flows = vec![Flow::Columns(columns)];
    flows.extend(by.section("paper-assumed", list(&view.assumed)));
    let curve = |curve| vec![Flow::Drawing(chart::drawn(curve, HALF, 150.0))];
    flows.extend(in_pairs(view.charts.iter().map(curve).collect()));
    flows.extend(by.section("paper-mind", cautions(&view.cautions)));
    by.whole(
        "told-tell",
        &named(&view.title, view.code.as_deref()),
        &view.lead,
        flows,
    )
}

/// Magnets side by side as a list: a row for each of them, numbers as they are shown and their units in the headings.
#[must_use]
pub fn compared(view: &CompareView, messages: &Messages) -> List {
    let say = |name: &str| messages.text(name, &[]);
    let mut headings = vec![say("paper-magnet"), say("list-code")];
    let magnet = |column: &ColumnView| {
        let code = column.code.clone().map_or(Cell::Nothing, Cell::Text);
        vec![Cell::Text(column.title.clone()), code]
    };
    let mut rows: Vec<Vec<Cell>> = view.columns.iter().map(magnet).collect();
    let mut column = |label: String, texts: Vec<Option<String>>| {
        let (unit, cells) = measured(&texts);
        headings.push(match unit {
            Some(unit) => format!("{label}, {unit}"),
            None => label,
        });
        rows.iter_mut().zip(cells).for_each(|(row, cell)| row.push(cell));
    };
    for row in &view.rows {
        column(row.label.clone(), row.cells.iter().cloned().map(Some).collect());
        if row.ranges.iter().any(Option::is_some) {
            let ranges: Vec<Option<[String; 2]>> = row.ranges.iter().map(|range| ends(range.as_deref()?)).collect();
            for (at, name) in ["list-low", "list-high"].into_iter().enumerate() {
                let texts = ranges.iter().map(|range| Some(range.as_ref()?[at].clone()));
                column(format!("{}, {}", row.label, say(name)), texts.collect());
            }
        }
    }
    List {
        name: "compared",
        headings,
        rows,
    }
}

/// The document of magnets side by side.
pub fn compare(view: &CompareView, drawn: &[Drawn], by: &For) -> Document {
    let mut flows = Vec::new();
    let magnets: Vec<_> = view.columns.iter().zip(drawn).collect();
    for row in magnets.chunks(IN_A_ROW) {
        let mut pictures: Vec<(f32, Vec<Flow>)> = row
            .iter()
            .map(|(column, drawn)| {
                let mut blocks = by.drawing(**drawn, &column.title, THIRD);
                blocks.push(Flow::small(named(&column.title, column.code.as_deref())));
                (1.0, blocks)
            })
            .collect();
        pictures.resize(IN_A_ROW, (1.0, Vec::new()));
        flows.push(Flow::Columns(pictures));
        flows.push(Flow::Space(6.0));
    }
    let head = [by.say("told-figure")]
        .into_iter()
        .chain(view.columns.iter().map(|c| named(&c.title, c.code.as_deref())));
    let rows = view.rows.iter().map(|row| {
        let label = Text::new(capital(&row.label), Style::SMALL);
        let cells = row
            .cells
            .iter()
            .zip(&row.ranges)
            .enumerate()
            .map(|(at, (cell, range))| {
                let style = match row.best == Some(at) {
                    true => Style::BODY.strong(),
                    false => Style::BODY,
                };
                let value = Text::new(cell.clone(), style);
                match range {
                    Some(range) => value.and(format!(" ({range})"), Style::SMALL),
                    None => value,
                }
            });
        [label].into_iter().chain(cells).collect()
    });
    let table = Table {
        head: head.map(|cell| Text::new(cell, Style::SMALL)).collect(),
        rows: rows.collect(),
        align: [Anchor::Start]
            .into_iter()
            .chain(view.columns.iter().map(|_| Anchor::End))
            .collect(),
        ..Table::default()
    };
    flows.push(Flow::Table(table));
    flows.push(Flow::small(by.say("told-better")));
    flows.extend(by.section("paper-assumed", list(&view.assumed)));
    flows.extend(by.section("paper-mind", cautions(&view.cautions)));
    by.whole("told-compare", &by.say("told-compare"), &view.lead, flows)
}

/// The document of a standing question.
pub fn explain(view: &ExplainView, by: &For) -> Document {
    let mut flows: Vec<Flow> = view.rule.clone().map(Flow::small).into_iter().collect();
    flows.extend(
        view.assumed
            .iter()
            .map(|runs| Flow::Paragraph(text(runs, Style::SMALL))),
    );
    by.whole("told-explain", &view.title, &view.text, flows)
}

/// The document of what is refused.
pub fn refuse(view: &RefuseView, by: &For) -> Document {
    let mut flows: Vec<Flow> = view.rule.clone().map(Flow::small).into_iter().collect();
    flows.extend(by.section("paper-because", list(&view.because)));
    flows.extend(by.section("told-instead", list(&view.instead)));
    by.whole("told-refuse", &by.say("told-refuse"), &view.lead, flows)
}

fn named(title: &str, code: Option<&str>) -> String {
    match code {
        Some(code) => format!("{} ({code})", capital(title)),
        None => capital(title),
    }
}

/// Figures with their bands and what to know of them.
fn figures(rows: &[RowView]) -> Table {
    let row = |row: &RowView| {
        let mut value = Text::new(row.value.clone(), Style::BODY.strong());
        if let Some(range) = &row.range {
            value = value.and(format!(" ({range})"), Style::BODY);
        }
        if !row.remark.is_empty() {
            value = value.and("  ", Style::SMALL);
            value.pieces.extend(text(&row.remark, Style::SMALL).pieces);
        }
        vec![Text::new(capital(&row.label), Style::SMALL), value]
    };
    Table {
        rows: rows.iter().map(row).collect(),
        ..Table::default()
    }
}
