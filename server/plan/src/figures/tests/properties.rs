//! Laws that every network obeys, over random plans.

use proptest::prelude::*;

use super::power::MODELS;
use super::*;
use crate::figures::{Carried, WhatIf};

/// A tree of keypads: for each, the one before it (0 is the output), metres of
/// cable to it, and its draw in standby.
type Tree = Vec<(usize, f64, f64)>;

fn trees() -> impl Strategy<Value = Tree> {
    let node = (any::<prop::sample::Index>(), 1.0..40.0, 1.0..40.0);
    prop::collection::vec(node, 1..12).prop_map(|nodes| {
        let place = |(index, node): (usize, (prop::sample::Index, f64, f64))| {
            (node.0.index(index + 1), node.1, node.2)
        };
        nodes.into_iter().enumerate().map(place).collect()
    })
}

/// A plan of the tree; `draws` gives the milliamperes of each device.
fn plan(tree: &Tree, draws: impl Fn(usize) -> f64) -> String {
    let mut text = String::from(
        "model cable pair { resistance 50 ohm/km }\nmodel panel P { output aux 30 V }\n",
    );
    let mut site = String::from("site s {\n  panel main : P\n");
    let mut runs = String::new();
    for (index, (before, metres, _)) in tree.iter().enumerate() {
        text += &format!("model keypad K{index} {{ standby {} mA }}\n", draws(index));
        site += &format!("  keypad k{index} : K{index}\n");
        let from = match before.checked_sub(1) {
            Some(before) => format!("k{before}"),
            None => "main.aux".to_string(),
        };
        runs += &format!("  run r{index} : pair {{ {from} --{metres} m-- k{index} }}\n");
    }
    text + &site + &runs + "}\n"
}

fn drops(text: &str) -> Vec<f64> {
    let (_, figures) = solved(text);
    let state = |device: &crate::figures::DeviceFigures| {
        let got = device.states[State::MainsStandby].as_ref();
        got.expect("is not solved").drop
    };
    figures.devices.iter().map(state).collect()
}

/// Where runs begin, and what they name.
const STARTS: [&str; 10] = [
    "main.keys",
    "main.aux",
    "main.siren",
    "main.aux + main.1",
    "main.aux + main.siren",
    "main.2",
    "k0",
    "c0",
    "j0",
    "j1",
];
const STOPS: [&str; 8] = ["k0", "k1", "c0", "c1", "b0", "t0", "j0", "j1"];

/// Runs of a path or more, and the same with runs and their paths in another order.
fn runs() -> impl Strategy<Value = [Vec<String>; 2]> {
    let stops = prop::sample::subsequence(&STOPS[..], 1..4).prop_shuffle();
    let path = (prop::sample::select(&STARTS[..]), stops).prop_map(|(start, stops)| {
        let others = stops.into_iter().filter(|stop| *stop != start);
        let legs: String = others.map(|stop| format!(" --9 m-- {stop}")).collect();
        format!("{start}{legs}")
    });
    let paths = prop::collection::vec(path, 1..4);
    let run = |(index, paths): (usize, &Vec<String>)| {
        format!("  run r{index} : quad {{\n{}\n}}\n", paths.join("\n"))
    };
    let written = move |runs: &[Vec<String>]| runs.iter().enumerate().map(run).collect();
    prop::collection::vec(paths, 2..6).prop_flat_map(move |runs| {
        let shuffled = runs.iter().map(|paths| Just(paths.clone()).prop_shuffle());
        let shuffled: Vec<_> = shuffled.collect();
        let shuffled = shuffled.prop_map(move |runs| written(&runs)).prop_shuffle();
        shuffled.prop_map(move |shuffled: Vec<String>| [written(&runs), shuffled])
    })
}

/// What each path carries, by the name of its run and what it names.
fn carried(runs: &[String]) -> Vec<(String, String, Carried)> {
    let text = format!(
        "{MODELS}site s {{
  panel main : P {{
    bus keys {{
      keypad k0 : K, address 1
      keypad k1 : K, address 2
    }}
    zone 1, input 1, from c0, loop single
    zone 2, input 2, from c1, loop single
  }}
  detector c0 : C
  detector c1 : C
  sounder b0 : B
  sounder t0 : TR
  joint j0
  joint j1
{}}}
",
        runs.concat()
    );
    let site = Plan::new(&text).site(&mut Vec::new());
    let figures = figures(&site);
    let paths = figures.paths.into_iter();
    let mut carried: Vec<_> = paths
        .map(|path| {
            let mut carries = path.carries;
            carries.power.sort_unstable();
            carries.data.sort_unstable();
            carries.loops.sort_unstable();
            let run = &site.runs[path.run];
            let named = run.paths[path.path].terminals();
            let named: Vec<String> = named.map(|at| site.terminal_name(at.value)).collect();
            (run.name.value.clone(), named.join(" "), carries)
        })
        .collect();
    carried.sort_by(|a, b| (&a.0, &a.1).cmp(&(&b.0, &b.1)));
    carried
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn what_a_run_carries_is_the_same_wherever_it_stands([runs, shuffled] in runs()) {
        prop_assert_eq!(carried(&runs), carried(&shuffled));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// What two sets of loads lose together is the sum of what each loses alone.
    #[test]
    fn losses_add_up(tree in trees()) {
        let some = drops(&plan(&tree, |index| if index % 2 == 0 { tree[index].2 } else { 0.0 }));
        let rest = drops(&plan(&tree, |index| if index % 2 == 0 { 0.0 } else { tree[index].2 }));
        let all = drops(&plan(&tree, |index| tree[index].2));
        for ((some, rest), all) in some.iter().zip(&rest).zip(&all) {
            prop_assert!((some + rest - all).abs() < 1e-9, "{some} + {rest} is not {all}");
        }
    }

    /// Twice the load loses twice as much.
    #[test]
    fn losses_are_in_proportion(tree in trees()) {
        let once = drops(&plan(&tree, |index| tree[index].2));
        let twice = drops(&plan(&tree, |index| 2.0 * tree[index].2));
        for (once, twice) in once.iter().zip(&twice) {
            prop_assert!((2.0 * once - twice).abs() < 1e-9);
        }
    }

    /// A load anywhere loses at another place what the same load there loses here.
    #[test]
    fn two_places_are_alike_to_each_other(tree in trees(), pick in any::<[prop::sample::Index; 2]>()) {
        let [a, b] = pick.map(|pick| pick.index(tree.len()));
        let from_a = drops(&plan(&tree, |index| if index == a { 30.0 } else { 0.0 }));
        let from_b = drops(&plan(&tree, |index| if index == b { 30.0 } else { 0.0 }));
        prop_assert!((from_a[b] - from_b[a]).abs() < 1e-9);
    }

    /// The output carries what the devices draw, and the legs of a route lose
    /// together what is lost at its end.
    #[test]
    fn nothing_gets_lost(tree in trees()) {
        let (site, figures) = solved(&plan(&tree, |index| tree[index].2));
        let state = State::MainsStandby;
        let carried = figures.outputs[0].states[state].as_ref().expect("is not solved").amperes;
        let drawn: f64 = tree.iter().map(|node| node.2 / 1000.0).sum();
        prop_assert!((carried - drawn).abs() < 1e-9);
        for device in &figures.devices {
            let route = WhatIf::new(&site, &figures).route(device.device, state).expect("a route");
            let lost: f64 = route.iter().map(|leg| leg.lost).sum();
            let drop = device.states[state].as_ref().expect("is not solved").drop;
            prop_assert!((lost - drop).abs() < 1e-9);
        }
    }
}
