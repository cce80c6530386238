//! One filling of a reservoir tried out without fry: what each feed brings, where the rest is, and what would help.
//!
//! The keeper is punctual here; lateness belongs to the broods.

use super::refills::{fill_ml, planned, runs};
use super::rig::{self, Rig};
use crate::clock::{Moment, Span};
use crate::cultures::Calendar;
use crate::food::batch::FoodClass;
use crate::jar_tests::{self, Prior};
use crate::numbers::Range;
use crate::outcome::{FeedTrial, FillBalance, FoodTrial, Remedy, RemedyKind, ReservoirTrial, Spread, TestWorth};
use crate::statistics::spread;
use crate::study::{JarKind, JarTest, Plan, Run, Shape, Stone, Study};
use crate::worlds::{self, Drawn, World};

/// Temperature of a cold box, °C.
const COLD_C: f64 = 8.0;
/// Slope of a steep cone, degrees.
const STEEP_DEG: f64 = 60.0;
/// Width of the steep cone that is tried, mm.
const CONE_MM: f64 = 100.0;
/// Air of the steep cone if the reservoir has none, mL/min.
const CONE_AIR: f64 = 300.0;
/// Water below which the pump draws air in a cone, mL (estimate).
const CONE_DRY_ML: f64 = 5.0;
/// Jar tests are read after so long, min, and a still jar is so high, mm.
const READ_AFTER_MIN: f64 = 30.0;
const JAR_MM: f64 = 100.0;
/// Error of reading a jar test by eye, as a share of the whole (estimate).
pub const READING_ERROR: f64 = 0.07;

/// Which troubles befall food on its way, to tell them apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// All, as it is.
    All,
    /// Only settling in the reservoir.
    Settling,
    /// Only ageing in the reservoir.
    Ageing,
    /// Only settling and ageing in the tube.
    Tube,
    /// None.
    None,
}

/// A copy of a study whose plans are one plan with each reservoir in turn, named after it.
#[must_use]
pub fn by_reservoir(study: &Study, plan: usize) -> Study {
    let base = &study.plans[plan];
    let Some(own) = base.line.as_ref().map(|line| line.reservoir) else { return study.clone() };
    let variant = |(index, reservoir): (usize, &crate::study::Reservoir)| {
        let mut plan: Plan = base.clone();
        plan.name.clone_from(&reservoir.name);
        plan.family = None;
        if let Some(line) = &mut plan.line {
            line.reservoir = index;
        }
        plan
    };
    Study { plans: study.reservoirs.iter().enumerate().map(variant).collect(), baseline: own, ..study.clone() }
}

/// A filling: when, until when, and the runs in it.
#[derive(Debug, Clone, PartialEq)]
struct Filling {
    at: Moment,
    until: Moment,
    runs: Vec<(Moment, Run)>,
}

/// What one filling brought in one world, in dry µg by food.
#[derive(Debug, Clone, PartialEq)]
struct Brought {
    /// Feed by feed: fresh and spoiled.
    feeds: Vec<(Vec<f64>, Vec<f64>)>,
    given_ml: Vec<f64>,
    poured: Vec<f64>,
    drawn_fresh: Vec<f64>,
    drawn_spoiled: Vec<f64>,
    suspended: Vec<f64>,
    resting: Vec<f64>,
    stuck: Vec<f64>,
    dry_at: Option<usize>,
}

/// Tries the reservoirs of all plans of a study that have a feed line, in so many worlds.
#[must_use]
pub fn trials(study: &Study, seed: u64, worlds: u32) -> Vec<ReservoirTrial> {
    let block = Prior::new(study, seed, false).block(1, worlds.max(1));
    let drawn: Vec<Drawn> = (0..worlds as usize).map(|index| block.drawn(study, index)).collect();
    let worlds: Vec<World> = drawn.iter().map(|drawn| drawn.clone().into_world(study)).collect();
    (0..study.plans.len()).filter_map(|plan| trial(study, plan, &worlds, &drawn)).collect()
}

