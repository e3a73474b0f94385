//! What may be typed on the command line.

mod bench;
mod made;
mod outgoing;
mod policy;

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::PathBuf;

use advice::question::{Conditions, Surroundings};
use clap::{Args, Parser, Subcommand, ValueEnum};
use quantity::{FieldStrength, FluxDensity, Length, Temperature, Units, parse};
use serde::Deserialize;
use serde::de::IntoDeserializer;
use serde::de::value::{Error as ValueError, StrDeserializer};
use shop::Role;

use crate::serve::Origin;

pub use bench::{
    BeginArgs, BenchArgs, BenchCommand, FitArgs, Instrument, PlaceArgs, PlanArgs, PoleWord, ProbeArgs, SeverityName,
    StandingName,
};
pub use made::DesignArgs;
pub use outgoing::{
    HeadArgs, LinkCommand, ListingArgs, PaperArgs, PaperCommand, ParcelArgs, QuoteCommand, WorkCommand,
};
pub use policy::PolicyArgs;

use crate::letter::LANGUAGE;

/// The port that a shop is served on where none is given.
const PORT: u16 = 7415;

/// What is said below the help of every command.
const STATUS: &str = "\
Exit status:
  0  done
  1  nothing was found: no magnet surely does, the list is empty, a check failed
  2  problem: what was wrong, where, and what would be right is on standard error";

/// From a customer's question to the magnet that will do.
#[derive(Debug, Parser)]
#[command(name = "lodewright", version, max_term_width = 100, after_help = format!("\
Examples:
  lodewright --demo ask hold 2 kg hanging below 3 mm steel through 0.4 mm paint, 200 pieces
  lodewright --demo serve
  lodewright shelf import prices.csv --preview

{STATUS}"))]
pub struct Line {
    /// The shop's file; it is made where there is none.
    #[arg(
        long,
        global = true,
        env = "LODEWRIGHT_SHOP",
        default_value = "lodewright-shop.sqlite"
    )]
    pub shop: PathBuf,
    /// Work on the invented demo shop, in memory.
    #[arg(long, global = true)]
    pub demo: bool,
    /// Print JSON as the web interface gives it.
    #[arg(long, global = true)]
    pub json: bool,
    /// Print every caution of an answer or an item with its rule, not the few that matter most.
    #[arg(long, global = true)]
    pub cautions: bool,
    /// What is logged on standard error: error, warn, info or debug.
    #[arg(long, global = true, default_value = "warn", value_name = "LEVEL")]
    pub log: tracing::level_filters::LevelFilter,
    /// Units to show: metric, inch, or changes to metric such as mm,lbf,G; the shop's own where absent.
    #[arg(long, global = true)]
    pub units: Option<Units>,
    /// What is to be done.
    #[command(subcommand)]
    pub command: Command,
}

