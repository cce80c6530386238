//! Who lives how long: the estimate of Kaplan & Meier and the log-rank test that other tests use, held to a published
//! trial; and the survival curve of a comparison, held to that estimate.

use frytub_sim::brood::Mode;
use frytub_sim::chance::Streams;
use frytub_sim::monte_carlo::{Settings, compare};
use frytub_sim::worlds;

use super::Table;
use crate::support::survival::{Life, kaplan_meier, log_rank, share_at};
use crate::support::{SEED, example_study, lives, run};

/// The lives of one arm of the trial, out of the rows of the table.
fn arm(rows: &[[f64; 7]], treated: f64) -> Vec<Life> {
    let of_arm = rows.iter().filter(|row| row[0] == treated);
    of_arm
        .flat_map(|&[_, at, _, ended, censored, ..]| {
            [vec![Life { at, ended: true }; ended as usize], vec![Life { at, ended: false }; censored as usize]]
                .concat()
        })
        .collect()
}

fn trial() -> Vec<[f64; 7]> {
    Table::read(include_str!("kaplan_meier_freireich.csv")).columns([
        "treated",
        "weeks",
        "at_risk",
        "ended",
        "censored",
        "survival",
        "greenwood_se",
    ])
}

#[test]
fn kaplan_meier_is_that_of_the_published_trial() {
    let rows = trial();
    assert_eq!(rows.len(), 16 + 12);
    for treated in [1.0, 0.0] {
        let lives = arm(&rows, treated);
        assert_eq!(lives.len(), 21, "children in each arm");
        let steps = kaplan_meier(&lives);
        for &[_, at, at_risk, _, _, share, error] in rows.iter().filter(|row| row[0] == treated) {
            assert_eq!(lives.iter().filter(|life| life.at >= at).count() as f64, at_risk);
            let ours = steps.iter().take_while(|step| step.at <= at).last().expect("a step");
            assert!((ours.share - share).abs() < 1e-12, "week {at}: {ours:?} against {share}");
            assert!((ours.error - error).abs() < 1e-12, "week {at}: {ours:?} against {error}");
        }
    }
    // As printed by Kleinbaum & Klein 2012, Survival Analysis, chapter 2 (from memory).
    let treated = kaplan_meier(&arm(&rows, 1.0));
    for (week, printed) in [(6.0, 0.8571), (7.0, 0.8067), (10.0, 0.7529), (16.0, 0.6275), (23.0, 0.4482)] {
        assert!((share_at(&treated, week) - printed).abs() < 5e-5, "week {week}");
    }
}

#[test]
fn log_rank_is_that_of_the_published_trial() {
    let rows = trial();
    let found = log_rank(&arm(&rows, 1.0), &arm(&rows, 0.0));
    let [chi_squared] = Table::read(include_str!("logrank_freireich.csv")).columns(["chi_squared"])[0];
    assert!((found.chi_squared() / chi_squared - 1.0).abs() < 1e-12, "{} against {chi_squared}", found.chi_squared());
    // As printed by Kleinbaum & Klein 2012, chapter 2 (from memory): 9 observed, 19.25 expected, chi-squared 16.79.
    assert_eq!(found.observed, 9.0);
    assert!((found.expected - 19.25).abs() < 0.005 && (found.chi_squared() - 16.79).abs() < 0.005, "{found:?}");
}

/// Nobody leaves a brood before its last day: the estimate is then the plain share alive.
#[test]
fn the_survival_curve_of_a_comparison_is_the_kaplan_meier_estimate() {
    let mut study = example_study("no-food");
    study.plans.truncate(1);
    study.baseline = 0;
    let settings = Settings { seed: SEED, broods: 6, precision: None, likely_only: true };
    let found = compare(&study, &settings, &(), &false.into()).expect("a comparison");
    let world = worlds::likely(&study);
    let broods: Vec<_> =
        (1..=found.worlds).map(|w| run(&study, 0, &world, Streams::new(SEED, w, 1), Mode::Leaps)).collect();
    let steps = kaplan_meier(&lives(&broods, 24.0 * f64::from(study.days)));
    assert!(steps.last().expect("deaths").share < 0.5, "most die of hunger: {steps:?}");
    for point in &found.plans[0].survival {
        let expected = 100.0 * share_at(&steps, point.hour);
        assert!(
            (point.alive.mean - expected).abs() < 1e-4,
            "hour {}: {} of 100 against {expected}",
            point.hour,
            point.alive.mean
        );
    }
}
