//! Sentences against the questions they must give, and properties of the reader on any text.

use proptest::prelude::*;
use quantity::Currency;
use serde::Deserialize;
use serde_json::{Value, json};

use super::{LONGEST_TEXT, Name, Parsed, Vocabulary, parse};
use crate::question::Question;

/// A small vocabulary, so that the tests do not move with the data.
pub(crate) fn vocabulary() -> Vocabulary {
    let name = |name: &str, aliases: &[&str]| Name::new(name, aliases.iter().copied());
    Vocabulary {
        layers: vec![
            name("paint", &["lacquer", "paintwork"]),
            name("wood", &["plywood"]),
            name("air", &["gap", "air gap"]),
            name("glass", &[]),
            name("plastic", &[]),
            name("brass or aluminium", &["brass", "aluminium"]),
        ],
        steels: vec![
            name(
                "mild steel",
                &["steel", "iron", "sheet steel", "steel sheet", "low-carbon steel"],
            ),
            name("ferritic stainless steel", &["stainless 430", "430"]),
        ],
        grades: ["N35", "N42", "N42SH", "N45", "N52", "Y30"]
            .map(|grade| name(grade, &[]))
            .to_vec(),
        families: vec![name("ferrite", &["ceramic"]), name("samarium cobalt", &["SmCo"])],
        currency: Some(Currency::EUR),
    }
}

/// Whether two questions are the same within the digits that the sentence prints.
pub(crate) fn same(a: &Question, b: &Question) -> bool {
    let json = |q: &Question| serde_json::to_value(q).expect("a question is JSON");
    close(&json(a), &json(b))
}

