//! What a report tells of feed lines, levels and jar tests, and that it is silent about them where there are none.

mod common;

use frytub_reports::{Facts, Format, charts, files, terminal};
use frytub_sim::outcome::{Cause, Comparison};
use frytub_sim::study::Study;

fn file(study: &Study, found: &Comparison, name: &str) -> Option<String> {
    let files = files(study, found, &common::assumptions(), &common::run_facts()).unwrap();
    files.into_iter().find(|(n, _)| n == name).map(|(_, contents)| String::from_utf8(contents).unwrap())
}

#[test]
fn a_study_without_lines_is_told_as_before() {
    let (study, found) = common::case("four-plans");
    for name in ["doses.csv", "level.csv", "jar_tests.csv", "charts/9-level.svg", "charts/10-doses.svg"] {
        assert_eq!(file(&study, &found, name), None, "{name}");
    }
    let page = file(&study, &found, "report.html").unwrap();
    assert!(!page.contains("jar tests told") && !page.contains("never left the reservoir"));
    assert!(page.contains("every pump feed is taken to arrive whole") && page.contains("there is no clogged sponge"));
    assert!(!file(&study, &found, "plans.csv").unwrap().contains("never left the reservoir"));
}

#[test]
fn a_study_with_lines_says_what_is_modelled_and_what_is_not() {
    let (study, found) = common::case("feed-lines");
    let page = file(&study, &found, "report.html").unwrap();
    assert!(page.contains("What the jar tests told") && page.contains("never left the reservoir"));
    assert!(!page.contains("every pump feed is taken to arrive whole") && !page.contains("there is no clogged sponge"));
    assert!(page.contains("yolk that clumps in the night"));
    // One of the two findings is a surprise, told in the answer and beside the finding.
    assert_eq!(page.matches("disagree with the range").count(), 2);
    assert!(page.contains("Egg yolk: sinking speed 0.02 to 0.21 mm/s before, 0.04 to 0.09 after."));
    assert!(page.contains("Egg yolk in “box”: of 100 landings 0.1 to 11 are for good before, 9 to 20 after."));
}

#[test]
fn jar_tests_that_agree_give_no_warning() {
    let (study, mut found) = common::case("feed-lines");
    for finding in &mut found.jar_tests {
        finding.is_surprise = false;
    }
    assert!(!file(&study, &found, "report.html").unwrap().contains("disagree with the range"));
}

#[test]
fn charts_of_level_and_doses_come_last_and_name_their_finding() {
    let mut told = String::new();
    for case in ["feed-lines", "one-pump-feed"] {
        let (study, found) = common::case(case);
        let all = charts(&Facts::new(&study, &found));
        assert_eq!(all.iter().map(|chart| chart.id).skip(7).collect::<Vec<_>>(), ["9-level", "10-doses"]);
        for chart in [&all[2], &all[7], &all[8]] {
            told += &format!("== {case}, {}\n{}\n{}\nalt: {}\n", chart.id, chart.title, chart.caption, chart.alt);
        }
    }
    insta::assert_snapshot!(told);
}

/// Title of a chart after the results were changed.
fn title(id: &str, change: impl Fn(&mut Study, &mut Comparison)) -> String {
    let (mut study, mut found) = common::case("feed-lines");
    change(&mut study, &mut found);
    charts(&Facts::new(&study, &found)).into_iter().find(|chart| chart.id == id).unwrap().title
}

