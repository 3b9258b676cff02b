//! Networks at the edges: very long, very wide, ringed, joined, unfed, impossible.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking"
)]

mod support;

use bellwire_circuit::{Branch, Draw, Element, Network, Solution, Solver, Source, Unsolved, solve};
use support::{agree, line, network};

fn volts(solution: &Solution, node: usize) -> f64 {
    solution.volts[node].unwrap()
}

/// Closed form: n equal loads of i amperes behind n equal segments of r ohms drop r i n (n + 1) / 2.
#[test]
fn a_chain_may_be_a_hundred_thousand_deep() {
    let depth = 100_000;
    let loads: Vec<_> = (1..=depth)
        .map(|node| (node, Draw::Amperes(1e-7)))
        .collect();
    let solution = solve(&network(&[(0, 12.0)], &line(&vec![0.005; depth]), &loads)).unwrap();
    let n = depth as f64;
    agree(
        "end",
        volts(&solution, depth),
        12.0 - 0.005 * 1e-7 * n * (n + 1.0) / 2.0,
        1e-9,
    );
    agree("source", solution.source_amperes[0], 1e-7 * n, 1e-9);
}

#[test]
fn a_chain_of_power_loads_may_be_deep() {
    let depth = 100_000;
    let loads: Vec<_> = (1..=depth).map(|node| (node, Draw::Watts(1e-6))).collect();
    let solution = solve(&network(&[(0, 12.0)], &line(&vec![0.002; depth]), &loads)).unwrap();
    for (load, amperes) in solution.load_amperes.iter().enumerate() {
        agree("watts", volts(&solution, load + 1) * amperes, 1e-6, 1e-9);
    }
}

#[test]
fn a_star_may_have_a_hundred_thousand_legs() {
    let legs = 100_000;
    let branches: Vec<_> = (1..=legs).map(|leg| (0, leg, 2.0)).collect();
    let loads: Vec<_> = (1..=legs).map(|leg| (leg, Draw::Amperes(0.5))).collect();
    let solution = solve(&network(&[(0, 12.0)], &branches, &loads)).unwrap();
    assert!((1..=legs).all(|leg| volts(&solution, leg) == 11.0));
    assert_eq!(solution.source_amperes, [50_000.0]);
}

/// The two ways round are resistors side by side.
#[test]
fn a_ring_may_be_long() {
    let length = 50_000;
    let mut branches = line(&vec![0.001; length]);
    branches.push((length, 0, 0.001));
    let far = length / 2;
    let solution = solve(&network(
        &[(0, 24.0)],
        &branches,
        &[(far, Draw::Amperes(0.1))],
    ))
    .unwrap();
    let (this_way, that_way) = (far as f64 * 0.001, (length + 1 - far) as f64 * 0.001);
    let both = this_way * that_way / (this_way + that_way);
    agree("far", volts(&solution, far), 24.0 - 0.1 * both, 1e-12);
    agree(
        "one way",
        solution.branch_amperes[0],
        0.1 * both / this_way,
        1e-9,
    );
}

/// Fed at a corner, so the same on both sides of the diagonal.
#[test]
fn a_wide_mesh_settles() {
    let side = 40;
    let at = |x: usize, y: usize| y * side + x;
    let mut branches = Vec::new();
    for y in 0..side {
        for x in 0..side {
            if x + 1 < side {
                branches.push((at(x, y), at(x + 1, y), 0.5));
            }
            if y + 1 < side {
                branches.push((at(x, y), at(x, y + 1), 0.5));
            }
        }
    }
    let loads: Vec<_> = (1..side * side)
        .map(|node| (node, Draw::Watts(0.005)))
        .collect();
    let solution = solve(&network(&[(0, 12.0)], &branches, &loads)).unwrap();
    let drawn: f64 = solution.load_amperes.iter().sum();
    agree("source", solution.source_amperes[0], drawn, 1e-9);
    let mirrored = (volts(&solution, at(7, 31)), volts(&solution, at(31, 7)));
    agree("symmetry", mirrored.0, mirrored.1, 1e-12);
    assert!((1..side * side).all(|node| volts(&solution, node) < 12.0));
}

