//! Writing a field picture as SVG.

use std::fmt::Write as _;

use html_escape::encode_double_quoted_attribute as escaped;

use crate::colour::{FIELD, INK, MAGNET, MARK, PAPER, SOFT, STEEL};
use crate::map::FieldMap;
use crate::picture::{FieldPicture, Part, PartKind, PictureError};

/// Highest picture, as a share of its width.
const MOST_TALL: f64 = 1.15;

/// Room for the legend of a map below the picture, pixels.
const LEGEND: f64 = 44.0;

/// Tint of the strongest field; lines and letters stay readable on it.
const DEEPEST: f64 = 0.72;

/// Size of letters, pixels.
const LETTER: f64 = 11.0;

/// A line of equal value shorter than this share of the width has no figure on it.
const SHORTEST_LABELLED: f64 = 0.12;

const FONT: &str = "font-family=\"Inter, 'Helvetica Neue', Arial, sans-serif\"";

/// Millimetres to pixels.
struct Frame {
    scale: f64,
    width: f64,
    height: f64,
    left: f64,
    top: f64,
}

impl Frame {
    fn new(picture: &FieldPicture, width: f64) -> Self {
        let [left, right] = picture.across;
        let [bottom, top] = picture.up;
        let scale = (width / (right - left)).min(MOST_TALL * width / (top - bottom));
        Self {
            scale,
            width: (right - left) * scale,
            height: (top - bottom) * scale,
            left,
            top,
        }
    }

    fn at(&self, [x, z]: [f64; 2]) -> [f64; 2] {
        [(x - self.left) * self.scale, (self.top - z) * self.scale]
    }

    fn path(&self, points: &[[f64; 2]], closed: bool) -> String {
        let mut d = String::new();
        let mut last = [f64::NAN; 2];
        for (k, point) in points.iter().enumerate() {
            let [x, y] = self.at(*point);
            // Points closer than a third of a pixel cannot be told apart; the last one stays.
            if (x - last[0]).hypot(y - last[1]) < 0.35 && k + 1 != points.len() {
                continue;
            }
            last = [x, y];
            let _ = write!(d, "{}{x:.1} {y:.1}", if d.is_empty() { 'M' } else { 'L' });
        }
        if closed && !d.is_empty() {
            d.push('Z');
        }
        d
    }
}

impl FieldPicture {
    /// The picture as SVG, `width` pixels wide. `name` is put before every id, so that several can stand in one page: letters, digits, hyphens.
    ///
    /// # Errors
    /// [`PictureError`] for an empty window and for coordinates that are not finite.
    pub fn svg(&self, width: f64, name: &str) -> Result<String, PictureError> {
        self.validate()?;
        Ok(drawn(self, width, name))
    }
}

