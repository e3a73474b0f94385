//! Text set to the width of the terminal.

use std::ffi::OsStr;
use std::io::IsTerminal;

use advice::view::text::Run;
use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table, Width, presets};

/// Narrowest and widest that text is set, columns: beyond that lines are hard to follow.
const NARROWEST: usize = 40;
const WIDEST: usize = 110;

/// Text that grows line by line.
pub struct Page {
    text: String,
    width: usize,
    emphasis: bool,
    unfolded: bool,
}

impl Page {
    /// An empty page for standard output.
    pub fn new() -> Self {
        let emphasis = emphasis(std::io::stdout().is_terminal(), std::env::var_os("NO_COLOR").as_deref());
        let told = std::env::var("COLUMNS").ok().and_then(|text| text.parse().ok());
        let width = told.unwrap_or_else(textwrap::termwidth);
        Self {
            text: String::new(),
            width: width.clamp(NARROWEST, WIDEST),
            emphasis,
            unfolded: false,
        }
    }

    /// The same page, on which what is folded otherwise is told whole where that is wished.
    #[must_use]
    pub fn unfolded(self, unfolded: bool) -> Self {
        Self { unfolded, ..self }
    }

    /// Whether what is folded otherwise is told whole.
    pub fn is_unfolded(&self) -> bool {
        self.unfolded
    }

    /// What has been set.
    pub fn text(self) -> String {
        self.text
    }

    /// How many columns a line has.
    pub fn width(&self) -> usize {
        self.width
    }

    /// An empty line.
    pub fn blank(&mut self) {
        self.text.push('\n');
    }

    /// A heading, with space above it unless it opens the page.
    pub fn heading(&mut self, text: &str) {
        if !self.text.is_empty() {
            self.blank();
        }
        let text = self.strong(text);
        self.line(&text);
    }

    /// A line that is not broken, as an address that is copied.
    pub fn whole(&mut self, text: &str) {
        self.text.push_str(text);
        self.text.push('\n');
    }

    /// A paragraph.
    pub fn line(&mut self, text: &str) {
        self.hanging(text, "", "");
    }

    /// Runs of text as a paragraph.
    pub fn runs(&mut self, before: &str, runs: &[Run], indent: &str) {
        let text: String = runs
            .iter()
            .map(|r| if r.strong { self.strong(&r.text) } else { r.text.clone() })
            .collect();
        self.hanging(
            &format!("{before}{text}"),
            indent,
            &format!("{indent}{}", if before.is_empty() { "" } else { "  " }),
        );
    }

    /// A paragraph with an indent for its first line and one for the others.
    pub fn hanging(&mut self, text: &str, first: &str, others: &str) {
        let options = textwrap::Options::new(self.width)
            .initial_indent(first)
            .subsequent_indent(others);
        self.text.push_str(&textwrap::fill(text, options));
        self.blank();
    }

    /// A table; columns whose number is in `right` hold numbers: they are set to the right and keep to one line.
    pub fn table(&mut self, headings: &[&str], rows: Vec<Vec<String>>, right: &[usize]) {
        let arranged = self.arranged(headings, &rows, right);
        for line in arranged.lines() {
            self.text.push_str(line.trim_end());
            self.blank();
        }
    }

    /// A table of numbers, with a note in words under each row.
    pub fn noted_table(&mut self, headings: &[&str], rows: Vec<(Vec<String>, String)>, right: &[usize]) {
        let (cells, notes): (Vec<_>, Vec<_>) = rows.into_iter().unzip();
        let first = cells
            .iter()
            .filter_map(|row| row.first())
            .map(|cell| cell.chars().count())
            .max()
            .unwrap_or(0);
        let indent = " ".repeat(first.min(10) + 3);
        let mut arranged = self.arranged(headings, &cells, right);
        arranged.set_content_arrangement(ContentArrangement::Disabled);
        let notes = std::iter::once(String::new()).chain(notes);
        for (line, note) in arranged.lines().zip(notes) {
            self.text.push_str(line.trim_end());
            self.blank();
            if !note.is_empty() {
                self.hanging(&note, &indent, &indent);
            }
        }
    }

    fn arranged(&self, headings: &[&str], rows: &[Vec<String>], right: &[usize]) -> Table {
        let mut table = Table::new();
        table.load_style(presets::NOTHING);
        table.set_content_arrangement(ContentArrangement::Dynamic);
        // One column of padding stands at either end; the last is cut off.
        table.set_width(u16::try_from(self.width + 1).unwrap_or(u16::MAX));
        table.set_header(headings.iter().map(|h| h.to_string()));
        for row in rows {
            table.add_row(row);
        }
        for &number in right {
            let words = headings.get(number).into_iter().flat_map(|h| h.split(' '));
            let cells = rows.iter().filter_map(|row| row.get(number)).map(String::as_str);
            let least = words.chain(cells).map(|text| text.chars().count()).max().unwrap_or(0);
            if let Some(column) = table.column_mut(number) {
                column.set_cell_alignment(CellAlignment::Right);
                let least = u16::try_from(least + 2).unwrap_or(u16::MAX);
                column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(least)));
            }
        }
        table
    }

    fn strong(&self, text: &str) -> String {
        if self.emphasis {
            format!("\u{1b}[1m{text}\u{1b}[0m")
        } else {
            text.to_string()
        }
    }
}

/// Whether text may be emphasised: on a terminal, unless `NO_COLOR` is set to anything.
fn emphasis(terminal: bool, no_color: Option<&OsStr>) -> bool {
    terminal && no_color.is_none_or(OsStr::is_empty)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn emphasis_is_for_terminals_whose_reader_wants_it() {
        assert!(emphasis(true, None));
        assert!(emphasis(true, Some(OsStr::new(""))));
        assert!(!emphasis(true, Some(OsStr::new("1"))));
        assert!(!emphasis(false, None));
    }

    #[test]
    fn strong_runs_do_not_count_in_the_width() {
        let mut page = Page {
            text: String::new(),
            width: 40,
            emphasis: true,
            unfolded: false,
        };
        let run = |text: &str, strong| Run {
            text: text.into(),
            strong,
            em: false,
        };
        page.runs(
            "",
            &[
                run("One disc of ", false),
                run("15 mm", true),
                run(" holds what was asked for", false),
            ],
            "",
        );
        assert_eq!(
            page.text(),
            "One disc of \u{1b}[1m15 mm\u{1b}[0m holds what was asked\nfor\n"
        );
    }

    #[test]
    fn notes_stand_under_their_rows() {
        let mut page = Page {
            text: String::new(),
            width: 40,
            emphasis: false,
            unfolded: false,
        };
        let row = |code: &str, value: &str, note: &str| (vec![code.to_string(), value.to_string()], note.to_string());
        page.noted_table(
            &["code", "value"],
            vec![row("a-1", "5 N", "one disc"), row("b", "10 N", "")],
            &[1],
        );
        assert_eq!(
            page.text(),
            " code  value\n a-1     5 N\n      one disc\n b      10 N\n"
        );
    }
}
