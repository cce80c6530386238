//! What one fry catches in a leap, given how much food is around: Holling's disc with a gut that fills.
//!
//! Captures of class j at concentration n_j: λ_j / (1 + Σ λ_k h_k) with λ_j = c·a_j·n_j (Holling 1959, type II). An item may be
//! started whenever the gut is below full, so the last one may overshoot. The gut empties during a meal as well as
//! after it, fast while the last capture is less than [`MEAL_H`] old, slowly otherwise.

use rand::{Rng, RngExt};
use rand_distr::{Distribution, Exp1};

use crate::chance::{poisson, whole};
use crate::series::{exp_near_zero, ln_above};

/// Hours after a capture during which the gut still empties at its fast rate (estimate).
pub const MEAL_H: f64 = 0.5;
/// Up to this many expected captures a leap plays them one by one.
const ONE_BY_ONE: f64 = 3.0;
/// Items above this share of a full gut are always played one by one: few of them fill it.
const MOUTHFUL: f64 = 0.05;
/// A fry is sated when its gut is this full and it could eat this many times what a full gut passes on.
const SATED: (f64, f64) = (0.9, 3.0);
/// Items met in a leap that are drawn ahead.
const REMEMBERED: usize = 16;

/// The gut of one fish in one tub.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GutRates {
    /// Emptying while it feeds, per h.
    pub fast: f64,
    /// Emptying without new food, per h.
    pub slow: f64,
}

/// How guts empty over one leap: what is the same for all fry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GutLeap {
    rates: GutRates,
    /// Length of the leap, h.
    hours: f64,
    /// Share left of what was there when it began, at either rate.
    kept_fast: f64,
    kept_slow: f64,
    /// Share left, at the fast rate, of what came evenly over the leap.
    kept_of_caught: f64,
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
    /// Mass of the heaviest item that could come, µg.
    pub heaviest: f64,
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
        if since_capture + hours <= MEAL_H {
            let left = gut * exp_near_zero(-self.fast * hours);
            return (left, gut - left, 0.0);
        }
        let fast_h = (MEAL_H - since_capture).max(0.0);
        let after_fast = if fast_h > 0.0 { gut * exp_near_zero(-self.fast * fast_h) } else { gut };
        let after = after_fast * exp_near_zero(-self.slow * (hours - fast_h));
        (after, gut - after_fast, after_fast - after)
    }

    /// Hours until a gut above full is just full.
    fn until_full(&self, meal: &Meal, full: f64) -> f64 {
        let needed = ln_above(meal.gut / full - 1.0);
        let fast_h = (MEAL_H - meal.since_capture).max(0.0);
        if needed <= self.fast * fast_h {
            needed / self.fast
        } else {
            fast_h + (needed - self.fast * fast_h) / self.slow
        }
    }

    /// Captures per hour of a fry whose gut is full: each waits until the last item has made room, then to meet the
    /// next one.
    fn full_rate(&self, start: &Start) -> f64 {
        // Mean gut content just after a capture, in fulls.
        let after = start.rate / (start.rate + self.fast) + start.item / start.full;
        1.0 / (1.0 / start.rate + ln_above(after - 1.0).max(0.0) / self.fast)
    }
}

impl GutLeap {
    /// A leap of `hours`.
    #[must_use]
    pub fn new(rates: GutRates, hours: f64) -> Self {
        let kept_fast = (-rates.fast * hours).exp();
        Self {
            rates,
            hours,
            kept_fast,
            kept_slow: (-rates.slow * hours).exp(),
            kept_of_caught: (1.0 - kept_fast) / (rates.fast * hours).max(1e-12),
        }
    }

    /// A fry that catches nothing.
    #[must_use]
    pub fn fasting(&self, gut: f64, since_capture: f64) -> Meal {
        let (left, fast, slow) = if since_capture >= MEAL_H {
            let left = gut * self.kept_slow;
            (left, 0.0, gut - left)
        } else if since_capture + self.hours <= MEAL_H {
            let left = gut * self.kept_fast;
            (left, gut - left, 0.0)
        } else {
            self.rates.empty(gut, since_capture, self.hours)
        };
        Meal { gut: left, fast, slow, since_capture: since_capture + self.hours }
    }

    /// Plays the leap for one fry.
    ///
    /// `caught(rng, count)` is told of captures as they come, and returns the mass of what was caught, µg.
    pub fn play<R: Rng>(&self, rng: &mut R, start: &Start, mut caught: impl FnMut(&mut R, u64) -> f64) -> Meal {
        if start.rate <= 0.0 {
            return self.fasting(start.gut, start.since_capture);
        }
        let room = (start.full - start.gut).max(0.0) + start.full * self.rates.fast * self.hours;
        let expected = (start.rate * self.hours).min(room / start.item + 1.0);
        // A full gut among plenty passes items on like a clock: chance hardly enters.
        let is_sated =
            start.gut >= SATED.0 * start.full && start.rate * start.item > SATED.1 * self.rates.fast * start.full;
        if (expected > ONE_BY_ONE || is_sated) && start.item <= MOUTHFUL * start.full {
            return self.in_bulk(rng, start, &mut caught);
        }
        let likely_most = 2.0 * start.rate * self.hours + 3.0;
        if start.gut + likely_most * start.heaviest <= start.full {
            self.with_room(rng, start, &mut caught)
        } else {
            self.one_by_one(rng, start, &[], None, &mut caught)
        }
    }

