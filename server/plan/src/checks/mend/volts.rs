//! Enough volts for a device: over doubled power cores, or other cable for a run or for all on the
//! way.

use std::sync::Arc;

use rustc_hash::FxHashMap;

use super::cable::{Candidate, cores_needed};
use super::relaid::{Relaid, exchange_for, laid};
use crate::checks::Given;
use crate::checks::needs::VoltsNeeded;
use crate::checks::numbers::volts;
use crate::figures::{
    ByState, Change, Consumer, DeviceState, Figures, Solved, State, WhatIf, below, ohms_per_metre,
};
use crate::finding::Mend;
use crate::model::{Run, RunId, Site};
use crate::sentence::a;
use crate::source::Item;
use crate::vocabulary::{Dimension, in_usual_unit, value_and_limit};

/// Finds cables that bring a device enough volts.
pub(in crate::checks) struct Mender<'a> {
    site: &'a Site,
    figures: &'a Figures,
    what_if: WhatIf<'a>,
    cables: Arc<[Arc<Item>]>,
    /// Who lacks volts.
    lacking: Vec<VoltsNeeded>,
    /// The same by the run that each loses most in; worked out when first asked for.
    by_run: Option<FxHashMap<RunId, Vec<VoltsNeeded>>>,
}

impl<'a> Mender<'a> {
    pub fn new(
        site: &'a Site,
        figures: &'a Figures,
        given: &Given,
        lacking: Vec<VoltsNeeded>,
    ) -> Mender<'a> {
        Mender {
            site,
            figures,
            what_if: WhatIf::new(site, figures),
            cables: given.cables().into(),
            lacking,
            by_run: None,
        }
    }

    /// The least change to the run that loses most, or else to all on the way, after
    /// which a device has what it needs: a sentence, and the change, if there is one. Those
    /// that lack volts for the same run have theirs too, so that one
    /// change is proposed for it; if no change does that, only the device.
    /// `say` tells what the volts that it gets mean: `give 10.2 V`. Once enough was
    /// solved for the site, nothing more is proposed.
    pub fn more_volts(
        &mut self,
        need: VoltsNeeded,
        say: &dyn Fn(f64) -> String,
    ) -> (String, Option<Mend>) {
        if self.what_if.is_spent() {
            return (String::new(), None);
        }
        let run_id = self.what_if.weakest_run(need.consumer, need.state);
        let Some((id, run)) = run_id.and_then(|id| Some((id, self.site.runs.get(id)?))) else {
            return (String::new(), None);
        };
        let mut needs = vec![need];
        let others = self.lacking_for(id).iter().copied();
        needs.extend(others.filter(|other| other.consumer != need.consumer));
        for needs in [&needs[..], &[need]] {
            if let Some((got, mend)) = self.doubled(id, run, needs) {
                let sentence = format!(
                    " With its power cores doubled, {} would {}.",
                    run.name.value,
                    say(got)
                );
                return (sentence, Some(mend));
            }
            if let Some(found) = self.thicker(id, run, needs, say) {
                return found;
            }
        }
        (self.too_long(id, run, need, say), None)
    }

    /// Those that lack volts and lose most in a run.
    fn lacking_for(&mut self, run: RunId) -> &[VoltsNeeded] {
        let (what_if, lacking) = (&mut self.what_if, &self.lacking);
        let by_run = self.by_run.get_or_insert_with(|| {
            let mut by_run: FxHashMap<RunId, Vec<VoltsNeeded>> = FxHashMap::default();
            for need in lacking {
                if what_if.is_spent() {
                    break;
                }
                if let Some(run) = what_if.weakest_run(need.consumer, need.state) {
                    by_run.entry(run).or_default().push(*need);
                }
            }
            by_run
        });
        by_run.get(&run).map_or(&[], Vec::as_slice)
    }

    /// The volts of the first device, if with a change all have what they need.
    fn enough(&mut self, needs: &[VoltsNeeded], change: &Change) -> Option<f64> {
        let figures = self.figures;
        let mut volts = |consumer, state| self.what_if.volts(consumer, state, Some(change));
        let all = needs.iter().all(|need| {
            let mut states = State::ALL.into_iter().filter(|state| {
                *state == need.state || need.always && is_fed(figures, need.consumer, *state)
            });
            states
                .all(|state| volts(need.consumer, state).is_some_and(|got| !below(got, need.least)))
        });
        let first = needs.first().filter(|_| all)?;
        volts(first.consumer, first.state)
    }

    /// With the run's spare cores in parallel, if it has enough.
    fn doubled(&mut self, id: RunId, run: &Run, needs: &[VoltsNeeded]) -> Option<(f64, Mend)> {
        if run.doubled.is_some() {
            return None;
        }
        let cable = run.cable()?;
        if cores_needed(self.figures, id, true) > cable.cores? {
            return None;
        }
        let change = Change {
            runs: [id].into(),
            ohms_per_metre: ohms_per_metre(cable, self.site.warmest())?,
            doubled: true,
        };
        let volts = self.enough(needs, &change)?;
        let mend = Mend {
            title: format!("Double the power cores of {}", run.name.value),
            edits: vec![(run.head.after(), ", doubled".to_string())],
        };
        Some((volts, mend))
    }

    /// The thinnest cable that is enough, of the run's own family if there is one.
    fn thicker(
        &mut self,
        id: RunId,
        run: &'a Run,
        needs: &[VoltsNeeded],
        say: &dyn Fn(f64) -> String,
    ) -> Option<(String, Option<Mend>)> {
        let (site, cables) = (self.site, self.cables.clone());
        let relaid = self.relaid(id, run, needs.first()?.consumer);
        relaid.ways(&cables).into_iter().find_map(|way| {
            // Thinner cable never gives more volts.
            let enough = way.candidates.partition_point(|candidate| {
                let change = way.with(candidate, site);
                self.enough(needs, &change).is_none()
            });
            let found = way.candidates.get(enough)?;
            let change = way.with(found, site);
            let got = self.enough(needs, &change)?;
            let sentence = format!(" {} would {}.", laid(site, &change, found), say(got));
            Some((sentence, exchange_for(site, &change, found)))
        })
    }

    /// A run, as one that is laid anew for a consumer.
    fn relaid(&mut self, id: RunId, run: &'a Run, consumer: Consumer) -> Relaid<'a> {
        Relaid {
            site: self.site,
            figures: self.figures,
            id,
            run,
            all: self.what_if.runs_to(consumer),
        }
    }

    /// That no cable is enough.
    fn too_long(
        &mut self,
        id: RunId,
        run: &'a Run,
        need: VoltsNeeded,
        say: &dyn Fn(f64) -> String,
    ) -> String {
        let device = self.site.devices.get(need.consumer.device());
        let name = device.map_or("it", |device| &device.name.value);
        let name = match need.consumer {
            Consumer::Device(_) => name.to_string(),
            Consumer::Trigger(_) => format!("the trigger of {name}"),
        };
        let short = |source: &f64| *source <= need.least;
        if let Some(source) = self.source(need, need.state).filter(short) {
            let on_mains = [State::MainsStandby, State::MainsAlarm].into_iter();
            let on_mains = on_mains.filter_map(|state| self.source(need, state));
            if let Some(source) = on_mains.reduce(f64::max).filter(short) {
                return format!(
                    " No cable helps: what feeds it gives {} on mains. Feed it from an output of higher voltage.",
                    in_usual_unit(source, Dimension::Voltage),
                );
            }
            return format!(
                " No cable helps: what feeds it ends at {} itself. Take a unit that cuts its battery off higher, a regulated supply, or {} that works from less.",
                in_usual_unit(source, Dimension::Voltage),
                a(device.map_or("device", |device| device.kind.name)),
            );
        }
        let cables = self.cables.clone();
        let mut best: Option<(Candidate, Change, (State, Option<f64>))> = None;
        for mut way in self.relaid(id, run, need.consumer).ways(&cables) {
            let Some(thickest) = way.candidates.pop() else {
                continue;
            };
            let change = way.with(&thickest, self.site);
            let least = self.least(need, &change);
            if best.as_ref().is_none_or(|(.., (_, got))| least.1 > *got) {
                best = Some((thickest, change, least));
            }
        }
        let Some((thickest, change, (state, got))) = best else {
            return format!(
                " No thicker cable is at hand for {}: feed {name} from a supply nearer to it.",
                run.name.value
            );
        };
        let when = match state == need.state {
            true => String::new(),
            false => format!(" {}", state.phrase()),
        };
        let got = match got {
            Some(got) => format!("would only {}{when}", say(got)),
            None => format!("would not be enough{when}"),
        };
        format!(
            " Even {} {got}: feed {name} from a supply nearer to it.",
            laid(self.site, &change, &thickest),
        )
    }

    /// The fewest volts that a device gets with a change, and the state in which it does: the one
    /// that stands against the change may be another than the one told of.
    fn least(&mut self, need: VoltsNeeded, change: &Change) -> (State, Option<f64>) {
        let mut volts = |state| self.what_if.volts(need.consumer, state, Some(change));
        let mut least = (need.state, volts(need.state));
        for state in State::ALL.into_iter().filter(|_| need.always) {
            if is_fed(self.figures, need.consumer, state) {
                let got = volts(state);
                if least.1.is_some() && got.is_none_or(|got| Some(got) < least.1) {
                    least = (state, got);
                }
            }
        }
        least
    }

    /// The volts in a state at the output that feeds a device; `None` where that is not known.
    fn source(&self, need: VoltsNeeded, state: State) -> Option<f64> {
        let own = states(self.figures, need.consumer)?;
        let state = own[state].as_ref();
        state.ok().map(|state| state.volts + state.drop)
    }
}

/// What a consumer gets.
fn states(figures: &Figures, consumer: Consumer) -> Option<&ByState<Solved<DeviceState>>> {
    let device = figures.device(consumer.device())?;
    match consumer {
        Consumer::Device(_) => Some(&device.states),
        Consumer::Trigger(_) => Some(&device.trigger.as_ref()?.states),
    }
}

/// Whether a consumer has voltage in a state, or would have if the cable fed it.
fn is_fed(figures: &Figures, consumer: Consumer, state: State) -> bool {
    let own = states(figures, consumer);
    own.is_some_and(|own| match &own[state] {
        Ok(solved) => solved.volts > 0.0,
        Err(why) => why.is_fault(),
    })
}

/// Volts that a device would get, never written as those that it needs.
pub(in crate::checks) fn give(got: f64, least: f64) -> String {
    let shown = volts(got);
    if shown == volts(least) && got != least {
        format!("give {}", value_and_limit(got, least, Dimension::Voltage).0)
    } else {
        format!("give {shown}")
    }
}
