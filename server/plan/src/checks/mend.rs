//! What would mend a finding, worked out by solving again.

use std::sync::Arc;

use bellwire_circuit::{Metal, Size};

use super::Context;
use super::words::volts;
use crate::figures::{Change, Figures, State, WhatIf, ohms_per_metre};
use crate::finding::Mend;
use crate::model::{CableModel, DeviceId, ModelData, Run, RunId, Site};
use crate::source::Item;

/// Finds cables that bring a device enough volts.
pub(super) struct Mender<'a> {
    site: &'a Site,
    figures: &'a Figures,
    what_if: WhatIf<'a>,
    cables: Vec<Arc<Item>>,
}

/// A cable that could be laid instead.
pub(super) struct Candidate<'a> {
    pub item: &'a Arc<Item>,
    pub cable: &'a CableModel,
    pub ohms_per_metre: f64,
}

impl<'a> Mender<'a> {
    pub fn new(site: &'a Site, figures: &'a Figures, context: &Context) -> Mender<'a> {
        Mender {
            site,
            figures,
            what_if: WhatIf::new(site, figures),
            cables: context.cables(),
        }
    }

    /// The least change to the run that loses most, after which a device gets
    /// `least` volts: a sentence, and the change, if there is one.
    pub fn more_volts(
        &mut self,
        device: DeviceId,
        state: State,
        least: f64,
    ) -> (String, Option<Mend>) {
        let run_id = self.what_if.weakest_run(device, state);
        let Some((id, run)) = run_id.and_then(|id| Some((id, self.site.runs.get(id)?))) else {
            return (String::new(), None);
        };
        let doubled = self.doubled(id, run, device, state);
        if let Some((got, mend)) = doubled.filter(|(got, _)| *got >= least) {
            let sentence = format!(
                " With its power cores doubled, {} would give {}.",
                run.name.value,
                at_least(got, least)
            );
            return (sentence, Some(mend));
        }
        self.thicker(id, run, device, state, least)
    }

    /// The volts with the run's spare cores in parallel, if it has enough.
    fn doubled(
        &mut self,
        id: RunId,
        run: &Run,
        device: DeviceId,
        state: State,
    ) -> Option<(f64, Mend)> {
        if run.doubled.is_some() {
            return None;
        }
        let cable = run.cable()?;
        let paths = self.figures.paths.iter().filter(|path| path.run == id);
        let cores = paths.map(|path| path.cores + 2 * path.carries.power.len() as u32);
        if cores.max()? > cable.cores {
            return None;
        }
        let change = Change {
            run: id,
            ohms_per_metre: ohms_per_metre(cable, self.site.ambient.1)?,
            doubled: true,
        };
        let volts = self.what_if.volts(device, state, Some(&change))?;
        let mend = Mend {
            title: format!("Double the power cores of {}", run.name.value),
            edits: vec![(run.head.after(), ", doubled".to_string())],
        };
        Some((volts, mend))
    }

    /// The thinnest cable that gives the volts.
    fn thicker(
        &mut self,
        id: RunId,
        run: &Run,
        device: DeviceId,
        state: State,
        least: f64,
    ) -> (String, Option<Mend>) {
        let cables = std::mem::take(&mut self.cables);
        let cores = cores_needed(self.figures, id);
        let candidates = candidates(&cables, run, cores, self.site.ambient.1);
        let doubled = run.doubled.is_some();
        let mut volts = |candidate: &Candidate| {
            let change = Change {
                run: id,
                ohms_per_metre: candidate.ohms_per_metre,
                doubled,
            };
            self.what_if.volts(device, state, Some(&change))
        };
        // Thinner cable never gives more volts.
        let enough = candidates
            .partition_point(|candidate| volts(candidate).is_none_or(|volts| volts < least));
        let name = &run.name.value;
        let answer = match (candidates.get(enough), candidates.last()) {
            (Some(candidate), _) => {
                let got = volts(candidate).unwrap_or(least);
                let sentence = format!(
                    " {} for {name} would give {}.",
                    size(candidate.cable),
                    at_least(got, least)
                );
                (sentence, exchange(run, candidate.item))
            }
            (None, Some(thickest)) => {
                let called = self.site.devices.get(device);
                let called = called.map_or("it", |device| &device.name.value);
                let got = match volts(thickest) {
                    Some(got) => format!("would give only {}", super::words::volts(got)),
                    None => "would not be enough".to_string(),
                };
                let sentence = format!(
                    " Even {} for {name} {got}: feed {called} from nearer.",
                    size(thickest.cable)
                );
                (sentence, None)
            }
            (None, None) => (String::new(), None),
        };
        self.cables = cables;
        answer
    }
}

