//! What is typed: keystrokes one after the other that leave the text as it was.

use serde_json::{Value, json};

/// How a language is typed into, found in the text by its lines.
#[derive(Debug, Clone, Copy)]
pub struct Language {
    /// The protocol's name for it.
    pub id: &'static str,
    /// A new line is typed above a line that starts so.
    pub anchor: &'static str,
    /// The new line.
    pub typed: &'static str,
    /// A number to change stands behind this.
    pub figure: &'static str,
    /// A block's first line that is left open, and what is typed into it.
    pub block: Option<(&'static str, &'static str)>,
    /// What is completed: a name for the table, the line to type above, how the line begins, and
    /// the character that comes and goes before each request.
    pub completions: &'static [(&'static str, &'static str, &'static str, &'static str)],
}

/// Plans.
pub const BELLWIRE: Language = Language {
    id: "bellwire",
    anchor: "  detector ",
    typed: "  detector extra \"Landing\" : DP5",
    figure: " --",
    block: Some(("  run extra : copper-2x22AWG {", "main.1 --12 m-- extra")),
    completions: &[
        (
            "completion of a model",
            "  detector ",
            "  detector extra \"Landing\" : ",
            "D",
        ),
        (
            "completion of an address",
            "      keypad ",
            "      keypad extra \"Landing\" : QK2, address ",
            "1",
        ),
    ],
};

/// Python, for other servers.
pub const PYTHON: Language = Language {
    id: "python",
    anchor: "    volts = ",
    typed: "    extra = metres + amperes",
    figure: "range(",
    block: None,
    completions: &[("completion", "    volts = ", "    extra = ", "m")],
};

/// YAML, for other servers.
pub const YAML: Language = Language {
    id: "yaml",
    anchor: "  - name: ",
    typed: "  - name: extra",
    figure: "metres: ",
    block: None,
    completions: &[("completion", "  - name: ", "  - nam", "e")],
};

/// One replacement in one line; line and columns count from 0, columns in UTF-16 units.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// The line.
    pub line: usize,
    /// The first column that goes.
    pub from: usize,
    /// The column behind the last that goes, or the start of the next line.
    pub to: (usize, usize),
    /// What comes.
    pub text: String,
}

impl Edit {
    fn insert(line: usize, column: usize, text: &str) -> Edit {
        Edit {
            line,
            from: column,
            to: (line, column),
            text: text.to_string(),
        }
    }

    fn delete(line: usize, from: usize, to: (usize, usize)) -> Edit {
        Edit {
            line,
            from,
            to,
            text: String::new(),
        }
    }

    /// As the protocol has it.
    pub fn change(&self) -> Value {
        json!({
            "range": {
                "start": {"line": self.line, "character": self.from},
                "end": {"line": self.to.0, "character": self.to.1},
            },
            "text": self.text,
        })
    }

    /// The edit that takes back one that only inserted a text without line breaks.
    pub fn undo(&self) -> Edit {
        Edit::delete(
            self.line,
            self.from,
            (self.line, self.from + self.text.chars().count()),
        )
    }
}

/// The places of a text that are typed at: all from its middle on.
#[derive(Debug, Clone)]
pub struct Places<'a> {
    language: Language,
    lines: Vec<&'a str>,
}

