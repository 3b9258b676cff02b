//! Statements as they are meant: their clauses and lines, and the values in them.
//!
//! Nothing here reports: what does not fit is left out, and the check of the
//! shape says why.

mod values;

use std::sync::Arc;

pub use values::Amount;

use super::at::At;
use super::part_of::{PartOf, Parting};
use crate::source::{Form, Item, Quantity, Span, Statement, Value, ValueKind};
use crate::vocabulary::{Context, word};

/// A statement, to be read.
#[derive(Debug, Clone, Copy)]
pub struct Words<'a> {
    /// The item that it stands in.
    pub item: &'a Arc<Item>,
    /// The statement.
    pub statement: &'a Statement,
    /// The clauses behind it that are its own, where it is itself one that belongs to
    /// the statement around: see [`Words::lines`].
    behind: &'a [Arc<Statement>],
    /// What comes next in the body around. It may go on from this, and is read apart.
    next: Option<&'a Statement>,
    /// Whether any clause in the item is loose, so that each must be asked.
    has_loose: bool,
}

impl<'a> Words<'a> {
    /// The root statement of an item.
    pub fn root(item: &'a Arc<Item>) -> Words<'a> {
        Words::new(item, item.root())
    }

    /// A statement of an item.
    pub fn new(item: &'a Arc<Item>, statement: &'a Statement) -> Words<'a> {
        Words::told(item, statement, item.declared().has_loose)
    }

