//! The shelf on the command line.

mod bring;

use std::io::Write;
use std::path::Path;

use advice::detail::at_face;
use advice::view::{goods, item, part};
use quantity::Units;
use shop::import;
use shop::{Settings, Shop, Undone};

use super::deed::note;
use super::line::{Line, ShelfCommand};
use super::{Outcome, done, show, text_of};
use crate::desk::Desk;
use crate::problem::{Kind, Problem};
use crate::terminal;

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
            show(line, &lines, |page| {
                terminal::items(page, &lines);
                terminal::unread(page, &shelf.unread);
            })?;
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
        ShelfCommand::Goods { search } => {
            let reader = desk.shelf()?.reader(units);
            let found = desk.shop.search_goods(&search.join(" "))?;
            let lines: Vec<_> = found.iter().map(|g| goods::line(g, &reader)).collect();
            show(line, &lines, |page| terminal::goods(page, &lines))?;
            Ok(if lines.is_empty() {
                Outcome::Nothing
            } else {
                Outcome::Done
            })
        }
        ShelfCommand::Import { .. } => bring::import(line, desk, command, units),
        ShelfCommand::Put { cells, confirm } => bring::put(line, desk, cells, *confirm, units),
        ShelfCommand::Remove { code } => {
            let revision = import::take_off(&desk.shop, code)?;
            note(&desk.shop, format!("remove {code}; revision {revision}"));
            done(
                line,
                &format!(
                    "{code} is off the shelf, which is at revision {revision}; `lodewright shelf undo` brings it back."
                ),
            )
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
            let Undone { revision, what } = desk.shop.undo()?;
            note(&desk.shop, format!("undo {what}; revision {revision}"));
            done(
                line,
                &format!("The last change, {what}, is taken back; the shelf is at revision {revision}."),
            )
        }
        ShelfCommand::Redo => {
            let Undone { revision, what } = desk.shop.redo()?;
            note(&desk.shop, format!("redo {what}; revision {revision}"));
            done(
                line,
                &format!("The change {what} is done again; the shelf is at revision {revision}."),
            )
        }
        ShelfCommand::Check => {
            let faults = desk.check()?;
            show(line, &faults, |page| terminal::faults(page, &faults))?;
            Ok(if faults.is_empty() {
                Outcome::Done
            } else {
                Outcome::Nothing
            })
        }
        // A restore is done before the shop is opened, which may be what is broken; a table has a module of its own.
        ShelfCommand::Restore { .. } | ShelfCommand::Sheet(_) => Ok(Outcome::Done),
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
            note(&desk.shop, format!("grades of {}; revision {revision}", file.display()));
            done(
                line,
                &format!("The shop's own grades are taken; the shelf is at revision {revision}."),
            )
        }
        ShelfCommand::Settings {
            name,
            currency,
            show: shown,
            confirm,
            head,
            policy,
        } => {
            let before = desk.shop.settings()?;
            let currency = match currency {
                Some(code) => code.parse().map_err(|e: quantity::CurrencyError| {
                    Problem::new(Kind::Asked, "the currency", e.to_string())
                        .hint("a code of three letters, such as EUR")
                })?,
                None => before.currency,
            };
            let after = policy.over(Settings {
                name: name.clone().unwrap_or_else(|| before.name.clone()),
                currency,
                units: shown.unwrap_or(before.units),
                letterhead: head.over(before.letterhead.clone()),
                ..before.clone()
            });
            if after.currency != before.currency && !confirm {
                confirm_currency(desk, &before, &after)?;
            }
            desk.check_released(&before, &after)?;
            let changed = changed(&before, &after);
            let revision = desk.shop.set_settings(&after)?;
            if !changed.is_empty() {
                note(
                    &desk.shop,
                    format!("settings {}; revision {revision}", changed.join(", ")),
                );
            }
            show(line, &after, |page| terminal::settings(page, &after))
        }
    }
}

/// The names of the settings that differ.
fn changed(before: &Settings, after: &Settings) -> Vec<String> {
    let fields = |settings| match serde_json::to_value(settings) {
        Ok(serde_json::Value::Object(fields)) => fields,
        _ => serde_json::Map::new(),
    };
    let before = fields(before);
    let after = fields(after).into_iter();
    after
        .filter(|(name, value)| before.get(name) != Some(value))
        .map(|(name, _)| name)
        .collect()
}

/// Puts a backup in the place of the shop.
pub(super) fn restore(line: &Line, file: &Path) -> Result<Outcome, Problem> {
    if line.demo {
        return Err(Problem::new(
            Kind::Asked,
            "the demo shop",
            "it is in memory and takes no backup",
        ));
    }
    let restored = shop::restore(&line.shop, file).map_err(|e| Problem::from(e).of_file(Some(&line.shop)))?;
    match Shop::open(&line.shop) {
        Ok(shop) => note(
            &shop,
            format!("restore {}; revision {}", file.display(), restored.revision),
        ),
        Err(problem) => tracing::warn!(%problem, "who did what is not noted"),
    }
    let kept = restored.kept.map_or_else(String::new, |kept| {
        format!(" What was there before is kept in {}.", kept.display())
    });
    done(
        line,
        &format!(
            "{} is in the place of {}; the shelf is at revision {}.{kept}",
            file.display(),
            line.shop.display(),
            restored.revision
        ),
    )
}

/// Prices keep their numbers in another currency: that is to be wanted.
fn confirm_currency(desk: &Desk, before: &Settings, after: &Settings) -> Result<(), Problem> {
    let shelf = desk.shelf()?;
    let priced = shelf
        .items
        .iter()
        .map(|i| &i.prices)
        .chain(shelf.parts.iter().map(|p| &p.prices))
        .chain(shelf.goods.iter().map(|g| &g.prices));
    let count = priced.filter(|prices| !prices.is_empty()).count();
    if count == 0 {
        return Ok(());
    }
    let (old, new) = (before.currency.code(), after.currency.code());
    let detail = format!("{count} lines of the shelf have prices in {old}; their numbers would stay and mean {new}");
    Err(Problem::new(Kind::Conflict, "to be confirmed", detail)
        .hint("add --confirm if that is wanted, or import a list with the new prices after it"))
}

/// Makes a folder where there is none.
pub(super) fn folder(folder: &Path) -> Result<(), Problem> {
    std::fs::create_dir_all(folder).map_err(|e| {
        let detail = format!("cannot make {}: {e}", folder.display());
        Problem::new(Kind::Internal, "the folder", detail).hint("choose a place that may be written to")
    })
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