    /// A fry whose gut is not likely to fill: captures are those of a plain Poisson process.
    fn with_room<R: Rng>(&self, rng: &mut R, start: &Start, caught: &mut impl FnMut(&mut R, u64) -> f64) -> Meal {
        let mut met = [0.0; REMEMBERED];
        let mut count = 0;
        let mut at: f64 = Exp1.sample(rng);
        let all = start.rate * self.hours;
        while at < all && count < REMEMBERED {
            met[count] = at / start.rate;
            count += 1;
            let search: f64 = Exp1.sample(rng);
            at += search;
        }
        if count == 0 {
            return self.fasting(start.gut, start.since_capture);
        }
        if at < all || start.gut + count as f64 * start.heaviest > start.full {
            return self.one_by_one(rng, start, &met[..count], Some(at / start.rate), caught);
        }
        let mass = caught(rng, count as u64);
        // Until the first capture a gut may still empty slowly.
        let (before, fast, slow, kept) = if start.since_capture + met[0] <= MEAL_H {
            (start.gut, 0.0, 0.0, self.kept_fast)
        } else {
            let (left, fast, slow) = self.rates.empty(start.gut, start.since_capture, met[0]);
            (left, fast, slow, exp_near_zero(-self.rates.fast * (self.hours - met[0])))
        };
        let gut = before * kept + mass * self.kept_of_caught;
        Meal { gut, fast: fast + before + mass - gut, slow, since_capture: self.hours - met[count - 1] }
    }

    /// Each capture at its own time. Items in `met` and then `pending` are met first, at the times given; those met with
    /// a full gut are passed over, which is the same as not searching then, since searching has no memory.
    fn one_by_one<R: Rng>(
        &self,
        rng: &mut R,
        start: &Start,
        met: &[f64],
        pending: Option<f64>,
        caught: &mut impl FnMut(&mut R, u64) -> f64,
    ) -> Meal {
        let mut meal = Meal { gut: start.gut, since_capture: start.since_capture, ..Meal::default() };
        let mut now = 0.0;
        let mut pass = |meal: &mut Meal, to: f64| {
            let (gut, fast, slow) = self.rates.empty(meal.gut, meal.since_capture, to - now);
            let since_capture = meal.since_capture + to - now;
            *meal = Meal { gut, fast: meal.fast + fast, slow: meal.slow + slow, since_capture };
            now = to;
            now
        };
        let drawn = met.iter().copied().chain(pending);
        let mut at = 0.0;
        for next in drawn.take_while(|next| *next < self.hours) {
            at = pass(&mut meal, next);
            if meal.gut <= start.full {
                meal.gut += caught(rng, 1);
                meal.since_capture = 0.0;
            }
        }
        if pending.is_some_and(|next| next >= self.hours) {
            pass(&mut meal, self.hours);
            return meal;
        }
        loop {
            let sated = if meal.gut > start.full { self.rates.until_full(&meal, start.full) } else { 0.0 };
            let search: f64 = Exp1.sample(rng);
            let next = at + sated + search / start.rate;
            if next >= self.hours {
                pass(&mut meal, self.hours);
                return meal;
            }
            at = pass(&mut meal, next);
            meal.gut += caught(rng, 1);
            meal.since_capture = 0.0;
        }
    }

    /// Many captures at once: the gut follows its mean path, the count is drawn around it.
    fn in_bulk<R: Rng>(&self, rng: &mut R, start: &Start, caught: &mut impl FnMut(&mut R, u64) -> f64) -> Meal {
        let (e, hours) = (self.rates.fast, self.hours);
        let top = start.full + 0.5 * start.item;
        let level = start.rate * start.item / e;
        let free = level + (start.gut - level) * self.kept_fast;
        if free < start.full {
            // It never fills: captures are a plain Poisson count, and what came is digested as it comes.
            let most =
                ((top - start.gut * self.kept_fast) / start.item * (e * hours / -(-e * hours).exp_m1())).max(0.0);
            let count = poisson(rng, start.rate * hours).min(most.ceil() as u64);
            let mass = caught(rng, count);
            let gut = start.gut * self.kept_fast + mass * self.kept_of_caught;
            let since_capture = if count > 0 { 0.5 / start.rate } else { start.since_capture + hours };
            return Meal { gut, fast: start.gut + mass - gut, slow: 0.0, since_capture };
        }
        let sated_first = if start.gut > start.full { (start.gut / start.full).ln() / e } else { 0.0 };
        if sated_first >= hours {
            return self.fasting(start.gut, start.since_capture);
        }
        let filling = if start.gut >= start.full { 0.0 } else { ((level - start.gut) / (level - start.full)).ln() / e };
        let rest = (hours - filling - sated_first).max(0.0);
        let cycle = 1.0 / self.rates.full_rate(start);
        let when_full = captures_when_full(rest, 1.0 / start.rate, cycle);
        let count = whole(rng, start.rate * filling + when_full);
        let mass = caught(rng, count);
        // Digested on the mean path: emptying from above, then filling (the integral of e·G), then around full.
        let emptied = (start.gut - start.full).max(0.0);
        let while_filling = (start.rate * start.item * filling - (start.full - start.gut).max(0.0)).max(0.0);
        let digested = (emptied + while_filling + e * top * rest).min(start.gut + mass);
        let since_capture = if count > 0 { rng.random::<f64>() * cycle } else { start.since_capture + hours };
        Meal { gut: start.gut + mass - digested, fast: digested, slow: 0.0, since_capture }
    }
}