#[test]
fn joints_carry_what_hangs_on_them() {
    let solution = solve(&network(
        &[(0, 12.0)],
        // Turned against the flow, a stub, and two joints in a row.
        &[
            (1, 0, 0.0),
            (1, 2, 1.0),
            (2, 3, 0.0),
            (4, 3, 0.0),
            (3, 5, 0.0),
        ],
        &[
            (4, Draw::Amperes(0.25)),
            (3, Draw::Amperes(0.5)),
            (1, Draw::Amperes(1.0)),
        ],
    ))
    .unwrap();
    assert_eq!(solution.branch_amperes, [-1.75, 0.75, 0.75, -0.25, 0.0]);
    assert_eq!(volts(&solution, 5), 11.25);
    assert_eq!(solution.source_amperes, [1.75]);
}

#[test]
fn a_ring_of_joints_is_shared_by_one_rule() {
    let solution = solve(&network(
        &[(0, 12.0)],
        &[
            (0, 1, 0.0),
            (0, 2, 0.0),
            (1, 2, 0.0),
            (1, 1, 3.0),
            (0, 2, 5.0),
        ],
        &[(1, Draw::Amperes(1.0)), (2, Draw::Amperes(0.5))],
    ))
    .unwrap();
    assert_eq!(solution.branch_amperes, [1.0, 0.5, 0.0, 0.0, 0.0]);
}

#[test]
fn sources_on_one_joint_share_alike() {
    let solution = solve(&network(
        &[(0, 12.0), (1, 12.0)],
        &[(0, 1, 0.0), (1, 2, 2.0)],
        &[(2, Draw::Amperes(1.0))],
    ))
    .unwrap();
    assert_eq!(solution.source_amperes, [0.5, 0.5]);
    assert_eq!(solution.branch_amperes, [0.5, 1.0]);
}

#[test]
fn a_higher_source_feeds_back_into_a_lower() {
    let solution = solve(&network(&[(0, 13.0), (1, 12.0)], &[(0, 1, 2.0)], &[])).unwrap();
    assert_eq!(solution.source_amperes, [0.5, -0.5]);
    assert_eq!(solution.branch_amperes, [0.5]);
}

#[test]
fn what_no_source_reaches_has_no_voltage() {
    let mut apart = network(
        &[(0, 12.0)],
        &[(0, 1, 1.0), (2, 3, 1.0), (3, 4, 0.0)],
        &[
            (1, Draw::Amperes(1.0)),
            (3, Draw::Watts(500.0)),
            (4, Draw::Ohms(1.0)),
        ],
    );
    let solution = solve(&apart).unwrap();
    assert_eq!(solution.volts, [Some(12.0), Some(11.0), None, None, None]);
    assert_eq!(solution.load_amperes, [1.0, 0.0, 0.0]);
    assert_eq!(solution.branch_amperes, [1.0, 0.0, 0.0]);

    apart.sources.clear();
    let solution = solve(&apart).unwrap();
    assert_eq!(solution.volts, [None; 5]);
    assert_eq!(solution.load_amperes, [0.0; 3]);
}

#[test]
fn a_solver_sees_that_there_are_more_nodes() {
    let mut grown = network(&[(0, 12.0)], &[(0, 1, 1.0)], &[(1, Draw::Amperes(1.0))]);
    let mut solver = Solver::default();
    assert_eq!(
        solver.solve(&grown).unwrap().volts,
        [Some(12.0), Some(11.0)]
    );
    grown.nodes += 1;
    let volts = solver.solve(&grown).unwrap().volts;
    assert_eq!(volts, [Some(12.0), Some(11.0), None]);
}

#[test]
fn nothing_at_all_is_solved() {
    let solution = solve(&Network::default()).unwrap();
    assert!(solution.volts.is_empty() && solution.branch_amperes.is_empty());
}

#[test]
fn joined_sources_of_different_voltage_are_refused() {
    let refused = solve(&network(
        &[(1, 12.0), (0, 13.0), (2, 13.5)],
        &[(0, 1, 1.0), (1, 2, 0.0)],
        &[],
    ));
    assert_eq!(
        refused,
        Err(Unsolved::SourcesInConflict {
            first: 0,
            second: 2
        })
    );
}

