//! Common random numbers: what one plan brings depends on no other plan, and no number's draw on another number.
//!
//! Without this a difference between two plans would hold the luck of the draw. Compared bit by bit, as text.

use std::sync::atomic::AtomicBool;

use frytub_sim::brood::Mode;
use frytub_sim::chance::Streams;
use frytub_sim::monte_carlo::{Settings, compare};
use frytub_sim::numbers::Range;
use frytub_sim::outcome::{Cause, WorldRow};
use frytub_sim::study::Study;
use frytub_sim::worlds::{self, Block};

use crate::support::{Setting, run};

const FIRST: &str = r#"
[[plan]]
name = "First"
by_hand = { at = ["08:00", "16:00"], dose = "12 mL" }
"#;
const OTHERS: &str = r#"
[[plan]]
name = "Second"
by_pump = { at = "every 2 h from 07:30 to 20:00", dose = "9 mL", over = "2 min" }
siphon = true
[[plan]]
name = "Third"
by_hand = { at = ["08:00"], dose = "2 mL" }
tub = { volume = "5 L", temperature = "26 C" }
recipe = "other"
"#;
/// A second recipe, with foods that the first plan never sees.
const OTHER_FOOD: &str = r#"
[mix.other]
microworm = { low = "50 per mL", likely = "80 per mL", high = "200 per mL" }
"egg yolk" = "0.02 mg per mL"
[[recipe]]
recipe = "other"
from_day = 1
mix = "other"
"#;

fn study(plans: &str, more: &str) -> Study {
    let study = Setting { plans, more, days: 5, drip: "80 mL/h", ..Setting::default() }.study();
    let late = Range::new(5.0, 15.0, 60.0).expect("a range");
    let mut keeper = study.keeper.clone();
    keeper.late_min = late;
    keeper.missed_chance = Range::certain(0.1);
    Study { keeper, ..study }
}

/// All that is told of the first plan: its result without the list of foods in the tub, and each of its worlds.
fn told_of_first(study: &Study) -> String {
    let settings = Settings { seed: 8, broods: 24, precision: None, likely_only: false };
    let comparison = compare(study, &settings, &(), &AtomicBool::new(false)).expect("a sound study");
    let mut result = comparison.plans[0].clone();
    for point in &mut result.day {
        // Foods of other plans have their own columns, which stay empty here.
        for list in [&mut point.in_water, &mut point.on_bottom] {
            list.retain(|n| *n > 0.0);
        }
    }
    let rows: Vec<WorldRow> = comparison.world_rows.into_iter().filter(|row| row.plan == 0).collect();
    format!("{result:?} {rows:?}")
}

#[test]
fn other_plans_leave_a_plan_as_it_was() {
    let alone = told_of_first(&study(FIRST, ""));
    let other = OTHERS.replace("recipe = \"other\"\n", "");
    assert!(told_of_first(&study(&format!("{FIRST}{other}"), "")) == alone, "two more plans changed the first");
    let changed = other.replace("9 mL", "3 mL");
    assert!(told_of_first(&study(&format!("{FIRST}{changed}"), "")) == alone, "a changed plan changed the first");
}

#[test]
fn foods_of_other_plans_leave_a_plan_as_it_was() {
    let alone = told_of_first(&study(FIRST, ""));
    let with_food = study(&format!("{FIRST}{OTHERS}"), OTHER_FOOD);
    assert!(with_food.foods.len() > study(FIRST, "").foods.len(), "there is more food about");
    assert!(told_of_first(&with_food) == alone, "another plan's food changed the first plan");
}

#[test]
fn plans_differ_where_they_should() {
    let alone = told_of_first(&study(FIRST, ""));
    assert!(told_of_first(&study(&FIRST.replace("12 mL", "13 mL"), "")) != alone, "a bigger dose changed nothing");
}

#[test]
fn another_uncertain_number_shifts_no_draw() {
    let base = study(FIRST, "");
    let mut doubtful = base.clone();
    doubtful.tubs[0].numbers.volume_ml = Range::new(1500.0, 2000.0, 2400.0).expect("a range");
    let worlds = |study: &Study| -> Vec<_> {
        let block = Block::draw(&worlds::uncertain(study), 8, 1, 30);
        (0..30).map(|w| block.world(study, w)).collect()
    };
    let (before, after) = (worlds(&base), worlds(&doubtful));
    for (a, b) in before.iter().zip(&after) {
        assert_eq!(a.fish, b.fish);
        assert_eq!(a.foods, b.foods);
        assert_eq!(a.keeper, b.keeper);
    }
    let volumes: Vec<f64> = after.iter().map(|world| world.tubs[0].volume_ml).collect();
    assert!(volumes.windows(2).any(|pair| (pair[0] - pair[1]).abs() > 1.0), "the new number does vary");
}

#[test]
fn fry_and_mornings_are_the_same_under_every_plan() {
    let plans = format!("{FIRST}{}", FIRST.replace("First", "Twice as much").replace("12 mL", "24 mL"));
    let mut study = study(&plans, "");
    study.fish.background_per_day = Range::certain(0.1);
    let world = worlds::likely(&study);
    let mut shared = 0;
    for brood in 0..10 {
        let [a, b] = [0, 1].map(|plan| run(&study, plan, &world, Streams::new(4, 1, brood), Mode::Leaps));
        assert_eq!((a.visits, a.lateness_min), (b.visits, b.lateness_min));
        for death in a.deaths.iter().filter(|death| death.cause == Cause::Background) {
            let twin = b.deaths.iter().find(|other| other.fry == death.fry);
            if let Some(twin) = twin.filter(|twin| twin.cause == Cause::Background) {
                assert_eq!(twin.hour, death.hour, "fry {} of brood {brood}", death.fry);
                shared += 1;
            }
        }
    }
    assert!(shared > 20, "only {shared} such deaths: too few to tell");
}
