//! What cultures that are not ready, unwashed liquid, floats and forced setbacks do: against hand reckoning where there is
//! one, else direction.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use frytub_sim::brood::diary::BroodRecord;
use frytub_sim::brood::{self, BroodSetup, Mode};
use frytub_sim::chance::Streams;
use frytub_sim::clock::{Moment, Span};
use frytub_sim::cultures::Calendar;
use frytub_sim::mishaps::Kind;
use frytub_sim::monte_carlo::{Settings, Watcher, compare};
use frytub_sim::numbers::{CultureNumbers, LiquidNumbers, Range};
use frytub_sim::outcome::{Cause, Cost};
use frytub_sim::setbacks::{Forced, HARD, Setback, SetbackSettings, costs};
use frytub_sim::study::{Culture, Liquid, Mishaps, Owned, StandIn, Study};
use frytub_sim::water::{LIQUID_PER_DAY, WaterState};
use frytub_sim::worlds;

use super::failing::{nothing, study as crowded};
use super::fouling::water;
use crate::support::{SEED, Setting, likely_broods, mean};

const TWO_FOODS: &str = "rotifer = \"100 per mL\"\nmicroworm = \"20 per mL\"";

/// A culture whose numbers are certain.
pub fn culture(food: usize, late_d: f64, late_spread_d: f64, crash_days: f64, restart_d: f64) -> Culture {
    let numbers = CultureNumbers { late_d, late_spread_d, crash_days, restart_d };
    Culture { food, numbers: numbers.map(|_, &value| Range::certain(value)) }
}

/// Index of the food of a name.
pub fn food(study: &Study, name: &str) -> usize {
    study.foods.iter().position(|food| food.name == name).expect("a food of the scenario")
}

#[test]
fn a_culture_is_ready_and_crashes_as_often_as_it_should() {
    let mut study = Setting { days: 60, ..Setting::default() }.study();
    study.cultures = vec![culture(food(&study, "rotifer"), 1.0, 2.0, 15.0, 5.0)];
    let rotifer = study.cultures[0].food;
    let world = worlds::likely(&study);
    let day = |day: f64| Moment::start_of_day(1) + Span::from_hours(24.0 * day);
    let n = 4000;
    let missing = |at: f64| {
        let absent = |brood: &u32| {
            let streams = Streams::new(SEED, 1, *brood);
            Calendar::draw(&study, &study.plans[0], &world, &streams, None).is_missing(rotifer, day(at))
        };
        (0..n).filter(absent).count() as f64 / f64::from(n)
    };
    // Ready later than day 1 + t with the chance that a normal deviate exceeds (t − 1)/2; hardly a crash within hours.
    for (at, chance) in [(0.01, 0.6897), (1.0, 0.5), (3.0, 0.1587)] {
        let missing = missing(at);
        // Three standard errors, and what has crashed within the first days of use (at most 3 in 15 days).
        let crashed = if at > 0.5 { (1.0 - chance) * at / 15.0 } else { 0.0 };
        let error = 3.0 * (chance * (1.0 - chance) / f64::from(n)).sqrt();
        assert!((chance - error..chance + crashed + error).contains(&missing), "{missing} at day {at} for {chance}");
    }
    // In the long run it is missing 5 days of every 20 (alternating renewal process).
    let long = missing(55.0);
    assert!((long - 0.25).abs() < 0.025, "{long}");
}

