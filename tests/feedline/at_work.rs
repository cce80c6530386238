//! A feed line at work in a brood: late keepers, midnights, the last evening, spills. Each test stands for something that
//! once went wrong.
//!
//! Knows what a breeder would write and what is told of a brood; nothing of how a line is built.

use frytub_sim::brood::Mode;
use frytub_sim::chance::Streams;
use frytub_sim::clock::{Moment, TimeOfDay};
use frytub_sim::cultures::Calendar;
use frytub_sim::feedline::rig::Rig;
use frytub_sim::feedline::trial::trials;
use frytub_sim::monte_carlo::{Settings, compare};
use frytub_sim::numbers::Range;
use frytub_sim::outcome::{Cause, RemedyKind};
use frytub_sim::study::Study;
use frytub_sim::worlds;

use crate::support::{SEED, Setting, example_study, run};

/// Two litres with a pump that feeds rotifers from a cylinder, 100 in a mL, 5 mL a minute.
fn study(plan: &str, tub: &str, days: u32) -> Study {
    let plans = format!("[[plan]]\nname = \"plan\"\n{plan}");
    let more = "[[reservoir]]\nname = \"it\"\nkind = \"cylinder\"\nair = \"300 mL/min\"\n\
                [feed_line]\npump = \"5 mL/min\"\npump_drift = \"1\"\nroller = \"0 mL\"\ntimer = \"one-minute timer\"\n\
                tube_length = \"20 cm\"\ntube_bore = \"4 mm\"\ntube_end = \"40 mm\"\nabove_tub = \"20 cm\"\n";
    Setting { days, plans: &plans, tub, more, ..Setting::default() }.study()
}

fn at(day: u32, hour: u16) -> Moment {
    Moment::on_day(day, TimeOfDay::from_minutes(60 * hour).expect("an hour of the day"))
}

/// A two-minute run at 23:59 was taken for one of the day after, and the reservoir aged a day in a moment.
#[test]
fn a_run_that_begins_just_before_midnight_belongs_to_its_day() {
    let study = study("by_pump = { at = [\"12:00\", \"23:59\"], dose = \"10 mL\" }", "", 3);
    let record = run(&study, 0, &worlds::likely(&study), Streams::new(SEED, 1, 1), Mode::Leaps);
    let hours: Vec<f64> = record.doses.iter().map(|dose| dose.hour).collect();
    assert_eq!(hours.len(), 2, "the feeds of day 1: {hours:?}");
    assert!((hours[1] - 23.983).abs() < 1e-3, "{hours:?}");
}

/// What a pump still had to bring at the end of the last day was in no account.
#[test]
fn food_still_to_come_on_the_last_evening_is_accounted_for() {
    let study = study("by_pump = { at = [\"12:00\", \"23:50\"], dose = \"100 mL\", fill = \"300 mL\" }", "", 2);
    let world = worlds::likely(&study);
    let record = run(&study, 0, &world, Streams::new(SEED, 1, 1), Mode::Leaps);
    // Two fillings of 300 mL with 100 in each.
    let poured = 2.0 * 300.0 * 100.0 * world.larder.item_mass_ug[0];
    assert!((record.food.given / poured - 1.0).abs() < 1e-9, "{} of {poured} µg", record.food.given);
}

/// A keeper who came after the next visit was already due filled for the hours that had passed, and the pump ran dry.
#[test]
fn a_very_late_keeper_fills_for_the_feeds_still_to_come() {
    let plan = "visits = [\"08:00\", \"10:00\"]\n\
                by_pump = { at = \"every 60 min from 08:30 to 20:30\", dose = \"20 mL\", refill = \"every visit\" }";
    let study = study(plan, "", 2);
    let world = worlds::likely(&study);
    let mut rig = Rig::new(&study, 0, &world).expect("a feed line");
    rig.refill(at(1, 8), at(1, 8), &Calendar::default());
    // The visit of 10:00 was on time, that of 08:00 on day 2 likewise; now that of 10:00 on day 1 comes at 12:00.
    rig.refill(at(1, 12), at(1, 8), &Calendar::default());
    let to_come = 9.0 * 20.0;
    assert!(rig.vessel.volume_ml - rig.vessel.unreached_ml() >= to_come, "{} mL", rig.vessel.volume_ml);
}

/// With no feed to come before the next filling, what the pump cannot reach was poured in all the same, to be thrown away.
#[test]
fn nothing_is_poured_in_for_no_feeds() {
    let plan = "visits = [\"08:00\", \"21:00\"]\n\
                by_pump = { at = [\"09:00\", \"12:00\"], dose = \"20 mL\", refill = \"every visit\" }";
    let study = study(plan, "", 2);
    let world = worlds::likely(&study);
    let mut rig = Rig::new(&study, 0, &world).expect("a feed line");
    rig.refill(at(1, 8), at(1, 8), &Calendar::default());
    let once = rig.poured[0];
    rig.refill(at(1, 21), at(1, 21), &Calendar::default());
    assert!(once > 0.0);
    assert_eq!(rig.poured[0], once);
}

