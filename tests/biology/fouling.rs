//! Where each killer starts: lowest oxygen and highest un-ionised ammonia against food a day and drip, still and aerated,
//! for two heavy and eleven small feeds. A map of the model, printed here and drawn in `water_map.rs`; what is asserted
//! is direction.

use std::sync::LazyLock;

use frytub_sim::brood::Mode;
use frytub_sim::brood::diary::WaterRecord;
use frytub_sim::clock::TimeOfDay;
use frytub_sim::numbers::{Range, WaterNumbers};
use frytub_sim::study::{Study, Visits};

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

/// A tub that takes ten large doses a day, without an outlet or with one.
fn much_poured(outlet: &str) -> Study {
    let setting = Setting {
        fry: 60,
        volume: "1 L",
        tub: outlet,
        plans: "[[plan]]\nname = \"plan\"\nby_pump = { at = \"every 60 min from 08:00 to 17:00\", dose = \"50 mL\" }",
        ..Setting::default()
    };
    let mut study = setting.study();
    study.tubs[0].water = Some(water(1.0));
    study
}

/// What a dose pushes out it pushes out once: an outlet through which the same water leaves a little later makes no
/// difference to the ammonia. With one, every dose once took its share twice.
#[test]
fn a_dose_carries_ammonia_off_once() {
    let washed = |outlet: &str| {
        let records = likely_broods(&much_poured(outlet), 0, Mode::Leaps, 4);
        let accounts = records.iter().map(|record| record.water.as_ref().expect("reckoned with").account);
        mean(accounts.map(|account| account.washed / account.given))
    };
    let shares = ["", "outlet = { sponge_face = \"50 cm2\", rim = \"60 mm\" }"].map(washed);
    eprintln!("ammonia washed out of all given off: {shares:.3?} (without outlet, with one)");
    assert!(shares[0] > 0.3 && (shares[1] / shares[0] - 1.0).abs() < 0.03, "{shares:?}");
}

/// A blocked outlet has lifted the water; half of the rest is changed, and with it goes all that stood above the still
/// level. The ammonia of that water once stayed behind.
#[test]
fn a_water_change_takes_the_ammonia_of_the_water_above_the_still_level_too() {
    let at_the_end = |changed: f64| {
        let mut study = much_poured("outlet = { sponge_face = \"2 cm2\", rim = \"60 mm\" }");
        study.days = 1;
        if let Some(outlet) = &mut study.tubs[0].outlet {
            outlet.numbers.resistance = Range::certain(1.0);
        }
        for day in &mut study.plans[0].week {
            day.visits = vec![TimeOfDay::from_minutes(23 * 60 + 55).expect("a time")];
        }
        study.keeper.changed_share = Range::certain(changed);
        let records = likely_broods(&study, 0, Mode::Leaps, 1);
        assert!(records[0].levels.iter().any(|&mm| mm > 30.0), "{:?}", records[0].levels);
        let water = records[0].water.as_ref().expect("reckoned with");
        *water.nitrogen_mg_l.last().expect("looked at")
    };
    let left = at_the_end(0.5) / at_the_end(0.0);
    assert!((left - 0.5).abs() < 0.02, "{left} of the concentration is left");
}

/// The stone brings the water's oxygen to what it holds at its temperature, in the first night as in any other. The first
/// was once as warm as a day.
#[test]
fn the_first_night_is_as_cool_as_the_others() {
    let before_dawn = |cooler: f64| {
        let mut study = Setting::default().study();
        study.tubs[0].water = Some(water(10.0));
        study.tubs[0].numbers.night_cooler_c = Range::certain(cooler);
        let records = likely_broods(&study, 0, Mode::Leaps, 1);
        // Lowest oxygen from midnight to six.
        records[0].water.as_ref().expect("reckoned with").oxygen_mg_l[1]
    };
    let (warm, cool) = (before_dawn(0.0), before_dawn(5.0));
    // Benson & Krause 1984: 8.57 mg/L at 23 °C against 7.83 at 28 °C.
    assert!(cool > warm + 0.5, "{cool} against {warm} mg/L");
}

/// Of the nitrogen digested 0.58 leaves as ammonia (Timmons & Ebeling) and 0.20 as faeces, and what is not burnt again
/// stays in the body; a brood that nobody feeds gives off just what it burns of itself.
#[test]
fn nitrogen_goes_where_the_source_says() {
    let books = |days: u32, fed: bool| {
        let plans =
            "[[plan]]\nname = \"plan\"\nby_pump = { at = \"every 60 min from 07:30 to 20:30\", dose = \"40 mL\" }";
        let mut study = Setting { days, plans, ..Setting::default() }.study();
        study.fish.background_per_day = Range::certain(0.0);
        study.tubs[0].water = Some(water(2.0));
        if !fed {
            study.plans[0].week.iter_mut().for_each(|day| day.feeds.clear());
        }
        likely_broods(&study, 0, Mode::Leaps, 1)[0].water.as_ref().expect("reckoned with").books
    };
    let fed = books(4, true);
    let left = (fed.ammonia + fed.bound + fed.waste) / (fed.eaten - fed.gut);
    assert!((0.779..0.95).contains(&left), "{left} of {fed:?}");
    let unfed = books(3, false);
    assert!(unfed.eaten == 0.0 && unfed.ammonia > 1.0 && (unfed.ammonia + unfed.body).abs() < 1e-9, "{unfed:?}");
}

/// Who rinses the sponge every day rinses bacteria out: less ammonia is nitrified.
#[test]
fn a_rinse_costs_bacteria() {
    let nitrified = |rinses: Visits| {
        let mut study = much_poured("outlet = { sponge_face = \"50 cm2\", rim = \"60 mm\" }");
        study.plans[0].rinses = rinses;
        let mut numbers = water(2.0);
        (numbers.ripeness, numbers.outlet_credit) = (Range::certain(0.5), Range::certain(1.0));
        study.tubs[0].water = Some(numbers);
        let records = likely_broods(&study, 0, Mode::Leaps, 2);
        mean(records.iter().map(|r| r.water.as_ref().expect("reckoned with").account).map(|a| a.nitrified / a.given))
    };
    let (never, daily) = (nitrified(Visits::None), nitrified(Visits::First));
    assert!(daily < 0.9 * never, "{daily} against {never}");
}
