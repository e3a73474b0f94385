//! A magnet drawn to a stated scale: from above, and from the side with its poles and sizes.

use magnetics::Shape;
use press::drawing::{Anchor, Pen};
use press::ink::{INK, NORTH, OURS, PAPER, SOFT, SOUTH};
use press::{Drawing, Face, MM, Style};
use quantity::{Length, Quantity, Units};

/// Scales that drawings are made to: so many millimetres on paper for one of the magnet.
const SCALES: [(f64, &str); 12] = [
    (20.0, "20 : 1"),
    (10.0, "10 : 1"),
    (5.0, "5 : 1"),
    (4.0, "4 : 1"),
    (3.0, "3 : 1"),
    (2.0, "2 : 1"),
    (1.0, "1 : 1"),
    (0.5, "1 : 2"),
    (0.2, "1 : 5"),
    (0.1, "1 : 10"),
    (0.05, "1 : 20"),
    (0.02, "1 : 50"),
];
/// The largest that a view becomes on paper, points.
const LARGEST: f64 = 62.0;
/// Between the two views, with the arrow.
const BETWEEN: f32 = 26.0;
/// At the right of them, with the height.
const RIGHT: f32 = 60.0;
const LEFT: f32 = 2.0;
/// Room for a dimension beside or below a view, points.
const DIMENSION: f32 = 22.0;

const LETTERS: Style = Style::new(Face::Plain, 6.5, INK);
const POLE: Style = Style::new(Face::PlainStrong, 7.5, INK);

/// A drawing with the scale that it is made to.
pub struct Drawn {
    /// The drawing.
    pub drawing: Drawing,
    /// Such as `2 : 1`.
    pub scale: &'static str,
}

/// A magnet in those units, so many pieces stacked, on a drawing that is at most so wide, points.
pub fn drawn(shape: &Shape, pieces: u32, units: &Units, alt: &str, widest: f32) -> Drawn {
    let pieces = pieces.max(1);
    let height = shape.height() * f64::from(pieces);
    let [across, deep] = plan(shape);
    let largest = across.max(deep).max(height);
    let room = f64::from((widest - LEFT - BETWEEN - RIGHT) / 2.0);
    let fits = |(scale, _): &&(f64, &str)| {
        let points = 1e3 * scale * f64::from(MM);
        largest * points <= LARGEST && across * points <= room
    };
    let (scale, name) = SCALES.iter().find(fits).unwrap_or(&SCALES[SCALES.len() - 1]);
    let on_paper = |metres: f64| (metres * 1e3 * scale) as f32 * MM;
    let size = |metres: f64| Length(metres).show(units).to_string();
    let (wide, deep, high) = (on_paper(across), on_paper(deep), on_paper(height));
    let tall = deep.max(high).max(14.0);
    let left = LEFT;
    let side = left + wide + BETWEEN;
    let mut drawing = Drawing::new(side + wide + RIGHT, tall + DIMENSION + 6.0, alt);
    let middle = 4.0 + tall / 2.0;

    from_above(&mut drawing, shape, [left + wide / 2.0, middle], [wide, deep], on_paper);
    let top = middle - high / 2.0;
    from_the_side(&mut drawing, shape, [side, top], [wide, high], pieces, on_paper);

    // The arrow says which way it is magnetised.
    let arrow = side - 11.0;
    let pen = Pen::line(OURS, 0.9);
    let (from, to) = (middle + high.max(12.0) / 2.0, middle - high.max(12.0) / 2.0);
    drawing.line(&[[arrow, from], [arrow, to]], pen);
    drawing.area(
        &[[arrow - 2.0, to + 4.0], [arrow, to], [arrow + 2.0, to + 4.0]],
        Pen::area(OURS),
    );

    let round = matches!(shape, Shape::Disc { .. } | Shape::Ring { .. } | Shape::Sphere { .. });
    let label = |metres: f64| {
        if round {
            format!("ø\u{a0}{}", size(metres))
        } else {
            size(metres)
        }
    };
    below(&mut drawing, [side, side + wide], middle + high / 2.0, &label(across));
    if !matches!(shape, Shape::Sphere { .. }) {
        beside(&mut drawing, [top, top + high], side + wide, &size(height));
    }
    match shape {
        Shape::Ring { inner_diameter, .. } => {
            drawing.letters(
                [left + wide / 2.0, middle + deep / 2.0 + 11.0],
                label(*inner_diameter),
                LETTERS,
                Anchor::Middle,
            );
        }
        Shape::Block { .. } => drawing.letters(
            [left + wide / 2.0, middle + deep / 2.0 + 11.0],
            format!("{} × {}", Length(across).show(units).number, size(plan(shape)[1])),
            LETTERS,
            Anchor::Middle,
        ),
        Shape::Disc { .. } | Shape::Sphere { .. } => {}
    }
    Drawn { drawing, scale: name }
}

/// Width and depth from above, m.
fn plan(shape: &Shape) -> [f64; 2] {
    match *shape {
        Shape::Disc { diameter, .. } | Shape::Sphere { diameter } => [diameter; 2],
        Shape::Ring { outer_diameter, .. } => [outer_diameter; 2],
        Shape::Block { length, width, .. } => [length, width],
    }
}

