//! From a name to where it is declared, and from a thing to its model.

use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::source::{File, Spot};
use bellwire_plan::workspace::{Entry, Evaluation, View};

use crate::imports;
use crate::place::name_at;
use crate::walk::holder;

/// Where something is declared.
#[derive(Debug)]
pub struct Target {
    /// The file.
    pub file: Arc<File>,
    /// The name there; empty, at the start, for a file as a whole.
    pub range: Range<usize>,
}

/// Where the name at `offset` is declared; the file, where a `use` names one.
pub fn definition(view: &View, entry: &Entry, offset: usize) -> Vec<Target> {
    if let Some(import) = imports::at(entry, offset) {
        let target = view
            .file(&import.target)
            .map(|file| Target { file, range: 0..0 });
        return target.into_iter().collect();
    }
    let target = name_at(entry, offset).and_then(|(_, found)| target(view, &found.target));
    target.into_iter().collect()
}

/// The model of the thing whose name is at `offset`: a device's, a panel's, a
/// run's cable; for a rule set, the one that it is built on.
pub fn type_definition(view: &View, entry: &Entry, offset: usize) -> Vec<Target> {
    let model = || {
        let (place, found) = name_at(entry, offset)?;
        let declared: Arc<Evaluation> = if found.target.item.id == place.item.id {
            place.evaluation.clone()
        } else {
            view.evaluation(&found.target.item)?
        };
        let statement = holder(&declared.item, found.target.span);
        let (_, values) = statement.model.as_ref()?;
        let name = values.iter().find(|value| value.is_name())?;
        let model = declared
            .occurrences()
            .iter()
            .find(|found| found.span == name.span)?;
        target(view, &model.target)
    };
    model().into_iter().collect()
}

fn target(view: &View, name: &Spot) -> Option<Target> {
    let (file, range) = view.locate(name)?;
    Some(Target { file, range })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{fixture, harbour};
    use expect_test::{Expect, expect};

    type Feature = fn(&View, &Entry, usize) -> Vec<Target>;

    /// Each row replaces a piece of the demo's site by one with a cursor.
    fn check(feature: Feature, rows: &[(&str, &str)], expected: Expect) {
        let mut shown = String::new();
        for (from, to) in rows {
            let (view, entry, offset) = harbour(from, to);
            shown += &format!("{to}\n");
            for target in feature(&view, &entry, offset) {
                let file = target.file;
                let line = file.text().line(file.text().line_of(target.range.start));
                let line = file.text().slice(line);
                let first = line.split(['"', '\n']).next().unwrap_or("").trim();
                let name = file.text().slice(target.range);
                shown += &format!("    {} | {name} | {first}\n", file.path());
            }
        }
        expected.assert_eq(&shown);
    }

    #[test]
    fn every_name_leads_to_its_declaration() {
        check(
            definition,
            &[
                (": K2,", ": K$02,"),
                ("main.keys --", "ma$0in.keys --"),
                ("main.keys --", "main.ke$0ys --"),
                ("main.aux +", "main.aux$0 +"),
                ("{ main.1", "{ main.1$0"),
                ("{ x1.1", "{ $0x1.1"),
                ("{ x1.1", "{ x1.$01"),
                ("input 1,", "input $01,"),
                ("from rc2", "from r$0c2"),
                ("partition 2, sounds", "partition $02, sounds"),
                ("sounds silent", "sounds sil$0ent"),
                ("loop double", "loop double$0"),
                ("bus keys", "bus $0keys"),
                ("northgate", "north$0gate"),
                ("intruder-grade-2", "intruder-$0grade-2"),
                ("sealed-12V-7Ah", "sealed-$012V-7Ah"),
                ("../catalog/merrow", "../cata$0log/merrow"),
                ("panel main", "panel ma$0in"),
            ],
            expect![[r#"
                : K$02,
                    catalog/merrow.bell | K2 | model keypad K2
                ma$0in.keys --
                    sites/harbour.bell | main | panel main
                main.ke$0ys --
                    catalog/merrow.bell | keys | bus keys {
                main.aux$0 +
                    catalog/merrow.bell | aux | output aux   13.8 V, limit 600 mA
                { main.1$0
                    catalog/merrow.bell | 1 .. 8 | inputs 1 .. 8 {
                { $0x1.1
                    sites/harbour.bell | x1 | expander x1
                { x1.$01
                    catalog/merrow.bell | 1 .. 8 | inputs  1 .. 8, as panel
                input $01,
                    catalog/merrow.bell | 1 .. 8 | inputs 1 .. 8 {
                from r$0c2
                    sites/harbour.bell | rc2 | detector rc2
                partition $02, sounds
                    sites/harbour.bell | 2 | partition 2
                sounds sil$0ent
                    catalog/merrow.bell | silent | sounds  all, chime-off, silent
                loop double$0
                    catalog/merrow.bell | double | loop double {
                bus $0keys
                    catalog/merrow.bell | keys | bus keys {
                north$0gate
                    shared/monitoring.bell | northgate | monitoring northgate
                intruder-$0grade-2
                    bellwire-library/rules.bell | intruder-grade-2 | rules intruder-grade-2
                sealed-$012V-7Ah
                    bellwire-library/batteries.bell | sealed-12V-7Ah | model battery sealed-12V-7Ah
                ../cata$0log/merrow
                    catalog/merrow.bell |  | # Invented range for the demo: no such maker exists.
                panel ma$0in
                    sites/harbour.bell | main | panel main
            "#]],
        );
    }

    #[test]
    fn nothing_is_found_where_nothing_is_named() {
        check(
            definition,
            &[
                ("ambient 5 °C", "amb$0ient 5 °C"),
                ("ambient 5 °C", "ambient $05 °C"),
                ("\"Stock room\"", "\"Sto$0ck room\""),
                (": K2,", ": K9$0,"),
                ("../shared/monitoring", "../shared/no$0where"),
            ],
            expect![[r#"
                amb$0ient 5 °C
                ambient $05 °C
                "Sto$0ck room"
                : K9$0,
                ../shared/no$0where
            "#]],
        );
    }

    #[test]
    fn a_thing_leads_to_its_model() {
        check(
            type_definition,
            &[
                ("front \"Shop door\"", "fro$0nt \"Shop door\""),
                ("-- rear", "-- re$0ar"),
                ("main.keys --", "ma$0in.keys --"),
                ("run keys-a", "run keys$0-a"),
                ("partition 2, sounds", "partition $02, sounds"),
            ],
            expect![[r#"
                fro$0nt "Shop door"
                    catalog/merrow.bell | K2 | model keypad K2
                -- re$0ar
                    catalog/merrow.bell | K2R | model keypad K2R
                ma$0in.keys --
                    catalog/merrow.bell | M8 | model panel M8
                run keys$0-a
                    bellwire-library/cables.bell | copper-4x22AWG | model cable copper-4x22AWG
                partition $02, sounds
            "#]],
        );
    }

    #[test]
    fn a_rule_set_leads_to_the_one_that_it_is_built_on() {
        let (view, entry, offset) =
            fixture("rules house : intruder-grade-2 { standby 24 h }\nsite a { rules ho$0use }\n");
        let found = type_definition(&view, &entry, offset);
        let path = found.first().map(|target| target.file.path().as_str());
        assert_eq!(path, Some("bellwire-library/rules.bell"));
    }
}
