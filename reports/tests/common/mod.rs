//! Invented results in every shape a comparison can have. Nothing here is biology: numbers only have to look possible.
#![allow(dead_code)] // each test binary uses its own part

pub mod lines;
pub mod pictures;
pub mod reservoirs;
pub mod setbacks;
pub mod waters;

use frytub_reports::{Assumption, RunFacts};
use frytub_sim::clock::TimeOfDay;
use frytub_sim::numbers::{FishNumbers, FoodNumbers, KeeperNumbers, NumberInfo, Range, TubNumbers};
use frytub_sim::outcome::*;
use frytub_sim::study::*;

/// Shape of an invented comparison.
#[derive(Clone)]
pub struct Shape {
    pub singles: Vec<Single>,
    pub families: bool,
    pub days: u32,
    pub foods: usize,
    pub fate: Fate,
    /// True when pumps feed through reservoirs and tubes, and tubs have outlets.
    pub lines: bool,
    pub water: waters::Water,
    pub trouble: setbacks::Trouble,
}

#[derive(Clone)]
pub struct Single {
    pub name: String,
    pub visits: usize,
    pub pump: usize,
    pub per_feed: bool,
    pub skill: f64,
}

#[derive(Clone, Copy, PartialEq)]
pub enum Fate {
    Usual,
    AllDead,
    NoneWeaned,
    Alike,
    NoPulls,
    Partial,
    LikelyOnly,
}

pub fn single(name: &str, visits: usize, pump: usize, per_feed: bool, skill: f64) -> Single {
    Single { name: name.to_owned(), visits, pump, per_feed, skill }
}

pub fn usual() -> Shape {
    Shape {
        singles: vec![
            single("two feeds by hand", 2, 0, false, 0.46),
            single("two heavier feeds by hand", 2, 0, true, 0.57),
            single("four feeds by hand", 4, 0, false, 0.55),
            single("eleven small pump feeds and two visits", 2, 11, false, 0.63),
        ],
        families: true,
        days: 8,
        foods: 4,
        fate: Fate::Usual,
        lines: false,
        water: waters::Water::None,
        trouble: setbacks::Trouble::None,
    }
}

