//! An answer on paper.

use advice::answer::{Answer, Candidate, Verdict};
use advice::view::answer::{AnswerView, CandidateView};
use advice::view::detail::CandidateDetail;
use advice::view::text::capital;
use letters::Messages;
use press::{Document, Flow, Style, Text};
use quantity::Units;

use crate::glyph::{self, Against};
use crate::list::{Cell, List, mass_unit};
use crate::sheet::{HALF, Imprint, LEAD, Maker, cautions, document, facts, list, sentence, table, text, titled};
use crate::{chart, flux, shape};

/// The most builds that the table lists.
const MOST_LISTED: usize = 12;

/// What goes on the paper of an answer.
pub struct Asked<'a> {
    /// The answer.
    pub answer: &'a Answer,
    /// It as it is shown.
    pub view: &'a AnswerView,
    /// What was found of the build that is put first on a closer look.
    pub first: Option<&'a CandidateDetail>,
    /// Its id.
    pub id: &'a str,
}

/// The document of an answer.
pub fn paper(asked: &Asked, units: &Units, maker: &Maker, imprint: &Imprint, messages: &Messages) -> Document {
    let view = asked.view;
    let say = |name: &str| messages.text(name, &[]);
    let mut flows = titled(&say("paper-answer"), asked.id);
    flows.push(Flow::Paragraph(Text::new(capital(&view.words), LEAD)));
    flows.push(Flow::Space(8.0));
    flows.push(Flow::hairline());
    flows.push(Flow::Space(8.0));
    flows.push(Flow::Paragraph(text(&view.lead, LEAD)));
    flows.push(Flow::Space(8.0));
    if let Some((first, shown)) = asked.answer.first().zip(view.candidates.first()) {
        flows.push(Flow::heading(say("paper-best")));
        flows.push(Flow::Space(4.0));
        let drawn = shape::drawn(&first.item.shape, first.build.pieces, units, &shown.title, HALF);
        let scale = messages.text("paper-scale", &[("scale", drawn.scale.into())]);
        let left = vec![Flow::Drawing(drawn.drawing), Flow::small(scale)];
        let glyph = band(asked.answer, first, shown, view);
        let right = vec![
            Flow::Paragraph(Text::new(capital(&shown.title), Style::BODY.strong())),
            Flow::Space(4.0),
            Flow::Drawing(glyph),
            Flow::Space(4.0),
            Flow::Table(best_facts(shown, messages)),
        ];
        flows.push(Flow::Columns(vec![(1.0, left), (1.0, right)]));
        flows.push(Flow::Space(8.0));
    }
    if let Some(short) = &view.shortfall
        && !short.would_do.is_empty()
    {
        flows.push(Flow::heading(say("paper-nothing")));
        flows.extend(list(&short.would_do));
        flows.push(Flow::Space(8.0));
    }
    let mut reasons = Vec::new();
    if !view.because.is_empty() {
        reasons.push(Flow::heading(say("paper-because")));
        reasons.push(Flow::Space(2.0));
        reasons.extend(list(&view.because));
    }
    let mut drawings = Vec::new();
    if let Some(curve) = asked.first.and_then(|first| first.chart.as_ref()) {
        drawings.push(Flow::Drawing(chart::drawn(curve, HALF, 150.0)));
    }
    if let Some((picture, shown)) = asked
        .first
        .and_then(|first| first.picture.as_ref())
        .zip(view.candidates.first())
    {
        drawings.push(Flow::Space(6.0));
        drawings.push(Flow::Drawing(flux::drawn(picture, &shown.title, units, HALF)));
        drawings.push(Flow::small(picture.caption.clone()));
    }
    if drawings.is_empty() {
        flows.extend(reasons);
    } else {
        flows.push(Flow::Columns(vec![(1.0, reasons), (1.0, drawings)]));
    }
    if view.candidates.len() > 1 {
        flows.push(Flow::Space(8.0));
        flows.push(Flow::heading(say("paper-others")));
        flows.push(Flow::Table(others(view, messages)));
    }
    if !view.stated.is_empty() {
        flows.push(Flow::Space(8.0));
        flows.push(Flow::heading(say("paper-stated")));
        flows.push(Flow::Table(stated(view, messages)));
        flows.push(Flow::small(say("paper-stated-note")));
        if view.stated.iter().any(|goods| goods.takes_less) {
            flows.push(Flow::small(say("paper-stated-less")));
        }
    }
    flows.push(Flow::Space(10.0));
    // One below the other: side by side they would be moved to the next page as a whole.
    flows.push(Flow::heading(say("paper-assumed")));
    flows.push(Flow::Space(2.0));
    flows.extend(list(&view.assumed));
    flows.push(Flow::small(sentence(&advice::view::text::runs(&view.need.text))));
    flows.push(Flow::Space(8.0));
    flows.push(Flow::heading(say("paper-mind")));
    flows.push(Flow::Space(2.0));
    flows.extend(cautions(&view.cautions));
    flows.push(Flow::Space(8.0));
    flows.push(Flow::small(say("paper-method")));
    document(&capital(&view.words), flows, maker, imprint, messages, view.revision)
}

