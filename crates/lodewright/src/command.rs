//! The command line: what may be typed, and what is done with it.

use std::io::{Read, Write};
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::process::ExitCode;

use advice::ladder::{Face, LadderRequest, Measure, Rising};
use clap::{Args, Parser, Subcommand, ValueEnum};
use quantity::{Length, Units, parse};
use serde::Serialize;
use shop::import::{self, Options, ReadOptions};
use shop::{Settings, Shop};

use crate::compute;
use crate::desk::{Asking, Desk};
use crate::serve;
use crate::terminal::{self, Page};
use crate::trouble::{Kind, Trouble};

/// The port that a shop is served on where none is given.
const PORT: u16 = 7415;

/// From a customer's question to the magnet that will do.
///
/// Exit status: 0 done, 1 nothing was found (no magnet surely does, or a check failed), 2 trouble.
#[derive(Debug, Parser)]
#[command(name = "lodewright", version, max_term_width = 100)]
pub struct Line {
    /// The shop's file; it is made where there is none.
    #[arg(long, global = true, env = "LODEWRIGHT_SHOP", default_value = "lodewright-shop.sqlite")]
    pub shop: PathBuf,
    /// Work on the invented demo shop, in memory.
    #[arg(long, global = true)]
    pub demo: bool,
    /// Print JSON as the web interface gives it.
    #[arg(long, global = true)]
    pub json: bool,
    /// Units to show: metric, inch, or changes to metric such as mm,lbf,G; the shop's own where absent.
    #[arg(long, global = true)]
    pub units: Option<Units>,
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Answer a question in plain words.
    Ask(Ask),
    /// Show what the next step in thickness or number buys.
    Ladder(LadderArgs),
    /// Show one item in full.
    Item {
        /// Its code.
        code: String,
    },
    /// Look after the shelf: list, import, export, undo, back up.
    #[command(subcommand)]
    Shelf(ShelfCommand),
    /// Look at the answers so far.
    #[command(subcommand)]
    Desk(DeskCommand),
    /// Serve the page and the interface.
    Serve {
        /// Address to listen on; loopback unless told otherwise.
        #[arg(long, default_value_t = IpAddr::V4(Ipv4Addr::LOCALHOST))]
        listen: IpAddr,
        /// Port; 0 takes any that is free.
        #[arg(long, default_value_t = PORT)]
        port: u16,
    },
    /// Answer lines of JSON on standard input, one line each: fields, forces, factors. Status 1 if a line could not be answered.
    Compute,
    /// Check the physics on this machine against values from outside.
    Verify,
    /// Print the description of the web interface, OpenAPI 3.1.
    Openapi,
}

#[derive(Debug, Args)]
struct Ask {
    /// The question, such as: hold 2 kg hanging below 3 mm steel through 0.4 mm paint, 200 pieces.
    #[arg(required_unless_present = "question", conflicts_with = "question")]
    words: Vec<String>,
    /// A file with the question in JSON; - is standard input.
    #[arg(long)]
    question: Option<PathBuf>,
    /// Keep the answer on the desk.
    #[arg(long)]
    keep: bool,
    /// How many candidates to print.
    #[arg(long, default_value_t = 8)]
    most: usize,
}

