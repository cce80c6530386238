//! Invented mishaps, setbacks and what they cost. Numbers only have to look possible.

use frytub_sim::mishaps::Kind;
use frytub_sim::numbers::{CultureNumbers, MishapNumbers, Range};
use frytub_sim::outcome::*;
use frytub_sim::setbacks::{Setback, possible};
use frytub_sim::study::{Culture, Mishaps, Study};

use super::{Fate, Shape, infallible};

/// What goes wrong, and what it costs.
#[derive(Clone, Copy, PartialEq)]
pub enum Trouble {
    None,
    /// Nothing is described; late and missed mornings were tried all the same.
    Mornings,
    /// Everything is described, and power cuts cost most.
    All,
    /// Everything is described and every plan forgives it.
    Forgiven,
    /// Nothing is surely above or below what is forgiven.
    Unclear,
}

/// Describes mishaps and a culture.
pub fn describe(study: &mut Study, trouble: Trouble) {
    study.keeper.changed_share = Range::certain(0.2);
    if matches!(trouble, Trouble::None | Trouble::Mornings) {
        return;
    }
    let numbers = infallible(MishapNumbers::try_from_fn(|info| Ok(Range::certain(info.least.max(info.most.min(0.5))))));
    study.mishaps = Some(Mishaps { numbers, power_cut: true, air_stop: true, clog: true, slip: true });
    let culture = |food: usize| Culture {
        food,
        numbers: infallible(CultureNumbers::try_from_fn(|info| Ok(Range::certain(info.least.max(info.most.min(0.5)))))),
    };
    let last = study.foods.len() - 1;
    study.cultures = if last > 1 { vec![culture(1), culture(study.weaning_food)] } else { vec![culture(0)] };
}

/// Middle of what a setback costs a plan.
fn middle(setback: Setback, plan: usize) -> f64 {
    let care = [1.0, 0.6, 0.35, 0.02][plan % 4] * (1.0 - 0.04 * (plan / 4) as f64);
    care * match setback {
        Setback::LateMorning => 2.0,
        Setback::MissedMorning => 9.0,
        Setback::SkippedChange => -0.6,
        Setback::PowerCut => 34.0,
        Setback::AirStop => 21.0,
        Setback::Clog => 12.0,
        Setback::Slip => 6.0,
        Setback::LateCulture(food) => 4.0 + food as f64,
    }
}

/// Fills in deaths in mishaps and costs of setbacks.
pub fn brought(study: &Study, found: &mut Comparison, shape: &Shape) {
    if shape.trouble == Trouble::None {
        return;
    }
    if study.mishaps.is_some() && shape.trouble == Trouble::All {
        for (n, plan) in found.plans.iter_mut().enumerate() {
            let deaths = plan.deaths_by_cause();
            let part = [0.3, 0.2, 0.1, 0.002][n % 4];
            for (kind, share) in [(Kind::PowerCut, 1.0), (Kind::AirStop, 0.4), (Kind::Culture, 0.1)] {
                plan.by_mishap[kind.index()] = deaths.map(|dead| dead * part * share);
            }
        }
    }
    let worlds = if shape.fate == Fate::LikelyOnly { 1 } else { 80 };
    let plans = (0..study.plans.len()).filter(|&plan| study.plans[plan].family.is_none());
    let strikes = |plan: usize, setback: Setback| {
        study.plans[plan].line.is_some() || !matches!(setback, Setback::Clog | Setback::Slip)
    };
    found.costs = plans
        .flat_map(|plan| possible(study).into_iter().map(move |setback| (plan, setback)))
        .filter(|&(plan, setback)| strikes(plan, setback))
        .map(|(plan, setback)| {
            let mean = match shape.trouble {
                Trouble::Forgiven => 0.04 * middle(setback, plan),
                Trouble::Unclear => 3.0 + 0.02 * middle(setback, plan),
                _ => middle(setback, plan),
            };
            let error = if shape.trouble == Trouble::Unclear { 2.5 } else { 0.3 + 0.08 * mean.abs() };
            Cost {
                plan,
                setback,
                day: (2 + plan as u32 % 3).min(study.days),
                hour: if setback == Setback::PowerCut { 22.0 } else { 7.25 },
                worlds,
                lost: Spread {
                    mean,
                    low: mean - 1.0 - 0.8 * mean.abs(),
                    median: mean * 0.9,
                    high: mean + 1.5 + 0.7 * mean.abs(),
                },
                mean_80: Interval { low: mean - 0.65 * error, high: mean + 0.65 * error },
                mean_95: Interval { low: mean - error, high: mean + error },
                alive_lost: 0.8 * mean,
                hard: (mean * 2.0).clamp(0.0, 100.0),
            }
        })
        .collect();
}
