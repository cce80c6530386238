//! What a pump feeds through, as a checked scenario describes it: reservoir, timer, pump and tube, sponge and rim; and
//! the jar tests that a keeper has made.

use crate::clock::TimeOfDay;
use crate::numbers::{LineNumbers, OutletNumbers, Range, ReservoirNumbers};

/// The most parts that the floor of a reservoir of one's own shape may have.
pub const MOST_FLOOR_PARTS: usize = 12;

/// The inside of a reservoir below its straight walls. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A flat-floored box.
    Box {
        /// Longer side.
        length_mm: f64,
        /// Shorter side.
        width_mm: f64,
    },
    /// A flat-floored cylinder.
    Cylinder {
        /// Inner diameter.
        diameter_mm: f64,
    },
    /// A cone, tip down, with a straight wall above: a hatching cone, or a bottle standing on its neck.
    Cone {
        /// Inner diameter of the straight wall.
        diameter_mm: f64,
        /// Angle of the cone's wall against the level, degrees, above 0 and below 90.
        slope_deg: f64,
    },
    /// Any other shape with straight walls, given by its floor in plan.
    Own {
        /// Parts of the floor; at least one.
        floor: Vec<FloorPart>,
    },
}

/// A part of a floor seen from above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorPart {
    /// Its angle against the level, degrees, 0 to below 90.
    pub slope_deg: f64,
    /// Its area seen from above, mm².
    pub area_mm2: f64,
}

/// Where the air stone of a reservoir stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stone {
    /// In the middle of the floor, or in the tip of a cone.
    Middle,
    /// At one end of the floor.
    OneEnd,
}

/// A vessel from which a pump feeds.
#[derive(Debug, Clone, PartialEq)]
pub struct Reservoir {
    /// Plain name, unique in the study.
    pub name: String,
    /// Its shape.
    pub shape: Shape,
    /// Where the air stone stands; without air (`air_ml_min` of 0) nothing stirs.
    pub stone: Stone,
    /// Height of the intake above the lowest point of the floor, mm.
    pub intake_mm: f64,
    /// Its numbers.
    pub numbers: ReservoirNumbers<Range>,
}

impl Reservoir {
    /// True when its lengths, areas and angles make a vessel.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        let is_length = |mm: f64| mm.is_finite() && mm > 0.0;
        let is_slope = |deg: f64| (0.0..90.0).contains(&deg);
        let shape = match &self.shape {
            Shape::Box { length_mm, width_mm } => is_length(*length_mm) && is_length(*width_mm),
            Shape::Cylinder { diameter_mm } => is_length(*diameter_mm),
            Shape::Cone { diameter_mm, slope_deg } => {
                is_length(*diameter_mm) && is_slope(*slope_deg) && *slope_deg > 0.0
            }
            Shape::Own { floor } => {
                !floor.is_empty() && floor.iter().all(|part| is_length(part.area_mm2) && is_slope(part.slope_deg))
            }
        };
        shape && self.intake_mm.is_finite() && self.intake_mm >= 0.0
    }
}

/// What a timer can do.
#[derive(Debug, Clone, PartialEq)]
pub struct Timer {
    /// Plain name.
    pub name: String,
    /// Shortest time for which it can switch on, and step of all longer ones, min.
    pub slot_min: f64,
    /// Feeds that it can hold in a day.
    pub programmes: usize,
    /// Feeds begin at whole multiples of so many minutes after midnight.
    pub start_every_min: u16,
    /// True when it keeps its clock through a power cut.
    pub keeps_clock: bool,
}

/// Pump, timer and tube.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedLine {
    /// The timer.
    pub timer: Timer,
    /// The numbers of pump and tube.
    pub numbers: LineNumbers<Range>,
}

/// How much is poured into the reservoir at a refill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fill {
    /// Enough for the feeds up to the next planned refill, with [`SPARE`] more and what the pump cannot reach.
    Needed,
    /// Always so many millilitres.
    Millilitres(f64),
}

/// What a keeper pours in beyond the need, as a share of it: a late visit must not mean an empty reservoir
/// (common practice, no source).
pub const SPARE: f64 = 0.2;

/// At which visits something is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Visits {
    /// At none.
    None,
    /// At the day's first visit.
    First,
    /// At the first visit of every so many days, counted from day 1.
    FirstEvery(u32),
    /// At every visit.
    Every,
}

/// One run of the pump, as the timer is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// When it begins.
    pub at: TimeOfDay,
    /// How long it runs, min.
    pub minutes: f64,
    /// What was wanted of it, mL of the day's mix.
    pub wanted_ml: f64,
}

/// How a plan uses a reservoir and a feed line.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanLine {
    /// Index into [`super::Study::reservoirs`].
    pub reservoir: usize,
    /// Index into [`super::Study::lines`].
    pub line: usize,
    /// Index into [`super::Study::recipes`]: what is poured in.
    pub recipe: usize,
    /// How much is poured in.
    pub fill: Fill,
    /// At which visits what is left is thrown away and the reservoir filled afresh.
    pub refills: Visits,
    /// Runs of the pump for each day, day 1 first, in order of time; none of two overlap. Made by
    /// [`crate::feedline::timer::programme`].
    pub programme: Vec<Vec<Run>>,
}

/// The outlet of a tub: a sponge that holds the fry back, and the rim above it.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlet {
    /// Its numbers.
    pub numbers: OutletNumbers<Range>,
}

/// A half-hour settling test that a keeper has made with a food.
#[derive(Debug, Clone, PartialEq)]
pub struct JarTest {
    /// Index into [`super::Study::foods`].
    pub food: usize,
    /// How it was made.
    pub how: JarKind,
    /// Minutes after which it was read.
    pub after_min: f64,
    /// Share of the food still in suspension then, 0 to 1.
    pub in_suspension: f64,
    /// How far the reading may be off (standard deviation), 0 to 1.
    pub reading_error: f64,
}

/// How a jar test was made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum JarKind {
    /// Without air, in a straight-walled jar.
    Still {
        /// Height of the water, mm.
        height_mm: f64,
        /// Temperature of the water, °C.
        celsius: f64,
    },
    /// In the reservoir itself, with its air running and the pump off.
    Stirred {
        /// Index into [`super::Study::reservoirs`].
        reservoir: usize,
        /// Water in it, mL.
        volume_ml: f64,
    },
}
