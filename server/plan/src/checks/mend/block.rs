//! A line more in a block.

use crate::model::{Site, Unit};
use crate::source::{Span, leading_blanks, line_before, line_behind, line_break};

/// Writes a line first in the block of a unit. A block that holds one line is opened up, and a
/// unit without one gets one.
pub(in crate::checks) fn first_line(site: &Site, unit: &Unit, line: &str) -> Vec<(Span, String)> {
    let Some(block) = unit.block else {
        return vec![(unit.span.after(), format!(" {{ {line} }}"))];
    };
    let source = site.item.source();
    let open = block.open.end as usize;
    let indent = leading_blanks(line_before(source, open));
    let line_break = line_break(source, open);
    let line = format!("{line_break}{indent}  {line}");
    let rest = line_behind(source, open);
    // A comment behind the brace stays there.
    if says_nothing(rest) {
        return vec![(Span::new(open + rest.len(), open + rest.len()), line)];
    }
    let inner = open + rest.len() - rest.trim_start().len();
    let opened = (
        Span::new(open, inner),
        format!("{line}{line_break}{indent}  "),
    );
    let closed = block.close.map(|close| {
        let close = close.start as usize;
        let inside = source.get(open..close).unwrap_or_default();
        let end = open + inside.trim_end().len();
        (Span::new(end, close), format!("{line_break}{indent}"))
    });
    [opened].into_iter().chain(closed).collect()
}

/// Writes a line below a statement that has its own to itself.
pub(in crate::checks) fn line_below(
    source: &str,
    statement: Span,
    line: &str,
) -> Option<(Span, String)> {
    let indent = own_indent(source, statement)?;
    let end = statement.end as usize;
    // A comment behind the statement stays there.
    let end = end + line_behind(source, end).trim_end().len();
    let line = format!("{}{indent}{line}", line_break(source, end));
    Some((Span::new(end, end), line))
}

/// Writes a line above a statement that has its own to itself.
pub(in crate::checks) fn line_above(
    source: &str,
    statement: Span,
    line: &str,
) -> Option<(Span, String)> {
    let indent = own_indent(source, statement)?;
    let start = statement.start as usize;
    let line = format!("{line}{}{indent}", line_break(source, start));
    Some((Span::new(start, start), line))
}

/// How a statement is indented; `None` where something else stands on its line.
fn own_indent(source: &str, statement: Span) -> Option<&str> {
    let indent = line_before(source, statement.start as usize);
    let rest = line_behind(source, statement.end as usize);
    (indent.trim().is_empty() && says_nothing(rest)).then_some(indent)
}

/// Whether the rest of a line is a comment or nothing.
fn says_nothing(rest: &str) -> bool {
    let rest = rest.trim_start();
    rest.is_empty() || rest.starts_with('#')
}
