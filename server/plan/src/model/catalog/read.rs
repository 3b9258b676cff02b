//! Reading what a top-level statement declares.

use std::sync::Arc;

use bellwire_circuit::{Draw, Metal, Series, Size};

use super::*;
use crate::model::part_of::has_loose;
use crate::model::read::{Amount, Words};
use crate::model::{Declaration, Declared};
use crate::source::Item;
use crate::vocabulary::{self, Context, Dimension, Group, Kind, Word, keeps_within, kind, word};

/// Reads what an item declares.
pub(in crate::model) fn declared(item: &Arc<Item>) -> Declared {
    let has_loose = has_loose(item, item.root());
    let words = Words::told(item, item.root(), has_loose);
    let mut name = words.name().map(|name| name.span);
    let what = match words.keyword() {
        "use" => {
            name = None;
            Declaration::Use(words.label().map(|path| path.span))
        }
        "model" => {
            name = words.second_name().map(|name| name.span);
            model(words).map_or(Declaration::Nothing, |model| {
                Declaration::Model(Box::new(model))
            })
        }
        "rules" => Declaration::Rules(rule_set(words)),
        "monitoring" => Declaration::Monitoring(Monitoring {
            accounts: words.get("accounts").and_then(|words| words.whole_range()),
        }),
        "site" => Declaration::Site,
        _ => {
            name = None;
            Declaration::Nothing
        }
    };
    Declared {
        name,
        what,
        has_loose,
    }
}

fn model(words: Words) -> Option<Model> {
    let kind = kind(words.name()?.value)?;
    let name = owned(words.second_name()?);
    let data = match kind.group {
        Group::Unit => ModelData::Unit(unit_model(words)),
        Group::Device => ModelData::Device(device_model(words, kind)),
        Group::Cable => ModelData::Cable(cable_model(words)),
        Group::Battery => ModelData::Battery(battery_model(words)),
        Group::Series => ModelData::Series(series(words)),
    };
    Some(Model {
        kind,
        name,
        label: words.label().map(|label| label.value.into_owned()),
        data,
    })
}

fn unit_model(words: Words) -> UnitModel {
    let (standby, alarm) = draws(words);
    let draw_named = draw_named(words);
    let undrawn = (!draw_named).then_some(Draw::Amperes(0.0));
    let outputs: Vec<_> = words.all("output").filter_map(output_model).collect();
    let buses: Vec<_> = words
        .all("bus")
        .filter_map(|words| bus_model(words, &outputs))
        .collect();
    let charger = amount(words, "charger", Dimension::Current);
    let cutoff = amount(words, "cutoff", Dimension::Voltage);
    UnitModel {
        standby: standby.or(undrawn),
        alarm: alarm.or(undrawn),
        draw_named,
        draws_at: draws_at(words),
        cutoff_unread: words.has("cutoff") && cutoff.is_none(),
        cutoff,
        charger_unread: words.has("charger") && charger.is_none(),
        charger,
        mains: draw(words, "mains"),
        battery_max: amount(words, "battery-max", Dimension::Charge),
        partitions: words.whole_of("partitions"),
        limit: amount(words, "limit", Dimension::Current),
        terminals_unread: outputs.len() < words.all("output").count()
            || buses.len() < words.all("bus").count(),
        buses,
        inputs: inputs(words),
        outputs,
    }
}

/// The draws in standby and alarm: each defaults as the vocabulary says.
fn draws(words: Words) -> (Option<Draw>, Option<Draw>) {
    let draw = |keyword| draw(words, keyword).map(|draw| draw.value);
    match (words.has("standby"), words.has("alarm")) {
        (true, false) => (draw("standby"), draw("standby")),
        (false, true) => (Some(Draw::Amperes(0.0)), draw("alarm")),
        _ => (draw("standby"), draw("alarm")),
    }
}

fn draw_named(words: Words) -> bool {
    words.has("standby") || words.has("alarm")
}

fn draws_at(words: Words) -> Option<DrawsAt> {
    let place = |keyword| draw(words, keyword).map(|draw| draw.span);
    Some(DrawsAt {
        standby: place("standby")?,
        alarm: place("alarm")?,
    })
}

fn output_model(words: Words) -> Option<OutputModel> {
    Some(OutputModel {
        name: owned(words.name()?),
        volts: own_amount(words, Dimension::Voltage).map(|at| at.value),
        limit: amount(words, "limit", Dimension::Current),
        in_alarm: words.has("in"),
    })
}

