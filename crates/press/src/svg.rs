//! Drawings as SVG.

use std::fmt::Write as _;

use html_escape::encode_double_quoted_attribute as escaped;

use crate::drawing::{Anchor, Drawing, Mark, Pen, Step};
use crate::face::Face;
use crate::ink::Ink;
use crate::text::{Style, Text};

impl Drawing {
    /// The drawing as SVG, a unit for each point, without an outer size: it is as wide as what it stands in.
    pub fn svg(&self) -> String {
        let mut out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\">\n",
            number(self.width),
            number(self.height),
            escaped(&self.alt)
        );
        for mark in &self.marks {
            match mark {
                Mark::Path { steps, pen } => path(&mut out, steps, pen),
                Mark::Letters { at, text, anchor } => letters(&mut out, *at, text, *anchor),
            }
        }
        out.push_str("</svg>\n");
        out
    }
}

/// The colour as it is written in SVG and CSS.
pub(crate) fn colour(Ink(red, green, blue): Ink) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// The face with its size as a font of CSS, in that unit.
pub(crate) fn font(style: Style, size: f32, unit: &str) -> String {
    let family = match style.face {
        Face::Plain | Face::PlainStrong => "system-ui,sans-serif",
        Face::Book | Face::BookStrong | Face::BookItalic => "Georgia,'Times New Roman',serif",
    };
    let weight = match style.face {
        Face::PlainStrong | Face::BookStrong => "600 ",
        Face::BookItalic => "italic ",
        Face::Plain | Face::Book => "",
    };
    format!("{weight}{}{unit} {family}", number(size))
}

fn number(value: f32) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn path(out: &mut String, steps: &[Step], pen: &Pen) {
    let mut line = String::new();
    let mut put = |letter: char, numbers: &[f32]| {
        let numbers: Vec<String> = numbers.iter().map(|n| number(*n)).collect();
        line.push(letter);
        line.push_str(&numbers.join(" "));
    };
    for step in steps {
        match step {
            Step::Move(x, y) => put('M', &[*x, *y]),
            Step::Line(x, y) => put('L', &[*x, *y]),
            Step::Curve(points) => put('C', points),
            Step::Close => put('Z', &[]),
        }
    }
    let ink = |ink: Option<Ink>| ink.map_or_else(|| "none".into(), colour);
    // Nothing keeps a `String` from being written to.
    let _ = write!(
        out,
        "<path d=\"{line}\" fill=\"{}\" stroke=\"{}\" stroke-width=\"{}\"",
        ink(pen.fill),
        ink(pen.stroke),
        number(pen.width)
    );
    if let Some([dash, gap]) = pen.dash {
        let _ = write!(out, " stroke-dasharray=\"{} {}\"", number(dash), number(gap));
    }
    out.push_str("/>\n");
}

fn letters(out: &mut String, [x, y]: [f32; 2], text: &Text, anchor: Anchor) {
    let stands = match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    let _ = write!(
        out,
        "<text x=\"{}\" y=\"{}\" text-anchor=\"{stands}\">",
        number(x),
        number(y)
    );
    for (piece, style) in &text.pieces {
        let _ = write!(
            out,
            "<tspan fill=\"{}\" style=\"font:{}\">{}</tspan>",
            colour(style.ink),
            font(*style, style.size, "px"),
            escaped(piece)
        );
    }
    out.push_str("</text>\n");
}

#[cfg(test)]
mod tests;
