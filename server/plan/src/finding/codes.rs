//! The code of every finding, with its family and weight.

use super::Severity;

macro_rules! codes {
    ($($family:literal { $($code:ident $name:literal $severity:ident $title:literal)* })*) => {
        /// What a finding is about. The name is stable: other programs read it.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Code {
            $($(#[doc = $title] $code,)*)*
        }

        impl Code {
            /// Every code, by family.
            pub const ALL: &'static [Code] = &[$($(Code::$code,)*)*];

            /// The name that people and programs know it by: `address-taken`.
            pub fn name(self) -> &'static str {
                match self {
                    $($(Code::$code => $name,)*)*
                }
            }

            /// What is wrong, in a few words.
            pub fn title(self) -> &'static str {
                match self {
                    $($(Code::$code => $title,)*)*
                }
            }

            /// The family that it belongs to.
            pub fn family(self) -> &'static str {
                match self {
                    $($(Code::$code => $family,)*)*
                }
            }

            /// Whether it is about what can be read, not about what that implies.
            pub fn is_of_reading(self) -> bool {
                self.family() == Code::Syntax.family()
            }

            /// A small plan that has it.
            pub(super) fn example(self) -> &'static str {
                match self {
                    $($(Code::$code => include_str!(concat!("examples/", $name, ".bell")),)*)*
                }
            }

            /// How much it weighs.
            pub fn severity(self) -> Severity {
                match self {
                    $($(Code::$code => Severity::$severity,)*)*
                }
            }
        }
    };
}

codes! {
    "Reading the plan" {
        Syntax "syntax" Error "The line cannot be read"
        UnknownWord "unknown-word" Error "A word that means nothing here"
        UnknownName "unknown-name" Error "A name that nothing has"
        WrongKind "wrong-kind" Error "Something of the wrong kind"
        WrongUnit "wrong-unit" Error "A unit that measures something else"
        Missing "missing" Error "Something that must be there is not"
        Repeated "repeated" Error "Something that may be there once is there twice"
        Misplaced "misplaced" Error "Something that has no place here"
        ImportMissing "import-missing" Error "A used file that is not there"
        ImportCycle "import-cycle" Warning "Files that use each other"
        ImportOutside "import-outside" Error "A used file outside the workspace"
    }
    "Places on a bus" {
        AddressTaken "address-taken" Error "Two devices at one address"
        AddressOutOfRange "address-out-of-range" Error "An address outside the range for this kind of device"
        AddressMissing "address-missing" Error "A device on a bus without an address"
        AddressNotEnabled "address-not-enabled" Warning "An address that must first be enabled at the panel"
        BusFull "bus-full" Error "More devices than the bus has places"
        PlacesOverlap "places-overlap" Error "Address ranges of two kinds overlap in a panel model"
    }
    "Power" {
        OutputOverloaded "output-overloaded" Error "More current than the output can carry"
        Headroom "headroom" Warning "Less of an output kept free than the rules ask"
        VoltageLow "voltage-low" Error "Too little voltage at a device"
        VoltageHigh "voltage-high" Error "Too much voltage at a device"
        CannotBeFed "cannot-be-fed" Error "A load that the cable cannot feed at all"
        ReferenceShift "reference-shift" Warning "A negative shifted too far for the data"
        NotWired "not-wired" Error "A device that no cable reaches"
        NotSwitched "not-switched" Warning "A sounder or beacon that nothing switches"
        WiredTwice "wired-twice" Warning "A device fed over two routes"
        NegativesApart "negatives-apart" Error "Data between supplies without a common negative"
    }
    "Battery" {
        BatteryShort "battery-short" Error "The battery does not last"
        BatteryTooLarge "battery-too-large" Error "A battery larger than the charger may charge"
        RechargeSlow "recharge-slow" Warning "The battery is not full again in time"
        BatteryOld "battery-old" Warning "The battery is past its life"
        BatteryDate "battery-date" Warning "A battery that is fitted on a day yet to come"
        BatteryMissing "battery-missing" Error "No battery where the rules ask for one"
        RulesWeaker "rules-weaker" Warning "Rules that ask for less than those they are built on"
        RulesMissing "rules-missing" Information "A battery that no rules judge"
    }
    "Cable" {
        CoresShort "cores-short" Error "More cores needed than the cable has"
        BusTooLong "bus-too-long" Error "More cable on a bus than it can drive"
        BusCapacitance "bus-capacitance" Error "More capacitance on a bus than it can drive"
        Layout "layout" Error "A cable layout that the bus does not allow"
    }
    "Zones" {
        InputTaken "input-taken" Error "Two zones on one input"
        InputMissing "input-missing" Error "An input that is not there, or no cable reaches"
        NotInSeries "not-in-series" Information "A resistor value that its series does not have"
        LoopMisread "loop-misread" Error "A loop that reads as something else"
        LoopAmbiguous "loop-ambiguous" Error "Conditions that the input cannot tell apart"
        ZoneMissingPartition "zone-missing-partition" Warning "A zone in no partition"
        KeypadMissingPartition "keypad-missing-partition" Information "A keypad in no partition"
        PartitionUnknown "partition-unknown" Error "A partition that the panel does not have"
        TooManyPartitions "too-many-partitions" Error "More partitions than the panel can have"
    }
    "Across sites" {
        AccountTaken "account-taken" Error "One account for two sites"
        NameTaken "name-taken" Error "One name for two things"
    }
    "Housekeeping" {
        AcceptUnused "accept-unused" Warning "An acceptance that matches nothing"
        Unused "unused" Information "Something that nothing uses"
        Unchecked "unchecked" Information "Something that cannot be checked, since the plan does not say enough"
    }
}

impl Code {
    /// The code of that name.
    pub fn parse(name: &str) -> Option<Code> {
        Code::ALL.iter().copied().find(|code| code.name() == name)
    }
}

impl std::fmt::Display for Code {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}
