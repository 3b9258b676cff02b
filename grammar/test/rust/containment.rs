//! An unfinished line harms nobody else: whatever is cut off one line of a plan,
//! every other line keeps its nodes.

#![allow(clippy::unwrap_used, clippy::panic)]

mod support;

use std::fs;
use std::path::{Path, PathBuf};

use support::{LineNode, Plan, parser};

/// Every plan of the project: the demo, the built-in library, these tests' own.
fn plans() -> Vec<(PathBuf, String)> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut folders = vec![
        here.join("test"),
        here.join("../tests/plans"),
        here.join("../server/plan/src/library"),
    ];
    let mut plans = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).into_iter().flatten() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|end| end == "bell") {
                let text = fs::read_to_string(&path)
                    .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
                plans.push((path, text));
            }
        }
    }
    assert!(
        plans.iter().any(|(path, _)| path.ends_with("sample.bell")),
        "the sample plan is not found"
    );
    plans.sort();
    plans
}

/// Cuts every line of the text short, at each place that `places` gives for it
/// (in bytes from its start), and takes it out whole; returns how many cuts.
fn cut_every_line(
    name: &Path,
    text: &str,
    places: impl Fn(&str, &[LineNode]) -> Vec<usize>,
) -> usize {
    let mut parser = parser();
    let whole = Plan::new(&mut parser, text);
    assert_eq!(whole.error(), None, "{}", name.display());
    let lines = whole.lines();
    let mut cuts = 0;
    let mut start = 0;
    for (row, full) in text.split_inclusive('\n').enumerate() {
        let line = full.trim_end_matches(['\r', '\n']);
        for column in places(line, &lines[row]) {
            let cut = whole.edited(&mut parser, start + column..start + line.len(), "");
            let place = || format!("{}:{}:{}", name.display(), row + 1, column + 1);
            let nested =
                is_closed_in_itself(&lines[row]) && !line[..column].trim_end().ends_with('{');
            let rest = cut.lines();
            assert_eq!(rest.len(), lines.len(), "{}", place());
            assert_same(&lines[..row], &rest[..row], nested, place);
            assert_same(&lines[row + 1..], &rest[row + 1..], nested, place);
            assert_eq!(cut.error(), None, "{}", place());
            let fresh = Plan::new(&mut parser, cut.text.as_str());
            assert_eq!(cut.nodes(), fresh.nodes(), "incremental, {}", place());
            cuts += 1;
        }
        let gone = whole.edited(&mut parser, start..start + full.len(), "");
        let place = || format!("{}:{}, taken out", name.display(), row + 1);
        let nested = is_closed_in_itself(&lines[row]);
        let rest = gone.lines();
        assert_same(&lines[..row], &rest[..row], nested, place);
        if full.ends_with('\n') {
            assert_same(&lines[row + 1..], &rest[row..], nested, place);
        }
        assert_eq!(gone.error(), None, "{}", place());
        let fresh = Plan::new(&mut parser, gone.text.as_str());
        assert_eq!(gone.nodes(), fresh.nodes(), "incremental, {}", place());
        cuts += 1;
        start += full.len();
    }
    cuts
}

/// Whether the line opens and closes its own braces only, so that what is left of
/// it cannot change how deep the other lines lie.
fn is_closed_in_itself(line: &[LineNode]) -> bool {
    let mut open = 0;
    for node in line {
        match node.shape.kind {
            "{" => open += 1,
            "}" if open == 0 => return false,
            "}" => open -= 1,
            _ => {}
        }
    }
    open == 0
}

fn assert_same(
    before: &[Vec<LineNode>],
    after: &[Vec<LineNode>],
    nested: bool,
    place: impl Fn() -> String,
) {
    assert_eq!(before.len(), after.len(), "{}", place());
    for (before, after) in before.iter().zip(after) {
        let same = before.len() == after.len()
            && before.iter().zip(after).all(|(before, after)| {
                let mut after = *after;
                if !nested {
                    after.shape.depth = before.shape.depth;
                }
                *before == after
            });
        assert!(same, "{}:\n{before:#?}\nbecame\n{after:#?}", place());
    }
}

/// Each end of a token, and the middle of each.
fn token_ends(line: &str, nodes: &[LineNode]) -> Vec<usize> {
    let mut places: Vec<usize> = nodes
        .iter()
        .flat_map(|node| {
            let (start, end) = node.columns;
            [start, (start + end) / 2, end]
        })
        .filter(|&place| line.is_char_boundary(place))
        .chain([0])
        .collect();
    places.sort_unstable();
    places.dedup();
    places
}

fn every_character(line: &str, _: &[LineNode]) -> Vec<usize> {
    line.char_indices().map(|(place, _)| place).collect()
}

/// Beyond this many bytes a plan is cut at the ends of its tokens only: each cut
/// reads the whole of it.
const SMALL: usize = 4_000;

#[test]
fn a_line_cut_short_harms_no_other() {
    for (name, text) in plans() {
        let cuts = if text.len() <= SMALL {
            cut_every_line(&name, &text, every_character)
        } else {
            cut_every_line(&name, &text, token_ends)
        };
        println!("{}: {cuts} cuts", name.display());
    }
}

#[test]
fn nor_with_carriage_returns() {
    for (name, text) in plans() {
        let text = text.replace("\r\n", "\n").replace('\n', "\r\n");
        cut_every_line(&name, &text, token_ends);
    }
}

#[test]
fn a_carriage_return_alone_ends_a_line_as_a_line_feed_does() {
    let mut parser = parser();
    for (name, text) in plans() {
        let feeds = text.replace("\r\n", "\n");
        let returns = Plan::new(&mut parser, feeds.replace('\n', "\r"));
        let feeds = Plan::new(&mut parser, feeds);
        assert_eq!(feeds.nodes(), returns.nodes(), "{}", name.display());
    }
}
