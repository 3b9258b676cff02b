//! The word under the cursor, by its line alone.

use std::ops::Range;

/// The word at a column of a line, or the text between the quotes around it;
/// `None` in a comment.
pub(super) fn word_at(line: &str, column: usize) -> Option<Range<usize>> {
    let (before, after) = line.split_at_checked(column)?;
    if let Some(start) = text_around(before)? {
        let end = after.find('"').map_or(column, |end| column + end);
        return Some(start..end);
    }
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
    let start = number_or_unit(line, start..end, column)?;
    Some(start..end)
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_' || "°%²/".contains(c)
}

/// Where the text starts that is open at the end of a line's beginning, if one is; `None` if
/// a comment is.
fn text_around(before: &str) -> Option<Option<usize>> {
    let mut quote = None;
    let mut escaped = false;
    for (at, c) in before.char_indices() {
        match (quote, c) {
            (Some(_), _) if escaped => escaped = false,
            (Some(_), '\\') => escaped = true,
            (Some(_), '"') => quote = None,
            (None, '"') => quote = Some(at + 1),
            (None, '#') => return None,
            _ => {}
        }
    }
    Some(quote)
}

/// Where a word starts without the number before it, or with all of that: `30s`, `0.5mm2` are a
/// number, and its unit. Behind a point stands a part of a reference, unless a number stands
/// before the point; behind a colon a name, of which `7Ah` is what people remember.
fn number_or_unit(line: &str, word: Range<usize>, column: usize) -> Option<usize> {
    let (start, head) = (word.start, line.get(..word.start)?);
    let word = line.get(word)?;
    let digits = word.len() - word.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    // A day or a month is one word.
    let is_date = word.get(digits..)?.starts_with('-');
    let decimals = head.strip_suffix('.').and_then(|head| {
        let whole = head.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
        let is_number = whole.len() < head.len() && !whole.ends_with(is_word);
        is_number.then_some(whole.len())
    });
    let is_part = head.ends_with('.') && decimals.is_none();
    let is_model = head.trim_end().ends_with(':');
    Some(match digits > 0 && !is_date && !is_part && !is_model {
        true if start + digits < column => start + digits,
        true => decimals.unwrap_or(start),
        false => start,
    })
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
