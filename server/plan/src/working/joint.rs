//! A joint: what meets in it, and what it adds.

use super::along::Along;
use super::{Part, Working, titled};
use crate::figures::Figures;
use crate::model::{JointId, Site, Terminal};
use crate::vocabulary::{Dimension, in_usual_unit};

pub(super) fn working(site: &Site, figures: &Figures, id: JointId) -> Option<Working> {
    let joint = site.joints.get(id)?;
    let title = titled(&joint.name.value, joint.label.as_deref());
    let along = Along::of(site);
    let [length, _] = &along.titles();
    let mut part = Part::new("What meets in it", &["run", "to", length]);
    let here = Terminal::Joint(id);
    for leg in &figures.legs {
        let far = match (leg.from == here, leg.to == here) {
            (true, _) => leg.to,
            (_, true) => leg.from,
            _ => continue,
        };
        let run = site.runs.get(leg.run);
        part.row([
            run.map_or(String::new(), |run| run.name.value.clone()),
            site.terminal_name(far),
            along.length(leg.metres),
        ]);
    }
    part.note(match joint.ohms {
        Some(ohms) if ohms > 0.0 => format!(
            "It adds {} to each core that goes through; half of it counts with each cable end.",
            in_usual_unit(ohms, Dimension::Resistance)
        ),
        Some(_) => "It adds no resistance: write `resistance 50 mohm` if it does.".to_string(),
        None => "What it adds to each core cannot be read.".to_string(),
    });
    part.note("The power of different outputs stays apart in it.");
    Some(Working {
        title,
        parts: vec![part],
    })
}
