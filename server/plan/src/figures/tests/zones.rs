use super::power::MODELS;
use super::*;
use crate::figures::{ConditionFigures, ZoneFigures};
use crate::model::Meaning;

/// The first zone of a site on the models of all tests, with its site.
fn sited(site: &str) -> (Site, ZoneFigures) {
    let (site, figures) = solved(&format!("{MODELS}\nsite s {{\n{site}\n}}\n"));
    (site, figures.zones.into_iter().next().expect("a zone"))
}

fn zone(site: &str) -> ZoneFigures {
    sited(site).1
}

type Seen = (String, f64, f64, Option<Meaning>);

fn seen((site, zone): &(Site, ZoneFigures)) -> Vec<Seen> {
    let round = |ohms: f64| (ohms * 1e6).round() / 1e6;
    let seen = |(key, condition): (String, &ConditionFigures)| {
        let (least, most) = (round(condition.least), round(condition.most));
        (key, least, most, condition.reads)
    };
    zone.by_key(site).into_iter().map(seen).collect()
}

fn row(key: &str, least: f64, most: f64, reads: Option<Meaning>) -> Seen {
    (key.to_string(), least, most, reads)
}

#[test]
fn a_single_loop_sees_its_end_resistor_and_the_cable() {
    let found = sited(
        "panel main : P { zone 1, input 1, from c, loop single }
         detector c : C
         run r : pair { main.1 --14 m-- c }",
    );
    // 14 m out and back are 1.4 ohm; the resistor is 2.2 kohm ± 1 %.
    assert_close(found.1.cable_ohms.unwrap(), 1.4);
    let (open, infinite) = (Some(Meaning::Open), f64::INFINITY);
    assert_eq!(
        seen(&found),
        [
            row("normal", 2178.0 + 1.4, 2222.0 + 1.4, Some(Meaning::Normal)),
            row("open-alarm", infinite, infinite, open),
            row("short", 0.0, 1.4, Some(Meaning::Short)),
            row("cut", infinite, infinite, open),
        ]
    );
}

#[test]
fn several_detectors_lie_in_series_on_all_the_cable_to_them() {
    let found = sited(
        "panel main : P { zone 1, input 1, from c d, loop double }
         detector c : C
         detector d : D
         joint j { resistance 0.25 ohm }
         run r : pair {
           main.1 --10 m-- j --5 m-- c
           j --20 m-- d
           d --100 m-- far
         }
         detector far : C",
    );
    // 10 m, 5 m and 20 m, and the joint's 0.25 ohm in either core of three ends' halves.
    assert_close(found.1.cable_ohms.unwrap(), 3.5 + 3.0 * 0.25);
    let seen = seen(&found);
    let keys: Vec<&str> = seen.iter().map(|seen| seen.0.as_str()).collect();
    assert_eq!(
        keys,
        [
            "normal",
            "open-alarm-c",
            "open-alarm-d",
            "open-tamper-d",
            "open-alarm-all",
            "short",
            "cut"
        ]
    );
    // End and both contact resistors, with neither in the alarm window wholly.
    assert_eq!(seen[4], row("open-alarm-all", 2974.25, 3034.25, None));
}

/// The keys of the alarm conditions of a loop with such detectors; `TT` has two contacts.
fn alarm_keys(detectors: &[(&str, &str)]) -> Vec<String> {
    let names: Vec<&str> = detectors.iter().map(|(name, _)| *name).collect();
    let models = detectors.iter();
    let models = models.map(|(name, model)| format!("detector {name} : {model}\n"));
    let text = format!(
        "{MODELS}
         model detector TT {{
           contact alarm, closed
           contact alarm, closed
         }}
         site s {{
           panel main : P {{ zone 1, input 1, from {}, loop double }}
           {}
           run r : pair {{ main.1 --10 m-- {} }}
         }}",
        names.join(" "),
        models.collect::<String>(),
        names.join(" --1 m-- "),
    );
    let (site, figures) = solved(&text);
    let keys = figures.zones[0].by_key(&site).into_iter();
    let keys = keys.filter_map(|(key, _)| Some(key.strip_prefix("open-alarm")?.to_string()));
    keys.collect()
}