#[test]
fn values_that_are_no_numbers_are_refused_by_place() {
    let sound = network(&[(0, 12.0)], &[(0, 1, 1.0)], &[(1, Draw::Amperes(0.1))]);
    let refused = |change: &dyn Fn(&mut Network)| {
        let mut network = sound.clone();
        change(&mut network);
        match solve(&network) {
            Err(Unsolved::NotNumbers { element }) => element,
            other => panic!("{other:?}"),
        }
    };
    for ohms in [-1.0, f64::NAN, f64::INFINITY] {
        let part = refused(&|network| network.branches[0].ohms = ohms);
        assert_eq!(part, Element::Branch(0));
    }
    for volts in [0.0, -12.0, f64::NAN, f64::INFINITY] {
        let part = refused(&|network| network.sources[0].volts = volts);
        assert_eq!(part, Element::Source(0));
    }
    for draw in [
        Draw::Amperes(-0.1),
        Draw::Amperes(f64::NAN),
        Draw::Watts(f64::INFINITY),
        Draw::Ohms(0.0),
        Draw::Ohms(f64::INFINITY),
    ] {
        let part = refused(&|network| network.loads[0].draw = draw);
        assert_eq!(part, Element::Load(0));
    }
    assert_eq!(refused(&|n| n.loads[0].node = 2), Element::Load(0));
    assert_eq!(refused(&|n| n.sources[0].node = 7), Element::Source(0));
    let extra = Branch {
        from: 1,
        to: 2,
        ohms: 1.0,
    };
    assert_eq!(refused(&|n| n.branches.push(extra)), Element::Branch(1));
    let second = Source {
        node: 9,
        volts: 12.0,
    };
    assert_eq!(refused(&|n| n.sources.push(second)), Element::Source(1));
}

fn refused(network: &Network) -> (usize, f64, f64) {
    match solve(network) {
        Err(Unsolved::CannotBeFed {
            load, most, wanted, ..
        }) => (load, most, wanted),
        other => panic!("{other:?}"),
    }
}

/// A constant current that would pull its node to nothing: by Ohm's law 12 V / 10 ohm = 1.2 A.
#[test]
fn a_current_that_takes_all_the_volts_cannot_be_fed() {
    for amperes in [1.2, 1.3, 1e6, 1e300] {
        let (load, most, wanted) = refused(&network(
            &[(0, 12.0)],
            &[(0, 1, 10.0)],
            &[(1, Draw::Amperes(amperes))],
        ));
        assert_eq!((load, wanted), (0, amperes));
        agree("most", most, 1.2, 1e-10);
    }
}

/// Maximum power transfer, V²/4R, is where the voltage has fallen to half.
#[test]
fn the_very_limit_of_a_power_load() {
    let with = |watts: f64| {
        solve(&network(
            &[(0, 12.0)],
            &[(0, 1, 10.0)],
            &[(1, Draw::Watts(watts))],
        ))
    };
    for below in [1e-3, 1e-6, 1e-9, 1e-12] {
        let exact = 6.0 * (1.0 + f64::sqrt(below));
        let ours = volts(&with(3.6 * (1.0 - below)).unwrap(), 1);
        agree(
            "volts",
            ours,
            exact,
            1e-9_f64.max(1e-16 / below.sqrt() * 10.0),
        );
        assert!(with(3.6 * (1.0 + below)).is_err());
    }
    // At the limit itself the last bit decides.
    match with(3.6) {
        Ok(solution) => agree("volts", volts(&solution, 1), 6.0, 1e-7),
        Err(Unsolved::CannotBeFed { most, .. }) => agree("most", most, 3.6, 1e-10),
        Err(other) => panic!("{other}"),
    }
    for watts in [37.0, 1e9, 1e300] {
        let Err(Unsolved::CannotBeFed { most, .. }) = with(watts) else {
            panic!("{watts} W");
        };
        agree("most", most, 3.6, 1e-10);
    }
}

