//! Published trials and what the model says to them: a table in the terminal, and a CSV file.
//!
//! Shares are given in per cent, everything else in the unit of its quantity. Knows words and layout; what lies inside
//! is decided by [`frytub_sim::cases`].

use std::fmt::Write as _;

use comfy_table::{ColumnConstraint, ContentArrangement, Table, Width, presets};
use csv::Writer;
use frytub_sim::cases::{Case, Expected, Held, Kind, Published, Quantity, Versus};
use frytub_sim::study::Study;

use crate::csv_files::{CsvError, finish, number};
use crate::table::{TERMINAL_WIDTH, filled};
use crate::words::{NOTHING, figures};

/// First line of the CSV file.
pub const CASES_HEADER: &str = "case,arm or comparison,quantity,unit,published,published low,published high,\
    predicted low,predicted middle,predicted high,inside,worlds with the published direction (of 100),kind,source";
/// How many figures after the point a CSV value keeps.
const CSV_DECIMALS: f64 = 1e4;

/// One case with what came out.
#[derive(Debug, Clone, Copy)]
pub struct HeldCase<'a> {
    /// Name of its file, without ending.
    pub file: &'a str,
    /// Its arms.
    pub study: &'a Study,
    /// What was published.
    pub case: &'a Case,
    /// What the model says, in the order of the expected values.
    pub held: &'a [Held],
}

impl<'a> HeldCase<'a> {
    fn rows(&self) -> impl Iterator<Item = Row<'a>> {
        let study = self.study;
        self.case.expected.iter().zip(self.held).map(move |(expected, held)| Row { study, expected, held })
    }
}

/// One published value beside the model's.
struct Row<'a> {
    study: &'a Study,
    expected: &'a Expected,
    held: &'a Held,
}

impl Row<'_> {
    /// True for what is told in per cent.
    fn is_share(&self) -> bool {
        let is_ratio = self.expected.against.is_some_and(|(_, versus)| versus == Versus::Ratio);
        self.expected.quantity.info().unit.is_empty() && !is_ratio
    }

    fn unit(&self) -> &'static str {
        match self.expected.against {
            Some((_, Versus::Ratio)) => "ratio",
            _ if self.is_share() => "%",
            _ => self.expected.quantity.info().unit,
        }
    }

    /// A value of the quantity in the unit in which it is told.
    fn told(&self, value: f64) -> f64 {
        if self.is_share() { 100.0 * value } else { value }
    }

    fn is_order(&self) -> bool {
        self.held.agreeing.is_some()
    }

    /// The arm, or the two that are compared.
    fn arm(&self) -> String {
        let name = |plan: usize| self.study.plans[plan].name.as_str();
        let one = name(self.expected.plan);
        match self.expected.against {
            None => one.to_owned(),
            Some((other, Versus::Ratio)) => format!("{one} / {}", name(other)),
            Some((other, Versus::Difference)) => format!("{one} less {}", name(other)),
        }
    }

    /// The quantity, with the day where it is not the last.
    fn quantity(&self) -> String {
        let Expected { quantity, on_day, .. } = self.expected;
        let counts = matches!(quantity, Quantity::Survival | Quantity::Length | Quantity::Mass);
        let day = if counts && *on_day < self.study.days { format!(" on day {on_day}") } else { String::new() };
        format!("{}{day}", quantity.label())
    }

    /// The published value, then its low and its high end, as far as there are any.
    fn published(&self) -> [Option<f64>; 3] {
        let told = |value: f64| Some(self.told(value));
        match self.expected.published {
            Published::Value(value, None) => [told(value), None, None],
            Published::Value(value, Some(beside)) => [told(value), told(value - beside), told(value + beside)],
            Published::Span(from, to) => [None, told(from), told(to)],
            Published::More | Published::Less => [None; 3],
            Published::Same(within) => [None, told(-within), told(within)],
        }
    }

    /// The published direction in words; empty for a value.
    fn direction(&self) -> &'static str {
        match self.expected.published {
            Published::More => "more",
            Published::Less => "less",
            Published::Same(_) => "no difference",
            Published::Value(..) | Published::Span(..) => "",
        }
    }

    /// The published value in words.
    fn published_words(&self) -> String {
        match (self.expected.published, self.published()) {
            (Published::Value(_, Some(beside)), [Some(value), ..]) => {
                format!("{} ± {}", figures(value), figures(self.told(beside)))
            }
            (Published::Same(within), _) => format!("no difference (± {})", figures(self.told(within))),
            (_, [Some(value), ..]) => figures(value),
            (_, [None, Some(low), Some(high)]) => format!("{} to {}", figures(low), figures(high)),
            _ => self.direction().to_owned(),
        }
    }

    /// The predicted range in words.
    fn predicted_words(&self) -> String {
        let spread = &self.held.predicted;
        if !spread.median.is_finite() {
            return NOTHING.to_owned();
        }
        let [low, middle, high] = [spread.low, spread.median, spread.high].map(|value| figures(self.told(value)));
        let range = if low == high { middle } else { format!("{middle} ({low} to {high})") };
        match self.held.agreeing {
            Some(share) => format!("{range}; as published in {:.0} of 100", 100.0 * share),
            None => range,
        }
    }
}

