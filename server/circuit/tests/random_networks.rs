//! Properties of solved networks, over random trees, rings and meshes with joints, several sources
//! and mixed loads.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking"
)]

mod support;

use bellwire_circuit::{Branch, Draw, Load, Network, Solution, Solver, Source, Unsolved, solve};
use proptest::prelude::*;
use support::{Dense, dense};

/// What the loads of a random network may be.
#[derive(Clone, Copy, PartialEq)]
enum Loads {
    Any,
    AmperesAndWatts,
    Amperes,
}

fn draw(loads: Loads) -> BoxedStrategy<Draw> {
    let amperes = (0.0..1.0_f64).prop_map(Draw::Amperes);
    match loads {
        Loads::Amperes => amperes.boxed(),
        Loads::AmperesAndWatts => {
            prop_oneof![amperes, (0.0..6.0_f64).prop_map(Draw::Watts)].boxed()
        }
        Loads::Any => prop_oneof![
            2 => amperes,
            3 => (0.0..6.0_f64).prop_map(Draw::Watts),
            2 => (1.0..4.0_f64).prop_map(|power| Draw::Ohms(10_f64.powf(power))),
            1 => Just(Draw::Watts(0.0)),
        ]
        .boxed(),
    }
}

fn ohms() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => (-2.0..1.0_f64).prop_map(|power| 10_f64.powf(power)),
        1 => Just(0.0),
    ]
}

/// Networks of up to 14 nodes: a random tree (of which some branches may be missing, so that parts
/// are not fed) and up to `rings` branches more.
fn networks(rings: usize, sources: usize, loads: Loads) -> impl Strategy<Value = Network> {
    (2_usize..15)
        .prop_flat_map(move |nodes| {
            let parents: Vec<_> = (1..nodes)
                .map(|node| (Just(node), 0..node, ohms(), any::<bool>(), 0_u8..25))
                .collect();
            (
                Just(nodes),
                parents,
                prop::collection::vec((0..nodes, 0..nodes, ohms()), 0..=rings),
                prop::collection::vec((0..nodes, 9.0..15.0_f64), 1..=sources),
                prop::collection::vec((0..nodes, draw(loads)), 0..10),
            )
        })
        .prop_map(|(nodes, parents, extra, sources, loads)| {
            let tree = parents
                .into_iter()
                .filter(|(.., missing)| *missing > 0)
                .map(|(node, parent, ohms, turned, _)| {
                    let (from, to) = if turned {
                        (node, parent)
                    } else {
                        (parent, node)
                    };
                    Branch { from, to, ohms }
                });
            let extra = extra
                .into_iter()
                .map(|(from, to, ohms)| Branch { from, to, ohms });
            Network {
                nodes,
                branches: tree.chain(extra).collect(),
                sources: sources
                    .into_iter()
                    .map(|(node, volts)| Source { node, volts })
                    .collect(),
                loads: loads
                    .into_iter()
                    .map(|(node, draw)| Load { node, draw })
                    .collect(),
            }
        })
}

fn any_network() -> impl Strategy<Value = Network> {
    prop_oneof![
        networks(0, 1, Loads::Any),
        networks(1, 1, Loads::Any),
        networks(8, 1, Loads::Any),
        networks(5, 3, Loads::Any),
    ]
}

/// What flows into each node less what flows out, and the most that flows at any.
fn kirchhoff(network: &Network, solution: &Solution) -> (f64, f64) {
    let mut sum = vec![0.0; network.nodes];
    let mut most: f64 = 0.0;
    for (source, amperes) in network.sources.iter().zip(&solution.source_amperes) {
        sum[source.node] += amperes;
        most = most.max(amperes.abs());
    }
    for (branch, amperes) in network.branches.iter().zip(&solution.branch_amperes) {
        sum[branch.from] -= amperes;
        sum[branch.to] += amperes;
        most = most.max(amperes.abs());
    }
    for (load, amperes) in network.loads.iter().zip(&solution.load_amperes) {
        sum[load.node] -= amperes;
        most = most.max(amperes.abs());
    }
    let residual = sum
        .into_iter()
        .fold(0.0, |worst: f64, sum| worst.max(sum.abs()));
    (residual, most)
}

