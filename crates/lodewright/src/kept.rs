//! The form in which an answer is kept: its number, and how the older forms become the present one.
//!
//! Format 1, up to the first release, has no number; its builds with steel parts are of a kind of their own. Up to format 2
//! each limit that is missed is a rule of its own, and builds with steel parts are a list of their own. Up to format 3 the
//! pieces of a question count loads where several magnets share one.

use advice::known::{Certificate, Known, ReadLot, UsualProbe};
use advice::{Answer, Catalogue, Item};
use materials::grade::{GradeError, GradeRow};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

/// The number of the present form.
pub const FORMAT: u64 = 4;

/// An answer as it is kept: with the grades of its candidates, which the shop may change later.
#[derive(Debug, Serialize, Deserialize)]
pub struct Frozen {
    /// The form that it is kept in.
    pub format: u64,
    /// The answer.
    pub answer: Answer,
    /// Grades of its candidates as they were.
    pub grades: Vec<GradeRow>,
    /// Certificates of the lots of its candidates, by code and grade of the item.
    #[serde(default)]
    pub certificates: Vec<(String, String, Certificate)>,
    /// What readings said of the lots of its candidates, by code and grade of the item.
    #[serde(default)]
    pub read_lots: Vec<(String, String, ReadLot)>,
    /// The probe that the shop usually read with.
    #[serde(default)]
    pub probe: Option<UsualProbe>,
}

impl Frozen {
    /// An answer with what was known of its magnets.
    pub fn of(answer: &Answer, catalogue: &Catalogue) -> Self {
        let used = |row: &&GradeRow| answer.candidates.iter().any(|c| c.item.grade == row.name);
        let (mut certificates, mut read_lots) = (Vec::new(), Vec::new());
        for item in answer.candidates.iter().map(|c| &c.item) {
            let (code, grade) = (item.code.clone(), item.grade.clone());
            if let Some(certificate) = catalogue.certificate_of(item) {
                certificates.push((code.clone(), grade.clone(), certificate.clone()));
            }
            if let Some(Known::Readings(lot)) = catalogue.known_of(item) {
                read_lots.push((code, grade, lot));
            }
        }
        Self {
            format: FORMAT,
            answer: answer.clone(),
            grades: catalogue.grades.rows().iter().filter(used).cloned().collect(),
            certificates,
            read_lots,
            probe: catalogue.probe.clone(),
        }
    }

    /// The materials as they were, and the answer.
    ///
    /// # Errors
    /// Values that no magnet has.
    pub fn thawed(self, now: Catalogue) -> Result<(Answer, Catalogue), GradeError> {
        let grades = now.grades.with_rows(self.grades)?;
        let then = now
            .as_graded()
            .with_grades(grades)
            .with_certificates(self.certificates)?
            .with_read_lots(self.read_lots)
            .with_probe(self.probe);
        Ok((self.answer, then))
    }

    /// Reads an answer that was kept in this form or an older one.
    ///
    /// # Errors
    /// What is wrong with the text, where it is none of these forms.
    pub fn read(text: &str) -> Result<Self, String> {
        let mut kept: Value = serde_json::from_str(text).map_err(|e| e.to_string())?;
        let format = kept.get("format").map_or(Some(1), Value::as_u64);
        match format {
            Some(1) => {
                from_1(&mut kept).ok_or("its builds are not as in format 1")?;
                from_2(&mut kept).ok_or("its misses are not as in format 1")?;
                from_3(&mut kept).ok_or("its question is not as in format 1")?;
            }
            Some(2) => {
                from_2(&mut kept).ok_or("its misses are not as in format 2")?;
                from_3(&mut kept).ok_or("its question is not as in format 2")?;
            }
            Some(3) => from_3(&mut kept).ok_or("its question is not as in format 3")?,
            Some(FORMAT) => {}
            Some(newer) => return Err(format!("it has format {newer}; this version reads up to {FORMAT}")),
            None => return Err("its format is no number".into()),
        }
        serde_json::from_value(kept).map_err(|e| e.to_string())
    }

