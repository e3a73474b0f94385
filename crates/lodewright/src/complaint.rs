//! What a reader of JSON complains of, in the words of this program.
//!
//! The reader names its own types (`expected f64`); whoever sent the request wants to hear what stands there, and what
//! would be right.

/// A complaint in plain words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Complaint {
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub hint: Option<String>,
}

impl Complaint {
    fn new(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            hint: Some(hint.into()),
        }
    }
}

/// What the reader's message says; a message of ours passes as it is, its hint in brackets apart.
pub fn plain(message: &str) -> Complaint {
    let known = missing(message)
        .or_else(|| unknown(message))
        .or_else(|| mistyped(message))
        .or_else(|| out_of_bounds(message));
    known.unwrap_or_else(|| own(message))
}

/// The key that the message says is missing.
pub fn missing_key(message: &str) -> Option<&str> {
    message.strip_prefix("missing field `")?.split('`').next()
}

fn missing(message: &str) -> Option<Complaint> {
    let key = missing_key(message)?;
    Some(Complaint::new(
        format!("{key:?} is missing"),
        format!("give {key:?} too"),
    ))
}

fn unknown(message: &str) -> Option<Complaint> {
    let (what, rest) = [("field", "unknown field `"), ("choice", "unknown variant `")]
        .iter()
        .find_map(|(what, start)| Some((*what, message.strip_prefix(start)?)))?;
    let (name, rest) = rest.split_once('`')?;
    let names: Vec<&str> = rest.split('`').skip(1).step_by(2).collect();
    let message = match what {
        "field" => format!("there is no {name:?} here"),
        _ => format!("{name:?} is not one of the choices"),
    };
    Some(Complaint::new(message, choices(name, &names)))
}

/// The names that there are, or the one that was meant.
fn choices(name: &str, names: &[&str]) -> String {
    /// So alike are a name and its misspelling.
    const ALIKE: f64 = 0.75;
    let alike = |known: &&&str| strsim::jaro_winkler(name, known);
    let nearest = names.iter().max_by(|a, b| alike(a).total_cmp(&alike(b)));
    match (nearest, names) {
        (Some(known), _) if alike(&known) > ALIKE => format!("perhaps {known:?}; there are {}", names.join(", ")),
        (_, []) => "nothing may stand there".into(),
        _ => format!("there are {}", names.join(", ")),
    }
}

fn mistyped(message: &str) -> Option<Complaint> {
    let (given, expected) = message
        .strip_prefix("invalid type: ")
        .or_else(|| message.strip_prefix("invalid value: "))
        .and_then(|rest| rest.rsplit_once(", expected "))?;
    let (expected, example) = wanted(expected);
    let hint = match example {
        "" => format!("give {expected}"),
        example => format!("give {expected}, such as {example}"),
    };
    Some(Complaint::new(format!("expected {expected}, got {}", got(given)), hint))
}

/// What was expected, in words, with an example.
fn wanted(expected: &str) -> (String, &str) {
    let array = expected
        .strip_prefix("an array of length ")
        .or_else(|| expected.strip_prefix("a tuple of size "));
    if let Some(count) = array {
        return (format!("a list of {count} values"), "");
    }
    match expected {
        "f64" | "f32" => ("a number".into(), "20"),
        "u8" | "u16" | "u32" | "u64" | "usize" => ("a whole number from 0".into(), "2"),
        "i8" | "i16" | "i32" | "i64" | "isize" => ("a whole number".into(), "2"),
        "a boolean" => ("true or false".into(), ""),
        "a string" | "string" | "a borrowed string" => ("a text".into(), ""),
        "a sequence" => ("a list".into(), ""),
        "a map" | "map" => ("an object".into(), ""),
        "variant identifier" | "string or map" => ("the name of a choice".into(), ""),
        "field identifier" => ("a key".into(), ""),
        "unit" | "null" => ("nothing".into(), ""),
        // A nonzero count, and types that are objects to whoever writes JSON.
        count if count.starts_with("a nonzero ") => ("a whole number from 1".into(), "2"),
        kind if [
            "struct ",
            "enum ",
            "internally tagged enum ",
            "adjacently tagged enum ",
            "struct variant ",
        ]
        .iter()
        .any(|start| kind.starts_with(start)) =>
        {
            ("an object".into(), "")
        }
        own => (own.into(), ""),
    }
}