fn trial(study: &Study, plan: usize, worlds: &[World], drawn: &[Drawn]) -> Option<ReservoirTrial> {
    let line = study.plans[plan].line.as_ref()?;
    let filling = shown_filling(study, plan)?;
    let day = filling.at.day();
    let mix = study.recipes[line.recipe].on_day(day).mix;
    let foods: Vec<usize> = study.mixes[mix].parts.iter().map(|part| part.food).collect();
    let in_worlds = |trouble: Trouble| -> Vec<Brought> {
        worlds.iter().map(|world| play(study, plan, world, &filling, trouble, &[])).collect()
    };
    let as_it_is = in_worlds(Trouble::All);
    let alone = [Trouble::Settling, Trouble::Ageing, Trouble::Tube, Trouble::None].map(in_worlds);
    let wanted: Vec<Vec<Vec<f64>>> = worlds.iter().map(|world| wanted_ug(study, plan, world, &filling, &[])).collect();
    let of_wanted = |brought: &[Brought], food: usize, part: &dyn Fn(&Brought, usize) -> f64| -> Spread {
        let one = |(brought, wanted): (&Brought, &Vec<Vec<f64>>)| {
            let got: f64 = (0..filling.runs.len()).map(|feed| part(brought, feed)).sum();
            share(got, wanted.iter().map(|feed| feed[food]).sum())
        };
        spread(brought.iter().zip(&wanted).map(one))
    };
    let food_trial = |&food: &usize| {
        let fresh = |brought: &[Brought]| of_wanted(brought, food, &|b, feed| b.feeds[feed].0[food]);
        let [by_settling_alone, by_ageing_alone, by_tube_alone, by_none] = alone.each_ref().map(|b| fresh(b));
        let wanted_ug: f64 = wanted.iter().flatten().map(|feed| feed[food]).sum();
        FoodTrial {
            food,
            delivered_fresh: fresh(&as_it_is),
            delivered_spoiled: of_wanted(&as_it_is, food, &|b, feed| b.feeds[feed].1[food]),
            balance: balance(&as_it_is, food),
            wanted_mg: wanted_ug / 1000.0 / worlds.len() as f64,
            by_settling_alone,
            by_ageing_alone,
            by_tube_alone,
            by_none,
        }
    };
    let likely = worlds::likely(study);
    let at_likely = play(study, plan, &likely, &filling, Trouble::All, &[]);
    let feed_trial = |feed: usize| {
        let (at, run) = filling.runs[feed];
        let of = |fresh: bool, food: usize| {
            let one = |(b, wanted): (&Brought, &Vec<Vec<f64>>)| {
                share(if fresh { b.feeds[feed].0[food] } else { b.feeds[feed].1[food] }, wanted[feed][food])
            };
            spread(as_it_is.iter().zip(&wanted).map(one))
        };
        FeedTrial {
            hour: (at - Moment::start_of_day(day)).hours(),
            wanted_ml: run.wanted_ml,
            given_ml: at_likely.given_ml[feed],
            fresh: foods.iter().map(|&food| of(true, food)).collect(),
            spoiled: foods.iter().map(|&food| of(false, food)).collect(),
        }
    };
    let filled_ml = fill_ml(study, line, filling.at, filling.until);
    let reservoir = &study.reservoirs[line.reservoir];
    let dead_floor =
        super::floor::dead_share(reservoir, &likely.reservoirs[line.reservoir], reservoir.shape.height_mm(filled_ml));
    Some(ReservoirTrial {
        reservoir: line.reservoir,
        plan,
        day,
        filled_ml,
        hours: (filling.until - filling.at).hours(),
        foods: foods.iter().map(food_trial).collect(),
        feeds: (0..filling.runs.len()).map(feed_trial).collect(),
        dead_floor,
        dry_worlds: as_it_is.iter().filter(|brought| brought.dry_at.is_some()).count() as f64 / worlds.len() as f64,
        dry_at: at_likely.dry_at,
        remedies: remedies(study, plan, worlds, &filling),
        tests: test_worths(study, line.reservoir, &foods, filled_ml, drawn, &as_it_is, &wanted),
    })
}

