//! The command line as a program, each time in an empty folder.

#![cfg(test)]

mod bench;
mod common;
mod faults;
mod killed;
mod output;
mod questions;
mod server;
mod shop;
