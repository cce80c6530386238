//! Fish and foods that a scenario describes itself, and scenarios that are published trials.

use frytub_scenarios::{Kind, cases, read_text};
use frytub_sim::cases::{Kind as CaseKind, Published, Quantity, Versus};

use crate::{SMALL, small};

const OWN: &str = r#"
[fish."severum"]
like = "angelfish"
length_mm = { low = "5.8 mm", likely = "6.2 mm", high = "6.6 mm", source = "a paper" }
yolk_share = 0

[food."water fleas"]
like = "second-stage brine shrimp"
width_um = "280 um"
"#;

#[test]
fn a_fish_of_the_files_own_is_the_librarys_with_what_was_replaced() {
    let own = small(&[("\"dwarf cichlid\"", "\"Severum\""), ("\"microworm\"", "\"water fleas\"")], OWN);
    let like = small(&[("\"dwarf cichlid\"", "\"angelfish\"")], "");
    assert_eq!(own.study.fish_name, "severum");
    for ((info, own), (_, like)) in own.study.fish.iter().zip(like.study.fish.iter()) {
        let is_replaced = ["length_mm", "yolk_share"].contains(&info.key);
        assert_eq!(own == like, !is_replaced, "{}", info.key);
    }
    assert_eq!(own.study.fish.length_mm.likely(), 6.2);
    let fleas = own.study.foods.iter().find(|food| food.name == "water fleas").expect("it is fed");
    assert!(fleas.lively && !fleas.weaning);
    assert_eq!(fleas.numbers.width_um.likely(), 280.0);
    assert_eq!(fleas.numbers.mass_ug.likely(), 1.7, "carried over");
    let number = |group: &str, key: &str| {
        own.numbers_used.iter().find(|n| n.group == group && n.key == key).unwrap_or_else(|| panic!("{key}"))
    };
    assert_eq!(
        (number("severum", "length_mm").kind, number("severum", "length_mm").source.as_str()),
        (Kind::ScenarioFile, "a paper")
    );
    assert_ne!(number("severum", "gape_share").kind, Kind::ScenarioFile);
    assert_eq!(own.warnings, []);
}

#[test]
fn what_is_described_and_not_used_is_doubted() {
    let scenario = small(&[], OWN);
    let doubts: Vec<&str> = scenario.warnings.iter().map(|warning| warning.what.as_str()).collect();
    assert_eq!(
        doubts,
        [
            "\"severum\" is described here, but the brood is of another fish",
            "\"water fleas\" is described here, but no plan feeds it",
        ]
    );
    assert_eq!(scenario.study, small(&[], "").study, "and moves nothing");
}

#[test]
fn every_built_in_case_can_be_read_and_says_what_it_assumes() {
    for case in cases() {
        let scenario = case.read().unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(scenario.warnings, [], "{}", case.name);
        let case = scenario.case.unwrap_or_else(|| panic!("{} is no case", case.name));
        assert!(!case.source.is_empty() && !case.assumed.is_empty() && !case.expected.is_empty());
    }
}

#[test]
fn every_file_of_the_folder_is_built_in() {
    let names = std::fs::read_dir("../cases").unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let mut files: Vec<String> = names.filter_map(|name| name.strip_suffix(".toml").map(str::to_owned)).collect();
    let mut built_in: Vec<&str> = cases().iter().map(|case| case.name).collect();
    files.sort();
    built_in.sort_unstable();
    assert_eq!(files, built_in);
}

#[test]
fn published_values_are_read_in_every_form() {
    let text = SMALL.to_string()
        + r#"
[[plan]]
name = "Four"
by_hand = { at = ["08:00", "10:00", "12:00", "14:00"], dose = "20 mL" }

[case]
kind = "validation"
source = "an invented paper"
assumed = []

[[expected]]
of = "four"
quantity = "survival"
on_day = 5
published = "66 %"
give_or_take = "4 %"

[[expected]]
of = "Four"
quantity = "mass"
from = "400 ug"
to = "1 mg"
kind = "calibration"

[[expected]]
of = "Four"
against = "Two hand feeds"
compare = "ratio"
quantity = "survival"
published = 1.5

[[expected]]
of = "Four"
against = "Two hand feeds"
compare = "difference"
quantity = "growth"
published = "-2 % per day"

[[expected]]
of = "Four"
against = "Two hand feeds"
compare = "order"
quantity = "length"
expect = "no difference"
within = "0.3 mm"
kind = "sign only"
"#;
    let case = read_text("case.toml", &text).unwrap_or_else(|error| panic!("{error}")).case.expect("a case");
    let told: Vec<_> = case.expected.iter().map(|e| (e.plan, e.against, e.quantity, e.on_day, e.published)).collect();
    let other = |versus| Some((0, versus));
    assert_eq!(
        told,
        [
            (1, None, Quantity::Survival, 5, Published::Value(0.66, Some(0.04))),
            (1, None, Quantity::Mass, 8, Published::Span(0.4, 1.0)),
            (1, other(Versus::Ratio), Quantity::Survival, 8, Published::Value(1.5, None)),
            (1, other(Versus::Difference), Quantity::Growth, 8, Published::Value(-0.02, None)),
            (1, other(Versus::Difference), Quantity::Length, 8, Published::Same(0.3)),
        ]
    );
    let kinds: Vec<CaseKind> = case.expected.iter().map(|e| e.kind).collect();
    use CaseKind::{Calibration, SignOnly, Validation};
    assert_eq!(kinds, [Validation, Calibration, Validation, Validation, SignOnly]);
}