#[test]
fn the_title_of_the_doses_follows_the_numbers() {
    let set = |fresh: fn(usize, usize) -> f64| {
        title("10-doses", |_, found| {
            for plan in &mut found.plans {
                let count = plan.doses.len();
                for (n, dose) in plan.doses.iter_mut().enumerate() {
                    dose.fresh_ug = dose.wanted_ug.iter().map(|ug| ug * fresh(n, count)).collect();
                }
            }
        })
    };
    assert!(
        set(|n, count| 1.0 - 0.8 * n as f64 / (count - 1) as f64)
            .ends_with("brings a fifth of the fresh food of the first")
    );
    assert!(set(|_, _| 0.9).ends_with("brings as much fresh food as the first"));
    assert!(
        set(|n, _| if n == 0 { 0.3 } else { 0.9 })
            .ends_with("the first feed of day 5 brings a third of the fresh food of the last")
    );
    assert!(set(|_, _| 0.4).ends_with("of 100 parts of food wanted on day 5, 40 arrive fresh"), "alike, but poor");
    assert!(set(|_, _| 0.01).contains("hardly any of the food"));
    assert!(
        set(|n, _| if n == 0 { 1.0 } else { 0.0 }).ends_with("the last feed of day 5 brings hardly any fresh food")
    );
}

#[test]
fn the_title_of_the_level_follows_the_numbers() {
    let never = title("9-level", |_, _| {});
    assert!(
        never.starts_with("Never rinsed (“eleven pump feeds, never rinsed”), the water reaches the tube's end"),
        "{never}"
    );
    let low = title("9-level", |_, found| {
        for point in found.plans.iter_mut().filter_map(|plan| plan.outlet.as_mut()).flat_map(|o| &mut o.level) {
            (point.level_mm.median, point.level_mm.high) = (1.0, 2.0);
        }
    });
    assert_eq!(low, "In nine worlds of ten the water stays below the tube's end: it rises by 2.0 mm at most");
    let seldom = title("9-level", |_, found| {
        for point in found.plans.iter_mut().filter_map(|plan| plan.outlet.as_mut()).flat_map(|o| &mut o.level) {
            (point.level_mm.median, point.level_mm.high) = (1.0, if point.hour >= 60.0 { 20.0 } else { 2.0 });
        }
    });
    assert!(seldom.ends_with("the water reaches the tube's end on day 3 in one world of ten"), "{seldom}");
}

#[test]
fn deaths_by_tube_and_rim_are_told_in_few_words() {
    let (study, mut found) = common::case("feed-lines");
    for (plan, cause) in [(0, Cause::FeedTube), (1, Cause::OverRim)] {
        for day in &mut found.plans[plan].deaths {
            day[cause.index()] += 9.0;
        }
    }
    let told = terminal(&Facts::new(&study, &found));
    assert!(told.contains("feed tube") && told.contains("over the rim"), "{told}");
    insta::assert_snapshot!(told);
}

#[test]
fn heads_and_first_rows_of_the_new_csv_files() {
    let (study, found) = common::case("feed-lines");
    let mut told = String::new();
    for name in ["plans.csv", "doses.csv", "level.csv", "jar_tests.csv"] {
        let text = file(&study, &found, name).unwrap();
        told += &format!("== {name}\n{}\n", text.lines().take(3).collect::<Vec<_>>().join("\n"));
    }
    insta::assert_snapshot!(told);
    let doses = file(&study, &found, "doses.csv").unwrap();
    let feeds: usize = found.plans.iter().map(|plan| plan.doses.len()).sum();
    assert_eq!(doses.lines().count(), 1 + feeds * study.foods.len());
}

#[test]
fn food_that_only_the_pump_brings_is_marked_on_its_first_day() {
    let (mut study, found) = common::case("feed-lines");
    let picture = |study: &frytub_sim::study::Study| {
        let charts = charts(&Facts::new(study, &found));
        let days = charts.iter().find(|chart| chart.id == "2-through-the-days").unwrap();
        days.inline_svg(Format::Wide).unwrap()
    };
    assert!(!picture(&study).contains("New foods, for the pump"));
    let mut recipe = study.recipes[0].clone();
    recipe.name = "for the pump".to_owned();
    study.recipes.push(recipe);
    let last = study.recipes.len() - 1;
    study.plans.iter_mut().filter_map(|plan| plan.line.as_mut()).for_each(|line| line.recipe = last);
    assert!(!picture(&study).contains("New foods, for the pump"), "the same foods on the same days need one row");
    for stage in &mut study.recipes[last].stages {
        stage.from_day += 1;
    }
    assert!(picture(&study).contains("New foods, for the pump"));
}