/// A culture that never gets ready: with a stand-in the same dry mass of it is fed, without one nothing of it.
#[test]
fn what_is_missing_is_stood_in_for_by_the_same_dry_mass() {
    let setting = Setting { mix: TWO_FOODS, ..Setting::default() };
    let given = |study: &Study, name: &str| {
        let world = worlds::likely(study);
        let plan = &study.plans[0];
        let late = Calendar::draw(study, plan, &world, &Streams::new(SEED, 1, 1), None);
        let wanted = brood::foods_in_a_millilitre(study, &world, 0);
        let fed = late.available(wanted, plan, &world.larder.item_mass_ug, Moment::start_of_day(2));
        let of = food(study, name);
        fed.iter().filter(|(food, _)| *food == of).map(|(food, n)| n * world.larder.item_mass_ug[*food]).sum::<f64>()
    };
    let plain = setting.study();
    let (rotifer, microworm) = (given(&plain, "rotifer"), given(&plain, "microworm"));
    let mut never = plain.clone();
    never.cultures = vec![culture(food(&plain, "rotifer"), 50.0, 0.0, 1e5, 0.0)];
    assert_eq!((given(&never, "rotifer"), given(&never, "microworm")), (0.0, microworm));
    never.plans[0].stand_ins = vec![StandIn { food: food(&plain, "rotifer"), instead: food(&plain, "microworm") }];
    let instead = given(&never, "microworm");
    assert!((instead - microworm - rotifer).abs() < 1e-9 * instead, "{instead} for {microworm} and {rotifer}");
    // And in a brood: as much food as planned, all of it worms.
    let (as_planned, stood_in) = (likely_broods(&plain, 0, Mode::Leaps, 3), likely_broods(&never, 0, Mode::Leaps, 3));
    let mass = |records: &[BroodRecord]| mean(records.iter().map(|r| r.food.given));
    assert!((mass(&stood_in) / mass(&as_planned) - 1.0).abs() < 0.01);
}

/// Without a stand-in the fry starve, and their deaths are counted under the culture.
#[test]
fn a_culture_that_fails_starves_those_who_rely_on_it() {
    let mut study = Setting { days: 9, ..Setting::default() }.study();
    study.cultures = vec![culture(food(&study, "rotifer"), 50.0, 0.0, 1e5, 0.0)];
    let records = likely_broods(&study, 0, Mode::Leaps, 3);
    for record in &records {
        let starved = record.deaths.iter().filter(|death| death.cause == Cause::NoFood);
        assert!(starved.clone().count() > 15, "unfed fry die within nine days: {:?}", record.deaths);
        assert!(starved.clone().all(|death| death.mishap == Some(Kind::Culture)));
    }
}

/// One mL of a 1:1 vinegar culture in 10 L: 2.5 mg/L of acid, 0.04 meq/L of alkalinity and 2.7 mg/L of oxygen (reckoned
/// by hand from 2.5 % acetic acid of 60 g/mol that burns with 1.07 times its mass of oxygen).
#[test]
fn vinegar_takes_alkalinity_at_once_and_oxygen_as_it_rots() {
    let mut numbers = water(0.0).map(|_, range| range.likely());
    (numbers.surface_cm_h, numbers.ripe_mg_day) = (1e-9, 0.0);
    let vinegar =
        LiquidNumbers { share: 1.0, acid_meq_ml: 25.0 / 60.05, oxygen_mg_ml: 25.0 * 1.066, nitrogen_mg_ml: 0.0 };
    let mut tub = WaterState::new(&numbers, 100.0, 27.0);
    let (full, ph) = (tub.oxygen_mg_l, tub.ph(10_000.0));
    tub.add_liquid(&vinegar, 1.0);
    let expected = ((2.0 - 0.041_63) / 2.0_f64).log10();
    assert!((tub.ph(10_000.0) - ph - expected).abs() < 1e-5, "pH falls by {}", tub.ph(10_000.0) - ph);
    for hours in [1.0, 5.0, 18.0, 72.0] {
        tub = WaterState::new(&numbers, 100.0, 27.0);
        tub.add_liquid(&vinegar, 1.0);
        tub.pass(&frytub_sim::water::Load::default(), 10_000.0, 0.0, 27.0, hours);
        let used = 2.665 * -(-LIQUID_PER_DAY / 24.0 * hours).exp_m1();
        assert!((full - tub.oxygen_mg_l - used).abs() < 1e-6, "{hours} h: {} for {used}", full - tub.oxygen_mg_l);
    }
    assert!((tub.ph(10_000.0) - ph).abs() < 1e-6, "what is eaten gives its alkalinity back");
}

