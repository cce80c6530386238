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
