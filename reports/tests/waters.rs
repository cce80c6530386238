//! What a report tells of the water, and that it is silent about it where it is not reckoned with.

mod common;

use common::pictures::chart_words;
use frytub_reports::{Facts, answer, charts, files, terminal};
use frytub_sim::outcome::{Comparison, Spread, WaterResult};
use frytub_sim::study::Study;

const NOT_YET: &str = "What uneaten food does to the water is not reckoned with: describe it under [tub.water].";
const NO_WATER: &str = "Water quality: ammonia, oxygen and acidity kill no fry here";
const OF_THE_WATER: &str = "Of the water: carbon dioxide, nitrite, hardness, medicines";
const SOME_WATER: &str = "Water quality of the plans without it";

fn file(study: &Study, found: &Comparison, name: &str) -> Option<String> {
    let files = files(study, found, &common::assumptions(), &common::run_facts()).unwrap();
    files.into_iter().find(|(n, _)| n == name).map(|(_, contents)| String::from_utf8(contents).unwrap())
}

fn page(case: &str) -> String {
    let (study, found) = common::case(case);
    file(&study, &found, "report.html").unwrap()
}

/// Title of the chart of the water after the results were changed.
fn title(case: &str, change: impl Fn(usize, &mut WaterResult)) -> String {
    let (study, mut found) = common::case(case);
    for (n, plan) in found.plans.iter_mut().enumerate() {
        if let Some(water) = &mut plan.water {
            change(n, water);
        }
    }
    let charts = charts(&Facts::new(&study, &found));
    charts.into_iter().find(|chart| chart.id == "8-water").unwrap().title
}

fn spread(low: f64, median: f64, high: f64) -> Spread {
    Spread { mean: median, low, median, high }
}

#[test]
fn a_study_without_water_is_told_as_before() {
    let (study, found) = common::case("four-plans");
    for name in ["water.csv", "charts/8-water.svg", "charts/8-water.png"] {
        assert!(!files(&study, &found, &[], &common::run_facts()).unwrap().iter().any(|(n, _)| n == name), "{name}");
    }
    assert!(!file(&study, &found, "plans.csv").unwrap().contains("oxygen"));
    let page = page("four-plans");
    assert!(page.contains(NO_WATER) && !page.contains(OF_THE_WATER) && !page.contains(SOME_WATER));
    assert!(!page.contains("lowest oxygen"));
}

#[test]
fn what_is_left_out_of_the_water_follows_the_plans() {
    let all = page("fouled-water");
    assert!(!all.contains(NO_WATER) && all.contains(OF_THE_WATER) && !all.contains(SOME_WATER));
    let some = page("water-of-one");
    assert!(!some.contains(NO_WATER) && some.contains(OF_THE_WATER) && some.contains(SOME_WATER));
    for page in [all, some] {
        assert!(page.contains("<li>Power cuts, a stopped air stone") && page.contains("<li>Disease, parasites"));
        assert!(page.contains("Odds, not promises"));
    }
}

#[test]
fn uneaten_food_is_said_to_foul_nothing_only_where_no_water_is_reckoned_with() {
    // The leader is given twice the rival's food, so that the remark on more food is due.
    let notes = |case: &str, keep: [bool; 2]| {
        let (study, mut found) = common::case(case);
        let (leader, rival) = (found.leader, found.rival);
        let water = found.plans.iter().find_map(|plan| plan.water.clone());
        for (plan, keep) in [leader, rival].into_iter().zip(keep) {
            found.plans[plan].water = water.clone().filter(|_| keep);
        }
        (found.plans[leader].food_given_mg, found.plans[rival].food_given_mg) = (88.0, 44.0);
        answer(&Facts::new(&study, &found)).notes
    };
    let told = |notes: &[String], words: &str| notes.iter().filter(|note| note.contains(words)).count();
    for (keep, not_yet, of_one) in
        [([false, false], 1, 0), ([true, true], 0, 0), ([true, false], 0, 1), ([false, true], 0, 1)]
    {
        let notes = notes("fouled-water", keep);
        assert_eq!(told(&notes, "also gives 2 times as much food"), 1, "{notes:?}");
        assert_eq!(told(&notes, NOT_YET), not_yet, "{keep:?}: {notes:?}");
        assert_eq!(told(&notes, "cannot die of fouled water here, which favours that plan"), of_one, "{notes:?}");
    }
}