fn close(a: &Value, b: &Value) -> bool {
    /// Relative: what the sentence allows itself, and a few last bits of the conversion.
    const TOLERANCE: f64 = 1.001e-6;
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap_or(f64::NAN), b.as_f64().unwrap_or(f64::NAN));
            (a - b).abs() <= TOLERANCE * a.abs().max(b.abs())
        }
        (Value::Array(a), Value::Array(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| close(a, b)),
        (Value::Object(a), Value::Object(b)) => {
            a.len() == b.len()
                && a.iter()
                    .all(|(key, value)| b.get(key).is_some_and(|other| close(value, other)))
        }
        _ => a == b,
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Good {
    text: String,
    need: Value,
    #[serde(default)]
    conditions: Option<Value>,
    #[serde(default)]
    limits: Option<Value>,
    #[serde(default)]
    pieces: Option<u32>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Bad {
    text: String,
    #[serde(default)]
    problems: Vec<(String, String)>,
    #[serde(default)]
    missing: Vec<String>,
    #[serde(default)]
    unknown: Option<Vec<String>>,
}

#[derive(Deserialize)]
struct Cases<T> {
    case: Vec<T>,
}

#[test]
fn sentences_give_their_questions() {
    let cases: Cases<Good> = toml::from_str(include_str!("good.toml")).expect("good.toml is well formed");
    assert!(cases.case.len() >= 60);
    let vocabulary = vocabulary();
    let mut wrong = Vec::new();
    for case in cases.case {
        let expected: Question = serde_json::from_value(json!({
            "need": case.need,
            "conditions": case.conditions.unwrap_or_else(|| json!({})),
            "limits": case.limits.unwrap_or_else(|| json!({})),
            "pieces": case.pieces.unwrap_or(1),
        }))
        .unwrap_or_else(|error| panic!("the question expected of {:?} does not read: {error}", case.text));
        let parsed = parse(&case.text, &vocabulary);
        let unknown = not_understood(&case.text, &parsed);
        if parsed.question.as_ref() != Some(&expected) || !unknown.is_empty() {
            wrong.push(format!(
                "{:?}\n  expected {expected:?}\n  got {parsed:?}\n  unknown {unknown:?}",
                case.text
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn what_is_wrong_is_said_where_it_is_wrong() {
    let cases: Cases<Bad> = toml::from_str(include_str!("bad.toml")).expect("bad.toml is well formed");
    let vocabulary = vocabulary();
    let mut wrong = Vec::new();
    for case in cases.case {
        let parsed = parse(&case.text, &vocabulary);
        let fits = |(words, message): &(String, String), problem: &super::WordsProblem| {
            case.text[problem.range.clone()] == **words && problem.message.contains(message.as_str())
        };
        let problems = parsed.problems.len() == case.problems.len()
            && case
                .problems
                .iter()
                .zip(&parsed.problems)
                .all(|(expected, got)| fits(expected, got));
        let missing: Vec<&String> = parsed.missing.iter().map(|m| &m.path).collect();
        let unknown = not_understood(&case.text, &parsed);
        let unknown_fits = case.unknown.as_ref().is_none_or(|expected| *expected == unknown);
        if parsed.question.is_some() || !problems || missing != case.missing.iter().collect::<Vec<_>>() || !unknown_fits
        {
            wrong.push(format!("{:?}\n  got {parsed:?}\n  unknown {unknown:?}", case.text));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn not_understood(text: &str, parsed: &Parsed) -> Vec<String> {
    parsed
        .parts
        .iter()
        .filter(|p| p.meaning.is_none())
        .map(|p| text[p.range.clone()].to_owned())
        .collect()
}

#[test]
fn meanings_are_in_words() {
    let text = "please hold 2 kg through 0.4 mm paint, max 25 mm, quickly";
    let parsed = parse(text, &vocabulary());
    let meanings: Vec<(&str, Option<&str>)> = parsed
        .parts
        .iter()
        .map(|p| (&text[p.range.clone()], p.meaning.as_deref()))
        .filter(|(words, meaning)| *meaning != Some("") || *words == "please")
        .collect();
    let expected = [
        ("please", Some("")),
        ("hold", Some("hold")),
        ("2 kg", Some("load")),
        ("through 0.4 mm paint", Some("through paint")),
        ("max 25 mm", Some("widest")),
        ("quickly", None),
    ];
    assert_eq!(meanings, expected);
    assert!(
        parsed.question.is_some(),
        "a word that is not understood does not stop the question"
    );
}

/// The data that comes with the program, whose names may be the same as words that mean something else.
#[test]
fn the_catalogue_does_not_get_in_the_way() {
    let catalogue = crate::Catalogue::builtin().expect("the built-in data reads");
    let vocabulary = Vocabulary::of(&catalogue, Some(Currency::EUR));
    let cases: Cases<Good> = toml::from_str(include_str!("good.toml")).expect("good.toml is well formed");
    // the catalogue has more grades that are better than N42
    for case in cases.case.iter().filter(|case| !case.text.contains("or better")) {
        let (with_catalogue, with_few) = (parse(&case.text, &vocabulary), parse(&case.text, &self::vocabulary()));
        assert_eq!(with_catalogue.question, with_few.question, "{}", case.text);
    }
    for class in [
        &vocabulary.steels,
        &vocabulary.layers,
        &vocabulary.grades,
        &vocabulary.families,
    ] {
        for name in class.iter().flat_map(Name::wordings) {
            let parsed = parse(&format!("hold 2 kg, 1 mm of {name}, 7 pieces"), &vocabulary);
            let only_value = |p: &super::WordsProblem| p.message.contains("not clear what this value is for");
            assert!(parsed.problems.iter().all(only_value), "{name}: {:?}", parsed.problems);
            assert!(
                parsed.parts.iter().all(|p| p.meaning.is_some() || p.range == (11..15)),
                "{name}: {:?}",
                parsed.parts
            );
        }
    }
}

#[test]
fn every_cue_is_used() {
    let forms = include_str!("../../../data/forms.toml");
    /// Looked for by name in the reader itself.
    const BY_NAME: [&str; 2] = ["degrees", "not"];
    for cue in &super::dictionary::Dictionary::builtin().cues {
        let used = forms.contains(&format!("<{}>", cue.name)) || BY_NAME.contains(&cue.name.as_str());
        assert!(used, "no form uses the cue {}", cue.name);
    }
}

#[test]
fn a_guess_is_said() {
    let meaning = |text: &str| {
        let parsed = parse(text, &vocabulary());
        parsed
            .parts
            .into_iter()
            .find_map(|p| p.meaning.filter(|m| m.contains("taken as")))
    };
    assert_eq!(
        meaning("2 kg under steel").as_deref(),
        Some("load, taken as something to hold")
    );
    assert_eq!(
        meaning("50 mT at 10 mm").as_deref(),
        Some("field at a distance, taken as a field to reach")
    );
    assert_eq!(meaning("hold 2 kg under steel"), None);
}

#[test]
fn a_slip_of_the_pen_gets_a_hint() {
    let parsed = parse("hold 2 kg sidewas", &vocabulary());
    let hint = parsed.parts.iter().find_map(|p| p.hint.as_deref());
    assert_eq!(hint, Some("did you mean `sideways`"));
    let parsed = parse("hold 2 kg throuhg 1 mm plywod", &vocabulary());
    let hints: Vec<&str> = parsed.parts.iter().filter_map(|p| p.hint.as_deref()).collect();
    assert_eq!(hints, ["did you mean `through`", "did you mean `plywood`"]);
}

#[test]
fn a_long_text_is_refused_and_a_bearable_one_is_quick() {
    let vocabulary = vocabulary();
    let parsed = parse(&"a ".repeat(LONGEST_TEXT), &vocabulary);
    assert!(parsed.question.is_none());
    assert_eq!(parsed.problems.len(), 1);
    assert!(parsed.problems[0].message.contains("at most 10000"));
    // texts that make a careless reader quadratic
    for piece in [
        "max a a a ",
        "no ",
        "between 3 and ",
        "1 x ",
        "not a ",
        "zzzzz ",
        "5 in ",
        "111111111",
        "\"",
        "€",
        "½",
        "x5",
        "-",
    ] {
        let text = piece.repeat(LONGEST_TEXT / piece.len());
        assert!(covers(&text, &parse(&text, &vocabulary)), "parts of {piece:?} repeated");
        let seconds = |_| {
            let start = std::time::Instant::now();
            parse(&text, &vocabulary);
            start.elapsed().as_secs_f64()
        };
        // a debug build takes some 50 ms; the best of three, because the machine may be busy
        let best = (0..3).map(seconds).fold(f64::INFINITY, f64::min);
        assert!(best < 2.0, "{piece:?} repeated took {best} s");
    }
}

/// Whether the parts run from the first byte to the last without a gap or an overlap, between characters.
fn covers(text: &str, parsed: &Parsed) -> bool {
    let mut end = 0;
    for part in &parsed.parts {
        if part.range.start != end || part.range.is_empty() || text.get(part.range.clone()).is_none() {
            return false;
        }
        end = part.range.end;
    }
    end == text.len() && parsed.problems.iter().all(|p| text.get(p.range.clone()).is_some())
}

/// Texts out of words that mean something, in any order.
fn word_salad() -> impl Strategy<Value = String> {
    let pieces = vec![
        "hold",
        "2 kg",
        "hanging",
        "below",
        "3 mm",
        "steel",
        "through",
        "paint",
        "no",
        "not",
        "wider",
        "than",
        "max",
        "25",
        "to",
        "and",
        "x",
        "between",
        "-20",
        "°C",
        "60 °C",
        "200",
        "pieces",
        ",",
        ".",
        "ring",
        "hole",
        "N42",
        "or better",
        "5 mT",
        "reach",
        "at",
        "operate",
        "release",
        "near",
        "far",
        "€",
        "1 EUR",
        "each",
        "in total",
        "budget",
        "stack",
        "of",
        "up",
        "degrees",
        "½",
        "\"",
        "1/8",
        "in",
        "stock",
        "margin",
        "safety",
        "factor",
        "1e9",
        "\u{a0}",
        "\n",
        "repel",
        "gap",
    ];
    proptest::collection::vec(proptest::sample::select(pieces), 0..30).prop_map(|words| words.join(" "))
}

proptest! {
    #[test]
    fn any_text_is_covered(text in "\\PC{0,80}") {
        prop_assert!(covers(&text, &parse(&text, &vocabulary())));
    }

    #[test]
    fn any_characters_are_covered(text in proptest::collection::vec(any::<char>(), 0..60)) {
        let text: String = text.into_iter().collect();
        prop_assert!(covers(&text, &parse(&text, &vocabulary())));
    }

    #[test]
    fn any_words_are_covered(text in word_salad()) {
        let parsed = parse(&text, &vocabulary());
        prop_assert!(covers(&text, &parsed));
        prop_assert_eq!(parsed.question.is_some(), parsed.problems.is_empty() && parsed.missing.is_empty());
    }

    /// Signs and digits, where the reader of numbers has its corners.
    #[test]
    fn any_signs_are_covered(text in "[0-9xX.,/'\"½°€$%+−–m -]{0,40}") {
        prop_assert!(covers(&text, &parse(&text, &vocabulary())));
    }
}
