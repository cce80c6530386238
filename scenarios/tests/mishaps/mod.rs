//! Mishaps as a breeder writes them, and how they are told.

use frytub_scenarios::{Scenario, example, explain, read_text};
use frytub_sim::study::Owned;

/// The school biology room with further tables, and a line added to its first plan.
fn with(tables: &str, plan: &str) -> Scenario {
    let text =
        example("school-biology-room").expect("the example").text.replace("[keeper]", &format!("{tables}\n[keeper]"));
    let first = "name = \"Two hand feeds\"\n";
    read_text("test.toml", &text.replacen(first, &format!("{first}{plan}\n"), 1))
        .unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn without_the_table_nothing_goes_wrong() {
    assert_eq!(with("", "").study.mishaps, None);
}

#[test]
fn an_empty_table_lets_everything_happen_as_often_as_usual() {
    let scenario = with("[mishaps]", "owns = [\"backup air\"]");
    let mishaps = scenario.study.mishaps.as_ref().expect("mishaps");
    assert!(mishaps.power_cut && mishaps.air_stop && mishaps.clog && mishaps.slip);
    assert!((mishaps.numbers.power_cut_days.likely() - 45.0).abs() < 1e-9);
    assert_eq!(scenario.study.plans[0].owns, Owned { backup_air: true, ..Owned::default() });
    let used = scenario.numbers_used.iter().find(|number| number.slot == "mishaps: power_cut_h").expect("listed");
    assert!(!used.source.is_empty());
    let told = explain(&scenario).render(&scenario, false);
    for words in ["The power fails once in 45 days", "air stone stops", "runs on when the power fails"] {
        assert!(told.contains(words), "{words} in:\n{told}");
    }
    assert!(!told.contains("clogs once"), "no plan has a feed line");
}

#[test]
fn each_can_be_switched_off_or_given_its_own_figure() {
    let scenario = with("[mishaps]\npower_cut = \"never\"\nair_stop = \"30 days\"\nroom = \"18 C\"", "");
    let mishaps = scenario.study.mishaps.as_ref().expect("mishaps");
    assert!(!mishaps.power_cut && mishaps.air_stop);
    assert!((mishaps.numbers.air_stop_days.likely() - 30.0).abs() < 1e-9);
    assert!((mishaps.numbers.room_c.likely() - 18.0).abs() < 1e-9);
}

#[test]
fn a_float_alarm_is_told_and_listed_only_where_a_plan_owns_one() {
    let tub = |at: &str| format!("volume = \"6 L\"\noutlet = {{ sponge_face = \"8 cm2\", rim = \"30 mm\"{at} }}");
    let plan = "by_hand = { at = \"every visit\", dose = \"20 mL\" }";
    let owning = |at: &str| {
        crate::small(&[("volume = \"6 L\"", &tub(at)), (plan, &format!("{plan}\nowns = [\"float alarm\"]"))], "")
    };
    let is_listed = |scenario: &Scenario| scenario.numbers_used.iter().any(|number| number.key == "float_mm");
    assert!(!is_listed(&crate::small(&[("volume = \"6 L\"", &tub(""))], "")));
    let scenario = owning("");
    assert!(is_listed(&scenario) && scenario.study.plans[0].owns.float_alarm);
    let told = explain(&scenario).render(&scenario, false);
    assert!(told.contains("stops drip and pump when the water has risen by 8 mm"), "{told}");
    assert_eq!(explain(&scenario).warnings, []);
    let late = explain(&owning(", float_alarm_at = \"35 mm\"")).warnings;
    assert!(late[0].what.contains("acts at 35 mm above the still water, too late: the rim is at 30 mm"));
}

#[test]
fn a_float_above_the_tubes_end_comes_too_late() {
    let text = example("sponge-and-tube-end").expect("the example").text;
    let text = text.replacen("rim = \"30 mm\"", "rim = \"30 mm\", float_alarm_at = \"8 mm\"", 1);
    let text = text.replace("rinse = \"never\"", "rinse = \"never\"\nowns = [\"float alarm\"]");
    let scenario = read_text("test.toml", &text).unwrap_or_else(|error| panic!("{error}"));
    let late: Vec<String> = explain(&scenario).warnings.iter().map(ToString::to_string).collect();
    let late: Vec<&String> = late.iter().filter(|warning| warning.contains("too late")).collect();
    // One tube hangs 40 mm up, the other 5 mm.
    assert_eq!(late.len(), 1);
    assert!(late[0].starts_with("\"Never rinsed, tube 5 mm up\": the float alarm acts at 8 mm"), "{}", late[0]);
}

#[test]
fn what_cannot_help_is_doubted() {
    let doubts = |tub: &str| -> Vec<String> {
        let plan = "by_hand = { at = \"every visit\", dose = \"20 mL\" }";
        let owns = format!("{plan}\nowns = [\"backup air\", \"battery\", \"float alarm\"]");
        let scenario = crate::small(&[(plan, &owns), ("volume = \"6 L\"", &format!("volume = \"6 L\"\n{tub}"))], "");
        explain(&scenario).warnings.iter().map(ToString::to_string).collect()
    };
    let (airy, still) = (doubts("air = \"gentle\""), doubts("air = \"none\""));
    for words in
        ["a float alarm is of no effect in a tub without an outlet", "a battery for the feed pump is of no use"]
    {
        assert!(airy.iter().any(|doubt| doubt.contains(words)), "{words} in {airy:?}");
    }
    let backup = |doubts: &[String]| doubts.iter().any(|doubt| doubt.contains("backup air is of no effect"));
    assert!(backup(&still) && !backup(&airy));
}

#[test]
fn the_setbacks_to_be_tried_are_told() {
    let told = |scenario: &Scenario| {
        explain(scenario).render(scenario, false).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let plain = told(&with("", ""));
    assert!(plain.contains("a day's first visit 3 h late") && !plain.contains("power cut of"), "{plain}");
    let all = told(&with("[mishaps]\n[culture.\"microworm\"]", ""));
    assert!(all.contains("a power cut of 4 h") && all.contains("microworm ready 2 days late"), "{all}");
}
