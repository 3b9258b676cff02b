//! Words that start a statement, each with the rest of the statement to fill in.

use bellwire_plan::figures::places_for;
use bellwire_plan::source::Form;
use bellwire_plan::vocabulary::{
    Context, Dimension, Kind, Names, Slot, Unit, What, Word, kind, unit, words as words_of,
};

use super::surroundings::Surroundings;
use super::{Completion, CompletionKind, arguments, declared, key_of, terminals};
use crate::address;
use crate::thing::takes_a_block;

/// The words that may stand in `context` and are not there yet.
pub(super) fn words(plan: &Surroundings, context: Context, form: Form) -> Vec<Completion> {
    let present: Vec<&str> = plan
        .innermost()
        .map(|around| &around.statement.body)
        .into_iter()
        .flatten()
        .map(|statement| plan.cursor.item.keyword(statement))
        .collect();
    let is_clause = form == Form::Clause;
    let is_there = |name| present.contains(&name);
    let stands_instead = |word: &Word| {
        let mut others = words_of(context);
        word.instead_of.is_some_and(is_there)
            || others.any(|other| other.instead_of == Some(word.name) && is_there(other.name))
    };
    words_of(context)
        .filter(|word| !stands_instead(word))
        .filter(|word| word.count.may_repeat() || !present.contains(&word.name))
        .filter(|word| has_a_use(plan, word))
        .map(|word| {
            let mut completion = Completion::new(CompletionKind::Word, word.name);
            let is_bare = word.slots.is_empty() && word.model.is_none();
            if !is_bare {
                completion.insert = format!("{} ", word.name);
                completion.snippet = Some(Snippet::new(plan).whole(word, context, is_clause));
            }
            completion.key = key_of(plan, word);
            completion.detail(word.shape()).rank(match word.count {
                count if count.must_be() => 1,
                _ if matches!(word.slots.first(), Some(slot) if slot.what == What::Address) => 1,
                // Remarks and acceptances can stand anywhere.
                _ if word.within.len() > 6 => 7,
                _ => 3,
            })
        })
        .collect()
}

/// Whether the plan around the cursor leaves anything to say with a word.
fn has_a_use(plan: &Surroundings, word: &Word) -> bool {
    let product = || plan.device().and_then(|(_, device)| device.model());
    if let (Some(bus), Some(kind)) = (plan.bus(), kind(word.name))
        && word.opens == Some(Context::Device)
        && let Some(model) = plan.site.and_then(|site| site.bus_model(bus))
        && places_for(model, kind).is_empty()
    {
        return false;
    }
    word.slots.iter().all(|slot| match slot.what {
        What::Address => plan.bus().is_some(),
        What::Place => {
            plan.bus().is_some()
                && product()
                    .is_none_or(|model| model.also.iter().any(|also| also.value.name == word.name))
        }
        What::Named(Names::Sound) => product().is_none_or(|model| !model.sounds.is_empty()),
        _ => true,
    })
}

/// Builds a snippet, counting its tab stops.
struct Snippet<'a, 'p> {
    plan: &'a Surroundings<'p>,
    text: String,
    stops: usize,
}

impl<'a, 'p> Snippet<'a, 'p> {
    fn new(plan: &'a Surroundings<'p>) -> Self {
        Snippet {
            plan,
            text: String::new(),
            stops: 0,
        }
    }

    /// A statement with all that it must have.
    fn whole(mut self, word: &'static Word, context: Context, is_clause: bool) -> String {
        self.head(word);
        let Some(inner) = word.context(None).filter(|_| !is_clause) else {
            return self.text;
        };
        let is_needed = |clause: &&Word| is_needed(self.plan, word, clause, context);
        let mut needed: Vec<_> = words_of(inner).filter(is_needed).collect();
        // In the order in which they are offered.
        needed.sort_by_key(|clause| !clause.count.must_be());
        // Where there are mostly several of one, each has a line of its own.
        let (lines, clauses): (Vec<&Word>, Vec<&Word>) = needed
            .into_iter()
            .partition(|clause| clause.count.may_repeat());
        for clause in clauses {
            self.text += ", ";
            self.clause(word, clause);
        }
        if !lines.is_empty() {
            self.text += " {\n  ";
            for line in lines {
                self.clause(word, line);
                self.text += "\n  ";
            }
            self.text += "$0\n}";
        } else if inner == Context::Run {
            self.text += " {\n  ";
            self.start();
            let length = self.plan.measures().example("12 m");
            let (number, unit) = length.split_once(' ').unwrap_or(("", "m"));
            self.text += " --";
            self.stop(number);
            self.text += &format!(" {unit}-- ");
            self.stop("device");
            self.text += "\n}";
        } else if takes_a_block(word, inner) {
            self.text += " {\n  $0\n}";
        }
        self.text
    }

