//! Plans of wired security systems in plain text: checker, figures and language server.
//!
//! The only crate that knows the disk, the terminal and the editors' protocol.
//! Everything that is computed comes from `bellwire-plan`.

mod allocator;
mod args;
mod check;
mod disk;
mod explain;
mod figures;
mod format;
mod load;
mod output;
mod paths;
mod percent;
mod rewrite;
mod serve;
mod today;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;

use clap::Parser;

use args::{Args, Command};

/// How a command ended, as the shell sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing of error severity.
    Clean,
    /// Something is wrong with a plan.
    Found,
    /// A part could not be done; which one, and why, has been said.
    Failed,
}

/// Why a command could not run: one plain line.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The plans could not be read.
    #[error(transparent)]
    Load(#[from] load::LoadError),
    /// The result could not be written.
    #[error("cannot write the result: {0}")]
    Write(#[from] std::io::Error),
    /// The server has no threads to run on.
    #[error("cannot start the language server: {0}")]
    Start(std::io::Error),
    /// There is nothing of that name to explain.
    #[error(transparent)]
    Explain(#[from] explain::NothingToExplain),
    /// Nothing, or too much, has the name whose working was asked for.
    #[error(transparent)]
    Working(#[from] figures::NoWorking),
}

fn main() -> ExitCode {
    let args = Args::parse();
    // A bug of ours is told in one line too, and ends with the code for "could not run".
    std::panic::set_hook(Box::new(|fault| {
        let place = fault.location().map(ToString::to_string);
        let place = place.unwrap_or_else(|| "an unknown place".to_string());
        let payload = fault.payload();
        let text = payload.downcast_ref::<String>().map(String::as_str);
        let text = text.or_else(|| payload.downcast_ref::<&str>().copied());
        let message = text.unwrap_or("no message");
        output::tell(&format!(
            "internal fault at {place}: {message}; please report it with the plan that caused it"
        ));
    }));
    match catch_unwind(AssertUnwindSafe(|| run(args))) {
        Ok(Ok(Outcome::Clean)) => ExitCode::SUCCESS,
        Ok(Ok(Outcome::Found)) => ExitCode::from(1),
        Ok(Ok(Outcome::Failed)) => ExitCode::from(2),
        Ok(Err(failure)) => {
            output::tell(&failure.to_string());
            ExitCode::from(2)
        }
        Err(_) => ExitCode::from(2),
    }
}

fn run(args: Args) -> Result<Outcome, Failure> {
    match args.command {
        Command::Check(args) => check::run(&args),
        Command::Figures(args) => figures::run(&args),
        Command::Format(args) => format::run(&args),
        Command::Explain(args) => explain::run(&args),
        Command::Serve(args) => serve::run(&args),
    }
}
