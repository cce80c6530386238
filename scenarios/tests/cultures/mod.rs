//! Cultures as a breeder writes them, what plans feed instead, and how that is told.

use frytub_scenarios::{Kind, Scenario, explain, library};
use frytub_sim::study::StandIn;

use crate::small;

const PLAN: &str = "by_hand = { at = \"every visit\", dose = \"20 mL\" }\n";
const SECOND: &str = "\n[[plan]]\nname = \"Another\"\nby_hand = { at = \"every visit\", dose = \"20 mL\" }\n";

/// The small scenario with tables in it, and lines added to its plan.
fn with(tables: &str, plan: &str) -> Scenario {
    small(&[("[keeper]", &format!("{tables}\n[keeper]")), (PLAN, &format!("{PLAN}{plan}\n"))], SECOND)
}

fn told(scenario: &Scenario) -> String {
    explain(scenario).render(scenario, false).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn food(scenario: &Scenario, name: &str) -> usize {
    scenario.study.foods.iter().position(|food| food.name == name).expect("the food is in the study")
}

#[test]
fn a_food_without_a_culture_is_always_ready() {
    let scenario = with("", "");
    assert_eq!(scenario.study.cultures, []);
    assert!(!told(&scenario).contains("Cultures"));
}

#[test]
fn an_empty_table_takes_the_values_of_the_library() {
    let scenario = with("[culture.\"micro worm\"]", "");
    let [culture] = &scenario.study.cultures[..] else { panic!("one culture") };
    assert_eq!(culture.food, food(&scenario, "microworm"));
    let entry = library().culture_of("microworm").expect("a culture of the library");
    assert_eq!(culture.numbers, entry.numbers.map(|_, known| known.range));
    let crash = scenario.numbers_used.iter().find(|number| number.slot == "culture of microworm: crash_days");
    assert_eq!(crash.expect("listed").kind, Kind::Estimate);
    let told = told(&scenario);
    for words in ["microworm: ready 0.5 days after its day on average", "No plan feeds anything instead of microworm"] {
        assert!(told.contains(words), "{words} in:\n{told}");
    }
}

#[test]
fn each_number_can_be_given_and_crashes_switched_off() {
    let table = "[culture.\"microworm\"]\nlate = { low = \"-3 days\", likely = \"-2 days\", high = \"0 days\" }\n\
                 late_spread = \"12 h\"\ncrash = \"never\"\nrestart = \"1 week\"";
    let scenario = with(table, "");
    let n = &scenario.study.cultures[0].numbers;
    assert!((n.late_d.likely() + 2.0).abs() < 1e-9 && (n.late_spread_d.likely() - 0.5).abs() < 1e-9);
    assert!((n.restart_d.likely() - 7.0).abs() < 1e-9);
    assert!(n.crash_days.is_certain() && n.crash_days.likely() > 36_500.0);
    let told = told(&scenario);
    let words = "ready 2 days before its day on average (at best 3 days before its day, at worst on its day)";
    assert!(told.contains(words) && told.contains("It does not crash"), "{told}");
}

#[test]
fn a_food_that_the_library_has_no_culture_of_says_its_numbers() {
    let table = "[culture.\"egg yolk\"]\nlate = \"0 days\"\nlate_spread = \"0 days\"\ncrash = \"30 days\"\nrestart = \"1 day\"\n\
                 [mix.\"yolk\"]\n\"egg yolk\" = \"0.05 mg per mL\"\n[[recipe]]\nrecipe = \"yolk\"\nfrom_day = 1\nmix = \"yolk\"";
    let scenario = with(table, "recipe = \"yolk\"");
    assert_eq!(scenario.study.cultures[0].food, food(&scenario, "egg yolk"));
}

#[test]
fn a_plan_feeds_what_it_says_or_else_what_the_culture_says() {
    let table = "[culture.\"microworm\"]\ninstead = \"powder under 50 um\"";
    let scenario = with(table, "");
    let worm = food(&scenario, "microworm");
    let usual = [StandIn { food: worm, instead: food(&scenario, "powder under 50 um") }];
    assert!(scenario.study.plans.iter().all(|plan| plan.stand_ins == usual));
    assert!(scenario.numbers_used.iter().any(|number| number.group == "powder under 50 um"), "its numbers are listed");

    let scenario = with(table, "instead = { \"microworm\" = \"yolk\" }");
    let worm = food(&scenario, "microworm");
    let [first, second] = &scenario.study.plans[..] else { panic!("two plans") };
    assert_eq!(first.stand_ins, [StandIn { food: worm, instead: food(&scenario, "egg yolk") }]);
    assert_eq!(second.stand_ins, [StandIn { food: worm, instead: food(&scenario, "powder under 50 um") }]);
    let told = told(&scenario);
    assert!(told.contains("While microworm is missing, egg yolk is fed instead."), "{told}");
    assert!(!told.contains("No plan feeds anything"), "{told}");

    let change = "\n[change.food.\"powder under 50 um\"]\nworth = 0.7";
    assert_eq!(with(&format!("{table}{change}"), "").warnings, [], "a stand-in is fed, so a change of it counts");

    let scenario = with(table, "instead = { \"microworm\" = \"nothing\" }");
    assert_eq!(scenario.study.plans[0].stand_ins, []);
}

#[test]
fn members_of_a_family_have_stand_ins_too() {
    let family = "\n[[family]]\nname = \"By hand\"\nfeeds = \"1 to 2\"\nby = \"hand\"\nbetween = [\"08:00\", \"18:00\"]\n\
                  dose = \"20 mL\"\ninstead = { \"microworm\" = \"egg yolk\" }\n";
    let scenario = small(&[("[keeper]", "[culture.\"microworm\"]\n[keeper]")], family);
    let stand_ins: Vec<usize> = scenario.study.plans.iter().map(|plan| plan.stand_ins.len()).collect();
    assert_eq!(stand_ins, [0, 1, 1]);
}

#[test]
fn a_stand_in_that_no_mouth_takes_is_doubted() {
    let doubts = |instead: &str| -> Vec<String> {
        let scenario = with("[culture.\"microworm\"]", &format!("instead = {{ \"microworm\" = \"{instead}\" }}"));
        explain(&scenario).warnings.iter().map(ToString::to_string).collect()
    };
    let wide = doubts("powder 200 to 300 um");
    let told = "\"Two hand feeds\": powder 200 to 300 um, if fed instead of microworm on day 1, would hardly be eaten";
    assert!(wide.iter().any(|doubt| doubt.contains(told)), "{wide:?}");
    assert_eq!(doubts("banana worm"), [] as [String; 0]);
}

#[test]
fn a_culture_that_no_plan_feeds_from_is_left_out_and_told() {
    let mix = "[mix.\"unused\"]\n\"Paramecium\" = \"100 per mL\"\n[culture.\"Paramecium\"]";
    let scenario = with(mix, "");
    assert_eq!(scenario.study.cultures, []);
    let warned =
        scenario.warnings.iter().any(|warning| warning.what.contains("the culture of Paramecium is described"));
    assert!(warned, "{:?}", scenario.warnings);
}