/// The load that is far too large is named, not the small one at the end that suffers from it.
/// With 0.1 A drawn beyond it, node 1 has the power limit of its own: (12 - 0.1)² / 4.
#[test]
fn the_load_to_blame_is_named() {
    let (load, most, wanted) = refused(&network(
        &[(0, 12.0)],
        &line(&[1.0, 1.0]),
        &[(2, Draw::Amperes(0.1)), (1, Draw::Watts(50.0))],
    ));
    assert_eq!((load, wanted), (1, 50.0));
    agree("most", most, 11.9 * 11.9 / 4.0, 1e-9);
}

/// 5 A over 0.1 ohm lose 0.5 V; 1 A over 20 ohm would lose more than the 12 V that there are, which
/// give 0.6 A.
#[test]
fn what_is_drawn_on_other_cable_is_not_to_blame() {
    let (load, most, wanted) = refused(&network(
        &[(0, 12.0)],
        &[(0, 1, 0.1), (0, 2, 20.0)],
        &[(1, Draw::Amperes(5.0)), (2, Draw::Amperes(1.0))],
    ));
    assert_eq!((load, wanted), (1, 1.0));
    agree("most", most, 0.6, 1e-9);
}

/// 12 V, 2 ohm, then 3 ohm: drawn at 3 A and 2 A the far end would be at 12 - 2*5 - 3*2 V. Alike,
/// both can have 12/16 of that, which leaves nothing there: 3.75 A in all.
#[test]
fn what_all_could_have_is_told() {
    let mut asked = network(
        &[(0, 12.0)],
        &line(&[2.0, 3.0]),
        &[
            (1, Draw::Amperes(3.0)),
            (2, Draw::Amperes(2.0)),
            // No cable leads to it, so it has nothing.
            (3, Draw::Amperes(9.0)),
        ],
    );
    asked.nodes = 4;
    let found = solve(&asked);
    let Err(Unsolved::CannotBeFed { share, amperes, .. }) = found else {
        panic!("{found:?}");
    };
    agree("share", share, 0.75, 1e-9);
    agree("amperes", amperes, 3.75, 1e-9);
}

/// 12 V over 2 ohm onto 4 ohm are 8 V behind 4/3 ohm, which give 64 / (16/3) = 12 W at most: half
/// of what is asked for. At those 4 V the watts draw 3 A and the ohms 1 A.
#[test]
fn what_resistors_take_counts_in_what_all_could_have() {
    let found = solve(&network(
        &[(0, 12.0)],
        &line(&[2.0]),
        &[(1, Draw::Ohms(4.0)), (1, Draw::Watts(24.0))],
    ));
    let Err(Unsolved::CannotBeFed { share, amperes, .. }) = found else {
        panic!("{found:?}");
    };
    agree("share", share, 0.5, 1e-9);
    // Near the limit, volts move with the root of the share.
    agree("amperes", amperes, 4.0, 1e-4);
}

#[test]
fn nothing_is_left_for_a_load_where_the_others_are_too_much() {
    let loads: Vec<_> = (1..=5).map(|node| (node, Draw::Amperes(5.0))).collect();
    let (load, most, _) = refused(&network(&[(0, 12.0)], &line(&[1.0; 5]), &loads));
    assert_eq!((load, most), (4, 0.0));
}

/// A joint of a microhm in a run of hundreds of ohms.
#[test]
fn ohms_may_lie_far_apart() {
    let solution = solve(&network(
        &[(0, 12.0)],
        &[(0, 1, 1e-6), (1, 2, 300.0), (2, 3, 1e-6), (3, 0, 200.0)],
        &[(2, Draw::Amperes(0.01)), (1, Draw::Amperes(0.02))],
    ))
    .unwrap();
    let drawn: f64 = solution.source_amperes.iter().sum();
    agree("source", drawn, 0.03, 1e-12);
    // By the lever rule, what node 2 draws comes by both ways in proportion to the other's ohms.
    let total = 500.000_002;
    let there = (0.01 * 200.000_001 - 0.02 * 1e-6) / total;
    agree("current", solution.branch_amperes[1], there, 1e-12);
}
