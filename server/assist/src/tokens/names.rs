//! What the words and names of statements are, by the vocabulary.

use std::ops::Range;

use bellwire_plan::source::{Form, Item, Span, Statement, Value, ValueKind};
use bellwire_plan::vocabulary::{Context, Names, Space, What, Word};
use bellwire_plan::workspace::Evaluation;

use super::{Token, TokenKind};
use crate::thing::Thing;
use crate::walk::{in_file, is_built_in, meaning, slotted};

/// Collects what the names and words of statements are.
pub(super) struct Marks<'a> {
    /// Where names are wanted.
    range: &'a Range<usize>,
    found: Vec<Token>,
}

/// The item whose names are told.
struct Within<'a> {
    /// Where it starts in the file.
    start: usize,
    item: &'a Item,
    evaluation: &'a Evaluation,
}

impl Within<'_> {
    /// Whether the library declares what a name stands for. Told from the names that the
    /// evaluation recorded: to resolve them, a whole file of sites would be worked out again.
    fn is_built_in(&self, span: Span, kind: TokenKind, is_declaration: bool) -> bool {
        let spaces: &[Space] = match kind {
            TokenKind::Class => &[Space::Model],
            TokenKind::Type => &[Space::Rules, Space::Monitoring],
            _ => return false,
        };
        let name = self.item.text(span);
        let mut spaces = spaces.iter();
        match is_declaration {
            true => is_built_in(&self.item.file),
            false => spaces.any(|space| self.evaluation.has_found_built_in(*space, name)),
        }
    }
}

impl Marks<'_> {
    /// What the names and words of an item are, those in `range`, in the order of the
    /// text; the item starts at `start`.
    pub(super) fn of(start: usize, evaluation: &Evaluation, range: &Range<usize>) -> Vec<Token> {
        let mut marks = Marks {
            range,
            found: Vec::new(),
        };
        let within = Within {
            start,
            item: &evaluation.item,
            evaluation,
        };
        marks.statement(&within, evaluation.item.root(), Some(Context::File));
        marks.found.sort_by_key(|token| token.range.start);
        marks.found
    }

    fn statement(&mut self, within: &Within, statement: &Statement, context: Option<Context>) {
        let all = in_file(within.start, statement.span);
        if all.end < self.range.start || self.range.end < all.start {
            return;
        }
        let points = statement.path.iter().flat_map(|path| &path.points);
        for reference in points.flat_map(|point| &point.references) {
            self.name(within, reference, TokenKind::Variable);
        }
        let (word, inner) = meaning(within.item, statement, context);
        let Some(word) = word else {
            // What is inside an unknown word means nothing either.
            return self.inside(within, statement, None);
        };
        if let Some(keyword) = statement.keyword {
            let is_thing = Thing::of(word, inner).is_some() || context == Some(Context::File);
            let kind = match is_thing {
                true => TokenKind::Keyword,
                false => TokenKind::Property,
            };
            self.mark(within, keyword, kind, false);
        }
        let thing = Thing::of(word, inner);
        for (value, slot) in slotted(word.slots, &statement.arguments) {
            if let Some(slot) = slot {
                self.argument(within, value, slot.what, thing);
            }
        }
        let model = statement.model.iter().flat_map(|(_, values)| values);
        let model_kind = word.model.map_or(TokenKind::Class, of_names);
        for value in model {
            self.name(within, value, model_kind);
        }
        match word.list {
            true => self.list(within, statement, word),
            false => self.inside(within, statement, inner),
        }
    }

    fn inside(&mut self, within: &Within, statement: &Statement, context: Option<Context>) {
        for inner in &statement.body {
            self.statement(within, inner, context);
        }
    }

    /// The clauses of a list: `sounds all, silent` says `all` and `silent` alike.
    fn list(&mut self, within: &Within, statement: &Statement, word: &'static Word) {
        let Some((first, rest)) = word.slots.split_first() else {
            return;
        };
        for clause in statement
            .body
            .iter()
            .filter(|clause| clause.form == Form::Clause)
        {
            if let Some(keyword) = clause.keyword {
                self.argument(within, &Value::name(keyword), first.what, None);
            }
            for (value, slot) in slotted(rest, &clause.arguments) {
                if let Some(slot) = slot {
                    self.argument(within, value, slot.what, None);
                }
            }
        }
    }

    fn argument(&mut self, within: &Within, value: &Value, what: What, thing: Option<Thing>) {
        match what {
            What::NewName => {
                let kind = thing.map_or(TokenKind::Variable, of_thing);
                self.mark(within, value.span, kind, true);
            }
            What::NewNumber => self.mark(within, value.span, TokenKind::Number, true),
            What::Choice(_) | What::Kind(_) | What::Word | What::Place => {
                self.name(within, value, TokenKind::EnumMember);
            }
            What::Named(names) => self.name(within, value, of_names(names)),
            _ => {}
        }
    }

    /// A name, or a reference: what comes after its first part is a terminal.
    fn name(&mut self, within: &Within, value: &Value, kind: TokenKind) {
        let ValueKind::Name(parts) = &value.kind else {
            return;
        };
        for (index, part) in parts.iter().enumerate() {
            let kind = if index == 0 { kind } else { TokenKind::Method };
            self.mark(within, *part, kind, false);
        }
    }

    fn mark(&mut self, within: &Within, span: Span, kind: TokenKind, is_declaration: bool) {
        self.found.push(Token {
            range: in_file(within.start, span),
            kind,
            is_declaration,
            is_built_in: within.is_built_in(span, kind, is_declaration),
        });
    }
}

fn of_thing(thing: Thing) -> TokenKind {
    match thing {
        Thing::Model => TokenKind::Class,
        Thing::RuleSet | Thing::Monitoring => TokenKind::Type,
        Thing::Site => TokenKind::Namespace,
        Thing::Unit | Thing::Device | Thing::Joint | Thing::Run => TokenKind::Variable,
        Thing::Partition | Thing::Zone | Thing::Inputs => TokenKind::Number,
        Thing::Output | Thing::Bus | Thing::Loop => TokenKind::Method,
    }
}

fn of_names(names: Names) -> TokenKind {
    match names {
        Names::Model(_) => TokenKind::Class,
        Names::Rules | Names::Monitoring => TokenKind::Type,
        Names::Partition => TokenKind::Number,
        Names::Input | Names::Detector => TokenKind::Variable,
        Names::Loop | Names::Output | Names::Bus => TokenKind::Method,
        Names::Code | Names::Sound => TokenKind::EnumMember,
    }
}
