//! Steels against a second transcription that was made without looking at the first.

use std::collections::{BTreeMap, BTreeSet};

use materials::MU_0;
use serde::Deserialize;
use steel::{BhCurve, SteelTable};

type Bracket = [f64; 2];

#[derive(Deserialize)]
struct Second {
    steel: BTreeMap<String, OfSteel>,
    austenitic: BTreeMap<String, Austenitic>,
    steel_difference: Vec<Difference>,
}

#[derive(Deserialize)]
struct Difference {
    what: String,
}

#[derive(Deserialize)]
struct OfSteel {
    saturation: Bracket,
    b1: Option<Bracket>,
    b5: Option<Bracket>,
    b10: Option<Bracket>,
}

#[derive(Deserialize)]
struct Austenitic {
    permeability: Bracket,
}

/// Flux density at a field strength in A/m, from a curve that is read the other way.
fn flux_density(curve: &BhCurve, h: f64) -> f64 {
    let (mut low, mut high) = (0.0, 10.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if curve.at(middle).h < h {
            low = middle
        } else {
            high = middle
        }
    }
    low
}

#[test]
fn steels_are_as_a_second_transcription_has_them() {
    let second: Second = toml::from_str(include_str!("../../../oracle/second_transcription.toml"))
        .expect("the second transcription reads");
    let first = SteelTable::builtin().expect("the steels read");
    let mut differs = BTreeSet::new();
    let mut inside = |what: String, value: f64, [low, high]: Bracket| {
        if !(low..=high).contains(&value) {
            println!("{what}: {value}, the second has {low} to {high}");
            differs.insert(what);
        }
    };
    let names = [
        ("mild steel", "mild"),
        ("mild steel", "benchmark"),
        ("ferritic stainless steel", "ferritic_stainless"),
        ("grey cast iron", "cast_iron"),
    ];
    for (ours, theirs) in names {
        let steel = first.find(ours).expect("there");
        let curve = &first
            .curve(steel.curve.as_deref().expect("a curve"))
            .expect("there")
            .curve;
        let of = &second.steel[theirs];
        for (h, bracket) in [(1e3, of.b1), (5e3, of.b5), (1e4, of.b10)] {
            if let Some(bracket) = bracket {
                inside(
                    format!("{ours} as {theirs} at {h} A/m"),
                    flux_density(curve, h),
                    bracket,
                );
            }
        }
        let far = 3e5;
        let saturation = flux_density(curve, far) - MU_0 * far;
        let [low, high] = of.saturation;
        // The benchmark's own law ends at 2.16 T.
        inside(
            format!("{ours} as {theirs} saturated"),
            saturation,
            [low - 0.005, high + 0.01],
        );
    }
    for (name, austenitic) in &second.austenitic {
        let steel = first.find(name).expect("there");
        assert!(!steel.holds(), "{name}");
        let curve = &first
            .curve(steel.curve.as_deref().expect("a curve"))
            .expect("there")
            .curve;
        inside(
            name.clone(),
            flux_density(curve, 1e4) / (MU_0 * 1e4),
            austenitic.permeability,
        );
    }
    let listed: BTreeSet<String> = second.steel_difference.into_iter().map(|d| d.what).collect();
    assert_eq!(differs, listed, "what differs, and what is listed");
}
