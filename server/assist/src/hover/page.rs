//! Pages of Markdown, which people's own words cannot break.

use bellwire_plan::figures::{ByState, Solved};
use bellwire_plan::source::{Item, Span};
use bellwire_plan::working::{Part, Working};

use crate::amounts;
use crate::walk::holder;

/// The end of a line inside a paragraph. Not a backslash: editors that show the
/// Markdown as it is written would show it.
const BREAK: &str = "  \n";

/// What is said of one thing: paragraphs and tables.
#[derive(Debug, Default)]
pub(super) struct Page {
    parts: Vec<String>,
}

impl Page {
    /// A page that starts with a name, what people call it, and what it is.
    pub(super) fn of(name: &str, label: Option<&str>, what: &str) -> Page {
        let mut page = Page::default();
        let label = label
            .filter(|label| !label.is_empty())
            .map_or(String::new(), |label| format!(" {}", escaped(label)));
        page.add(format!("**{}**{label}{BREAK}{what}", escaped(name)));
        page
    }

    /// A paragraph of our own Markdown.
    pub(super) fn add(&mut self, text: impl Into<String>) {
        let text = text.into();
        if !text.is_empty() {
            self.parts.push(text);
        }
    }

    /// Short lines that belong together.
    pub(super) fn lines(&mut self, lines: impl IntoIterator<Item = String>) {
        self.add(together(lines));
    }

    /// A table: the first column is words, the others are numbers. Its columns
    /// line up in the text too, for editors that show that.
    pub(super) fn table(&mut self, header: &[&str], rows: &[Vec<String>]) {
        if rows.is_empty() {
            return;
        }
        let count = |text: &str| text.chars().count();
        let widths: Vec<usize> = header
            .iter()
            .enumerate()
            .map(|(column, title)| {
                let cells = rows.iter().filter_map(|row| row.get(column));
                let widths = cells.map(|cell| count(cell));
                widths.fold(count(title).max(3), usize::max)
            })
            .collect();
        let cell = |(column, (text, width)): (usize, (&str, &usize))| {
            let gap = " ".repeat(width.saturating_sub(count(text)));
            match column {
                0 => format!("{text}{gap}"),
                _ => format!("{gap}{text}"),
            }
        };
        let row = |cells: Vec<&str>| {
            let cells = cells.into_iter().zip(&widths).enumerate().map(cell);
            format!("| {} |", cells.collect::<Vec<_>>().join(" | "))
        };
        let rule = widths.iter().enumerate().map(|(column, width)| {
            let dashes = "-".repeat(width.saturating_sub(1));
            match column {
                0 => format!(":{dashes}"),
                _ => format!("{dashes}:"),
            }
        });
        let rule: Vec<String> = rule.collect();
        let mut lines = vec![
            row(header.to_vec()),
            row(rule.iter().map(String::as_str).collect()),
        ];
        let rows = rows.iter();
        lines.extend(rows.map(|cells| row(cells.iter().map(String::as_str).collect())));
        self.add(lines.join("\n"));
    }

    /// A table of the four states. Where they have no solution: why not.
    pub(super) fn states<T>(
        &mut self,
        header: &[&str],
        states: &ByState<Solved<T>>,
        cells: impl Fn(&T) -> Vec<String>,
    ) {
        let mut whys: Vec<&str> = Vec::new();
        let columns = header.len();
        let rows: Vec<Vec<String>> = states
            .iter()
            .map(|(state, figures)| {
                let mut row = vec![state.short().to_string()];
                match figures {
                    Ok(figures) => row.extend(cells(figures)),
                    Err(why) => {
                        row.extend((1..columns).map(|_| "–".to_string()));
                        if !whys.contains(&why.as_str()) {
                            whys.push(why.as_str());
                        }
                    }
                }
                row
            })
            .collect();
        self.table(header, &rows);
        for why in whys {
            self.add(format!("No solution: {}.", escaped(why)));
        }
    }

