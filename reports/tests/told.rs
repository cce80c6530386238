//! What is told in words: the answer, the terminal, the heads of the CSV files and the texts of the charts.

mod common;

use common::pictures::chart_words;
use frytub_reports::{Facts, Verdict, answer, charts, files, terminal};
use frytub_sim::outcome::{Cause, Comparison, Interval, Spread};
use frytub_sim::study::Study;

#[test]
fn answers_in_every_case() {
    let mut told = String::new();
    for (case, shape) in common::cases() {
        let study = common::study(&shape);
        let found = common::comparison(&study, &shape);
        let answer = answer(&Facts::new(&study, &found));
        told += &format!("== {case}: {:?}\n{}\n{}\n", answer.verdict, answer.first, answer.second);
        for note in &answer.notes {
            told += &format!("- {note}\n");
        }
        for number in &answer.numbers {
            told += &format!("[{}] {} ({})\n", number.value, number.label, number.range);
        }
    }
    insta::assert_snapshot!(told);
}

#[test]
fn terminal_of_the_usual_case() {
    let (study, found) = common::case("usual");
    insta::assert_snapshot!(terminal(&Facts::new(&study, &found)));
}

#[test]
fn terminal_of_long_names() {
    let (study, found) = common::case("long-names");
    insta::assert_snapshot!(terminal(&Facts::new(&study, &found)));
}

#[test]
fn terminal_of_a_partial_run() {
    let (study, found) = common::case("partial");
    insta::assert_snapshot!(terminal(&Facts::new(&study, &found)));
}

#[test]
fn heads_and_first_rows_of_the_csv_files() {
    let (study, found) = common::case("four-plans");
    let mut told = String::new();
    for (name, contents) in files(&study, &found, &[], &common::run_facts()).unwrap() {
        if name.ends_with(".csv") {
            let text = String::from_utf8(contents).unwrap();
            let lines: Vec<&str> = text.lines().take(3).collect();
            told += &format!("== {name}\n{}\n", lines.join("\n"));
        }
    }
    insta::assert_snapshot!(told);
}

#[test]
fn csv_files_hold_every_row() {
    let (study, found) = common::case("usual");
    let rows = |wanted: &str| -> Vec<csv::StringRecord> {
        let files = files(&study, &found, &[], &common::run_facts()).unwrap();
        let (_, contents) = files.into_iter().find(|(name, _)| name == wanted).unwrap();
        csv::Reader::from_reader(contents.as_slice()).records().map(Result::unwrap).collect()
    };
    let plans = study.plans.len();
    assert_eq!(rows("plans.csv").len(), plans);
    assert_eq!(rows("worlds.csv").len(), found.world_rows.len());
    assert_eq!(rows("deaths.csv").len(), plans * 8 * Cause::ALL.len());
    assert_eq!(rows("day.csv").len(), plans * 96);
    let survival = rows("survival.csv");
    assert_eq!(survival.len(), found.plans.iter().map(|plan| plan.survival.len()).sum::<usize>());
    let numbers = rows("world_numbers.csv");
    assert_eq!(numbers.len(), found.world_rows.len() / plans);
    assert_eq!(numbers[0].len(), 2 + found.pulls.len(), "world, difference, every number");
    let weaned = |plan: usize| found.world_rows.iter().find(|row| row.world == 2 && row.plan == plan).unwrap().weaned;
    let difference: f64 = numbers[1][1].parse().unwrap();
    assert!((difference - (weaned(found.leader) - weaned(found.rival))).abs() < 1e-6, "{difference}");
    assert_eq!(numbers[1][2], found.pulls[0].by_world[1].to_string());
    // The missing length of a brood without survivors is an empty field, not a word.
    assert_eq!(&rows("worlds.csv")[0][4], "");
}

