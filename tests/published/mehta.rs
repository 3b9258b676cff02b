//! V. K. Mehta, *Principles of Power System*, chapter 13: worked examples of direct-current
//! distribution. Read as re-worked in the FOSSEE Scilab textbook companions. Resistances are of
//! both conductors. Printed figures are rounded, so each is met to its own last digit.

use crate::support::net::{Draw, Net};
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "V. K. Mehta, Principles of Power System, chapter 13",
    known: "read as re-worked in the FOSSEE textbook companions",
    checks: &[
        ("13.1 fed at one end", fed_at_one_end),
        ("13.5 loaded uniformly", loaded_uniformly),
        ("13.10 fed at both ends alike", fed_alike),
        ("13.11 fed unlike", fed_unlike),
        ("13.12 losses", losses),
        ("13.22 ring", small_ring),
        ("13.23 ring", large_ring),
        ("13.24 ring with interconnector", interconnector),
    ],
};

fn fed_at_one_end(checks: &mut Checks) {
    let net = Net::line(
        &[(0, 300.0)],
        &[0.010, 0.008, 0.012, 0.008],
        &[100.0, 150.0, 200.0, 50.0],
    );
    let solution = net.solve();
    for (point, volts) in (1..).zip(["295.0", "291.8", "288.8", "288.4"]) {
        checks.printed(point, solution.volts(point), volts);
    }
}

/// A load of 2 A/m over 200 m of 0.6 mohm/m. One point load in the middle of each metre gives the
/// same drops at whole metres: 22.5 V and 24 V are exact.
fn loaded_uniformly(checks: &mut Checks) {
    let metres = 200;
    let mut net = Net::line(&[(0, 230.0)], &vec![0.0003; 2 * metres], &[]);
    // Point 2k is at k metres, point 2k + 1 half a metre on.
    net.loads = (0..metres)
        .map(|metre| (2 * metre + 1, Draw::Amperes(2.0)))
        .collect();
    let solution = net.solve();
    checks.agree("150 m", 230.0 - solution.volts(2 * 150), 22.5, 1e-9);
    checks.agree("200 m", 230.0 - solution.volts(2 * 200), 24.0, 1e-9);
}

fn fed_alike(checks: &mut Checks) {
    let net = Net::line(
        &[(0, 220.0), (5, 220.0)],
        &[0.034, 0.051, 0.051, 0.034, 0.034],
        &[20.0, 40.0, 50.0, 30.0],
    );
    let solution = net.solve();
    checks.printed("current at A", solution.source_amperes(0), "61.7");
    checks.printed("least voltage", solution.least_volts(), "215.69");
}

fn fed_unlike(checks: &mut Checks) {
    let net = Net::line(
        &[(0, 230.0), (5, 235.0)],
        &[0.03, 0.015, 0.015, 0.03, 0.03],
        &[25.0, 50.0, 30.0, 40.0],
    );
    let solution = net.solve();
    checks.printed("current at A", solution.source_amperes(0), "33.33");
    checks.printed("current at B", solution.source_amperes(5), "111.67");
    checks.printed("least voltage", solution.least_volts(), "228.88");
}

fn losses(checks: &mut Checks) {
    let net = Net::line(
        &[(0, 440.0), (5, 430.0)],
        &[0.03, 0.03, 0.01, 0.02, 0.03],
        &[100.0, 200.0, 250.0, 300.0],
    );
    let solution = net.solve();
    checks.printed("current at A", solution.source_amperes(0), "437.5");
    checks.printed("current at B", solution.source_amperes(5), "412.5");
    checks.printed("loss, kW", solution.loss() / 1000.0, "14.706");
}

fn ring(volts: f64, ohms: &[f64], amperes: &[f64]) -> Net {
    let mut net = Net::line(&[(0, volts)], ohms, amperes);
    net.branches.last_mut().unwrap().1 = 0;
    net
}

fn small_ring(checks: &mut Checks) {
    let net = ring(240.0, &[0.09, 0.03, 0.06], &[120.0, 80.0]);
    let solution = net.solve();
    checks.printed("A to B", solution.branch_amperes(0), "86.67");
    checks.printed("B", solution.volts(1), "232.20");
    checks.printed("C", solution.volts(2), "233.20");
}

fn large_ring(checks: &mut Checks) {
    let net = ring(
        220.0,
        &[0.1, 0.05, 0.01, 0.025, 0.075],
        &[10.0, 20.0, 30.0, 10.0],
    );
    checks.printed("A to B", net.solve().branch_amperes(0), "29.04");
}

/// With the interconnector the book also prints 245.005 V and 245.111 V for C and D, which do not
/// satisfy its own equations; 245.027 V and 245.012 V do (computed), and give its current and its
/// B.
fn interconnector(checks: &mut Checks) {
    let mut net = ring(250.0, &[0.02, 0.018, 0.025, 0.02], &[150.0, 300.0, 250.0]);
    let without = net.solve();
    for (point, volts) in (1..).zip(["243.265", "239.904", "242.735"]) {
        checks.printed(format!("{point} without"), without.volts(point), volts);
    }
    net.branches.push((0, 2, 0.02));
    let with = net.solve();
    for (point, volts) in (1..).zip(["245.961", "245.027", "245.012"]) {
        checks.printed(format!("{point} with"), with.volts(point), volts);
    }
    // The book divides a rounded voltage by 0.02 ohm: 248.665 A unrounded.
    checks.agree("A to C", with.branch_amperes(4), 248.67, 0.01 / 248.67);
}
