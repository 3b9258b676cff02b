//! How far a line is indented.

/// The column of `offset` if only space stands before it on its line.
pub(super) fn indent(source: &str, offset: usize) -> Option<usize> {
    let before = source.get(..offset)?;
    let line = before.rsplit(['\n', '\r']).next().unwrap_or("");
    let mut column = 0;
    for c in line.chars() {
        match c {
            '\t' => column = (column / 4 + 1) * 4,
            '\u{feff}' => {}
            c if c.is_whitespace() => column += 1,
            _ => return None,
        }
    }
    Some(column)
}
