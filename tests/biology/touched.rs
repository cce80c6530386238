//! What each mishap and each setback touches, one thing at a time: light, heater, the reservoir's air, water changes,
//! stand-ins in a reservoir, culture liquid, the dead.

use std::sync::atomic::AtomicBool;

use frytub_sim::brood::diary::BroodRecord;
use frytub_sim::brood::{self, BroodSetup, Mode};
use frytub_sim::chance::Streams;
use frytub_sim::clock::{Moment, Span};
use frytub_sim::cultures::Calendar;
use frytub_sim::mishaps::Kind;
use frytub_sim::monte_carlo::{Settings, compare};
use frytub_sim::numbers::{LiquidNumbers, Range};
use frytub_sim::outcome::Cause;
use frytub_sim::setbacks::{Forced, Setback};
use frytub_sim::study::{Liquid, Mishaps, Owned, StandIn, Study};
use frytub_sim::water::{LIQUID_PER_DAY, rotting_at};
use frytub_sim::worlds;

use super::failing::{nothing, study as crowded};
use super::fouling::water;
use super::setbacks::{culture, food};
use crate::support::{SEED, Setting, likely_broods};

/// One brood with every number at its likely value, with a setback or without.
fn played(study: &Study, forced: Option<(Setback, f64)>) -> BroodRecord {
    let world = worlds::likely(study);
    let at = |hour: f64| Moment(0) + Span::from_hours(hour);
    let forced = forced.map(|(setback, hour)| Forced { setback, at: at(hour) });
    let streams = Streams::new(SEED, 1, 1);
    brood::run(&BroodSetup { study, plan: 0, world: &world, streams, mode: Mode::Leaps, show_day: true, forced })
}

/// Cuts that may be forced, and do not come by themselves.
fn only_forced() -> Option<Mishaps> {
    let mut mishaps = Mishaps { power_cut: true, ..nothing() };
    mishaps.numbers.power_cut_days = Range::certain(1e5);
    Some(mishaps)
}

/// Food that a sighted fish could see for one afternoon, which a power cut darkens.
#[test]
fn a_power_cut_turns_the_light_off() {
    let plans = "[[plan]]\nname = \"plan\"\nby_hand = { at = \"every visit\", dose = \"20 mL\" }";
    let mut study = Setting { days: 1, drip: "2 L/h", plans, ..Setting::default() }.study();
    study.mishaps = only_forced();
    study.fish.dark_share = Range::certain(0.0);
    let eaten = |forced| played(&study, forced).eaten_ug;
    let (lit, dark) = (eaten(None), eaten(Some((Setback::PowerCut, 8.05))));
    assert!(dark < 0.5 * lit, "{dark} of {lit} µg a fry");
}

/// A cut that goes on for weeks in a room of 20 °C: with backup air the water holds as much oxygen as water of that
/// temperature (Benson & Krause 1984: 9.09 mg/L; 7.83 at 28 °C).
#[test]
fn a_power_cut_lets_the_tub_cool() {
    let mut study = Setting { days: 4, ..Setting::default() }.study();
    study.tubs[0].water = Some(water(20.0));
    let mut mishaps = Mishaps { power_cut: true, ..nothing() };
    (mishaps.numbers.power_cut_days, mishaps.numbers.power_cut_h) = (Range::certain(0.2), Range::certain(200.0));
    mishaps.numbers.cools_per_h = Range::certain(5.0);
    study.mishaps = Some(mishaps);
    study.plans[0].owns = Owned { backup_air: true, ..Owned::default() };
    let record = played(&study, None);
    let last = *record.water.as_ref().and_then(|water| water.oxygen_mg_l.last()).expect("reckoned with");
    assert!((8.8..9.2).contains(&last), "{last} mg/L");
}

/// Yolk in a cone without air for four hours lies on the intake, and comes with the next feed; with backup air it does not.
#[test]
fn a_power_cut_stops_the_air_of_the_reservoir() {
    let mut study = crowded(only_forced());
    study.show_day = 2;
    let yolk = food(&study, "egg yolk");
    let first_after = |study: &Study| {
        let record = played(study, Some((Setback::PowerCut, 24.0 + 11.0)));
        record.doses.iter().find(|dose| dose.hour == 16.0).map(|dose| dose.fresh_ug[yolk] + dose.spoiled_ug[yolk])
    };
    let without = first_after(&study).expect("a feed");
    study.plans[0].owns.backup_air = true;
    let with = first_after(&study).expect("a feed");
    eprintln!("yolk of the feed after a cut: {without:.0} µg without air, {with:.0} µg with backup air");
    assert!(without > 1.05 * with, "{without} {with}");
}

