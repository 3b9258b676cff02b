//! Figures against sums done by hand; each sum stands in its test.

mod batteries;
mod buses;
mod discharge;
pub(crate) mod power;
mod properties;
mod zones;

use std::sync::Arc;

use crate::figures::{DeviceState, Figures, State, figures};
use crate::finding::{Finding, Lack};
use crate::model::{DeviceId, Scope, Site, resolve};
use crate::source::{File, FilePath, Item};
use crate::vocabulary::Space;

/// All that a text declares.
pub(crate) struct Plan {
    pub file: File,
}

impl Scope for Plan {
    fn find(&self, space: Space, name: &str) -> Option<Arc<Item>> {
        self.all(space)
            .into_iter()
            .find(|item| item.name() == Some(name))
    }

    fn all(&self, space: Space) -> Vec<Arc<Item>> {
        self.file
            .items()
            .map(|(_, item)| item.clone())
            .filter(|item| Space::of(item) == Some(space))
            .collect()
    }

    fn may_have(&self, lack: &Lack) -> bool {
        self.file.may_have(lack)
    }

    fn is_whole(&self) -> bool {
        true
    }
}

impl Plan {
    pub fn new(text: &str) -> Plan {
        Plan {
            file: File::new(FilePath::new("test.bell"), text),
        }
    }

    pub fn sites(&self) -> Vec<Arc<Item>> {
        self.all(Space::Site)
    }

    /// The first site, resolved.
    pub fn site(&self, findings: &mut Vec<Finding>) -> Site {
        resolve(&self.sites()[0], self, findings)
    }
}

/// The first site of a text that has nothing to resolve wrongly, and its figures.
pub(crate) fn solved(text: &str) -> (Site, Figures) {
    let mut findings = Vec::new();
    let site = Plan::new(text).site(&mut findings);
    assert_eq!(findings, []);
    let figures = figures(&site);
    (site, figures)
}

pub(crate) fn device(site: &Site, name: &str) -> DeviceId {
    let mut devices = site.devices.iter();
    devices
        .position(|device| device.name.value == name)
        .expect("no such device")
}

fn state_of(site: &Site, figures: &Figures, name: &str, state: State) -> DeviceState {
    let figures = figures.device(device(site, name)).expect("is not fed");
    *figures.states[state].as_ref().expect("is not solved")
}

pub(crate) fn assert_close(found: f64, expected: f64) {
    assert!(
        (found - expected).abs() <= 1e-9 * expected.abs().max(1e-3),
        "{found} instead of {expected}"
    );
}
