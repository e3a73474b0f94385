//! A document as one file of HTML that needs nothing beside it.

use std::fmt::Write as _;

use html_escape::encode_double_quoted_attribute as escaped;

use crate::drawing::{Anchor, Drawing};
use crate::flow::Flow;
use crate::pages::{Document, is_web};
use crate::svg::{colour, font};
use crate::table::Table;
use crate::text::{Style, Text};

/// Pixels on a screen for a point on paper: what is 8.5 points high in print is read at arm's length.
const PIXELS: f32 = 1.75;

const STYLE: &str = "body{margin:0 auto;padding:1.5em;max-width:56em;line-height:1.45;overflow-wrap:anywhere;color:#22211d;background:#fff}h1,h2,p{margin:.15em 0}h1{line-height:1.2}h2{margin-top:.6em}svg{max-width:100%;height:auto;display:block}hr{border:0;margin:.4em 0}table{border-collapse:collapse;width:100%}.wide{overflow-x:auto}th,td{padding:.3em 1em .3em 0;vertical-align:top;font-weight:inherit}th:last-child,td:last-child{padding-right:0}.ruled tr{border-bottom:1px solid #d5cdb9}.columns{display:flex;flex-wrap:wrap;gap:1em 2em}.columns>*{flex-basis:15em;min-width:0}footer{margin-top:2em;padding-top:.6em;border-top:1px solid #d5cdb9;display:flex;flex-wrap:wrap;gap:.2em 2em;justify-content:space-between}@media print{body{padding:0;max-width:none}}";

/// A page of HTML with what its one style element holds, so that a server can allow that and no other style.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Page {
    /// The page.
    pub text: String,
    /// What stands in its style element.
    pub style: String,
}

impl Document {
    /// The document as a page of HTML: the same blocks in the same order, as wide as the screen, with its drawings inside.
    pub fn html(&self) -> String {
        self.page().text
    }

    /// As [`Self::html`], with what its style element holds.
    pub fn page(&self) -> Page {
        let mut body = String::new();
        for flow in &self.flows {
            block(&mut body, flow);
        }
        let foot: String = [&self.foot, &self.link]
            .into_iter()
            .filter(|text| !text.is_empty())
            .map(|text| format!("<span>{}</span>\n", linked(text)))
            .collect();
        let body = format!("{body}<footer style=\"{}\">{foot}</footer>\n", css(Style::SMALL));
        let (body, classes) = with_classes(&body);
        let style = format!("{STYLE}{classes}");
        let (year, month, day) = self.date;
        let text = format!(
            "<!doctype html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n<meta name=\"author\" content=\"{}\">\n<meta name=\"generator\" content=\"{}\">\n<meta name=\"date\" content=\"{year:04}-{month:02}-{day:02}\">\n<title>{}</title>\n<style>{style}</style>\n</head>\n<body>\n{body}</body>\n</html>\n",
            escaped(&self.language),
            escaped(&self.author),
            escaped(&self.creator),
            escaped(&self.title)
        );
        Page { text, style }
    }
}

/// How the styles of elements are written before they become classes; in no text, whose quotes are escaped.
const STYLED: &str = " style=\"";

/// The elements with classes in the place of their styles, and what those classes are.
fn with_classes(body: &str) -> (String, String) {
    let mut parts = body.split(STYLED);
    let mut out = parts.next().unwrap_or_default().to_owned();
    let mut known: Vec<&str> = Vec::new();
    for part in parts {
        let (style, rest) = part.split_once('"').unwrap_or((part, ""));
        let at = known.iter().position(|known| *known == style).unwrap_or_else(|| {
            known.push(style);
            known.len() - 1
        });
        let _ = write!(out, " class=\"s{at}\"{rest}");
    }
    let rule = |(at, style): (usize, &&str)| format!(".s{at}{{{style}}}");
    (out, known.iter().enumerate().map(rule).collect())
}

/// An address as a link that shows as much of it as a line holds, anything else as it is.
fn linked(text: &str) -> String {
    /// Letters of an address that are shown.
    const MOST_SHOWN: usize = 90;
    if !is_web(text) {
        return escaped(text).into_owned();
    }
    let mut shown: String = text.chars().take(MOST_SHOWN).collect();
    if shown.len() < text.len() {
        shown.push('…');
    }
    format!("<a href=\"{}\">{}</a>", escaped(text), escaped(&shown))
}

fn css(style: Style) -> String {
    format!(
        "font:{};color:{}",
        font(style, style.size * PIXELS, "px"),
        colour(style.ink)
    )
    .replace("px ", "px/1.45 ")
}

/// An element about a text; what differs from how it begins says so.
fn element(out: &mut String, name: &str, text: &Text, more: &str) {
    let style = text.pieces.first().map_or(Style::BODY, |(_, style)| *style);
    let _ = write!(out, "<{name} style=\"{}{more}\">", css(style));
    for (piece, its) in &text.pieces {
        match *its == style {
            true => out.push_str(&escaped(piece)),
            false => {
                let _ = write!(out, "<span style=\"{}\">{}</span>", css(*its), escaped(piece));
            }
        }
    }
    let _ = writeln!(out, "</{name}>");
}

fn block(out: &mut String, flow: &Flow) {
    match flow {
        Flow::Heading { level, text } => element(out, &format!("h{}", level.clamp(&1, &6)), text, ""),
        Flow::Paragraph(text) => element(out, "p", text, ""),
        Flow::Link { text, to } => {
            let _ = write!(out, "<a href=\"{}\">", escaped(to));
            element(out, "p", text, "");
            out.push_str("</a>\n");
        }
        Flow::Space(height) => {
            let _ = writeln!(out, "<div style=\"height:{}px\"></div>", height * PIXELS);
        }
        Flow::Rule { width, ink } => {
            let _ = writeln!(
                out,
                "<hr style=\"border-top:{}px solid {}\">",
                (width * PIXELS).max(1.0),
                colour(*ink)
            );
        }
        Flow::Table(table) => of_table(out, table),
        Flow::Drawing(drawing) => of_drawing(out, drawing),
        Flow::Columns(columns) => {
            out.push_str("<div class=\"columns\">\n");
            for (share, flows) in columns {
                let _ = writeln!(out, "<div style=\"flex-grow:{share}\">");
                flows.iter().for_each(|flow| block(out, flow));
                out.push_str("</div>\n");
            }
            out.push_str("</div>\n");
        }
        Flow::Together(flows) => flows.iter().for_each(|flow| block(out, flow)),
    }
}

fn of_drawing(out: &mut String, drawing: &Drawing) {
    let _ = writeln!(
        out,
        "<div style=\"max-width:{}px\">{}</div>",
        drawing.width * PIXELS,
        drawing.svg()
    );
}

fn of_table(out: &mut String, table: &Table) {
    let row = |out: &mut String, cell: &str, cells: &[Text]| {
        out.push_str("<tr>\n");
        for (column, text) in cells.iter().enumerate() {
            let stands = match table.align_of(column) {
                Anchor::Start => ";text-align:left",
                Anchor::Middle => ";text-align:center",
                Anchor::End => ";text-align:right",
            };
            element(out, cell, text, stands);
        }
        out.push_str("</tr>\n");
    };
    out.push_str(match table.bare {
        true => "<div class=\"wide\"><table>\n",
        false => "<div class=\"wide\"><table class=\"ruled\">\n",
    });
    if !table.head.is_empty() {
        row(out, "th", &table.head);
    }
    for cells in &table.rows {
        row(out, "td", cells);
    }
    out.push_str("</table></div>\n");
}

#[cfg(test)]
mod tests;