    /// A statement of an item of which it is not asked what it declares.
    pub(super) fn told(
        item: &'a Arc<Item>,
        statement: &'a Statement,
        has_loose: bool,
    ) -> Words<'a> {
        Words {
            item,
            statement,
            behind: &[],
            next: None,
            has_loose,
        }
    }

    /// The keyword; empty if there is none.
    pub fn keyword(&self) -> &'a str {
        self.item.keyword(self.statement)
    }

    /// Whether its keyword is that one.
    fn is(&self, keyword: &str) -> bool {
        // They are asked for each line, over and over: most differ in length.
        let same = |span: Span| span.len() == keyword.len() && self.text(span) == keyword;
        self.statement.keyword.is_some_and(same)
    }

    /// The clauses and block lines.
    pub fn body(&self) -> impl Iterator<Item = Words<'a>> + use<'a> {
        let around = *self;
        let own = around.each_of(&self.statement.body);
        own.chain(around.each_of(self.behind))
    }

    /// Each of some statements in its own.
    fn each_of(self, all: &'a [Arc<Statement>]) -> impl Iterator<Item = Words<'a>> + use<'a> {
        all.iter().enumerate().map(move |(at, statement)| Words {
            statement,
            behind: &[],
            next: all.get(at + 1).map(Arc::as_ref),
            ..self
        })
    }

    /// Whether the line below goes on from it.
    fn goes_on(&self) -> bool {
        self.next.is_some_and(Statement::goes_on)
    }

    /// The clauses and lines that start with `keyword`: see [`Words::lines`].
    pub fn all(&self, keyword: &'static str) -> impl Iterator<Item = Words<'a>> + use<'a> {
        self.lines().filter(move |words| words.is(keyword))
    }

    /// The clauses and lines, as they are meant. A clause behind a line that it is no
    /// part of counts as a line of its own, with the clauses behind it that are its
    /// own: `{ standby 45 mA, alarm 110 mA }`. The check of the shape tells of it, and
    /// nobody else has to.
    pub fn lines(&self) -> impl Iterator<Item = Words<'a>> + use<'a> {
        let around = *self;
        let (written, meant) = match self.has_loose {
            false => (self.statement.body.as_slice(), Vec::new()),
            true => (&[][..], self.meant()),
        };
        around.each_of(written).chain(meant)
    }

    /// Those lines where some clause in the item is loose, which is rare.
    #[cold]
    fn meant(&self) -> Vec<Words<'a>> {
        let mut parting = Parting::new(self.item, self.statement);
        let own = self.body();
        let own = own.filter(|words| parting.part_of(words.statement) == PartOf::Line);
        let mut lines: Vec<_> = own.collect();
        lines.extend(self.body().flat_map(Words::loose));
        lines
    }

    /// What each clause or line of the body is part of; nothing where all are part of the line.
    pub fn parts(&self) -> Vec<PartOf> {
        if !self.has_loose {
            return Vec::new();
        }
        let mut parting = Parting::new(self.item, self.statement);
        let part_of = |clause: &Arc<Statement>| match (parting.part_of(clause), clause.form) {
            (part, Form::Clause) => part,
            _ => PartOf::Line,
        };
        self.statement.body.iter().map(part_of).collect()
    }

    /// Those of its clauses that are no part of it, each with those behind it that are
    /// part of that one.
    fn loose(self) -> impl Iterator<Item = Words<'a>> + use<'a> {
        let clauses = self.statement.body.as_slice();
        let mut parting = Parting::new(self.item, self.statement);
        clauses.iter().enumerate().filter_map(move |(at, clause)| {
            let rest = clauses.get(at + 1..).unwrap_or(&[]);
            (parting.part_of(clause) == PartOf::Nothing).then(|| {
                let mut parting = parting;
                let own = rest
                    .iter()
                    .take_while(|next| parting.part_of(next) == PartOf::Loose);
                Words {
                    statement: clause,
                    behind: rest.get(..own.count()).unwrap_or(&[]),
                    ..self
                }
            })
        })
    }

    /// The first clause or line that starts with `keyword`.
    pub fn get(&self, keyword: &'static str) -> Option<Words<'a>> {
        self.all(keyword).next()
    }

    /// What the first clause or line that starts with `keyword` says, as far as it can be read;
    /// what is `usual` where there is none, if anything is.
    pub fn said_or<T>(
        &self,
        keyword: &'static str,
        usual: Option<T>,
        read: impl FnOnce(Words<'a>) -> Option<T>,
    ) -> Option<T> {
        match self.get(keyword) {
            Some(words) => read(words),
            None => usual,
        }
    }

    /// Whether there is a clause or line that starts with `keyword`.
    pub fn has(&self, keyword: &'static str) -> bool {
        self.get(keyword).is_some()
    }

    /// Whether a line or clause of it starts with a word that means nothing there, or the line
    /// below goes on from it.
    pub fn has_unknown_word(&self, context: Context) -> bool {
        let means_nothing = |line: Words| {
            // Behind a comma with nothing behind it nothing is said.
            !line.statement.is_bare_comma() && word(line.keyword(), context).is_none()
        };
        self.goes_on() || self.body().any(means_nothing)
    }

    /// Whether something is said that cannot be read: behind a word that means nothing in the
    /// context of the statement's clauses, behind a comma that is missing, or a mark that fits
    /// nowhere. It may be what would else be missing.
    pub fn has_unread(&self, context: Context) -> bool {
        let is_word = |text| word(text, context).is_some();
        // `address 1 partition 2`: the word reads as a unit, or as a name.
        let runs_on = |value: &Value| match &value.kind {
            ValueKind::Quantity(Quantity { unit, .. }) => {
                unit.is_some_and(|unit| is_word(self.text(unit)))
            }
            ValueKind::Name(_) => is_word(self.text(value.span)),
            ValueKind::Stray => true,
            _ => value.is_unclosed(),
        };
        let any_runs_on = |values: &[Value]| values.iter().any(runs_on);
        let Statement {
            arguments, model, ..
        } = self.statement;
        // What a thing is called may be a word.
        let own = match arguments.as_slice() {
            [name, rest @ ..] if name.is_name() => rest,
            all => all,
        };
        self.goes_on()
            || any_runs_on(own)
            || model.iter().any(|(_, values)| any_runs_on(values))
            || self.body().any(|clause| {
                !is_word(clause.keyword()) || any_runs_on(&clause.statement.arguments)
            })
    }

    /// The text at a place.
    pub fn text(&self, span: Span) -> &'a str {
        self.item.text(span)
    }

    /// A place with its text.
    pub fn at(&self, span: Span) -> At<&'a str> {
        At {
            value: self.text(span),
            span,
        }
    }
}
