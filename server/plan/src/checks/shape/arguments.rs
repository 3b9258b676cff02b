//! Whether a statement has the arguments and the model that its word takes.

use super::slips::slip;
use super::{Shape, Worded};
use crate::finding::{Code, Finding};
use crate::source::{Form, Span, Statement, Value, ValueKind};
use crate::vocabulary::{self, Context, Slot, Slots, What, Word, is_word};

/// How a value fits the slots of its word.
enum Fit {
    /// It is for this one.
    In(&'static Slot),
    /// It should be for one, and is not right for it.
    Wrong(&'static Slot, Finding),
    /// All slots have their values.
    TooMuch,
}

impl Shape<'_> {
    /// Matches arguments to the word's slots, in order. Gives whether a model
    /// stands among them, its colon missing.
    pub(super) fn arguments(&mut self, line: Worded) -> bool {
        let Worded {
            statement, word, ..
        } = line;
        let mut slots = Slots::new(word.slots);
        let mut colon_missing = false;
        let mut told = false;
        for value in &statement.arguments {
            match self.fit(&mut slots, value, word) {
                Fit::In(slot) => self.findings.extend(self.out_of_bounds(slot, value)),
                // What is behind a value that does not fit may belong to it.
                Fit::Wrong(..) | Fit::TooMuch if told => {}
                Fit::Wrong(slot, wrong) => {
                    let comma = self.parting_missing(line, Some(slot), value);
                    self.findings.push(comma.unwrap_or(wrong));
                    told = true;
                }
                Fit::TooMuch => {
                    colon_missing |= self.too_much(line, value);
                    told = true;
                }
            }
        }
        // It stands behind a colon, which is told.
        let is_told = || word.model.is_none() && self.is_before_colon(statement);
        if let Some(slot) = slots.missing().filter(|_| !told && !is_told()) {
            self.report(
                Code::Missing,
                statement.head,
                format!(
                    "`{}` needs its {}, as in `{}`",
                    word.name,
                    slot.title,
                    self.example(word)
                ),
            );
        }
        colon_missing
    }

    fn fit(&self, slots: &mut Slots, value: &Value, word: &Word) -> Fit {
        let mut wrong = None;
        let slot = slots.put(|slot| {
            wrong = self.misfit(slot, value, word);
            wrong.is_none()
        });
        match (slot, wrong) {
            (None, _) => Fit::TooMuch,
            (Some(slot), None) => Fit::In(slot),
            (Some(slot), Some(wrong)) => Fit::Wrong(slot, wrong),
        }
    }

    /// Reports a value for which there is no slot. Gives whether it is a model
    /// whose colon is missing.
    pub(super) fn too_much(&mut self, line: Worded, value: &Value) -> bool {
        let Worded {
            statement, word, ..
        } = line;
        if let Some(comma) = self.parting_missing(line, None, value) {
            self.findings.push(comma);
            return false;
        }
        let text = self.item.text(value.span);
        let is_name = value.is_name();
        let colon = word.model.is_some() && statement.model.is_none() && is_name;
        if is_name
            && !colon
            && let Some(slip) = self.label_without_quotes(word, value.span)
        {
            self.findings.push(slip);
            return false;
        }
        // `battery 7 Ah`: what is meant for the model is no name.
        let no_model = word.needs_model && statement.model.is_none() && !is_name;
        let (code, message) = match (colon, no_model) {
            (true, _) => (
                Code::Misplaced,
                format!("a colon is missing before the model: `: {text}`"),
            ),
            (_, true) => (
                Code::WrongKind,
                format!(
                    "the name of a model belongs here, behind a colon, not `{text}`: {}",
                    self.usage(word)
                ),
            ),
            _ => (Code::Misplaced, self.is_too_much(line, value)),
        };
        self.report(code, value.span, message);
        colon || no_model
    }

    /// What is told of a value behind all that its word takes. Behind a name it may be part of
    /// that: `rules grade 2`.
    fn is_too_much(&self, line: Worded, value: &Value) -> String {
        let Statement {
            arguments, model, ..
        } = line.statement;
        let all = arguments
            .iter()
            .chain(model.iter().flat_map(|(_, names)| names));
        let before = all.take_while(|before| before.span.start < value.span.start);
        let blank = match before.last().is_some_and(Value::is_name) {
            true => ", or the blank before it is",
            false => "",
        };
        let text = self.item.text(value.span);
        format!(
            "`{text}` is too much here{blank}: {}",
            self.usage(line.word)
        )
    }

    /// A value that starts a clause, a further set of a list or another line, and is not parted
    /// from what stands before it: a name, or the unit of the number before it, whose slot is
    /// given.
    pub(super) fn parting_missing(
        &self,
        line: Worded,
        slot: Option<&Slot>,
        value: &Value,
    ) -> Option<Finding> {
        let word = line.word;
        let (name, code) = match (&value.kind, slot) {
            (ValueKind::Name(_), _) => (value.span, Code::Misplaced),
            (ValueKind::Quantity(number), Some(_)) => (number.unit?, Code::WrongUnit),
            (ValueKind::Range(_, Some(end)), Some(_)) => (end.unit?, Code::WrongUnit),
            _ => return None,
        };
        let text = self.item.text(name);
        let starts = |context| vocabulary::word(text, context).is_some();
        let is_own = word.opens.is_some_and(starts) || self.is_next_in_list(word, name);
        if !is_own && !starts(line.context) {
            return None;
        }
        let mark = match is_own || line.statement.form == Form::Clause {
            true => "a comma",
            false => "a line break",
        };
        let is_amount = |slot: &Slot| matches!(slot.what, What::Amount(_) | What::Range(_));
        let unit = match code == Code::WrongUnit && slot.is_some_and(is_amount) {
            true => ", or the unit,",
            false => "",
        };
        let message = format!("{mark}{unit} is missing before `{text}`");
        Some(Finding::new(code, name, message))
    }

    /// Whether a name is the first value of a further set of a list, and no word that may start
    /// a line.
    fn is_next_in_list(&self, word: &Word, name: Span) -> bool {
        let value = Value::name(name);
        let mut slots = word.slots.iter().filter(|_| word.list);
        let fits = |slot| self.misfit(slot, &value, word).is_none();
        let text = self.item.text(name);
        slots.next().is_some_and(fits) && !is_word(text)
    }

    /// Whether a value behind the cable of a run begins a path that has no braces.
    fn begins_path(&self, line: Worded, value: &Value) -> bool {
        let statement = line.statement;
        line.word.opens == Some(Context::Run)
            && statement.block.is_none()
            && value.is_name()
            && self.item.text(statement.head).contains("--")
    }

    pub(super) fn model(&mut self, line: Worded) {
        let Worded {
            statement, word, ..
        } = line;
        match (&statement.model, word.model) {
            (Some((colon, _)), None) => {
                let finding = self.colon_too_much(statement, word, *colon);
                self.findings.push(finding);
            }
            (Some((colon, values)), Some(_)) => match values.as_slice() {
                [] => self.report(
                    Code::Missing,
                    *colon,
                    format!(
                        "the model is missing behind the colon: {}",
                        self.usage(word)
                    ),
                ),
                // One with a point in it is no model's, which is told where it is looked up.
                [value] if value.is_name() => {}
                [value] => {
                    let text = self.item.text(value.span);
                    self.report(
                        Code::WrongKind,
                        value.span,
                        format!("the name of a model belongs here, not `{text}`"),
                    );
                }
                [_, more, ..] if self.begins_path(line, more) => {
                    let path = Span {
                        start: more.span.start,
                        end: statement.head.end,
                    };
                    let text = format!("{{ {} }}", self.item.text(path).trim_end());
                    let message = format!("the path of a run stands in braces: `{text}`");
                    let title = "Put the path in braces";
                    self.findings
                        .push(slip(path, &message, title, (path, text)));
                }
                [_, more, ..] => {
                    let finding = self.parting_missing(line, None, more);
                    self.findings.push(finding.unwrap_or_else(|| {
                        let message = self.is_too_much(line, more);
                        Finding::new(Code::Misplaced, more.span, message)
                    }));
                }
            },
            // A text that does not end has it in it.
            (None, _) if statement.arguments.iter().any(Value::is_unclosed) => {}
            // It may stand below.
            (None, Some(_)) if word.needs_model && !self.goes_on_below(statement) => self.report(
                Code::Missing,
                statement.head,
                format!(
                    "`{}` needs its model behind a colon, as in `{}`",
                    word.name,
                    self.example(word)
                ),
            ),
            (None, _) => {}
        }
    }
}
