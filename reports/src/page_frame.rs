//! The frame that every HTML report shares: head, answer box, figures, tables, assumptions, cautions, how it was run.
//!
//! Every string of the scenario passes through the page builder's escaping; only our own style and drawings, which
//! escape theirs, are put in as they are. Knows no single chart.

use std::collections::BTreeMap;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::answer::Answer;
use crate::chart::Chart;
use crate::draw::paint::PaintError;
use crate::facts::Facts;
use crate::look::Format;
use crate::page_words::{cautions_for, left_out};
use crate::run_file::{RunFacts, SCENARIO_COPY, stop_reason};
use crate::tables::{TextTable, plans};
use crate::words::{capital, figures, thousands};

const STYLE: &str = include_str!("../assets/page.css");
/// Nothing but the style in the page itself may be loaded or run.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'";

/// A table of more columns is set closer.
const MANY_COLUMNS: usize = 9;

/// One number of the model, as it was used.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumption {
    /// What it belongs to, for example a fish, a food, the tub.
    pub group: String,
    /// Plain words.
    pub label: String,
    /// Unit; empty for a plain ratio.
    pub unit: String,
    /// Lowest value thought possible.
    pub low: f64,
    /// Most likely value.
    pub likely: f64,
    /// Highest value thought possible.
    pub high: f64,
    /// Kind of source, for example `read`, `estimate`, `common practice`.
    pub kind: String,
    /// Where it comes from; may be empty.
    pub source: String,
}

/// A whole page: the heading, the answer, and what stands between it and the plans.
pub fn whole(
    facts: &Facts<'_>,
    heading: &str,
    answer: &Answer,
    middle: &Markup,
    assumed: &[Assumption],
    run: &RunFacts,
) -> String {
    let study = facts.study;
    let page = html! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                title { (heading) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                a.skip href="#answer" { "Skip to the answer" }
                div.page {
                    header {
                        h1 { (heading) }
                        p.quiet { (study.about) }
                        p.quiet {
                            "Fish: " (study.fish_name) ", " (thousands(f64::from(study.fry))) " fry, "
                            (study.days) @if study.days == 1 { " day" } @else { " days" } " from first swimming."
                        }
                    }
                    main {
                        (answer_box(facts, answer))
                        (middle)
                        section {
                            h2 id="plans" { "The plans" }
                            (table(&plans(facts), "table-plans"))
                        }
                        (assumptions(assumed))
                        (cautions(facts))
                        section {
                            h2 { "What the model leaves out" }
                            ul { @for item in left_out(facts) { li { (item) } } }
                        }
                        (how_it_was_run(facts, run))
                    }
                    footer {
                        p { "Made by frytub " (run.version) ". The charts and the numbers behind them lie beside this page." }
                    }
                }
            }
        }
    };
    page.into_string()
}

fn answer_box(facts: &Facts<'_>, answer: &Answer) -> Markup {
    html! {
        @if facts.is_partial() {
            p.partial role="note" {
                "Partial run: it was interrupted after " (facts.found.worlds) " worlds. All figures are rougher for it."
            }
        }
        section.answer id="answer" aria-labelledby="answer-head" tabindex="-1" {
            h2 id="answer-head" { "The answer" }
            p.first { (answer.first) }
            p.second { (answer.second) }
            dl.numbers {
                @for number in &answer.numbers {
                    div {
                        dt { (number.label) }
                        dd.value { (number.value) }
                        @if !number.range.is_empty() { dd.range { (number.range) } }
                    }
                }
            }
            @if !answer.notes.is_empty() {
                ul { @for note in &answer.notes { li { (note) } } }
            }
        }
    }
}

/// A chart with its finding, its sentence and the numbers behind it.
///
/// # Errors
/// If it cannot be drawn.
pub fn figure(chart: &Chart, behind: Option<&TextTable>) -> Result<Markup, PaintError> {
    let wide = chart.inline_svg(Format::Wide)?;
    let narrow = chart.inline_svg(Format::Narrow)?;
    let (number, name) = chart.id.split_once('-').unwrap_or(("", chart.id));
    let (kind, number) = number.strip_prefix('r').map_or(("Chart", number), |number| ("Reservoir chart", number));
    Ok(html! {
        section.chart {
            div.keep {
                p.kicker { (kind) " " (number) ": " (name.replace('-', " ")) }
                h2 { (chart.title) }
                figure {
                    @if !chart.caption.is_empty() { figcaption { (chart.caption) } }
                    div.card {
                        div.wide { (PreEscaped(wide)) }
                        div.narrow { (PreEscaped(narrow)) }
                    }
                }
            }
            @if let Some(numbers) = behind {
                details {
                    summary { "The numbers behind this chart" }
                    (table(numbers, &format!("table-{}", chart.id)))
                }
            }
        }
    })
}

