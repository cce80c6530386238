//! Reservoirs, feed lines, outlets and jar tests as files describe them, and what a timer makes of the doses.

mod told;

use frytub_scenarios::{Kind, Scenario, examples};
use frytub_sim::study::{By, Fill, FloorPart, JarKind, PlanLine, Shape, Stone, Visits};

use crate::small;

/// A reservoir and a feed line for the small scenario.
const EQUIPMENT: &str = "\n[[reservoir]]\nname = \"cone\"\nkind = \"steep cone\"\n\n[feed_line]\npump = \"5 mL/min\"\n\
                         timer = \"one-minute timer\"\ntube_length = \"1.5 m\"\ntube_end = \"40 mm\"\n";
/// A plan that feeds through them; the last line is left open for more.
const PUMP_PLAN: &str = "\n[[plan]]\nname = \"By pump\"\n\
                         by_pump = { at = \"every 2 h from 08:00 to 18:00\", dose = \"10 mL\"";

/// The small scenario with equipment, a plan by pump, more in its by_pump, and more lines for the plan.
fn pumped(in_by_pump: &str, add: &str) -> Scenario {
    small(&[], &format!("{EQUIPMENT}{PUMP_PLAN}{in_by_pump} }}\n{add}"))
}

fn line<'s>(scenario: &'s Scenario, name: &str) -> &'s PlanLine {
    let plan = scenario.study.plans.iter().find(|plan| plan.name == name).unwrap();
    plan.line.as_ref().unwrap()
}

#[test]
fn a_file_without_a_feed_line_is_as_it_always_was() {
    for example in examples() {
        if example.text.contains("[feed_line]") {
            continue;
        }
        let study = example.read().unwrap().study;
        assert!(study.lines.is_empty() && study.reservoirs.is_empty() && study.jar_tests.is_empty());
        assert!(study.plans.iter().all(|plan| plan.line.is_none() && plan.rinses == Visits::First));
        assert!(study.tubs.iter().all(|tub| tub.outlet.is_none()));
    }
}

#[test]
fn a_reservoir_takes_from_its_kind_what_the_file_does_not_say() {
    let scenario = small(
        &[],
        "\n[[reservoir]]\nname = \"mine\"\nkind = \"box\"\nlength = \"20 cm\"\nholds = \"2 L\"\nair = \"none\"\n\
         temperature = \"8 C\"\nintake = \"4 mm\"\nslide_time = \"20 s\"\nlift_stress = \"0.02 Pa\"\n\
         stone_radius = \"7 mm\"\ndry_volume = \"20 mL\"\nageing_rise = 2.5\n",
    );
    let reservoir = &scenario.study.reservoirs[0];
    assert_eq!(reservoir.shape, Shape::Box { length_mm: 200.0, width_mm: 90.0 });
    assert_eq!((reservoir.stone, reservoir.intake_mm), (Stone::OneEnd, 4.0));
    let n = &reservoir.numbers;
    let given = [&n.volume_ml, &n.air_ml_min, &n.temperature_c, &n.slide_s, &n.lift_pa, &n.stone_mm, &n.dry_ml];
    let given: Vec<f64> = given.iter().map(|range| range.likely()).collect();
    assert_eq!(given, [2000.0, 0.0, 8.0, 20.0, 0.02, 7.0, 20.0]);
    assert_eq!(n.ageing_q10.likely(), 2.5);
    assert_eq!((n.dead_floor.low(), n.dead_floor.likely(), n.dead_floor.high()), (0.03, 0.1, 0.3));
    let used = |key: &str| {
        let of = |number: &&frytub_scenarios::NumberUsed| number.group == "reservoir mine" && number.key == key;
        scenario.numbers_used.iter().find(of).unwrap()
    };
    assert_eq!((used("volume_ml").kind, used("volume_ml").slot.as_str()), (Kind::ScenarioFile, "reservoir: volume_ml"));
    assert_eq!(used("dead_floor").kind, Kind::Estimate);
}

#[test]
fn every_shape_can_be_written() {
    let shape = |text: &str| {
        let file = format!("\n[[reservoir]]\nname = \"mine\"\nholds = \"1 L\"\n{text}\n");
        small(&[], &file).study.reservoirs.remove(0)
    };
    let jar = shape("shape = \"cylinder\"\ndiameter = \"10 cm\"");
    assert_eq!(jar.shape, Shape::Cylinder { diameter_mm: 100.0 });
    assert_eq!(jar.numbers.dead_floor.likely(), 0.05, "a cylinder's numbers are those of the library's cylinder");
    let cone = shape("shape = \"cone\"\ndiameter = \"90 mm\"\nslope = \"55°\"");
    assert_eq!(cone.shape, Shape::Cone { diameter_mm: 90.0, slope_deg: 55.0 });
    assert_eq!(cone.numbers.dead_floor.likely(), 0.0);
    let own = shape(
        "shape = \"own\"\nfloor = [ { slope = \"0 degrees\", area = \"20 cm2\" }, { slope = \"60 degrees\", area = \"40 cm2\" } ]",
    );
    let floor = vec![FloorPart { slope_deg: 0.0, area_mm2: 2000.0 }, FloorPart { slope_deg: 60.0, area_mm2: 4000.0 }];
    assert_eq!(own.shape, Shape::Own { floor });
    let other = shape("kind = \"box\"\nshape = \"cone\"\ndiameter = \"9 cm\"\nslope = \"60 degrees\"");
    assert_eq!(other.stone, Stone::Middle, "a cone made of a box has its stone in the tip");
}

