//! The water of a tub as files describe it: what is read, what is taken, what a plan changes, and what is said of it.

use frytub_scenarios::{Kind, NumberUsed, Scenario, examples, explain};
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
    for example in examples().iter().filter(|example| !example.text.contains("[tub.water]")) {
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
    assert_eq!(three(&new.ripeness), [0.0001, 0.0001, 0.01]);
    near(&new.ripe_mg_day, [4.0, 10.0, 20.0]);
    // Four weeks old: half ripe if that takes four weeks; after two thirds and after twice that time otherwise.
    let older = of("age = \"4 weeks\"", "");
    near(&older.ripeness, [1.0 / (1.0 + 9999.0_f64.powf(1.0 / 3.0)), 0.5, 0.9999]);
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

fn told(scenario: &Scenario) -> String {
    explain(scenario).render(scenario, false)
}

#[test]
fn the_water_and_the_waste_are_told_in_plain_sentences() {
    let tub = "drip = \"100 mL/h\"\nnight_cooler = \"1 C\"\n\
               water = { ph = 7.5, sponge = { volume = \"20 mL\", age = \"ripe\" } }";
    let scenario = with_tub(tub, "");
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(".");
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!("told", told(&scenario)));
}

#[test]
fn what_no_mouth_can_pass_rots_to_the_last_milligram() {
    // 20 mL of 1 mg in a mL, twice a day, until day 3; too wide for every mouth.
    let scenario = small(
        &[
            ("\"6 L\"", "\"6 L\"\nwater = { ph = 7.5, decay_nitrogen = 0.75, decay_oxygen = \"1.3 mg\" }"),
            ("days = 8", "days = 3\nweaning_food = \"newly hatched brine shrimp, small strain\""),
            ("\"microworm\" = \"300 per mL\"", "\"powder 200 to 300 um\" = \"1 mg per mL\""),
        ],
        "\n[change.fish]\ngape_share = 0.02\n\n[[plan]]\nname = \"Siphoned\"\nsiphon = true\n\
         by_hand = { at = \"every visit\", dose = \"20 mL\" }\n",
    );
    let nitrogen_mg = 40.0 * scenario.study.foods[0].numbers.nitrogen.likely() * 0.75;
    let text = told(&scenario).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("40 mg of 40 mg dry are left to rot at least"), "{text}");
    let ammonia = format!(
        "0 mg from what is eaten and {nitrogen_mg:.2} mg from what rots, {:.2} mg/L a day in this tub. It rises to {:.2} mg/L",
        nitrogen_mg / 6.0,
        3.0 * nitrogen_mg / 6.0
    );
    assert!(text.contains(&ammonia), "{ammonia} is not in {text}");
    // A siphon that takes 0.7 of what lies there once a day leaves it less time to rot: k/(k − ln 0.3).
    let food = &scenario.study.foods[0].numbers;
    let rate = food.decay_per_day.likely() * 1.075;
    let siphoned_mg = nitrogen_mg * rate / (rate - 0.3_f64.ln());
    assert!(text.contains(&format!("0 mg from what is eaten and {siphoned_mg:.3} mg from what rots")), "{text}");
    // 40 mg that rot use 52 mg of oxygen; each of 220 fry burns 14.6 µg, at 1.46 mg a mg.
    let used: f64 = text.split("Oxygen: ").nth(1).and_then(|rest| rest.split(' ').next()).unwrap().parse().unwrap();
    assert!((used - 52.0 - 1.46 * 0.0146 * 220.0).abs() < 0.1, "{used}");
}

#[test]
fn what_the_water_cannot_carry_is_doubted_with_a_remedy() {
    let doubts = |tub: &str, add: &str| -> Vec<String> {
        explain(&with_tub(tub, add)).warnings.iter().map(ToString::to_string).collect()
    };
    assert_eq!(doubts("water = \"reckoned\"", ""), [] as [String; 0], "the small scenario feeds modestly");
    let generous = "\n[[plan]]\nname = \"Generous\"\nby_hand = { at = \"every visit\", dose = \"400 mL\" }\n";
    let still = doubts("air = \"none\"\nwater = { ph = 7 }", generous);
    let [lack] = &still[..] else { panic!("{still:#?}") };
    assert!(lack.starts_with("\"Generous\": on day") && lack.contains("the oxygen runs out"), "{lack}");
    assert!(lack.contains("fry die of that") && lack.contains("Give more air"), "{lack}");
    // Well aired, alkaline water: oxygen suffices, but most of the ammonia is un-ionised.
    let alkaline = doubts("water = { ph = 9, air_flow = \"10 L/min\" }", generous);
    let [ammonia] = &alkaline[..] else { panic!("{alkaline:#?}") };
    assert!(ammonia.starts_with("\"Generous\": the water cannot carry this food"), "{ammonia}");
    assert!(ammonia.contains("ripe sponge"), "{ammonia}");
    // A drip of twenty tubs a day carries it away; that drip is doubted for another reason.
    let dripping = doubts("drip = \"5 L/h\"\nwater = { ph = 9, air_flow = \"10 L/min\" }", generous);
    assert!(dripping.iter().all(|doubt| doubt.contains("the drip brings")), "{dripping:#?}");
}

#[test]
fn a_huge_ration_is_doubted_by_the_water_where_that_is_reckoned_with() {
    let huge = |tub: &str| -> Vec<String> {
        let worms = ("\"300 per mL\"", "\"90 mg per mL\"");
        let scenario = small(&[("\"6 L\"", &format!("\"6 L\"\n{tub}")), worms], "");
        explain(&scenario).warnings.iter().map(ToString::to_string).collect()
    };
    assert!(
        huge("").iter().any(|doubt| doubt.contains("times its own mass") && doubt.contains("water = \"reckoned\""))
    );
    let reckoned = huge("water = \"reckoned\"");
    assert!(reckoned.iter().any(|doubt| doubt.contains("the oxygen runs out")), "{reckoned:#?}");
    assert!(!reckoned.iter().any(|doubt| doubt.contains("times its own mass")), "{reckoned:#?}");
}
