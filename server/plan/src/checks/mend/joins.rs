//! Taking out one of two routes for power: a run that carries data only, or a leg
//! that is not laid. Solved before it is offered, so that every device is still
//! fed, and works where it gets something else than before.

use super::moves::Mover;
use crate::checks::needs::is_out_of_range;
use crate::checks::switched::Switched;
use crate::figures::{DeviceFigures, Figures, JoinFigures, is_negative_core};
use crate::finding::Mend;
use crate::model::{OutputId, Path, Run, Site};
use crate::source::Span;

/// The least change after which a leg no longer brings power where it is already.
pub(in crate::checks) fn mend(
    site: &Site,
    figures: &Figures,
    join: &JoinFigures,
    mover: &mut Mover,
) -> Option<Mend> {
    let run = site.runs.get(join.run)?;
    let path = run.paths.get(join.path)?;
    let own = figures.paths_of(join.run).get(join.path)?;
    if !own.carries.loops.is_empty() {
        return None;
    }
    let route = Route {
        site,
        figures,
        join,
        run,
        path,
    };
    let is_core = is_negative_core(path);
    if is_core || !own.carries.data.is_empty() {
        route.without_power(is_core, mover)
    } else if join.leg + 1 == path.legs.len() {
        route.without_leg(mover)
    } else {
        None
    }
}

/// The second of two routes for power.
struct Route<'a> {
    site: &'a Site,
    figures: &'a Figures,
    join: &'a JoinFigures,
    run: &'a Run,
    path: &'a Path,
}

impl Route<'_> {
    /// The run left to carry data only, or nothing but a negative.
    fn without_power(&self, is_core: bool, mover: &mut Mover) -> Option<Mend> {
        let (_, after) = mover.better(|site| {
            if let Some(run) = site.runs.get_mut(self.join.run) {
                run.data_only = true;
            }
        })?;
        let name = &self.run.name.value;
        is_mended(self.site, self.figures, &after).then(|| Mend {
            title: match is_core {
                true => format!("Let {name} join the negatives only"),
                false => format!("Let {name} carry data only"),
            },
            edits: vec![(self.run.head.after(), ", carries data".to_string())],
        })
    }

    /// The last leg of its path taken out, the path if that is all of it, or the run.
    fn without_leg(&self, mover: &mut Mover) -> Option<Mend> {
        let (run, path, join) = (self.run, self.path, self.join);
        let (_, after) = mover.better(|site| {
            let paths = site.runs.get_mut(join.run).map(|run| &mut run.paths);
            let Some(paths) = paths.filter(|paths| join.path < paths.len()) else {
                return;
            };
            match paths.get_mut(join.path) {
                Some(path) if path.legs.len() > 1 => {
                    path.legs.pop();
                    path.points.pop();
                }
                _ => {
                    paths.remove(join.path);
                }
            }
        })?;
        if !is_mended(self.site, self.figures, &after) {
            return None;
        }
        let last = path.points.get(join.leg)?;
        let name = &run.name.value;
        let (title, span) = match (path.legs.len(), run.paths.len()) {
            (2.., _) => {
                let leg = Span {
                    start: last.span.end,
                    end: path.span.end,
                };
                (format!("Take out the last leg of {name}"), leg)
            }
            (_, 2..) => (format!("Take out that path of {name}"), path.span),
            _ => (format!("Take out {name}"), run.span),
        };
        Some(Mend {
            title,
            edits: vec![(span, String::new())],
        })
    }
}

/// Whether fewer legs bring power where it is already, everything that was fed still is, and
/// what gets something else than before works with it, and not at all times.
fn is_mended(site: &Site, before: &Figures, after: &Figures) -> bool {
    let mut switched = Switched::new(site, after);
    let mut always_on = |own: &DeviceFigures| {
        let device = site.devices.get(own.device);
        device.is_some_and(|device| switched.look(device, own).is_some())
    };
    let works = |own: &DeviceFigures| {
        before.device(own.device) == Some(own) || !is_out_of_range(site, own) && !always_on(own)
    };
    after.joins.len() < before.joins.len()
        && all_still_fed(site, before, after)
        && after.devices.iter().all(works)
}

/// Whether everything that is fed is so after a change too, and from a battery that is
/// fitted if it was before. Figures count on one wherever a unit is made for it.
fn all_still_fed(site: &Site, before: &Figures, after: &Figures) -> bool {
    let battery = |output: &OutputId| {
        let unit = site.units.get(output.unit);
        unit.is_some_and(|unit| unit.battery.is_some())
    };
    let mut fed = before.devices.iter().filter(|own| !own.fed_by.is_empty());
    fed.all(|own| {
        let had_battery = own.fed_by.iter().any(battery);
        let then = after.device(own.device).map(|then| &then.fed_by);
        then.is_some_and(|by| match had_battery {
            true => by.iter().any(battery),
            false => !by.is_empty(),
        })
    })
}
