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

/// Where places are drawn: low and high ends, in the order of the columns.
pub struct Domain {
    ranges: [[f64; 2]; 6],
    /// Share in contact.
    contact: f64,
}

/// That of the law.
pub const WHOLE: Domain = Domain {
    ranges: [
        pull_law::OBLONG,
        pull_law::HEIGHT,
        [LEAST_GAP, pull_law::GAP[1]],
        pull_law::PLATE,
        pull_law::POLARISATION,
        pull_law::PERMEABILITY,
    ],
    contact: CONTACT,
};
/// Where strong blocks sit close on sheets that they saturate: there they are asked for, and differ from their discs most.
pub const NEAR: Domain = Domain {
    ranges: [
        pull_law::OBLONG,
        [0.08, 1.2],
        [0.0015, 0.12],
        [0.012, 0.25],
        [0.7, 1.5],
        [1.0, 1.12],
    ],
    contact: 0.0,
};

/// Prints places of a sequence, the steels taking turns, below the headings if the first is among them; with a `more` column, if there is one, of that name and values.
pub fn places(
    sequence: Sequence,
    domain: &Domain,
    indices: Range<usize>,
    curves: &[(&str, f64)],
    more: Option<(&str, &dyn Fn(usize) -> f64)>,
) {
    if indices.start == 0 {
        println!(
            "{COLUMNS}{}",
            more.map_or(String::new(), |(name, _)| format!(",{name}"))
        );
    }
    let log = |x: f64, [low, high]: [f64; 2]| low * (high / low).powf(x);
    let between = |x: f64, [low, high]: [f64; 2]| low + x * (high - low);
    for index in indices {
        let x = sequence.point(index, FROM);
        let [long, height, gap, plate, polarisation, permeability] = domain.ranges;
        let beyond = (x[2] - domain.contact) / (1.0 - domain.contact);
        println!(
            "{},{:.6},{:.6},{:.6},{:.6},{:.6},{:.6}{}",
            curves[index % curves.len()].0,
            log(x[0], long),
            log(x[1], height),
            if beyond < 0.0 { 0.0 } else { log(beyond, gap) },
            log(x[3], plate),
            between(x[4], polarisation),
            between(x[5], permeability),
            more.map_or(String::new(), |(_, value)| format!(",{:.6}", value(index))),
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
        let at = OnPlate::of_row([height, 0.0, gap, plate, polarisation, permeability]).for_block(long);
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
const SMOOTHING: f64 = 3e-6;
const MOST_STEPS: usize = 200;
/// Crowding that parts plates that are thick enough from those that are not.
const CROWDED: f64 = 0.5;
/// Length over width from which the error on foil is told: it is greatest there.
const LONG: f64 = 5.0;

/// Fits what blocks hold beside their discs to the solves of all steels, into `block.toml`, with the errors of the law at fresh ones.
pub fn fit(data: &Path, curves: &[(&str, f64)], [fitted, fresh]: [Sequence; 2]) -> Result<(), Box<dyn Error>> {
    let [fitted, fresh] = [fitted, fresh].map(|sequence| read(&data.join("pull_law"), sequence, curves));
    let (fitted, fresh) = (fitted?, fresh?);
    let points: Vec<([f64; INPUTS], f64, f64)> = fitted
        .iter()
        .map(|solved| {
            let of_law = coordinates(&solved.at, solved.saturation);
            let long = solved.at.oblong.unwrap_or(1.0);
            let x = Block::coordinates(&of_law, long);
            let wanted = (solved.eta / solved.law.factor(&solved.at.of_disc())).ln();
            (x, Block::whole(&of_law, long), wanted)
        })
        .collect();
    let residuals = |weights: &[f64], visit: Visit| {
        if let Some(net) = Net::new(weights) {
            let mut gradient = [0.0; WEIGHTS];
            for (x, whole, wanted) in &points {
                let residual = wanted - whole * net.differentiated(x, &mut gradient);
                for slope in &mut gradient {
                    *slope *= whole;
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
    let quantiles = |of: &[Solved], with: f64, counts: &dyn Fn(&Solved) -> bool| {
        let mut errors: Vec<f64> = of.iter().filter(|s| counts(s)).map(|s| off(s, with)).collect();
        errors.sort_by(f64::total_cmp);
        [0.5, 0.95, 1.0].map(|q| errors[((q * errors.len() as f64) as usize).min(errors.len() - 1)])
    };
    let crowded = |solved: &Solved| solved.law.crowding(&solved.at) > CROWDED;
    let long = |solved: &Solved| solved.at.oblong >= Some(LONG);
    println!("disc alone, fresh {:.4?}", quantiles(&fresh, 0.0, &|_| true));
    println!("fitted {:.4?}", quantiles(&fitted, 1.0, &|_| true));
    let [median, most, worst] = quantiles(&fresh, 1.0, &|_| true);
    let [_, thick, _] = quantiles(&fresh, 1.0, &|solved| !crowded(solved));
    let [_, foil, _] = quantiles(&fresh, 1.0, &|solved| crowded(solved) && long(solved));
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
