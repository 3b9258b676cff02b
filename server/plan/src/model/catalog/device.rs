//! Devices, as their models have them.

use bellwire_circuit::Draw;

use super::inputs::{InputsModel, inputs};
use super::read::{
    DrawsAt, amount, chosen, draw, draw_named, draws, draws_at, known_kind, own_amount, owned,
};
use crate::model::at::At;
use crate::model::words::Words;
use crate::vocabulary::{Context, Dimension, Kind, Word, keeps_within, word};

/// A device.
#[derive(Debug)]
pub struct DeviceModel {
    /// What it draws in standby; `None` if it says nothing of what it draws, or that cannot
    /// be read.
    pub standby: Option<Draw>,
    /// What it draws in alarm, likewise.
    pub alarm: Option<Draw>,
    /// It says what it draws, even if that cannot be read.
    pub draw_named: bool,
    /// Where both are written.
    pub draws_at: Option<DrawsAt>,
    /// It has a trigger, even if what that draws cannot be read.
    pub has_trigger: bool,
    /// What its trigger draws in alarm, from an output that is on in alarm only.
    pub trigger: Option<Draw>,
    /// The voltages between which it works.
    pub works: Option<At<(f64, f64)>>,
    /// It says between which it works, and that cannot be read.
    pub works_unread: bool,
    /// How it can be set to sound.
    pub sounds: Vec<At<String>>,
    /// What else it is.
    pub also: Vec<At<&'static Kind>>,
    /// What it says that it is besides, and it is already or no plan could give a place.
    pub never: Vec<At<&'static Kind>>,
    /// It is something else besides, which cannot be read.
    pub also_unread: bool,
    /// Its inputs.
    pub inputs: Vec<InputsModel>,
    /// There is a line that cannot be read: it may say what is not said else.
    pub has_more: bool,
    /// Its contacts.
    pub contacts: Vec<ContactModel>,
    /// There is a contact that cannot be read, and is none of them.
    pub contacts_unread: bool,
    /// How it is told its address.
    pub setting_address: Option<SettingAddress>,
    /// What it weighs on a bus, in unit loads; `None` if it says so and that cannot be read.
    pub unit_load: Option<f64>,
}

impl DeviceModel {
    /// Whether it draws current at all, so that it must be wired to an output.
    pub fn is_fed(&self) -> bool {
        self.draw_named || self.has_trigger
    }

    /// Whether it is known to draw in alarm and in no other state.
    pub fn draws_in_alarm_only(&self) -> bool {
        let draws = |draw: Option<Draw>| {
            draw.map(|draw| !matches!(draw, Draw::Amperes(0.0) | Draw::Watts(0.0)))
        };
        draws(self.standby) == Some(false) && draws(self.alarm) == Some(true)
    }
}

/// A contact of a device.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactModel {
    /// Whether it tells of an opened housing, not of an alarm.
    pub tamper: bool,
    /// Whether it is closed while all is quiet.
    pub closed: bool,
    /// What it resists while closed, ohms.
    pub ohms: f64,
}

/// Where a device is told its address.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetBy {
    /// At its own keys.
    Keys,
    /// On its switches.
    Switches,
    /// Nowhere: the panel gives it.
    Panel,
}

/// How a device is told its address.
#[derive(Debug, Clone, PartialEq)]
pub struct SettingAddress {
    /// Where it is told.
    pub by: SetBy,
    /// How long after power-up, seconds.
    pub within: Option<f64>,
    /// How many switches.
    pub bits: Option<u32>,
    /// Whether the first switch counts 1.
    pub low_first: bool,
}

impl SettingAddress {
    /// How many switches say the whole address, if switches do.
    pub fn switches(&self) -> Option<u32> {
        let bits = self.bits.filter(|bits| (1..=31).contains(bits));
        bits.filter(|_| self.by == SetBy::Switches)
    }
}

pub(super) fn device_model(words: Words, kind: &Kind) -> DeviceModel {
    // A word that means nothing may be meant for what is missing.
    let has_more = words.has_unknown_word(Context::DeviceModel);
    let (standby, alarm) = draws(words, has_more);
    let works = words.get("works");
    let works = works.and_then(|words| words.range(Dimension::Voltage));
    let works = works.filter(|of| keeps_within("works", Some(Dimension::Voltage), of.value.1));
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
        works_unread: (words.has("works") || has_more) && works.is_none(),
        works,
        sounds: words
            .get("sounds")
            .map(|words| words.sets().map(|(name, _)| owned(name)).collect())
            .unwrap_or_default(),
        also,
        also_unread: has_more
            || !never.is_empty()
            || words.all("also").any(|words| known_kind(words).is_none()),
        never,
        inputs: inputs(words),
        has_more,
        contacts_unread: has_more || contacts.len() < words.all("contact").count(),
        contacts,
        setting_address: words.get("setting-address").and_then(setting_address),
        unit_load: words.said_or("unit-load", (!has_more).then_some(1.0), |words| {
            Some(words.number()?.value.max(0.0))
        }),
    }
}

fn contact_model(words: Words) -> Option<ContactModel> {
    Some(ContactModel {
        tamper: chosen(words, Context::DeviceModel)? == "tamper",
        closed: !words.has("open"),
        ohms: words.said_or("resistance", Some(0.0), |words| {
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
