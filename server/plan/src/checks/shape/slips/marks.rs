//! Braces, colons and commas that stand elsewhere, or for one another.

use super::{adjoin, slip};
use crate::checks::shape::Shape;
use crate::finding::{Code, Finding, Mend, did_you_mean};
use crate::source::{BREAKS, Form, Span, Statement, Value, line_before, line_behind};
use crate::vocabulary::{Presence, Word, is_word, words};

/// Marks behind which a line goes on.
const GO_ON: [&str; 3] = ["{", ":", ","];

impl Shape<'_> {
    /// A semicolon for a comma, or at the end of a line.
    pub(super) fn semicolon(&self, values: &[&Value]) -> Option<Finding> {
        let mark = values.iter().find(|value| self.is_stray(value, &[';']))?;
        let rest = line_behind(self.item.source(), mark.span.end as usize).trim_start();
        let ends_line = rest.is_empty() || rest.starts_with(['#', '}']);
        let (message, title, meant) = match ends_line {
            true => (
                "a line ends without a mark: take this `;` out",
                "Take the `;` out",
                "",
            ),
            false => (
                "clauses are parted by commas: write `,` for `;`",
                "Write a comma",
                ",",
            ),
        };
        let edit = (mark.span, meant.to_string());
        Some(slip(mark.span, message, title, edit))
    }

    /// A comment behind two slashes.
    pub(super) fn two_slashes(
        &self,
        statement: &Statement,
        first: &Value,
        second: &Value,
    ) -> Option<Finding> {
        let is_slash = |value| self.is_stray(value, &['/']);
        if !(is_slash(first) && is_slash(second) && adjoin(first, second)) {
            return None;
        }
        let edit = (first.span.to(second.span), "#".to_string());
        let comment = first.span.to(statement.head.after());
        let message = "a comment starts with `#`";
        Some(slip(comment, message, "Start the comment with `#`", edit))
    }

    /// A line that starts with a mark behind which the line above goes on: the `{` of its block,
    /// the `:` before its model, the `,` before a clause.
    pub(in crate::checks::shape) fn goes_on_from_above(
        &self,
        statement: &Statement,
    ) -> Option<Finding> {
        let start = statement.span.start as usize;
        let (before, own) = self.item.source().split_at_checked(start)?;
        let above = before.trim_end();
        let mark = own.get(..1).filter(|mark| GO_ON.contains(mark))?;
        if above.ends_with(['{', '}']) {
            return None;
        }
        let message = match mark {
            "{" => "a block opens at the end of the line that it belongs to: move this `{` up"
                .to_string(),
            _ => format!("`{mark}` goes on from the line above: move this up to the end of that"),
        };
        let place = match mark {
            "{" => Span::new(start, start + 1),
            _ => statement.head,
        };
        let finding = Finding::new(Code::Syntax, place, message);
        let line = line_before(above, above.len());
        // Behind a comment it would be part of that.
        let mend = (!line.is_empty() && !line.contains('#')).then(|| Mend {
            title: format!("Move the `{mark}` up"),
            edits: vec![(
                Span::new(above.len(), start),
                if mark == "," { "" } else { " " }.to_string(),
            )],
        });
        Some(finding.mended_by(mend))
    }

    /// Whether such a line stands below a statement: what is missing may be in there.
    pub(in crate::checks::shape) fn goes_on_below(&self, statement: &Statement) -> bool {
        let behind = self.item.source().get(statement.span.end as usize..);
        let mut below = behind
            .unwrap_or_default()
            .split(BREAKS)
            .map(str::trim_start);
        let next = below.find(|line| !line.is_empty() && !line.starts_with('#'));
        let goes_on = next.is_some_and(|next| GO_ON.iter().any(|mark| next.starts_with(mark)));
        statement.block.is_none() && goes_on
    }

    /// Whether a colon stands behind a statement's own words.
    pub(in crate::checks::shape) fn is_before_colon(&self, statement: &Statement) -> bool {
        let own = match &statement.model {
            Some((colon, _)) => colon.start,
            None => statement.head.end,
        };
        let behind = self.item.source().get(own as usize..);
        behind.is_some_and(|text| text.trim_start_matches([' ', '\t']).starts_with(':'))
    }

    /// A colon where no model may stand: behind a word, or a clause's, as other notations have it.
    pub(in crate::checks::shape) fn colon_too_much(
        &self,
        statement: &Statement,
        word: &Word,
        colon: Span,
    ) -> Finding {
        let mut clauses = statement.body.iter();
        let clause =
            clauses.rfind(|clause| clause.form == Form::Clause && clause.head.end <= colon.start);
        let name = clause.map_or(word.name, |clause| self.item.keyword(clause));
        let mut model = statement.model.iter().flat_map(|(_, values)| values);
        if let Some(last) = model.next_back()
            && clause.is_none()
            && !statement.arguments.is_empty()
        {
            // It has its arguments, and a model besides.
            let span = colon.to(last.span);
            let text = self.item.text(span);
            let message = format!("`{name}` takes no model: take `{text}` out");
            let before = self
                .item
                .source()
                .get(..span.start as usize)
                .unwrap_or_default();
            let edit = (
                Span::new(before.trim_end().len(), span.end as usize),
                String::new(),
            );
            return slip(span, &message, &format!("Take `{text}` out"), edit);
        }
        let message = format!("no colon stands behind `{name}`: take it out");
        let mark = Span::new(colon.start as usize, colon.start as usize + 1);
        let edit = (mark, String::new());
        slip(mark, &message, "Take the colon out", edit)
    }

    /// An equals sign where the colon before a model belongs: `panel main = M8`.
    pub(in crate::checks::shape) fn equals_for_colon(
        &self,
        statement: &Statement,
        word: &Word,
    ) -> Option<Finding> {
        let [.., sign, name] = statement.arguments.as_slice() else {
            return None;
        };
        if word.model.is_none()
            || statement.model.is_some()
            || !name.is_name()
            || !self.is_stray(sign, &['='])
        {
            return None;
        }
        let text = self.item.text(name.span);
        let message = format!("a model stands behind a colon: write `: {text}`");
        let edit = (sign.span, ":".to_string());
        let place = sign.span.to(name.span);
        Some(slip(place, &message, "Write a colon", edit))
    }

    /// A comma where another mark belongs. What is behind it reads as the first clause.
    pub(in crate::checks::shape) fn comma_for_another_mark(
        &self,
        statement: &Statement,
        word: &Word,
    ) -> Option<Finding> {
        self.comma_for_colon(statement, word)
            .or_else(|| self.comma_for_points(statement, word))
    }

    /// A comma where the colon before a model belongs: `detector d, P5`.
    fn comma_for_colon(&self, statement: &Statement, word: &Word) -> Option<Finding> {
        if !word.needs_model || statement.model.is_some() {
            return None;
        }
        let first = statement.body.first()?;
        let name = first.keyword.filter(|_| first.form == Form::Clause)?;
        let text = self.item.text(name);
        let near = |context| did_you_mean(text, words(context).map(|word| word.name));
        if !first.arguments.is_empty()
            || first.model.is_some()
            || is_word(text)
            || word.opens.is_some_and(|context| !near(context).is_empty())
        {
            return None;
        }
        let comma = first.span.start as usize;
        let before = self.item.source().get(..comma)?.trim_end().len();
        let edit = (Span::new(before, name.start as usize), " : ".to_string());
        let place = Span::new(comma, name.end as usize);
        let message = format!("a model stands behind a colon: write `: {text}`");
        Some(slip(place, &message, "Write a colon", edit))
    }

    /// A comma between values of which several stand side by side: what is
    /// behind it reads as a clause, which starts with a word of its `own` or with none.
    pub(in crate::checks::shape) fn parted(
        &self,
        clause: &Statement,
        own: Option<&Word>,
        before: &Word,
    ) -> Option<Finding> {
        let several = before.slots.last()?;
        let value = match clause.keyword {
            Some(keyword) if own.is_none() => Value::name(keyword),
            Some(_) => return None,
            None => clause.arguments.first()?.clone(),
        };
        let alone = clause.arguments.len() == usize::from(clause.keyword.is_none());
        if several.presence != Presence::Several
            || !alone
            || self.is_decimal(clause)
            || self.misfit(several, &value, before).is_some()
        {
            return None;
        }
        let comma = Span::new(clause.span.start as usize, clause.span.start as usize + 1);
        let message = format!(
            "take this comma out: what belongs to `{}` stands side by side, without commas",
            before.name
        );
        let edit = (comma, String::new());
        Some(slip(clause.span, &message, "Take the comma out", edit))
    }

    /// A comma with nothing behind it. It is taken out, unless what is meant for it stands on
    /// the next line, further in.
    pub(in crate::checks::shape) fn loose_comma(
        &self,
        clause: &Statement,
        message: &str,
    ) -> Finding {
        let finding = Finding::new(Code::Syntax, clause.span, message);
        let (start, source) = (clause.span.start as usize, self.item.source());
        let comma = Span::new(start, start + 1);
        let line = line_before(source, start);
        let mut below = source.get(start + 1..).unwrap_or_default().split(BREAKS);
        let rest = below.next().unwrap_or_default().trim_start();
        let is_last = rest.is_empty() || rest.starts_with('#');
        let below = below.find(|line| !line.trim().is_empty());
        let indent = |line: &str| line.len() - line.trim_start().len();
        let goes_on = is_last && below.is_some_and(|below| indent(below) > indent(line));
        let is_alone = self.item.text(clause.span).trim_end() == ",";
        let mend = (is_alone && !goes_on).then(|| Mend {
            title: "Take the comma out".to_string(),
            edits: vec![(comma, String::new())],
        });
        finding.mended_by(mend)
    }
}
