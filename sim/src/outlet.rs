//! The outlet of a tub: a sponge that clogs, the level that rises before it, and the rim above.
//!
//! ```text
//! R = R0 · exp(m / mₑ)            resistance, mm of water per mL/h; m dry solids in the sponge
//! A · dh/dt = Q − h / R           level h above the still water, inflow Q, plan area A
//! dm/dt = catch · (solids leaving) + slime · m
//! ```
//!
//! Pressure drop that grows exponentially with what a filter has caught is what slow sand filters show; the sizes are
//! estimates. Within a step R and Q stand still and the level is solved exactly.

use crate::numbers::OutletNumbers;

/// Face for which the resistance of a clean sponge is given, cm².
const REFERENCE_FACE_CM2: f64 = 20.0;
/// cm² in a m².
const CM2_PER_M2: f64 = 1e4;
/// A sponge that resists `e` to this power times as much as a clean one is a wall; more would be beyond all numbers.
const WALL_E_FOLDS: f64 = 300.0;
/// mL/h for each mm² and mm/h.
const ML_PER_MM3: f64 = 1e-3;

/// An outlet in use.
#[derive(Debug, Clone, PartialEq)]
pub struct OutletState {
    numbers: OutletNumbers<f64>,
    /// Water that raises the level by a mm, mL.
    ml_per_mm: f64,
    /// Level above the still water, mm.
    pub level_mm: f64,
    /// Dry solids in the sponge, mg.
    pub solids_mg: f64,
}

/// What passed an outlet in a step.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Passed {
    /// Through the sponge, mL.
    pub sponge_ml: f64,
    /// Over the rim, mL.
    pub rim_ml: f64,
    /// Time for which water went over the rim, h.
    pub rim_h: f64,
    /// Time for which the level stood at or above the height asked about, h.
    pub above_h: f64,
    /// Highest level, mm.
    pub highest_mm: f64,
}

impl Passed {
    /// All water that left, mL.
    #[must_use]
    pub fn ml(&self) -> f64 {
        self.sponge_ml + self.rim_ml
    }
}

impl OutletState {
    /// A new sponge in a tub of this plan area (mm²), at the still level.
    #[must_use]
    pub fn new(numbers: &OutletNumbers<f64>, area_mm2: f64) -> Self {
        Self { numbers: numbers.clone(), ml_per_mm: area_mm2 * ML_PER_MM3, level_mm: 0.0, solids_mg: 0.0 }
    }

    /// Dry solids that make the resistance e-fold, mg.
    fn e_fold_mg(&self) -> f64 {
        1000.0 * self.numbers.clog_g_m2 * self.numbers.face_cm2 / CM2_PER_M2
    }

    /// Resistance of the sponge as it is, mm per mL/h.
    #[must_use]
    pub fn resistance(&self) -> f64 {
        let clean = self.numbers.resistance * REFERENCE_FACE_CM2 / self.numbers.face_cm2;
        clean * (self.solids_mg / self.e_fold_mg()).min(WALL_E_FOLDS).exp()
    }

    /// Water above the still level, mL.
    #[must_use]
    pub fn raised_ml(&self) -> f64 {
        self.level_mm * self.ml_per_mm
    }

    /// Water is poured in at once; gives what of it runs over the rim, mL.
    pub fn pour(&mut self, ml: f64) -> f64 {
        self.level_mm += ml / self.ml_per_mm;
        let over = (self.level_mm - self.numbers.rim_mm).max(0.0);
        self.level_mm -= over;
        over * self.ml_per_mm
    }

    /// The keeper has changed water and topped up to the still level.
    pub fn levelled(&mut self) {
        self.level_mm = 0.0;
    }

    /// The keeper rinses the sponge.
    pub fn rinsed(&mut self) {
        self.solids_mg *= self.numbers.rinse_leaves;
    }

    /// Solids reach the sponge, mg, in a step of so many hours.
    pub fn catches(&mut self, solids_mg: f64, hours: f64) {
        self.solids_mg += self.numbers.catch_share * solids_mg;
        self.solids_mg *= (self.numbers.slime_per_day * hours / 24.0).exp();
    }

