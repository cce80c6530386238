//! Which plan forgives what: the table of the page, the one of the terminal, and the numbers behind the chart.

use comfy_table::{ColumnConstraint, ContentArrangement, Table, Width, presets};
use frytub_sim::setbacks::{HARD, Setback};

use super::words::{method, name, verdict_at_length, verdict_briefly, when, whole};
use super::{FORGIVEN, cost, hidden, plans, tried};
use crate::draw::font::without_middle;
use crate::facts::Facts;
use crate::table::{LONGEST_NAME, TERMINAL_WIDTH, filled};
use crate::tables::TextTable;
use crate::words::{capital, fry_short};

/// Setbacks side by side in one table of the terminal: a plan's name and these fill its width.
const MOST_IN_A_TABLE: usize = 5;
/// Width of a column of the terminal's table, blank included.
const COLUMN: u16 = 11;

/// How the cells are read, `page` where ranges stand in them.
fn reading(page: bool) -> String {
    let ranges = if page { " In brackets 80 % of the worlds." } else { "" };
    format!(
        "Weaned fry out of 100 that one setback costs. “Forgives”: surely fewer than {FORGIVEN:.0}; “not clear”: it may be \
         either; a dash: it cannot strike.{ranges}"
    )
}

/// Setbacks against plans, for the page: there are often more setbacks than columns find room for. No rows when nothing
/// was tried.
pub fn which_forgives_what(facts: &Facts<'_>) -> TextTable {
    let plans = plans(facts);
    let mut table = TextTable::new(reading(true), &["one setback"]);
    table.head.extend(plans.iter().map(|&plan| facts.name(plan).to_owned()));
    table.words = (1..table.head.len()).collect();
    for setback in tried(facts) {
        let cells = plans.iter().map(|&plan| verdict_at_length(cost(facts, plan, setback)));
        table.row(std::iter::once(capital(&name(facts.study, setback))).chain(cells).collect());
    }
    table
}

/// Every cost in figures.
pub fn costs(facts: &Facts<'_>) -> TextTable {
    let mut table = TextTable::new(
        format!("{} Hard: it cost {HARD:.0} weaned fry of 100 or more.", method(facts)),
        &[
            "setback and plan",
            "worst hour",
            "weaned fry lost, mean",
            "95 % interval of the mean",
            "80 % of worlds",
            "fry alive lost, mean",
            "worlds of 100 in which it was hard",
        ],
    );
    table.words = vec![1];
    let span = |low: f64, high: f64| format!("{} to {}", whole(low), whole(high));
    for setback in tried(facts) {
        for plan in plans(facts) {
            let Some(cost) = cost(facts, plan, setback) else { continue };
            table.row(vec![
                format!("{}: {}", capital(&name(facts.study, setback)), facts.name(plan)),
                when(cost),
                whole(cost.lost.mean),
                span(cost.mean_95.low, cost.mean_95.high),
                span(cost.lost.low, cost.lost.high),
                whole(cost.alive_lost),
                fry_short(cost.hard),
            ]);
        }
    }
    table
}

/// Plans against setbacks, for the terminal; nothing when nothing was tried.
pub fn terminal(facts: &Facts<'_>) -> String {
    let tried = tried(facts);
    if tried.is_empty() {
        return String::new();
    }
    let tables = tried.len().div_ceil(MOST_IN_A_TABLE);
    let mut out = String::new();
    for some in tried.chunks(tried.len().div_ceil(tables)) {
        out += &one_table(facts, some);
        out += "\n\n";
    }
    let more = match hidden(facts) {
        0 => " The hours stand in setbacks.csv.".to_owned(),
        n => format!(" The hours, and {n} more plans, stand in setbacks.csv."),
    };
    out + &filled(&format!("{} {}{more}", reading(false), method(facts))) + "\n\n"
}

fn one_table(facts: &Facts<'_>, setbacks: &[Setback]) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_content_arrangement(ContentArrangement::Dynamic).set_width(TERMINAL_WIDTH);
    let heads = setbacks.iter().map(|&setback| name(facts.study, setback));
    table.set_header(std::iter::once("one setback".to_owned()).chain(heads));
    for plan in plans(facts) {
        let star = if plan == facts.leader() && facts.found.plans.len() > 1 { "*" } else { "" };
        let name = without_middle(&facts.name(plan).chars().collect::<Vec<_>>(), LONGEST_NAME);
        let cells = setbacks.iter().map(|&setback| verdict_briefly(cost(facts, plan, setback)));
        table.add_row(std::iter::once(format!("{star}{name}")).chain(cells));
    }
    for (n, column) in table.column_iter_mut().enumerate() {
        let width = if n == 0 { TERMINAL_WIDTH - MOST_IN_A_TABLE as u16 * COLUMN } else { COLUMN };
        column.set_constraint(ColumnConstraint::Absolute(Width::Fixed(width)));
        column.set_padding((0, if n == setbacks.len() { 0 } else { 1 }));
    }
    table.trim_fmt()
}
