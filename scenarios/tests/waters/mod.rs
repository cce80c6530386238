//! The water of a tub as files describe it: what is read, what is taken, what a plan changes, and what is said of it.

use frytub_scenarios::{Kind, NumberUsed, Scenario, examples};
use frytub_sim::numbers::{Range, WaterNumbers};

use crate::small;

/// The small scenario with more lines in its `[tub]`, and more at its end.
fn with_tub(lines: &str, add: &str) -> Scenario {
    small(&[("volume = \"6 L\"", &format!("volume = \"6 L\"\n{lines}"))], add)
}

fn water(scenario: &Scenario) -> &WaterNumbers<Range> {
    scenario.study.tubs[0].water.as_ref().expect("the water is reckoned with")
}

fn three(range: &Range) -> [f64; 3] {
    [range.low(), range.likely(), range.high()]
}

fn near(range: &Range, expected: [f64; 3]) {
    let given = three(range);
    for (given, expected) in given.iter().zip(expected) {
        assert!((given - expected).abs() < 1e-9 * expected.abs().max(1.0), "{given} instead of {expected}");
    }
}

fn used<'s>(scenario: &'s Scenario, slot: &str) -> &'s NumberUsed {
    scenario.numbers_used.iter().find(|number| number.slot == slot).unwrap_or_else(|| panic!("{slot} is not listed"))
}

#[test]
fn a_file_without_water_is_as_it_always_was() {
    for scenario in [small(&[], ""), with_tub("water = \"not reckoned\"", "")] {
        assert!(scenario.study.tubs.iter().all(|tub| tub.water.is_none()));
        let of_water = |number: &NumberUsed| {
            number.slot.starts_with("water") || number.key.starts_with("ammonia") || number.key.starts_with("oxygen")
        };
        assert!(!scenario.numbers_used.iter().any(of_water));
    }
    for example in examples().iter().filter(|example| !example.text.contains("water = {")) {
        assert!(example.read().unwrap().study.tubs.iter().all(|tub| tub.water.is_none()), "{}", example.name);
    }
}

#[test]
fn what_is_not_said_of_the_water_has_a_wide_range_and_a_source() {
    let scenario = with_tub("water = \"reckoned\"", "");
    assert_eq!(scenario.study, with_tub("water = {}", "").study);
    let water = water(&scenario);
    assert_eq!(three(&water.ph), [6.8, 7.4, 8.0]);
    assert_eq!(three(&water.alkalinity_meq_l), [1.0, 2.0, 4.0]);
    assert_eq!(three(&water.surface_cm_h), [0.5, 1.5, 4.0]);
    assert_eq!(three(&water.decay_oxygen), [1.1, 1.3, 1.6]);
    assert_eq!(three(&water.decay_nitrogen), [0.5, 0.75, 0.9]);
    // 100 mL a minute in 6 L: a sixth of 2 per hour, three times less or more.
    near(&water.air_per_h, [1.0 / 9.0, 1.0 / 3.0, 1.0]);
    assert_eq!(three(&water.ripe_mg_day), [0.0; 3]);
    for info in WaterNumbers::<f64>::INFO {
        let used = used(&scenario, &format!("water: {}", info.key));
        assert_eq!((used.kind, used.group.as_str()), (Kind::Default, "water"), "{}", info.key);
        assert!(!used.source.is_empty(), "{}", info.key);
    }
    assert!(used(&scenario, "water: air_per_h").source.contains("gentle air is taken to be 100 mL/min"));
    for key in ["ammonia_lc50_mg_l", "ammonia_speed_per_h", "ammonia_threshold", "oxygen_lethal_mg_l"] {
        assert!(used(&scenario, &format!("fish: {key}")).source.len() > 20, "{key}");
    }
}