#[test]
fn a_table_names_conditions_in_words_whichever_way_a_contact_goes() {
    let words = |from: &str, path: &str| {
        let (site, figures) = solved(&format!(
            "{MODELS}
             model detector NO {{
               contact alarm, open
               contact alarm, open
               contact tamper, closed
             }}
             site s {{
               panel main : P {{ zone 1, input 1, from {from}, loop double }}
               detector a : NO
               detector b : NO
               run r : pair {{ main.1 --10 m-- {path} }}
             }}"
        ));
        let words = figures.zones[0].in_words(&site).into_iter();
        words.map(|(words, _)| words).collect::<Vec<_>>()
    };
    let alone = [
        "normal",
        "alarm",
        "alarm, contact 2",
        "tamper",
        "all in alarm",
        "short",
        "cut",
    ];
    let two = [
        "normal",
        "alarm at a",
        "alarm at a, contact 2",
        "tamper at a",
        "alarm at b",
        "alarm at b, contact 2",
        "tamper at b",
        "all in alarm",
        "short",
        "cut",
    ];
    assert_eq!(words("a", "a"), alone);
    assert_eq!(words("a b", "a --1 m-- b"), two);
}

#[test]
fn contacts_alike_are_numbered_from_the_second_on() {
    assert_eq!(alarm_keys(&[("b", "TT")]), ["", "-2", "-all"]);
    assert_eq!(
        alarm_keys(&[("b", "TT"), ("c", "C")]),
        ["-b", "-b-2", "-c", "-all"]
    );
}

#[test]
fn every_condition_has_a_key_of_its_own_whatever_its_detector_is_called() {
    assert_eq!(
        alarm_keys(&[("all", "C"), ("d", "C")]),
        ["-all-1", "-d", "-all"]
    );
    for detectors in [[("b-2", "C"), ("b", "TT")], [("b-2-1", "C"), ("b-2", "C")]] {
        let mut keys = alarm_keys(&[&detectors[..], &[("all-1", "C"), ("all", "C")]].concat());
        let count = keys.len();
        keys.sort();
        keys.dedup();
        assert_eq!(keys.len(), count, "{keys:?}");
    }
    assert_eq!(
        alarm_keys(&[("b-2-1", "C"), ("b-2", "C"), ("b", "TT")]),
        ["-b-2-1-1", "-b-2-1", "-b", "-b-2", "-all"]
    );
}

#[test]
fn a_loop_carried_on_by_another_run_is_reached() {
    let found = zone(
        "panel main : P { zone 1, input 1, from c, loop single }
         detector c : C
         joint j
         run far : pair { j --30 m-- c }
         run near : quad, doubled { main.aux + main.1 --10 m-- j }",
    );
    // Doubling is for the power pair; the loop's cores are single.
    assert_close(found.cable_ohms.unwrap(), 4.0);
    let found = zone(
        "panel main : P { zone 1, input 1, from c, loop single }
         detector c : C
         run near : quad, doubled { main.1 --10 m-- c }",
    );
    assert_close(found.cable_ohms.unwrap(), 0.5);
}

#[test]
fn of_ways_with_as_many_legs_the_one_that_resists_least_counts_wherever_it_stands() {
    let near = "run near : pair { main.1 --40 m-- j --5 m-- c }";
    let far = "run far : pair { main.1 --10 m-- k --50 m-- c }";
    // Not the one whose first leg is the shortest.
    for [first, second] in [[near, far], [far, near]] {
        let found = zone(&format!(
            "panel main : P {{ zone 1, input 1, from c, loop single }}
             detector c : C
             joint j
             joint k
             {first}
             {second}"
        ));
        assert_close(found.cable_ohms.unwrap(), 4.5);
        assert!(found.second_way.is_some());
    }
}

#[test]
fn cable_laid_for_a_loop_goes_before_power_beside_it_wherever_it_stands() {
    let own = "run own : pair { main.1 --10 m-- d --3 m-- e }";
    let power = "run power : quad { d --2 m-- e }";
    for [first, second] in [[own, power], [power, own]] {
        let (_, figures) = solved(&format!(
            "{MODELS}
             model detector F, standby 10 mA, contact alarm
             site s {{
               panel main : P {{ zone 1, input 1, from d e, loop double }}
               detector d : F
               detector e : F
               run feed : pair {{ main.aux --10 m-- d }}
               {first}
               {second}
             }}"
        ));
        let found = &figures.zones[0];
        assert_close(found.cable_ohms.unwrap(), 1.3);
        assert_eq!(found.second_way, None);
    }
}