/// The subcommands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Answer a question in plain words.
    #[command(
        after_help = "Examples:\n  lodewright --demo ask hold 2 kg hanging below 3 mm steel through 0.4 mm paint, 200 pieces\n  lodewright --demo ask \"reach 50 mT at 10 mm, no wider than 1/2 in\" --units inch\n  lodewright ask --question question.json --keep --json"
    )]
    Ask(Ask),
    /// Write the reply to an answer on the desk: under 150 words, to look over and to send.
    #[command(
        after_help = "Examples:\n  lodewright reply k3f9a2c1\n  lodewright reply k3f9a2c1 --html --units inch > reply.html"
    )]
    Reply {
        /// The answer's id.
        id: String,
        /// The language, by its tag.
        #[arg(long, default_value = LANGUAGE)]
        language: String,
        /// HTML in place of plain text.
        #[arg(long)]
        html: bool,
    },
    /// Show a lesson with figures of the shelf, or list the lessons, or write all of them as pages for the shop's site.
    #[command(
        after_help = "Examples:\n  lodewright --demo lesson\n  lodewright --demo lesson twice_thickness\n  lodewright --demo lesson --export lessons"
    )]
    Lesson {
        /// Its name.
        #[arg(conflicts_with = "export")]
        name: Option<String>,
        /// Print its text instead, to be edited.
        #[arg(long, requires = "name")]
        text: bool,
        /// Keep a lesson that the shop has written, from this file; it stands in the place of one of the same topic.
        #[arg(long, value_name = "FILE", conflicts_with_all = ["name", "export"])]
        keep: Option<PathBuf>,
        /// Take the shop's own lesson of that name away; one that came with the program stands again.
        #[arg(long, requires = "name", conflicts_with = "text")]
        remove: bool,
        /// Write every lesson as a page of HTML that needs nothing beside it, with a list, into this folder.
        #[arg(long, value_name = "FOLDER")]
        export: Option<PathBuf>,
    },
    /// Look after the day's work: enquiries in the customers' own words, and what became of them.
    #[command(subcommand)]
    Work(WorkCommand),
    /// Make quotations from answers on the desk, open them again, put them on paper.
    #[command(subcommand)]
    Quote(QuoteCommand),
    /// Search a magnet that could be made: for a field, a force, an even field, a gap or a torque within a space.
    #[command(
        after_help = "Examples:\n  lodewright --demo design \"reach 0.63 T at the face on 25 mm in N52\"\n  lodewright --demo design \"40 N across 2 mm in a space of 20 x 10 mm\" --least mass,cost --refined\n  lodewright --demo design \"80 mT in a gap of 8 mm in a space of 30 x 40 mm\" --families facing_discs,yoke --json"
    )]
    Design(DesignArgs),
    /// Pack magnets and hold the parcel against the rules of air transport; say what to change so that it may fly.
    #[command(
        after_help = "Examples:\n  lodewright --demo parcel 14-07:200\n  lodewright --demo parcel 14-07:200 --arrangement alternating --filler 50mm\n  lodewright --demo parcel 14-07:200 16-08:20 --box 300mm 200mm 150mm --lining 1mm --out slip.pdf"
    )]
    Parcel(ParcelArgs),
    /// Put an answer, an item or a ladder on paper, as PDF.
    #[command(subcommand)]
    Paper(PaperCommand),
    /// Keep a sheet, a ladder or a lesson as it stands, to be sent as a link; tell what has changed since.
    #[command(subcommand)]
    Link(LinkCommand),
    /// Show what the next step in thickness or number buys.
    #[command(
        after_help = "Examples:\n  lodewright --demo ladder --diameter 12mm --grade N42 --pull 0.5mm\n  lodewright --demo ladder --item 14-07 --at 10mm\n  lodewright ladder --outer 20mm --inner 10mm --grade N42 --by free"
    )]
    Ladder(LadderArgs),
    /// Show one item in full.
    #[command(
        after_help = "Examples:\n  lodewright --demo item 14-07 --units inch\n  lodewright --demo item 14-07 --warmest 80C --surroundings outdoors"
    )]
    Item {
        /// Its code.
        code: String,
        /// What it must stand.
        #[command(flatten)]
        conditions: ConditionArgs,
    },
    /// Look after the shelf: list, import, export, undo, back up.
    #[command(subcommand)]
    Shelf(ShelfCommand),
    /// Reckon items with the certificates of their lots instead of their grades.
    #[command(subcommand)]
    Lot(LotCommand),
    /// Look at the answers so far.
    #[command(subcommand)]
    Desk(DeskCommand),
    /// Look after the people who may sign in where the shop is served to others.
    #[command(subcommand)]
    People(PeopleCommand),
    /// Serve the page and the interface.
    #[command(
        after_help = "Examples:\n  lodewright --demo serve\n  lodewright serve --port 8080\n  lodewright serve --listen 0.0.0.0 --shop /srv/shop.sqlite"
    )]
    Serve {
        /// Address to listen on; loopback unless told otherwise.
        #[arg(long, default_value_t = IpAddr::V4(Ipv4Addr::LOCALHOST))]
        listen: IpAddr,
        /// Port; 0 takes any that is free.
        #[arg(long, default_value_t = PORT)]
        port: u16,
        /// The address under which people reach it, where a proxy stands before it, such as https://desk.example.
        #[arg(long)]
        origin: Option<Origin>,
        /// Serve the public side, which asks and opens answers by their link, on this address and port, too.
        #[arg(long, value_name = "ADDRESS:PORT")]
        public: Option<SocketAddr>,
        /// The address under which people reach the public side, where a proxy stands before it, such as https://ask.example.
        #[arg(long, requires = "public", value_name = "ORIGIN")]
        public_origin: Option<Origin>,
        /// A site whose pages may show the ask box of the public side in a frame, such as https://shop.example.
        #[arg(long, requires = "public", value_name = "ORIGIN")]
        frame: Vec<Origin>,
        /// The address of a proxy that stands before it: whom it names in X-Forwarded-For counts as who asks.
        #[arg(long, value_name = "ADDRESS")]
        proxy: Vec<IpAddr>,
        /// Let people sign in on this machine, too; where it is served to others they always do.
        #[arg(long)]
        sign_in: bool,
        /// Host and port, or serial device such as /dev/ttyUSB0, of a gaussmeter that is read live at the bench by SCPI.
        #[arg(long, value_name = "PLACE")]
        meter: Option<String>,
        /// Bits a second of a meter on a serial line.
        #[arg(long, value_name = "NUMBER", default_value_t = 9600, requires = "meter")]
        meter_baud: u32,
        /// What it is asked for one reading.
        #[arg(long, value_name = "QUERY", default_value = "READ?", requires = "meter")]
        meter_query: String,
        /// The unit of its numbers where they state none.
        #[arg(long, value_name = "UNIT", default_value = "mT", requires = "meter")]
        meter_unit: String,
    },
    /// Answer lines of JSON on standard input, one line each: fields, forces, factors. Status 1 if a line could not be answered.
    Compute,
    /// Draw the field of magnets in a plane, with lines of flux, as SVG.
    #[command(
        after_help = "Examples:\n  lodewright picture pair.json --out pair.svg\n  echo '{\"bodies\":[{\"shape\":\"disc\",\"diameter_mm\":20,\"thickness_mm\":5,\"polarisation_T\":[0,0,1.3]}]}' | lodewright picture - > disc.svg"
    )]
    Picture {
        /// What is to be drawn, as JSON: bodies as `compute` takes them, plane, window; - is standard input.
        file: PathBuf,
        /// The file to write; standard output where absent.
        #[arg(long)]
        out: Option<PathBuf>,
        /// Replace the file if it exists.
        #[arg(long, requires = "out")]
        overwrite: bool,
    },
    /// Solve a disc or ring on a steel plate, bare, under a back-plate or in a cup: its pull against gap and thickness.
    #[command(
        after_help = "Examples:\n  lodewright steel on-sheet.json\n  echo '{\"magnet\":{\"diameter_mm\":20,\"thickness_mm\":5,\"polarisation_T\":1.3},\"plate\":{\"diameter_mm\":60,\"thickness_mm\":2},\"gap_mm\":0.5}' | lodewright steel -"
    )]
    Steel {
        /// The set-up, as JSON; - is standard input.
        file: PathBuf,
    },
    /// Hold readings of a meter against predictions, and fit probe and lots to them.
    #[command(
        after_help = "Examples:\n  lodewright bench session.json\n  lodewright bench session.json --readings readings.csv\n  lodewright bench list\n  lodewright bench table --out as-measured.pdf"
    )]
    Bench(BenchArgs),
    /// Check the physics on this machine against values from outside.
    #[command(after_help = "Examples:\n  lodewright verify")]
    Verify,
    /// Print the description of the web interface, OpenAPI 3.1.
    #[command(after_help = "Examples:\n  lodewright openapi > lodewright-openapi.json")]
    Openapi,
}

