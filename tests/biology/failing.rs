//! What goes wrong, and what helps against it: direction, and that nothing else moves. Sizes rest on estimates.

use frytub_sim::brood::Mode;
use frytub_sim::brood::diary::BroodRecord;
use frytub_sim::chance::Streams;
use frytub_sim::numbers::{MishapNumbers, Range};
use frytub_sim::outcome::Cause;
use frytub_sim::study::{Mishaps, Owned, Study};
use frytub_sim::worlds;

use super::fouling::water;
use crate::support::{SEED, Setting, likely_broods, mean, run};

fn numbers() -> MishapNumbers<f64> {
    MishapNumbers {
        power_cut_days: 1.0,
        power_cut_h: 6.0,
        air_stop_days: 1.0,
        clog_days: 0.3,
        slip_days: 0.3,
        slips_to_mm: -10.0,
        room_c: 20.0,
        cools_per_h: 0.12,
    }
}

/// Nothing may happen but what is switched on.
pub fn nothing() -> Mishaps {
    let numbers = numbers().map(|_, &value| Range::certain(value));
    Mishaps { numbers, power_cut: false, air_stop: false, clog: false, slip: false }
}

const LINE: &str = "[[reservoir]]\nname = \"cone\"\nkind = \"steep cone\"\n\
    [feed_line]\npump = \"20 mL/min\"\ntimer = \"one-minute timer\"\ntube_length = \"50 cm\"\ntube_bore = \"4 mm\"\n\
    tube_end = \"40 mm\"\nabove_tub = \"30 cm\"\n";

/// A crowded, aerated tub with a feed line, visited once a day.
pub fn study(mishaps: Option<Mishaps>) -> Study {
    let setting = Setting {
        fry: 400,
        days: 6,
        volume: "1 L",
        mix: "rotifer = \"400 per mL\"\n\"egg yolk\" = \"0.1 mg per mL\"",
        plans: "[[plan]]\nname = \"plan\"\nby_pump = { at = \"every 120 min from 08:00 to 20:00\", dose = \"20 mL\" }",
        more: LINE,
        ..Setting::default()
    };
    let mut study = setting.study();
    let mut numbers = water(6.0);
    // A deep, narrow tub, so that it lives by its stone.
    numbers.surface_cm_h = Range::certain(0.2);
    study.tubs[0].water = Some(numbers);
    study.mishaps = mishaps;
    study
}

fn lost(records: &[BroodRecord], cause: Cause) -> f64 {
    mean(records.iter().map(|r| r.deaths.iter().filter(|death| death.cause == cause).count() as f64))
}

#[test]
fn with_every_mishap_switched_off_nothing_moves() {
    let (plain, off) = (study(None), study(Some(nothing())));
    for brood in 0..3 {
        let streams = Streams::new(SEED, 1, brood);
        let a = run(&plain, 0, &worlds::likely(&plain), streams, Mode::Leaps);
        let b = run(&off, 0, &worlds::likely(&off), streams, Mode::Leaps);
        // Written out, since what is not a number equals nothing.
        assert!(format!("{a:?}") == format!("{b:?}"), "brood {brood} differs");
    }
}

#[test]
fn a_power_cut_suffocates_a_crowded_tub_and_backup_air_saves_it() {
    let cuts = study(Some(Mishaps { power_cut: true, ..nothing() }));
    let mut saved = cuts.clone();
    saved.plans[0].owns = Owned { backup_air: true, battery: true, ..Owned::default() };
    let (plain, cut, saved) = (
        likely_broods(&study(None), 0, Mode::Leaps, 6),
        likely_broods(&cuts, 0, Mode::Leaps, 6),
        likely_broods(&saved, 0, Mode::Leaps, 6),
    );
    let all = [&plain, &cut, &saved].map(|records| lost(records, Cause::NoOxygen));
    eprintln!(
        "lost to lack of oxygen, of 400: no cut {:.0}, cuts {:.0}, cuts with backup air {:.0}",
        all[0], all[1], all[2]
    );
    assert!(all[0] < 1.0 && all[1] > 30.0 && all[2] < 0.2 * all[1], "{all:?}");
}

#[test]
fn a_stone_that_stops_is_put_right_at_the_next_visit() {
    let stops = study(Some(Mishaps { air_stop: true, ..nothing() }));
    let mut rare = stops.clone();
    for day in &mut rare.plans[0].week {
        day.visits.truncate(0);
    }
    let seldom = lost(&likely_broods(&rare, 0, Mode::Leaps, 6), Cause::NoOxygen);
    let daily = lost(&likely_broods(&stops, 0, Mode::Leaps, 6), Cause::NoOxygen);
    eprintln!("lost to lack of oxygen, of 400, when stones stop: visited daily {daily:.0}, never {seldom:.0}");
    assert!(seldom > daily, "{seldom} {daily}");
}

#[test]
fn a_clogged_line_starves_and_a_slipped_tube_catches_fry() {
    let mishaps = |clog: bool, slip: bool| study(Some(Mishaps { clog, slip, ..nothing() }));
    let given = |study: &Study| mean(likely_broods(study, 0, Mode::Leaps, 4).iter().map(|r| r.eaten_ug));
    let (plain, clogged) = (given(&study(None)), given(&mishaps(true, false)));
    assert!(clogged < 0.9 * plain, "{clogged} of {plain} µg a fry");
    let slipped = likely_broods(&mishaps(false, true), 0, Mode::Leaps, 4);
    assert!(lost(&slipped, Cause::FeedTube) > 3.0, "{}", lost(&slipped, Cause::FeedTube));
    assert!(lost(&likely_broods(&study(None), 0, Mode::Leaps, 4), Cause::FeedTube) < 1e-9);
}

/// A timer that forgets its clock runs late until somebody sets it: feeds wander, and none is lost that day.
#[test]
fn a_timer_that_forgets_its_clock_feeds_late() {
    let mut cuts = study(Some(Mishaps { power_cut: true, ..nothing() }));
    for line in &mut cuts.lines {
        line.timer.keeps_clock = false;
    }
    let mut keeps = cuts.clone();
    for line in &mut keeps.lines {
        line.timer.keeps_clock = true;
    }
    let eaten = |study: &Study| mean(likely_broods(study, 0, Mode::Leaps, 4).iter().map(|r| r.eaten_ug));
    let (forgets, remembers) = (eaten(&cuts), eaten(&keeps));
    assert!((forgets / remembers - 1.0).abs() > 1e-6, "the clock must matter: {forgets} {remembers}");
}