#[test]
fn what_no_cable_reaches_is_named() {
    let zone = zone(
        "panel main : P { zone 1, input 1, from c d, loop single }
         detector c : C
         detector d : C
         run r : pair { main.1 --14 m-- c }",
    );
    assert_eq!(zone.cable_ohms, None);
    assert_eq!(zone.unreached, [1]);
    assert!(zone.conditions.is_empty());
}

#[test]
fn a_length_that_is_not_written_leaves_the_loop_open() {
    let zone = zone(
        "panel main : P { zone 1, input 1, from c, loop single }
         detector c : C
         run r : pair { main.1 -- c }",
    );
    assert_eq!((zone.cable_ohms, zone.unreached.len()), (None, 0));
}

#[test]
fn a_contact_resists_what_its_model_says() {
    let text = format!(
        "{MODELS}model detector worn {{ contact alarm, closed, resistance 50 ohm }}
site s {{
  panel main : P {{ zone 1, input 1, from w v, loop single }}
  detector w : worn
  detector v : C
  run r : pair {{ main.1 --14 m-- w --0 m-- v }}
}}
"
    );
    let (_, figures) = solved(&text);
    let normal = &figures.zones[0].conditions[0];
    // 14 m of the pair are 1.4 ohm, and one of the two contacts has 50 ohm.
    assert_close(normal.least, 2178.0 + 51.4);
    assert_close(normal.most, 2222.0 + 51.4);
    assert_eq!(normal.reads, Some(Meaning::Normal));
}

/// A zone on a loop of a panel whose resistors are of a series of 5 %.
fn of_series(own: &str) -> ZoneFigures {
    let text = format!(
        "model series V {{
           tolerance 5 %
           values 10 22 47
         }}
         model panel Q {{
           inputs 1 .. 4 {{
             loop l {{
               end 4.7 kohm
               resistors V
               {own}
             }}
           }}
         }}
         model cable wire {{ resistance 50 ohm/km }}
         model detector C {{ contact alarm, closed }}
         site s {{
           panel main : Q {{ zone 1, input 1, from c, loop l }}
           detector c : C
           run r : wire {{ main.1 --10 m-- c }}
         }}"
    );
    let (_, figures) = solved(&text);
    figures.zones.into_iter().next().expect("a zone")
}

#[test]
fn resistors_are_as_good_as_their_series_unless_the_loop_says_more() {
    // 10 m out and back are 1 ohm.
    let normal = |zone: ZoneFigures| (zone.conditions[0].least, zone.conditions[0].most);
    let (least, most) = normal(of_series(""));
    assert_close(least, 4700.0 * 0.95 + 1.0);
    assert_close(most, 4700.0 * 1.05 + 1.0);
    let (least, most) = normal(of_series("tolerance 2 %"));
    assert_close(least, 4700.0 * 0.98 + 1.0);
    assert_close(most, 4700.0 * 1.02 + 1.0);
}

#[test]
fn a_series_that_the_file_does_not_know_is_told_and_the_loop_not_judged() {
    let text = "model panel Q { inputs 1 .. 4 { loop l {
           end 4.7 kohm
           resistors V
         } } }
         model cable wire { resistance 50 ohm/km }
         model detector C { contact alarm, closed }
         site s {
           panel main : Q { zone 1, input 1, from c, loop l }
           detector c : C
           run r : wire { main.1 --10 m-- c }
         }";
    let mut findings = Vec::new();
    let site = Plan::new(text).site(&mut findings);
    let messages: Vec<&str> = findings.iter().map(|of| of.message.as_str()).collect();
    assert_eq!(
        messages,
        [
            "loop `l` takes its resistors from `V`, which this file does not know: `use` the file that declares it."
        ]
    );
    assert!(figures(&site).zones[0].conditions.is_empty());
}

#[test]
fn a_joint_resists_a_loop_whole_beside_doubled_power() {
    let (_, figures) = solved(&format!(
        "{MODELS}
site s {{
  panel main : P {{ zone 1, input 1, from c, loop single }}
  detector c : C
  joint j {{ resistance 0.5 ohm }}
  run far : pair {{ j --30 m-- c }}
  run near : quad, doubled {{ main.aux + main.1 --10 m-- j }}
}}
"
    ));
    // 10 m and 30 m are 1 ohm and 3 ohm out and back; at either end of the joint each of the
    // two cores has half of its 0.5 ohm.
    assert_close(figures.zones[0].cable_ohms.unwrap(), 1.0 + 3.0 + 2.0 * 0.5);
    // Of the run that is doubled, four cores are for the power and two for the loop.
    let near = figures.paths.iter().find(|path| path.run == 1);
    assert_eq!(near.map(|path| path.cores), Some(6));
}

