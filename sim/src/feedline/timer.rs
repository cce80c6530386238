//! What a timer and a pump make of the doses that were wanted.
//!
//! Pure arithmetic: knows no food and no tub.

use crate::clock::TimeOfDay;
use crate::study::{Run, Timer};

/// Minutes in a day.
const DAY_MIN: u16 = 24 * 60;

/// What a timer is set to for one day, and what it could not do.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Programme {
    /// Runs in order of time; no two overlap.
    pub runs: Vec<Run>,
    /// Times of the feeds that were left out because the timer holds fewer.
    pub left_out: Vec<TimeOfDay>,
    /// Times of the feeds that fell together with the one before them and became one run.
    pub merged: Vec<TimeOfDay>,
}

/// Sets a timer: each wanted dose, in mL of the mix, becomes a run of whole slots.
///
/// Feeds beyond the timer's programmes are thinned evenly. Each begins at the nearest time that the timer knows, and
/// runs for the nearest whole number of slots, at least one. Feeds that would begin before the one before has ended
/// become one run for the sum of their doses. `flow_ml_min` is the flow to which the pump is set, above 0.
#[must_use]
pub fn programme(wanted: &[(TimeOfDay, f64)], timer: &Timer, flow_ml_min: f64) -> Programme {
    let kept = evenly(wanted.len(), timer.programmes);
    let mut programme = Programme::default();
    for (index, &(at, ml)) in wanted.iter().enumerate() {
        if !kept.contains(&index) {
            programme.left_out.push(at);
            continue;
        }
        let begins = nearest_start(at, timer.start_every_min);
        match programme.runs.last_mut() {
            Some(last) if f64::from(last.at.minutes()) + last.minutes > f64::from(begins.minutes()) => {
                last.wanted_ml += ml;
                last.minutes = minutes(last.wanted_ml, timer, flow_ml_min);
                programme.merged.push(at);
            }
            _ => programme.runs.push(Run { at: begins, minutes: minutes(ml, timer, flow_ml_min), wanted_ml: ml }),
        }
    }
    programme
}

/// Running time for a dose: the nearest whole number of slots, at least one.
fn minutes(ml: f64, timer: &Timer, flow_ml_min: f64) -> f64 {
    (ml / flow_ml_min / timer.slot_min).round().max(1.0) * timer.slot_min
}

/// The nearest time of the day at which the timer can begin.
fn nearest_start(at: TimeOfDay, every_min: u16) -> TimeOfDay {
    let every = every_min.max(1);
    let nearest = (at.minutes() + every / 2) / every * every;
    let latest = (DAY_MIN - 1) / every * every;
    TimeOfDay::from_minutes(nearest.min(latest)).unwrap_or(at)
}

/// Which of `count` things stay when at most `most` may, evenly spaced, first and last among them.
fn evenly(count: usize, most: usize) -> Vec<usize> {
    if count <= most {
        return (0..count).collect();
    }
    match most {
        0 => Vec::new(),
        1 => vec![0],
        _ => (0..most).map(|k| (k * (count - 1) + (most - 1) / 2) / (most - 1)).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn timer(slot_min: f64, programmes: usize, start_every_min: u16) -> Timer {
        Timer { name: "timer".into(), slot_min, programmes, start_every_min, keeps_clock: true }
    }

    fn every(step: u16, from: u16, count: u16, ml: f64) -> Vec<(TimeOfDay, f64)> {
        (0..count).map(|k| (TimeOfDay::from_minutes(from + k * step).unwrap(), ml)).collect()
    }

    #[test]
    fn a_one_minute_timer_gives_eleven_small_feeds_where_a_half_hour_timer_cannot() {
        let wanted = every(66, 450, 11, 5.0);
        let fine = programme(&wanted, &timer(1.0, 16, 1), 5.0);
        assert_eq!(fine.runs.len(), 11);
        assert!(fine.runs.iter().all(|run| (run.minutes * 5.0 - 5.0).abs() < 1e-9));
        let coarse = programme(&wanted, &timer(30.0, 48, 30), 5.0);
        assert!(coarse.runs.iter().all(|run| run.minutes * 5.0 >= 150.0), "thirty times the dose");
    }

    #[test]
    fn feeds_beyond_the_programmes_are_thinned_evenly() {
        let found = programme(&every(60, 420, 11, 5.0), &timer(1.0, 6, 1), 5.0);
        let hours: Vec<u16> = found.runs.iter().map(|run| run.at.minutes() / 60).collect();
        assert_eq!(hours, [7, 9, 11, 13, 15, 17]);
        assert_eq!(found.left_out.len(), 5);
        assert_eq!(programme(&every(60, 420, 3, 5.0), &timer(1.0, 1, 1), 5.0).runs.len(), 1);
    }

    #[test]
    fn feeds_that_fall_together_become_one_run() {
        // 10:00, 10:10 and 10:20 of 20 min each: the timer knows 10:00 and 10:15, and the last two meet there.
        let found = programme(&every(10, 600, 3, 40.0), &timer(15.0, 96, 15), 2.0);
        assert_eq!(found.runs.len(), 2);
        assert_eq!(found.merged.len(), 1);
        assert!((found.runs[1].wanted_ml - 80.0).abs() < 1e-9);
        assert!((found.runs[1].minutes - 45.0).abs() < 1e-9, "{:?}", found.runs);
        let overlaps =
            |pair: &[Run]| f64::from(pair[0].at.minutes()) + pair[0].minutes > f64::from(pair[1].at.minutes());
        let many = programme(&every(25, 0, 40, 60.0), &timer(15.0, 96, 15), 2.0);
        assert!(!many.runs.windows(2).any(overlaps));
    }

    #[test]
    fn the_last_start_of_a_day_stays_in_the_day() {
        let late = [(TimeOfDay::from_minutes(1435).unwrap(), 5.0)];
        assert_eq!(programme(&late, &timer(30.0, 48, 30), 1.0).runs[0].at.minutes(), 1410);
    }
}
