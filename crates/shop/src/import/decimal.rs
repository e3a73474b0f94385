//! Which decimal sign a file uses, and numbers in it brought to a decimal point.

use quantity::Convention;

use super::table::{Cell, Table};

/// The decimal sign that the caller gave, or else the one that every doubtless number of these columns has.
pub(crate) fn convention(table: &Table, columns: &[usize]) -> Convention {
    if table.decimal != Convention::Auto {
        return table.decimal;
    }
    let (mut point, mut comma) = (false, false);
    for line in &table.lines {
        for column in columns {
            if let Cell::Text(text) = line.cell(*column) {
                match evidence(text) {
                    Convention::Point => point = true,
                    Convention::Comma => comma = true,
                    Convention::Auto => {}
                }
            }
        }
        if point && comma {
            break;
        }
    }
    match (point, comma) {
        (true, false) => Convention::Point,
        (false, true) => Convention::Comma,
        _ => Convention::Auto,
    }
}

/// What a number says about the decimal sign: `0,4` and `1.234,5` use a comma, `1,234` says nothing.
fn evidence(text: &str) -> Convention {
    let runs = number_runs(text).map(|(start, end)| &text[start..end]);
    let of_run = |run: &str| {
        let last = run.rfind([',', '.'])?;
        let sign = run[last..].chars().next()?;
        let decimals = run.len() - last - 1;
        let whole = &run[..last];
        let others = whole.contains([',', '.']);
        let mixed = whole.contains(if sign == ',' { '.' } else { ',' });
        let doubtless =
            mixed || (!others && (decimals != 3 || whole.is_empty() || whole.starts_with('0') || whole.len() > 3));
        doubtless.then_some(if sign == ',' {
            Convention::Comma
        } else {
            Convention::Point
        })
    };
    runs.filter_map(of_run).next().unwrap_or_default()
}

/// A text whose numbers have a decimal point and no separators of thousands, as far as the convention settles them.
pub(crate) fn pointed(text: &str, convention: Convention) -> String {
    let (decimal, group) = match convention {
        Convention::Auto => return text.to_owned(),
        Convention::Point => ('.', ','),
        Convention::Comma => (',', '.'),
    };
    let mut result = String::with_capacity(text.len());
    let mut done = 0;
    for (start, end) in number_runs(text) {
        result.push_str(&text[done..start]);
        let run = &text[start..end];
        let (whole, fraction) = run
            .split_once(decimal)
            .map_or((run, None), |(whole, rest)| (whole, Some(rest)));
        let grouped = whole.contains(group) && is_grouped(whole, group);
        let fits = fraction.is_none_or(|rest| !rest.contains([',', '.'])) && (grouped || !whole.contains(group));
        if fits {
            result.extend(whole.chars().filter(|c| *c != group));
            if let Some(fraction) = fraction {
                result.push('.');
                result.push_str(fraction);
            }
        } else {
            result.push_str(run);
        }
        done = end;
    }
    result.push_str(&text[done..]);
    result
}

/// A whole number, its thousands grouped by comma, point, apostrophe or blank: `1,240`, `1 240`.
pub(crate) fn whole(text: &str) -> Option<u64> {
    let text = text.trim();
    let groups: Vec<&str> = text
        .split([',', '.', '\'', '’', ' ', '\u{a0}', '\u{2009}', '\u{202f}'])
        .collect();
    let plain = groups
        .iter()
        .all(|group| !group.is_empty() && group.chars().all(|c| c.is_ascii_digit()));
    let (first, rest) = groups.split_first()?;
    let grouped = rest.iter().all(|group| group.len() == 3) && (rest.is_empty() || (1..=3).contains(&first.len()));
    if !plain {
        None
    } else if grouped {
        groups.concat().parse().ok()
    } else if let [whole, zeros] = groups[..] {
        // "40.0", as programs write whole numbers.
        zeros.chars().all(|c| c == '0').then(|| whole.parse().ok())?
    } else {
        None
    }
}

fn is_grouped(whole: &str, group: char) -> bool {
    let groups: Vec<&str> = whole.split(group).collect();
    groups
        .first()
        .is_some_and(|first| (1..=3).contains(&first.len()) && *first != "0")
        && groups.iter().skip(1).all(|group| group.len() == 3)
}

/// Where runs of digits with commas and points between them lie.
fn number_runs(text: &str) -> impl Iterator<Item = (usize, usize)> {
    let mut at = 0;
    std::iter::from_fn(move || {
        let start = at + text.get(at..)?.find(|c: char| c.is_ascii_digit())?;
        let length = text[start..].find(|c: char| !(c.is_ascii_digit() || c == ',' || c == '.'));
        let end = length.map_or(text.len(), |length| start + length);
        at = end;
        let trimmed = text[start..end].trim_end_matches([',', '.']).len();
        Some((start, start + trimmed))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn evidence_of_numbers() {
        for (text, convention) in [
            ("0,4 mm", Convention::Comma),
            ("1.234,56", Convention::Comma),
            ("12,5", Convention::Comma),
            ("0.61", Convention::Point),
            ("1,234.5", Convention::Point),
            ("0,125", Convention::Comma),
            ("1,234", Convention::Auto),
            ("1.234", Convention::Auto),
            ("12", Convention::Auto),
            ("", Convention::Auto),
            ("1.234.567", Convention::Auto),
        ] {
            assert_eq!(evidence(text), convention, "{text}");
        }
    }

    #[test]
    fn numbers_get_a_point() {
        assert_eq!(pointed("0,4 mm", Convention::Comma), "0.4 mm");
        assert_eq!(pointed("1.234,56 €", Convention::Comma), "1234.56 €");
        assert_eq!(pointed("1.234", Convention::Comma), "1234");
        assert_eq!(pointed("1,234", Convention::Point), "1234");
        assert_eq!(pointed("1,234", Convention::Comma), "1.234");
        assert_eq!(pointed("0.5", Convention::Comma), "0.5");
        assert_eq!(pointed("10,5 x 3,25", Convention::Comma), "10.5 x 3.25");
        assert_eq!(pointed("1,234", Convention::Auto), "1,234");
    }

    #[test]
    fn whole_numbers() {
        for (text, number) in [
            ("40", Some(40)),
            ("1,240", Some(1_240)),
            ("1.240", Some(1_240)),
            ("1 240", Some(1_240)),
            ("1'240'000", Some(1_240_000)),
            ("40.0", Some(40)),
            ("40,5", None),
            ("-3", None),
            ("many", None),
            ("12,34", None),
            ("", None),
        ] {
            assert_eq!(whole(text), number, "{text}");
        }
    }

    proptest! {
        #[test]
        fn never_panics(text in "\\PC*") {
            for convention in [Convention::Auto, Convention::Point, Convention::Comma] {
                pointed(&text, convention);
            }
            evidence(&text);
            whole(&text);
        }
    }
}
