//! The error of every reader in this crate: what was wrong, where, and what would be right.

use std::ops::Range;

/// Text that could not be read, with the place and a way out.
///
/// `Display` prints the message alone; [`ParseError::caret`] shows the place under the text.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct ParseError {
    /// Byte offsets into the text that was given; empty when something is missing there.
    pub span: Range<usize>,
    /// What was wrong: starts in lower case, no full stop.
    pub message: String,
    /// What would be right, when that can be said.
    pub hint: Option<String>,
}

impl ParseError {
    pub(crate) fn new(span: Range<usize>, message: impl Into<String>) -> Self {
        Self {
            span,
            message: message.into(),
            hint: None,
        }
    }

    pub(crate) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// The same error in a text that has `by` more bytes in front.
    pub(crate) fn shifted(mut self, by: usize) -> Self {
        self.span = self.span.start + by..self.span.end + by;
        self
    }

    /// The line of `text` that holds the start of the span, with `^` under the span.
    ///
    /// `text` is the text that was parsed; with any other text the marks stay inside it. An empty
    /// span gets one `^`.
    ///
    /// ```
    /// let error = quantity::parse::<quantity::Length>("6 kg").unwrap_err();
    /// assert_eq!(error.caret("6 kg"), "6 kg\n  ^^");
    /// ```
    pub fn caret(&self, text: &str) -> String {
        let start = floor_boundary(text, self.span.start);
        let end = floor_boundary(text, self.span.end).max(start);
        let line_start = text[..start].rfind('\n').map_or(0, |at| at + 1);
        let line_end = text[start..].find('\n').map_or(text.len(), |at| start + at);
        let line: String = text[line_start..line_end]
            .chars()
            .map(|c| if c.is_control() { ' ' } else { c })
            .collect();
        let before = text[line_start..start].chars().count();
        let under = text[start..end.min(line_end)].chars().count().max(1);
        format!("{line}\n{}{}", " ".repeat(before), "^".repeat(under))
    }

    /// Message and hint on one line, for places that have room for one string only.
    pub fn one_line(&self) -> String {
        match &self.hint {
            Some(hint) => format!("{} ({hint})", self.message),
            None => self.message.clone(),
        }
    }
}

/// The last character boundary of `text` at or before `at`.
fn floor_boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// `word` as it may be repeated inside a message: short, on one line.
pub(crate) fn excerpt(word: &str) -> String {
    const LONGEST: usize = 24;
    let mut shown: String = word
        .chars()
        .take(LONGEST)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if word.chars().nth(LONGEST).is_some() {
        shown.push('…');
    }
    shown
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn caret(span: Range<usize>, text: &str) -> String {
        ParseError::new(span, "").caret(text)
    }

    #[test]
    fn marks_the_place() {
        assert_eq!(caret(2..4, "6 kg"), "6 kg\n  ^^");
        assert_eq!(caret(1..1, "6"), "6\n ^");
        assert_eq!(caret(0..0, ""), "\n^");
        assert_eq!(caret(3..5, "½ µm"), "½ µm\n  ^");
        assert_eq!(caret(9..14, "first\n6\tkg\u{7}s"), "6 kg s\n   ^^^");
        assert_eq!(caret(2..9, "6 kg\nlast"), "6 kg\n  ^^");
    }

    #[test]
    fn one_line_holds_message_and_hint() {
        let error = ParseError::new(0..1, "the unit is missing");
        assert_eq!(error.one_line(), "the unit is missing");
        assert_eq!(error.hint("use mm").one_line(), "the unit is missing (use mm)");
    }

    #[test]
    fn long_words_are_cut_in_messages() {
        assert_eq!(excerpt(&"x".repeat(24)), "x".repeat(24));
        assert_eq!(excerpt(&"é".repeat(25)), "é".repeat(24) + "…");
        assert_eq!(excerpt("a\nb"), "a b");
    }

    proptest! {
        #[test]
        fn any_span_in_any_text_can_be_marked(start: usize, end: usize, near in 0..9usize, text: String) {
            prop_assert!(caret(start..end, &text).contains('^'));
            prop_assert!(caret(near..near + 2, &text).contains('^'));
        }
    }
}
