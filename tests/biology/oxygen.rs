//! Oxygen and ammonia of a tub, against an integration written here, and against what is published of their size.

use frytub_sim::brood::Mode;
use frytub_sim::fry::tolerance::Tolerance;
use frytub_sim::numbers::WaterNumbers;
use frytub_sim::outcome::Cause;
use frytub_sim::water::{Load, WaterState};
use frytub_sim::worlds;

use super::fouling::water;
use crate::support::{Setting, likely_broods, mean};

fn numbers(air_per_h: f64) -> WaterNumbers<f64> {
    water(air_per_h).map(|_, range| range.likely())
}

/// A tub without fry and one dose of food that rots at a constant rate: first-order decay feeds ammonia, bacteria take it
/// by Monod's rule and the drip carries it out; the same equations by Euler's rule in steps of a second.
#[test]
fn one_dose_rots_and_is_nitrified_as_the_equations_say() {
    let mut numbers = numbers(0.5);
    numbers.ripeness = 1.0;
    numbers.outlet_credit = 1.0;
    let (litres, wash, decay, dose_n) = (5.0, 0.02, 0.05, 12.0);
    let mut state = WaterState::new(&numbers, 150.0, 27.0);
    let (mut food, mut ammonia, mut given) = (dose_n, 0.0, 0.0);
    let mut rotting = dose_n;
    for hour in 0..96 {
        let left = rotting * (-decay * 0.5_f64).exp();
        for _ in 0..2 {
            let gone = rotting - rotting * (-decay * 0.5_f64).exp();
            rotting -= gone;
            given += gone;
            state.pass(&Load { ammonia_mg: gone, oxygen_mg: 0.0 }, 1000.0 * litres, wash, 27.0, 0.5);
        }
        assert!(left > 0.0);
        for _ in 0..3600 {
            let dt = 1.0 / 3600.0;
            let nitrified = 10.0 / 24.0 * ammonia / (litres + ammonia);
            ammonia += dt * (decay * food - wash * ammonia - nitrified);
            food -= dt * decay * food;
        }
        assert!(
            (state.ammonia_mg - ammonia).abs() < 2e-3 * dose_n,
            "hour {hour}: {} against {ammonia}",
            state.ammonia_mg
        );
    }
    let account = state.account;
    let sum = account.nitrified + account.washed + state.ammonia_mg;
    assert!((account.given - given).abs() < 1e-9 && (sum - given).abs() < 1e-9 * given, "{account:?}");
}

/// 500 fry of one milligram in 10 L use 0.06 mg/L an hour (40 µmol O2 a gram and hour, read; product by hand). The same fish
/// here, by its own numbers: within a factor of two.
#[test]
fn five_hundred_fry_use_as_much_oxygen_as_published() {
    let study = Setting { fish: "zebrafish", ..Setting::default() }.study();
    let fish = worlds::likely(&study).fish;
    let physiology = frytub_sim::fry::shoal::Physiology::new(&fish, 28.0);
    // A milligram wet is some 0.17 mg dry.
    let burnt_mg_h = physiology.routine_ug_h(170.0) * fish.day_activity / 1000.0;
    let used = 500.0 * burnt_mg_h * 1.46 / 10.0;
    eprintln!("500 fry of 1 mg in 10 L use {used:.3} mg/L an hour (published about 0.06)");
    assert!((0.03..0.12).contains(&used), "{used}");
}

/// When the air stops in a crowded still tub, oxygen falls within hours: 600 fed fry in 2 L.
#[test]
fn oxygen_falls_to_two_milligrams_within_hours_when_the_air_stops() {
    let numbers = numbers(2.0);
    let mut state = WaterState::new(&numbers, 100.0, 28.0);
    state.has_air = false;
    // 600 fry of 0.3 mg dry that burn 0.18 of it a day, and 30 mg of food that rots at 1.5 a day.
    let use_mg_h = 600.0 * 0.3 * 0.18 / 24.0 * 1.46 + 30.0 * 1.5 / 24.0 * 1.3;
    let mut hours = 0.0;
    while state.oxygen_mg_l > 2.0 && hours < 100.0 {
        state.pass(&Load { ammonia_mg: 0.0, oxygen_mg: use_mg_h * 0.25 }, 2000.0, 0.0, 28.0, 0.25);
        hours += 0.25;
    }
    eprintln!("600 fry in 2 L without air: 2 mg/L after {hours} h");
    assert!((1.0..24.0).contains(&hours), "{hours}");
}

