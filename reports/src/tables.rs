//! The tables of the HTML report, as rows of text before they become markup.

use frytub_sim::outcome::Cause;

use crate::facts::Facts;
use crate::line_tables;
use crate::setbacks;
use crate::table::{half_ready, main_loss};
use crate::water_tables;
use crate::words::{NOTHING, a_day, figures, fry, fry_short, matched, signed, with_range, with_range_to};

/// A table of text; the first cell of each row is its head.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TextTable {
    /// What it shows.
    pub caption: String,
    /// Column heads.
    pub head: Vec<String>,
    /// Rows, each as long as the head, with a mark for the leader's.
    pub rows: Vec<(Vec<String>, bool)>,
    /// Columns that hold words rather than numbers.
    pub words: Vec<usize>,
}

impl TextTable {
    /// An empty table with its heads.
    pub fn new(caption: impl Into<String>, head: &[&str]) -> Self {
        let head = head.iter().map(|h| (*h).to_owned()).collect();
        Self { caption: caption.into(), head, rows: Vec::new(), words: Vec::new() }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: Vec<String>) {
        self.rows.push((cells, false));
    }

    /// Adds the row of a plan: its name, then the cells.
    pub fn row_of(&mut self, facts: &Facts<'_>, plan: usize, cells: Vec<String>) {
        let mut row = vec![facts.name(plan).to_owned()];
        row.extend(cells);
        self.rows.push((row, plan == facts.leader() && facts.found.plans.len() > 1));
    }
}

/// All plans with what they ask for and what they brought.
pub fn plans(facts: &Facts<'_>) -> TextTable {
    let mut table = TextTable::new(
        format!(
            "Fry out of 100 on day {}; in brackets the range that holds 80 % of the worlds. “Matched by” says what was \
             held equal when this plan was set against others.",
            facts.study.days
        ),
        &[
            "plan",
            "matched by",
            "feeds a day",
            "visits a day",
            "food given, dry mg",
            "alive",
            "weaned",
            "half can take brine shrimp by",
            "main loss",
        ],
    );
    table.words = vec![1, 8];
    if facts.any_water() {
        table.head.extend(water_tables::HEADS.map(str::to_owned));
    }
    for plan in 0..facts.found.plans.len() {
        let (p, result) = (facts.plan(plan), facts.result(plan));
        let mut cells = vec![
            matched(p).to_owned(),
            a_day(p.feeds_a_day()),
            a_day(p.visits_a_day()),
            figures(result.food_given_mg),
            with_range(&result.alive),
            with_range(&result.weaned),
            half_ready(facts, plan),
            main_loss(facts, plan),
        ];
        if facts.any_water() {
            cells.extend(water_tables::worst_cells(facts, plan));
        }
        table.row_of(facts, plan, cells);
    }
    table
}

/// The numbers behind a chart, by the chart's id; none for a chart that shows nothing more.
pub fn behind(facts: &Facts<'_>, chart: &str) -> Option<TextTable> {
    match chart.split('-').next()? {
        "1" => Some(growth(facts)),
        "2" => Some(by_day(facts)),
        "3" => Some(causes(facts)),
        "4" => Some(food_and_gut(facts)),
        "5" => Some(mouths(facts)),
        "6" => Some(pairs(facts)).filter(|table| !table.rows.is_empty()),
        "7" => Some(pulls(facts)).filter(|table| !table.rows.is_empty()),
        "8" => Some(water_tables::waters(facts)),
        "9" => Some(line_tables::levels(facts)),
        "10" => Some(line_tables::doses(facts)),
        "11" => Some(setbacks::tables::costs(facts)),
        _ => None,
    }
}

fn growth(facts: &Facts<'_>) -> TextTable {
    let mut table = TextTable::new(
        "Growth by plan. Survivors grow faster where many die, so growth is also given for all fry that started.",
        &[
            "plan",
            "alive, of 100",
            "weaned, of 100",
            "length of the living, mm",
            "growth of the living, per day",
            "growth of all, per day",
        ],
    );
    for plan in 0..facts.found.plans.len() {
        let r = facts.result(plan);
        let cells = vec![
            with_range(&r.alive),
            with_range(&r.weaned),
            with_range_to(&r.length_mm, 1),
            with_range_to(&r.growth_living, 2),
            with_range_to(&r.growth_all, 2),
        ];
        table.row_of(facts, plan, cells);
    }
    table
}

fn by_day(facts: &Facts<'_>) -> TextTable {
    // Long broods are told every few days, so that the table stays narrow.
    let every = (facts.study.days / 10).max(1);
    let days: Vec<u32> = (1..=facts.study.days).filter(|d| d % every == 0 || *d == facts.study.days).collect();
    let mut table = TextTable::new("Fry alive out of 100 at the end of each day, middle world.", &["plan"]);
    table.head.extend(days.iter().map(|day| format!("day {day}")));
    for &plan in &facts.shown {
        let at = |day: &u32| {
            let hour = f64::from(*day) * 24.0;
            let points = &facts.result(plan).survival;
            let nearest = points.iter().min_by(|a, b| (a.hour - hour).abs().total_cmp(&(b.hour - hour).abs()));
            nearest.map_or_else(|| NOTHING.to_owned(), |p| fry_short(p.alive.median))
        };
        table.row_of(facts, plan, days.iter().map(at).collect());
    }
    table
}