/// A question on the command line.
#[derive(Debug, Args)]
pub struct Ask {
    /// The question, such as: hold 2 kg hanging below 3 mm steel through 0.4 mm paint, 200 pieces.
    #[arg(
        required_unless_present = "question",
        conflicts_with = "question",
        allow_negative_numbers = true
    )]
    pub words: Vec<String>,
    /// A file with the question in JSON; - is standard input.
    #[arg(long)]
    pub question: Option<PathBuf>,
    /// Keep the answer on the desk.
    #[arg(long)]
    pub keep: bool,
    /// How many candidates to print.
    #[arg(long, default_value_t = 8)]
    pub most: usize,
}

/// A ladder on the command line.
#[derive(Debug, Args)]
pub struct LadderArgs {
    /// Diameter of discs, such as 12mm.
    #[arg(long, value_parser = length, conflicts_with_all = ["length", "width", "outer", "inner"])]
    pub diameter: Option<Length>,
    /// Outer diameter of rings.
    #[arg(long, value_parser = length, requires = "inner")]
    pub outer: Option<Length>,
    /// Inner diameter of rings.
    #[arg(long, value_parser = length, requires = "outer")]
    pub inner: Option<Length>,
    /// One side of the pole face of blocks.
    #[arg(long, value_parser = length, requires = "width")]
    pub length: Option<Length>,
    /// The other side of it.
    #[arg(long, value_parser = length, requires = "length")]
    pub width: Option<Length>,
    /// Grade.
    #[arg(long)]
    pub grade: Option<String>,
    /// Compare the reading at the face by a probe this deep; 0mm is the true face.
    #[arg(long, value_parser = length, conflicts_with_all = ["at", "pull"])]
    pub probe: Option<Length>,
    /// Compare the field at this distance.
    #[arg(long, value_parser = length, conflicts_with = "pull")]
    pub at: Option<Length>,
    /// Compare the pull on thick steel through this gap.
    #[arg(long, value_parser = length)]
    pub pull: Option<Length>,
    /// What rises; thickness, or the count where an item is given.
    #[arg(long, value_enum)]
    pub by: Option<By>,
    /// The item that is stacked.
    #[arg(long)]
    pub item: Option<String>,
    /// How many are bought; 100 unless told otherwise.
    #[arg(long)]
    pub pieces: Option<u32>,
    /// Least gain in value per gain in money that pays: 0.5 where nothing is said.
    #[arg(long)]
    pub worth: Option<f64>,
    /// What they must stand.
    #[command(flatten)]
    pub conditions: ConditionArgs,
}

