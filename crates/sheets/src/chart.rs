//! Charts: curves with their bands, several curves, bars.

use advice::view::chart::Chart;
use advice::view::plot::{CurveRole, Plot};
use press::drawing::{Anchor, Pen};
use press::ink::{BAND, INK, NEED, OURS, PAPER, RULE, SOFT};
use press::text::shortened;
use press::{Drawing, Face, Style, Text};

const LETTERS: Style = Style::new(Face::Plain, 6.5, SOFT);
const TITLE: Style = Style::new(Face::BookStrong, 8.5, INK);
const LEFT: f32 = 28.0;
const RIGHT: f32 = 8.0;
const TOP: f32 = 26.0;
const BOTTOM: f32 = 26.0;

/// The axes of a chart, and where its values stand.
struct Frame {
    width: f32,
    height: f32,
    top: f32,
    x_end: f64,
    y_end: f64,
}

impl Frame {
    /// Draws the title and axes that reach those values, from zero, with that much room below the title.
    fn drawn(drawing: &mut Drawing, title: &str, x: (f64, &str), y: (f64, &str), room: f32) -> Self {
        let (x_step, y_step) = (step(x.0), step(y.0));
        let frame = Self {
            width: drawing.width,
            height: drawing.height,
            top: TOP + room,
            x_end: x.0.max(f64::MIN_POSITIVE),
            y_end: (y.0 / y_step).ceil().max(1.0) * y_step,
        };
        drawing.letters([0.0, 8.0], title, TITLE, Anchor::Start);
        for k in 0..=(frame.y_end / y_step).round() as usize {
            let value = k as f64 * y_step;
            let [left, level] = frame.at(0.0, value);
            drawing.line(&[[left, level], [frame.right(), level]], Pen::line(RULE, 0.4));
            drawing.letters([left - 4.0, level + 2.2], plain(value, y_step), LETTERS, Anchor::End);
        }
        drawing.letters([0.0, frame.top - 8.0], y.1, LETTERS, Anchor::Start);
        for k in 0..=(frame.x_end / x_step + 1e-9).floor() as usize {
            let value = k as f64 * x_step;
            let at = [frame.at(value, 0.0)[0], frame.height - BOTTOM + 10.0];
            drawing.letters(at, plain(value, x_step), LETTERS, Anchor::Middle);
        }
        drawing.letters([frame.right(), frame.height - 5.0], x.1, LETTERS, Anchor::End);
        frame
    }

    fn right(&self) -> f32 {
        self.width - RIGHT
    }

    fn at(&self, x: f64, y: f64) -> [f32; 2] {
        [
            LEFT + (x / self.x_end).clamp(0.0, 1.0) as f32 * (self.width - LEFT - RIGHT),
            self.height - BOTTOM - (y / self.y_end).clamp(0.0, 1.0) as f32 * (self.height - self.top - BOTTOM),
        ]
    }

    /// Those of these points that are numbers.
    fn points(&self, points: impl Iterator<Item = [f64; 2]>) -> Vec<[f32; 2]> {
        points
            .filter(|point| point.iter().all(|c| c.is_finite()))
            .map(|[x, y]| self.at(x, y))
            .collect()
    }
}

fn most(values: impl Iterator<Item = f64>) -> f64 {
    values.filter(|v| v.is_finite()).fold(0.0, f64::max)
}

fn axis_name(label: &str, unit: &str) -> String {
    match unit {
        "" => label.into(),
        unit => format!("{label}, {unit}"),
    }
}