/// Every odd case by name.
pub fn cases() -> Vec<(&'static str, Shape)> {
    let base = Shape { families: false, ..usual() };
    let with = |change: &dyn Fn(&mut Shape)| {
        let mut shape = base.clone();
        change(&mut shape);
        shape
    };
    let twelve: Vec<Single> = (0..12)
        .map(|n| {
            single(
                &format!("plan {} with {} visits", n + 1, 1 + n % 5),
                1 + n % 5,
                n % 4,
                n % 2 == 0,
                0.2 + 0.05 * n as f64,
            )
        })
        .collect();
    let long = "two feeds by hand before and after the lessons on school days and only one late in the morning at the \
                weekend, with Nachfütterungsmaßnahmenbeschreibungszusatz";
    vec![
        ("usual", usual()),
        ("four-plans", base.clone()),
        ("one-plan", with(&|s| s.singles.truncate(1))),
        ("twelve-plans", with(&|s| s.singles.clone_from(&twelve))),
        ("one-day", with(&|s| s.days = 1)),
        ("sixty-days", with(&|s| s.days = 60)),
        (
            "long-names",
            with(&|s| {
                for (n, plan) in s.singles.iter_mut().enumerate() {
                    plan.name = format!("{long} {n}");
                }
            }),
        ),
        ("all-dead", with(&|s| s.fate = Fate::AllDead)),
        ("none-weaned", with(&|s| s.fate = Fate::NoneWeaned)),
        ("alike", with(&|s| s.fate = Fate::Alike)),
        ("no-pulls", with(&|s| s.fate = Fate::NoPulls)),
        ("partial", with(&|s| s.fate = Fate::Partial)),
        ("likely-only", with(&|s| s.fate = Fate::LikelyOnly)),
        ("families-only", Shape { singles: Vec::new(), ..usual() }),
        ("six-plans", with(&|s| s.singles = twelve[..6].to_vec())),
        (
            "sixty-plans",
            with(&|s| s.singles = (0..60).map(|n| single(&format!("plan {n}"), 1 + n % 4, 0, true, 0.6)).collect()),
        ),
        (
            "feed-lines",
            with(&|s| {
                s.lines = true;
                s.singles.push(single("eleven pump feeds, never rinsed", 2, 11, false, 0.5));
            }),
        ),
        (
            "many-feed-lines",
            with(&|s| {
                s.lines = true;
                s.days = 60;
                s.foods = 5;
                s.singles = (0..12).map(|n| single(&format!("{long} {n}"), 1, 1 + 4 * n, false, 0.5)).collect();
            }),
        ),
        (
            "one-pump-feed",
            with(&|s| {
                (s.lines, s.days, s.foods) = (true, 1, 1);
                s.singles = vec![single("one feed by pump", 1, 1, false, 0.4)];
            }),
        ),
        ("fouled-water", with(&|s| s.water = waters::Water::Fouled)),
        (
            "water-of-one",
            with(&|s| {
                s.water = waters::Water::OfOne;
                s.singles.truncate(2);
            }),
        ),
        (
            "good-water",
            with(&|s| {
                (s.water, s.days) = (waters::Water::Good, 1);
                s.singles.truncate(1);
            }),
        ),
        ("dead-in-foul-water", with(&|s| (s.water, s.fate) = (waters::Water::Fouled, Fate::AllDead))),
        (
            "water-of-twelve",
            with(&|s| {
                (s.water, s.lines, s.days) = (waters::Water::Fouled, true, 60);
                s.singles = (0..12).map(|n| single(&format!("{long} {n}"), 1 + n % 3, n % 2 * 4, false, 0.5)).collect();
            }),
        ),
        ("water-of-five-of-six", with(&|s| (s.water, s.singles) = (waters::Water::AllButOne, twelve[..6].to_vec()))),
        ("setbacks", with(&|s| (s.lines, s.water, s.trouble) = (true, waters::Water::Fouled, setbacks::Trouble::All))),
        (
            "setbacks-of-one",
            with(&|s| {
                s.trouble = setbacks::Trouble::All;
                s.singles.truncate(1);
            }),
        ),
        (
            "setbacks-of-eight",
            with(&|s| {
                (s.lines, s.trouble) = (true, setbacks::Trouble::All);
                s.singles = (0..8).map(|n| single(&format!("{long} {n}"), 2, n % 2 * 11, false, 0.5)).collect();
            }),
        ),
        (
            "setbacks-of-twelve",
            with(&|s| {
                (s.trouble, s.days, s.foods) = (setbacks::Trouble::All, 1, 1);
                s.singles.clone_from(&twelve);
            }),
        ),
        ("setbacks-forgiven", with(&|s| s.trouble = setbacks::Trouble::Forgiven)),
        ("setbacks-unclear", with(&|s| s.trouble = setbacks::Trouble::Unclear)),
        ("mornings-only", with(&|s| s.trouble = setbacks::Trouble::Mornings)),
        ("setbacks-likely-only", with(&|s| (s.trouble, s.fate) = (setbacks::Trouble::All, Fate::LikelyOnly))),
        (
            "markup",
            with(&|s| {
                s.singles[0].name = "<script>alert('x')</script> & \"two\"".to_owned();
                s.singles[1].name = "]]> <b>".to_owned();
            }),
        ),
    ]
}

fn number(info: &NumberInfo) -> Range {
    let value = match info.key {
        "fit_most" => 0.8,
        "width_um" => 100.0,
        "late_min" => 10.0,
        "late_spread" => 0.9,
        "volume_ml" => 3000.0,
        "depth_mm" => 120.0,
        "temperature_c" => 28.0,
        _ => info.least.max(info.most.min(0.5)),
    };
    if info.key == "fit_most" { Range::new(0.6, value, 1.0).unwrap() } else { Range::certain(value) }
}

pub fn infallible<T>(result: Result<T, ()>) -> T {
    result.unwrap()
}

fn time(hours: f64) -> TimeOfDay {
    TimeOfDay::from_minutes((hours * 60.0).round() as u16 % 1440).unwrap()
}

/// Invented foods: name, width in µm with its spread, and whether it may wean.
const FOODS: [(&str, [f64; 3]); 5] = [
    ("paramecium", [38.0, 50.0, 66.0]),
    ("microworm", [30.0, 52.0, 88.0]),
    ("egg yolk", [12.0, 40.0, 130.0]),
    ("newly hatched brine shrimp", [190.0, 220.0, 255.0]),
    ("powdered food, finest grade", [40.0, 75.0, 140.0]),
];

