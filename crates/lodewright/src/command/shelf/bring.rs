//! Price lists and single items brought onto the shelf from the command line.

use quantity::Units;
use shop::import::{self, ApplyError, Choice, Filled, Map, Options, Preview, ReadOptions};

use crate::command::deed::note;
use crate::command::line::{Line, ShelfCommand};
use crate::command::{Outcome, bytes_of, print, show};
use crate::desk::Desk;
use crate::problem::{Kind, Problem};
use crate::terminal::{self, Page};

/// The largest price list, bytes.
const MOST_LIST: u64 = 64 << 20;

/// Imports a file, or shows what an import would do.
///
/// # Errors
/// Whatever keeps it from being done.
pub(super) fn import(line: &Line, desk: &Desk, command: &ShelfCommand, units: &Units) -> Result<Outcome, Problem> {
    let ShelfCommand::Import {
        file,
        preview,
        retire_missing,
        confirm,
        unit,
        sheet,
        encoding,
        map,
        forget_map,
        heading_line,
        skip_bad,
    } = command
    else {
        return Ok(Outcome::Nothing);
    };
    let bytes = bytes_of(file, MOST_LIST)?;
    let name = file
        .file_name()
        .map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    let read = ReadOptions {
        sheet: sheet.clone(),
        encoding: encoding.clone(),
        heading_line: *heading_line,
        ..ReadOptions::default()
    };
    let said = Map {
        columns: map.iter().map(|text| choice(text)).collect::<Result<_, _>>()?,
        length_unit: unit.clone().unwrap_or_default(),
        decimal: String::new(),
    };
    let mut table = import::read(&bytes, &name, &read)?;
    let (map, is_kept) = if *forget_map {
        (said, false)
    } else {
        said.or_kept(&desk.shop, &table)?
    };
    let mut columns = import::recognise(&table);
    map.over(&mut table, &mut columns)?;
    let options = Options {
        retire_missing: *retire_missing,
        revision: None,
        units: *units,
        confirmed: *confirm,
        skip_bad: *skip_bad,
        keep: Some(Map::of(&columns, &map.length_unit, &map.decimal)),
    };
    if *preview {
        let seen = Preview {
            kept: Some(map).filter(|_| is_kept),
            ..import::preview(&desk.shop, &table, &columns, &options)?
        };
        show(line, &seen, |page| terminal::preview(page, &seen))?;
        return Ok(if seen.may_import {
            Outcome::Done
        } else {
            Outcome::Nothing
        });
    }
    told(
        line,
        desk,
        &format!("import {name}"),
        import::apply(&desk.shop, &table, &columns, &options),
    )
}

/// Puts one item on the shelf.
///
/// # Errors
/// Whatever keeps it from being done.
pub(super) fn put(
    line: &Line,
    desk: &Desk,
    cells: &[String],
    confirm: bool,
    units: &Units,
) -> Result<Outcome, Problem> {
    let filled = |text: &String| {
        let (heading, text) = halves(text, "such as code=14-07 or 'size=15 x 5 mm'")?;
        Ok(Filled {
            heading: heading.to_owned(),
            text: text.to_owned(),
        })
    };
    let cells: Vec<Filled> = cells.iter().map(filled).collect::<Result<_, Problem>>()?;
    let table = import::one_line(&cells)?;
    let options = Options {
        units: *units,
        confirmed: confirm,
        ..Options::default()
    };
    let put = format!(
        "put {}",
        cells
            .iter()
            .map(|cell| cell.text.as_str())
            .collect::<Vec<_>>()
            .join(", ")
    );
    told(line, desk, &put, import::put(&desk.shop, &table, &options))
}

/// Notes and says what an import has done, or says all that keeps it from being done.
fn told(line: &Line, desk: &Desk, what: &str, done: Result<import::Outcome, ApplyError>) -> Result<Outcome, Problem> {
    let page_of = |seen: &Preview| {
        let mut page = Page::new();
        terminal::preview(&mut page, seen);
        print(&page.text())
    };
    match done {
        Ok(done) => {
            if done.new + done.changed + done.retired > 0 {
                let counts = format!("{} new, {} changed, {} taken off", done.new, done.changed, done.retired);
                note(&desk.shop, format!("{what}: {counts}; revision {}", done.revision));
            }
            show(line, &done, |page| terminal::imported(page, &done))
        }
        Err(ApplyError::Refused(seen)) if !line.json => {
            page_of(&seen)?;
            let can_skip = seen.may_skip;
            // The page has told them line by line.
            let mut problem = Problem::refused(*seen);
            problem.more.problems.clear();
            Err(if can_skip {
                problem.hint("put right what the lines say and import again; or leave them out with --skip-bad")
            } else {
                problem
            })
        }
        Err(ApplyError::Unconfirmed(seen)) if !line.json => {
            page_of(&seen)?;
            Err(Problem::unconfirmed(&seen).hint("add --confirm if that is what you want"))
        }
        Err(error) => Err(error.into()),
    }
}

/// What is said of one column: `VK1=price from 10`, `A=diameter in inch`, `EAN=nothing`.
fn choice(text: &str) -> Result<Choice, Problem> {
    let (heading, held) = halves(text, "such as 'VK1=price from 10' or 'EAN=nothing'")?;
    let (field, unit) = match held.rsplit_once(" in ") {
        Some((field, unit)) => (field, unit),
        None => (held, ""),
    };
    Ok(Choice {
        heading: heading.to_owned(),
        field: field.trim().to_owned(),
        unit: unit.trim().to_owned(),
    })
}

fn halves<'a>(text: &'a str, hint: &str) -> Result<(&'a str, &'a str), Problem> {
    text.rsplit_once('=').ok_or_else(|| {
        Problem::new(
            Kind::Asked,
            "no heading",
            format!("{text:?} has no = between heading and what it holds"),
        )
        .hint(hint)
    })
}
