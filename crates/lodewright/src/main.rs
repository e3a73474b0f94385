//! The `lodewright` program: the command line and the web server.
//!
//! Both are thin: they read what is asked, hand it to [`desk::Desk`], and print or send what comes back.

mod benchwork;
mod command;
mod complaint;
mod desk;
mod drawing;
mod enquiries;
mod kept;
mod named_bodies;
mod problem;
mod reading;
mod reply;
mod serve;
mod side_by_side;
mod steelwork;
mod terminal;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let line = command::line::Line::parse();
    match command::run(&line) {
        Ok(outcome) => outcome.into(),
        Err(problem) => {
            terminal::print_problem(&problem, line.json);
            ExitCode::from(2)
        }
    }
}
