//! Whether clauses and block lines belong where they are, and as often.

use std::sync::Arc;

use smallvec::SmallVec;

use super::{Shape, Worded};
use crate::finding::{Code, Finding, Mend};
use crate::model::{PartOf, Words};
use crate::source::{Form, Span, Statement, Value, ValueKind};
use crate::vocabulary::{self, Context, Presence, Slot, Word, words};

/// A clause or a line of a block, and the word that it starts with.
type Line<'a> = (&'a Statement, Option<&'static Word>);

impl<'a> Shape<'a> {
    /// Checks what a statement holds; `first_told` says that its first clause is none, which
    /// is told with the statement.
    pub(super) fn body(&mut self, around: Worded<'a>, first_told: bool) {
        let Worded {
            statement, word, ..
        } = around;
        if word.list {
            for clause in &statement.body {
                self.list_item(Worded {
                    statement: clause,
                    ..around
                });
            }
            return;
        }
        let words = Words::new(self.item, statement);
        let kind = words.name().map(|name| name.value);
        let Some(inner) = word.context(kind) else {
            if !first_told {
                self.no_body(around);
            }
            return;
        };
        let own = |line| vocabulary::word(self.item.keyword(line), inner);
        let lines: SmallVec<[_; 8]> = statement
            .body
            .iter()
            .map(|line| (line.as_ref(), own(line)))
            .collect();
        let parts = words.parts();
        // The word that a clause or the line before it starts with.
        let mut before = Some(word);
        let mut means_nothing = false;
        for (index, (line, own)) in lines.iter().enumerate().skip(usize::from(first_told)) {
            if line.form == Form::Clause
                && let Some(slip) = before.and_then(|before| self.parted(line, *own, before))
            {
                self.findings.push(slip);
                continue;
            }
            // Told with the clause that it is part of.
            if own.is_none() && parts.get(index) == Some(&PartOf::Loose) {
                continue;
            }
            self.statement(line, *own, inner);
            before = *own;
            means_nothing |= own.is_none() && line.keyword.is_some();
        }
        self.either(&lines);
        // A line that means nothing may be meant for what is missing.
        if !means_nothing {
            self.missing(words, word, &lines, inner);
        }
        self.repeated(&lines, &parts);
        if inner == Context::Run {
            self.leads_somewhere(statement);
        }
    }

    /// A run without a path.
    fn leads_somewhere(&mut self, run: &Statement) {
        let is_way = |line: &Arc<Statement>| line.form != Form::Clause;
        // What stands behind the cable is told there.
        let model = run.model.as_ref();
        let goes_on = model.is_some_and(|(_, values)| values.len() > 1);
        if goes_on || run.body.iter().any(is_way) || self.goes_on_below(run) {
            return;
        }
        let message = format!(
            "this run leads nowhere yet: write its path, `{{ main.keys {} front }}` for one",
            self.leg()
        );
        self.report(Code::Missing, run.head, message);
    }

    /// A word that nothing may be said of.
    fn no_body(&mut self, around: Worded) {
        let Worded {
            statement,
            word,
            context,
        } = around;
        // A model of a kind that does not exist is reported at its kind.
        if word.opens_by_kind {
            return;
        }
        // A decimal is reported with the number that it belongs to.
        let mut parts = statement.body.iter().filter(|part| !self.is_decimal(part));
        let own = |part: &Statement| vocabulary::word(self.item.keyword(part), context);
        let slips: Vec<Finding> = statement
            .body
            .iter()
            .map_while(|part| self.parted(part, own(part), word))
            .collect();
        if !slips.is_empty() {
            return self.findings.extend(slips);
        }
        if let Some(first) = parts.next() {
            let text = self.item.text(first.head);
            let mend = match own(first) {
                Some(_) => "write it on a line of its own",
                None => "take it out",
            };
            self.report(
                Code::Misplaced,
                first.head,
                format!("`{text}` is no part of `{}`: {mend}", word.name),
            );
        } else if let Some(block) = statement.block {
            self.report(
                Code::Misplaced,
                block.open,
                format!("`{}` takes no block", word.name),
            );
        }
    }

    /// Whether a clause's word stands among a statement's own arguments, where none of them
    /// may: a loop can be called `reads`.
    fn stands_among_arguments(&self, statement: &Statement, word: &Word, clause: &Word) -> bool {
        let is_clause = |span| self.item.text(span) == clause.name;
        let slots = word.slots.iter().map(Some).chain(std::iter::repeat(None));
        let mut arguments = statement.arguments.iter().zip(slots);
        arguments.any(|(value, slot)| {
            let stands = match &value.kind {
                ValueKind::Name(_) => is_clause(value.span),
                ValueKind::Quantity(quantity) => quantity.unit.is_some_and(is_clause),
                _ => false,
            };
            stands && slot.is_none_or(|slot| self.misfit(slot, value, word).is_some())
        })
    }