/// What magnets must stand.
#[derive(Debug, Args)]
pub struct ConditionArgs {
    /// The warmest it gets, such as 80C or 176F.
    #[arg(long, value_parser = temperature, allow_hyphen_values = true)]
    pub warmest: Option<Temperature>,
    /// The coldest it gets.
    #[arg(long, value_parser = temperature, allow_hyphen_values = true)]
    pub coldest: Option<Temperature>,
    /// Where it lives: dry, damp, outdoors or food.
    #[arg(long, value_parser = surroundings)]
    pub surroundings: Option<Surroundings>,
}

impl ConditionArgs {
    /// The conditions.
    pub fn conditions(&self) -> Conditions {
        Conditions {
            warmest: self.warmest,
            coldest: self.coldest,
            surroundings: self.surroundings,
        }
    }
}

/// What rises from rung to rung.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum By {
    /// Thicknesses that the shelf has.
    Thickness,
    /// Pieces stacked of one item.
    Count,
    /// Any thickness.
    Free,
}

/// What can be done with the shelf.
#[derive(Debug, Subcommand)]
pub enum ShelfCommand {
    /// List magnets.
    #[command(after_help = "Examples:\n  lodewright --demo shelf list n42 disc 15x5")]
    List {
        /// Words that an item must hold.
        search: Vec<String>,
    },
    /// List steel parts.
    #[command(after_help = "Examples:\n  lodewright --demo shelf parts cup")]
    Parts {
        /// Words that a part must hold.
        search: Vec<String>,
    },
    /// List pots, hooks, strips and the like, with the pull that their maker states.
    #[command(after_help = "Examples:\n  lodewright --demo shelf goods pot")]
    Goods {
        /// Words that a line must hold.
        search: Vec<String>,
    },
    /// Import a price list, CSV or XLSX: all of it or nothing.
    #[command(
        after_help = "Examples:\n  lodewright shelf import prices.csv --preview\n  lodewright shelf import prices.xlsx --sheet Magnets --unit mm"
    )]
    Import {
        /// The file.
        file: PathBuf,
        /// Show what would change, and change nothing.
        #[arg(long)]
        preview: bool,
        /// Take items off the shelf that the file does not have.
        #[arg(long)]
        retire_missing: bool,
        /// Import although something of the shelf is lost or turned over; the preview tells what.
        #[arg(long)]
        confirm: bool,
        /// Unit of sizes that state none.
        #[arg(long)]
        unit: Option<String>,
        /// Which sheet of a workbook.
        #[arg(long)]
        sheet: Option<String>,
        /// Encoding of a text file, where it is not found out rightly.
        #[arg(long)]
        encoding: Option<String>,
        /// What a column holds, as HEADING=FIELD: `VK1=price from 10`, `A=diameter in inch`, `EAN=nothing`. It is kept for the next
        /// file with the same headings, and holds until another is given.
        #[arg(long = "map", value_name = "HEADING=FIELD")]
        map: Vec<String>,
        /// Read the columns by their headings, and forget what was kept.
        #[arg(long, conflicts_with = "map")]
        forget_map: bool,
        /// The line that names the columns, from 1; 0 where none does.
        #[arg(long)]
        heading_line: Option<u32>,
        /// Leave out the lines that cannot be read, and import the others; the preview lists them.
        #[arg(long)]
        skip_bad: bool,
    },
    /// Put one item on the shelf, or correct one, as HEADING=TEXT; what is not said stays as it is.
    #[command(
        after_help = "Examples:\n  lodewright shelf put code=14-07 'size=15 x 5 mm' grade=N42 'price from 1=0.95'\n  lodewright shelf put code=14-07 stock=300"
    )]
    Put {
        /// What stands under which heading, as in a price list.
        #[arg(required = true, value_name = "HEADING=TEXT")]
        cells: Vec<String>,
        /// Do it although something of the shelf is lost or turned over.
        #[arg(long)]
        confirm: bool,
    },
    /// Take one item off the shelf; undo brings it back.
    #[command(after_help = "Examples:\n  lodewright shelf remove 14-07")]
    Remove {
        /// Its code.
        code: String,
    },
    /// Export the shelf to a .csv or .xlsx file that can be imported again.
    #[command(
        after_help = "Examples:\n  lodewright shelf export shelf.csv\n  lodewright shelf export shelf.xlsx --overwrite"
    )]
    Export {
        /// The file to write.
        file: PathBuf,
        /// Replace the file if it exists.
        #[arg(long)]
        overwrite: bool,
    },
    /// Write the specifications of the whole shelf as one table for a web shop: .xlsx, .csv or .json. A run that was stopped is
    /// taken up where it stood.
    #[command(
        after_help = "Examples:\n  lodewright shelf sheet shelf.xlsx\n  lodewright shelf sheet shelf.csv --at 5mm --at 10mm --plate 1mm --gap 0mm --gap 1mm\n  lodewright shelf sheet shelf.json --sheets sheets"
    )]
    Sheet(ListingArgs),
    /// Take the last import or change of settings back.
    #[command(after_help = "Examples:\n  lodewright shelf undo")]
    Undo,
    /// Do again what was taken back last.
    #[command(after_help = "Examples:\n  lodewright shelf redo")]
    Redo,
    /// Put a backup in the place of the shop; what was there before is kept.
    #[command(after_help = "Examples:\n  lodewright shelf restore shop-2026-11.sqlite")]
    Restore {
        /// The backup.
        file: PathBuf,
    },
    /// Look whether the shop's file is whole and all in it can be read.
    #[command(after_help = "Examples:\n  lodewright shelf check")]
    Check,
    /// Copy the whole shop to a file while it is in use.
    #[command(after_help = "Examples:\n  lodewright shelf backup shop-2026-11.sqlite")]
    Backup {
        /// The file to write.
        file: PathBuf,
        /// Replace the file if it exists.
        #[arg(long)]
        overwrite: bool,
    },
    /// List the grades, or take the shop's own from a TOML file.
    #[command(after_help = "Examples:\n  lodewright shelf grades\n  lodewright shelf grades --import our-grades.toml")]
    Grades {
        /// A file with the shop's own grades; it replaces those of before.
        #[arg(long)]
        import: Option<PathBuf>,
    },
    /// Show or change the shop's settings.
    #[command(
        after_help = "Examples:\n  lodewright shelf settings --name \"The magnet corner\" --currency USD --show inch"
    )]
    Settings {
        /// Name of the shop.
        #[arg(long)]
        name: Option<String>,
        /// Currency of every price, such as EUR.
        #[arg(long)]
        currency: Option<String>,
        /// Units that the shop shows.
        #[arg(long)]
        show: Option<Units>,
        /// Change the currency although the shelf has prices; their numbers stay.
        #[arg(long)]
        confirm: bool,
        /// What stands on letters, sheets and quotations.
        #[command(flatten)]
        head: Box<HeadArgs>,
        /// What the public side tells, and how long things are kept.
        #[command(flatten)]
        policy: PolicyArgs,
    },
}

