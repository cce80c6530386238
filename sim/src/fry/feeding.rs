//! What one fry catches in a leap, given how much food is around: Holling's disc with a gut that fills.
//!
//! Rate on class j at concentration n_j: λ_j = c·a_j·n_j / (1 + Σ λ_k h_k) (Holling 1959, type II). An item may be
//! started whenever the gut is below full, so the last one may overshoot. The gut empties during a meal as well as
//! after it, fast while the last capture is less than [`MEAL_H`] old, slowly otherwise.

use rand::RngExt;
use rand_distr::{Distribution, Exp1};

use crate::chance::{poisson, whole};
use crate::series::{exp_near_zero, ln_above};

/// Hours after a capture during which the gut still empties at its fast rate.
pub const MEAL_H: f64 = 0.5;
/// Up to this many expected captures a leap plays them one by one.
const ONE_BY_ONE: f64 = 5.0;
/// Items above this share of a full gut are always played one by one: few of them fill it.
const MOUTHFUL: f64 = 0.05;

/// The gut of one fish in one tub.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GutRates {
    /// Emptying while it feeds, per h.
    pub fast: f64,
    /// Emptying without new food, per h.
    pub slow: f64,
}

/// How one leap begins for one fry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    /// Gut content, µg.
    pub gut: f64,
    /// Gut content when full, µg.
    pub full: f64,
    /// Hours since the last capture, at the start of the leap.
    pub since_capture: f64,
    /// Captures per hour while hungry, all classes.
    pub rate: f64,
    /// Mean item mass over the captures, µg.
    pub item: f64,
}

/// What the leap did to the gut of one fry.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Meal {
    /// Gut content at the end, µg.
    pub gut: f64,
    /// Digested at the fast rate, µg.
    pub fast: f64,
    /// Digested at the slow rate, µg.
    pub slow: f64,
    /// Hours since the last capture, at the end.
    pub since_capture: f64,
}

impl GutRates {
    /// Empties a gut over `hours` without captures; returns what is left and what went fast and slowly.
    #[must_use]
    pub fn empty(&self, gut: f64, since_capture: f64, hours: f64) -> (f64, f64, f64) {
        let fast_h = (MEAL_H - since_capture).clamp(0.0, hours);
        let after_fast = gut * exp_near_zero(-self.fast * fast_h);
        let after = after_fast * exp_near_zero(-self.slow * (hours - fast_h));
        (after, gut - after_fast, after_fast - after)
    }

    /// Hours until a gut above full is just full.
    fn until_full(&self, gut: f64, full: f64, since_capture: f64) -> f64 {
        let needed = ln_above(gut / full - 1.0);
        let fast_h = (MEAL_H - since_capture).max(0.0);
        if needed <= self.fast * fast_h {
            needed / self.fast
        } else {
            fast_h + (needed - self.fast * fast_h) / self.slow
        }
    }

    /// Captures per hour of a fry whose gut is full: each waits until the last item has made room, then to meet the
    /// next one.
    #[must_use]
    pub fn full_rate(&self, start: &Start) -> f64 {
        if start.rate <= 0.0 {
            return 0.0;
        }
        // Mean gut content just after a capture, in fulls.
        let after = start.rate / (start.rate + self.fast) + start.item / start.full;
        1.0 / (1.0 / start.rate + after.ln().max(0.0) / self.fast)
    }
}

/// Plays a leap of `hours` for one fry.
///
/// `caught(rng, count)` is told of captures as they come, and returns the mass of what was caught, µg.
pub fn leap<R: rand::Rng>(
    rng: &mut R,
    rates: &GutRates,
    start: &Start,
    hours: f64,
    mut caught: impl FnMut(&mut R, u64) -> f64,
) -> Meal {
    if start.rate <= 0.0 {
        let (gut, fast, slow) = rates.empty(start.gut, start.since_capture, hours);
        return Meal { gut, fast, slow, since_capture: start.since_capture + hours };
    }
    let room = (start.full - start.gut).max(0.0) + start.full * rates.fast * hours;
    let expected = (start.rate * hours).min(room / start.item + 1.0);
    if expected <= ONE_BY_ONE || start.item > MOUTHFUL * start.full {
        one_by_one(rng, rates, start, hours, caught)
    } else {
        in_bulk(rng, rates, start, hours, &mut caught)
    }
}

/// Each capture at its own time.
fn one_by_one<R: rand::Rng>(
    rng: &mut R,
    rates: &GutRates,
    start: &Start,
    hours: f64,
    mut caught: impl FnMut(&mut R, u64) -> f64,
) -> Meal {
    let mut meal = Meal { gut: start.gut, since_capture: start.since_capture, ..Meal::default() };
    let mut left = hours;
    loop {
        let sated =
            if meal.gut > start.full { rates.until_full(meal.gut, start.full, meal.since_capture) } else { 0.0 };
        let search: f64 = Exp1.sample(rng);
        let wait = sated + search / start.rate;
        let passed = wait.min(left);
        let (gut, fast, slow) = rates.empty(meal.gut, meal.since_capture, passed);
        meal = Meal { gut, fast: meal.fast + fast, slow: meal.slow + slow, since_capture: meal.since_capture + passed };
        if wait >= left {
            return meal;
        }
        left -= passed;
        meal.gut += caught(rng, 1);
        meal.since_capture = 0.0;
    }
}

