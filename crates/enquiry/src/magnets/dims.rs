//! Magnets whose sizes stand in words.

use super::dimension::{dimension, length_mm};
use super::written::{bounded, owns_sizes};
use super::{Named, SHAPES};
use crate::lexer::Item;
use crate::named::Class;
use crate::scene::Scene;

/// Magnets whose sizes stand in words: `10 mm N42 sphere`, `cube 16 mm`, `dia 1/2 inch, length 1 inch`.
pub(super) fn in_words(scene: &Scene, found: &mut Vec<Named>) {
    let taken = |found: &[Named], i: usize| found.iter().any(|n| n.items.contains(&i));
    let nouns: Vec<usize> = (0..scene.items.len())
        .filter(|i| {
            let item = &scene.items[*i];
            // "we use 40 mm N45"
            let graded = item.grade().is_some() && scene.nearest(*i, 3.4, Item::is_magnet).is_none();
            graded || item.is_magnet() && !matches!(item.norm.as_str(), "round" | "bar")
        })
        .collect();
    for noun in nouns {
        let near_written = found
            .iter()
            .any(|n| (n.written || n.size_mm.len() > 1) && n.items.iter().any(|i| scene.distance(*i, noun) <= 3.4));
        let own_size = scene
            .next(noun)
            .is_some_and(|n| scene.items[n].is("dia") || scene.items[n].amount().is_some());
        if near_written && !own_size {
            continue;
        }
        let sides = |words: &[&str]| {
            scene.around(noun, 12.0).into_iter().any(|i| {
                scene.items[i].amount().is_some()
                    && scene.same_sentence(i, noun)
                    && dimension(scene, i).is_some_and(|d| words.contains(&d))
            })
        };
        let shape = SHAPES
            .into_iter()
            .find(|s| scene.items[noun].is(s))
            .or_else(|| (sides(&["long"]) && sides(&["wide"]) && sides(&["thick", "high"])).then_some("block"));
        let mut dims = Dims::default();
        for i in scene.around(noun, 12.0) {
            let Some(amount) = scene.items[i].amount() else {
                continue;
            };
            if taken(found, i) || !scene.same_sentence(i, noun) || scene.distance(i, noun) > 12.0 {
                continue;
            }
            let word = dimension(scene, i);
            if word.is_none() && scene.distance(i, noun) > 8.5 {
                continue;
            }
            let Some(mm) = length_mm(amount, word.is_some() && shape.is_some()) else {
                continue;
            };
            let thing = scene
                .nearest(i, 2.0, owns_sizes)
                .filter(|(t, d)| *d < scene.distance(i, noun) && scene.same_clause(i, *t));
            let placed = matches!(
                scene.word(scene.previous(i)),
                "at" | "through" | "within" | "behind" | "from" | "by"
            ) || scene.next(i).is_some_and(|n| {
                let next = &scene.items[n];
                next.is_any(&["away", "gap"]) || next.of(Class::Layer) || next.of(Class::Surface)
            });
            if shape.is_none() && (scene.distance(i, noun) > 1.8 || i > noun) {
                continue;
            }
            if thing.is_some() || placed || mm > 300.0 || (word.is_none() && scene.distance(i, noun) > 4.0) {
                continue;
            }
            let nearer_noun = scene.nearest(i, scene.distance(i, noun) - 0.01, Item::is_magnet);
            if nearer_noun.is_some_and(|(n, _)| !matches!(scene.items[n].norm.as_str(), "round" | "bar"))
                && word.is_none()
            {
                continue;
            }
            dims.add(word, mm, i);
        }
        let Some(size_mm) = dims.sizes(shape) else { continue };
        let first = dims.items.iter().copied().min().unwrap_or(noun);
        if found
            .iter()
            .any(|n| !n.written && n.items.iter().any(|i| dims.items.contains(i)))
        {
            continue;
        }
        found.push(Named {
            item: first,
            bound: dims.items.iter().any(|i| bounded(scene, *i)),
            items: dims.items,
            shape,
            size_mm,
            grade: None,
            count: None,
            written: false,
        });
    }
}

/// Sizes gathered from words.
#[derive(Default)]
pub(super) struct Dims {
    across: Vec<f64>,
    inner: Option<f64>,
    thick: Option<f64>,
    plain: Vec<f64>,
    long: Option<f64>,
    wide: Option<f64>,
    items: Vec<usize>,
}

impl Dims {
    pub(super) fn add(&mut self, word: Option<&str>, mm: f64, item: usize) {
        match word {
            Some("inner") if self.inner.is_none() => self.inner = Some(mm),
            Some("dia") => self.across.push(mm),
            Some("thick" | "high" | "deep") if self.thick.is_none() => self.thick = Some(mm),
            Some("long") => self.long = Some(mm),
            Some("wide") => self.wide = Some(mm),
            _ => self.plain.push(mm),
        }
        self.items.push(item);
    }

    pub(super) fn sizes(&self, shape: Option<&str>) -> Option<Vec<f64>> {
        if self.items.is_empty() || self.items.len() > 3 {
            return None;
        }
        let across = self.across.first().or(self.plain.first()).copied();
        let second = if self.across.is_empty() {
            self.plain.get(1)
        } else {
            self.plain.first()
        }
        .copied();
        let along = self.thick.or(self.long).or(second);
        match shape {
            Some("sphere") => across.or(self.thick).map(|d| vec![d]),
            Some("block") => match (self.long, self.wide, self.thick) {
                (Some(l), Some(w), Some(t)) => Some(vec![l, w, t]),
                (None, None, None) if self.plain.len() == 1 => Some(vec![self.plain[0]; 3]),
                _ => across.map(|d| vec![d]),
            },
            Some("ring") => match (across, self.inner, self.thick.or(self.long)) {
                (Some(o), Some(i), Some(t)) => Some(vec![o, i, t]),
                (Some(o), Some(i), None) => Some(vec![o, i]),
                _ => across.map(|d| vec![d]),
            },
            _ => match (across.or(self.wide), along) {
                (Some(d), Some(t)) => Some(vec![d, t]),
                (Some(d), None) => Some(vec![d]),
                _ => None,
            },
        }
    }
}
