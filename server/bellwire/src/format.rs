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
/// The plans cannot be read, a file cannot be rewritten, or the output cannot be written.
pub fn run(args: &FormatArgs) -> Result<Outcome, Failure> {
    let plans = Loaded::new(&args.plans, today())?;
    let mut text = String::new();
    let (mut changed, mut left) = (0, 0);
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
        changed += 1;
        let shown = plans.relative(name);
        if args.check {
            let _ = writeln!(text, "would change {}", plain(&shown));
        } else {
            let path = paths::path(name);
            rewrite(&path, &before, &after).map_err(|source| Failure::Rewrite { path, source })?;
            let _ = writeln!(text, "changed {}", plain(&shown));
        }
    }
    let files = count(plans.asked.len(), "file");
    let what = if args.check {
        "would change"
    } else {
        "changed"
    };
    let _ = writeln!(text, "{changed} of {files} {what}");
    output::write(&text)?;
    match args.check && changed + left > 0 {
        true => Ok(Outcome::Found),
        false => Ok(Outcome::Clean),
    }
}

/// What of a file is not laid out, and why.
fn left_alone(file: &File) -> Option<(&'static str, &str)> {
    let why = "its braces do not match, `bellwire check` says where";
    match file.unreadable_because() {
        Some(why) => Some(("left alone", why)),
        None => file.is_by_indent().then_some(("left in part", why)),
    }
}
