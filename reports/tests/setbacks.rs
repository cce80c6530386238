//! What a report tells of mishaps and setbacks, and that it is silent about them where there are none.

mod common;

use common::pictures::chart_words;
use frytub_reports::{Facts, answer, charts, files, terminal};
use frytub_sim::mishaps::Kind;
use frytub_sim::outcome::{Cause, Comparison, Cost, Interval};
use frytub_sim::setbacks::Setback;
use frytub_sim::study::Study;

const CASES: [&str; 8] = [
    "setbacks",
    "setbacks-of-one",
    "setbacks-of-eight",
    "setbacks-of-twelve",
    "setbacks-forgiven",
    "setbacks-unclear",
    "mornings-only",
    "setbacks-likely-only",
];

fn file(study: &Study, found: &Comparison, name: &str) -> Option<String> {
    let files = files(study, found, &common::assumptions(), &common::run_facts()).unwrap();
    files.into_iter().find(|(n, _)| n == name).map(|(_, contents)| String::from_utf8(contents).unwrap())
}

fn page(case: &str) -> String {
    let (study, found) = common::case(case);
    file(&study, &found, "report.html").unwrap()
}

/// Title of the chart of setbacks and the answer's sentence on them, after the costs were changed.
fn told(case: &str, change: impl Fn(&mut Cost)) -> (String, String) {
    let (study, mut found) = common::case(case);
    found.costs.iter_mut().for_each(change);
    let facts = Facts::new(&study, &found);
    let title = charts(&facts).into_iter().find(|chart| chart.id == "11-what-a-setback-costs").unwrap().title;
    let notes = answer(&facts).notes;
    (title, notes.into_iter().find(|note| note.contains("setback")).unwrap())
}

fn set(cost: &mut Cost, mean: f64) {
    (cost.lost.mean, cost.lost.low, cost.lost.median, cost.lost.high) = (mean, mean - 4.0, mean, mean + 4.0);
    cost.mean_95 = Interval { low: mean - 1.0, high: mean + 1.0 };
}

#[test]
fn a_study_without_setbacks_is_told_as_before() {
    let (study, found) = common::case("four-plans");
    for name in ["setbacks.csv", "mishap_deaths.csv", "charts/11-what-a-setback-costs.svg"] {
        assert_eq!(file(&study, &found, name), None, "{name}");
    }
    let page = page("four-plans");
    for words in ["forgives", "setback", "after a mishap", "Batteries and backup air"] {
        assert!(!page.contains(words), "{words}");
    }
    assert!(page.contains("Cultures that are not ready on their day, or crash: the scenario describes none"));
    assert!(page.contains("Power cuts, a stopped air stone") && !page.contains("Of mishaps: a heater"));
    assert!(page.contains("Describe the water under [tub.water] to see it."));
    assert!(!terminal(&Facts::new(&study, &found)).contains("setback"));
}

#[test]
fn what_is_left_out_and_cautioned_follows_the_mishaps() {
    let page = page("setbacks");
    assert!(!page.contains("Power cuts, a stopped air stone") && page.contains("Of mishaps: a heater"));
    assert!(!page.contains("or crash: the scenario describes none"));
    assert!(page.contains("Live foods of which the scenario describes no culture"));
    assert_eq!(page.matches("Batteries and backup air").count(), 1);
    let mornings = self::page("mornings-only");
    assert!(mornings.contains("Power cuts, a stopped air stone") && !mornings.contains("Batteries and backup air"));
}

#[test]
fn the_chart_of_setbacks_in_every_case() {
    let mut told = String::new();
    for case in CASES {
        let (study, found) = common::case(case);
        let facts = Facts::new(&study, &found);
        let all = charts(&facts);
        for chart in
            all.iter().filter(|chart| ["3-what-killed-the-rest", "11-what-a-setback-costs"].contains(&chart.id))
        {
            let svg = chart.file_svg().unwrap();
            assert!(!svg.contains("NaN") && !svg.contains("inf\""), "{case}, {}", chart.id);
            told += &chart_words(case, chart.id, &svg, &chart.alt);
        }
        assert!(!file(&study, &found, "report.html").unwrap().contains("NaN"), "{case}");
    }
    insta::assert_snapshot!(told);
}

#[test]
fn terminals_with_setbacks() {
    let mut told = String::new();
    for case in ["setbacks", "setbacks-of-one", "setbacks-of-twelve", "setbacks-unclear", "setbacks-likely-only"] {
        let (study, found) = common::case(case);
        told += &format!("== {case}\n{}", terminal(&Facts::new(&study, &found)));
    }
    insta::assert_snapshot!(told);
}

#[test]
fn heads_and_first_rows_of_the_files_with_setbacks() {
    let (study, found) = common::case("setbacks");
    let mut told = String::new();
    for name in ["mishap_deaths.csv", "setbacks.csv"] {
        told += &format!(
            "== {name}\n{}",
            file(&study, &found, name)
                .unwrap()
                .lines()
                .take(12)
                .fold(String::new(), |lines, line| lines + line + "\n",)
        );
    }
    insta::assert_snapshot!(told);
    let rows = |name: &str| {
        let text = file(&study, &found, name).unwrap();
        csv::Reader::from_reader(text.as_bytes()).into_records().map(Result::unwrap).count()
    };
    assert_eq!(rows("mishap_deaths.csv"), study.plans.len() * Kind::ALL.len() * Cause::ALL.len());
    assert_eq!(rows("setbacks.csv"), found.costs.len());
}