    /// A further set of arguments behind a comma.
    fn list_item(&mut self, set: Worded) {
        let (clause, word) = (set.statement, set.word);
        let Some(keyword) = clause.keyword else {
            let message = "something is missing behind this comma, or take the comma out";
            let finding = self.loose_comma(clause, message);
            return self.findings.push(finding);
        };
        // The keyword is the set's first argument; only its kind is looked at.
        let first = Value::name(keyword);
        let wrong = word
            .slots
            .first()
            .and_then(|slot| self.misfit(slot, &first, word));
        self.findings.extend(wrong);
        let mut slots = word.slots.iter().skip(1);
        for value in &clause.arguments {
            match slots.next() {
                Some(slot) => self
                    .findings
                    .extend(self.misfit(slot, value, word).map(|wrong| {
                        let comma = self.parting_missing(set, Some(slot), value);
                        comma.unwrap_or(wrong)
                    })),
                None => {
                    self.too_much(set, value);
                }
            }
        }
        if let Some(slot) = slots.next() {
            let text = self.item.text(keyword);
            self.report(
                Code::Missing,
                clause.head,
                format!(
                    "`{text}` needs its {}, as in `{}`",
                    slot.title,
                    self.example(word)
                ),
            );
        }
    }

    /// Two words of which one stands instead of the other.
    fn either(&mut self, lines: &[Line<'a>]) {
        let mut own = lines.iter();
        let own = own.find_map(|(own, word)| Some((own, word.and_then(|word| word.instead_of)?)));
        let Some((own, other)) = own else { return };
        let called = |line: &&Line| line.1.is_some_and(|word| word.name == other);
        let Some((other, _)) = lines.iter().find(called) else {
            return;
        };
        let (first, second) = match own.span.start < other.span.start {
            true => (own, other),
            false => (other, own),
        };
        let [one, two] = [first, second].map(|line| self.item.keyword(line));
        let message = format!("`{two}` contradicts `{one}`: take one of the two out");
        let finding = Finding::new(Code::Repeated, second.head, message);
        let spot = self.item.spot(first.head);
        self.findings.push(finding.with(spot, "the other one"));
    }

    /// Words that must stand here and do not.
    fn missing(&mut self, around: Words<'a>, own: &Word, lines: &[Line<'a>], context: Context) {
        let statement = around.statement;
        for word in words(context).filter(|word| word.count.must_be()) {
            let is_one = |own: &Word| std::ptr::eq(own, word);
            // Where only its comma is missing, that is told.
            let stands_in = |(line, own): &Line| {
                own.is_some_and(|own| is_one(own) || self.stands_among_arguments(line, own, word))
            };
            // A text that does not end may have it in it.
            let in_text = || statement.arguments.iter().any(Value::is_unclosed);
            if !lines.iter().any(stands_in)
                && !in_text()
                && !around.has(word.name)
                && !self.stands_among_arguments(statement, own, word)
                && !self.goes_on_below(statement)
            {
                self.report(
                    Code::Missing,
                    statement.head,
                    format!(
                        "`{}` is missing here, as in `{}`",
                        word.name,
                        self.example(word)
                    ),
                );
            }
        }
    }

    /// Words that may stand here once, and stand here again.
    fn repeated(&mut self, lines: &[Line<'a>], parts: &[PartOf]) {
        let is_own = |index| parts.get(index).is_none_or(|part| *part == PartOf::Line);
        let mut once: SmallVec<[(&Statement, &Word); 8]> = SmallVec::new();
        for (index, (line, own)) in lines.iter().enumerate() {
            let Some(word) = own.filter(|word| !word.count.may_repeat()) else {
                continue;
            };
            let mut known = once.iter();
            match known.find(|(_, known)| std::ptr::eq(*known, word)) {
                None => once.push((line, word)),
                Some((first, _)) if is_own(index) => {
                    let follows = index.checked_sub(1).and_then(|before| lines.get(before));
                    let follows = follows.is_some_and(|(before, _)| std::ptr::eq(*before, *first));
                    let (how, mend) = match self.joined(line, word) {
                        Some((how, mend)) => (how, mend.filter(|_| follows)),
                        None => ("take one out".to_string(), None),
                    };
                    let message = format!("`{}` may stand here only once: {how}", word.name);
                    let finding = Finding::new(Code::Repeated, line.head, message);
                    let finding = finding.with(self.item.spot(first.head), "the first one");
                    self.findings.push(finding.mended_by(mend));
                }
                Some(_) => {}
            }
        }
    }

    /// How what a word says a second time is said with the first, if it takes several values:
    /// the way, and for a clause right behind the first the change.
    fn joined(&self, again: &Statement, word: &Word) -> Option<(String, Option<Mend>)> {
        let takes_several = |slot: &Slot| slot.presence == Presence::Several;
        word.slots.last().filter(|slot| takes_several(slot))?;
        let way = format!("say it all in one, as in `{}`", self.example(word));
        let values = again
            .arguments
            .first()
            .filter(|_| again.form == Form::Clause);
        let mend = values.map(|value| Mend {
            title: format!("Write one `{}`", word.name),
            edits: vec![(
                Span::new(again.span.start as usize, value.span.start as usize),
                " ".to_string(),
            )],
        });
        Some((way, mend))
    }
}
