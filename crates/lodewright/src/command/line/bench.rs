//! The bench on the command line.

use std::path::PathBuf;

use clap::{Args, Subcommand};

/// Readings of a file, or what the bench has of the shop.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub struct BenchArgs {
    /// What the bench has of the shop.
    #[command(subcommand)]
    pub command: Option<BenchCommand>,
    /// Probe, lots and readings, as JSON; - is standard input.
    #[arg(required = true)]
    pub file: Option<PathBuf>,
    /// A table of more readings, comma-separated with headings.
    #[arg(long, value_name = "FILE")]
    pub readings: Option<PathBuf>,
}

/// What the bench has of the shop.
#[derive(Debug, Subcommand)]
pub enum BenchCommand {
    /// Print or write what the shop's meters read on its magnets, beside what was predicted.
    #[command(
        after_help = "Examples:\n  lodewright bench table\n  lodewright bench table --out as-measured.csv\n  lodewright bench table --out as-measured.xlsx --overwrite"
    )]
    Table {
        /// A .csv or .xlsx file to write instead of printing.
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// Replace the file if it exists.
        #[arg(long, requires = "out")]
        overwrite: bool,
    },
}