/// The cells of a plan in the table of which plan forgives what: one a setback.
fn column(study: &Study, found: &Comparison, plan: &str) -> Option<Vec<String>> {
    let page = file(study, found, "report.html").unwrap();
    let table = page.split("id=\"table-setbacks\"").nth(1)?.split("</table>").next()?.to_owned();
    let mut rows = table.split("<tr").skip(1);
    let place = rows.next()?.split("<th").skip(2).position(|head| head.contains(plan))?;
    Some(rows.map(|row| row.split("<td").nth(place + 1).unwrap().to_owned()).collect())
}

#[test]
fn a_setback_that_cannot_strike_is_a_dash() {
    let (study, mut found) = common::case("setbacks");
    let dashes = |found: &Comparison| {
        column(&study, found, "two heavier feeds").unwrap().iter().filter(|cell| cell.contains("\">–</td>")).count()
    };
    assert_eq!(dashes(&found), 2, "a line that is not there neither clogs nor slips");
    found.costs.retain(|cost| cost.plan != 1 || cost.setback != Setback::AirStop);
    assert_eq!(dashes(&found), 3);
}

#[test]
fn a_plan_that_only_makes_a_curve_has_no_column() {
    let (study, mut found) = common::case("setbacks");
    found.costs.retain(|cost| cost.plan != 1);
    assert_eq!(column(&study, &found, "two heavier feeds"), None);
    assert!(column(&study, &found, "four feeds").is_some());
}

#[test]
fn the_title_and_the_answer_name_the_worst_setback_and_who_forgives_it() {
    let (title, note) = told("setbacks", |cost| {
        let mean = match (cost.setback, cost.plan) {
            (Setback::PowerCut, 0) => 34.0,
            (Setback::PowerCut, 2) => 0.5,
            (Setback::PowerCut, 3) => 8.0,
            (Setback::AirStop, 3) => 21.0,
            (Setback::AirStop, 1) => 1.5,
            _ => 3.0,
        };
        set(cost, mean);
    });
    assert_eq!(
        title,
        "A power cut of four hours costs “two feeds by hand” most: 34 of 100 fry; “four feeds by hand” forgives it"
    );
    assert_eq!(
        note,
        "Of the setbacks tried, an air stone that stops until the next visit (day 2, 07:15) costs “eleven small pump \
         feeds and two visits” most: about 21 weaned fry of 100; “two heavier feeds by hand” forgives it."
    );
    let (title, note) =
        told("setbacks", |cost| set(cost, if cost.setback == Setback::MissedMorning { 12.0 } else { 0.0 }));
    assert_eq!(title, "One missed morning costs “two feeds by hand” most: 12 of 100 fry");
    assert!(note.ends_with("most: about 12 weaned fry of 100."), "{note}");
    let (title, note) =
        told("setbacks-of-one", |cost| set(cost, if cost.setback == Setback::PowerCut { 9.0 } else { 0.0 }));
    assert_eq!(title, "A power cut of four hours costs “two feeds by hand”: 9 of 100 fry");
    assert!(note.contains("costs “two feeds by hand” most: about 9"), "{note}");
}

#[test]
fn nothing_is_forgiven_by_chance() {
    let (title, note) = told("setbacks", |cost| set(cost, 0.0));
    assert_eq!(title, "Every plan forgives every setback that was tried");
    assert_eq!(note, "“eleven small pump feeds and two visits” forgives every setback that was tried.");
    let (title, _) = told("setbacks-of-one", |cost| set(cost, 0.0));
    assert_eq!(title, "“two feeds by hand” forgives every setback that was tried");
    let (title, note) = told("setbacks", |cost| set(cost, if cost.setback == Setback::AirStop { 2.5 } else { 0.0 }));
    assert_eq!(title, "No setback that was tried surely costs 3 of 100 fry or more");
    assert!(note.ends_with("3 fry of 100; not clear: air stone stopped until the next visit."), "{note}");
}

#[test]
fn a_plan_forgives_only_what_its_interval_says() {
    let cells = |low: f64, high: f64| {
        let (study, mut found) = common::case("setbacks-of-one");
        for cost in &mut found.costs {
            cost.mean_95 = Interval { low, high };
        }
        let page = file(&study, &found, "report.html").unwrap();
        let table = page.split("id=\"table-setbacks\"").nth(1).unwrap().split("</table>").next().unwrap().to_owned();
        ["forgives:", "costs about", "not clear:"].map(|words| table.matches(words).count())
    };
    let all = cells(0.0, 2.9)[0];
    assert!(all > 5);
    assert_eq!(cells(0.0, 2.9), [all, 0, 0]);
    assert_eq!(cells(3.1, 9.0), [0, all, 0]);
    assert_eq!(cells(1.0, 5.0), [0, 0, all]);
}

#[test]
fn losses_in_mishaps_stand_under_their_plan() {
    let page = page("setbacks");
    let table = page.split("id=\"table-3-what-killed-the-rest\"").nth(1).unwrap().split("</table>").next().unwrap();
    // Power cut, stopped stone and culture under each of the plans that lost fry in them.
    assert_eq!(table.matches("\u{2003}power cut").count(), 4);
    assert_eq!(table.matches("\u{2003}culture not ready").count(), 4);
    assert!(!table.contains("\u{2003}feed tube slipped"), "nobody was lost in it");
}

#[test]
fn a_plan_that_fails_anyway_is_said_to_have_little_to_lose() {
    let told = |share: f64| {
        let (study, mut found) = common::case("setbacks");
        let most = found.plans[found.leader].weaned.mean;
        let poor = (0..found.plans.len()).find(|&plan| plan != found.leader).unwrap();
        found.plans.iter_mut().for_each(|plan| plan.weaned.mean = most);
        found.plans[poor].weaned.mean = share * most;
        terminal(&Facts::new(&study, &found)).replace('\n', " ")
    };
    assert!(told(0.4).contains("weans few fry even without a setback, so it has little to lose."), "{}", told(0.4));
    assert!(!told(0.6).contains("little to lose"));
}
