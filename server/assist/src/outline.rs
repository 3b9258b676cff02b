//! The things of a file, one inside the other.

use std::ops::Range;

use bellwire_plan::source::{Item, Span, Statement, Value};
use bellwire_plan::vocabulary::{Context, Slot, What};
use bellwire_plan::workspace::Entry;

use crate::thing::{Thing, declared, label};
use crate::walk::{in_file, meaning, whole};

/// A thing of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Symbol {
    /// Its name, never empty; a number with its word before it: `zone 2`.
    pub name: String,
    /// Its label and its model.
    pub detail: String,
    /// What it is.
    pub thing: Thing,
    /// The whole statement, its note included.
    pub range: Range<usize>,
    /// The name.
    pub name_range: Range<usize>,
    /// What stands in its block.
    pub children: Vec<Symbol>,
}

/// The things of a file, in the order of the text.
pub fn outline(entry: &Entry) -> Vec<Symbol> {
    let mut symbols = Vec::new();
    for (start, item) in entry.file.items() {
        let reader = Reader { item, start };
        reader.statement(item.root(), Some(Context::File), &mut symbols);
    }
    symbols
}

struct Reader<'a> {
    item: &'a Item,
    start: usize,
}

impl Reader<'_> {
    /// Adds what a statement declares. One that declares nothing but holds
    /// declarations, such as a bus of a panel, is there for their sake.
    fn statement(
        &self,
        statement: &Statement,
        context: Option<Context>,
        symbols: &mut Vec<Symbol>,
    ) {
        let (Some(word), inner) = meaning(self.item, statement, context) else {
            return;
        };
        let Some(thing) = Thing::of(word, inner) else {
            return;
        };
        let mut children = Vec::new();
        for inside in &statement.body {
            self.statement(inside, inner, &mut children);
        }
        let declares = |slot: &Slot| matches!(slot.what, What::NewName | What::NewNumber);
        let name = match declared(word, statement) {
            Some(name) => name.span,
            None if children.is_empty() || word.slots.iter().any(declares) => {
                // A name that is not typed yet: the children stand for themselves.
                symbols.append(&mut children);
                return;
            }
            None => all_of(&statement.arguments).unwrap_or(statement.head),
        };
        let text = self.item.text(name);
        let is_name = text.starts_with(|c: char| !c.is_ascii_digit());
        symbols.push(Symbol {
            name: match is_name {
                true => text.to_string(),
                false => format!("{} {text}", word.name),
            },
            detail: self.detail(statement, label(self.item, word, statement).as_deref()),
            thing,
            range: in_file(self.start, whole(statement)),
            name_range: in_file(self.start, name),
            children,
        });
    }

    fn detail(&self, statement: &Statement, label: Option<&str>) -> String {
        let model = statement.model.as_ref();
        let model = model.and_then(|(_, values)| all_of(values));
        match (label, model.map(|span| self.item.text(span))) {
            (Some(label), Some(model)) => format!("{label} · {model}"),
            (label, model) => label.or(model).unwrap_or("").to_string(),
        }
    }
}

fn all_of(values: &[Value]) -> Option<Span> {
    let first = values.first()?.span;
    Some(first.to(values.last()?.span))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::fixture;
    use expect_test::{Expect, expect};

    fn show(symbols: &[Symbol], depth: usize, text: &mut String) {
        for symbol in symbols {
            let indent = "  ".repeat(depth);
            *text += &format!("{indent}{:?} {}", symbol.thing, symbol.name);
            *text += &match symbol.detail.as_str() {
                "" => "\n".to_string(),
                detail => format!(" | {detail}\n"),
            };
            let (name, all) = (&symbol.name_range, &symbol.range);
            assert!(all.start <= name.start && name.end <= all.end);
            show(&symbol.children, depth + 1, text);
        }
    }

    fn check(text: &str, expected: Expect) {
        let (_, entry, _) = fixture(text);
        let mut shown = String::new();
        show(&outline(&entry), 0, &mut shown);
        expected.assert_eq(&shown);
    }

    #[test]
    fn a_site_holds_its_panels_and_they_their_devices() {
        check(
            "//- sites/harbour.bell\n",
            expect![[r#"
            Site harbour | Tidewheel Cycles, Harbour Street
              Unit main | Stock room · M8
                Partition partition 1 | Shop
                Partition partition 2 | Workshop
                Bus keys
                  Device front | Shop door · K2
                  Device rear | Workshop door · K2R
                  Device x1 | Loft · E8
                Zone zone 1 | Shop door
                Zone zone 2 | Shop floor
                Zone zone 9 | Workshop window
              Device rc1 | Shop door · RC
              Device pir1 | Shop floor · P5
              Device rc2 | Workshop window · RC
              Device s1 | Front elevation · S15
              Run keys-a | copper-4x22AWG
              Run z1 | copper-2x22AWG
              Run z2 | copper-6x22AWG
              Run z9 | copper-2x22AWG
              Run b1 | copper-4x22AWG
        "#]],
        );
    }

    #[test]
    fn a_model_holds_its_terminals_and_loops() {
        check(
            "//- catalog/merrow.bell\n",
            expect![[r#"
            Model M8 | Eight-zone panel
              Output aux
              Output siren
              Bus keys
              Inputs inputs 1 .. 8
                Loop single
                Loop double
            Model K2 | Two-line keypad
            Model K2R | Two-line keypad with receiver
            Model E8 | Eight-input expander
            Model P5 | Passive infrared
            Model RC | Recessed contact
            Model S15 | Outdoor sounder
        "#]],
        );
    }

    #[test]
    fn labels_come_without_the_backslashes_before_their_quotes() {
        check(
            "site a \"The \\\"hall\\\"\" {}\n",
            expect![[r#"
                Site a | The "hall"
            "#]],
        );
    }

    #[test]
    fn unfinished_lines_leave_the_others_in_place() {
        check(
            "site a {\n  panel \n  panel {\n    partition 1\n    zone\n  }\n  keypad k\n  rules x { standby 4 h }\n}\nmodel\nmodel keypad\n",
            expect![[r#"
                Site a
                  Partition partition 1
                  Device k
            "#]],
        );
    }
}
