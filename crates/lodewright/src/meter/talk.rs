//! One line asked, one line answered.

use std::io::{ErrorKind, Read, Write};

use quantity::{FluxDensity, Quantity, Unit};

/// The longest line that is taken for an answer, bytes.
const LONGEST: usize = 256;

/// What came of a question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Said {
    /// A line.
    Text(String),
    /// Nothing in time.
    Nothing,
    /// Nobody is there any more.
    Gone,
}

/// A connection that is read by lines.
pub struct Line<S> {
    stream: S,
    /// What came after the last line.
    rest: Vec<u8>,
    /// Whether an answer was not waited for: the next one that comes may be to the earlier question.
    owed: bool,
}

impl<S: Read + Write> Line<S> {
    /// A connection that answers within the patience that its stream was given.
    pub fn new(stream: S) -> Self {
        Self {
            stream,
            rest: Vec::new(),
            owed: false,
        }
    }

    /// Asks, and waits for the answer. An answer that comes late is not taken for that to a later question.
    pub fn ask(&mut self, query: &str) -> Said {
        if self.stream.write_all(format!("{query}\n").as_bytes()).is_err() {
            return Said::Gone;
        }
        let mut passed = None;
        loop {
            match self.line() {
                Said::Text(text) if self.owed => {
                    self.owed = false;
                    passed = Some(text);
                }
                // Nothing comes behind it: what was owed had been dropped, and this is the answer.
                Said::Nothing | Said::Gone if passed.is_some() => return passed.map_or(Said::Nothing, Said::Text),
                Said::Nothing => {
                    self.owed = true;
                    return Said::Nothing;
                }
                said => return said,
            }
        }
    }

    fn line(&mut self) -> Said {
        let mut piece = [0; 64];
        loop {
            if let Some(end) = self.rest.iter().position(|&b| b == b'\n') {
                let line: Vec<u8> = self.rest.drain(..=end).collect();
                return Said::Text(readable(&line));
            }
            if self.rest.len() > LONGEST {
                let line: Vec<u8> = self.rest.drain(..).collect();
                return Said::Text(readable(&line));
            }
            match self.stream.read(&mut piece) {
                Ok(0) => return Said::Gone,
                Ok(n) => self.rest.extend_from_slice(&piece[..n]),
                Err(e) if e.kind() == ErrorKind::Interrupted => {}
                Err(e) if matches!(e.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut) => return Said::Nothing,
                Err(_) => return Said::Gone,
            }
        }
    }
}

/// A line as text, without signs that cannot be shown.
fn readable(line: &[u8]) -> String {
    String::from_utf8_lossy(line)
        .chars()
        .filter(|c| !c.is_control())
        .take(80)
        .collect::<String>()
        .trim()
        .to_owned()
}

/// The flux density that an answer is: a decimal number (IEEE 488.2, 8.7.2 to 8.7.4), its unit behind it or the one given, T.
/// Of several values the first counts. `None` where it is none, and for the 9.91E37 and 9.9E37 that stand for no number and
/// for infinity (SCPI-1999, 7.2.1.4 and 7.2.1.5).
pub fn flux_density(text: &str, unit: &str) -> Option<f64> {
    let first = text.split([',', ';']).next()?.trim();
    let end = first
        .char_indices()
        .find(|&(at, c)| {
            let exponent = matches!(c, 'e' | 'E')
                && first[at + c.len_utf8()..].starts_with(|n: char| n.is_ascii_digit() || n == '+' || n == '-');
            !(c.is_ascii_digit() || matches!(c, '+' | '-' | '.') || exponent)
        })
        .map_or(first.len(), |(at, _)| at);
    let (number, behind) = first.split_at(end);
    let value: f64 = number.trim().parse().ok()?;
    let named = if behind.trim().is_empty() { unit } else { behind.trim() };
    let unit = Unit::named(named).filter(|u| u.kind() == FluxDensity::KIND)?;
    let tesla = unit.to_si(value);
    (tesla.is_finite() && tesla.abs() < 1e3).then_some(tesla)
}

/// A number to five digits, as a meter would show it.
pub fn shown(value: f64) -> String {
    let digits = (4 - value.abs().max(1e-9).log10().floor() as i32).clamp(0, 6) as usize;
    format!("{value:.digits$}")
}
