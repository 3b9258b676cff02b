//! `bellwire explain`: what a finding means.

use std::fmt::Write as _;

use bellwire_plan::finding::{Code, did_you_mean};

use crate::args::ExplainArgs;
use crate::{Failure, Outcome, output};

/// A code that does not exist.
#[derive(Debug, thiserror::Error)]
#[error("there is no finding `{code}`.{meant} `bellwire explain` lists them all")]
pub struct NoSuchCode {
    code: String,
    meant: String,
}

/// Runs the command.
///
/// # Errors
/// No such code, or the output cannot be written.
pub fn run(args: &ExplainArgs) -> Result<Outcome, Failure> {
    let text = match &args.code {
        None => list(),
        Some(name) => match Code::parse(name) {
            Some(code) => one(code),
            None => {
                return Err(Failure::Explain(NoSuchCode {
                    meant: did_you_mean(name, Code::ALL.iter().map(|code| code.name())),
                    code: name.clone(),
                }));
            }
        },
    };
    output::write(&text)?;
    Ok(Outcome::Clean)
}

fn one(code: Code) -> String {
    format!(
        "{} ({})\n{}\n\nFamily: {}\n",
        code.name(),
        code.severity().name(),
        code.title(),
        code.family()
    )
}

fn list() -> String {
    let mut text = String::new();
    let mut family = "";
    let width = Code::ALL.iter().map(|code| code.name().len()).max();
    let width = width.unwrap_or(0);
    for code in Code::ALL {
        if code.family() != family {
            let gap = if family.is_empty() { "" } else { "\n" };
            family = code.family();
            let _ = writeln!(text, "{gap}{family}");
        }
        let _ = writeln!(text, "  {:width$}  {}", code.name(), code.title());
    }
    text
}
