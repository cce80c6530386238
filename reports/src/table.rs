//! The terminal: one table of at most 80 columns, families in short, then the answer.
//!
//! Plain text without colour; whoever prints it decides about that.

use std::fmt::Write as _;

use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table, Width, presets};

use crate::answer::answer;
use crate::draw::font::without_middle;
use crate::facts::{Facts, Family};
use crate::run_file::stop_reason;
use crate::setbacks;
use crate::words::{NOTHING, a_day, capital, cause_briefly, count, fry_short, held, with_range};

/// No line is longer.
pub const TERMINAL_WIDTH: u16 = 80;

/// The longest name, in characters, that the table gives whole.
pub const LONGEST_NAME: usize = 60;

/// The whole terminal report, ending in a line break.
#[must_use]
pub fn terminal(facts: &Facts<'_>) -> String {
    let mut out = partial(facts);
    let _ = writeln!(out, "{}\n", plans(facts));
    for family in &facts.families {
        let _ = writeln!(out, "{}", family_lines(facts, family));
    }
    let ranges = if facts.has_worlds() { " Ranges hold 80 % of the worlds." } else { "" };
    let star = if facts.found.plans.len() > 1 { " The star marks the leader." } else { "" };
    let text = format!(
        "Alive and weaned: fry out of 100 on day {}. Half: the day at whose end half of the living can take brine \
         shrimp.{ranges}{star}",
        facts.study.days
    );
    let _ = writeln!(out, "{}\n", filled(&text));
    out += &setbacks::tables::terminal(facts);
    let answer = answer(facts);
    for line in [&answer.first, &answer.second].into_iter().chain(&answer.notes) {
        let _ = writeln!(out, "{}", filled(line));
    }
    let run = played(facts, "plan") + &curves_note(facts);
    let _ = writeln!(out, "\n{}", filled(&run));
    out
}

/// What stands before everything else when a run was interrupted; nothing otherwise.
pub fn partial(facts: &Facts<'_>) -> String {
    if facts.is_partial() {
        format!("PARTIAL RUN: interrupted after {}.\n\n", count(facts.found.worlds, "world"))
    } else {
        String::new()
    }
}

/// How much was played of each plan, reservoir or whatever is compared.
pub fn played(facts: &Facts<'_>, each: &str) -> String {
    let found = facts.found;
    format!(
        "Played: {}, {} a {each}, seed {}; {}.",
        count(found.worlds, "world"),
        count(found.broods, "brood"),
        found.seed,
        stop_reason(found.stopped)
    )
}

fn plans(facts: &Facts<'_>) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_content_arrangement(ContentArrangement::Dynamic).set_width(TERMINAL_WIDTH);
    table.set_header(["plan", "feeds", "visits", "alive", "weaned", "half", "main loss"]);
    for &plan in &facts.shown {
        let result = facts.result(plan);
        let p = facts.plan(plan);
        let star = if plan == facts.leader() && facts.found.plans.len() > 1 { "*" } else { "" };
        table.add_row([
            format!("{star}{}", without_middle(&p.name.chars().collect::<Vec<_>>(), LONGEST_NAME)),
            a_day(p.feeds_a_day()),
            a_day(p.visits_a_day()),
            with_range(&result.alive),
            with_range(&result.weaned),
            half_ready(facts, plan),
            main_loss(facts, plan),
        ]);
    }
    // Content and the blank after it; together TERMINAL_WIDTH.
    let widths = [24, 6, 7, 12, 12, 7, 12];
    for (n, (column, width)) in table.column_iter_mut().zip(widths).enumerate() {
        column.set_constraint(ColumnConstraint::Absolute(Width::Fixed(width)));
        column.set_padding((0, if n == 6 { 0 } else { 1 }));
        if (1..=2).contains(&n) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table.trim_fmt()
}

/// The day by which half could take brine shrimp, when that came in at least half of the worlds.
#[must_use]
pub fn half_ready(facts: &Facts<'_>, plan: usize) -> String {
    let result = facts.result(plan);
    match result.half_ready_day {
        Some(day) if result.ready_worlds[0] >= 0.5 => format!("day {:.0}", day.median),
        _ => NOTHING.to_owned(),
    }
}

/// The main loss in the fewest words: "no food 24".
#[must_use]
pub fn main_loss(facts: &Facts<'_>, plan: usize) -> String {
    match facts.main_loss(plan) {
        Some((cause, dead)) if dead >= 0.5 => {
            format!("{} {}", cause_briefly(cause), fry_short(dead))
        }
        _ => NOTHING.to_owned(),
    }
}

/// A family in three lines: feeds, alive, weaned.
fn family_lines(facts: &Facts<'_>, family: &Family) -> String {
    let columns = 11;
    let held = held(family.matched);
    let name = capital(&family.name);
    let mut out = filled(&if name.contains(held) { name } else { format!("{name} ({held})") }) + "\n";
    for members in family.members.chunks(columns) {
        let mut row = |label: &str, value: &dyn Fn(usize) -> String| {
            let _ = write!(out, "  {label:<12}");
            for &plan in members {
                let _ = write!(out, "{:>6}", value(plan));
            }
            out.push('\n');
        };
        row("feeds a day", &|p| a_day(facts.plan(p).feeds_a_day()));
        row("visits", &|p| a_day(facts.plan(p).visits_a_day()));
        row("alive", &|p| fry_short(facts.result(p).alive.median));
        row("weaned", &|p| fry_short(facts.result(p).weaned.median));
    }
    out
}

/// That families were played in fewer worlds, if they were.
#[must_use]
pub fn curves_note(facts: &Facts<'_>) -> String {
    let fewest = facts.found.plans.iter().map(|plan| plan.worlds).min().unwrap_or(0);
    if fewest == facts.found.worlds {
        return String::new();
    }
    format!(" Families make curves only: they were played in the first {fewest} of these worlds.")
}

/// Text broken into lines of the terminal's width.
#[must_use]
pub fn filled(text: &str) -> String {
    textwrap::fill(text, usize::from(TERMINAL_WIDTH))
}
