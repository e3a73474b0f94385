//! Prints the table of bands against random draws that stands in `docs/bands.md`.

#[path = "../tests/bands/cases.rs"]
mod cases;

use uncertainty::{Band, Cause, Method};

/// The cause that widens a band most, in a word.
fn first_cause(band: &Band) -> &'static str {
    match band.shares.first().map(|s| s.cause) {
        Some(Cause::Grade) => "grade",
        Some(Cause::Size) => "sizes",
        Some(Cause::Plating) => "plating",
        Some(Cause::Gap) => "gap",
        Some(Cause::Placement) => "placement",
        Some(Cause::ProbeDepth) => "probe depth",
        Some(Cause::Friction) => "friction",
        Some(Cause::Model) => "model",
        Some(Cause::Coefficient) => "coefficient",
        _ => "another",
    }
}

fn main() {
    println!(
        "| magnet and use | method | widest cause | half-width | width over draws | inside | chances off by | above the middle |"
    );
    println!("| --- | --- | --- | ---: | ---: | ---: | ---: | ---: |");
    for c in cases::check_all() {
        let method = match c.band.method {
            Method::FirstOrder => "first order",
            Method::SecondOrder => "second order",
            Method::MonteCarlo => "Monte Carlo",
        };
        println!(
            "| {} | {method} | {} | {:.1} % | {:.3} | {:.1} % | {:.1} % | {:.0} % |",
            c.name,
            first_cause(&c.band),
            50.0 * (c.band.high - c.band.low) / c.band.mid,
            c.width,
            100.0 * c.inside,
            100.0 * c.chance_off,
            100.0 * c.above_mid,
        );
    }
}