#[derive(Debug, Args)]
struct LadderArgs {
    /// Diameter of discs, such as 12mm.
    #[arg(long, value_parser = length, conflicts_with_all = ["length", "width", "outer", "inner"])]
    diameter: Option<Length>,
    /// Outer diameter of rings.
    #[arg(long, value_parser = length, requires = "inner")]
    outer: Option<Length>,
    /// Inner diameter of rings.
    #[arg(long, value_parser = length, requires = "outer")]
    inner: Option<Length>,
    /// One side of the pole face of blocks.
    #[arg(long, value_parser = length, requires = "width")]
    length: Option<Length>,
    /// The other side of it.
    #[arg(long, value_parser = length, requires = "length")]
    width: Option<Length>,
    /// Grade.
    #[arg(long)]
    grade: Option<String>,
    /// Compare the reading at the face by a probe this deep; 0mm is the true face.
    #[arg(long, value_parser = length, conflicts_with_all = ["at", "pull"])]
    probe: Option<Length>,
    /// Compare the field at this distance.
    #[arg(long, value_parser = length, conflicts_with = "pull")]
    at: Option<Length>,
    /// Compare the pull on thick steel through this gap.
    #[arg(long, value_parser = length)]
    pull: Option<Length>,
    /// What rises.
    #[arg(long, value_enum, default_value_t = By::Thickness)]
    by: By,
    /// The item that is stacked, with --by count.
    #[arg(long)]
    item: Option<String>,
    /// How many are bought.
    #[arg(long)]
    pieces: Option<u32>,
    /// Least gain in value per gain in money that pays.
    #[arg(long)]
    worth: Option<f64>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum By {
    /// Thicknesses that the shelf has.
    Thickness,
    /// Pieces stacked of one item.
    Count,
    /// Any thickness.
    Free,
}

#[derive(Debug, Subcommand)]
enum ShelfCommand {
    /// List items.
    List {
        /// Words that an item must hold.
        search: Vec<String>,
    },
    /// Import a price list, CSV or XLSX: all of it or nothing.
    Import {
        /// The file.
        file: PathBuf,
        /// Show what would change, and change nothing.
        #[arg(long)]
        preview: bool,
        /// Take items off the shelf that the file does not have.
        #[arg(long)]
        retire_missing: bool,
        /// Unit of sizes that state none.
        #[arg(long)]
        unit: Option<String>,
        /// Which sheet of a workbook.
        #[arg(long)]
        sheet: Option<String>,
        /// Encoding of a text file, where it is not found out rightly.
        #[arg(long)]
        encoding: Option<String>,
    },
    /// Export the shelf to a .csv or .xlsx file that can be imported again.
    Export {
        /// The file to write.
        file: PathBuf,
        /// Replace the file if it exists.
        #[arg(long)]
        overwrite: bool,
    },
    /// Take the last import back.
    Undo,
    /// Copy the whole shop to a file while it is in use.
    Backup {
        /// The file to write.
        file: PathBuf,
        /// Replace the file if it exists.
        #[arg(long)]
        overwrite: bool,
    },
    /// List the grades, or take the shop's own from a TOML file.
    Grades {
        /// A file with the shop's own grades; it replaces those of before.
        #[arg(long)]
        import: Option<PathBuf>,
    },
    /// Show or change the shop's settings.
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
    },
}

#[derive(Debug, Subcommand)]
enum DeskCommand {
    /// List the answers, newest first.
    List,
    /// Show an answer as it was.
    Open {
        /// Its id.
        id: String,
    },
    /// Take an answer off the desk; it can be restored.
    Delete {
        /// Its id.
        id: String,
    },
    /// Bring a deleted answer back.
    Restore {
        /// Its id.
        id: String,
    },
}

fn length(text: &str) -> Result<Length, String> {
    parse(text).map_err(|e| e.one_line())
}

/// How a command ended, when it did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// What was asked was done or found.
    Done,
    /// Nothing was found.
    Nothing,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        match outcome {
            Outcome::Done => ExitCode::SUCCESS,
            Outcome::Nothing => ExitCode::from(1),
        }
    }
}