/// What can be done with lots.
#[derive(Debug, Subcommand)]
pub enum LotCommand {
    /// List lots with their certificates.
    #[command(after_help = "Examples:\n  lodewright lot list\n  lodewright lot list 14-07")]
    List {
        /// Only those of this item.
        code: Option<String>,
    },
    /// Reckon an item with the certificate of a lot, from now on.
    #[command(
        after_help = "Examples:\n  lodewright lot take 14-07 B2231 --br 1.31T --hcj 1020kA/m\n  lodewright lot take 14-07 B2231"
    )]
    Take {
        /// Code of the item.
        code: String,
        /// Name of the lot.
        lot: String,
        /// Remanence of the certificate, such as 1.31T or 13.1kG; may be left out for a lot that is known.
        #[arg(long, value_parser = flux_density)]
        br: Option<FluxDensity>,
        /// Intrinsic coercivity of the certificate, such as 1020kA/m or 12.8kOe.
        #[arg(long, value_parser = field_strength, requires = "br")]
        hcj: Option<FieldStrength>,
        /// Remark.
        #[arg(long, default_value = "", requires = "br")]
        note: String,
        /// Replace the values of a lot that is known with others.
        #[arg(long, requires = "br")]
        replace: bool,
    },
    /// Reckon an item with its grade again; its lots stay known.
    #[command(after_help = "Examples:\n  lodewright lot drop 14-07")]
    Drop {
        /// Code of the item.
        code: String,
    },
}

