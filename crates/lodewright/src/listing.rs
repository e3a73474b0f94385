//! The table of specifications of a whole shelf: worked out on all cores, kept as it grows, taken up again where it stopped.
//!
//! Beside the file that is wanted grows one with `.part` behind its name: a line of JSON that says what it is of, then a line for
//! each item. A table that is asked for again with the same shelf and the same columns begins with the lines that are there whole.

use std::fs::{File, OpenOptions};
use std::io::{BufWriter, Write};
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use quantity::Units;
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use sheets::shelf::{Cell, Columns, Places};

use crate::desk::{Desk, VERSION};
use crate::printing::messages;
use crate::problem::{Kind, Problem};

/// Items that are worked out before they are written down.
const AT_ONCE: usize = 64;

/// A whole table.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Its headings.
    pub headings: Vec<String>,
    /// Its rows, in the order of the shelf.
    pub rows: Vec<Vec<Cell>>,
    /// How many of them stood there already.
    pub taken_up: usize,
}

/// What a grown part is of: with anything else it is begun anew.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Head {
    version: String,
    revision: u64,
    items: usize,
    units: Units,
    places: Places,
}

/// The file that grows beside the one that is wanted.
pub fn part_of(file: &Path) -> PathBuf {
    let mut name = file.as_os_str().to_owned();
    name.push(".part");
    name.into()
}

impl Desk {
    /// Works the table out; `progress` hears how many of how many are done, and may end the work, which can be taken up later.
    /// `None` where it was ended.
    ///
    /// # Errors
    /// A database that fails, a part that cannot be read or written.
    pub fn listing(
        &self,
        part: &Path,
        places: &Places,
        units: &Units,
        mut progress: impl FnMut(usize, usize) -> ControlFlow<()>,
    ) -> Result<Option<Table>, Problem> {
        let shelf = self.shelf()?;
        let messages = messages()?;
        let columns = Columns::new(places, units, &messages);
        let head = Head {
            version: VERSION.into(),
            revision: shelf.revision,
            items: shelf.items.len(),
            units: *units,
            places: places.clone(),
        };
        let mut rows = grown(part, &head)?;
        rows.truncate(shelf.items.len());
        let taken_up = rows.len();
        let mut out = begun(part, &head, &rows)?;
        for items in shelf.items[taken_up..].chunks(AT_ONCE) {
            let more: Vec<Vec<Cell>> = items
                .par_iter()
                .map(|item| columns.row(item, &shelf.catalogue))
                .collect();
            for row in &more {
                line(&mut out, part, row)?;
            }
            out.flush().map_err(|e| unwritten(part, &e))?;
            rows.extend(more);
            if progress(rows.len(), shelf.items.len()).is_break() {
                return Ok(None);
            }
        }
        Ok(Some(Table {
            headings: columns.headings(),
            rows,
            taken_up,
        }))
    }
}

/// The rows that stand whole in a part of the same table; none where there is no such part.
fn grown(part: &Path, head: &Head) -> Result<Vec<Vec<Cell>>, Problem> {
    let bytes = match std::fs::read(part) {
        Ok(bytes) => bytes,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(e) => {
            let detail = format!("cannot read {}: {e}", part.display());
            return Err(Problem::new(Kind::Asked, "the file", detail).hint("delete it to begin anew"));
        }
    };
    // What was being written when it stopped has no end of line.
    let whole = bytes.iter().rposition(|byte| *byte == b'\n').unwrap_or(0);
    let mut lines = bytes[..whole].split(|byte| *byte == b'\n');
    let same = lines
        .next()
        .and_then(|line| serde_json::from_slice::<Head>(line).ok())
        .is_some_and(|found| found == *head);
    if !same {
        return Ok(Vec::new());
    }
    Ok(lines.map_while(|line| serde_json::from_slice(line).ok()).collect())
}

/// The part with what stands in it already, open to grow.
fn begun(part: &Path, head: &Head, rows: &[Vec<Cell>]) -> Result<BufWriter<File>, Problem> {
    let file = OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(true)
        .open(part)
        .map_err(|e| unwritten(part, &e))?;
    let mut out = BufWriter::new(file);
    line(&mut out, part, head)?;
    for row in rows {
        line(&mut out, part, row)?;
    }
    out.flush().map_err(|e| unwritten(part, &e))?;
    Ok(out)
}

fn line(out: &mut impl Write, part: &Path, value: &impl Serialize) -> Result<(), Problem> {
    let mut text = serde_json::to_vec(value)
        .map_err(|e| Problem::new(Kind::Internal, "the table", format!("a row cannot be kept: {e}")))?;
    text.push(b'\n');
    out.write_all(&text).map_err(|e| unwritten(part, &e))
}

fn unwritten(file: &Path, error: &std::io::Error) -> Problem {
    let detail = format!("cannot write {}: {error}", file.display());
    Problem::new(Kind::Internal, "the file", detail).hint("choose a folder that is there and may be written to")
}

#[cfg(test)]
mod tests;