/// The band of the candidate that is put first, against what a build of its mass needs.
fn band(answer: &Answer, first: &Candidate, shown: &CandidateView, view: &AnswerView) -> press::Drawing {
    let against = Against {
        band: [first.band.low, first.band.mid, first.band.high],
        need: answer.need.of_mass(first.mass),
        range: &shown.range,
        needed: &view.need.text,
    };
    glyph::drawn(&against, HALF)
}

fn best_facts(shown: &CandidateView, messages: &Messages) -> press::Table {
    let price = match (&shown.cost_each, &shown.cost_total) {
        (Some(each), Some(total)) => format!(
            "{total} {} ({each} {})",
            shown.cost_note,
            messages.text("paper-each", &[])
        ),
        _ => "–".into(),
    };
    let rows = [
        ("paper-size", shown.size.as_str()),
        ("paper-price", price.as_str()),
        ("paper-stock", shown.stock.as_str()),
        ("paper-margin", shown.margin.as_str()),
    ];
    let rows = rows.map(|(name, value)| (messages.text(name, &[]), value));
    facts(rows.iter().map(|(label, value)| (label.as_str(), *value)))
}

/// Every candidate as a list, numbers as they are shown and their units in the headings.
pub fn listed(answer: &Answer, view: &AnswerView, units: &Units, messages: &Messages) -> List {
    let say = |name: &str| messages.text(name, &[]);
    let unit = &view.need.at_least.unit;
    let currency = answer.shelf.currency;
    let headings = vec![
        say("list-code"),
        say("list-part"),
        say("paper-magnet"),
        format!("{}, {unit}", say("paper-value")),
        format!("{}, {unit}", say("list-low")),
        format!("{}, {unit}", say("list-high")),
        format!("{}, %", say("paper-margin")),
        format!("{}, %", say("list-chance")),
        say("list-sure"),
        format!("{}, {currency}", say("list-price-each")),
        format!("{}, {currency}", say("list-price-all")),
        format!("{}, {}", say("ladder-mass"), mass_unit(units)),
        say("paper-stock"),
        say("list-unbeaten"),
    ];
    let yes = |is: bool| Cell::Text(say(if is { "yes" } else { "no" }));
    let money = |amount: Option<quantity::Money>| amount.map_or(Cell::Nothing, |m| Cell::number_of(&m.to_string()));
    let rows = view.candidates.iter().filter_map(|shown| {
        let c = answer.candidates.get(shown.index)?;
        let part = shown
            .part
            .as_ref()
            .map_or(Cell::Nothing, |part| Cell::Text(part.code.clone()));
        Some(vec![
            Cell::Text(shown.code.clone()),
            part,
            Cell::Text(shown.title.clone()),
            Cell::of(&shown.value),
            Cell::of(&shown.low),
            Cell::of(&shown.high),
            Cell::number_of(&shown.margin),
            // To a tenth of a per cent, rounded down; nothing is sure to the last piece.
            Cell::Number(((c.chance * 1000.0).floor() / 10.0).min(99.9)),
            match c.verdict {
                Verdict::Sure => yes(true),
                Verdict::Middle => Cell::Text(say("list-middle")),
            },
            money(c.cost_each),
            money(c.cost_total.map(|total| total.rounded(currency))),
            Cell::mass(&shown.mass, units),
            Cell::Text(shown.stock.clone()),
            yes(shown.unbeaten),
        ])
    });
    List {
        name: "candidates",
        headings,
        rows: rows.collect(),
    }
}

/// The goods whose stated pull is enough: nothing of them is computed.
fn stated(view: &AnswerView, messages: &Messages) -> press::Table {
    let head = [
        "paper-goods",
        "paper-stated-pull",
        "paper-needed",
        "paper-each",
        "paper-total",
    ];
    let rows = view.stated.iter().map(|goods| {
        let money = |amount: &Option<String>| amount.clone().unwrap_or_else(|| "–".into());
        vec![
            format!("{} ({})", goods.title, goods.code),
            goods.pull.text.clone(),
            goods.need.text.clone(),
            money(&goods.cost_each),
            money(&goods.cost_total),
        ]
    });
    table(
        head.iter().map(|name| messages.text(name, &[])).collect(),
        rows.collect(),
    )
}

fn others(view: &AnswerView, messages: &Messages) -> press::Table {
    let head = [
        "paper-magnet",
        "paper-value",
        "paper-range",
        "paper-margin",
        "paper-each",
        "paper-total",
        "paper-stock",
    ];
    let rows = view.candidates.iter().take(MOST_LISTED).map(|c| {
        let money = |amount: &Option<String>| amount.clone().unwrap_or_else(|| "–".into());
        vec![
            format!("{} ({})", capital(&c.title), c.code),
            c.value.text.clone(),
            c.range.clone(),
            c.margin.clone(),
            money(&c.cost_each),
            money(&c.cost_total),
            c.stock.clone(),
        ]
    });
    table(
        head.iter().map(|name| messages.text(name, &[])).collect(),
        rows.collect(),
    )
}
