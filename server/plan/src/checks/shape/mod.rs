//! Whether statements have the shape that the vocabulary gives them: which
//! words stand where, with which arguments, in which units and bounds, how often.

mod body;
mod path;
mod say;
mod slips;
mod values;

use std::sync::Arc;

use crate::finding::{Code, Finding, did_you_mean};
use crate::model::Words;
use crate::source::{Form, Item, Parts, Span, Statement, Value, ValueKind};
use crate::vocabulary::{Context, Presence, WORDS, Word, is_word, word, words};
use say::{choices, place, usage};

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

impl<'a> Shape<'a> {
    /// Checks a statement that starts with a word of the context, or with `None` of them.
    fn statement(
        &mut self,
        statement: &'a Statement,
        word: Option<&'static Word>,
        context: Context,
    ) {
        match statement.form {
            Form::Path => return self.path(statement, context),
            Form::Fragment => return self.fragment(statement, context),
            // Reported with the statement whose number it belongs to.
            Form::Clause if self.is_decimal(statement) => return,
            Form::Clause if statement.keyword.is_none() => {
                let message = match statement.arguments.first() {
                    None => {
                        "something is missing behind this comma: a clause, or take the comma out"
                    }
                    Some(_) => "a clause starts with a word: put one here, or take the comma out",
                };
                return self.report(Code::Syntax, statement.span, message);
            }
            Form::Line | Form::Clause => {}
        }
        let Some(word) = word else {
            let name = self.item.keyword(statement);
            return self.unknown_word(statement, name, context);
        };
        match self
            .slip(statement)
            .or_else(|| self.hyphen(statement, word))
        {
            Some(slip) => self.findings.push(slip),
            None if self.arguments(statement, word) => {}
            None => self.model(statement, word),
        }
        let kind_word = Words::new(self.item, statement).name();
        let inner = word.context(kind_word.map(|name| name.value));
        self.body(statement, word, inner, context);
    }

    fn fragment(&mut self, statement: &'a Statement, context: Context) {
        if let Some(sum) = self.adds_up(statement.span) {
            return self.findings.push(sum);
        }
        if let Some(slip) = self.slip(statement) {
            return self.findings.push(slip);
        }
        if let Some(slip) = self.block_below(statement) {
            return self.findings.push(slip);
        }
        let goes_on = context == Context::Run && self.item.text(statement.span).starts_with("--");
        let message = match goes_on {
            true => {
                "this route starts nowhere: begin it with the point that it goes on from, as in `front --12 m-- rear`"
            }
            false => "this line starts with no word that says what it is: begin it with one",
        };
        self.report(Code::Syntax, statement.span, message);
    }

