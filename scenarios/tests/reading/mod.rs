//! What a sound file comes to: times, doses, visits, tubs, families, defaults and where each number is from.

use frytub_scenarios::{Kind, NumberUsed, Scenario, examples, read_text};
use frytub_sim::study::{By, Content, Dose, Matched, Plan};
use frytub_sim::worlds;

use crate::{SMALL, small};

fn plan<'s>(scenario: &'s Scenario, name: &str) -> &'s Plan {
    scenario.study.plans.iter().find(|plan| plan.name == name).unwrap_or_else(|| panic!("no plan {name}"))
}

fn times(plan: &Plan, day: usize, by: By) -> Vec<String> {
    plan.week[day].feeds.iter().filter(|feed| feed.by == by).map(|feed| feed.at.to_string()).collect()
}

fn visits(plan: &Plan, day: usize) -> Vec<String> {
    plan.week[day].visits.iter().map(ToString::to_string).collect()
}

#[test]
fn a_short_file_is_filled_up_with_defaults_that_say_so() {
    let scenario = small(&[], "");
    let study = &scenario.study;
    assert_eq!((study.fry, study.days, study.first_weekday, study.show_day), (220, 8, 0, 3));
    assert_eq!((study.light_on.to_string(), study.light_off.to_string()), ("07:00".into(), "21:00".into()));
    assert_eq!(study.foods[study.weaning_food].name, "newly hatched brine shrimp, small strain");
    assert!(study.tubs[0].air);
    let number = |group: &str, key: &str| {
        scenario.numbers_used.iter().find(|n| n.group == group && n.key == key).unwrap_or_else(|| panic!("{key}"))
    };
    assert_eq!(number("tub", "volume_ml").kind, Kind::ScenarioFile);
    assert_eq!(number("tub", "volume_ml").range.likely(), 6000.0);
    assert_eq!(number("tub", "temperature_c").kind, Kind::Default);
    assert_eq!(number("keeper", "missed_chance").kind, Kind::Default);
    assert_eq!(number("keeper", "missed_chance").range.likely(), 0.02);
    assert_eq!(number("first food", "microworm").range.likely(), 300.0);
    assert!(!number("dwarf cichlid", "gape_share").source.is_empty());
}

#[test]
fn every_uncertain_number_of_the_simulator_is_among_the_numbers_used() {
    for example in examples() {
        let scenario = example.read().unwrap();
        for slot in worlds::uncertain(&scenario.study) {
            // Where tubs differ, one may have a certain value: the first uncertain one gives the slot its range.
            let uncertain = |number: &&NumberUsed| number.slot == slot.name && !number.range.is_certain();
            let used = scenario.numbers_used.iter().find(uncertain);
            let used = used.unwrap_or_else(|| panic!("{}: {} is not listed", example.name, slot.name));
            assert_eq!((used.range, used.unit.as_str()), (slot.range, slot.unit.as_str()), "{}", slot.name);
        }
    }
}

#[test]
fn foods_that_no_plan_uses_stay_out_of_the_study() {
    let scenario = small(&[], "\n[mix.\"spare\"]\n\"rotifer\" = \"10 per mL\"\n");
    assert!(scenario.study.foods.iter().all(|food| food.name != "rotifer"));
    assert_eq!(scenario.study.mixes.len(), 2);
    let warnings: Vec<&str> = scenario.warnings.iter().map(|warning| warning.what.as_str()).collect();
    assert_eq!(warnings, ["the mix \"spare\" is in no recipe that a plan uses"]);
    let shown = scenario.render_warnings(&scenario.warnings, false);
    assert!(shown.contains("small.toml:33") && shown.contains("^^^^^^^"), "{shown}");
}

#[test]
fn hand_feeds_bring_their_own_visits_and_pump_feeds_do_not() {
    let scenario = small(
        &[("visits = [\"07:30\", \"15:30\"]", "visits = [\"07:30\", \"15:30\"]\nweekend_visits = [\"10:00\"]")],
        "\n[[plan]]\nname = \"Noon\"\nby_hand = { at = [\"12:00\"], weekend_at = \"every visit\", dose = \"20 mL\" }\n\
         by_pump = { at = \"every 3 h from 09:00 to 18:00\", dose = \"2 mL\", over = \"2 min\" }\n",
    );
    let noon = plan(&scenario, "Noon");
    assert_eq!(visits(noon, 4), ["07:30", "12:00", "15:30"]);
    assert_eq!(visits(noon, 5), ["10:00"]);
    assert_eq!(times(noon, 4, By::Hand), ["12:00"]);
    assert_eq!(times(noon, 6, By::Hand), ["10:00"]);
    assert_eq!(times(noon, 0, By::Pump), ["09:00", "12:00", "15:00", "18:00"]);
    let order: Vec<By> = noon.week[0].feeds.iter().map(|feed| feed.by).collect();
    assert_eq!(order, [By::Pump, By::Hand, By::Pump, By::Pump, By::Pump], "at noon the hand feed stands first");
    assert_eq!(noon.week[0].feeds[0].over_min, 2.0);
    assert_eq!(noon.matched, Matched::FoodPerFeed);
}

#[test]
fn a_days_food_is_divided_among_that_days_feeds() {
    let scenario =
        small(&[("\"20 mL\"", "\"12 mg a day\""), ("\"15:30\"]", "\"15:30\"]\nweekend_visits = [\"10:00\"]")], "");
    let plan = plan(&scenario, "Two hand feeds");
    assert_eq!(plan.matched, Matched::FoodPerDay);
    assert!(plan.week[0].feeds.iter().all(|feed| feed.dose == Dose::Milligrams(6.0)));
    assert!(plan.week[6].feeds.iter().all(|feed| feed.dose == Dose::Milligrams(12.0)));
}

