//! Networks solved by a general-purpose circuit simulator; see `data/README.md`.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking"
)]

mod support;

use bellwire_circuit::{Conductor, Draw, Metal, Network, Size, Unsolved, conductor, solve};
use serde_json::Value;
use support::{agree, line, network};

const NETWORKS: &str = include_str!("data/networks.json");

fn numbers(value: &Value) -> Vec<f64> {
    let list = value.as_array().unwrap().iter();
    list.map(|number| number.as_f64().unwrap()).collect()
}

fn read(entry: &Value) -> Network {
    let rows = |key: &str| entry[key].as_array().unwrap().clone();
    let node = |value: &Value| usize::try_from(value.as_u64().unwrap()).unwrap();
    let number = |value: &Value| value.as_f64().unwrap();
    let sources: Vec<_> = rows("sources")
        .iter()
        .map(|row| (node(&row[0]), number(&row[1])))
        .collect();
    let branches: Vec<_> = rows("branches")
        .iter()
        .map(|row| (node(&row[0]), node(&row[1]), number(&row[2])))
        .collect();
    let loads: Vec<_> = rows("loads")
        .iter()
        .map(|row| {
            let value = number(&row[2]);
            let draw = match row[1].as_str().unwrap() {
                "amperes" => Draw::Amperes(value),
                "watts" => Draw::Watts(value),
                "ohms" => Draw::Ohms(value),
                other => panic!("no such unit: {other}"),
            };
            (node(&row[0]), draw)
        })
        .collect();
    network(&sources, &branches, &loads)
}

/// Source: ngspice 39.3 and an independent nodal solve. Voltages and source currents to 1e-9,
/// branch currents to the nine digits that are given.
#[test]
fn networks_agree_with_the_simulator() {
    let entries: Vec<Value> = serde_json::from_str(NETWORKS).unwrap();
    assert_eq!(entries.len(), 11);
    let mut worst: f64 = 0.0;
    for entry in &entries {
        let name = entry["name"].as_str().unwrap();
        let solution = solve(&read(entry)).unwrap();
        for (ours, theirs) in solution.volts.iter().zip(numbers(&entry["volts"])) {
            agree(name, ours.unwrap(), theirs, 1e-9);
            worst = worst.max(support::relative(ours.unwrap(), theirs));
        }
        let theirs = numbers(&entry["source_amperes"]);
        for (ours, theirs) in solution.source_amperes.iter().zip(theirs) {
            agree(name, *ours, theirs, 1e-9);
            worst = worst.max(support::relative(*ours, theirs));
        }
        let theirs = numbers(&entry["branch_amperes"]);
        assert_eq!(theirs.len(), solution.branch_amperes.len());
        for (ours, theirs) in solution.branch_amperes.iter().zip(theirs) {
            agree(name, *ours, theirs, 5e-9);
        }
    }
    println!("worst relative difference of a voltage or source current: {worst:e}");
}

/// Source: closed form, (12 + sqrt(144 - 96)) / 2; the simulator agrees, and finds the unphysical
/// 2.53590 V if it is started there.
#[test]
fn a_power_load_lands_on_the_high_voltage() {
    let solution = solve(&network(
        &[(0, 12.0)],
        &[(0, 1, 10.0)],
        &[(1, Draw::Watts(2.4))],
    ))
    .unwrap();
    let exact = (12.0 + 48_f64.sqrt()) / 2.0;
    agree("volts", solution.volts[1].unwrap(), exact, 1e-14);
    agree("volts", solution.volts[1].unwrap(), 9.464_10, 1e-6);
}

/// Source: maximum power transfer, V²/4R = 3.6 W. (The simulator does not converge here, and
/// reports success all the same.)
#[test]
fn a_power_load_beyond_the_limit_is_refused_with_the_limit() {
    let refused = solve(&network(
        &[(0, 12.0)],
        &[(0, 1, 10.0)],
        &[(1, Draw::Watts(3.7))],
    ))
    .unwrap_err();
    let Unsolved::CannotBeFed {
        load,
        node,
        most,
        wanted,
    } = refused
    else {
        panic!("{refused}");
    };
    assert_eq!((load, node, wanted), (0, 1, 3.7));
    agree("most", most, 3.6, 1e-10);
}

/// Source: the simulator, with positive and negative conductors as resistors of their own, finds
/// the same voltages across the loads as with both in one.
#[test]
fn both_conductors_may_be_counted_as_one() {
    let watts = [0.24, 0.42, 0.18, 0.6, 1.2];
    let loads: Vec<_> = (1..).zip(watts.map(Draw::Watts)).collect();
    let positive = [0.6, 0.9, 1.2, 0.72, 0.48];
    let negative = [0.4, 0.6, 0.8, 0.48, 0.32];
    let both: Vec<f64> = positive.iter().zip(negative).map(|(p, n)| p + n).collect();
    let solution = solve(&network(&[(0, 12.0)], &line(&both), &loads)).unwrap();
    let theirs = [
        11.75999818898731,
        11.430607722080449,
        11.06490733929163,
        10.865008285293527,
        10.775920770598793,
    ];
    for (ours, theirs) in solution.volts[1..].iter().zip(theirs) {
        agree("volts", ours.unwrap(), theirs, 1e-12);
    }
}

/// Source: the simulator's temperature coefficient of a resistor: 100 m of two 0.5 mm² conductors
/// of 1/58 ohm mm²/m at 75 °C, 0.25 A at the end of 12 V; by hand 12 - 0.25 × 6.89655 × 1.21615.
#[test]
fn copper_at_75_degrees() {
    let at_20 = 2.0 * 100.0 * conductor::COPPER_RESISTIVITY / 0.5;
    let ohms = conductor::at_temperature(at_20, Metal::Copper, 75.0);
    let solution = solve(&network(
        &[(0, 12.0)],
        &[(0, 1, ohms)],
        &[(1, Draw::Amperes(0.25))],
    ))
    .unwrap();
    let by_hand = 12.0 - 0.25 * 6.896_551_724_137_931 * 1.216_15;
    agree("volts", solution.volts[1].unwrap(), by_hand, 1e-12);

    let conductor = Conductor {
        size: Size::SquareMillimetres(0.22),
        metal: Metal::Copper,
        strands: 1,
    };
    agree(
        "factor",
        conductor.resistance(75.0).factor_temperature,
        1.216_15,
        1e-12,
    );
}
