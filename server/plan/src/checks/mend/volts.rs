//! Enough volts for a device: over doubled power cores, or other cable for a run or for all on the
//! way.

use std::rc::Rc;
use std::sync::Arc;

use rustc_hash::FxHashMap;

use super::cable::{
    Candidate, by_family, called, candidates, cores_needed, exchange, metal, named, no_poorer,
};
use crate::checks::Given;
use crate::checks::needs::VoltsNeeded;
use crate::checks::numbers::volts;
use crate::figures::{
    ByState, Change, Consumer, DeviceState, Figures, Solved, State, WhatIf, below, ohms_per_metre,
};
use crate::finding::Mend;
use crate::model::{Run, RunId, Site};
use crate::sentence::a;
use crate::source::{Item, Span};
use crate::vocabulary::{Dimension, in_usual_unit, value_and_limit};

/// How many runs are laid anew for one device at most: beyond that a supply nearer to it is
/// less work.
const MOST_RUNS: usize = 20;

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

/// Runs to lay with another cable, all with the same.
struct Way<'c> {
    runs: Vec<RunId>,
    /// Whether their power cores are doubled then.
    doubled: bool,
    /// The cables to try, the thinnest first.
    candidates: Vec<Candidate<'c>>,
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
        run: &Run,
        needs: &[VoltsNeeded],
        say: &dyn Fn(f64) -> String,
    ) -> Option<(String, Option<Mend>)> {
        let cables = self.cables.clone();
        let first = needs.first()?;
        self.ways(&cables, id, run, first.consumer)
            .into_iter()
            .find_map(|way| {
                // Thinner cable never gives more volts.
                let enough = way.candidates.partition_point(|candidate| {
                    let change = self.change(&way, candidate);
                    self.enough(needs, &change).is_none()
                });
                let found = way.candidates.get(enough)?;
                let change = self.change(&way, found);
                let got = self.enough(needs, &change)?;
                let sentence = format!(" {} would {}.", laid(self.site, &change, found), say(got));
                Some((sentence, exchange_for(self.site, &change, found)))
            })
    }

    /// That no cable is enough.
    fn too_long(
        &mut self,
        id: RunId,
        run: &Run,
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
        for mut way in self.ways(&cables, id, run, need.consumer) {
            let Some(thickest) = way.candidates.pop() else {
                continue;
            };
            let change = self.change(&way, &thickest);
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

    /// Cables to try for a run, family by family, and whether its power cores are doubled then:
    /// as they are now, and, if they are doubled, not any more, since thick cable has few cores.
    /// Then the same for all runs on the way to a consumer.
    fn ways<'c>(
        &mut self,
        cables: &'c [Arc<Item>],
        id: RunId,
        run: &Run,
        consumer: Consumer,
    ) -> Vec<Way<'c>> {
        let doubled: &[bool] = match run.doubled {
            Some(_) => &[true, false],
            None => &[false],
        };
        let mut ways = Vec::new();
        let by_family = |runs: &[RunId], doubled, candidates| {
            let (own, others) = by_family(candidates);
            [own, others].map(|candidates| Way {
                runs: runs.to_vec(),
                doubled,
                candidates,
            })
        };
        let mut of_others = Vec::new();
        for &doubled in doubled {
            let found = self.candidates(cables, id, run, doubled);
            let [own, others] = by_family(&[id], doubled, found);
            ways.push(own);
            of_others.push(others);
        }
        ways.append(&mut of_others);
        let (site, figures) = (self.site, self.figures);
        let mut all = self.what_if.runs_to(consumer);
        all.retain(|id| site.runs.get(*id).is_some_and(|run| run.doubled.is_none()));
        let needed = |id: &RunId| cores_needed(figures, *id, false);
        let (own, most) = (needed(&id), all.iter().map(needed).max());
        let most = most.filter(|most| *most > own);
        // Thick cable has few cores: runs that take more than this one may stay as they are.
        for cores in most.into_iter().chain([own]) {
            let mut runs = all.clone();
            runs.retain(|id| needed(id) <= cores);
            if !(2..=MOST_RUNS).contains(&runs.len()) || !runs.contains(&id) {
                continue;
            }
            let mut found = candidates(cables, run, cores, site.warmest());
            found.retain(|candidate| {
                let mut runs = runs.iter().filter_map(|id| site.runs.get(*id));
                runs.all(|run| no_poorer(candidate.cable.metal, metal(run.cable())))
            });
            ways.extend(by_family(&runs, false, found));
        }
        ways
    }

    /// A cable laid on a way, in place of what resists more.
    fn change(&self, way: &Way, cable: &Candidate) -> Change {
        let celsius = self.site.warmest();
        let resists_more = |id: &&RunId| {
            let now = self.site.runs.get(**id).and_then(Run::cable);
            let now = now.and_then(|now| ohms_per_metre(now, celsius));
            now.is_none_or(|now| now > cable.ohms_per_metre)
        };
        let runs: Rc<[RunId]> = match way.runs.as_slice() {
            [one] => [*one].into(),
            all => all.iter().filter(resists_more).copied().collect(),
        };
        Change {
            runs,
            ohms_per_metre: cable.ohms_per_metre,
            doubled: way.doubled,
        }
    }

    /// Cables that lose less than the run's, with its power cores doubled or not.
    fn candidates<'c>(
        &self,
        cables: &'c [Arc<Item>],
        id: RunId,
        run: &Run,
        doubled: bool,
    ) -> Vec<Candidate<'c>> {
        let celsius = self.site.warmest();
        let cores = cores_needed(self.figures, id, doubled);
        let mut found = candidates(cables, run, cores, celsius);
        if run.doubled.is_some() && !doubled {
            // A core alone resists twice what two do.
            if let Some(now) = run.cable().and_then(|cable| ohms_per_metre(cable, celsius)) {
                found.retain(|candidate| 2.0 * candidate.ohms_per_metre < now);
            }
        }
        found
    }
}

/// The runs that a change is made to.
fn runs<'a>(site: &'a Site, change: &Change) -> Vec<&'a Run> {
    let ids = change.runs.iter();
    ids.filter_map(|id| site.runs.get(*id)).collect()
}

/// Whether a change takes a run's doubling away.
fn undoubles(run: &Run, change: &Change) -> bool {
    run.doubled.is_some() && !change.doubled
}

/// A cable laid for runs: `16 AWG cable (copper-4x16AWG) for r, not doubled,`.
fn laid(site: &Site, change: &Change, cable: &Candidate) -> String {
    let runs = runs(site, change);
    let undoubled = match runs.iter().any(|run| undoubles(run, change)) {
        true => ", not doubled,",
        false => "",
    };
    format!("{} for {}{undoubled}", called(cable), named(&runs))
}

/// Another cable for runs, and a doubling taken out where it is not doubled any more.
fn exchange_for(site: &Site, change: &Change, cable: &Candidate) -> Option<Mend> {
    let runs = runs(site, change);
    let mut mend = exchange(&runs, cable.item)?;
    for run in runs.into_iter().filter(|run| undoubles(run, change)) {
        mend.title += ", not doubled";
        let word = run.doubled?;
        let before = site.item.source().get(..word.start as usize)?;
        let above = before.trim_end();
        // With its comma, or the break before its line.
        let rest = above.strip_suffix(',').map_or(above, str::trim_end);
        let clause = Span::new(rest.len(), word.end as usize);
        mend.edits.push((clause, String::new()));
    }
    Some(mend)
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
