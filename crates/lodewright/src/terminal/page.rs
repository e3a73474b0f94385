//! Text set to the width of the terminal.

use std::io::IsTerminal;

use advice::view::text::Run;
use comfy_table::{CellAlignment, ContentArrangement, Table, presets};

/// Widest that text is set, columns: beyond it lines are hard to follow.
const WIDEST: usize = 100;

/// Text that grows line by line.
pub struct Page {
    text: String,
    width: usize,
    emphasis: bool,
}

impl Page {
    /// An empty page for standard output.
    pub fn new() -> Self {
        let emphasis = std::io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none();
        let mut page = Self { text: String::new(), width: textwrap::termwidth().min(WIDEST), emphasis };
        page.blank();
        page
    }

    /// What has been set.
    pub fn text(self) -> String {
        self.text
    }

    /// An empty line.
    pub fn blank(&mut self) {
        self.text.push('\n');
    }

    /// A heading with space above it.
    pub fn heading(&mut self, text: &str) {
        if self.text.trim().is_empty() {
            self.text.clear();
        }
        self.blank();
        let text = self.strong(text);
        self.text.push_str(&text);
        self.blank();
    }

    /// A paragraph.
    pub fn line(&mut self, text: &str) {
        self.hanging(text, "", "");
    }

    /// Runs of text as a paragraph.
    pub fn runs(&mut self, before: &str, runs: &[Run], indent: &str) {
        let text: String = runs.iter().map(|r| if r.strong { self.strong(&r.text) } else { r.text.clone() }).collect();
        self.hanging(&format!("{before}{text}"), indent, &format!("{indent}{}", if before.is_empty() { "" } else { "  " }));
    }

    /// A paragraph with an indent for its first line and one for the others.
    pub fn hanging(&mut self, text: &str, first: &str, others: &str) {
        let options = textwrap::Options::new(self.width).initial_indent(first).subsequent_indent(others);
        self.text.push_str(&textwrap::fill(text, options));
        self.blank();
    }

    /// A table; columns whose number is in `right` are set to the right.
    pub fn table(&mut self, headings: &[&str], rows: Vec<Vec<String>>, right: &[usize]) {
        let mut table = Table::new();
        table.load_style(presets::NOTHING);
        table.set_content_arrangement(ContentArrangement::Dynamic);
        table.set_width(u16::try_from(self.width.max(60) + 12).unwrap_or(u16::MAX));
        table.set_header(headings.iter().map(|h| h.to_string()));
        for row in rows {
            table.add_row(row);
        }
        for &column in right {
            if let Some(column) = table.column_mut(column) {
                column.set_cell_alignment(CellAlignment::Right);
            }
        }
        for line in table.lines() {
            self.text.push_str(line.trim_end());
            self.blank();
        }
    }

    fn strong(&self, text: &str) -> String {
        if self.emphasis { format!("\u{1b}[1m{text}\u{1b}[0m") } else { text.to_string() }
    }
}