/// A constant exposure at the LC50 for 96 h kills half of the fry, within the Monte Carlo error; the fry are fed, and the
/// ammonia is held by hand.
#[test]
fn half_die_of_four_days_at_the_lc50() {
    let study = Setting { fry: 400, days: 1, ..Setting::default() }.study();
    let fish = worlds::likely(&study).fish;
    let tolerance = Tolerance::new(&fish);
    let mut harm = frytub_sim::fry::tolerance::Harm::default();
    let hazard: f64 = (0..96).map(|_| harm.pass(&tolerance, 1.0, 1.0)).sum();
    let shoal = frytub_sim::fry::shoal::Shoal::new(
        &frytub_sim::fry::shoal::Physiology::new(&fish, 28.0),
        &frytub_sim::chance::Streams::new(3, 1, 1),
        4000,
    );
    let dead = shoal.traits.iter().filter(|born| hazard > born.ammonia_patience).count() as f64 / 4000.0;
    // Three standard errors of a half of 4000.
    assert!((dead - 0.5).abs() < 3.0 * (0.25_f64 / 4000.0).sqrt(), "{dead}");
}

/// Zebrafish from embryo to larva: 96-h LC50 2.07 mg NH3/L, behaviour changed from 0.35 to 1.35, lesser harm from 0.06
/// (abstract read, authors not recorded). The LC50 itself is an input of the library; held against the abstract are the
/// order and the size of the rest: at 0.06 nobody dies in 96 h and fry feed as ever, feeding is touched within the range in
/// which behaviour was, none feed any more at the LC50, and twice the LC50 kills nearly all.
#[test]
fn zebrafish_bear_ammonia_as_published() {
    let study = Setting { fish: "zebrafish", ..Setting::default() }.study();
    let tolerance = Tolerance::new(&worlds::likely(&study).fish);
    let lc50 = tolerance.lc50_mg_l(25.0, 8.0);
    assert!((1.5..2.5).contains(&lc50), "{lc50} mg/L");
    let dead_at = |mg_l: f64| {
        let mut harm = frytub_sim::fry::tolerance::Harm::default();
        let hazard: f64 = (0..96).map(|_| harm.pass(&tolerance, mg_l / lc50, 1.0)).sum();
        -(-hazard).exp_m1()
    };
    let appetite = |mg_l: f64| tolerance.appetite(8.0, mg_l / lc50);
    let touched = (0..).map(|step| 0.01 * f64::from(step)).find(|&mg| appetite(mg) < 0.999).expect("feeding ends");
    let dead = [0.06, 0.35, 1.35, lc50, 2.0 * lc50].map(dead_at);
    eprintln!("zebrafish: LC50 {lc50:.2} mg NH3/L, feeding touched from {touched:.2}; dead in 96 h {dead:.2?}");
    assert!((0.35..1.35).contains(&touched), "{touched}");
    assert!(dead[0] == 0.0 && dead[1] == 0.0 && appetite(0.06) == 1.0 && appetite(lc50) == 0.0);
    assert!((dead[3] - 0.5).abs() < 0.01 && dead[4] > 0.95, "{dead:?}");
}

/// A mountain of food in still water kills by lack of oxygen, and the report says so.
#[test]
fn a_mountain_of_food_in_still_water_suffocates_the_fry() {
    let setting = Setting {
        fry: 60,
        days: 4,
        volume: "2 L",
        mix: "\"egg yolk\" = \"3 mg per mL\"",
        plans: "[[plan]]\nname = \"plan\"\nby_hand = { at = \"every visit\", dose = \"100 mL\" }",
        ..Setting::default()
    };
    let mut study = setting.study();
    study.tubs[0].air = false;
    study.tubs[0].water = Some(water(0.0));
    let records = likely_broods(&study, 0, Mode::Leaps, 3);
    let suffocated = |r: &frytub_sim::brood::diary::BroodRecord| {
        r.deaths.iter().filter(|death| death.cause == Cause::NoOxygen).count() as f64
    };
    assert!(mean(records.iter().map(suffocated)) > 50.0);
}
