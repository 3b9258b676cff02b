//! `bellwire format`: plans in the canonical layout.

use std::fmt::Write as _;

use bellwire_assist as assist;
use bellwire_plan::source::File;

use crate::args::FormatArgs;
use crate::load::Loaded;
use crate::output::{count, plain};
use crate::paths;
use crate::rewrite::rewrite;
use crate::today::today;
use crate::{Failure, Outcome, output};

/// Runs the command.
///
/// # Errors
/// The plans cannot be read, or the output cannot be written.
pub fn run(args: &FormatArgs) -> Result<Outcome, Failure> {
    let plans = Loaded::new(&args.plans, today())?;
    let mut text = String::new();
    let (mut changed, mut left, mut failed) = (0, 0, false);
    let what = if args.check {
        "would change"
    } else {
        "changed"
    };
    for name in &plans.asked {
        let Some(entry) = plans.view.entry(name) else {
            continue;
        };
        if let Some((what, why)) = left_alone(&entry.file) {
            left += 1;
            let shown = plans.relative(name);
            let _ = writeln!(text, "{what} {}: {}", plain(&shown), plain(why));
        }
        let before = entry.file.text().to_string();
        let edits = assist::format(&entry);
        let edits = edits.iter();
        let after = assist::patched(&before, edits.map(|edit| (edit.range.clone(), &*edit.text)));
        if after == before {
            continue;
        }
        let shown = plans.relative(name);
        let written = match args.check {
            true => Ok(()),
            false => rewrite(&paths::path(name), &before, &after),
        };
        match written {
            Ok(()) => {
                changed += 1;
                let _ = writeln!(text, "{what} {}", plain(&shown));
            }
            Err(why) => {
                failed = true;
                let told = format!("cannot write `{shown}`: {why}");
                eprintln!("bellwire: {}", plain(&told));
            }
        }
    }
    let files = count(plans.asked.len(), "file");
    let _ = writeln!(text, "{changed} of {files} {what}");
    output::write(&text)?;
    Ok(match args.check && changed + left > 0 {
        _ if failed => Outcome::Failed,
        true => Outcome::Found,
        false => Outcome::Clean,
    })
}

/// What of a file is not laid out, and why.
fn left_alone(file: &File) -> Option<(&'static str, &str)> {
    let why = "its braces do not match, `bellwire check` says where";
    match file.unreadable_because() {
        Some(why) => Some(("left alone", why)),
        None => file.is_by_indent().then_some(("left in part", why)),
    }
}
