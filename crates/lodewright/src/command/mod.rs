//! The command line: what is done with what is typed.

mod ask;
mod bench;
mod deed;
pub mod line;
mod link;
mod listing;
mod lot;
mod made;
mod paper;
mod parcel;
mod people;
mod picture;
mod quote;
mod shelf;
mod work;

use std::io::{Read, Write};
use std::net::SocketAddr;
use std::process::ExitCode;

use advice::ladder::{Face, LadderRequest, Measure, Rising};
use advice::question::Conditions;
use quantity::{Length, Units};
use serde::Serialize;
use shop::{Role, Shop};

use crate::desk::{Desk, Wish, seconds_now};
use crate::meter::{Address, Meter, Port};
use crate::problem::{Kind, Problem};
use crate::serve;
use crate::terminal::{self, Page};
use line::{By, Command, DeskCommand, LadderArgs, Line, ShelfCommand};

/// The name of the first owner who signs in.
const FIRST: &str = "owner";
/// The largest file of text that is read whole, bytes.
const MOST_TEXT: u64 = 16 << 20;

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
pub fn run(line: &Line) -> Result<Outcome, Problem> {
    match &line.command {
        Command::Verify => return verify(line),
        Command::Compute => return computed(),
        Command::Steel { file } => return picture::steel(line, file),
        Command::Picture { file, out, overwrite } => return picture::run(line, file, out.as_deref(), *overwrite),
        Command::Openapi => {
            let text = serve::description().to_pretty_json();
            print(&text.map_err(|e| Problem::new(Kind::Internal, "the description", e.to_string()))?)?;
            return Ok(Outcome::Done);
        }
        _ => {}
    }
    if let Command::Shelf(ShelfCommand::Restore { file }) = &line.command {
        return shelf::restore(line, file);
    }
    let file = (!line.demo).then_some(line.shop.as_path());
    on_shop(line).map_err(|problem| problem.of_file(file))
}

