//! Compares a reading with the one that an adviser would take from the text.

mod alike;

use std::collections::BTreeMap;

use advice::Catalogue;
use enquiry::{Reading, Vocabulary};
use quantity::{FluxDensity, Length, Load, Mass, Money, Quantity, Temperature};
use serde_json::Value;

/// An enquiry and the reading expected.
#[derive(Clone, Debug)]
pub struct Case {
    pub id: String,
    pub text: String,
    #[allow(dead_code, reason = "printed by the example")]
    pub kind: String,
    pub expect: Value,
}

/// How right a reading is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grade {
    /// Everything, and nothing else.
    Exact,
    /// What is missing or doubtful is asked, and should be.
    Asked,
    /// Something is missing, or asked that need not be.
    Partial,
    /// A wrong value or kind, given without asking.
    Misread,
    /// Nothing given where something was wanted.
    Refused,
}

impl Grade {
    pub fn is_right(self) -> bool {
        matches!(self, Self::Exact | Self::Asked)
    }
}

/// A case with its grade and what was wrong.
pub struct Scored {
    pub case: Case,
    pub grade: Grade,
    pub faults: Vec<String>,
    /// The places of what is wrong and not asked, of the expected reading.
    #[allow(dead_code, reason = "learned from by the example")]
    pub wrong: Vec<String>,
    #[allow(dead_code, reason = "printed by the example")]
    pub got: Value,
    #[allow(dead_code, reason = "printed by the example")]
    pub asks: Vec<String>,
}

/// The vocabulary of the built-in materials, with euros.
pub fn vocabulary() -> Vocabulary {
    let catalogue = Catalogue::builtin().expect("built-in data reads");
    Vocabulary::of(&catalogue, None)
}

/// The cases of a file, one JSON object a line.
pub fn cases(file: &str) -> Vec<Case> {
    file.lines()
        .filter(|l| !l.trim().is_empty())
        .map(|line| {
            let v: Value = serde_json::from_str(line).unwrap_or_else(|e| panic!("{e}: {line}"));
            let text = |key: &str| v[key].as_str().unwrap_or_default().to_owned();
            Case {
                id: text("id"),
                text: text("text"),
                kind: text("kind"),
                expect: v["expect"].clone(),
            }
        })
        .collect()
}

/// Grades what was read of a case.
pub fn score(case: &Case, reading: &Reading, vocabulary: &Vocabulary) -> Scored {
    let mut case = case.clone();
    alike::name_materials(&mut case.expect, vocabulary);
    alike::load_or_force(&mut case.expect);
    alike::countersunk_screw(&mut case.expect);
    alike::name_families(&mut case.expect);
    let mut got = serde_json::to_value(&reading.enquiry).expect("an enquiry is JSON");
    let mut asks: Vec<String> = reading.asks.iter().map(|a| a.place.clone()).collect();
    alike::aligned(&case.expect, &mut got, &mut asks, vocabulary);
    let kind = |v: &Value| v["kind"].as_str().unwrap_or_default().to_owned();
    let must = places(&case.expect["asks"]);
    let may = may_ask(&case.expect);
    let mut faults = Vec::new();
    let mut wrong: Vec<String> = Vec::new();
    let mut missing = false;
    let mut asked = false;
    if kind(&got) != kind(&case.expect) {
        let allowed = may.iter().any(|m| m == "/kind");
        let asks_kind = asks.iter().any(|a| a == "/kind");
        if !allowed || !(asks_kind || kind(&got) == "choose") {
            faults.push(format!("kind: expected {} got {}", kind(&case.expect), kind(&got)));
            let grade = match kind(&got).as_str() {
                _ if asks_kind => Grade::Partial,
                "refuse" => Grade::Refused,
                _ => Grade::Misread,
            };
            return Scored {
                case,
                grade,
                faults,
                wrong: vec!["/kind".into()],
                got,
                asks,
            };
        }
    }
    let wanted = slots(&case.expect);
    let given = slots(&got);
    for (path, want) in &wanted {
        match given.get(path) {
            Some(have) if same(path, want, have) => {}
            Some(have) => {
                if covered(&asks, path) && covered(&may, path) || is_free(&may, path) {
                    asked = true;
                } else if covered(&asks, path) {
                    missing = true;
                    faults.push(format!("{path}: expected {want} got {have} (asked needlessly)"));
                } else {
                    wrong.push(path.clone());
                    faults.push(format!("{path}: expected {want} got {have}"));
                }
            }
            None if covered(&asks, path) && covered(&may, path) => asked = true,
            None if is_free(&may, path) => asked = true,
            None if is_default(path, want) => {}
            None => {
                missing = true;
                faults.push(format!("{path}: expected {want} got nothing"));
            }
        }
    }
    for (path, have) in &given {
        if wanted.contains_key(path) || is_free(&may, path) || is_default(path, have) {
            continue;
        }
        if covered(&must, path) || covered(&asks, path) && covered(&may, path) {
            asked = true;
        } else if covered(&asks, path) {
            missing = true;
            faults.push(format!("{path}: unexpected {have} (asked needlessly)"));
        } else {
            wrong.push(path.clone());
            faults.push(format!("{path}: unexpected {have}"));
        }
    }
    for place in &must {
        if !covered(&asks, place) {
            // a missing part that must be asked; what hangs on it is asked first
            missing = true;
            faults.push(format!("{place}: not asked"));
        } else {
            asked = true;
        }
    }
    for place in &asks {
        if !covered(&may, place) {
            missing = true;
            faults.push(format!("{place}: asked needlessly"));
        }
    }
    let grade = match (!wrong.is_empty(), missing, asked || !asks.is_empty()) {
        (true, _, _) => Grade::Misread,
        (false, true, _) => Grade::Partial,
        (false, false, true) => Grade::Asked,
        (false, false, false) => Grade::Exact,
    };
    Scored {
        case,
        grade,
        faults,
        wrong,
        got,
        asks,
    }
}

