//! What could be fed where what is asked for cannot.
//!
//! More load never raises the voltage anywhere, so what can be fed ends at one definite factor,
//! which halving finds. Any number of networks of a plan may be in this state while it is being
//! typed; each costs some hundred solves.

use super::operating_point::Cable;
use super::{Draw, Network, Unsolved};

/// Names the load that is too much and what it could have.
///
/// All loads are first turned down alike until they can be fed, which shows the node that falls
/// lowest; to blame is the load that causes most of the drop there.
pub(super) fn cannot_be_fed(network: &Network, cable: &Cable) -> Unsolved {
    let volts = |factor: f64| {
        let demand = cable.demand(network, |_| factor);
        cable.operating_point(&demand).ok().map(|point| {
            let volts = |index: usize| {
                cable.highest - point.drop[cable.joints.point[network.loads[index].node]]
            };
            (0..network.loads.len()).map(volts).collect::<Vec<f64>>()
        })
    };
    let alike = greatest(|factor| volts(factor).is_some());
    let volts = volts(alike).unwrap_or_else(|| vec![cable.highest; network.loads.len()]);
    let drawn = network.loads.iter().zip(&volts).map(|(load, volts)| {
        if !cable.reached[cable.joints.point[load.node]] {
            return 0.0;
        }
        match load.draw {
            Draw::Amperes(amperes) => amperes * alike,
            Draw::Watts(watts) => watts * alike / volts,
            Draw::Ohms(ohms) => volts / ohms,
        }
    });
    let load = heaviest(network, cable, alike, &volts);

    let alone = |factor: f64| {
        let demand = cable.demand(network, |index| if index == load { factor } else { 1.0 });
        cable.operating_point(&demand).is_ok()
    };
    let wanted = match network.loads.get(load).map(|load| load.draw) {
        Some(Draw::Amperes(value) | Draw::Watts(value)) => value,
        _ => 0.0,
    };
    let most = if alone(0.0) {
        wanted * greatest(alone)
    } else {
        0.0
    };
    Unsolved::CannotBeFed {
        load,
        node: network.loads.get(load).map_or(0, |load| load.node),
        most,
        wanted,
        share: alike,
        amperes: drawn.sum(),
    }
}

/// That it is too much, with nothing worked out.
pub(super) fn untold() -> Unsolved {
    Unsolved::CannotBeFed {
        load: 0,
        node: 0,
        most: 0.0,
        wanted: 0.0,
        share: 0.0,
        amperes: 0.0,
    }
}

/// The load that causes most of the drop at the load that falls lowest, given each load's volts
/// with all of them turned down to `factor`.
fn heaviest(network: &Network, cable: &Cable, factor: f64, volts: &[f64]) -> usize {
    let point = |index: usize| cable.joints.point[network.loads[index].node];
    let amperes = |index: usize| match network.loads[index].draw {
        _ if !cable.reached[point(index)] => 0.0,
        Draw::Amperes(amperes) => amperes * factor,
        Draw::Watts(watts) => watts * factor / volts[index],
        Draw::Ohms(_) => 0.0,
    };
    let drawing: Vec<usize> = (0..network.loads.len())
        .filter(|&index| amperes(index) > 0.0)
        .collect();
    let lowest = drawing
        .iter()
        .copied()
        .min_by(|&a, &b| volts[a].total_cmp(&volts[b]));
    let Some(lowest) = lowest else {
        return 0;
    };

    // What one ampere drawn at the lowest point drops elsewhere is what one drawn elsewhere drops
    // there.
    let demand = cable.demand(network, |_| 0.0);
    let mut one_ampere = vec![0.0; cable.joints.points];
    one_ampere[point(lowest)] = 1.0;
    let mut ohms = vec![0.0; cable.joints.points];
    let solved = cable
        .elimination
        .solve(&demand.siemens, &one_ampere, &mut ohms);
    if solved.is_none() {
        return lowest;
    }
    let weight = |index: usize| amperes(index) * ohms[point(index)];
    drawing
        .into_iter()
        .max_by(|&a, &b| weight(a).total_cmp(&weight(b)))
        .unwrap_or(lowest)
}

/// The greatest factor below 1 that still holds, to some ten digits; it holds at 0 and not at 1.
fn greatest(holds: impl Fn(f64) -> bool) -> f64 {
    let mut low = 0.5;
    while !holds(low) {
        low /= 2.0;
        if low == 0.0 {
            return 0.0;
        }
    }
    let mut high = 2.0 * low;
    for _ in 0..40 {
        let middle = low + (high - low) / 2.0;
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}
