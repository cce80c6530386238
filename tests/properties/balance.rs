//! Food and fry add up, and nothing falls below nothing, in tubs put together at random.
//!
//! Food is counted in whole items: put in = eaten + in the water + on the bottom + spoiled + washed out, exactly. In
//! mass the same to one part in a thousand million, which is the rounding of sums of some ten thousand terms.

use frytub_sim::brood::Mode;
use frytub_sim::brood::diary::BroodRecord;
use frytub_sim::chance::{Source, Streams};
use frytub_sim::fry::shoal::{Meal, NO_RETURN, Physiology, Shoal, State, Stretch};
use frytub_sim::study::Study;
use frytub_sim::tub::TubState;
use frytub_sim::worlds::{self, Block};
use proptest::prelude::*;

use crate::support::{Setting, run};

/// Rounding allowed in sums of mass, as a share.
const ROUNDING: f64 = 1e-9;

const FISH: [&str; 4] = ["dwarf cichlid", "freshwater angelfish", "zebrafish", "betta"];
/// Foods of every sort: swimmers, sinkers and particles, of one class and of several.
const FOODS: [(&str, &str); 6] = [
    ("Paramecium", "150 per mL"),
    ("rotifer", "60 per mL"),
    ("microworm", "90 per mL"),
    ("newly hatched brine shrimp, small strain", "40 per mL"),
    ("egg yolk", "0.05 mg per mL"),
    ("powder 50 to 100 um", "0.05 mg per mL"),
];

/// A tub put together at random.
#[derive(Debug, Clone)]
struct Case {
    fish: usize,
    foods: Vec<usize>,
    drip: u32,
    dose_ml: f64,
    feeds: usize,
    by_pump: bool,
    air: bool,
    siphon: bool,
    changed: f64,
    seed: u64,
    world: u32,
}

fn cases() -> impl Strategy<Value = Case> {
    let food = prop::sample::subsequence((0..FOODS.len()).collect::<Vec<_>>(), 1..=3);
    let keeper = (any::<bool>(), any::<bool>(), any::<bool>(), prop_oneof![Just(0.0), 0.05..0.9]);
    (0..FISH.len(), food, 0_u32..400, 1_u32..400, 1_usize..12, keeper, any::<u64>(), 0_u32..20).prop_map(
        |(fish, foods, drip, dose_tenths, feeds, (by_pump, air, siphon, changed), seed, world)| Case {
            fish,
            foods,
            drip,
            dose_ml: f64::from(dose_tenths) / 10.0,
            feeds,
            by_pump,
            air,
            siphon,
            changed,
            seed,
            world,
        },
    )
}

impl Case {
    fn study(&self, fry: u32, days: u32) -> Study {
        let mix: Vec<String> = self.foods.iter().map(|&f| format!("\"{}\" = \"{}\"", FOODS[f].0, FOODS[f].1)).collect();
        let times: Vec<String> = (0..self.feeds).map(|k| format!("\"{:02}:20\"", 7 + k)).collect();
        let how = if self.by_pump { "by_pump" } else { "by_hand" };
        let plans = format!(
            "[[plan]]\nname = \"plan\"\nsiphon = {}\n{how} = {{ at = [{}], dose = \"{} mL\" }}",
            self.siphon,
            times.join(", "),
            self.dose_ml
        );
        let drip = format!("{} mL/h", self.drip);
        let setting = Setting {
            fish: FISH[self.fish],
            fry,
            days,
            drip: &drip,
            mix: &mix.join("\n"),
            plans: &plans,
            ..Setting::default()
        };
        let mut study = setting.study();
        study.tubs[0].air = self.air;
        study.keeper.changed_share = frytub_sim::numbers::Range::certain(self.changed);
        study
    }

    fn record(&self, study: &Study, mode: Mode) -> BroodRecord {
        let block = Block::draw(&worlds::uncertain(study), self.seed, 1, 20);
        let world = block.world(study, self.world as usize);
        run(study, 0, &world, Streams::new(self.seed, self.world + 1, 1), mode)
    }
}

