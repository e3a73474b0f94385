//! A quotation on paper.

use advice::view::text::count;
use letters::Messages;
use press::drawing::Anchor;
use press::ink::{INK, OURS, SOFT};
use press::{Document, Face, Flow, Style, Table, Text};
use quantity::{Mass, Quantity};

use super::{Line, Quotation};
use crate::glyph::{self, Against};
use crate::shape;
use crate::sheet::{Imprint, LEAD, Maker, NARROW, document};

/// Width of the glyph of a line, points.
const WIDE: f32 = 270.0;

/// The document of a quotation that is valid up to that day, in words.
pub fn paper(
    quotation: &Quotation,
    valid_until: &str,
    maker: &Maker,
    imprint: &Imprint,
    messages: &Messages,
) -> Document {
    let say = |name: &str| messages.text(name, &[]);
    let issue = quotation.issue.to_string();
    let number = messages.text(
        "quotation-number",
        &[("number", (&quotation.number).into()), ("issue", (&issue).into())],
    );
    let mut flows = crate::sheet::titled(&say("quotation"), &number);
    flows.push(Flow::hairline());
    let label = |name: &str| Text::new(say(name), Style::SMALL);
    let value = |text: &str| Text::new(text, Style::BODY.strong());
    flows.push(Flow::Table(Table {
        head: [
            "quotation-for",
            "quotation-reference",
            "quotation-date",
            "quotation-valid",
        ]
        .map(label)
        .to_vec(),
        rows: vec![
            [
                quotation.customer.as_str(),
                &quotation.reference,
                &imprint.day,
                valid_until,
            ]
            .map(value)
            .to_vec(),
        ],
        ..Table::default()
    }));
    if !quotation.note.is_empty() {
        flows.push(Flow::Space(8.0));
        flows.push(Flow::Paragraph(Text::new(quotation.note.clone(), LEAD)));
    }
    for (at, line) in quotation.lines.iter().enumerate() {
        flows.push(Flow::Space(10.0));
        flows.push(Flow::Together(of_line(at, line, quotation, messages)));
    }
    flows.push(Flow::Space(10.0));
    flows.push(Flow::line());
    flows.push(Flow::Space(6.0));
    flows.extend(closing(quotation, messages));
    document(&number, flows, maker, imprint, messages, quotation.revision)
}

/// The message of how a line goes by air.
pub(super) fn by_air(line: &Line) -> &'static str {
    match line.magnetised_by_air {
        true => "quotation-line-magnetised",
        false => "quotation-line-ordinary",
    }
}

/// The letter of a line: A, B, … Z, then its number.
pub(super) fn letter(at: usize) -> String {
    u8::try_from(at)
        .ok()
        .filter(|at| *at < 26)
        .map_or_else(|| (at + 1).to_string(), |at| char::from(b'A' + at).to_string())
}

fn of_line(at: usize, line: &Line, quotation: &Quotation, messages: &Messages) -> Vec<Flow> {
    let money = |amount: quantity::Money| amount.show(quotation.currency);
    let total = line.offered().and_then(|b| b.total);
    let total = total.map_or_else(
        || messages.text("quotation-no-price", &[]),
        |amount| money(amount.rounded(quotation.currency)),
    );
    let title = Text::new(format!("{}  ", letter(at)), Style::new(Face::BookStrong, 10.5, OURS)).and(
        format!("{} × {} ({})", count(line.quantity), line.title, line.codes),
        Style::new(Face::BookStrong, 10.5, INK),
    );
    let heading = Table {
        rows: vec![vec![title, Text::new(total, Style::new(Face::PlainStrong, 10.0, INK))]],
        align: vec![Anchor::Start, Anchor::End],
        ..Table::default()
    };
    let drawn = shape::drawn(&line.item.shape, line.stacked, &quotation.units, &line.title, NARROW);
    let scale = messages.text("paper-scale", &[("scale", drawn.scale.into())]);
    let mass = Mass(line.mass_kg).show(&quotation.units).to_string();
    let left = vec![
        Flow::Drawing(drawn.drawing),
        Flow::small(scale),
        Flow::Space(3.0),
        Flow::Paragraph(Text::new(
            format!("{}; {mass}", capital_first(&line.stock)),
            Style::BODY,
        )),
        Flow::small(format!(
            "{}: {}",
            capital_first(&messages.text("quotation-by-air", &[])),
            messages.text(by_air(line), &[])
        )),
    ];
    let does = capital_first(&line.does);
    let glyph = glyph::drawn(
        &Against {
            band: line.band,
            need: line.need,
            range: &line.range,
            needed: &line.needed,
        },
        WIDE,
    );
    let right = vec![
        Flow::Paragraph(Text::new(line.asked.clone(), Style::new(Face::BookItalic, 9.0, SOFT))),
        Flow::Space(2.0),
        Flow::Paragraph(Text::new(format!("{does}."), Style::new(Face::Book, 10.0, INK))),
        Flow::Space(4.0),
        Flow::Drawing(glyph),
        Flow::Table(prices(line, quotation, messages)),
    ];
    vec![
        Flow::Table(heading),
        Flow::Space(4.0),
        Flow::Columns(vec![(2.0, left), (3.0, right)]),
    ]
}

