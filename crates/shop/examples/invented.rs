//! Prints so many invented items as JSON, to measure on: `cargo run -p shop --example invented 10000`.

use std::error::Error;

fn main() -> Result<(), Box<dyn Error>> {
    let count = std::env::args().nth(1).ok_or("say how many items")?.parse()?;
    serde_json::to_writer(std::io::stdout().lock(), &shop::demo::generate(count, 1))?;
    Ok(())
}