pub(super) fn assert_adds_up(record: &BroodRecord, study: &Study) {
    let food = record.food;
    let waiting = [food.arrived_spoiled, food.kept, food.in_tube];
    let parts = [food.eaten, food.washed, food.spoiled, food.left].into_iter().chain(waiting);
    let parts: Vec<f64> = parts.collect();
    assert!(parts.iter().all(|&part| part >= -ROUNDING * food.given), "{food:?}");
    let sum: f64 = parts.iter().sum();
    assert!((sum - food.given).abs() <= ROUNDING * food.given, "food: {sum} of {} µg", food.given);
    let eaten = record.eaten_ug * record.fry as f64;
    assert!((eaten - food.eaten).abs() <= ROUNDING * food.eaten.max(1.0), "fry ate {eaten}, tub gave {}", food.eaten);

    assert_eq!(record.alive + record.deaths.len(), record.fry, "alive and dead are all fry");
    let mut dead: Vec<usize> = record.deaths.iter().map(|death| death.fry).collect();
    dead.sort_unstable();
    dead.dedup();
    assert_eq!(dead.len(), record.deaths.len(), "nobody dies twice");
    let end = 24.0 * f64::from(study.days);
    assert!(record.deaths.iter().all(|death| (0.0..=end).contains(&death.hour)));
    assert!(record.deaths.windows(2).all(|pair| pair[0].hour <= pair[1].hour));
    assert!(record.weaned <= record.alive);
    for (day, next) in record.days.iter().zip(&record.days[1..]) {
        assert!(next.alive <= day.alive, "fry do not come back");
    }
    for (day, number) in record.days.iter().zip(1_u32..) {
        let dead = record.deaths.iter().filter(|death| death.hour <= 24.0 * f64::from(number)).count();
        assert_eq!(day.alive + dead, record.fry, "day {number}");
        assert!((0.0..=1.0).contains(&day.ready));
    }
    for look in &record.looks {
        assert!(look.in_water.iter().chain(&look.on_bottom).all(|&n| n >= 0.0));
        assert!(look.gut.iter().all(|gut| gut.is_nan() || *gut >= 0.0));
    }
    let fifths = record.intake_fifths;
    assert!(fifths[0].is_nan() || fifths[0] >= 0.0 && fifths.windows(2).all(|pair| pair[0] <= pair[1]), "{fifths:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_brood_adds_up(case in cases()) {
        let study = case.study(15, 4);
        assert_adds_up(&case.record(&study, Mode::Leaps), &study);
    }

    /// The water of the tub alone, pushed about at random, with every class counted.
    #[test]
    fn items_balance_exactly(case in cases(), moves in prop::collection::vec((0_u8..6, 0.0..1.0_f64), 1..60)) {
        let study = case.study(1, 1);
        let world = worlds::likely(&study);
        let mut tub = TubState::new(&study, &world, 0, Streams::new(case.seed, 0, 0).shared(Source::Tub));
        let mut given = vec![0; tub.classes.len()];
        for (kind, x) in moves {
            match kind {
                0 => {
                    let food = (x * study.foods.len() as f64) as usize;
                    for (class, items) in tub.deal(food, 30_000.0 * x * x) {
                        tub.add(class, 0, items);
                        given[class] += items;
                    }
                }
                1 => {
                    for class in 0..tub.classes.len() {
                        let there = tub.pools[class].in_water() + tub.pools[class].on_bottom();
                        tub.take(class, (x * there as f64) as u64);
                    }
                }
                2 => (0..tub.classes.len()).for_each(|class| tub.leap(class, 4.0 * x, 2.0 * x)),
                3 => {
                    tub.change_water(x);
                }
                4 => tub.siphon(x),
                _ => tub.set_inflow(4000.0 * x),
            }
            for (class, pool) in tub.pools.iter().enumerate() {
                let account = pool.account;
                let there = pool.in_water() + pool.on_bottom();
                prop_assert_eq!(account.given, given[class]);
                prop_assert_eq!(account.given, account.eaten + account.washed + account.spoiled + there);
                let stale = [pool.stale_water_ug, pool.stale_bottom_ug, account.stale_washed_ug, account.rotted_ug];
                prop_assert!(stale.iter().all(|&ug| ug >= 0.0), "{stale:?}");
                let spoiled = account.spoiled as f64 * tub.classes[class].mass_ug;
                prop_assert!((stale.iter().sum::<f64>() - spoiled).abs() <= ROUNDING * spoiled, "{stale:?} {spoiled}");
            }
        }
    }

    /// One fry, fed and starved at random until it dies.
    #[test]
    fn a_fry_never_falls_below_nothing(
        fish in 0..FISH.len(),
        world in 0_u32..20,
        plenty in prop_oneof![Just(0.0), Just(0.2), Just(1.0)],
        days in prop::collection::vec((0.0..0.3_f64, 0.0..0.5_f64, any::<bool>(), 0.01..0.6_f64), 1..400),
    ) {
        let study = Setting { fish: FISH[fish], ..Setting::default() }.study();
        let numbers = Block::draw(&worlds::uncertain(&study), 1, 1, 20).world(&study, world as usize).fish;
        let physiology = Physiology::new(&numbers, 28.0);
        let mut shoal = Shoal::new(&physiology, &Streams::new(1, world, 0), 1);
        shoal.swims_up(&physiology, 0, shoal.traits[0].swims);
        let mut now = shoal.traits[0].swims.hours();
        for (caught, gone, is_lit, hours) in days {
            let full = plenty * shoal.full[0];
            let gone = gone * (shoal.gut[0] + caught * full);
            let (fast, slow) = if is_lit { (gone, 0.0) } else { (0.0, gone) };
            let meal = Meal { caught: caught * full, worth: 0.8 * caught * full, fast, slow };
            shoal.digest(&physiology, 0, &meal, now);
            let end = shoal.settle(&physiology, 0, &Stretch::new(&physiology, now, hours, is_lit));
            now += hours;
            let (mass, peak, yolk) = (shoal.mass[0], shoal.peak[0], shoal.yolk[0]);
            prop_assert!(mass > 0.0 && peak >= mass && yolk >= 0.0, "mass {mass}, best {peak}, yolk {yolk}");
            prop_assert!(shoal.gut[0] >= 0.0 && shoal.gut_quality[0] >= 0.0, "gut {} {}", shoal.gut[0], shoal.gut_quality[0]);
            // Rounding may leave the growth allowance a hair below nothing when a fry uses all of it.
            prop_assert!(shoal.allowance[0] >= -1e-15, "allowance {:e}", shoal.allowance[0]);
            prop_assert!((0.0..=1.0).contains(&shoal.vigour[0]) && shoal.length[0] >= shoal.traits[0].length_mm);
            prop_assert!(shoal.routine[0] > 0.0 && shoal.clearance[0] > 0.0);
            let above = shoal.ratio(0) - shoal.limit[0];
            let strength = (above - NO_RETURN) / (numbers.weakening_span - NO_RETURN);
            prop_assert!((shoal.vigour[0] - strength.clamp(0.0, 1.0)).abs() < 1e-9, "past recovery near its limit");
            if end.is_some() {
                shoal.dies(0);
                prop_assert!(shoal.state[0] == State::Dead && shoal.swimming.is_empty());
                break;
            }
        }
    }
}

