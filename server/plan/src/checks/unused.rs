//! What a site declares and nothing uses.

use crate::finding::{Code, Finding};
use crate::model::{Path, Site, Terminal};

/// Checks that every joint is on some path.
pub(super) fn check(site: &Site, findings: &mut Vec<Finding>) {
    if site.paths_unread {
        return;
    }
    let mut used = vec![false; site.joints.len()];
    let paths = site.runs.iter().flat_map(|run| &run.paths);
    for terminal in paths.flat_map(Path::terminals) {
        if let Terminal::Joint(joint) = terminal.value
            && let Some(used) = used.get_mut(joint)
        {
            *used = true;
        }
    }
    for (joint, _) in site.joints.iter().zip(used).filter(|(_, used)| !used) {
        let message = format!(
            "no cable meets in {}: name it in a run, or take it out.",
            joint.name.value
        );
        findings.push(Finding::new(Code::Unused, joint.name.span, message));
    }
}
