//! What the data files say of dangers and of layers, held to a list of its own: a row that is lost or made harmless is noticed.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::shelf::catalogue;

#[derive(Deserialize)]
struct Cautions {
    caution: Vec<Row>,
}

#[derive(Deserialize)]
struct Row {
    when: String,
    severity: String,
    text: String,
    rule: String,
}

/// When it is said, what it guards, what it must say, and what its rule rests on.
const CAUTIONS: [(&str, &str, &str, &str); 29] = [
    ("pinch", "harm", "{contact_force}", "common practice, no source"),
    ("shatter", "harm", "Eye protection", "common practice, no source"),
    ("dust", "harm", "Do not drill", "common practice, no source"),
    ("brittle", "damage", "brittle", "common practice, no source"),
    ("swallow", "harm", "can kill", "16 CFR 1262"),
    ("swallow_weak", "harm", "keep from children", "16 CFR 1501.4"),
    ("implant", "harm", "{implant_distance}", "Directive 2013/35/EU"),
    ("scanner", "harm", "magnetic resonance", "common practice, no source"),
    ("cards", "damage", "{card_distance}", "Prudent Practices"),
    ("steel_snaps", "harm", "{contact_pull}", "common practice, no source"),
    ("steel_falls", "damage", "{left}", "solved for this build"),
    (
        "overhead",
        "harm",
        "second means of holding",
        "local lifting and building codes",
    ),
    ("lifting", "harm", "not lifting gear", "EN 13155"),
    ("lever", "harm", "lever", "common practice, no source"),
    ("adhesive", "damage", "{max_temperature}", "common practice, no source"),
    ("heat", "damage", "{max_temperature}", "GB/T 13560-2017"),
    ("opposed", "damage", "{opposed_loss}", "least coercivity"),
    ("air_order", "note", "{order_range}", "UN 2807"),
    ("air_never", "note", "may not fly", "49 CFR 173.21(d)"),
    ("nickel", "note", "lasting contact with skin", "REACH Annex XVII"),
    ("estimate", "note", "try one", "no published source"),
    ("not_rated", "damage", "{rated}", "common practice, no source"),
    ("not_rated_cold", "damage", "{rated}", "common practice, no source"),
    ("loses_for_good", "damage", "{part}", "least coercivity"),
    ("extrapolated", "note", "{from} to {to}", "from memory"),
    (
        "coating_fails",
        "damage",
        "does not last {place}",
        "common practice, no source",
    ),
    ("coating_with_care", "note", "with care", "common practice, no source"),
    ("place_not_said", "note", "{place}", "common practice, no source"),
    ("no_curve", "note", "{reason}", "no data"),
];

#[test]
fn every_caution_guards_what_it_should() {
    let file: Cautions = toml::from_str(include_str!("../../data/cautions.toml")).expect("the cautions read");
    let rows: BTreeMap<&str, &Row> = file.caution.iter().map(|row| (row.when.as_str(), row)).collect();
    for (when, severity, says, rule) in &CAUTIONS {
        let row = rows
            .get(when)
            .unwrap_or_else(|| panic!("no caution is said when {when}"));
        assert_eq!(row.severity, *severity, "{when}");
        assert!(row.text.contains(says), "{when}: {says:?} is not in {:?}", row.text);
        assert!(row.rule.contains(rule), "{when}: {rule:?} is not in {:?}", row.rule);
    }
    assert_eq!(rows.len(), CAUTIONS.len(), "a caution is not listed here");
}

#[derive(Deserialize)]
struct Handling {
    handling: Vec<Work>,
}

#[derive(Deserialize)]
struct Work {
    work: String,
    families: Vec<String>,
    text: String,
    rule: String,
}

