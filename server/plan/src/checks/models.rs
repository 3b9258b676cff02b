//! What a model says that cannot be: two parts of one name or number, addresses that overlap or
//! lie off the bus, windows of a loop that overlap, capacities that contradict each other, a cutoff
//! above every output, a second kind that it has already; and a cable of which nothing says what it
//! resists, a loop that nothing means quiet on.

use std::sync::Arc;

use bellwire_circuit::battery::{BadRatings, Ratings};
use rustc_hash::FxHashMap;

use super::numbers::{addresses, resistances};
use crate::finding::{Code, Finding};
use crate::model::{
    At, BatteryModel, BusModel, CableModel, Capacity, DeviceModel, InputsModel, LoopModel, Model,
    ModelData, Reads, UnitModel,
};
use crate::sentence::{a, either};
use crate::source::{Item, Span};
use crate::vocabulary::{Context, Dimension, Kind, hours, in_usual_unit, kinds, word, words};

/// Checks a model by its own numbers.
pub(super) fn check(item: &Arc<Item>, model: &Model, findings: &mut Vec<Finding>) {
    match &model.data {
        ModelData::Unit(unit) => {
            let outputs = unit.outputs.iter().map(|output| &output.name);
            names(item, "outputs", outputs, findings);
            names(
                item,
                "buses",
                unit.buses.iter().map(|bus| &bus.name),
                findings,
            );
            findings.extend(cutoff(unit));
            for bus in &unit.buses {
                places(item, bus, findings);
                terminals(item, bus, findings);
                let layouts = bus.layouts.iter();
                let layouts = layouts.map(|layout| (layout.value.name(), layout.span));
                twice(item, layouts, findings);
            }
            loops(item, &unit.inputs, findings);
        }
        ModelData::Device(device) => {
            loops(item, &device.inputs, findings);
            second_things(model.kind, device, findings);
            let sounds = device.sounds.iter();
            let sounds = sounds.map(|sound| (sound.value.as_str(), sound.span));
            twice(item, sounds, findings);
        }
        ModelData::Battery(battery) => findings.extend(capacities(item, battery)),
        ModelData::Cable(cable) => findings.extend(unknown_conductor(model, cable)),
        ModelData::Series(_) => {}
    }
}

/// A cable without ohms.
fn unknown_conductor(model: &Model, cable: &CableModel) -> Option<Finding> {
    let said = cable.conductor.is_some() || cable.resistance.is_some() || cable.ohms_unread;
    let message = format!(
        "nothing says what {} resists, so neither volts nor loops over it can be worked out: say its `conductor`, or its `resistance`.",
        model.name.value
    );
    (!said).then(|| Finding::new(Code::Missing, model.name.span, message))
}

/// A cutoff that no battery stays above on the unit's own charge.
pub(super) fn cutoff(unit: &UnitModel) -> Option<Finding> {
    let outputs = unit.outputs.iter().filter_map(|output| output.volts);
    let highest = outputs.reduce(f64::max).filter(|highest| *highest > 0.0)?;
    let cutoff = unit.cutoff.filter(|cutoff| cutoff.value > highest)?;
    let message = format!(
        "a battery is not cut off at {} where no output gives more than {}: write the voltage at its end",
        in_usual_unit(cutoff.value, Dimension::Voltage),
        in_usual_unit(highest, Dimension::Voltage),
    );
    Some(Finding::new(Code::WrongKind, cutoff.span, message))
}

/// Names that two parts of a model have.
fn names<'a>(
    item: &Arc<Item>,
    what: &str,
    names: impl Iterator<Item = &'a At<String>>,
    findings: &mut Vec<Finding>,
) {
    let mut first: FxHashMap<&str, Span> = FxHashMap::default();
    for name in names {
        let earlier = *first.entry(&name.value).or_insert(name.span);
        if earlier == name.span {
            continue;
        }
        let message = format!(
            "two {what} are called `{}`: give this one another name.",
            name.value
        );
        let finding = Finding::new(Code::NameTaken, name.span, message);
        findings.push(finding.with(item.spot(earlier), "the other one"));
    }
}

/// Loops of the same inputs that have one name, and their windows.
fn loops(item: &Arc<Item>, inputs: &[InputsModel], findings: &mut Vec<Finding>) {
    for of in inputs {
        names(item, "loops", of.loops.iter().map(|of| &of.name), findings);
        findings.extend(of.loops.iter().filter_map(|of| never_quiet(of)));
    }
    windows(item, inputs, findings);
}

