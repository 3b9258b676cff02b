//! Laws that random plans obey, and a count that comes out. No source but the laws themselves.

use std::collections::BTreeSet;

use bellwire_plan::figures::State;
use proptest::prelude::*;
use proptest::sample::Index;

use crate::random::{Job, Loads, Place, Shapes, jobs};
use crate::support::cases;
use crate::support::net::Draw;
use crate::support::plan::Plan;
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "laws of circuits, and of counting",
    known: "computed in the test",
    checks: &[
        ("drops of constant currents add up", superposition),
        ("more cable never raises a voltage in a tree", more_cable),
        ("a doubled core halves its leg", doubled),
        ("free and taken addresses are the range", addresses),
    ],
};

fn devices(job: &Job) -> impl Iterator<Item = String> + '_ {
    let places = job.places.iter().enumerate();
    places
        .filter(|(_, place)| !place.is_joint())
        .map(|(index, _)| format!("p{index}"))
}

/// In any shape with one supply. Loads that are not kept draw nothing.
fn superposition(checks: &mut Checks) {
    let check = |job: &Job, checks: &mut Checks| {
        let part = |keep: usize| {
            let mut part = job.clone();
            for (index, place) in part.places.iter_mut().enumerate() {
                if index % 2 != keep && !place.is_joint() {
                    let nothing = Some(Draw::Amperes(0.0));
                    *place = Place::Device {
                        standby: nothing,
                        alarm: nothing,
                    };
                }
            }
            Plan::new(&part.text())
        };
        let (all, even, odd) = (Plan::new(&job.text()), part(0), part(1));
        for name in devices(job) {
            for state in State::ALL {
                let drop = |plan: &Plan| plan.device(&name, state).map(|state| state.drop);
                // A sum that is fed has parts that are fed.
                if let Ok(sum) = drop(&all) {
                    let parts = drop(&even).unwrap() + drop(&odd).unwrap();
                    let volts = job.supplies[0].volts;
                    checks.agree_beside(&name, sum, parts, volts, 1e-9);
                }
            }
        }
    };
    let strategy = jobs(Shapes::OneSupply, Loads::Amperes);
    cases::check(checks, 300, &strategy, Job::text, check);
}

/// Only in a tree of loads that do not draw less at less voltage. A resistor behind longer cable
/// draws less, which raises the devices before it; and in a ring, longer cable between two loads
/// frees the one from the other.
fn more_cable(checks: &mut Checks) {
    type Case = (Job, Index, u32);
    let check = |(job, at, metres): &Case, checks: &mut Checks| {
        let mut longer = job.clone();
        let paths = longer.runs.iter_mut().flat_map(|run| &mut run.paths);
        let mut legs: Vec<_> = paths.flat_map(|path| &mut path.legs).collect();
        let leg = at.index(legs.len());
        legs[leg].0 += f64::from(*metres);
        let (before, after) = (Plan::new(&job.text()), Plan::new(&longer.text()));
        for name in devices(job) {
            for state in State::ALL {
                let volts = |plan: &Plan| plan.device(&name, state).map(|state| state.volts);
                let never = match (volts(&before), volts(&after)) {
                    (Ok(before), Ok(after)) => after <= before * (1.0 + 1e-9),
                    (Err(_), after) => after.is_err(),
                    (Ok(_), Err(why)) => why.as_str().starts_with("the cable cannot feed"),
                };
                checks.same(format!("{name}, {state:?}, leg {leg}"), never, true);
            }
        }
    };
    let strategy = (
        jobs(Shapes::Trees, Loads::AmperesAndWatts),
        any::<Index>(),
        1..50_u32,
    );
    cases::check(checks, 400, &strategy, |case| case.0.text(), check);
}

