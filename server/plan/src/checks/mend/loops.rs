//! What would make a loop read right, worked out by trying: another loop of the
//! same input, a thicker cable, or another resistor at the end.

use std::sync::Arc;

use bellwire_circuit::Series;

use super::cable::{Candidate, by_family, called, candidates, cores_needed, exchange};
use super::moves::Mover;
use crate::checks::Given;
use crate::checks::loops::Reading;
use crate::figures::Figures;
use crate::finding::Mend;
use crate::library;
use crate::model::{LoopModel, Meaning, RunId, Terminal, ZoneId};
use crate::source::Item;
use crate::vocabulary::{Dimension, in_usual_unit};

/// How many other loops of an input are tried.
const MOST_LOOPS: usize = 50;

/// Tries changes to one zone's loop.
pub(in crate::checks) struct LoopMender<'r, 'a> {
    pub id: ZoneId,
    pub reading: &'r Reading<'a>,
    pub figures: &'r Figures,
}

/// Where a loop has resistors.
#[derive(Clone, Copy)]
enum ResistorAt {
    End,
    Contact,
}

impl ResistorAt {
    fn phrase(self) -> &'static str {
        match self {
            ResistorAt::End => "at the end",
            ResistorAt::Contact => "at each contact",
        }
    }

    /// The loop with other resistors there.
    fn with(self, model: &LoopModel, ohms: f64) -> LoopModel {
        let mut other = model.clone();
        let place = match self {
            ResistorAt::End => &mut other.end,
            ResistorAt::Contact => &mut other.contact,
        };
        *place = place.map(|at| at.map(|_| ohms));
        other
    }
}

impl LoopMender<'_, '_> {
    /// The least change after which everything reads right: a sentence, and the
    /// change where it is one to the site.
    pub fn mend(&self, given: &Given, mover: &mut Mover) -> (String, Option<Mend>) {
        if let Some(found) = self.other_loop() {
            return found;
        }
        if let Some(found) = self.thicker(given, mover) {
            return found;
        }
        let name = &self.reading.model.name.value;
        let hint = match self.other_resistor() {
            Some((ohms, place)) => format!(
                " With {} {} of loop `{name}` all would read right.",
                in_usual_unit(ohms, Dimension::Resistance),
                place.phrase(),
            ),
            None => self.reading.beyond_resistors().unwrap_or_else(|| {
                format!(
                    " Check the resistors of loop `{name}`, its windows, and how many detectors it has."
                )
            }),
        };
        (hint, None)
    }

    fn cable_ohms(&self) -> Option<f64> {
        self.reading.figures.cable_ohms
    }

    /// Another loop that the input can read, with its own resistors; none that
    /// tells less, since without contact resistors an alarm looks like a cut.
    fn other_loop(&self) -> Option<(String, Option<Mend>)> {
        let (reading, zone) = (self.reading, self.reading.zone);
        let named = zone.loop_name.as_ref()?;
        let (_, loops) = reading.site.loops_of(zone.input?.value)?;
        let cable_ohms = self.cable_ohms()?;
        let right = |model: &&Arc<LoopModel>| {
            model.name.value != reading.model.name.value
                && (model.contact.is_some() || reading.model.contact.is_none())
                && reading.would_be_right(model, cable_ohms)
        };
        let name = &loops.iter().take(MOST_LOOPS).find(right)?.name.value;
        let mend = Mend {
            title: format!("Wire zone {} as loop `{name}`", zone.number.value),
            edits: vec![(named.span, name.clone())],
        };
        Some((
            format!(" Wired as loop `{name}` all would read right."),
            Some(mend),
        ))
    }

    /// The thinnest cable for the run that most of the loop lies in.
    fn thicker(&self, given: &Given, mover: &mut Mover) -> Option<(String, Option<Mend>)> {
        let reading = self.reading;
        // No cable at all must be right first.
        if mover.is_spent() || !reading.would_be_right(reading.model, 0.0) {
            return None;
        }
        let id = self.longest_run(reading.zone.input?.value)?;
        let run = reading.site.runs.get(id)?;
        let cables = given.cables();
        let cores = cores_needed(self.figures, id, run.doubled.is_some());
        let (own, others) = by_family(candidates(&cables, run, cores, reading.site.warmest()));
        let mut right = |item: &Arc<Item>| {
            let (_, figures) = mover.tried(|site| {
                if let Some(run) = site.runs.get_mut(id) {
                    run.cable_item = Some(item.clone());
                }
            })?;
            let ohms = figures.zone(self.id)?.cable_ohms?;
            Some(reading.would_be_right(reading.model, ohms))
        };
        // Thicker cable never reads worse than thinner.
        let mut thinnest = |candidates: &[Candidate]| {
            let (mut low, mut high) = (0, candidates.len());
            while low < high {
                let middle = low + (high - low) / 2;
                match right(candidates.get(middle)?.item)? {
                    true => high = middle,
                    false => low = middle + 1,
                }
            }
            Some(low).filter(|low| *low < candidates.len())
        };
        let found = match thinnest(&own) {
            Some(index) => own.get(index),
            None => thinnest(&others).and_then(|index| others.get(index)),
        }?;
        let sentence = format!(
            " With {} for {} all would read right.",
            called(found),
            run.name.value
        );
        Some((sentence, exchange(&[run], found.item)))
    }

    /// The run that carries the input's loop over the most metres.
    fn longest_run(&self, input: Terminal) -> Option<RunId> {
        let paths = self.figures.paths.iter();
        let carrying = paths.filter(|path| path.carries.loops.contains(&input));
        let metres = |run: RunId, path: usize| -> f64 {
            let legs = self.figures.legs_of(run).iter();
            let legs = legs.filter(|leg| leg.path == path);
            legs.map(|leg| leg.metres).sum()
        };
        let longest = carrying.max_by(|a, b| {
            let (left, right) = (metres(a.run, a.path), metres(b.run, b.path));
            left.total_cmp(&right).then(b.run.cmp(&a.run))
        });
        longest.map(|path| path.run)
    }

    /// A resistor, of those that are made, with which all reads right, and where
    /// it goes: at the end, nearest to the middle of `normal`, or else at each
    /// contact, nearest to what is there. From the loop's own series; where it
    /// names none the coarser first, since its values are in every van.
    fn other_resistor(&self) -> Option<(f64, ResistorAt)> {
        let (model, cable_ohms) = (self.reading.model, self.cable_ohms()?);
        let series: Vec<Series> = match model.series() {
            Some(own) => vec![own.clone()],
            None => ["E12", "E24"]
                .into_iter()
                .filter_map(library::series)
                .collect(),
        };
        let mut windows = model.reads.iter();
        let normal = windows.find(|window| window.means == Meaning::Normal);
        let middle = |now: f64| match normal {
            Some(window) if window.to.is_finite() => {
                ((window.from + window.to) / 2.0 - cable_ohms).max(1.0)
            }
            _ => now,
        };
        let places = [
            (ResistorAt::End, model.end.map(|at| middle(at.value))),
            (ResistorAt::Contact, model.contact.map(|at| at.value)),
        ];
        places.into_iter().find_map(|(place, now)| {
            let now = now?;
            let right = |ohms: &f64| {
                let other = place.with(model, *ohms);
                self.reading.would_be_right(&other, cable_ohms)
            };
            let apart = |ohms: f64| (ohms / now).ln().abs();
            let nearest = |series: &Series| {
                let values = series.values(100.0, 999_999.0).filter(right);
                values.min_by(|a, b| apart(*a).total_cmp(&apart(*b)))
            };
            let found = series.iter().find_map(nearest)?;
            Some((found, place))
        })
    }
}
