//! The packing slip of a parcel.

use letters::Messages;
use parcels::ParcelView;
use parcels::view::{PackingView, RuleView, StackView};
use press::drawing::{Anchor, Pen};
use press::ink::{INK, NORTH, PAPER, RULE, SOFT, SOUTH};
use press::{Document, Drawing, Face, Flow, Style, Text};

use crate::sheet::{Imprint, LEAD, Maker, document, facts, table, text, titled};

/// The largest that the box becomes on paper, points.
const LARGEST: f64 = 190.0;
const POLE: Style = Style::new(Face::PlainStrong, 7.0, INK);

/// The document of a parcel.
pub fn paper(view: &ParcelView, maker: &Maker, imprint: &Imprint, revision: u64, messages: &Messages) -> Document {
    let say = |name: &str| messages.text(name, &[]);
    let mut flows = titled(&say("slip"), &imprint.day);
    flows.push(Flow::Paragraph(text(&view.lead, LEAD)));
    flows.push(Flow::Space(8.0));
    let rows = view.contents.iter().map(|content| {
        let code = content.code.clone().unwrap_or_default();
        vec![content.title.clone(), code, content.count.clone(), content.mass.clone()]
    });
    let head = ["slip-content", "slip-code", "slip-pieces", "slip-mass"]
        .map(say)
        .to_vec();
    flows.push(Flow::Table(table(head, rows.collect())));
    flows.push(Flow::Space(10.0));
    let left = vec![
        Flow::Drawing(drawn(&view.packing)),
        Flow::small(view.packing.text.clone()),
    ];
    let mut right = vec![Flow::heading(say("slip-steps"))];
    for (at, step) in view.steps.iter().enumerate() {
        right.push(Flow::body(format!("{}. {step}", at + 1)));
        right.push(Flow::Space(3.0));
    }
    right.push(Flow::Space(5.0));
    right.push(Flow::heading(say("slip-parcel")));
    right.push(Flow::Table(facts(
        view.facts.iter().map(|fact| (fact.label.as_str(), fact.text.as_str())),
    )));
    flows.push(Flow::Columns(vec![(2.0, left), (3.0, right)]));
    flows.push(Flow::Space(10.0));
    flows.push(Flow::heading(say("slip-rules")));
    let rows = view.rules.iter().map(RuleView::cells);
    let head = [
        "slip-rule",
        "slip-at",
        "slip-limit",
        "slip-field",
        "slip-most",
        "slip-verdict",
    ]
    .map(say)
    .to_vec();
    flows.push(Flow::Table(table(head, rows.collect())));
    flows.push(Flow::Space(4.0));
    for rule in &view.rules {
        let clause = Text::new(
            format!(
                "{}: {} ({})",
                advice::view::text::capital(&rule.name),
                rule.clause,
                rule.source
            ),
            Style::SMALL,
        );
        flows.push(Flow::Paragraph(clause));
    }
    flows.push(Flow::Space(10.0));
    flows.push(Flow::Together(vec![
        Flow::heading(say("slip-measured")),
        Flow::Space(4.0),
        Flow::body(say("slip-measured-line")),
    ]));
    flows.push(Flow::Space(10.0));
    flows.push(Flow::heading(say("paper-mind")));
    for caution in &view.cautions {
        flows.push(Flow::body(caution.clone()));
        flows.push(Flow::Space(2.0));
    }
    for way in &view.ways {
        let name = advice::view::text::capital(&way.name);
        flows.push(Flow::small(format!("{name}: {} ({})", way.text, way.source)));
    }
    flows.push(Flow::Space(4.0));
    for assumed in &view.assumed {
        flows.push(Flow::small(advice::view::text::capital(assumed) + "."));
    }
    document(&view.title, flows, maker, imprint, messages, revision)
}

/// The box from above.
fn drawn(packing: &PackingView) -> Drawing {
    let [length, width] = packing.outside;
    let scale = LARGEST / length.max(width).max(1.0);
    let on_paper = |mm: f64| (mm * scale) as f32;
    let (wide, high) = (on_paper(length), on_paper(width));
    let mut drawing = Drawing::new(wide + 2.0, high + 2.0, packing.text.clone());
    drawing.rectangle([1.0, 1.0], [wide, high], Pen::line(INK, 0.8).filled(PAPER));
    if packing.lining > 0.0 {
        let inset = on_paper(packing.lining).max(2.0);
        let inner = [wide - 2.0 * inset, high - 2.0 * inset];
        drawing.rectangle([1.0 + inset, 1.0 + inset], inner, Pen::line(SOFT, 0.6));
    }
    for stack in &packing.stacks {
        let middle = [
            1.0 + wide / 2.0 + on_paper(stack.at[0]),
            1.0 + high / 2.0 - on_paper(stack.at[1]),
        ];
        one(&mut drawing, stack, middle, stack.sides.map(on_paper));
    }
    drawing
}

fn one(drawing: &mut Drawing, stack: &StackView, [x, y]: [f32; 2], [wide, high]: [f32; 2]) {
    let tint = match stack.up.as_str() {
        "N" => NORTH,
        "S" => SOUTH,
        _ => RULE,
    };
    let pen = Pen::line(INK, 0.3).filled(tint);
    if stack.round {
        drawing.circle([x, y], wide / 2.0, pen);
    } else {
        drawing.rectangle([x - wide / 2.0, y - high / 2.0], [wide, high], pen);
    }
    let room = wide.min(high);
    if !stack.up.is_empty() && room > 7.0 {
        drawing.letters([x, y + 2.5], stack.up.as_str(), POLE, Anchor::Middle);
    }
    let [a, b] = stack.north.map(|part| part as f32);
    if stack.up.is_empty() {
        let reach = 0.35 * (wide * a.abs() + high * b.abs());
        let (tip, tail) = ([x + reach * a, y - reach * b], [x - reach * a, y + reach * b]);
        let barb = 0.25 * reach;
        drawing.line(&[tail, tip], Pen::line(INK, 0.7));
        drawing.line(
            &[
                [tip[0] - barb * (a + b), tip[1] + barb * (b - a)],
                tip,
                [tip[0] - barb * (a - b), tip[1] + barb * (b + a)],
            ],
            Pen::line(INK, 0.7),
        );
    }
}
