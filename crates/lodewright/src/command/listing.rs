//! The table of a whole shelf on the command line, with its progress.

use std::io::{IsTerminal, Write};
use std::ops::ControlFlow;
use std::path::Path;

use quantity::Units;
use sheets::shelf::Places;
use sheets::shelf::files::{csv, json, xlsx};

use super::line::{Line, ListingArgs};
use super::{Outcome, done, shelf};
use crate::desk::Desk;
use crate::listing::part_of;
use crate::printing::Form;
use crate::problem::{Kind, Problem};

/// Writes the table that the line asks for, and the sheets of the items where they are wanted.
///
/// # Errors
/// Whatever keeps it from being worked out or written.
pub fn run(line: &Line, desk: &Desk, args: &ListingArgs, units: &Units) -> Result<Outcome, Problem> {
    let file = args.file.as_path();
    let kind = file.extension().map(|e| e.to_string_lossy().to_lowercase());
    let write = match kind.as_deref() {
        Some("xlsx") => xlsx,
        Some("csv") => csv,
        Some("json") => json,
        _ => {
            let detail = format!("{} is neither .xlsx, .csv nor .json", file.display());
            return Err(Problem::new(Kind::Asked, "the file", detail).hint("name a file such as shelf.xlsx"));
        }
    };
    if file.exists() && !args.overwrite {
        let detail = format!("{} is there already", file.display());
        return Err(Problem::new(Kind::Asked, "the file", detail).hint("add --overwrite to replace it"));
    }
    let usual = Places::default();
    let or = |given: &[quantity::Length], usual: Vec<f64>| match given {
        [] => usual,
        given => given.iter().map(|length| length.0).collect(),
    };
    let places = Places {
        distances: or(&args.at, usual.distances),
        plates: match args.plate.as_slice() {
            [] => usual.plates,
            // A plate of 0 mm would hold nothing: it stands for a thick one.
            plates => plates.iter().map(|t| Some(t.0).filter(|t| *t > 0.0)).collect(),
        },
        gaps: or(&args.gap, usual.gaps),
    };
    let part = part_of(file);
    let mut said = Said::new();
    let table = desk.listing(&part, &places, units, |now, all| {
        said.progress(now, all);
        ControlFlow::Continue(())
    })?;
    said.end();
    let Some(table) = table else {
        return Ok(Outcome::Nothing);
    };
    let bytes =
        write(&table.headings, &table.rows).map_err(|e| Problem::new(Kind::Internal, "the table", e.to_string()))?;
    shelf::write_whole(file, &bytes, args.overwrite)?;
    if let Some(folder) = &args.sheets {
        papers(desk, folder, units)?;
    }
    // It has served.
    let _ = std::fs::remove_file(&part);
    let before = match table.taken_up {
        0 => String::new(),
        n => format!(" {n} of them stood there from before."),
    };
    done(
        line,
        &format!("{} has {} items.{before}", file.display(), table.rows.len()),
    )
}

/// A sheet of every item as PDF and as HTML; those that are there from before are left.
fn papers(desk: &Desk, folder: &Path, units: &Units) -> Result<(), Problem> {
    shelf::folder(folder)?;
    let shelf = desk.shelf()?;
    let mut said = Said::new();
    for (at, item) in shelf.items.iter().enumerate() {
        let name = file_name(&item.code, at);
        let files = [Form::Html, Form::Pdf].map(|form| (form, folder.join(format!("{name}.{}", form.end()))));
        // The PDF is written last, so that both are there where it is.
        if files.iter().any(|(_, file)| !file.exists()) {
            let document = desk.item_paper(&item.code, None, units)?;
            for (form, file) in files {
                shelf::write_whole(&file, &form.written(&document)?, true)?;
            }
        }
        said.progress(at + 1, shelf.items.len());
    }
    said.end();
    Ok(())
}

/// A code as the name of a file: what a file system may not take becomes a hyphen, and its place makes it one of its kind.
fn file_name(code: &str, place: usize) -> String {
    let plain: String = code
        .chars()
        .take(80)
        .map(|c| {
            if c.is_ascii_alphanumeric() || "-_".contains(c) {
                c
            } else {
                '-'
            }
        })
        .collect();
    if plain == code {
        plain
    } else {
        format!("{plain}-{place}")
    }
}

/// Progress on a terminal, in one line.
struct Said {
    shown: bool,
}

impl Said {
    fn new() -> Self {
        Self {
            shown: std::io::stderr().is_terminal(),
        }
    }

    fn progress(&mut self, now: usize, all: usize) {
        if self.shown {
            let _ = write!(std::io::stderr(), "\r{now} of {all}");
        }
    }

    fn end(&mut self) {
        if self.shown {
            let _ = writeln!(std::io::stderr());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_files_are_plain_and_one_of_their_kind() {
        assert_eq!(file_name("14-07", 3), "14-07");
        assert_eq!(file_name("a/b", 3), "a-b-3");
        assert_ne!(file_name("a/b", 3), file_name("a:b", 4));
        assert_eq!(file_name("..", 5), "---5");
    }
}