    /// The first sum of a working, line by line. The working's tables are left out:
    /// they say what the page says already, or more than there is room for.
    pub(super) fn sum(&mut self, working: &Working) {
        let is_sum = |part: &&Part| !part.table.rows.is_empty() && !part.table.is_titled();
        let Some(part) = working.parts.iter().find(is_sum) else {
            return;
        };
        let lines = part.table.rows.iter().map(|cells| {
            let cells = cells.iter().filter(|cell| !cell.is_empty());
            let cells: Vec<&str> = cells.map(String::as_str).collect();
            match cells.as_slice() {
                [what @ .., result] => escaped(&format!("{}: {result}", what.join(", "))),
                [] => String::new(),
            }
        });
        // The only words of people's own in it are names, which hold no marks.
        let heading = format!("*{}*", part.heading);
        self.lines([heading].into_iter().chain(lines));
    }

    /// The comment lines above a statement.
    pub(super) fn note(&mut self, item: &Item, note: Option<Span>) {
        let Some(note) = note else { return };
        let lines: Vec<String> = item
            .text(note)
            .lines()
            .map(|line| line.trim().trim_start_matches('#').trim())
            .filter(|line| !line.is_empty())
            .map(|line| format!("> {}", escaped(line)))
            .collect();
        self.add(lines.join("\n"));
    }

    /// The comment lines above the statement that holds `span`.
    pub(super) fn note_at(&mut self, item: &Item, span: Span) {
        self.note(item, holder(item, span).note);
    }

    /// The page as Markdown.
    pub(super) fn finish(self) -> String {
        self.parts.join("\n\n")
    }
}

/// Lines that belong together, as one paragraph.
pub(super) fn together(lines: impl IntoIterator<Item = String>) -> String {
    let lines: Vec<String> = lines.into_iter().filter(|line| !line.is_empty()).collect();
    lines.join(BREAK)
}

/// For whatever is fed from the mains or holds a battery.
pub(super) const CAUTION: &str = "*Isolate the mains and disconnect the battery before you touch terminals: a battery can deliver hundreds of amperes. These sums do not replace a fire system's approved design. Local code, the standard's own text and the maker's instructions rule; work that needs a licence is for those who have one.*";

/// People's own words, so that Markdown takes them as they are.
pub(super) fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        let before = escaped.as_str();
        let is_plain = match c {
            ' ' | ',' | '\'' | '(' | '/' | '%' | ';' | '?' | '"' => true,
            // At the start, these would begin a list.
            '-' => !before.is_empty(),
            '.' | ')' => {
                let begins_list = !before.is_empty() && before.bytes().all(|b| b.is_ascii_digit());
                !begins_list && !before.to_ascii_lowercase().ends_with("www")
            }
            // `https://` would become a link.
            ':' => chars.peek() != Some(&'/'),
            c => !c.is_ascii_punctuation(),
        };
        if !is_plain {
            escaped.push('\\');
        }
        escaped.push(if c.is_control() { ' ' } else { c });
    }
    escaped
}

/// A name in code marks; whatever could end them is left out.
pub(super) fn code(name: &str) -> String {
    let name: String = name
        .chars()
        .filter(|c| *c != '`' && !c.is_control())
        .collect();
    format!("`{name}`")
}

/// Ohms as they would be written; a cut loop has none.
pub(super) fn ohms(value: f64) -> String {
    amounts::ohms(value, "∞")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_cannot_become_markdown() {
        assert_eq!(
            escaped("a <b> *c* [d](e) `f` | # &lt; www.g.h http://i"),
            "a \\<b\\> \\*c\\* \\[d\\](e) \\`f\\` \\| \\# \\&lt; www\\.g.h http\\://i"
        );
        assert_eq!(escaped("1. Hall"), "1\\. Hall");
        assert_eq!(escaped("- Hall, 1.5 m: no"), "\\- Hall, 1.5 m: no");
        assert_eq!(code("a`b\n"), "`ab`");
    }
}
