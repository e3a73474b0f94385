//! Lessons as files of HTML that need nothing beside them, for a shop's own site.

use advice::view::ladder::LadderView;
use advice::view::plot::{CurveRole, Plot};
use advice::view::text::Run;
use letters::letter::escaped;

use crate::view::{BarsView, BlockView, ChartView, LessonLine, LessonView};

/// Size of a chart in its own units, and its margins.
const WIDE: f64 = 640.0;
const HIGH: f64 = 300.0;
const LEFT: f64 = 52.0;
const RIGHT: f64 = 16.0;
const TOP: f64 = 18.0;
const BOTTOM: f64 = 40.0;
/// Lines across a chart.
const LINES: u32 = 4;

const STYLE: &str = "body{margin:0 auto;padding:1.5em;max-width:44em;font:17px/1.55 Georgia,'Times New Roman',serif;color:#22211d;background:#fbf8f1}h1{font-weight:400;line-height:1.25}h2{font-size:1.1em;margin:2em 0 .4em}.lead{font-size:1.15em}.small,figcaption,footer{font:13px/1.5 system-ui,sans-serif;color:#6a665d}a{color:#1d6a5b}figure{margin:1.5em 0}svg{width:100%;height:auto;font:12px system-ui,sans-serif}table{border-collapse:collapse;width:100%;font:14px/1.5 system-ui,sans-serif}th,td{text-align:left;padding:5px 12px 5px 0;border-top:1px solid #e0d9c8}.bar{display:block;height:12px;background:#1d6a5b}blockquote{margin:1.5em 0;padding-left:1em;border-left:3px solid #1d6a5b}@media (prefers-color-scheme:dark){body{color:#e9e4d8;background:#17181a}a{color:#6cc4ae}.bar{background:#6cc4ae}.small,figcaption,footer{color:#a39f94}th,td{border-color:#363630}}@media print{body{background:#fff;color:#000;max-width:none}}";

/// Who publishes, and of which shelf.
#[derive(Clone, Copy, Debug)]
pub struct Publisher<'a> {
    /// The shop's name.
    pub shop: &'a str,
    /// The shop's public address; empty for none.
    pub address: &'a str,
    /// What the figures are of: the day, the shelf's revision, the program.
    pub made_of: &'a str,
    /// The lessons that are published together.
    pub lessons: &'a [LessonLine],
}

/// The page of a lesson.
pub fn page(view: &LessonView, by: &Publisher) -> String {
    let mut body = format!(
        "<h1>{}</h1>\n<p class=\"lead\">{}</p>\n",
        escaped(&view.title),
        runs(&view.lead)
    );
    if let Some(rule) = &view.rule {
        body += &format!("<p class=\"small\">{}</p>\n", escaped(rule));
    }
    for block in &view.blocks {
        body += &match block {
            BlockView::Heading { text } => format!("<h2>{}</h2>\n", escaped(text)),
            BlockView::Paragraph { runs: text } => format!("<p>{}</p>\n", runs(text)),
            BlockView::List { items } => {
                let items: String = items.iter().map(|item| format!("<li>{}</li>\n", runs(item))).collect();
                format!("<ul>\n{items}</ul>\n")
            }
            BlockView::Chart { chart } => match chart {
                ChartView::Bars(bars) => bars_of(bars),
                ChartView::Plot(plot) => plot_of(plot),
                ChartView::Ladder(ladder) => ladder_of(ladder),
            },
        };
    }
    body += &format!("<blockquote>{}</blockquote>\n", escaped(&view.say));
    for assumed in &view.assumed {
        body += &format!("<p class=\"small\">{}</p>\n", runs(assumed));
    }
    let next: String = view
        .next
        .iter()
        .map(|line| format!("<li>{}</li>\n", linked(line, by)))
        .collect();
    if !next.is_empty() {
        body += &format!("<ul>\n{next}</ul>\n");
    }
    document(&view.title, &body, by)
}

/// The page that lists them.
pub fn index(title: &str, by: &Publisher) -> String {
    let list: String = by
        .lessons
        .iter()
        .map(|line| format!("<li>{}</li>\n", linked(line, by)))
        .collect();
    document(title, &format!("<h1>{}</h1>\n<ul>\n{list}</ul>\n", escaped(title)), by)
}

/// The file of a lesson.
pub fn file_name(name: &str) -> String {
    format!("{name}.html")
}

fn linked(line: &LessonLine, by: &Publisher) -> String {
    match by.lessons.iter().any(|lesson| lesson.name == line.name) {
        true => format!(
            "<a href=\"{}\">{}</a>",
            escaped(&file_name(&line.name)),
            escaped(&line.title)
        ),
        false => escaped(&line.title),
    }
}

fn document(title: &str, body: &str, by: &Publisher) -> String {
    let shop = match by.address {
        "" => escaped(by.shop),
        address => format!("<a href=\"{}\">{}</a>", escaped(address), escaped(by.shop)),
    };
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n<title>{} · {}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n{body}<footer>{shop} · {}</footer>\n</body>\n</html>\n",
        escaped(title),
        escaped(by.shop),
        escaped(by.made_of)
    )
}

fn runs(runs: &[Run]) -> String {
    runs.iter()
        .map(|run| match (run.strong, run.em) {
            (true, _) => format!("<b>{}</b>", escaped(&run.text)),
            (_, true) => format!("<i>{}</i>", escaped(&run.text)),
            _ => escaped(&run.text),
        })
        .collect()
}