    /// Lets water in at a steady rate for some time; asks for how long the level stands at or above `height_mm`.
    pub fn pass(&mut self, inflow_ml_h: f64, hours: f64, height_mm: f64) -> Passed {
        let resistance = self.resistance();
        let rim = self.numbers.rim_mm;
        let start = self.level_mm;
        let slowness = self.ml_per_mm * resistance;
        // Level after `t` h, and the time at which it passes a height, if it does. Written with the rate at the start, so
        // that a blocked sponge, whose steady level is beyond all bounds, loses no digits.
        let rise = (inflow_ml_h - start / resistance) / self.ml_per_mm * slowness;
        let level = |t: f64| start - rise * (-t / slowness).exp_m1();
        let reaches = |height: f64| {
            let share = (height - start) / rise;
            (0.0..1.0).contains(&share).then(|| -slowness * (-share).ln_1p())
        };
        let free_end = level(hours);
        let rim_from = if free_end > rim { reaches(rim).unwrap_or(0.0).min(hours) } else { hours };
        let end = free_end.min(rim);
        let rim_h = hours - rim_from;
        let rim_ml = (inflow_ml_h - rim / resistance).max(0.0) * rim_h;
        let above = |level: f64| level >= height_mm;
        let above_h = match (above(start), above(end)) {
            (true, true) => hours,
            (false, false) => 0.0,
            (false, true) => hours - reaches(height_mm).unwrap_or(hours).min(hours),
            (true, false) => reaches(height_mm).unwrap_or(0.0).min(hours),
        };
        self.level_mm = end;
        // What came in and neither stayed nor went over the rim went through the sponge.
        let sponge_ml = (inflow_ml_h * hours - (end - start) * self.ml_per_mm - rim_ml).max(0.0);
        Passed { sponge_ml, rim_ml, rim_h, above_h, highest_mm: start.max(end) }
    }

    /// How a fry goes over the rim against how the water does.
    #[must_use]
    pub fn rim_share(&self) -> f64 {
        self.numbers.rim_share
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers() -> OutletNumbers<f64> {
        OutletNumbers {
            face_cm2: 20.0,
            resistance: 1.33e-5,
            clog_g_m2: 15.0,
            catch_share: 0.6,
            slime_per_day: 0.0,
            rinse_leaves: 0.2,
            rim_mm: 40.0,
            rim_share: 0.2,
            float_mm: 8.0,
        }
    }

    #[test]
    fn the_level_rises_as_the_hand_reckons() {
        // R = R0·exp(m/mₑ) with mₑ = 15 g/m² × 20 cm² = 30 mg; steady rise h = Q·R. 1.8 L/h through a clean sponge:
        // 0.024 mm; after 6.9078 e-folds (207.23 mg) a thousand times that.
        let mut outlet = OutletState::new(&numbers(), 12_000.0);
        outlet.pass(1800.0, 100.0, 99.0);
        assert!((outlet.level_mm - 0.023_94).abs() < 1e-6, "{}", outlet.level_mm);
        outlet.catches(207.233 / 0.6, 1.0);
        outlet.pass(1800.0, 1000.0, 99.0);
        assert!((outlet.level_mm / 23.94 - 1.0).abs() < 1e-3, "{}", outlet.level_mm);
        outlet.rinsed();
        assert!((outlet.solids_mg - 0.2 * 207.233).abs() < 1e-9);
    }

    #[test]
    fn a_blocked_outlet_fills_the_tub_to_its_rim_and_over() {
        let mut outlet = OutletState::new(&numbers(), 12_000.0);
        outlet.solids_mg = 3000.0;
        // 12 mL raise the level by a mm: 100 mL/h reach 20 mm after 2.4 h and the rim after 4.8 h.
        let passed = outlet.pass(100.0, 10.0, 20.0);
        assert!((passed.above_h - 7.6).abs() < 1e-6, "{passed:?}");
        assert!((passed.rim_h - 5.2).abs() < 1e-6);
        assert!((passed.rim_ml - 520.0).abs() < 1e-4);
        assert!((outlet.level_mm - 40.0).abs() < 1e-12);
        let balance = passed.ml() + outlet.raised_ml();
        assert!((balance - 1000.0).abs() < 1e-9);
        assert!((outlet.pour(24.0) - 24.0).abs() < 1e-9);
    }

    /// A sponge that nobody rinsed for two months had a resistance beyond all numbers, and the level was none.
    #[test]
    fn a_sponge_clogged_beyond_all_bounds_is_a_wall() {
        for inflow in [0.0, 100.0] {
            let mut outlet = OutletState::new(&numbers(), 12_000.0);
            outlet.level_mm = 10.0;
            outlet.solids_mg = 1e9;
            let passed = outlet.pass(inflow, 1.0, 5.0);
            let rise = inflow / 12.0;
            assert!((outlet.level_mm - 10.0 - rise).abs() < 1e-9, "{} mm, {passed:?}", outlet.level_mm);
            assert!(passed.ml() < 1e-6 && passed.above_h == 1.0, "{passed:?}");
        }
    }
}
