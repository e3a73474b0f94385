//! Fits the weights of `data/weights.toml` to files of enquiries with expected readings.
//!
//! `cargo run -p enquiry --example fit -- FILE... [--against FILE...] [--write data/weights.toml]`: learns from the first
//! files, says how many amounts of the files after `--against` get their place, and writes the weights.
//!
//! The model is multinomial logistic regression: the score of a place is the sum of the weights of the features around the
//! amount, and of what the rules give the place; the places of a verb compete. It is fitted by AdaGrad with a penalty on
//! the sum of the weights, which leaves few of them, in a fixed order: the same files give the same weights.

#[path = "../../tests/scorer/mod.rs"]
#[allow(dead_code, reason = "the scorer is shared with the tests")]
mod scorer;

use std::collections::BTreeMap;

use advice::sentence::Verb;
use enquiry::{Evidence, Vocabulary, evidence};
use quantity::{Length, Load};
use scorer::Case;
use serde_json::Value;

const PLACES: [&str; 33] = [
    "nobody",
    "thickness",
    "across",
    "layer",
    "widest",
    "narrowest",
    "tallest",
    "shortest",
    "hole",
    "gap",
    "distance",
    "off_axis",
    "near",
    "far",
    "probe",
    "load",
    "mass",
    "pieces",
    "shared_by",
    "safety",
    "stack",
    "things",
    "hold",
    "pull_together",
    "push_apart",
    "reach_field",
    "face_field",
    "switch_sensor",
    "sideways",
    "hanging_below",
    "straight_off",
    "magnet_size",
    "steel_size",
];
/// What the rules count before anything is learnt.
const UNLEARNT: f64 = 0.3;
const EPOCHS: usize = 40;
const RATE: f64 = 0.3;
/// The penalty on each weight, per example.
const PENALTY: f64 = 2.0e-4;
/// A feature is learnt where so many amounts have it.
const LEAST: usize = 4;

struct Row {
    features: Vec<String>,
    rules: Vec<(usize, f64)>,
    label: usize,
    said: String,
}

/// The ends of a length in mm.
fn millimetres(text: &str) -> Option<[f64; 2]> {
    if let Some((low, high)) = text.split_once("..") {
        let unit = high.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.').trim();
        return Some([millimetres(&format!("{low} {unit}"))?[0], millimetres(high)?[1]]);
    }
    if let Some(gauge) = text.strip_suffix(" gauge") {
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
        return Some([mm, mm]);
    }
    let mm = quantity::parse::<Length>(text).ok()?.si() * 1e3;
    Some([mm, mm])
}

/// The lengths that a reading has, by place.
fn expected(expect: &Value) -> Vec<(&'static str, [f64; 2])> {
    let question = &expect["question"];
    let mut out = Vec::new();
    let mut put = |place: &'static str, value: &Value| {
        if let Some(ends) = value.as_str().and_then(millimetres) {
            out.push((place, ends));
        }
    };
    let (need, limits) = (&question["need"], &question["limits"]);
    put("thickness", &need["steel"]["thickness"]);
    put("across", &need["steel"]["across"]);
    for layer in need["layers"].as_array().into_iter().flatten() {
        let place = if layer["material"] == "air" { "gap" } else { "layer" };
        put(place, &layer["thickness"]);
    }
    for place in ["widest", "narrowest", "tallest", "shortest", "hole"] {
        put(place, &limits[place]);
    }
    for (place, key) in [
        ("gap", "gap"),
        ("distance", "distance"),
        ("off_axis", "off_axis"),
        ("near", "near"),
        ("far", "far"),
        ("probe", "probe_depth"),
    ] {
        put(place, &need[key]);
    }
    put("distance", &need["no_more_than"]["distance"]);
    for value in [&need["load"], &need["force"]] {
        if let Some(ends) = value.as_str().and_then(newtons) {
            out.push(("load", ends));
        }
    }
    if let Some(ends) = limits["mass"].as_str().and_then(newtons) {
        out.push(("mass", ends));
    }
    for (place, value) in [
        ("shared_by", &need["shared_by"]),
        ("safety", &need["safety_factor"]),
        ("stack", &limits["stack"]),
        ("pieces", &question["pieces"]),
    ] {
        if let Some(n) = value.as_f64() {
            out.push((place, [n, n]));
        }
    }
    out
}

