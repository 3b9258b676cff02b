//! The word under the cursor, by its line alone.

use std::ops::Range;

/// The word at a column of a line, or the text between the quotes around it;
/// `None` in a comment.
pub(super) fn word_at(line: &str, column: usize) -> Option<Range<usize>> {
    let (before, after) = line.split_at_checked(column)?;
    let mut quote = None;
    let mut escaped = false;
    for (at, c) in before.char_indices() {
        match (quote, c) {
            (Some(_), _) if escaped => escaped = false,
            (Some(_), '\\') => escaped = true,
            (Some(_), '"') => quote = None,
            (None, '"') => quote = Some(at),
            (None, '#') => return None,
            _ => {}
        }
    }
    if let Some(quote) = quote {
        let end = after.find('"').map_or(column, |end| column + end);
        return Some(quote + 1..end);
    }
    let is_word = |c: char| c.is_alphanumeric() || c == '_' || "°%²/".contains(c);
    let mut start = column;
    let mut chars = before.char_indices().rev().peekable();
    while let Some((at, c)) = chars.next() {
        let hyphen = c == '-' && chars.peek().is_some_and(|(_, before)| is_word(*before));
        if !is_word(c) && !hyphen {
            break;
        }
        start = at;
    }
    let mut end = column;
    let mut chars = after.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        let hyphen = c == '-' && chars.peek().is_some_and(|(_, next)| is_word(*next));
        let goes_on = is_word(c) || hyphen && start < column;
        if !goes_on {
            break;
        }
        end = column + at + c.len_utf8();
    }
    // `30s`, `0.5mm2`: a number, and its unit. Behind a point stands a part of
    // a reference, unless a number stands before the point; behind a colon a name,
    // of which `7Ah` is what people remember.
    let word = line.get(start..end)?;
    let digits = word.len() - word.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    // A day or a month is one word.
    let is_date = word.get(digits..)?.starts_with('-');
    let head = line.get(..start)?;
    let decimals = head.strip_suffix('.').and_then(|head| {
        let whole = head.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
        let is_number = whole.len() < head.len() && !whole.ends_with(is_word);
        is_number.then_some(whole.len())
    });
    let is_part = head.ends_with('.') && decimals.is_none();
    let is_model = head.trim_end().ends_with(':');
    if digits > 0 && !is_date && !is_part && !is_model {
        if start + digits < column {
            start += digits;
        } else {
            start = decimals.unwrap_or(start);
        }
    }
    Some(start..end)
}

#[cfg(test)]
mod tests {
    use super::word_at;

    #[test]
    fn the_word_under_the_cursor_is_what_is_replaced() {
        let cases = [
            ("address 1|", "1"),
            ("keypad fr|ont", "front"),
            ("front --12 m-- re|ar", "rear"),
            ("front --|", ""),
            ("copper-4x|22AWG", "copper-4x22AWG"),
            ("main.ke|", "ke"),
            ("main.|", ""),
            ("x1.3|", "3"),
            ("entry 30s|", "s"),
            ("conductor 0.5mm|", "mm"),
            ("revision 4.2|", "4.2"),
            ("battery : 7A|", "7A"),
            ("run a : 4x22|AWG { x1.1", "4x22AWG"),
            ("use \"../cat|alog\"", "../catalog"),
            ("use \"../cat|", "../cat"),
            ("a \"b\", c|", "c"),
            ("resistance 53 ohm/|", "ohm/"),
            ("front-|", "front-"),
            ("fitted 2025-0|", "2025-0"),
            ("fitted 2025-|", "2025-"),
        ];
        for (line, word) in cases {
            let column = line.find('|').unwrap();
            let line = line.replace('|', "");
            let found = word_at(&line, column).unwrap();
            assert_eq!(&line[found], word, "{line}");
        }
        assert_eq!(word_at("site a # for", 12), None);
    }
}
