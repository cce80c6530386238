//! The same study and seed give the same bits in every build: debug or release, this crate alone or the workspace.
//!
//! All builds must come to the digest written here. It is that of 64-bit Linux on x86 with the GNU library; elsewhere
//! the last bits of exponentials and logarithms may differ, and only the agreement of two runs is asked for.
//!
//! To pin it anew after a change that is meant: run `cargo test -p frytub-sim --test pinned`, copy the digest from the
//! message into [`PINNED`], and tell in CHANGELOG.md, under "Reproducibility", that results for a fixed seed change.

use std::sync::atomic::AtomicBool;

use frytub_sim::clock::TimeOfDay;
use frytub_sim::feedline::timer::programme;
use frytub_sim::monte_carlo::{Settings, compare};
use frytub_sim::numbers::{
    CultureNumbers, FishNumbers, FoodNumbers, KeeperNumbers, LineNumbers, LiquidNumbers, MishapNumbers, NumberInfo,
    OutletNumbers, Range, ReservoirNumbers, TubNumbers, WaterNumbers,
};
use frytub_sim::outcome::{Cause, Comparison};
use frytub_sim::setbacks::{self, SetbackSettings};
use frytub_sim::study::{
    By, Content, Culture, DayPlan, Dose, Feed, FeedLine, Fill, Food, FoodSort, JarKind, JarTest, Liquid, Matched,
    Mishaps, Mix, MixPart, Outlet, Owned, Plan, PlanLine, Recipe, Reservoir, Shape, Stage, StandIn, Stone, Study,
    Timer, Tub, Visits,
};

/// Digest of every number of the comparison below.
const PINNED: u64 = 0x4c16_8024_715a_ab4b;
/// The same where the pump feeds through a reservoir and a tube, and the tub has an outlet.
const PINNED_WITH_LINE: u64 = 0x8274_4a3f_94aa_ec64;
/// The same where water fouls, everything fails at times, and setbacks are tried.
const PINNED_WITH_MISHAPS: u64 = 0xb5f9_ef99_6ac0_14b1;

/// Likely values of a made-up fish; all are uncertain by a tenth to either side.
const FISH: [(&str, f64); 40] = [
    ("length_mm", 4.8),
    ("usual_length_mm", 4.8),
    ("usual_mass_ug", 100.0),
    ("condition", 1.0),
    ("mass_exponent", 3.5),
    ("length_spread", 0.03),
    ("yolk_share", 0.12),
    ("yolk_spread", 0.2),
    ("swim_up_spread_h", 6.0),
    ("gape_share", 0.085),
    ("fit_floor", 0.2),
    ("fit_best", 0.35),
    ("fit_most", 0.6),
    ("clearance_ml_h", 80.0),
    ("clearance_q10", 1.5),
    ("skill_spread", 0.35),
    ("dark_share", 0.05),
    ("bottom_reach", 0.5),
    ("first_success", 0.45),
    ("later_success", 0.85),
    ("practice_days", 2.5),
    ("lively_start", 0.5),
    ("handling_s", 4.0),
    ("gut_share", 0.13),
    ("gut_fast_per_h", 0.35),
    ("gut_slow_per_h", 0.12),
    ("absorbed", 0.65),
    ("absorbed_slow_gain", 0.07),
    ("growth_cost", 0.25),
    ("routine_per_day", 0.15),
    ("routine_exponent", 0.9),
    ("routine_q10", 2.2),
    ("day_activity", 1.15),
    ("night_activity", 0.8),
    ("unfed_activity", 0.75),
    ("growth_most_per_day", 0.35),
    ("starvation_limit", 0.62),
    ("starvation_spread", 0.03),
    ("weakening_span", 0.18),
    ("background_per_day", 0.01),
];

/// A number of a list by its name, with a range of a tenth to either side; what is not listed is at its least.
fn number(list: &[(&str, f64)], info: &NumberInfo) -> Range {
    let value = list.iter().find(|(key, _)| *key == info.key).map_or(info.least, |(_, value)| *value);
    Range::new(0.9 * value, value, 1.1 * value).expect("a range")
}

fn food(name: &str, sort: FoodSort, lively: bool, list: &[(&str, f64)]) -> Food {
    let numbers = FoodNumbers::try_from_fn(|info| Ok::<_, ()>(number(list, info))).expect("no errors");
    Food { name: name.into(), sort, lively, weaning: lively, numbers }
}

