//! Why a fry starved: told from the food it faced over its last two days.

use crate::food::batch::FoodClass;
use crate::fry::shoal::{Physiology, Shoal};
use crate::outcome::Cause;

/// How far back the judgement looks, h (estimate: the time in which a small fry uses up what it has).
const WINDOW_H: f64 = 48.0;

/// What counts of a food when a death is judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoodFacts {
    /// Energy it gives against live food.
    pub worth: f64,
    /// True for prey that darts away.
    pub is_lively: bool,
}

/// How much of each class there was to be found, hour by hour: a running sum, so that any stretch is a difference.
#[derive(Debug, Clone)]
pub struct Exposure {
    classes: usize,
    /// µg·h per mL of each class up to the start of each whole hour.
    by_hour: Vec<f64>,
    now: Vec<f64>,
}

impl Exposure {
    /// Nothing faced yet.
    #[must_use]
    pub fn new(classes: usize) -> Self {
        Self { classes, by_hour: Vec::new(), now: vec![0.0; classes] }
    }

    /// Notes that a class stood at `ug_per_ml` within reach and sight for `hours`.
    pub fn add(&mut self, class: usize, ug_per_ml: f64, hours: f64) {
        self.now[class] += ug_per_ml * hours;
    }

    /// Notes the sums at the start of every whole hour up to `hour`.
    pub fn pass_to(&mut self, hour: f64) {
        while (self.by_hour.len() / self.classes.max(1)) as f64 <= hour {
            self.by_hour.extend_from_slice(&self.now);
        }
    }

    /// What was faced of a class since `hour` (to the whole hour), µg·h per mL.
    #[must_use]
    pub fn since(&self, class: usize, hour: f64) -> f64 {
        let then = self.by_hour.get(hour.max(0.0) as usize * self.classes + class).copied().unwrap_or(self.now[class]);
        self.now[class] - then
    }
}

/// Judges why fry `i` starved at `now_h`, at full vigour and in this order:
///
/// 1. *too weak*: past recovery, and since then it met accepted food worth an eighth of two days' need;
/// 2. *food too big*: the mass in its reach covered the need, but more than half of it was too big;
/// 3. *food too small*: what it would accept covered the need, and yet its gut was never half full;
/// 4. otherwise *no food*.
#[must_use]
pub fn cause(
    physiology: &Physiology,
    shoal: &Shoal,
    i: usize,
    classes: &[FoodClass],
    foods: &[FoodFacts],
    exposure: &Exposure,
    now_h: f64,
) -> Cause {
    let need = physiology.food_to_pay(shoal.routine[i] * WINDOW_H);
    let window = now_h - WINDOW_H;
    let faced = |since: f64, share: &dyn Fn(&FoodClass) -> f64| -> f64 {
        let met = |c: usize, class: &FoodClass| {
            let lively = if foods[class.food].is_lively { shoal.lively[i] } else { 1.0 };
            exposure.since(c, since) * lively * share(class)
        };
        shoal.clearance[i] * classes.iter().enumerate().map(|(c, class)| met(c, class)).sum::<f64>()
    };
    let accepted = |class: &FoodClass| class.fit.accepted(shoal.place[i]) * foods[class.food].worth;
    if shoal.weak_since[i] < now_h && faced(shoal.weak_since[i].max(window), &accepted) >= need / 8.0 {
        return Cause::TooWeak;
    }
    let in_reach = faced(window, &|_| 1.0);
    let too_big = faced(window, &|class| class.fit.too_big(shoal.place[i]));
    if in_reach >= need && too_big > 0.5 * in_reach {
        return Cause::FoodTooBig;
    }
    if faced(window, &accepted) >= need && shoal.half_full_at[i] < window {
        return Cause::FoodTooSmall;
    }
    Cause::NoFood
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exposure_since_an_hour_is_what_came_after_it() {
        let mut exposure = Exposure::new(2);
        exposure.pass_to(0.0);
        exposure.add(1, 3.0, 0.5);
        exposure.pass_to(1.2);
        exposure.add(1, 2.0, 1.0);
        exposure.add(0, 1.0, 1.0);
        assert_eq!(exposure.since(1, 0.0), 3.5);
        assert_eq!(exposure.since(1, 1.1), 2.0);
        assert_eq!(exposure.since(0, -20.0), 1.0);
        assert_eq!(exposure.since(0, 99.0), 0.0);
    }
}
