//! Among which other names a name must be the only one.

use bellwire_plan::model::{At, InputsModel, Model, ModelData, Scope, Site, Unit};
use bellwire_plan::sentence::count;
use bellwire_plan::source::{Span, Spot};
use bellwire_plan::vocabulary::Space;
use bellwire_plan::workspace::View;

use super::NOTHING;
use crate::references::seeing;
use crate::walk::is_built_in;

/// Names or numbers of which no two may be the same, with their places.
type Names = Vec<(Span, String)>;

/// Where a new name must not be taken.
pub(super) enum Namespace {
    /// In every file that sees the item.
    Items(Space),
    /// Among these names of the item.
    Names(Names),
    /// Among these numbers of the item.
    Numbers(Names),
}

/// The namespace of a declaration; `site` is the one that the cursor is in.
/// An error says why the name cannot be changed.
pub(super) fn namespace(site: Option<&Site>, declaration: &Spot) -> Result<Namespace, String> {
    let item = &declaration.item;
    if is_built_in(&item.file) {
        return Err(format!(
            "`{}` is part of the built-in library, which cannot be changed: declare one of your own under another name",
            declaration.text()
        ));
    }
    if item.declared().name == Some(declaration.span)
        && let Some(space) = Space::of(item)
    {
        return Ok(Namespace::Items(space));
    }
    let holds = |names: &Names| names.iter().any(|(span, _)| *span == declaration.span);
    if let Some(model) = item.model() {
        let found = of_model(model).into_iter().find(holds);
        return found.map(Namespace::Names).ok_or_else(|| {
            "inputs have the numbers that their model gives them: change the range there"
                .to_string()
        });
    }
    let site = site.filter(|site| site.item.id == item.id).ok_or(NOTHING)?;
    if let Some(names) = names_of_site(site).into_iter().find(holds) {
        return Ok(Namespace::Names(names));
    }
    let numbers = numbers_of_site(site).into_iter().find(holds);
    // A rule set of a site's own has a name that nobody else can use.
    Ok(numbers.map_or(Namespace::Names(Vec::new()), Namespace::Numbers))
}

/// What wires go to, and runs.
fn names_of_site(site: &Site) -> [Names; 2] {
    let units = site.units.iter().map(|unit| &unit.name);
    let devices = site.devices.iter().map(|device| &device.name);
    let joints = site.joints.iter().map(|joint| &joint.name);
    let runs = site.runs.iter().map(|run| &run.name);
    [named(units.chain(devices).chain(joints)), named(runs)]
}

/// The partitions and the zones of each panel.
fn numbers_of_site(site: &Site) -> Vec<Names> {
    let numbered = |at: &At<u32>| (at.span, at.value.to_string());
    let of_unit = |id: usize, unit: &Unit| {
        let partitions = unit.partitions.iter();
        let zones = site.zones.iter().filter(move |zone| zone.unit == id);
        [
            partitions
                .map(|partition| numbered(&partition.number))
                .collect(),
            zones.map(|zone| numbered(&zone.number)).collect(),
        ]
    };
    let units = site.units.iter().enumerate();
    units.flat_map(|(id, unit)| of_unit(id, unit)).collect()
}

/// Why a partition cannot have a number: the panel has fewer.
pub(crate) fn beyond(site: &Site, declaration: &Spot, new: &str) -> Option<String> {
    if site.item.id != declaration.item.id {
        return None;
    }
    let has = |unit: &&Unit| {
        let mut partitions = unit.partitions.iter();
        partitions.any(|partition| partition.number.span == declaration.span)
    };
    let unit = site.units.iter().find(has)?;
    let most = unit.model()?.partitions?.value;
    let number: u32 = new.parse().ok()?;
    (number > most).then(|| {
        format!(
            "{} can have {}, so there is no partition {number}: choose a number up to {most}",
            unit.name.value,
            count(most, "partition")
        )
    })
}

/// The namespaces inside a model: terminals, loops, sounds.
fn of_model(model: &Model) -> Vec<Names> {
    let loops = |inputs: &[InputsModel]| {
        let loops = inputs.iter().flat_map(|inputs| &inputs.loops);
        named(loops.map(|model| &model.name))
    };
    match &model.data {
        ModelData::Unit(model) => {
            let outputs = model.outputs.iter().map(|output| &output.name);
            let buses = model.buses.iter().map(|bus| &bus.name);
            vec![named(outputs.chain(buses)), loops(&model.inputs)]
        }
        ModelData::Device(model) => vec![named(&model.sounds), loops(&model.inputs)],
        _ => Vec::new(),
    }
}

fn named<'a>(names: impl IntoIterator<Item = &'a At<String>>) -> Names {
    let names = names.into_iter();
    names.map(|name| (name.span, name.value.clone())).collect()
}

/// Where another thing has the name `new` already.
pub(super) fn holder(
    view: &View,
    declaration: &Spot,
    namespace: &Namespace,
    new: &str,
) -> Option<Spot> {
    let space = match namespace {
        Namespace::Names(names) | Namespace::Numbers(names) => {
            let mut others = names.iter().filter(|(span, _)| *span != declaration.span);
            let (span, _) = others.find(|(_, name)| name == new)?;
            return Some(Spot {
                item: declaration.item.clone(),
                span: *span,
            });
        }
        Namespace::Items(space) => *space,
    };
    let item = match space {
        Space::Site => return view.site(new),
        _ => seeing(view, declaration)
            .iter()
            .find_map(|entry| view.scope(entry).find(space, new))?,
    };
    let span = item.declared().name?;
    Some(Spot { item, span })
}