#[test]
fn texts_of_the_charts_in_odd_cases() {
    let mut told = String::new();
    for case in ["one-plan", "one-day", "all-dead", "none-weaned", "alike", "no-pulls", "families-only"] {
        let (study, found) = common::case(case);
        for chart in charts(&Facts::new(&study, &found)) {
            let svg = chart.file_svg().unwrap();
            told += &chart_words(case, chart.id, &svg, &chart.alt);
        }
    }
    insta::assert_snapshot!(told);
}

#[test]
fn the_same_results_give_the_same_bytes() {
    let (study, found) = common::case("usual");
    let make = || files(&study, &found, &common::assumptions(), &common::run_facts()).unwrap();
    assert!(make() == make());
}

/// Four plans with the pair of leader and rival changed.
fn with_pair(mean: f64, interval: Interval) -> (Study, Comparison) {
    let (study, mut found) = common::case("four-plans");
    let rival = found.rival;
    let pair = found.pairs.iter_mut().find(|pair| pair.plan == rival).unwrap();
    pair.difference = Spread { mean, low: mean - 3.0, median: mean, high: mean + 3.0 };
    pair.mean_95 = interval;
    (study, found)
}

#[test]
fn a_difference_is_only_told_when_it_is_beyond_chance_and_worth_a_fry() {
    let verdict = |mean, low, high| {
        let (study, found) = with_pair(mean, Interval { low, high });
        answer(&Facts::new(&study, &found)).verdict
    };
    assert_eq!(verdict(8.0, 5.0, 11.0), Verdict::Ahead);
    assert_eq!(verdict(8.0, -0.5, 16.5), Verdict::NoClearDifference);
    assert_eq!(verdict(0.6, 0.2, 1.0), Verdict::NoClearDifference, "known well, but not worth a change of plan");
}

#[test]
fn less_work_is_offered_when_it_does_as_well() {
    let (study, mut found) = common::case("four-plans");
    let facts = Facts::new(&study, &found);
    assert_eq!(found.leader, 3);
    assert!(answer(&facts).second.starts_with("No plan with less work does as well"));
    let pair = found.pairs.iter_mut().find(|pair| pair.plan == 1).unwrap();
    pair.mean_95 = Interval { low: -0.4, high: 2.0 };
    let second = answer(&Facts::new(&study, &found)).second;
    assert!(second.starts_with("Less work does as well: “two heavier feeds by hand”"), "{second}");
    let pair = found.pairs.iter_mut().find(|pair| pair.plan == 1).unwrap();
    pair.mean_95 = Interval { low: -0.4, high: 9.0 };
    let second = answer(&Facts::new(&study, &found)).second;
    assert!(second.starts_with("Whether less work would do as well cannot be told yet"), "{second}");
}

#[test]
fn a_lead_that_rests_on_bad_worlds_says_so() {
    let (study, mut found) = with_pair(10.0, Interval { low: 7.0, high: 13.0 });
    assert!(answer(&Facts::new(&study, &found)).notes.is_empty());
    let rival = found.rival;
    found.pairs.iter_mut().find(|pair| pair.plan == rival).unwrap().difference.median = 3.0;
    let notes = answer(&Facts::new(&study, &found)).notes;
    assert!(notes[0].starts_with("In half of the worlds the lead is 3 or less: the mean of 10"), "{notes:?}");
}

#[test]
fn plans_that_fall_behind_are_told_although_the_first_two_cannot_be_told_apart() {
    let (study, found) = with_pair(0.0, Interval { low: 0.0, high: 0.0 });
    let told = answer(&Facts::new(&study, &found));
    assert_eq!(told.verdict, Verdict::NoClearDifference);
    assert!(told.notes[0].starts_with("“eleven small pump feeds and two visits” is clearly ahead of “"), "{told:?}");
    assert!(!told.notes[0].contains(study.plans[found.rival].name.as_str()), "the rival is as good: {told:?}");
    let (study, found) = with_pair(8.0, Interval { low: 5.0, high: 11.0 });
    assert!(!answer(&Facts::new(&study, &found)).notes.iter().any(|note| note.contains("is clearly ahead of")));
}
