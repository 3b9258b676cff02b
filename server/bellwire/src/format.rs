//! `bellwire format`: plans in the canonical layout.

use std::fmt::Write as _;

use bellwire_assist as assist;
use bellwire_plan::sentence::count;
use bellwire_plan::source::File;
use rayon::prelude::*;

use crate::args::FormatArgs;
use crate::load::Asked;
use crate::output::plain;
use crate::paths;
use crate::rewrite::rewrite;
use crate::{Failure, Outcome, output};

/// Runs the command.
///
/// # Errors
/// The plans cannot be read, or the output cannot be written.
pub fn run(args: &FormatArgs) -> Result<Outcome, Failure> {
    let asked = Asked::under(&args.plans)?;
    let files = asked.files()?;
    let laid_out: Vec<String> = files.par_iter().map(laid_out).collect();
    let mut text = String::new();
    let (mut changed, mut left, mut failed) = (0, 0, false);
    let what = if args.check {
        "would change"
    } else {
        "changed"
    };
    for (file, after) in files.iter().zip(laid_out) {
        let shown = asked.relative(file.path());
        if let Some((what, why)) = left_alone(file) {
            left += 1;
            let _ = writeln!(text, "{what} {}: {}", plain(&shown), plain(why));
        }
        let before = file.text().to_string();
        if after == before {
            continue;
        }
        let written = match args.check {
            true => Ok(0),
            false => rewrite(&paths::path(file.path()), &before, &after),
        };
        match written {
            Ok(others) => {
                changed += 1;
                let _ = writeln!(text, "{what} {}", plain(&shown));
                if others > 0 {
                    let names = count(others, "other name");
                    output::tell(&format!(
                        "`{shown}` has {names} (hard links), under which the old text stays"
                    ));
                }
            }
            Err(why) => {
                failed = true;
                output::tell(&format!("cannot write `{shown}`: {why}"));
            }
        }
    }
    let files = count(files.len(), "file");
    let _ = writeln!(text, "{changed} of {files} {what}");
    output::write(&text)?;
    Ok(match args.check && changed + left > 0 {
        _ if failed => Outcome::Failed,
        true => Outcome::Found,
        false => Outcome::Clean,
    })
}

/// The text of a file in the canonical layout.
fn laid_out(file: &File) -> String {
    let edits = assist::format(file);
    let edits = edits.iter().map(|edit| (edit.range.clone(), &*edit.text));
    assist::patched(&file.text().to_string(), edits)
}

/// What of a file is not laid out, and why.
fn left_alone(file: &File) -> Option<(&'static str, &str)> {
    let why = "its braces do not match, `bellwire check` says where";
    match file.unreadable_because() {
        Some(why) => Some(("left alone", why)),
        None => file.is_by_indent().then_some(("left in part", why)),
    }
}
