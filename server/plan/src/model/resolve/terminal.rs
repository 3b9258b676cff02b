//! What a reference in a path or an `input` stands for.

use super::unread::Unread;
use super::{Named, Resolver};
use crate::finding::{Code, did_you_mean};
use crate::model::catalog::InputsModel;
use crate::model::site::*;
use crate::sentence::code_list;
use crate::source::{Span, Value, ValueKind};

impl<'a> Resolver<'a> {
    /// What a reference in a path or an `input` stands for.
    pub(super) fn terminal(&mut self, value: &'a Value) -> Terminal {
        let ValueKind::Name(parts) = &value.kind else {
            return Terminal::Unknown;
        };
        let item = self.item;
        let Some((first, rest)) = parts.split_first() else {
            return Terminal::Unknown;
        };
        let name = item.text(*first);
        let Some(&(found, declared)) = self.names.get(name) else {
            let unread = self.unread.get_or_insert_with(|| Unread::of(item));
            if unread.may_give(name) {
                return Terminal::Unknown;
            }
            let near = match self.compares() {
                true => did_you_mean(name, self.names.keys().copied()),
                false => String::new(),
            };
            let hint = match near.as_str() {
                "" => " Declare it, or mend the name.",
                near => near,
            };
            let message = format!("nothing in this site is called `{name}`.{hint}");
            self.report(Code::UnknownName, *first, message);
            return Terminal::Unknown;
        };
        let target = self.site.spot(declared);
        self.note(*first, target);
        match (found, rest) {
            (Named::Unit(unit), [part]) => self.unit_terminal(unit, name, *part),
            (Named::Unit(unit), []) => {
                let hint = self.terminals_of(unit);
                self.report(
                    Code::WrongKind,
                    value.span,
                    format!("which terminals of `{name}`? {hint}"),
                );
                Terminal::Unknown
            }
            (Named::Device(device), [part]) => self.device_input(device, name, *part),
            (Named::Device(device), []) => Terminal::Device(device),
            (Named::Joint(joint), []) => Terminal::Joint(joint),
            (found, [.., last]) => {
                let whole = item.text(value.span);
                let short = match found {
                    Named::Joint(_) => name,
                    _ => whole.rsplit_once('.').map_or(name, |(short, _)| short),
                };
                let part = item.text(*last);
                self.report(
                    Code::UnknownName,
                    *last,
                    format!("`{short}` has nothing called `{part}`: write `{short}` alone."),
                );
                Terminal::Unknown
            }
        }
    }

    fn unit_terminal(&mut self, unit: UnitId, name: &str, part: Span) -> Terminal {
        let text = self.item.text(part);
        let Some(plan) = self.site.units.get(unit) else {
            return Terminal::Unknown;
        };
        let (Some(model), Some(item)) = (plan.model(), plan.model_item.clone()) else {
            // The model is not known, which is reported there.
            return Terminal::Unknown;
        };
        let mut outputs = model.outputs.iter();
        if let Some(index) = outputs.position(|output| output.name.value == text) {
            self.note(part, item.spot(model.outputs[index].name.span));
            return Terminal::Output(OutputId { unit, index });
        }
        if let Some(index) = model.buses.iter().position(|bus| bus.name.value == text) {
            self.note(part, item.spot(model.buses[index].name.span));
            return Terminal::Bus(BusId { unit, index });
        }
        if let Ok(number) = text.parse::<u32>() {
            let terminal = Terminal::PanelInput(unit, number);
            self.note_input(part, terminal);
            return terminal;
        }
        // It may be called so, its name missing in the model, which is told there.
        if model.terminals_unread && !text.is_empty() {
            return Terminal::Unknown;
        }
        let hint = self.terminals_of(unit);
        let message = match text {
            "" => format!("which terminals of `{name}`? {hint}"),
            _ => format!("`{name}` has no terminals called `{text}`. {hint}"),
        };
        self.report(Code::UnknownName, part, message);
        Terminal::Unknown
    }

    fn terminals_of(&self, unit: UnitId) -> String {
        let Some(plan) = self.site.units.get(unit) else {
            return String::new();
        };
        let Some(model) = plan.model() else {
            return String::new();
        };
        let name = &plan.name.value;
        let mut all: Vec<String> = model
            .outputs
            .iter()
            .map(|output| format!("{name}.{}", output.name.value))
            .chain(
                model
                    .buses
                    .iter()
                    .map(|bus| format!("{name}.{}", bus.name.value)),
            )
            .collect();
        let first = model.inputs.iter().flat_map(InputsModel::numbers).next();
        all.extend(first.map(|input| format!("{name}.{input}")));
        let all: Vec<&str> = all.iter().map(String::as_str).collect();
        match all.as_slice() {
            [] => "It has none.".to_string(),
            all => format!("It has {}.", code_list(all)),
        }
    }

    fn device_input(&mut self, device: DeviceId, name: &str, part: Span) -> Terminal {
        let text = self.item.text(part);
        if let Ok(number) = text.parse::<u32>() {
            let terminal = Terminal::DeviceInput(device, number);
            self.note_input(part, terminal);
            return terminal;
        }
        let message = if text.is_empty() {
            format!("which input of `{name}`? Write its number, as in `{name}.1`.")
        } else {
            format!(
                "`{name}` has no terminals called `{text}`: write `{name}` alone, or the number of an input."
            )
        };
        self.report(Code::UnknownName, part, message);
        Terminal::Unknown
    }

    /// Notes that `span` names an input, if the model has it.
    pub(super) fn note_input(&mut self, span: Span, terminal: Terminal) {
        let found = match terminal {
            Terminal::PanelInput(unit, number) => self.site.units.get(unit).and_then(|unit| {
                let range = block_of(&unit.model()?.inputs, number)?;
                Some((unit.model_item.clone()?, range))
            }),
            Terminal::DeviceInput(device, number) => {
                self.site.devices.get(device).and_then(|device| {
                    let range = block_of(&device.model()?.inputs, number)?;
                    Some((device.model_item.clone()?, range))
                })
            }
            _ => None,
        };
        if let Some((item, range)) = found {
            self.note(span, item.spot(range));
        }
    }
}

fn block_of(blocks: &[InputsModel], number: u32) -> Option<Span> {
    blocks
        .iter()
        .find(|block| block.has(number))
        .and_then(|block| Some(block.range?.span))
}
