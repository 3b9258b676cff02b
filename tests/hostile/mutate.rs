//! Plans that went wrong: the demo's, spoilt in the ways in which people, merges
//! and other programs spoil texts, and soups of their words.

use std::collections::BTreeSet;
use std::ops::Range;

use bellwire_plan::vocabulary::WORDS;
use bellwire_tests::random::Random;

use super::common;

/// More than a floating-point number can be.
const HUGE: &str = "99999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999999";

/// What people do not write, and files hold all the same.
const NASTY: &[&str] = &[
    "{",
    "}",
    "\"",
    ":",
    ",",
    "--",
    "..",
    "#",
    "\\",
    "\n",
    "\r",
    "\r\n",
    "\t",
    "\0",
    "\u{feff}",
    "\u{2028}",
    "\u{202e}",
    "e\u{301}",
    "👍",
    "Ω",
    "K",
    "µ",
    "−5",
    "0",
    "-1",
    "4294967295",
    "4294967296",
    "99999999999999999999",
    "18446744073709551615",
    "1 .. 18446744073709551615",
    HUGE,
    "0.00000000000000000000000000001",
    "-0",
    "0 A",
    "0 Ah",
    "0 ohm",
    "0 V ..",
    ".. 15 V",
    "9 V ..",
    "0.0000000001",
    "1e308",
    "1.",
    ".5",
    "1.2.3.4.5",
    "1 .. 4294967295",
    "8 .. 1",
    "0 ohm ..",
    ".. 5 V",
    "0 m",
    "1000000 km",
    "0000-00",
    "9999-99-99",
    "2025-02-30",
    "main.",
    ".main",
    "a.b.c",
    "-a",
    "a-",
    "\u{1b}[31m",
    "<b>",
    "[x](y)",
    "%s",
    "{{}}",
    "use \"../catalog/merrow.bell\"",
    "use \"\"",
    "use \"/\"",
    "use \"../../../../etc/passwd\"",
    "accept all \"\"",
    "rules a : a",
    "site x {",
    "carries data",
    "doubled",
    "receiver off",
];

/// What to spoil plans with.
pub struct Mutator {
    plans: Vec<String>,
    words: Vec<String>,
}

impl Mutator {
    pub fn new() -> Mutator {
        let plans: Vec<String> = common::plans().into_values().collect();
        let words: BTreeSet<&str> = plans
            .iter()
            .flat_map(|plan| plan.lines())
            .filter(|line| !line.trim_start().starts_with('#'))
            .flat_map(str::split_whitespace)
            .collect();
        // Those too that no plan of ours has.
        let known = WORDS.iter().flat_map(|word| [word.name, word.example]);
        let words = words.into_iter().chain(known).chain(NASTY.iter().copied());
        Mutator {
            words: words.map(str::to_string).collect(),
            plans,
        }
    }

    /// A text to begin with: mostly a plan, else words at random.
    fn text(&self, random: &mut Random) -> String {
        if random.below(8) > 0 {
            return random.of(&self.plans).clone();
        }
        let mut text = String::new();
        for _ in 0..random.below(200) {
            text.push_str(self.word(random));
            let gap: &&str = random.of(&[" ", " ", " ", "\n", ""]);
            text.push_str(gap);
        }
        text
    }

    fn word(&self, random: &mut Random) -> &str {
        random.of::<String>(&self.words)
    }

    /// A text gone wrong in some places.
    pub fn spoilt(&self, random: &mut Random) -> String {
        let mut text = self.text(random);
        for _ in 0..=random.below(6) {
            self.spoil(random, &mut text);
        }
        text
    }

    /// A plan with a mistake or two of those that people make.
    pub fn mistaken(&self, random: &mut Random) -> String {
        let mut text = random.of(&self.plans).clone();
        for _ in 0..=random.below(2) {
            mistake(random, &mut text);
        }
        text
    }