/// The picture as one SVG element.
fn drawn(picture: &FieldPicture, width: f64, name: &str) -> String {
    let frame = Frame::new(picture, width);
    let tall = frame.height + if picture.map.is_some() { LEGEND } else { 0.0 };
    let mut out = String::new();
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {:.1} {tall:.1}\" width=\"{:.1}\" height=\"{tall:.1}\" role=\"img\" \
         aria-label=\"{title}\" {FONT} font-size=\"11.5\"><title>{title}</title><defs><clipPath id=\"{name}-window\">\
         <rect width=\"{:.1}\" height=\"{:.1}\"/></clipPath>",
        frame.width,
        frame.width,
        frame.width,
        frame.height,
        title = escaped(&picture.title),
    );
    if let Some(map) = &picture.map {
        let _ = write!(
            out,
            "<mask id=\"{name}-field\"><image width=\"{:.1}\" height=\"{:.1}\" preserveAspectRatio=\"none\" href=\"{}\"/></mask>\
             <linearGradient id=\"{name}-ramp\"><stop offset=\"0\" stop-color=\"{FIELD}\" stop-opacity=\"0\"/>\
             <stop offset=\"1\" stop-color=\"{FIELD}\" stop-opacity=\"{DEEPEST}\"/></linearGradient>",
            frame.width,
            frame.height,
            map.mask(),
        );
    }
    out.push_str("</defs>");
    let _ = write!(
        out,
        "<rect width=\"{:.1}\" height=\"{:.1}\" fill=\"{PAPER}\"/>",
        frame.width, tall
    );
    let _ = write!(out, "<g clip-path=\"url(#{name}-window)\">");
    if picture.map.is_some() {
        let _ = write!(
            out,
            "<rect width=\"{:.1}\" height=\"{:.1}\" mask=\"url(#{name}-field)\" fill=\"{FIELD}\" fill-opacity=\"{DEEPEST}\"/>",
            frame.width, frame.height
        );
    }
    for part in &picture.parts {
        body(&mut out, &frame, part, if picture.map.is_some() { 0.55 } else { 1.0 });
    }
    if let Some(map) = &picture.map {
        equal(&mut out, &frame, map);
    }
    let _ = write!(
        out,
        "<g fill=\"none\" stroke-width=\"0.8\" stroke=\"{INK}\" stroke-opacity=\"0.55\">"
    );
    for line in &picture.lines {
        let _ = write!(out, "<path d=\"{}\"/>", frame.path(line, false));
    }
    out.push_str("</g>");
    for part in &picture.parts {
        edge(&mut out, &frame, part);
    }
    for spot in &picture.spots {
        let [x, y] = frame.at(spot.at);
        let _ = write!(
            out,
            "<path d=\"M{:.1} {y:.1}h12M{x:.1} {:.1}v12\" fill=\"none\" stroke-width=\"1.8\" stroke=\"{MARK}\"/>",
            x - 6.0,
            y - 6.0
        );
        halo(&mut out, x + 9.0, y + 4.0, &spot.text, "start", MARK);
    }
    out.push_str("</g>");
    rule(&mut out, &frame, picture.inch);
    if let Some(map) = &picture.map {
        legend(&mut out, &frame, map, name);
    }
    out.push_str("</svg>");
    out
}

/// The ground of a part; a map shows through it.
fn body(out: &mut String, frame: &Frame, part: &Part, opacity: f64) {
    let d: String = part.outlines.iter().map(|o| frame.path(o, true)).collect();
    let fill = match part.kind {
        PartKind::Magnet { .. } => MAGNET,
        PartKind::Steel => STEEL,
    };
    let _ = write!(
        out,
        "<path d=\"{d}\" fill-rule=\"evenodd\" fill=\"{fill}\" fill-opacity=\"{opacity}\"/>"
    );
}

/// The outline of a part over lines and map, with the arrow of its polarisation and its name.
fn edge(out: &mut String, frame: &Frame, part: &Part) {
    let d: String = part.outlines.iter().map(|o| frame.path(o, true)).collect();
    let _ = write!(
        out,
        "<path d=\"{d}\" fill=\"none\" stroke-width=\"1.2\" stroke=\"{INK}\"/>"
    );
    if let PartKind::Magnet { towards } = part.kind {
        for outline in &part.outlines {
            arrow(out, frame, outline, towards);
        }
    }
    if !part.name.is_empty()
        && let Some([low, high]) = bounds(part.outlines.iter().flatten())
    {
        // At the head of the part: the middle of a cup is the magnet's.
        let [x, y] = frame.at([(low[0] + high[0]) / 2.0, high[1]]);
        halo(
            out,
            x.clamp(20.0, (frame.width - 20.0).max(20.0)),
            y + 12.0,
            &part.name,
            "middle",
            SOFT,
        );
    }
}

