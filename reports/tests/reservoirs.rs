//! The report on reservoirs: readable in every odd case, complete, and telling what the numbers hold.

mod common;

use std::path::Path;

use common::pictures::check_svg;
use common::reservoirs::{case, cases};
use frytub_reports::{Facts, Format, TERMINAL_WIDTH, prepare, reservoir_charts, reservoir_files, reservoir_terminal};
use frytub_sim::outcome::{Comparison, ReservoirTrial};
use frytub_sim::study::Study;

fn files(study: &Study, found: &Comparison, trials: &[ReservoirTrial]) -> Vec<(String, Vec<u8>)> {
    reservoir_files(study, trials, found, &common::assumptions(), &common::run_facts()).unwrap()
}

fn file(name: &str, of: &str) -> String {
    let (study, found, trials) = case(of);
    let found = files(&study, &found, &trials).into_iter().find(|(n, _)| n == name);
    String::from_utf8(found.unwrap_or_else(|| panic!("{name} is missing")).1).unwrap()
}

#[test]
fn texts_of_the_reservoir_charts_fit_and_do_not_touch_in_any_case() {
    for (name, _) in cases() {
        let (study, found, trials) = case(name);
        study.verify().unwrap_or_else(|e| panic!("{name}: {e}"));
        for chart in reservoir_charts(&Facts::new(&study, &found), &trials) {
            check_svg(name, chart.id, &chart.file_svg().unwrap(), Format::Wide.small());
            assert!(!chart.file_png().unwrap().is_empty());
            for (format, smallest) in [(Format::Wide, Format::Wide.small()), (Format::Narrow, 12.0)] {
                check_svg(name, &format!("{} {format:?}", chart.id), &chart.inline_svg(format).unwrap(), smallest);
            }
        }
    }
}

#[test]
fn reports_are_written_whole() {
    let root = Path::new(env!("CARGO_TARGET_TMPDIR")).join("reservoirs");
    for name in ["three", "five-of-four-foods", "one-of-all", "nothing-delivered"] {
        let (study, found, trials) = case(name);
        let files = files(&study, &found, &trials);
        let folder = prepare(&root.join(name), true).unwrap().commit(&files).unwrap();
        for (path, contents) in &files {
            assert_eq!(&std::fs::read(folder.join(path)).unwrap(), contents, "{name}: {path}");
        }
        let names: Vec<&str> = files.iter().map(|(path, _)| path.as_str()).collect();
        for wanted in [
            "reservoir_feeds.csv",
            "reservoir_balance.csv",
            "reservoir_remedies.csv",
            "jar_tests_worth.csv",
            "charts/r1-feeds.svg",
            "charts/r2-balance.png",
            "charts/r3-vessels.svg",
            "charts/1-survival-and-visits.svg",
            "charts/10-doses.png",
            "plans.csv",
        ] {
            assert_eq!(names.iter().filter(|path| **path == wanted).count(), 1, "{name}: {wanted}");
        }
        sums_to_a_hundred(name, &files);
    }
}

/// In the file of balances every row's parts make a whole.
fn sums_to_a_hundred(case: &str, files: &[(String, Vec<u8>)]) {
    let (_, contents) = files.iter().find(|(path, _)| path == "reservoir_balance.csv").unwrap();
    let mut reader = csv::Reader::from_reader(contents.as_slice());
    let heads = reader.headers().unwrap().clone();
    let parts: Vec<usize> = (0..heads.len()).filter(|&n| heads[n].ends_with("(parts of 100 poured in)")).collect();
    assert_eq!(parts.len(), 5);
    let mut rows = 0;
    for row in reader.records().map(Result::unwrap) {
        let sum: f64 = parts.iter().map(|&n| row[n].parse::<f64>().unwrap()).sum();
        assert!((sum - 100.0).abs() < 1e-4, "{case}: {sum}");
        rows += 1;
    }
    assert!(rows > 0, "{case}: no row");
}

