//! Nitrogen closes, and water stays a thing that can be, in tubs put together at random: what fry ate is in guts, bodies,
//! waste, ammonia and bacteria; what came into the water was nitrified, left with it, or is still there. To one part in a
//! thousand million, the rounding of sums of some ten thousand terms.

use frytub_sim::brood::Mode;
use frytub_sim::chance::Streams;
use frytub_sim::numbers::{LiquidNumbers, Range};
use frytub_sim::study::Liquid;
use frytub_sim::worlds;
use proptest::prelude::*;

use super::balance::assert_adds_up;
use crate::biology::fouling::water;
use crate::support::{Setting, run};

const ROUNDING: f64 = 1e-9;

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nitrogen_closes(
        air in prop_oneof![Just(0.0), 0.01..5.0_f64],
        dose_mg in 0.1..200.0_f64,
        drip in 0_u32..400,
        changed in prop_oneof![Just(0.0), 0.05..0.9_f64],
        cooler in prop_oneof![Just(0.0), 0.5..6.0_f64],
        siphon in any::<bool>(),
        ripeness in 0.0..1.0_f64,
        unwashed in prop_oneof![Just(0.0), 0.01..1.0_f64],
        seed in any::<u64>(),
    ) {
        let drip = format!("{drip} mL/h");
        let plans = format!(
            "[[plan]]\nname = \"plan\"\nsiphon = {siphon}\nby_pump = {{ at = [\"08:00\", \"16:00\"], dose = \"{dose_mg} mg\" }}"
        );
        let mix = "\"egg yolk\" = \"0.5 mg per mL\"\nrotifer = \"100 per mL\"\nmicroworm = \"200 per mL\"";
        let setting = Setting { fry: 20, days: 4, drip: &drip, mix, plans: &plans, ..Setting::default() };
        let mut study = setting.study();
        let mut numbers = water(air);
        numbers.ripeness = Range::certain(ripeness);
        numbers.outlet_credit = Range::certain(1.0);
        study.tubs[0].water = Some(numbers);
        study.tubs[0].numbers.night_cooler_c = Range::certain(cooler);
        study.keeper.changed_share = Range::certain(changed);
        let liquid = LiquidNumbers { share: unwashed, acid_meq_ml: 0.4, oxygen_mg_ml: 20.0, nitrogen_mg_ml: 0.5 };
        let numbers = liquid.map(|_, &value| Range::certain(value));
        study.mixes[0].liquid = Some(Liquid { name: "liquid".to_owned(), numbers });
        let world = worlds::likely(&study);
        let record = run(&study, 0, &world, Streams::new(seed, 1, 1), Mode::Leaps);
        assert_adds_up(&record, &study);
        let water = record.water.expect("water is reckoned with");
        let b = water.books;
        let sum = b.gut + b.body + b.waste + b.siphoned + b.ammonia + b.bound;
        let size = b.eaten.max(b.ammonia).max(b.waste.abs()).max(b.body.abs());
        prop_assert!((sum - b.eaten).abs() <= ROUNDING * size.max(1.0), "{b:?}: {sum}");
        let a = water.account;
        let pending = b.ammonia / 1000.0 + water.from_food_mg + a.from_liquid - a.given;
        let left = a.nitrified + a.washed + water.ammonia_mg - pending;
        prop_assert!(pending >= -ROUNDING * a.given.max(1.0), "{pending} {a:?}");
        prop_assert!((left - a.given).abs() <= ROUNDING * a.given.max(1.0), "{a:?} and {} in the water", water.ammonia_mg);
        prop_assert!(water.oxygen_mg_l.iter().all(|&mg| (0.0..12.0).contains(&mg)), "{:?}", water.oxygen_mg_l);
        prop_assert!(water.ammonia_mg_l.iter().all(|&mg| mg >= 0.0 && mg.is_finite()));
        prop_assert!((3.0..10.0).contains(&water.ph), "pH {}", water.ph);
    }
}
