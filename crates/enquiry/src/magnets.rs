//! The magnets that a message names by size, shape and grade.

mod counts;
mod dimension;
mod dims;
mod grades;
mod rows;
mod written;

use crate::scene::Scene;

pub(crate) use counts::leading_count;
pub(crate) use dimension::dimension;
pub(crate) use grades::grades_said;
pub(crate) use written::millimetres;

/// A magnet as a message names it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Named {
    /// Its first item.
    pub item: usize,
    /// The items of its sizes.
    pub items: Vec<usize>,
    pub shape: Option<&'static str>,
    /// In mm, in the order of its shape.
    pub size_mm: Vec<f64>,
    pub grade: Option<String>,
    pub count: Option<u32>,
    /// Whether a bound stands by it, so that it limits what is to be chosen.
    pub bound: bool,
    /// Whether its size stands as `20x10`, rather than in words.
    pub written: bool,
}

impl Named {
    /// A magnet of which nothing but its grade is named, by the item of that.
    pub(crate) fn of_grade(item: usize) -> Self {
        Self {
            item,
            items: Vec::new(),
            shape: None,
            size_mm: Vec::new(),
            grade: None,
            count: None,
            bound: false,
            written: false,
        }
    }
}

const SHAPES: [&str; 4] = ["disc", "ring", "block", "sphere"];

/// How far a shape or a grade may stand from the size that it belongs to.
const REACH: f64 = 5.0;

/// The one shape that a message speaks of.
pub(crate) fn only_shape(scene: &Scene) -> Option<&'static str> {
    let own = |shape: &&str| scene.any(|x| x.is(shape) && !x.is("inside") && x.norm != "bar");
    let mut said = SHAPES.into_iter().filter(own);
    said.next().filter(|_| said.next().is_none())
}

/// The magnets named, in the order of the text.
pub(crate) fn named(scene: &Scene) -> Vec<Named> {
    let mut found: Vec<Named> = scene
        .items
        .iter()
        .enumerate()
        .filter_map(|(i, item)| Some((i, item.size()?)))
        .filter_map(|(i, size)| written::of_size(scene, i, size))
        .collect();
    rows::in_rows(scene, &mut found);
    dims::in_words(scene, &mut found);
    found.sort_by_key(|n| n.item);
    grades::grades(scene, &mut found);
    counts::counts(scene, &mut found);
    let mut merged: Vec<Named> = Vec::new();
    for named in found {
        let twin = merged.iter_mut().find(|m| {
            m.size_mm == named.size_mm
                && (m.grade == named.grade || m.grade.is_none() || named.grade.is_none())
                && (m.shape == named.shape || !named.written)
        });
        match twin {
            Some(twin) => {
                twin.grade = twin.grade.take().or(named.grade);
                twin.bound |= named.bound;
            }
            None => merged.push(named),
        }
    }
    merged
}
