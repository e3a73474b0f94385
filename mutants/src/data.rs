//! What could be changed in a data file: a number, a yes or no, a rating, a word, a row left out.

use std::ops::Range;

use crate::mutant::{Edit, Keys, Mutant, Piece};

/// Keys whose text is read by people only as a remark on where a value is from.
const REMARKS: [&str; 1] = ["source"];

/// All the mutants of a TOML file.
pub fn look(file: &str, text: &str) -> Vec<Mutant> {
    let mut keys = Keys::default();
    let mut found: Vec<Mutant> = Vec::new();
    let (mut row, mut key) = (String::new(), String::new());
    let mut start = 0;
    for (number, line) in text.split_inclusive('\n').enumerate() {
        let mut add = |place: &str, change: &str, range: Range<usize>, instead: String| {
            found.push(Mutant {
                key: keys.next(file, place, change),
                line: number + 1,
                edits: vec![Edit {
                    file: file.to_owned(),
                    range,
                    changed: vec![Piece::Text(instead)],
                }],
            });
        };
        if line.starts_with('[') {
            row = line.trim().to_owned();
            key.clear();
            if line.starts_with("[[") {
                let name = first_text(&text[start..]);
                row = format!("{row} {name}");
                add(
                    &row,
                    "row left out",
                    start..end_of_row(text, start + line.len()),
                    String::new(),
                );
            }
        } else {
            let bare = |text: &str| text.chars().all(|c| c.is_ascii_alphanumeric() || c == '_' || c == '-');
            if let Some((name, _)) = line.split_once('=')
                && !line.starts_with(' ')
                && bare(name.trim())
            {
                key = name.trim().to_owned();
            }
            for (range, value) in values(line) {
                let place = format!("{row} {key}");
                let at = start + range.start..start + range.end;
                match value {
                    _ if REMARKS.contains(&key.as_str()) => {}
                    Value::Number if value_of(&line[range.clone()]) == 0.0 => {
                        add(&place, "0 to 1", at, one(&line[range]))
                    }
                    Value::Number => {
                        let was = &line[range];
                        add(&place, &format!("{was} a third more"), at, third_more(was));
                    }
                    Value::Flag(now) => add(&place, "yes to no", at, now.to_owned()),
                    Value::Text => {
                        let was = &line[range];
                        let now = match was {
                            "\"good\"" => "\"poor\"",
                            "\"poor\"" => "\"good\"",
                            "\"harm\"" | "\"damage\"" => "\"note\"",
                            _ => "\"qqq\"",
                        };
                        let short: String = was.chars().take(24).collect();
                        add(&place, &format!("{short} to {now}"), at, now.to_owned());
                    }
                }
            }
        }
        start += line.len();
    }
    found
}

/// The first text after a heading, which names its row.
fn first_text(text: &str) -> &str {
    text.lines()
        .nth(1)
        .map_or("", |line| line.split('"').nth(1).unwrap_or(""))
}

/// Where the row ends that begins with the heading before `from`.
fn end_of_row(text: &str, from: usize) -> usize {
    text[from..].find("\n[").map_or(text.len(), |at| from + at + 1)
}

enum Value {
    Number,
    Flag(&'static str),
    Text,
}

/// The values that stand in a line, outside of comments and names.
fn values(line: &str) -> Vec<(Range<usize>, Value)> {
    let mut found = Vec::new();
    let bytes = line.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        match bytes[at] {
            b'#' => break,
            b'"' => {
                let mut end = at + 1;
                while end < bytes.len() && bytes[end] != b'"' {
                    end += if bytes[end] == b'\\' { 2 } else { 1 };
                }
                end = (end + 1).min(bytes.len());
                if !line[end..].trim_start().starts_with('=') {
                    found.push((at..end, Value::Text));
                }
                at = end;
            }
            b'\'' => at += line[at + 1..].find('\'').map_or(line.len(), |n| n + 2),
            c if c.is_ascii_alphanumeric() || c == b'-' || c == b'+' => {
                let end = at
                    + line[at..]
                        .find(|c: char| !(c.is_ascii_alphanumeric() || "-+._".contains(c)))
                        .unwrap_or(line.len() - at);
                let word = &line[at..end];
                if word == "true" {
                    found.push((at..end, Value::Flag("false")));
                } else if word == "false" {
                    found.push((at..end, Value::Flag("true")));
                } else if value_of(word).is_finite() && !line[end..].trim_start().starts_with('=') {
                    found.push((at..end, Value::Number));
                }
                at = end.max(at + 1);
            }
            _ => at += 1,
        }
    }
    found
}

fn value_of(word: &str) -> f64 {
    word.replace('_', "").parse().unwrap_or(f64::NAN)
}

fn is_float(word: &str) -> bool {
    word.contains(['.', 'e', 'E'])
}

fn one(word: &str) -> String {
    if is_float(word) { "1.0" } else { "1" }.to_owned()
}

fn third_more(word: &str) -> String {
    let value = value_of(word);
    if is_float(word) {
        format!("{:e}", value * 1.34)
    } else {
        format!("{}", (value * 1.34).round() + f64::from(value.abs() < 2.0))
    }
}