/// The filling that serves most runs of the day shown, with all its runs.
fn shown_filling(study: &Study, plan: usize) -> Option<Filling> {
    let line = study.plans[plan].line.as_ref()?;
    let times = planned(study, &study.plans[plan]);
    let end = Moment::start_of_day(study.days + 1);
    let fillings = times.iter().enumerate().map(|(index, &at)| {
        let until = times.get(index + 1).copied().unwrap_or(end);
        Filling { at, until, runs: runs(line).filter(|(run, _)| (at..until).contains(run)).collect() }
    });
    let key = |filling: &Filling| {
        let shown = filling.runs.iter().filter(|(at, _)| at.day() == study.show_day).count();
        (shown, filling.runs.len())
    };
    // Of several the first, which `max_by_key` would not give.
    let best = fillings.reduce(|best, next| if key(&next) > key(&best) { next } else { best });
    best.filter(|filling| !filling.runs.is_empty())
}

/// Plays every filling up to the one shown, and that one; `fills` gives other moments and volumes to fill at within it.
fn play(
    study: &Study,
    plan: usize,
    world: &World,
    shown: &Filling,
    trouble: Trouble,
    fills: &[(Moment, f64)],
) -> Brought {
    let foods = study.foods.len();
    let none = || vec![0.0; foods];
    let mut brought = Brought {
        feeds: Vec::new(),
        given_ml: Vec::new(),
        poured: none(),
        drawn_fresh: none(),
        drawn_spoiled: none(),
        suspended: none(),
        resting: none(),
        stuck: none(),
        dry_at: None,
    };
    let Some(mut rig) = Rig::with_trouble(study, plan, world, trouble) else { return brought };
    let classes = &world.larder.classes;
    let mut fillings = planned(study, &study.plans[plan]).into_iter().filter(|&time| time < shown.at).peekable();
    for (time, run) in runs(rig.line()).take_while(|(time, _)| *time < shown.at) {
        while let Some(filled) = fillings.next_if(|&filled| filled <= time) {
            rig.refill(filled, filled, &Calendar::default());
        }
        let ml = rig.run_ml(&run, 0.5);
        rig.run(time, &run, ml);
    }
    let (poured, drawn) = (rig.poured.clone(), rig.drawn.clone());
    let own = [(shown.at, fill_ml(study, rig.line(), shown.at, shown.until))];
    let mut fills = if fills.is_empty() { own.iter() } else { fills.iter() }.peekable();
    for (index, (time, run)) in shown.runs.iter().enumerate() {
        while let Some(&(filled, ml)) = fills.next_if(|(filled, _)| filled <= time) {
            rig.refill_with(filled, ml, &Calendar::default());
        }
        let ml = rig.run_ml(run, 0.5);
        let left = rig.vessel.volume_ml - rig.vessel.unreached_ml();
        if left < ml && brought.dry_at.is_none() {
            brought.dry_at = Some(index);
        }
        let arrival = rig.run(*time, run, ml);
        let (mut fresh, mut spoiled) = (none(), none());
        for (class, portion) in arrival.food {
            let FoodClass { food, mass_ug, .. } = &classes[class];
            fresh[*food] += portion.fresh * mass_ug;
            spoiled[*food] += portion.stale * mass_ug;
        }
        brought.feeds.push((fresh, spoiled));
        brought.given_ml.push(arrival.water_ml);
    }
    rig.wait_until(shown.until);
    for (index, class) in classes.iter().enumerate() {
        let stock = &rig.vessel.stocks[index];
        let put = |sums: &mut Vec<f64>, items: f64| sums[class.food] += items * class.mass_ug;
        put(&mut brought.poured, rig.poured[index] - poured[index]);
        put(&mut brought.drawn_fresh, rig.drawn[index].fresh - drawn[index].fresh);
        put(&mut brought.drawn_spoiled, rig.drawn[index].stale - drawn[index].stale);
        put(&mut brought.suspended, stock.fresh.suspended + stock.stale.suspended);
        put(&mut brought.resting, stock.fresh.resting + stock.stale.resting);
        put(&mut brought.stuck, stock.fresh.stuck + stock.stale.stuck);
    }
    brought
}

