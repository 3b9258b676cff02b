//! The built-in library: no findings, names that say what they stand for,
//! columns that line up. What its rule sets and its resistors say is held
//! against the standards under `tests/published`.

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod common;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use bellwire_circuit::{Conductor, Metal, Rate, Ratings, Size};
use bellwire_plan::figures::capacity_ah;
use bellwire_plan::library::LIBRARY;
use bellwire_plan::model::ModelData;
use bellwire_plan::source::Item;
use bellwire_plan::vocabulary::Space;
use common::{path, workspace};

fn items(space: Space) -> Vec<Arc<Item>> {
    LIBRARY.iter().flat_map(|file| file.all(space)).collect()
}

fn close(value: f64, to: f64, share: f64) -> bool {
    (value - to).abs() <= share * to.abs()
}

#[test]
fn nothing_is_wrong_with_it() {
    let files: BTreeMap<String, String> = LIBRARY
        .iter()
        .map(|file| {
            let text = file.text();
            let name = file.path().as_str().replace("bellwire-library", "copy");
            (name, text.slice(0..text.len()).to_string())
        })
        .collect();
    assert_eq!(files.len(), 4);
    let view = workspace(&files).view();
    for name in files.keys() {
        let entry = view.entry(&path(name)).expect("the file");
        let findings: Vec<_> = view
            .findings(&entry)
            .into_iter()
            .map(|located| (located.range, located.finding.message))
            .collect();
        assert!(findings.is_empty(), "{name}: {findings:?}");
    }
}

#[test]
fn every_name_and_every_label_is_there_once() {
    let mut names = BTreeSet::new();
    let mut labels = BTreeSet::new();
    let mut count = 0;
    for space in [Space::Model, Space::Rules] {
        for item in items(space) {
            count += 1;
            let name = item.name().expect("a name").to_string();
            let label = item.source().split('"').nth(1).expect("a label");
            assert!(labels.insert(label.to_string()), "{label}");
            assert!(names.insert(name.clone()), "{name}");
        }
    }
    assert!(count > 100, "{count}");
}

/// One conductor, ohm/km at 20 °C, copper: gauge, solid. Computed from ASTM B258's diameters
/// (read second-hand) and IEC 60028's 58 m/(ohm mm²) (read second-hand).
const AWG: &[(u32, f64)] = &[
    (14, 8.28551),
    (16, 13.1745),
    (18, 20.9482),
    (20, 33.3090),
    (22, 52.9634),
    (24, 84.2151),
    (26, 133.907),
];

/// ohm per 1000 ft at 20 °C, solid copper. Source: NBS Handbook 100 table 5, read; its diameters
/// are rounded, so within 0.5 %.
const NBS: &[(u32, f64)] = &[(22, 16.2), (24, 25.7), (26, 41.0)];

/// Highest ohm/km at 20 °C: mm², stiff (class 1 and 2), flexible (class 5, plain). Source: IEC
/// 60228, read in makers' tables.
const METRIC: &[(&str, f64, f64, f64)] = &[
    ("0-5", 0.5, 36.0, 39.0),
    ("0-75", 0.75, 24.5, 26.0),
    ("1", 1.0, 18.1, 19.5),
    ("1-5", 1.5, 12.1, 13.3),
    ("2-5", 2.5, 7.41, 7.98),
];

/// Stranded wire lies 2 % longer (ASTM B8 / B496, read second-hand).
const LAY: f64 = 1.02;
/// Copper-clad aluminium against copper (ASTM B566, 62.9 % conductivity, read in a maker's sheet).
const CLAD: f64 = 1.590;

#[test]
fn the_tables_of_gauges_agree_with_each_other() {
    for (gauge, ohms_per_kft) in NBS {
        let (_, computed) = AWG.iter().find(|row| row.0 == *gauge).expect("the gauge");
        assert!(close(computed * 0.3048, *ohms_per_kft, 0.005), "{gauge}");
    }
}

