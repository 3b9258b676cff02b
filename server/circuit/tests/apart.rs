//! Pieces that share nothing but a source have nothing to do with each other.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking"
)]

mod support;

use bellwire_circuit::{Apart, Draw, Element, Network, Solver, Unsolved, solve};
use support::{agree, network};

fn solve_apart(network: &Network) -> Result<Apart, Unsolved> {
    Solver::default().solve_apart(network)
}

/// 12 V through 1 ohm gives 36 W at most. The second piece asks for more.
#[test]
fn one_piece_without_a_solution_leaves_the_others_theirs() {
    let branches = [(0, 1, 1.0), (0, 2, 1.0), (2, 3, 1.0), (4, 0, 2.0)];
    let loads = [
        (1, Draw::Amperes(3.0)),
        (2, Draw::Watts(50.0)),
        (3, Draw::Amperes(0.1)),
        (4, Draw::Watts(10.0)),
        (0, Draw::Amperes(0.5)),
    ];
    let network = network(&[(0, 12.0)], &branches, &loads);
    let mut apart = solve_apart(&network).unwrap();
    let [stuck] = apart.stuck.as_slice() else {
        panic!("{:?}", apart.stuck);
    };
    assert_eq!(
        (&stuck.nodes[..], &stuck.branches[..]),
        (&[2, 3][..], &[1, 2][..])
    );
    assert_eq!(
        (&stuck.loads[..], &stuck.sources[..]),
        (&[1, 2][..], &[0][..])
    );
    let Unsolved::CannotBeFed {
        load, node, most, ..
    } = stuck.why
    else {
        panic!("{:?}", stuck.why);
    };
    assert_eq!((load, node), (1, 2));
    agree("most", most, 11.9 * 11.9 / 4.0, 1e-9);

    let volts = &apart.solution.volts;
    assert_eq!(volts[..4], [Some(12.0), Some(9.0), None, None]);
    // What the others have is what they have with nothing beside them.
    let alone = solve(&support::network(
        &[(0, 12.0)],
        &[(0, 1, 2.0)],
        &[(1, Draw::Watts(10.0))],
    ))
    .unwrap();
    assert_eq!(volts[4], alone.volts[1]);
    assert_eq!(apart.solution.branch_amperes[..3], [3.0, 0.0, 0.0]);
    agree(
        "back",
        apart.solution.branch_amperes[3],
        -alone.load_amperes[0],
        1e-12,
    );
    agree(
        "source",
        apart.solution.source_amperes[0],
        3.5 + alone.load_amperes[0],
        1e-12,
    );

    // Whoever does not ask what could be had is told the same of all else.
    let untold = Solver::default().solve_what_can_be(&network).unwrap();
    apart.stuck[0].why = untold.stuck[0].why;
    assert_eq!(untold, apart);
}

#[test]
fn cable_of_unknown_resistance_keeps_only_its_own_piece_from_a_solution() {
    let branches = [(0, 1, 1.0), (0, 2, f64::NAN), (0, 3, 1.0)];
    let loads = [
        (1, Draw::Amperes(1.0)),
        (2, Draw::Amperes(1.0)),
        (3, Draw::Watts(99.0)),
    ];
    let apart = solve_apart(&network(&[(0, 12.0)], &branches, &loads)).unwrap();
    assert_eq!(apart.solution.volts, [Some(12.0), Some(11.0), None, None]);
    let why: Vec<Unsolved> = apart.stuck.iter().map(|stuck| stuck.why).collect();
    assert_eq!(
        why[0],
        Unsolved::NotNumbers {
            element: Element::Branch(1)
        }
    );
    assert!(matches!(why[1], Unsolved::CannotBeFed { load: 2, .. }));
}

#[test]
fn an_unknown_load_keeps_only_its_own_piece_from_a_solution() {
    let branches = [(0, 1, 1.0), (0, 2, 1.0)];
    let loads = [(1, Draw::Amperes(1.0)), (2, Draw::Amperes(f64::NAN))];
    let apart = solve_apart(&network(&[(0, 12.0)], &branches, &loads)).unwrap();
    assert_eq!(apart.solution.volts, [Some(12.0), Some(11.0), None]);
    let why: Vec<Unsolved> = apart.stuck.iter().map(|stuck| stuck.why).collect();
    let element = Element::Load(1);
    assert_eq!(why, [Unsolved::NotNumbers { element }]);
}

/// 12 V through 1 ohm gives 36 W at most.
#[test]
fn which_way_cable_is_written_makes_no_piece() {
    let branches = [(1, 0, 1.0), (2, 0, 1.0), (3, 2, 1.0), (3, 0, 1.0)];
    let loads = [(1, Draw::Amperes(3.0)), (2, Draw::Watts(500.0))];
    let apart = solve_apart(&network(&[(0, 12.0)], &branches, &loads)).unwrap();
    let [stuck] = apart.stuck.as_slice() else {
        panic!("{:?}", apart.stuck);
    };
    // A ring hangs on its source once, over however many ways.
    assert_eq!(
        (&stuck.nodes[..], &stuck.sources[..]),
        (&[2, 3][..], &[0][..])
    );
    let volts = &apart.solution.volts;
    assert_eq!(volts[..], [Some(12.0), Some(9.0), None, None]);
}

/// Between two sources a piece hangs on both.
#[test]
fn a_piece_may_hang_on_two_sources() {
    let branches = [(0, 1, 1.0), (1, 2, 1.0), (2, 3, 1.0), (0, 2, 1.0)];
    let loads = [(1, Draw::Watts(500.0)), (3, Draw::Amperes(1.0))];
    let network = network(&[(0, 12.0), (2, 13.0)], &branches, &loads);
    let apart = solve_apart(&network).unwrap();
    assert_eq!(apart.stuck[0].sources.len(), 2);
    assert_eq!(
        apart.solution.volts,
        [Some(12.0), None, Some(13.0), Some(12.0)]
    );
    assert_eq!(apart.solution.source_amperes, [-1.0, 2.0]);
}

#[test]
fn sources_in_conflict_are_no_matter_of_one_piece() {
    let branches = [(0, 1, 0.0), (0, 2, f64::NAN)];
    let found = solve_apart(&network(&[(0, 12.0), (1, 13.0)], &branches, &[]));
    assert_eq!(
        found,
        Err(Unsolved::SourcesInConflict {
            first: 0,
            second: 1
        })
    );
}

#[test]
fn what_has_a_solution_as_a_whole_is_solved_as_a_whole() {
    let whole = network(
        &[(0, 12.0)],
        &[(0, 1, 1.0), (0, 2, 1.0)],
        &[(2, Draw::Watts(9.0))],
    );
    let apart = solve_apart(&whole).unwrap();
    assert_eq!((Ok(apart.solution), apart.stuck), (solve(&whole), vec![]));
}
