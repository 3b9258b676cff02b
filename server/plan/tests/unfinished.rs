//! An unfinished line harms nobody else: whatever is left of one line, all
//! others are read as before and stay at their depth.

mod common;

use bellwire_plan::source::{Change, File, Statement};

/// Each statement that is not part of line `cut`: its line, text and depth.
fn outline(file: &File, cut: usize) -> Vec<(usize, String, usize)> {
    fn walk(
        file: &File,
        start: usize,
        source: &str,
        statement: &Statement,
        depth: usize,
        out: &mut Vec<(usize, usize, String, usize)>,
    ) {
        let at = start + statement.head.start as usize;
        let text = &source[statement.head.start as usize..statement.head.end as usize];
        out.push((at, file.text().line_of(at), text.to_string(), depth));
        for inner in &statement.body {
            walk(file, start, source, inner, depth + 1, out);
        }
    }
    let mut found = Vec::new();
    for (start, item) in file.items() {
        walk(file, start, item.source(), item.root(), 0, &mut found);
    }
    found.sort();
    found
        .into_iter()
        .filter(|(_, line, ..)| *line != cut)
        .map(|(_, line, text, depth)| (line, text, depth))
        .collect()
}

#[test]
fn any_line_cut_at_any_column_leaves_the_others_as_they_are() {
    let mut cuts = 0;
    for (name, text) in common::demo() {
        let whole = File::new(common::path(&name), &text);
        for line in 0..whole.text().lines() {
            let range = whole.text().line(line);
            let contents = &text[range.clone()];
            let first = contents.len() - contents.trim_start().len();
            // Cut before its first character a line is gone, not unfinished.
            let columns = contents.char_indices().map(|(column, _)| column);
            for column in columns.filter(|column| *column > first) {
                let cut = whole.edit(&[Change {
                    range: Some(range.start + column..range.end),
                    text: String::new(),
                }]);
                let closes = contents.trim_start().starts_with('}');
                assert!(
                    closes || outline(&cut, line) == outline(&whole, line),
                    "{name}:{} cut to {:?}",
                    line + 1,
                    &contents[..column]
                );
                cuts += 1;
            }
        }
    }
    assert!(cuts > 3000, "{cuts}");
}

#[test]
fn a_brace_that_is_missing_is_reported_where_it_is_missing() {
    let demo = common::demo();
    let text = demo["sites/harbour.bell"].replace("bus keys {", "bus keys");
    let file = File::new(common::path("x.bell"), &text);
    let problems: Vec<_> = file
        .items()
        .flat_map(|(_, item)| {
            item.problems
                .iter()
                .map(|problem| (item.text(problem.span), &problem.message))
        })
        .collect();
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!(problems[0].0, "bus keys");
    assert!(problems[0].1.starts_with("a `{` is missing"));
}

#[test]
fn a_block_without_end_is_reported_at_its_start() {
    let demo = common::demo();
    let text = demo["sites/harbour.bell"].replacen("    }\n\n    zone", "\n    zone", 1);
    let file = File::new(common::path("x.bell"), &text);
    let problems: Vec<_> = file
        .items()
        .flat_map(|(_, item)| item.problems.clone())
        .collect();
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert!(problems[0].message.contains("never closed"));
    let site = file.items().last().expect("the site").1;
    assert!(site.source().contains("bus keys"));
}

#[test]
fn a_site_is_read_by_its_braces_whatever_is_open_elsewhere() {
    let text = "site a {\n  panel p : M8 {\n  }\n}\n\n# odd\nsite b {\n    panel q : M8 {\n  zone 1\n    }\n}\n";
    let whole = File::new(common::path("x.bell"), text);
    for (at, typed) in [(24, ""), (28, ""), (31, "\n}\n")] {
        let change = Change {
            range: Some(at..at + 1),
            text: typed.to_string(),
        };
        let open = whole.edit(&[change]);
        assert!(open.is_by_indent(), "{typed:?}");
        let last = |file: &File| file.items().last().map(|(_, item)| item.clone());
        let (before, after) = (last(&whole).expect("b"), last(&open).expect("b"));
        assert!(std::sync::Arc::ptr_eq(&before, &after), "{typed:?}");
    }
}

#[test]
fn a_block_of_several_lines_that_starts_on_its_line_is_told_once() {
    let text = "site a {\n  panel p : P { partition 1\n    partition 2\n  }\n}\n";
    let file = File::new(common::path("x.bell"), text);
    let problems: Vec<_> = file
        .items()
        .flat_map(|(_, item)| item.problems.clone())
        .collect();
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert!(problems[0].message.contains("begin a new line behind it"));
}