/// A pump without a described line stops with the power, unless it has a battery.
#[test]
fn a_pump_without_a_line_stops_with_the_power() {
    let mut study = Setting { days: 1, ..Setting::default() }.study();
    study.mishaps = only_forced();
    let given = |study: &Study, forced| played(study, forced).food.given;
    let cut = Some((Setback::PowerCut, 15.0));
    // Two feeds a day: at 8:00, and at 16:00 in the cut.
    let (whole, half) = (given(&study, None), given(&study, cut));
    assert!((half / whole - 0.5).abs() < 0.02, "{half} of {whole} µg");
    study.plans[0].owns.battery = true;
    assert_eq!(given(&study, cut), whole);
}

/// On the day on which it is forgotten, and on no other, the water is not changed: of ammonia given off at the end of the
/// second day all is there still.
#[test]
fn a_forgotten_water_change_leaves_its_ammonia() {
    let mut study = Setting { fry: 60, days: 2, ..Setting::default() }.study();
    study.tubs[0].water = Some(water(2.0));
    study.keeper.changed_share = Range::certain(0.8);
    let washed = |forced| played(&study, forced).water.expect("reckoned with").account.washed;
    let (both, first, second) =
        (washed(None), washed(Some((Setback::SkippedChange, 24.0 + 8.0))), washed(Some((Setback::SkippedChange, 8.0))));
    assert!(first < 0.5 * both && second > 0.9 * both && second <= both * 1.05, "{both} {first} {second}");
}

/// A culture that is two days late: nothing of it until then, the same afterwards.
#[test]
fn a_late_culture_is_missing_for_two_days() {
    let mut study = Setting { days: 5, ..Setting::default() }.study();
    let rotifer = food(&study, "rotifer");
    study.cultures = vec![culture(rotifer, -20.0, 0.0, 1e5, 0.0)];
    let given = |forced| played(&study, forced).food.given;
    let late = given(Some((Setback::LateCulture(rotifer), 0.0))) / given(None);
    assert!((late - 0.6).abs() < 0.02, "{late} of five days' food");
}

/// What stands in for a missing food goes into the reservoir too; where nothing does, the fry starve for want of it.
#[test]
fn a_reservoir_is_filled_with_what_stands_in() {
    let mut study = crowded(None);
    let (rotifer, yolk) = (food(&study, "rotifer"), food(&study, "egg yolk"));
    let arrived = |study: &Study, food: usize| {
        played(study, None).doses.iter().map(|dose| dose.fresh_ug[food] + dose.spoiled_ug[food]).sum::<f64>()
    };
    let (rotifers, plain) = (arrived(&study, rotifer), arrived(&study, yolk));
    study.cultures = vec![culture(rotifer, 50.0, 0.0, 1e5, 0.0)];
    assert!(rotifers > 0.0 && arrived(&study, rotifer) == 0.0);
    assert!((arrived(&study, yolk) / plain - 1.0).abs() < 0.01, "nothing stands in");
    study.plans[0].stand_ins = vec![StandIn { food: rotifer, instead: yolk }];
    assert!(arrived(&study, yolk) > 1.2 * plain, "{} of {plain} µg", arrived(&study, yolk));
    // And the deaths by hunger fall to the culture.
    study.plans[0].stand_ins.clear();
    study.mixes[0].parts.retain(|part| part.food == rotifer);
    (study.days, study.tubs[0].water) = (8, None);
    study.plans[0].line.as_mut().expect("a line").programme.resize(8, Vec::new());
    for day in 6..8 {
        let line = study.plans[0].line.as_mut().expect("a line");
        line.programme[day] = line.programme[0].clone();
    }
    let record = played(&study, None);
    let hungry = record.deaths.iter().filter(|death| death.cause == Cause::NoFood);
    assert!(hungry.clone().count() > 20 && hungry.clone().all(|death| death.mishap == Some(Kind::Culture)));
}

