//! What the things of a site go by: where they stand in its lists.

/// Index into [`Site::units`].
pub type UnitId = usize;
/// Index into [`Site::devices`].
pub type DeviceId = usize;
/// Index into [`Site::joints`].
pub type JointId = usize;
/// Index into [`Site::runs`].
pub type RunId = usize;
/// Index into [`Site::zones`].
pub type ZoneId = usize;

/// An output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct OutputId {
    /// Its unit.
    pub unit: UnitId,
    /// Index into the outputs of the unit's model.
    pub index: usize,
}

/// A bus of a panel's model.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct BusId {
    /// The panel.
    pub unit: UnitId,
    /// Index into the buses of the panel's model.
    pub index: usize,
}

/// A bus as a panel of the plan has it: its block, which may stand elsewhere than the
/// panel's model has the bus.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct BusBlock {
    /// The panel.
    pub unit: UnitId,
    /// Index into [`Unit::buses`].
    pub index: usize,
}
