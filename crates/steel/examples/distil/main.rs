//! Distils the pull law of `steel::pull_law` from the finite-element solver.
//!
//! ```text
//! distil solve fitted|fresh CURVE COUNT   solves places of a sequence on a steel, into data/pull_law/
//! distil fit                              fits the laws to the solves, into data/pull_law.toml
//! distil check                            compares the laws with solves that the fit has never seen
//! distil solve-round fitted|fresh         solves a quarter of the kept places of each steel on small round plates
//! distil fit-round                        fits the share that small plates leave, into data/round.toml
//! distil blocks fitted|fresh whole|near FROM TO
//!                                         lists places of blocks, for `solve_blocks` of `spatial` to solve into data/pull_law/
//! distil fit-blocks                       fits what blocks hold beside their discs to these solves, into data/block.toml
//! distil squares fitted|fresh whole|near FROM TO
//!                                         lists places of blocks on small square plates, for `solve_blocks` too
//! distil fit-squares                      fits the share that these leave, into data/square.toml
//! distil stand-ins                        says what it costs that a disc stands for a ball
//! ```
//!
//! `fit` takes seconds and needs no solves but those kept in `data/pull_law`.

mod block;
mod errors;
mod fit;
mod round;
mod sample;
mod square;
mod stand_in;

use std::error::Error;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

use steel::pull_law::PullLaw;

use errors::Errors;
use sample::{FITTED, FRESH, Sequence};

/// Curves with a law, and the polarisation at which they saturate, T. Each fit starts from the one before.
const CURVES: [(&str, f64); 4] = [
    ("team13", 2.0),
    ("free-cutting", 1.8),
    ("ferritic", 1.4),
    ("cast-iron", 1.3),
];

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data")
}

fn main() -> Result<(), Box<dyn Error>> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    match args[..] {
        ["solve", sequence, curve, count] => {
            sample::write(&data().join("pull_law"), self::sequence(sequence)?, curve, count.parse()?)
        }
        ["solve-round", sequence] => {
            let sequence = self::sequence(sequence)?;
            CURVES.iter().enumerate().try_for_each(|(first, (curve, _))| {
                round::write(&data().join("pull_law"), sequence, curve, [first, CURVES.len()])
            })
        }
        ["fit"] => fit(),
        ["fit-round"] => round::fit(&data(), &CURVES),
        ["check"] => check(),
        ["blocks", sequence, domain @ ("whole" | "near"), from, to] => {
            let domain = if domain == "near" { block::NEAR } else { block::WHOLE };
            block::places(self::sequence(sequence)?, &domain, from.parse()?..to.parse()?, &CURVES, None);
            Ok(())
        }
        ["squares", sequence, domain @ ("whole" | "near"), from, to] => {
            let domain = if domain == "near" { block::NEAR } else { block::WHOLE };
            square::places(self::sequence(sequence)?, &domain, from.parse()?..to.parse()?, &CURVES);
            Ok(())
        }
        ["fit-blocks"] => block::fit(&data(), &CURVES, [FITTED, FRESH]),
        ["fit-squares"] => square::fit(&data(), &CURVES, [FITTED, FRESH]),
        ["stand-ins"] => stand_in::check(),
        _ => Err("usage: distil solve fitted|fresh CURVE COUNT, distil fit, distil check, distil solve-round fitted|fresh, distil fit-round, distil blocks fitted|fresh whole|near FROM TO, distil fit-blocks, distil squares fitted|fresh whole|near FROM TO, distil fit-squares, or distil stand-ins".into()),
    }
}

fn sequence(name: &str) -> Result<Sequence, Box<dyn Error>> {
    let found = [FITTED, FRESH].into_iter().find(|s| s.name == name);
    Ok(found.ok_or("the sequence is fitted or fresh")?)
}

fn fit() -> Result<(), Box<dyn Error>> {
    let mut text =
        String::from("# Pull laws: weights of the networks of steel::pull_law, written by examples/distil.\n");
    let mut start: Option<Vec<f64>> = None;
    for (curve, saturation) in CURVES {
        let fitted = sample::read(&data().join("pull_law"), FITTED, curve)?;
        let fresh = sample::read(&data().join("pull_law"), FRESH, curve)?;
        let weights = fit::fit(&fitted, saturation, start.as_deref());
        let law = PullLaw::new(curve, saturation, &weights, 1.0).ok_or("the fit ran away")?;
        println!("{curve}: fitted {}", Errors::of(&law, &fitted));
        let errors = Errors::of(&law, &fresh);
        println!("{curve}: fresh  {errors}");
        write!(
            text,
            "\n[[law]]\ncurve = {curve:?}\nsaturation_t = {saturation:?}\nfitted_to = {}\nfresh = {}\nerror_median = {:.5}\nerror_95 = {:.5}\nerror_worst = {:.5}\nweights = [",
            fitted.len(),
            fresh.len(),
            errors.median,
            errors.most,
            errors.worst,
        )?;
        for row in weights.chunks(8) {
            write!(text, "\n   ")?;
            for w in row {
                write!(text, " {w:.9},")?;
            }
        }
        text += "\n]\n";
        start = Some(weights);
    }
    fs::write(data().join("pull_law.toml"), text)?;
    Ok(())
}

fn check() -> Result<(), Box<dyn Error>> {
    println!(
        "{:14} error of the law against solves that the fit has never seen",
        "curve"
    );
    for law in PullLaw::builtin()? {
        let fresh = sample::read(&data().join("pull_law"), FRESH, law.curve())?;
        println!("{:14} {}", law.curve(), Errors::of(law, &fresh));
    }
    Ok(())
}