fn plan(name: &str, family: Option<&str>, matched: Matched, visits: usize, pump: usize, hand: bool) -> Plan {
    let visit_hours: Vec<f64> = (0..visits).map(|n| 7.25 + 9.5 * n as f64 / (visits.max(2) - 1) as f64).collect();
    let mut feeds: Vec<Feed> = Vec::new();
    if hand {
        feeds.extend(visit_hours.iter().map(|h| Feed {
            at: time(*h),
            by: By::Hand,
            dose: Dose::Millilitres(10.0),
            over_min: 0.0,
        }));
    }
    feeds.extend((0..pump).map(|n| Feed {
        at: time(6.5 + 15.0 * n as f64 / pump.max(2) as f64),
        by: By::Pump,
        dose: Dose::Millilitres(5.0),
        over_min: 2.0,
    }));
    feeds.sort_by_key(|feed| feed.at);
    let school = DayPlan { visits: visit_hours.iter().map(|h| time(*h)).collect(), feeds };
    let mut week: [DayPlan; 7] = std::array::from_fn(|_| school.clone());
    if family.is_none() && visits > 1 {
        for day in &mut week[5..] {
            day.visits.truncate(1);
            day.feeds.retain(|feed| feed.by == By::Pump || feed.at == school.visits[0]);
        }
    }
    Plan {
        name: name.to_owned(),
        family: family.map(str::to_owned),
        matched,
        tub: 0,
        recipe: 0,
        first_feed_day: 1,
        siphon: true,
        rinses: Visits::None,
        line: None,
        owns: Owned::default(),
        stand_ins: Vec::new(),
        week,
    }
}

pub fn study(shape: &Shape) -> Study {
    let mut plans: Vec<Plan> = shape
        .singles
        .iter()
        .map(|s| {
            let matched = if s.per_feed { Matched::FoodPerFeed } else { Matched::FoodPerDay };
            plan(&s.name, None, matched, s.visits, s.pump, s.pump == 0)
        })
        .collect();
    if shape.families {
        for (family, matched, pump) in [
            ("by hand, same food a day", Matched::FoodPerDay, false),
            ("by pump, same food a day", Matched::FoodPerDay, true),
            ("by hand, same food a feed", Matched::FoodPerFeed, false),
            ("by pump, same food a feed", Matched::FoodPerFeed, true),
        ] {
            for feeds in [1, 2, 4, 8] {
                let name = format!("{family}: {feeds} feeds");
                let (visits, by_pump) = if pump { (2, feeds) } else { (feeds, 0) };
                plans.push(plan(&name, Some(family), matched, visits, by_pump, !pump));
            }
        }
    }
    let foods: Vec<Food> = FOODS[..shape.foods]
        .iter()
        .map(|(name, _)| Food {
            name: (*name).to_owned(),
            sort: if name.contains("yolk") { FoodSort::Particle } else { FoodSort::Sinker },
            lively: false,
            weaning: name.contains("shrimp"),
            numbers: infallible(FoodNumbers::try_from_fn(|info| Ok(number(info)))),
        })
        .collect();
    let part = |food: usize| MixPart { food, content: Content::Items(Range::certain(300.0)) };
    let late = 3.min(shape.foods - 1);
    let mut study = Study {
        name: "school-room".to_owned(),
        about: "An invented school biology room: the caretaker looks in before and after lessons on school days and \
                once a day at weekends."
            .to_owned(),
        fish_name: "dwarf cichlid".to_owned(),
        fish: infallible(FishNumbers::try_from_fn(|info| Ok(number(info)))),
        foods,
        weaning_food: late,
        fry: 220,
        days: shape.days,
        first_weekday: 0,
        light_on: time(7.0),
        light_off: time(21.0),
        tubs: vec![Tub {
            air: true,
            outlet: None,
            water: None,
            numbers: infallible(TubNumbers::try_from_fn(|info| Ok(number(info)))),
        }],
        reservoirs: Vec::new(),
        lines: Vec::new(),
        jar_tests: Vec::new(),
        mishaps: None,
        cultures: Vec::new(),
        keeper: infallible(KeeperNumbers::try_from_fn(|info| Ok(number(info)))),
        mixes: vec![
            Mix { name: "first mix".to_owned(), parts: vec![part(0), part(1.min(late))], liquid: None },
            Mix {
                name: "with brine shrimp".to_owned(),
                parts: vec![part(1.min(late)), part(2.min(late)), part(late)],
                liquid: None,
            },
        ],
        recipes: vec![Recipe {
            name: "worms, then shrimp".to_owned(),
            stages: vec![
                Stage { from_day: 1, mix: 0, times: 1.0 },
                Stage { from_day: 3.min(shape.days).max(2), mix: 1, times: 1.5 },
            ],
        }],
        plans,
        baseline: 0,
        show_day: shape.days.min(5),
    };
    if shape.lines {
        lines::equip(&mut study, lines::reservoirs(2));
    }
    waters::fill(&mut study, shape.water);
    setbacks::describe(&mut study, shape.trouble);
    study
}

