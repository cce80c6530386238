//! What feed tube, sponge and rim do to fry, against what keepers say. Common practice, no source: a tube whose end lies
//! under water overnight can cost tens of fry out of a few hundred; one that hangs above the highest level costs none; a
//! sponge that nobody rinses lets the water rise.

use frytub_sim::brood::Mode;
use frytub_sim::brood::diary::BroodRecord;
use frytub_sim::numbers::Range;
use frytub_sim::outcome::Cause;

use crate::support::{Setting, brood_a_world, likely_broods, mean, tenths};

const LINE: &str = r#"
[[reservoir]]
name = "cone"
kind = "steep cone"
[feed_line]
pump = "10 mL/min"
timer = "one-minute timer"
tube_length = "1 m"
tube_bore = "4 mm"
tube_end = "40 mm"
above_tub = "30 cm"
"#;

fn plan(end: &str, rinse: &str) -> String {
    format!(
        "[[plan]]\nname = \"{end}, {rinse}\"\nrinse = \"{rinse}\"\nfeed_line = {{ tube_end = \"{end}\" }}\n\
         by_pump = {{ at = \"every 120 min from 08:00 to 20:00\", dose = \"10 mL\" }}\n"
    )
}

fn lost(record: &BroodRecord, cause: Cause) -> f64 {
    record.deaths.iter().filter(|death| death.cause == cause).count() as f64
}

/// First run: 63 of 300 fry in two nights at the likely hazard, 10 to 226 of 300 over worlds: the hazard is known to a
/// factor of five only.
#[test]
fn a_tube_end_under_water_costs_tens_of_fry_and_one_above_it_none() {
    let plans = plan("-5 mm", "daily") + &plan("40 mm", "daily");
    let setting = Setting {
        fry: 300,
        days: 2,
        volume: "6 L",
        mix: "rotifer = \"100 per mL\"",
        plans: &plans,
        ..Setting::default()
    };
    let study = Setting { more: LINE, ..setting }.study();
    let under: Vec<BroodRecord> = likely_broods(&study, 0, Mode::Leaps, 6);
    let above: Vec<BroodRecord> = likely_broods(&study, 1, Mode::Leaps, 6);
    let in_tube = mean(under.iter().map(|record| lost(record, Cause::FeedTube)));
    assert!((20.0..150.0).contains(&in_tube), "{in_tube}");
    assert!(above.iter().all(|record| lost(record, Cause::FeedTube) == 0.0));
    let worlds: Vec<f64> = brood_a_world(&study, 0, 20).iter().map(|record| lost(record, Cause::FeedTube)).collect();
    eprintln!(
        "tube end under water for two days: {in_tube:.0} of 300 fry, over worlds {:.0?}",
        tenths(worlds.iter().copied())
    );
    assert!(worlds.iter().all(|&fry| fry > 0.0), "{worlds:?}");
}

/// The same small tub under four habits: only the sponge that is never rinsed, with the tube's end near the water, costs
/// fry at the tube, and no habit makes the level fall.
#[test]
fn a_sponge_that_nobody_rinses_lifts_the_water_to_the_tubes_end() {
    let plans: String =
        ["5 mm", "40 mm"].iter().flat_map(|end| ["daily", "never"].map(|rinse| plan(end, rinse))).collect();
    let setting = Setting {
        fry: 60,
        days: 9,
        volume: "1.5 L",
        drip: "200 mL/h",
        tub: "outlet = { sponge_face = \"2 cm2\", rim = \"60 mm\" }",
        mix: "\"egg yolk\" = \"0.4 mg per mL\"\nmicroworm = \"600 per mL\"",
        plans: &plans,
        more: LINE,
        ..Setting::default()
    };
    let mut study = setting.study();
    // The same as the plan that suffers, with a float that stops drip and pump 3 mm above the still water.
    let mut floats = study.plans[1].clone();
    floats.name.push_str(" and a float");
    floats.owns.float_alarm = true;
    study.plans.push(floats);
    if let Some(outlet) = &mut study.tubs[0].outlet {
        outlet.numbers.float_mm = Range::certain(3.0);
    }
    let told = |plan: usize| {
        let records = likely_broods(&study, plan, Mode::Leaps, 5);
        let level = mean(records.iter().map(|record| record.levels.iter().copied().fold(0.0, f64::max)));
        (level, mean(records.iter().map(|record| lost(record, Cause::FeedTube))))
    };
    let all: Vec<(f64, f64)> = (0..5).map(told).collect();
    eprintln!("highest level (mm) and fry in the tube; 5 mm daily, never; 40 mm daily, never; float: {all:.1?}");
    assert!(all[4].0 < 5.0 && all[4].1 == 0.0, "the float acts before the water is at the tube's end: {all:?}");
    assert!(all[1].0 > 4.0 * all[0].0 && all[1].0 > 5.0, "{all:?}");
    assert!(all[1].1 > 0.0 && all[0].1 == 0.0, "{all:?}");
    assert!(all[2].1 == 0.0, "{all:?}");
}
