//! Curves with their bands.

use advice::view::chart::Chart;
use press::drawing::{Anchor, Pen};
use press::ink::{BAND, INK, NEED, OURS, RULE, SOFT};
use press::{Drawing, Face, Style};

const LETTERS: Style = Style::new(Face::Plain, 6.5, SOFT);
const TITLE: Style = Style::new(Face::BookStrong, 8.5, INK);
const LEFT: f32 = 28.0;
const RIGHT: f32 = 8.0;
const TOP: f32 = 26.0;
const BOTTOM: f32 = 26.0;

/// A chart of that size.
pub fn drawn(chart: &Chart, width: f32, height: f32) -> Drawing {
    let mut drawing = Drawing::new(width, height, format!("{}. {}", chart.title, chart.remark));
    let finite = |values: &[f64]| values.iter().copied().filter(|v| v.is_finite()).fold(0.0, f64::max);
    let need = chart.need.as_ref().map_or(0.0, |level| level.y);
    let (x_most, y_most) = (
        finite(&chart.x.values),
        finite(&chart.high).max(finite(&chart.mid)).max(need),
    );
    let (x_step, y_step) = (step(x_most), step(y_most));
    let y_end = (y_most / y_step).ceil().max(1.0) * y_step;
    let x_end = x_most.max(f64::MIN_POSITIVE);
    let at = |x: f64, y: f64| {
        [
            LEFT + (x / x_end).clamp(0.0, 1.0) as f32 * (width - LEFT - RIGHT),
            height - BOTTOM - (y / y_end).clamp(0.0, 1.0) as f32 * (height - TOP - BOTTOM),
        ]
    };
    drawing.letters([0.0, 8.0], chart.title.as_str(), TITLE, Anchor::Start);
    for k in 0..=(y_end / y_step).round() as usize {
        let y = k as f64 * y_step;
        let [left, level] = at(0.0, y);
        drawing.line(&[[left, level], [width - RIGHT, level]], Pen::line(RULE, 0.4));
        drawing.letters([left - 4.0, level + 2.2], plain(y, y_step), LETTERS, Anchor::End);
    }
    drawing.letters([LEFT - 4.0, TOP - 8.0], chart.y.unit.as_str(), LETTERS, Anchor::End);
    for k in 0..=(x_end / x_step + 1e-9).floor() as usize {
        let x = k as f64 * x_step;
        let [across, _] = at(x, 0.0);
        drawing.letters(
            [across, height - BOTTOM + 10.0],
            plain(x, x_step),
            LETTERS,
            Anchor::Middle,
        );
    }
    let below = format!("{}, {}", chart.x.label, chart.x.unit);
    drawing.letters([width - RIGHT, height - 5.0], below, LETTERS, Anchor::End);

    let points = |ys: &[f64]| -> Vec<[f32; 2]> {
        let pairs = chart.x.values.iter().zip(ys);
        pairs
            .filter(|(x, y)| x.is_finite() && y.is_finite())
            .map(|(x, y)| at(*x, *y))
            .collect()
    };
    let mut band = points(&chart.high);
    band.extend(points(&chart.low).into_iter().rev());
    if band.len() > 2 {
        drawing.area(&band, Pen::area(BAND));
    }
    drawing.line(&points(&chart.mid), Pen::line(OURS, 1.1));
    if let Some(level) = &chart.need {
        let [left, y] = at(0.0, level.y);
        drawing.line(&[[left, y], [width - RIGHT, y]], Pen::line(NEED, 0.7).dashed(3.0, 2.0));
        drawing.letters(
            [width - RIGHT, y - 3.0],
            level.text.as_str(),
            LETTERS.in_ink(NEED),
            Anchor::End,
        );
    }
    drawing
}

/// A round step that divides a range into four to nine.
fn step(most: f64) -> f64 {
    let rough = (most / 5.0).max(f64::MIN_POSITIVE);
    let ten = 10f64.powf(rough.log10().floor());
    let round = [1.0, 2.0, 5.0, 10.0].into_iter().find(|m| m * ten >= rough * 0.999);
    round.unwrap_or(10.0) * ten
}

/// A number on an axis, with as many decimals as its step needs.
fn plain(value: f64, step: f64) -> String {
    let decimals = (-step.log10().floor()).clamp(0.0, 6.0) as usize;
    format!("{value:.decimals$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_few() {
        for most in [0.003, 0.9, 1.0, 7.0, 12.0, 99.0, 460.0, 12_345.0] {
            let step = step(most);
            let n = most / step;
            assert!((2.0..=5.01).contains(&n), "{most}: {n} steps of {step}");
        }
        assert_eq!(step(460.0), 100.0);
        assert_eq!(plain(0.25, 0.05), "0.25");
        assert_eq!(plain(300.0, 100.0), "300");
    }
}
