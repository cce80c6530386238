//! The page on reservoirs: its three charts and tables, then all that every comparison tells.

use frytub_sim::outcome::TestWorth;
use maud::{Markup, html};

use super::answer::answer;
use super::tables::{behind, shape_or_freshness, tests_worth, what_would_help, worth_making};
use super::trials::{Trials, Vessel};
use crate::chart::Chart;
use crate::draw::paint::PaintError;
use crate::page::{figures, jar_tests};
use crate::page_frame::{Assumption, figure, table, whole};
use crate::run_file::RunFacts;
use crate::tables::TextTable;

/// How to make a test in a still jar.
const STILL: [&str; 5] = [
    "Make up the food as you would for the reservoir. Keep a glass of it, well stirred, for a row of dilutions in equal \
     glasses: undiluted, three parts in four, one in two, one in four, one in eight.",
    "Fill a clear jar with straight walls to the height given in the table, with water as warm as the reservoir's.",
    "Shake it once, set it down without air where nobody knocks against it, and wait the minutes given.",
    "Pour the water off what has settled, gently, into another glass of the same kind, and stir it.",
    "Stir the dilutions too, hold all glasses before print or a dark line, and find the one that is as cloudy: undiluted \
     is a reading of 100 %, one in two of 50 %. Between two glasses take the middle.",
];

/// How to make a test in the reservoir itself.
const STIRRED: [&str; 3] = [
    "Fill the reservoir with as much of the usual mix as the table says. Air on as usual, pump off.",
    "Take a glass of it at once for the row of dilutions, as above. Wait the minutes given.",
    "With the air still running, take a glass from half the depth and find the dilution that is as cloudy.",
];

/// The whole page.
///
/// # Errors
/// If a chart cannot be drawn.
pub fn page(
    trials: &Trials<'_>,
    ours: &[Chart],
    usual: &[Chart],
    assumed: &[Assumption],
    run: &RunFacts,
) -> Result<String, PaintError> {
    let facts = trials.facts;
    let fillings: Vec<Markup> =
        ours.iter().map(|chart| figure(chart, behind(trials, chart.id).as_ref())).collect::<Result<_, _>>()?;
    let usual = figures(facts, usual)?;
    let middle = html! {
        section { p.quiet { (filling(trials)) } }
        @for figure in &fillings { (figure) }
        (section("shape-or-freshness", "Shape or freshness?", &shape_or_freshness(trials)))
        (section("what-would-help", "What would help", &what_would_help(trials)))
        (tests(trials))
        (usual)
        (jar_tests(facts))
    };
    let heading = format!("Reservoirs compared: {}", facts.study.name);
    Ok(whole(facts, &heading, &answer(trials), &middle, assumed, run))
}

/// Which filling is shown.
fn filling(trials: &Trials<'_>) -> String {
    let Some(first) = trials.vessels.first() else { return String::new() };
    let trial = first.trial;
    let feeds = trial.feeds.len();
    format!(
        "The three charts of the reservoirs follow one filling from day {} to the next one, {:.0} hours later: {} feed{}, \
         a punctual keeper, no fry. The charts after them play whole broods.",
        trial.day,
        trial.hours,
        feeds,
        if feeds == 1 { "" } else { "s" }
    )
}

fn section(id: &str, heading: &str, rows: &TextTable) -> Markup {
    html! {
        @if !rows.rows.is_empty() {
            section {
                h2 { (heading) }
                (table(rows, id))
            }
        }
    }
}

/// A test as it stands in a scenario, with the reading to expect.
fn as_written(trials: &Trials<'_>, vessel: &Vessel<'_>, test: &TestWorth) -> String {
    let quoted = |name: &str| toml::Value::from(name).to_string();
    let how = if test.stirred {
        format!("air = \"on\"\nreservoir = {}\nvolume = \"{:.0} mL\"", quoted(vessel.name()), test.water)
    } else {
        format!("air = \"off\"\nheight = \"{:.0} mm\"", test.water)
    };
    format!(
        "[[jar_test]]\nfood = {}\n{how}\nafter = \"{:.0} min\"\nin_suspension = \"{:.0} %\"",
        quoted(trials.food(test.food)),
        test.after_min,
        test.reading.median * 100.0
    )
}

fn tests(trials: &Trials<'_>) -> Markup {
    let rows = tests_worth(trials);
    let told: Vec<_> =
        trials.vessels.iter().flat_map(|v| worth_making(v).into_iter().map(move |test| (v, test))).collect();
    let any = |stirred: bool| told.iter().any(|(_, test)| test.stirred == stirred);
    let none = rows.rows.is_empty() && trials.vessels.iter().any(|vessel| !vessel.trial.tests.is_empty());
    html! {
        @if none {
            section {
                h2 { "Jar tests worth doing" }
                p { "None: no test of half an hour would tell more of what these reservoirs bring. jar_tests_worth.csv \
                     has what was tried." }
            }
        }
        @if !rows.rows.is_empty() {
            section {
                h2 { "Jar tests worth doing" }
                p { "How fast food settles and whether it stays is known badly. Half an hour with a jar narrows it; write \
                     the reading into the scenario, and run again." }
                (table(&rows, "jar-tests-worth"))
                @if any(false) || any(true) {
                    h3 { "The still jar" }
                    ol { @for step in STILL { li { (step) } } }
                }
                @if any(true) {
                    h3 { "The stirred test" }
                    ol { @for step in STIRRED { li { (step) } } }
                }
                @if let Some((vessel, test)) = told.first() {
                    h3 { "How to write it down" }
                    p { "In the scenario, with what you read in place of what is expected:" }
                    pre { (as_written(trials, vessel, test)) }
                }
                p.quiet { "Wash jars and hands afterwards, and throw the mix away: do not feed it." }
            }
        }
    }
}
