//! Inputs that zones and runs name: whether there are such.

use std::sync::Arc;

use rustc_hash::FxHashSet;

use crate::finding::{Code, Finding, Mend};
use crate::model::{At, InputsModel, Model, Path, Site, Terminal, Zone};
use crate::sentence::list_by;
use crate::source::Item;

/// Inputs that runs name and that are not there. `is_zones` says whether one is that of a zone:
/// then it is told there.
pub(super) fn check_runs(
    site: &Site,
    is_zones: impl Fn(Terminal) -> bool,
    findings: &mut Vec<Finding>,
) {
    let mut told = FxHashSet::default();
    let paths = site.runs.iter().flat_map(|run| &run.paths);
    for at in paths.flat_map(Path::terminals) {
        let inputs = Inputs::of(site, at.value).filter(|inputs| !inputs.has(at.value));
        let Some(inputs) = inputs.filter(|_| !is_zones(at.value)) else {
            continue;
        };
        if told.insert(at.value) {
            let called = site.terminal_name(at.value);
            let message = format!(
                "there is no {called}: {} has {}.",
                owner(&called),
                inputs.in_words()
            );
            let finding = Finding::new(Code::InputMissing, at.span, message);
            findings.push(inputs.shown(finding));
        }
    }
}

/// An input of a zone that is not there; with what to do, a sentence, and the change, if there is
/// one.
pub(super) fn no_such_input(
    site: &Site,
    zone: &Zone,
    input: At<Terminal>,
    inputs: &Inputs,
    (hint, mend): (String, Option<Mend>),
) -> Finding {
    let called = site.terminal_name(input.value);
    let message = format!(
        "zone {} is read by {called}, and {} has {}.{hint}",
        zone.number.value,
        owner(&called),
        inputs.in_words()
    );
    let finding = Finding::new(Code::InputMissing, input.span, message).mended_by(mend);
    inputs.shown(finding)
}

/// The panel or expander of an input that is called so.
fn owner(called: &str) -> &str {
    called.rsplit_once('.').map_or("", |(owner, _)| owner)
}

/// The blocks of inputs that an input belongs to, and the model that lists them.
pub(super) struct Inputs<'a> {
    blocks: &'a [InputsModel],
    item: Option<&'a Arc<Item>>,
}

impl<'a> Inputs<'a> {
    /// `None` if the model is not known.
    pub fn of(site: &'a Site, input: Terminal) -> Option<Inputs<'a>> {
        match input {
            Terminal::PanelInput(unit, _) => {
                let unit = site.units.get(unit)?;
                Some(Inputs {
                    blocks: &unit.model()?.inputs,
                    item: unit.model_item.as_ref(),
                })
            }
            Terminal::DeviceInput(device, _) => {
                let device = site.devices.get(device)?;
                Some(Inputs {
                    blocks: &device.model()?.inputs,
                    item: device.model_item.as_ref(),
                })
            }
            _ => None,
        }
    }

    /// Whether an input is there, for all that is known.
    pub fn has(&self, input: Terminal) -> bool {
        let (Terminal::PanelInput(_, number) | Terminal::DeviceInput(_, number)) = input else {
            return false;
        };
        let model = self.item.and_then(|item| item.model());
        if model.is_some_and(Model::has_more) {
            return true;
        }
        let mut blocks = self.blocks.iter();
        blocks.any(|block| block.has(number))
    }

    /// The number of each.
    pub fn numbers(&self) -> impl Iterator<Item = u32> {
        self.blocks.iter().flat_map(InputsModel::numbers)
    }

    /// Which there are: `inputs 1 to 8`.
    fn in_words(&self) -> String {
        let ranges = self.blocks.iter().filter_map(|block| block.range);
        let ranges: Vec<(u32, u32)> = ranges.map(|range| range.value).collect();
        let in_words = |(first, last): &(u32, u32)| match first == last {
            true => format!("{first}"),
            false => format!("{first} to {last}"),
        };
        match ranges.as_slice() {
            [] => "no inputs".to_string(),
            [(first, last)] if first == last => format!("input {first} only"),
            several => format!("inputs {}", list_by(several, in_words)),
        }
    }

    /// A finding with the place that lists them.
    fn shown(&self, finding: Finding) -> Finding {
        let first = self.blocks.iter().find_map(|block| block.range);
        let first = first.map(|range| range.span);
        finding.in_model(self.item, first, "the inputs that there are")
    }
}
