//! Writing to the terminal, which no text of a plan may control.

use std::borrow::Cow;
use std::fmt::Write as _;
use std::io::{ErrorKind, IsTerminal, Write};

use serde::Serialize;
use unicode_width::UnicodeWidthStr;

use crate::args::Colour;

/// `text` with every character replaced that a terminal acts on: control
/// characters, and those that change the direction of writing. Tabs become blanks.
pub fn plain(text: &str) -> Cow<'_, str> {
    if !text.chars().any(acts) {
        return Cow::Borrowed(text);
    }
    let harmless = |c| match c {
        '\t' => ' ',
        c if acts(c) => char::REPLACEMENT_CHARACTER,
        c => c,
    };
    Cow::Owned(text.chars().map(harmless).collect())
}

/// Whether a terminal does something at the character instead of showing it.
pub fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{061c}' | '\u{200e}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A report as JSON. What a terminal acts on is written as escapes, which mean the same.
///
/// # Errors
/// The report has no form in JSON.
pub fn json(report: &impl Serialize) -> std::io::Result<String> {
    let text = serde_json::to_string_pretty(report)?;
    let mut safe = String::with_capacity(text.len() + 1);
    for c in text.chars() {
        // The line breaks are the layout's; those of a plan are escaped already.
        match c {
            // Four digits do: none of them lies outside the Basic Multilingual Plane.
            c if acts(c) && c != '\n' => {
                let _ = write!(safe, "\\u{:04x}", c as u32);
            }
            c => safe.push(c),
        }
    }
    safe.push('\n');
    Ok(safe)
}

/// Whether to write in colour: <https://no-color.org> is heeded.
pub fn in_colour(wish: Colour) -> bool {
    match wish {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => {
            let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
            let dumb = std::env::var_os("TERM").is_some_and(|value| value == "dumb");
            !refused && !dumb && std::io::stdout().is_terminal()
        }
    }
}

/// A paragraph in lines of at most `width` columns, as far as its words let it.
pub fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.width() + 1 + word.width() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_string()),
        }
    }
    lines
}

/// How many columns running text is set in: no wider than is easy to read.
pub fn measure() -> usize {
    columns().map_or(80, |columns| columns.clamp(40, 80))
}

/// How many columns a line may have; as many as it likes where no terminal shows it.
pub fn columns() -> Option<usize> {
    if !std::io::stdout().is_terminal() {
        return None;
    }
    let (width, _) = terminal_size::terminal_size()?;
    Some(width.0.into())
}

/// Tells the user something beside the result, in a line on standard error. Nobody may be
/// there to read it any longer, which is no reason to stop.
pub fn tell(line: &str) {
    let _ = writeln!(std::io::stderr(), "bellwire: {}", plain(line));
}

/// Writes a result. A reader that has gone away, as with `| head`, is not an error.
///
/// # Errors
/// Standard output cannot be written: a full disk, most often.
pub fn write(text: &str) -> std::io::Result<()> {
    let mut stdout = std::io::stdout().lock();
    let written = stdout
        .write_all(text.as_bytes())
        .and_then(|()| stdout.flush());
    match written {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_a_terminal_acts_on_is_left() {
        assert_eq!(plain("Shop door, 2.2 kΩ"), "Shop door, 2.2 kΩ");
        let bad = "a\u{1b}[31m\u{9b}31m\u{7}\r\n\tb\u{202e}c\u{7f}\u{2028}\u{61c}\u{2066}";
        assert_eq!(plain(bad), "a�[31m�31m��� b�c����");
    }

    #[test]
    fn json_means_the_same_without_what_a_terminal_acts_on() {
        let bad = "a\u{1b}[31m\u{9b}31m\u{7}\r\n\tb\u{202e}c\u{7f} Ω";
        let text = json(&[bad]).unwrap();
        let escaped = r#""a\u001b[31m\u009b31m\u0007\r\n\tb\u202ec\u007f Ω""#;
        assert_eq!(text, format!("[\n  {escaped}\n]\n"));
        assert_eq!(serde_json::from_str::<[String; 1]>(&text).unwrap(), [bad]);
    }
}