/// Many captures at once: the gut follows its mean path, the count is drawn around it.
fn in_bulk<R: rand::Rng>(
    rng: &mut R,
    rates: &GutRates,
    start: &Start,
    hours: f64,
    caught: &mut impl FnMut(&mut R, u64) -> f64,
) -> Meal {
    let e = rates.fast;
    let top = start.full + 0.5 * start.item;
    let level = start.rate * start.item / e;
    let free = level + (start.gut - level) * exp_near_zero(-e * hours);
    if free < start.full {
        // It never fills: captures are a plain Poisson count, and what came is digested as it comes.
        let most = ((top - start.gut * exp_near_zero(-e * hours)) / start.item * (e * hours / -(-e * hours).exp_m1()))
            .max(0.0);
        let count = poisson(rng, start.rate * hours).min(most.ceil() as u64);
        let mass = caught(rng, count);
        let kept = exp_near_zero(-e * hours);
        let gut = start.gut * kept + mass * (1.0 - kept) / (e * hours);
        let since_capture = if count > 0 { 0.5 / start.rate } else { start.since_capture + hours };
        return Meal { gut, fast: start.gut + mass - gut, slow: 0.0, since_capture };
    }
    let sated_first = if start.gut > start.full { (start.gut / start.full).ln() / e } else { 0.0 };
    let filling = if start.gut >= start.full { 0.0 } else { ((level - start.gut) / (level - start.full)).ln() / e };
    let rest = (hours - filling - sated_first).max(0.0);
    // From just full on, captures are a renewal process whose first wait is shorter than the rest (Cox 1962, renewal
    // theory: the mean count for a first wait of mean 1/rate, then cycles of mean length `cycle`).
    let cycle = 1.0 / rates.full_rate(start);
    let wait = 1.0 / start.rate;
    let when_full = ((rest - wait) / cycle + 0.5 + 0.5 * (wait / cycle).powi(2)).max(0.0);
    let count = whole(rng, start.rate * filling + when_full);
    let mass = caught(rng, count);
    // Digested on the mean path: emptying from above, then filling (the integral of e·G), then around full.
    let emptied = (start.gut - start.full).max(0.0);
    let while_filling = (start.rate * start.item * filling - (start.full - start.gut).max(0.0)).max(0.0);
    let digested = (emptied + while_filling + e * top * rest).min(start.gut + mass);
    let since_capture = if count > 0 { rng.random::<f64>() * cycle } else { start.since_capture + hours };
    Meal { gut: start.gut + mass - digested, fast: digested, slow: 0.0, since_capture }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::{Source, Streams};

    const GUT: GutRates = GutRates { fast: 0.35, slow: 0.12 };

    /// Mean captures and end gut over many fry, playing `leaps` equal leaps.
    fn mean_meal(start: Start, hours: f64, leaps: u32) -> (f64, f64) {
        let mut rng = Streams::new(5, 0, 0).own(Source::Feeding, 1);
        let fry = 20_000;
        let (mut count, mut gut) = (0, 0.0);
        for _ in 0..fry {
            let mut at = start;
            for _ in 0..leaps {
                let item = at.item;
                let meal = leap(&mut rng, &GUT, &at, hours / f64::from(leaps), |_, n| {
                    count += n;
                    n as f64 * item
                });
                at.gut = meal.gut;
                at.since_capture = meal.since_capture;
            }
            gut += at.gut;
        }
        (count as f64 / f64::from(fry), gut / f64::from(fry))
    }

    #[test]
    fn bulk_and_one_by_one_agree_on_captures() {
        // Small items, hungry and full, sparse and plentiful: one long leap against many tiny ones, which play
        // captures one by one.
        for (rate, item, gut) in
            [(8.0, 0.25, 0.0), (60.0, 0.25, 0.0), (400.0, 0.06, 5.0), (30.0, 1.0, 13.0), (12.0, 2.2, 0.0)]
        {
            let start = Start { gut, full: 13.0, since_capture: 0.0, rate, item };
            let (long, long_gut) = mean_meal(start, 1.0, 1);
            let (fine, fine_gut) = mean_meal(start, 1.0, 120);
            assert!((long / fine - 1.0).abs() < 0.02, "rate {rate}, item {item}: {long} against {fine} captures");
            assert!(
                (long_gut / fine_gut - 1.0).abs() < 0.03,
                "rate {rate}, item {item}: gut {long_gut} against {fine_gut}"
            );
        }
    }

    #[test]
    fn a_gut_empties_fast_for_half_an_hour_and_slowly_after() {
        let (left, fast, slow) = GUT.empty(10.0, 0.2, 1.0);
        let after_fast = 10.0 * (-0.35_f64 * 0.3).exp();
        assert!((fast - (10.0 - after_fast)).abs() < 1e-9);
        assert!((left - after_fast * (-0.12_f64 * 0.7).exp()).abs() < 1e-8);
        assert!((left + fast + slow - 10.0).abs() < 1e-12);
    }
}