/// Dry mass of each food that each feed was to bring, µg; `fills` as in [`play`].
fn wanted_ug(study: &Study, plan: usize, world: &World, filling: &Filling, fills: &[(Moment, f64)]) -> Vec<Vec<f64>> {
    let Some(line) = &study.plans[plan].line else { return Vec::new() };
    let of_run = |(at, run): &(Moment, Run)| {
        // What is in the reservoir is of the day on which it was filled, whatever the recipe of the day of the run.
        let filled = fills.iter().rev().find(|(filled, _)| filled <= at).map_or(filling.at, |(filled, _)| *filled);
        rig::wanted_ug(study, world, line, filled.day(), run)
    };
    filling.runs.iter().map(of_run).collect()
}

/// Out of 100; 0 of nothing.
fn share(got: f64, of: f64) -> f64 {
    if of > 0.0 { 100.0 * got / of } else { 0.0 }
}

/// Where a filling of a food was at its end, out of 100 poured in; mean over worlds.
fn balance(brought: &[Brought], food: usize) -> FillBalance {
    let mean = |part: &dyn Fn(&Brought) -> &Vec<f64>| {
        brought.iter().map(|b| share(part(b)[food], b.poured[food])).sum::<f64>() / brought.len() as f64
    };
    FillBalance {
        drawn_fresh: mean(&|b| &b.drawn_fresh),
        drawn_spoiled: mean(&|b| &b.drawn_spoiled),
        in_suspension: mean(&|b| &b.suspended),
        resting: mean(&|b| &b.resting),
        stuck: mean(&|b| &b.stuck),
    }
}

/// What other ways of keeping the food would bring.
fn remedies(study: &Study, plan: usize, worlds: &[World], filling: &Filling) -> Vec<Remedy> {
    let Some(line) = &study.plans[plan].line else { return Vec::new() };
    let place = line.reservoir;
    let delivered = |study: &Study, change: &dyn Fn(&mut World), at: &[(Moment, f64)]| {
        let one = |world: &World| {
            let mut world = world.clone();
            change(&mut world);
            let brought = play(study, plan, &world, filling, Trouble::All, at);
            let wanted: f64 = wanted_ug(study, plan, &world, filling, at).iter().flatten().sum();
            share(brought.feeds.iter().flat_map(|(fresh, _)| fresh).sum(), wanted)
        };
        spread(worlds.iter().map(one))
    };
    let mut remedies = vec![(RemedyKind::AsItIs, delivered(study, &|_| {}, &[]))];
    let cold = |world: &mut World| world.reservoirs[place].temperature_c = COLD_C;
    remedies.push((RemedyKind::Cold, delivered(study, &cold, &[])));
    if filling.runs.len() > 1 {
        let middle = filling.runs[filling.runs.len().div_ceil(2)].0;
        let twice = [
            (filling.at, fill_ml(study, line, filling.at, middle)),
            (middle, fill_ml(study, line, middle, filling.until)),
        ];
        remedies.push((RemedyKind::FilledTwice, delivered(study, &|_| {}, &twice)));
    }
    let late = filling.runs[0].0 + Span::from_hours(-1.0);
    if late > filling.at {
        let fill = [(late, fill_ml(study, line, filling.at, filling.until))];
        remedies.push((RemedyKind::FilledLate, delivered(study, &|_| {}, &fill)));
    }
    let mut steep = study.clone();
    steep.reservoirs[place].shape = Shape::Cone { diameter_mm: CONE_MM, slope_deg: STEEP_DEG };
    steep.reservoirs[place].stone = Stone::Middle;
    steep.reservoirs[place].intake_mm = 0.0;
    steep.reservoirs[place].numbers.dry_ml = Range::certain(CONE_DRY_ML);
    let in_cone = |world: &mut World| {
        let numbers = &mut world.reservoirs[place];
        numbers.dead_floor = 0.0;
        numbers.dry_ml = CONE_DRY_ML;
        if numbers.air_ml_min <= 0.0 {
            numbers.air_ml_min = CONE_AIR;
        }
    };
    remedies.push((RemedyKind::SteepCone, delivered(&steep, &in_cone, &[])));
    remedies.into_iter().map(|(what, delivered_fresh)| Remedy { what, delivered_fresh }).collect()
}