/// Fry that a dose had carried over the rim stayed in the tub if no more water followed.
#[test]
fn a_dose_that_runs_over_carries_fry_with_it() {
    let mut study = study(
        "by_hand = { at = [\"08:00\"], dose = \"1900 mL\" }",
        "outlet = { sponge_face = \"10 cm2\", rim = \"1 mm\" }",
        3,
    );
    let outlet = study.tubs[study.plans[0].tub].outlet.as_mut().expect("an outlet");
    outlet.numbers.rim_share = Range::certain(1.0);
    let record = run(&study, 0, &worlds::likely(&study), Streams::new(SEED, 1, 1), Mode::Leaps);
    let over = record.deaths.iter().filter(|death| death.cause == Cause::OverRim).count();
    // Three times nearly half of the water goes over: 1 − e^(−3 × 0.49) of those swimming.
    assert!(over >= 10, "{over} of {}", record.fry);
}

/// The chart of mouths and foods left out what the pump draws from its reservoir.
#[test]
fn food_in_the_reservoir_is_among_the_foods_offered() {
    let study = example_study("box-or-cone");
    let settings = Settings { seed: SEED, broods: 1, precision: None, likely_only: true };
    let found = compare(&study, &settings, &(), &false.into()).expect("a comparison");
    for bands in &found.bands {
        let names: Vec<&str> = bands.iter().map(|band| band.name.as_str()).collect();
        for food in ["egg yolk", "microworm", "Paramecium"] {
            assert!(names.contains(&food), "{food} is not among {names:?}");
        }
        let yolk = bands.iter().find(|band| band.name == "egg yolk").expect("yolk");
        assert_eq!(yolk.offered, [(1, 8)]);
    }
}

/// Of a filling that another remedy pours in on another day, with another mix, more than all seemed to arrive.
#[test]
fn a_second_filling_is_judged_by_its_own_mix() {
    let plan = "by_pump = { at = [\"09:00\", \"18:00\"], dose = \"20 mL\", refill = \"every 2 days\" }";
    let mut study = study(plan, "", 4);
    // Ten times as many in a mL from day 2 on.
    let mut denser = study.mixes[0].clone();
    for part in &mut denser.parts {
        part.content = frytub_sim::study::Content::Items(Range::certain(1000.0));
    }
    study.mixes.push(denser);
    let line = study.plans[0].line.as_ref().expect("a line").recipe;
    study.recipes[line].stages.push(frytub_sim::study::Stage { from_day: 2, mix: study.mixes.len() - 1, times: 1.0 });
    let found = trials(&study, SEED, 4);
    let twice = found[0].remedies.iter().find(|remedy| remedy.what == RemedyKind::FilledTwice).expect("two fillings");
    assert!((50.0..=110.0).contains(&twice.delivered_fresh.median), "{:?}", twice.delivered_fresh);
}

/// A fry that starved in the hour in which it came to the tube's end died twice.
#[test]
fn a_fry_that_starves_at_the_tubes_end_dies_once() {
    let plan = "first_feed = \"day 9\"\nfeed_line = { tube_end = \"-5 mm\", entry = \"0.01 per h\" }\n\
                by_pump = { at = [\"12:00\"], dose = \"5 mL\" }";
    let study = study(plan, "", 8);
    let world = worlds::likely(&study);
    let mut causes = Vec::new();
    for brood in 1..=60 {
        let record = run(&study, 0, &world, Streams::new(SEED, 1, brood), Mode::Leaps);
        assert_eq!(record.alive + record.deaths.len(), record.fry, "brood {brood}");
        causes.extend(record.deaths.iter().map(|death| death.cause));
    }
    assert!(causes.contains(&Cause::FeedTube) && causes.contains(&Cause::NoFood), "both must happen: {causes:?}");
}

/// Numbers that nothing reads stood among the uncertain ones, and raised what counts as chance: how hand-fed food would
/// stick in a reservoir, how much a reservoir holds (a keeper fills by the likely value), how high it stands.
#[test]
fn numbers_that_nothing_reads_are_not_uncertain() {
    let mut study = example_study("box-or-cone");
    study.reservoirs[0].numbers.volume_ml = Range::new(900.0, 1000.0, 1100.0).expect("a range");
    study.lines[0].numbers.above_mm = Range::new(200.0, 300.0, 400.0).expect("a range");
    let names: Vec<String> = worlds::uncertain(&study).into_iter().map(|slot| slot.name).collect();
    let sticking: Vec<&str> = names.iter().filter_map(|name| name.strip_suffix(": stick_chance")).collect();
    assert_eq!(sticking, ["egg yolk", "microworm"]);
    assert!(!names.iter().any(|name| name == "reservoir: volume_ml" || name == "feed line: above_mm"), "{names:?}");
}

/// Runs that overlapped, or were no numbers, went into a brood.
#[test]
fn runs_that_cannot_be_are_refused() {
    let sound = study("by_pump = { at = [\"12:00\", \"13:00\"], dose = \"10 mL\" }", "", 2);
    assert_eq!(sound.verify(), Ok(()));
    for minutes in [f64::NAN, -1.0, 61.0] {
        let mut study = sound.clone();
        study.plans[0].line.as_mut().expect("a line").programme[0][0].minutes = minutes;
        assert!(study.verify().is_err(), "{minutes} min");
    }
}