/// What can be done with the people of a shop.
#[derive(Debug, Subcommand)]
pub enum PeopleCommand {
    /// List who may sign in.
    #[command(after_help = "Examples:\n  lodewright people list")]
    List,
    /// Print a link with which somebody chooses a password; it serves once, within three days.
    #[command(
        after_help = "Examples:\n  lodewright people invite Ada --role owner\n  lodewright people invite Bob --role adviser --origin https://desk.example"
    )]
    Invite {
        /// The name to sign in with; for a name that is known, the link is for a new password.
        name: String,
        /// What they may do: owner, adviser or reader.
        #[arg(long, default_value = "adviser")]
        role: Role,
        /// The address under which people reach the shop.
        #[arg(long, default_value_t = Origin::this_machine(PORT))]
        origin: Origin,
    },
    /// Take the right to sign in from somebody, at once.
    #[command(after_help = "Examples:\n  lodewright people remove Bob")]
    Remove {
        /// The name.
        name: String,
    },
    /// List who changed what, newest first.
    #[command(after_help = "Examples:\n  lodewright people deeds --most 100")]
    Deeds {
        /// How many lines.
        #[arg(long, default_value_t = 50)]
        most: usize,
    },
}

/// What can be done with the desk.
#[derive(Debug, Subcommand)]
pub enum DeskCommand {
    /// List the answers, newest first.
    #[command(after_help = "Examples:\n  lodewright desk list")]
    List,
    /// Show an answer as it was.
    #[command(after_help = "Examples:\n  lodewright desk open k3f9a2c1 --units inch")]
    Open {
        /// Its id.
        id: String,
    },
    /// Take an answer off the desk; it can be restored.
    #[command(after_help = "Examples:\n  lodewright desk delete k3f9a2c1")]
    Delete {
        /// Its id.
        id: String,
    },
    /// Bring a deleted answer back.
    #[command(after_help = "Examples:\n  lodewright desk restore k3f9a2c1")]
    Restore {
        /// Its id.
        id: String,
    },
}

fn length(text: &str) -> Result<Length, String> {
    parse(text).map_err(|e| e.one_line())
}

fn flux_density(text: &str) -> Result<FluxDensity, String> {
    parse(text).map_err(|e| e.one_line())
}

fn field_strength(text: &str) -> Result<FieldStrength, String> {
    parse(text).map_err(|e| e.one_line())
}

fn temperature(text: &str) -> Result<Temperature, String> {
    parse(text).map_err(|e| e.one_line())
}

/// A value by the name that it has in JSON.
fn named<T: for<'de> Deserialize<'de>>(text: &str) -> Result<T, String> {
    let source: StrDeserializer<'_, ValueError> = text.trim().into_deserializer();
    T::deserialize(source).map_err(|error| error.to_string())
}

fn surroundings(text: &str) -> Result<Surroundings, String> {
    let source: StrDeserializer<'_, ValueError> = text.into_deserializer();
    Surroundings::deserialize(source).map_err(|_| "it is dry, damp, outdoors or food".into())
}
