//! What goes wrong, and what helps against it: direction, and that nothing else moves. Sizes rest on estimates.

use frytub_sim::brood::diary::BroodRecord;
use frytub_sim::brood::{self, BroodSetup, Mode};
use frytub_sim::chance::Streams;
use frytub_sim::clock::{Moment, Span};
use frytub_sim::mishaps;
use frytub_sim::numbers::{MishapNumbers, Range};
use frytub_sim::outcome::Cause;
use frytub_sim::setbacks::{Forced, Setback};
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
        live_clogs_less: 1.0,
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

/// A line clogs with yolk; with live food alone so much less often. Half of the dry mass of the mix is yolk, and all of it
/// once the rotifers are taken out.
#[test]
fn a_line_clogs_less_often_with_live_food() {
    let clogged = |yolk_only: bool, live_only: bool, less: f64| {
        let mut study = study(Some(Mishaps { clog: true, ..nothing() }));
        if let Some(mishaps) = &mut study.mishaps {
            mishaps.numbers.live_clogs_less = Range::certain(less);
        }
        let foods = study.foods.clone();
        study.mixes[0].parts.retain(|part| {
            let is_alive = foods[part.food].sort.is_alive();
            (is_alive || !live_only) && (!is_alive || !yolk_only)
        });
        // Food that the pump brings, in what the doses would bring.
        let arrived = |r: &BroodRecord| 1.0 - (r.food.kept + r.food.in_tube) / r.food.given;
        mean(likely_broods(&study, 0, Mode::Leaps, 6).iter().map(arrived))
    };
    let live = [1.0, 100.0].map(|less| clogged(false, true, less));
    let yolk = [1.0, 100.0].map(|less| clogged(true, false, less));
    eprintln!(
        "arrived with live food {live:.2?}, with yolk {yolk:.2?} (clogging as often, a hundred times less often)"
    );
    assert!(live[1] > live[0] + 0.1, "{live:?}");
    assert!((yolk[0] - yolk[1]).abs() < 1e-12, "{yolk:?}");
}

/// Pump feeds planned for day 2 of one brood, with power cuts that hardly come by themselves and one that is forced: hour
/// and millilitres that arrived.
fn fed(study: &Study, brood: u32, at_h: f64) -> Vec<(f64, f64)> {
    let forced = Forced { setback: Setback::PowerCut, at: Moment::start_of_day(2) + Span::from_hours(at_h) };
    let world = worlds::likely(study);
    let streams = Streams::new(SEED, 1, brood);
    let setup =
        BroodSetup { study, plan: 0, world: &world, streams, mode: Mode::Leaps, show_day: true, forced: Some(forced) };
    brood::run(&setup).doses.iter().map(|dose| (dose.hour, dose.arrived_ml)).collect()
}

fn rare_cuts(keeps_clock: bool) -> Study {
    let mut study = study(Some(Mishaps { power_cut: true, ..nothing() }));
    if let Some(mishaps) = &mut study.mishaps {
        mishaps.numbers.power_cut_days = Range::certain(1e5);
    }
    study.lines[0].timer.keeps_clock = keeps_clock;
    study.show_day = 2;
    study
}

/// A timer that forgets its clock runs late until somebody sets it: feeds wander, and none is lost that day. One that goes
/// on by itself loses what falls into the cut, here the feeds of 12:00 and 14:00 to a cut from 11:00 to 15:00.
#[test]
fn a_timer_that_forgets_its_clock_feeds_late_and_loses_nothing() {
    let (forgets, keeps) = (fed(&rare_cuts(false), 1, 11.0), fed(&rare_cuts(true), 1, 11.0));
    assert_eq!((forgets.len(), keeps.len()), (7, 7));
    assert!(forgets.iter().all(|&(_, ml)| ml > 0.0), "{forgets:?}");
    let lost: Vec<f64> = keeps.iter().filter(|(_, ml)| *ml == 0.0).map(|&(hour, _)| hour).collect();
    assert_eq!(lost, [12.0, 14.0]);
    // What it brings late is eaten late.
    let eaten = |keeps_clock: bool| {
        let mut cuts = study(Some(Mishaps { power_cut: true, ..nothing() }));
        cuts.lines[0].timer.keeps_clock = keeps_clock;
        mean(likely_broods(&cuts, 0, Mode::Leaps, 4).iter().map(|r| r.eaten_ug))
    };
    let (forgets, remembers) = (eaten(false), eaten(true));
    assert!((forgets / remembers - 1.0).abs() > 1e-6, "the clock must matter: {forgets} {remembers}");
}