proptest! {
    // Every capture is played on its own here, so fewer and smaller broods.
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_brood_played_capture_by_capture_adds_up(case in cases()) {
        let small = Case { dose_ml: case.dose_ml.min(3.0), feeds: case.feeds.min(3), ..case };
        let study = small.study(5, 1);
        assert_adds_up(&small.record(&study, Mode::Exact), &study);
    }
}

/// A food of one class has one item mass, so its masses can be counted back into items, which are whole and balance.
#[test]
fn a_broods_food_balances_in_whole_items() {
    for food in ["Paramecium", "rotifer", "newly hatched brine shrimp, small strain"] {
        let mix = format!("\"{food}\" = \"100 per mL\"");
        let study = Setting { mix: &mix, drip: "150 mL/h", days: 5, ..Setting::default() }.study();
        let world = worlds::likely(&study);
        let at = study.foods.iter().position(|f| f.name == food).expect("the food is there");
        let classes: Vec<_> = world.larder.classes.iter().filter(|class| class.food == at).collect();
        assert_eq!(classes.len(), 1, "{food}");
        for brood in 0..5 {
            let food = run(&study, 0, &world, Streams::new(5, 1, brood), Mode::Leaps).food;
            let items = [food.given, food.eaten, food.washed, food.spoiled, food.left].map(|ug| {
                let items = ug / classes[0].mass_ug;
                assert!((items - items.round()).abs() < 1e-6, "{items} items");
                items.round() as u64
            });
            assert_eq!(items[0], items[1..].iter().sum::<u64>(), "{items:?}");
            assert_eq!(items[0], 10_000, "two feeds of 1000 on each of five days");
        }
    }
}
