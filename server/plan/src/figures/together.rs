//! Devices and joints that a path names at one point, `--12 m-- a + b`: whoever
//! follows the cable may come in at one and go on from the other.

use rustc_hash::FxHashMap;

use super::network::Leg;
use crate::model::{At, Site, Terminal};

/// Which names stand for one place.
#[derive(Debug, Default)]
pub(crate) struct Together {
    /// From each name on to one that stands for it; none stands for itself.
    /// Empty where no point has two.
    other: FxHashMap<Terminal, Terminal>,
}

impl Together {
    /// What stands together at these points.
    pub fn at<'a>(points: impl Iterator<Item = &'a At<Vec<At<Terminal>>>>) -> Together {
        let mut together = Together::default();
        for point in points.filter(|point| point.value.len() > 1) {
            let names = point.value.iter().map(|at| at.value);
            let mut names = names
                .filter(|name| matches!(name, Terminal::Device(_) | Terminal::Joint(_)))
                .map(|name| together.shorten(name))
                .collect::<Vec<_>>()
                .into_iter();
            let Some(first) = names.next() else { continue };
            let others = names.filter(|name| *name != first);
            together.other.extend(others.map(|name| (name, first)));
        }
        for name in together.other.keys().copied().collect::<Vec<_>>() {
            together.shorten(name);
        }
        together
    }

    /// The same as [`Together::place`], and all on the way there lead to it at once from now on.
    fn shorten(&mut self, name: Terminal) -> Terminal {
        let place = self.place(name);
        let mut at = name;
        while let Some(other) = self.other.get_mut(&at) {
            at = std::mem::replace(other, place);
            if at == place {
                break;
            }
        }
        place
    }

    /// What stands together at the ends of these legs.
    pub(super) fn of<'a>(site: &Site, legs: impl Iterator<Item = &'a Leg>) -> Together {
        let points = legs.flat_map(|leg| {
            let path = site.path(leg.run, leg.path);
            let points = path.and_then(|path| path.points.get(leg.leg..leg.leg + 2));
            points.unwrap_or_default()
        });
        Together::at(points)
    }

    /// The one name that stands for the place that a name is at.
    pub fn place(&self, mut name: Terminal) -> Terminal {
        while let Some(other) = self.other.get(&name) {
            name = *other;
        }
        name
    }
}