fn from_above(
    drawing: &mut Drawing,
    shape: &Shape,
    centre: [f32; 2],
    [wide, deep]: [f32; 2],
    on_paper: impl Fn(f64) -> f32,
) {
    let [x, y] = centre;
    let outline = Pen::line(INK, 0.6).filled(SOUTH);
    match shape {
        Shape::Block { .. } => drawing.rectangle([x - wide / 2.0, y - deep / 2.0], [wide, deep], outline),
        _ => drawing.circle(centre, wide / 2.0, outline),
    }
    if let Shape::Ring { inner_diameter, .. } = shape {
        drawing.circle(
            centre,
            on_paper(*inner_diameter) / 2.0,
            Pen::line(INK, 0.6).filled(PAPER),
        );
    }
    let beyond = 3.0;
    let axis = Pen::line(SOFT, 0.35).dashed(4.0, 1.5);
    drawing.line(&[[x - wide / 2.0 - beyond, y], [x + wide / 2.0 + beyond, y]], axis);
    drawing.line(&[[x, y - deep / 2.0 - beyond], [x, y + deep / 2.0 + beyond]], axis);
}

fn from_the_side(
    drawing: &mut Drawing,
    shape: &Shape,
    [x, y]: [f32; 2],
    [wide, high]: [f32; 2],
    pieces: u32,
    on_paper: impl Fn(f64) -> f32,
) {
    let half = high / 2.0;
    let pole = high >= 16.0;
    if matches!(shape, Shape::Sphere { .. }) {
        drawing.circle([x + wide / 2.0, y + half], half, Pen::line(INK, 0.6).filled(SOUTH));
        let across = Pen::line(INK, 0.4);
        drawing.line(&[[x, y + half], [x + wide, y + half]], across);
    } else {
        drawing.rectangle([x, y], [wide, half], Pen::area(NORTH));
        drawing.rectangle([x, y + half], [wide, half], Pen::area(SOUTH));
        if let Shape::Ring { inner_diameter, .. } = shape {
            let hole = on_paper(*inner_diameter);
            drawing.rectangle(
                [x + (wide - hole) / 2.0, y],
                [hole, high],
                Pen::line(INK, 0.4).filled(PAPER),
            );
        }
        for joint in 1..pieces {
            let at = y + high * joint as f32 / pieces as f32;
            drawing.line(&[[x, at], [x + wide, at]], Pen::line(INK, 0.6));
        }
        drawing.rectangle([x, y], [wide, high], Pen::line(INK, 0.6));
    }
    if pole {
        let at = match shape {
            Shape::Ring { inner_diameter, .. } => x + (wide - on_paper(*inner_diameter)) / 4.0,
            _ => x + wide / 2.0,
        };
        drawing.letters([at, y + high / 4.0 + 2.6], "N", POLE, Anchor::Middle);
        drawing.letters([at, y + high * 0.75 + 2.6], "S", POLE, Anchor::Middle);
    }
}

/// A dimension below a view.
fn below(drawing: &mut Drawing, [from, to]: [f32; 2], y: f32, text: &str) {
    let line = y + 9.0;
    let thin = Pen::line(INK, 0.35);
    for x in [from, to] {
        drawing.line(&[[x, y + 2.0], [x, line + 2.5]], thin);
    }
    drawing.line(&[[from, line], [to, line]], thin);
    tips(drawing, [from, line], [to, line]);
    drawing.letters([(from + to) / 2.0, line + 9.0], text, LETTERS, Anchor::Middle);
}

/// A dimension at the right of a view.
fn beside(drawing: &mut Drawing, [from, to]: [f32; 2], x: f32, text: &str) {
    let line = x + 8.0;
    let thin = Pen::line(INK, 0.35);
    for y in [from, to] {
        drawing.line(&[[x + 2.0, y], [line + 2.5, y]], thin);
    }
    drawing.line(&[[line, from], [line, to]], thin);
    if to - from > 8.0 {
        tips(drawing, [line, from], [line, to]);
    }
    drawing.letters([line + 4.5, (from + to) / 2.0 + 2.3], text, LETTERS, Anchor::Start);
}

/// Arrow heads at both ends of a dimension.
fn tips(drawing: &mut Drawing, from: [f32; 2], to: [f32; 2]) {
    let along = [to[0] - from[0], to[1] - from[1]];
    let length = along[0].hypot(along[1]).max(f32::MIN_POSITIVE);
    let unit = [along[0] / length, along[1] / length];
    let across = [-unit[1], unit[0]];
    for (tip, way) in [(from, 1.0), (to, -1.0)] {
        let back = [tip[0] + way * 3.2 * unit[0], tip[1] + way * 3.2 * unit[1]];
        let corner = |side: f32| [back[0] + side * 1.0 * across[0], back[1] + side * 1.0 * across[1]];
        drawing.area(&[tip, corner(1.0), corner(-1.0)], Pen::area(INK));
    }
}

#[cfg(test)]
mod tests;
