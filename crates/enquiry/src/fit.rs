//! What the reader sees of a message, for learning the weights in `data/learned/`.

use std::ops::Range;

use advice::sentence::Verb;

use crate::choose;
use crate::evidence::whole;
use crate::learned::Learned;
use crate::lexicon::Phrases;
use crate::magnets;
use crate::marks::marks;
use crate::places;
use crate::scene::Scene;
use crate::vocabulary::Vocabulary;

/// Something of a message of which the weights decide, and what speaks for each way.
#[derive(Clone, Debug)]
pub struct Evidence {
    /// What is weighed: `kind`, of which `reason`, `topic` and `about` follow, `amount`, `verb` or `direction`.
    pub matter: &'static str,
    /// Byte offsets into the text.
    pub range: Range<usize>,
    /// The low and the high end of an amount: mm of a length, N of a load, the number of a count.
    pub ends: [f64; 2],
    /// The sizes of a `20x10`, mm.
    pub sizes_mm: Vec<f64>,
    /// What speaks: what stands around an amount, or what the message says as a whole.
    pub features: Vec<String>,
    /// How well each place suits it by the rules alone; empty where the rules say nothing.
    pub places: Vec<(&'static str, f64)>,
}

/// What is weighed of a message; of one that asks for a choice, what `verb` names must be done.
pub fn evidence(text: &str, vocabulary: &Vocabulary, verb: Option<Verb>) -> Vec<Evidence> {
    let names = Phrases::of(vocabulary);
    let scene = Scene::new(text, &names, Learned::builtin());
    let named = magnets::named(&scene);
    let of_all = |matter: &'static str, features: Vec<String>, places: Vec<(&'static str, f64)>| Evidence {
        matter,
        range: 0..text.len(),
        ends: [0.0; 2],
        sizes_mm: Vec::new(),
        features,
        places,
    };
    let mut out = vec![of_all("kind", marks(&scene, &named).into_iter().collect(), Vec::new())];
    let Some(verb) = verb else { return out };
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
    out.push(of_all("verb", features.clone(), choose::verbs(&scene)));
    out.push(of_all("direction", features, choose::directions(&scene)));
    out
}
