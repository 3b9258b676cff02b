//! What an input sees across a zone's detection loop in each condition.
//!
//! The loop's shape is the trade's: the cable runs out to the detectors and back. Normally-closed
//! contacts lie in series; the end-of-line resistor ends the loop; normally-open contacts lie
//! across that end. In a loop with a contact resistor, each normally-closed alarm contact has one
//! in parallel, so that opening adds it, and each normally-open alarm contact has one in series.
//! Tamper contacts have none: actuated, they cut or short the loop.
//!
//! Every resistance rises with every resistor in it, so the extremes are those with all resistors
//! at the low and all at the high end of their tolerance. The cable counts as given at both.

/// What a contact reports.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// Detection.
    Alarm,
    /// The detector's cover or mounting.
    Tamper,
}

/// One contact on the loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// What it reports.
    pub role: Role,
    /// Normally closed (opens when actuated), rather than normally open.
    pub closed: bool,
    /// What it resists while it is closed, ohms.
    pub ohms: f64,
}

/// A zone's loop as it is wired. Resistances are finite and not negative; the caller has checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Loop {
    /// End-of-line resistor, ohms. Without one, the end is a plain link if any contact is normally
    /// closed or there is no contact at all, and open if all are normally open.
    pub end: Option<f64>,
    /// The resistor at each alarm contact, ohms.
    pub contact_resistor: Option<f64>,
    /// How far resistors may be from their value, as a share: 0.01 is 1 %.
    pub tolerance: f64,
    /// Resistance of the cable, out and back together, ohms.
    pub cable_ohms: f64,
    /// The contacts on the loop. Their indices name them in [`Condition::Actuated`].
    pub contacts: Vec<Contact>,
}

/// A state that the loop can be in. An actuated contact is open if it is normally closed, and
/// closed if it is normally open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Condition {
    /// Nothing actuated, nothing wrong.
    Normal,
    /// One contact is actuated: its index in [`Loop::contacts`].
    Actuated(usize),
    /// All alarm contacts are actuated.
    AllAlarms,
    /// The two conductors touch somewhere between the input and the end of the loop.
    Short,
    /// A conductor is broken.
    Cut,
}

/// What the input sees in one condition, ohms. An open circuit is `f64::INFINITY`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The condition.
    pub condition: Condition,
    /// The least that it can be.
    pub least: f64,
    /// The most that it can be.
    pub most: f64,
}

/// The readings of a loop: normal; each contact actuated alone; all alarm contacts together, where
/// there are several; shorted; cut.
///
/// A short may lie anywhere, so it reads from nothing up to the cable and all closed contacts. Time
/// grows in proportion to the contacts.
pub fn conditions(wired: &Loop) -> Vec<Reading> {
    let least = Extreme::new(wired, 1.0 - wired.tolerance);
    let most = Extreme::new(wired, 1.0 + wired.tolerance);
    // Beside the contacts: normal, all alarms, short, cut.
    let mut readings = Vec::with_capacity(wired.contacts.len() + 4);
    readings.push(Reading {
        condition: Condition::Normal,
        least: least.ohms(&[]),
        most: most.ohms(&[]),
    });
    let alone = wired.contacts.iter().enumerate();
    readings.extend(alone.map(|(index, contact)| Reading {
        condition: Condition::Actuated(index),
        least: least.ohms([contact]),
        most: most.ohms([contact]),
    }));
    let alarms = || {
        let contacts = wired.contacts.iter();
        contacts.filter(|contact| contact.role == Role::Alarm)
    };
    if alarms().nth(1).is_some() {
        readings.push(Reading {
            condition: Condition::AllAlarms,
            least: least.ohms(alarms()),
            most: most.ohms(alarms()),
        });
    }
    readings.push(Reading {
        condition: Condition::Short,
        least: 0.0,
        most: wired.cable_ohms + most.closed,
    });
    readings.push(Reading {
        condition: Condition::Cut,
        least: f64::INFINITY,
        most: f64::INFINITY,
    });
    readings
}

/// A loop with every resistor at one end of its tolerance.
struct Extreme<'a> {
    wired: &'a Loop,
    /// What each resistor is of its value.
    resistors: f64,
    /// The normally-closed contacts in series while nothing is actuated, ohms.
    closed: f64,
    /// The far end while no contact lies across it, ohms.
    end: f64,
}

impl<'a> Extreme<'a> {
    fn new(wired: &'a Loop, resistors: f64) -> Extreme<'a> {
        let all_open =
            !wired.contacts.is_empty() && wired.contacts.iter().all(|contact| !contact.closed);
        let mut extreme = Extreme {
            wired,
            resistors,
            closed: 0.0,
            end: match wired.end {
                Some(ohms) => ohms * resistors,
                None if all_open => f64::INFINITY,
                None => 0.0,
            },
        };
        let closed = wired.contacts.iter().filter(|contact| contact.closed);
        extreme.closed = closed
            .map(|contact| extreme.across(contact, contact.ohms))
            .sum();
        extreme
    }

    /// What the loop resists with these contacts actuated.
    fn ohms<'c>(&self, actuated: impl IntoIterator<Item = &'c Contact>) -> f64 {
        let (mut series, mut end) = (self.closed, self.end);
        for contact in actuated {
            if contact.closed {
                // Opening never lowers the resistance, so nothing cancels.
                series += self.across(contact, f64::INFINITY) - self.across(contact, contact.ohms);
            } else {
                let own = self.resistor(contact).unwrap_or(0.0);
                end = parallel(end, contact.ohms + own);
            }
        }
        self.wired.cable_ohms + series + end
    }

    /// A normally-closed contact that resists `ohms`, with its resistor in parallel.
    fn across(&self, contact: &Contact, ohms: f64) -> f64 {
        match self.resistor(contact) {
            Some(resistor) => parallel(ohms, resistor),
            None => ohms,
        }
    }

    /// The resistor at a contact; tamper contacts have none.
    fn resistor(&self, contact: &Contact) -> Option<f64> {
        let resistor = self.wired.contact_resistor?;
        (contact.role == Role::Alarm).then_some(resistor * self.resistors)
    }
}

/// Two resistances side by side; either may be nothing or an open circuit.
fn parallel(a: f64, b: f64) -> f64 {
    // Nothing conducts without end.
    1.0 / (1.0 / a + 1.0 / b)
}
