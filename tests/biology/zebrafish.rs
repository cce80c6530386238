//! First food delayed: the built-in example `zebrafish-delayed-feeding` at likely values.
//!
//! Published, 28.5 °C, counted at 39 days ("Delay of initial feeding of zebrafish larvae until 8 days
//! postfertilization has no impact on survival or growth through the juvenile stage", abstract read): first food at 5
//! to 8 days, more than 90 in 100 alive; at 9 days 66; at 10 days none, all dead within 2 days of being fed.
//!
//! This is calibration, not validation: routine burning, the limit of starvation and the yolk were chosen with this
//! trial in view. Tolerances set before the first run: more than 88 for first food at 5 to 8 days (background losses of
//! 0.002 a day alone leave 93, and 90 is the bound that was published); 66 ± 15 at 9 days; at most 10 at 10 days.
//!
//! What came out first, with 0.15 of the body burnt a day at 150 µg: 94, 94, 94, 92, then 46 at 9 days and 2 at 10
//! days: the tolerance at 9 days was missed. 0.15 had been picked for this trial with a rougher model; the measured
//! respiration of zebrafish larvae by itself gives 0.14 (see the library), and with that the outcome is 94, 94, 94, 93,
//! 68 and 10. The steep fall between 8 and 10 days is real in both: six hours more or less without food move the
//! outcome at 9 days by some 20 fry in 100.

use frytub_sim::brood::Mode;

use crate::support::{example_study, likely_broods, mean, plan_called};

const BROODS: u32 = 12;

#[test]
fn delayed_first_food_comes_near_the_trial_it_was_set_by() {
    let study = example_study("zebrafish-delayed-feeding");
    let alive = |days: u32| {
        let plan = plan_called(&study, &format!("First food at {days} days"));
        let records = likely_broods(&study, plan, Mode::Leaps, BROODS);
        mean(records.iter().map(|record| 100.0 * record.alive as f64 / record.fry as f64))
    };
    let all = [5, 6, 7, 8, 9, 10].map(alive);
    eprintln!("zebrafish first fed at 5, 6, 7, 8, 9, 10 days: {all:.0?} alive out of 100");
    assert!(all[..4].iter().all(|&alive| alive > 88.0), "first food in time: {all:?}");
    assert!((all[4] - 66.0).abs() <= 15.0, "first food at 9 days: {}", all[4]);
    assert!(all[5] <= 10.0, "first food at 10 days: {}", all[5]);
}

#[test]
fn fry_fed_too_late_die_within_days_of_the_food() {
    let study = example_study("zebrafish-delayed-feeding");
    let plan = plan_called(&study, "First food at 10 days");
    // The food comes on the morning of day 6 of the file. Published: all dead within two days; a third is allowed for
    // fry that die a little later because they caught a little.
    for record in likely_broods(&study, plan, Mode::Leaps, 4) {
        let by_day_8 = record.deaths.iter().filter(|death| death.hour < 8.0 * 24.0).count();
        assert!(by_day_8 as f64 >= 0.9 * record.deaths.len() as f64, "{by_day_8} of {}", record.deaths.len());
    }
}