fn capital_first(text: &str) -> String {
    advice::view::text::capital(text)
}

fn prices(line: &Line, quotation: &Quotation, messages: &Messages) -> Table {
    let rows = line.breaks.iter().map(|b| {
        let style = if b.quantity == line.quantity {
            Style::BODY.strong().in_ink(OURS)
        } else {
            Style::BODY
        };
        let money = |amount: Option<quantity::Money>| amount.map_or_else(|| "–".into(), |m| m.show(quotation.currency));
        let total = b.total.map(|amount| amount.rounded(quotation.currency));
        [count(b.quantity), money(b.each), money(total)]
            .map(|cell| Text::new(cell, style))
            .to_vec()
    });
    Table {
        head: ["quotation-pieces", "quotation-each", "quotation-together"]
            .map(|name| Text::new(messages.text(name, &[]), Style::SMALL))
            .to_vec(),
        rows: rows.collect(),
        align: vec![Anchor::End; 3],
        ..Table::default()
    }
}

/// Each once, in the order in which they come.
fn once<T: PartialEq>(all: impl Iterator<Item = T>) -> Vec<T> {
    let mut out = Vec::new();
    for one in all {
        if !out.contains(&one) {
            out.push(one);
        }
    }
    out
}

fn closing(quotation: &Quotation, messages: &Messages) -> Vec<Flow> {
    let say = |name: &str| messages.text(name, &[]);
    let (total, without) = quotation.total();
    let mut flows = Vec::new();
    if let Some(total) = total.filter(|_| without < quotation.lines.len()) {
        let amount = total.show(quotation.currency);
        let mass = Mass(quotation.mass_kg()).show(&quotation.units).to_string();
        let text = messages.text(
            "quotation-in-all",
            &[("total", (&amount).into()), ("mass", (&mass).into())],
        );
        flows.push(Flow::Paragraph(Text::new(
            text,
            Style::new(Face::BookStrong, 10.5, INK),
        )));
    }
    if without > 0 {
        flows.push(Flow::body(
            messages.text("quotation-part-priced", &[("count", without.into())]),
        ));
    }
    flows.push(Flow::Space(8.0));
    // One below the other: side by side they would be moved to the next page as a whole.
    let assumed = once(quotation.lines.iter().flat_map(|line| &line.assumed));
    if !assumed.is_empty() {
        flows.push(Flow::heading(say("paper-assumed")));
        flows.extend(assumed.into_iter().map(|text| Flow::body(format!("– {text}"))));
        flows.push(Flow::Space(6.0));
    }
    flows.push(Flow::heading(say("paper-mind")));
    for [short, rule] in once(quotation.lines.iter().flat_map(|line| &line.cautions)) {
        let text = Text::new(short.clone(), Style::BODY).and(format!(" ({rule})"), Style::SMALL);
        flows.push(Flow::Paragraph(text));
        flows.push(Flow::Space(2.0));
    }
    flows.push(Flow::Space(4.0));
    flows.push(Flow::heading(say("quotation-transport")));
    let air = match quotation.lines.iter().any(|line| line.magnetised_by_air) {
        true => "quotation-air-magnetised",
        false => "quotation-air-ordinary",
    };
    flows.push(Flow::body(say(air)));
    flows.push(Flow::Space(8.0));
    if !quotation.terms.is_empty() {
        flows.push(Flow::heading(say("quotation-terms")));
        flows.push(Flow::body(quotation.terms.clone()));
        flows.push(Flow::Space(4.0));
    }
    flows.push(Flow::small(say("paper-method")));
    flows
}
