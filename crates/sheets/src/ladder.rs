//! A ladder on paper: what it teaches, the staircase, every rung.

use advice::sentence::Segment;
use advice::view::ladder::{LadderView, RungView};
use advice::view::text::capital;
use letters::Messages;
use press::drawing::{Anchor, Pen};
use press::ink::{BAND, INK, OURS, RULE, SOFT};
use press::{Document, Drawing, Face, Flow, Style, Text};
use quantity::Units;

use crate::list::{Cell, List, mass_unit, rounded};
use crate::sheet::{Imprint, LEAD, Maker, document, table, text, titled};

/// Size of the staircase, points.
const WIDE: f32 = 480.0;
const HIGH: f32 = 170.0;
/// Room for the lettering below.
const BELOW: f32 = 16.0;
/// Between two steps.
const AIR: f32 = 2.0;
const LETTERS: Style = Style::new(Face::Plain, 6.5, SOFT);
const VALUE: Style = Style::new(Face::PlainStrong, 6.5, INK);

/// The document of a ladder.
pub fn paper(view: &LadderView, maker: &Maker, imprint: &Imprint, revision: u64, messages: &Messages) -> Document {
    let say = |name: &str| messages.text(name, &[]);
    let asked: String = view
        .sentence
        .iter()
        .map(|segment| match segment {
            Segment::Text { text } => text.as_str(),
            Segment::Blank { blank } => blank.text.as_str(),
        })
        .collect();
    let mut flows = titled(&say("ladder"), "");
    flows.push(Flow::Paragraph(Text::new(
        capital(&asked),
        Style::new(Face::BookItalic, 10.0, SOFT),
    )));
    flows.push(Flow::Space(6.0));
    flows.push(Flow::Paragraph(text(&view.lead, LEAD)));
    flows.push(Flow::Space(8.0));
    if !view.rungs.is_empty() {
        flows.push(Flow::Drawing(staircase(view, &asked)));
        flows.push(Flow::small(say("ladder-staircase")));
        flows.push(Flow::Space(6.0));
    }
    if let Some(knee) = &view.knee {
        flows.push(Flow::Paragraph(text(knee, Style::BODY)));
    }
    flows.push(Flow::small(view.ceiling.text.clone()));
    flows.push(Flow::Space(8.0));
    flows.push(Flow::Table(rungs(view, messages)));
    for rung in &view.rungs {
        for caution in &rung.cautions {
            let mut said = Text::new(format!("{}: ", rung.label), Style::BODY.strong());
            said.pieces.extend(text(&caution.runs, Style::BODY).pieces);
            flows.push(Flow::Paragraph(said.and(format!(" ({})", caution.rule), Style::SMALL)));
        }
    }
    if !view.solid_against_stack.is_empty() {
        flows.push(Flow::Space(10.0));
        let rows = view.solid_against_stack.iter().map(|row| {
            vec![
                row.height.clone(),
                format!("{} ({})", row.solid.text, row.solid_code),
                format!("{}, {}", row.stack.text, row.stack_text),
                row.loss.clone(),
            ]
        });
        let head = ["ladder-height", "ladder-solid", "ladder-stacked", "ladder-loss"]
            .map(say)
            .to_vec();
        flows.push(Flow::heading(say("ladder-solid-or-stack")));
        flows.push(Flow::Table(table(head, rows.collect())));
    }
    flows.push(Flow::Space(8.0));
    flows.push(Flow::small(say("paper-method")));
    document(&capital(&asked), flows, maker, imprint, messages, revision)
}

/// Every rung with all that the page shows of it.
pub fn rungs(view: &LadderView, messages: &Messages) -> press::Table {
    let say = |name: &str| messages.text(name, &[]);
    let head = vec![
        say("ladder-rung"),
        say("ladder-made-of"),
        format!("{}, {}", view.y.label, view.y.unit),
        say("ladder-band"),
        say("ladder-gain"),
        say("ladder-mass"),
        view.price.label.clone(),
        say("ladder-cost"),
        say("ladder-per-money"),
    ];
    let row = |rung: &RungView| {
        vec![
            rung.label.clone(),
            rung.code.clone().unwrap_or_else(|| rung.detail.clone()),
            rung.value.text.clone(),
            format!("{} to {}", rung.low.text, rung.high.text),
            rung.gain.clone().unwrap_or_default(),
            rung.mass.text.clone(),
            rung.price_text.clone(),
            rung.cost_multiple.clone().unwrap_or_default(),
            rung.gain_per_money.clone().unwrap_or_default(),
        ]
    };
    table(head, view.rungs.iter().map(row).collect())
}

