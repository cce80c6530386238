//! Invented fillings of reservoirs, and the comparison of one plan run with each.

use frytub_sim::outcome::*;
use frytub_sim::study::Study;

use super::{Fate, Shape, lines, single};

/// Shape of an invented report on reservoirs.
#[derive(Clone, Copy)]
pub struct Vessels {
    pub count: usize,
    pub foods: usize,
    pub feeds: usize,
    pub fate: Filling,
    pub long_names: bool,
}

#[derive(Clone, Copy, PartialEq)]
pub enum Filling {
    Usual,
    NothingDelivered,
    DrawsAir,
}

/// Every odd case by name.
pub fn cases() -> Vec<(&'static str, Vessels)> {
    let usual = Vessels { count: 3, foods: 2, feeds: 11, fate: Filling::Usual, long_names: false };
    vec![
        ("three", usual),
        ("one-reservoir", Vessels { count: 1, ..usual }),
        ("five-reservoirs", Vessels { count: 5, foods: 3, ..usual }),
        ("nine-reservoirs", Vessels { count: 9, ..usual }),
        ("one-food", Vessels { foods: 1, count: 2, ..usual }),
        ("four-foods", Vessels { foods: 4, ..usual }),
        ("five-of-four-foods", Vessels { foods: 4, count: 5, ..usual }),
        ("one-feed", Vessels { feeds: 1, ..usual }),
        ("one-of-all", Vessels { count: 1, foods: 1, feeds: 1, ..usual }),
        ("forty-feeds", Vessels { feeds: 40, count: 4, ..usual }),
        ("long-names", Vessels { long_names: true, count: 5, ..usual }),
        ("nothing-delivered", Vessels { fate: Filling::NothingDelivered, ..usual }),
        ("draws-air", Vessels { fate: Filling::DrawsAir, ..usual }),
    ]
}

/// How much of the food each vessel keeps from settling, and from ageing.
const KEEPS: [(f64, f64); 5] = [(0.08, 0.7), (0.95, 0.68), (0.2, 0.7), (0.5, 0.66), (0.3, 0.2)];

fn spread(middle: f64) -> Spread {
    let top = (middle * 1.3).min(100.0);
    Spread { mean: middle * 0.98, low: middle * 0.6, median: middle, high: top.max(middle) }
}

fn trial(study: &Study, plan: usize, shape: Vessels) -> ReservoirTrial {
    let (floats, fresh) = match shape.fate {
        Filling::NothingDelivered => (0.0, 0.0),
        _ => KEEPS[plan % KEEPS.len()],
    };
    // Each further food settles less and ages faster.
    let of_food = |food: usize| {
        let settling = floats + (1.0 - floats) * 0.3 * food as f64 / 4.0;
        (if shape.fate == Filling::NothingDelivered { 0.0 } else { settling }, fresh * (1.0 - 0.1 * food as f64))
    };
    let foods = (0..shape.foods).map(|food| {
        let (floats, fresh) = of_food(food);
        let (drawn, kept) = (floats * 88.0, 100.0 - floats * 88.0);
        FoodTrial {
            food,
            delivered_fresh: spread(100.0 * floats * fresh),
            delivered_spoiled: spread(100.0 * floats * (1.0 - fresh)),
            balance: FillBalance {
                drawn_fresh: drawn * fresh,
                drawn_spoiled: drawn * (1.0 - fresh),
                in_suspension: kept * floats * 0.8,
                resting: kept * 0.05,
                stuck: kept - kept * floats * 0.8 - kept * 0.05,
            },
            by_settling_alone: spread(100.0 * floats),
            by_ageing_alone: spread(100.0 * fresh),
            by_tube_alone: spread(97.0),
            by_none: spread(100.0),
            wanted_mg: 2.0,
        }
    });
    let feeds = (0..shape.feeds).map(|n| {
        let late = n as f64 / shape.feeds.max(2) as f64;
        FeedTrial {
            hour: 18.5 + 12.0 * late,
            wanted_ml: 5.0,
            given_ml: 4.9,
            fresh: (0..shape.foods)
                .map(|food| spread(100.0 * of_food(food).0 * of_food(food).1 * (1.2 - 0.9 * late).min(1.0)))
                .collect(),
            spoiled: (0..shape.foods).map(|food| spread(60.0 * of_food(food).0 * late)).collect(),
        }
    });
    let as_it_is = 100.0 * floats * fresh;
    let remedies = [
        (RemedyKind::AsItIs, as_it_is),
        (RemedyKind::Cold, 100.0 * floats * fresh.sqrt()),
        (RemedyKind::FilledTwice, as_it_is * 1.1),
        (RemedyKind::FilledLate, as_it_is * 1.05),
        (RemedyKind::SteepCone, 93.0 * fresh),
    ];
    let test = |food: usize, stirred: bool| TestWorth {
        food,
        stirred,
        after_min: 30.0,
        water: if stirred { 800.0 } else { 100.0 },
        reading: Spread { mean: 0.5, low: 0.2, median: 0.5, high: 0.8 },
        width_before: 44.0,
        width_after: if stirred { 17.0 } else { 29.0 },
    };
    let air = shape.fate == Filling::DrawsAir && plan != 1;
    ReservoirTrial {
        reservoir: plan,
        plan,
        day: study.show_day,
        filled_ml: 900.0 - 120.0 * (plan % 3) as f64,
        hours: 14.0,
        foods: foods.collect(),
        feeds: feeds.collect(),
        dead_floor: [0.71, 0.004, 0.55, 0.2, 0.18][plan % 5],
        dry_worlds: if air { 0.23 } else { 0.0 },
        dry_at: (air && plan == 0).then_some(shape.feeds - 1),
        remedies: remedies.map(|(what, middle)| Remedy { what, delivered_fresh: spread(middle) }).to_vec(),
        tests: vec![test(0, true), test(shape.foods - 1, false)],
    }
}

/// Study, comparison and trials of a case.
pub fn case(name: &str) -> (Study, Comparison, Vec<ReservoirTrial>) {
    let (_, shape) = cases().into_iter().find(|(n, _)| *n == name).expect("a known case");
    let mut vessels = lines::reservoirs(shape.count);
    if shape.long_names {
        for (n, vessel) in vessels.iter_mut().enumerate() {
            vessel.name = format!(
                "the big old bottle from the cellar standing on its neck in a flowerpot, number {n}, with \
                 Nachfütterungsmaßnahmenbeschreibungszusatz"
            );
        }
    }
    let singles = vessels
        .iter()
        .enumerate()
        .map(|(n, vessel)| single(&vessel.name, 2, shape.feeds, false, [0.31, 0.63, 0.38, 0.52, 0.4][n % 5]))
        .collect();
    let comparison = Shape {
        singles,
        families: false,
        days: 8,
        foods: shape.foods.max(2),
        fate: Fate::Usual,
        lines: false,
        water: super::waters::Water::None,
        trouble: super::setbacks::Trouble::None,
    };
    let mut study = super::study(&comparison);
    lines::equip(&mut study, vessels);
    let mut found = super::comparison(&study, &comparison);
    lines::brought(&study, &mut found);
    found.jar_tests.clear();
    for plan in 0..study.plans.len() {
        let share = if shape.fate == Filling::NothingDelivered { 0.0 } else { KEEPS[plan % 5].0 * KEEPS[plan % 5].1 };
        found.plans[plan].doses = lines::doses(&study, plan, share);
    }
    let trials = (0..shape.count).map(|plan| trial(&study, plan, shape)).collect();
    (study, found, trials)
}