impl<'a> Places<'a> {
    /// Looks at a text.
    pub fn new(language: Language, text: &'a str) -> Places<'a> {
        Places {
            language,
            lines: text.lines().collect(),
        }
    }

    /// The first line from the middle on that starts so; else the last before it.
    pub fn line(&self, start: &str) -> Option<usize> {
        let middle = self.lines.len() / 2;
        let is_it = |line: &&str| line.starts_with(start);
        let below = self.lines[middle..]
            .iter()
            .position(is_it)
            .map(|line| middle + line);
        below.or_else(|| self.lines[..middle].iter().rposition(is_it))
    }

    /// The anchor's line: its number, the column of the name in it, and its length.
    pub fn anchor(&self) -> Option<(usize, usize, usize)> {
        let line = self.line(self.language.anchor)?;
        let text = self.lines.get(line)?;
        Some((
            line,
            self.language.anchor.chars().count(),
            text.chars().count(),
        ))
    }

    /// The last digit of a number of two digits or more.
    fn figure(&self) -> Option<(usize, usize, char)> {
        let middle = self.lines.len() / 2;
        let numbers = self.lines.iter().enumerate().skip(middle);
        numbers.into_iter().find_map(|(number, line)| {
            let behind = line.find(self.language.figure)? + self.language.figure.len();
            let digits = line[behind..]
                .chars()
                .take_while(char::is_ascii_digit)
                .count();
            let last = line[behind..].chars().nth(digits.checked_sub(1)?)?;
            let column = line[..behind].chars().count() + digits - 1;
            (digits >= 2).then_some((number, column, last))
        })
    }

    /// The last digit of a number changed to another, and back.
    pub fn figures(&self) -> Vec<Edit> {
        let Some((line, column, digit)) = self.figure() else {
            return Vec::new();
        };
        let other = if digit == '5' { "6" } else { "5" };
        let replace = |text: &str| Edit {
            line,
            from: column,
            to: (line, column + 1),
            text: text.to_string(),
        };
        vec![replace(other), replace(&digit.to_string())]
    }

    /// A line typed in and a number changed digit by digit, all taken back key by key.
    pub fn typing(&self) -> Vec<Edit> {
        let mut edits = Vec::new();
        if let Some(line) = self.line(self.language.anchor) {
            edits.push(Edit::insert(line, 0, "\n"));
            let keys: Vec<Edit> = keys(line, 0, self.language.typed);
            edits.extend(keys.iter().cloned());
            edits.extend(keys.iter().rev().map(Edit::undo));
            edits.push(Edit::delete(line, 0, (line + 1, 0)));
        }
        if let Some((line, column, digit)) = self.figure() {
            for text in [if digit == '5' { "6" } else { "5" }, &digit.to_string()] {
                edits.push(Edit::delete(line, column, (line, column + 1)));
                edits.push(Edit::insert(line, column, text));
            }
        }
        edits
    }

    /// The first number behind a text changed to another, and back.
    pub fn number(&self, behind: &str, other: &str) -> Vec<Edit> {
        let mut lines = self.lines.iter().enumerate();
        let found = lines.find_map(|(line, text)| {
            let from = text.find(behind)? + behind.len();
            let rest = text.get(from..)?;
            let end = rest.find(|key: char| !key.is_ascii_digit());
            Some((line, from, rest.get(..end.unwrap_or(rest.len()))?))
        });
        let Some((line, from, number)) = found else {
            return Vec::new();
        };
        let replace = |old: &str, new: &str| Edit {
            line,
            from,
            to: (line, from + old.len()),
            text: new.to_string(),
        };
        vec![replace(number, other), replace(other, number)]
    }

    /// What opens a block of several lines, what is typed while it is open, and what takes all back.
    pub fn open_block(&self) -> Option<(Vec<Edit>, Vec<Edit>, Vec<Edit>)> {
        let (head, inside) = self.language.block?;
        let line = self.line(self.language.anchor)?;
        let end = head.chars().count();
        let before = vec![
            Edit::insert(line, 0, "\n"),
            Edit::insert(line, 0, head),
            Edit::insert(line, end, "\n    "),
        ];
        let keys = keys(line + 1, 4, inside);
        let back: Vec<Edit> = keys.iter().rev().map(Edit::undo).collect();
        let after = vec![
            Edit::delete(line, end, (line + 1, 4)),
            Edit::delete(line, 0, (line + 1, 0)),
        ];
        Some((before, keys.into_iter().chain(back).collect(), after))
    }

    /// For each completion: its name, what begins the line, the key that comes, and what takes all back.
    pub fn completions(&self) -> Vec<(&'static str, Vec<Edit>, Edit, Vec<Edit>)> {
        let of = |&(name, anchor, prefix, key): &(&'static str, &str, &str, &str)| {
            let line = self.line(anchor)?;
            let before = vec![Edit::insert(line, 0, "\n"), Edit::insert(line, 0, prefix)];
            let after = vec![before[1].undo(), Edit::delete(line, 0, (line + 1, 0))];
            let key = Edit::insert(line, prefix.chars().count(), key);
            Some((name, before, key, after))
        };
        self.language.completions.iter().filter_map(of).collect()
    }
}

fn keys(line: usize, column: usize, text: &str) -> Vec<Edit> {
    let key = |(index, key): (usize, char)| Edit::insert(line, column + index, &key.to_string());
    text.chars().enumerate().map(key).collect()
}
