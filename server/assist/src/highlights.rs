//! The other places of a file where the name under the cursor stands.

use bellwire_plan::workspace::Entry;

use crate::place::name_at;
use crate::references::{Reference, in_entry, only};

/// Where the name at `offset` stands in this file, in the order of the text.
pub fn highlights(entry: &Entry, offset: usize) -> Vec<Reference> {
    let Some((place, used)) = name_at(entry, offset) else {
        return Vec::new();
    };
    in_entry(entry, &used.target, only(&place, used)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::harbour;
    use expect_test::{Expect, expect};

    /// Each row replaces a piece of the demo's site by one with a cursor.
    fn check(rows: &[(&str, &str)], expected: Expect) {
        let mut shown = String::new();
        for (from, to) in rows {
            let (_, entry, offset) = harbour(from, to);
            shown += &format!("{to} →");
            for found in highlights(&entry, offset) {
                let line = entry.file.text().line_of(found.range.start);
                let text = entry.file.text().slice(found.range);
                let mark = if found.is_declaration { "!" } else { "" };
                shown += &format!(" {}:{text}{mark}", line + 1);
            }
            shown += "\n";
        }
        expected.assert_eq(&shown);
    }

    #[test]
    fn the_same_thing_is_marked_wherever_it_stands() {
        check(
            &[
                ("front --8", "fro$0nt --8"),
                ("detector pir1", "detector pir1$0"),
                ("main.keys --", "mai$0n.keys --"),
                ("main.keys --", "main.ke$0ys --"),
                ("partition 2, sounds", "partition $02, sounds"),
                ("z1 : copper-2x22AWG", "z1 : copper-$02x22AWG"),
                (": K2R", ": $0K2R"),
                ("zone 9", "zone $09"),
                ("main.1", "main.1$0"),
                ("ambient 5", "amb$0ient 5"),
            ],
            expect![[r#"
                fro$0nt --8 → 17:front! 33:front 34:front
                detector pir1$0 → 23:pir1 28:pir1! 37:pir1
                mai$0n.keys -- → 11:main! 33:main 36:main 37:main 37:main 39:main
                main.ke$0ys -- → 16:keys 33:keys
                partition $02, sounds → 14:2! 18:2 24:2
                z1 : copper-$02x22AWG → 36:copper-2x22AWG 38:copper-2x22AWG
                : $0K2R → 18:K2R
                zone $09 → 24:9!
                main.1$0 → 22:1 36:1
                amb$0ient 5 →
            "#]],
        );
    }
}
