//! Whether the route of a cable is whole.

use super::Shape;
use crate::finding::Code;
use crate::source::{Span, Statement};
use crate::vocabulary::{Context, Dimension};

impl<'a> Shape<'a> {
    pub(super) fn path(&mut self, statement: &'a Statement, context: Context) {
        if context != Context::Run {
            return self.report(
                Code::Misplaced,
                statement.head,
                "a cable's route may only stand in the block of a `run`",
            );
        }
        let Some(path) = &statement.path else { return };
        if let Some(slip) = self.decimal_comma(statement) {
            return self.findings.push(slip);
        }
        if let [first, .., last] | [first @ last] = statement.arguments.as_slice() {
            if let Some(slip) = self.legs(statement) {
                return self.findings.push(slip);
            }
            // The legs beside it are not whole for that reason.
            let span = first.span.to(last.span);
            let text = self.item.text(span);
            let message =
                format!("`{text}` is no part of a cable's route: `main.keys --12 m-- front`");
            return self.report(Code::Syntax, span, message);
        }
        if let Some(more) = statement.body.first() {
            self.report(
                Code::Misplaced,
                more.head,
                "a route takes no clauses: put them behind the cable in the `run` line",
            );
        }
        // A length that is written as a sum is told with what is added.
        let end = statement.span.end as usize;
        let behind = self.item.source().get(end..).unwrap_or_default();
        let plus = end + behind.len() - behind.trim_start_matches([' ', '\t']).len();
        if self.adds_up(Span::new(plus, plus + 1)).is_some() {
            return;
        }
        let unfinished = path.points.len() <= path.legs.len()
            || path.points.iter().any(|point| point.references.is_empty());
        if unfinished {
            let example = "`main.keys --12 m-- front`";
            self.report(
                Code::Syntax,
                statement.head,
                format!("the route of the cable is not finished: a length in every leg, a name at every end, as in {example}"),
            );
        } else if path.legs.is_empty() {
            self.report(
                Code::Syntax,
                statement.head,
                "the route of the cable is not finished: go on with `--12 m-- NAME`",
            );
        }
        for leg in &path.legs {
            match &leg.length {
                Some(length) => {
                    let wrong = self.amount(length, &[Dimension::Length]);
                    self.findings.extend(wrong);
                }
                None if unfinished => {}
                None if leg.span.is_empty() => self.report(
                    Code::Missing,
                    leg.span,
                    "the cable between these two is missing: `--12 m--`",
                ),
                None => self.report(Code::Missing, leg.span, "the length is missing: `--12 m--`"),
            }
        }
    }
}