/// Does what the line says with the shop.
fn on_shop(line: &Line) -> Result<Outcome, Problem> {
    let desk = Desk::new(if line.demo {
        shop::demo::in_memory()?
    } else {
        Shop::open(&line.shop)?
    });
    let units = match line.units {
        Some(units) => units,
        None => desk.shop.settings()?.units,
    };
    match &line.command {
        Command::Ask(ask) => ask::run(line, &desk, ask, &units),
        Command::Ladder(args) => {
            let view = desk.ladder(&ladder_request(&desk, args)?, &units)?;
            show(line, &view, |page| terminal::ladder(page, &view))
        }
        Command::Item { code, conditions } => {
            let view = desk.item(code, &conditions.conditions(), &units)?;
            show(line, &view, |page| terminal::item(page, &view))
        }
        Command::Bench(args) => bench::run(line, &desk, args, &units),
        Command::Lesson {
            export: Some(folder), ..
        } => {
            let pages = desk.lesson_pages(&units)?;
            shelf::folder(folder)?;
            for (name, html) in &pages {
                shelf::write_whole(&folder.join(name), html.as_bytes(), true)?;
            }
            done(line, &format!("{} has {} pages.", folder.display(), pages.len()))
        }
        Command::Lesson { keep: Some(file), .. } => {
            let text = text_of(file)?;
            let view = desk.keep_lesson(&text, &units)?;
            done(line, &format!("The lesson {} is kept: {}", view.name, view.title))
        }
        Command::Lesson { name: None, .. } => {
            let all = desk.lessons()?;
            show(line, &all, |page| terminal::lessons(page, &all))
        }
        Command::Lesson {
            name: Some(name),
            text: true,
            ..
        } => {
            let text = desk.lesson_text(name)?;
            if line.json {
                return show(line, &text, |_| {});
            }
            print(&text.text)?;
            Ok(Outcome::Done)
        }
        Command::Lesson {
            name: Some(name),
            remove: true,
            ..
        } => {
            let gone = desk.remove_lesson(name)?;
            let now = if gone.built_in { "; ours stands again" } else { "" };
            done(line, &format!("The shop's own lesson {name} is taken away{now}."))
        }
        Command::Lesson { name: Some(name), .. } => {
            let view = desk.lesson(name, &units)?;
            show(line, &view, |page| terminal::lesson(page, &view))
        }
        Command::Design(args) => made::run(line, &desk, args, &units),
        Command::Parcel(args) => parcel::run(line, &desk, args, &units),
        Command::Work(command) => work::run(line, &desk, command),
        Command::Quote(command) => quote::run(line, &desk, command, &units),
        Command::Paper(command) => paper::run(line, &desk, command, &units),
        Command::Link(command) => link::run(line, &desk, command, &units),
        Command::Reply { id, language, html } => {
            let letter = desk.letter(id, language, &units)?;
            if line.json {
                return show(line, &letter, |_| {});
            }
            print(if *html { &letter.html } else { &letter.text })?;
            Ok(Outcome::Done)
        }
        Command::Shelf(ShelfCommand::Sheet(args)) => listing::run(line, &desk, args, &units),
        Command::Shelf(command) => shelf::run(line, &desk, command, &units),
        Command::Lot(command) => lot::run(line, &desk, command, &units),
        Command::Desk(command) => on_desk(line, &desk, command, &units),
        Command::People(command) => people::run(line, &desk, command),
        Command::Serve {
            listen,
            port,
            origin,
            public,
            public_origin,
            frame,
            proxy,
            sign_in,
            meter,
            meter_baud,
            meter_query,
            meter_unit,
        } => {
            let mut desk = desk;
            if let Some(place) = meter {
                desk.meter = Meter::watch(Address {
                    port: Port::named(place, *meter_baud),
                    query: meter_query.clone(),
                    unit: meter_unit.clone(),
                });
            }
            if desk.shop.settings()?.demo && !line.json {
                let wish = Wish {
                    keep: true,
                    ..Wish::default()
                };
                let (reply, _) = desk.reply(serve::EXAMPLE, wish, &units)?;
                let mut page = Page::new();
                page.heading("A question to the demo shop, answered");
                if let Some(sheet) = &reply.sheet {
                    terminal::answer(&mut page, &sheet.view, 5);
                }
                print(&page.text())?;
            }
            if let Some(exposed) = desk.shop.exposed() {
                tracing::warn!("{exposed}");
            }
            let serving = serve::Serving {
                address: SocketAddr::new(*listen, *port),
                origin: origin.clone(),
                public: public.map(|address| serve::Public {
                    address,
                    origin: public_origin.clone(),
                    frames: frame.clone(),
                }),
                proxies: proxy.clone(),
                sign_in: *sign_in,
            };
            let first = match serving.is_gated() && desk.shop.people()?.is_empty() {
                true => Some(desk.shop.token()?),
                false => None,
            };
            if let Some(token) = &first {
                desk.shop
                    .invite(FIRST, Role::Owner, token, seconds_now() + serve::INVITATION)?;
            }
            let declared = origin.clone();
            serve::serve(desk, serving, |addresses| {
                let [at, public @ ..] = addresses else { return };
                let asked = public
                    .first()
                    .map_or_else(String::new, |at| format!("The public side is at http://{at}/\n"));
                let origin = declared.map_or_else(|| format!("http://{at}"), |origin| origin.to_string());
                let link = first.map(|token| format!("{origin}/sign-in/join?token={token}"));
                let welcome = link.as_ref().map_or_else(String::new, |link| {
                    format!("Nobody can sign in yet. As {FIRST}, choose a password with this link; it serves once:\n{link}\n")
                });
                let said = print(&if line.json {
                    format!(
                        "{}\n",
                        serde_json::json!({
                            "address": format!("http://{at}/"),
                            "public": public.first().map(|at| format!("http://{at}/")),
                            "first_link": link,
                        })
                    )
                } else {
                    format!("Lodewright is at http://{at}/  (Ctrl-C stops it)\n{asked}{welcome}")
                });
                // It is served whether anybody reads that or not.
                if let Err(problem) = said {
                    tracing::warn!(%problem, "the address could not be told");
                }
            })?;
            Ok(Outcome::Done)
        }
        Command::Verify | Command::Compute | Command::Openapi | Command::Picture { .. } | Command::Steel { .. } => {
            Ok(Outcome::Done)
        }
    }
}

