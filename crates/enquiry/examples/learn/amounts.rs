//! Which place the amounts of a read enquiry have: those of its expected reading, found by their values.

use enquiry::Evidence;
use quantity::{Length, Load};
use serde_json::Value;

/// The ends of a length in mm.
fn millimetres(text: &str) -> Option<[f64; 2]> {
    if let Some((low, high)) = text.split_once("..") {
        let unit = high.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.').trim();
        return Some([millimetres(&format!("{low} {unit}"))?[0], millimetres(high)?[1]]);
    }
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
        return Some([mm, mm]);
    }
    let mm = quantity::parse::<Length>(text).ok()?.si() * 1e3;
    Some([mm, mm])
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

/// A place with the ends of what stands there.
type Wanted = (&'static str, [f64; 2]);

/// The amounts that a reading has, by place.
fn expected(expect: &Value) -> Vec<Wanted> {
    let question = &expect["question"];
    let (need, limits) = (&question["need"], &question["limits"]);
    let mut lengths: Vec<(&'static str, &Value)> = vec![
        ("thickness", &need["steel"]["thickness"]),
        ("across", &need["steel"]["across"]),
    ];
    for layer in need["layers"].as_array().into_iter().flatten() {
        let place = if layer["material"] == "air" { "gap" } else { "layer" };
        lengths.push((place, &layer["thickness"]));
    }
    lengths.extend(["widest", "narrowest", "tallest", "shortest", "hole"].map(|place| (place, &limits[place])));
    lengths.extend(["gap", "distance", "off_axis", "near", "far"].map(|place| (place, &need[place])));
    lengths.push(("probe", &need["probe_depth"]));
    lengths.push(("distance", &need["no_more_than"]["distance"]));
    let loads = [
        ("load", &need["load"]),
        ("load", &need["force"]),
        ("mass", &limits["mass"]),
    ];
    let counts = [
        ("shared_by", &need["shared_by"]),
        ("safety", &need["safety_factor"]),
        ("stack", &limits["stack"]),
        ("pieces", &question["pieces"]),
    ];
    let said = |value: &Value, read: fn(&str) -> Option<[f64; 2]>| value.as_str().and_then(read);
    let lengths = lengths
        .into_iter()
        .filter_map(|(place, value)| Some((place, said(value, millimetres)?)));
    let loads = loads
        .into_iter()
        .filter_map(|(place, value)| Some((place, said(value, newtons)?)));
    let counts = counts
        .into_iter()
        .filter_map(|(place, value)| Some((place, [value.as_f64()?; 2])));
    lengths.chain(loads).chain(counts).collect()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 0.011 * a.abs().max(b.abs())
}

fn has(evidence: &Evidence, place: &str) -> bool {
    evidence.places.iter().any(|p| p.0 == place)
}

/// The place of each amount by the expected reading; `None` where the reading leaves it open.
pub fn places(expect: &Value, evidence: &[Evidence]) -> Vec<Option<&'static str>> {
    let mut labels: Vec<Option<&'static str>> = vec![None; evidence.len()];
    let all = expected(expect);
    let by_size = sizes(&all, evidence, &mut labels);
    let mut missing: Vec<Wanted> = Vec::new();
    for (place, ends) in all.iter().copied() {
        let rule = |e: &Evidence| e.places.iter().find(|p| p.0 == place).map_or(-9.0, |p| p.1);
        let found = |place: &str| {
            (0..evidence.len())
                .filter(|i| {
                    let e = &evidence[*i];
                    labels[*i].is_none() && has(e, place) && (near(e.ends[0], ends[0]) || near(e.ends[1], ends[1]))
                })
                .max_by(|a, b| rule(&evidence[*a]).total_cmp(&rule(&evidence[*b])))
        };
        // a layer without a known name by its thickness is a length that lies between
        let unnamed = || found("gap").filter(|_| place == "layer").map(|i| (i, "gap"));
        match found(place).map(|i| (i, place)).or_else(unnamed) {
            Some((i, place)) => labels[i] = Some(place),
            None if by_size.contains(&place) => {}
            None => missing.push((place, ends)),
        }
    }
    sums(&missing, evidence, &mut labels);
    products(&all, &missing, evidence, &mut labels);
    // what lies between is a sum whose parts were not found: each of them may be one
    let unsure = missing.iter().any(|m| matches!(m.0, "gap" | "layer"));
    evidence
        .iter()
        .zip(labels)
        .map(|(e, label)| {
            let part = unsure && (has(e, "gap") || has(e, "layer")) && e.ends[1] < 60.0;
            label.or((!part).then_some("nobody"))
        })
        .collect()
}

/// Sizes such as `20x10`, and the places that their numbers have.
fn sizes(all: &[Wanted], evidence: &[Evidence], labels: &mut [Option<&'static str>]) -> Vec<&'static str> {
    let mut by_size: Vec<&'static str> = Vec::new();
    for (label, e) in labels.iter_mut().zip(evidence).filter(|(_, e)| !e.sizes_mm.is_empty()) {
        let has = |places: &[&str]| -> Vec<&'static str> {
            all.iter()
                .filter(|x| places.contains(&x.0) && e.sizes_mm.iter().any(|mm| near(*mm, x.1[0])))
                .map(|x| x.0)
                .collect()
        };
        let magnet = has(&["widest", "tallest", "narrowest", "hole"]);
        let steel = has(&["thickness", "across"]);
        *label = Some("nobody");
        if !magnet.is_empty() && magnet.len() >= steel.len() {
            *label = Some("magnet_size");
            by_size.extend(magnet);
        } else if !steel.is_empty() {
            *label = Some("steel_size");
            by_size.extend(steel);
        }
    }
    by_size
}

/// Lengths whose sum, once or on both sides, is that of a place.
fn sums(missing: &[Wanted], evidence: &[Evidence], labels: &mut [Option<&'static str>]) {
    for (place, ends) in missing
        .iter()
        .filter(|m| !matches!(m.0, "load" | "mass" | "pieces" | "shared_by" | "safety" | "stack"))
    {
        let free: Vec<usize> = (0..evidence.len())
            .filter(|i| labels[*i].is_none() && has(&evidence[*i], place))
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
}

/// Numbers whose product is that of the pieces.
fn products(all: &[Wanted], missing: &[Wanted], evidence: &[Evidence], labels: &mut [Option<&'static str>]) {
    let Some((_, [pieces, _])) = missing.iter().find(|m| m.0 == "pieces") else {
        return;
    };
    let free: Vec<usize> = (0..evidence.len())
        .filter(|i| {
            let e = &evidence[*i];
            labels[*i].is_none() && e.ends[0] > 1.0 && has(e, "things")
        })
        .collect();
    let shared = all.iter().find(|e| e.0 == "shared_by").map_or(1.0, |e| e.1[0]);
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