fn around(middle: f64, width: f64, most: f64) -> Spread {
    let clamp = |v: f64| v.clamp(0.0, most);
    Spread {
        mean: clamp(middle - 0.4),
        low: clamp(middle - width),
        median: clamp(middle),
        high: clamp(middle + width * 0.8),
    }
}

/// Invented results for a study.
pub fn comparison(study: &Study, shape: &Shape) -> Comparison {
    let skills: Vec<f64> = study
        .plans
        .iter()
        .enumerate()
        .map(|(n, plan)| {
            let own = shape.singles.get(n).map(|s| s.skill);
            let feeds = plan.feeds_a_day();
            let rise = if plan.matched == Matched::FoodPerFeed { 0.45 } else { 0.12 };
            own.unwrap_or(0.38 + rise * (1.0 - (-feeds / 3.0).exp()) + if plan.has_pump() { 0.02 } else { 0.0 })
        })
        .collect();
    let skills: Vec<f64> = match shape.fate {
        Fate::AllDead => vec![0.0; skills.len()],
        Fate::Alike => skills.iter().enumerate().map(|(n, _)| 0.5 + 0.002 * n as f64).collect(),
        _ => skills,
    };
    let plans: Vec<PlanResult> =
        study.plans.iter().zip(&skills).map(|(plan, skill)| result(study, shape, plan, *skill)).collect();
    let value = |p: &PlanResult| if shape.fate == Fate::NoneWeaned { p.alive.mean } else { p.weaned.mean };
    let best = |skip: Option<usize>| {
        (0..plans.len()).filter(|p| Some(*p) != skip).max_by(|a, b| value(&plans[*a]).total_cmp(&value(&plans[*b])))
    };
    let leader = best(None).unwrap();
    let rival = if leader == study.baseline { best(Some(leader)).unwrap_or(leader) } else { study.baseline };
    let pairs = (0..plans.len())
        .filter(|p| *p != leader)
        .map(|p| {
            let d = plans[leader].weaned.mean - plans[p].weaned.mean;
            let better = (50.0 + d * 4.0).clamp(2.0, 99.0);
            Pair {
                plan: p,
                difference: Spread { mean: d, low: d - 6.0, median: d + 0.3, high: d + 7.0 },
                mean_80: Interval { low: d - 0.9, high: d + 0.9 },
                mean_95: Interval { low: d - 1.5, high: d + 1.5 },
                better,
                same: 0.5,
                better_95: Interval { low: better - 6.0, high: (better + 5.0).min(100.0) },
            }
        })
        .collect();
    let worlds = match shape.fate {
        Fate::LikelyOnly => 1,
        Fate::Partial => 12,
        _ => 200,
    };
    let world_rows = (1..=worlds.min(3))
        .flat_map(|world| {
            (0..plans.len()).map(move |plan| WorldRow {
                world,
                plan,
                alive: 60.0 + f64::from(world),
                weaned: 50.0 - plan as f64,
                length_mm: if plan == 0 { f64::NAN } else { 6.5 },
                growth: if plan == 0 { f64::NAN } else { 0.12 },
                eaten_ug: 310.0,
            })
        })
        .collect();
    let bands = study.plans.iter().map(|_| bands(study)).collect();
    let mut found = Comparison {
        seed: 7,
        worlds,
        broods: worlds * 3,
        stopped: if shape.fate == Fate::Partial { Stopped::Interrupted } else { Stopped::Precision },
        likely_only: shape.fate == Fate::LikelyOnly,
        plans,
        bands,
        leader,
        rival,
        pairs,
        pulls: if matches!(shape.fate, Fate::NoPulls | Fate::LikelyOnly) { Vec::new() } else { pulls() },
        pull_threshold: 0.24,
        world_rows,
        jar_tests: Vec::new(),
        costs: Vec::new(),
    };
    if shape.lines {
        lines::brought(study, &mut found);
    }
    waters::brought(study, &mut found, shape);
    setbacks::brought(study, &mut found, shape);
    found
}

