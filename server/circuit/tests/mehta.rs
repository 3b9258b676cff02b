//! Source: V. K. Mehta, *Principles of Power System*, chapter 13, worked examples of direct-current
//! distribution, read as re-worked in the FOSSEE Scilab textbook companions. Resistances are of
//! both conductors. Printed figures are rounded, so each is met to its own last digit.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking"
)]

mod support;

use bellwire_circuit::{Draw, Solution, solve};
use support::{amperes_along, line, network};

/// Fails unless `ours` rounds to the printed figure: `unit` is worth one in its last digit.
#[track_caller]
fn printed(ours: f64, theirs: f64, unit: f64) {
    assert!(
        (ours - theirs).abs() <= unit * 0.501,
        "{ours} against the printed {theirs}"
    );
}

fn volts(solution: &Solution) -> Vec<f64> {
    solution.volts.iter().map(|volts| volts.unwrap()).collect()
}

#[test]
fn example_13_1_fed_at_one_end() {
    let solution = solve(&network(
        &[(0, 300.0)],
        &line(&[0.010, 0.008, 0.012, 0.008]),
        &amperes_along(&[100.0, 150.0, 200.0, 50.0]),
    ))
    .unwrap();
    for (ours, theirs) in volts(&solution)[1..]
        .iter()
        .zip([295.0, 291.8, 288.8, 288.4])
    {
        printed(*ours, theirs, 0.1);
    }
}

/// A load spread evenly: one point load in the middle of each metre gives the same drops at whole
/// metres.
#[test]
fn example_13_5_loaded_uniformly() {
    let (metres, per_metre, ohms_per_metre) = (200_usize, 2.0, 0.0006);
    // Node 2k is at k metres, node 2k + 1 half a metre on.
    let branches: Vec<_> = (0..2 * metres)
        .map(|at| (at, at + 1, ohms_per_metre / 2.0))
        .collect();
    let loads: Vec<_> = (0..metres)
        .map(|metre| (2 * metre + 1, Draw::Amperes(per_metre)))
        .collect();
    let solution = solve(&network(&[(0, 230.0)], &branches, &loads)).unwrap();
    printed(230.0 - volts(&solution)[2 * 150], 22.5, 1e-9);
    printed(230.0 - volts(&solution)[2 * 200], 24.0, 1e-9);
}

#[test]
fn example_13_10_fed_at_both_ends_alike() {
    let solution = solve(&network(
        &[(0, 220.0), (5, 220.0)],
        &line(&[0.034, 0.051, 0.051, 0.034, 0.034]),
        &amperes_along(&[20.0, 40.0, 50.0, 30.0]),
    ))
    .unwrap();
    printed(solution.source_amperes[0], 61.7, 0.1);
    let least = volts(&solution).into_iter().fold(f64::INFINITY, f64::min);
    printed(least, 215.69, 0.01);
}

#[test]
fn example_13_11_fed_at_both_ends_unlike() {
    let solution = solve(&network(
        &[(0, 230.0), (5, 235.0)],
        &line(&[0.03, 0.015, 0.015, 0.03, 0.03]),
        &amperes_along(&[25.0, 50.0, 30.0, 40.0]),
    ))
    .unwrap();
    printed(solution.source_amperes[0], 33.33, 0.01);
    printed(solution.source_amperes[1], 111.67, 0.01);
    let least = volts(&solution).into_iter().fold(f64::INFINITY, f64::min);
    printed(least, 228.88, 0.01);
}

#[test]
fn example_13_12_fed_at_both_ends_with_losses() {
    let branches = line(&[0.03, 0.03, 0.01, 0.02, 0.03]);
    let solution = solve(&network(
        &[(0, 440.0), (5, 430.0)],
        &branches,
        &amperes_along(&[100.0, 200.0, 250.0, 300.0]),
    ))
    .unwrap();
    printed(solution.source_amperes[0], 437.5, 0.1);
    printed(solution.source_amperes[1], 412.5, 0.1);
    let loss: f64 = branches
        .iter()
        .zip(&solution.branch_amperes)
        .map(|((.., ohms), amperes)| ohms * amperes * amperes)
        .sum();
    printed(loss / 1000.0, 14.706, 0.001);
}

#[test]
fn example_13_22_ring() {
    let solution = solve(&network(
        &[(0, 240.0)],
        &[(0, 1, 0.09), (1, 2, 0.03), (2, 0, 0.06)],
        &amperes_along(&[120.0, 80.0]),
    ))
    .unwrap();
    printed(solution.branch_amperes[0], 86.67, 0.01);
    printed(volts(&solution)[1], 232.20, 0.01);
    printed(volts(&solution)[2], 233.20, 0.01);
}

#[test]
fn example_13_23_ring() {
    let solution = solve(&network(
        &[(0, 220.0)],
        &[
            (0, 1, 0.1),
            (1, 2, 0.05),
            (2, 3, 0.01),
            (3, 4, 0.025),
            (4, 0, 0.075),
        ],
        &amperes_along(&[10.0, 20.0, 30.0, 10.0]),
    ))
    .unwrap();
    printed(solution.branch_amperes[0], 29.04, 0.01);
}

/// With the interconnector the book also prints 245.005 V and 245.111 V for C and D, which do not
/// satisfy its own equations; 245.027 V and 245.012 V do, and give its current and its B.
#[test]
fn example_13_24_ring_and_interconnector() {
    let ring = [(0, 1, 0.02), (1, 2, 0.018), (2, 3, 0.025), (3, 0, 0.02)];
    let loads = amperes_along(&[150.0, 300.0, 250.0]);
    let without = solve(&network(&[(0, 250.0)], &ring, &loads)).unwrap();
    for (ours, theirs) in volts(&without)[1..].iter().zip([243.265, 239.904, 242.735]) {
        printed(*ours, theirs, 0.001);
    }

    let mut branches = ring.to_vec();
    branches.push((0, 2, 0.02));
    let with = solve(&network(&[(0, 250.0)], &branches, &loads)).unwrap();
    // The book divides a rounded voltage by 0.02 ohm: 248.665 A unrounded.
    printed(with.branch_amperes[4], 248.67, 0.02);
    for (ours, theirs) in volts(&with)[1..].iter().zip([245.961, 245.027, 245.012]) {
        printed(*ours, theirs, 0.001);
    }
}
