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
    /// List probes, sessions and kept values, the newest first.
    #[command(after_help = "Examples:\n  lodewright bench list")]
    List,
    /// Show a session: every reading against its band, what the readings say, and what to read next.
    #[command(
        after_help = "Examples:\n  lodewright bench show a1b2c3\n  lodewright bench show a1b2c3 --free depth --json"
    )]
    Show {
        /// The session's id, as the list has it.
        session: String,
        /// Taken as unknown beside the remanence: depth, face_loss, joint, thickness, separated by commas.
        #[arg(long, default_value = "")]
        free: String,
        /// Other sessions with the same probe whose readings count too, by their ids, separated by commas.
        #[arg(long = "with", default_value = "")]
        others: String,
    },
    /// Print or write the readings of a session as comma-separated text that comes in again.
    #[command(
        after_help = "Examples:\n  lodewright bench export a1b2c3\n  lodewright bench export a1b2c3 --out readings.csv"
    )]
    Export {
        /// The session's id, as the list has it.
        session: String,
        /// A file to write instead of printing.
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// Replace the file if it exists.
        #[arg(long, requires = "out")]
        overwrite: bool,
    },
    /// Add the readings of a .csv or .xlsx file to a session: all of them, or none.
    #[command(after_help = "Examples:\n  lodewright bench import a1b2c3 readings.xlsx")]
    Import {
        /// The session's id, as the list has it.
        session: String,
        /// The file; the same file adds nothing the second time.
        file: PathBuf,
    },
    /// Print or write what the shop's meters read on its magnets, beside what was predicted.
    #[command(
        after_help = "Examples:\n  lodewright bench table\n  lodewright bench table --out as-measured.csv\n  lodewright bench table --out as-measured.xlsx --overwrite\n  lodewright bench table --out as-measured.pdf"
    )]
    Table {
        /// A .csv, .xlsx or .pdf file to write instead of printing.
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// Replace the file if it exists.
        #[arg(long, requires = "out")]
        overwrite: bool,
    },
}
