//! Lines that go on from the one above, with its block or a clause, and belong to no statement.

use super::Resolver;
use crate::model::site::{DeviceId, UnitId, ZoneId};
use crate::model::words::Words;

/// What a line without a block is about: a block that stands below it is meant for that.
pub(super) enum Above {
    Unit(UnitId),
    Device(DeviceId),
    Zone(ZoneId),
    Run,
}

impl<'a> Resolver<'a> {
    /// Reads the lines of a block. `read` says what a line is about: the block of a line
    /// without any may stand below it, or what else it goes on with.
    pub(super) fn each(
        &mut self,
        lines: impl Iterator<Item = Words<'a>>,
        mut read: impl FnMut(&mut Self, Words<'a>) -> Option<Above>,
    ) {
        let mut above = None;
        for words in lines {
            let has_block = words.statement.block.is_some();
            if words.statement.goes_on() {
                self.has_more(above.take());
                continue;
            }
            let own = read(self, words);
            above = own.filter(|_| !has_block);
        }
    }

    /// Notes that there is more than can be read of a thing: lines that mean nothing, or a block
    /// that belongs to no statement and stands below.
    pub(super) fn has_more(&mut self, of: Option<Above>) {
        match of {
            Some(Above::Unit(id)) => {
                if let Some(unit) = self.site.units.get_mut(id) {
                    unit.block_unread = true;
                    unit.partitions_unread = true;
                    unit.revision_unread |= unit.revision.is_none();
                    self.site.zones_unread = true;
                }
            }
            Some(Above::Device(id)) => {
                if let Some(device) = self.site.devices.get_mut(id) {
                    device.block_unread = true;
                }
            }
            Some(Above::Zone(id)) => {
                self.site.zones_unread = true;
                if let Some(zone) = self.site.zones.get_mut(id) {
                    zone.partitions_unread = true;
                }
            }
            Some(Above::Run) => self.site.paths_unread = true,
            None => {}
        }
    }
}
