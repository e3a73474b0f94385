//! The shelf on the command line.

use std::io::Write;
use std::path::Path;

use advice::detail::at_face;
use advice::view::{item, part};
use quantity::Units;
use shop::Settings;
use shop::import::{self, Options, ReadOptions};

use super::line::{Line, ShelfCommand};
use super::{Outcome, done, not_read, print, show, text_of};
use crate::desk::Desk;
use crate::problem::{Kind, Problem};
use crate::terminal::{self, Page};

/// Does what the line asks of the shelf.
///
/// # Errors
/// Whatever keeps it from being done.
pub fn run(line: &Line, desk: &Desk, command: &ShelfCommand, units: &Units) -> Result<Outcome, Problem> {
    match command {
        ShelfCommand::List { search } => {
            let shelf = desk.shelf()?;
            let reader = shelf.reader(units);
            let items = desk.shop.search(&search.join(" "))?;
            let lines: Vec<_> = items
                .iter()
                .map(|i| item::line(i, at_face(i, &shelf.catalogue), &reader))
                .collect();
            show(line, &lines, |page| terminal::items(page, &lines))?;
            Ok(if lines.is_empty() {
                Outcome::Nothing
            } else {
                Outcome::Done
            })
        }
        ShelfCommand::Parts { search } => {
            let reader = desk.shelf()?.reader(units);
            let parts = desk.shop.search_parts(&search.join(" "))?;
            let lines: Vec<_> = parts.iter().map(|p| part::line(p, &reader)).collect();
            show(line, &lines, |page| terminal::parts(page, &lines))?;
            Ok(if lines.is_empty() {
                Outcome::Nothing
            } else {
                Outcome::Done
            })
        }
        ShelfCommand::Import {
            file,
            preview,
            retire_missing,
            unit,
            sheet,
            encoding,
        } => {
            let bytes = std::fs::read(file).map_err(|e| not_read(file, &e))?;
            let name = file
                .file_name()
                .map_or_else(String::new, |n| n.to_string_lossy().into_owned());
            let read = ReadOptions {
                length_unit: unit.clone(),
                sheet: sheet.clone(),
                encoding: encoding.clone(),
                ..ReadOptions::default()
            };
            let table = import::read(&bytes, &name, &read)?;
            let columns = import::recognise(&table);
            let options = Options {
                retire_missing: *retire_missing,
                revision: None,
                units: *units,
            };
            if *preview {
                let seen = import::preview(&desk.shop, &table, &columns, &options)?;
                show(line, &seen, |page| terminal::preview(page, &seen))?;
                return Ok(if seen.may_import {
                    Outcome::Done
                } else {
                    Outcome::Nothing
                });
            }
            match import::apply(&desk.shop, &table, &columns, &options) {
                Ok(done) => show(line, &done, |page| terminal::imported(page, &done)),
                Err(import::ApplyError::Refused(seen)) if !line.json => {
                    let mut page = Page::new();
                    terminal::preview(&mut page, &seen);
                    print(&page.text());
                    // The page has told them line by line.
                    let mut problem = Problem::refused(*seen);
                    problem.more.problems.clear();
                    Err(problem)
                }
                Err(error) => Err(error.into()),
            }
        }
        ShelfCommand::Export { file, overwrite } => {
            let kind = file.extension().map(|e| e.to_string_lossy().to_lowercase());
            let bytes = match kind.as_deref() {
                Some("csv") => shop::export::csv(&desk.shop)?,
                Some("xlsx") => shop::export::xlsx(&desk.shop)?,
                _ => {
                    let detail = format!("{} ends in neither .csv nor .xlsx", file.display());
                    return Err(
                        Problem::new(Kind::Asked, "no such format", detail).hint("such as shelf.csv or shelf.xlsx")
                    );
                }
            };
            write_whole(file, &bytes, *overwrite)?;
            done(line, &format!("The shelf is in {}.", file.display()))
        }
        ShelfCommand::Undo => {
            let revision = desk.shop.undo_last_import()?;
            done(
                line,
                &format!("The last import is taken back; the shelf is at revision {revision}."),
            )
        }
        ShelfCommand::Backup { file, overwrite } => {
            desk.shop.backup(file, *overwrite)?;
            done(line, &format!("The shop is copied to {}.", file.display()))
        }
        ShelfCommand::Grades { import: None } => {
            let shelf = desk.shelf()?;
            let rows = shelf.catalogue.grades.rows();
            show(line, &rows, |page| terminal::grades(page, rows, units))
        }
        ShelfCommand::Grades { import: Some(file) } => {
            let revision = desk.shop.set_own_grades(&text_of(file)?)?;
            done(
                line,
                &format!("The shop's own grades are taken; the shelf is at revision {revision}."),
            )
        }
        ShelfCommand::Settings {
            name,
            currency,
            show: shown,
        } => {
            let before = desk.shop.settings()?;
            let currency = match currency {
                Some(code) => code.parse().map_err(|e: quantity::CurrencyError| {
                    Problem::new(Kind::Asked, "the currency", e.to_string())
                        .hint("a code of three letters, such as EUR")
                })?,
                None => before.currency,
            };
            let after = Settings {
                name: name.clone().unwrap_or_else(|| before.name.clone()),
                currency,
                units: shown.unwrap_or(before.units),
                ..before.clone()
            };
            if after != before {
                desk.shop.set_settings(&after)?;
            }
            show(line, &after, |page| {
                page.line(&format!(
                    "{}: prices in {}, shown in {}.",
                    after.name,
                    after.currency.code(),
                    String::from(after.units)
                ));
            })
        }
    }
}

/// Writes a file all at once: whatever fails, the file is as it was before.
pub(super) fn write_whole(file: &Path, bytes: &[u8], overwrite: bool) -> Result<(), Problem> {
    let failed = |e: std::io::Error| {
        Problem::new(
            Kind::Internal,
            "the file",
            format!("cannot write {}: {e}", file.display()),
        )
        .hint("choose a folder that is there and may be written to")
    };
    let folder = file
        .parent()
        .filter(|f| !f.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let mut beside = tempfile::NamedTempFile::new_in(folder).map_err(failed)?;
    beside.write_all(bytes).map_err(failed)?;
    let kept = if overwrite {
        beside.persist(file)
    } else {
        beside.persist_noclobber(file)
    };
    kept.map(drop).map_err(|e| match e.error.kind() {
        std::io::ErrorKind::AlreadyExists => Problem::new(
            Kind::Asked,
            "the file exists",
            format!("{} exists already", file.display()),
        )
        .hint("choose another name, or add --overwrite"),
        _ => failed(e.error),
    })
}
