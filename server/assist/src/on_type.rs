//! Indentation while typing.
//!
//! The line being typed is not finished and its block may not be closed yet,
//! so this goes by the text above alone.

use bellwire_plan::source::{File, Text, leading_blanks};

use crate::edit::Edit;

/// Indents the line of `offset` after `typed`, a line break or `}`, was
/// written there.
pub fn on_type(file: &File, offset: usize, typed: &str) -> Vec<Edit> {
    let text = file.text();
    let index = text.line_of(offset);
    let range = text.line(index);
    let line = text.slice(range.clone());
    let own = leading_blanks(&line);
    let rest = line.get(own.len()..).unwrap_or_default();
    let wanted = match typed {
        "}" if rest.starts_with('}') => opening_indent(text, index),
        "\n" | "\r" | "\r\n" if rest.starts_with('}') => opening_indent(text, index),
        "\n" | "\r" | "\r\n" => indent_below(text, index),
        _ => None,
    };
    match wanted {
        Some(wanted) if wanted != own => vec![Edit {
            range: range.start..range.start + own.len(),
            text: wanted,
        }],
        _ => Vec::new(),
    }
}

/// How many lines are looked at above.
const FAR: usize = 5000;

/// The indentation below the last line above that is not blank.
fn indent_below(text: &Text, index: usize) -> Option<String> {
    let mut above = (0..index).rev().take(FAR);
    let line = above.find_map(|above| {
        let line = text.slice(text.line(above));
        (!line.trim().is_empty()).then_some(line)
    })?;
    let indent = leading_blanks(&line);
    Some(match code(&line).trim_end().ends_with('{') {
        true => format!("{indent}  "),
        false => indent.to_string(),
    })
}

/// The indentation of the line with the `{` that the `}` of a line closes.
fn opening_indent(text: &Text, index: usize) -> Option<String> {
    let mut closed = 1;
    for above in (0..index).rev().take(FAR) {
        let line = text.slice(text.line(above));
        for c in code(&line).chars().rev() {
            match c {
                '}' => closed += 1,
                '{' => closed -= 1,
                _ => {}
            }
            if closed == 0 {
                return Some(leading_blanks(&line).to_string());
            }
        }
    }
    None
}

/// A line without its comment, and without what stands between quotes.
fn code(line: &str) -> String {
    let mut code = String::new();
    let mut quoted = false;
    let mut escaped = false;
    for c in line.chars() {
        match c {
            _ if escaped => escaped = false,
            '\\' if quoted => escaped = true,
            '"' => quoted = !quoted,
            '#' if !quoted => break,
            c if !quoted => code.push(c),
            _ => {}
        }
    }
    code
}

#[cfg(test)]
mod tests {
    use super::on_type;
    use crate::fixture::fixture;

    fn typed(text: &str, key: &str) -> String {
        let (_, entry, offset) = fixture(text);
        let mut new = entry.file.text().to_string();
        for edit in on_type(&entry.file, offset, key) {
            new.replace_range(edit.range, &edit.text);
        }
        new
    }

    #[test]
    fn a_line_below_a_brace_is_indented() {
        assert_eq!(typed("site a {\n$0", "\n"), "site a {\n  ");
        assert_eq!(
            typed("site a { # x {\n$0\n}\n", "\n"),
            "site a { # x {\n  \n}\n"
        );
        assert_eq!(typed("  rules b # {\n$0", "\n"), "  rules b # {\n  ");
        assert_eq!(typed("  note \"{\"\n\n$0", "\n"), "  note \"{\"\n\n  ");
        assert_eq!(typed("site a {\n  $0}\n", "\n"), "site a {\n}\n");
        assert_eq!(typed("$0", "\n"), "");
    }

    #[test]
    fn a_closing_brace_goes_back_to_its_line() {
        let text = "site a {\n  panel b {\n    bus c { note \"}\" }\n      }$0";
        let wanted = "site a {\n  panel b {\n    bus c { note \"}\" }\n  }";
        assert_eq!(typed(text, "}"), wanted);
        assert_eq!(typed("  }$0", "}"), "  }", "it closes nothing");
        assert_eq!(typed("run a { b }$0", "}"), "run a { b }");
    }
}
