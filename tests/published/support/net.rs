//! Networks as textbooks and simulators draw them, numbered points with resistances between them,
//! written as plans.

use std::fmt::Write;

use bellwire_plan::figures::State;

use crate::support::plan::Plan;

/// What a load draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Draw {
    Amperes(f64),
    Watts(f64),
    Ohms(f64),
}

impl Draw {
    /// As a plan says it.
    pub fn text(self) -> String {
        match self {
            Draw::Amperes(amperes) => format!("{amperes} A"),
            Draw::Watts(watts) => format!("{watts} W"),
            Draw::Ohms(ohms) => format!("{ohms} ohm"),
        }
    }
}

/// A network of numbered points.
#[derive(Debug, Clone, Default)]
pub struct Net {
    /// Point and volts.
    pub sources: Vec<(usize, f64)>,
    /// From, to, and the ohms of both conductors together.
    pub branches: Vec<(usize, usize, f64)>,
    /// Point and draw.
    pub loads: Vec<(usize, Draw)>,
}

impl Net {
    /// Points 0, 1, 2 … in a line, a constant current at each from 1 on.
    pub fn line(sources: &[(usize, f64)], ohms: &[f64], amperes: &[f64]) -> Net {
        Net {
            sources: sources.to_vec(),
            branches: ohms
                .iter()
                .enumerate()
                .map(|(at, &ohms)| (at, at + 1, ohms))
                .collect(),
            loads: amperes
                .iter()
                .enumerate()
                .map(|(at, &amperes)| (at + 1, Draw::Amperes(amperes)))
                .collect(),
        }
    }

    /// The plan. Every branch is a run of its own, of a cable that has one ohm a metre in both
    /// conductors together; every point that is no output is a device, and further loads of a
    /// point are devices on no cable at all.
    pub fn text(&self) -> String {
        let mut models = String::from("model cable pair { resistance 0.5 ohm/m }\n");
        let mut site = String::new();
        for (point, volts) in &self.sources {
            writeln!(
                models,
                "model supply S{point} {{ output out {volts} V }}\nmodel detector D{point} {{ standby 0 A }}"
            )
            .unwrap();
            writeln!(site, "supply s{point} : S{point}").unwrap();
        }
        let points = self.branches.iter().flat_map(|branch| [branch.0, branch.1]);
        let points: std::collections::BTreeSet<usize> = points.collect();
        for &point in &points {
            let loads = self.loads.iter().filter(|load| load.0 == point);
            let mut draws: Vec<Draw> = loads.map(|load| load.1).collect();
            let is_source = self.is_source(point);
            if !is_source && draws.is_empty() {
                draws.push(Draw::Amperes(0.0));
            }
            for (index, draw) in draws.iter().enumerate() {
                let name = match (is_source, index) {
                    (false, 0) => format!("p{point}"),
                    _ => format!("p{point}-{index}"),
                };
                writeln!(
                    models,
                    "model detector M{name} {{ standby {} }}",
                    draw.text()
                )
                .unwrap();
                writeln!(site, "detector {name} : M{name}").unwrap();
                let terminal = self.terminal(point);
                if name != terminal {
                    writeln!(site, "run r{name} : pair {{ {terminal} --0 m-- {name} }}").unwrap();
                }
            }
        }
        for (index, (from, to, ohms)) in self.branches.iter().enumerate() {
            let (from, to) = (self.terminal(*from), self.terminal(*to));
            writeln!(site, "run b{index} : pair {{ {from} --{ohms} m-- {to} }}").unwrap();
        }
        format!("{models}site net {{\n{site}}}\n")
    }

    fn is_source(&self, point: usize) -> bool {
        self.sources.iter().any(|source| source.0 == point)
    }

    fn terminal(&self, point: usize) -> String {
        if self.is_source(point) {
            format!("s{point}.out")
        } else {
            format!("p{point}")
        }
    }

    /// Works the plan out.
    pub fn solve(&self) -> Solution<'_> {
        Solution {
            net: self,
            plan: Plan::new(&self.text()),
        }
    }
}

/// The figures of a network's plan.
pub struct Solution<'a> {
    net: &'a Net,
    plan: Plan,
}

const STATE: State = State::MainsStandby;

impl Solution<'_> {
    /// At a point.
    #[track_caller]
    pub fn volts(&self, point: usize) -> f64 {
        let name = self.net.terminal(point);
        if self.net.is_source(point) {
            self.plan.output(&name, STATE).unwrap().volts
        } else {
            self.plan.device(&name, STATE).unwrap().volts
        }
    }

    /// Of the device there, or why it has none.
    pub fn unsolved(&self, point: usize) -> Option<String> {
        let state = self.plan.device(&self.net.terminal(point), STATE);
        state.err().map(|why| why.to_string())
    }

    /// The lowest of all points.
    pub fn least_volts(&self) -> f64 {
        let points = self
            .net
            .branches
            .iter()
            .flat_map(|branch| [branch.0, branch.1]);
        points
            .map(|point| self.volts(point))
            .fold(f64::INFINITY, f64::min)
    }

    /// Out of a source.
    #[track_caller]
    pub fn source_amperes(&self, point: usize) -> f64 {
        let name = self.net.terminal(point);
        self.plan.output(&name, STATE).unwrap().amperes
    }

    /// Through a branch, from its first point to its second.
    #[track_caller]
    pub fn branch_amperes(&self, branch: usize) -> f64 {
        let legs = self.plan.legs(&format!("b{branch}"));
        legs[0].states[STATE].as_ref().unwrap().amperes
    }

    /// Lost in all branches, watts.
    pub fn loss(&self) -> f64 {
        let legs = (0..self.net.branches.len()).map(|branch| {
            let leg = &self.plan.legs(&format!("b{branch}"))[0];
            let state = leg.states[STATE].as_ref().unwrap();
            state.amperes * state.drop
        });
        legs.sum()
    }

    /// The plan.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }
}
