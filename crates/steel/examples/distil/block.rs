//! What a block holds beside the disc that stands for it: places, and the fit to their solves in three dimensions by `solve_blocks` of `spatial`.

use std::error::Error;
use std::fs;
use std::ops::Range;
use std::path::Path;

use steel::pull_law::{self, Block, INPUTS, Net, OnPlate, PullLaw, WEIGHTS, coordinates};

use crate::fit::{Model, Visit, arrive, small};
use crate::sample::{CONTACT, Sequence};

/// Smallest gap beside none, over the diameter.
const LEAST_GAP: f64 = 0.001;
/// Index from which places are drawn, so that they are others than those of discs.
const FROM: usize = 100_000;
/// Columns of a place.
const COLUMNS: &str = "curve,long,height,gap,plate,polarisation_t,permeability";

/// Prints places of a sequence, the steels taking turns, below the headings if the first is among them.
pub fn places(sequence: Sequence, indices: Range<usize>, curves: &[(&str, f64)]) {
    if indices.start == 0 {
        println!("{COLUMNS}");
    }
    for index in indices {
        let [long, height, gap, plate, polarisation, permeability] = sequence.point(index, FROM);
        let log = |x: f64, [low, high]: [f64; 2]| low * (high / low).powf(x);
        let between = |x: f64, [low, high]: [f64; 2]| low + x * (high - low);
        let beyond = (gap - CONTACT) / (1.0 - CONTACT);
        println!(
            "{},{:.6},{:.6},{:.6},{:.6},{:.6},{:.6}",
            curves[index % curves.len()].0,
            log(long, pull_law::OBLONG),
            log(height, pull_law::HEIGHT),
            if beyond < 0.0 {
                0.0
            } else {
                log(beyond, [LEAST_GAP, pull_law::GAP[1]])
            },
            log(plate, pull_law::PLATE),
            between(polarisation, pull_law::POLARISATION),
            between(permeability, pull_law::PERMEABILITY),
        );
    }
}

/// A solved block: its place, its law, and its pull over that of the mirror image.
struct Solved {
    at: OnPlate,
    law: &'static PullLaw,
    saturation: f64,
    eta: f64,
}

fn read(from: &Path, sequence: Sequence, curves: &[(&str, f64)]) -> Result<Vec<Solved>, Box<dyn Error>> {
    let text = fs::read_to_string(from.join(format!("block-{}.csv", sequence.name)))?;
    let row = |line: &str| -> Result<Solved, Box<dyn Error>> {
        let (name, rest) = line.split_once(',').ok_or("no curve")?;
        let numbers: Vec<f64> = rest.split(',').map(str::parse).collect::<Result<_, _>>()?;
        let [long, height, gap, plate, polarisation, permeability, eta] = numbers[..] else {
            return Err(format!("eight columns are wanted: {line}").into());
        };
        let at = OnPlate {
            height,
            bore: 0.0,
            oblong: Some(long),
            gap,
            plate,
            across: f64::INFINITY,
            polarisation,
            permeability,
            flux_density: 0.0,
        };
        let (_, saturation) = curves.iter().find(|known| known.0 == name).ok_or("no such curve")?;
        Ok(Solved {
            at: at.with_flux_density().ok_or_else(|| format!("no magnet: {line}"))?,
            law: PullLaw::of_curve(name).ok_or("no such law")?,
            saturation: *saturation,
            eta,
        })
    };
    text.lines().skip(1).map(row).collect()
}

/// Weight of the squares of the weights: there are few solves for so many weights.
const SMOOTHING: f64 = 1e-5;
const MOST_STEPS: usize = 200;
/// Crowding that parts plates that are thick enough from those that are not.
const CROWDED: f64 = 0.5;

/// Fits what blocks hold beside their discs to the solves of all steels, into `block.toml`, with the errors of the law at fresh ones.
pub fn fit(data: &Path, curves: &[(&str, f64)], [fitted, fresh]: [Sequence; 2]) -> Result<(), Box<dyn Error>> {
    let [fitted, fresh] = [fitted, fresh].map(|sequence| read(&data.join("pull_law"), sequence, curves));
    let (fitted, fresh) = (fitted?, fresh?);
    let points: Vec<([f64; INPUTS], f64, f64)> = fitted
        .iter()
        .map(|solved| {
            let of_law = coordinates(&solved.at, solved.saturation);
            let x = Block::coordinates(&of_law, solved.at.oblong.unwrap_or(1.0));
            let wanted = (solved.eta / solved.law.factor(&solved.at.of_disc())).ln();
            (x, Block::weight(&of_law), wanted)
        })
        .collect();
    let residuals = |weights: &[f64], visit: Visit| {
        if let Some(net) = Net::new(weights) {
            let mut gradient = [0.0; WEIGHTS];
            for (x, weight, wanted) in &points {
                let residual = wanted - weight * net.differentiated(x, &mut gradient);
                for slope in &mut gradient {
                    *slope *= weight;
                }
                visit(residual, &gradient);
            }
        }
    };
    let model = Model {
        points: points.len(),
        smoothing: SMOOTHING,
        most_steps: MOST_STEPS,
        residuals: &residuals,
    };
    let weights = arrive(&model, small());
    let block = Block::new(&weights, [1.0; 2]).ok_or("the fit ran away")?;
    let off = |solved: &Solved, with: f64| {
        let x = coordinates(&solved.at, solved.saturation);
        let more = block.more(&x, solved.at.oblong.unwrap_or(1.0));
        (solved.law.factor(&solved.at.of_disc()) * (with * more).exp() / solved.eta - 1.0).abs()
    };
    let quantiles = |of: &[Solved], with: f64, least: f64, most: f64| {
        let within = |solved: &&Solved| (least..=most).contains(&solved.law.crowding(&solved.at));
        let mut errors: Vec<f64> = of.iter().filter(within).map(|solved| off(solved, with)).collect();
        errors.sort_by(f64::total_cmp);
        [0.5, 0.95, 1.0].map(|q| errors[((q * errors.len() as f64) as usize).min(errors.len() - 1)])
    };
    println!("disc alone, fresh {:.4?}", quantiles(&fresh, 0.0, 0.0, 1.0));
    println!("fitted {:.4?}", quantiles(&fitted, 1.0, 0.0, 1.0));
    let [median, most, worst] = quantiles(&fresh, 1.0, 0.0, 1.0);
    let [_, thick, _] = quantiles(&fresh, 1.0, 0.0, CROWDED);
    let [_, foil, _] = quantiles(&fresh, 1.0, CROWDED, 1.0);
    println!("fresh {:.4?} thick {thick:.4} foil {foil:.4}", [median, most, worst]);
    let mut text = format!(
        "# What blocks hold beside the discs that stand for them: weights of the network of steel::pull_law::Block, written by examples/distil.\n\nfitted_to = {}\nfresh = {}\nerror_median = {median:.5}\nerror_95 = {most:.5}\nerror_worst = {worst:.5}\nerror_95_thick = {thick:.5}\nerror_95_foil = {foil:.5}\nweights = [",
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
    fs::write(data.join("block.toml"), text)?;
    Ok(())
}
