//! A job as a circuit: every conductor of every cable is a resistor, positive and negative apart, a
//! doubled one two of them, each through the joints by itself, and a joint's resistance lies half at
//! each cable end in it.

use bellwire_plan::figures::State;

use super::{Cable, End, Job, Place};
use crate::support::net::Draw;

/// A circuit of resistors, sources and loads between numbered nodes. Node 0 is ground.
#[derive(Debug, Clone, Default)]
pub struct Circuit {
    /// How many nodes there are.
    pub nodes: usize,
    /// Between two nodes, ohms above zero.
    pub resistors: Vec<(usize, usize, f64)>,
    /// Positive node, negative node, volts.
    pub sources: Vec<(usize, usize, f64)>,
    /// Positive node, negative node, draw.
    pub loads: Vec<(usize, usize, Draw)>,
    /// Positive and negative node of each output.
    pub outputs: Vec<(usize, usize)>,
    /// For each output, its source, if it gives anything.
    pub source_of: Vec<Option<usize>>,
    /// Positive and negative node of each place.
    pub places: Vec<(usize, usize)>,
    /// Of each leg in the order of the plan, the ohms of both conductors, joints included.
    pub leg_ohms: Vec<f64>,
}

/// What a supply gives in a state.
pub enum Gives {
    Volts(f64),
    /// It is on in alarm only.
    Off,
    /// It has no battery.
    NoBattery,
}

impl Job {
    /// What a supply gives.
    pub fn gives(&self, supply: usize, state: State) -> Gives {
        let supply = &self.supplies[supply];
        let alarm = matches!(state, State::MainsAlarm | State::BatteryAlarm);
        let battery = matches!(state, State::BatteryStandby | State::BatteryAlarm);
        match supply.cutoff {
            _ if supply.in_alarm && !alarm => Gives::Off,
            _ if !battery => Gives::Volts(supply.volts),
            Some(cutoff) => Gives::Volts(cutoff),
            None => Gives::NoBattery,
        }
    }

    /// The circuit in a state. Without any source in it nothing is fed.
    pub fn circuit(&self, state: State) -> Circuit {
        let alarm = matches!(state, State::MainsAlarm | State::BatteryAlarm);
        let mut circuit = Circuit::default();
        circuit.outputs = self.supplies.iter().map(|_| circuit.pair()).collect();
        circuit.places = self.places.iter().map(|_| circuit.pair()).collect();
        for supply in 0..self.supplies.len() {
            let source = match self.gives(supply, state) {
                Gives::Volts(volts) => {
                    let (positive, negative) = circuit.outputs[supply];
                    circuit.sources.push((positive, negative, volts));
                    Some(circuit.sources.len() - 1)
                }
                _ => None,
            };
            circuit.source_of.push(source);
        }
        for (index, place) in self.places.iter().enumerate() {
            let (positive, negative) = circuit.places[index];
            if let Some(draw) = place.draw(alarm) {
                circuit.loads.push((positive, negative, draw));
            }
        }
        for run in &self.runs {
            let conductors = if run.doubled { 2 } else { 1 };
            let per_metre = run.cable.ohms_per_kilometre(self.celsius) / 1000.0;
            for (from, to, metres) in run.paths.iter().flat_map(super::Path::with_ends) {
                let ohms = metres * per_metre;
                let mut siemens = 0.0;
                for _ in 0..conductors {
                    let [a, b] = [from, to].map(|end| self.cable_end(&mut circuit, end));
                    circuit.resistors.push((a.nodes.0, b.nodes.0, ohms));
                    circuit.resistors.push((a.nodes.1, b.nodes.1, ohms));
                    siemens += 0.5 / (ohms + a.ohms + b.ohms);
                }
                circuit.leg_ohms.push(1.0 / siemens);
            }
        }
        circuit
    }

    /// Where a cable ends: behind half of a joint's resistance.
    fn cable_end(&self, circuit: &mut Circuit, end: End) -> CableEnd {
        let nodes = match end {
            End::Output(index) => circuit.outputs[index],
            End::Place(index) => circuit.places[index],
        };
        match end {
            End::Place(index) => match self.places[index] {
                Place::Joint { ohms } if ohms > 0.0 => {
                    let inside = nodes;
                    let nodes = circuit.pair();
                    let ohms = ohms / 2.0;
                    circuit.resistors.push((inside.0, nodes.0, ohms));
                    circuit.resistors.push((inside.1, nodes.1, ohms));
                    CableEnd { nodes, ohms }
                }
                _ => CableEnd { nodes, ohms: 0.0 },
            },
            End::Output(_) => CableEnd { nodes, ohms: 0.0 },
        }
    }
}

struct CableEnd {
    nodes: (usize, usize),
    ohms: f64,
}

impl Circuit {
    /// Two new nodes, positive and negative. The first negative of all is ground.
    fn pair(&mut self) -> (usize, usize) {
        if self.nodes == 0 {
            self.nodes = 2;
            return (1, 0);
        }
        self.nodes += 2;
        (self.nodes - 2, self.nodes - 1)
    }

    /// Whether a node is on the positive side.
    pub fn is_positive(node: usize) -> bool {
        node == 1 || (node > 0 && node.is_multiple_of(2))
    }

    /// The highest of the sources.
    pub fn highest(&self) -> f64 {
        self.sources
            .iter()
            .fold(0.0, |most, source| source.2.max(most))
    }
}

impl Cable {
    /// One conductor. Measured: as it is at the site. Gauges: 0.127 mm × 92^((36 − n)/39) across
    /// (ASTM B258), copper of 58 m/(ohm mm²) (IEC 60028), strands 2 % longer (ASTM B8), 1.590 times
    /// as much if copper-clad (ASTM B566); 0.00393 /K for copper (IEC 60028), 0.00403 for
    /// copper-clad (from memory). 0.5, 0.75 and 1 mm²: 36.0, 24.5, 18.1 ohm/km (IEC 60228).
    fn ohms_per_kilometre(self, celsius: f64) -> f64 {
        let warmer = celsius - 20.0;
        match self {
            Cable::Measured(ohms) => ohms,
            Cable::Gauge {
                awg,
                stranded,
                clad,
            } => {
                let millimetres = 0.127 * (92_f64.ln() * (36.0 - f64::from(awg)) / 39.0).exp();
                let area = std::f64::consts::PI * (millimetres / 2.0).powi(2);
                let (metal, gain) = if clad {
                    (1.590, 0.00403)
                } else {
                    (1.0, 0.00393)
                };
                let lay = if stranded { 1.02 } else { 1.0 };
                1000.0 / (58.0 * area) * metal * lay * (1.0 + gain * warmer)
            }
            Cable::Metric(index) => [36.0, 24.5, 18.1][index] * (1.0 + 0.00393 * warmer),
        }
    }
}
