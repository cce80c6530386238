//! What fouled water does to fry: ammonia by a reduced survival model, lack of oxygen by a hazard, and both by spoiling
//! the appetite.
//!
//! Ammonia: the reduced general unified threshold model of survival with stochastic death, GUTS-RED-SD (Jager, Albert,
//! Preuss & Ashauer 2011, Environ. Sci. Technol. 45:2529–2540; EFSA 2018, EFSA Journal 16(8):5377):
//! `dD/dt = k (C − D)`, hazard `b · max(0, D − z)`. The killing rate b is the one with which half die in 96 h at the LC50.

use crate::numbers::FishNumbers;
use crate::physics::chemistry::{NH3_PER_N, ammonia_tolerance_at, unionised_share};

/// Exposure for which an LC50 is told, h.
const LC50_H: f64 = 96.0;
/// pH and temperature for which the LC50 of the library is told (estimate: the usual ones of trials; figures measured at
/// others are not converted).
const LC50_AT: (f64, f64) = (8.0, 25.0);
/// Exposure for which the lethal oxygen is told, h.
const LETHAL_OXYGEN_H: f64 = 3.0;
/// Oxygen dies away as a killer above this multiple of the lethal one (estimate: larvae that half die at 2 mg/L all live
/// at 3.5, Spoor 1984, abstract).
const OXYGEN_SPAN: f64 = 1.4;
/// Oxygen at which fry feed freely, mg/L (Spoor 1977, 1984, abstracts, with a margin; estimate).
pub const FEEDS_FREELY_MG_L: f64 = 4.0;
/// Share of the harmless ammonia above which fry feed less (estimate).
pub const SHY_FROM: f64 = 0.5;

/// A fish's tolerance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    lc50_n_mg_l: f64,
    speed_per_h: f64,
    threshold_share: f64,
    /// See [`FishNumbers::oxygen_lethal_mg_l`].
    pub oxygen_lethal_mg_l: f64,
    /// Killing rate for harm measured in LC50s, per h.
    killing_per_h: f64,
}

/// Killing rate with which half die in `hours` at a constant exposure of 1, from harm that follows it at `speed_per_h`
/// and does nothing below `threshold` (both in shares of that exposure).
///
/// Closed form: harm passes the threshold at `t0 = −ln(1 − z) / k`; the summed hazard from there on is
/// `b · [(1 − z)(T − t0) − (e^(−k t0) − e^(−k T)) / k]`, and half are dead when it is ln 2.
#[must_use]
fn killing_rate(speed_per_h: f64, threshold: f64, hours: f64) -> f64 {
    let (k, z) = (speed_per_h, threshold);
    let from = -(1.0 - z).ln() / k;
    let sum = (1.0 - z) * (hours - from) - ((-k * from).exp() - (-k * hours).exp()) / k;
    if from >= hours || sum <= 0.0 { f64::INFINITY } else { std::f64::consts::LN_2 / sum }
}

impl Tolerance {
    /// Of a fish.
    #[must_use]
    pub fn new(fish: &FishNumbers<f64>) -> Self {
        // As total ammonia nitrogen at the pH of the test, because that is what the pH term speaks of.
        let lc50_n_mg_l = fish.ammonia_lc50_mg_l / NH3_PER_N / unionised_share(LC50_AT.1, LC50_AT.0);
        // Harm that builds up too slowly to pass its threshold within the test could not have killed half in it.
        let slowest = -(1.0 - fish.ammonia_threshold).ln() / (0.5 * LC50_H);
        let speed_per_h = fish.ammonia_speed_per_h.max(slowest);
        Self {
            lc50_n_mg_l,
            speed_per_h,
            threshold_share: fish.ammonia_threshold,
            oxygen_lethal_mg_l: fish.oxygen_lethal_mg_l,
            killing_per_h: killing_rate(speed_per_h, fish.ammonia_threshold, LC50_H),
        }
    }

    /// Un-ionised ammonia that kills half in 96 h at a pH and temperature, mg NH3/L.
    #[must_use]
    pub fn lc50_mg_l(&self, celsius: f64, ph: f64) -> f64 {
        let total = self.lc50_n_mg_l * ammonia_tolerance_at(ph) / ammonia_tolerance_at(LC50_AT.0);
        total * NH3_PER_N * unionised_share(celsius, ph)
    }

    /// Un-ionised ammonia below which none die, mg NH3/L.
    #[must_use]
    pub fn harmless_mg_l(&self, celsius: f64, ph: f64) -> f64 {
        self.threshold_share * self.lc50_mg_l(celsius, ph)
    }

    /// Oxygen below which fry begin to die, mg/L.
    #[must_use]
    pub fn harmful_oxygen_mg_l(&self) -> f64 {
        OXYGEN_SPAN * self.oxygen_lethal_mg_l
    }