    /// A piece of text, to go anywhere.
    pub fn piece(&self, random: &mut Random) -> Piece {
        let text = match random.below(6) {
            0 => String::new(),
            1 => random.of(NASTY).to_string(),
            2 => {
                let plan = random.of(&self.plans);
                let lines = plan[random.place(plan)..].split_inclusive('\n');
                lines.take(1 + random.below(4)).collect()
            }
            _ => self.word(random).to_string(),
        };
        let length = match random.below(8) {
            0..3 => 0,
            3..7 => random.below(12),
            _ => random.below(400),
        };
        Piece {
            at: random.below(1 << 20),
            length,
            text,
        }
    }

    /// Spoils a text once.
    fn spoil(&self, random: &mut Random, text: &mut String) {
        match random.below(4) {
            // A word for another one.
            0 => {
                let at = random.place(text);
                let start = text[..at].rfind(char::is_whitespace).map_or(0, |at| at + 1);
                let end = text[at..].find(char::is_whitespace);
                let end = end.map_or(text.len(), |end| at + end);
                if text.is_char_boundary(start) && start <= end {
                    text.replace_range(start..end, self.word(random));
                }
            }
            // Lines moved, doubled, lost.
            1 => {
                let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
                if !lines.is_empty() {
                    let from = random.below(lines.len());
                    let line = match random.below(2) {
                        0 => lines.remove(from),
                        _ => lines[from],
                    };
                    if random.below(3) > 0 {
                        lines.insert(random.below(lines.len() + 1), line);
                    }
                    *text = lines.concat();
                }
            }
            _ => {
                self.piece(random).put(text);
            }
        }
    }
}

/// Another number for a number, another name of the text for a name, a letter too few, or a line
/// lost or there twice.
fn mistake(random: &mut Random, text: &mut String) {
    let words = words(text);
    if words.is_empty() {
        return;
    }
    let word = random.of(&words).clone();
    let is_number = |word: &Range<usize>| text[word.clone()].parse::<f64>().is_ok();
    let others = words
        .iter()
        .filter(|other| is_number(other) == is_number(&word));
    let others: Vec<&Range<usize>> = others.collect();
    let other = text[(*random.of(&others)).clone()].to_string();
    let number = text[word.clone()].parse::<f64>();
    match (random.below(8), number) {
        (0, _) => {
            let start = text[..word.start].rfind('\n').map_or(0, |at| at + 1);
            let end = text[start..]
                .find('\n')
                .map_or(text.len(), |at| start + at + 1);
            let line = text[start..end].to_string();
            text.replace_range(start..end, &line.repeat(2 * random.below(2)));
        }
        (1..5, Ok(number)) => {
            let times = random.of(&[0.0, 0.5, 2.0, 5.0, 20.0]);
            text.replace_range(word, &(number * times).to_string());
        }
        (1, Err(_)) => text.replace_range(word.start..word.start + 1, ""),
        _ => text.replace_range(word, &other),
    }
}

/// The words of a plan, and its numbers; none of comments.
fn words(text: &str) -> Vec<Range<usize>> {
    let mut words = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let code = line.split('#').next().unwrap_or("");
        let mut at = start;
        for part in code.split_inclusive(|c: char| !c.is_ascii_alphanumeric() && c != '.') {
            let word = part.trim_end_matches(|c: char| !c.is_ascii_alphanumeric());
            if word.starts_with(|c: char| c.is_ascii_alphanumeric()) {
                words.push(at..at + word.len());
            }
            at += part.len();
        }
        start += line.len();
    }
    words
}

/// Text to be put in the place of other text.
#[derive(Debug, Clone)]
pub struct Piece {
    /// Where, in bytes; over and over from the start where the text is shorter.
    pub at: usize,
    /// How many bytes go.
    pub length: usize,
    /// What comes.
    pub text: String,
}

impl Piece {
    /// Where it goes in a text.
    pub fn start(&self, text: &str) -> usize {
        floor(text, self.at % (text.len() + 1))
    }

    /// Puts it into a text; gives the bytes that went.
    pub fn put(&self, text: &mut String) -> Range<usize> {
        let start = self.start(text);
        let end = floor(text, (start + self.length).min(text.len())).max(start);
        text.replace_range(start..end, &self.text);
        start..end
    }
}

/// The start of the character at an offset.
fn floor(text: &str, mut at: usize) -> usize {
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}
