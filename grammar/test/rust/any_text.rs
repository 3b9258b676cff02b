//! Any text is a plan: none makes an error, and a tree kept up with edits is the
//! tree of the text.

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::{Index, select};

use super::support::{LineNode, Plan, parser};

const WORDS: &[&str] = &[
    "keypad",
    "main",
    "front-door",
    "K2",
    "x1",
    "3",
    "12",
    "4.2",
    "2025-03-14",
    "2025-03",
    "m",
    "mA",
    "kΩ",
    "°C",
    "ohm/km",
    "%",
    "\"Shop\"",
    "\"",
    "\\",
    "#",
    ":",
    ",",
    "{",
    "}",
    ".",
    "..",
    "-",
    "--",
    "+",
    "é",
    "e\u{301}",
    "鍵",
    "🚪",
    "\u{feff}",
    "\u{2028}",
    "\u{85}",
    "\0",
    " ",
    "\t",
    "\n",
    "\r",
    "\r\n",
    "\n  ",
    " {\n",
    "}\n",
    " -- ",
    " : ",
    ", ",
];

/// Words of the notation in any order, and characters of every kind.
fn text(most: usize) -> impl Strategy<Value = String> {
    let word = prop_oneof![
        8 => select(WORDS).prop_map(str::to_owned),
        1 => any::<char>().prop_map(String::from),
        1 => "[ a-z0-9.]{1,6}",
    ];
    vec(word, 0..most).prop_map(|words| words.concat())
}

/// The nearest character boundary at or before the place that `index` chooses.
fn boundary(text: &str, index: Index) -> usize {
    let mut place = index.index(text.len() + 1);
    while !text.is_char_boundary(place) {
        place -= 1;
    }
    place
}

/// The nodes of every line but one, however deep they lie.
fn others(plan: &Plan, row: usize) -> Vec<Vec<LineNode<'_>>> {
    let mut lines = plan.lines();
    lines.remove(row);
    for node in lines.iter_mut().flatten() {
        node.shape.depth = 0;
    }
    lines
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_text_parses_without_error(text in text(120)) {
        prop_assert_eq!(Plan::new(&mut parser(), text).error(), None);
    }

    #[test]
    fn edits_lead_to_the_tree_of_the_text(
        first in text(80),
        edits in vec((any::<Index>(), any::<Index>(), text(6)), 1..8),
    ) {
        let mut parser = parser();
        let mut plan = Plan::new(&mut parser, first);
        for (from, to, with) in edits {
            let (from, to) = (boundary(&plan.text, from), boundary(&plan.text, to));
            plan = plan.edited(&mut parser, from.min(to)..from.max(to), &with);
            prop_assert_eq!(plan.error(), None);
            let fresh = Plan::new(&mut parser, plan.text.as_str());
            prop_assert_eq!(plan.nodes(), fresh.nodes(), "{:?}", plan.text);
        }
    }

    /// As over the plans of the project, here over any lines.
    #[test]
    fn a_line_changed_harms_no_other(
        before in text(40),
        old in "[^\r\n]{0,20}",
        new in text(10).prop_map(|text| text.replace(['\r', '\n'], " ")),
        after in text(40),
    ) {
        let mut parser = parser();
        let whole = Plan::new(&mut parser, format!("{before}\n{old}\n{after}"));
        let start = before.len() + 1;
        let changed = whole.edited(&mut parser, start..start + old.len(), &new);
        let row = before.matches('\n').count() + 1;
        prop_assert_eq!(others(&whole, row), others(&changed, row), "{:?}", changed.text);
    }
}