/// A table that scrolls by itself where the screen is too narrow; without a caption, the heading of that id names it.
pub fn table(table: &TextTable, id: &str) -> Markup {
    let class = |column: usize| table.words.contains(&column).then_some("text");
    let many = table.head.len() > MANY_COLUMNS;
    html! {
        // Outside the scrolling part, so that it stays in sight.
        @if !table.caption.is_empty() { p.caption id=(id) { (table.caption) } }
        div.scroll role="region" aria-labelledby=(id) tabindex="0" {
            table class=[many.then_some("many")] {
                thead { tr {
                    @for (n, head) in table.head.iter().enumerate() { th scope="col" class=[class(n)] { (head) } }
                } }
                tbody {
                    @for (cells, leader) in &table.rows {
                        tr class=[leader.then_some("leader")] {
                            @for (n, cell) in cells.iter().enumerate() {
                                @if n == 0 { th scope="row" { (cell) } }
                                @else { td class=[class(n)] {
                                    @match range(cell).filter(|_| many && class(n).is_none()) {
                                        Some((number, range)) => { (number) " " span { (range) } }
                                        None => { (cell) }
                                    }
                                } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A cell such as "5.0 (4.1–6.0)" parted where a line may break; none for any other.
fn range(cell: &str) -> Option<(&str, &str)> {
    let at = cell.find(" (").filter(|_| cell.ends_with(')'))?;
    Some((&cell[..at], &cell[at + 1..]))
}

fn assumptions(assumed: &[Assumption]) -> Markup {
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    let mut groups: Vec<&str> = Vec::new();
    for row in assumed {
        *kinds.entry(row.kind.as_str()).or_default() += 1;
        if !groups.contains(&row.group.as_str()) {
            groups.push(&row.group);
        }
    }
    html! {
        section {
            h2 { "What was assumed" }
            @if assumed.is_empty() {
                p { "The numbers were not listed for this run." }
            } @else {
                p {
                    "Every number of the model, with the range it was drawn from and where it comes from. By kind of source: "
                    @for (n, (kind, count)) in kinds.iter().enumerate() {
                        @if n > 0 { ", " } (kind) " " (count)
                    }
                    "."
                }
                p {
                    "“Read” stands in a publication that was read for it; “computed” and “derived” follow from such \
                     values; “common practice” has no published source; “from memory” and “estimate” are guesses. \
                     “Scenario file” was said there; “default” is taken where it says nothing."
                }
                details {
                    summary { "All " (assumed.len()) " numbers" }
                    @for (n, group) in groups.into_iter().enumerate() {
                        h3 id=(format!("table-assumed-{n}")) { (capital(group)) }
                        (table(&assumption_table(assumed, group), &format!("table-assumed-{n}")))
                    }
                }
            }
        }
    }
}

fn assumption_table(assumed: &[Assumption], group: &str) -> TextTable {
    let head = ["number", "low", "likely", "high", "unit", "kind of source", "source"];
    let rows = assumed.iter().filter(|row| row.group == group).map(|row| {
        let certain = row.low >= row.high;
        let end = |value: f64| if certain { String::new() } else { figures(value) };
        let cells = vec![
            row.label.clone(),
            end(row.low),
            figures(row.likely),
            end(row.high),
            row.unit.clone(),
            row.kind.clone(),
            if row.source.is_empty() { "no source".to_owned() } else { row.source.clone() },
        ];
        (cells, false)
    });
    TextTable {
        caption: String::new(),
        head: head.map(str::to_owned).to_vec(),
        rows: rows.collect(),
        words: vec![4, 5, 6],
    }
}

fn cautions(facts: &Facts<'_>) -> Markup {
    html! {
        section.cautions aria-labelledby="cautions" {
            h2 id="cautions" { "Cautions" }
            ul { @for (what, text) in cautions_for(facts) { li { strong { (what) "." } " " (text) } } }
        }
    }
}

fn how_it_was_run(facts: &Facts<'_>, run: &RunFacts) -> Markup {
    let found = facts.found;
    html! {
        section {
            h2 { "How it was run" }
            dl.run {
                dt { "Scenario" } dd { (run.scenario_file) " (a copy lies beside this page as " (SCENARIO_COPY) ")" }
                dt { "Seed" } dd { (found.seed) }
                dt { "Worlds" } dd {
                    (thousands(f64::from(found.worlds)))
                    @if found.likely_only { ", every number at its most likely value" }
                    @else { ", each one draw of every uncertain number" }
                }
                dt { "Broods" } dd { (thousands(f64::from(found.broods))) " for each plan" }
                dt { "Ended because" } dd { (stop_reason(found.stopped)) @if facts.is_partial() { " (partial run)" } }
                dt { "Version" } dd { "frytub " (run.version) }
            }
            p {
                "All plans met the same worlds, the same fry and the same late mornings, so that differences between \
                 plans are due to the plans. The same version, scenario and seed give the same results again."
            }
        }
    }
}
