//! The command line of quietrail: arguments, files, exit codes.
//!
//! What is computed lies in the libraries; this crate only carries texts between them, the disk and the terminal.

mod arguments;
mod bands;
mod check;
mod compare;
mod deliver;
mod design;
mod editor_server;
mod exit;
mod explain;
mod fingerprint;
mod format;
mod input;
mod output;
mod picture;
mod pipeline;
mod progress;
mod report_page;
mod response;
mod sensitivity;
mod shell;
mod sweep;
mod terminal;
mod watch;
mod winding;
mod worst;

use arguments::{Arguments, Command};
use clap::Parser;
use exit::Exit;
use std::process::ExitCode;

/// A harness of many parts is many small pieces of memory; this allocator hands them out and takes them back faster than the system's.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    // A wrong command line ends here with exit code 2, which is clap's own and the contract's.
    let arguments = Arguments::parse();
    let outcome = match &arguments.command {
        Command::Check(arguments) => check::run(arguments),
        Command::Format(arguments) => format::run(arguments),
        Command::Compare(arguments) => compare::run(arguments),
        Command::Report(arguments) => report_page::run(arguments),
        Command::Watch(arguments) => watch::run(arguments),
        Command::Response(arguments) => response::run(arguments),
        Command::Sweep(arguments) => sweep::run(arguments),
        Command::Sensitivity(arguments) => sensitivity::run(arguments),
        Command::Worst(arguments) => worst::run(arguments),
        Command::Design(arguments) => design::run(arguments),
        Command::Join(arguments) => sweep::join(arguments),
        Command::Picture(arguments) => picture::run(arguments),
        Command::Bands(arguments) => bands::run(arguments),
        Command::Winding(arguments) => winding::run(arguments),
        Command::Explain(arguments) => explain::run(arguments),
        // The protocol has exit codes of its own.
        Command::ServeEditor(_) => return editor_server::run(),
        Command::Completions(arguments) => shell::completions(arguments),
        Command::ManPages(arguments) => shell::man_pages(arguments),
    };
    let exit = outcome.unwrap_or_else(|stop| {
        output::complain(&stop.told);
        stop.exit
    });
    exit.into()
}

/// Why a command ended early: what to tell, and with which exit code.
#[derive(Debug)]
struct Stop {
    exit: Exit,
    told: String,
}

impl Stop {
    /// The user's file, settings or picks are wrong.
    fn input(told: impl Into<String>) -> Self {
        Self { exit: Exit::InputWrong, told: told.into() }
    }

    /// The disk or the system refused.
    fn machine(told: impl Into<String>) -> Self {
        Self { exit: Exit::MachineFailed, told: told.into() }
    }
}