    /// Its text.
    ///
    /// # Errors
    /// Where a value cannot be written.
    pub fn text(&self) -> serde_json::Result<String> {
        serde_json::to_string(self)
    }
}

/// Brings an answer from format 1 to 2: one kind of candidate for bare builds and those with parts.
fn from_1(kept: &mut Value) -> Option<()> {
    let answer = kept.get_mut("answer")?.as_object_mut()?;
    for candidate in answer.get_mut("candidates")?.as_array_mut()? {
        let candidate = candidate.as_object_mut()?;
        let item: Item = serde_json::from_value(candidate.get("item")?.clone()).ok()?;
        candidate.insert("width".into(), item.shape.widest().into());
        candidate.insert("with_part".into(), Value::Null);
    }
    if let Some(short) = answer.get_mut("shortfall").and_then(Value::as_object_mut) {
        let best = short.get("best").cloned();
        for way in short.get_mut("would_do")?.as_array_mut()? {
            // More of the best builds share a load.
            if way.get("way")? == "share" {
                let (way, best) = (way.as_object_mut()?, best.as_ref()?);
                way.insert("item".into(), best.get("item")?.clone());
                way.insert("build".into(), best.get("build")?.clone());
            }
        }
    }
    if let Some(Value::Array(found)) = answer.remove("fitted") {
        let found = found.into_iter().map(with_part_from_1).collect::<Option<Vec<_>>>()?;
        answer.insert("with_parts".into(), found.into());
    }
    Some(())
}

/// Brings an answer from format 2 to 3: a limit that is missed is named by its field, and builds with steel parts stand behind
/// the bare ones.
fn from_2(kept: &mut Value) -> Option<()> {
    let answer = kept.get_mut("answer")?.as_object_mut()?;
    let budget = match answer.get("question")?.pointer("/limits/budget_each") {
        Some(_) => "/limits/budget_each",
        None => "/limits/budget_total",
    };
    for miss in answer.get_mut("near_misses")?.as_array_mut()? {
        missed_from_2(miss, budget)?;
    }
    let found = answer.remove("with_parts").filter(|found| !found.is_null());
    answer.insert("parts_searched".into(), found.is_some().into());
    if let Some(Value::Array(found)) = found {
        answer.get_mut("candidates")?.as_array_mut()?.extend(found);
    }
    if let Some(short) = answer.get_mut("shortfall").and_then(Value::as_object_mut) {
        for way in short.get_mut("would_do")?.as_array_mut()? {
            if let Some(miss) = way.get_mut("miss") {
                missed_from_2(miss, budget)?;
            }
        }
    }
    Some(())
}

/// Brings an answer from format 3 to 4: pieces are builds, also where several share a load.
fn from_3(kept: &mut Value) -> Option<()> {
    kept.as_object_mut()?.insert("format".into(), FORMAT.into());
    let question = kept.pointer_mut("/answer/question")?.as_object_mut()?;
    let shared = question.get("need")?.get("shared_by").map_or(Some(1), Value::as_u64)?;
    let pieces = question.get("pieces").map_or(Some(1), Value::as_u64)?;
    question.insert("pieces".into(), pieces.saturating_mul(shared).into());
    Some(())
}

