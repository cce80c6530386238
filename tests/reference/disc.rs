//! Fry among food that neither runs short nor fills them, against Holling's disc equation (Holling 1959, Can. Entomol.
//! 91:385–398): captures per hour `λ/(1 + λ h)` with `λ = c n`.

use frytub_sim::brood::Mode;
use frytub_sim::numbers::Range;
use frytub_sim::study::{Content, Study};

use crate::support::{Setting, likely_broods, mean};

const FRY: u32 = 100;
/// Water searched, mL/h, and time to swallow an item, s.
const CLEARANCE_ML_H: f64 = 20.0;
const HANDLING_S: f64 = 30.0;
/// Fry of equal length swim up at noon and see until nine.
const SEEING_H: f64 = 9.0;
/// What an item weighs for which the handling time is given, µg.
const ITEM_UG: f64 = 0.25;

/// Water, mL: so much that a hundred fry cannot thin out the food in it.
const WATER_ML: f64 = 1e9;

/// A pond with items that neither sink nor age, and fry that are alike, never full, and do not grow.
fn study(per_ml: f64) -> Study {
    let certain = Range::certain;
    let plans = "[[plan]]\nname = \"plan\"\nby_hand = { at = [\"08:00\"], dose = \"10 mL\" }";
    let mut study = Setting { fry: FRY, days: 1, plans, ..Setting::default() }.study();
    study.tubs[0].numbers.volume_ml = certain(WATER_ML);
    study.mixes[0].parts[0].content = Content::Items(certain(per_ml * WATER_ML / 10.0));
    let food = &mut study.foods[0].numbers;
    (food.width_um, food.width_spread, food.limb_factor) = (certain(1.0), certain(0.0), certain(1.0));
    (food.mass_ug, food.sink_mm_s, food.life_h) = (certain(ITEM_UG), certain(0.0), certain(1e15));
    let fish = &mut study.fish;
    (fish.length_mm, fish.usual_length_mm) = (certain(4.8), certain(4.8));
    for (key, value) in [
        ("length_spread", 0.0),
        ("swim_up_spread_h", 0.0),
        ("fit_floor", 1.0),
        ("clearance_ml_h", CLEARANCE_ML_H),
        ("skill_spread", 0.0),
        ("first_success", 1.0),
        ("later_success", 1.0),
        ("lively_start", 1.0),
        ("handling_s", HANDLING_S),
        ("gut_share", 1e9),
        ("growth_most_per_day", 0.0),
        ("background_per_day", 0.0),
    ] {
        *fish.get_mut(key).expect("a number of a fish") = certain(value);
    }
    study
}

#[test]
fn fry_that_never_fill_catch_what_the_disc_equation_says() {
    for per_ml in [1.0, 5.0, 25.0] {
        let study = study(per_ml);
        for mode in [Mode::Leaps, Mode::Exact] {
            let record = likely_broods(&study, 0, mode, 1).remove(0);
            assert_eq!(record.alive, FRY as usize);
            let found = mean(record.looks.iter().filter(|look| look.hour > 12.0).map(|look| look.in_water[0]));
            assert!((found / per_ml - 1.0).abs() < 1e-4, "{found} in a mL must stay {per_ml}");
            let met_per_h = CLEARANCE_ML_H * found;
            let expected = f64::from(FRY) * SEEING_H * met_per_h / (1.0 + met_per_h * HANDLING_S / 3600.0);
            let caught = record.eaten_ug / ITEM_UG * f64::from(FRY);
            eprintln!("{per_ml} in a mL, {mode:?}: {caught:.0} caught, {expected:.0} expected");
            // Captures are a Poisson count, or less scattered: three and a half standard errors.
            assert!(
                (caught - expected).abs() < 3.5 * expected.sqrt(),
                "{mode:?}, {per_ml}: {caught} against {expected}"
            );
        }
    }
}
