//! What a small round plate leaves of the pull on a wide one: solves at the places of the law.

use std::error::Error;
use std::fs;
use std::path::Path;

use steel::SteelTable;
use steel::pull_law::{INPUTS, OnPlate, ROUND_WEIGHTS, Round, coordinates, plate_width};

use crate::fit::{Model, Visit, arrive, small};
use crate::sample::{self, FITTED, FRESH, Sample, Sequence, solve_all};

/// Greatest diameter over that of the magnet, beside that for each gap.
const MOST: f64 = 4.0;

/// Least share that is fitted: smaller ones hold nothing worth a fit.
const LEAST_SHARE: f64 = 0.02;
/// More of the plates are small.
const CROWDED: f64 = 1.5;

/// Diameter of the plate over that of the magnet, at random from 1.
fn across(index: usize, at: &OnPlate) -> f64 {
    let [share] = sample::random::<1>(index);
    let most = (MOST * (1.0 + at.gap)).min(plate_width(at));
    most.powf(share.powf(CROWDED))
}

/// Solves kept places of a sequence on small plates, every `step`th from `first`, so that each steel has places of its own.
pub fn write(to: &Path, sequence: Sequence, steel: &str, [first, step]: [usize; 2]) -> Result<(), Box<dyn Error>> {
    let table = SteelTable::builtin()?;
    let named = table.curve(steel).ok_or("no such curve")?;
    let wide = sample::read(to, sequence, steel)?;
    let wide: Vec<(usize, Sample)> = wide.into_iter().enumerate().skip(first).step_by(step).collect();
    let places: Vec<OnPlate> = wide
        .iter()
        .map(|(index, sample)| OnPlate {
            across: across(*index, &sample.at),
            ..sample.at
        })
        .collect();
    let mut text = String::from("height,bore,gap,plate,polarisation_t,permeability,across,share\n");
    for (index, eta) in solve_all(&places, &named.curve) {
        let OnPlate {
            height,
            bore,
            gap,
            plate,
            across,
            polarisation,
            permeability,
            ..
        } = places[index];
        let share = eta / wide[index].1.eta;
        text += &format!(
            "{height:.6},{bore:.6},{gap:.6},{plate:.6},{polarisation:.6},{permeability:.6},{across:.6},{share:.6}\n"
        );
    }
    fs::write(to.join(format!("round-{}-{steel}.csv", sequence.name)), text)?;
    Ok(())
}

/// A place on a small plate as a fit takes it: coordinates, diameter over the magnet's, and the share that was solved.
pub type Point = ([f64; INPUTS], f64, f64);

fn read(from: &Path, sequence: Sequence, curves: &[(&str, f64)]) -> Result<Vec<Point>, Box<dyn Error>> {
    let mut points = Vec::new();
    for (curve, saturation) in curves {
        let text = fs::read_to_string(from.join(format!("round-{}-{curve}.csv", sequence.name)))?;
        for line in text.lines().skip(1) {
            let numbers: Vec<f64> = line.split(',').map(str::parse).collect::<Result<_, _>>()?;
            let [height, bore, gap, plate, polarisation, permeability, across, share] = numbers[..] else {
                return Err(format!("eight columns are wanted: {line}").into());
            };
            let at = OnPlate {
                height,
                bore,
                oblong: None,
                gap,
                plate,
                across,
                polarisation,
                permeability,
                flux_density: 0.0,
            };
            let at = at.with_flux_density().ok_or_else(|| format!("no magnet: {line}"))?;
            points.push((coordinates(&at, *saturation), across, share));
        }
    }
    Ok(points)
}

/// Weight of the squares of the weights: there are few solves for so many weights.
const SMOOTHING: f64 = 2e-5;
const MOST_STEPS: usize = 100;
/// Steepness that the fit starts from, its logarithm.
const STEEPNESS: f64 = 1.2;

/// Fits the share that small round plates leave to the solves of all steels, into `round.toml`, with its error at fresh ones.
pub fn fit(data: &Path, curves: &[(&str, f64)]) -> Result<(), Box<dyn Error>> {
    let [fitted, fresh] = [FITTED, FRESH].map(|sequence| read(&data.join("pull_law"), sequence, curves));
    fit_to(&data.join("round.toml"), "round plates leave", 1, [fitted?, fresh?])
}

/// Fits a share to solves, into that file, with its error at fresh ones, which is taken to fall with that power of the size of the plate.
pub fn fit_to(file: &Path, what: &str, falls: i32, [fitted, fresh]: [Vec<Point>; 2]) -> Result<(), Box<dyn Error>> {
    let residuals = |weights: &[f64], visit: Visit| {
        if let Some(round) = Round::new(weights, 1.0, falls) {
            let mut gradient = [0.0; ROUND_WEIGHTS];
            for (x, across, share) in &fitted {
                // More than on a wide plate is not credited.
                let wanted = share.clamp(LEAST_SHARE, 1.0).ln();
                let residual = wanted - round.differentiated(x, *across, &mut gradient);
                visit(residual, &gradient);
            }
        }
    };
    let model = Model {
        points: fitted.len(),
        smoothing: SMOOTHING,
        most_steps: MOST_STEPS,
        residuals: &residuals,
    };
    let mut start = [small(), small()].concat();
    if let Some(constant) = start.last_mut() {
        *constant = STEEPNESS;
    }
    let weights = arrive(&model, start);
    let round = Round::new(&weights, 1.0, falls).ok_or("the fit ran away")?;
    let quantiles = |mut errors: Vec<f64>| {
        errors.sort_by(f64::total_cmp);
        [0.5, 0.95, 0.99].map(|q| errors[(q * errors.len() as f64) as usize])
    };
    let relative = |points: &[Point]| {
        quantiles(
            points
                .iter()
                .map(|(x, across, share)| (round.share(x, *across) / share - 1.0).abs())
                .collect(),
        )
    };
    let [median, most, worst] = relative(&fresh);
    let [_, at_size, _] = quantiles(
        fresh
            .iter()
            .map(|(x, across, share)| (round.share(x, *across) / share - 1.0).abs() * across.powi(falls))
            .collect(),
    );
    println!(
        "fitted {:.4?} fresh {:.4?} at the size of the magnet {at_size:.3}",
        relative(&fitted),
        [median, most, worst]
    );
    let mut text = format!(
        "# Share of the pull that small {what}: weights of the networks of steel::pull_law::Round, written by examples/distil.\n\nfitted_to = {}\nfresh = {}\nerror_median = {median:.5}\nerror_95 = {most:.5}\nerror_99 = {worst:.5}\nerror_falls_with = {falls}\nerror_95_at_size = {at_size:.5}\nweights = [",
        fitted.len(),
        fresh.len()
    );
    for row in weights.chunks(8) {
        text += "\n   ";
        for w in row {
            text += &format!(" {w:.9},");
        }
    }
    text += "\n]\n";
    fs::write(file, text)?;
    Ok(())
}
