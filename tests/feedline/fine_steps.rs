//! The whole balance of a reservoir (landing, coming back within half a minute, a dead share that changes with the
//! height) against the same equations integrated a second time in steps of four seconds.
//!
//! Tolerance, in shares of the food poured in, for what is drawn, suspended, resting and stuck: 5e-6 where the pump runs
//! for minutes, as it does in use. The largest difference (4e-6) is where the current just stops reaching the whole of a
//! part of the floor: there the dead share has a bend that no step of fixed length can follow. A run of twelve hours goes
//! in steps of a quarter of an hour, in which large worms settle several times over: 3e-4. The second integration is of
//! fourth order; halving its step changes nothing above 1e-7 (checked here).

use frytub_sim::feedline::vessel::Vessel;
use frytub_sim::numbers::ReservoirNumbers;
use frytub_sim::study::{Shape, Stone};

use super::second_hand::{Shares, Walls, run};
use super::{ITEMS, cone, cylinder, filled, lasting, long_box, numbers, own, reservoir};

const SHORT_RUNS: f64 = 5e-6;
const LONG_RUN: f64 = 3e-4;
/// Step of the second integration, s.
const STEP_S: f64 = 4.0;

/// Shape, stone, least dead share of the floor, stress that lifts (Pa): with a current that sweeps all, some or little.
fn cases() -> Vec<(Shape, Stone, f64, f64)> {
    vec![
        (long_box(), Stone::OneEnd, 0.1, 0.018),
        (long_box(), Stone::OneEnd, 0.01, 0.005),
        (long_box(), Stone::Middle, 0.02, 0.005),
        (cylinder(), Stone::Middle, 0.05, 0.018),
        (cylinder(), Stone::Middle, 0.001, 0.008),
        (cone(60.0), Stone::Middle, 0.0, 0.018),
        (cone(45.0), Stone::Middle, 0.0, 0.018),
        (cone(52.0), Stone::Middle, 0.003, 0.06),
        (own(), Stone::Middle, 0.0, 0.018),
        (own(), Stone::OneEnd, 0.0, 0.018),
    ]
}

/// Speed in mm/s and chance of sticking, from fine yolk to large worms.
const FOODS: [(f64, f64); 3] = [(0.0085, 3e-3), (0.2, 3e-3), (1.0, 1e-3)];

fn shares(vessel: &Vessel<'_>, drawn: f64) -> Shares {
    let places = vessel.stocks[0].fresh;
    [places.suspended / ITEMS, places.resting / ITEMS, places.stuck / ITEMS, drawn / ITEMS]
}

/// Plays `runs` times: wait, then run the pump; ours and the second integration's shares, and how far they are apart.
fn compare(
    case: &(Shape, Stone, f64, f64),
    food: (f64, f64),
    runs: u32,
    waits_h: f64,
    run_h: f64,
    step: f64,
) -> [Shares; 2] {
    let (shape, stone, dead_floor, lift_pa) = case;
    let place = ReservoirNumbers { dead_floor: *dead_floor, lift_pa: *lift_pa, ..numbers() };
    let reservoir = reservoir(shape.clone(), *stone, &place);
    let mut vessel = filled(&reservoir, &place, &[lasting(food.0, food.1)], 1000.0);
    let walls = Walls::new(shape, *stone, &place);
    let (mut theirs, mut volume, mut out) = ([1.0, 0.0, 0.0, 0.0], 1e-3, 0.0);
    let ml = 800.0 / f64::from(runs);
    for _ in 0..runs {
        vessel.wait(waits_h);
        out += vessel.draw(ml, run_h).food[0].items();
        let food = (food.0 / 1000.0, food.1);
        if waits_h > 0.0 {
            run(&walls, &mut theirs, &mut volume, food, 0.0, waits_h * 3600.0, step);
        }
        let flow = ml * 1e-6 / (run_h * 3600.0);
        run(&walls, &mut theirs, &mut volume, food, flow, run_h * 3600.0, step);
    }
    [shares(&vessel, out), theirs]
}

fn apart(pair: &[Shares; 2]) -> f64 {
    (0..4).map(|i| (pair[0][i] - pair[1][i]).abs()).fold(0.0, f64::max)
}

#[test]
fn one_run_of_twelve_hours_is_what_fine_steps_give() {
    let mut worst = 0.0_f64;
    for case in cases() {
        for food in FOODS {
            let pair = compare(&case, food, 1, 0.0, 12.0, STEP_S);
            worst = worst.max(apart(&pair));
        }
    }
    eprintln!("one long run: largest difference {worst:.1e}");
    assert!(worst < LONG_RUN, "{worst:e}");
}

#[test]
fn twelve_short_runs_with_waits_between_are_what_fine_steps_give() {
    let mut worst = 0.0_f64;
    for case in cases() {
        for food in FOODS {
            let pair = compare(&case, food, 12, 58.0 / 60.0, 2.0 / 60.0, STEP_S);
            worst = worst.max(apart(&pair));
        }
    }
    eprintln!("short runs: largest difference {worst:.1e}");
    assert!(worst < SHORT_RUNS, "{worst:e}");
}

#[test]
fn the_second_integration_does_not_depend_on_its_step() {
    let case = (cone(52.0), Stone::Middle, 0.003, 0.018);
    let at = |step| compare(&case, FOODS[1], 3, 0.5, 0.5, step)[1];
    let off = apart(&[at(STEP_S), at(STEP_S / 2.0)]);
    eprintln!("step: {off:.1e}");
    assert!(off < 1e-7, "{off:e}");
}