fn bus_model(words: Words, outputs: &[OutputModel]) -> Option<BusModel> {
    let named = words.get("power");
    let power = named.and_then(|words| words.name()).and_then(|name| {
        let called = |output: &OutputModel| output.name.value == name.value;
        let output = outputs.iter().position(called)?;
        Some(name.map(|_| output))
    });
    // What is off in standby feeds no bus.
    let in_alarm = |power: &At<usize>| outputs.get(power.value).is_some_and(|own| own.in_alarm);
    let always_on = power.filter(|power| !in_alarm(power));
    let addresses = words.get("addresses");
    let addresses_alone = addresses.and_then(alone);
    let addresses = addresses.and_then(|words| words.whole_range());
    Some(BusModel {
        name: owned(words.name()?),
        power: always_on.map(|power| power.value),
        power_unread: named.is_some() && always_on.is_none(),
        power_in_alarm: power
            .filter(in_alarm)
            .map(|power| owned(words.at(power.span))),
        addresses: addresses.filter(|_| addresses_alone.is_none()),
        addresses_alone,
        places: all_or_none(
            words
                .all("place")
                .map(|words| Some((known_kind(words)?, words.whole_range()?))),
        ),
        enabled: all_or_none(words.all("enabled").map(|words| {
            let revision = words
                .get("from-revision")
                .and_then(|words| words.number_text());
            Some((
                words.whole_range()?,
                revision.map(|text| Version::parse(text.value)),
            ))
        })),
        devices: words.whole_of("devices"),
        length: amount(words, "length", Dimension::Length),
        longest: amount(words, "longest", Dimension::Length),
        capacitance: amount(words, "capacitance", Dimension::Capacitance),
        layouts: words.get("layout").map(layouts).unwrap_or_default(),
        shift: amount(words, "shift", Dimension::Voltage),
        terminated: amount(words, "terminated", Dimension::Resistance).map(|at| at.value),
        unit_loads: words
            .get("unit-loads")
            .and_then(|words| words.number())
            .filter(|at| keeps_within("unit-loads", None, at.value)),
        terminals: words
            .all("terminal")
            .flat_map(|words| words.sets())
            .filter_map(|(name, set)| Some((owned(name), set.whole()?)))
            .collect(),
    })
}

fn layouts(words: Words) -> Vec<At<Layout>> {
    all_or_none(words.names().map(|value| {
        let written = words.at(value.span);
        let mut all = Layout::ALL.into_iter();
        let layout = all.find(|layout| layout.name() == written.value)?;
        Some(written.map(|_| layout))
    }))
}

/// The name that a statement starts with, if it is one that may stand there.
fn chosen(words: Words, context: Context) -> Option<&'static str> {
    let name = words.name()?.value;
    let slot = word(words.keyword(), context)?.slots.first()?;
    match slot.what {
        vocabulary::What::Choice(choices) => {
            let mut choices = choices.iter();
            choices.find_map(|(choice, _)| (*choice == name).then_some(*choice))
        }
        _ => None,
    }
}

/// Lines that count together: while one of them cannot be read, none do.
fn all_or_none<T>(lines: impl Iterator<Item = Option<T>>) -> Vec<T> {
    lines.collect::<Option<Vec<T>>>().unwrap_or_default()
}

/// The number that stands where a range of all that there are belongs. `8` for eight of them is
/// a slip, and the eighth alone is `8 .. 8`.
fn alone(words: Words) -> Option<At<u32>> {
    let (first, last) = words.whole_range()?.value;
    let number = words.whole().filter(|number| number.value > 1)?;
    (first == last).then_some(number)
}

fn inputs(words: Words) -> Vec<InputsModel> {
    let is_only = words.all("inputs").nth(1).is_none();
    let read = |words: Words| InputsModel {
        range: words
            .whole_range()
            .filter(|_| !is_only || alone(words).is_none()),
        alone: alone(words).filter(|_| is_only),
        as_panel: words.has("as"),
        loops: words
            .all("loop")
            .filter_map(loop_model)
            .map(Arc::new)
            .collect(),
        loops_unread: words.all("loop").any(|words| loop_model(words).is_none())
            || words.has_unread(Context::Inputs),
    };
    words.all("inputs").map(read).collect()
}