#[test]
fn a_pump_plan_feeds_through_the_only_reservoir_with_the_usual_habits() {
    let scenario = pumped("", "");
    assert_eq!(scenario.warnings, []);
    let line = line(&scenario, "By pump");
    assert_eq!((line.reservoir, line.line, line.fill, line.refills), (0, 0, Fill::Needed, Visits::Every));
    assert_eq!(scenario.study.recipes[line.recipe].name, "standard");
    let numbers = &scenario.study.lines[0].numbers;
    assert_eq!((numbers.pump_ml_min.likely(), numbers.length_m.likely(), numbers.end_mm.likely()), (5.0, 1.5, 40.0));
    assert_eq!((numbers.bore_mm.likely(), numbers.pump_drift.likely()), (4.0, 0.97));
    let by_hand = &scenario.study.plans[0];
    assert!(by_hand.line.is_none(), "a plan without a pump has no line");
    let listed = |slot: &str| scenario.numbers_used.iter().any(|number| number.slot == slot);
    assert!(listed("feed line: pump_drift") && listed("reservoir: slide_s") && listed("microworm: stick_chance"));
    assert!(small(&[], "").numbers_used.iter().all(|number| number.key != "stick_chance"));
}

#[test]
fn a_plan_may_say_what_where_when_and_how_much_is_poured_in() {
    let more = "\n[[reservoir]]\nname = \"tray\"\nkind = \"box\"\n\n[[recipe]]\nrecipe = \"worms only\"\nfrom_day = 1\n\
                mix = \"first food\"\n";
    let by_pump = ", reservoir = \"Tray\", recipe = \"worms only\", refill = \"every 2 days\", fill = \"500 mL\"";
    let line_changes =
        "feed_line = { tube_end = \"-5 mm\", timer = \"seconds timer\", pump = \"10 mL/min\" }\nrinse = \"never\"\n";
    let scenario = pumped(by_pump, &format!("{line_changes}{more}"));
    let plan = &scenario.study.plans[1];
    let line = line(&scenario, "By pump");
    assert_eq!(scenario.study.reservoirs[line.reservoir].name, "tray");
    assert_eq!(scenario.study.reservoirs.len(), 2, "the other one is kept, to be compared");
    assert_eq!(scenario.study.recipes[line.recipe].name, "worms only");
    assert_eq!(scenario.study.recipes[plan.recipe].name, "standard");
    assert_eq!((line.refills, line.fill, plan.rinses), (Visits::FirstEvery(2), Fill::Millilitres(500.0), Visits::None));
    let feed_line = &scenario.study.lines[line.line];
    assert_eq!((feed_line.numbers.end_mm.likely(), feed_line.numbers.pump_ml_min.likely()), (-5.0, 10.0));
    assert_eq!(feed_line.timer.name, "seconds timer");
    assert!(scenario.numbers_used.iter().any(|n| n.group == "feed line of By pump" && n.slot == "feed line: end_mm"));
}

#[test]
fn the_timer_is_set_day_by_day_to_whole_slots() {
    let scenario = pumped("", "first_feed = \"day 2\"\n");
    let line = line(&scenario, "By pump");
    assert_eq!(line.programme.len(), 8);
    assert!(line.programme[0].is_empty(), "nothing is fed before day 2");
    let day = |day: usize| -> Vec<(String, f64, f64)> {
        line.programme[day - 1].iter().map(|run| (run.at.to_string(), run.minutes, run.wanted_ml)).collect()
    };
    assert_eq!(day(2).len(), 6);
    assert_eq!(day(2)[0], ("08:00".to_string(), 2.0, 10.0));
    // From day 4 doses are doubled.
    assert_eq!(day(4)[5], ("18:00".to_string(), 4.0, 20.0));
    let feeds = &scenario.study.plans[1].week[0].feeds;
    assert!(feeds.iter().all(|feed| feed.by == By::Pump && (feed.over_min - 2.0).abs() < 1e-12));
}

#[test]
fn doses_by_mass_become_millilitres_of_what_is_in_the_reservoir() {
    let scenario = small(&[], &format!("{EQUIPMENT}{}", PUMP_PLAN.replace("10 mL", "1 mg") + " }\n"));
    let worm_ug = scenario.study.foods[0].numbers.mass_ug.likely();
    let wanted_ml = 1000.0 / (300.0 * worm_ug);
    let run = line(&scenario, "By pump").programme[0][0];
    assert!((run.wanted_ml / wanted_ml - 1.0).abs() < 1e-12, "{run:?} against {wanted_ml}");
    assert_eq!(run.minutes, (wanted_ml / 5.0).round());
}

