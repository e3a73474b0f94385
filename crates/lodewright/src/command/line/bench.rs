//! The bench on the command line.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};
use quantity::{FluxDensity, Length, Temperature};

use super::{flux_density, length, temperature};

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
    /// Enter a probe, or correct what is known of the one of that name; what is not said stays, or is that of a usual probe.
    #[command(
        after_help = "Examples:\n  lodewright bench probe \"hand probe\" --depth 0.5mm --within 0.2mm --accuracy 1.5\n  lodewright bench probe \"flat probe\" --flat --element \"1.5 mm x 0.5 mm\" --usual"
    )]
    Probe(ProbeArgs),
    /// Begin a session: one lot of one magnet, read with one probe. Prints its id and what the probe should show.
    #[command(
        after_help = "Examples:\n  lodewright bench begin 14-07 --lot B-118\n  lodewright bench begin --diameter 12mm --thickness 6mm --grade N42 --coating Ni-Cu-Ni --lot B-118"
    )]
    Begin(BeginArgs),
    /// Say what an instrument should show, before it touches.
    #[command(
        after_help = "Examples:\n  lodewright bench expect last --pieces 2 --spacer 0.5mm\n  lodewright bench expect last --by tester --plate 1mm --paint 0.1mm"
    )]
    Expect {
        /// The session's id, as the list has it; last is the one begun last.
        session: String,
        /// The instrument.
        #[arg(long, value_enum, default_value_t = Instrument::Probe)]
        by: Instrument,
        /// Where.
        #[command(flatten)]
        place: PlaceArgs,
    },
    /// Add readings, all of them or none, and hold each against its band. Without a value they are read line by line as they
    /// are typed, each is saved at once, and the line undo takes the last one back.
    #[command(
        after_help = "Examples:\n  lodewright bench read last 288.4mT 287.9mT\n  lodewright bench read last 4620G --pieces 2 --spacer 0.5mm --note \"second piece chipped\"\n  lodewright bench read last"
    )]
    Read {
        /// The session's id, as the list has it; last is the one begun last.
        session: String,
        /// What the instrument showed, each with its unit: mT, T, G, N, kgf, lbf, or A m2 of a coil pair; a plain number is in the shop's unit of flux density.
        values: Vec<String>,
        /// A remark.
        #[arg(long, default_value = "")]
        note: String,
        /// Where.
        #[command(flatten)]
        place: PlaceArgs,
    },
    /// Take the last reading of a session back, or the one of a number.
    #[command(after_help = "Examples:\n  lodewright bench undo last\n  lodewright bench undo last --number 7")]
    Undo {
        /// The session's id, as the list has it; last is the one begun last.
        session: String,
        /// The reading's number, as the session shows it.
        #[arg(long)]
        number: Option<usize>,
    },
    /// Bring back what was taken away: a reading, a session, a probe or a kept value.
    #[command(after_help = "Examples:\n  lodewright bench bring-back a1b2c3")]
    BringBack {
        /// Its id.
        id: String,
    },
    /// Say whether a reading counts.
    #[command(
        after_help = "Examples:\n  lodewright bench stand last 7 left-out\n  lodewright bench stand last 7 counted"
    )]
    Stand {
        /// The session's id, as the list has it; last is the one begun last.
        session: String,
        /// The reading's number, as the session shows it.
        number: usize,
        /// How it stands.
        #[arg(value_enum)]
        standing: StandingName,
    },
    /// Say which grade the lot of a session is by its readings.
    #[command(after_help = "Examples:\n  lodewright bench grade last")]
    Grade {
        /// The session's id, as the list has it; last is the one begun last.
        session: String,
    },
    /// Keep a value that the readings tell: it stands in every prediction from then on.
    #[command(
        after_help = "Examples:\n  lodewright bench keep last scale\n  lodewright bench keep last depth --free depth"
    )]
    Keep {
        /// The session's id, as the list has it; last is the one begun last.
        session: String,
        /// What: depth, gain, fall_off, scale (the lot's remanence) or thickness.
        parameter: String,
        /// How it is fitted.
        #[command(flatten)]
        fit: FitArgs,
    },
    /// Take a session off the bench, or drop a kept value, by its id; bring-back returns it.
    #[command(after_help = "Examples:\n  lodewright bench remove a1b2c3")]
    Remove {
        /// Its id.
        id: String,
    },
    /// Say how many pieces of a delivery to read, and how many bad ones are too many.
    #[command(
        after_help = "Examples:\n  lodewright bench plan --lot-size 1000\n  lodewright bench plan --lot-size 1000 --level S-3 --aql 2.5 --severity tightened"
    )]
    Plan(PlanArgs),
    /// Inspect the lot of a session: the readings of one piece at its face against limits, by a sampling plan.
    #[command(
        after_help = "Examples:\n  lodewright bench inspect last --lot-size 1000 --least 280mT\n  lodewright bench inspect last --lot-size 1000 --least 280mT --note"
    )]
    Inspect {
        /// The session's id, as the list has it; last is the one begun last.
        session: String,
        /// The plan; where it names no severity, as the lots before propose.
        #[command(flatten)]
        plan: PlanArgs,
        /// Least reading that conforms.
        #[arg(long, value_parser = flux_density)]
        least: Option<FluxDensity>,
        /// Largest reading that conforms.
        #[arg(long, value_parser = flux_density)]
        most: Option<FluxDensity>,
        /// Note the verdict, for how strictly the next lot is inspected.
        #[arg(long)]
        note: bool,
    },
    /// Show a session: every reading against its band, what the readings say, and what to read next.
    #[command(
        after_help = "Examples:\n  lodewright bench show a1b2c3\n  lodewright bench show a1b2c3 --free depth --json"
    )]
    Show {
        /// The session's id, as the list has it; last is the one begun last.
        session: String,
        /// How it is fitted.
        #[command(flatten)]
        fit: FitArgs,
    },
    /// Print or write the readings of a session as comma-separated text that comes in again.
    #[command(
        after_help = "Examples:\n  lodewright bench export a1b2c3\n  lodewright bench export a1b2c3 --out readings.csv"
    )]
    Export {
        /// The session's id, as the list has it; last is the one begun last.
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
        /// The session's id, as the list has it; last is the one begun last.
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

/// How readings are fitted.
#[derive(Debug, Args)]
pub struct FitArgs {
    /// Taken as unknown beside the remanence: depth, face_loss, joint, thickness, separated by commas.
    #[arg(long, default_value = "")]
    pub free: String,
    /// Other sessions with the same probe whose readings count too, by their ids, separated by commas.
    #[arg(long = "with", default_value = "")]
    pub others: String,
}

/// A probe.
#[derive(Debug, Args)]
pub struct ProbeArgs {
    /// Its name.
    pub name: String,
    /// From the tip, or the flat that touches the face, to the element.
    #[arg(long, value_parser = length)]
    pub depth: Option<Length>,
    /// By how much the depth may be off (95 %).
    #[arg(long, value_parser = length)]
    pub within: Option<Length>,
    /// Diameter of the active element, or length and width of a rectangular one, such as "1.5 mm x 0.5 mm".
    #[arg(long)]
    pub element: Option<String>,
    /// The stem lies flat on the face: a transverse probe.
    #[arg(long, conflicts_with = "upright")]
    pub flat: bool,
    /// The stem stands on the face: an axial probe.
    #[arg(long)]
    pub upright: bool,
    /// Accuracy as stated, per cent of the reading (95 %).
    #[arg(long)]
    pub accuracy: Option<f64>,
    /// Step of the display, such as 0.1mT.
    #[arg(long, value_parser = flux_density)]
    pub resolution: Option<FluxDensity>,
    /// How far the zero drifts (95 %), such as 0.2mT.
    #[arg(long, value_parser = flux_density)]
    pub zero_drift: Option<FluxDensity>,
    /// Change of the reading with warmth, per cent per kelvin away from 23 °C.
    #[arg(long, allow_hyphen_values = true)]
    pub temperature_coefficient: Option<f64>,
    /// When and by what it was calibrated.
    #[arg(long)]
    pub calibrated: Option<String>,
    /// Name it the probe that the shop usually reads with.
    #[arg(long)]
    pub usual: bool,
}

/// A session that is to be begun.
#[derive(Debug, Args)]
pub struct BeginArgs {
    /// Code of an item of the shelf.
    #[arg(conflicts_with_all = ["diameter", "outer", "length", "grade", "coating"])]
    pub code: Option<String>,
    /// Diameter of a disc, or of a ball where no thickness is said.
    #[arg(long, value_parser = length, conflicts_with_all = ["outer", "length"], required_unless_present_any = ["code", "outer", "length"])]
    pub diameter: Option<Length>,
    /// Outer diameter of a ring.
    #[arg(long, value_parser = length, requires_all = ["inner", "thickness"], conflicts_with = "length")]
    pub outer: Option<Length>,
    /// Inner diameter of a ring.
    #[arg(long, value_parser = length, requires = "outer")]
    pub inner: Option<Length>,
    /// One side of the pole face of a block.
    #[arg(long, value_parser = length, requires_all = ["width", "thickness"])]
    pub length: Option<Length>,
    /// The other side of it.
    #[arg(long, value_parser = length, requires = "length")]
    pub width: Option<Length>,
    /// Thickness, along the magnetisation.
    #[arg(long, value_parser = length)]
    pub thickness: Option<Length>,
    /// Grade on its label.
    #[arg(long)]
    pub grade: Option<String>,
    /// Coating.
    #[arg(long)]
    pub coating: Option<String>,
    /// Name of the lot.
    #[arg(long, default_value = "")]
    pub lot: String,
    /// Name or id of the probe; the usual one where none is said.
    #[arg(long)]
    pub probe: Option<String>,
}

/// How many pieces, and where they are read.
#[derive(Debug, Args)]
pub struct PlaceArgs {
    /// Pieces in the stack.
    #[arg(long, default_value_t = 1)]
    pub pieces: u32,
    /// What lies between face and probe, or face and plate, and touches both.
    #[arg(long, value_parser = length)]
    pub spacer: Option<Length>,
    /// A distance set by a stand or a ruler, beyond the spacer.
    #[arg(long, value_parser = length)]
    pub along: Option<Length>,
    /// From the axis, along the length of a block.
    #[arg(long, value_parser = length, allow_hyphen_values = true)]
    pub across: Option<Length>,
    /// Which pole.
    #[arg(long, value_enum)]
    pub pole: Option<PoleWord>,
    /// Thickness of the plate that a tester pulls from; thick where nothing is said.
    #[arg(long, value_parser = length)]
    pub plate: Option<Length>,
    /// Diameter of that plate, or the smaller of its sides; wide where nothing is said.
    #[arg(long, value_parser = length)]
    pub plate_across: Option<Length>,
    /// Thickness of its paint.
    #[arg(long, value_parser = length)]
    pub paint: Option<Length>,
    /// Its steel; mild steel where nothing is said.
    #[arg(long)]
    pub steel: Option<String>,
    /// Temperature of magnet and probe; that of a room where nothing is said.
    #[arg(long, value_parser = temperature, allow_hyphen_values = true)]
    pub temperature: Option<Temperature>,
}

/// For which lot a sampling plan is wanted.
#[derive(Debug, Args)]
pub struct PlanArgs {
    /// Pieces in the lot.
    #[arg(long)]
    pub lot_size: u32,
    /// Inspection level: S-1 to S-4, I, II or III.
    #[arg(long, default_value = "II")]
    pub level: String,
    /// Acceptance quality limit, per cent bad: 0.40, 0.65, 1.0, 1.5, 2.5 or 4.0.
    #[arg(long, default_value_t = 1.0)]
    pub aql: f64,
    /// How strictly: normal, tightened or reduced.
    #[arg(long, value_enum)]
    pub severity: Option<SeverityName>,
}

/// What reads.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Instrument {
    /// A probe, flux density.
    Probe,
    /// A pull tester on a plate.
    Tester,
    /// A coil pair, magnetic moment.
    Coil,
}

/// Which pole faces the probe.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum PoleWord {
    /// The one that seeks north.
    North,
    /// The other.
    South,
}

/// Whether a reading counts.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum StandingName {
    /// Unless the others contradict it.
    Judged,
    /// In any case.
    Counted,
    /// In no case.
    LeftOut,
}

/// How strictly a lot is inspected.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum SeverityName {
    /// As one begins.
    Normal,
    /// After lots were sent back.
    Tightened,
    /// After many good lots.
    Reduced,
}