fn missed_from_2(miss: &mut Value, budget: &str) -> Option<()> {
    let rule = miss.get_mut("ruled_out_by")?;
    let has = |unit: &str, of: &str| Some(json!({ unit: rule.get(of)? }));
    let nothing = || Some(json!("nothing"));
    let (limit, has) = match rule.get("rule")?.as_str()? {
        "too_wide" => ("/limits/widest", has("length", "has")),
        "too_narrow" => ("/limits/narrowest", has("length", "has")),
        "too_tall" => ("/limits/tallest", has("length", "has")),
        "too_short" => ("/limits/shortest", has("length", "has")),
        "hole_too_small" if rule.get("has")?.as_f64()? > 0.0 => ("/limits/hole", has("length", "has")),
        "hole_too_small" => ("/limits/hole", nothing()),
        "wrong_shape" => ("/limits/shapes", nothing()),
        "wrong_grade" => ("/limits/grades", nothing()),
        "wrong_coating" => ("/limits/coating", nothing()),
        "not_countersunk" => ("/limits/countersunk", nothing()),
        "too_hot" => ("/conditions/warmest", has("celsius", "stands")),
        "too_cold" => ("/conditions/coldest", has("celsius", "stands")),
        "coating" => ("/conditions/surroundings", nothing()),
        "stack_too_high" => ("/limits/stack", has("stacked", "pieces")),
        "too_heavy" => ("/limits/mass", has("mass", "has")),
        "over_budget_each" => ("/limits/budget_each", has("money", "has")),
        "over_budget_total" => ("/limits/budget_total", has("money", "has")),
        "no_price" => (budget, nothing()),
        "not_in_stock" => {
            let stock = json!({"stock": {"has": rule.get("has")?, "needs": rule.get("needs")?}});
            ("/limits/in_stock", Some(stock))
        }
        "flight" => ("/limits/ships_by_air", has("far_field", "has")),
        _ => return Some(()),
    };
    *rule = json!({"rule": "limit", "limit": limit, "has": has?});
    Some(())
}

fn with_part_from_1(fitted: Value) -> Option<Value> {
    let Value::Object(mut fitted) = fitted else { return None };
    let mut taken = |names: &[&str]| -> Option<Map<String, Value>> {
        names
            .iter()
            .map(|name| Some(((*name).to_owned(), fitted.remove(*name)?)))
            .collect()
    };
    let mut build = taken(&["pieces", "part"])?;
    build.insert("pair".into(), false.into());
    let with_part = taken(&["bare", "curve", "contact", "parts_bought", "rim"])?;
    fitted.insert("build".into(), build.into());
    fitted.insert("with_part".into(), with_part.into());
    fitted.insert("unbeaten".into(), false.into());
    fitted.insert("because".into(), Value::Array(Vec::new()));
    Some(fitted.into())
}

#[cfg(test)]
mod tests {
    use advice::view::text::plain;

    use super::*;

    /// Kept by the program as it was before builds had one form, over the demo shop.
    const WITH_PART: &str = include_str!("../tests/kept/format_1_with_part.json");
    const SHORTFALL: &str = include_str!("../tests/kept/format_1_shortfall.json");
    /// Kept by the program as it was before limits had one form, over the demo shop.
    const NEAR_MISSES: &str = include_str!("../tests/kept/format_2_near_misses.json");

    /// Kept by the program as it was when pieces counted loads: 20 N shared by four, six times.
    const SHARED: &str = include_str!("../tests/kept/format_3_shared.json");

    #[test]
    fn answers_of_format_3_are_of_as_many_magnets_as_they_were() {
        let kept = Frozen::read(SHARED).unwrap();
        let answer = &kept.answer;
        assert_eq!((answer.question.pieces, answer.question.builds()), (24, 24));
        let first = &answer.candidates[0];
        assert_eq!(first.pieces_bought, 24 * u64::from(first.build.pieces));
        let view = advice::view::answer::view(answer, &quantity::Units::metric());
        assert_eq!(view.candidates[0].cost_total.as_deref(), Some("€\u{a0}9.60"));
    }

    #[test]
    fn answers_of_format_1_open_and_show_what_they_showed() {
        let kept = Frozen::read(WITH_PART).unwrap();
        let answer = &kept.answer;
        let [bare, _, found] = &answer.candidates[..] else {
            panic!("{answer:?}")
        };
        assert_eq!(
            (bare.item.code.as_str(), bare.width, bare.build.part.is_none()),
            ("17-38", 27e-3, true)
        );
        let part = found.with_part.as_ref().unwrap();
        assert!(found.build.part.is_some() && part.bare < found.band.mid && part.curve.len() > 5);
        let view = advice::view::answer::view(answer, &quantity::Units::metric());
        let values: Vec<&str> = view.candidates.iter().map(|c| c.value.text.as_str()).collect();
        assert!(values.contains(&"124\u{a0}N"), "{values:?}");
        assert_eq!(view.candidates.iter().filter(|c| c.part.is_some()).count(), 1);
        assert!(answer.parts_searched && view.with_parts.is_some());
    }

