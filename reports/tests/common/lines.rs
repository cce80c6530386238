//! Invented reservoirs, feed lines, outlets and jar tests, and what they brought. Numbers only have to look possible.

use frytub_sim::numbers::{LineNumbers, NumberInfo, OutletNumbers, Range, ReservoirNumbers};
use frytub_sim::outcome::*;
use frytub_sim::study::{self, FeedLine, FloorPart, Outlet, PlanLine, Reservoir, Run, Stone, Study, Timer, Visits};

use super::infallible;

/// Every shape of vessel, so many of them.
pub fn reservoirs(count: usize) -> Vec<Reservoir> {
    let shapes = [
        ("box", study::Shape::Box { length_mm: 160.0, width_mm: 90.0 }, Stone::OneEnd),
        ("steep cone", study::Shape::Cone { diameter_mm: 90.0, slope_deg: 60.0 }, Stone::Middle),
        ("flat cylinder", study::Shape::Cylinder { diameter_mm: 100.0 }, Stone::Middle),
        ("shallow cone", study::Shape::Cone { diameter_mm: 110.0, slope_deg: 45.0 }, Stone::Middle),
        (
            "bottle with a dented floor",
            study::Shape::Own {
                floor: vec![
                    FloorPart { slope_deg: 60.0, area_mm2: 4200.0 },
                    FloorPart { slope_deg: 5.0, area_mm2: 1500.0 },
                ],
            },
            Stone::OneEnd,
        ),
    ];
    (0..count)
        .map(|n| {
            let (name, shape, stone) = shapes[n % shapes.len()].clone();
            let round = n / shapes.len();
            let name = if round == 0 { name.to_owned() } else { format!("{name} {}", round + 1) };
            Reservoir { name, shape, stone, intake_mm: 6.0, numbers: reservoir_numbers() }
        })
        .collect()
}

fn reservoir_numbers() -> ReservoirNumbers<Range> {
    let value = |info: &NumberInfo| match info.key {
        "volume_ml" => 1000.0,
        "air_ml_min" => 300.0,
        "temperature_c" => 24.0,
        "stone_mm" => 8.0,
        "dry_ml" => 10.0,
        _ => info.least.max(info.most.min(0.5)),
    };
    infallible(ReservoirNumbers::try_from_fn(|info| Ok(Range::certain(value(info)))))
}

fn lines() -> Vec<FeedLine> {
    let timer = Timer {
        name: "an invented timer".to_owned(),
        slot_min: 1.0,
        programmes: 20,
        start_every_min: 15,
        keeps_clock: true,
    };
    let numbers = infallible(LineNumbers::try_from_fn(|info| {
        let value = match info.key {
            "end_mm" => 15.0,
            "length_m" => 1.5,
            "bore_mm" => 4.0,
            _ => info.least.max(info.most.min(0.5)),
        };
        Ok(Range::certain(value))
    }));
    vec![FeedLine { timer, numbers }]
}

/// Gives every plan with a pump a feed line from a reservoir, and every tub an outlet.
pub fn equip(study: &mut Study, reservoirs: Vec<Reservoir>) {
    study.reservoirs = reservoirs;
    study.lines = lines();
    let numbers = infallible(OutletNumbers::try_from_fn(|info| Ok(Range::certain(info.least.max(info.most.min(0.5))))));
    for tub in &mut study.tubs {
        tub.outlet = Some(Outlet { numbers: numbers.clone() });
    }
    let (days, count) = (study.days as usize, study.reservoirs.len());
    let mut next = 0;
    for (n, plan) in study.plans.iter_mut().enumerate() {
        plan.rinses = [Visits::None, Visits::First, Visits::FirstEvery(2), Visits::Every][n % 4];
        if !plan.has_pump() {
            continue;
        }
        let pump = plan.week[0].feeds.iter().filter(|feed| feed.by == study::By::Pump);
        let day: Vec<Run> = pump.map(|feed| Run { at: feed.at, minutes: 1.0, wanted_ml: 5.0 }).collect();
        plan.line = Some(PlanLine {
            reservoir: next % count,
            line: 0,
            recipe: plan.recipe,
            fill: study::Fill::Needed,
            refills: Visits::First,
            programme: vec![day; days],
        });
        next += 1;
    }
}

