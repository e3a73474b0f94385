//! The walls of a drawing: outlines of all parts, checked, and split where parts touch.

use std::collections::HashMap;

use super::plane::{Point, crossing, distance, double_area, to_segment};
use crate::drawing::{Drawing, DrawingError, LARGEST_FIELD, LARGEST_PERMEABILITY, LARGEST_REACH, Part, RecoilLine};

/// Points nearer than this share of the drawing's extent are one.
const SAME: f64 = 1e-9;

/// Walls of a drawing.
#[derive(Clone, Debug)]
pub(crate) struct Outline {
    /// Distinct corners.
    pub(crate) corners: Vec<Point>,
    /// Straight pieces between corners, each once; pieces of the axis are left out.
    pub(crate) walls: Vec<[usize; 2]>,
    /// Cleaned outline of every part.
    pub(crate) profiles: Vec<Vec<Point>>,
    /// Height of the middle of the drawing on the axis.
    pub(crate) centre: f64,
    /// Radius of the ball about the middle that just holds all parts.
    pub(crate) reach: f64,
}

/// Checks a drawing and finds its walls.
pub(crate) fn outline(drawing: &Drawing) -> Result<Outline, DrawingError> {
    check(drawing)?;
    let points = || drawing.parts.iter().flat_map(|part| &part.profile);
    let (low, high) = points().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| {
        (low.min(p[1]), high.max(p[1]))
    });
    let centre = 0.5 * (low + high);
    let reach = points().map(|&p| distance(p, [0.0, centre])).fold(0.0, f64::max);
    let same = SAME * reach;

    let mut corners: Vec<Point> = Vec::new();
    let mut rings = Vec::new();
    for (index, part) in drawing.parts.iter().enumerate() {
        let mut ring: Vec<usize> = Vec::new();
        for &[r, z] in &part.profile {
            let p = [if r < same { 0.0 } else { r }, z];
            let id = corners.iter().position(|&q| distance(p, q) <= same).unwrap_or_else(|| {
                corners.push(p);
                corners.len() - 1
            });
            if ring.last() != Some(&id) {
                ring.push(id);
            }
        }
        while ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
        if ring.len() < 3 {
            return Err(DrawingError::Corners {
                name: part.name.clone(),
                part: index,
                corners: ring.len(),
            });
        }
        rings.push(ring);
    }
    let at = |id: usize| corners.get(id).copied().unwrap_or_default();

    let profiles: Vec<Vec<Point>> = rings
        .iter()
        .map(|ring| ring.iter().map(|&id| at(id)).collect())
        .collect();
    for ((index, part), profile) in drawing.parts.iter().enumerate().zip(&profiles) {
        if flat(profile, 4.0 * same) {
            return Err(DrawingError::Thin {
                name: part.name.clone(),
                part: index,
            });
        }
    }

    // Walls of each part, split at every corner that lies on them.
    let mut walls: Vec<([usize; 2], usize)> = Vec::new();
    for (part, ring) in rings.iter().enumerate() {
        let mut meets: HashMap<usize, u32> = HashMap::new();
        for (k, &from) in ring.iter().enumerate() {
            let to = ring.get(k + 1).or(ring.first()).copied().unwrap_or(from);
            let (a, b) = (at(from), at(to));
            let mut stops: Vec<usize> = (0..corners.len())
                .filter(|&id| id != from && id != to && to_segment(at(id), a, b) <= same)
                .collect();
            stops.sort_by(|&i, &j| distance(a, at(i)).total_cmp(&distance(a, at(j))));
            stops.push(to);
            let mut last = from;
            for stop in stops {
                *meets.entry(last).or_default() += 1;
                *meets.entry(stop).or_default() += 1;
                if at(last)[0] > 0.0 || at(stop)[0] > 0.0 {
                    walls.push(([last.min(stop), last.max(stop)], part));
                }
                last = stop;
            }
        }
        if let Some((&id, _)) = meets.iter().find(|&(_, &count)| count != 2) {
            return Err(self_crossing(&drawing.parts, part, at(id)));
        }
    }
    for (i, &([a, b], part)) in walls.iter().enumerate() {
        for &([c, d], other) in walls.iter().take(i) {
            if let Some(place) = crossing(at(a), at(b), at(c), at(d)) {
                return Err(if part == other {
                    self_crossing(&drawing.parts, part, place)
                } else {
                    overlap(&drawing.parts, other, part, place)
                });
            }
        }
    }
    let mut walls: Vec<[usize; 2]> = walls.into_iter().map(|(wall, _)| wall).collect();
    walls.sort_unstable();
    walls.dedup();
    Ok(Outline {
        corners,
        walls,
        profiles,
        centre,
        reach,
    })
}

/// Whether all corners lie within `same` of a line through two of them.
fn flat(profile: &[Point], same: f64) -> bool {
    let Some(&first) = profile.first() else {
        return true;
    };
    let far = profile
        .iter()
        .copied()
        .max_by(|&p, &q| distance(first, p).total_cmp(&distance(first, q)));
    let far = far.unwrap_or(first);
    let length = distance(first, far);
    profile
        .iter()
        .all(|&p| double_area(first, far, p).abs() <= same * length)
}

fn self_crossing(parts: &[Part], part: usize, [r, z]: Point) -> DrawingError {
    DrawingError::Crossing {
        name: name(parts, part),
        part,
        r,
        z,
    }
}

/// The error for two parts that overlap at a place.
pub(crate) fn overlap(parts: &[Part], first: usize, second: usize, [r, z]: Point) -> DrawingError {
    DrawingError::Overlap {
        first: name(parts, first),
        second: name(parts, second),
        part: second,
        r,
        z,
    }
}

fn name(parts: &[Part], part: usize) -> String {
    parts.get(part).map(|p| p.name.clone()).unwrap_or_default()
}

/// What can be seen part by part.
fn check(drawing: &Drawing) -> Result<(), DrawingError> {
    if !(-LARGEST_FIELD..=LARGEST_FIELD).contains(&drawing.applied) {
        return Err(DrawingError::Applied(drawing.applied));
    }
    let mut sources = drawing.applied != 0.0;
    for (index, part) in drawing.parts.iter().enumerate() {
        let name = || part.name.clone();
        if drawing.find(&part.name) != Some(index) {
            return Err(DrawingError::Name {
                name: name(),
                part: index,
            });
        }
        for (corner, &[r, z]) in part.profile.iter().enumerate() {
            if !((0.0..=LARGEST_REACH).contains(&r) && z.abs() <= LARGEST_REACH) {
                return Err(DrawingError::Corner {
                    name: name(),
                    part: index,
                    corner,
                    r,
                    z,
                });
            }
        }
        if let Some(RecoilLine {
            polarisation,
            permeability,
        }) = part.material.recoil_line()
        {
            if !(polarisation.abs() <= LARGEST_FIELD && (1.0..=LARGEST_PERMEABILITY).contains(&permeability)) {
                return Err(DrawingError::Magnet {
                    name: name(),
                    part: index,
                    polarisation,
                    recoil_permeability: permeability,
                });
            }
            sources |= polarisation != 0.0;
        }
    }
    if !sources || drawing.parts.is_empty() {
        return Err(DrawingError::Empty);
    }
    Ok(())
}
