//! The page on reservoirs: its three charts and tables, then all that every comparison tells.

use maud::{Markup, html};

use super::answer::answer;
use super::tables::{behind, shape_or_freshness, tests_worth, what_would_help};
use super::trials::Trials;
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

fn tests(trials: &Trials<'_>) -> Markup {
    let rows = tests_worth(trials);
    let any = |stirred: bool| trials.vessels.iter().flat_map(|v| &v.trial.tests).any(|test| test.stirred == stirred);
    html! {
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
                p.quiet { "Wash jars and hands afterwards, and throw the mix away: do not feed it." }
            }
        }
    }
}
