//! Legs without their dashes, and lengths that are sums.

use super::slip;
use crate::checks::shape::Shape;
use crate::decimal::short;
use crate::finding::{Code, Finding, Mend};
use crate::source::{Span, Statement, Value, line_before, line_behind};
use crate::vocabulary::{Dimension, Unit, unit};

/// What people write for the two hyphens at each end of a leg.
const DASHES: &[char] = &['-', '–', '—', '−'];

impl Shape<'_> {
    /// The legs of a route, with a hyphen or a dash where two hyphens belong; or the first
    /// that does not end.
    pub(in crate::checks::shape) fn legs(&self, statement: &Statement) -> Option<Finding> {
        let (text, from) = (
            self.item.text(statement.head),
            statement.head.start as usize,
        );
        let span = |start: usize, end: usize| Span::new(from + start, from + end);
        let is_blank = |c: char| c == ' ' || c == '\t';
        let mut edits = Vec::new();
        let mut first: Option<(Span, &str)> = None;
        // Where a leg starts that has not ended, and what stands in it.
        let mut open: Option<(usize, usize)> = None;
        let mut at = 0;
        while let Some(found) = text.get(at..)?.find(DASHES) {
            let start = at + found;
            let behind = text.get(start..)?.trim_start_matches(DASHES);
            let (before, end) = (text.get(..start)?, text.len() - behind.len());
            at = end;
            let ends = behind.is_empty() || behind.starts_with(is_blank);
            let starts = before.ends_with(is_blank)
                && behind
                    .trim_start_matches(is_blank)
                    .starts_with(|c: char| c.is_ascii_digit());
            let is_right = text.get(start..end)? == "--";
            match open {
                Some((leg, own)) if ends => {
                    if !(is_right && edits.is_empty()) {
                        first.get_or_insert((span(leg, end), text.get(own..start)?.trim()));
                    }
                    open = None;
                }
                Some((leg, own)) if starts => {
                    let (length, end) = self.leading_length(text.get(own..)?)?;
                    let message = format!("this leg does not end: write `--{length}--`");
                    return Some(Finding::new(Code::Syntax, span(leg, own + end), message));
                }
                None if starts => open = Some((start, end)),
                // A hyphen in a name.
                _ => continue,
            }
            if !is_right {
                edits.push((span(start, end), "--".to_string()));
            }
        }
        let (leg, length) = first.filter(|_| open.is_none())?;
        let meant = format!("`--{length}--`");
        let finding = Finding::new(Code::Syntax, leg, format!("a leg is written {meant}"));
        let title = format!("Write {meant}");
        Some(finding.mended_by(Some(Mend { title, edits })))
    }

    /// Two points or more where a path starts, with another mark or none where a plus belongs:
    /// `main.aux main.2 --9 m-- pir1`.
    pub(in crate::checks::shape) fn without_plus(&self, statement: &Statement) -> Option<Finding> {
        let start = statement.span.start as usize;
        let (own, _) = line_behind(self.item.source(), start).split_once("--")?;
        let own = own.trim_end();
        let points: Vec<&str> = own
            .split([' ', '\t', ',', '&', '+', '/'])
            .filter(|point| !matches!(*point, "" | "and"))
            .collect();
        let is_terminal = |point: &&str| {
            let part = |text: &str| {
                let is_of_name = |c: char| c.is_alphanumeric() || matches!(c, '_' | '-');
                !text.is_empty() && text.chars().all(is_of_name)
            };
            let parts = point.split_once('.');
            parts.is_some_and(|(unit, own)| part(unit) && part(own))
        };
        if points.len() < 2 || !points.iter().all(is_terminal) {
            return None;
        }
        let (span, meant) = (Span::new(start, start + own.len()), points.join(" + "));
        let message = format!("what one cable starts at has a plus between: write `{meant}`");
        let title = format!("Write `{meant}`");
        Some(slip(span, &message, &title, (span, meant)))
    }

    /// Feet by their sign, `--40'--`, or a point behind a unit, `--40 ft.--`, in legs that are
    /// else as they should be.
    pub(in crate::checks::shape) fn marks_in_legs(&self, statement: &Statement) -> Option<Finding> {
        let source = self.item.source();
        let meant = |mark: &Value| {
            let before = source.get(..mark.span.start as usize)?.trim_end();
            let behind = source.get(mark.span.end as usize..)?;
            let is_last = behind.trim_start_matches([' ', '\t']).starts_with("--");
            let is_feet = self.is_stray(mark, &['\'', '’', '′'])
                && before.ends_with(|c: char| c.is_ascii_digit());
            let is_point = self.is_stray(mark, &['.']) && before.ends_with(char::is_alphabetic);
            let unit = if is_feet { " ft" } else { "" };
            let from = Span::new(before.len(), mark.span.end as usize);
            (is_last && (is_feet || is_point)).then(|| (from, unit.to_string()))
        };
        let edits: Vec<(Span, String)> = statement
            .arguments
            .iter()
            .map(meant)
            .collect::<Option<_>>()?;
        let (at, unit) = edits.first()?;
        let own = source.get(..at.start as usize)?.rsplit("--").next()?;
        let leg = Span::new(at.start as usize - own.len(), at.end as usize);
        let meant = format!("`--{}{unit}--`", own.trim());
        let finding = Finding::new(Code::Syntax, leg, format!("a leg is written {meant}"));
        let title = format!("Write {meant}");
        Some(finding.mended_by(Some(Mend { title, edits })))
    }

    /// A length that is written as a sum, whose second half reads as a line of
    /// its own: `--12.5 m + 3 m--`. `rest` starts at the plus.
    pub(in crate::checks::shape) fn adds_up(&self, rest: Span) -> Option<Finding> {
        let source = self.item.source();
        let plus = rest.start as usize;
        let behind = source.get(plus..)?.strip_prefix('+')?;
        let line = line_before(source, plus);
        let first = line
            .rsplit("--")
            .next()
            .filter(|own| own.len() < line.len())?;
        let (one, own) = length(first.trim())?;
        let second = behind.split("--").next()?;
        let mut sum = one;
        let mut unit = own;
        for part in second.split('+') {
            let (more, own) = length(part.trim())?;
            if !own.is_empty() && !unit.is_empty() && own != unit {
                return None;
            }
            sum += more;
            unit = if own.is_empty() { unit } else { own };
        }
        let start = plus - first.trim_start().len();
        let span = Span::new(start, plus + 1 + second.trim_end().len());
        let meant = format!("{} {unit}", short(sum, 3));
        let meant = meant.trim_end().to_string();
        let message = format!("a length is one number: write the sum, `{meant}`");
        Some(slip(span, &message, "Write the sum", (span, meant)))
    }

    /// The length that a text starts with, in the usual unit if it says none, and where it ends.
    fn leading_length(&self, text: &str) -> Option<(String, usize)> {
        let is_part = |c: char| c.is_ascii_digit() || c == '.';
        let behind = text.trim_start().trim_start_matches(is_part);
        let number = text.get(..text.len() - behind.len())?;
        let own = behind.trim_start();
        let word = own.split(|c: char| !c.is_alphabetic()).next()?;
        let is_length = unit(word).is_some_and(|unit| unit.dimension == Dimension::Length);
        let (unit, end) = match is_length {
            true => (word, text.len() - own.len() + word.len()),
            false => {
                let usual = self.item.measures().usual(Dimension::Length);
                (usual.name(), number.len())
            }
        };
        Some((format!("{} {unit}", number.trim()), end))
    }
}

/// A number and what stands behind it, if that is a unit of length or nothing.
fn length(text: &str) -> Option<(f64, &str)> {
    let digits = text.trim_end_matches(|c: char| !c.is_ascii_digit());
    let own = text.get(digits.len()..)?.trim();
    let is_length = |unit: &Unit| unit.dimension == Dimension::Length;
    let known = own.is_empty() || unit(own).is_some_and(is_length);
    let plain = digits.bytes().all(|c| c.is_ascii_digit() || c == b'.');
    let value = digits.parse().ok().filter(|_| known && plain)?;
    Some((value, own))
}