/// Mean captures within `rest` of a gut that is just full: a first one after a wait of mean `wait`, then one a `cycle`.
fn captures_when_full(rest: f64, wait: f64, cycle: f64) -> f64 {
    let cycles = rest / cycle;
    let share = wait / cycle;
    if share < 0.5 && cycles < 3.0 {
        // Like a clock: one capture early in every cycle.
        let whole_cycles = cycles.floor();
        whole_cycles - (-(cycles - whole_cycles) / share).exp_m1()
    } else {
        // A renewal process far from its start (Cox 1962, Renewal Theory); at its start, none.
        let ahead = 0.5 + 0.5 * share * share - share;
        cycles - ahead * (-2.0 * cycles).exp_m1()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::{Source, Streams};

    const GUT: GutRates = GutRates { fast: 0.35, slow: 0.12 };

    const FRY: u32 = 20_000;

    /// A fry that begins full begins somewhere between two captures.
    fn begun(start: Start, rng: &mut impl Rng) -> Start {
        let above = if start.gut >= start.full { start.item * rng.random::<f64>() } else { 0.0 };
        Start { gut: start.gut + above, ..start }
    }

    /// Mean captures and end gut over many fry, playing `leaps` equal leaps.
    fn by_leaps(start: Start, hours: f64, leaps: u32) -> (f64, f64) {
        let mut rng = Streams::new(5, 0, 0).own(Source::Feeding, 1);
        let (mut count, mut gut) = (0, 0.0);
        for _ in 0..FRY {
            let mut at = begun(start, &mut rng);
            for _ in 0..leaps {
                let meal = GutLeap::new(GUT, hours / f64::from(leaps)).play(&mut rng, &at, |_, n| {
                    count += n;
                    n as f64 * start.item
                });
                at.gut = meal.gut;
                at.since_capture = meal.since_capture;
            }
            gut += at.gut;
        }
        (count as f64 / f64::from(FRY), gut / f64::from(FRY))
    }

    /// The same, written down plainly: search while there is room, wait while there is none.
    fn plainly(start: Start, hours: f64) -> (f64, f64) {
        let mut rng = Streams::new(6, 0, 0).own(Source::Feeding, 1);
        let (mut count, mut gut_sum) = (0, 0.0);
        for _ in 0..FRY {
            let (mut gut, mut now) = (begun(start, &mut rng).gut, 0.0);
            loop {
                let unit: f64 = Exp1.sample(&mut rng);
                let next = now + (gut / start.full).ln().max(0.0) / GUT.fast + unit / start.rate;
                if next >= hours {
                    break;
                }
                gut = gut * (-GUT.fast * (next - now)).exp() + start.item;
                now = next;
                count += 1;
            }
            gut_sum += gut * (-GUT.fast * (hours - now)).exp();
        }
        (f64::from(count) / f64::from(FRY), gut_sum / f64::from(FRY))
    }

    #[test]
    fn leaps_of_any_length_agree_with_capture_after_capture() {
        // Small items and large ones, hungry, full and overfull, sparse and plentiful. Captures are so frequent that
        // the gut always empties at its fast rate.
        for (rate, item, gut) in [
            (8.0, 0.25, 0.0),
            (60.0, 0.25, 0.0),
            (400.0, 0.06, 5.0),
            (30.0, 1.0, 13.0),
            (12.0, 2.2, 0.0),
            (40.0, 0.6, 13.0),
        ] {
            let start = Start { gut, full: 13.0, since_capture: 0.0, rate, item, heaviest: item };
            let (exact, exact_gut) = plainly(start, 1.0);
            for leaps in [1, 3, 12, 30, 60, 300] {
                let (count, gut) = by_leaps(start, 1.0, leaps);
                let told = format!("rate {rate}, item {item}, {leaps} leaps");
                assert!((count / exact - 1.0).abs() < 0.02, "{told}: {count} against {exact} captures");
                assert!((gut / exact_gut - 1.0).abs() < 0.03, "{told}: gut {gut} against {exact_gut}");
            }
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
