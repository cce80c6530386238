//! The keeper: when a planned visit really happens.

use rand::RngExt;
use rand_distr::{Distribution, StandardNormal};

use crate::chance::{Source, Streams};
use crate::clock::{Moment, Span, TimeOfDay};
use crate::numbers::KeeperNumbers;

/// Minutes by which a very late visit is late: evenly between these (estimate).
const VERY_LATE_MIN: (f64, f64) = (60.0, 240.0);

/// When a visit planned on `day` at `planned` happens; `None` when it is missed.
///
/// The draw belongs to the day and minute, so plans that share a visit share its lateness.
#[must_use]
pub fn arrival(keeper: &KeeperNumbers<f64>, streams: &Streams, day: u32, planned: TimeOfDay) -> Option<Moment> {
    let mut rng = streams.own(Source::Keeper, u64::from(day) * 1440 + u64::from(planned.minutes()));
    let [missed, very_late, how_late]: [f64; 3] = [rng.random(), rng.random(), rng.random()];
    let usual: f64 = StandardNormal.sample(&mut rng);
    if missed < keeper.missed_chance {
        return None;
    }
    let late_min = if very_late < keeper.very_late_chance {
        VERY_LATE_MIN.0 + (VERY_LATE_MIN.1 - VERY_LATE_MIN.0) * how_late
    } else {
        keeper.late_min * (keeper.late_spread * usual).exp()
    };
    Some(Moment::on_day(day, planned) + Span::from_minutes(late_min))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lateness_has_its_median_its_tail_and_its_gaps() {
        let keeper = KeeperNumbers {
            late_min: 10.0,
            late_spread: 0.8,
            very_late_chance: 0.05,
            missed_chance: 0.02,
            siphoned_share: 0.0,
            changed_share: 0.0,
        };
        let planned = TimeOfDay::from_minutes(450).unwrap();
        let mut late = Vec::new();
        let n = 20_000;
        for brood in 0..n {
            if let Some(at) = arrival(&keeper, &Streams::new(1, 1, brood), 3, planned) {
                late.push((at - Moment::on_day(3, planned)).hours() * 60.0);
            }
        }
        late.sort_by(f64::total_cmp);
        let share = |count: usize| count as f64 / f64::from(n);
        assert!((share(late.len()) - 0.98).abs() < 0.004);
        assert!((late[late.len() / 2] - 10.0).abs() < 0.8, "median {}", late[late.len() / 2]);
        let very = late.iter().filter(|&&m| m >= 60.0).count();
        assert!((share(very) - 0.98 * (0.05 + 0.95 * 0.0126)).abs() < 0.006, "{}", share(very));
    }
}
