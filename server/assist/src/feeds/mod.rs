//! What feeds a thing, and what that thing feeds in turn: along the cables,
//! one step at a time.

mod wires;

use std::ops::Range;

use bellwire_plan::workspace::Entry;
use rustc_hash::FxHashMap;

use crate::thing::Thing;
use crate::walk::in_file;
use wires::{Ends, Node, Wires};

/// A thing that cables lead to. Its name's place leads back to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fed {
    /// Its name; a terminal's with that of its unit or device: `main.keys`.
    pub name: String,
    /// What people call it; may be empty.
    pub label: String,
    /// What it is.
    pub thing: Thing,
    /// Its statement; a terminal's first use.
    pub range: Range<usize>,
    /// Its name in that.
    pub name_range: Range<usize>,
}

/// A step along a cable.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// What it leads to.
    pub to: Fed,
    /// The stretches of cable between; none from a unit to its own terminals.
    pub cables: Vec<Range<usize>>,
}

/// The device, joint, unit or terminal at `offset`.
pub fn fed_at(entry: &Entry, offset: usize) -> Option<Fed> {
    let wires = Wires::at(entry, offset)?;
    wires.fed(wires.node)
}

/// What feeds the thing at `offset`.
pub fn fed_by(entry: &Entry, offset: usize) -> Vec<Step> {
    steps(entry, offset, |wires| wires.sources())
}

/// What the thing at `offset` feeds.
pub fn feeds(entry: &Entry, offset: usize) -> Vec<Step> {
    steps(entry, offset, |wires| wires.targets())
}

fn steps(entry: &Entry, offset: usize, ends: fn(&Wires) -> Ends) -> Vec<Step> {
    let Some(wires) = Wires::at(entry, offset) else {
        return Vec::new();
    };
    let mut order: Vec<Node> = Vec::new();
    let mut cables: FxHashMap<Node, Vec<Range<usize>>> = FxHashMap::default();
    for (node, cable) in ends(&wires) {
        let known = cables.entry(node).or_insert_with(|| {
            order.push(node);
            Vec::new()
        });
        known.extend(cable.map(|span| in_file(wires.start, span)));
    }
    let step = |node: Node| {
        Some(Step {
            to: wires.fed(node)?,
            cables: cables.remove(&node).unwrap_or_default(),
        })
    };
    order.into_iter().filter_map(step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::fixture;
    use crate::fixture::harbour;
    use expect_test::{Expect, expect};

    fn show(entry: &Entry, offset: usize) -> String {
        let Some(fed) = fed_at(entry, offset) else {
            return "    nothing\n".to_string();
        };
        let text = |range: &Range<usize>| entry.file.text().slice(range.clone());
        let again = fed_at(entry, fed.name_range.end);
        assert_eq!(again.as_ref(), Some(&fed), "its name leads back to it");
        let list = |steps: Vec<Step>| -> String {
            let one = |step: Step| {
                let cables: Vec<_> = step.cables.iter().map(text).collect();
                format!(" {}({})", step.to.name, cables.join(" "))
            };
            steps.into_iter().map(one).collect()
        };
        format!(
            "    {:?} {} ← {} →{}\n",
            fed.thing,
            fed.name,
            list(fed_by(entry, offset)).trim_start(),
            list(feeds(entry, offset))
        )
    }

    /// Each row replaces a piece of the demo's site by one with a cursor.
    fn check(rows: &[(&str, &str)], expected: Expect) {
        let mut shown = String::new();
        for (from, to) in rows {
            let (_, entry, offset) = harbour(from, to);
            shown += &format!("{to}\n{}", show(&entry, offset));
        }
        expected.assert_eq(&shown);
    }

    #[test]
    fn one_step_along_the_cable_at_a_time() {
        check(
            &[
                ("panel main", "panel ma$0in"),
                ("main.keys --", "main.ke$0ys --"),
                ("main.keys --", "ma$0in.keys --"),
                ("keypad   front", "keypad   fr$0ont"),
                ("-- rear", "-- re$0ar"),
                ("expander x1", "expander x$01"),
                ("{ x1.1", "{ x1.1$0"),
                ("input x1.1", "input x1.1$0"),
                ("detector pir1", "detector pi$0r1"),
                ("input 2", "input $02"),
                ("run keys-a", "run ke$0ys-a"),
                (": K2,", ": K$02,"),
                ("ambient 5", "amb$0ient 5"),
            ],
            expect![[r#"
                panel ma$0in
                    Unit main ←  → main.keys() main.1() main.aux() main.2() main.siren()
                main.ke$0ys --
                    Bus main.keys ← main() → front(--12 m--)
                ma$0in.keys --
                    Unit main ←  → main.keys() main.1() main.aux() main.2() main.siren()
                keypad   fr$0ont
                    Device front ← main.keys(--12 m--) → rear(--31 m--) x1(--8 m--)
                -- re$0ar
                    Device rear ← front(--31 m--) →
                expander x$01
                    Device x1 ← front(--8 m--) → x1.1()
                { x1.1$0
                    Inputs x1.1 ← x1() → rc2(--6 m--)
                input x1.1$0
                    Inputs x1.1 ← x1() → rc2(--6 m--)
                detector pi$0r1
                    Device pir1 ← main.aux(--22 m--) main.2(--22 m--) →
                input $02
                    Inputs main.2 ← main() → pir1(--22 m--)
                run ke$0ys-a
                    nothing
                : K$02,
                    nothing
                amb$0ient 5
                    nothing
            "#]],
        );
    }

    #[test]
    fn the_feeding_end_does_not_depend_on_how_a_cable_is_written() {
        let plan = "\
use \"../catalog/merrow.bell\"
site a {
  panel p : M8
  joint j
  detector d1 : P5
  detector d2 : P5
  run r : copper-2x22AWG {
    d1 --5 m-- j --4 m-- p.aux
    d2 --3 m-- j
    d1 --9 m-- d2
  }
}
";
        let mut shown = String::new();
        for name in ["joint j", "detector d1", "detector d2", "panel p"] {
            let (_, entry, offset) = fixture(&plan.replacen(name, &format!("{name}$0"), 1));
            shown += &format!("{name}\n{}", show(&entry, offset));
        }
        expect![[r#"
            joint j
                Joint j ← p.aux(--4 m--) → d1(--5 m--) d2(--3 m--)
            detector d1
                Device d1 ← j(--5 m--) → d2(--9 m--)
            detector d2
                Device d2 ← j(--3 m--) d1(--9 m--) →
            panel p
                Unit p ←  → p.aux()
        "#]]
        .assert_eq(&shown);
    }
}