/// Unwashed vinegar eels in a small still tub take oxygen that washed ones leave.
#[test]
fn unwashed_culture_takes_oxygen() {
    let setting = Setting { fry: 60, volume: "1 L", ..Setting::default() };
    let mut washed = setting.study();
    washed.tubs[0].water = Some(water(0.0));
    let mut unwashed = washed.clone();
    let liquid = LiquidNumbers { share: 0.5, acid_meq_ml: 0.42, oxygen_mg_ml: 27.0, nitrogen_mg_ml: 0.1 };
    let numbers = liquid.map(|_, &value| Range::certain(value));
    unwashed.mixes[0].liquid = Some(Liquid { name: "vinegar".to_owned(), numbers });
    let lowest = |study: &Study| {
        let records = likely_broods(study, 0, Mode::Leaps, 2);
        let least =
            |r: &BroodRecord| r.water.as_ref().map_or(f64::NAN, |w| w.oxygen_mg_l.iter().copied().fold(99.0, f64::min));
        mean(records.iter().map(least))
    };
    let (clean, foul) = (lowest(&washed), lowest(&unwashed));
    assert!(foul < clean - 1.0, "{foul} against {clean} mg/L");
}

/// Culture liquid comes with the food of the culture: none of it while that is missing, whatever stands in for it.
#[test]
fn no_liquid_comes_from_a_culture_that_is_not_there() {
    let setting = Setting { mix: TWO_FOODS, fry: 60, volume: "1 L", ..Setting::default() };
    let mut study = setting.study();
    study.tubs[0].water = Some(water(0.0));
    let liquid = LiquidNumbers { share: 1.0, acid_meq_ml: 0.4, oxygen_mg_ml: 10.0, nitrogen_mg_ml: 1.0 };
    let numbers = liquid.map(|_, &value| Range::certain(value));
    study.mixes[0].liquid = Some(Liquid { name: "liquid".to_owned(), numbers });
    let from_liquid = |study: &Study| {
        mean(
            likely_broods(study, 0, Mode::Leaps, 2)
                .iter()
                .map(|r| r.water.as_ref().map_or(0.0, |w| w.account.from_liquid)),
        )
    };
    let all = from_liquid(&study);
    let rotifer = food(&study, "rotifer");
    study.cultures = vec![culture(rotifer, 50.0, 0.0, 1e5, 0.0)];
    let world = worlds::likely(&study);
    let foods = brood::foods_in_a_millilitre(&study, &world, 0);
    let never = Calendar::draw(&study, &study.plans[0], &world, &Streams::new(SEED, 1, 1), None);
    let there = never.share_there(&foods, &world.larder.item_mass_ug, Moment::start_of_day(2));
    assert!((0.05..0.95).contains(&there), "{there}");
    let left = from_liquid(&study);
    assert!((left / all - there).abs() < 1e-9, "{left} of {all} mg for a share of {there}");
    study.cultures.push(culture(food(&study, "microworm"), 50.0, 0.0, 1e5, 0.0));
    assert!(from_liquid(&study) == 0.0 && all > 0.0);
}

fn settings(worlds: u32) -> SetbackSettings {
    SetbackSettings { seed: SEED, worlds, likely_only: false }
}

fn tried(study: &Study, worlds: u32) -> Vec<Cost> {
    costs(study, &settings(worlds), &(), &AtomicBool::new(false))
}

fn of(costs: &[Cost], plan: usize, setback: Setback) -> Cost {
    *costs.iter().find(|cost| cost.plan == plan && cost.setback == setback).expect("tried")
}

/// A tub that needs its air within hours, and mishaps that hardly ever come by themselves.
fn overcrowded() -> Study {
    let mut study = crowded(Some(Mishaps { power_cut: true, air_stop: true, ..nothing() }));
    if let Some(mishaps) = &mut study.mishaps {
        (mishaps.numbers.power_cut_days, mishaps.numbers.air_stop_days) = (Range::certain(1e5), Range::certain(1e5));
    }
    study.tubs[0].numbers.volume_ml = Range::certain(500.0);
    study
}