    /// Hazard of too little oxygen, per h: half die in three hours at the lethal oxygen, none above 1.4 times it.
    #[must_use]
    pub fn oxygen_hazard_per_h(&self, oxygen_mg_l: f64) -> f64 {
        let lethal = self.oxygen_lethal_mg_l;
        let lacking = ((OXYGEN_SPAN * lethal - oxygen_mg_l) / ((OXYGEN_SPAN - 1.0) * lethal)).max(0.0);
        std::f64::consts::LN_2 / LETHAL_OXYGEN_H * lacking * lacking
    }

    /// Share of its searching that a fry does in this water: full with 4 mg/L of oxygen, none at the lethal one; full up
    /// to half of the harmless ammonia, none at the LC50. `exposure` is ammonia in LC50s.
    #[must_use]
    pub fn appetite(&self, oxygen_mg_l: f64, exposure: f64) -> f64 {
        let free = FEEDS_FREELY_MG_L.max(self.oxygen_lethal_mg_l * 1.01);
        let by_oxygen = ((oxygen_mg_l - self.oxygen_lethal_mg_l) / (free - self.oxygen_lethal_mg_l)).clamp(0.0, 1.0);
        let from = SHY_FROM * self.threshold_share;
        by_oxygen * ((1.0 - exposure) / (1.0 - from)).clamp(0.0, 1.0)
    }
}

/// Harm by ammonia, the same for all fry of a tub.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Harm {
    /// Harm in LC50s.
    damage: f64,
}

impl Harm {
    /// Carries harm forward under a constant exposure (in LC50s); gives the hazard summed over the time.
    ///
    /// Harm runs straight to the exposure, `D(t) = C + (D0 − C) e^(−k t)`; the part of the time above the threshold and
    /// the sum over it are in closed form.
    pub fn pass(&mut self, tolerance: &Tolerance, exposure: f64, hours: f64) -> f64 {
        let (k, z) = (tolerance.speed_per_h, tolerance.threshold_share);
        let (start, apart) = (self.damage, self.damage - exposure);
        let end = exposure + apart * (-k * hours).exp();
        self.damage = end;
        if start.max(end) <= z || hours <= 0.0 {
            return 0.0;
        }
        let crossing = || -((z - exposure) / apart).ln() / k;
        let (from, to) = match (start > z, end > z) {
            (true, true) => (0.0, hours),
            (false, _) => (crossing().clamp(0.0, hours), hours),
            (true, false) => (0.0, crossing().clamp(0.0, hours)),
        };
        let sum = (exposure - z) * (to - from) + apart * ((-k * from).exp() - (-k * to).exp()) / k;
        tolerance.killing_per_h * sum.max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tolerance(speed: f64, threshold: f64) -> Tolerance {
        Tolerance {
            lc50_n_mg_l: 20.0,
            speed_per_h: speed,
            threshold_share: threshold,
            oxygen_lethal_mg_l: 1.2,
            killing_per_h: killing_rate(speed, threshold, 96.0),
        }
    }

    #[test]
    fn half_die_in_96_hours_at_the_lc50() {
        for (speed, threshold) in [(0.03, 0.5), (0.1, 0.7), (0.3, 0.9)] {
            let tolerance = tolerance(speed, threshold);
            for steps in [1, 7, 400] {
                let mut harm = Harm::default();
                let hazard: f64 = (0..steps).map(|_| harm.pass(&tolerance, 1.0, 96.0 / f64::from(steps))).sum();
                assert!((hazard - std::f64::consts::LN_2).abs() < 1e-9, "{speed} {threshold} {steps}: {hazard}");
            }
        }
    }

    #[test]
    fn a_pulse_agrees_with_small_steps_of_euler() {
        let tolerance = tolerance(0.1, 0.7);
        let (mut harm, mut closed) = (Harm::default(), 0.0);
        let (mut damage, mut summed) = (0.0, 0.0);
        for (exposure, hours) in [(3.0, 5.0), (0.2, 7.0), (1.5, 20.0), (0.0, 40.0)] {
            closed += harm.pass(&tolerance, exposure, hours);
            let n = 200_000;
            let dt = hours / f64::from(n);
            for _ in 0..n {
                summed += tolerance.killing_per_h * (damage - 0.7_f64).max(0.0) * dt;
                damage += 0.1 * (exposure - damage) * dt;
            }
        }
        assert!((closed / summed - 1.0).abs() < 1e-4, "{closed} against {summed}");
    }

    #[test]
    fn half_die_in_three_hours_at_the_lethal_oxygen() {
        let tolerance = tolerance(0.1, 0.7);
        assert!((3.0 * tolerance.oxygen_hazard_per_h(1.2) - std::f64::consts::LN_2).abs() < 1e-12);
        assert_eq!(tolerance.oxygen_hazard_per_h(1.2 * 1.4), 0.0);
        assert_eq!(tolerance.appetite(5.0, 0.0), 1.0);
        assert_eq!(tolerance.appetite(1.2, 0.0), 0.0);
    }
}
