//! Where each killer starts: lowest oxygen and highest un-ionised ammonia against food a day and drip, still and aerated,
//! for two heavy and eleven small feeds. A map of the model, printed here and drawn in `water_map.rs`; what is asserted
//! is direction.

use std::sync::LazyLock;

use frytub_sim::brood::Mode;
use frytub_sim::brood::diary::WaterRecord;
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

/// Food a day of the map, dry mg.
pub const FOOD_MG: [f64; 6] = [10.0, 40.0, 80.0, 160.0, 320.0, 640.0];
/// Drips of the map, mL/h.
pub const DRIPS_ML_H: [f64; 4] = [0.0, 100.0, 200.0, 400.0];
/// Feeds a day of the map: heavy and small.
pub const FEEDS: [usize; 2] = [2, 11];

/// One cell of the map: how the tub is kept, and the worst that became of its water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Feeds a day.
    pub feeds: usize,
    /// True with a stone.
    pub air: bool,
    /// Fresh water, mL/h.
    pub drip_ml_h: f64,
    /// Food a day, dry mg.
    pub food_mg: f64,
    /// Lowest oxygen, mg/L.
    pub oxygen_mg_l: f64,
    /// Highest un-ionised ammonia, mg NH3/L.
    pub ammonia_mg_l: f64,
    /// Fry alive on the last day, out of 100.
    pub alive: f64,
}

/// The whole map: by feeds, air, drip, food.
pub static MAP: LazyLock<Vec<Cell>> = LazyLock::new(|| {
    let mut cells = Vec::new();
    for feeds in FEEDS {
        for air in [false, true] {
            for drip_ml_h in DRIPS_ML_H {
                cells.extend(FOOD_MG.map(|food_mg| cell(feeds, air, drip_ml_h, food_mg)));
            }
        }
    }
    cells
});

/// The tub of the map.
pub fn study(feeds: usize, air: bool, drip_ml_h: f64, food_mg: f64) -> Study {
    let times = if feeds == 2 { "[\"08:00\", \"16:00\"]" } else { "\"every 72 min from 08:00 to 20:00\"" };
    let plans = format!("[[plan]]\nname = \"plan\"\nby_pump = {{ at = {times}, dose = \"{food_mg} mg a day\" }}");
    let drip = format!("{drip_ml_h} mL/h");
    let setting = Setting {
        fry: 150,
        days: 6,
        volume: "6 L",
        drip: &drip,
        mix: "microworm = \"300 per mL\"\n\"egg yolk\" = \"0.03 mg per mL\"",
        plans: &plans,
        ..Setting::default()
    };
    let mut study = setting.study();
    study.tubs[0].air = air;
    study.tubs[0].water = Some(water(if air { 0.33 } else { 0.0 }));
    study
}

/// Mean of two broods at likely values.
fn cell(feeds: usize, air: bool, drip_ml_h: f64, food_mg: f64) -> Cell {
    let records = likely_broods(&study(feeds, air, drip_ml_h, food_mg), 0, Mode::Leaps, 2);
    let worst = |of: fn(&WaterRecord) -> f64| {
        mean(records.iter().map(|record| of(record.water.as_ref().expect("water is reckoned with"))))
    };
    Cell {
        feeds,
        air,
        drip_ml_h,
        food_mg,
        oxygen_mg_l: worst(|water| water.oxygen_mg_l.iter().copied().fold(f64::INFINITY, f64::min)),
        ammonia_mg_l: worst(|water| water.ammonia_mg_l.iter().copied().fold(0.0, f64::max)),
        alive: mean(records.iter().map(|r| 100.0 * r.alive as f64 / r.fry as f64)),
    }
}

#[test]
fn a_map_of_where_each_killer_starts() {
    eprintln!("150 fry in 6 L, 6 days. food mg/d; lowest oxygen mg/L / highest NH3 mg/L / alive of 100");
    for row in MAP.chunks(FOOD_MG.len()) {
        let cells: Vec<String> =
            row.iter().map(|c| format!("{:5.2} / {:6.4} / {:3.0}", c.oxygen_mg_l, c.ammonia_mg_l, c.alive)).collect();
        let how = if row[0].air { "air  " } else { "still" };
        eprintln!("{:2} feeds, {how}, drip {:3.0} mL/h: {}", row[0].feeds, row[0].drip_ml_h, cells.join("   "));
        let pairs = || row.windows(2).map(|pair| (pair[0], pair[1]));
        assert!(
            pairs().all(|(less, more)| more.oxygen_mg_l <= less.oxygen_mg_l + 0.05),
            "more food never leaves more oxygen: {row:?}"
        );
        assert!(pairs().all(|(less, more)| more.ammonia_mg_l >= 0.9 * less.ammonia_mg_l), "nor less ammonia: {row:?}");
        assert!(row.iter().all(|cell| (0.0..8.0).contains(&cell.oxygen_mg_l)));
    }
    let of = |feeds: usize, air: bool, drip: f64, food: f64| {
        let is_it = |c: &&Cell| c.feeds == feeds && c.air == air && c.drip_ml_h == drip && c.food_mg == food;
        MAP.iter().find(is_it).expect("a cell of the map")
    };
    for feeds in FEEDS {
        for food in FOOD_MG {
            let (still, aerated) = (of(feeds, false, 0.0, food), of(feeds, true, 0.0, food));
            assert!(aerated.oxygen_mg_l >= still.oxygen_mg_l, "air helps: {still:?} {aerated:?}");
            let dripped = of(feeds, false, 200.0, food);
            assert!(dripped.ammonia_mg_l <= still.ammonia_mg_l, "a drip carries ammonia away: {still:?} {dripped:?}");
        }
    }
}
