//! `bellwire explain`: what a finding or a word of the notation means, or what the
//! library has of a name: a rule set, a cable, a battery, a series of resistors.

mod words;

use std::fmt::Write as _;
use std::sync::Arc;

use bellwire_assist::{hover, plain};
use bellwire_plan::day::Day;
use bellwire_plan::finding::{Code, did_you_mean};
use bellwire_plan::library::LIBRARY;
use bellwire_plan::model::Words;
use bellwire_plan::source::Item;
use bellwire_plan::vocabulary::Space;
use bellwire_plan::workspace::{NoFiles, Workspace};

use crate::args::ExplainArgs;
use crate::output::{measure, wrapped};
use crate::{Failure, Outcome, output};

/// Neither a code, nor a word, nor a name of the library.
#[derive(Debug, thiserror::Error)]
#[error(
    "there is no finding and no word `{name}`, and nothing in the library is called that.{meant} `bellwire explain` lists what there is"
)]
pub struct NothingToExplain {
    name: String,
    meant: String,
}

/// What the way out is announced by.
const TO_MEND: &str = "To mend it:";

/// Runs the command.
///
/// # Errors
/// Nothing of that name, or the output cannot be written.
pub fn run(args: &ExplainArgs) -> Result<Outcome, Failure> {
    let text = match &args.name {
        None => list(),
        Some(name) => {
            // Some names are a finding's and a word's, such as `headroom`.
            let found = [
                Code::parse(name).map(one),
                words::explained(name),
                of_library(name),
            ];
            let found: Vec<String> = found.into_iter().flatten().collect();
            if found.is_empty() {
                return Err(Failure::Explain(NothingToExplain {
                    meant: nearest(name),
                    name: name.clone(),
                }));
            }
            found.join("\n\n")
        }
    };
    output::write(&text)?;
    Ok(Outcome::Clean)
}

/// What the library declares.
fn declared() -> impl Iterator<Item = Arc<Item>> {
    let spaces = [Space::Rules, Space::Model];
    let files = LIBRARY.iter();
    files.flat_map(move |file| spaces.into_iter().flat_map(|space| file.all(space)))
}

fn nearest(name: &str) -> String {
    let items: Vec<Arc<Item>> = declared().collect();
    let mut names: Vec<&str> = Code::ALL.iter().map(|code| code.name()).collect();
    names.extend(words::names());
    names.extend(items.iter().filter_map(|item| item.name()));
    did_you_mean(name, names)
}

/// Something of the library, as an editor shows it under the cursor.
fn of_library(name: &str) -> Option<String> {
    let item = declared().find(|item| item.name() == Some(name))?;
    let view = Workspace::new(Arc::new(NoFiles), Day::default()).view();
    let entry = view.entry(&item.file)?;
    let start = entry
        .file
        .items()
        .find(|(_, own)| own.id == item.id)
        .map(|(start, _)| start)?;
    let at = start + item.declared().name?.start as usize;
    let shown = plain(&hover(&view, &entry, at)?.markdown);
    let mut text = String::new();
    for line in shown.lines() {
        // Columns of a table stay as they are.
        match line.starts_with(' ') || line.contains("  ") {
            true => text.push_str(line.trim_end()),
            false => text.push_str(&wrapped(line, measure()).join("\n")),
        }
        text.push('\n');
    }
    Some(text)
}

/// The text for a terminal.
fn one(code: Code) -> String {
    let explanation = code.explanation();
    let mut text = format!("{code}: {}\n", code.title());
    let _ = writeln!(text, "{}, {}\n", code.family(), code.severity().name());
    let mend = format!("{TO_MEND} {}", explanation.mend);
    for part in [explanation.why, &mend] {
        for line in wrapped(part, measure()) {
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
    let _ = write!(text, "\n{}", words::list());
    for (title, kind) in [
        ("Rule sets of the library", None),
        ("Cables", Some("cable")),
        ("Batteries", Some("battery")),
        ("Series of resistors", Some("series")),
    ] {
        let items: Vec<Arc<Item>> = declared()
            .filter(|item| item.model().map(|model| model.kind.name) == kind)
            .collect();
        let names = items.iter().filter_map(|item| item.name());
        let width = names.map(str::len).max().unwrap_or(0);
        let _ = writeln!(text, "\n{title}");
        for item in &items {
            let label = Words::root(item).label();
            let label = label.map(|label| label.value).unwrap_or_default();
            let name = item.name().unwrap_or_default();
            let line = format!("  {name:width$}  {label}");
            let _ = writeln!(text, "{}", line.trim_end());
        }
    }
    text
}
