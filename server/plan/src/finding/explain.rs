//! What each finding means to the people on site: why it matters, a small plan
//! that has it, and how to mend it.
//!
//! One text serves everywhere: `bellwire explain`, hover, and the reference.
//! The plans are files beside this one, under `examples`; a test holds that
//! each has its finding and no other.

use super::Code;

/// What a finding means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Explanation {
    /// Why it matters on site: whole sentences.
    pub why: &'static str,
    /// A small, complete plan that has the finding. Its models are invented.
    pub example: &'static str,
    /// How to mend it: whole sentences.
    pub mend: &'static str,
}

impl Code {
    /// What the finding means, and what to do about it.
    pub fn explanation(self) -> Explanation {
        let (why, mend) = why_and_mend(self);
        Explanation {
            why,
            example: self.example(),
            mend,
        }
    }
}

fn why_and_mend(code: Code) -> (&'static str, &'static str) {
    match code {
        // ---- Reading the plan.
        Code::Syntax => (
            "What cannot be read is not checked: the device or cable on this line is missing from every sum.",
            "Finish the line, or take out what is too much. A statement is a word, its arguments, and clauses behind commas; a cable's path is `main.keys --12 m-- front`.",
        ),
        Code::UnknownWord => (
            "A misspelt word says nothing: the value behind it is not used, and the sums are done without it.",
            "Take the word that is suggested, or pick one of those that the editor offers at this place.",
        ),
        Code::UnknownName => (
            "The plan leans on something that is not in it: the wrong name, or a catalog that was not brought in. What hangs on it cannot be worked out.",
            "Mend the name, declare the thing, or `use` the file that declares it.",
        ),
        Code::WrongKind => (
            "There is something here, but not of the kind that belongs here: a battery where a cable should be, a range back to front, a part of a number where only whole ones count, a battery that would give more when it is emptied faster. Or a value that can hardly be meant: `inputs 8` is the eighth input alone, a draw that is less in alarm than in standby is often swapped with the other, and a sheet's loop resistance counts both conductors.",
            "Put the kind of thing that the message asks for.",
        ),
        Code::WrongUnit => (
            "`45 m` is a length and `45 mA` a current: one letter, and a keypad draws nothing in all the sums. Units are checked so that this is seen at the desk.",
            "Write the value with a unit of what is asked for. Any unit of it will do, feet as well as metres.",
        ),
        Code::Missing => (
            "Without it the statement says too little to be worked out or fitted.",
            "Add what the message names; its example shows where it goes.",
        ),
        Code::Repeated => (
            "Two values for one thing: whoever reads the plan will take one of them, and not know of the other. Or one thing in two places: a contact can be on the loop of one zone only.",
            "Take one out.",
        ),
        Code::Misplaced => (
            "It is right in itself and in the wrong place, so it does nothing here: a statement in a block that has no use for it, an address on a device in no bus, a second place for a device that is one thing only, a rule set that is built on itself.",
            "Move it to where it belongs, which the message says, or take it out.",
        ),
        Code::ImportMissing => (
            "The models and names of that file are not there, so whatever needs them cannot be worked out.",
            "Mend the path. It is seen from the folder of this file, not from the top of the workspace.",
        ),
        Code::ImportCycle => (
            "Two files that use each other cannot be read or handed on by themselves, and nobody can tell which one rests on the other.",
            "Put what both need into a file of its own, and use that from both.",
        ),
        Code::ImportOutside => (
            "Only the folders that are open are read, so that a plan from somebody else cannot reach for other files. A colleague who has only the workspace would not have that file either.",
            "Move the file into the workspace, or open its folder too.",
        ),

        // ---- Places on a bus.
        Code::AddressTaken => (
            "Two devices at one address answer the panel at the same time. Both fail, or come and go, and it looks like bad wiring.",
            "Give one of them a free address, and set it at the device too: on its keys or its switches.",
        ),
        Code::AddressOutOfRange => (
            "The panel never asks at that address, or takes what answers there for another kind of device. It stays dead after everything is screwed to the wall.",
            "Choose an address in the range that the panel keeps for this kind of device.",
        ),
        Code::AddressMissing => (
            "The fitter has to make an address up on site, and may pick a taken one. Devices leave the factory at one and the same address, so two that are not set collide.",
            "Give it a free address; the editor offers the next one.",
        ),
        Code::AddressNotEnabled => (
            "The panel does not look at that address until it is told to. The device has power and says nothing, or shows a fault.",
            "Enable the address in the panel's programming, and put the step on the job sheet; then `accept` this finding with that reason. Or use an address that is enabled from the factory.",
        ),
        Code::BusFull => (
            "The panel polls a limited number of devices on a bus. With one too many it leaves some of them out, without a word. A bus whose limit is in unit loads (TIA-485-A) is too weak to drive more of them than its model says.",
            "Take devices off the bus, combine them (a keypad with a receiver in it may still count as two), or plan a panel that carries more.",
        ),
        Code::PlacesOverlap => (
            "The model says that one address may belong to two kinds of device. Either the maker's sheet was copied wrongly, or it has to be read again: all plans with this panel lean on it.",
            "Correct the `place` lines so that every address belongs to one kind.",
        ),

        // ---- Power.
        Code::OutputOverloaded => (
            "Above its limit an output shuts down or blows its fuse: everything on it goes dead at once, most likely in alarm, when all of it draws. The same goes for outputs that share a limit, and for a mains side that is asked for more than it gives.",
            "Move devices to another output, feed them from a supply of their own, or choose devices that draw less.",
        ),
        Code::Headroom => (
            "The output carries this, but less is kept free than the rules ask. The next detector, a hot summer or a figure that was printed too low overloads it.",
            "Move some of the load, or take the rule off for this output: `accept headroom \"reason\"`.",
        ),
        Code::VoltageLow => (
            "Below its working voltage a device restarts, loses its address or goes deaf; on the bench it was fine. It shows when the siren sounds with the battery at its end, which no test on the day of fitting reaches.",
            "Thicker cable, spare cores in parallel (`doubled`), a shorter route, or a supply near the device.",
        ),
        Code::VoltageHigh => (
            "Above its working voltage a device runs hot and dies early. 12 V equipment sees 13.8 V and more while the battery is on charge.",
            "Use a device that stands the charging voltage, or a regulated output.",
        ),
        Code::CannotBeFed => (
            "No voltage settles: as the voltage at its end falls the device asks for more current, and the cable gives ever less. On site it hums, clicks or restarts without end.",
            "Thicker or doubled cable, a shorter route, or a supply near the device. The message says the most that this run can deliver.",
        ),
        Code::ReferenceShift => (
            "The current in the negative core lifts the device's own zero above the panel's. Data is measured against it, so far enough up the bus misreads: faults that come with load and go without.",
            "Thicker or doubled cable, less load on the run, or power from a supply nearby with its negative tied to the panel's.",
        ),
        Code::NotWired => (
            "What the plan has and no cable feeds has no volts, no cores on the schedule, and no metres in the list. It may be a device that no run names, one that gets data and no power or power and no data, one that lies on the cable of another bus than its own, or one whose model has a `trigger` and that hangs on one output: what feeds it, or what triggers it.",
            "Name it in a path of a run from an output or from its own bus; power and data may come over two runs, and so may what feeds a device and what triggers it, or `main.aux + main.siren` brings both. Take it out if it is not to be fitted. While a run names something unknown, none of this is told.",
        ),
        Code::NotSwitched => (
            "A sounder that draws in alarm only sounds while it is fed, so common practice feeds it from an output that is on in alarm only. On one that is always on it sounds at all times, or its cable was led to the wrong terminals and it never does.",
            "Feed it from an output that is `in alarm`, and say so in the panel's model if the output is: `output siren 13.8 V, in alarm`. One that is fed at all times and told to sound by another output has a `trigger` in its model. One on a bus is switched over that. Where a relay switches it, lead its cable over the relay, as the current goes: `main.aux --2 m-- gate --10 m-- bell`.",
        ),
        Code::WiredTwice => (
            "Two sources on one device push current into each other; when one fails, the other feeds its whole load back through thin cores, and isolating one does not make it dead. Outputs that a cable or a `+` joins do the same, and at different voltages, the higher drives all it has into the lower. The same output over two routes is a ring that nobody may have meant: one break in it goes unseen. So does one in a loop that comes to a detector over two cables.",
            "Feed each device from one output, and take the power cores of the other run off: `carries data` where it only brings data, or where only the negatives are to be joined. A sounder that one output feeds at all times and another triggers in alarm takes both apart: write what its trigger draws into its model, `trigger 5 mA`. A ring that is meant is one path that comes back to its terminal.",
        ),
        Code::NegativesApart => (
            "Data is a voltage against the negative. With two supplies whose negatives are not tied, that voltage means nothing: the device is lost or answers at random.",
            "Lay a core between the negatives of the two supplies, and write it as a run that `carries data`: `main.aux --3 m-- psu1.out`. Tie negatives only, never positives.",
        ),

        // ---- Battery.
        Code::BatteryShort => (
            "With the mains off the system dies before its time, at night or at the weekend, which is when a long cut goes unseen. The standard or the insurer asks for these hours.",
            "A larger battery (mind what the charger may charge), less load in standby, or a supply with a battery of its own for part of it.",
        ),
        Code::BatteryTooLarge => (
            "A charger that is too small for its battery runs hot, or never brings it up: the battery ages half full, and its size is on paper only.",
            "Fit a battery up to the unit's limit; for more hours, a second supply with its own battery.",
        ),
        Code::RechargeSlow => (
            "After a power cut the battery is not back in the time that the rules give. The next cut finds it half full.",
            "Take load off the charger's side, use a smaller battery if the hours allow it, or a unit with a stronger charger.",
        ),
        Code::BatteryOld => (
            "A sealed battery past its life holds a part of its capacity, and may swell or short. On mains nobody notices.",
            "Replace it, write the new date behind `fitted`, and hand the old one in for recycling. Disconnect before you touch terminals: a battery can deliver hundreds of amperes.",
        ),
        Code::BatteryDate => (
            "By a date that is yet to come nobody can tell how old the battery is, so for years nothing says that it is due.",
            "Write the date that stands on the battery or in the log of the last visit. Where it is not fitted yet, leave `fitted` out until it is.",
        ),
        Code::BatteryMissing => (
            "The rules ask for hours without mains, and this unit has no battery: pull the plug and it is off.",
            "Add `battery : MODEL, fitted DATE` to the panel or supply.",
        ),

        Code::RulesWeaker => (
            "A rule set that is built on another, and asks for less, looks like the other by what it is built on. Whoever signs for the standard then signs for hours that the battery need not hold.",
            "Ask for at least as much, or build on the rule set that is meant. Where another standard or an authority permits less, write which in the rule set's own `source`.",
        ),
        Code::RulesMissing => (
            "The site names no rule set, so nobody has said how long the battery must last, and no finding says that it does not. Its hours are worked out all the same, with nothing kept in hand for its last year.",
            "Name the rule set that the system must meet: `rules intruder-grade-2`. A house rule of one's own will do.",
        ),

        // ---- Cable.
        Code::CoresShort => (
            "The fitter finds out at the last terminal that a core is missing, with the cable in the wall.",
            "Choose a cable with enough cores, or carry one of the circuits in a run of its own.",
        ),
        Code::BusTooLong => (
            "Every metre loads the bus and rounds its edges. Past the maker's length devices drop out now and then, the far ones first.",
            "Shorten the route, move the panel, or put a repeater or a second bus in if the maker has one.",
        ),
        Code::BusCapacitance => (
            "Cable is a capacitor that the panel must charge with every bit. Too much of it smears the data, whatever the metres say.",
            "Cable of lower capacitance, less of it, or no doubled data cores.",
        ),
        Code::Layout => (
            "The maker allows certain shapes only; in others the data is reflected at the branches or goes round in a circle. It may well work on the day and fail later.",
            "Lay the cable in a shape that the bus allows: most often one device after the other.",
        ),

        // ---- Zones.
        Code::InputTaken => (
            "One input reads one loop. Two zones on it cannot be told apart: the panel reports one of them, whichever was meant.",
            "Give one zone a free input, or put its detectors into the other zone.",
        ),
        Code::InputMissing => (
            "The zone is on the sheet and not in the building: its input is none that the panel or expander has, or another panel reads it, or no cable leads from it to the detectors, or a detector is in no zone, so that no input reads it.",
            "Choose an input that is there, lay a run from it to the zone's detectors, and name every detector in a zone.",
        ),
        Code::NotInSeries => (
            "Resistors are made in series of values (IEC 60063), and what lies between them is not in the shop. The fitter takes the next best one, and the sums are those of another.",
            "Take the nearest value of the series if the maker's windows allow it, name the series that has the value, or leave `resistors` out if the resistor comes with the panel.",
        ),
        Code::LoopMisread => (
            "With these resistors and this cable, the input takes the loop for something else: an alarm that never goes, or a detector that never alarms.",
            "Fit the resistors that the input expects, in the place that the loop names; with long thin cable, thicker cores. A tamper contact has no resistor: where an open housing reads wrong, mend the loop's windows or give the contact an input of its own.",
        ),
        Code::LoopAmbiguous => (
            "Two conditions lie in one window of the input. The panel cannot tell them apart: it may not know an alarm from a cut cable, or from quiet. In a model, it is two windows that overlap.",
            "Use a loop with a resistor for each contact, other resistor values, or an input for each detector.",
        ),
        Code::ZoneMissingPartition => (
            "A zone in no partition is never set: its detectors are seen by nobody.",
            "Add `partition N` to the zone.",
        ),
        Code::KeypadMissingPartition => (
            "The panel has several partitions, and the plan does not say which of them this keypad sets: whoever programs it has to guess.",
            "Add `partition N` to the keypad; one that sets several names them all, `partition 1 2`.",
        ),
        Code::PartitionUnknown => (
            "The panel has no such partition in this plan, so nobody sets or unsets what is in it.",
            "Declare the partition in the panel, or mend the number.",
        ),
        Code::TooManyPartitions => (
            "The panel cannot be divided that far; the last ones cannot be entered.",
            "Put zones together in fewer partitions, or plan a panel that has more.",
        ),

        // ---- Across sites.
        Code::AccountTaken => (
            "The monitoring centre knows a site by its account. With two on one, a patrol or the police go to the wrong door.",
            "Ask the centre for an account of its own for one of the sites, and enter it at that panel.",
        ),
        Code::NameTaken => (
            "Whoever refers to the name may mean either. Papers and searches mix the two up.",
            "Give one of them another name, and mend what refers to it; the editor can rename it everywhere.",
        ),

        // ---- Housekeeping.
        Code::AcceptUnused => (
            "What was accepted is no longer there. Left standing, it would hide the same finding when it comes back for another reason.",
            "Take the `accept` out.",
        ),
        Code::Unused => (
            "It does no harm by itself, but it is there to be read, and to be mistaken for something that counts; or what was to use it is missing: the cable that goes on from a joint, the zone that is in a partition.",
            "Add what was meant to use it, or take it out.",
        ),
        Code::Unchecked => (
            "Silence would read as approval. Where a model leaves out what a check needs, nothing is compared, and the finding says what was not. It says so too of a detector with several contacts in two zones, since the plan does not say which contact is on which loop.",
            "Add what is missing from the product's sheet. If the sheet does not say, accept the finding with that reason. For a detector in two zones, declare one for each loop.",
        ),
    }
}