/// A loop whose quiet no window takes.
fn never_quiet(of: &LoopModel) -> Option<Finding> {
    of.never_quiet.then(|| {
        let message = format!(
            "nothing that loop `{}` reads means that all is quiet: add the window for that, as in `reads normal 1.6 kohm .. 2.9 kohm`",
            of.name.value
        );
        Finding::new(Code::Missing, of.name.span, message)
    })
}

/// Windows of a loop in which one resistance would mean two things.
fn windows(item: &Arc<Item>, inputs: &[InputsModel], findings: &mut Vec<Finding>) {
    for of in inputs.iter().flat_map(|inputs| &inputs.loops) {
        for (index, later) in of.reads.iter().enumerate() {
            let mut earlier = of.reads.iter().take(index);
            if let Some(earlier) = earlier.find(|earlier| earlier.contradicts(later)) {
                findings.push(both(item, of, earlier, later));
            }
        }
    }
}

fn both(item: &Arc<Item>, of: &LoopModel, earlier: &Reads, later: &Reads) -> Finding {
    let shared = resistances(earlier.from.max(later.from), earlier.to.min(later.to));
    let message = format!(
        "loop `{}` reads {shared} as `{}` and as `{}` alike: let one window end where the other begins.",
        of.name.value,
        earlier.means.name(),
        later.means.name(),
    );
    let spot = item.spot(earlier.span);
    let finding = Finding::new(Code::LoopAmbiguous, later.span, message);
    finding.with(spot, format!("the window for `{}`", earlier.means.name()))
}

/// Capacities that cannot be those of one battery. The first pair is told.
fn capacities(item: &Arc<Item>, battery: &BatteryModel) -> Option<Finding> {
    let lines = &battery.capacities;
    let (longer, shorter, code, why) =
        match Ratings::new(lines.iter().map(Capacity::rate).collect()) {
            Err(BadRatings::Twice(one, other)) => {
                let why = "one time has one capacity: take one out";
                (one, other, Code::Repeated, why)
            }
            Err(BadRatings::OutOfOrder { longer, shorter }) => {
                let why = match shorter.ampere_hours > longer.ampere_hours {
                    true => "emptied faster, a battery gives less: look at its sheet again",
                    false => {
                        "over a shorter time it must give a larger current: look at its sheet again"
                    }
                };
                (longer, shorter, Code::WrongKind, why)
            }
            // What is nothing, or is over in no time, is told as that.
            Ok(_) | Err(BadRatings::Empty | BadRatings::NotPositive(_)) => return None,
        };
    // Two lines may be the same.
    let longer = lines.iter().find(|line| line.rate() == longer)?;
    let shorter = lines.iter().rfind(|line| line.rate() == shorter)?;
    let (first, second) = match longer.span.start <= shorter.span.start {
        true => (longer, shorter),
        false => (shorter, longer),
    };
    let write = |line: &Capacity| {
        format!(
            "{} over {}",
            in_usual_unit(line.ampere_hours, Dimension::Charge),
            hours(line.hours)
        )
    };
    let message = format!(
        "{} contradicts {}: {why}. Until then only the slowest line counts.",
        write(second),
        write(first)
    );
    let finding = Finding::new(code, second.span, message);
    Some(finding.with(item.spot(first.span), "the other one"))
}

/// Of how many earlier lines it is told that one shares addresses with them.
const MOST_SHARED: usize = 8;

/// Every kind has addresses of its own, all of which the bus has.
fn places(item: &Arc<Item>, bus: &BusModel, findings: &mut Vec<Finding>) {
    for (index, (kind, range)) in bus.places.iter().enumerate() {
        let earlier = bus.places.iter().take(index);
        let others = earlier.filter(|(other, _)| other.value.name != kind.value.name);
        let shared =
            others.filter_map(|(other, earlier)| overlap(item, (kind, range), (other, earlier)));
        findings.extend(shared.take(MOST_SHARED));
        if word(kind.value.name, Context::Bus).is_none() {
            let devices: Vec<String> = kinds(Some(Context::Bus)).map(|kind| a(kind.name)).collect();
            let message = format!(
                "{} has no address on a bus: it may be {}",
                a(kind.value.name),
                either(&devices)
            );
            findings.push(Finding::new(Code::WrongKind, kind.span, message));
        }
        let of = format!(" for {}", kind.value.name);
        findings.extend(outside(item, bus, &of, range));
    }
    for (range, _) in &bus.enabled {
        findings.extend(outside(item, bus, " of `enabled`", range));
    }
}