    fn unknown_word(&mut self, statement: &'a Statement, name: &str, context: Context) {
        let span = statement.keyword.unwrap_or(statement.head);
        if context == Context::Run && statement.form == Form::Line {
            let marks = statement.arguments.iter();
            let broken = marks.clone().any(Value::is_stray);
            if broken || name.contains('.') && !statement.arguments.is_empty() {
                return self.report(
                    Code::Syntax,
                    statement.head,
                    format!("this is no route of a cable: a leg is written `--12 m--`, as in `{name} --12 m-- front`"),
                );
            }
            let names = statement
                .arguments
                .iter()
                .all(|value| matches!(value.kind, ValueKind::Name(_)));
            let near = did_you_mean(name, words(context).map(|word| word.name));
            if names && statement.model.is_none() && near.is_empty() {
                let next = statement.arguments.first();
                let next = next.map_or("NAME", |value| self.item.text(value.span));
                return self.report(
                    Code::Syntax,
                    statement.head,
                    format!("the route of the cable is not finished: `{name} --12 m-- {next}`"),
                );
            }
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

    // ---- Arguments.

    /// Matches arguments to the word's slots, in order. Gives whether a model
    /// stands among them, its colon missing.
    fn arguments(&mut self, statement: &'a Statement, word: &'static Word) -> bool {
        let mut colon_missing = false;
        let mut slots = word.slots.iter();
        let mut slot = slots.next();
        let mut taken = 0;
        let mut told = false;
        for value in &statement.arguments {
            loop {
                let Some(current) = slot else {
                    // What is behind a value that does not fit may belong to it.
                    if !told {
                        colon_missing |= self.too_much(statement, word, value);
                    }
                    told = true;
                    break;
                };
                let wrong = self.misfit(current, value, word);
                if wrong.is_none() {
                    self.findings.extend(self.out_of_bounds(current, value));
                }
                let skippable = current.presence == Presence::Optional
                    || current.presence == Presence::Several && taken > 0;
                match wrong {
                    None if current.presence == Presence::Several => taken += 1,
                    None => {
                        slot = slots.next();
                        taken = 0;
                    }
                    Some(_) if skippable => {
                        slot = slots.next();
                        taken = 0;
                        continue;
                    }
                    Some(finding) => {
                        self.findings.push(finding);
                        told = true;
                        if current.presence != Presence::Several {
                            slot = slots.next();
                        } else {
                            taken += 1;
                        }
                    }
                }
                break;
            }
        }
        let missing = slot
            .into_iter()
            .filter(|_| taken == 0)
            .chain(slots)
            .find(|slot| slot.presence != Presence::Optional)
            // It stands behind a colon, which is told.
            .filter(|_| word.model.is_some() || !self.is_before_colon(statement));
        if let Some(slot) = missing {
            self.report(
                Code::Missing,
                statement.head,
                format!(
                    "`{}` needs its {}, as in `{}`",
                    word.name, slot.title, word.example
                ),
            );
        }
        colon_missing
    }

    /// Reports a value for which there is no slot. Gives whether it is a model
    /// whose colon is missing.
    fn too_much(&mut self, statement: &Statement, word: &Word, value: &Value) -> bool {
        let text = self.item.text(value.span);
        let is_name = matches!(value.kind, ValueKind::Name(_));
        let comma = starts_clause(word, text) || is_name && self.is_next_in_list(word, value.span);
        let colon = word.model.is_some() && statement.model.is_none() && is_name;
        if is_name
            && !comma
            && !colon
            && let Some(slip) = self.label_without_quotes(word, value.span)
        {
            self.findings.push(slip);
            return false;
        }
        let message = if comma {
            format!("a comma is missing before `{text}`")
        } else if colon {
            format!("a colon is missing before the model: `: {text}`")
        } else {
            format!("`{text}` is too much here: {}", usage(word))
        };
        self.report(Code::Misplaced, value.span, message);
        colon && !comma
    }

    /// Whether a name is the first value of a further set of a list, and no word that may start
    /// a line.
    fn is_next_in_list(&self, word: &Word, name: Span) -> bool {
        let value = Value {
            span: name,
            kind: ValueKind::Name(Parts::from_buf([name])),
        };
        let mut slots = word.slots.iter().filter(|_| word.list);
        let fits = |slot| self.misfit(slot, &value, word).is_none();
        let text = self.item.text(name);
        slots.next().is_some_and(fits) && !is_word(text)
    }

    fn model(&mut self, statement: &'a Statement, word: &'static Word) {
        match (&statement.model, word.model) {
            (Some((colon, _)), None) => {
                let finding = self.colon_too_much(statement, word, *colon);
                self.findings.push(finding);
            }
            (Some((colon, values)), Some(_)) => match values.as_slice() {
                [] => self.report(
                    Code::Missing,
                    *colon,
                    format!("the model is missing behind the colon: {}", usage(word)),
                ),
                // One with a point in it is no model's, which is told where it is looked up.
                [value] if matches!(value.kind, ValueKind::Name(_)) => {}
                [value] => {
                    let text = self.item.text(value.span);
                    self.report(
                        Code::WrongKind,
                        value.span,
                        format!("the name of a model belongs here, not `{text}`"),
                    );
                }
                [_, more, ..] => {
                    let text = self.item.text(more.span);
                    let message = match starts_clause(word, text) {
                        true => format!("a comma is missing before `{text}`"),
                        false => format!("`{text}` is too much here: {}", usage(word)),
                    };
                    self.report(Code::Misplaced, more.span, message);
                }
            },
            (None, Some(_)) if word.needs_model => self.report(
                Code::Missing,
                statement.head,
                format!(
                    "`{}` needs its model behind a colon, as in `{}`",
                    word.name, word.example
                ),
            ),
            (None, _) => {}
        }
    }

    fn report(&mut self, code: Code, span: Span, message: impl Into<String>) {
        self.findings.push(Finding::new(code, span, message));
    }
}

/// Whether a text starts with a word that may be a clause of another.
fn starts_clause(word: &Word, text: &str) -> bool {
    let first = text.split_whitespace().next().unwrap_or("");
    let clause = |inner| crate::vocabulary::word(first, inner);
    word.opens.and_then(clause).is_some()
}