/// Sintered and cast magnets are not to be drilled, pressed in by force or welded.
#[test]
fn no_work_that_harms_is_allowed() {
    let file: Handling = toml::from_str(include_str!("../../data/handling.toml")).expect("the rows read");
    let says = |work: &str, family: &str| {
        let fits = |row: &&Work| {
            row.work.contains(work) && (row.families.is_empty() || row.families.iter().any(|f| f == family))
        };
        let row = file.handling.iter().find(fits);
        let row = row.unwrap_or_else(|| panic!("nothing is said of {work} for {family}"));
        assert!(row.rule.contains("common practice, no source"));
        row.text.clone()
    };
    for family in ["ndfeb", "sm_co"] {
        assert!(says("drill", family).starts_with("No."), "{family}");
    }
    assert!(says("drill", "ndfeb").contains("catches fire"));
    assert!(says("drill", "sm_co").contains("burns"));
    assert!(says("drill", "ferrite").starts_with("Not with workshop tools"));
    assert!(says("drill", "al_ni_co").starts_with("Only by grinding"));
    assert!(says("drill", "bonded_ndfeb").contains("dust burns"));
    for family in ["ndfeb", "sm_co", "ferrite", "al_ni_co"] {
        assert!(says("press in", family).starts_with("Not by force"), "{family}");
        assert!(says("weld", family).starts_with("No:"), "{family}");
        assert!(says("glue", family).starts_with("Yes."), "{family}");
    }
}

/// How far the thickness of a layer may be off, as a part of it; from memory.
#[test]
fn layers_are_as_uncertain_as_is_said() {
    let catalogue = catalogue();
    for (name, tolerance) in [
        ("paint", 0.25),
        ("lacquer", 0.25),
        ("powder coat", 0.25),
        ("wood", 0.05),
        ("plastic", 0.05),
        ("glass", 0.05),
        ("air", 0.10),
        ("paper", 0.15),
        ("fabric", 0.20),
        ("rubber", 0.15),
        ("tape", 0.20),
        ("brass", 0.05),
        ("plaster", 0.10),
    ] {
        let layer = catalogue.layer(name).unwrap_or_else(|| panic!("{name} is no layer"));
        assert_eq!(layer.tolerance, tolerance, "{name}");
    }
    assert_eq!(catalogue.layers.len(), 12);
}

/// Thickness a side in micrometres, what it stands, and whether it holds nickel; common practice, no source.
#[test]
fn coatings_are_as_thick_and_as_lasting_as_is_said() {
    let catalogue = catalogue();
    for (name, thickness, celsius, nickel) in [
        ("nickel-copper-nickel", [10.0, 18.0, 25.0], 200.0, true),
        ("nickel", [10.0, 15.0, 20.0], 200.0, true),
        ("zinc", [5.0, 8.0, 15.0], 120.0, false),
        ("epoxy", [15.0, 22.0, 30.0], 130.0, false),
        ("gold over nickel", [10.0, 18.0, 26.0], 200.0, true),
        ("PTFE", [15.0, 25.0, 40.0], 200.0, false),
        ("rubber cover", [300.0, 700.0, 1500.0], 80.0, false),
        ("parylene", [5.0, 10.0, 20.0], 100.0, false),
        ("phosphate", [1.0, 3.0, 6.0], 150.0, false),
        ("chrome", [10.0, 18.0, 25.0], 200.0, true),
        ("tin", [10.0, 18.0, 25.0], 150.0, true),
        ("copper", [10.0, 15.0, 20.0], 200.0, true),
        ("silver", [10.0, 18.0, 26.0], 200.0, true),
        ("none", [0.0, 0.0, 0.0], 500.0, false),
    ] {
        let coating = catalogue
            .coatings
            .get(name)
            .unwrap_or_else(|| panic!("{name} is no coating"));
        let of = coating.thickness;
        for (got, want) in [of.min, of.typical, of.max].into_iter().zip(thickness) {
            assert!((got * 1e6 - want).abs() <= 1e-9, "{name}: {of:?}");
        }
        assert_eq!(
            (coating.max_celsius, coating.contains_nickel),
            (celsius, nickel),
            "{name}"
        );
    }
    assert_eq!(catalogue.coatings.rows().len(), 14);
    // An adhesive lies over the listed size, and gives way before the coating does; common practice, no source.
    let padded = catalogue.coatings.get("zinc, self-adhesive").unwrap();
    let pad = padded.pad.unwrap();
    assert_eq!([pad.min, pad.typical, pad.max], [0.05e-3, 0.2e-3, 1.0e-3]);
    assert_eq!(padded.max_celsius, 70.0);
    assert_eq!(padded.thickness, catalogue.coatings.get("zinc").unwrap().thickness);
    let rubber = catalogue.coatings.get("rubber").unwrap();
    assert_eq!((rubber.friction, rubber.pad), (Some([0.4, 0.5, 0.7]), None));
}
