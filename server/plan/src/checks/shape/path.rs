//! Whether the route of a cable is whole.

use rustc_hash::FxHashMap;

use super::Shape;
use super::slips::slip;
use crate::finding::{Code, Finding, Mend};
use crate::source::{Path, Span, Statement, Value};
use crate::vocabulary::{Context, Dimension};

impl<'a> Shape<'a> {
    /// The path of a cable.
    pub(super) fn path(&mut self, statement: &'a Statement, context: Context) {
        if context != Context::Run {
            return self.report(
                Code::Misplaced,
                statement.head,
                "a cable's path may only stand in the block of a `run`",
            );
        }
        let Some(path) = &statement.path else { return };
        if let Some(slip) = self.decimal_comma(statement) {
            return self.findings.push(slip);
        }
        if let [first, .., last] | [first @ last] = statement.arguments.as_slice() {
            let slip = self.marks_in_legs(statement);
            if let Some(slip) = slip.or_else(|| self.legs(statement)) {
                return self.findings.push(slip);
            }
            // The legs beside it are not whole for that reason.
            let span = first.span.to(last.span);
            let text = self.item.text(span);
            let leg = self.leg();
            let message = format!("`{text}` is no part of a cable's path: `main.keys {leg} front`");
            return self.report(Code::Syntax, span, message);
        }
        if let Some(more) = statement.body.first() {
            self.report(
                Code::Misplaced,
                more.head,
                "a path takes no clauses: put them behind the cable in the `run` line",
            );
        }
        // A length that is written as a sum is told with what is added.
        let end = statement.span.end as usize;
        let behind = self.item.source().get(end..).unwrap_or_default();
        let plus = end + behind.len() - behind.trim_start_matches([' ', '\t']).len();
        if self.adds_up(Span::new(plus, plus + 1)).is_some() {
            return;
        }
        let is_whole = path.points.len() > path.legs.len()
            && path.points.iter().all(|point| !point.references.is_empty());
        if !is_whole || path.legs.is_empty() {
            let leg = self.leg();
            let more = match is_whole {
                true => format!("go on with `{leg} NAME`"),
                false => format!(
                    "a length in every leg, a name at every end, as in `main.keys {leg} front`"
                ),
            };
            let message = format!("the path is not finished: {more}");
            self.report(Code::Syntax, statement.head, message);
        }
        for point in &path.points {
            self.twice_at_a_point(&point.references);
        }
        self.leads_nowhere(path);
        for index in 0..path.legs.len() {
            let wrong = self.broken_leg(path, index, is_whole);
            self.findings.extend(wrong);
        }
    }

    /// What is wrong with a leg; that its length is missing only where the route is whole else.
    fn broken_leg(&self, path: &Path, index: usize, is_whole: bool) -> Option<Finding> {
        let leg = path.legs.get(index)?;
        let ends = self.item.text(leg.span).ends_with("--");
        let Some(length) = &leg.length else {
            let message = match leg.span.is_empty() {
                true => format!("the cable between these two is missing: `{}`", self.leg()),
                false => format!("the length is missing: `{}`", self.leg()),
            };
            return is_whole.then(|| Finding::new(Code::Missing, leg.span, message));
        };
        let next = path.points.get(index + 1);
        let at_end = next.is_none_or(|point| point.references.is_empty());
        if !ends && at_end {
            // Its unit may still be being typed.
            return None;
        }
        let wrong = self.amount(length, &[Dimension::Length], None);
        wrong.or_else(|| (!ends).then(|| self.endless(leg.span)))
    }

    /// A leg with its length, and without the dashes behind that.
    fn endless(&self, leg: Span) -> Finding {
        let meant = format!("`{}--`", self.item.text(leg));
        let message = format!("this leg does not end: write {meant}");
        let edit = (leg.after(), "--".to_string());
        slip(leg, &message, &format!("Write {meant}"), edit)
    }

    /// Legs from one thing to itself: `front --8 m-- front`.
    fn leads_nowhere(&mut self, path: &Path) {
        for pair in path.points.windows(2) {
            let [from, to] = pair else { continue };
            let ([first], [again]) = (from.references.as_slice(), to.references.as_slice()) else {
                continue;
            };
            let [text, other] = [first, again].map(|end| self.item.text(end.span));
            if text != other {
                continue;
            }
            let message = format!(
                "this leg leads from {text} to {text} itself: name what is at its other end, or take it out"
            );
            // Without it the way would be none.
            let mend = (path.points.len() > 2).then(|| Mend {
                title: "Take the leg out".to_string(),
                edits: vec![(
                    Span {
                        start: from.span.end,
                        end: to.span.end,
                    },
                    String::new(),
                )],
            });
            let finding = Finding::new(Code::Repeated, again.span, message);
            let finding = finding.with(self.item.spot(first.span), "its other end");
            self.findings.push(finding.mended_by(mend));
        }
    }

    /// One thing that stands twice at a point: `main.siren + main.siren`.
    fn twice_at_a_point(&mut self, references: &[Value]) {
        if references.len() < 2 {
            return;
        }
        let mut first = FxHashMap::default();
        let mut before = None;
        for again in references {
            let up_to = before.replace(again.span).unwrap_or(again.span);
            let text = self.item.text(again.span);
            let Some(first) = first.insert(text, again.span) else {
                continue;
            };
            let message = format!("{text} stands twice at this point: take one out");
            let mend = Mend {
                title: format!("Take the second {text} out"),
                edits: vec![(
                    Span {
                        start: up_to.end,
                        ..again.span
                    },
                    String::new(),
                )],
            };
            let finding = Finding::new(Code::Repeated, again.span, message);
            let finding = finding.with(self.item.spot(first), "the first one");
            self.findings.push(finding.mended_by(Some(mend)));
        }
    }
}
