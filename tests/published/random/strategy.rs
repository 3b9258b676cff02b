//! How random plans come about.
//!
//! Numbers have few digits, as in a plan: milliamperes, tenths of a watt and of a metre.

use proptest::prelude::*;
use proptest::sample::Index;

use super::{Cable, End, Job, Path, Place, Run, Supply};
use crate::support::net::Draw;

/// How the cable lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shapes {
    /// Chains, stars, trees, rings, meshes, and two supplies that meet at a device.
    Any,
    /// All but two supplies.
    OneSupply,
    /// One supply and no ring.
    Trees,
}

/// What devices draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loads {
    Any,
    AmperesAndWatts,
    Amperes,
}

/// Random jobs.
pub fn jobs(shapes: Shapes, loads: Loads) -> impl Strategy<Value = Job> {
    let shape = match shapes {
        Shapes::Any => 0..6_u8,
        Shapes::OneSupply => 0..5,
        Shapes::Trees => 0..3,
    };
    // How heavy the loads are; the heaviest are often too much for the cable.
    let weight = prop_oneof![3 => Just(1_u32), 3 => Just(4), 1 => Just(15)];
    (shape, weight, 1_usize..11)
        .prop_flat_map(move |(shape, weight, places)| {
            let places = prop::collection::vec((place(loads, weight), attachment()), places);
            let chords = prop::collection::vec((any::<Index>(), any::<Index>(), metres()), 2);
            (
                Just(shape),
                supply(),
                supply(),
                places,
                chords,
                cables(),
                20..60_u32,
            )
        })
        .prop_map(|(shape, first, second, places, chords, cables, celsius)| {
            lay(shape, [first, second], places, chords, cables, celsius)
        })
}

/// How a place hangs on what is before it.
#[derive(Debug, Clone)]
struct Attachment {
    to: Index,
    metres: f64,
    /// On the path before, on a path of its own, or on a run of its own.
    on: u8,
}

fn attachment() -> impl Strategy<Value = Attachment> {
    (any::<Index>(), metres(), 0..3_u8).prop_map(|(to, metres, on)| Attachment { to, metres, on })
}

fn metres() -> impl Strategy<Value = f64> {
    (5..600_u32).prop_map(|tenths| f64::from(tenths) / 10.0)
}

/// The battery at its end never gives more than the mains.
fn supply() -> impl Strategy<Value = Supply> {
    (
        prop_oneof![120..145_u32, 240..290_u32],
        prop::option::weighted(0.8, 95..=120_u32),
        prop::bool::weighted(0.15),
    )
        .prop_map(|(tenths, cutoff, in_alarm)| Supply {
            volts: f64::from(tenths) / 10.0,
            cutoff: cutoff.map(|tenths| f64::from(tenths) / 10.0),
            in_alarm,
        })
}

fn draw(loads: Loads, weight: u32) -> BoxedStrategy<Draw> {
    let amperes = (0..50_u32).prop_map(move |milli| Draw::Amperes(f64::from(weight * milli) / 1e3));
    let watts = (0..7_u32).prop_map(move |tenths| Draw::Watts(f64::from(weight * tenths) / 10.0));
    let ohms = (100..4000_u32).prop_map(move |ohms| Draw::Ohms(f64::from(ohms / weight)));
    match loads {
        Loads::Amperes => amperes.boxed(),
        Loads::AmperesAndWatts => prop_oneof![amperes, watts].boxed(),
        Loads::Any => prop_oneof![2 => amperes, 3 => watts, 1 => ohms].boxed(),
    }
}

fn place(loads: Loads, weight: u32) -> impl Strategy<Value = Place> {
    let draw = || draw(loads, weight);
    prop_oneof![
        3 => draw().prop_map(|draw| Place::Device { standby: Some(draw), alarm: None }),
        1 => draw().prop_map(|draw| Place::Device { standby: None, alarm: Some(draw) }),
        3 => (draw(), draw()).prop_map(|(standby, alarm)| Place::Device {
            standby: Some(standby),
            alarm: Some(alarm),
        }),
        2 => (0..30_u32).prop_map(|hundredths| Place::Joint {
            ohms: f64::from(hundredths) / 100.0,
        }),
    ]
}