/// What is forced is what is told: the loss is that of the same broods played by hand.
#[test]
fn a_cost_is_the_difference_of_the_same_broods() {
    let rare = overcrowded();
    let found = tried(&rare, 3);
    let cut = of(&found, 0, Setback::PowerCut);
    let at = Moment::start_of_day(cut.day) + Span::from_hours(cut.hour);
    let world = |index: u32| {
        worlds::Block::draw(&worlds::uncertain(&rare), SEED, 1, worlds::BLOCK).world(&rare, index as usize)
    };
    let less = |index: u32| {
        let world = world(index);
        let play = |forced| {
            let streams = Streams::new(SEED, index + 1, 1);
            let setup = BroodSetup {
                study: &rare,
                plan: 0,
                world: &world,
                streams,
                mode: Mode::Leaps,
                show_day: false,
                forced,
            };
            let record = brood::run(&setup);
            [record.alive, record.weaned].map(|fry| fry as f64 / 4.0)
        };
        let (without, with) = (play(None), play(Some(Forced { setback: Setback::PowerCut, at })));
        [without[0] - with[0], without[1] - with[1]]
    };
    let less: Vec<[f64; 2]> = (0..3).map(less).collect();
    let by_hand = mean(less.iter().map(|less| less[0]));
    let hard = 100.0 / 3.0 * less.iter().filter(|less| less[1] >= HARD).count() as f64;
    assert!((cut.hard - hard).abs() < 1e-9 && (cut.lost.mean - mean(less.iter().map(|less| less[1]))).abs() < 1e-9);
    assert!(cut.alive_lost > 5.0, "{cut:?}");
    assert!((cut.alive_lost - by_hand).abs() < 1e-9, "{cut:?} for {by_hand}");
}

#[test]
fn backup_air_forgives_a_power_cut_but_not_a_stone_that_stops() {
    let mut study = overcrowded();
    let mut owner = study.plans[0].clone();
    owner.name = "with backup".to_owned();
    owner.owns = Owned { backup_air: true, battery: true, ..Owned::default() };
    study.plans.push(owner);
    let found = tried(&study, 6);
    let lost = |plan: usize, setback| of(&found, plan, setback).alive_lost;
    let cut = [0, 1].map(|plan| lost(plan, Setback::PowerCut));
    let stopped = [0, 1].map(|plan| lost(plan, Setback::AirStop));
    eprintln!("alive lost of 100: four-hour cut {cut:.1?}, stone stops {stopped:.1?} (without, with backup air)");
    assert!(cut[0] > 5.0 && cut[1] < 0.3 * cut[0], "{cut:?}");
    // Backup air helps against a cut, not against a stone that stops.
    assert!((stopped[0] - stopped[1]).abs() < 0.3 * stopped[0].max(3.0), "{stopped:?}");
}

/// The same costs on one thread and on two, and a comparison does not change because setbacks are tried.
#[test]
fn costs_do_not_depend_on_threads() {
    let study = crowded(Some(Mishaps { power_cut: true, ..nothing() }));
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        pool.install(|| tried(&study, 3))
    };
    assert_eq!(on(1), on(2));
    let settings = Settings { seed: SEED, broods: 3, precision: None, likely_only: false };
    let found = compare(&study, &settings, &(), &AtomicBool::new(false)).expect("it runs");
    assert!(found.costs.is_empty());
}

/// One short feed a day, at the only visit: a morning that is missed costs a meal, and more than one that is late.
#[test]
fn a_missed_morning_costs_more_than_a_late_one() {
    let plans = "[[plan]]\nname = \"plan\"\nby_hand = { at = \"every visit\", dose = \"5 mL\" }";
    let study = Setting { fry: 60, days: 8, plans, ..Setting::default() }.study();
    let found = tried(&study, 40);
    assert!(found.iter().all(|cost| matches!(cost.setback, Setback::LateMorning | Setback::MissedMorning)));
    let [late, missed] = [Setback::LateMorning, Setback::MissedMorning].map(|setback| of(&found, 0, setback));
    eprintln!("one feed a day: late {:.1}, missed {:.1} alive of 100", late.alive_lost, missed.alive_lost);
    assert!(missed.alive_lost > late.alive_lost.max(0.5), "{late:?} {missed:?}");
}

