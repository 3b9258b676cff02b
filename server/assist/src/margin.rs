//! How far devices are from where they stop working: the one measure that
//! hovers, lenses and status lines share.
//!
//! What there is to spare is counted from the lower end of a device's range,
//! since that is what cable, load and battery eat up. The upper end counts only
//! for a device that is above it: how close an output's own voltage comes to it
//! is the same for every device, and no plan's fault.

use bellwire_plan::figures::{DeviceFigures, Figures, State, above, below, is_in_alarm};
use bellwire_plan::model::{DeviceId, Site};

use crate::amounts::measured;

/// A device in the state in which it is closest to where it stops working.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Margin {
    /// That state.
    pub state: State,
    /// What the device gets in it.
    pub volts: f64,
    /// How far above the lower end of its range that is; negative where the
    /// device does not work, at either end.
    pub spare: f64,
    /// Whether it is above the upper end.
    pub is_high: bool,
}

impl Margin {
    /// `0.08 V to spare`, `0.52 V too low`
    pub(crate) fn words(&self) -> String {
        let by = measured(self.spare.abs());
        match (self.spare < 0.0, self.is_high) {
            (false, _) => format!("{by} to spare"),
            (true, false) => format!("{by} too low"),
            (true, true) => format!("{by} too high"),
        }
    }

    /// The same for Markdown, bold where the device does not work.
    pub(crate) fn bold(&self) -> String {
        match self.spare < 0.0 {
            true => format!("**{}**", self.words()),
            false => self.words(),
        }
    }
}

/// How far a device is from where it stops working, in the states that have a
/// solution. States in which nothing feeds it do not count. `None` for a device
/// that is not wired, or whose model does not say where it works.
pub(crate) fn margin(site: &Site, figures: &Figures, id: DeviceId) -> Option<Margin> {
    let device = site.devices.get(id)?;
    let (least, most) = device.model()?.works?.value;
    let found = figures.device(id)?;
    let is_on = |state: State| {
        let mut feeds = found.fed_by.iter();
        feeds.any(|feed| state.is_alarm() || !is_in_alarm(site, *feed))
    };
    let states = found.states.solved();
    states
        .filter(|(state, _)| is_on(*state))
        .map(|(state, got)| {
            let volts = got.volts;
            let is_high = above(volts, most);
            let spare = match (is_high, below(volts, least)) {
                (true, _) => most - volts,
                (false, true) => volts - least,
                (false, false) => (volts - least).max(0.0),
            };
            Margin {
                state,
                volts,
                spare,
                is_high,
            }
        })
        .filter(|margin| margin.spare.is_finite())
        .min_by(|a, b| a.spare.total_cmp(&b.spare))
}

/// The device that is closest to where it stops working, of those that `picks` picks.
pub(crate) fn worst(
    site: &Site,
    figures: &Figures,
    picks: impl Fn(&DeviceFigures) -> bool,
) -> Option<(DeviceId, Margin)> {
    let devices = figures.devices.iter().filter(|device| picks(device));
    let margins = devices.filter_map(|found| {
        let margin = margin(site, figures, found.device)?;
        Some((found.device, margin))
    });
    margins.min_by(|(_, a), (_, b)| a.spare.total_cmp(&b.spare))
}
