//! What may go wrong in a scenario, what a plan has against it, and what comes along with the food unasked.

use crate::numbers::{CultureNumbers, LiquidNumbers, MishapNumbers, Range};

/// What may go wrong with the equipment, each with a switch.
#[derive(Debug, Clone, PartialEq)]
pub struct Mishaps {
    /// Their numbers.
    pub numbers: MishapNumbers<Range>,
    /// The power fails: air, pump, light and heater stop.
    pub power_cut: bool,
    /// The air stone of the tub stops, until the next visit.
    pub air_stop: bool,
    /// The feed line clogs, until the next visit.
    pub clog: bool,
    /// The end of the feed tube slips down, until the next visit.
    pub slip: bool,
}

/// What a plan has against mishaps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Owned {
    /// An air pump that runs on when the power fails.
    pub backup_air: bool,
    /// A battery for the feed pump and its timer.
    pub battery: bool,
    /// A float at the outlet that stops drip and pump when the water has risen too high ([`OutletNumbers::float_mm`]),
    /// until the keeper comes and rinses the sponge.
    ///
    /// [`OutletNumbers::float_mm`]: crate::numbers::OutletNumbers::float_mm
    pub float_alarm: bool,
}

/// A culture (or a daily hatch) that may not be ready when it is to be fed, and that may crash later.
///
/// A food that no culture is described for is there whenever it is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Culture {
    /// Index into [`Study::foods`](super::Study::foods).
    pub food: usize,
    /// Its numbers.
    pub numbers: CultureNumbers<Range>,
}

/// What a plan feeds while a culture is not ready: the same dry mass of another food, or nothing in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StandIn {
    /// Index into [`Study::foods`](super::Study::foods): the food that is missing.
    pub food: usize,
    /// Index of the food fed instead. If that is not ready either, nothing is.
    pub instead: usize,
}

/// Culture liquid that is fed along with unwashed food: vinegar, or the water of a worm culture.
#[derive(Debug, Clone, PartialEq)]
pub struct Liquid {
    /// Plain name, for example `vinegar`.
    pub name: String,
    /// Its numbers.
    pub numbers: LiquidNumbers<Range>,
}
