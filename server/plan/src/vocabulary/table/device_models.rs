//! Models of devices.

use super::*;

pub(super) const WORDS: &[Word] = &[
    word(
        "unit-load",
        &[DeviceModel],
        &[needs("share", Factor).within(&[UNIT_LOADS])],
        Once,
        "What it weighs on a bus that counts unit loads (TIA-485-A): 1 unless said, 0.125 for a receiver of an eighth.",
        "unit-load 0.125",
    ),
    word(
        "works",
        &[DeviceModel],
        &[needs("range", Range(D::Voltage)).within(&[Bounds {
            outside: "nothing works at {} or below: write what the product's sheet says",
            ..some(D::Voltage)
        }])],
        Once,
        "The voltages, at its own terminals, between which it works.",
        "works 10.2 V .. 14.5 V",
    ),
    word(
        "trigger",
        &[DeviceModel],
        &[DRAW],
        Once,
        "It hangs on two outputs: one that is on at all times, the hold-off, feeds it, and one `in alarm` triggers it. This is what its trigger draws in alarm. `standby`, `alarm` and `works` are about what feeds it.",
        "trigger 5 mA",
    ),
    word(
        "sounds",
        &[DeviceModel],
        &[needs("sound", Word)],
        Once,
        "The ways in which it can be set to sound; the first is the factory's.",
        "sounds all, chime-off, silent",
    )
    .list(),
    word(
        "also",
        &[DeviceModel],
        &[needs("kind", Kind(Some(Device)))],
        Many,
        "It is a second thing too, which takes a place of its own on the bus.",
        "also receiver",
    ),
    word(
        "contact",
        &[DeviceModel],
        &[needs(
            "role",
            Choice(&[
                ("alarm", "Tells that the detector has seen something."),
                ("tamper", "Tells that the housing was opened."),
            ]),
        )],
        Many,
        "A contact that a loop can run through.",
        "contact alarm, closed",
    )
    .opens(Contact),
    word(
        "closed",
        &[Contact],
        &[],
        Once,
        "Closed while all is quiet. This is so unless `open` is said.",
        "contact alarm, closed",
    ),
    word(
        "open",
        &[Contact],
        &[],
        Once,
        "Open while all is quiet.",
        "contact alarm, open",
    )
    .instead_of("closed"),
    word(
        "resistance",
        &[Contact],
        &[needs("resistance", Amount(&[D::Resistance]))],
        Once,
        "What the contact itself resists while it is closed; it counts in the loop. Nothing unless said.",
        "contact alarm, closed, resistance 100 mohm",
    ),
    word(
        "setting-address",
        &[DeviceModel],
        &[
            needs("by", Choice(&[("by", "")])),
            needs(
                "means",
                Choice(&[
                    ("keys", "Entered at its own keys."),
                    ("switches", "Set on a block of switches."),
                    ("panel", "Given by the panel."),
                ]),
            ),
        ],
        Once,
        "How the device is told its address.",
        "setting-address by keys, within 60 s",
    )
    .opens(SettingAddress),
    word(
        "within",
        &[SettingAddress],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "How long after power-up it can be told.",
        "within 60 s",
    ),
    word(
        "bits",
        &[SettingAddress],
        &[needs("number", HowMany)],
        Once,
        "How many switches there are.",
        "bits 4",
    ),
    word(
        "low-first",
        &[SettingAddress],
        &[],
        Once,
        "Switch 1 counts 1, switch 2 counts 2, switch 3 counts 4. This is so unless `high-first` is said.",
        "setting-address by switches, bits 4, low-first",
    ),
    word(
        "high-first",
        &[SettingAddress],
        &[],
        Once,
        "The last switch counts 1.",
        "setting-address by switches, bits 4, high-first",
    )
    .instead_of("low-first"),
];
