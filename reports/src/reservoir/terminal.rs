//! The terminal's table and sentences on reservoirs, at most 80 columns wide.

use std::fmt::Write as _;

use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table, Width, presets};
use frytub_sim::outcome::ReservoirTrial;

use super::answer::{food, troubles, warnings};
use super::trials::{Trials, Vessel};
use crate::answer::answer;
use crate::draw::font::without_middle;
use crate::facts::Facts;
use crate::table::{LONGEST_NAME, TERMINAL_WIDTH, filled, partial, played};
use crate::words::{NOTHING, fry_short, with_range};

/// The whole terminal report on reservoirs, ending in a line break.
///
/// `facts` are those of a comparison of one plan run with each reservoir.
#[must_use]
pub fn reservoir_terminal(facts: &Facts<'_>, trials: &[ReservoirTrial]) -> String {
    let trials = Trials::new(facts, trials);
    let mut out = partial(facts);
    let _ = writeln!(out, "{}\n", table(&trials));
    let text = format!(
        "Fresh: food that reaches the tub fresh, parts of 100 wanted, from one filling to the next; first and last: the \
         same for the first and the last feed. Settling, ageing and tube: what each alone would cost, out of 100 parts that \
         would come without any of them. Weaned: fry out of 100 on day {}. Ranges hold 80 % of the worlds.",
        facts.study.days
    );
    let _ = writeln!(out, "{}\n", filled(&text));
    let usual = answer(facts);
    let mut sentences = vec![food(&trials), usual.first.clone(), troubles(&trials).join(" ")];
    sentences.extend(warnings(&trials, &usual));
    for sentence in sentences.iter().filter(|sentence| !sentence.is_empty()) {
        let _ = writeln!(out, "{}", filled(sentence));
    }
    let _ = writeln!(out, "\n{}", filled(&played(facts, "reservoir")));
    out
}

fn table(trials: &Trials<'_>) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_content_arrangement(ContentArrangement::Dynamic).set_width(TERMINAL_WIDTH);
    table.set_header(["reservoir", "fresh", "settling", "ageing", "tube", "first", "last", "weaned"]);
    for vessel in &trials.vessels {
        table.add_row(row(trials, vessel));
    }
    // Content and the blank after it; together no more than TERMINAL_WIDTH.
    let widths = [19, 14, 9, 7, 6, 7, 6, 12];
    for (n, (column, width)) in table.column_iter_mut().zip(widths).enumerate() {
        column.set_constraint(ColumnConstraint::Absolute(Width::Fixed(width)));
        column.set_padding((0, if n == 7 { 0 } else { 1 }));
        if (2..=6).contains(&n) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table.trim_fmt()
}

fn row(trials: &Trials<'_>, vessel: &Vessel<'_>) -> [String; 8] {
    let losses = vessel.losses();
    let [first, last] = vessel.first_and_last().map(|share| share.map_or_else(|| NOTHING.to_owned(), fry_short));
    let weaned = vessel.plan.map_or_else(|| NOTHING.to_owned(), |plan| with_range(&trials.facts.result(plan).weaned));
    [
        without_middle(&vessel.name().chars().collect::<Vec<_>>(), LONGEST_NAME),
        with_range(&vessel.fresh()),
        fry_short(losses.settling),
        fry_short(losses.ageing),
        fry_short(losses.tube),
        first,
        last,
        weaned,
    ]
}
