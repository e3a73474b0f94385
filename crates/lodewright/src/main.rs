//! The `lodewright` program: the command line and the web server.
//!
//! Both are thin: they read what is asked, hand it to [`desk::Desk`], and print or send what comes back.

mod benchwork;
mod command;
mod complaint;
mod daywork;
mod designing;
mod desk;
mod drawing;
mod enquiries;
mod kept;
mod letter;
mod links;
mod listing;
mod lots;
mod meter;
mod named_bodies;
mod parcelling;
mod printing;
mod problem;
mod quoting;
mod reading;
mod released;
mod reply;
mod serve;
mod steelwork;
mod teaching;
mod terminal;
mod threads;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let line = match command::line::Line::try_parse() {
        Ok(line) => line,
        Err(told) => {
            return command::usage(&told).unwrap_or_else(|problem| {
                terminal::print_problem(&problem, false);
                ExitCode::from(2)
            });
        }
    };
    tracing_subscriber::fmt()
        .with_max_level(line.log)
        .with_writer(std::io::stderr)
        .with_ansi(false)
        .with_target(false)
        .init();
    log_faults();
    match command::run(&line) {
        Ok(outcome) => outcome.into(),
        Err(problem) => {
            terminal::print_problem(&problem, line.json);
            ExitCode::from(2)
        }
    }
}

/// A fault of the program goes to the log with its place, like all else that is told there.
fn log_faults() {
    std::panic::set_hook(Box::new(|fault| {
        let place = fault.location().map_or_else(String::new, ToString::to_string);
        let what = fault.payload_as_str().unwrap_or("no text");
        tracing::error!(place, what, "the program has a fault");
    }));
}
