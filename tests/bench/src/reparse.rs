//! The yardstick: what tree-sitter alone takes to bring its tree up to date after each keystroke.

use std::thread;
use std::time::{Duration, Instant};

use tree_sitter::{InputEdit, Parser, Point, Tree};

use crate::Failure;
use crate::script::Edit;

/// Makes the edits one after the other, over and over, each behind a pause; the milliseconds of each reparse.
///
/// With a pause the processor has slept and its caches hold other things: it shows what that costs whoever works.
///
/// # Errors
/// A grammar that the library cannot read.
pub fn reparse(
    text: &str,
    edits: &[Edit],
    count: usize,
    pause: Duration,
) -> Result<Vec<f64>, Failure> {
    let mut parser = Parser::new();
    let language = tree_sitter_bellwire::LANGUAGE.into();
    parser
        .set_language(&language)
        .map_err(|error| Failure(format!("tree-sitter cannot read the grammar: {error}")))?;
    let nothing = || Failure("tree-sitter gave no tree".into());
    let mut text = text.to_string();
    let mut tree: Tree = parser.parse(&text, None).ok_or_else(nothing)?;
    let mut times = Vec::new();
    for edit in edits.iter().cycle().take(count) {
        let input = apply(&mut text, edit);
        thread::sleep(pause);
        let began = Instant::now();
        tree.edit(&input);
        tree = parser.parse(&text, Some(&tree)).ok_or_else(nothing)?;
        times.push(began.elapsed().as_secs_f64() * 1e3);
    }
    Ok(times)
}

fn apply(text: &mut String, edit: &Edit) -> InputEdit {
    let (start, start_position) = place(text, edit.line, edit.from);
    let (end, old_end_position) = place(text, edit.to.0, edit.to.1);
    text.replace_range(start..end, &edit.text);
    let new_end_byte = start + edit.text.len();
    let new_end_position = match edit.text.rfind('\n') {
        None => Point::new(start_position.row, start_position.column + edit.text.len()),
        Some(last) => {
            let breaks = edit.text.matches('\n').count();
            Point::new(start_position.row + breaks, edit.text.len() - last - 1)
        }
    };
    InputEdit {
        start_byte: start,
        old_end_byte: end,
        new_end_byte,
        start_position,
        old_end_position,
        new_end_position,
    }
}

/// The byte offset of a column, and its point.
fn place(text: &str, line: usize, column: usize) -> (usize, Point) {
    let start = match line {
        0 => 0,
        _ => text
            .match_indices('\n')
            .nth(line - 1)
            .map_or(text.len(), |(at, _)| at + 1),
    };
    let within = text[start..]
        .char_indices()
        .nth(column)
        .map_or(text.len() - start, |(at, _)| at);
    (start + within, Point::new(line, within))
}
