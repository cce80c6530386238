//! What is said of a scenario before it is run, and what is doubted.

use frytub_scenarios::{Scenario, examples, explain};

use crate::small;

fn told(scenario: &Scenario) -> String {
    explain(scenario).render(scenario, false)
}

/// What is doubted about the small scenario when some of its text is replaced and more added.
fn doubts(replace: &[(&str, &str)], add: &str) -> Vec<String> {
    explain(&small(replace, add)).warnings.iter().map(ToString::to_string).collect()
}

#[test]
fn the_small_scenario_is_told_in_plain_sentences() {
    let pump = "by_pump = { at = \"every 75 min from 07:30 to 20:00\", dose = \"0.5 mg\" }\n";
    let scenario = small(&[("visits = [\"07:30\"", "weekend_visits = [\"10:00\"]\nvisits = [\"07:30\"")], pump);
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(".");
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!("small", told(&scenario)));
}

#[test]
fn what_a_feed_brings_is_counted_right() {
    let scenario = small(&[], "");
    let study = &scenario.study;
    // By hand: 20 mL of 300 in a mL are 6000 worms, for 220 fry 27.3 each.
    let mass_ug = 6000.0 / 220.0 * study.foods[0].numbers.mass_ug.likely();
    let fish = &study.fish;
    let fry_ug = fish.usual_mass_ug.likely()
        * fish.condition.likely()
        * (fish.length_mm.likely() / fish.usual_length_mm.likely()).powf(fish.mass_exponent.likely());
    let gut = 100.0 * mass_ug / (fish.gut_share.likely() * fry_ug);
    let text = told(&scenario).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains(&format!("microworm: 6000 animals, 27.3 per fry, {mass_ug:.0} µg each")), "{text}");
    assert!(text.contains(&format!("It brings each fry {mass_ug:.0} µg, {gut:.0} % of a full gut")), "{text}");
    // From day 4 doses are doubled: 40 mL of 100 in a mL, twice a day.
    let shrimp = study.foods[1].numbers.mass_ug.likely();
    assert!(text.contains(&format!("day 8 brings {:.0} mg", 8000.0 * shrimp / 1000.0)), "{text}");
}

#[test]
fn a_feed_of_the_weekend_is_told_where_it_differs() {
    let weekend = ("visits = [\"07:30\"", "weekend_visits = [\"10:00\"]\nvisits = [\"07:30\"");
    let text = |dose: &str| told(&small(&[weekend, ("dose = \"20 mL\"", dose)], ""));
    let differs = "On Saturday and Sunday one hand feed is 2 times as much as on other days.";
    assert!(text("dose = \"40 mL a day\"").contains(differs), "{}", text("dose = \"40 mL a day\""));
    assert!(!text("dose = \"20 mL\"").contains("as on other days"));
}

#[test]
fn a_sound_scenario_is_not_doubted() {
    assert_eq!(doubts(&[], ""), [] as [String; 0]);
}

/// Replacements in the small scenario, text added to it, and words of the doubt that this must raise.
type Case<'c> = (&'c [(&'c str, &'c str)], &'c str, &'c str);

#[test]
fn what_cannot_work_is_doubted_with_a_remedy() {
    let plan = "by_hand = { at = \"every visit\", dose = \"20 mL\" }";
    let cases: [Case<'_>; 12] = [
        (
            &[("\"microworm\" = \"300 per mL\"", "\"powder 200 to 300 um\" = \"1 mg per mL\"")],
            "\n[change.fish]\ngape_share = 0.05\n",
            "is wider than every mouth up to day 3",
        ),
        (
            &[("from_day = 4", "from_day = 2"), ("brine shrimp, small", "brine shrimp, large")],
            "\n[change.fish]\ngape_share = 0.06\n",
            "on day 2 only \"second food\" is offered",
        ),
        (&[("\"20 mL\"", "\"7 L\"")], "", "one feed is 14 000 mL, more than the tub holds (6000 mL)"),
        (&[("\"20 mL\"", "\"1 L\"")], "", "more than a quarter of the tub"),
        (
            &[(plan, &format!("{plan}\nfirst_feed = \"day 9\""))],
            "",
            "the first feed is on day 9, after the last count on day 8",
        ),
        (&[("\"15:30\"]", "\"15:30\"]\nweekend_visits = []")], "", "no feed on Saturday and Sunday"),
        (&[("\"15:30\"]", "\"22:30\"]")], "", "1 of 2 feeds a day comes while the light is off"),
        (&[("\"20 mL\"", "\"100 items\"")], "", "100 items for 220 fry"),
        (&[("\"20 mL\"", "\"2 mL\"")], "", "less than the 14.6 µg that it burns in a day even at rest"),
        (&[("\"300 per mL\"", "\"90 mg per mL\"")], "", "times its own mass in food, which would foul a tub"),
        (&[("from_day = 4", "from_day = 9")], "", "is never offered, so no fry can count as weaned"),
        (&[("\"6 L\"", "\"6 L\"\ndrip = \"2 L/h\"")], "", "the drip brings the tub's volume in 3 h"),
    ];
    for (replace, add, expected) in cases {
        let doubts = doubts(replace, add);
        let found = doubts.iter().find(|doubt| doubt.contains(expected));
        let found = found.unwrap_or_else(|| panic!("{expected:?} is not among {doubts:#?}"));
        assert!(found.contains(". "), "{found} has no remedy");
    }
}

#[test]
fn plans_with_the_same_trouble_are_told_of_together() {
    let more: String = (1..=5)
        .map(|n| format!("\n[[plan]]\nname = \"Late {n}\"\nby_hand = {{ at = [\"23:00\"], dose = \"{n}0 mL\" }}\n"))
        .collect();
    let dark: Vec<String> = doubts(&[], &more).into_iter().filter(|doubt| doubt.contains("light is off")).collect();
    assert_eq!(dark.len(), 1);
    assert!(
        dark[0].starts_with("\"Late 1\", \"Late 2\", \"Late 3\" and 2 more: 1 of 1 feed a day comes"),
        "{}",
        dark[0]
    );
}

#[test]
fn every_example_is_told_without_a_gap() {
    for example in examples() {
        let scenario = example.read().unwrap();
        let text = told(&scenario);
        for plan in scenario.study.plans.iter().filter(|plan| plan.family.is_none()) {
            assert!(text.contains(&format!("Plan \"{}\"", plan.name)), "{}", plan.name);
        }
        for wrong in ["NaN", "inf", "{", "  \n"] {
            assert!(!text.contains(wrong), "{} tells {wrong:?}", example.name);
        }
    }
}