/// A cut of four hours that begins within a short one lasts four hours from then on. It once ended with the short one.
#[test]
fn a_cut_within_a_cut_makes_it_longer() {
    let mut study = rare_cuts(true);
    if let Some(mishaps) = &mut study.mishaps {
        (mishaps.numbers.power_cut_days, mishaps.numbers.power_cut_h) = (Range::certain(4.0), Range::certain(0.3));
    }
    let (world, mishaps) = (worlds::likely(&study), study.mishaps.clone().expect("described"));
    let numbers = world.mishaps.as_ref().expect("drawn");
    let hour = |at: Moment| (at - Moment::start_of_day(2)).hours();
    let only_cut = |brood: u32| {
        let drawn = mishaps::draw(&mishaps, numbers, &Streams::new(SEED, 1, brood), study.days);
        let of_day: Vec<_> = drawn.iter().filter(|cut| (-4.0..24.0).contains(&hour(cut.at))).copied().collect();
        (of_day.len() == 1 && (8.5..12.0).contains(&hour(of_day[0].at)) && of_day[0].lasts < Span::from_hours(1.0))
            .then(|| (brood, hour(of_day[0].at), of_day[0].lasts.hours()))
    };
    let (brood, from, lasts) = (0..500).find_map(only_cut).expect("one such brood among so many");
    let within = from + 0.5 * lasts;
    for (at, ml) in fed(&study, brood, within) {
        let is_off = (from..within + 4.0).contains(&at);
        assert_eq!(ml == 0.0, is_off, "{ml} mL at {at}, no power from {from} to {}", within + 4.0);
    }
}

/// A clock so late that a feed would come after the last hour of the brood: the feed is counted as one that did not come,
/// in its place. It was once missing in some broods, and the others' feeds were added to its neighbours'.
#[test]
fn every_brood_tells_of_the_same_pump_feeds() {
    let mut study = study(Some(Mishaps { power_cut: true, ..nothing() }));
    study.lines[0].timer.keeps_clock = false;
    study.show_day = study.days;
    for brood in 0..6 {
        let record = &run(&study, 0, &worlds::likely(&study), Streams::new(SEED, 1, brood), Mode::Leaps);
        let hours: Vec<f64> = record.doses.iter().map(|dose| dose.hour).collect();
        assert_eq!(hours, [8.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0], "brood {brood}");
    }
}

/// In a tub without a stone neither a stone that stops nor a power cut takes the air away, and no death is laid at their
/// door; nor at that of a cut where backup air goes on.
#[test]
fn what_takes_no_air_away_is_not_blamed_for_want_of_it() {
    let both = study(Some(Mishaps { power_cut: true, air_stop: true, ..nothing() }));
    let mut still = both.clone();
    still.tubs[0].air = false;
    still.tubs[0].water = Some(water(0.0));
    let mut backed = study(Some(Mishaps { power_cut: true, ..nothing() }));
    backed.plans[0].owns = Owned { backup_air: true, ..Owned::default() };
    backed.tubs[0].water = Some(water(0.01));
    for (name, study) in [("still", still), ("backup", backed)] {
        let records = likely_broods(&study, 0, Mode::Leaps, 3);
        let suffocated = records.iter().flat_map(|r| &r.deaths).filter(|death| death.cause == Cause::NoOxygen);
        assert!(suffocated.clone().count() > 100, "{name}: {}", suffocated.clone().count());
        let blamed = suffocated.filter(|death| death.mishap.is_some()).count();
        assert_eq!(blamed, 0, "{name}");
    }
    let records = likely_broods(&both, 0, Mode::Leaps, 3);
    let suffocated = records.iter().flat_map(|r| &r.deaths).filter(|death| death.cause == Cause::NoOxygen);
    let blamed = suffocated.filter(|death| death.mishap.is_some()).count();
    assert!(blamed > 100, "where there is a stone they are: {blamed}");
}