/// A chart of that size.
pub fn drawn(chart: &Chart, width: f32, height: f32) -> Drawing {
    let mut drawing = Drawing::new(width, height, format!("{}. {}", chart.title, chart.remark));
    let need = chart.need.as_ref().map(|level| level.y);
    let highest = most(chart.high.iter().chain(&chart.mid).copied().chain(need));
    let frame = Frame::drawn(
        &mut drawing,
        &chart.title,
        (
            most(chart.x.values.iter().copied()),
            &axis_name(&chart.x.label, &chart.x.unit),
        ),
        (highest, &chart.y.unit),
        0.0,
    );
    let points = |ys: &[f64]| frame.points(chart.x.values.iter().zip(ys).map(|(x, y)| [*x, *y]));
    let mut band = points(&chart.high);
    band.extend(points(&chart.low).into_iter().rev());
    if band.len() > 2 {
        drawing.area(&band, Pen::area(BAND));
    }
    drawing.line(&points(&chart.mid), Pen::line(OURS, 1.1));
    if let Some(level) = &chart.need {
        let [left, y] = frame.at(0.0, level.y);
        let right = frame.right();
        drawing.line(&[[left, y], [right, y]], Pen::line(NEED, 0.7).dashed(3.0, 2.0));
        let words = level.text.as_str();
        drawing.letters([right, y - 3.0], words, LETTERS.in_ink(NEED), Anchor::End);
    }
    drawing
}

/// Height of a line of names, points.
const NAME: f32 = 9.0;
/// Length of the dash before a name.
const DASH: f32 = 14.0;

/// How curves that stand beside the one that is read are told apart, in their order.
const BESIDE: [Option<[f32; 2]>; 3] = [None, Some([6.0, 3.0]), Some([1.5, 2.0])];

/// Curves over one another, each named below the title beside a dash of its own, with the marked points.
pub fn plotted(plot: &Plot, width: f32, height: f32) -> Drawing {
    let mut drawing = Drawing::new(width, height, format!("{}. {}", plot.title, plot.remark));
    let ends = [0, 1].map(|k| {
        most(
            plot.curves
                .iter()
                .flat_map(|curve| curve.points.iter().map(move |p| p[k])),
        )
    });
    let frame = Frame::drawn(
        &mut drawing,
        &plot.title,
        (ends[0], &axis_name(&plot.x.label, &plot.x.unit)),
        (ends[1], &axis_name(&plot.y.label, &plot.y.unit)),
        NAME * plot.curves.len() as f32,
    );
    let mut dashes = BESIDE.iter().cycle();
    for (place, curve) in plot.curves.iter().enumerate() {
        let pen = match curve.role {
            CurveRole::Main => Pen::line(OURS, 1.1),
            CurveRole::Beside => Pen {
                dash: dashes.next().copied().flatten(),
                ..Pen::line(SOFT, 1.1)
            },
            CurveRole::Limit => Pen::line(NEED, 1.0).dashed(4.0, 3.0),
            CurveRole::Guide => Pen::line(SOFT, 0.6).dashed(1.5, 2.0),
        };
        drawing.line(&frame.points(curve.points.iter().copied()), pen);
        let y = TOP - 8.0 + NAME * place as f32;
        drawing.line(&[[0.0, y - 2.2], [DASH, y - 2.2]], pen);
        let name = shortened(&curve.name, LETTERS, width - DASH - 4.0);
        drawing.letters([DASH + 4.0, y], name, LETTERS, Anchor::Start);
    }
    for (place, mark) in plot.marks.iter().enumerate() {
        let [x, y] = frame.at(mark.at[0], mark.at[1]);
        drawing.circle([x, y], 2.0, Pen::line(PAPER, 0.5).filled(OURS));
        // Below the curve, one below the other.
        let below = y + NAME * (place + 1) as f32;
        drawing.letters([x + 5.0, below], mark.text.as_str(), LETTERS.in_ink(INK), Anchor::Start);
    }
    drawing
}

/// The width of a text in the letters of a chart.
fn wide(text: &str) -> f32 {
    Text::new(text, LETTERS).width()
}

/// A figure of a bar chart: what it is of, its share of the longest bar, it in words.
pub type Bar<'a> = (&'a str, f64, &'a str);

/// Height of a bar with the room to the next, points.
const BAR: f32 = 14.0;

