//! What a fry is born with, drawn from its own stream, the same under every plan.

use rand_distr::{Distribution, Exp1, StandardNormal};

use crate::chance::{Source, Streams};
use crate::clock::{MS_PER_DAY, Moment, Span};
use crate::numbers::FishNumbers;

/// What one fry is born with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Traits {
    /// Length when it starts to feed, mm.
    pub length_mm: f64,
    /// Dry mass without yolk at that time, µg.
    pub mass_ug: f64,
    /// Yolk left, dry µg.
    pub yolk_ug: f64,
    /// Searching skill; median 1.
    pub skill: f64,
    /// Share of its best mass at which it dies.
    pub limit: f64,
    /// When it first swims.
    pub swims: Moment,
    /// When it would die of what is not modelled.
    pub background_death: Moment,
    /// Stalled hazard it can bear (a unit exponential).
    pub stalled_patience: f64,
    /// Hazard at the end of the feed tube that it can bear (a unit exponential).
    pub tube_patience: f64,
    /// Hazard at the rim that it can bear (a unit exponential).
    pub rim_patience: f64,
    /// Hazard by ammonia that it can bear (a unit exponential).
    pub ammonia_patience: f64,
    /// Hazard by lack of oxygen that it can bear (a unit exponential).
    pub oxygen_patience: f64,
}

/// Hour of day 1 around which fry first swim: its middle, so that cutting the normal to day 1 takes as much from
/// either side.
const SWIM_UP_HOUR: f64 = 12.0;

/// First swimming is told to the quarter hour: nobody sees it finer, and every different time costs a leap.
const SWIM_UP_GRAIN_H: f64 = 0.25;

impl Traits {
    /// Draws the fry numbered `fry`.
    #[must_use]
    pub fn draw(fish: &FishNumbers<f64>, streams: &Streams, fry: u32) -> Self {
        let mut rng = streams.own(Source::Traits, u64::from(fry));
        let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
        let [length, yolk, skill, limit, swims] = [normal(), normal(), normal(), normal(), normal()];
        let length_mm = fish.length_mm * (1.0 + fish.length_spread * length).max(0.3);
        let mass_ug = fish.usual_mass_ug * fish.condition * (length_mm / fish.usual_length_mm).powf(fish.mass_exponent);
        let waits: f64 = Exp1.sample(&mut rng);
        let mut patience = || -> f64 { Exp1.sample(&mut rng) };
        let [stalled_patience, tube_patience, rim_patience] = [patience(), patience(), patience()];
        let [ammonia_patience, oxygen_patience] = [patience(), patience()];
        let swims_h = SWIM_UP_HOUR + fish.swim_up_spread_h * swims;
        let swims = Span::from_hours((swims_h / SWIM_UP_GRAIN_H).round() * SWIM_UP_GRAIN_H).0.clamp(0, MS_PER_DAY);
        let lives_h = if fish.background_per_day > 0.0 {
            // A daily chance as a constant hazard.
            24.0 * waits / -(-fish.background_per_day).ln_1p()
        } else {
            f64::INFINITY
        };
        Self {
            length_mm,
            mass_ug,
            yolk_ug: mass_ug * fish.yolk_share * (1.0 + fish.yolk_spread * yolk).max(0.0),
            skill: (fish.skill_spread * skill).exp(),
            limit: (fish.starvation_limit + fish.starvation_spread * limit).clamp(0.05, 0.98),
            swims: Moment(swims),
            background_death: Moment(swims) + Span::from_hours(lives_h.min(1e6)),
            stalled_patience,
            tube_patience,
            rim_patience,
            ammonia_patience,
            oxygen_patience,
        }
    }
}