/// A plan that nobody visits, or only on days that the brood does not see, cannot be late; it can still lose its power and
/// its air. One such plan once left the report without any cost of any plan.
#[test]
fn a_plan_that_nobody_visits_is_tried_all_the_same() {
    let mut study = overcrowded();
    (study.days, study.first_weekday, study.show_day) = (3, 0, 1);
    study.plans[0].line.as_mut().expect("a line").programme.truncate(3);
    let mut weekends = study.plans[0].clone();
    weekends.name = "weekends".to_owned();
    weekends.week[..5].iter_mut().for_each(|day| day.visits.clear());
    let mut never = weekends.clone();
    never.name = "never".to_owned();
    never.week.iter_mut().for_each(|day| day.visits.clear());
    study.plans.extend([weekends, never]);
    let found = tried(&study, 1);
    let of_plan = |plan: usize| found.iter().filter(|c| c.plan == plan).map(|c| c.setback).collect::<Vec<_>>();
    let (morning, failing) = ([Setback::LateMorning, Setback::MissedMorning], [Setback::PowerCut, Setback::AirStop]);
    assert_eq!(of_plan(0), [morning, failing].concat());
    assert_eq!((of_plan(1), of_plan(2)), (failing.to_vec(), failing.to_vec()));
}

/// A power cut is told for the moment at which it costs most, of those at every fourth hour, in the world of likely values;
/// of equals for the first.
#[test]
fn a_cut_is_told_for_its_worst_moment() {
    let mut study = overcrowded();
    (study.fry, study.days, study.show_day) = (80, 2, 1);
    study.tubs[0].numbers.volume_ml = Range::certain(100.0);
    study.plans[0].line.as_mut().expect("a line").programme.truncate(2);
    let world = worlds::likely(&study);
    let living = |at_h: u32| {
        let at = Moment(0) + Span::from_hours(f64::from(at_h));
        let forced = Some(Forced { setback: Setback::PowerCut, at });
        let play = |brood: u32| {
            let streams = Streams::new(SEED, 0, brood);
            let (study, world) = (&study, &world);
            let setup = BroodSetup { study, plan: 0, world, streams, mode: Mode::Leaps, show_day: false, forced };
            brood::run(&setup).alive
        };
        (1..=3).map(play).sum::<usize>()
    };
    let left: Vec<(usize, u32)> = (0..48).step_by(4).map(|at_h| (living(at_h), at_h)).collect();
    let fewest = left.iter().map(|&(fry, _)| fry).min().expect("tried");
    let most = left.iter().map(|&(fry, _)| fry).max().expect("tried");
    assert!(fewest + 30 < most, "the moment must matter: {left:?}");
    let cut = of(&tried(&study, 1), 0, Setback::PowerCut);
    let told = 24.0 * f64::from(cut.day - 1) + cut.hour;
    let fry = left.iter().find(|&&(_, at_h)| f64::from(at_h) == told).expect("a moment tried").0;
    assert_eq!(fry, fewest, "told for hour {told}: {left:?}");
}

/// Interrupts after so many broods, and counts them.
struct Impatient<'a> {
    after: u64,
    interrupt: &'a AtomicBool,
    played: AtomicU64,
}

impl Watcher for Impatient<'_> {
    fn progress(&self, done: u64, of: u64) {
        assert!(done <= of, "{done} of {of}");
        self.played.fetch_max(done, Ordering::Relaxed);
        if done >= self.after {
            self.interrupt.store(true, Ordering::Relaxed);
        }
    }
}

/// An interrupt is obeyed when the broods under way are done, and what was found up to then is told. One brood of every
/// further world was once played and thrown away.
#[test]
fn an_interrupt_plays_no_further_broods() {
    let study = Setting { fry: 5, days: 2, ..Setting::default() }.study();
    let whole = tried(&study, 30);
    assert_eq!(whole.len(), 2);
    // Two setbacks searched on two days, then three broods a world.
    let interrupt = AtomicBool::new(false);
    let watcher = Impatient { after: 4 * 4 + 3 * 10, interrupt: &interrupt, played: AtomicU64::new(0) };
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a thread");
    let found = pool.install(|| costs(&study, &settings(30), &watcher, &interrupt));
    assert_eq!(watcher.played.into_inner(), watcher.after, "not one more on a single thread");
    assert_eq!((found.len(), found[0].worlds), (2, 10));
}
