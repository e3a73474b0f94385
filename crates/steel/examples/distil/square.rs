//! What a small square plate leaves of the pull of a block: places, and the fit to their solves in three dimensions by `solve_blocks` of `spatial`.

use std::error::Error;
use std::fs;
use std::ops::Range;
use std::path::Path;

use steel::pull_law::{Block, OnPlate, PullLaw, coordinates};

use crate::block::{self, Domain};
use crate::round::{Point, fit_to};
use crate::sample::{self, Sequence};

/// Side of the plate over the length of the block, least and most.
const SIDE: [f64; 2] = [0.25, 3.0];
/// Index from which sides of plates are drawn, so that they go with other places than those of discs.
const FROM: usize = 500_000;

fn across(index: usize) -> f64 {
    let ([least, most], [share]) = (SIDE, sample::random::<1>(FROM + index));
    least * (most / least).powf(share)
}

/// Prints places of blocks with the side of their plate.
pub fn places(sequence: Sequence, domain: &Domain, indices: Range<usize>, curves: &[(&str, f64)]) {
    block::places(sequence, domain, indices, curves, Some(("across", &across)));
}

/// The solves on plates that are no smaller than the block: coordinates, side over length, and the share of what the law says on a wide plate.
fn read(from: &Path, sequence: Sequence, curves: &[(&str, f64)]) -> Result<Vec<Point>, Box<dyn Error>> {
    let text = fs::read_to_string(from.join(format!("square-{}.csv", sequence.name)))?;
    let row = |line: &str| -> Result<Point, Box<dyn Error>> {
        let (name, rest) = line.split_once(',').ok_or("no curve")?;
        let numbers: Vec<f64> = rest.split(',').map(str::parse).collect::<Result<_, _>>()?;
        let [long, height, gap, plate, polarisation, permeability, across, eta] = numbers[..] else {
            return Err(format!("nine columns are wanted: {line}").into());
        };
        let wide = OnPlate::of_row([height, 0.0, gap, plate, polarisation, permeability]).for_block(long);
        let wide = wide.with_flux_density().ok_or_else(|| format!("no magnet: {line}"))?;
        let (_, saturation) = curves.iter().find(|known| known.0 == name).ok_or("no such curve")?;
        let law = PullLaw::of_curve(name).ok_or("no such law")?;
        let x = Block::coordinates(&coordinates(&wide, *saturation), long);
        Ok((x, across, eta / law.factor(&wide)))
    };
    let all: Vec<Point> = text.lines().skip(1).map(row).collect::<Result<_, _>>()?;
    Ok(all.into_iter().filter(|(_, across, _)| *across >= 1.0).collect())
}

/// Fits the share that small square plates leave to the solves of all steels, into `square.toml`, with its error at fresh ones.
pub fn fit(data: &Path, curves: &[(&str, f64)], sequences: [Sequence; 2]) -> Result<(), Box<dyn Error>> {
    let [fitted, fresh] = sequences.map(|sequence| read(&data.join("pull_law"), sequence, curves));
    fit_to(
        &data.join("square.toml"),
        "square plates leave of blocks",
        2,
        [fitted?, fresh?],
    )
}
