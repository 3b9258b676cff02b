//! A line more in the block of a panel or a supply.

use crate::model::{Site, Unit};
use crate::source::Span;

/// What ends a line.
const BREAKS: [char; 2] = ['\n', '\r'];

/// Writes a line first in the block of a unit. A block that holds one line is opened up, and a
/// unit without one gets one.
pub(in crate::checks) fn first_line(site: &Site, unit: &Unit, line: &str) -> Vec<(Span, String)> {
    let Some(block) = unit.block else {
        return vec![(unit.span.after(), format!(" {{ {line} }}"))];
    };
    let source = site.item.source();
    let open = block.open.end as usize;
    let (before, behind) = source.split_at_checked(open).unwrap_or((source, ""));
    let above = before.rsplit(BREAKS).next().unwrap_or_default();
    let indent = &above[..above.len() - above.trim_start().len()];
    let line_break = if source.contains("\r\n") {
        "\r\n"
    } else {
        "\n"
    };
    let line = format!("{line_break}{indent}  {line}");
    // A comment behind the brace stays there.
    let rest = behind.split(BREAKS).next().unwrap_or_default();
    if rest.trim().is_empty() || rest.trim_start().starts_with('#') {
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
