//! What the reader sees of a message, for fitting the weights in `data/weights.toml`.

use std::ops::Range;

use advice::sentence::Verb;

use crate::choose;
use crate::evidence::whole;
use crate::lexicon::Phrases;
use crate::magnets;
use crate::places;
use crate::scene::Scene;
use crate::vocabulary::Vocabulary;

/// Something of a message that competes for places, and what speaks for each of them.
#[derive(Clone, Debug)]
pub struct Evidence {
    /// What is weighed: `amount`, `verb` or `direction`.
    pub matter: &'static str,
    /// Byte offsets into the text.
    pub range: Range<usize>,
    /// The low and the high end of an amount: mm of a length, N of a load, the number of a count.
    pub ends: [f64; 2],
    /// The sizes of a `20x10`, mm.
    pub sizes_mm: Vec<f64>,
    /// What stands around it.
    pub features: Vec<String>,
    /// How well each place suits it by the rules alone.
    pub places: Vec<(&'static str, f64)>,
}

/// What is weighed of a message that asks for what `verb` names.
pub fn evidence(text: &str, vocabulary: &Vocabulary, verb: Verb) -> Vec<Evidence> {
    let names = Phrases::of(vocabulary);
    let scene = Scene::new(text, &names);
    let named = magnets::named(&scene);
    let mut out = Vec::new();
    for candidate in places::candidates(&scene, verb, &named, &[]) {
        let mut places: Vec<(&'static str, f64)> = Vec::new();
        for (role, score) in candidate.rules {
            match places.iter_mut().find(|p| p.0 == role.name()) {
                Some(place) => place.1 = place.1.max(score),
                None => places.push((role.name(), score)),
            }
        }
        let item = &scene.items[candidate.length.item];
        out.push(Evidence {
            matter: "amount",
            range: item.range.clone(),
            ends: candidate.ends,
            sizes_mm: item.size().map(magnets::millimetres).unwrap_or_default(),
            features: candidate.features,
            places,
        });
    }
    let features = whole(&scene);
    for (matter, places) in [
        ("verb", choose::verbs(&scene)),
        ("direction", choose::directions(&scene)),
    ] {
        out.push(Evidence {
            matter,
            range: 0..text.len(),
            ends: [0.0; 2],
            sizes_mm: Vec::new(),
            features: features.clone(),
            places,
        });
    }
    out
}
