//! The page of a comparison: its charts in order, which plan forgives what, and what the jar tests told.

use maud::{Markup, html};

use crate::answer::answer;
use crate::chart::Chart;
use crate::draw::paint::PaintError;
use crate::facts::Facts;
use crate::jar_words::{sentence, warning};
use crate::page_frame::{Assumption, figure, table, whole};
use crate::run_file::RunFacts;
use crate::setbacks::tables::which_forgives_what;
use crate::setbacks::words::method;
use crate::tables::behind;
use crate::words::capital;

/// The whole page.
///
/// # Errors
/// If a chart cannot be drawn.
pub fn page(facts: &Facts<'_>, charts: &[Chart], assumed: &[Assumption], run: &RunFacts) -> Result<String, PaintError> {
    let figures = figures(facts, charts)?;
    let middle = html! { (figures) (setbacks(facts)) (jar_tests(facts)) };
    let heading = format!("Feeding plans compared: {}", facts.study.name);
    Ok(whole(facts, &heading, &answer(facts), &middle, assumed, run))
}

/// All charts, each with the numbers behind it.
///
/// # Errors
/// If a chart cannot be drawn.
pub fn figures(facts: &Facts<'_>, charts: &[Chart]) -> Result<Markup, PaintError> {
    let figures: Vec<Markup> =
        charts.iter().map(|chart| figure(chart, behind(facts, chart.id).as_ref())).collect::<Result<_, _>>()?;
    Ok(html! { @for figure in &figures { (figure) } })
}

/// Which plan forgives which setback; nothing when none was tried.
fn setbacks(facts: &Facts<'_>) -> Markup {
    let forgiving = which_forgives_what(facts);
    html! {
        @if !forgiving.rows.is_empty() {
            section {
                h2 { "Which plan forgives what" }
                p { (method(facts)) }
                (table(&forgiving, "table-setbacks"))
            }
        }
    }
}

/// What the keeper's own jar tests narrowed; nothing when there were none.
pub fn jar_tests(facts: &Facts<'_>) -> Markup {
    let (study, findings) = (facts.study, &facts.found.jar_tests);
    let warnings: Vec<String> = findings.iter().filter_map(|finding| warning(study, finding)).collect();
    html! {
        @if !findings.is_empty() {
            section {
                h2 { "What the jar tests told" }
                p { "Ranges hold 80 % of the worlds." }
                ul { @for finding in findings { li { (capital(&sentence(study, finding))) } } }
                @for warning in &warnings { p.warning role="note" { (warning) } }
            }
        }
    }
}