#[test]
fn a_coarse_timer_thins_and_merges() {
    let timer = "feed_line = { timer = { slot = \"30 min\", programmes = 3, starts_every = \"30 min\", keeps_clock = false } }\n";
    let scenario = pumped("", timer);
    let runs = &line(&scenario, "By pump").programme[0];
    let times: Vec<String> = runs.iter().map(|run| run.at.to_string()).collect();
    assert_eq!(times, ["08:00", "14:00", "18:00"]);
    assert!(runs.iter().all(|run| run.minutes == 30.0));
    assert!(!scenario.study.lines[0].timer.keeps_clock);
}

#[test]
fn a_family_may_feed_through_a_line() {
    let family = "\n[[family]]\nname = \"Pumped\"\nfeeds = [2, 4]\nby = \"pump\"\nbetween = [\"08:00\", \"18:00\"]\n\
                  dose = \"20 mL a day\"\nrefill = \"first visit\"\nfill = \"enough\"\npump_recipe = \"standard\"\n\
                  feed_line = { tube_end = \"5 mm\" }\nrinse = \"every 3 days\"\n";
    let scenario = small(&[], &format!("{EQUIPMENT}{family}"));
    let four = line(&scenario, "Pumped: 4 feeds");
    assert_eq!(four.programme[0].len(), 4);
    assert_eq!((four.programme[0][0].wanted_ml, four.programme[0][0].minutes), (5.0, 1.0));
    assert_eq!(four.refills, Visits::First);
    assert_eq!(scenario.study.lines.len(), 1, "plans with the same line share it");
    assert_eq!(scenario.study.plans[2].rinses, Visits::FirstEvery(3));
}

#[test]
fn one_plan_may_do_without_the_line() {
    let scenario = pumped(", over = \"3 min\"", "feed_line = \"none\"\n");
    let plan = &scenario.study.plans[1];
    assert!(plan.line.is_none());
    assert_eq!(plan.week[0].feeds[0].over_min, 3.0);
    assert!(scenario.study.lines.is_empty(), "a line that no plan uses stays out");
}

#[test]
fn an_outlet_has_its_face_and_rim_and_plans_may_change_it() {
    let plan = "\n[[plan]]\nname = \"Large sponge\"\nby_hand = { at = \"every visit\", dose = \"20 mL\" }\n\
                tub = { outlet = { sponge_face = \"40 cm2\" } }\n\n[[plan]]\nname = \"No sponge\"\n\
                by_hand = { at = \"every visit\", dose = \"20 mL\" }\ntub = { outlet = \"none\" }\n";
    let outlet = "\"6 L\"\noutlet = { sponge_face = \"8 cm2\", rim = \"30 mm\", keeps = \"50 %\" }";
    let scenario = small(&[("\"6 L\"", outlet)], plan);
    let outlet = |tub: usize| scenario.study.tubs[tub].outlet.as_ref().map(|outlet| &outlet.numbers);
    let usual = outlet(0).unwrap();
    assert_eq!((usual.face_cm2.likely(), usual.rim_mm.likely(), usual.catch_share.likely()), (8.0, 30.0, 0.5));
    assert_eq!((usual.clog_g_m2.low(), usual.clog_g_m2.likely(), usual.clog_g_m2.high()), (10.0, 15.0, 20.0));
    let large = outlet(1).unwrap();
    assert_eq!((large.face_cm2.likely(), large.rim_mm.likely(), large.catch_share.likely()), (40.0, 30.0, 0.5));
    assert_eq!(outlet(2), None);
    let groups: Vec<&str> =
        scenario.numbers_used.iter().filter(|n| n.key == "face_cm2").map(|n| n.group.as_str()).collect();
    assert_eq!(groups, ["outlet", "outlet of Large sponge"]);
}

#[test]
fn jar_tests_come_as_they_were_read() {
    let tests = "\n[[jar_test]]\nfood = \"micro worm\"\nair = \"off\"\nheight = \"10 cm\"\nafter = \"0.5 h\"\n\
                 in_suspension = \"35 %\"\n\n[[jar_test]]\nfood = \"microworm\"\nair = \"on\"\nvolume = \"500 mL\"\n\
                 after = \"30 min\"\nin_suspension = 0.8\nreading_error = \"4 %\"\n";
    let scenario = pumped("", tests);
    let [still, stirred] = &scenario.study.jar_tests[..] else { panic!("two tests were made") };
    assert_eq!(still.how, JarKind::Still { height_mm: 100.0, celsius: 24.0 });
    assert_eq!((still.food, still.after_min, still.in_suspension, still.reading_error), (0, 30.0, 0.35, 0.07));
    assert_eq!(stirred.how, JarKind::Stirred { reservoir: 0, volume_ml: 500.0 });
    assert_eq!((stirred.in_suspension, stirred.reading_error), (0.8, 0.04));
    let read = |group: &str, key: &str| {
        scenario.numbers_used.iter().find(|n| n.group == group && n.key == key).map(|n| (n.range.likely(), n.kind))
    };
    assert_eq!(read("jar test of microworm, still", "reading_error"), Some((0.07, Kind::Default)));
    assert_eq!(read("jar test of microworm, with air", "in_suspension"), Some((0.8, Kind::ScenarioFile)));
}
