//! Food and fry add up through reservoir, pump, tube, tub and outlet put together at random.
//!
//! What a keeper pours out is in the end eaten, washed out, spoiled, still in the tub, in the tube, or has never left the
//! reservoir: in mass to one part in a thousand million, the rounding of sums of some ten thousand terms.

use frytub_sim::brood::Mode;
use frytub_sim::chance::Streams;
use frytub_sim::outcome::Cause;
use frytub_sim::study::Study;
use frytub_sim::worlds::{self, Block};
use proptest::prelude::*;

use super::balance::assert_adds_up;
use crate::support::{Setting, run};

const RESERVOIRS: [&str; 4] = ["box", "cylinder", "cone of 45 degrees", "steep cone"];
const TIMERS: [&str; 3] = ["one-minute timer", "half-hour segment timer", "seconds timer"];
const REFILLS: [&str; 3] = ["every visit", "first visit", "every 2 days"];
const RINSES: [&str; 3] = ["daily", "never", "every visit"];

/// A feed line put together at random.
#[derive(Debug, Clone)]
struct Case {
    reservoir: usize,
    has_air: bool,
    timer: usize,
    refill: usize,
    rinse: usize,
    pump_tenths: u32,
    length_cm: u32,
    end_mm: i32,
    dose_tenths: u32,
    feeds: usize,
    intake_mm: u32,
    seed: u64,
    world: u32,
}

fn cases() -> impl Strategy<Value = Case> {
    let kinds = (0..RESERVOIRS.len(), any::<bool>(), 0..TIMERS.len(), 0..REFILLS.len(), 0..RINSES.len());
    let sizes = (5_u32..200, 10_u32..250, -5_i32..30, 5_u32..150, 1_usize..12, 0_u32..30);
    (kinds, sizes, any::<u64>(), 0_u32..20).prop_map(|(kinds, sizes, seed, world)| {
        let (reservoir, has_air, timer, refill, rinse) = kinds;
        let (pump_tenths, length_cm, end_mm, dose_tenths, feeds, intake_mm) = sizes;
        Case {
            reservoir,
            has_air,
            timer,
            refill,
            rinse,
            pump_tenths,
            length_cm,
            end_mm,
            dose_tenths,
            feeds,
            intake_mm,
            seed,
            world,
        }
    })
}

impl Case {
    fn study(&self, fry: u32, days: u32) -> Study {
        let times: Vec<String> = (0..self.feeds).map(|k| format!("\"{:02}:20\"", 7 + k)).collect();
        let plans = format!(
            "[[plan]]\nname = \"plan\"\nrinse = \"{}\"\n\
             by_pump = {{ at = [{}], dose = \"{} mL\", refill = \"{}\", fill = \"300 mL\" }}",
            RINSES[self.rinse],
            times.join(", "),
            f64::from(self.dose_tenths) / 10.0,
            REFILLS[self.refill],
        );
        let air = if self.has_air { "300 mL/min" } else { "none" };
        let more = format!(
            "[[reservoir]]\nname = \"it\"\nkind = \"{}\"\nair = \"{air}\"\nintake = \"{} mm\"\n\
             [feed_line]\npump = \"{} mL/min\"\ntimer = \"{}\"\ntube_length = \"{} cm\"\ntube_bore = \"4 mm\"\n\
             tube_end = \"{} mm\"\nabove_tub = \"20 cm\"\n",
            RESERVOIRS[self.reservoir],
            self.intake_mm,
            f64::from(self.pump_tenths) / 10.0,
            TIMERS[self.timer],
            self.length_cm,
            self.end_mm,
        );
        let setting = Setting {
            fry,
            days,
            volume: "1.5 L",
            drip: "150 mL/h",
            tub: "outlet = { sponge_face = \"1 cm2\", rim = \"15 mm\" }",
            mix: "\"newly hatched brine shrimp, small strain\" = \"40 per mL\"\nmicroworm = \"90 per mL\"\n\
                  \"egg yolk\" = \"0.05 mg per mL\"",
            plans: &plans,
            more: &more,
            ..Setting::default()
        };
        setting.study()
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_brood_with_a_feed_line_adds_up(case in cases()) {
        let study = case.study(15, 4);
        let block = Block::draw(&worlds::uncertain(&study), case.seed, 1, 20);
        let world = block.world(&study, case.world as usize);
        let record = run(&study, 0, &world, Streams::new(case.seed, case.world + 1, 1), Mode::Leaps);
        assert_adds_up(&record, &study);
        prop_assert!(record.food.given > 0.0);
        prop_assert!(record.levels.iter().all(|&level| (0.0..=15.0 + 1e-9).contains(&level)), "{:?}", record.levels);
        let in_tube = record.deaths.iter().any(|death| death.cause == Cause::FeedTube);
        prop_assert!(!in_tube || record.under_water_h > 0.0, "nobody enters a tube that hangs in air");
        let over = record.deaths.iter().any(|death| death.cause == Cause::OverRim);
        prop_assert!(!over || record.over_rim_h > 0.0 || record.levels.iter().any(|&level| level >= 15.0 - 1e-6));
    }
}

proptest! {
    // Every capture is played on its own here, so fewer and smaller broods.
    #![proptest_config(ProptestConfig { cases: 4, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_brood_with_a_feed_line_played_capture_by_capture_adds_up(case in cases()) {
        let small = Case { dose_tenths: case.dose_tenths.min(20), feeds: case.feeds.min(3), pump_tenths: 20, ..case };
        let study = small.study(4, 1);
        let world = worlds::likely(&study);
        assert_adds_up(&run(&study, 0, &world, Streams::new(case.seed, 1, 1), Mode::Exact), &study);
    }
}
