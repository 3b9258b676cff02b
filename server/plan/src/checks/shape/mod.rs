//! Whether statements have the shape that the vocabulary gives them: which
//! words stand where, with which arguments, in which units and bounds, how often.

mod arguments;
mod body;
mod path;
mod say;
mod slips;
mod stray;
mod values;

use std::sync::Arc;

use crate::finding::{Code, Finding};
use crate::source::{Form, Item, Span, Statement};
use crate::vocabulary::{Context, Word, word};

/// Checks everything in an item.
pub fn check(item: &Arc<Item>, findings: &mut Vec<Finding>) {
    let mut shape = Shape { item, findings };
    for problem in &item.problems {
        // Told with the length that it goes on.
        if shape.adds_up(problem.span).is_none() {
            shape.report(Code::Syntax, problem.span, &*problem.message);
        }
    }
    let root = item.root();
    shape.statement(root, word(item.keyword(root), Context::File), Context::File);
}

struct Shape<'a> {
    item: &'a Arc<Item>,
    findings: &'a mut Vec<Finding>,
}

/// A statement, the word that it starts with, and where it stands.
#[derive(Clone, Copy)]
struct Worded<'a> {
    statement: &'a Statement,
    word: &'static Word,
    context: Context,
}

impl<'a> Shape<'a> {
    /// Checks a statement that starts with a word of the context, or with `None` of them.
    fn statement(
        &mut self,
        statement: &'a Statement,
        word: Option<&'static Word>,
        context: Context,
    ) {
        // An edit touches one line, and most others were right before it.
        if statement.is_sound() {
            return;
        }
        let known = self.findings.len();
        self.look_at(statement, word, context);
        if self.findings.len() == known {
            statement.found_sound();
        }
    }

    fn look_at(&mut self, statement: &'a Statement, word: Option<&'static Word>, context: Context) {
        match statement.form {
            Form::Path => return self.path(statement, context),
            Form::Fragment => return self.fragment(statement, context),
            // Reported with the statement whose number it belongs to.
            Form::Clause if self.is_decimal(statement) => return,
            Form::Clause if statement.keyword.is_none() => {
                let finding = match statement.arguments.first() {
                    None => self.loose_comma(
                        statement,
                        "something is missing behind this comma: a clause, or take the comma out",
                    ),
                    Some(_) => Finding::new(
                        Code::Syntax,
                        statement.span,
                        "a clause starts with a word: put one here, or take the comma out",
                    ),
                };
                return self.findings.push(finding);
            }
            Form::Line | Form::Clause => {}
        }
        let Some(word) = word else {
            let name = self.item.keyword(statement);
            return self.unknown_word(statement, name, context);
        };
        let line = Worded {
            statement,
            word,
            context,
        };
        let wrong_comma = self.comma_for_another_mark(statement, word);
        let first_told = wrong_comma.is_some();
        match self
            .range_with_another_mark(statement, word)
            .or_else(|| self.cable_by_its_size(statement, word))
            .or_else(|| self.slip(statement))
            .or(wrong_comma)
            .or_else(|| self.equals_for_colon(statement, word))
        {
            Some(slip) => self.findings.push(slip),
            None if self.arguments(line) => {}
            None => self.model(line),
        }
        self.body(line, first_told);
    }

    fn report(&mut self, code: Code, span: Span, message: impl Into<String>) {
        self.findings.push(Finding::new(code, span, message));
    }
}