/// What a cable's name says: metal, cores, size, and ohm/km of one conductor at 20 °C.
fn meant(name: &str) -> (Metal, u32, Size, bool, f64) {
    let (metal, rest) = name.split_once('-').expect("a metal");
    let (metal, ratio) = match metal {
        "copper" => (Metal::Copper, 1.0),
        "cca" => (Metal::CopperCladAluminium, CLAD),
        other => panic!("{other} in {name}"),
    };
    let (rest, solid) = match rest.strip_suffix("-solid") {
        Some(rest) => (rest, true),
        None => (rest, false),
    };
    let (cores, size) = rest.split_once('x').expect("cores");
    let cores = cores.parse().expect("cores");
    let lay = if solid { 1.0 } else { LAY };
    if let Some(gauge) = size.strip_suffix("AWG") {
        let gauge: u32 = gauge.parse().expect("a gauge");
        let (_, ohms) = AWG.iter().find(|row| row.0 == gauge).expect("the gauge");
        return (
            metal,
            cores,
            Size::Awg(f64::from(gauge)),
            solid,
            ohms * lay * ratio,
        );
    }
    let size = size.strip_suffix("mm2").expect("mm2");
    if size == "0-22" {
        // Not in the standard: computed from the area, and stranded.
        let ohms = 1000.0 / 58.0 / 0.22 * LAY;
        return (
            metal,
            cores,
            Size::SquareMillimetres(0.22),
            false,
            ohms * ratio,
        );
    }
    let (_, area, stiff, flexible) = METRIC.iter().find(|row| row.0 == size).expect("the size");
    let ohms = if solid { stiff } else { flexible };
    (
        metal,
        cores,
        Size::SquareMillimetres(*area),
        solid,
        ohms * ratio,
    )
}

#[test]
fn cables_are_what_their_names_and_labels_say() {
    let mut seen = 0;
    for item in items(Space::Model) {
        let model = item.model().expect("a model");
        let ModelData::Cable(cable) = &model.data else {
            continue;
        };
        seen += 1;
        let name = &model.name.value;
        let (metal, cores, size, solid, ohms_per_kilometre) = meant(name);
        assert_eq!((cable.metal, cable.cores), (metal, Some(cores)), "{name}");
        assert_eq!(cable.conductor, Some(size), "{name}");
        assert_eq!(cable.strands == 1, solid, "{name}");
        assert_eq!(cable.resistance, None, "{name}");
        let conductor = Conductor {
            size,
            metal: cable.metal,
            strands: cable.strands,
        };
        let computed = conductor.resistance(20.0).at_20 * 1000.0;
        assert!(
            close(computed, ohms_per_kilometre, 1e-5),
            "{name}: {computed} against {ohms_per_kilometre}"
        );

        let colours: BTreeSet<&String> = cable.colours.iter().collect();
        assert_eq!(colours.len() as u32, cores, "{name}: {colours:?}");
        // Common practice: black negative, red positive.
        if !name.contains("8x24AWG-solid") {
            assert_eq!(cable.colours[..2], ["black", "red"], "{name}");
        }
        // Typical of thin cable, at most; thick cable feeds and carries no data.
        let thin = conductor.area_mm2() < 0.9 && !name.contains("0-75");
        assert_eq!(cable.capacitance.is_some(), thin, "{name}");
        assert!(cable.capacitance.unwrap_or(0.0) <= 100e-12, "{name}");

        let label = model.label.as_deref().expect("a label");
        let words = match cores {
            2 => "Two",
            4 => "Four",
            6 => "Six",
            8 => "Eight",
            other => panic!("{other} cores"),
        };
        assert!(label.starts_with(&format!("{words} cores, ")), "{label}");
        let size = match size {
            Size::Awg(gauge) => format!("{gauge} AWG"),
            Size::SquareMillimetres(area) => format!("{area} mm²"),
        };
        assert!(label.contains(&format!(", {size}, ")), "{label}");
        let build = match cable.strands {
            1 => ", solid ",
            7 => ", stranded ",
            _ => ", flexible ",
        };
        assert!(label.contains(build), "{label}");
        let clad = cable.metal == Metal::CopperCladAluminium;
        assert_eq!(label.contains("copper-clad aluminium"), clad, "{label}");
    }
    assert!(seen >= 70, "{seen}");
}

/// Shares of the 20-hour capacity: typical of absorbed glass mat, from memory.
const TYPICAL: &[(f64, f64)] = &[
    (20.0, 1.0),
    (10.0, 0.93),
    (5.0, 0.85),
    (1.0, 0.614),
    (0.25, 0.43),
];

