//! Where each killer starts: lowest oxygen and highest un-ionised ammonia against food a day and drip, still and aerated,
//! for two heavy and eleven small feeds. A map of the model, printed; what is asserted is direction.

use frytub_sim::brood::Mode;
use frytub_sim::numbers::{Range, WaterNumbers};
use frytub_sim::study::Study;

use crate::support::{Setting, likely_broods, mean};

/// Water as a keeper might have it, without uncertainty; `air_per_h` is the transfer by the stone.
pub fn water(air_per_h: f64) -> WaterNumbers<Range> {
    let numbers = WaterNumbers {
        ph: 7.6,
        alkalinity_meq_l: 2.0,
        air_per_h,
        surface_cm_h: 1.5,
        decay_oxygen: 1.3,
        decay_nitrogen: 0.75,
        ripe_mg_day: 10.0,
        ripeness: 0.01,
        ripening_days: 28.0,
        outlet_credit: 0.2,
    };
    numbers.map(|_, &value| Range::certain(value))
}

fn study(mg_a_day: f64, drip: &str, air: bool, feeds: usize) -> Study {
    let times = if feeds == 2 { "[\"08:00\", \"16:00\"]" } else { "\"every 72 min from 08:00 to 20:00\"" };
    let plans = format!("[[plan]]\nname = \"plan\"\nby_pump = {{ at = {times}, dose = \"{mg_a_day} mg a day\" }}");
    let setting = Setting {
        fry: 150,
        days: 6,
        volume: "6 L",
        drip,
        mix: "microworm = \"300 per mL\"\n\"egg yolk\" = \"0.03 mg per mL\"",
        plans: &plans,
        ..Setting::default()
    };
    let mut study = setting.study();
    study.tubs[0].air = air;
    study.tubs[0].water = Some(water(if air { 0.33 } else { 0.0 }));
    study
}

/// Lowest oxygen (mg/L), highest un-ionised ammonia (mg NH3/L), fry alive out of 100; likely values, two broods.
fn told(study: &Study) -> (f64, f64, f64) {
    let records = likely_broods(study, 0, Mode::Leaps, 2);
    let water = |record: &frytub_sim::brood::diary::BroodRecord| record.water.clone().expect("water is reckoned with");
    (
        mean(records.iter().map(|r| water(r).oxygen_mg_l.iter().copied().fold(f64::INFINITY, f64::min))),
        mean(records.iter().map(|r| water(r).ammonia_mg_l.iter().copied().fold(0.0, f64::max))),
        mean(records.iter().map(|r| 100.0 * r.alive as f64 / r.fry as f64)),
    )
}

#[test]
fn a_map_of_where_each_killer_starts() {
    eprintln!("150 fry in 6 L, 6 days. food mg/d; lowest oxygen mg/L / highest NH3 mg/L / alive of 100");
    let food = [10.0, 40.0, 160.0, 640.0];
    let mut map = Vec::new();
    for feeds in [2, 11] {
        for air in [false, true] {
            for drip in ["0 mL/h", "200 mL/h"] {
                let row: Vec<_> = food.iter().map(|&mg| told(&study(mg, drip, air, feeds))).collect();
                let cells: Vec<String> =
                    row.iter().map(|(o, n, alive)| format!("{o:5.2} / {n:6.4} / {alive:3.0}")).collect();
                let how = if air { "air  " } else { "still" };
                eprintln!("{feeds:2} feeds, {how}, drip {drip:8}: {}", cells.join("   "));
                map.push((feeds, air, drip, row));
            }
        }
    }
    for (_, _, _, row) in &map {
        assert!(
            row.windows(2).all(|pair| pair[1].0 <= pair[0].0 + 0.05),
            "more food never leaves more oxygen: {row:?}"
        );
        assert!(row.windows(2).all(|pair| pair[1].1 >= 0.9 * pair[0].1), "nor less ammonia: {row:?}");
        assert!(row.iter().all(|cell| cell.0 >= 0.0 && cell.0 < 8.0));
    }
    let of = |feeds: usize, air: bool, drip: &str| {
        &map.iter().find(|(f, a, d, _)| *f == feeds && *a == air && *d == drip).expect("a row of the map").3
    };
    for feeds in [2, 11] {
        for column in 0..food.len() {
            let (still, aerated) = (of(feeds, false, "0 mL/h")[column], of(feeds, true, "0 mL/h")[column]);
            assert!(aerated.0 >= still.0, "air helps: {still:?} {aerated:?}");
            let dripped = of(feeds, false, "200 mL/h")[column];
            assert!(dripped.1 <= still.1, "a drip carries ammonia away: {still:?} {dripped:?}");
        }
    }
}
