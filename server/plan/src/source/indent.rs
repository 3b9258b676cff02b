//! How far a line is indented.

/// The column of `offset` if only space stands before it on its line.
pub(super) fn indent(source: &str, offset: usize) -> Option<usize> {
    let before = source.get(..offset)?;
    // From behind: a line with a thousand braces is looked at for each of them.
    let is_break = |c: char| matches!(c, '\n' | '\r');
    let is_blank = |c: char| c == '\u{feff}' || c.is_whitespace() && !is_break(c);
    let above = before.trim_end_matches(is_blank);
    if !above.is_empty() && !above.ends_with(is_break) {
        return None;
    }
    let mut column = 0;
    for c in before.get(above.len()..)?.chars() {
        match c {
            '\t' => column = (column / 4 + 1) * 4,
            '\u{feff}' => {}
            _ => column += 1,
        }
    }
    Some(column)
}
