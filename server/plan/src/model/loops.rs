//! Which loops an input can read: its own model's, or the panel's.

use std::sync::Arc;

use super::catalog::{InputsModel, LoopModel};
use super::site::{Site, Terminal, UnitId};
use crate::source::Item;

impl Site {
    /// The loops that an input can read, and the model that lists them.
    pub fn loops_of(&self, input: Terminal) -> Option<(Arc<Item>, Vec<Arc<LoopModel>>)> {
        let find = |blocks: &[InputsModel], number: u32| {
            blocks
                .iter()
                .find(|block| block.has(number))
                .map(|block| (block.as_panel, block.loops.clone()))
        };
        let of_unit = |unit: UnitId, number: Option<u32>| {
            let unit = self.units.get(unit)?;
            let model = unit.model()?;
            let loops = match number {
                Some(number) => find(&model.inputs, number)?.1,
                None => model
                    .inputs
                    .iter()
                    .flat_map(|block| block.loops.clone())
                    .collect(),
            };
            Some((unit.model_item.clone()?, loops))
        };
        match input {
            Terminal::PanelInput(unit, number) => of_unit(unit, Some(number)),
            Terminal::DeviceInput(device, number) => {
                let device = self.devices.get(device)?;
                let (as_panel, loops) = find(&device.model()?.inputs, number)?;
                match device.bus {
                    Some(bus) if as_panel => of_unit(bus.unit, None),
                    _ => Some((device.model_item.clone()?, loops)),
                }
            }
            _ => None,
        }
    }
}
