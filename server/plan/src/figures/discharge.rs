//! How a battery empties: volts and amperes over the hours, with the load as
//! the network draws it at each voltage. Worked out when asked for.

use bellwire_circuit::battery::discharge as course;

use super::battery::{aged, drawn_at, ratings};
use super::network::Graph;
use super::solve::{Asks, Wired};
use super::supply::{Case, Supply, blocks, end_volts, own_draw};
use super::{Activity, Figures};
use crate::model::{Site, UnitId};

/// In how many parts of its capacity a discharge is worked out.
const STEPS: usize = 40;

/// The course of a discharge, from full to where the unit disconnects.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Discharge {
    /// What it can give at the 20-hour rate, ageing and cold taken off.
    pub aged_ah: f64,
    /// From full on.
    pub points: Vec<DischargePoint>,
    /// The battery did not reach its end: the network cannot be fed below the
    /// last point, or nothing is drawn.
    pub cut_short: bool,
}

/// One point of a discharge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DischargePoint {
    /// Since the mains failed.
    pub hours: f64,
    /// At the battery, of a typical course.
    pub volts: f64,
    /// What is left, 1 full.
    pub share: f64,
    /// What is drawn up to there.
    pub amperes: f64,
}

impl Discharge {
    /// How long it lasts, hours.
    pub fn hours(&self) -> f64 {
        self.points.last().map_or(0.0, |point| point.hours)
    }

    /// The point at a time, straight between those that were worked out.
    pub fn at(&self, hours: f64) -> Option<DischargePoint> {
        let mut pairs = self.points.iter().zip(self.points.iter().skip(1));
        let (a, b) = pairs.find(|(a, b)| (a.hours..=b.hours).contains(&hours))?;
        let span = b.hours - a.hours;
        let part = if span > 0.0 {
            (hours - a.hours) / span
        } else {
            0.0
        };
        Some(DischargePoint {
            hours,
            ..a.towards(b, part)
        })
    }
}

impl DischargePoint {
    /// The point that lies `part` of the way to the next one.
    fn towards(&self, next: &DischargePoint, part: f64) -> DischargePoint {
        let between = |a: f64, b: f64| a + (b - a) * part;
        DischargePoint {
            hours: between(self.hours, next.hours),
            volts: between(self.volts, next.volts),
            share: between(self.share, next.share),
            amperes: next.amperes,
        }
    }
}

/// The discharge of a unit's battery, all in standby or all in alarm. `None` if
/// none is fitted or its capacity is not known.
pub fn discharge(
    site: &Site,
    figures: &Figures,
    id: UnitId,
    activity: Activity,
) -> Option<Discharge> {
    let unit = site.units.get(id)?;
    let battery = unit.battery.as_ref()?;
    let model = unit.model()?;
    let own = own_draw(model, activity)?;
    let (fitted_ah, left) = aged(site, battery)?;
    let ratings = ratings(battery.model())?;
    let graph = Graph::new(site, &figures.paths);
    let mut parts: Vec<Wired> = graph
        .components
        .iter()
        .filter(|part| part.outputs.iter().any(|output| output.unit == id))
        .map(|part| Wired::new(site, &graph, part, |leg| graph.ohms(leg)))
        .collect();
    let blocks = blocks(unit)?;
    let mut drawn = Vec::new();
    let load = |block_volts: f64| {
        let volts = block_volts * blocks;
        let case = Case {
            supply: Supply::BatteryAt(volts),
            activity,
        };
        let mut sum = drawn_at(own, volts);
        for part in &mut parts {
            let Some(solved) = part.solve(case, Asks::Whether).ok()? else {
                continue;
            };
            for &output in solved.sources.iter().filter(|output| output.unit == id) {
                sum += solved.amperes(output).ok()?;
            }
        }
        drawn.push(sum);
        sum.is_finite().then_some(sum)
    };
    let points = course(&ratings, fitted_ah, left, STEPS, load);
    let end = end_volts(unit)?;
    let cut_short = points.len() <= STEPS && points.last()?.volts * blocks > end;
    let points = points
        .iter()
        .enumerate()
        .map(|(index, point)| DischargePoint {
            hours: point.hours,
            volts: point.volts * blocks,
            share: point.share,
            amperes: drawn.get(index.saturating_sub(1)).copied().unwrap_or(0.0),
        });
    Some(Discharge {
        aged_ah: fitted_ah * left,
        points: down_to(end, points),
        cut_short,
    })
}

/// The points down to a voltage; the last of them has it.
fn down_to(volts: f64, points: impl Iterator<Item = DischargePoint>) -> Vec<DischargePoint> {
    let mut found: Vec<DischargePoint> = Vec::new();
    for next in points {
        if next.volts >= volts {
            found.push(next);
            continue;
        }
        // The end lies between two points.
        if let Some(last) = found.last().copied() {
            let part = (last.volts - volts) / (last.volts - next.volts);
            found.push(DischargePoint {
                volts,
                ..last.towards(&next, part)
            });
        }
        break;
    }
    found
}