fn bars_of(bars: &BarsView) -> String {
    let rows: String = bars
        .bars
        .iter()
        .map(|bar| {
            format!(
                "<tr><td>{}</td><td style=\"width:55%\"><span class=\"bar\" style=\"width:{:.1}%\"></span></td><td>{}</td></tr>\n",
                escaped(&bar.label),
                100.0 * bar.share,
                escaped(&bar.text)
            )
        })
        .collect();
    format!(
        "<figure><table>\n{rows}</table><figcaption>{}</figcaption></figure>\n",
        escaped(&bars.title)
    )
}

fn ladder_of(ladder: &LadderView) -> String {
    let rows: String = ladder
        .rungs
        .iter()
        .map(|rung| {
            let gain = rung.gain.as_deref().unwrap_or_default();
            let cells = [rung.label.as_str(), &rung.value.text, gain, &rung.price_text]
                .map(escaped)
                .join("</td><td>");
            format!("<tr><td>{cells}</td></tr>\n")
        })
        .collect();
    let heads = ["", ladder.y.label.as_str(), "gain", ladder.price.label.as_str()]
        .map(escaped)
        .join("</th><th>");
    format!(
        "<figure><table>\n<tr><th>{heads}</th></tr>\n{rows}</table><figcaption>{}</figcaption></figure>\n",
        runs(&ladder.lead)
    )
}

/// A number on an axis.
fn axis(value: f64, step: f64) -> String {
    let decimals = (-step.log10().floor()).clamp(0.0, 4.0) as usize;
    format!("{value:.decimals$}")
}

/// A round step that divides a range into about so many.
fn step(most: f64, into: f64) -> f64 {
    let rough = (most / into).max(f64::MIN_POSITIVE);
    let ten = 10f64.powf(rough.log10().floor());
    [1.0, 2.0, 5.0]
        .into_iter()
        .map(|m| m * ten)
        .find(|step| *step >= rough * 0.999)
        .unwrap_or(10.0 * ten)
}

fn plot_of(plot: &Plot) -> String {
    let points = || plot.curves.iter().flat_map(|curve| curve.points.iter());
    let most = |k: usize| {
        points()
            .map(|point| point[k])
            .filter(|v| v.is_finite())
            .fold(0.0, f64::max)
    };
    let (x_most, y_step) = (most(0).max(f64::MIN_POSITIVE), step(most(1), f64::from(LINES)));
    let y_most = (most(1) / y_step).ceil().max(1.0) * y_step;
    let at = |[x, y]: [f64; 2]| {
        let across = LEFT + (x / x_most).clamp(0.0, 1.0) * (WIDE - LEFT - RIGHT);
        let up = HIGH - BOTTOM - (y / y_most).clamp(0.0, 1.0) * (HIGH - TOP - BOTTOM);
        [across, up]
    };
    let mut inside = String::new();
    for k in 0..=(y_most / y_step).round() as u32 {
        let y = f64::from(k) * y_step;
        let [left, up] = at([0.0, y]);
        inside += &format!(
            "<path d=\"M{left:.1} {up:.1}H{:.1}\" stroke=\"#8886\" /><text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\" fill=\"currentColor\">{}</text>\n",
            WIDE - RIGHT,
            left - 6.0,
            up + 4.0,
            axis(y, y_step)
        );
    }
    let x_step = step(x_most, 5.0);
    for k in 0..=(x_most / x_step + 1e-9).floor() as u32 {
        let x = f64::from(k) * x_step;
        let [across, _] = at([x, 0.0]);
        inside += &format!(
            "<text x=\"{across:.1}\" y=\"{:.1}\" text-anchor=\"middle\" fill=\"currentColor\">{}</text>\n",
            HIGH - BOTTOM + 16.0,
            axis(x, x_step)
        );
    }
    for (place, curve) in plot.curves.iter().enumerate() {
        let (ink, dash) = match curve.role {
            CurveRole::Main => ("#2a8a76", ""),
            CurveRole::Beside => ("#b07a2c", ""),
            CurveRole::Limit => ("#c25a22", " stroke-dasharray=\"5 4\""),
            CurveRole::Guide => ("#888", " stroke-dasharray=\"2 3\""),
        };
        let path: Vec<String> = curve
            .points
            .iter()
            .filter(|point| point.iter().all(|c| c.is_finite()))
            .map(|point| at(*point).map(|c| format!("{c:.1}")).join(" "))
            .collect();
        inside += &format!(
            "<path d=\"M{}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"2\"{dash} />\n",
            path.join("L")
        );
        // A name of its own line each, beside a dash of its ink.
        let (x, y) = (WIDE - RIGHT - 190.0, TOP + 8.0 + 16.0 * place as f64);
        inside += &format!(
            "<path d=\"M{x} {}h18\" stroke=\"{ink}\" stroke-width=\"2\"{dash} /><text x=\"{}\" y=\"{y}\" fill=\"currentColor\">{}</text>\n",
            y - 4.0,
            x + 24.0,
            escaped(&curve.name)
        );
    }
    let axis_name = |label: &str, unit: &str| {
        escaped(&if unit.is_empty() {
            label.into()
        } else {
            format!("{label}, {unit}")
        })
    };
    inside += &format!(
        "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\" fill=\"currentColor\">{}</text>\n<text x=\"2\" y=\"11\" fill=\"currentColor\">{}</text>\n",
        WIDE - RIGHT,
        HIGH - 6.0,
        axis_name(&plot.x.label, &plot.x.unit),
        axis_name(&plot.y.label, &plot.y.unit)
    );
    format!(
        "<figure><svg viewBox=\"0 0 {WIDE} {HIGH}\" role=\"img\" aria-label=\"{}\">\n{inside}</svg><figcaption>{}. {}</figcaption></figure>\n",
        escaped(&plot.title),
        escaped(&plot.title),
        escaped(&plot.remark)
    )
}

#[cfg(test)]
mod tests;