fn bands(study: &Study) -> Vec<FoodBand> {
    let days = study.days;
    let runs = [vec![(1, days)], vec![(1, days)], vec![(3, days)], vec![(3, days)], vec![(2, 3), (6, days)]];
    study
        .foods
        .iter()
        .enumerate()
        .map(|(n, food)| FoodBand {
            name: food.name.clone(),
            width_um: FOODS[n].1,
            offered: runs[n].iter().copied().filter(|run| run.0 <= days).collect(),
        })
        .collect()
}

fn pulls() -> Vec<Pull> {
    [
        ("fish: gape_share", "dwarf cichlid: mouth opening at 90° as a share of length", "", [0.05, 0.06, 0.075], 0.52),
        (
            "fish: routine_per_day",
            "dwarf cichlid: body mass burnt per day at 150 µg and 28 °C",
            "per day",
            [0.11, 0.14, 0.19],
            -0.41,
        ),
        (
            "food 2: life_h",
            "microworm: time it stays good in the tub (half of the animals alive, or mean of particles)",
            "h",
            [8.0, 24.0, 72.0],
            -0.29,
        ),
        (
            "fish: clearance_ml_h",
            "dwarf cichlid: water searched per hour by a fry of 4.8 mm",
            "mL/h",
            [8.0, 22.0, 60.0],
            0.22,
        ),
        ("tub 1: temperature_c", "tub: temperature of the water", "°C", [27.0, 28.0, 29.0], 0.11),
        ("keeper: late_min", "keeper: usual lateness of a visit (half are later)", "min", [5.0, 10.0, 30.0], -0.08),
        ("food 3: width_um", "egg yolk: width of the middle item", "µm", [20.0, 40.0, 70.0], 0.05),
        (
            "food 4: limb_factor",
            "newly hatched brine shrimp: width with limbs against width of the body",
            "",
            [1.15, 1.25, 1.4],
            -0.04,
        ),
        ("fish: handling_s", "dwarf cichlid: time to swallow an item of 0.25 µg", "s", [2.0, 4.0, 8.0], 0.03),
    ]
    .map(|(name, label, unit, values, r)| Pull {
        name: name.to_owned(),
        label: label.to_owned(),
        unit: unit.to_owned(),
        values,
        on_difference: r,
        on_leader: r * 0.8 + 0.1,
        by_world: values.to_vec(),
    })
    .to_vec()
}

