//! Solves the blocks that steel's `distil blocks` or `distil squares` lists, one a line, and prints each line with the pull over that of the mirror image: the rows of steel's `data/pull_law/block-*.csv` and
//! `square-*.csv`.
//!
//! ```text
//! cargo run -p steel --example distil -- blocks fitted whole 0 124 | cargo run -p spatial --example solve_blocks
//! cargo run -p steel --example distil -- squares fitted near 0 200 | cargo run -p spatial --example solve_blocks
//! ```

use std::error::Error;
use std::io::stdin;

use spatial::share_of_mirror;
use steel::SteelTable;
use steel::pull_law;

fn main() -> Result<(), Box<dyn Error>> {
    let table = SteelTable::builtin()?;
    for line in stdin().lines() {
        let line = line?;
        if line.starts_with("curve,") {
            println!("{line},eta");
        } else {
            println!(
                "{line},{:.6}",
                solved(&table, &line).map_err(|error| format!("{line}: {error}"))?
            );
        }
    }
    Ok(())
}

/// Pull over that of the mirror image, of the block of a line.
fn solved(table: &SteelTable, line: &str) -> Result<f64, Box<dyn Error>> {
    let (curve, rest) = line.split_once(',').ok_or("no curve")?;
    let numbers: Vec<f64> = rest.split(',').map(str::parse).collect::<Result<_, _>>()?;
    let (&[long, height, gap, plate, polarisation, permeability], across) = numbers
        .split_first_chunk()
        .ok_or("a steel and six numbers are wanted, and a width")?;
    let wide = pull_law::OnPlate::of_row([height, 0.0, gap, plate, polarisation, permeability]).for_block(long);
    let at = pull_law::OnPlate {
        across: across.first().copied().unwrap_or(f64::INFINITY),
        ..wide
    };
    let curve = &table.curve(curve).ok_or("no such curve")?.curve;
    Ok(share_of_mirror(&at, curve)?.value)
}