/// From south to north through the middle of an outline, as long as it has room, its ends named where letters have room too;
/// nothing where it stands square to the plane.
fn arrow(out: &mut String, frame: &Frame, outline: &[[f64; 2]], towards: [f64; 2]) {
    let Some([low, high]) = bounds(outline.iter()) else {
        return;
    };
    let middle = frame.at([(low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0]);
    let size = [(high[0] - low[0]) * frame.scale, (high[1] - low[1]) * frame.scale];
    let length = towards[0].hypot(towards[1]);
    if length == 0.0 {
        return;
    }
    let [ux, uy] = [towards[0] / length, -towards[1] / length];
    // What the outline's box leaves along the arrow.
    let room = (size[0] / ux.abs().max(1e-9)).min(size[1] / uy.abs().max(1e-9));
    let half = (0.34 * room).min(60.0);
    if half < 3.0 {
        return;
    }
    let head = (0.45 * half).min(6.0);
    let tip = [middle[0] + ux * half, middle[1] + uy * half];
    let tail = [middle[0] - ux * half, middle[1] - uy * half];
    let barb = |side: f64| {
        [
            tip[0] - head * (ux + 0.6 * side * uy),
            tip[1] - head * (uy - 0.6 * side * ux),
        ]
    };
    let [a, b] = [barb(1.0), barb(-1.0)];
    let _ = write!(
        out,
        "<path d=\"M{:.1} {:.1}L{:.1} {:.1}M{:.1} {:.1}L{:.1} {:.1}L{:.1} {:.1}\" fill=\"none\" stroke-width=\"1.6\" stroke-linecap=\"round\" \
         stroke-linejoin=\"round\" stroke=\"{INK}\"/>",
        tail[0], tail[1], tip[0], tip[1], a[0], a[1], tip[0], tip[1], b[0], b[1]
    );
    let across = (size[0] / uy.abs().max(1e-9)).min(size[1] / ux.abs().max(1e-9));
    if half < LETTER || across < 4.0 * LETTER {
        return;
    }
    for (end, pole) in [(tip, "N"), (tail, "S")] {
        // To the right of an arrow that points up; a letter's middle is a third of its size above its foot.
        let [x, y] = [end[0] - uy * LETTER, end[1] + ux * LETTER + LETTER / 3.0];
        halo(out, x, y, pole, "middle", INK);
    }
}

fn bounds<'a>(points: impl Iterator<Item = &'a [f64; 2]>) -> Option<[[f64; 2]; 2]> {
    points.fold(None, |seen, p| {
        let [low, high] = seen.unwrap_or([*p, *p]);
        Some([
            [low[0].min(p[0]), low[1].min(p[1])],
            [high[0].max(p[0]), high[1].max(p[1])],
        ])
    })
}

/// Lines of equal value, the longest of each level with its figure.
fn equal(out: &mut String, frame: &Frame, map: &FieldMap) {
    let cell = [frame.width / map.columns() as f64, frame.height / map.rows() as f64];
    let mut taken: Vec<[f64; 2]> = Vec::new();
    let mut figures = String::new();
    for level in map.levels() {
        let lines: Vec<Vec<[f64; 2]>> = map
            .isolines(level)
            .into_iter()
            .map(|line| {
                line.iter()
                    .map(|[c, r]| [c * cell[0], frame.height - r * cell[1]])
                    .collect()
            })
            .collect();
        for line in &lines {
            let mut d = String::new();
            for [x, y] in line {
                let _ = write!(d, "{}{x:.1} {y:.1}", if d.is_empty() { 'M' } else { 'L' });
            }
            let _ = write!(
                out,
                "<path d=\"{d}\" fill=\"none\" stroke-width=\"0.9\" stroke-dasharray=\"1 2.4\" stroke-linecap=\"round\" stroke=\"{INK}\" stroke-opacity=\"0.6\"/>"
            );
        }
        let longest = lines.iter().max_by(|a, b| travelled(a).total_cmp(&travelled(b)));
        if let Some(line) = longest.filter(|line| travelled(line) > SHORTEST_LABELLED * frame.width) {
            let inside =
                |p: &&[f64; 2]| p[0] > 16.0 && p[0] < frame.width - 16.0 && p[1] > 12.0 && p[1] < frame.height - 8.0;
            let clear = |p: &&[f64; 2]| {
                taken
                    .iter()
                    .all(|t| (t[0] - p[0]).abs() > 40.0 || (t[1] - p[1]).abs() > 15.0)
            };
            if let Some(place) = line.iter().filter(inside).find(clear) {
                taken.push(*place);
                halo(&mut figures, place[0], place[1] + 4.0, &figure(level), "middle", INK);
            }
        }
    }
    out.push_str(&figures);
}