#[test]
fn batteries_are_what_their_names_say() {
    let mut sizes = Vec::new();
    for item in items(Space::Model) {
        let model = item.model().expect("a model");
        let ModelData::Battery(battery) = &model.data else {
            continue;
        };
        let name = &model.name.value;
        let size = name
            .strip_prefix("sealed-12V-")
            .and_then(|rest| rest.strip_suffix("Ah"))
            .expect("a sealed battery");
        let size: f64 = size.replace('-', ".").parse().expect("a capacity");
        assert_eq!(capacity_ah(battery), Some(size), "{name}");
        let label = format!("Sealed lead-acid, 12 V, {size} Ah");
        assert_eq!(model.label.as_deref(), Some(label.as_str()));
        assert_eq!(
            (battery.volts, battery.life),
            (Some(12.0), Some(4.0)),
            "{name}"
        );

        let rates: Vec<Rate> = battery
            .capacities
            .iter()
            .map(|line| Rate {
                hours: line.hours,
                ampere_hours: line.ampere_hours,
            })
            .collect();
        assert_eq!(rates.len(), TYPICAL.len(), "{name}");
        for (rate, (hours, share)) in rates.iter().zip(TYPICAL) {
            assert_eq!(rate.hours, *hours, "{name}");
            assert!(
                close(rate.ampere_hours, size * share, 0.01),
                "{name} over {hours} h"
            );
        }
        let ratings = Ratings::new(rates.clone()).expect("rates that make sense");
        assert_eq!(ratings.nominal(), size);
        // Peukert's exponent of absorbed glass mat is 1.05 to 1.15 (read, a battery vendor's
        // page): so it comes out between 20 and 5 hours, rounding allowed for.
        let amperes = |rate: &Rate| rate.ampere_hours / rate.hours;
        let exponent =
            (rates[0].hours / rates[2].hours).ln() / (amperes(&rates[2]) / amperes(&rates[0])).ln();
        assert!((1.05..=1.15).contains(&exponent), "{name}: {exponent}");
        sizes.push(size);
    }
    assert!(sizes.is_sorted(), "{sizes:?}");
    for usual in [
        1.2, 2.1, 2.8, 3.2, 4.0, 7.0, 12.0, 17.0, 18.0, 24.0, 26.0, 38.0, 40.0,
    ] {
        assert!(sizes.contains(&usual), "{usual} Ah is missing");
    }
}

#[test]
fn rule_sets_name_the_source_of_each_value() {
    for item in items(Space::Rules) {
        let set = item.rules().expect("a rule set");
        let name = item.name().unwrap_or("");
        let source = set.source.as_deref().expect("a source");
        let says = [
            ("standby", set.standby.is_some()),
            ("alarm", set.alarm.is_some()),
            ("recharge", set.recharge.is_some()),
            ("ageing", set.ageing.is_some()),
            ("headroom", set.headroom.is_some()),
        ];
        for (word, said) in says {
            assert!(
                !said || source.contains(word),
                "{name} has no source for {word}"
            );
        }
        let rest = set.base.is_some();
        let all_else = set
            .base
            .as_ref()
            .map(|base| format!("all else as {}", base.value));
        assert_eq!(source.contains("all else as"), rest, "{name}");
        assert!(all_else.is_none_or(|text| source.contains(&text)), "{name}");
        if name.contains("fire") {
            let text = item.source();
            assert!(
                text.contains("no substitute for an approved fire alarm design"),
                "{name}"
            );
        }
    }
}

/// In a block, what follows the keywords starts in one column, and so do the clauses of lines of
/// one keyword.
#[test]
fn columns_line_up() {
    for space in [Space::Model, Space::Rules] {
        for item in items(space) {
            let mut columns = BTreeSet::new();
            let mut clauses: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
            for line in item.source().lines().filter(|line| line.starts_with("  ")) {
                let keyword = line.split_whitespace().next().unwrap_or("");
                let value = line[2 + keyword.len()..].trim_start();
                columns.insert(line.len() - value.len());
                if let Some((before, clause)) = line.split_once(',').filter(|_| !line.contains('"'))
                {
                    let gap = clause.len() - clause.trim_start().len();
                    clauses
                        .entry(keyword)
                        .or_default()
                        .insert(before.len() + 1 + gap);
                }
            }
            assert_eq!(columns.len(), 1, "{:?}: {columns:?}", item.name());
            assert!(
                clauses.values().all(|found| found.len() == 1),
                "{:?}",
                item.name()
            );
        }
    }
}