#[test]
fn a_loop_is_doubled_where_its_run_carries_no_power() {
    let cores = |path: &str| {
        let (_, figures) = solved(&format!(
            "{MODELS}
site s {{
  panel main : P {{ zone 1, input 1, from c, loop single }}
  detector c : C
  run r : quad, doubled {{ {path} --10 m-- c }}
}}
"
        ));
        figures.paths[0].cores
    };
    assert_eq!(cores("main.1"), 4);
    assert_eq!(cores("main.aux + main.1"), 4 + 2);
}

/// What each condition of a zone reads as, and whether that is right, with this loop and
/// these contacts; 10 m of cable are 1 ohm.
fn read(own: &str, contacts: &str) -> Vec<(String, Option<Meaning>, bool)> {
    let (site, figures) = solved(&format!(
        "{MODELS}
model panel Q {{ inputs 1 .. 4 {{ loop l {{
  end 1 kohm
  {own}
}} }} }}
model detector Y {{
  {contacts}
}}
site s {{
  panel main : Q {{ zone 1, input 1, from y, loop l }}
  detector y : Y
  run r : pair {{ main.1 --10 m-- y }}
}}
"
    ));
    let model = site.zones[0].loop_model.as_ref().expect("a loop");
    let conditions = figures.zones[0].by_key(&site).into_iter();
    let conditions = conditions.map(|(key, of)| (key, of.reads, of.reads_right(model)));
    conditions.collect()
}

fn reading(key: &str, reads: Option<Meaning>, right: bool) -> (String, Option<Meaning>, bool) {
    (key.to_string(), reads, right)
}

#[test]
fn what_two_windows_hold_reads_as_neither() {
    // 1 kohm ± 1 % and 1 ohm lie in both windows.
    let windows = "reads normal 0.7 kohm .. 1.4 kohm\n  reads alarm 0.9 kohm .. 2 kohm";
    let found = read(windows, "contact alarm, closed");
    assert_eq!(found[0], reading("normal", None, false));
    let apart = windows.replace("0.9", "1.1");
    let found = read(&apart, "contact alarm, closed");
    assert_eq!(found[0], reading("normal", Some(Meaning::Normal), true));
}

#[test]
fn a_normally_open_contact_without_a_window_of_its_own_reads_as_a_short() {
    let (short, open) = (Some(Meaning::Short), Some(Meaning::Open));
    let windows = "reads short 0 ohm .. 0.5 kohm
  reads normal 0.7 kohm .. 1.4 kohm
  reads open 4 kohm ..";
    assert_eq!(
        read(windows, "contact alarm, open\n  contact tamper, open"),
        [
            reading("normal", Some(Meaning::Normal), true),
            reading("open-alarm", short, true),
            reading("open-tamper", short, true),
            reading("short", short, true),
            reading("cut", open, true),
        ]
    );
    // One that opens the loop reads as a cut, with or without a short's window.
    let found = read(windows, "contact alarm, closed\n  contact tamper, closed");
    assert_eq!(found[1], reading("open-alarm", open, true));
    assert_eq!(found[2], reading("open-tamper", open, true));
}

#[test]
fn a_short_without_a_window_of_its_own_belongs_to_that_for_tampering() {
    let short = |low: &str, high: &str| {
        let windows = format!(
            "reads {low} 0 ohm .. 0.5 kohm
  reads normal 0.7 kohm .. 1.4 kohm
  reads {high} 4 kohm .."
        );
        let mut found = read(&windows, "contact alarm, closed").into_iter();
        found.nth(2).expect("a short")
    };
    assert_eq!(
        short("tamper", "alarm"),
        reading("short", Some(Meaning::Tamper), true)
    );
    // An alarm for it hides it where the loop can tell tampering.
    assert_eq!(
        short("alarm", "tamper"),
        reading("short", Some(Meaning::Alarm), false)
    );
    assert_eq!(
        short("alarm", "open"),
        reading("short", Some(Meaning::Alarm), true)
    );
}

#[test]
fn a_zone_that_watches_nothing_yet_has_no_cable_and_reads_nothing() {
    let found = zone(
        "panel main : P { zone 1, input 1, loop single }
         detector c : C
         run r : pair { main.1 --14 m-- c }",
    );
    assert_eq!(found.cable_ohms, None);
    assert_eq!(found.conditions, []);
}