/// Figures as bars, one below the other.
pub fn bars(title: &str, figures: &[Bar], width: f32) -> Drawing {
    let said: Vec<String> = figures.iter().map(|(of, _, text)| format!("{of}: {text}")).collect();
    let alt = format!("{title}. {}.", said.join("; "));
    let mut drawing = Drawing::new(width, TOP + BAR * figures.len() as f32, alt);
    drawing.letters([0.0, 8.0], title, TITLE, Anchor::Start);
    // Neither names nor figures take more than a third of the width.
    let cut = |text: &str| shortened(text, LETTERS, width / 3.0);
    let widest = |texts: &mut dyn Iterator<Item = &str>| texts.map(|text| wide(&cut(text))).fold(0.0, f32::max) + 6.0;
    let before = widest(&mut figures.iter().map(|figure| figure.0));
    let after = widest(&mut figures.iter().map(|figure| figure.2));
    let room = (width - before - after).max(0.0);
    for (place, (of, share, text)) in figures.iter().enumerate() {
        let y = TOP - 6.0 + BAR * place as f32;
        let long = room * share.clamp(0.0, 1.0) as f32;
        drawing.letters([0.0, y + 6.5], cut(of), LETTERS, Anchor::Start);
        drawing.rectangle([before, y], [long.max(0.5), 8.0], Pen::area(OURS));
        drawing.letters(
            [before + long + 6.0, y + 6.5],
            cut(text),
            LETTERS.in_ink(INK),
            Anchor::Start,
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

    /// Whether any lettering lies over another.
    fn collides(drawing: &Drawing) -> Option<[String; 2]> {
        let boxes: Vec<([f32; 4], String)> = drawing
            .marks
            .iter()
            .filter_map(|mark| match mark {
                press::drawing::Mark::Letters {
                    at: [x, y],
                    text,
                    anchor,
                } => {
                    let wide = text.width();
                    let left = match anchor {
                        Anchor::Start => *x,
                        Anchor::Middle => x - wide / 2.0,
                        Anchor::End => x - wide,
                    };
                    Some(([left, y - 5.0, left + wide, *y], text.plain()))
                }
                press::drawing::Mark::Path { .. } => None,
            })
            .collect();
        boxes.iter().enumerate().find_map(|(k, (a, one))| {
            let over = |b: &[f32; 4]| a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
            let other = boxes[..k].iter().find(|(b, _)| over(b));
            other.map(|(_, other)| [one.clone(), other.clone()])
        })
    }

    #[test]
    fn names_of_curves_and_bars_touch_nothing_however_long_they_are() {
        use advice::view::plot::{PlotAxis, PlotCurve, PlotMark};
        let axis = || PlotAxis {
            label: "gap to the steel".into(),
            unit: "mm".into(),
        };
        for name in [
            "Disc, 20 × 5 mm, N42".to_owned(),
            "שלום 😀 ".repeat(60),
            "W".repeat(300),
        ] {
            let curve = |k: u32| PlotCurve {
                name: name.clone(),
                role: CurveRole::Beside,
                points: (0..20).map(|x| [f64::from(x), 50.0 + f64::from(k)]).collect(),
            };
            let plot = Plot {
                title: name.clone(),
                x: axis(),
                y: axis(),
                curves: (0..4).map(curve).collect(),
                marks: vec![PlotMark {
                    at: [19.0, 50.0],
                    text: name.clone(),
                }],
                stretches: Vec::new(),
                remark: String::new(),
            };
            let drawing = plotted(&plot, 236.0, 190.0);
            assert_eq!(collides(&drawing), None);
            let solid = drawing.marks.iter().filter(|mark| match mark {
                press::drawing::Mark::Path { pen, .. } => pen.stroke == Some(SOFT) && pen.dash.is_none(),
                press::drawing::Mark::Letters { .. } => false,
            });
            // The first and the fourth of them, each with its dash in the key.
            assert_eq!(solid.count(), 4);
            let figures = [(name.as_str(), 1.0, name.as_str()), ("short", 0.1, "1\u{a0}N")];
            assert_eq!(collides(&bars(&name, &figures, 236.0)), None);
        }
    }

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
