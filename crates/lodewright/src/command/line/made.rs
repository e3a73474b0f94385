//! What may be typed of magnets that are made.

use std::path::PathBuf;

use clap::Args;
use design::family::Family;
use design::wish::Aim;

use super::named;

/// A wish for a magnet that is made.
#[derive(Debug, Args)]
pub struct DesignArgs {
    /// The wish in words: what it must do, in which space, of which grade.
    #[arg(required_unless_present = "question")]
    pub words: Vec<String>,
    /// What is to be least, the first before the others: volume, mass, cost, height, stray.
    #[arg(long, value_delimiter = ',', value_parser = named::<Aim>)]
    pub least: Vec<Aim>,
    /// The families to look at, such as disc,taper,cup; all that serve where absent.
    #[arg(long, value_delimiter = ',', value_parser = named::<Family>)]
    pub families: Vec<Family>,
    /// The series of standard sizes, by its name, such as R10; whole and half millimetres where absent.
    #[arg(long)]
    pub sizes: Option<String>,
    /// Search longer, up to 20 s.
    #[arg(long)]
    pub refined: bool,
    /// The wish as JSON, from this file; - is standard input.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["words", "least", "families", "sizes", "refined"])]
    pub question: Option<PathBuf>,
}
