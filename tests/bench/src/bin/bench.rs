//! Measures: `bench run` one server, with a page and JSON; `bench compare` two builds in turns.

use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Duration;

use bellwire_bench::Failure;
use bellwire_bench::case::{Case, Kind, PLANS};
use bellwire_bench::client::Server;
use bellwire_bench::echo;
use bellwire_bench::reparse::reparse;
use bellwire_bench::report;
use bellwire_bench::script::Places;
use bellwire_bench::series::Results;
use bellwire_bench::session::{Effort, KEY, floor, measure, metric};
use clap::{Parser, Subcommand};
use serde_json::{Value, json};

/// Measures how fast Bellwire is.
#[derive(Parser)]
struct Args {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Measures one build, and other servers beside it.
    Run {
        /// The program.
        #[arg(long, default_value = "target/release/bellwire")]
        server: PathBuf,
        /// `ruff`, to measure it on Python.
        #[arg(long)]
        ruff: Option<PathBuf>,
        /// `yaml-language-server`, to measure it on YAML.
        #[arg(long)]
        yaml: Option<PathBuf>,
        /// Where the page goes.
        #[arg(long)]
        page: Option<PathBuf>,
        /// Where all values go.
        #[arg(long)]
        json: Option<PathBuf>,
        #[command(flatten)]
        what: What,
    },
    /// Measures two builds in turns, and tells the ratios.
    Compare {
        /// The one that 1 stands for.
        first: PathBuf,
        /// The other one.
        second: PathBuf,
        /// How many times in turns.
        #[arg(long, default_value_t = 3)]
        rounds: usize,
        #[command(flatten)]
        what: What,
    },
    /// Answers every message at once: the machine's part of all times.
    #[command(hide = true)]
    Echo,
}

#[derive(clap::Args)]
struct What {
    /// Only these cases, as `lines-1000`, or these kinds, as `sites`.
    #[arg(long)]
    only: Vec<String>,
    /// A few values of each: to see that it works, not how fast it is.
    #[arg(long)]
    quick: bool,
}

impl What {
    fn has(&self, kind: Kind) -> bool {
        let name = kind.name();
        self.only.is_empty()
            || self
                .only
                .iter()
                .any(|only| name == *only || name.starts_with(&format!("{only}-")))
    }

    fn effort(&self, kind: Kind) -> Effort {
        let (starts, edits, requests) = match kind {
            _ if self.quick => (1, 10, 4),
            Kind::Lines(100_000) | Kind::Python(100_000) => (3, 150, 30),
            Kind::Sites(10_000) => (3, 1000, 60),
            // Each of its answers takes seconds.
            Kind::Yaml(100_000) => (1, 4, 2),
            Kind::Yaml(_) => (3, 40, 20),
            // Enough for ten values beyond the 99th percentile.
            _ => (5, 1000, 100),
        };
        Effort {
            starts,
            edits,
            requests,
        }
    }
}

fn main() -> ExitCode {
    let done = match Args::parse().command {
        Command::Run {
            server,
            ruff,
            yaml,
            page,
            json,
            what,
        } => run(&server, ruff, yaml, &what).and_then(|results| {
            let text = report::page(&results);
            println!("{text}");
            if let Some(path) = page {
                std::fs::write(path, text)?;
            }
            if let Some(path) = json {
                std::fs::write(path, format!("{:#}\n", report::json(&results)))?;
            }
            Ok(())
        }),
        Command::Compare {
            first,
            second,
            rounds,
            what,
        } => compare(&first, &second, rounds, &what),
        Command::Echo => echo::serve(),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            eprintln!("error: {failure}");
            ExitCode::from(2)
        }
    }
}

/// A program of ours under a name.
fn ours(name: &str, program: &std::path::Path) -> Result<Server, Failure> {
    let program = program.canonicalize().map_err(|_| {
        Failure(format!(
            "there is no `{}`: build it first, or name another",
            program.display()
        ))
    })?;
    Ok(Server {
        name: name.to_string(),
        command: vec![program.display().to_string(), "serve".into()],
        settings: Value::Null,
    })
}

