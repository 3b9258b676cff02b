//! Has circuits solved by ngspice, a general-purpose circuit simulator.

use std::collections::HashMap;
use std::fmt::Write;
use std::process::Command;

use super::conductors::Circuit;
use super::dense::Solution;
use crate::support::net::Draw;

/// Which simulator answers.
pub fn version() -> String {
    let output = ngspice(&["--version"]);
    let line = output.lines().find(|line| line.contains("ngspice-"));
    line.unwrap_or("ngspice")
        .trim_matches([' ', '*'])
        .to_string()
}

/// Solves circuits in one run of the simulator. Each has a source.
pub fn solve(name: &str, circuits: &[&Circuit]) -> Vec<Solution> {
    let path = format!("{}/{name}.cir", env!("CARGO_TARGET_TMPDIR"));
    std::fs::write(&path, netlist(circuits)).unwrap();
    let output = ngspice(&["-b", &path]);
    let values: HashMap<&str, f64> = output
        .lines()
        .filter_map(|line| line.split_once(" = "))
        .filter_map(|(name, value)| Some((name.trim(), value.trim().parse().ok()?)))
        .collect();
    // It says that all is well even where it has found nothing.
    let value = |name: String| {
        let value = values.get(name.as_str());
        *value.unwrap_or_else(|| panic!("no {name} from {path}:\n{output}"))
    };
    let solution = |(index, circuit): (usize, &&Circuit)| Solution {
        volts: std::iter::once(0.0)
            .chain((1..circuit.nodes).map(|node| value(format!("c{index}n{node}"))))
            .collect(),
        source_amperes: (0..circuit.sources.len())
            .map(|source| -value(format!("vc{index}s{source}#branch")))
            .collect(),
    };
    circuits.iter().enumerate().map(solution).collect()
}

fn ngspice(arguments: &[&str]) -> String {
    let output = Command::new("ngspice").args(arguments).output();
    let output = output.unwrap_or_else(|error| {
        panic!(
            "cannot run ngspice: {error}. `tests/run published` installs it; by hand it is the \
             Debian package `ngspice`."
        )
    });
    let error = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "ngspice {arguments:?}: {error}");
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// All circuits beside each other; they share the ground and nothing else.
///
/// A power load has two solutions, of which the simulator finds the one that it starts near: so it
/// starts with every positive at the highest source, and every negative at ground.
fn netlist(circuits: &[&Circuit]) -> String {
    let mut text = String::from("* random plans of wired security systems\n");
    for (index, circuit) in circuits.iter().enumerate() {
        write(&mut text, index, circuit).unwrap();
    }
    text += ".options reltol=1e-12 abstol=1e-16 vntol=1e-13 gmin=1e-18 itl1=500\n\
             .control\nset numdgt=15\nset width=200\nop\nprint all\nquit\n.endc\n.end\n";
    text
}

fn write(text: &mut String, index: usize, circuit: &Circuit) -> std::fmt::Result {
    let node = |node: usize| match node {
        0 => "0".to_string(),
        _ => format!("c{index}n{node}"),
    };
    for (at, &(a, b, ohms)) in circuit.resistors.iter().enumerate() {
        writeln!(text, "Rc{index}r{at} {} {} {ohms}", node(a), node(b))?;
    }
    for (at, &(positive, negative, volts)) in circuit.sources.iter().enumerate() {
        let (positive, negative) = (node(positive), node(negative));
        writeln!(text, "Vc{index}s{at} {positive} {negative} DC {volts}")?;
    }
    for (at, &(positive, negative, draw)) in circuit.loads.iter().enumerate() {
        let (positive, negative) = (node(positive), node(negative));
        match draw {
            Draw::Amperes(amperes) => {
                writeln!(text, "Ic{index}l{at} {positive} {negative} DC {amperes}")?;
            }
            Draw::Watts(watts) => writeln!(
                text,
                "Bc{index}l{at} {positive} {negative} I={watts}/V({positive},{negative})"
            )?,
            Draw::Ohms(ohms) => writeln!(text, "Rc{index}l{at} {positive} {negative} {ohms}")?,
        }
    }
    for at in 1..circuit.nodes {
        let volts = if Circuit::is_positive(at) {
            circuit.highest()
        } else {
            0.0
        };
        writeln!(text, ".nodeset v({})={volts}", node(at))?;
    }
    Ok(())
}