fn with_draw(network: &Network, load: usize, draw: Draw) -> Network {
    let mut changed = network.clone();
    changed.loads[load].draw = draw;
    changed
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    /// Source: a dense solve with the nalgebra library.
    #[test]
    fn agrees_with_a_dense_solve(network in any_network()) {
        match solve(&network) {
            Ok(solution) => {
                let Dense::Solved(theirs) = dense(&network, 1_000_000) else {
                    panic!("the dense solve finds no solution");
                };
                for (ours, theirs) in solution.volts.iter().zip(&theirs) {
                    prop_assert_eq!(ours.is_some(), theirs.is_some());
                    if let (Some(ours), Some(theirs)) = (ours, theirs) {
                        let off = support::relative(*ours, *theirs);
                        prop_assert!(off <= 1e-9, "{} against {}: {:e}", ours, theirs, off);
                    }
                }
                for (branch, ours) in network.branches.iter().zip(&solution.branch_amperes) {
                    if branch.ohms == 0.0 {
                        continue;
                    }
                    let theirs = match (theirs[branch.from], theirs[branch.to]) {
                        (Some(from), Some(to)) => (from - to) / branch.ohms,
                        _ => 0.0,
                    };
                    // A volt's last digits over the branch's ohms.
                    let room = 1e-9 * theirs.abs() + 1e-12 * 15.0 / branch.ohms;
                    prop_assert!((ours - theirs).abs() <= room, "{} against {}", ours, theirs);
                }
            }
            Err(Unsolved::SourcesInConflict { first, second }) => {
                let (first, second) = (network.sources[first], network.sources[second]);
                prop_assert!(first.volts != second.volts);
            }
            Err(Unsolved::CannotBeFed { load, node, most, wanted, .. }) => {
                prop_assert_eq!(network.loads[load].node, node);
                let at = |value: f64| match network.loads[load].draw {
                    Draw::Amperes(_) => Draw::Amperes(value),
                    Draw::Watts(_) => Draw::Watts(value),
                    Draw::Ohms(_) => panic!("a resistor can always be fed"),
                };
                prop_assert_eq!(network.loads[load].draw, at(wanted));
                prop_assert!((0.0..=wanted).contains(&most));
                let beyond = with_draw(&network, load, at(most * 1.01));
                let falls = !matches!(dense(&beyond, 5_000), Dense::Solved(_));
                prop_assert!(falls, "more than the most can be fed");
                if most > 0.0 {
                    let within = with_draw(&network, load, at(most * 0.99));
                    let feeds = matches!(dense(&within, 1_000_000), Dense::Solved(_));
                    prop_assert!(feeds, "less than the most cannot be fed");
                    prop_assert!(solve(&within).is_ok());
                }
            }
            Err(other) => panic!("{other}"),
        }
    }

    #[test]
    fn a_solver_keeps_nothing_but_what_stays_the_same(
        network in any_network(),
        volts in 9.0..15.0_f64,
        drawn in draw(Loads::Any),
        node in any::<prop::sample::Index>(),
    ) {
        let mut lower = network.clone();
        lower.sources[0].volts = volts;
        for load in &mut lower.loads {
            load.draw = drawn;
        }
        let mut moved = network.clone();
        moved.sources[0].node = node.index(network.nodes);
        let mut longer = network.clone();
        for branch in &mut longer.branches {
            branch.ohms += 0.1;
        }
        let mut solver = Solver::default();
        for network in [&network, &lower, &moved, &longer, &network] {
            prop_assert_eq!(solver.solve(network), solve(network));
        }
    }

    #[test]
    fn currents_sum_to_zero_at_every_node(network in any_network()) {
        if let Ok(solution) = solve(&network) {
            let (residual, most) = kirchhoff(&network, &solution);
            prop_assert!(residual <= 1e-10 * most.max(1e-3), "{:e} of {}", residual, most);
            for (load, amperes) in network.loads.iter().zip(&solution.load_amperes) {
                let Some(volts) = solution.volts[load.node] else {
                    prop_assert_eq!(*amperes, 0.0);
                    continue;
                };
                prop_assert!(volts > 0.0);
                let (ours, asked) = match load.draw {
                    Draw::Amperes(asked) => (*amperes, asked),
                    Draw::Watts(asked) => (volts * amperes, asked),
                    Draw::Ohms(ohms) => (amperes * ohms, volts),
                };
                prop_assert!(support::relative(ours, asked) <= 1e-9);
            }
        }
    }

    #[test]
    fn drops_of_constant_currents_add_up(network in networks(6, 1, Loads::Amperes)) {
        let part = |keep: &dyn Fn(usize) -> bool| {
            let mut part = network.clone();
            for (index, load) in part.loads.iter_mut().enumerate() {
                if !keep(index) {
                    load.draw = Draw::Amperes(0.0);
                }
            }
            solve(&part)
        };
        if let Ok(all) = solve(&network) {
            let even = part(&|index| index % 2 == 0).unwrap();
            let odd = part(&|index| index % 2 == 1).unwrap();
            let source = network.sources[0].volts;
            for node in 0..network.nodes {
                let drop = |solution: &Solution| solution.volts[node].map(|volts| source - volts);
                let (Some(all), Some(even), Some(odd)) = (drop(&all), drop(&even), drop(&odd))
                else {
                    continue;
                };
                prop_assert!((all - even - odd).abs() <= 1e-12 * source);
            }
        }
    }

    /// In a tree of loads that do not draw less at less voltage. A resistor behind longer cable
    /// draws less, which raises the nodes before it; and in a ring, longer cable between two loads
    /// frees the one from the other.
    #[test]
    fn more_cable_never_raises_a_voltage(
        network in networks(0, 1, Loads::AmperesAndWatts),
        branch in any::<prop::sample::Index>(),
        factor in 1.0..3.0_f64,
    ) {
        if network.branches.is_empty() {
            return Ok(());
        }
        let mut longer = network.clone();
        let changed = branch.index(longer.branches.len());
        longer.branches[changed].ohms = longer.branches[changed].ohms * factor + 0.01 * (factor - 1.0);
        match (solve(&network), solve(&longer)) {
            (Ok(before), Ok(after)) => {
                for (before, after) in before.volts.iter().zip(&after.volts) {
                    if let (Some(before), Some(after)) = (before, after) {
                        prop_assert!(*after <= before * (1.0 + 1e-9));
                    }
                }
            }
            (Err(_), after) => prop_assert!(after.is_err(), "more cable made it work"),
            (Ok(_), Err(after)) => {
                let fed = matches!(after, Unsolved::CannotBeFed { .. });
                prop_assert!(fed, "{}", after);
            }
        }
    }

    /// Rayleigh's law: in any shape, for the one load that there is.
    #[test]
    fn more_cable_never_helps_a_single_load(
        network in networks(6, 1, Loads::Any),
        branch in any::<prop::sample::Index>(),
        more in 0.0..3.0_f64,
    ) {
        let mut before = network;
        before.loads.truncate(1);
        if before.branches.is_empty() || before.loads.is_empty() {
            return Ok(());
        }
        let mut after = before.clone();
        let changed = branch.index(after.branches.len());
        after.branches[changed].ohms += more;
        let node = before.loads[0].node;
        match (solve(&before), solve(&after)) {
            (Ok(before), Ok(after)) => {
                let (before, after) = (before.volts[node], after.volts[node]);
                prop_assert!(after.unwrap_or(0.0) <= before.unwrap_or(0.0) * (1.0 + 1e-9));
            }
            (Err(_), after) => prop_assert!(after.is_err(), "more cable made it work"),
            (Ok(_), Err(after)) => {
                let fed = matches!(after, Unsolved::CannotBeFed { load: 0, .. });
                prop_assert!(fed, "{}", after);
            }
        }
    }

    #[test]
    fn a_doubled_core_halves_its_leg(
        network in networks(6, 1, Loads::Any),
        branch in any::<prop::sample::Index>(),
    ) {
        if network.branches.is_empty() {
            return Ok(());
        }
        // A doubled pair is two branches side by side, or one of half the ohms.
        let doubled = branch.index(network.branches.len());
        let mut beside = network.clone();
        beside.branches.push(network.branches[doubled]);
        let mut halved = network.clone();
        halved.branches[doubled].ohms /= 2.0;
        match (solve(&beside), solve(&halved)) {
            (Ok(beside), Ok(halved)) => {
                for (beside, halved) in beside.volts.iter().zip(&halved.volts) {
                    prop_assert_eq!(beside.is_some(), halved.is_some());
                    if let (Some(beside), Some(halved)) = (beside, halved) {
                        prop_assert!(support::relative(*beside, *halved) <= 1e-9);
                    }
                }
                let last = beside.branch_amperes.len() - 1;
                if network.branches[doubled].ohms > 0.0 {
                    let both = beside.branch_amperes[doubled] + beside.branch_amperes[last];
                    let one = halved.branch_amperes[doubled];
                    prop_assert!((both - one).abs() <= 1e-9 * one.abs().max(1.0));
                }
            }
            (beside, halved) => prop_assert_eq!(beside.is_err(), halved.is_err()),
        }
    }
}
