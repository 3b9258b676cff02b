//! Writes plans into a folder: `generate sites 1000 FOLDER`.

use std::path::PathBuf;
use std::process::ExitCode;

use bellwire_bench::workload::Workload;
use clap::{Parser, ValueEnum};

/// Writes plans as designers write them, from a seed.
#[derive(Parser)]
struct Args {
    /// What there is to be so much of.
    what: What,
    /// How many.
    number: usize,
    /// Where to; is made if it is not there.
    folder: PathBuf,
    /// The same seed gives the same plans.
    #[arg(long, default_value_t = bellwire_bench::SEED)]
    seed: u64,
}

#[derive(Clone, Copy, ValueEnum)]
enum What {
    /// Sites, a file each.
    Sites,
    /// Lines, in one file.
    Lines,
    /// Devices, on one panel.
    Devices,
}

fn main() -> ExitCode {
    let args = Args::parse();
    let work = match args.what {
        What::Sites => Workload::workspace(args.seed, args.number),
        What::Lines => Workload::file(args.seed, args.number),
        What::Devices => Workload::panel(args.seed, args.number),
    };
    if let Err(error) = work.write(&args.folder) {
        eprintln!("cannot write into `{}`: {error}", args.folder.display());
        return ExitCode::from(2);
    }
    println!(
        "{} files, {} lines; the findings that there must be:",
        work.files.len(),
        work.lines()
    );
    for (file, code) in &work.expected {
        println!("{file}: {code}");
    }
    ExitCode::SUCCESS
}
