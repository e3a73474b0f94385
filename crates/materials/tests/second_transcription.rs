//! Grades and coatings against a second transcription that was made without looking at the first: a slip in one of
//! them shows as a difference. Both are mostly from memory, so agreement is no proof.

use std::collections::{BTreeMap, BTreeSet};

use materials::coating::CoatingTable;
use materials::grade::{Family, GradeRow, GradeTable};
use serde::Deserialize;

/// Brackets of remanence differ by this much from maker to maker, T.
const REMANENCE: f64 = 0.015;
/// The least coercivity is a class: 1 kOe in 12 would be another.
const CLASS_COERCIVITY: f64 = 0.01;
/// Coercivities of ferrite are rounded and measured less well.
const FERRITE_COERCIVITY: f64 = 0.09;
/// Typical values of one table, rounded when they were converted.
const TYPICAL: f64 = 0.02;

type Bracket = [f64; 2];

#[derive(Deserialize)]
struct Second {
    neodymium: BTreeMap<String, ByClass>,
    neodymium_class: BTreeMap<String, Class>,
    ferrite: BTreeMap<String, Ferrite>,
    samarium_cobalt: BTreeMap<String, ByClass>,
    alnico: BTreeMap<String, Alnico>,
    family: BTreeMap<String, OfFamily>,
    coating: BTreeMap<String, OfCoating>,
    difference: Vec<Difference>,
}

#[derive(Deserialize)]
struct ByClass {
    br: Bracket,
    hcj: f64,
}

#[derive(Deserialize)]
struct Class {
    max: Bracket,
    alpha: Bracket,
    beta: Bracket,
}

#[derive(Deserialize)]
struct Ferrite {
    br: Bracket,
    hcj: Bracket,
}

#[derive(Deserialize)]
struct Alnico {
    br: f64,
    hcb: f64,
    hcj: f64,
    energy: f64,
}

#[derive(Deserialize)]
struct OfFamily {
    density: Bracket,
    recoil: Bracket,
    alpha: Bracket,
    beta: Bracket,
    curie: Bracket,
    ceiling: Bracket,
}

#[derive(Deserialize)]
struct OfCoating {
    thickness: Bracket,
    spray: Bracket,
    ceiling: Bracket,
}

#[derive(Deserialize)]
struct Difference {
    row: String,
    what: String,
    reason: String,
}

fn second() -> Second {
    toml::from_str(include_str!("../../../oracle/second_transcription.toml")).expect("the second transcription reads")
}