/// The whole terminal report on cases, ending in a line break; with `assumed`, each case tells its source and what was
/// assumed.
#[must_use]
pub fn cases_terminal(cases: &[HeldCase<'_>], assumed: bool) -> String {
    let mut out = String::new();
    for case in cases {
        let _ = writeln!(out, "{}", filled(&format!("{} [{}]", case.study.name, case.case.kind.label())));
        if assumed {
            let _ = writeln!(out, "{}", indented(&case.case.source));
            for sentence in &case.case.assumed {
                let _ = writeln!(out, "{}", indented(&format!("Assumed: {sentence}")));
            }
        }
        let _ = writeln!(out, "{}\n", table(case));
    }
    let text = "Predicted: the middle world, and the range that a tenth of the worlds lie below and a tenth above. Inside: the \
                published value lies in that range, a published span overlaps it, or the middle world shows the published \
                direction.";
    let _ = writeln!(out, "{}\n\n{}", filled(text), filled(&sums(cases)));
    out
}

/// Text behind an indent, broken to the width of a terminal.
fn indented(text: &str) -> String {
    let options = textwrap::Options::new(usize::from(TERMINAL_WIDTH)).initial_indent("  ").subsequent_indent("    ");
    textwrap::fill(text, options)
}

fn table(case: &HeldCase<'_>) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_content_arrangement(ContentArrangement::Dynamic).set_width(TERMINAL_WIDTH);
    table.set_header(["arm: quantity, unit", "predicted", "published", ""]);
    for row in case.rows() {
        let kind = row.expected.kind;
        let kind = if kind == case.case.kind { String::new() } else { format!(" [{}]", kind.label()) };
        table.add_row([
            format!("{}: {}, {}{kind}", row.arm(), row.quantity(), row.unit()),
            row.predicted_words(),
            row.published_words(),
            if row.held.inside { "inside".to_owned() } else { "OUTSIDE".to_owned() },
        ]);
    }
    // Content and the blank after it; together TERMINAL_WIDTH.
    for (n, (column, width)) in table.column_iter_mut().zip([37, 20, 15, 8]).enumerate() {
        column.set_constraint(ColumnConstraint::Absolute(Width::Fixed(width)));
        column.set_padding((0, if n == 3 { 0 } else { 1 }));
    }
    table.trim_fmt()
}

/// How many published values lie inside, by kind.
fn sums(cases: &[HeldCase<'_>]) -> String {
    let rows: Vec<Row<'_>> = cases.iter().flat_map(HeldCase::rows).collect();
    let share = |counts: &dyn Fn(&Row<'_>) -> bool| {
        let counted = rows.iter().filter(|row| counts(row));
        let (inside, of) = counted.fold((0, 0), |(inside, of), row| (inside + u32::from(row.held.inside), of + 1));
        format!("{inside} of {of}")
    };
    let mut text = String::new();
    if rows.iter().any(|row| !row.is_order()) {
        let of_kind = |kind: Kind| {
            let counts = |row: &Row<'_>| !row.is_order() && row.expected.kind == kind;
            rows.iter().any(counts).then(|| format!("{} of {}", share(&counts), kind.label()))
        };
        let kinds: Vec<String> = [Kind::Validation, Kind::Calibration].into_iter().filter_map(of_kind).collect();
        let _ = write!(
            text,
            "Inside: {} published values: {}. Ranges that hold 80 of 100 worlds should hold about 8 of 10 values, if what \
             was assumed is right; to lie inside a wide range says little. ",
            share(&|row| !row.is_order()),
            kinds.join(", ")
        );
    }
    if rows.iter().any(Row::is_order) {
        let _ = write!(text, "Published directions that come out: {}.", share(&|row| row.is_order()));
    }
    text
}

/// One row a published value, behind [`CASES_HEADER`].
///
/// # Errors
/// If the CSV library refuses a row.
pub fn cases_csv(cases: &[HeldCase<'_>]) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    writer.write_record(CASES_HEADER.split(','))?;
    let rounded = |value: f64| number((value * CSV_DECIMALS).round() / CSV_DECIMALS);
    for case in cases {
        for row in case.rows() {
            let [published, low, high] = row.published().map(|value| value.map_or_else(String::new, rounded));
            let published = if row.is_order() { row.direction().to_owned() } else { published };
            let spread = &row.held.predicted;
            let mut cells =
                vec![case.file.to_owned(), row.arm(), row.quantity(), row.unit().to_owned(), published, low, high];
            cells.extend([spread.low, spread.median, spread.high].map(|value| rounded(row.told(value))));
            cells.push(if row.held.inside { "yes" } else { "no" }.to_owned());
            cells.push(row.held.agreeing.map_or_else(String::new, |share| rounded(100.0 * share)));
            cells.extend([row.expected.kind.label().to_owned(), case.case.source.clone()]);
            writer.write_record(cells)?;
        }
    }
    finish(writer)
}