/// Liquid of so many doses, each rotting from its hour on: nitrogen by hand, with a pump of its own and through a line.
#[test]
fn liquid_comes_once_with_every_dose() {
    let liquid = LiquidNumbers { share: 0.5, acid_meq_ml: 0.0, oxygen_mg_ml: 0.0, nitrogen_mg_ml: 0.4 };
    let liquid = Liquid { name: "liquid".to_owned(), numbers: liquid.map(|_, &value| Range::certain(value)) };
    let mut study = Setting { days: 3, ..Setting::default() }.study();
    study.tubs[0].water = Some(water(5.0));
    study.mixes[0].liquid = Some(liquid.clone());
    let given = |study: &Study| played(study, None).water.expect("reckoned with").account.from_liquid;
    let rate = LIQUID_PER_DAY / 24.0 * rotting_at(28.0);
    let from = |hours: f64| -(-rate * hours).exp_m1();
    // 10 mL at 8:00 and 16:00 of three days; 3 of 4 parts of the nitrogen become ammonia.
    let doses = [64.0, 56.0, 40.0, 32.0, 16.0, 8.0].map(from);
    let by_hand = 10.0 * 0.5 * 0.4 * 0.75 * doses.iter().sum::<f64>();
    let by_pump = given(&study);
    // Each dose pushes half a hundredth of the water out.
    assert!((by_pump / by_hand - 1.0).abs() < 0.015, "{by_pump} mg for {by_hand}");
    let mut line = crowded(None);
    line.mixes[0].liquid = Some(liquid);
    line.days = 2;
    line.plans[0].line.as_mut().expect("a line").programme.truncate(2);
    let through_line = given(&line);
    let most = 2.0 * 7.0 * 20.0 * 0.5 * 0.4 * 0.75;
    assert!((0.5 * most..most).contains(&through_line), "{through_line} of {most} mg");
}

/// In a brood that nobody feeds nothing rots but the dead, and they take oxygen.
#[test]
fn the_dead_rot() {
    let lowest = |decay_oxygen: f64| {
        let mut study = Setting { fry: 300, days: 9, volume: "1 L", ..Setting::default() }.study();
        study.cultures = vec![culture(food(&study, "rotifer"), 50.0, 0.0, 1e5, 0.0)];
        let mut numbers = water(0.0);
        (numbers.surface_cm_h, numbers.decay_oxygen) = (Range::certain(0.5), Range::certain(decay_oxygen));
        study.tubs[0].water = Some(numbers);
        let water = likely_broods(&study, 0, Mode::Leaps, 1)[0].water.clone().expect("reckoned with");
        water.oxygen_mg_l.iter().copied().fold(f64::INFINITY, f64::min)
    };
    let (hardly, much) = (lowest(0.1), lowest(1.3));
    assert!(much < hardly - 0.5, "{much} against {hardly} mg/L");
}

/// Deaths told by mishap are in fry of 100 like those told by day, and never more than those.
#[test]
fn deaths_by_mishap_are_part_of_all_deaths() {
    let study = crowded(Some(Mishaps { power_cut: true, air_stop: true, clog: true, slip: true, ..nothing() }));
    let settings = Settings { seed: SEED, broods: 3, precision: None, likely_only: true };
    let found = compare(&study, &settings, &(), &AtomicBool::new(false)).expect("it runs");
    let plan = &found.plans[0];
    let mut blamed = 0.0;
    for cause in Cause::ALL {
        let all: f64 = plan.deaths.iter().map(|day| day[cause.index()]).sum();
        let by_mishap: f64 = plan.by_mishap.iter().map(|causes| causes[cause.index()]).sum();
        assert!(by_mishap <= all + 1e-9, "{cause:?}: {by_mishap} of {all}");
        blamed += by_mishap;
    }
    assert!(blamed > 1.0, "{blamed} of 100 fry");
    // The worst that is told of the water is as bad as the worst point of its curve, on average over worlds.
    let water = plan.water.as_ref().expect("reckoned with");
    let lowest = water.points.iter().map(|point| point.oxygen_mg_l.mean).fold(f64::INFINITY, f64::min);
    assert!(water.worst_oxygen_mg_l.mean <= lowest + 1e-6, "{} {lowest}", water.worst_oxygen_mg_l.mean);
}