/// What stands there, in words.
fn got(given: &str) -> String {
    let quoted = |start: &str| given.strip_prefix(start).and_then(|rest| rest.strip_suffix('`'));
    if let Some(text) = given.strip_prefix("string ") {
        return format!("the text {text}");
    }
    if let Some(number) = quoted("integer `").or_else(|| quoted("floating point `")) {
        return number.into();
    }
    if let Some(truth) = quoted("boolean `") {
        return truth.into();
    }
    match given {
        "null" | "unit value" | "Option value" => "nothing".into(),
        "sequence" => "a list".into(),
        "map" => "an object".into(),
        other => other.into(),
    }
}

fn out_of_bounds(message: &str) -> Option<Complaint> {
    if let Some(rest) = message.strip_prefix("invalid length ") {
        let (length, expected) = rest.split_once(", expected ")?;
        let (expected, _) = wanted(expected);
        return Some(Complaint::new(
            format!("expected {expected}, got {length}"),
            format!("give {expected}"),
        ));
    }
    if let Some(key) = message.strip_prefix("duplicate field `") {
        let key = key.trim_end_matches('`');
        return Some(Complaint::new(
            format!("{key:?} stands there twice"),
            format!("give {key:?} once"),
        ));
    }
    if message.starts_with("data did not match any variant") {
        return Some(Complaint::new(
            "this is none of the forms that may stand there",
            "see /api/openapi.json for the forms",
        ));
    }
    // Of a text that should be a number, as in a parameter.
    if message.starts_with("invalid digit found") || message.starts_with("cannot parse integer") {
        return Some(Complaint::new(
            "this is not a whole number from 0",
            "give digits only, such as 50",
        ));
    }
    if message.starts_with("number too large") || message.starts_with("number out of range") {
        return Some(Complaint::new("the number is too large", "give a smaller one"));
    }
    if message.starts_with("invalid float") {
        return Some(Complaint::new("this is not a number", "give a number, such as 2.5"));
    }
    if message.starts_with("provided string was not `true` or `false`") {
        return Some(Complaint::new("this is neither true nor false", "give true or false"));
    }
    None
}

/// A message of this program. Quantities put their hint in brackets behind it, because there is one text only.
fn own(message: &str) -> Complaint {
    match message.strip_suffix(')').and_then(|m| m.rsplit_once(" (")) {
        Some((message, hint)) => Complaint::new(message, hint),
        None => Complaint {
            message: message.into(),
            hint: None,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_readers_complaint_is_said_in_plain_words() {
        for (message, said, hint) in [
            ("missing field `load`", "\"load\" is missing", "give \"load\" too"),
            (
                "unknown field `lode`, expected one of `load`, `direction`",
                "there is no \"lode\" here",
                "perhaps \"load\"; there are load, direction",
            ),
            (
                "unknown field `x`, there are no fields",
                "there is no \"x\" here",
                "nothing may stand there",
            ),
            (
                "unknown variant `levitate`, expected one of `hold`, `face_field`",
                "\"levitate\" is not one of the choices",
                "there are hold, face_field",
            ),
            (
                "invalid type: string \"wide\", expected f64",
                "expected a number, got the text \"wide\"",
                "give a number, such as 20",
            ),
            (
                "invalid value: integer `-1`, expected u32",
                "expected a whole number from 0, got -1",
                "give a whole number from 0, such as 2",
            ),
            (
                "invalid type: null, expected struct Question",
                "expected an object, got nothing",
                "give an object",
            ),
            (
                "invalid length 3, expected an array of length 2",
                "expected a list of 2 values, got 3",
                "give a list of 2 values",
            ),
            (
                "the unit is missing (use mm or in)",
                "the unit is missing",
                "use mm or in",
            ),
            (
                "invalid digit found in string",
                "this is not a whole number from 0",
                "give digits only, such as 50",
            ),
        ] {
            let complaint = plain(message);
            assert_eq!(
                (complaint.message.as_str(), complaint.hint.as_deref()),
                (said, Some(hint)),
                "{message}"
            );
        }
        assert_eq!(plain("something of ours").hint, None);
    }
}