fn result(study: &Study, shape: &Shape, plan: &Plan, skill: f64) -> PlanResult {
    let days = f64::from(study.days);
    let dead = shape.fate == Fate::AllDead;
    let fall = |t: f64| 1.0 / (1.0 + (-(t - 4.6) / 0.55).exp());
    let alive_at = |t: f64| {
        if dead {
            100.0 * (1.0 - fall(t)).max(0.0).powi(3)
        } else {
            100.0 - (100.0 - skill * 100.0) * fall(t) - 0.4 * t
        }
    };
    let steps = study.days * 12;
    let survival: Vec<SurvivalPoint> = (0..=steps)
        .map(|n| {
            let t = days * f64::from(n) / f64::from(steps);
            SurvivalPoint { hour: t * 24.0, alive: around(alive_at(t), 14.0 * fall(t + 0.5), 100.0) }
        })
        .collect();
    let last = if dead { 0.0 } else { alive_at(days) };
    let nothing = Spread::default();
    let weaned = match shape.fate {
        Fate::NoneWeaned | Fate::AllDead => 0.0,
        _ => last * 0.9,
    };
    let deaths = (1..=study.days)
        .map(|day| {
            let lost = (alive_at(f64::from(day) - 1.0) - alive_at(f64::from(day))).max(0.0);
            [lost * 0.62, lost * 0.16, lost * 0.02, lost * 0.11, 0.0, 0.0, 0.0, 0.0, lost * 0.09, 0.0]
        })
        .collect();
    let mouths = (1..=study.days)
        .map(|day| {
            let none = dead && day > 5;
            let gape = 205.0 + 480.0 * (1.0 - (-f64::from(day) * (0.02 + 0.06 * skill)).exp());
            let three = [gape * 0.88, gape, gape * 1.12].map(|g| if none { f64::NAN } else { g });
            MouthPoint {
                day,
                gape_um: three,
                length_mm: three.map(|g| g / 55.0),
                ready: if none { f64::NAN } else { (f64::from(day) * 12.0).min(100.0) },
            }
        })
        .collect();
    let weekday = study.weekday(study.show_day);
    let meals: Vec<f64> = plan.week[weekday].feeds.iter().map(|feed| feed.at.hours()).collect();
    let no_day = dead && study.show_day > 5;
    let day = (0..96)
        .map(|bin| {
            let hour = (f64::from(bin) + 0.5) / 4.0;
            let since = |decay: f64| {
                meals.iter().map(|m| if hour >= *m { (-(hour - m) / decay).exp() } else { 0.0 }).sum::<f64>()
            };
            let dose = 12.0 / meals.len().max(1) as f64;
            let (up, down) = (dose * since(0.6), dose * since(2.5));
            let light = if (7.0..21.0).contains(&hour) { 1.0 } else { 0.25 };
            let gut = (since(1.5) * light * 0.9).min(1.05);
            let gut = [gut * 0.25, gut * 0.7, gut.min(1.0)].map(|g| if no_day { f64::NAN } else { g });
            let share = [0.2, 1.0, 0.6, 0.05, 0.3];
            DayPoint {
                hour,
                in_water: (0..study.foods.len()).map(|f| up * share[f]).collect(),
                on_bottom: (0..study.foods.len())
                    .map(|f| if f == 1 || f == 2 { down * share[f] * 0.5 } else { 0.0 })
                    .collect(),
                gut,
            }
        })
        .collect();
    let nan = Spread { mean: f64::NAN, low: f64::NAN, median: f64::NAN, high: f64::NAN };
    let ready = !(dead || shape.fate == Fate::NoneWeaned || study.days < 4);
    PlanResult {
        worlds: 150,
        alive: if last > 0.0 { around(last, 12.0, 100.0) } else { nothing },
        weaned: if weaned > 0.0 { around(weaned, 13.0, 100.0) } else { nothing },
        length_mm: if dead { nan } else { around(6.2 + skill, 0.4, 20.0) },
        growth_living: if dead { nan } else { around(0.12 + 0.05 * skill, 0.02, 1.0) },
        growth_all: around(0.05 + 0.05 * skill, 0.03, 1.0),
        intake_fifths: [0.05, 0.12, 0.21, 0.3, 0.42].map(|v| v * (0.5 + skill)),
        food_given_mg: if plan.matched == Matched::FoodPerFeed { 22.0 * plan.feeds_a_day() } else { 44.0 },
        half_ready_day: ready.then(|| around(6.0 - 4.0 * skill, 0.8, 60.0)),
        most_ready_day: ready.then(|| around(8.0 - 4.0 * skill, 0.9, 60.0)),
        ready_worlds: if ready { [0.96, 0.81] } else { [0.0, 0.0] },
        survival,
        deaths,
        by_mishap: Default::default(),
        mouths,
        day,
        fate: FoodFate { eaten: 0.31, washed_out: 0.2, spoiled: 0.4, left: 0.09, ..FoodFate::default() },
        doses: Vec::new(),
        outlet: None,
        water: None,
        visits_kept: 0.98,
        lateness_min: 17.0,
    }
}

pub fn assumptions() -> Vec<Assumption> {
    let row = |group: &str, label: &str, unit: &str, values: [f64; 3], kind: &str, source: &str| Assumption {
        group: group.to_owned(),
        label: label.to_owned(),
        unit: unit.to_owned(),
        low: values[0],
        likely: values[1],
        high: values[2],
        kind: kind.to_owned(),
        source: source.to_owned(),
    };
    vec![
        row(
            "dwarf cichlid",
            "length when it starts to feed",
            "mm",
            [4.4, 4.8, 5.2],
            "read",
            "an invented paper, table 2",
        ),
        row(
            "dwarf cichlid",
            "mouth opening at 90° as a share of length",
            "",
            [0.05, 0.06, 0.075],
            "estimate",
            "no published value; range checked against common practice",
        ),
        row("microworm", "width of the middle item", "µm", [42.0, 52.0, 60.0], "common practice", ""),
        row("tub", "water in the tub", "mL", [3000.0, 3000.0, 3000.0], "scenario", "given in the scenario"),
    ]
}

pub fn run_facts() -> RunFacts {
    RunFacts {
        version: "0.1.0".to_owned(),
        scenario_file: "school-room.toml".to_owned(),
        scenario_text: "# invented\nname = \"school-room\"\n".to_owned(),
    }
}

/// Study and results of a case.
pub fn case(name: &str) -> (Study, Comparison) {
    let (_, shape) = cases().into_iter().find(|(n, _)| *n == name).expect("a known case");
    let study = study(&shape);
    let found = comparison(&study, &shape);
    (study, found)
}