fn other(name: &str, program: PathBuf, argument: &str, settings: Value) -> Result<Server, Failure> {
    let server = ours(name, &program)?;
    // Not resolved: a program may be a link that looks at its own name.
    let program = std::path::absolute(program)?;
    Ok(Server {
        command: vec![program.display().to_string(), argument.into()],
        settings,
        ..server
    })
}

/// This program as a server that does nothing.
fn nothing() -> Result<Server, Failure> {
    let own = std::env::current_exe()?;
    Ok(Server {
        name: "echo".to_string(),
        command: vec![own.display().to_string(), "echo".into()],
        settings: Value::Null,
    })
}

fn run(
    server: &std::path::Path,
    ruff: Option<PathBuf>,
    yaml: Option<PathBuf>,
    what: &What,
) -> Result<Results, Failure> {
    let mut results = Results::default();
    let own = ours(report::BELLWIRE, server)?;
    for kind in PLANS.into_iter().filter(|kind| what.has(*kind)) {
        eprintln!("{}", kind.title());
        let case = Case::write(kind)?;
        let effort = what.effort(kind);
        let typing = Places::new(case.language, &case.text).typing();
        let reparses = |pause| reparse(&case.text, &typing, effort.edits, pause);
        let mut add = |metric: &str, unit, values| {
            results.add(&kind.name(), &own.name, metric, unit, values);
        };
        add(metric::REPARSE, "ms", reparses(Duration::ZERO)?);
        add(metric::REPARSE_TYPING, "ms", reparses(KEY)?);
        floor(&nothing()?, &case, effort, add)?;
        measure(&own, &case, effort, &mut results)?;
    }
    let sizes = [1_000, 10_000, 100_000];
    if let Some(program) = ruff {
        let server = other("ruff", program, "server", Value::Null)?;
        beside(&server, &sizes.map(Kind::Python), what, &mut results)?;
    }
    if let Some(program) = yaml {
        // Its catalogue of schemas is on the network.
        let settings = json!({"yaml": {"schemaStore": {"enable": false}, "validate": true}});
        let server = other("yaml-language-server", program, "--stdio", settings)?;
        beside(&server, &sizes.map(Kind::Yaml), what, &mut results)?;
    }
    Ok(results)
}

fn beside(
    server: &Server,
    kinds: &[Kind],
    what: &What,
    results: &mut Results,
) -> Result<(), Failure> {
    for kind in kinds.iter().copied().filter(|kind| what.has(*kind)) {
        eprintln!("{}", kind.title());
        let case = Case::write(kind)?;
        if let Err(failure) = measure(server, &case, what.effort(kind), results) {
            // It is their limit, and a result; what was measured before it stands.
            eprintln!("{} on {}: {failure}", server.name, kind.name());
        }
    }
    Ok(())
}

fn compare(
    first: &std::path::Path,
    second: &std::path::Path,
    rounds: usize,
    what: &What,
) -> Result<(), Failure> {
    let mut results = Results::default();
    let servers = [ours("A", first)?, ours("B", second)?];
    for kind in PLANS.into_iter().filter(|kind| what.has(*kind)) {
        eprintln!("{}", kind.title());
        let case = Case::write(kind)?;
        for round in 0..rounds {
            // Whoever goes first has a colder machine: in turns.
            let order = if round % 2 == 0 { [0, 1] } else { [1, 0] };
            for index in order {
                let name = &servers[index].name;
                let add = |metric: &str, unit, values| {
                    results.add(&kind.name(), name, metric, unit, values);
                };
                floor(&nothing()?, &case, what.effort(kind), add)?;
                measure(&servers[index], &case, what.effort(kind), &mut results)?;
            }
        }
    }
    println!("A is {}, B is {}.", first.display(), second.display());
    println!("{}", report::comparison(&results, "A", "B"));
    Ok(())
}