fn cables() -> impl Strategy<Value = Vec<(Cable, bool)>> {
    let cable = prop_oneof![
        (100..1500_u32).prop_map(|tenths| Cable::Measured(f64::from(tenths) / 10.0)),
        (8..13_u32, any::<bool>(), any::<bool>()).prop_map(|(half, stranded, clad)| Cable::Gauge {
            awg: 2 * half,
            stranded,
            clad,
        }),
        (0..3_usize).prop_map(Cable::Metric),
    ];
    prop::collection::vec((cable, prop::bool::weighted(0.3)), 4)
}

/// Lays the cable.
fn lay(
    shape: u8,
    [first, second]: [Supply; 2],
    places: Vec<(Place, Attachment)>,
    chords: Vec<(Index, Index, f64)>,
    cables: Vec<(Cable, bool)>,
    celsius: u32,
) -> Job {
    let (places, attachments): (Vec<Place>, Vec<Attachment>) = places.into_iter().unzip();
    let mut job = Job {
        supplies: vec![first],
        places,
        runs: Vec::new(),
        celsius: f64::from(celsius),
    };
    let ends = |count: usize| -> Vec<End> {
        let places = (0..count).map(End::Place);
        std::iter::once(End::Output(0)).chain(places).collect()
    };
    for (index, attachment) in attachments.iter().enumerate() {
        let before = ends(index);
        let from = match shape {
            // Chain and ring; star; anywhere.
            0 | 3 => before[index],
            1 => End::Output(0),
            _ => before[attachment.to.index(before.len())],
        };
        job.attach(from, End::Place(index), attachment, &cables);
    }
    match shape {
        3 => {
            let last = End::Place(job.places.len() - 1);
            job.run_alone(last, End::Output(0), chords[0].2, cables[2]);
        }
        4 => {
            let ends = ends(job.places.len());
            for (a, b, metres) in &chords {
                let (a, b) = (ends[a.index(ends.len())], ends[b.index(ends.len())]);
                if a != b {
                    job.run_alone(a, b, *metres, cables[2]);
                }
            }
        }
        5 => job.second_supply(second, &chords[0], cables[3]),
        _ => {}
    }
    job
}

impl Job {
    fn attach(&mut self, from: End, to: End, attachment: &Attachment, cables: &[(Cable, bool)]) {
        let leg = (attachment.metres, to);
        let path = Path {
            from,
            legs: vec![leg],
        };
        let next = cables[self.runs.len() % cables.len()];
        match self.runs.last_mut() {
            Some(run) if attachment.on < 2 => match run.paths.last_mut() {
                Some(path)
                    if attachment.on == 0
                        && path.with_ends().last().is_some_and(|leg| leg.1 == from) =>
                {
                    path.legs.push(leg);
                }
                _ => run.paths.push(path),
            },
            _ => self.runs.push(Run {
                cable: next.0,
                doubled: next.1,
                paths: vec![path],
            }),
        }
    }

    fn run_alone(&mut self, from: End, to: End, metres: f64, (cable, doubled): (Cable, bool)) {
        let path = Path {
            from,
            legs: vec![(metres, to)],
        };
        self.runs.push(Run {
            cable,
            doubled,
            paths: vec![path],
        });
    }

    /// Power of two outputs meets at a device only: in a joint it stays apart. So the one joint
    /// that such a plan has is on the way from the second.
    fn second_supply(
        &mut self,
        second: Supply,
        (at, _, metres): &(Index, Index, f64),
        (cable, doubled): (Cable, bool),
    ) {
        for place in &mut self.places {
            if place.is_joint() {
                *place = Place::Device {
                    standby: Some(Draw::Amperes(0.0)),
                    alarm: None,
                };
            }
        }
        let device = End::Place(at.index(self.places.len()));
        let joint = End::Place(self.places.len());
        self.places.push(Place::Joint { ohms: 0.07 });
        self.supplies.push(second);
        self.runs.push(Run {
            cable,
            doubled,
            paths: vec![Path {
                from: End::Output(1),
                legs: vec![(2.5, joint), (*metres, device)],
            }],
        });
    }
}
