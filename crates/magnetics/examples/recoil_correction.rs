//! Makes `data/recoil_correction.toml`: how far the factors of single effects are from the mean one, by surface-charge solves.
//!
//! `cargo run --release -p magnetics --example recoil_correction > crates/magnetics/data/recoil_correction.toml`; some minutes. With names of
//! shapes and effects (`-- block field`) it makes only their tables.

use std::error::Error;
use std::f64::consts::PI;

use magnetics::demag;
use magnetics::recoil_correction::{ASPECTS, DISTANCES, Effect, HEIGHTS, HOLES, TABULATED, coordinates, polynomials};
use magnetics::{Placed, Polarisation, Scene, Shape, Solid, load};
use rayon::prelude::*;

/// Coordinates of the heights lie in this range, and are stretched over all of it by the tables.
const SIZE: f64 = 0.02;

/// What one shape is tabulated with.
struct Family {
    name: &'static str,
    /// Polynomials in height, second number and distance.
    terms: [usize; 3],
    effects: &'static [Effect],
    /// Least and most of the second number.
    second: [f64; 2],
    /// From the coordinates.
    shape: fn(f64, f64) -> Shape,
    /// Where the field is read, m from the axis.
    read_at: fn(&Shape) -> f64,
}

fn height(coordinate: f64, size: f64) -> f64 {
    size * coordinate / (1.0 - coordinate)
}

const ALL: [Effect; 3] = [Effect::Field, Effect::Attraction, Effect::Repulsion];

const FAMILIES: [Family; 3] = [
    Family {
        name: "disc",
        terms: [8, 1, 8],
        effects: &ALL,
        second: [0.0, 0.0],
        shape: |coordinate, _| Shape::Disc {
            diameter: SIZE,
            thickness: height(coordinate, SIZE),
        },
        read_at: |_| 0.0,
    },
    Family {
        name: "ring",
        terms: [7, 5, 7],
        effects: &ALL,
        second: HOLES,
        shape: |coordinate, hole| Shape::Ring {
            outer_diameter: SIZE,
            inner_diameter: hole * SIZE,
            thickness: height(coordinate, SIZE * (1.0 - hole).sqrt()),
        },
        read_at: |ring| match ring {
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                ..
            } => 0.25 * (outer_diameter + inner_diameter),
            _ => 0.0,
        },
    },
    Family {
        name: "block",
        terms: [10, 6, 8],
        effects: &[Effect::Field],
        second: ASPECTS,
        shape: |coordinate, aspect| Shape::Block {
            length: SIZE / aspect.sqrt(),
            width: SIZE * aspect.sqrt(),
            thickness: height(coordinate, SIZE),
        },
        read_at: |_| 0.0,
    },
];

/// Chebyshev nodes over a range, ends left out.
fn nodes([low, high]: [f64; 2], count: usize) -> Vec<f64> {
    (0..count)
        .map(|k| low + (high - low) * 0.5 * (1.0 - (PI * (k as f64 + 0.5) / count as f64).cos()))
        .collect()
}

fn placed(shape: Shape, z: f64, along: f64, permeability: f64) -> Result<Placed, Box<dyn Error + Send + Sync>> {
    let body = Placed::new(
        Solid::Plain(shape),
        Polarisation::Along([0.0, 0.0, along]),
        [0.0, 0.0, z],
        [0.0; 3],
    )?;
    Ok(body.with_recoil_permeability(permeability)?)
}

/// The factors of an effect at those distances: from `J / J0 = 1 / (1 + χ n)`, less the mean one.
fn factors(
    family: &Family,
    shape: Shape,
    effect: Effect,
    permeability: f64,
    distances: &[f64],
) -> Result<Vec<f64>, Box<dyn Error + Send + Sync>> {
    let (half, chi, mean) = (0.5 * shape.height(), permeability - 1.0, demag::of_shape(&shape)?);
    let factor = |share: f64| (1.0 / share - 1.0) / chi - mean;
    if effect == Effect::Field {
        let rigid = Scene::new(vec![placed(shape, 0.0, 1.0, 1.0)?]);
        let scene = Scene::new(vec![placed(shape, 0.0, 1.0, permeability)?]).settled()?;
        let at = |scene: &Scene, d: f64| scene.flux_density([(family.read_at)(&shape), 0.0, half + d]);
        return distances
            .iter()
            .map(|&d| Ok(factor(at(&scene, d)?[2] / at(&rigid, d)?[2])))
            .collect();
    }
    let along = if effect == Effect::Attraction { 1.0 } else { -1.0 };
    distances
        .iter()
        .map(|&d| {
            let force = |permeability: f64| -> Result<f64, Box<dyn Error + Send + Sync>> {
                let lower = placed(shape, -half - 0.5 * d, 1.0, permeability)?;
                let upper = placed(shape, half + 0.5 * d, along, permeability)?;
                Ok(load::load(&upper, &[lower])?.force[2])
            };
            Ok(factor((force(permeability)? / force(1.0)?).sqrt()))
        })
        .collect()
}

