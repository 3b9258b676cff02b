//! An unfinished line harms nobody else: whatever is cut off one line of a plan,
//! every other line keeps its nodes.

use std::collections::BTreeSet;
use std::fs;
use std::ops::Range;
use std::path::{Path, PathBuf};

use super::support::{LineNode, Plan, parser};

/// Every plan of the project: the demo, the built-in library, these tests' own.
fn plans() -> Vec<(PathBuf, String)> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut plans = Vec::new();
    for folder in ["test", "../tests/plans", "../server/plan/src/library"] {
        let known = plans.len();
        add_plans(&here.join(folder), &mut plans);
        assert!(plans.len() > known, "no plan is below {folder}");
    }
    plans.sort();
    plans
}

fn add_plans(folder: &Path, plans: &mut Vec<(PathBuf, String)>) {
    let entries =
        fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    for entry in entries {
        let path = entry.unwrap().path();
        if path.is_dir() {
            add_plans(&path, plans);
        } else if path.extension().is_some_and(|end| end == "bell") {
            // One broken plan is in another encoding; it may not harm either.
            let bytes = fs::read(&path).unwrap();
            plans.push((path, String::from_utf8_lossy(&bytes).into_owned()));
        }
    }
}

/// Where to cut a line, given its text and its nodes, in bytes from its start.
type Places = fn(&str, &[LineNode]) -> Vec<usize>;

fn every_character(line: &str, _: &[LineNode]) -> Vec<usize> {
    line.char_indices().map(|(place, _)| place).collect()
}

/// Both ends of every token.
fn token_ends(_: &str, nodes: &[LineNode]) -> Vec<usize> {
    let ends = nodes
        .iter()
        .flat_map(|node| [node.columns.0, node.columns.1]);
    BTreeSet::from_iter(ends).into_iter().collect()
}

/// A cut: the line it is made in, and the bytes that go.
type Cut = (usize, Range<usize>);

/// Every cut of the plan: each line from each of its places, and each line whole.
fn cuts(plan: &Plan, lines: &[Vec<LineNode>], places: Places) -> Vec<Cut> {
    let mut cuts = Vec::new();
    let mut start = 0;
    for (row, full) in plan.text.split_inclusive('\n').enumerate() {
        let line = full.trim_end_matches(['\r', '\n']);
        let end = start + line.len();
        cuts.extend(
            places(line, &lines[row])
                .into_iter()
                .map(|place| (row, start + place..end)),
        );
        if full.ends_with('\n') {
            cuts.push((row, start..start + full.len()));
        }
        start += full.len();
    }
    cuts
}

/// How many bytes all the cuts of one plan may read, for each reads the whole of
/// it. Of a plan that asks for more, every second, third… cut is made.
const MOST: usize = 12_000_000;

/// Makes the cuts of the text and says how many.
fn cut_every_line(name: &Path, text: &str, places: Places) -> usize {
    let mut parser = parser();
    let whole = Plan::new(&mut parser, text);
    assert_eq!(whole.error(), None, "{}", name.display());
    let lines = whole.lines();
    let cuts = cuts(&whole, &lines, places);
    let step = (cuts.len() * text.len()).div_ceil(MOST).max(1);
    let made = cuts.iter().step_by(step);
    let count = made.len();
    for (row, gone) in made {
        let cut = whole.edited(&mut parser, gone.clone(), "");
        let place = || {
            format!(
                "{}:{}, without {:?}",
                name.display(),
                row + 1,
                &text[gone.clone()]
            )
        };

        let nested = is_closed_in_itself(&lines[*row])
            && !text[..gone.start]
                .trim_end_matches([' ', '\t'])
                .ends_with('{');
        let next = if text[gone.clone()].ends_with('\n') {
            *row
        } else {
            row + 1
        };
        let rest = cut.lines();
        assert_same(&lines[..*row], &rest[..*row], nested, place);
        assert_same(&lines[row + 1..], &rest[next..], nested, place);

        assert_eq!(cut.error(), None, "{}", place());
        let fresh = Plan::new(&mut parser, cut.text.as_str());
        assert_eq!(cut.nodes(), fresh.nodes(), "incremental, {}", place());
    }
    count
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

#[test]
fn a_line_cut_short_harms_no_other() {
    for (name, text) in plans() {
        let count = cut_every_line(&name, &text, every_character);
        println!("{}: {count} cuts", name.display());
    }
}

#[test]
fn nor_where_carriage_returns_end_lines() {
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