fn causes(facts: &Facts<'_>) -> TextTable {
    let mut table = TextTable::new("Fry lost out of 100 by cause, mean of all broods.", &["plan"]);
    if !facts.mishaps().is_empty() {
        table.caption +=
            " Indented: how many of them in or soon after a mishap; a fry counts under one mishap at most.";
    }
    table.head.extend(Cause::ALL.map(|cause| cause.label().to_owned()));
    for plan in 0..facts.found.plans.len() {
        table.row_of(facts, plan, facts.result(plan).deaths_by_cause().map(fry).to_vec());
        for (kind, _) in facts.lost_in_mishaps(plan) {
            let mut cells = vec![format!("\u{2003}{}", kind.label())];
            cells.extend(facts.result(plan).by_mishap[kind.index()].map(fry));
            table.row(cells);
        }
    }
    table
}

fn food_and_gut(facts: &Facts<'_>) -> TextTable {
    let day = facts.study.show_day;
    let mut table = TextTable::new(
        format!(
            "What a living fry ate on day {day}, as % of its body mass, and where all food of the brood went, as % of \
             what was given."
        ),
        &["plan", "worst-fed fifth", "middle fifth", "best-fed fifth", "eaten", "washed out", "spoiled", "left"],
    );
    if facts.has_lines() {
        table.head[6] = "spoiled in the tub".to_owned();
        table.head[7] = "left in the tub".to_owned();
        let more = ["spoiled before it arrived", "never left the reservoir", "still in the tube"];
        table.head.extend(more.map(str::to_owned));
    }
    let percent = |share: f64| if share.is_finite() { format!("{:.0}", share * 100.0) } else { NOTHING.to_owned() };
    for plan in 0..facts.found.plans.len() {
        let r = facts.result(plan);
        let f = &r.fate;
        let mut shares =
            vec![r.intake_fifths[0], r.intake_fifths[2], r.intake_fifths[4], f.eaten, f.washed_out, f.spoiled, f.left];
        if facts.has_lines() {
            shares.extend([f.arrived_spoiled, f.kept_in_reservoir, f.in_tube]);
        }
        table.row_of(facts, plan, shares.into_iter().map(percent).collect());
    }
    table
}

fn mouths(facts: &Facts<'_>) -> TextTable {
    let mut table = TextTable::new(
        "Gape of the living at the end of each day, and how many of 100 living could take brine shrimp.",
        &[
            "plan and day",
            "smallest tenth, µm",
            "middle, µm",
            "largest tenth, µm",
            "middle length, mm",
            "could take brine shrimp, of 100",
        ],
    );
    for plan in facts.leading() {
        for mouth in &facts.result(plan).mouths {
            let mut cells = vec![format!("{}, day {}", facts.name(plan), mouth.day)];
            cells.extend(mouth.gape_um.map(|g| if g.is_finite() { format!("{g:.0}") } else { NOTHING.to_owned() }));
            cells.push(if mouth.length_mm[1].is_finite() {
                format!("{:.1}", mouth.length_mm[1])
            } else {
                NOTHING.to_owned()
            });
            cells.push(fry_short(mouth.ready));
            table.row(cells);
        }
    }
    table
}

fn pairs(facts: &Facts<'_>) -> TextTable {
    let mut table = TextTable::new(
        format!("Weaned fry out of 100: “{}” less each other plan, paired world by world.", facts.name(facts.leader())),
        &[
            "other plan",
            "mean difference",
            "95 % interval of the mean",
            "80 % of worlds",
            "better in, of 100 worlds (95 %: Wilson)",
            "the same in",
        ],
    );
    for pair in &facts.found.pairs {
        let span = |low: f64, high: f64| format!("{} to {}", signed(low), signed(high));
        table.row_of(
            facts,
            pair.plan,
            vec![
                signed(pair.difference.mean),
                span(pair.mean_95.low, pair.mean_95.high),
                span(pair.difference.low, pair.difference.high),
                format!(
                    "{} ({}–{})",
                    fry_short(pair.better),
                    fry_short(pair.better_95.low),
                    fry_short(pair.better_95.high)
                ),
                fry_short(pair.same),
            ],
        );
    }
    table
}

fn pulls(facts: &Facts<'_>) -> TextTable {
    let mut table = TextTable::new(
        format!("Rank correlation over worlds; below {:.2} either way it may be chance.", facts.found.pull_threshold),
        &["number", "low", "likely", "high", "unit", "pull on the difference", "pull on the leader"],
    );
    table.words = vec![4];
    for pull in facts.found.pulls.iter().take(20) {
        let mut cells = vec![pull.label.clone()];
        cells.extend(pull.values.map(figures));
        cells.push(pull.unit.clone());
        cells.extend([pull.on_difference, pull.on_leader].map(correlation));
        table.row(cells);
    }
    table
}

fn correlation(r: f64) -> String {
    if r.is_finite() { format!("{r:+.2}").replace('-', "−") } else { NOTHING.to_owned() }
}
