//! Lines of a text that is one string; [`super::Text`] knows those of a rope.

/// What ends a line; LF behind CR belongs to it.
pub const BREAKS: [char; 2] = ['\n', '\r'];

/// What stands before `offset` on its line.
pub fn line_before(text: &str, offset: usize) -> &str {
    let before = text.get(..offset).unwrap_or_default();
    before.rsplit(BREAKS).next().unwrap_or_default()
}

/// What stands behind `offset` on its line.
pub fn line_behind(text: &str, offset: usize) -> &str {
    let behind = text.get(offset..).unwrap_or_default();
    behind.split(BREAKS).next().unwrap_or_default()
}

/// What ends the line of `offset`, or the first line where that is the last; LF where nothing does.
pub fn line_break(text: &str, offset: usize) -> &'static str {
    let end = offset + line_behind(text, offset).len();
    let end = text.get(end..).filter(|rest| !rest.is_empty());
    match end.or(text.find(BREAKS).and_then(|first| text.get(first..))) {
        Some(text) if text.starts_with("\r\n") => "\r\n",
        Some(text) if text.starts_with('\r') => "\r",
        _ => "\n",
    }
}

/// The blanks that a line starts with.
pub fn leading_blanks(line: &str) -> &str {
    let rest = line.trim_start();
    line.get(..line.len() - rest.len()).unwrap_or_default()
}

/// The column of `offset` if only space stands before it on its line.
pub(super) fn indent(source: &str, offset: usize) -> Option<usize> {
    let before = source.get(..offset)?;
    // From behind: a line with a thousand braces is looked at for each of them.
    let is_blank = |c: char| c == '\u{feff}' || c.is_whitespace() && !BREAKS.contains(&c);
    let above = before.trim_end_matches(is_blank);
    if !above.is_empty() && !above.ends_with(BREAKS) {
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