/// What the line of a plan brought: less from the first feed to the last, more of it spoiled.
pub fn doses(study: &Study, plan: usize, kept: f64) -> Vec<DosePoint> {
    let Some(line) = &study.plans[plan].line else { return Vec::new() };
    let foods = study.foods.len();
    let runs = &line.programme[study.show_day as usize - 1];
    runs.iter()
        .enumerate()
        .map(|(n, run)| {
            let late = n as f64 / runs.len().max(2) as f64;
            let fresh = kept * (1.0 - 0.8 * late);
            let amounts = |share: f64| (0..foods).map(|food| 60.0 / (1.0 + food as f64) * share).collect::<Vec<f64>>();
            DosePoint {
                hour: run.at.hours(),
                wanted_ml: run.wanted_ml,
                arrived_ml: run.wanted_ml * 0.96,
                wanted_ug: amounts(1.0),
                fresh_ug: amounts(fresh),
                spoiled_ug: amounts(kept * 0.5 * late),
            }
        })
        .collect()
}

fn steady(value: f64) -> Spread {
    Spread { mean: value, low: value * 0.6, median: value, high: value * 1.7 }
}

/// A sponge that clogs until it is rinsed.
pub fn outlet(study: &Study, plan: usize) -> OutletResult {
    let (every, rim_mm) = match study.plans[plan].rinses {
        Visits::None => (f64::INFINITY, 40.0),
        Visits::FirstEvery(days) => (24.0 * f64::from(days), 40.0),
        Visits::First => (24.0, 40.0),
        Visits::Every => (12.0, 40.0),
    };
    let steps = study.days * 12;
    let level = (0..=steps).map(|n| {
        let hour = f64::from(n) * 2.0;
        let since = if every.is_finite() { hour % every } else { hour };
        LevelPoint { hour, level_mm: steady((0.3 * (since / 30.0).exp()).min(45.0)) }
    });
    let never = study.plans[plan].rinses == Visits::None;
    OutletResult {
        level: level.collect(),
        under_water_h: steady(if never { 31.0 } else { 0.0 }),
        over_rim_h: steady(if never { 4.2 } else { 0.0 }),
        tube_end_mm: study.plans[plan].line.as_ref().map(|_| 15.0),
        rim_mm,
    }
}

/// What two jar tests told, one of them a surprise.
pub fn jar_findings(study: &Study) -> Vec<JarFinding> {
    let food = 2.min(study.foods.len() - 1);
    let spread = |low: f64, median: f64, high: f64| Spread { mean: median, low, median, high };
    vec![
        JarFinding {
            food,
            what: JarLearnt::SinkingSpeed,
            before: spread(0.02, 0.08, 0.21),
            after: spread(0.04, 0.06, 0.09),
            is_surprise: false,
        },
        JarFinding {
            food,
            what: JarLearnt::StayingShare(0),
            before: spread(0.001, 0.012, 0.11),
            after: spread(0.09, 0.12, 0.2),
            is_surprise: true,
        },
    ]
}

/// Fills in what lines, outlets and jar tests brought.
pub fn brought(study: &Study, found: &mut Comparison) {
    for plan in 0..study.plans.len() {
        let kept = 0.92 - 0.2 * (plan % 4) as f64;
        let result = &mut found.plans[plan];
        result.doses = doses(study, plan, kept.max(0.1));
        result.outlet = Some(outlet(study, plan));
        result.fate = FoodFate {
            eaten: 0.25,
            washed_out: 0.15,
            spoiled: 0.3,
            left: 0.06,
            arrived_spoiled: 0.11,
            kept_in_reservoir: 0.12,
            in_tube: 0.01,
        };
        for day in &mut result.deaths {
            let background = day[Cause::Background.index()];
            day[Cause::FeedTube.index()] = background * 1.5;
            day[Cause::OverRim.index()] = background * 0.7;
        }
    }
    found.jar_tests = jar_findings(study);
}