#[test]
fn everything_of_the_water_can_be_written() {
    let scenario = with_tub(
        "night_cooler = { low = \"1 C\", likely = \"2 C\", high = \"5.4 F\" }\n\
         water = { ph = 7.5, alkalinity = \"3 meq/L\", air_flow = \"0.3 L/min\", surface = \"2 cm/h\", \
         decay_oxygen = \"1.4 mg\", decay_nitrogen = \"60 %\", sponge = { volume = \"50 mL\", age = \"ripe\" } }",
        "",
    );
    near(&scenario.study.tubs[0].numbers.night_cooler_c, [1.0, 2.0, 3.0]);
    let water = water(&scenario);
    let certain = [&water.ph, &water.alkalinity_meq_l, &water.surface_cm_h, &water.decay_oxygen, &water.decay_nitrogen];
    let certain: Vec<[f64; 3]> = certain.into_iter().map(three).collect();
    assert_eq!(certain, [[7.5; 3], [3.0; 3], [2.0; 3], [1.4; 3], [0.6; 3]]);
    near(&water.air_per_h, [1.0 / 3.0, 1.0, 3.0]);
    // 50 mL of foam have 0.05 m², each of which turns over 0.2 to 1 g a day.
    near(&water.ripe_mg_day, [10.0, 25.0, 50.0]);
    assert_eq!(three(&water.ripeness), [0.7, 0.9, 1.0]);
    assert_eq!(three(&water.ripening_days), [14.0, 28.0, 42.0]);
    assert_eq!(three(&water.outlet_credit), [1.0; 3]);
    let air = used(&scenario, "water: air_per_h");
    assert_eq!(air.kind, Kind::ScenarioFile);
    assert!(air.source.contains("300 mL/min") && air.source.contains("three times less or more"), "{}", air.source);
}

#[test]
fn air_is_reckoned_for_the_tub_that_has_it() {
    let still = with_tub("air = \"none\"\nwater = {}", "");
    assert_eq!(three(&water(&still).air_per_h), [0.0; 3]);
    let plans = "\n[[plan]]\nname = \"Still\"\nby_hand = { at = \"every visit\", dose = \"20 mL\" }\n\
                 tub = { air = \"none\" }\n\n[[plan]]\nname = \"Small\"\n\
                 by_hand = { at = \"every visit\", dose = \"20 mL\" }\n\
                 tub = { volume = \"2 L\", water = { ph = 8 } }\n\n[[plan]]\nname = \"Unknown\"\n\
                 by_hand = { at = \"every visit\", dose = \"20 mL\" }\ntub = { water = \"not reckoned\" }\n";
    let scenario = with_tub("water = { alkalinity = \"3 meq/L\", air_flow = \"200 mL/min\" }", plans);
    let tubs = &scenario.study.tubs;
    let air: Vec<Option<f64>> =
        tubs.iter().map(|tub| tub.water.as_ref().map(|water| water.air_per_h.likely())).collect();
    assert_eq!(air, [Some(200.0 / 100.0 * 2.0 / 6.0), Some(0.0), Some(2.0), None]);
    let small = tubs[2].water.as_ref().unwrap();
    assert_eq!((small.ph.likely(), small.alkalinity_meq_l.likely()), (8.0, 3.0), "the rest is as in the file's tub");
    assert!(scenario.numbers_used.iter().any(|n| n.group == "water of Small" && n.slot == "water: ph"));
    // So much air that the water is as good as saturated is not refused.
    let stormy = with_tub("water = { air_flow = \"20 L/min\" }", "");
    assert_eq!(three(&water(&stormy).air_per_h)[2], 100.0);
}

#[test]
fn a_sponge_is_worth_what_its_age_and_place_make_it() {
    let of = |sponge: &str, lines: &str| {
        let scenario = with_tub(&format!("water = {{ sponge = {{ volume = \"20 mL\", {sponge} }} }}\n{lines}"), "");
        water(&scenario).clone()
    };
    let new = of("age = \"new\"", "");
    assert_eq!(three(&new.ripeness), [0.001, 0.01, 0.05]);
    near(&new.ripe_mg_day, [4.0, 10.0, 20.0]);
    // Four weeks old: half ripe if it takes four weeks; 1/(1 + 99^(1/3)) if six; 99/100 if two.
    let older = of("age = \"4 weeks\"", "");
    near(&older.ripeness, [1.0 / (1.0 + 99.0_f64.powf(1.0 / 3.0)), 0.5, 0.99]);
    let outlet = "outlet = { sponge_face = \"8 cm2\", rim = \"30 mm\" }";
    assert_eq!(three(&of("age = \"ripe\"", outlet).outlet_credit), [0.0, 0.2, 1.0]);
    assert_eq!(three(&of("age = \"ripe\", where = \"in the tub\"", outlet).outlet_credit), [1.0; 3]);
    assert_eq!(three(&of("age = \"ripe\", where = \"in the outlet\"", "").outlet_credit), [0.0, 0.2, 1.0]);
    let without = "\n[[plan]]\nname = \"Bare\"\nby_hand = { at = \"every visit\", dose = \"20 mL\" }\n\
                   tub = { water = { sponge = \"none\" } }\n";
    let scenario = with_tub("water = { sponge = { volume = \"20 mL\", age = \"ripe\" } }", without);
    let most = |tub: usize| scenario.study.tubs[tub].water.as_ref().unwrap().ripe_mg_day.likely();
    assert_eq!((most(0), most(1)), (10.0, 0.0));
}