#[test]
fn the_terminal_tells_reservoirs_in_80_columns() {
    let mut told = String::new();
    for (name, _) in cases() {
        let (study, found, trials) = case(name);
        let text = reservoir_terminal(&Facts::new(&study, &found), &trials);
        for line in text.lines() {
            assert!(line.chars().count() <= usize::from(TERMINAL_WIDTH), "{name}: {line}");
        }
        if ["three", "one-reservoir", "nothing-delivered", "draws-air", "long-names"].contains(&name) {
            told += &format!("== {name}\n{text}\n");
        }
    }
    insta::assert_snapshot!(told);
}

#[test]
fn words_of_the_reservoir_charts_in_every_case() {
    let mut told = String::new();
    for (name, _) in cases() {
        let (study, found, trials) = case(name);
        for chart in reservoir_charts(&Facts::new(&study, &found), &trials) {
            told += &format!("== {name}, {}\n{}\n", chart.id, chart.title);
            if name == "three" {
                told += &format!("{}\nalt: {}\n", chart.caption, chart.alt);
            }
        }
    }
    insta::assert_snapshot!(told);
}

#[test]
fn heads_and_first_rows_of_the_reservoir_files() {
    let mut told = String::new();
    for name in ["reservoir_feeds.csv", "reservoir_balance.csv", "reservoir_remedies.csv", "jar_tests_worth.csv"] {
        let text = file(name, "three");
        told += &format!("== {name}\n{}\n", text.lines().take(3).collect::<Vec<_>>().join("\n"));
    }
    insta::assert_snapshot!(told);
}

/// The words of a page without its markup, drawings and style.
fn words(page: &str) -> String {
    let mut text = String::new();
    let mut rest = page;
    for (from, to) in [("<style>", "</style>"), ("<svg", "</svg>")] {
        let mut kept = String::new();
        while let Some(at) = rest.find(from) {
            kept.push_str(&rest[..at]);
            rest = &rest[at + rest[at..].find(to).unwrap() + to.len()..];
        }
        kept.push_str(rest);
        text = kept;
        rest = &text;
    }
    let mut out = String::new();
    let mut inside = false;
    for c in text.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                out.push('\n');
            }
            c if !inside => out.push(c),
            _ => {}
        }
    }
    out.lines().map(str::trim).filter(|line| !line.is_empty()).collect::<Vec<_>>().join("\n")
}

#[test]
fn the_page_answers_first_and_shows_the_fillings_before_the_broods() {
    let page = file("report.html", "draws-air");
    let text = words(&page);
    let places: Vec<usize> = [
        "Reservoirs compared: school-room",
        "The answer",
        "Reservoir chart 1: feeds",
        "Reservoir chart 2: balance",
        "Reservoir chart 3: vessels",
        "Shape or freshness?",
        "What would help",
        "Jar tests worth doing",
        "Chart 1: survival and visits",
        "Chart 10: doses",
        "The plans",
        "What was assumed",
        "Cautions",
        "How it was run",
    ]
    .into_iter()
    .map(|wanted| text.rfind(&format!("\n{wanted}\n")).unwrap_or_else(|| panic!("{wanted} is missing")))
    .collect();
    assert!(places.is_sorted(), "{places:?}");
    assert!(text.contains("The pump of “box” draws air before the next filling in 23 of 100 worlds, at the likely values first at feed 11 of 11"));
    assert!(
        text.contains(
            "“flat cylinder” draws air before the next filling in 23 of 100 worlds, not at the likely values"
        )
    );
    let answer = text.find("The answer").unwrap();
    insta::assert_snapshot!(&text[answer..text.find("Chart 1: survival").unwrap()]);
}

