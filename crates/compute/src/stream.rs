//! Lines of questions in, lines of answers out.

use std::io::{self, BufRead, Read, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};

use rayon::prelude::*;

use crate::read::LineError;
use crate::reply::{Reply, answer_line, refusal};

/// Longest line that is taken, bytes; a longer one is refused in its place.
const LONGEST_LINE: usize = 8 << 20;

/// Lines answered together at most, when more of them are waiting.
const MOST_LINES: usize = 1024;

/// Bytes of lines answered together at most; with the longest line this bounds the memory.
const MOST_BYTES: usize = 8 << 20;

/// One line as it was read.
enum Line {
    Text(Vec<u8>),
    TooLong,
}

/// Answers every line of `input` on one line of `output`, in order; blank lines are passed over. Returns how many could not be answered.
///
/// Lines that wait are answered together on all cores; an answer never waits for a line that has not come.
///
/// # Errors
/// What the input or the output reports.
pub fn stream(input: impl Read, output: &mut impl Write) -> io::Result<usize> {
    let mut input = io::BufReader::with_capacity(1 << 16, input);
    let mut refused = 0;
    loop {
        let mut lines = Vec::new();
        let mut bytes = 0;
        while let Some(line) = next(&mut input)? {
            if let Line::Text(text) = &line {
                bytes += text.len();
            }
            lines.push(line);
            let waiting = input.buffer().contains(&b'\n');
            if lines.len() >= MOST_LINES || bytes >= MOST_BYTES || !waiting {
                break;
            }
        }
        if lines.is_empty() {
            output.flush()?;
            return Ok(refused);
        }
        let replies: Vec<Option<Reply>> = lines.par_iter().map(reply).collect();
        for reply in replies.into_iter().flatten() {
            refused += usize::from(!reply.answered);
            output.write_all(reply.text.as_bytes())?;
            output.write_all(b"\n")?;
        }
        output.flush()?;
    }
}

/// The next line without its end; `None` at the end of the input.
fn next(input: &mut impl BufRead) -> io::Result<Option<Line>> {
    let mut text = Vec::new();
    let most = LONGEST_LINE as u64 + 1;
    if input.by_ref().take(most).read_until(b'\n', &mut text)? == 0 {
        return Ok(None);
    }
    if text.last() == Some(&b'\n') {
        text.pop();
        return Ok(Some(Line::Text(text)));
    }
    if text.len() <= LONGEST_LINE {
        return Ok(Some(Line::Text(text)));
    }
    input.skip_until(b'\n')?;
    Ok(Some(Line::TooLong))
}

fn reply(line: &Line) -> Option<Reply> {
    let text = match line {
        Line::Text(text) => text,
        Line::TooLong => {
            let message = format!("the line is longer than {} MiB", LONGEST_LINE >> 20);
            return Some(refusal(LineError::new(
                message,
                "",
                "spread the points over several lines",
            )));
        }
    };
    match std::str::from_utf8(text) {
        Ok(text) if text.trim().is_empty() => None,
        Ok(text) => Some(whatever_happens(|| answer_line(text))),
        Err(error) => {
            let message = format!("the line is not UTF-8 from byte {}", error.valid_up_to());
            Some(refusal(LineError::new(message, "", "write the file as UTF-8")))
        }
    }
}

/// The reply; a fault of the program while it is made costs this line and no other.
fn whatever_happens(reply: impl FnOnce() -> Reply) -> Reply {
    catch_unwind(AssertUnwindSafe(reply)).unwrap_or_else(|_| {
        refusal(LineError::new(
            "the program failed on this line",
            "",
            "the lines after it are answered; please report the line",
        ))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(input: &[u8]) -> (usize, Vec<String>) {
        let mut output = Vec::new();
        let refused = stream(input, &mut output).expect("memory does not fail");
        let text = String::from_utf8(output).expect("JSON is UTF-8");
        (refused, text.lines().map(str::to_owned).collect())
    }

    const GOOD: &str = r#"{"id":ID,"want":"demagnetising_factor","body":{"shape":"sphere","diameter_mm":8}}"#;

    #[test]
    fn answers_come_in_order_and_errors_in_place() {
        let mut input = Vec::new();
        for id in 0..3000 {
            input.extend(GOOD.replace("ID", &id.to_string()).bytes());
            input.extend(b"\r\n");
        }
        input.extend(b"garbage\n\n\xff\xfe\n");
        input.extend(GOOD.replace("ID", "\"last\"").bytes());
        let (refused, lines) = run(&input);
        assert_eq!((refused, lines.len()), (2, 3003));
        for (id, line) in lines.iter().take(3000).enumerate() {
            assert!(
                line.contains(&format!("\"id\":{id},")) && line.contains("0.333"),
                "{line}"
            );
        }
        assert!(lines[3000].contains("not JSON") && lines[3001].contains("UTF-8") && lines[3002].contains("\"last\""));
    }

    #[test]
    fn a_line_too_long_is_refused_and_the_next_answered() {
        let mut input = vec![b'['; LONGEST_LINE + 5];
        input.push(b'\n');
        input.extend(GOOD.replace("ID", "1").bytes());
        let (refused, lines) = run(&input);
        assert_eq!((refused, lines.len()), (1, 2));
        assert!(lines[0].contains("longer than 8 MiB") && lines[1].contains("0.333"));
    }

    #[test]
    fn a_fault_costs_one_line() {
        let reply = whatever_happens(|| panic!("made for this test"));
        assert!(!reply.answered && reply.text.contains("failed on this line"));
    }

    #[test]
    fn nothing_gives_nothing() {
        assert_eq!(run(b""), (0, Vec::new()));
        assert_eq!(run(b"\n  \n"), (0, Vec::new()));
    }
}