/// Every rung as a list, numbers as they are shown and their units in the headings.
pub fn listed(view: &LadderView, units: &Units, messages: &Messages) -> List {
    let say = |name: &str| messages.text(name, &[]);
    let unit = &view.y.unit;
    let headings = vec![
        say("ladder-rung"),
        say("ladder-made-of"),
        format!("{}, {unit}", view.y.label),
        format!("{}, {unit}", say("list-low")),
        format!("{}, {unit}", say("list-high")),
        format!("{}, %", say("ladder-gain")),
        say("list-over-first"),
        format!("{}, {}", say("ladder-mass"), mass_unit(units)),
        say("list-mass-multiple"),
        format!("{}, {}", view.price.label, view.price.unit),
        say("list-cost-multiple"),
        say("ladder-per-money"),
        say("list-verdict"),
    ];
    let told = |text: &Option<String>| text.as_deref().map_or(Cell::Nothing, Cell::number_of);
    let row = |rung: &RungView| {
        vec![
            Cell::Text(rung.label.clone()),
            Cell::Text(rung.code.clone().unwrap_or_else(|| rung.detail.clone())),
            Cell::of(&rung.value),
            Cell::of(&rung.low),
            Cell::of(&rung.high),
            told(&rung.gain),
            Cell::number_of(&rung.total_gain),
            Cell::mass(&rung.mass, units),
            Cell::number_of(&rung.mass_multiple),
            rung.price.map_or(Cell::Nothing, |price| Cell::Number(rounded(price))),
            told(&rung.cost_multiple),
            told(&rung.gain_per_money),
            Cell::Text(say(match rung.tier.as_str() {
                "good" => "list-pays",
                "knee" => "list-knee",
                _ => "list-past",
            })),
        ]
    };
    List {
        name: "ladder",
        headings,
        rows: view.rungs.iter().map(row).collect(),
    }
}

/// Each rung as high as its value, and as wide as what it costs more than the one before; the knee in full colour.
pub fn staircase(view: &LadderView, alt: &str) -> Drawing {
    let mut drawing = Drawing::new(WIDE, HIGH + BELOW, alt);
    let most = view
        .rungs
        .iter()
        .map(|rung| rung.high.value)
        .fold(view.ceiling.value, f64::max);
    let costs: Vec<f64> = view
        .rungs
        .iter()
        .map(|rung| rung.price.unwrap_or(rung.mass.value))
        .collect();
    let extra = |at: usize| match at {
        0 => costs[0],
        at => costs[at] - costs[at - 1],
    };
    let total: f64 = (0..costs.len()).map(|at| extra(at).max(0.0)).sum();
    let least = 14.0;
    let spare = (WIDE - (least + AIR) * costs.len() as f32).max(0.0);
    let height = |value: f64| (value / most.max(f64::MIN_POSITIVE)).clamp(0.0, 1.0) as f32 * (HIGH - 14.0);
    drawing.line(&[[0.0, HIGH], [WIDE, HIGH]], Pen::line(INK, 0.6));
    let ceiling = HIGH - height(view.ceiling.value);
    drawing.line(
        &[[0.0, ceiling], [WIDE, ceiling]],
        Pen::line(RULE, 0.7).dashed(3.0, 2.0),
    );
    let mut left = 0.0;
    for (at, rung) in view.rungs.iter().enumerate() {
        let share = if total > 0.0 { extra(at).max(0.0) / total } else { 0.0 };
        let wide = least + share as f32 * spare;
        let high = height(rung.value.value);
        let tint = if rung.tier == "knee" { OURS } else { BAND };
        drawing.rectangle([left, HIGH - high], [wide, high], Pen::area(tint));
        let middle = left + wide / 2.0;
        let ends = [rung.low.value, rung.high.value].map(|value| HIGH - height(value));
        drawing.line(&[[middle, ends[0]], [middle, ends[1]]], Pen::line(INK, 0.6));
        // Lettering of narrow steps would run into each other; above the band no line crosses it.
        if wide > 24.0 || at + 1 == view.rungs.len() {
            drawing.letters([middle, ends[1] - 3.0], rung.value.text.as_str(), VALUE, Anchor::Middle);
        }
        let low = if wide > 24.0 || at % 2 == 0 { 8.0 } else { 15.0 };
        drawing.letters([middle, HIGH + low], rung.label.as_str(), LETTERS, Anchor::Middle);
        left += wide + AIR;
    }
    drawing
}