/// Which of the places of a reading are wrong though not asked, and which may be asked.
#[allow(dead_code, reason = "learned from by the example")]
pub fn judged(scored: &Scored, reading: &Reading, of_reading: &[String], vocabulary: &Vocabulary) -> Vec<[bool; 2]> {
    let mut got = serde_json::to_value(&reading.enquiry).expect("an enquiry is JSON");
    let mut expected: Vec<String> = of_reading.to_vec();
    alike::aligned(&scored.case.expect, &mut got, &mut expected, vocabulary);
    let may = may_ask(&scored.case.expect);
    expected
        .iter()
        .map(|place| [covered(&scored.wrong, place), covered(&may, place)])
        .collect()
}

/// The places that must or may be asked.
fn may_ask(expect: &Value) -> Vec<String> {
    let mut may = places(&expect["asks"]);
    may.extend(places(&expect["may_ask"]));
    if expect["kind"] == "explain" && expect["about"].is_null() {
        // which standing question it is stands open
        may.push("/about".into());
    }
    may
}

fn places(list: &Value) -> Vec<String> {
    let list = list.as_array().into_iter().flatten();
    let mut out: Vec<String> = list.filter_map(|a| a.as_str().map(str::to_owned)).collect();
    out.iter_mut().for_each(alike::load_or_force_asked);
    out
}

/// Whether a place is one of a list, a part of one, or has one as a part.
fn covered(list: &[String], path: &str) -> bool {
    list.iter()
        .any(|a| path == a || path.starts_with(&format!("{a}/")) || a.starts_with(&format!("{path}/")))
}

/// Whether a place may be asked or assumed; either is right.
fn is_free(may: &[String], path: &str) -> bool {
    may.iter().any(|a| path == a || path.starts_with(&format!("{a}/")))
}

/// What says the same as saying nothing.
fn is_default(path: &str, value: &Value) -> bool {
    match path {
        "/question/pieces" | "/question/need/shared_by" => value == 1,
        "/question/need/steel/material" => value == "mild steel",
        "/question/need/gap" => value == "0 mm",
        "/question/need/verb" => true,
        _ if path.ends_with("/count") => value == 1,
        _ => false,
    }
}

/// Every value by its place; lists of words as one, layers by their material.
fn slots(reading: &Value) -> BTreeMap<String, Value> {
    let mut out = BTreeMap::new();
    for key in ["about", "reason"] {
        if let Some(v) = reading.get(key).filter(|v| !v.is_null()) {
            out.insert(format!("/{key}"), v.clone());
        }
    }
    for key in ["magnets", "question"] {
        if let Some(v) = reading.get(key) {
            walk(&format!("/{key}"), v, &mut out);
        }
    }
    out
}

