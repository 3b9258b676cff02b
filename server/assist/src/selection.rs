//! From the cursor outwards: word, value, clause, line, block, statement.

use std::ops::Range;

use bellwire_plan::source::{Span, Statement, ValueKind};
use bellwire_plan::workspace::Entry;
use tree_sitter::{Parser, Tree};

use crate::walk::{in_file, whole};

/// The ranges around each of the offsets, innermost first, each inside the next; the
/// last is the whole file.
pub fn selections(
    entry: &Entry,
    offsets: impl IntoIterator<Item = usize>,
) -> Vec<Vec<Range<usize>>> {
    let mut trees = Trees::default();
    let offsets = offsets.into_iter();
    offsets
        .map(|offset| one(entry, offset, &mut trees))
        .collect()
}

fn one(entry: &Entry, offset: usize, trees: &mut Trees) -> Vec<Range<usize>> {
    let file = &entry.file;
    let text = file.text();
    let mut ranges = Vec::new();
    ranges.push(0..text.len());
    let (start, nodes) = match file.item_at(offset) {
        Some((item, inner)) => {
            let start = offset - inner as usize;
            for statement in item.path_to(inner) {
                ranges.extend(spans(statement).map(|span| in_file(start, span)));
            }
            let tree = trees.of(start, item.source());
            (start, nodes(tree, inner as usize))
        }
        None => {
            let line = text.line(text.line_of(offset));
            let tree = trees.of(line.start, &text.slice(line.clone()));
            (line.start, nodes(tree, offset - line.start))
        }
    };
    let nodes = nodes.into_iter();
    ranges.extend(nodes.map(|node| start + node.start..start + node.end));
    nested(ranges, offset)
}

/// The tree that was made last, and where its text starts. Many cursors are mostly in one
/// item. No more than one is held: it takes forty times the memory of its text.
#[derive(Default)]
struct Trees {
    last: Option<(usize, Option<Tree>)>,
}

impl Trees {
    /// The tree of the text that starts at `start` in the file.
    fn of(&mut self, start: usize, text: &str) -> Option<&Tree> {
        if self.last.as_ref().is_none_or(|(known, _)| *known != start) {
            self.last = None;
            let mut parser = Parser::new();
            // The grammar is generated for an ABI that the library reads; a test holds that.
            let _ = parser.set_language(&tree_sitter_bellwire::LANGUAGE.into());
            self.last = Some((start, parser.parse(text, None)));
        }
        self.last.as_ref()?.1.as_ref()
    }
}

/// So many nodes around a place are looked at, far more than a plan has: each is found from
/// the root, so all of very many would take time with their square.
const MOST: usize = 256;

/// What the grammar sees around a place of a text, innermost first.
fn nodes(tree: Option<&Tree>, offset: usize) -> Vec<Range<usize>> {
    let Some(tree) = tree else {
        return Vec::new();
    };
    let root = tree.root_node();
    let mut node = root.descendant_for_byte_range(offset, offset);
    // Behind a word the cursor is at the word.
    if let (Some(found), Some(before)) = (node, offset.checked_sub(1))
        && found.named_child_count() > 0
    {
        let word = root.descendant_for_byte_range(before, offset);
        node = word.filter(|word| word.named_child_count() == 0).or(node);
    }
    let nodes = std::iter::successors(node, |node| node.parent());
    nodes.take(MOST).map(|node| node.byte_range()).collect()
}

/// The parts of a statement that are no node of the grammar.
fn spans(statement: &Statement) -> impl Iterator<Item = Span> {
    let values = statement.arguments.iter();
    let quoted = values.filter_map(|value| match value.kind {
        ValueKind::Text(inside) => Some(inside),
        _ => None,
    });
    let inside = statement.block.map(|block| Span {
        start: block.open.end,
        end: block.close.unwrap_or(statement.span.after()).start,
    });
    let own = [statement.head, statement.span, whole(statement)];
    own.into_iter()
        .chain(inside)
        .chain(statement.note)
        .chain(quoted)
}