/// What each jar test of each food that sinks would be worth, most first.
///
/// Each world in turn is taken for the true one: its reading, with the error of reading, weights all worlds, and the
/// weighted spread of the food's delivery is what would be left to know.
fn test_worths(
    study: &Study,
    reservoir: usize,
    foods: &[usize],
    filled_ml: f64,
    drawn: &[Drawn],
    brought: &[Brought],
    wanted: &[Vec<Vec<f64>>],
) -> Vec<TestWorth> {
    let mut worths = Vec::new();
    for &food in foods {
        let one = |(b, wanted): (&Brought, &Vec<Vec<f64>>)| {
            share(b.feeds.iter().map(|(fresh, _)| fresh[food]).sum(), wanted.iter().map(|feed| feed[food]).sum())
        };
        let delivered: Vec<f64> = brought.iter().zip(wanted).map(one).collect();
        let now = spread(delivered.iter().copied());
        for stirred in [false, true] {
            let celsius = study.reservoirs[reservoir].numbers.temperature_c.likely();
            let how = if stirred {
                JarKind::Stirred { reservoir, volume_ml: filled_ml }
            } else {
                JarKind::Still { height_mm: JAR_MM, celsius }
            };
            if stirred && study.reservoirs[reservoir].numbers.air_ml_min.likely() <= 0.0 {
                continue;
            }
            let test =
                JarTest { food, how, after_min: READ_AFTER_MIN, in_suspension: 0.0, reading_error: READING_ERROR };
            let readings: Vec<f64> = drawn.iter().map(|drawn| jar_tests::foretell(study, drawn, &test)).collect();
            let left = |truth: &f64| {
                let weight = |reading: &f64| (-0.5 * ((reading - truth) / READING_ERROR).powi(2)).exp();
                weighted_width(&delivered, &readings.iter().map(weight).collect::<Vec<_>>())
            };
            let reading = spread(readings.iter().copied());
            // Food that stays up whatever the world has nothing to be tested for.
            if reading.low < 1.0 - READING_ERROR {
                worths.push(TestWorth {
                    food,
                    stirred,
                    after_min: READ_AFTER_MIN,
                    water: if stirred { filled_ml } else { JAR_MM },
                    width_before: now.high - now.low,
                    width_after: readings.iter().map(left).sum::<f64>() / readings.len() as f64,
                    reading,
                });
            }
        }
    }
    let gain = |worth: &TestWorth| worth.width_before - worth.width_after;
    worths.sort_by(|a, b| gain(b).total_cmp(&gain(a)));
    worths
}

/// Width between the 10 % and the 90 % point of weighted values.
fn weighted_width(values: &[f64], weights: &[f64]) -> f64 {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let all: f64 = weights.iter().sum();
    let at = |share: f64| {
        let mut sum = 0.0;
        let found = order.iter().find(|&&i| {
            sum += weights[i];
            sum >= share * all
        });
        found.or(order.last()).map_or(f64::NAN, |&i| values[i])
    };
    at(0.9) - at(0.1)
}