/// Every core of a bus has one terminal, and every terminal one core.
fn terminals(item: &Arc<Item>, bus: &BusModel, findings: &mut Vec<Finding>) {
    let mut cores: FxHashMap<&str, At<u32>> = FxHashMap::default();
    let mut numbers: FxHashMap<u32, &At<String>> = FxHashMap::default();
    for (core, number) in &bus.terminals {
        let other = *numbers.entry(number.value).or_insert(core);
        if other.value != core.value {
            let message = format!(
                "terminal {} would be for {} and {} alike: give each core the number that is printed at its own.",
                number.value, core.value, other.value
            );
            let finding = Finding::new(Code::NameTaken, number.span, message);
            findings.push(finding.with(item.spot(other.span), "the other core"));
        }
        let first = *cores.entry(&core.value).or_insert(*number);
        if first.span != number.span {
            let message = match first.value == number.value {
                true => format!("{} is there twice: take one out.", core.value),
                false => format!(
                    "{} would be at terminals {} and {}: which core is at the other one?",
                    core.value, first.value, number.value
                ),
            };
            let finding = Finding::new(Code::Repeated, core.span, message);
            findings.push(finding.with(item.spot(first.span), "the first one"));
        }
    }
}

/// What stands in a list more than once.
fn twice<'a>(
    item: &Arc<Item>,
    names: impl Iterator<Item = (&'a str, Span)>,
    findings: &mut Vec<Finding>,
) {
    let mut known: FxHashMap<&str, Span> = FxHashMap::default();
    for (name, span) in names {
        let first = *known.entry(name).or_insert(span);
        if first != span {
            let message = format!("`{name}` is there twice: take one out");
            let finding = Finding::new(Code::Repeated, span, message);
            findings.push(finding.with(item.spot(first), "the first one"));
        }
    }
}

/// What else a device cannot be: what it is already, or what no plan can give a place.
fn second_things(kind: &Kind, device: &DeviceModel, findings: &mut Vec<Finding>) {
    for also in &device.never {
        let name = also.value.name;
        let mut others = device.also.iter();
        let is_already = name == kind.name || others.any(|other| other.value.name == name);
        findings.push(if is_already {
            let message = format!("it is {} already: take this out", a(name));
            Finding::new(Code::Repeated, also.span, message)
        } else {
            let places = words(Context::Device).filter(|word| word.gives_place());
            let places: Vec<String> = places.map(|word| a(word.name)).collect();
            let message = format!(
                "a device is not {} besides: it may be {} too",
                a(name),
                either(&places)
            );
            Finding::new(Code::WrongKind, also.span, message)
        });
    }
}

type Range = At<(u32, u32)>;
type PlacesOf<'a> = (&'a At<&'static Kind>, &'a Range);

fn overlap(item: &Arc<Item>, later: PlacesOf, earlier: PlacesOf) -> Option<Finding> {
    let (a, b) = (later.1.value, earlier.1.value);
    let shared = (a.0.max(b.0), a.1.min(b.1));
    if shared.0 > shared.1 {
        return None;
    }
    let message = format!(
        "{} would be for {} and {} alike: give each kind addresses of its own.",
        addresses(shared),
        later.0.value.name,
        earlier.0.value.name
    );
    let spot = item.spot(earlier.1.span);
    let finding = Finding::new(Code::PlacesOverlap, later.1.span, message);
    Some(finding.with(spot, format!("places for {}", earlier.0.value.name)))
}

fn outside(item: &Arc<Item>, bus: &BusModel, which: &str, range: &Range) -> Option<Finding> {
    let all = bus.addresses?;
    let inside = all.value.0 <= range.value.0 && range.value.1 <= all.value.1;
    if inside {
        return None;
    }
    let message = format!(
        "{}{which}: the bus has {}. Mend one of the two.",
        addresses(range.value),
        addresses(all.value)
    );
    let finding = Finding::new(Code::AddressOutOfRange, range.span, message);
    Some(finding.with(item.spot(all.span), "the bus's addresses"))
}