fn foods() -> Vec<Food> {
    let animal = [("limb_factor", 1.1), ("largest_um", 2000.0), ("worth", 1.0), ("decay_per_day", 1.0)];
    let with = |more: &[(&'static str, f64)]| animal.iter().chain(more).copied().collect::<Vec<_>>();
    vec![
        food(
            "nauplii",
            FoodSort::Swimmer,
            true,
            &with(&[("width_um", 170.0), ("width_spread", 0.06), ("mass_ug", 1.9), ("life_h", 6.0)]),
        ),
        food(
            "worms",
            FoodSort::Sinker,
            false,
            &with(&[
                ("width_um", 50.0),
                ("width_spread", 0.35),
                ("mass_ug", 0.3),
                ("life_h", 14.0),
                ("sink_mm_s", 0.4),
                ("stay_share", 0.8),
            ]),
        ),
        food(
            "powder",
            FoodSort::Particle,
            false,
            &with(&[
                ("width_um", 60.0),
                ("width_spread", 0.5),
                ("dry_kg_m3", 400.0),
                ("wet_kg_m3", 1080.0),
                ("shape_factor", 1.2),
                ("life_h", 3.0),
                ("stay_share", 0.5),
            ]),
        ),
    ]
}

fn plan(name: &str, by: By, minutes: &[u16], dose: Dose) -> Plan {
    let times: Vec<TimeOfDay> = minutes.iter().map(|&m| TimeOfDay::from_minutes(m).expect("a time")).collect();
    let feeds = times.iter().map(|&at| Feed { at, by, dose, over_min: if by == By::Pump { 2.0 } else { 0.0 } });
    let day = DayPlan { feeds: feeds.collect(), visits: if by == By::Hand { times } else { Vec::new() } };
    Plan {
        name: name.into(),
        family: None,
        matched: Matched::FoodPerDay,
        tub: 0,
        recipe: 0,
        first_feed_day: 1,
        siphon: by == By::Hand,
        rinses: Visits::None,
        line: None,
        owns: Owned::default(),
        stand_ins: Vec::new(),
        week: std::array::from_fn(|_| day.clone()),
    }
}

fn study() -> Study {
    let items = |n: f64| Content::Items(Range::new(0.8 * n, n, 1.2 * n).expect("a range"));
    let parts = vec![
        MixPart { food: 0, content: items(40.0) },
        MixPart { food: 1, content: items(80.0) },
        MixPart { food: 2, content: Content::Milligrams(Range::certain(0.03)) },
    ];
    let keeper = [("late_min", 15.0), ("late_spread", 0.8), ("very_late_chance", 0.05), ("missed_chance", 0.05)];
    let keeper: Vec<_> = keeper.into_iter().chain([("siphoned_share", 0.7), ("changed_share", 0.2)]).collect();
    let tub = [("volume_ml", 2000.0), ("depth_mm", 100.0), ("temperature_c", 28.0), ("drip_ml_h", 100.0)];
    Study {
        name: "Pinned".into(),
        about: String::new(),
        fish_name: "made-up fish".into(),
        fish: FishNumbers::try_from_fn(|info| Ok::<_, ()>(number(&FISH, info))).expect("no errors"),
        foods: foods(),
        weaning_food: 0,
        fry: 25,
        days: 5,
        first_weekday: 0,
        light_on: TimeOfDay::from_minutes(420).expect("a time"),
        light_off: TimeOfDay::from_minutes(1260).expect("a time"),
        reservoirs: Vec::new(),
        lines: Vec::new(),
        jar_tests: Vec::new(),
        mishaps: None,
        cultures: Vec::new(),
        tubs: vec![Tub {
            outlet: None,
            water: None,
            air: true,
            numbers: TubNumbers::try_from_fn(|info| Ok::<_, ()>(number(&tub, info))).expect("no errors"),
        }],
        keeper: KeeperNumbers::try_from_fn(|info| Ok::<_, ()>(number(&keeper, info))).expect("no errors"),
        mixes: vec![Mix { name: "mix".into(), parts, liquid: None }],
        recipes: vec![Recipe { name: "recipe".into(), stages: vec![Stage { from_day: 1, mix: 0, times: 1.0 }] }],
        plans: vec![
            plan("two", By::Hand, &[480, 960], Dose::Millilitres(8.0)),
            plan("four", By::Pump, &[480, 660, 840, 1080], Dose::Items(500.0)),
        ],
        baseline: 0,
        show_day: 3,
    }
}

/// The same with a reservoir, a tube and an outlet, and a jar test.
fn study_with_line() -> Study {
    let mut study = study();
    let vessel = [("volume_ml", 800.0), ("air_ml_min", 300.0), ("temperature_c", 24.0), ("ageing_q10", 2.0)];
    let floor = [("dead_floor", 0.05), ("slide_s", 30.0), ("lift_pa", 0.018), ("stone_mm", 10.0), ("dry_ml", 10.0)];
    let vessel: Vec<_> = vessel.into_iter().chain(floor).collect();
    study.reservoirs.push(Reservoir {
        name: "jar".into(),
        shape: Shape::Cylinder { diameter_mm: 90.0 },
        stone: Stone::Middle,
        intake_mm: 0.0,
        numbers: ReservoirNumbers::try_from_fn(|info| Ok::<_, ()>(number(&vessel, info))).expect("no errors"),
    });
    let line = [("pump_ml_min", 12.0), ("pump_drift", 0.97), ("pocket_ml", 0.16), ("bore_mm", 4.0), ("length_m", 0.6)];
    let rest = [("tube_ageing", 1.5), ("end_mm", 3.0), ("entry_per_h", 0.01), ("above_mm", 300.0)];
    let line: Vec<_> = line.into_iter().chain(rest).collect();
    let timer = Timer { name: "timer".into(), slot_min: 1.0, programmes: 16, start_every_min: 1, keeps_clock: true };
    let wanted: Vec<_> = study.plans[1].week[0].feeds.iter().map(|feed| (feed.at, 12.0)).collect();
    let runs = programme(&wanted, &timer, 12.0).runs;
    study.lines.push(FeedLine {
        timer,
        numbers: LineNumbers::try_from_fn(|info| Ok::<_, ()>(number(&line, info))).expect("no errors"),
    });
    let days = study.days as usize;
    study.plans[1].week = std::array::from_fn(|_| {
        let visits = vec![TimeOfDay::from_minutes(480).expect("a time")];
        DayPlan { visits, ..study.plans[1].week[0].clone() }
    });
    study.plans[1].line = Some(PlanLine {
        reservoir: 0,
        line: 0,
        recipe: 0,
        fill: Fill::Needed,
        refills: Visits::Every,
        programme: vec![runs; days],
    });
    let outlet = [("face_cm2", 0.3), ("resistance", 1.33e-5), ("clog_g_m2", 15.0), ("catch_share", 0.6)];
    let more = [("slime_per_day", 0.3), ("rinse_leaves", 0.2), ("rim_mm", 12.0), ("rim_share", 0.2), ("float_mm", 8.0)];
    let outlet: Vec<_> = outlet.into_iter().chain(more).collect();
    study.tubs[0].outlet = Some(Outlet {
        numbers: OutletNumbers::try_from_fn(|info| Ok::<_, ()>(number(&outlet, info))).expect("no errors"),
    });
    study.jar_tests.push(JarTest {
        food: 2,
        how: JarKind::Still { height_mm: 100.0, celsius: 24.0 },
        after_min: 10.0,
        in_suspension: 0.3,
        reading_error: 0.07,
    });
    study
}

/// The same with foul water, everything that can go wrong, and a culture that fails.
fn study_with_mishaps() -> Study {
    let mut study = study_with_line();
    let water =
        [("ph", 7.6), ("alkalinity_meq_l", 2.0), ("air_per_h", 1.0), ("surface_cm_h", 1.5), ("decay_oxygen", 1.3)];
    let rest = [("decay_nitrogen", 0.75), ("ripe_mg_day", 10.0), ("ripeness", 0.1), ("ripening_days", 28.0)];
    let water: Vec<_> = water.into_iter().chain(rest).chain([("outlet_credit", 0.3)]).collect();
    study.tubs[0].water = Some(list(WaterNumbers::try_from_fn(|info| Ok(number(&water, info)))));
    study.tubs[0].numbers.night_cooler_c = Range::new(1.0, 2.0, 3.0).expect("in order");
    let mishaps = [
        ("power_cut_days", 2.0),
        ("power_cut_h", 3.0),
        ("air_stop_days", 4.0),
        ("clog_days", 3.0),
        ("live_clogs_less", 3.0),
    ];
    let rest = [("slip_days", 3.0), ("slips_to_mm", 0.0), ("room_c", 20.0), ("cools_per_h", 0.1)];
    let mishaps: Vec<_> = mishaps.into_iter().chain(rest).collect();
    let numbers = list(MishapNumbers::try_from_fn(|info| Ok(number(&mishaps, info))));
    study.mishaps = Some(Mishaps { numbers, power_cut: true, air_stop: true, clog: true, slip: true });
    let culture = [("late_d", 0.5), ("late_spread_d", 1.0), ("crash_days", 3.0), ("restart_d", 1.0)];
    let numbers = list(CultureNumbers::try_from_fn(|info| Ok(number(&culture, info))));
    study.cultures.push(Culture { food: 0, numbers });
    study.plans[0].stand_ins.push(StandIn { food: 0, instead: 1 });
    study.plans[1].owns = Owned { backup_air: true, battery: false, float_alarm: true };
    let liquid = [("share", 0.2), ("acid_meq_ml", 0.4), ("oxygen_mg_ml", 10.0), ("nitrogen_mg_ml", 0.5)];
    let numbers = list(LiquidNumbers::try_from_fn(|info| Ok(number(&liquid, info))));
    study.mixes[0].liquid = Some(Liquid { name: "liquid".into(), numbers });
    study
}

/// A list that asked for nothing that could fail.
fn list<T>(made: Result<T, std::convert::Infallible>) -> T {
    made.expect("no errors")
}

/// FNV-1a over the bits of what the comparison tells: worlds, survival, deaths, mouths, the day shown, food and pulls.
fn digest(comparison: &Comparison) -> u64 {
    let mut values: Vec<f64> = Vec::new();
    for row in &comparison.world_rows {
        values.extend([row.alive, row.weaned, row.length_mm, row.growth, row.eaten_ug]);
    }
    for plan in &comparison.plans {
        values.extend(plan.survival.iter().flat_map(|p| [p.hour, p.alive.low, p.alive.median, p.alive.high]));
        // Causes that no plan of a study can have are left out, so that one more of them moves no digest.
        let had = Cause::ALL.into_iter().filter(|cause| {
            (plan.outlet.is_some() || !OF_EQUIPMENT.contains(cause))
                && (plan.water.is_some() || !OF_WATER.contains(cause))
        });
        values.extend(plan.deaths.iter().flat_map(|day| had.clone().map(|cause| day[cause.index()])));
        values.extend(plan.doses.iter().flat_map(|dose| dose.fresh_ug.iter().chain(&dose.spoiled_ug)));
        values.extend(plan.outlet.iter().flat_map(|outlet| outlet.level.iter().map(|point| point.level_mm.mean)));
        values.extend(plan.mouths.iter().flat_map(|mouth| mouth.gape_um).chain(plan.intake_fifths));
        values.extend(plan.day.iter().flat_map(|p| p.in_water.iter().chain(&p.on_bottom).chain(&p.gut)));
        values.extend([plan.fate.eaten, plan.fate.washed_out, plan.fate.spoiled, plan.fate.left, plan.lateness_min]);
        for point in plan.water.iter().flat_map(|water| &water.points) {
            values.extend([point.ammonia_mg_l.mean, point.oxygen_mg_l.mean, point.nitrogen_mg_l.mean]);
        }
        if plan.water.is_some() {
            values.extend(plan.by_mishap.iter().flatten());
        }
    }
    values.extend(comparison.pulls.iter().flat_map(|pull| [pull.on_difference, pull.on_leader]));
    values.push(comparison.pull_threshold);
    values.extend(comparison.costs.iter().flat_map(|cost| [cost.hour, cost.lost.mean, cost.alive_lost, cost.hard]));
    assert!(values.len() > 3000, "only {} values", values.len());
    // One sort of "not a number", whatever the processor calls it.
    let bits = values.into_iter().map(|value| if value.is_nan() { f64::NAN.to_bits() } else { value.to_bits() });
    bits.flat_map(u64::to_le_bytes)
        .fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3))
}