/// Prints to standard output; a closed pipe is no error, since whoever closed it has seen enough.
///
/// # Errors
/// Output that cannot be written, as on a full disk.
fn print(text: &str) -> Result<(), Problem> {
    let mut out = std::io::stdout().lock();
    written(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
}

/// Prints help, the version or what is wrong with a line that was typed, and how the program ends with it.
///
/// # Errors
/// Output that cannot be written.
pub fn usage(told: &clap::Error) -> Result<ExitCode, Problem> {
    written(told.print().and_then(|()| std::io::stdout().flush()))?;
    Ok(u8::try_from(told.exit_code()).map_or(ExitCode::FAILURE, ExitCode::from))
}

fn written(done: std::io::Result<()>) -> Result<(), Problem> {
    match done {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(
                Problem::new(Kind::Internal, "the output", format!("it cannot be written: {error}"))
                    .hint("look whether the disk that it goes to is full"),
            )
        }
        _ => Ok(()),
    }
}

fn show<T: Serialize>(line: &Line, value: &T, print_page: impl FnOnce(&mut Page)) -> Result<Outcome, Problem> {
    if line.json {
        let text = serde_json::to_string_pretty(value)
            .map_err(|e| Problem::new(Kind::Internal, "the answer cannot be printed", e.to_string()))?;
        print(&format!("{text}\n"))?;
    } else {
        let mut page = Page::new().unfolded(line.cautions);
        print_page(&mut page);
        print(&page.text())?;
    }
    Ok(Outcome::Done)
}

/// The ladder that the line asks for; what it leaves open comes from the item, the shelf or a usual value.
fn ladder_request(desk: &Desk, args: &LadderArgs) -> Result<LadderRequest, Problem> {
    let shelf = desk.shelf()?;
    let item = args.item.as_ref().map(|code| shelf.item(code)).transpose()?;
    let body = match (args.diameter, args.outer.zip(args.inner), args.length.zip(args.width)) {
        (Some(diameter), ..) => Some(Face::Disc { diameter }),
        (_, Some((outer_diameter, inner_diameter)), _) => Some(Face::Ring {
            outer_diameter,
            inner_diameter,
        }),
        (.., Some((length, width))) => Some(Face::Block { length, width }),
        _ => item.and_then(|i| Face::of(&i.shape)),
    };
    let usual = || LadderRequest {
        body: Face::Disc {
            diameter: Length::from_mm(10.0),
        },
        grade: "N42".into(),
        measure: Measure::Face { probe_depth: None },
        by: Rising::Thickness,
        item: None,
        pieces: 100,
        worth: 0.5,
        conditions: Conditions::default(),
    };
    let start = desk.ladder_start();
    let start = if body.is_some() || args.grade.is_some() {
        start.unwrap_or_else(|_| usual())
    } else {
        start?
    };
    let body = body.unwrap_or(start.body);
    let of_face = || {
        shelf
            .items
            .iter()
            .find(|i| body.is_face_of(&i.shape))
            .map(|i| i.grade.clone())
    };
    let grade = args
        .grade
        .clone()
        .or_else(|| item.map(|i| i.grade.clone()))
        .or_else(of_face);
    Ok(LadderRequest {
        body,
        grade: grade.unwrap_or(start.grade),
        measure: match (args.probe, args.at, args.pull) {
            (Some(depth), ..) => Measure::Face {
                probe_depth: (depth.si() != 0.0).then_some(depth),
            },
            (_, Some(distance), _) => Measure::Field { distance },
            (.., Some(gap)) => Measure::Pull { gap },
            _ => start.measure,
        },
        by: match args.by {
            Some(By::Count) => Rising::Count,
            Some(By::Free) => Rising::Free,
            None if args.item.is_some() => Rising::Count,
            Some(By::Thickness) | None => Rising::Thickness,
        },
        item: args.item.clone(),
        pieces: args.pieces.unwrap_or(start.pieces),
        worth: args.worth.unwrap_or(start.worth),
        conditions: args.conditions.conditions(),
    })
}

