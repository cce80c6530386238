//! A hungry brood: less than half of the school biology room's food, in two pump feeds a day or in eleven.
//!
//! No published figure is known to us. Expected from an independent sketch of the model: many tiny doses are found first
//! by the quick fry, which are never full and so never leave anything to the slow; two large doses fill the quick and
//! leave the rest. What came out when this was first run, at likely values, alive out of 100 and food eaten on the day
//! shown as a share of body mass by the worst, middle and best fed fifth:
//!
//! | ration | food and tub | two feeds | eleven feeds |
//! |---|---|---|---|
//! | quarter | as in the example | 33 alive: 0.08, 0.15, 0.25 | 49 alive: 0.10, 0.18, 0.30 |
//! | quarter | food that lasts, no drip | 74 alive: 0.12, 0.21, 0.33 | 65 alive: 0.12, 0.21, 0.36 |
//! | two fifths | food that lasts, no drip | 93 alive: 0.19, 0.32, 0.43 | 77 alive: 0.17, 0.30, 0.51 |
//!
//! So the expected harm is there and is large, but only where nothing else tells the plans apart. With food that spoils
//! and a drip that carries it out, eleven small feeds bring half as much again into mouths, and that outweighs it. Over
//! worlds (one brood in each of 40) the directions are the same and the differences smaller.

use frytub_sim::brood::Mode;
use frytub_sim::brood::diary::BroodRecord;
use frytub_sim::numbers::Range;
use frytub_sim::study::{Dose, Study};

use crate::support::{example_study, likely_broods, mean, plan_called};

/// The example with a share of its food.
fn ration(share: f64) -> Study {
    let mut study = example_study("school-biology-room");
    for feed in study.plans.iter_mut().flat_map(|plan| &mut plan.week).flat_map(|day| &mut day.feeds) {
        feed.dose = match feed.dose {
            Dose::Millilitres(ml) => Dose::Millilitres(ml * share),
            Dose::Milligrams(mg) => Dose::Milligrams(mg * share),
            Dose::Items(items) => Dose::Items(items * share),
        };
    }
    study
}

/// The same with food that lasts and stays in the tub: what is not eaten now is eaten later.
fn ration_that_lasts(share: f64) -> Study {
    let mut study = ration(share);
    study.tubs[0].numbers.drip_ml_h = Range::certain(0.0);
    study.keeper.changed_share = Range::certain(0.0);
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

fn two_and_eleven(what: &str, study: &Study) -> [Brought; 2] {
    [2, 11].map(|feeds| {
        let plan = plan_called(study, &format!("By pump, same food a day: {feeds} feeds"));
        let records: Vec<BroodRecord> = likely_broods(study, plan, Mode::Leaps, 6);
        let brought = Brought {
            alive: mean(records.iter().map(|record| 100.0 * record.alive as f64 / record.fry as f64)),
            eaten: mean(records.iter().map(|record| record.food.eaten / record.food.given)),
            fifths: std::array::from_fn(|k| mean(records.iter().map(|record| record.intake_fifths[k]))),
        };
        eprintln!("{what}, {feeds} feeds: {brought:.2?}");
        brought
    })
}

#[test]
fn where_food_lasts_tiny_feeds_go_to_the_quick_and_save_fewer() {
    for (share, least_gap) in [(0.25, 3.0), (0.4, 8.0)] {
        let [two, eleven] = two_and_eleven(&format!("{share} of the food, which lasts"), &ration_that_lasts(share));
        assert!((two.eaten - eleven.eaten).abs() < 0.08, "about the same is eaten: {two:?} {eleven:?}");
        assert!(eleven.fifths[4] > 1.03 * two.fifths[4], "the best fed get more of it");
        let gap = |brought: &Brought| brought.fifths[4] / brought.fifths[0];
        assert!(gap(&eleven) > 1.04 * gap(&two), "best and worst fed lie further apart: {two:?} {eleven:?}");
        assert!(
            two.alive - eleven.alive > least_gap,
            "{} alive with two feeds, {} with eleven",
            two.alive,
            eleven.alive
        );
    }
}

#[test]
fn where_food_spoils_and_washes_out_small_feeds_bring_more_of_it_into_mouths() {
    let [two, eleven] = two_and_eleven("a quarter of the food", &ration(0.25));
    assert!(eleven.eaten > 1.3 * two.eaten, "{} of the food eaten against {}", eleven.eaten, two.eaten);
    assert!(eleven.fifths.iter().zip(two.fifths).all(|(more, less)| *more > less), "every fifth eats more");
    assert!(eleven.alive > two.alive + 5.0, "{} alive against {}", eleven.alive, two.alive);
}
