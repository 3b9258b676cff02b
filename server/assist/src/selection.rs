//! From the cursor outwards: word, value, clause, line, block, statement.

use std::ops::Range;

use bellwire_plan::source::{Span, Statement};
use bellwire_plan::workspace::Entry;

use crate::walk::{in_file, whole};

/// The ranges around `offset`, innermost first, each inside the next; the last
/// is the whole file.
pub fn selection(entry: &Entry, offset: usize) -> Vec<Range<usize>> {
    let file = &entry.file;
    let whole_file = 0..file.text().len();
    let mut ranges = Vec::from([whole_file]);
    if let Some(tree) = file.tree() {
        let root = tree.root_node();
        let mut node = root.descendant_for_byte_range(offset, offset);
        // Behind a word the cursor is at the word.
        if let (Some(found), Some(before)) = (node, offset.checked_sub(1))
            && found.named_child_count() > 0
        {
            let word = root.descendant_for_byte_range(before, offset);
            node = word.filter(|word| word.named_child_count() == 0).or(node);
        }
        while let Some(found) = node {
            ranges.push(found.byte_range());
            node = found.parent();
        }
    }
    if let Some((item, inner)) = file.item_at(offset) {
        let start = offset - inner as usize;
        for statement in item.path_to(inner) {
            let spans = spans(statement, inner);
            ranges.extend(spans.map(|span| in_file(start, span)));
        }
    }
    nested(ranges, offset)
}

/// The parts of a statement that hold `offset` and that no node is.
fn spans(statement: &Statement, offset: u32) -> impl Iterator<Item = Span> {
    let quoted = statement
        .arguments
        .iter()
        .filter_map(|value| match value.kind {
            bellwire_plan::source::ValueKind::Text(span) => Some(span),
            _ => None,
        });
    let inside = statement.block.map(|block| Span {
        start: block.open.end,
        end: block.close.map_or(statement.span.end, |close| close.start),
    });
    let own = [statement.head, statement.span, whole(statement)];
    own.into_iter()
        .chain(inside)
        .chain(statement.note)
        .chain(quoted)
        .filter(move |span| span.touches(offset))
        .collect::<Vec<_>>()
        .into_iter()
}

/// Those of the ranges that lie one in the other, the smallest first.
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
        let shown: String = selection(&entry, offset).into_iter().map(show).collect();
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