#[test]
fn the_reservoir_with_most_food_need_not_be_the_one_with_most_fry() {
    let (study, mut found, mut trials) = case("three");
    let told = |found: &Comparison, trials: &[ReservoirTrial]| {
        let page = files(&study, found, trials).into_iter().find(|(n, _)| n == "report.html").unwrap().1;
        words(&String::from_utf8(page).unwrap())
    };
    assert!(!told(&found, &trials).contains("Most fry come with"));
    // The box now brings most food over the filling.
    for remedy in &mut trials[0].remedies {
        remedy.delivered_fresh.median = 97.0;
    }
    assert!(told(&found, &trials).contains("Most fry come with “steep cone”, though “box” brings most fresh food"));
    // Told against the next best, not against itself, when the keeper's own is the best.
    assert!(told(&found, &trials).contains("of every 100 parts wanted, “steep cone” 65"));
    found.plans.iter_mut().for_each(|plan| plan.doses.clear());
    assert!(!told(&found, &trials).contains("(dry)."), "without doses there are no milligrams to tell");
}

#[test]
fn what_the_broods_get_is_not_told_as_what_a_filling_on_time_brings() {
    let (study, found, mut trials) = case("three");
    let told = |trials: &[ReservoirTrial]| one_line(&reservoir_terminal(&Facts::new(&study, &found), trials));
    assert!(!told(&trials).contains("the broods get far"));
    // On time the box brings ten times what the broods get of it; the cone only a tenth.
    for remedy in &mut trials[0].remedies {
        remedy.delivered_fresh.median = 60.0;
    }
    for remedy in &mut trials[1].remedies {
        remedy.delivered_fresh.median = 4.0;
    }
    let text = told(&trials);
    assert!(text.contains("With “box” the broods get far less than a filling on time brings"), "{text}");
    assert!(text.contains("With “steep cone” the broods get far more than the one filling brings"), "{text}");
}

#[test]
fn a_timer_that_gives_too_much_and_a_slug_are_told() {
    let (study, found, mut trials) = case("three");
    let told = |trials: &[ReservoirTrial]| one_line(&reservoir_terminal(&Facts::new(&study, &found), trials));
    let text = told(&trials);
    assert!(!text.contains("Timer and pump give") && !text.contains("one large meal"), "{text}");
    trials[2].feeds[4].given_ml = 150.0;
    for (n, feed) in trials[1].feeds.iter_mut().enumerate() {
        for fresh in &mut feed.fresh {
            fresh.median = if n == 1 { 400.0 } else { 5.0 };
        }
    }
    let text = told(&trials);
    assert!(text.contains("Timer and pump give up to 150 mL where 5 mL are wanted"), "{text}");
    // 400 of 400 + 10 × 5.
    assert!(text.contains("Of what “steep cone” brings fresh, 89 of 100 parts come with one feed, at 19:35"), "{text}");
}

#[test]
fn a_jar_test_that_tells_nothing_is_not_recommended_and_the_best_can_be_copied() {
    let (study, found, mut trials) = case("three");
    for trial in &mut trials {
        for test in &mut trial.tests {
            test.width_after = test.width_before - 0.4;
        }
    }
    let page = |trials: &[ReservoirTrial]| {
        let page = files(&study, &found, trials).into_iter().find(|(n, _)| n == "report.html").unwrap().1;
        words(&String::from_utf8(page).unwrap())
    };
    let text = page(&trials);
    assert!(text.contains("None: no test of half an hour would tell more"), "{text}");
    assert!(!text.contains("How to write it down"));
    trials[1].tests[0].width_after = 10.0;
    let text = page(&trials);
    assert!(!text.contains("None: no test") && text.matches("in the reservoir, air on").count() == 1, "{text}");
    let (from, to) = (text.find("[[jar_test]]").unwrap(), text.find("Wash jars").unwrap());
    let table: toml::Table = text[from..to].replace("&quot;", "\"").parse().unwrap();
    let test = table["jar_test"][0].as_table().unwrap();
    let of = |key: &str| test[key].as_str().unwrap();
    assert_eq!((of("air"), of("reservoir"), of("volume")), ("on", "steep cone", "800 mL"));
    assert_eq!((of("after"), of("in_suspension")), ("30 min", "50 %"));
}

/// A text of the terminal without its line ends.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_same_fillings_give_the_same_bytes() {
    let (study, found, trials) = case("five-reservoirs");
    assert!(files(&study, &found, &trials) == files(&study, &found, &trials));
}
