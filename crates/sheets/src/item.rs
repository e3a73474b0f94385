//! The sheet of one item.

use advice::Item;
use advice::view::chart::Chart;
use advice::view::item::ItemView;
use letters::Messages;
use press::{Document, Flow, Style, Text};
use quantity::Units;

use crate::sheet::{HALF, Imprint, Maker, NARROW, cautions, document, facts, in_pairs, table, titled};
use crate::{chart, flux, shape};

/// Height of a chart, points.
const HIGH: f32 = 150.0;
/// So many points of a curve stand in its table.
const POINTS: usize = 8;

/// The document of an item.
pub fn paper(
    item: &Item,
    view: &ItemView,
    units: &Units,
    maker: &Maker,
    imprint: &Imprint,
    revision: u64,
    messages: &Messages,
) -> Document {
    let say = |name: &str| messages.text(name, &[]);
    let code = messages.text("paper-item-code", &[("code", (&view.code).into())]);
    let mut flows = titled(&view.title, &code);
    if !view.name.is_empty() {
        flows.push(Flow::Paragraph(Text::new(view.name.clone(), Style::SMALL)));
    }
    let drawn = shape::drawn(&item.shape, 1, units, &view.title, NARROW);
    let scale = messages.text("paper-scale", &[("scale", drawn.scale.into())]);
    let mut left = vec![Flow::Drawing(drawn.drawing), Flow::small(scale)];
    if !view.prices.is_empty() {
        left.push(Flow::Space(8.0));
        left.push(Flow::heading(say("paper-prices")));
        let rows = view
            .prices
            .iter()
            .map(|p| vec![p.from.clone(), p.each.clone()])
            .collect();
        left.push(Flow::Table(table(vec![say("paper-from"), say("paper-each")], rows)));
    }
    let known = facts(view.facts.iter().map(|fact| (fact.label.as_str(), fact.text.as_str())));
    let right = vec![Flow::heading(say("paper-facts")), Flow::Table(known)];
    flows.push(Flow::Columns(vec![(2.0, left), (3.0, right)]));
    flows.push(Flow::Space(10.0));
    let curve = |curve: &Chart| {
        vec![
            Flow::Drawing(chart::drawn(curve, HALF, HIGH)),
            Flow::small(curve.remark.clone()),
        ]
    };
    let mut drawings: Vec<Vec<Flow>> = view.charts.iter().map(curve).collect();
    drawings.extend(view.picture.iter().map(|picture| {
        let drawing = flux::drawn(picture, &view.title, units, HALF);
        let caption = Flow::small(picture.caption.clone());
        vec![Flow::Drawing(drawing), Flow::Space(3.0), caption]
    }));
    drawings.extend(view.steel.iter().map(|plot| {
        let drawing = chart::plotted(plot, HALF, HIGH);
        vec![Flow::Drawing(drawing), Flow::small(plot.remark.clone())]
    }));
    flows.extend(in_pairs(drawings));
    for curve in &view.charts {
        flows.push(Flow::Space(8.0));
        flows.push(Flow::Together(vec![
            Flow::heading(curve.title.clone()),
            Flow::Table(figures(curve, messages)),
        ]));
    }
    flows.push(Flow::Space(10.0));
    flows.push(Flow::heading(say("paper-mind")));
    flows.push(Flow::Space(2.0));
    flows.extend(cautions(&view.cautions));
    flows.push(Flow::small(say("paper-method")));
    document(&view.title, flows, maker, imprint, messages, revision)
}

/// Some points of a curve, a column each.
fn figures(curve: &Chart, messages: &Messages) -> press::Table {
    let last = curve.x.values.len().saturating_sub(1);
    let mut at: Vec<usize> = (0..POINTS).map(|k| k * last / (POINTS - 1)).collect();
    at.dedup();
    let number = |values: &[f64], k: usize, round: fn(f64) -> f64| {
        let value = values.get(k).copied().filter(|v| v.is_finite());
        value.map_or_else(String::new, |value| three(value, round))
    };
    let pick = |values: &[f64]| at.iter().map(|k| number(values, *k, f64::round)).collect::<Vec<_>>();
    // The ends of a band are rounded outwards.
    let range = at.iter().map(|k| {
        format!(
            "{}–{}",
            number(&curve.low, *k, f64::floor),
            number(&curve.high, *k, f64::ceil)
        )
    });
    let labelled = |label: String, cells: Vec<String>| [label].into_iter().chain(cells).collect::<Vec<_>>();
    let head = labelled(format!("{}, {}", curve.x.label, curve.x.unit), pick(&curve.x.values));
    let rows = vec![
        labelled(format!("{}, {}", curve.y.label, curve.y.unit), pick(&curve.mid)),
        labelled(messages.text("paper-range", &[]), range.collect()),
    ];
    table(head, rows)
}

/// A number to three digits, rounded that way.
fn three(value: f64, round: fn(f64) -> f64) -> String {
    if value == 0.0 {
        return "0".into();
    }
    let digits = (2.0 - value.abs().log10().floor()).clamp(0.0, 6.0);
    let scale = 10f64.powf(digits);
    let text = format!("{:.*}", digits as usize, round(value * scale) / scale);
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_three_digits() {
        for (value, text) in [
            (0.0, "0"),
            (12.345, "12.3"),
            (0.5, "0.5"),
            (1234.0, "1234"),
            (0.012_34, "0.0123"),
        ] {
            assert_eq!(three(value, f64::round), text);
        }
        assert_eq!(three(12.345, f64::floor), "12.3");
        assert_eq!(three(12.345, f64::ceil), "12.4");
    }
}