fn loop_model(words: Words) -> Option<LoopModel> {
    let ohms = |keyword| amount(words, keyword, Dimension::Resistance);
    let reads = |words: Words| {
        let window = words.range(Dimension::Resistance)?;
        Some(Reads {
            means: meaning(words.name()?.value)?,
            // An open end.
            from: window.value.0.max(0.0),
            to: window.value.1,
            span: window.span,
        })
    };
    let (end, contact) = (ohms("end"), ohms("contact"));
    let tolerance = amount(words, "tolerance", Dimension::Share);
    let windows: Vec<Reads> = words.all("reads").filter_map(reads).collect();
    let all_read = words.all("reads").count() == windows.len();
    let quiet = windows.iter().any(|window| window.means == Meaning::Normal);
    Some(LoopModel {
        name: owned(words.name()?),
        complete: words.has("end") == end.is_some()
            && words.has("contact") == contact.is_some()
            && words.has("tolerance") == tolerance.is_some()
            && all_read,
        never_quiet: !quiet && !windows.is_empty() && all_read && !words.has_unread(Context::Loop),
        end,
        contact,
        own_tolerance: tolerance.map(|at| at.value),
        resistors: words
            .get("resistors")
            .and_then(|words| words.name())
            .map(owned),
        series: None,
        reads: windows,
    })
}

fn meaning(name: &str) -> Option<Meaning> {
    let mut all = Meaning::ALL.into_iter();
    all.find(|meaning| meaning.name() == name)
}

