//! A hungry brood: a quarter of plenty and more, in two pump feeds a day or in eleven; light from 07:00 to 21:00.
//!
//! No published figure is known to us. Expected from an independent sketch of the model: many tiny doses are found first
//! by the quick fry, which are never full and so leave nothing to the slow; two large doses fill the quick and leave the
//! rest. What came out when this was first run, at likely values: alive out of 100, share of the food eaten, and food
//! eaten on day 3 as a share of body mass by the worst, middle and best fed fifth of the living:
//!
//! | mg a day | food and tub | feeds | alive | eaten | worst, middle, best |
//! |---|---|---|---|---|---|
//! | 2.25 | live food, drip | two, 07:30 and 20:30 | 41 | 0.50 | 0.08, 0.14, 0.24 |
//! | 2.25 | live food, drip | two, 07:30 and 17:30 | 55 | 0.69 | 0.09, 0.16, 0.28 |
//! | 2.25 | live food, drip | eleven, 07:30 to 17:30 | 58 | 0.74 | 0.09, 0.16, 0.28 |
//! | 2.25 | lasting food, no drip | two, 07:30 and 17:30 | 74 | 0.98 | 0.11, 0.21, 0.35 |
//! | 2.25 | lasting food, no drip | eleven, 07:30 to 17:30 | 72 | 0.99 | 0.11, 0.20, 0.36 |
//! | 3.6 | lasting food, no drip | two, 07:30 and 20:30 | 93 | 0.95 | 0.18, 0.31, 0.45 |
//! | 3.6 | lasting food, no drip | eleven, 07:30 to 20:30 | 88 | 0.98 | 0.17, 0.29, 0.50 |
//!
//! So the expected harm is there (last two rows: the best fed fifth gets more, fewer live), but it is small; between the
//! same hours two feeds and eleven do about as well. What matters more is when the last large feed comes: half an hour
//! before dark, half of it is washed out or spoilt by morning.

use frytub_sim::brood::Mode;
use frytub_sim::brood::diary::BroodRecord;
use frytub_sim::numbers::Range;
use frytub_sim::study::Study;

use crate::support::{Setting, likely_broods, mean, plan_called};

/// Times of the pump feeds of each plan, and its name.
const PLANS: [(&str, &str); 4] = [
    (r#"["07:30", "17:30"]"#, "two in the day"),
    (r#""every 60 min from 07:30 to 17:30""#, "eleven in the day"),
    (r#"["07:30", "20:30"]"#, "two, one before dark"),
    (r#""every 78 min from 07:30 to 20:30""#, "eleven until dark"),
];

/// Plans that share a day's food of this dry mass among their feeds; 9 mg are plenty for these fry.
fn ration(mg_a_day: f64) -> Study {
    let plan = |(at, name): (&str, &str)| {
        format!(
            "[[plan]]\nname = \"{name}\"\nby_pump = {{ at = {at}, dose = \"{mg_a_day} mg a day\", over = \"2 min\" }}\n"
        )
    };
    let plans: String = PLANS.into_iter().map(plan).collect();
    let more = r#"
[mix.later]
microworm = "200 per mL"
"newly hatched brine shrimp, small strain" = "50 per mL"
[[recipe]]
from_day = 3
mix = "later"
times = 1.25
[[recipe]]
from_day = 5
mix = "later"
times = 1.7
[[recipe]]
from_day = 7
mix = "later"
times = 2.3
"#;
    let mix = "microworm = \"340 per mL\"\nParamecium = \"150 per mL\"";
    let setting =
        Setting { fry: 120, days: 9, volume: "6 L", drip: "200 mL/h", mix, plans: &plans, more, ..Setting::default() };
    let mut study = setting.study();
    study.show_day = 3;
    study
}

/// The same with food that lasts and stays in the tub: what is not eaten now is eaten later.
fn ration_that_lasts(mg_a_day: f64) -> Study {
    let mut study = ration(mg_a_day);
    study.tubs[0].numbers.drip_ml_h = Range::certain(0.0);
    for food in &mut study.foods {
        food.numbers.life_h = Range::certain(200.0);
    }
    study
}

/// What a plan brought.
#[derive(Debug)]
struct Brought {
    /// Alive out of 100.
    alive: f64,
    /// Share of the food that was eaten.
    eaten: f64,
    /// Eaten on the day shown against body mass, from the worst to the best fed fifth.
    fifths: [f64; 5],
}

fn brought(what: &str, study: &Study, name: &str) -> Brought {
    let plan = plan_called(study, name);
    let records: Vec<BroodRecord> = likely_broods(study, plan, Mode::Leaps, 10);
    let brought = Brought {
        alive: mean(records.iter().map(|record| 100.0 * record.alive as f64 / record.fry as f64)),
        eaten: mean(records.iter().map(|record| record.food.eaten / record.food.given)),
        fifths: std::array::from_fn(|k| mean(records.iter().map(|record| record.intake_fifths[k]))),
    };
    eprintln!("{what}, {name}: {brought:.2?}");
    brought
}

#[test]
fn between_the_same_hours_two_feeds_and_eleven_do_about_as_well() {
    for (what, study) in [("2.25 mg, drip", ration(2.25)), ("2.25 mg that last", ration_that_lasts(2.25))] {
        let [two, eleven] = ["two in the day", "eleven in the day"].map(|name| brought(what, &study, name));
        assert!((two.alive - eleven.alive).abs() < 6.0, "{} alive against {}", two.alive, eleven.alive);
        for (fifth, other) in two.fifths.iter().zip(eleven.fifths) {
            assert!((fifth / other - 1.0).abs() < 0.08, "intake of the fifths: {two:?} {eleven:?}");
        }
    }
}

#[test]
fn a_large_feed_before_dark_is_half_lost() {
    let study = ration(2.25);
    let [day, dark] = ["two in the day", "two, one before dark"].map(|name| brought("2.25 mg, drip", &study, name));
    assert!(day.eaten > dark.eaten + 0.12, "{} of the food eaten against {}", day.eaten, dark.eaten);
    assert!(day.alive > dark.alive + 7.0, "{} alive against {}", day.alive, dark.alive);
    assert!(day.fifths.iter().zip(dark.fifths).all(|(more, less)| *more > less), "every fifth eats more");
}

#[test]
fn tiny_feeds_that_all_get_eaten_go_to_the_quick() {
    let study = ration_that_lasts(3.6);
    let names = ["two, one before dark", "eleven until dark"];
    let [two, eleven] = names.map(|name| brought("3.6 mg that last", &study, name));
    assert!(eleven.eaten > two.eaten - 0.02, "no less is eaten: {two:?} {eleven:?}");
    let gap = |brought: &Brought| brought.fifths[4] / brought.fifths[0];
    assert!(gap(&eleven) > 1.08 * gap(&two), "best and worst fed lie further apart: {two:?} {eleven:?}");
    assert!(two.alive > eleven.alive + 2.0, "{} alive with two feeds, {} with eleven", two.alive, eleven.alive);
}
