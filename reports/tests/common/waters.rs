//! Invented water, and what fouled it. Numbers only have to look possible.

use frytub_sim::numbers::{Range, WaterNumbers};
use frytub_sim::outcome::*;
use frytub_sim::study::Study;

use super::{Fate, Shape, infallible};

/// Which plans have water that is reckoned with, and how it fares.
#[derive(Clone, Copy, PartialEq)]
pub enum Water {
    None,
    /// All plans; the second heavily fed.
    Fouled,
    /// All plans, and nothing happens.
    Good,
    /// The first plan only.
    OfOne,
    /// All plans but the third.
    AllButOne,
}

impl Water {
    fn of(self, plan: usize) -> bool {
        match self {
            Self::None => false,
            Self::Fouled | Self::Good => true,
            Self::OfOne => plan == 0,
            Self::AllButOne => plan != 2,
        }
    }
}

/// Gives tubs of plans that have it water; plans without share a tub without.
pub fn fill(study: &mut Study, water: Water) {
    if water == Water::None {
        return;
    }
    let numbers = infallible(WaterNumbers::try_from_fn(|info| Ok(Range::certain(info.least.max(info.most.min(0.5))))));
    let mut with = study.tubs[0].clone();
    with.water = Some(numbers);
    let without = std::mem::replace(&mut study.tubs[0], with);
    if (0..study.plans.len()).all(|plan| water.of(plan)) {
        return;
    }
    study.tubs.push(without);
    for (n, plan) in study.plans.iter_mut().enumerate() {
        plan.tub = usize::from(!water.of(n));
    }
}

fn wide(median: f64, factor: f64) -> Spread {
    Spread { mean: median * 1.1, low: median / factor, median, high: median * factor }
}

/// Oxygen that sinks as what is left of the food piles up, and ammonia that follows.
fn water(study: &Study, plan: usize, shape: &Shape) -> WaterResult {
    let load = match shape.water {
        Water::Good => 0.02,
        _ => [0.35, 1.0, 0.3, 0.1][plan % 4] * (1.0 - 0.05 * (plan / 4) as f64),
    };
    let days = f64::from(study.days);
    let points: Vec<WaterPoint> = (0..=study.days * 12)
        .map(|n| {
            let hour = f64::from(n) * 2.0;
            let t = hour / 24.0;
            let gone = shape.fate == Fate::AllDead && t > 6.0;
            let height = (-(t - 0.45 * days).powi(2) / (0.04 * days * days)).exp();
            let night = if (7.0..21.0).contains(&(hour % 24.0)) { 0.0 } else { 0.5 };
            let oxygen = (7.6 - night - 6.2 * load * height).max(0.1);
            let ammonia = 0.6 * load * (t / days).powi(2);
            let missing = |spread: Spread| {
                let nan = f64::NAN;
                if gone { Spread { mean: nan, low: nan, median: nan, high: nan } } else { spread }
            };
            WaterPoint {
                hour,
                ammonia_mg_l: missing(wide(ammonia, 2.5)),
                oxygen_mg_l: missing(Spread {
                    mean: oxygen,
                    low: oxygen * (1.0 - 0.5 * load),
                    median: oxygen,
                    high: (oxygen * 1.2).min(7.8),
                }),
                nitrogen_mg_l: missing(wide(ammonia * 18.0, 2.0)),
            }
        })
        .collect();
    let known = || points.iter().filter(|p| p.oxygen_mg_l.median.is_finite());
    let lowest = |a: &WaterPoint, b: &WaterPoint| a.oxygen_mg_l.median.total_cmp(&b.oxygen_mg_l.median);
    let highest = |a: &WaterPoint, b: &WaterPoint| a.ammonia_mg_l.median.total_cmp(&b.ammonia_mg_l.median);
    WaterResult {
        worst_ammonia_mg_l: known().max_by(|a, b| highest(a, b)).unwrap().ammonia_mg_l,
        worst_oxygen_mg_l: known().min_by(|a, b| lowest(a, b)).unwrap().oxygen_mg_l,
        points,
        harmless_ammonia_mg_l: 0.84,
        harmful_oxygen_mg_l: 1.68,
        ph: 7.4 - load,
    }
}

/// Fills in what became of the water, and moves some deaths to it.
pub fn brought(study: &Study, found: &mut Comparison, shape: &Shape) {
    for plan in (0..study.plans.len()).filter(|&plan| shape.water.of(plan)) {
        found.plans[plan].water = Some(water(study, plan, shape));
        if shape.water == Water::Good {
            continue;
        }
        let share = if plan % 4 == 1 { 0.8 } else { 0.1 };
        for day in &mut found.plans[plan].deaths {
            let hungry = day[Cause::NoFood.index()] * share;
            day[Cause::NoFood.index()] -= hungry;
            day[Cause::NoOxygen.index()] += hungry * 0.7;
            day[Cause::Ammonia.index()] += hungry * 0.3;
        }
    }
}