/// Does what the line says.
///
/// # Errors
/// Whatever keeps it from being done.
pub fn run(line: &Line) -> Result<Outcome, Trouble> {
    match &line.command {
        Command::Verify => return verify(line),
        Command::Compute => return computed(),
        Command::Openapi => {
            let text = serve::description().to_pretty_json();
            print(&text.map_err(|e| Trouble::new(Kind::Internal, "the description", e.to_string()))?);
            return Ok(Outcome::Done);
        }
        _ => {}
    }
    let desk = Desk::new(if line.demo { shop::demo::in_memory()? } else { Shop::open(&line.shop)? });
    let units = match line.units {
        Some(units) => units,
        None => desk.shop.settings()?.units,
    };
    match &line.command {
        Command::Ask(ask) => answer(line, &desk, ask, &units),
        Command::Ladder(args) => {
            let view = desk.ladder(&ladder_request(&desk, args)?, &units)?;
            show(line, &view, |page| terminal::ladder(page, &view))
        }
        Command::Item { code } => {
            let view = desk.item(code, &units)?;
            show(line, &view, |page| terminal::item(page, &view))
        }
        Command::Shelf(command) => on_shelf(line, &desk, command, &units),
        Command::Desk(command) => on_desk(line, &desk, command, &units),
        Command::Serve { listen, port } => {
            let demo = desk.shop.settings()?.demo;
            if demo {
                let (sheet, _) = desk.ask(Asking::Words(serve::EXAMPLE.into()), true, &units)?;
                let mut page = Page::new();
                page.heading("A question to the demo shop, answered");
                terminal::answer(&mut page, &sheet.view, 5);
                print(&page.text());
            }
            serve::serve(desk, SocketAddr::new(*listen, *port), |at| {
                print(&format!("Lodewright is at http://{at}/  (Ctrl-C stops it)\n"));
            })?;
            Ok(Outcome::Done)
        }
        Command::Verify | Command::Compute | Command::Openapi => Ok(Outcome::Done),
    }
}

