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

/// What the way out is announced by.
const TO_MEND: &str = "To mend it:";

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

/// The text for a terminal.
fn one(code: Code) -> String {
    let explanation = code.explanation();
    let mut text = format!("{code}: {}\n", code.title());
    let _ = writeln!(text, "{}, {}\n", code.family(), code.severity().name());
    let mend = format!("{TO_MEND} {}", explanation.mend);
    for part in [explanation.why, &mend] {
        for line in wrapped(part, 80) {
            text.push_str(&line);
            text.push('\n');
        }
        text.push('\n');
    }
    text.push_str("An example that has it:\n\n");
    for line in explanation.example.lines() {
        let _ = writeln!(text, "{}", format!("    {line}").trim_end());
    }
    text
}

/// The same as a page of Markdown.
pub fn page(code: Code) -> String {
    let explanation = code.explanation();
    format!(
        "# {code}: {}\n\n*{}, {}*\n\n{}\n\n**{TO_MEND}** {}\n\nAn example that has it:\n\n```bellwire\n{}\n```\n",
        code.title(),
        code.family(),
        code.severity().name(),
        explanation.why,
        explanation.mend,
        explanation.example.trim_end(),
    )
}

/// A paragraph in lines of at most `width` characters, as far as its words let it.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_string()),
        }
    }
    lines
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