/// What differs, as it comes up: row, value, the first and what the second has.
#[derive(Default)]
struct Found(Vec<(String, &'static str, f64, String)>);

impl Found {
    /// Two figures that should be the same.
    fn near(&mut self, row: &str, what: &'static str, first: f64, second: f64, tolerance: f64) {
        self.within(row, what, first, [second - tolerance, second + tolerance]);
    }

    /// A figure that should lie in a bracket.
    fn within(&mut self, row: &str, what: &'static str, first: f64, [low, high]: Bracket) {
        let hair = 1e-9 * high.abs().max(1.0);
        if !(low - hair..=high + hair).contains(&first) {
            self.0.push((row.to_owned(), what, first, format!("{low} to {high}")));
        }
    }

    fn assert_listed(self, listed: &[Difference]) {
        let found: BTreeSet<(String, String)> = self
            .0
            .iter()
            .map(|(row, what, ..)| (row.clone(), (*what).to_owned()))
            .collect();
        let said: BTreeSet<(String, String)> = listed.iter().map(|d| (d.row.clone(), d.what.clone())).collect();
        assert!(listed.iter().all(|d| !d.reason.is_empty()));
        let gone: Vec<_> = said.difference(&found).collect();
        let new: Vec<_> = self
            .0
            .iter()
            .filter(|(row, what, ..)| !said.contains(&(row.clone(), (*what).to_owned())))
            .collect();
        assert!(
            new.is_empty() && gone.is_empty(),
            "not listed: {new:#?}; listed and gone: {gone:#?}"
        );
    }
}

/// The letters after the number of a neodymium grade.
fn class(name: &str) -> &str {
    let letters = name.trim_start_matches(|c: char| c == 'N' || c.is_ascii_digit());
    if letters.is_empty() { "N" } else { letters }
}

fn family(row: &GradeRow) -> &'static str {
    match row.family {
        Family::NdFeB => "neodymium",
        Family::SmCo if row.name.starts_with("SmCo5") => "samarium_1_5",
        Family::SmCo => "samarium_2_17",
        Family::Ferrite => "ferrite",
        Family::AlNiCo => "alnico",
        Family::BondedNdFeB => "bonded_neodymium",
    }
}

#[test]
fn grades_are_as_a_second_transcription_has_them() {
    let second = second();
    let first = GradeTable::builtin().expect("the grades read");
    let mut found = Found::default();
    let mut compared = 0;
    for (name, row) in &second.neodymium {
        let Some(grade) = first.get(name) else { continue };
        compared += 1;
        found.near(name, "br_min", grade.br_min, row.br[0], REMANENCE);
        found.near(name, "br_max", grade.br_max, row.br[1], REMANENCE);
        found.near(
            name,
            "hcj_min",
            grade.hcj_min / 1e3,
            row.hcj,
            CLASS_COERCIVITY * row.hcj,
        );
    }
    for (name, row) in &second.samarium_cobalt {
        let ours = name.replace("YXG-", "Sm2Co17-").replace("YX-", "SmCo5-");
        let Some(grade) = first.get(&ours) else { continue };
        compared += 1;
        found.near(name, "br_min", grade.br_min, row.br[0], REMANENCE);
        found.near(name, "br_max", grade.br_max, row.br[1], REMANENCE);
        found.near(
            name,
            "hcj_min",
            grade.hcj_min / 1e3,
            row.hcj,
            CLASS_COERCIVITY * row.hcj,
        );
    }
    for (name, row) in &second.ferrite {
        let Some(grade) = first.get(name) else { continue };
        compared += 1;
        found.near(name, "br_min", grade.br_min, row.br[0], REMANENCE);
        found.near(name, "br_max", grade.br_max, row.br[1], REMANENCE);
        let most = grade.hcj_max.expect("ferrite lists its bracket");
        found.near(
            name,
            "hcj_min",
            grade.hcj_min / 1e3,
            row.hcj[0],
            FERRITE_COERCIVITY * row.hcj[0],
        );
        found.near(name, "hcj_max", most / 1e3, row.hcj[1], FERRITE_COERCIVITY * row.hcj[1]);
    }
    for (name, row) in &second.alnico {
        let ours = name.replace("Alnico", "AlNiCo");
        let Some(grade) = first.get(&ours) else { continue };
        compared += 1;
        let (hcb, energy) = (grade.hcb.expect("listed"), grade.energy_product.expect("listed"));
        found.near(&ours, "br", grade.br_typical, row.br, REMANENCE);
        found.near(&ours, "hcj", grade.hcj_typical() / 1e3, row.hcj, TYPICAL * row.hcj);
        found.near(&ours, "hcb", hcb / 1e3, row.hcb, TYPICAL * row.hcb);
        found.near(&ours, "energy", energy / 1e3, row.energy, TYPICAL * row.energy);
    }
    for grade in first.rows() {
        let name = &grade.name;
        let of = &second.family[family(grade)];
        found.within(name, "density", grade.density / 1e3, of.density);
        found.within(name, "recoil", grade.recoil_permeability, of.recoil);
        found.within(name, "alpha", 100.0 * grade.alpha_br_per_k, of.alpha);
        found.within(name, "beta", 100.0 * grade.beta_hcj_per_k, of.beta);
        found.within(name, "curie", grade.curie_celsius, of.curie);
        found.within(name, "ceiling", grade.max_service_celsius, of.ceiling);
        assert!((grade.br_min..=grade.br_max).contains(&grade.br_typical), "{name}");
        if grade.family == Family::NdFeB {
            let class = &second.neodymium_class[class(name)];
            found.within(name, "class alpha", 100.0 * grade.alpha_br_per_k, class.alpha);
            found.within(name, "class beta", 100.0 * grade.beta_hcj_per_k, class.beta);
            found.within(name, "class ceiling", grade.max_service_celsius, class.max);
        }
    }
    assert!(compared >= 70, "only {compared} grades stand in both");
    found.assert_listed(&second.difference);
}

#[test]
fn coatings_are_as_a_second_transcription_has_them() {
    let second = second();
    let first = CoatingTable::builtin().expect("the coatings read");
    let names = [
        ("nickel", "nickel-copper-nickel"),
        ("zinc", "zinc"),
        ("epoxy", "epoxy"),
        ("gold", "gold over nickel"),
        ("parylene", "parylene"),
        ("ptfe", "PTFE"),
        ("phosphate", "phosphate"),
        ("rubber", "rubber cover"),
    ];
    for (theirs, ours) in names {
        let (second, first) = (&second.coating[theirs], first.get(ours).expect("there"));
        let [thin, thick] = second.thickness;
        // What is common practice reaches from half to twice of what another remembers, and the middle lies within.
        assert!(
            (thin..=thick).contains(&(first.thickness.typical * 1e6)),
            "{ours}: {:?}",
            first.thickness
        );
        assert!(
            (thin / 2.0..=thick).contains(&(first.thickness.min * 1e6)),
            "{ours}: {:?}",
            first.thickness
        );
        assert!(
            (thin..=thick * 2.0).contains(&(first.thickness.max * 1e6)),
            "{ours}: {:?}",
            first.thickness
        );
        // Never rated hotter than both: the lower is the careful one.
        assert!(first.max_celsius <= second.ceiling[1], "{ours}: {}", first.max_celsius);
        assert!(first.max_celsius >= second.ceiling[0], "{ours}: {}", first.max_celsius);
        if let Some([least, most]) = first.salt_spray_hours {
            assert!(
                least >= second.spray[0] && most <= second.spray[1],
                "{ours}: {least} to {most} hours"
            );
        }
        let nickel = ["nickel", "gold"].contains(&theirs);
        assert_eq!(first.contains_nickel, nickel, "{ours}");
    }
}
