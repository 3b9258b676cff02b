//! What is known of the plan around the cursor.

use std::cell::OnceCell;

use bellwire_plan::model::{BusBlock, Device, DeviceId, Site, Unit, UnitId, Zone};
use bellwire_plan::vocabulary::{Kind, Measures, What, kind};
use bellwire_plan::workspace::{Entry, FileScope, View};

use super::cursor::{Cursor, Enclosing};

/// The cursor, the statements around it, and the site that they belong to.
///
/// The site is that of the text as it is; statements are those of the text with
/// the stand-in. Both start at the same places, which is how they are matched.
pub(super) struct Surroundings<'a> {
    pub view: &'a View,
    pub entry: &'a Entry,
    pub cursor: &'a Cursor,
    pub around: Vec<Enclosing<'a>>,
    pub site: Option<&'a Site>,
    scope: OnceCell<FileScope>,
}

impl<'a> Surroundings<'a> {
    pub(super) fn new(view: &'a View, entry: &'a Entry, cursor: &'a Cursor) -> Self {
        let index = entry
            .file
            .items()
            .position(|(start, _)| start == cursor.start);
        let evaluation = index.and_then(|index| entry.evaluations.get(index));
        Surroundings {
            view,
            entry,
            cursor,
            around: cursor.around(),
            site: evaluation.and_then(|evaluation| evaluation.site()),
            scope: OnceCell::new(),
        }
    }

    /// The names that the file can use.
    pub(super) fn scope(&self) -> &FileScope {
        self.scope.get_or_init(|| self.view.scope(self.entry))
    }

    /// What the site, or whatever else is around the cursor, is measured in.
    pub(super) fn measures(&self) -> Measures {
        self.cursor.item.measures()
    }

    /// The innermost statement around the cursor whose word is known.
    pub(super) fn innermost(&self) -> Option<&Enclosing<'a>> {
        self.around.last()
    }

    fn starts(&self) -> impl Iterator<Item = u32> {
        self.around
            .iter()
            .rev()
            .map(|around| around.statement.span.start)
    }

    /// The panel or supply that the cursor is in.
    pub(super) fn unit(&self) -> Option<(UnitId, &'a Unit)> {
        let units = &self.site?.units;
        self.starts().find_map(|start| {
            units
                .iter()
                .enumerate()
                .find(|(_, unit)| unit.span.start == start)
        })
    }

    /// The bus of the plan that the cursor is in.
    pub(super) fn bus(&self) -> Option<BusBlock> {
        let (id, unit) = self.unit()?;
        let mut starts = self.starts();
        let at = |start| unit.buses.iter().position(|bus| bus.span.start == start);
        let index = starts.find_map(at)?;
        Some(BusBlock { unit: id, index })
    }

    /// The device that the cursor is in.
    pub(super) fn device(&self) -> Option<(DeviceId, &'a Device)> {
        let devices = &self.site?.devices;
        self.starts().find_map(|start| {
            devices
                .iter()
                .enumerate()
                .find(|(_, device)| device.span.start == start)
        })
    }

    /// The zone that the cursor is in.
    pub(super) fn zone(&self) -> Option<&'a Zone> {
        let zones = &self.site?.zones;
        self.starts()
            .find_map(|start| zones.iter().find(|zone| zone.span.start == start))
    }

    /// What kind of thing the statement around the cursor declares.
    pub(super) fn kind(&self) -> Option<&'static Kind> {
        self.around.iter().rev().find_map(|around| {
            let is_own = around.word.slots.first()?.what == What::NewName;
            kind(around.word.name).filter(|_| is_own)
        })
    }
}