fn on_desk(line: &Line, desk: &Desk, command: &DeskCommand, units: &Units) -> Result<Outcome, Problem> {
    let absent = |id: &str| {
        Err(Problem::new(
            Kind::Absent,
            "no such answer",
            format!("no answer {id:?} is on the desk"),
        ))
    };
    match command {
        DeskCommand::List => {
            let kept = desk.shop.list_answers(usize::MAX)?;
            show(line, &kept, |page| terminal::desk(page, &kept))?;
            Ok(if kept.is_empty() {
                Outcome::Nothing
            } else {
                Outcome::Done
            })
        }
        DeskCommand::Open { id } => {
            let sheet = desk.open(id, units)?;
            show(line, &sheet, |page| {
                let since = if sheet.stale {
                    "; the shelf has changed since"
                } else {
                    ""
                };
                page.line(&format!(
                    "Asked {} at shelf revision {}{since}.",
                    sheet.asked_at, sheet.view.revision
                ));
                page.blank();
                terminal::answer(page, &sheet.view, usize::MAX);
            })
        }
        DeskCommand::Delete { id } if desk.shop.delete_answer(id)? => done(
            line,
            &format!("{id} is off the desk; `lodewright desk restore {id}` brings it back."),
        ),
        DeskCommand::Restore { id } if desk.shop.restore_answer(id)? => {
            done(line, &format!("{id} is back on the desk."))
        }
        DeskCommand::Delete { id } | DeskCommand::Restore { id } => absent(id),
    }
}

fn done(line: &Line, text: &str) -> Result<Outcome, Problem> {
    show(line, &serde_json::json!({ "done": text }), |page| page.line(text))
}

fn computed() -> Result<Outcome, Problem> {
    match compute::stream(std::io::stdin().lock(), &mut std::io::stdout().lock()) {
        Ok(0) => Ok(Outcome::Done),
        Ok(_) => Ok(Outcome::Nothing),
        // Whoever closed the pipe has seen enough.
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(Outcome::Done),
        Err(error) => Err(Problem::new(
            Kind::Internal,
            "the lines",
            format!("they cannot be read or answered: {error}"),
        )),
    }
}

fn verify(line: &Line) -> Result<Outcome, Problem> {
    let rows = compute::oracle::run().map_err(|e| Problem::new(Kind::Internal, "the outside values", e.to_string()))?;
    let failed = rows.iter().filter(|r| !r.pass).count();
    show(line, &rows, |page| terminal::verify(page, &rows))?;
    Ok(if failed == 0 { Outcome::Done } else { Outcome::Nothing })
}

/// The JSON in a file, or on standard input for `-`.
fn json_of(file: &std::path::Path, what: &str) -> Result<serde_json::Value, Problem> {
    let text = if file.as_os_str() == "-" {
        read_input()?
    } else {
        text_of(file)?
    };
    serde_json::from_str(&text).map_err(|e| {
        Problem::new(Kind::Malformed, "not JSON", format!("{what} is not JSON: {e}"))
            .hint("its form is in the output of `lodewright openapi`")
    })
}

fn read_input() -> Result<String, Problem> {
    let mut text = String::new();
    std::io::stdin()
        .take(1 << 20)
        .read_to_string(&mut text)
        .map_err(|e| Problem::new(Kind::Asked, "standard input", format!("it does not read: {e}")))?;
    Ok(text)
}

fn not_read(file: &std::path::Path, error: &std::io::Error) -> Problem {
    Problem::new(
        Kind::Asked,
        "the file",
        format!("cannot read {}: {error}", file.display()),
    )
}

/// The whole of a file that has at most so many bytes.
fn bytes_of(file: &std::path::Path, most: u64) -> Result<Vec<u8>, Problem> {
    let mut bytes = Vec::new();
    std::fs::File::open(file)
        .and_then(|opened| opened.take(most + 1).read_to_end(&mut bytes))
        .map_err(|e| not_read(file, &e))?;
    if bytes.len() as u64 > most {
        let detail = format!("{} has more than {} MiB", file.display(), most >> 20);
        return Err(Problem::new(Kind::TooLarge, "the file", detail).hint("give a smaller file"));
    }
    Ok(bytes)
}

fn text_of(file: &std::path::Path) -> Result<String, Problem> {
    String::from_utf8(bytes_of(file, MOST_TEXT)?).map_err(|_| {
        let detail = format!("{} is not text in UTF-8", file.display());
        Problem::new(Kind::Malformed, "the file", detail).hint("save it as UTF-8")
    })
}