#[test]
fn the_title_of_the_water_follows_the_numbers() {
    let good = |water: &mut WaterResult| {
        water.worst_oxygen_mg_l = spread(5.0, 6.0, 7.0);
        water.worst_ammonia_mg_l = spread(0.001, 0.01, 0.1);
    };
    assert_eq!(
        title("fouled-water", |_, water| good(water)),
        "In nine worlds of ten the water stays good under all plans"
    );
    assert_eq!(title("good-water", |_, water| good(water)), "In nine worlds of ten the water stays good");
    assert_eq!(
        title("water-of-one", |_, water| good(water)),
        "In nine worlds of ten the water stays good under all plans whose water is reckoned with"
    );
    let set = |change: fn(usize, &mut WaterResult)| {
        title("fouled-water", move |n, water| {
            good(water);
            change(n, water);
        })
    };
    let oxygen = set(|n, water| {
        if n == 1 {
            water.worst_oxygen_mg_l = spread(0.4, 1.04, 3.0);
        }
        // Poison under another plan comes second: want of oxygen kills within hours.
        water.worst_ammonia_mg_l = spread(0.5, 2.0, 5.0);
    });
    assert_eq!(oxygen, "“two heavier feeds by hand”: oxygen falls to 1.0 mg/L on day 4 in the middle world");
    let none = set(|n, water| water.worst_oxygen_mg_l.median = if n == 2 { 0.0 } else { 1.0 });
    assert_eq!(none, "“four feeds by hand”: the oxygen is used up on day 4 in the middle world");
    let ammonia = set(|n, water| water.worst_ammonia_mg_l.median = if n == 3 { 0.93 } else { 0.8 });
    assert!(
        ammonia.ends_with(
            "pump feeds and two visits”: un-ionised ammonia rises to 0.93 mg/L on day 8 in the middle world"
        ),
        "{ammonia}"
    );
    let seldom = set(|n, water| water.worst_oxygen_mg_l.low = if n == 0 { 0.9 } else { 1.2 });
    assert_eq!(
        seldom,
        "“two feeds by hand”: oxygen falls to 0.9 mg/L in one world of ten; too little oxygen takes 2 of 100 fry on average"
    );
    let thin = set(|n, water| water.worst_oxygen_mg_l.median = if n == 0 { 3.1 } else { 3.6 });
    assert!(thin.ends_with("oxygen falls to 3.1 mg/L on day 4 in the middle world; below 4 fry feed less"), "{thin}");
    let stale = set(|n, water| water.worst_ammonia_mg_l.median = if n == 2 { 0.5 } else { 0.4 });
    assert_eq!(
        stale,
        "“four feeds by hand”: un-ionised ammonia rises to 0.50 mg/L on day 8 in the middle world; fry feed less in it"
    );
    let thin = set(|n, water| water.worst_oxygen_mg_l.low = if n == 2 { 3.1 } else { 3.6 });
    assert_eq!(thin, "“four feeds by hand”: oxygen falls to 3.1 mg/L in one world of ten; below 4 fry feed less");
}

#[test]
fn plans_with_limits_of_their_own_have_panels_of_their_own() {
    let apart = |limit: f64| {
        let (study, mut found) = common::case("fouled-water");
        found.plans[1].water.as_mut().unwrap().harmless_ammonia_mg_l = limit;
        let charts = charts(&Facts::new(&study, &found));
        let svg = charts.iter().find(|chart| chart.id == "8-water").unwrap().file_svg().unwrap();
        svg.contains("Above: lowest oxygen")
    };
    assert!(!apart(0.84) && apart(0.5));
}

