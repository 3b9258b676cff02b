//! Lines that start with no word, or with one that means nothing where they stand.

use super::Shape;
use super::say::{choices, place};
use crate::finding::{Code, Finding, did_you_mean};
use crate::source::{Form, Statement, Value};
use crate::vocabulary::{Context, WORDS, words};

impl<'a> Shape<'a> {
    /// A line that starts with no word.
    pub(super) fn fragment(&mut self, statement: &'a Statement, context: Context) {
        if let Some(sum) = self.adds_up(statement.span) {
            return self.findings.push(sum);
        }
        if let Some(slip) = self.slip(statement) {
            return self.findings.push(slip);
        }
        if let Some(slip) = self.goes_on_from_above(statement) {
            return self.findings.push(slip);
        }
        let goes_on = context == Context::Run && self.item.text(statement.span).starts_with("--");
        let message = match goes_on {
            true => format!(
                "this path starts nowhere: begin it with the point that it goes on from, as in `front {} rear`",
                self.leg()
            ),
            false => {
                "this line starts with no word that says what it is: begin it with one".to_string()
            }
        };
        self.report(Code::Syntax, statement.span, message);
    }

    /// A line whose first word means nothing where it stands.
    pub(super) fn unknown_word(&mut self, statement: &'a Statement, name: &str, context: Context) {
        let span = statement.keyword.unwrap_or(statement.head);
        if context == Context::Run
            && statement.form == Form::Line
            && let Some(route) = self.broken_route(statement, name)
        {
            return self.findings.push(route);
        }
        let homes: Vec<Context> = WORDS
            .iter()
            .filter(|word| word.name == name)
            .flat_map(|word| word.within.iter().copied())
            .collect();
        if homes.is_empty() {
            let hint = did_you_mean(name, words(context).map(|word| word.name));
            let hint = match hint.as_str() {
                "" => format!(" What may stand here: {}.", choices(context)),
                _ => hint,
            };
            return self.report(
                Code::UnknownWord,
                span,
                format!("`{name}` means nothing {}.{hint}", place(context)),
            );
        }
        let mut homes: Vec<String> = homes.into_iter().map(place).collect();
        homes.dedup();
        homes.truncate(4);
        self.report(
            Code::Misplaced,
            span,
            format!(
                "`{name}` may not stand {}: it belongs {}",
                place(context),
                homes.join(", or ")
            ),
        );
    }
    /// A line of a run that is meant for a route.
    fn broken_route(&self, statement: &Statement, name: &str) -> Option<Finding> {
        if let Some(slip) = self
            .legs(statement)
            .or_else(|| self.without_plus(statement))
        {
            return Some(slip);
        }
        let leg = self.leg();
        let arguments = &statement.arguments;
        let is_broken = arguments.iter().any(Value::is_stray);
        let message = if is_broken || name.contains('.') && !arguments.is_empty() {
            format!("this is no path: a leg is written `{leg}`, as in `{name} {leg} front`")
        } else {
            let near = did_you_mean(name, words(Context::Run).map(|word| word.name));
            let are_names = arguments.iter().all(Value::is_name);
            if !are_names || statement.model.is_some() || !near.is_empty() {
                return None;
            }
            let next = arguments.first();
            let next = next.map_or("NAME", |value| self.item.text(value.span));
            format!("the path is not finished: `{name} {leg} {next}`")
        };
        Some(Finding::new(Code::Syntax, statement.head, message))
    }
}
