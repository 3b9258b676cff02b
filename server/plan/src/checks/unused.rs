//! What a site declares and nothing uses.

use crate::figures::{Figures, PathFigures};
use crate::finding::{Code, Finding};
use crate::model::{At, Path, Run, Site, Terminal, Unit};

/// Checks that cables meet in every joint, that something hangs on every supply, and that every
/// path carries something.
pub(super) fn check(site: &Site, figures: &Figures, findings: &mut Vec<Finding>) {
    if site.paths_unread {
        return;
    }
    let ends = Ends::of(site);
    let mut unused = Vec::new();
    for (joint, ends) in site.joints.iter().zip(ends.joints) {
        let name = &joint.name.value;
        let finding = |message| Finding::new(Code::Unused, joint.name.span, message);
        match ends {
            0 => findings.push(finding(format!(
                "no cable meets in {name}: name it in a run, or take it out."
            ))),
            1 => unused.push(finding(format!(
                "only one cable comes to {name}, and none goes on: name it in another path, or take it out."
            ))),
            _ => {}
        }
    }
    // What the outputs of a supply are called is not known without its model.
    let supplies = site.units.iter().zip(ends.units);
    let idle = supplies.filter(|(unit, used)| !used && !unit.is_panel());
    for (unit, _) in idle.filter(|(unit, _)| unit.model().is_some()) {
        let message = format!(
            "nothing hangs on {}: name one of its outputs in a run, or take it out.",
            unit.name.value
        );
        unused.push(Finding::new(Code::Unused, unit.name.span, message));
    }
    idle_runs(site, figures, findings, &mut unused);
    // What looks unused may be used in what cannot be read.
    if !unused.is_empty() && !findings.iter().any(Finding::is_of_unread) {
        findings.append(&mut unused);
    }
}

/// What ends at joints and units.
struct Ends {
    /// How many ends of legs come to each joint; two where something else is there too.
    joints: Vec<u32>,
    /// Whether a path names a terminal of each unit.
    units: Vec<bool>,
}

impl Ends {
    fn of(site: &Site) -> Ends {
        let mut ends = Ends {
            joints: vec![0; site.joints.len()],
            units: match site.units.iter().all(Unit::is_panel) {
                true => Vec::new(),
                false => vec![false; site.units.len()],
            },
        };
        for path in site.runs.iter().flat_map(|run| &run.paths) {
            for (index, point) in path.points.iter().enumerate() {
                let is_end = index == 0 || index + 1 == path.points.len();
                let comes = if is_end && point.value.len() == 1 {
                    1
                } else {
                    2
                };
                for at in &point.value {
                    ends.note(at, comes);
                }
            }
        }
        ends
    }

    fn note(&mut self, at: &At<Terminal>, comes: u32) {
        let unit = match at.value {
            Terminal::Joint(joint) => {
                if let Some(ends) = self.joints.get_mut(joint) {
                    *ends += comes;
                }
                return;
            }
            Terminal::Output(output) => output.unit,
            Terminal::Bus(bus) => bus.unit,
            Terminal::PanelInput(unit, _) => unit,
            Terminal::Device(_) | Terminal::DeviceInput(..) | Terminal::Unknown => return,
        };
        if let Some(used) = self.units.get_mut(unit) {
            *used = true;
        }
    }
}

/// Runs whose cable carries nothing. Where something is not reached that is told, and may be for
/// the same reason.
fn idle_runs(site: &Site, figures: &Figures, findings: &[Finding], unused: &mut Vec<Finding>) {
    // A joint that leads nowhere is told.
    let ends_in_joint = |run: &Run| {
        let mut ends = run.paths.iter().flat_map(Path::terminals);
        ends.any(|at| matches!(at.value, Terminal::Joint(_)))
    };
    let is_idle = |(id, run): &(usize, &Run)| {
        let paths = figures.paths_of(*id);
        let idle = |path: &PathFigures| path.carries.is_empty() && !path.is_negative;
        !paths.is_empty() && paths.iter().all(idle) && !ends_in_joint(run)
    };
    let is_reach = |finding: &Finding| matches!(finding.code, Code::NotWired | Code::InputMissing);
    let mut idle = site.runs.iter().enumerate().filter(is_idle).peekable();
    if idle.peek().is_none() || findings.iter().any(is_reach) {
        return;
    }
    for (_, run) in idle {
        let message = format!(
            "{} carries nothing: no power, data or loop that its ends need comes to it. Start it at a terminal, or take it out.",
            run.name.value
        );
        unused.push(Finding::new(Code::Unused, run.name.span, message));
    }
}