/// The most cores that any path of a run takes.
pub(super) fn cores_needed(figures: &Figures, run: RunId) -> u32 {
    let paths = figures.paths.iter().filter(|path| path.run == run);
    paths.map(|path| path.cores).max().unwrap_or(0)
}

/// Volts, rounded to the side on which they lie.
fn at_least(got: f64, least: f64) -> String {
    let shown = volts(got);
    if shown == volts(least) && got != least {
        format!("{got:.2} V")
    } else {
        shown
    }
}

/// Cables with enough cores and less resistance than the run's, the thinnest
/// first and, of one size, the one with the fewest cores. Only of metals that
/// are no poorer; a cable that was measured is there, not for sale.
pub(super) fn candidates<'a>(
    cables: &'a [Arc<Item>],
    run: &Run,
    cores: u32,
    celsius: f64,
) -> Vec<Candidate<'a>> {
    let now = run.cable();
    let poor = now.is_some_and(|cable| cable.metal == Metal::CopperCladAluminium);
    let ohms_now = now
        .and_then(|cable| ohms_per_metre(cable, celsius))
        .unwrap_or(f64::INFINITY);
    let mut candidates: Vec<Candidate> = cables
        .iter()
        .filter_map(|item| {
            let ModelData::Cable(cable) = &item.model()?.data else {
                return None;
            };
            let ohms_per_metre = ohms_per_metre(cable, celsius)?;
            let fits = cable.cores >= cores
                && cable.resistance.is_none()
                && (poor || cable.metal == Metal::Copper)
                && ohms_per_metre < ohms_now;
            fits.then_some(Candidate {
                item,
                cable,
                ohms_per_metre,
            })
        })
        .collect();
    candidates.sort_by(|a, b| {
        let thinner = b.ohms_per_metre.total_cmp(&a.ohms_per_metre);
        thinner.then(a.cable.cores.cmp(&b.cable.cores))
    });
    candidates
}

/// Another cable for a run.
pub(super) fn exchange(run: &Run, cable: &Arc<Item>) -> Option<Mend> {
    let name = cable.name()?;
    Some(Mend {
        title: format!("Use {name} for {}", run.name.value),
        edits: vec![(run.cable_name.as_ref()?.span, name.to_string())],
    })
}

/// The cable with the fewest cores, no fewer than `cores`, that resists no
/// more than the run's.
pub(super) fn more_cores(run: &Run, cores: u32, celsius: f64, context: &Context) -> Option<Mend> {
    let now = run.cable()?;
    let ohms_now = ohms_per_metre(now, celsius).unwrap_or(f64::INFINITY);
    let cables = context.cables();
    let found = cables
        .iter()
        .filter_map(|item| {
            let ModelData::Cable(cable) = &item.model()?.data else {
                return None;
            };
            let ohms = ohms_per_metre(cable, celsius)?;
            let fits = cable.cores >= cores && ohms <= ohms_now * (1.0 + 1e-9);
            (fits && cable.resistance.is_none() && cable.metal == now.metal).then_some((
                cable.cores,
                ohms,
                item,
            ))
        })
        .min_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)))?;
    exchange(run, found.2)
}

/// A cable by the size of its conductors: `0.5 mm² cable`.
pub(super) fn size(cable: &CableModel) -> String {
    let metal = match cable.metal {
        Metal::Copper => "",
        Metal::CopperCladAluminium => " copper-clad",
    };
    match cable.conductor {
        Some(Size::Awg(gauge)) => format!("{gauge} AWG{metal} cable"),
        Some(Size::SquareMillimetres(area)) => format!("{area} mm²{metal} cable"),
        None => "thicker cable".to_string(),
    }
}