/// Coefficients of the polynomials by least squares over all samples: `rows` of their values, one value each.
fn fitted(rows: &[Vec<f64>], values: &[f64]) -> Vec<f64> {
    let count = rows.first().map_or(0, Vec::len);
    let mut normal = vec![vec![0.0; count + 1]; count];
    for (row, value) in rows.iter().zip(values) {
        for (i, a) in row.iter().enumerate() {
            for (j, b) in row.iter().enumerate() {
                normal[i][j] += a * b;
            }
            normal[i][count] += a * value;
        }
    }
    for pivot in 0..count {
        let line = normal[pivot].clone();
        for (i, row) in normal.iter_mut().enumerate() {
            if i != pivot {
                let by = row[pivot] / line[pivot];
                for (value, above) in row.iter_mut().zip(&line) {
                    *value -= by * above;
                }
            }
        }
    }
    (0..count).map(|i| normal[i][count] / normal[i][i]).collect()
}

fn main() -> Result<(), Box<dyn Error + Send + Sync>> {
    println!("# Made by examples/recoil_correction.rs: factors of single effects less the mean demagnetising factor.");
    let named: Vec<String> = std::env::args().skip(1).collect();
    let wanted = |name: &str, among: &[&str]| named.iter().all(|n| n == name || !among.contains(&n.as_str()));
    let effects = ALL.map(|e| (e, format!("{e:?}").to_lowercase()));
    let tables = FAMILIES.iter().flat_map(|f| effects.iter().map(move |e| (f, e)));
    for (family, (effect, effect_name)) in tables {
        if !family.effects.contains(effect)
            || !wanted(family.name, &FAMILIES.each_ref().map(|f| f.name))
            || !wanted(effect_name, &effects.each_ref().map(|(_, name)| name.as_str()))
        {
            continue;
        }
        let [heights, seconds, distances] = family.terms;
        let spread = |[low, high]: [f64; 2], terms: usize| {
            if low == high {
                vec![low]
            } else {
                nodes([low, high], terms + 2)
            }
        };
        let shapes: Vec<[f64; 2]> = nodes(HEIGHTS, heights + 2)
            .into_iter()
            .flat_map(|height| {
                spread(family.second, seconds)
                    .into_iter()
                    .map(move |second| [height, second])
            })
            .collect();
        let steps = nodes(DISTANCES, distances + 2);
        println!("\n[[table]]\nshape = \"{}\"\neffect = \"{effect_name}\"", family.name);
        println!("terms = {:?}\ncoefficients = [", family.terms);
        for permeability in TABULATED {
            let samples: Result<Vec<Vec<f64>>, _> = shapes
                .par_iter()
                .map(|&[height, second]| {
                    let shape = (family.shape)(height, second);
                    let size = coordinates(&shape).map_or(0.0, |(_, size)| size);
                    let metres: Vec<f64> = steps.iter().map(|t| size * t / (1.0 - t)).collect();
                    factors(family, shape, *effect, permeability, &metres)
                })
                .collect();
            let samples = samples?;
            let mut rows = Vec::new();
            for &[height, second] in &shapes {
                for &step in &steps {
                    let mut row = Vec::new();
                    for a in polynomials(height, heights) {
                        for b in polynomials(second, seconds) {
                            row.extend(polynomials(step, distances).map(|c| a * b * c));
                        }
                    }
                    rows.push(row);
                }
            }
            let values: Vec<f64> = samples.into_iter().flatten().collect();
            let coefficients = fitted(&rows, &values);
            let worst = rows
                .iter()
                .zip(&values)
                .map(|(row, value)| (row.iter().zip(&coefficients).map(|(a, b)| a * b).sum::<f64>() - value).abs())
                .fold(0.0, f64::max);
            eprintln!(
                "{} {effect:?} {permeability}: {} samples, off by {worst:.1e} at most",
                family.name,
                values.len()
            );
            let text: Vec<String> = coefficients.iter().map(|c| format!("{c:.5}")).collect();
            println!("    [{}],", text.join(", "));
        }
        println!("]");
    }
    Ok(())
}
