//! From the cursor outwards: word, value, clause, line, block, statement.

use std::ops::Range;

use bellwire_plan::source::{Quantity, Span, Statement, Value, ValueKind, comments};
use bellwire_plan::workspace::Entry;

use crate::walk::{in_file, quantities, whole};

/// The ranges around `offset`, innermost first, each inside the next; the last
/// is the whole file.
pub fn selection(entry: &Entry, offset: usize) -> Vec<Range<usize>> {
    let file = &entry.file;
    let text = file.text();
    let line = text.line(text.line_of(offset));
    let mut ranges = Vec::new();
    ranges.push(0..text.len());
    let own = text.slice(line.clone());
    ranges.extend(comments(&own).map(|comment| in_file(line.start, comment)));
    if let Some((item, inner)) = file.item_at(offset) {
        let start = offset - inner as usize;
        for statement in item.path_to(inner) {
            ranges.extend(spans(statement).map(|span| in_file(start, span)));
        }
    }
    nested(ranges, offset)
}

/// All parts of a statement, but for the statements in it.
fn spans(statement: &Statement) -> impl Iterator<Item = Span> {
    let block = statement.block.iter().flat_map(|block| {
        let end = block.close.unwrap_or(statement.span.after());
        let inside = Span {
            start: block.open.end,
            end: end.start,
        };
        [inside, block.open.to(end)]
    });
    let model = statement.model.iter().flat_map(|(colon, values)| {
        let all = values.last().map(|last| colon.to(last.span));
        all.into_iter().chain(values.iter().flat_map(parts))
    });
    let way = statement.path.iter().flat_map(|path| {
        let points = path.points.iter().flat_map(|point| {
            let references = point.references.iter().flat_map(parts);
            references.chain([point.span])
        });
        let legs = path.legs.iter().flat_map(|leg| {
            let length = leg.length.iter().flat_map(ends);
            length.chain([leg.span])
        });
        points.chain(legs)
    });
    let words = statement.keyword.into_iter();
    let words = words.chain(statement.arguments.iter().flat_map(parts));
    let own = [statement.head, statement.span, whole(statement)];
    words
        .chain(model)
        .chain(way)
        .chain(own)
        .chain(block)
        .chain(statement.note)
}

/// A value, and what it is made of.
fn parts(value: &Value) -> impl Iterator<Item = Span> {
    let (names, text) = match &value.kind {
        ValueKind::Name(parts) => (parts.as_slice(), None),
        ValueKind::Text(inside) => (&[][..], Some(*inside)),
        _ => (&[][..], None),
    };
    let numbers = quantities(value).flat_map(|quantity| ends(&quantity));
    let names = names.iter().copied();
    names.chain(text).chain(numbers).chain([value.span])
}

/// A number, its unit, and both.
fn ends(quantity: &Quantity) -> impl Iterator<Item = Span> + use<> {
    let number = [quantity.number.span].into_iter();
    number.chain(quantity.unit).chain([quantity.span()])
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
