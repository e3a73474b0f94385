//! The lines of flux about a magnet, drawn to scale: the picture of the page on paper.

use advice::view::picture::{Picture, Section};
use press::drawing::{Anchor, Pen};
use press::ink::{INK, NEED, NORTH, RULE, SOFT, SOUTH, STEEL};
use press::{Drawing, Face, Style};
use quantity::{Kind, Units};

const LETTERS: Style = Style::new(Face::Plain, 6.5, SOFT);
const POLE: Style = Style::new(Face::PlainStrong, 7.5, INK);
/// The most that it is high, as a part of its width.
const TALLEST: f64 = 1.0;
/// Steel is shown no deeper than this part of the width.
const DEEPEST: f64 = 0.09;
/// Points of a line that lie nearer to the one before are left out, points.
const FINE: f32 = 0.6;
/// Corners of half a circle.
const ROUND: u32 = 32;

/// Where the millimetres of a picture lie on paper.
struct Frame {
    scale: f64,
    left: f64,
    top: f64,
    size: [f32; 2],
}

impl Frame {
    fn of(picture: &Picture, width: f32) -> Self {
        let [left, right] = picture.x_range_mm;
        let [mut bottom, top] = picture.z_range_mm;
        if let Some(steel) = &picture.steel {
            let most = (right - left) * DEEPEST;
            bottom = bottom.min(steel.z_mm - steel.thickness_mm.unwrap_or(most).min(most));
        }
        let (across, up) = (
            (right - left).max(f64::MIN_POSITIVE),
            (top - bottom).max(f64::MIN_POSITIVE),
        );
        let scale = (f64::from(width) / across).min(f64::from(width) * TALLEST / up);
        Self {
            scale,
            left,
            top,
            size: [(across * scale) as f32, (up * scale) as f32],
        }
    }

    /// A place on paper, kept inside the picture.
    fn at(&self, x: f64, z: f64) -> [f32; 2] {
        let [wide, tall] = self.size;
        let place = |mm: f64, most: f32| ((mm * self.scale) as f32).clamp(0.0, most);
        [place(x - self.left, wide), place(self.top - z, tall)]
    }

    /// The rectangle between two corners.
    fn rectangle(&self, drawing: &mut Drawing, x: [f64; 2], z: [f64; 2], pen: Pen) {
        let ([left, top], [right, bottom]) = (self.at(x[0], z[1]), self.at(x[1], z[0]));
        drawing.rectangle([left, top], [right - left, bottom - top], pen);
    }
}

/// The picture, at most that wide, of what is called `title`.
pub fn drawn(picture: &Picture, title: &str, units: &Units, width: f32) -> Drawing {
    let frame = Frame::of(picture, width);
    let [wide, tall] = frame.size;
    let mut drawing = Drawing::new(wide, tall, format!("{title}: {}", picture.caption));
    let across = picture.x_range_mm;
    for layer in &picture.layers {
        frame.rectangle(&mut drawing, across, layer.z_mm, Pen::line(SOFT, 0.3).filled(RULE));
    }
    if let Some(steel) = &picture.steel {
        frame.rectangle(&mut drawing, across, [f64::NEG_INFINITY, steel.z_mm], Pen::area(STEEL));
    }
    for line in &picture.lines {
        drawing.line(&thinned(line, &frame), Pen::line(SOFT, 0.45));
    }
    for magnet in &picture.magnets {
        section(&mut drawing, magnet, &frame);
    }
    if let Some([x, z]) = picture.spot_mm {
        let [x, y] = frame.at(x, z);
        for arm in [[3.0, 0.0], [0.0, 3.0]] {
            drawing.line(
                &[[x - arm[0], y - arm[1]], [x + arm[0], y + arm[1]]],
                Pen::line(NEED, 1.0),
            );
        }
    }
    words(&mut drawing, picture, &frame);
    ruler(&mut drawing, &frame, units);
    drawing
}

/// A line on paper with no more points than can be seen.
fn thinned(line: &[[f64; 2]], frame: &Frame) -> Vec<[f32; 2]> {
    let mut out: Vec<[f32; 2]> = Vec::new();
    for (k, [x, z]) in line.iter().enumerate() {
        let place = frame.at(*x, *z);
        let near = |last: &[f32; 2]| (place[0] - last[0]).hypot(place[1] - last[1]) < FINE;
        if k + 1 == line.len() || !out.last().is_some_and(near) {
            out.push(place);
        }
    }
    out
}

