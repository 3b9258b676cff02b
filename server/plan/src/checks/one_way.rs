//! Taking out one of two ways for power: a run that carries data only, or a leg
//! that is not laid. Solved before it is offered, so that every device is still
//! fed and still works.

use super::moves::Mover;
use crate::figures::{Figures, JoinFigures};
use crate::finding::Mend;
use crate::model::{Site, Terminal};
use crate::source::Span;

/// The least change after which a leg no longer brings power where it is already.
pub(super) fn mend(
    site: &Site,
    figures: &Figures,
    join: &JoinFigures,
    mover: &mut Mover,
) -> Option<Mend> {
    let run = site.runs.get(join.run)?;
    let path = run.paths.get(join.path)?;
    let own = figures
        .paths
        .iter()
        .find(|path| (path.run, path.path) == (join.run, join.path))?;
    let fewer = |after: &Figures| after.joins.len() < figures.joins.len();
    let units_only = path
        .points
        .iter()
        .flat_map(|point| &point.value)
        .all(|at| matches!(at.value, Terminal::Output(..) | Terminal::Bus(..)));
    if (units_only || !own.carries.data.is_empty()) && own.carries.loops.is_empty() {
        let (_, after) = mover.better(|site| {
            if let Some(run) = site.runs.get_mut(join.run) {
                run.data_only = true;
            }
        })?;
        let mended = fewer(&after) && all_still_fed(figures, &after);
        return mended.then(|| Mend {
            title: match units_only {
                true => format!("Let {} join the negatives only", run.name.value),
                false => format!("Let {} carry data only", run.name.value),
            },
            edits: vec![(run.head.after(), ", carries data".to_string())],
        });
    }
    let power_only = own.carries.data.is_empty() && own.carries.loops.is_empty();
    if !power_only || join.leg + 1 != path.legs.len() {
        return None;
    }
    // The last leg of its path, the path if that is all of it, or the run.
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
    if !fewer(&after) || !all_still_fed(figures, &after) {
        return None;
    }
    let last = path.points.get(join.leg)?;
    let (what, span) = match (path.legs.len(), run.paths.len()) {
        (2.., _) => {
            let leg = Span {
                start: last.span.end,
                end: path.span.end,
            };
            ("the last leg of", leg)
        }
        (_, 2..) => ("that path of", path.span),
        _ => ("", run.span),
    };
    let title = format!("Take out {what} {}", run.name.value).replace("  ", " ");
    Some(Mend {
        title,
        edits: vec![(span, String::new())],
    })
}

/// Whether everything that is fed is so after a change too.
fn all_still_fed(before: &Figures, after: &Figures) -> bool {
    let mut fed = before.devices.iter().filter(|own| !own.fed_by.is_empty());
    fed.all(|own| {
        let then = after.device(own.device);
        then.is_some_and(|then| !then.fed_by.is_empty())
    })
}