/// The ends of a load in N.
fn newtons(text: &str) -> Option<[f64; 2]> {
    if let Some((low, high)) = text.split_once("..") {
        let unit = high.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.').trim();
        return Some([newtons(&format!("{low} {unit}"))?[0], newtons(high)?[1]]);
    }
    let n = Load::parse(text).ok()?.force().si();
    Some([n, n])
}

/// What a place is measured in.
fn measured(place: &str) -> &'static str {
    match place {
        "load" | "mass" => "load",
        "pieces" | "shared_by" | "safety" | "stack" | "things" => "count",
        _ => "length",
    }
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 0.011 * a.abs().max(b.abs())
}

fn rows(case: &Case, evidence: &[Evidence]) -> Vec<Row> {
    let mut labels: Vec<Option<&str>> = vec![None; evidence.len()];
    let mut missing: Vec<(&str, [f64; 2])> = Vec::new();
    let all = expected(&case.expect);
    let mut by_size: Vec<&str> = Vec::new();
    for (i, e) in evidence.iter().enumerate().filter(|e| !e.1.sizes_mm.is_empty()) {
        let has = |places: &[&'static str]| -> Vec<&'static str> {
            all.iter()
                .filter(|x| places.contains(&x.0) && e.sizes_mm.iter().any(|mm| near(*mm, x.1[0])))
                .map(|x| x.0)
                .collect()
        };
        let magnet = has(&["widest", "tallest", "narrowest", "hole"]);
        let steel = has(&["thickness", "across"]);
        labels[i] = Some("nobody");
        if !magnet.is_empty() && magnet.len() >= steel.len() {
            labels[i] = Some("magnet_size");
            by_size.extend(magnet);
        } else if !steel.is_empty() {
            labels[i] = Some("steel_size");
            by_size.extend(steel);
        }
    }
    for (place, ends) in all {
        let rule = |e: &Evidence| e.places.iter().find(|p| p.0 == place).map_or(-9.0, |p| p.1);
        let found = (0..evidence.len())
            .filter(|i| {
                let e = &evidence[*i];
                labels[*i].is_none() && rule(e) > -9.0 && (near(e.ends[0], ends[0]) || near(e.ends[1], ends[1]))
            })
            .max_by(|a, b| rule(&evidence[*a]).total_cmp(&rule(&evidence[*b])));
        match found {
            Some(i) => labels[i] = Some(place),
            None if by_size.contains(&place) => {}
            None => missing.push((place, ends)),
        }
    }
    // parts of a sum
    for (place, ends) in missing.iter().filter(|m| measured(m.0) == "length") {
        let free: Vec<usize> = (0..evidence.len())
            .filter(|i| labels[*i].is_none() && evidence[*i].places.iter().any(|p| p.0 == *place))
            .collect();
        let sum = |list: &[usize]| list.iter().map(|i| evidence[*i].ends[1]).sum::<f64>();
        let parts = free
            .iter()
            .flat_map(|a| {
                let twos = free.iter().filter(move |b| *b > a).map(move |b| vec![*a, *b]);
                let threes = free.windows(3).map(<[usize]>::to_vec);
                twos.chain(threes).chain(std::iter::once(vec![*a]))
            })
            .find(|list| near(sum(list), ends[1]) || near(2.0 * sum(list), ends[1]));
        for i in parts.into_iter().flatten() {
            labels[i] = Some(*place);
        }
    }
    // numbers whose product is that of the pieces
    if let Some((_, [pieces, _])) = missing.iter().find(|m| m.0 == "pieces") {
        let free: Vec<usize> = (0..evidence.len())
            .filter(|i| {
                let e = &evidence[*i];
                labels[*i].is_none() && e.ends[0] > 1.0 && e.places.iter().any(|p| p.0 == "things")
            })
            .collect();
        let shared = expected(&case.expect)
            .iter()
            .find(|e| e.0 == "shared_by")
            .map_or(1.0, |e| e.1[0]);
        let ones = free.iter().map(|a| vec![*a]);
        let twos = free
            .iter()
            .flat_map(|a| free.iter().filter(move |b| *b > a).map(move |b| vec![*a, *b]));
        let found = ones.chain(twos).find(|list| {
            let product: f64 = list.iter().map(|i| evidence[*i].ends[1]).product();
            [1.0, 2.0, shared, 2.0 * shared]
                .iter()
                .any(|by| near(product * by, *pieces))
        });
        for i in found.into_iter().flatten() {
            labels[i] = Some("things");
        }
    }
    let unsure = missing.iter().any(|m| matches!(m.0, "gap" | "layer"));
    let index = |place: &str| PLACES.iter().position(|p| *p == place);
    evidence
        .iter()
        .zip(&labels)
        .filter(|(e, label)| {
            let part = unsure && e.places.iter().any(|p| matches!(p.0, "gap" | "layer")) && e.ends[1] < 60.0;
            label.is_some() || !part
        })
        .filter_map(|(e, label)| {
            let label = index(label.unwrap_or("nobody"))?;
            let rules: Vec<(usize, f64)> = e
                .places
                .iter()
                .filter_map(|p| Some((index(p.0)?, p.1.clamp(-4.0, 8.0))))
                .collect();
            let said = format!("{} {}", case.id, &case.text[e.range.clone()]);
            let features = e.features.clone();
            rules.iter().any(|r| r.0 == label).then_some(Row {
                features,
                rules,
                label,
                said,
            })
        })
        .collect()
}

fn row(case: &Case, evidence: &Evidence, label: &str) -> Option<Row> {
    let index = |place: &str| PLACES.iter().position(|p| *p == place);
    Some(Row {
        features: evidence.features.clone(),
        rules: evidence
            .places
            .iter()
            .filter_map(|p| Some((index(p.0)?, p.1.clamp(-4.0, 8.0))))
            .collect(),
        label: index(label)?,
        said: format!("{} {}", case.id, case.text.chars().take(150).collect::<String>()),
    })
}

#[derive(Default)]
struct Model {
    weights: BTreeMap<String, Vec<f64>>,
    rules: Vec<f64>,
}

impl Model {
    fn scores(&self, row: &Row) -> Vec<f64> {
        row.rules
            .iter()
            .map(|(place, rule)| {
                let own = self.rules[*place] * rule;
                own + row
                    .features
                    .iter()
                    .filter_map(|f| self.weights.get(f))
                    .map(|w| w[*place])
                    .sum::<f64>()
            })
            .collect()
    }

    fn chances(&self, row: &Row) -> Vec<f64> {
        let scores = self.scores(row);
        let most = scores.iter().copied().fold(f64::MIN, f64::max);
        let parts: Vec<f64> = scores.iter().map(|s| (s - most).exp()).collect();
        let sum: f64 = parts.iter().sum();
        parts.iter().map(|p| p / sum).collect()
    }
}

fn fit(rows: &[Row]) -> Model {
    let mut often: BTreeMap<&str, usize> = BTreeMap::new();
    for row in rows {
        row.features.iter().for_each(|f| *often.entry(f).or_default() += 1);
    }
    let names: Vec<&str> = often.iter().filter(|o| *o.1 >= LEAST).map(|o| *o.0).collect();
    let index: BTreeMap<&str, usize> = names.iter().enumerate().map(|(i, n)| (*n, i)).collect();
    let n = PLACES.len();
    let mut weights = vec![0.0f64; names.len() * n];
    let mut squares = vec![1e-3f64; names.len() * n];
    let mut rules = vec![UNLEARNT; n];
    let mut rule_squares = vec![1e-3f64; n];
    let known: Vec<Vec<usize>> = rows
        .iter()
        .map(|r| {
            let mut list: Vec<usize> = r
                .features
                .iter()
                .filter_map(|f| index.get(f.as_str()).copied())
                .collect();
            list.sort_unstable();
            list.dedup();
            list
        })
        .collect();
    for epoch in 0..EPOCHS {
        for step in 0..rows.len() {
            // a fixed order that mixes the texts
            let at = (step * 7919 + epoch * 13) % rows.len();
            let row = &rows[at];
            let scores: Vec<f64> = row
                .rules
                .iter()
                .map(|(place, rule)| {
                    rules[*place] * rule + known[at].iter().map(|f| weights[f * n + place]).sum::<f64>()
                })
                .collect();
            let most = scores.iter().copied().fold(f64::MIN, f64::max);
            let parts: Vec<f64> = scores.iter().map(|s| (s - most).exp()).collect();
            let sum: f64 = parts.iter().sum();
            for ((place, rule), part) in row.rules.iter().zip(&parts) {
                let slope = part / sum - f64::from(u8::from(*place == row.label));
                if slope.abs() < 1e-4 {
                    continue;
                }
                rule_squares[*place] += (slope * rule) * (slope * rule);
                rules[*place] -= 0.1 * RATE * slope * rule / rule_squares[*place].sqrt();
                rules[*place] = rules[*place].max(0.0);
                for f in &known[at] {
                    let k = f * n + place;
                    squares[k] += slope * slope;
                    weights[k] -= RATE * slope / squares[k].sqrt();
                }
            }
        }
        // the penalty, once for all examples of the epoch
        for (w, s) in weights.iter_mut().zip(&squares) {
            let shrink = RATE * PENALTY * rows.len() as f64 / s.sqrt();
            *w = w.signum() * (w.abs() - shrink).max(0.0);
        }
    }
    Model {
        weights: names
            .iter()
            .enumerate()
            .map(|(i, name)| ((*name).to_owned(), weights[i * n..(i + 1) * n].to_vec()))
            .filter(|w| w.1.iter().any(|x| *x != 0.0))
            .collect(),
        rules,
    }
}

fn best(scores: &[f64]) -> usize {
    (0..scores.len())
        .max_by(|a, b| scores[*a].total_cmp(&scores[*b]))
        .unwrap_or(0)
}

/// What is weighed.
const MATTERS: [&str; 3] = ["amount", "verb", "direction"];

/// The rows of a sentence that says itself what its amounts are: `hold sideways: a sign of [2 kg|load]`.
fn taught(line: &str, vocabulary: &Vocabulary) -> Vec<(&'static str, Row)> {
    let (head, marked) = line.split_once(": ").unwrap_or_else(|| panic!("no verb: {line}"));
    let (name, way) = head.split_once(' ').unwrap_or((head, ""));
    let verb = Verb::ALL
        .into_iter()
        .find(|v| v.name() == name)
        .unwrap_or_else(|| panic!("no such verb: {line}"));
    let mut text = String::new();
    let mut said: Vec<(std::ops::Range<usize>, &str)> = Vec::new();
    let mut rest = marked;
    while let Some(open) = rest.find('[') {
        let close = rest.find(']').unwrap_or_else(|| panic!("no closing bracket: {line}"));
        let (amount, place) = rest[open + 1..close]
            .split_once('|')
            .unwrap_or_else(|| panic!("no place: {line}"));
        text.push_str(&rest[..open]);
        said.push((text.len()..text.len() + amount.len(), place));
        text.push_str(amount);
        rest = &rest[close + 1..];
    }
    text.push_str(rest);
    let case = Case {
        id: "taught".into(),
        text: text.clone(),
        kind: "choose".into(),
        expect: Value::Null,
    };
    let mut out = Vec::new();
    for e in evidence(&text, vocabulary, verb) {
        let label = match e.matter {
            "verb" => name,
            "direction" => way,
            _ => said
                .iter()
                .find(|s| s.0.start < e.range.end && e.range.start < s.0.end)
                .map_or("nobody", |s| s.1),
        };
        out.extend(
            row(&case, &e, label)
                .filter(|r| r.rules.iter().any(|x| x.0 == r.label))
                .map(|r| (e.matter, r)),
        );
    }
    out
}

/// The rows of a case for each matter.
fn learnt(case: &Case, vocabulary: &Vocabulary) -> Vec<(&'static str, Row)> {
    let question = &case.expect["question"];
    let name = |key: &str| question["need"][key].as_str().unwrap_or_default().to_owned();
    let Some(verb) = Verb::ALL.into_iter().find(|v| v.name() == name("verb")) else {
        return Vec::new();
    };
    let seen = evidence(&case.text, vocabulary, verb);
    let amounts: Vec<Evidence> = seen.iter().filter(|e| e.matter == "amount").cloned().collect();
    let mut out: Vec<(&'static str, Row)> = rows(case, &amounts).into_iter().map(|r| ("amount", r)).collect();
    for e in seen.iter().filter(|e| e.matter != "amount") {
        let label = match e.matter {
            "verb" => name("verb"),
            "direction" => name("direction"),
            _ => continue,
        };
        out.extend(row(case, e, &label).map(|r| (e.matter, r)));
    }
    out
}

fn report(name: &str, model: &Model, rows: &[Row]) {
    let right = |r: &&Row| r.rules[best(&model.scores(r))].0 == r.label;
    let part = |of: usize, all: usize| 100.0 * of as f64 / all.max(1) as f64;
    let by_rules = rows.iter().filter(|r| {
        let scores: Vec<f64> = r.rules.iter().map(|x| x.1).collect();
        r.rules[best(&scores)].0 == r.label
    });
    println!(
        "  {name}: {} rows, rules alone {:.1} % right, weighed {:.1} %",
        rows.len(),
        part(by_rules.count(), rows.len()),
        part(rows.iter().filter(right).count(), rows.len())
    );
    for least in [0.5, 0.6, 0.7, 0.8, 0.9] {
        let sure: Vec<&Row> = rows
            .iter()
            .filter(|r| model.chances(r).into_iter().fold(0.0, f64::max) >= least)
            .collect();
        let right = sure.iter().copied().filter(|r| right(r)).count();
        println!(
            "    chance of {least} and more: {} rows, {:.1} % right",
            sure.len(),
            part(right, sure.len())
        );
    }
}

fn section(matter: &str, model: &Model) -> String {
    let mut text = format!("[{matter}.rules]\n");
    for (name, w) in PLACES.iter().zip(&model.rules).filter(|w| *w.1 != UNLEARNT) {
        text.push_str(&format!("{name} = {w:.2}\n"));
    }
    text.push_str(&format!("\n[{matter}.feature]\n"));
    for (name, w) in &model.weights {
        let parts: Vec<String> = PLACES
            .iter()
            .zip(w)
            .filter(|x| x.1.abs() >= 0.05)
            .map(|(p, x)| format!("{p} = {x:.2}"))
            .collect();
        if !parts.is_empty() {
            text.push_str(&format!("{name:?} = {{ {} }}\n", parts.join(", ")));
        }
    }
    text
}

const HEAD: &str =
    "# By these the places of an amount, the verbs and the ways of a load compete; written by examples/fit from the
# enquiries in tests/corpus, not by hand. rules: how much what the rules give a place counts. feature: what each feature
# of src/evidence.rs and src/counts.rs gives each place.

";

fn main() {
    let vocabulary = scorer::vocabulary();
    let (mut learn, mut against): (Vec<Case>, Vec<Case>) = (Vec::new(), Vec::new());
    let mut lines: Vec<String> = Vec::new();
    let (mut tests, mut write, mut loud) = (false, None, false);
    let mut list = std::env::args().skip(1);
    while let Some(arg) = list.next() {
        match arg.as_str() {
            "--against" => tests = true,
            "--write" => write = list.next(),
            "-v" => loud = true,
            file if file.ends_with(".txt") => {
                let text = std::fs::read_to_string(file).unwrap_or_else(|e| panic!("{file}: {e}"));
                lines.extend(
                    text.lines()
                        .filter(|l| !l.is_empty() && !l.starts_with('#'))
                        .map(str::to_owned),
                );
            }
            file => {
                let text = std::fs::read_to_string(file).unwrap_or_else(|e| panic!("{file}: {e}"));
                let target = if tests { &mut against } else { &mut learn };
                target.extend(scorer::cases(&text).into_iter().filter(|c| c.kind == "choose"));
            }
        }
    }
    let mut text = HEAD.to_owned();
    let rows = |cases: &[Case]| -> Vec<(&str, Row)> { cases.iter().flat_map(|c| learnt(c, &vocabulary)).collect() };
    let (mut known_all, mut fresh_all) = (rows(&learn), rows(&against));
    known_all.extend(lines.iter().flat_map(|l| taught(l, &vocabulary)));
    for matter in MATTERS {
        let take = |all: &mut Vec<(&str, Row)>| -> Vec<Row> {
            let (own, rest) = std::mem::take(all).into_iter().partition(|r| r.0 == matter);
            *all = rest;
            let own: Vec<(&str, Row)> = own;
            own.into_iter().map(|r| r.1).collect()
        };
        let (known, fresh) = (take(&mut known_all), take(&mut fresh_all));
        let model = fit(&known);
        println!("{matter}: {} features", model.weights.len());
        report("learnt from", &model, &known);
        report("against", &model, &fresh);
        for row in fresh.iter().filter(|_| loud) {
            let chances = model.chances(row);
            let got = best(&chances);
            if row.rules[got].0 != row.label {
                println!(
                    "{} is {}, read as {} {:.2}",
                    row.said, PLACES[row.label], PLACES[row.rules[got].0], chances[got]
                );
            }
        }
        text.push_str(&section(matter, &model));
        text.push('\n');
    }
    if let Some(file) = write {
        std::fs::write(&file, text.trim_end().to_owned() + "\n").unwrap_or_else(|e| panic!("{file}: {e}"));
    }
}