    #[test]
    fn a_shortfall_of_format_1_opens() {
        let short = Frozen::read(SHORTFALL).unwrap().answer.shortfall.unwrap();
        assert_eq!(short.best.unwrap().build.pieces, 8);
        assert_eq!(short.would_do.len(), 3);
    }

    #[test]
    fn near_misses_of_format_2_open_and_say_what_they_said() {
        let answer = Frozen::read(NEAR_MISSES).unwrap().answer;
        let view = advice::view::answer::view(&answer, &quantity::Units::metric());
        let said: Vec<String> = view.near_misses.iter().map(|miss| plain(&miss.runs)).collect();
        assert_eq!(said.len(), 6);
        assert!(said[0].ends_with("not the grade asked for"), "{said:?}");
        assert!(said[5].ends_with("short"), "{said:?}");
    }

    #[test]
    fn every_rule_of_format_2_reads() {
        let old = [
            json!({"rule": "too_wide", "has": 0.03}),
            json!({"rule": "too_narrow", "has": 0.003}),
            json!({"rule": "too_tall", "has": 0.03}),
            json!({"rule": "too_short", "has": 0.003}),
            json!({"rule": "wrong_shape"}),
            json!({"rule": "hole_too_small", "has": 0.0}),
            json!({"rule": "hole_too_small", "has": 0.003}),
            json!({"rule": "wrong_grade"}),
            json!({"rule": "wrong_coating"}),
            json!({"rule": "not_countersunk"}),
            json!({"rule": "too_hot", "stands": 80.0}),
            json!({"rule": "too_cold", "stands": -40.0}),
            json!({"rule": "coating", "surroundings": "outdoors"}),
            json!({"rule": "stack_too_high", "pieces": 2}),
            json!({"rule": "too_heavy", "has": 0.1}),
            json!({"rule": "over_budget_each", "has": "1.524"}),
            json!({"rule": "over_budget_total", "has": "152.4"}),
            json!({"rule": "no_price"}),
            json!({"rule": "not_in_stock", "has": 3, "needs": 5}),
            json!({"rule": "flight", "has": 3e-7}),
            json!({"rule": "too_much_far", "has": 3e-3}),
            json!({"rule": "overhangs", "has": 0.03}),
            json!({"rule": "past_knee", "loss": 0.2, "celsius": 80.0}),
            json!({"rule": "too_weak", "reaches": 0.9}),
            json!({"rule": "not_computable"}),
        ];
        for rule in old {
            let mut miss = json!({"ruled_out_by": rule});
            missed_from_2(&mut miss, "/limits/budget_each").unwrap();
            let read: Result<advice::answer::RuledOut, _> = serde_json::from_value(miss["ruled_out_by"].clone());
            assert!(read.is_ok(), "{rule}: {read:?}");
        }
    }

    #[test]
    fn what_is_kept_reads_as_it_was_and_a_newer_format_is_named() {
        let kept = Frozen::read(WITH_PART).unwrap();
        let again = Frozen::read(&kept.text().unwrap()).unwrap();
        assert_eq!((again.format, &again.answer), (FORMAT, &kept.answer));
        let [mine, next] = [FORMAT, FORMAT + 1].map(|format| format!("\"format\":{format}"));
        let newer = kept.text().unwrap().replacen(&mine, &next, 1);
        let told = Frozen::read(&newer).unwrap_err();
        assert!(told.contains(&format!("format {}", FORMAT + 1)), "{told}");
        assert!(Frozen::read("{}").is_err() && Frozen::read("no").is_err());
    }
}