fn walk(path: &str, value: &Value, out: &mut BTreeMap<String, Value>) {
    match value {
        Value::Object(map) => map.iter().for_each(|(k, v)| walk(&format!("{path}/{k}"), v, out)),
        Value::Array(list) if list.iter().all(Value::is_object) => {
            list.iter()
                .enumerate()
                .for_each(|(i, v)| walk(&format!("{path}/{i}"), v, out));
        }
        Value::Null => {}
        other => {
            out.insert(path.to_owned(), other.clone());
        }
    }
}

/// Whether two values are the same within 1 %; a value within a range is the same as the range.
fn same(path: &str, want: &Value, have: &Value) -> bool {
    if want == have {
        return true;
    }
    match (want, have) {
        (Value::Number(a), Value::Number(b)) => near(a.as_f64().unwrap_or(0.0), b.as_f64().unwrap_or(1.0)),
        (Value::String(a), Value::String(b)) => {
            let (Some([low, high]), Some([lower, higher])) = (range(path, a), range(path, b)) else {
                return a.eq_ignore_ascii_case(b);
            };
            near(low, lower) && near(high, higher)
                || lower >= low * 0.99 && higher <= high * 1.01
                || near(lower, low) && near(higher, low)
                || near(lower, high) && near(higher, high)
        }
        (Value::String(a), Value::Number(b)) => {
            let said = a.parse().ok().or_else(|| Some(range(path, a)?[0]));
            said.is_some_and(|low| near(low, b.as_f64().unwrap_or(0.0)))
        }
        (Value::Array(a), Value::Array(b)) if path.ends_with("size_mm") => {
            a.len() == b.len() && a.iter().zip(b).all(|(x, y)| same("", x, y))
        }
        (Value::Array(a), Value::Array(b)) => a.len() == b.len() && a.iter().all(|x| b.contains(x)),
        _ => false,
    }
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 0.01 * a.abs().max(b.abs()).max(1e-12)
}

/// The ends of a quantity in SI.
fn range(path: &str, text: &str) -> Option<[f64; 2]> {
    if let Some((low, high)) = text.split_once("..") {
        let unit = high
            .trim_start_matches(|c: char| c.is_ascii_digit() || c == '.' || c == '-')
            .trim();
        let low = range(path, &format!("{low} {unit}"))?;
        return Some([low[0], range(path, high)?[1]]);
    }
    let si = if path.ends_with("load") || path.ends_with("force") {
        let load: Load = serde_json::from_value(Value::String(text.to_owned())).ok()?;
        load.force().si()
    } else if path.contains("budget") {
        let (value, currency) = text.split_once(' ')?;
        let money: Money = value
            .replace(',', ".")
            .parse::<f64>()
            .ok()
            .and_then(|v| serde_json::from_value(Value::String(format!("{v}"))).ok())?;
        let _ = money;
        value.replace(',', ".").parse::<f64>().ok()? + currency.bytes().map(f64::from).sum::<f64>() * 1e6
    } else {
        si(text)?
    };
    Some([si, si])
}

fn si(text: &str) -> Option<f64> {
    if let Some(gauge) = text.strip_suffix(" gauge") {
        // the manufacturers' standard gauge of sheet steel, from memory
        let mm = match gauge.trim() {
            "12" => 2.66,
            "14" => 1.90,
            "16" => 1.52,
            "18" => 1.21,
            "20" => 0.91,
            "22" => 0.76,
            "24" => 0.61,
            "26" => 0.45,
            _ => return None,
        };
        return Some(mm * 1e-3);
    }
    // a field strength as the flux density that it makes in air
    if let Some(strength) = text.strip_suffix("kA/m") {
        let kiloamperes: f64 = strength.trim().parse().ok()?;
        return Some(4e-4 * std::f64::consts::PI * kiloamperes);
    }
    quantity::parse::<Length>(text)
        .map(Quantity::si)
        .or_else(|_| quantity::parse::<FluxDensity>(text).map(Quantity::si))
        .or_else(|_| quantity::parse::<Temperature>(text).map(Quantity::si))
        .or_else(|_| quantity::parse::<Mass>(text).map(Quantity::si))
        .ok()
}
