//! Detection loops by Ohm's law: order and number of conditions, and what each reads.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking"
)]

mod support;

use bellwire_circuit::detection_loop::conditions;
use bellwire_circuit::{Condition, Contact, Loop, Reading, Role};
use support::agree;

const ALARM: Contact = Contact {
    role: Role::Alarm,
    closed: true,
    ohms: 0.0,
};
const TAMPER: Contact = Contact {
    role: Role::Tamper,
    closed: true,
    ohms: 0.0,
};
const ALARM_OPEN: Contact = Contact {
    role: Role::Alarm,
    closed: false,
    ohms: 0.0,
};
const TAMPER_OPEN: Contact = Contact {
    role: Role::Tamper,
    closed: false,
    ohms: 0.0,
};

fn circuit(end: Option<f64>, contact_resistor: Option<f64>, contacts: &[Contact]) -> Loop {
    Loop {
        end,
        contact_resistor,
        tolerance: 0.01,
        cable_ohms: 0.0,
        contacts: contacts.to_vec(),
    }
}

#[track_caller]
fn reads(readings: &[Reading], condition: &Condition, least: f64, most: f64) {
    let reading = readings
        .iter()
        .find(|reading| reading.condition == *condition)
        .unwrap_or_else(|| panic!("no {condition:?}"));
    agree("least", reading.least, least, 1e-12);
    agree("most", reading.most, most, 1e-12);
}

fn open(index: usize) -> Condition {
    Condition::Actuated(index)
}

#[test]
fn the_conditions_come_in_a_fixed_order() {
    let found: Vec<Condition> = conditions(&circuit(
        Some(1000.0),
        Some(1000.0),
        &[ALARM, TAMPER, ALARM],
    ))
    .into_iter()
    .map(|reading| reading.condition)
    .collect();
    let expected = [
        Condition::Normal,
        open(0),
        open(1),
        open(2),
        Condition::AllAlarms,
        Condition::Short,
        Condition::Cut,
    ];
    assert_eq!(found, expected);
}

#[test]
fn single_end_of_line_opens_like_a_cut() {
    let readings = conditions(&Loop {
        cable_ohms: 20.0,
        ..circuit(Some(2200.0), None, &[ALARM, TAMPER])
    });
    reads(&readings, &Condition::Normal, 2198.0, 2242.0);
    for condition in [open(0), open(1), Condition::Cut] {
        reads(&readings, &condition, f64::INFINITY, f64::INFINITY);
    }
    reads(&readings, &Condition::Short, 0.0, 20.0);
}

#[test]
fn several_detectors_add_their_resistors() {
    let readings = conditions(&circuit(
        Some(1000.0),
        Some(2000.0),
        &[ALARM, ALARM, TAMPER],
    ));
    reads(&readings, &open(0), 2970.0, 3030.0);
    reads(&readings, &open(1), 2970.0, 3030.0);
    reads(&readings, &Condition::AllAlarms, 4950.0, 5050.0);
    reads(&readings, &open(2), f64::INFINITY, f64::INFINITY);
}

#[test]
fn a_plain_closed_loop_reads_its_cable() {
    let readings = conditions(&Loop {
        cable_ohms: 7.0,
        ..circuit(None, None, &[Contact { ohms: 0.5, ..ALARM }; 2])
    });
    reads(&readings, &Condition::Normal, 8.0, 8.0);
    reads(&readings, &open(0), f64::INFINITY, f64::INFINITY);
    reads(&readings, &Condition::Short, 0.0, 8.0);
}

#[test]
fn normally_open_contacts_lie_across_the_end() {
    let plain = conditions(&circuit(Some(1000.0), None, &[ALARM_OPEN]));
    reads(&plain, &Condition::Normal, 990.0, 1010.0);
    reads(&plain, &open(0), 0.0, 0.0);

    let resistor = Some(1000.0);
    let both = conditions(&circuit(resistor, resistor, &[ALARM_OPEN, TAMPER_OPEN]));
    reads(&both, &open(0), 495.0, 505.0);
    reads(&both, &open(1), 0.0, 0.0);

    // Closed, this one has 100 ohm, and its resistor 900: 1000 ohm across 1000.
    let poor = Contact {
        ohms: 100.0,
        ..ALARM_OPEN
    };
    let poor = conditions(&Loop {
        tolerance: 0.0,
        ..circuit(resistor, Some(900.0), &[poor])
    });
    reads(&poor, &open(0), 500.0, 500.0);

    let all_open = conditions(&circuit(None, None, &[ALARM_OPEN]));
    reads(&all_open, &Condition::Normal, f64::INFINITY, f64::INFINITY);
    reads(&all_open, &open(0), 0.0, 0.0);
}

/// A closed contact is in parallel with its resistor: 50 ohm beside 950 ohm is 47.5 ohm.
#[test]
fn a_poor_contact_is_counted() {
    let readings = conditions(&Loop {
        tolerance: 0.0,
        cable_ohms: 10.0,
        ..circuit(
            Some(1000.0),
            Some(950.0),
            &[Contact {
                ohms: 50.0,
                ..ALARM
            }],
        )
    });
    reads(&readings, &Condition::Normal, 1057.5, 1057.5);
    reads(&readings, &open(0), 1960.0, 1960.0);
    reads(&readings, &Condition::Short, 0.0, 57.5);
    // One alarm contact is no several.
    assert!(
        readings
            .iter()
            .all(|of| of.condition != Condition::AllAlarms)
    );
}

/// At 10 % more, the resistor is 1100 ohm: 100 ohm beside it are 100 × 1100 / 1200.
#[test]
fn a_short_reads_up_to_the_contacts_with_the_largest_resistors() {
    let poor = Contact {
        ohms: 100.0,
        ..ALARM
    };
    let readings = conditions(&Loop {
        tolerance: 0.1,
        ..circuit(None, Some(1000.0), &[poor])
    });
    reads(&readings, &Condition::Short, 0.0, 100.0 * 1100.0 / 1200.0);
}

#[test]
fn a_loop_without_contacts_is_its_end() {
    let readings = conditions(&circuit(Some(1000.0), None, &[]));
    assert_eq!(readings.len(), 3);
    reads(&readings, &Condition::Normal, 990.0, 1010.0);
    let bare = conditions(&circuit(None, None, &[]));
    reads(&bare, &Condition::Normal, 0.0, 0.0);
}
