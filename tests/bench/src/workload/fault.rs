//! The mistakes that a few sites have, one each.

use bellwire_tests::random::Random;

/// One mistake, and the finding that it must give.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// Two keypads at one address.
    AddressTaken,
    /// A sounder far down a thin cable.
    VoltageLow,
    /// A battery that is too small.
    BatteryShort,
    /// A cable with too few cores.
    CoresShort,
    /// A model that no catalog has.
    UnknownModel,
    /// A misspelt word.
    UnknownWord,
    /// A length where a time belongs.
    WrongUnit,
    /// A partition that the panel was not given.
    PartitionUnknown,
}

const ALL: [Fault; 8] = [
    Fault::AddressTaken,
    Fault::VoltageLow,
    Fault::BatteryShort,
    Fault::CoresShort,
    Fault::UnknownModel,
    Fault::UnknownWord,
    Fault::WrongUnit,
    Fault::PartitionUnknown,
];

impl Fault {
    /// For three sites in a hundred, one of them.
    pub fn draw(random: &mut Random) -> Option<Fault> {
        random.percent(3).then(|| *random.of(&ALL))
    }

    /// The codes of the findings that it gives, in the order of their names.
    pub fn codes(self) -> &'static [&'static str] {
        match self {
            // Both ends of the conflict are marked.
            Fault::AddressTaken => &["address-taken", "address-taken"],
            // The sounder and the beacon behind it.
            Fault::VoltageLow => &["voltage-low", "voltage-low"],
            Fault::BatteryShort => &["battery-short"],
            Fault::CoresShort => &["cores-short"],
            Fault::UnknownModel => &["unknown-name"],
            Fault::UnknownWord => &["unknown-word"],
            Fault::WrongUnit => &["wrong-unit"],
            Fault::PartitionUnknown => &["partition-unknown"],
        }
    }
}