/// Every figure is that of a run half as long; and a leg is half of what it was but for the joints
/// at its ends.
fn doubled(checks: &mut Checks) {
    type Case = (Job, Index);
    let check = |(job, at): &Case, checks: &mut Checks| {
        let run = at.index(job.runs.len());
        let with = |job: &Job, change: &dyn Fn(&mut crate::random::Run)| {
            let mut job = job.clone();
            job.runs[run].doubled = false;
            change(&mut job.runs[run]);
            Plan::new(&job.text())
        };
        let halve = |run: &mut crate::random::Run| {
            for path in &mut run.paths {
                for leg in &mut path.legs {
                    leg.0 /= 2.0;
                }
            }
        };
        let (single, doubled) = (with(job, &|_| ()), with(job, &|run| run.doubled = true));
        let name = format!("r{run}");
        let legs = single.legs(&name).iter().zip(doubled.legs(&name));
        for (single, doubled) in legs {
            checks.agree(&name, doubled.ohms, single.ohms / 2.0, 1e-9);
        }
        // Half the cable does not have half the joints.
        let mut bare = job.clone();
        for place in &mut bare.places {
            if let Place::Joint { ohms } = place {
                *ohms = 0.0;
            }
        }
        let (doubled, halved) = (with(&bare, &|run| run.doubled = true), with(&bare, &halve));
        for name in devices(job) {
            for state in State::ALL {
                let volts = |plan: &Plan| plan.device(&name, state).map(|state| state.volts);
                match (volts(&doubled), volts(&halved)) {
                    (Ok(doubled), Ok(halved)) => checks.agree(&name, doubled, halved, 1e-9),
                    (doubled, halved) => checks.same(&name, doubled.is_err(), halved.is_err()),
                }
            }
        }
    };
    let strategy = (jobs(Shapes::Any, Loads::Any), any::<Index>());
    cases::check(checks, 300, &strategy, |case| case.0.text(), check);
}

/// A bus with ranges for two kinds, some of it taken, some twice or outside.
#[derive(Debug, Clone)]
struct Bus {
    keypads: (u32, u32),
    expanders: (u32, u32),
    /// Whether each device is a keypad, and its address.
    devices: Vec<(bool, u32)>,
}

impl Bus {
    fn text(&self) -> String {
        let ((a, b), (c, d)) = (self.keypads, self.expanders);
        let devices = self.devices.iter().enumerate();
        let devices: Vec<String> = devices
            .map(|(index, (keypad, address))| match keypad {
                true => format!("keypad d{index} : K, address {address}"),
                false => format!("expander d{index} : X, address {address}"),
            })
            .collect();
        format!(
            "model keypad K {{ standby 10 mA }}
             model expander X {{ standby 10 mA }}
             model panel P {{
               output aux 13.8 V
               bus keys {{
                 power aux
                 addresses {a} .. {d}
                 place keypad {a} .. {b}
                 place expander {c} .. {d}
               }}
             }}
             site one {{
               panel p : P {{
                 bus keys {{
                   {}
                 }}
               }}
             }}",
            devices.join("\n")
        )
    }
}

fn addresses(checks: &mut Checks) {
    let strategy = (
        0..5_u32,
        1..20_u32,
        1..20_u32,
        prop::collection::vec((any::<bool>(), 0..50_u32), 0..25),
    )
        .prop_map(|(first, keypads, expanders, devices)| Bus {
            keypads: (first, first + keypads - 1),
            expanders: (first + keypads, first + keypads + expanders - 1),
            devices,
        });
    let check = |bus: &Bus, checks: &mut Checks| {
        let plan = Plan::new(&bus.text());
        let figures = plan.bus();
        let taken: BTreeSet<u32> = figures.taken.keys().copied().collect();
        let asked: BTreeSet<u32> = bus.devices.iter().map(|device| device.1).collect();
        checks.same("taken", &taken, &asked);
        for (kind, (first, last)) in [("keypad", bus.keypads), ("expander", bus.expanders)] {
            let range: BTreeSet<u32> = (first..=last).collect();
            let mut free = figures.free.iter();
            let free = free.find(|(free, _)| free.name == kind);
            let free: BTreeSet<u32> =
                free.map_or_else(BTreeSet::new, |free| free.1.iter().copied().collect());
            let taken: BTreeSet<u32> = taken.intersection(&range).copied().collect();
            checks.same(format!("{kind}: both"), &free & &taken, BTreeSet::new());
            checks.same(format!("{kind}: either"), &free | &taken, range);
        }
    };
    cases::check(checks, 500, &strategy, Bus::text, check);
}