    fn clause(&mut self, word: &'static Word, clause: &Word) {
        self.text += clause.name;
        for slot in clause.slots {
            self.slot(word, slot);
        }
    }

    fn head(&mut self, word: &'static Word) {
        self.text += word.name;
        for slot in word.slots {
            self.slot(word, slot);
        }
        if word.opens_by_kind {
            self.text += " {\n  $0\n}";
        }
        let Some(names) = word.model.filter(|_| word.needs_model) else {
            return;
        };
        self.text += " : ";
        let names: Vec<String> = declared::models(self.plan, word, names)
            .into_iter()
            .filter(|model| model.extra.is_empty())
            .map(|model| model.label)
            .collect();
        self.choice(&names, "MODEL");
    }

    fn slot(&mut self, word: &'static Word, slot: &Slot) {
        self.text.push(' ');
        match slot.what {
            What::Label | What::PathText => {
                self.text.push('"');
                self.stop(slot.title);
                self.text.push('"');
            }
            What::Choice([(only, _)]) => self.text += only,
            What::Amount(dimensions) => {
                self.stop("1");
                self.text.push(' ');
                self.text += self.usual_unit(word, dimensions);
            }
            What::Range(dimension) => {
                let unit = self.usual_unit(word, &[dimension]);
                self.stop("1");
                self.text += &format!(" {unit} .. ");
                self.stop("2");
                self.text += &format!(" {unit}");
            }
            What::Address => {
                let place = self.plan.bus().zip(kind(word.name));
                let free = place.and_then(|(bus, kind)| {
                    let site = self.plan.site?;
                    address::free(site, bus, kind, None).first().copied()
                });
                let next = free.map_or(slot.title.to_string(), |free| free.to_string());
                self.stop(&next);
            }
            What::Choice(_) | What::Kind(_) => {
                let names: Vec<String> = arguments::of(self.plan, word, slot, &[], &[])
                    .into_iter()
                    .map(|choice| choice.label)
                    .collect();
                self.choice(&names, slot.title);
            }
            What::Named(Names::Input) => {
                let inputs = arguments::of(self.plan, word, slot, &[], &[]);
                let next = inputs.iter().min_by_key(|input| input.rank);
                self.stop(next.map_or(slot.title, |input| &input.label));
            }
            What::Named(_) | What::NewNumber => {
                let mut all = arguments::of(self.plan, word, slot, &[], &[]);
                all.truncate(2);
                match all.as_slice() {
                    [only] => self.stop(&only.label),
                    _ => self.stop(slot.title),
                }
            }
            _ => self.stop(slot.title),
        }
    }

    /// Where a new cable starts: where power does.
    fn start(&mut self) {
        let points = terminals::first_point(self.plan, &[]);
        let mut outputs = points.iter().filter(|point| point.rank == terminals::FEED);
        self.stop(outputs.next().map_or("main.aux", |output| &output.label));
    }

    /// The unit that an amount of the word is mostly in: the one of its example, or the one
    /// that the plan has instead.
    fn usual_unit(&self, word: &Word, dimensions: &[Dimension]) -> &'static str {
        let fits = |unit: &&Unit| dimensions.contains(&unit.dimension);
        let parts = word.example.split([' ', ',']);
        let of_example = parts.filter_map(unit).find(fits);
        let unit = of_example.or(dimensions.first().map(|first| first.usual()));
        unit.map_or("", |unit| self.plan.measures().instead_of(unit).name())
    }

    fn stop(&mut self, holder: &str) {
        self.stops += 1;
        let holder = escaped(holder);
        self.text += &format!("${{{}:{holder}}}", self.stops);
    }

    /// The first of a few, the title of many. Not the protocol's `${1|a,b|}`: some
    /// editors show nothing of it at all, and others its marks.
    fn choice(&mut self, names: &[String], title: &str) {
        match names {
            [first, ..] if names.len() <= 12 => self.stop(first),
            _ => self.stop(title),
        }
    }
}

/// Whether a new statement of `word` in `context` is nothing without this clause.
fn is_needed(plan: &Surroundings, word: &Word, clause: &Word, context: Context) -> bool {
    match clause.slots {
        [slot] if slot.what == What::Address => context == Context::Bus,
        [slot] if slot.what == What::Named(Names::Partition) => {
            let divided = plan
                .unit()
                .is_some_and(|(_, unit)| !unit.partitions.is_empty());
            divided
                && (word.opens == Some(Context::Zone)
                    || kind(word.name).is_some_and(Kind::is_keypad))
        }
        _ => clause.count.must_be(),
    }
}

fn escaped(text: &str) -> String {
    text.replace('\\', "\\\\")
        .replace('$', "\\$")
        .replace('}', "\\}")
}