/// Losses that only a feed line or an outlet can bring.
const OF_EQUIPMENT: [Cause; 2] = [Cause::FeedTube, Cause::OverRim];
/// Losses that only water that is reckoned with can bring.
const OF_WATER: [Cause; 2] = [Cause::NoOxygen, Cause::Ammonia];

fn run(study: &Study, seed: u64) -> u64 {
    let settings = Settings { seed, broods: 16, precision: None, likely_only: false };
    let mut found = compare(study, &settings, &(), &AtomicBool::new(false)).expect("a sound study");
    if study.mishaps.is_some() {
        let settings = SetbackSettings { seed, worlds: 4, likely_only: false };
        found.costs = setbacks::costs(study, &settings, &(), &AtomicBool::new(false));
        assert!(found.costs.len() > 10, "{} costs", found.costs.len());
    }
    digest(&found)
}

#[test]
fn a_small_comparison_has_the_pinned_bits() {
    assert_pinned(&study(), PINNED);
}

#[test]
fn a_small_comparison_with_a_feed_line_has_the_pinned_bits() {
    assert_pinned(&study_with_line(), PINNED_WITH_LINE);
}

#[test]
fn a_small_comparison_with_mishaps_has_the_pinned_bits() {
    assert_pinned(&study_with_mishaps(), PINNED_WITH_MISHAPS);
}

fn assert_pinned(study: &Study, pinned: u64) {
    let digest = run(study, 1);
    assert_eq!(run(study, 1), digest, "two runs in one build differ");
    assert_ne!(run(study, 2), digest, "another seed must tell something else");
    if cfg!(all(target_os = "linux", target_env = "gnu", target_arch = "x86_64")) {
        assert_eq!(
            format!("{digest:#018x}"),
            format!("{pinned:#018x}"),
            "results for a fixed seed have changed. If that is meant: put the left value into its constant in this file and \
             say so in CHANGELOG.md under \"Reproducibility\". If it differs between builds, something in the model \
             depends on how it was built"
        );
    }
}