#[test]
fn without_worlds_no_world_is_named() {
    let (study, mut found) = common::case("fouled-water");
    found.likely_only = true;
    let charts = charts(&Facts::new(&study, &found));
    let chart = charts.iter().find(|chart| chart.id == "8-water").unwrap();
    assert!(!chart.title.contains("world"), "{}", chart.title);
}

#[test]
fn the_chart_of_the_water_in_every_case() {
    let mut told = String::new();
    for case in
        ["fouled-water", "water-of-one", "good-water", "dead-in-foul-water", "water-of-twelve", "water-of-five-of-six"]
    {
        let (study, found) = common::case(case);
        let all = charts(&Facts::new(&study, &found));
        for chart in all.iter().filter(|chart| chart.id.starts_with("3-") || chart.id.starts_with("8-")) {
            let svg = chart.file_svg().unwrap();
            assert!(!svg.contains("NaN") && !svg.contains("inf\""), "{case}, {}", chart.id);
            told += &chart_words(case, chart.id, &svg, &chart.alt);
        }
        let page = file(&study, &found, "report.html").unwrap();
        assert!(!page.contains("NaN"), "{case}");
    }
    insta::assert_snapshot!(told);
}

#[test]
fn charts_of_water_level_and_doses_come_in_order() {
    let (study, found) = common::case("water-of-twelve");
    let all = charts(&Facts::new(&study, &found));
    assert_eq!(all.iter().map(|chart| chart.id).skip(7).collect::<Vec<_>>(), ["8-water", "9-level", "10-doses"]);
    let page = file(&study, &found, "report.html").unwrap();
    for words in ["Chart 8: water", "Chart 9: level", "Chart 10: doses"] {
        assert_eq!(page.matches(words).count(), 1, "{words}");
    }
    // Each of the three has its own numbers behind it.
    for (id, words) in [("8-water", "harmless up to"), ("9-level", "over the rim, h"), ("10-doses", "water wanted, mL")]
    {
        let table = page.split(&format!("id=\"table-{id}\"")).nth(1).unwrap();
        assert!(table.split("</table>").next().unwrap().contains(words), "{id}");
    }
}

#[test]
fn the_tables_tell_the_worst_of_the_water_and_a_dash_where_there_is_none() {
    let page = page("water-of-one");
    let plans = page.split("id=\"table-plans\"").nth(1).unwrap().split("</table>").next().unwrap();
    assert!(plans.contains("lowest oxygen, mg/L") && plans.contains("highest un-ionised ammonia, mg/L"));
    assert!(plans.contains("<td>5.0 <span>(4.1–6.0)</span></td><td>0.21 <span>(0.084–0.53)</span></td>"), "{plans}");
    assert!(plans.contains("<td>–</td><td>–</td></tr>"), "{plans}");
}

#[test]
fn heads_and_first_rows_of_the_files_with_water() {
    let (study, found) = common::case("water-of-one");
    let mut told = String::new();
    for name in ["plans.csv", "water.csv"] {
        let text = file(&study, &found, name).unwrap();
        told += &format!("== {name}\n{}\n", text.lines().take(3).collect::<Vec<_>>().join("\n"));
    }
    insta::assert_snapshot!(told);
    let rows = csv::Reader::from_reader(file(&study, &found, "water.csv").unwrap().as_bytes()).into_records().count();
    assert_eq!(rows, found.plans[0].water.as_ref().unwrap().points.len());
}

#[test]
fn deaths_in_fouled_water_are_told_in_few_words() {
    let (study, mut found) = common::case("fouled-water");
    for day in &mut found.plans[2].deaths {
        let hungry = std::mem::take(&mut day[0]);
        day[frytub_sim::outcome::Cause::Ammonia.index()] += hungry;
    }
    insta::assert_snapshot!(terminal(&Facts::new(&study, &found)));
}