fn device_model(words: Words, kind: &Kind) -> DeviceModel {
    let (standby, alarm) = draws(words);
    let works = words.get("works");
    let works = works.and_then(|words| words.range(Dimension::Voltage));
    let contacts: Vec<_> = words.all("contact").filter_map(contact_model).collect();
    let (mut also, mut never): (Vec<At<&'static Kind>>, Vec<_>) = Default::default();
    for second in words.all("also").filter_map(known_kind) {
        let name = second.value.name;
        let is_already = name == kind.name || also.iter().any(|also| also.value.name == name);
        let has_place = word(name, Context::Device).is_some_and(Word::gives_place);
        match is_already || !has_place {
            true => never.push(second),
            false => also.push(second),
        }
    }
    DeviceModel {
        standby,
        alarm,
        draw_named: draw_named(words),
        draws_at: draws_at(words),
        has_trigger: words.has("trigger"),
        trigger: draw(words, "trigger").map(|draw| draw.value),
        works_unread: words.has("works") && works.is_none(),
        works,
        sounds: words
            .get("sounds")
            .map(|words| words.sets().map(|(name, _)| owned(name)).collect())
            .unwrap_or_default(),
        also,
        never,
        also_unread: words.all("also").any(|words| known_kind(words).is_none()),
        inputs: inputs(words),
        contacts_unread: contacts.len() < words.all("contact").count(),
        contacts,
        setting_address: words.get("setting-address").and_then(setting_address),
        unit_load: words.said_or("unit-load", 1.0, |words| {
            Some(words.number()?.value.max(0.0))
        }),
    }
}

fn contact_model(words: Words) -> Option<ContactModel> {
    Some(ContactModel {
        tamper: chosen(words, Context::DeviceModel)? == "tamper",
        closed: !words.has("open"),
        ohms: words.said_or("resistance", 0.0, |words| {
            Some(own_amount(words, Dimension::Resistance)?.value)
        })?,
    })
}

fn setting_address(words: Words) -> Option<SettingAddress> {
    Some(SettingAddress {
        by: match words.second_name()?.value {
            "keys" => SetBy::Keys,
            "switches" => SetBy::Switches,
            _ => SetBy::Panel,
        },
        within: amount(words, "within", Dimension::Time).map(|at| at.value),
        bits: words.whole_of("bits").map(|at| at.value),
        low_first: !words.has("high-first"),
    })
}

/// The cores that a cable has unless its model says otherwise, as the vocabulary has it.
const USUAL_CORES: u32 = 2;

fn cable_model(words: Words) -> CableModel {
    let conductor = words.get("conductor").and_then(any_amount);
    let whole = |keyword| words.whole_of(keyword).map(|at| at.value);
    let conductor = conductor.and_then(|At { value, .. }| match value.dimension {
        Dimension::Gauge => Some(Size::Awg(value.value)),
        Dimension::Area => Some(Size::SquareMillimetres(value.value)),
        _ => None,
    });
    let resistance = amount(words, "resistance", Dimension::ResistancePerLength);
    let capacitance = amount(words, "capacitance", Dimension::CapacitancePerLength);
    let strands = whole("strands");
    let metal = words.get("metal").and_then(|words| words.name());
    let metal = match metal.map(|at| at.value) {
        Some("copper") => Some(Metal::Copper),
        Some("tinned") => Some(Metal::TinnedCopper),
        Some("cca") => Some(Metal::CopperCladAluminium),
        _ => None,
    };
    let named = words.get("colours");
    let colours = named.iter().flat_map(|words| words.names());
    let colours: Vec<String> = colours
        .map(|value| words.text(value.span).to_string())
        .collect();
    CableModel {
        cores: match words.has("cores") {
            true => whole("cores").filter(|cores| *cores > 0),
            // One with more colours has more, and should say so.
            false => (colours.len() <= USUAL_CORES as usize).then_some(USUAL_CORES),
        },
        cores_unsaid: !words.has("cores"),
        ohms_unread: words.has("conductor") && conductor.is_none()
            || words.has("resistance") && resistance.is_none(),
        make_unread: words.has("metal") && metal.is_none()
            || words.has("strands") && strands.is_none(),
        conductor,
        metal: metal.unwrap_or(Metal::Copper),
        strands: strands.unwrap_or(1).max(1),
        resistance: resistance.map(|at| at.value),
        resistance_at: resistance.map(|at| at.span),
        capacitance_unread: words.has("capacitance") && capacitance.is_none(),
        capacitance: capacitance.map(|at| at.value),
        // Commas among them are told.
        colours_at: named
            .filter(|words| words.statement.body.is_empty())
            .map(|words| words.statement.span),
        colours,
    }
}

/// The rate that a capacity is meant at unless it says so: the 20-hour rate,
/// after which sealed batteries are named (common practice).
const USUAL_RATE: f64 = 20.0;

fn battery_model(words: Words) -> BatteryModel {
    BatteryModel {
        volts: words.said_or("voltage", BLOCK_VOLTS, |words| {
            Some(own_amount(words, Dimension::Voltage)?.value)
        }),
        capacities: all_or_none(words.all("capacity").map(|words| {
            Some(Capacity {
                ampere_hours: own_amount(words, Dimension::Charge)?.value,
                hours: match words.get("over") {
                    Some(over) => own_amount(over, Dimension::Time)?.value / 3600.0,
                    None => USUAL_RATE,
                },
                span: words.statement.span,
            })
        })),
        life: amount(words, "life", Dimension::Time).map(|at| at.value / (365.25 * 86_400.0)),
    }
}

fn series(words: Words) -> Option<Series> {
    let tolerance = amount(words, "tolerance", Dimension::Share)?.value;
    let lines = words.all("values");
    let numbers = lines.flat_map(|line| line.numbers());
    Series::new(tolerance, numbers.map(|number| number.value))
}

/// Reads a rule set, at the top level or inside a site.
pub(in crate::model) fn rule_set(words: Words) -> RuleSet {
    let hours = |keyword| amount(words, keyword, Dimension::Time).map(|at| at.value / 3600.0);
    let said = ASKED.into_iter().filter(|word| words.has(word));
    RuleSet {
        base: words.model().map(owned),
        said: said.collect(),
        standby: hours("standby"),
        alarm: hours("alarm"),
        recharge: words.get("recharge").and_then(|words| {
            Some(Recharge {
                hours: own_amount(words, Dimension::Time)?.value / 3600.0,
                share: match words.get("to") {
                    Some(to) => own_amount(to, Dimension::Share)?.value,
                    None => 0.8,
                },
            })
        }),
        ageing: words
            .get("ageing")
            .and_then(|words| words.number())
            .map(|at| at.value)
            .filter(|factor| keeps_within("ageing", None, *factor)),
        headroom: amount(words, "headroom", Dimension::Share).map(|at| at.value),
        source: words
            .get("source")
            .and_then(|words| words.label())
            .map(|at| at.value.into_owned()),
    }
}

/// The amount behind `keyword`, unless it is one that cannot be, which is told there.
fn amount(words: Words, keyword: &'static str, dimension: Dimension) -> Option<At<f64>> {
    own_amount(words.get(keyword)?, dimension)
}

/// The amount that a statement itself gives, likewise.
fn own_amount(words: Words, dimension: Dimension) -> Option<At<f64>> {
    let amount = words.amount(dimension)?;
    keeps_within(words.keyword(), Some(dimension), amount.value).then_some(amount)
}

/// The same, of any dimension.
fn any_amount(words: Words) -> Option<At<Amount>> {
    let amount = words.any_amount()?;
    let Amount { dimension, value } = amount.value;
    keeps_within(words.keyword(), Some(dimension), value).then_some(amount)
}

/// The draw behind `keyword`, likewise.
fn draw(words: Words, keyword: &'static str) -> Option<At<Draw>> {
    let words = words.get(keyword)?;
    any_amount(words).and_then(|_| words.draw())
}

fn known_kind(words: Words) -> Option<At<&'static Kind>> {
    let name = words.name()?;
    let kind = kind(name.value)?;
    Some(name.map(|_| kind))
}

pub(in crate::model) fn owned(at: At<&str>) -> At<String> {
    at.map(str::to_string)
}
