//! Places over the domain of the law, and the solves at them.

use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use steel::pull_law::{self, OnPlate};
use steel::solve::Options;
use steel::{BhCurve, SteelTable};

/// Relative force error that a solve is refined to.
const TOLERANCE: f64 = 2e-3;
/// Unknowns that are enough where the gap is narrow: first meshes were within 0.1 % of meshes refined ten times further.
const ENOUGH: usize = 4_000;
/// Gap over diameter up to which it is narrow.
const NARROW: f64 = 0.1;
/// Numbers of a place.
const DIMENSIONS: usize = 6;
/// Share of places that are discs, and of those in contact.
const DISCS: f64 = 0.4;
pub const CONTACT: f64 = 0.08;
/// One solved place.
#[derive(Clone, Copy, Debug)]
pub struct Sample {
    /// The place.
    pub at: OnPlate,
    /// Pull over that of the mirror image.
    pub eta: f64,
}

/// A sequence of places.
#[derive(Clone, Copy, Debug)]
pub struct Sequence {
    /// Name of its file.
    pub name: &'static str,
    /// Whether its places are drawn at random; else they fill the domain evenly.
    random: bool,
    /// Smallest bore and gap, over the diameter, beside none.
    least: [f64; 2],
}

/// What the law is fitted to.
pub const FITTED: Sequence = Sequence {
    name: "fitted",
    random: false,
    least: [0.08, 0.002],
};
/// What the fit has never seen, with bores and gaps smaller than it has.
pub const FRESH: Sequence = Sequence {
    name: "fresh",
    random: true,
    least: [0.02, 0.0005],
};

impl Sequence {
    /// The point of the unit cube of that index; random ones are drawn from further on.
    pub fn point(self, index: usize, from: usize) -> [f64; DIMENSIONS] {
        if self.random { random(from + index) } else { even(index) }
    }

    /// The place of that index.
    pub fn place(self, index: usize) -> OnPlate {
        let at = self.point(index, 0);
        let log = |x: f64, [low, high]: [f64; 2]| low * (high / low).powf(x);
        let between = |x: f64, [low, high]: [f64; 2]| low + x * (high - low);
        let beyond = |x: f64, share: f64| (x >= share).then(|| (x - share) / (1.0 - share));
        let [height, bore, gap, plate, polarisation, permeability] = at;
        let [least_bore, least_gap] = self.least;
        OnPlate {
            flux_density: 0.0,
            height: log(height, pull_law::HEIGHT),
            bore: beyond(bore, DISCS).map_or(0.0, |x| between(x, [least_bore, pull_law::BORE[1]])),
            oblong: None,
            gap: beyond(gap, CONTACT).map_or(0.0, |x| log(x, [least_gap, pull_law::GAP[1]])),
            plate: log(plate, pull_law::PLATE),
            across: f64::INFINITY,
            polarisation: between(polarisation, pull_law::POLARISATION),
            permeability: between(permeability, pull_law::PERMEABILITY),
        }
    }
}

/// Coordinates of a point of the unit cube by an additive recurrence with the powers of the root of `x^7 = x + 1` (Roberts's golden ratio of more dimensions).
fn even(index: usize) -> [f64; DIMENSIONS] {
    let mut root = 1.1f64;
    for _ in 0..60 {
        root = (1.0 + root).powf(1.0 / (DIMENSIONS + 1) as f64);
    }
    std::array::from_fn(|k| (0.5 + (index + 1) as f64 * root.powi(-(k as i32 + 1))).fract())
}

/// Coordinates at random, the same at every run: splitmix64 (Steele, Lea and Flood 2014; from memory).
pub fn random<const N: usize>(index: usize) -> [f64; N] {
    std::array::from_fn(|k| {
        let count = (index * N + k + 1) as u64;
        let mut z = count.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    })
}

/// Pull over that of the mirror image.
fn solved(at: &OnPlate, curve: &Arc<BhCurve>) -> Option<f64> {
    let options = Options {
        tolerance: TOLERANCE,
        most_unknowns: if at.gap <= NARROW {
            ENOUGH
        } else {
            Options::default().most_unknowns
        },
        ..Options::default()
    };
    at.solved(curve, &options)
}

fn file(of: &Path, sequence: Sequence, steel: &str) -> PathBuf {
    of.join(format!("{}-{steel}.csv", sequence.name))
}

/// Reads what [`write`] wrote.
pub fn read(from: &Path, sequence: Sequence, steel: &str) -> Result<Vec<Sample>, Box<dyn Error>> {
    let text = fs::read_to_string(file(from, sequence, steel))?;
    let row = |line: &str| -> Result<Sample, Box<dyn Error>> {
        let numbers: Vec<f64> = line.split(',').map(str::parse).collect::<Result<_, _>>()?;
        let [height, bore, gap, plate, polarisation, permeability, eta] = numbers[..] else {
            return Err(format!("seven columns are wanted: {line}").into());
        };
        let at = OnPlate::of_row([height, bore, gap, plate, polarisation, permeability]);
        let at = at.with_flux_density().ok_or_else(|| format!("no magnet: {line}"))?;
        Ok(Sample { at, eta })
    };
    text.lines().skip(1).map(row).collect()
}

/// Pulls over those of the mirror image at these places, with their indices, on all cores.
pub fn solve_all(places: &[OnPlate], curve: &Arc<BhCurve>) -> Vec<(usize, f64)> {
    let next = AtomicUsize::new(0);
    let worker = || {
        let mut rows = Vec::new();
        while let Some((index, at)) = {
            let index = next.fetch_add(1, Ordering::Relaxed);
            places.get(index).map(|at| (index, at))
        } {
            match solved(at, curve) {
                Some(eta) => rows.push((index, eta)),
                None => eprintln!("no solution at {at:?}"),
            }
        }
        rows
    };
    let mut rows: Vec<(usize, f64)> = thread::scope(|scope| {
        let workers: Vec<_> = (0..thread::available_parallelism().map_or(1, usize::from))
            .map(|_| scope.spawn(worker))
            .collect();
        workers.into_iter().filter_map(|w| w.join().ok()).flatten().collect()
    });
    rows.sort_by_key(|row| row.0);
    rows
}

/// Solves the first places of a sequence on a steel and writes them with their pull over that of the mirror image.
pub fn write(to: &Path, sequence: Sequence, steel: &str, count: usize) -> Result<(), Box<dyn Error>> {
    let table = SteelTable::builtin()?;
    let named = table.curve(steel).ok_or("no such curve")?;
    let places: Vec<OnPlate> = (0..count).map(|index| sequence.place(index)).collect();
    let mut text = String::from("height,bore,gap,plate,polarisation_t,permeability,eta\n");
    for (index, eta) in solve_all(&places, &named.curve) {
        let at = places[index];
        let OnPlate {
            height,
            bore,
            gap,
            plate,
            polarisation,
            permeability,
            ..
        } = at;
        text += &format!("{height:.6},{bore:.6},{gap:.6},{plate:.6},{polarisation:.6},{permeability:.6},{eta:.6}\n");
    }
    fs::create_dir_all(to)?;
    fs::write(file(to, sequence, steel), text)?;
    Ok(())
}