fn travelled(line: &[[f64; 2]]) -> f64 {
    line.windows(2)
        .map(|pair| match pair {
            [a, b] => (a[0] - b[0]).hypot(a[1] - b[1]),
            _ => 0.0,
        })
        .sum()
}

fn halo(out: &mut String, x: f64, y: f64, text: &str, anchor: &str, colour: &str) {
    let _ = write!(
        out,
        "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\" stroke-width=\"3\" paint-order=\"stroke\" fill=\"{colour}\" stroke=\"{PAPER}\" stroke-opacity=\"0.85\">{}</text>",
        escaped(text)
    );
}

/// The scale: a round length of about a fifth of the width, in the lower right corner.
fn rule(out: &mut String, frame: &Frame, inch: bool) {
    let unit = if inch { 25.4 } else { 1.0 };
    let length = round_below(frame.width / frame.scale / unit / 5.0);
    let pixels = length * unit * frame.scale;
    let (x, y) = (frame.width - pixels - 10.0, frame.height - 10.0);
    let _ = write!(
        out,
        "<path d=\"M{x:.1} {:.1}v4h{pixels:.1}v-4\" fill=\"none\" stroke-width=\"1\" stroke=\"{INK}\"/>",
        y - 4.0
    );
    let text = format!("{} {}", figure(length), if inch { "in" } else { "mm" });
    halo(out, x + pixels / 2.0, y - 6.0, &text, "middle", INK);
}

/// The largest of 1, 2 and 5 times a power of ten that is not above `value`.
fn round_below(value: f64) -> f64 {
    let power = 10f64.powf(value.log10().floor());
    [5.0, 2.0, 1.0]
        .into_iter()
        .map(|step| step * power)
        .find(|v| *v <= value * 1.001)
        .unwrap_or(power)
}

fn legend(out: &mut String, frame: &Frame, map: &FieldMap, name: &str) {
    let (x, y) = (8.0, frame.height + 10.0);
    let heading = map.heading();
    let heading = escaped(&heading);
    let room = LETTER * (1.0 + 0.6 * map.heading().chars().count() as f64);
    let wide = (frame.width - 2.0 * x - room).clamp(40.0, 320.0);
    let _ = write!(
        out,
        "<rect x=\"{x}\" y=\"{y:.1}\" width=\"{wide:.1}\" height=\"9\" stroke-width=\"0.6\" fill=\"url(#{name}-ramp)\" stroke=\"{SOFT}\"/>"
    );
    let mut last = f64::NEG_INFINITY;
    for level in map.levels() {
        let at = x + map.depth(level) * wide;
        if at - last < 34.0 || at > x + wide - 4.0 {
            continue;
        }
        last = at;
        let _ = write!(
            out,
            "<path d=\"M{at:.1} {y:.1}v12\" stroke-width=\"0.8\" stroke=\"{INK}\"/>\
             <text x=\"{at:.1}\" y=\"{:.1}\" text-anchor=\"middle\" fill=\"{SOFT}\">{}</text>",
            y + 24.0,
            figure(level)
        );
    }
    let _ = write!(
        out,
        "<text x=\"{:.1}\" y=\"{:.1}\" fill=\"{SOFT}\">{heading}</text>",
        x + wide + 10.0,
        y + 9.0
    );
}

/// A round number as people write it.
fn figure(value: f64) -> String {
    let digits = (3 - value.abs().log10().floor() as i32).clamp(0, 9) as usize;
    let text = format!("{value:.digits$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').into()
    } else {
        text
    }
}

#[cfg(test)]
mod tests;
