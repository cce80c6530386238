//! The published trials of `cases/`: what is on record of them must be what the present model says.
//!
//! Expects nothing of the model: a miss stays on record as a miss. To record anew after a change of the model that is
//! meant: `cargo run --release -- check-cases --out cases/outcomes.csv`, read what moved, and tell it in CHANGELOG.md.

use std::sync::atomic::AtomicBool;

use frytub_reports::{CASES_HEADER, HeldCase, cases_csv, cases_terminal};
use frytub_scenarios::cases;
use frytub_sim::cases::{Case, Expected, Held, Kind, Published, Quantity, USUAL_BROODS, Versus, hold};
use frytub_sim::monte_carlo::Settings;
use frytub_sim::study::Study;

use crate::support::{SEED, Setting};

const RECORD: &str = "cases/outcomes.csv";

fn settings(broods: u32) -> Settings {
    Settings { seed: 1, broods, precision: None, likely_only: false }
}

fn held(study: &Study, case: &Case, broods: u32) -> Vec<Held> {
    hold(study, case, &Settings { seed: SEED, ..settings(broods) }, &(), &AtomicBool::new(false))
        .expect("it can be played")
}

/// The whole record, played again: same seed, same number of worlds, so to the last figure the same.
#[test]
fn the_record_is_what_the_model_says_today() {
    let record = std::fs::read_to_string(RECORD).expect("the record is there");
    let mut lines = record.lines();
    assert_eq!(lines.next(), Some(CASES_HEADER));
    let mut told = 0;
    for file in cases() {
        let scenario = file.read().unwrap_or_else(|error| panic!("{error}"));
        let case = scenario.case.as_ref().unwrap_or_else(|| panic!("{} is no case", file.name));
        let held = hold(&scenario.study, case, &settings(USUAL_BROODS), &(), &AtomicBool::new(false));
        let held = held.unwrap_or_else(|error| panic!("{}: {error}", file.name));
        let one = HeldCase { file: file.name, study: &scenario.study, case, held: &held };
        let table = String::from_utf8(cases_csv(&[one]).expect("a table")).expect("text");
        for line in table.lines().skip(1) {
            assert_eq!(
                lines.next(),
                Some(line),
                "{}: record it anew as this file says, if the change is meant",
                file.name
            );
            told += 1;
        }
    }
    assert_eq!(lines.next(), None, "the record holds cases that are not built in");
    assert!(told >= 40, "only {told} published values");
}

/// One expected value of the first plan.
fn expected(quantity: Quantity, published: Published) -> Expected {
    Expected { plan: 0, against: None, quantity, on_day: 3, published, kind: Kind::Validation }
}

fn case(expected: Vec<Expected>) -> Case {
    Case { kind: Kind::Validation, source: "an invented paper".into(), assumed: vec!["nothing".into()], expected }
}

#[test]
fn arms_that_differ_in_nothing_have_the_ratio_one_in_every_world() {
    let plan =
        |name: &str| format!("[[plan]]\nname = \"{name}\"\nby_hand = {{ at = \"every visit\", dose = \"10 mL\" }}\n");
    let study = Setting { plans: &(plan("one") + &plan("two")), ..Setting::default() }.study();
    let pair = |versus, published| Expected { against: Some((1, versus)), ..expected(Quantity::Length, published) };
    let case = case(vec![
        pair(Versus::Ratio, Published::Value(1.0, None)),
        pair(Versus::Difference, Published::Same(0.0)),
        pair(Versus::Difference, Published::More),
    ]);
    let held = held(&study, &case, 10);
    let spread = |n: usize| [held[n].predicted.low, held[n].predicted.median, held[n].predicted.high];
    assert_eq!((spread(0), spread(1)), ([1.0; 3], [0.0; 3]));
    assert_eq!(held.iter().map(|held| held.inside).collect::<Vec<_>>(), [true, true, false]);
    assert_eq!((held[0].worlds, held[1].agreeing, held[2].agreeing), (10, Some(1.0), Some(0.0)));
}

#[test]
fn two_arms_are_compared_the_right_way_round() {
    let plan = |name: &str, dose: &str| {
        format!("[[plan]]\nname = \"{name}\"\nby_hand = {{ at = \"every visit\", dose = \"{dose}\" }}\n")
    };
    let plans = plan("plenty", "20 mL") + &plan("a little", "1 mL");
    let study = Setting { plans: &plans, ..Setting::default() }.study();
    let pair = |plan: usize, versus, published| Expected {
        plan,
        against: Some((1 - plan, versus)),
        ..expected(Quantity::Mass, published)
    };
    let case = case(vec![
        pair(0, Versus::Difference, Published::More),
        pair(1, Versus::Difference, Published::Less),
        pair(0, Versus::Ratio, Published::Span(1.05, 5.0)),
    ]);
    let held = held(&study, &case, 10);
    assert!(held.iter().all(|held| held.inside), "{held:?}");
    assert_eq!((held[0].agreeing, held[1].agreeing), (Some(1.0), Some(1.0)));
    assert!((held[0].predicted.median + held[1].predicted.median).abs() < 1e-12, "one is the other turned round");
}

#[test]
fn a_case_tells_the_same_figures_as_a_comparison() {
    let study = Setting::default().study();
    let case = case(vec![
        expected(Quantity::Survival, Published::Span(0.0, 1.0)),
        expected(Quantity::Growth, Published::Value(0.9, None)),
        expected(Quantity::Length, Published::Span(1.0, 100.0)),
    ]);
    let held = held(&study, &case, 10);
    let settings = Settings { seed: SEED, ..settings(10) };
    let found = frytub_sim::monte_carlo::compare(&study, &settings, &(), &AtomicBool::new(false)).expect("it runs");
    let plan = &found.plans[0];
    assert!((100.0 * held[0].predicted.median - plan.alive.median).abs() < 1e-9);
    assert_eq!(held[1].predicted, plan.growth_living);
    assert_eq!(held[2].predicted, plan.length_mm);
    let one = HeldCase { file: "invented", study: &study, case: &case, held: &held };
    let words = cases_terminal(&[one], true);
    for part in ["OUTSIDE", "Assumed: nothing", "an invented paper", "Inside: 2 of 3", "growth, per day"] {
        assert!(words.contains(part), "{part} is missing in\n{words}");
    }
    assert!(!words.contains("of 0"), "what was not asked is not counted:\n{words}");
    assert!(words.lines().all(|line| line.chars().count() <= 80), "{words}");
}