/// A tube that slips at 10:00 lies under water until the visit at 8:00 next day and no longer. Fry that went in die when
/// the pump next runs, and fall to the slip.
#[test]
fn a_slipped_tube_is_hung_up_again() {
    let mut mishaps = Mishaps { slip: true, ..nothing() };
    mishaps.numbers.slip_days = Range::certain(1e5);
    let mut study = crowded(Some(mishaps));
    let more = Setting { tub: "outlet = { sponge_face = \"50 cm2\", rim = \"60 mm\" }", ..Setting::default() }.study();
    study.tubs[0].outlet = more.tubs[0].outlet.clone();
    let record = played(&study, Some((Setback::Slip, 10.0)));
    assert!((record.under_water_h - 22.0).abs() < 0.1, "{} h under water", record.under_water_h);
    let lost: Vec<_> = record.deaths.iter().filter(|death| death.cause == Cause::FeedTube).collect();
    assert!(lost.len() > 10, "{}", lost.len());
    assert!(lost.iter().all(|death| death.mishap == Some(Kind::Slip)), "{lost:?}");
    // The last run that can find any is that of 8:00 on day 2.
    assert!(lost.iter().all(|death| death.hour < 24.0 + 8.1 && (death.hour / 2.0).fract() < 0.02), "{lost:?}");
}

/// A timer's clock that a cut has put back is set at the next visit: on day 3 it feeds at 8:00 again.
#[test]
fn the_keeper_sets_the_clock() {
    let mut study = crowded(only_forced());
    (study.lines[0].timer.keeps_clock, study.show_day) = (false, 3);
    let rotifer = food(&study, "rotifer");
    let record = played(&study, Some((Setback::PowerCut, 24.0 + 11.0)));
    let most = |from: f64, to: f64| {
        let between = record.looks.iter().filter(|look| (from..to).contains(&look.hour));
        between.map(|look| look.in_water[rotifer]).fold(0.0, f64::max)
    };
    let (before, after) = (most(7.5, 8.0), most(8.01, 9.0));
    assert!(after > before + 0.5, "{after} rotifers a mL after 8:00, {before} before");
}

/// Fry that starve for want of a culture, and through a power cut some hours before the last feed that it failed to bring:
/// of two mishaps the one that acted last is told.
#[test]
fn of_two_mishaps_the_later_is_blamed() {
    let mut study = Setting { days: 9, ..Setting::default() }.study();
    study.mishaps = only_forced();
    study.cultures = vec![culture(food(&study, "rotifer"), 50.0, 0.0, 1e5, 0.0)];
    let at_h = 5.0 * 24.0 + 10.0;
    let record = played(&study, Some((Setback::PowerCut, at_h)));
    let after = |hours: &std::ops::Range<f64>, kind| {
        let hungry = record.deaths.iter().filter(|d| d.cause == Cause::NoFood && hours.contains(&d.hour));
        hungry.filter(|death| death.mishap == Some(kind)).count()
    };
    // Until the feed of 16:00 the cut that ended at 14:00, or lasts, is the later one; from then on the culture.
    let (during, later) = (at_h..at_h + 6.0, at_h + 6.1..at_h + 40.0);
    assert_eq!(after(&during, Kind::Culture), 0);
    assert_eq!(after(&later, Kind::PowerCut), 0);
    assert!(after(&later, Kind::Culture) > 2, "{:?}", record.deaths);
}

/// Plans that feed the same food from the same day have it missing at the same times, whatever they are called.
#[test]
fn plans_share_the_times_at_which_a_culture_fails() {
    let mut study = Setting { days: 40, ..Setting::default() }.study();
    study.cultures = vec![culture(food(&study, "rotifer"), 1.0, 3.0, 8.0, 3.0)];
    let mut other = study.plans[0].clone();
    other.name = "another".to_owned();
    study.plans.push(other);
    let world = worlds::likely(&study);
    for brood in 0..10 {
        let streams = Streams::new(SEED, 1, brood);
        let [one, two] = [0, 1].map(|plan| Calendar::draw(&study, &study.plans[plan], &world, &streams, None));
        assert_eq!(one, two);
        assert_ne!(one, Calendar::default());
    }
}

/// A late morning is three hours late, a missed one does not happen; the other days are as punctual as ever.
#[test]
fn a_forced_morning_is_late_or_missed() {
    let study = Setting::default().study();
    let told = |setback: Option<Setback>| {
        let record = played(&study, setback.map(|setback| (setback, 24.0 + 8.0)));
        (record.visits, record.lateness_min.round())
    };
    assert_eq!(told(None), (3, 0.0));
    assert_eq!(told(Some(Setback::LateMorning)), (3, 180.0));
    assert_eq!(told(Some(Setback::MissedMorning)), (2, 0.0));
}