#[test]
fn a_plan_may_bring_visits_tub_recipe_and_first_day() {
    let scenario = small(
        &[],
        "\n[[recipe]]\nrecipe = \"worms only\"\nfrom_day = 1\nmix = \"first food\"\n\n[[plan]]\nname = \"Other\"\n\
         by_hand = { at = \"every visit\", dose = \"6000 items\" }\nvisits = [\"09:00\"]\nrecipe = \"worms only\"\n\
         tub = { volume = \"3 L\", drip = \"none\", air = \"none\" }\nfirst_feed = \"day 2\"\nsiphon = true\n",
    );
    let (usual, other) = (plan(&scenario, "Two hand feeds"), plan(&scenario, "Other"));
    assert_eq!((usual.first_feed_day, other.first_feed_day), (1, 2));
    assert!(other.siphon && !usual.siphon);
    assert_eq!(visits(other, 0), ["09:00"]);
    assert_eq!(visits(other, 6), ["09:00"], "without visits of its own the weekend is as other days");
    assert_eq!(scenario.study.recipes[other.recipe].name, "worms only");
    assert_eq!(scenario.study.tubs.len(), 2);
    let tub = &scenario.study.tubs[other.tub];
    assert_eq!((tub.air, tub.numbers.volume_ml.likely(), tub.numbers.depth_mm.likely()), (false, 3000.0, 150.0));
    assert_eq!(other.week[0].feeds[0].dose, Dose::Items(6000.0));
    assert!(scenario.numbers_used.iter().any(|number| number.group == "tub of Other" && number.key == "volume_ml"));
}

#[test]
fn a_family_becomes_one_plan_for_each_number_of_feeds() {
    let family = "\n[[family]]\nname = \"By pump\"\nfeeds = \"1 to 4\"\nby = \"pump\"\n\
                  between = [\"07:30\", \"19:30\"]\ndose = \"16 mg a day\"\nover = \"1 min\"\n\n\
                  [[family]]\nname = \"By hand\"\nfeeds = [3]\nby = \"hand\"\nbetween = [\"08:00\", \"18:00\"]\n\
                  dose = \"2 mL\"\n";
    let scenario = small(&[("\n\n[brood]", "\ncompare_with = \"By pump: 1 feed\"\n\n[brood]")], family);
    let names: Vec<&str> = scenario.study.plans.iter().map(|plan| plan.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "Two hand feeds",
            "By pump: 1 feed",
            "By pump: 2 feeds",
            "By pump: 3 feeds",
            "By pump: 4 feeds",
            "By hand: 3 feeds"
        ]
    );
    assert_eq!(scenario.study.baseline, 1);
    let four = plan(&scenario, "By pump: 4 feeds");
    assert_eq!(times(four, 2, By::Pump), ["07:30", "11:30", "15:30", "19:30"]);
    assert_eq!(visits(four, 2), ["07:30", "15:30"], "the keeper still comes");
    assert_eq!(four.week[2].feeds[0].dose, Dose::Milligrams(4.0));
    assert_eq!((four.family.as_deref(), four.matched), (Some("By pump"), Matched::FoodPerDay));
    let three = plan(&scenario, "By hand: 3 feeds");
    assert_eq!(visits(three, 2), ["08:00", "13:00", "18:00"], "its feeds are its visits");
    assert_eq!(three.matched, Matched::FoodPerFeed);
}

#[test]
fn a_change_replaces_the_librarys_number_here_only() {
    let change = "\n[change.fish]\nbackground_per_day = \"0.2 % per day\"\n\n[change.food.\"micro worm\"]\n\
                  width_um = { low = \"0.03 mm\", likely = \"35 um\", high = \"40 µm\" }\n";
    let (usual, changed) = (small(&[], ""), small(&[], change));
    assert_eq!(changed.study.fish.background_per_day.likely(), 0.002);
    let width = changed.study.foods[0].numbers.width_um;
    assert_eq!((width.low(), width.likely(), width.high()), (30.0, 35.0, 40.0));
    assert_ne!(usual.study.foods[0].numbers.width_um, width);
    let by_file = |scenario: &Scenario| {
        scenario.numbers_used.iter().filter(|n| n.kind == Kind::ScenarioFile && n.key.ends_with("width_um")).count()
    };
    assert_eq!((by_file(&usual), by_file(&changed)), (0, 1));
}

#[test]
fn mixes_hold_items_or_dry_mass() {
    let scenario =
        small(&[("\"300 per mL\"", "{ low = \"0.05 g/L\", likely = \"0.1 mg per mL\", high = \"200 ug/mL\" }")], "");
    let Content::Milligrams(range) = scenario.study.mixes[0].parts[0].content else { panic!("by mass was meant") };
    assert_eq!((range.low(), range.likely(), range.high()), (0.05, 0.1, 0.2));
}

#[test]
fn files_from_other_systems_read_the_same() {
    let usual = small(&[], "").study;
    let with_carriage_returns = read_text("small.toml", &SMALL.replace('\n', "\r\n")).unwrap().study;
    let with_mark = read_text("small.toml", &format!("\u{feff}{SMALL}")).unwrap().study;
    let unquoted_times = read_text("small.toml", &SMALL.replace("\"07:30\", \"15:30\"", "07:30, 15:30:00")).unwrap();
    assert_eq!(with_carriage_returns, usual);
    assert_eq!(with_mark, usual);
    assert_eq!(unquoted_times.study, usual);
}