/// Prints to standard output; a closed pipe is no error.
fn print(text: &str) {
    let mut out = std::io::stdout().lock();
    // Whoever closed the pipe has seen enough.
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

fn show<T: Serialize>(line: &Line, value: &T, print_page: impl FnOnce(&mut Page)) -> Result<Outcome, Trouble> {
    if line.json {
        let text = serde_json::to_string_pretty(value)
            .map_err(|e| Trouble::new(Kind::Internal, "the answer cannot be printed", e.to_string()))?;
        print(&format!("{text}\n"));
    } else {
        let mut page = Page::new();
        print_page(&mut page);
        print(&page.text());
    }
    Ok(Outcome::Done)
}

fn answer(line: &Line, desk: &Desk, ask: &Ask, units: &Units) -> Result<Outcome, Trouble> {
    let asking = match &ask.question {
        Some(file) => {
            let text = if file.as_os_str() == "-" { read_input()? } else { text_of(file)? };
            let question = serde_json::from_str(&text).map_err(|e| {
                Trouble::new(Kind::Asked, "the question does not read", e.to_string())
                    .hint("quantities are strings with a unit, such as \"2 kg\"")
            })?;
            Asking::Question(Box::new(question))
        }
        None => Asking::Words(ask.words.join(" ")),
    };
    let (sheet, answer) = desk.ask(asking, ask.keep, units)?;
    show(line, &sheet, |page| {
        if let Some(understood) = &sheet.understood {
            terminal::not_understood(page, understood);
        }
        terminal::answer(page, &sheet.view, ask.most);
        if let Some(id) = &sheet.id {
            page.line(&format!("Kept on the desk as {id}."));
        }
    })?;
    Ok(if answer.searched.sure > 0 { Outcome::Done } else { Outcome::Nothing })
}

fn ladder_request(desk: &Desk, args: &LadderArgs) -> Result<LadderRequest, Trouble> {
    let body = match (args.diameter, args.outer.zip(args.inner), args.length.zip(args.width)) {
        (Some(diameter), ..) => Some(Face::Disc { diameter }),
        (_, Some((outer_diameter, inner_diameter)), _) => Some(Face::Ring { outer_diameter, inner_diameter }),
        (.., Some((length, width))) => Some(Face::Block { length, width }),
        _ => None,
    };
    let mut request = desk.ladder_start()?;
    request.body = body.unwrap_or(request.body);
    match (&args.grade, body) {
        (Some(grade), _) => request.grade = grade.clone(),
        (None, Some(body)) => {
            let shelf = desk.shelf()?;
            let first = shelf.items.iter().find(|i| body.is_face_of(&i.shape));
            request.grade = first.map_or(request.grade, |i| i.grade.clone());
        }
        _ => {}
    }
    request.measure = match (args.probe, args.at, args.pull) {
        (Some(depth), ..) => Measure::Face { probe_depth: (depth.si() > 0.0).then_some(depth) },
        (_, Some(distance), _) => Measure::Field { distance },
        (.., Some(gap)) => Measure::Pull { gap },
        _ => request.measure,
    };
    request.by = match args.by {
        By::Thickness => Rising::Thickness,
        By::Count => Rising::Count,
        By::Free => Rising::Free,
    };
    request.item.clone_from(&args.item);
    request.pieces = args.pieces.unwrap_or(request.pieces);
    request.worth = args.worth.unwrap_or(request.worth);
    Ok(request)
}

fn on_shelf(line: &Line, desk: &Desk, command: &ShelfCommand, units: &Units) -> Result<Outcome, Trouble> {
    match command {
        ShelfCommand::List { search } => {
            let shelf = desk.shelf()?;
            let reader = shelf.reader(units);
            let items = desk.shop.search(&search.join(" "))?;
            let lines: Vec<_> = items.iter().map(|i| advice::view::item::line(i, &shelf.catalogue, &reader)).collect();
            show(line, &lines, |page| terminal::items(page, &lines))?;
            Ok(if lines.is_empty() { Outcome::Nothing } else { Outcome::Done })
        }
        ShelfCommand::Import { file, preview, retire_missing, unit, sheet, encoding } => {
            let bytes = std::fs::read(file).map_err(|e| not_read(file, &e))?;
            let name = file.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
            let read = ReadOptions {
                length_unit: unit.clone(),
                sheet: sheet.clone(),
                encoding: encoding.clone(),
                ..ReadOptions::default()
            };
            let table = import::read(&bytes, &name, &read)?;
            let columns = import::recognise(&table);
            let options = Options { retire_missing: *retire_missing, revision: None, units: *units };
            if *preview {
                let seen = import::preview(&desk.shop, &table, &columns, &options)?;
                show(line, &seen, |page| terminal::preview(page, &seen))?;
                return Ok(if seen.may_import { Outcome::Done } else { Outcome::Nothing });
            }
            match import::apply(&desk.shop, &table, &columns, &options) {
                Ok(done) => show(line, &done, |page| terminal::imported(page, &done)),
                Err(import::ApplyError::Refused(seen)) if !line.json => {
                    let mut page = Page::new();
                    terminal::preview(&mut page, &seen);
                    print(&page.text());
                    Err(Trouble { problems: Vec::new(), ..Trouble::refused(*seen) })
                }
                Err(error) => Err(error.into()),
            }
        }
        ShelfCommand::Export { file, overwrite } => {
            let workbook = file.extension().is_some_and(|e| e.eq_ignore_ascii_case("xlsx"));
            let bytes = if workbook { shop::export::xlsx(&desk.shop)? } else { shop::export::csv(&desk.shop)? };
            if file.exists() && !overwrite {
                return Err(Trouble::new(Kind::Asked, "the file exists", format!("{} exists already", file.display()))
                    .hint("choose another name, or add --overwrite"));
            }
            std::fs::write(file, bytes).map_err(|e| {
                Trouble::new(Kind::Internal, "the file", format!("cannot write {}: {e}", file.display()))
            })?;
            done(line, &format!("The shelf is in {}.", file.display()))
        }
        ShelfCommand::Undo => {
            let revision = desk.shop.undo_last_import()?;
            done(line, &format!("The last import is taken back; the shelf is at revision {revision}."))
        }
        ShelfCommand::Backup { file, overwrite } => {
            desk.shop.backup(file, *overwrite)?;
            done(line, &format!("The shop is copied to {}.", file.display()))
        }
        ShelfCommand::Grades { import: None } => {
            let shelf = desk.shelf()?;
            let rows = shelf.catalogue.grades.rows();
            show(line, &rows, |page| terminal::grades(page, rows, units))
        }
        ShelfCommand::Grades { import: Some(file) } => {
            let revision = desk.shop.set_own_grades(&text_of(file)?)?;
            done(line, &format!("The shop's own grades are taken; the shelf is at revision {revision}."))
        }
        ShelfCommand::Settings { name, currency, show: shown } => {
            let before = desk.shop.settings()?;
            let currency = match currency {
                Some(code) => code.parse().map_err(|e: quantity::CurrencyError| {
                    Trouble::new(Kind::Asked, "the currency", e.to_string()).hint("a code of three letters, such as EUR")
                })?,
                None => before.currency,
            };
            let after = Settings {
                name: name.clone().unwrap_or_else(|| before.name.clone()),
                currency,
                units: shown.unwrap_or(before.units),
                ..before.clone()
            };
            if after != before {
                desk.shop.set_settings(&after)?;
            }
            show(line, &after, |page| {
                page.line(&format!("{}: prices in {}, shown in {}.", after.name, after.currency.code(), String::from(after.units)));
            })
        }
    }
}

fn on_desk(line: &Line, desk: &Desk, command: &DeskCommand, units: &Units) -> Result<Outcome, Trouble> {
    let absent = |id: &str| Err(Trouble::new(Kind::Absent, "no such answer", format!("no answer {id:?} is on the desk")));
    match command {
        DeskCommand::List => {
            let kept = desk.shop.list_answers(usize::MAX)?;
            show(line, &kept, |page| terminal::desk(page, &kept))?;
            Ok(if kept.is_empty() { Outcome::Nothing } else { Outcome::Done })
        }
        DeskCommand::Open { id } => {
            let sheet = desk.open(id, units)?;
            show(line, &sheet, |page| {
                page.line(&format!("Asked {}, shelf revision {}.", sheet.asked_at, sheet.view.revision));
                terminal::answer(page, &sheet.view, usize::MAX);
            })
        }
        DeskCommand::Delete { id } if desk.shop.delete_answer(id)? => {
            done(line, &format!("{id} is off the desk; `lodewright desk restore {id}` brings it back."))
        }
        DeskCommand::Restore { id } if desk.shop.restore_answer(id)? => done(line, &format!("{id} is back on the desk.")),
        DeskCommand::Delete { id } | DeskCommand::Restore { id } => absent(id),
    }
}

fn done(line: &Line, text: &str) -> Result<Outcome, Trouble> {
    show(line, &serde_json::json!({ "done": text }), |page| page.line(text))
}

fn verify(line: &Line) -> Result<Outcome, Trouble> {
    let rows = magnetics::oracle::run()
        .map_err(|e| Trouble::new(Kind::Internal, "the outside values", e.to_string()))?;
    let failed = rows.iter().filter(|r| !r.pass).count();
    show(line, &rows, |page| terminal::verify(page, &rows))?;
    Ok(if failed == 0 { Outcome::Done } else { Outcome::Nothing })
}

fn computed() -> Result<Outcome, Trouble> {
    match compute::stream(std::io::stdin().lock(), &mut std::io::stdout().lock()) {
        Ok(0) => Ok(Outcome::Done),
        Ok(_) => Ok(Outcome::Nothing),
        // Whoever closed the pipe has seen enough.
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(Outcome::Done),
        Err(error) => Err(Trouble::new(Kind::Internal, "the lines", format!("they cannot be read or answered: {error}"))),
    }
}

fn read_input() -> Result<String, Trouble> {
    let mut text = String::new();
    std::io::stdin()
        .take(1 << 20)
        .read_to_string(&mut text)
        .map_err(|e| Trouble::new(Kind::Asked, "standard input", format!("it does not read: {e}")))?;
    Ok(text)
}

fn not_read(file: &std::path::Path, error: &std::io::Error) -> Trouble {
    Trouble::new(Kind::Asked, "the file", format!("cannot read {}: {error}", file.display()))
}

fn text_of(file: &std::path::Path) -> Result<String, Trouble> {
    std::fs::read_to_string(file).map_err(|e| not_read(file, &e))
}