/// A magnet with its halves, and the letters of its poles where there is room.
fn section(drawing: &mut Drawing, magnet: &Section, frame: &Frame) {
    let [bottom, top] = magnet.z_mm;
    let [left, right] = magnet.x_mm;
    let (middle, axis) = ((bottom + top) / 2.0, (left + right) / 2.0);
    let (upper, lower) = match magnet.north_up {
        true => (("N", NORTH), ("S", SOUTH)),
        false => (("S", SOUTH), ("N", NORTH)),
    };
    let outline = Pen::line(INK, 0.6);
    let mut letters_at = axis;
    if magnet.shape == "sphere" {
        let radius = (right - left) / 2.0;
        for (up, (_, tint)) in [(1.0, upper), (-1.0, lower)] {
            let arc: Vec<[f32; 2]> = (0..=ROUND)
                .map(|k| {
                    let (sin, cos) = (std::f64::consts::PI * f64::from(k) / f64::from(ROUND)).sin_cos();
                    frame.at(axis + radius * cos, middle + up * radius * sin)
                })
                .collect();
            drawing.area(&arc, outline.filled(tint));
        }
    } else {
        let hole = magnet.hole_mm / 2.0;
        let walls = match hole > 0.0 {
            true => vec![[left, axis - hole], [axis + hole, right]],
            false => vec![[left, right]],
        };
        letters_at = (walls[0][0] + walls[0][1]) / 2.0;
        for wall in walls {
            frame.rectangle(drawing, wall, [middle, top], Pen::area(upper.1));
            frame.rectangle(drawing, wall, [bottom, middle], Pen::area(lower.1));
            frame.rectangle(drawing, wall, [bottom, top], outline);
        }
    }
    let room = (top - bottom) / 2.0 * frame.scale;
    for ((letter, _), z) in [(upper, (middle + top) / 2.0), (lower, (bottom + middle) / 2.0)] {
        let [x, y] = frame.at(letters_at, z);
        if room > 8.0 {
            drawing.letters([x, y + 2.7], letter, POLE, Anchor::Middle);
        }
    }
    if room <= 8.0 {
        // Too thin for letters inside: they stand at its left.
        let [x, y] = frame.at(left, middle);
        drawing.letters([x - 4.0, y - 1.0], upper.0, POLE, Anchor::End);
        drawing.letters([x - 4.0, y + 7.0], lower.0, POLE, Anchor::End);
    }
}

/// What the steel and the layers are, written on them.
fn words(drawing: &mut Drawing, picture: &Picture, frame: &Frame) {
    let mut low = frame.size[1] - 3.0;
    let layers: Vec<&str> = picture.layers.iter().map(|layer| layer.text.as_str()).collect();
    for said in [
        picture.steel.as_ref().map(|steel| steel.text.clone()),
        Some(layers.join(", ")),
    ] {
        if let Some(said) = said.filter(|said| !said.is_empty()) {
            drawing.letters([3.0, low], said, LETTERS, Anchor::Start);
            low -= 9.0;
        }
    }
}

/// A round length of about a fifth of the width, in the reader's units.
fn ruler(drawing: &mut Drawing, frame: &Frame, units: &Units) {
    let [wide, tall] = frame.size;
    let metres = f64::from(wide) / frame.scale * 1e-3;
    let unit = units.scale(Kind::Length, metres);
    let aim = unit.apply(metres) / 5.0;
    let ten = 10f64.powf(aim.log10().floor());
    let round = [5.0, 2.0].into_iter().find(|step| step * ten <= aim).unwrap_or(1.0) * ten;
    let long = (round / unit.apply(metres)) as f32 * wide;
    let (right, y) = (wide - 4.0, tall - 4.0);
    let corners = [[right - long, y - 3.0], [right - long, y], [right, y], [right, y - 3.0]];
    drawing.line(&corners, Pen::line(INK, 0.6));
    let said = format!("{round}\u{a0}{}", unit.label);
    drawing.letters([right - long / 2.0, y - 5.0], said, LETTERS.in_ink(INK), Anchor::Middle);
}

#[cfg(test)]
mod tests;