/// Those of the ranges that hold the offset and nest in each other, the smallest first.
fn nested(mut ranges: Vec<Range<usize>>, offset: usize) -> Vec<Range<usize>> {
    ranges.retain(|range| range.start <= offset && offset <= range.end);
    ranges.sort_by_key(|range| range.len());
    let mut nested: Vec<Range<usize>> = Vec::new();
    for range in ranges.into_iter().filter(|range| !range.is_empty()) {
        let fits = nested.last().is_none_or(|last| {
            range.start <= last.start && last.end <= range.end && range != *last
        });
        if fits {
            nested.push(range);
        }
    }
    nested
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::fixture;
    use expect_test::{Expect, expect};

    fn check(text: &str, expected: Expect) {
        let (_, entry, offset) = fixture(text);
        let show = |range: Range<usize>| {
            let text = entry.file.text().slice(range);
            format!("{}\n", text.replace('\n', "⏎"))
        };
        let found = selections(&entry, [offset]).into_iter().flatten();
        let shown: String = found.map(show).collect();
        expected.assert_eq(&shown);
    }

    #[test]
    fn it_grows_from_the_word_to_the_file() {
        check(
            "site a {\n  # Behind the door.\n  panel p \"Stock $0room\" : M8, revision 4.2 {\n    partition 1\n  }\n}\nsite b\n",
            expect![[r#"
                Stock room
                "Stock room"
                panel p "Stock room" : M8
                panel p "Stock room" : M8, revision 4.2 {⏎    partition 1⏎  }
                # Behind the door.⏎  panel p "Stock room" : M8, revision 4.2 {⏎    partition 1⏎  }
                ⏎  # Behind the door.⏎  panel p "Stock room" : M8, revision 4.2 {⏎    partition 1⏎  }⏎
                {⏎  # Behind the door.⏎  panel p "Stock room" : M8, revision 4.2 {⏎    partition 1⏎  }⏎}
                site a {⏎  # Behind the door.⏎  panel p "Stock room" : M8, revision 4.2 {⏎    partition 1⏎  }⏎}
                site a {⏎  # Behind the door.⏎  panel p "Stock room" : M8, revision 4.2 {⏎    partition 1⏎  }⏎}⏎site b⏎
            "#]],
        );
    }

    #[test]
    fn a_clause_is_a_step_of_its_own() {
        check(
            "site a {\n  keypad k : K2, entry 30$0 s, address 1\n}\n",
            expect![[r#"
                30
                30 s
                entry 30 s
                , entry 30 s
                keypad k : K2, entry 30 s, address 1
                ⏎  keypad k : K2, entry 30 s, address 1⏎
                {⏎  keypad k : K2, entry 30 s, address 1⏎}
                site a {⏎  keypad k : K2, entry 30 s, address 1⏎}
                site a {⏎  keypad k : K2, entry 30 s, address 1⏎}⏎
            "#]],
        );
    }

    #[test]
    fn a_path_grows_over_its_points_and_legs() {
        check(
            "site a {\n  run r : c {\n    main.keys$0 + main.1 --12 m-- front --31 m-- rear\n  }\n}\n",
            expect![[r#"
                keys
                main.keys
                main.keys + main.1
                main.keys + main.1 --12 m-- front --31 m-- rear
                ⏎    main.keys + main.1 --12 m-- front --31 m-- rear⏎  
                {⏎    main.keys + main.1 --12 m-- front --31 m-- rear⏎  }
                run r : c {⏎    main.keys + main.1 --12 m-- front --31 m-- rear⏎  }
                ⏎  run r : c {⏎    main.keys + main.1 --12 m-- front --31 m-- rear⏎  }⏎
                {⏎  run r : c {⏎    main.keys + main.1 --12 m-- front --31 m-- rear⏎  }⏎}
                site a {⏎  run r : c {⏎    main.keys + main.1 --12 m-- front --31 m-- rear⏎  }⏎}
                site a {⏎  run r : c {⏎    main.keys + main.1 --12 m-- front --31 m-- rear⏎  }⏎}⏎
            "#]],
        );
    }

    #[test]
    fn many_cursors_have_what_each_has_alone() {
        let (_, entry, _) = fixture("site a {\n  ambient 5 .. 7\n}\n\nsite b\n# end$0");
        let all = 0..=entry.file.text().len();
        let alone = all.clone().flat_map(|at| selections(&entry, [at]));
        assert_eq!(selections(&entry, all.clone()), alone.collect::<Vec<_>>());
    }

    #[test]
    fn of_many_blocks_the_innermost_and_the_file_are_there() {
        let (_, entry, offset) = fixture(&format!("{}$0{}", "{".repeat(500), "}".repeat(500)));
        let found = selections(&entry, [offset]).remove(0);
        assert_eq!(found.first(), Some(&(500..501)));
        assert_eq!(found.last(), Some(&(0..1000)));
        assert!(found.len() < 500, "{}", found.len());
    }

    #[test]
    fn an_empty_file_is_one_range_at_most() {
        check("$0", expect![[""]]);
        check(
            "\n$0\n",
            expect![[r#"
            ⏎⏎
        "#]],
        );
    }
}
