//! Chart 1, survival and visits: fry alive and weaned against keeper visits and against feeds a day.
//!
//! Families matched by the day's food and by the single feed are kept in rows of their own: a line through both would
//! compare feeds with food. Single plans stand in the row of their kind, if there is one.

use frytub_sim::outcome::Spread;
use frytub_sim::study::{Matched, Plan};

use crate::answer::finding;
use crate::chart::{Chart, Swatch, key, not_drawn};
use crate::draw::panel::{Panel, Scale};
use crate::draw::sketch::{Pen, Rect, Sketch, Type};
use crate::facts::{Facts, Family};
use crate::look::{Dash, FAMILY_INKS, Format, HAIR, MARK, Marker, QUIET, Style};
use crate::words::{a_day, held, with_range};

/// Room between the marks of plans that share a place, units.
const STEP_ASIDE: f64 = 11.0;

/// What a panel's level axis counts.
#[derive(Clone, Copy, PartialEq)]
enum Load {
    Visits,
    Feeds,
}

impl Load {
    fn of(self, facts: &Facts<'_>, plan: usize) -> f64 {
        match self {
            Self::Visits => facts.plan(plan).visits_a_day(),
            Self::Feeds => facts.plan(plan).feeds_a_day(),
        }
    }

    fn title(self) -> &'static str {
        match self {
            Self::Visits => "keeper visits a day",
            Self::Feeds => "feeds a day",
        }
    }
}

/// Draws the chart.
pub fn chart(facts: &Facts<'_>) -> Chart {
    let first = facts.plan(0);
    let alike = facts.study.plans.iter().all(|plan| {
        let same = |load: fn(&Plan) -> f64| (load(plan) - load(first)).abs() < 1e-9;
        same(Plan::visits_a_day) && same(Plan::feeds_a_day)
    });
    let look = if alike {
        "Visits and feeds are the same for all: look how high the marks stand, and whether their bars part."
    } else {
        "Look whether the marks rise to the right, and whether their bars part."
    };
    let caption = format!(
        "Full marks are fry weaned, open marks fry alive on the last day; the upright bars hold 80 % of the worlds. {look}"
    );
    let alt = facts
        .drawn
        .iter()
        .map(|&plan| {
            format!(
                "{}: {} visits and {} feeds a day, {} of 100 alive, {} weaned",
                facts.name(plan),
                a_day(facts.plan(plan).visits_a_day()),
                a_day(facts.plan(plan).feeds_a_day()),
                with_range(&facts.result(plan).alive),
                with_range(&facts.result(plan).weaned)
            )
        })
        .collect::<Vec<_>>()
        .join("; ");
    let alt = format!("Dots with ranges for each plan, against keeper visits a day and against feeds a day. {alt}.");
    Chart::new("1-survival-and-visits", finding(facts), caption, alt, |format| draw(facts, format))
}

fn draw(facts: &Facts<'_>, format: Format) -> Sketch {
    let mut sketch = Sketch::new(format.width());
    let gap = format.gap();
    let mut top = gap * 0.5;
    let rows = rows(facts);
    for one in &rows {
        if rows.len() > 1 {
            let kind = Type::new(format.label()).bold();
            let title = match one.matched {
                Some(matched) => format!("Families with the {}", held(matched)),
                None => "Plans, each with its own doses".to_owned(),
            };
            top = sketch.paragraph((gap, top), &title, kind, format.width() - 2.0 * gap) + 2.0;
        }
        top = row(&mut sketch, facts, format, one, top) + gap * 0.8;
    }
    let bottom =
        key(&mut sketch, format, Rect::new(gap, top, format.width() - gap, f64::INFINITY), &key_entries(facts));
    let bottom = not_drawn(&mut sketch, facts, format, bottom);
    sketch.reach(bottom + gap * 0.5);
    sketch
}

/// Families of one matching and the single plans beside them.
struct Row<'a> {
    /// What the families hold equal; `None` for plans that stand alone.
    matched: Option<Matched>,
    families: Vec<&'a Family>,
    single: Vec<usize>,
}

fn rows<'a>(facts: &'a Facts<'_>) -> Vec<Row<'a>> {
    let mut rows: Vec<Row<'a>> = Vec::new();
    if !facts.drawn.is_empty() {
        rows.push(Row { matched: None, families: Vec::new(), single: facts.drawn.clone() });
    }
    for matched in [Matched::FoodPerDay, Matched::FoodPerFeed] {
        let families: Vec<&Family> = facts.families.iter().filter(|family| family.matched == matched).collect();
        if !families.is_empty() {
            rows.push(Row { matched: Some(matched), families, single: Vec::new() });
        }
    }
    rows
}

fn key_entries(facts: &Facts<'_>) -> Vec<(Swatch, String)> {
    let plain = Style { ink: QUIET, dash: Dash::Solid, marker: Marker::Disc };
    let mut entries =
        vec![(Swatch::Mark(plain, true), "weaned".to_owned()), (Swatch::Mark(plain, false), "alive".to_owned())];
    for pump in [false, true] {
        if facts.families.iter().any(|family| family.pump == pump) {
            let how = if pump { "fed by pump" } else { "fed by hand" };
            entries.push((Swatch::Line(Style::of_family(pump)), format!("families, {how}")));
        }
    }
    entries
        .extend(facts.drawn.iter().map(|&plan| (Swatch::Mark(facts.style(plan), true), facts.plan(plan).name.clone())));
    entries
}

/// Both panels of one way of matching; gives back the bottom edge.
fn row(sketch: &mut Sketch, facts: &Facts<'_>, format: Format, row: &Row<'_>, top: f64) -> f64 {
    let gap = format.gap();
    let left = gap + 30.0;
    let mut bottom: f64 = top;
    for (n, load) in [Load::Visits, Load::Feeds].into_iter().enumerate() {
        let (from, to, head) = match format {
            Format::Wide => {
                let width = (format.width() - 2.0 * left - gap) / 2.0;
                let from = left + n as f64 * (width + left);
                (from, from + width, top)
            }
            Format::Narrow => (left, format.width() - gap, if n == 0 { top } else { bottom + gap * 0.5 }),
        };
        let kind = Type::new(format.small());
        let title = format!("fry out of 100, day {}", facts.study.days);
        let under = sketch.paragraph((from - 30.0, head), &title, kind, to - from + 30.0) + 8.0;
        let height = if format.is_narrow() { 190.0 } else { 230.0 };
        let plans = row.families.iter().flat_map(|family| &family.members).chain(&row.single);
        let most = plans.map(|&p| load.of(facts, p)).fold(1.0, f64::max);
        let panel = Panel {
            area: Rect::new(from, under, to, under + height),
            x: Scale::linear(0.0, (most + 0.6).max(most * 1.06)),
            y: Scale::linear(0.0, 100.0),
        };
        panel.y_axis(sketch, format, &panel.y.ticks(5), true);
        let ticks: Vec<(f64, String)> = panel
            .x
            .ticks(8)
            .into_iter()
            .filter(|v| (v - v.round()).abs() < 1e-9)
            .map(|v| (v, format!("{v:.0}")))
            .collect();
        let labels = panel.x_axis(sketch, format, &ticks, false, 10.0);
        fill(sketch, facts, &panel, load, row);
        let end = panel.x_title(sketch, format, labels, load.title());
        bottom = bottom.max(end);
    }
    bottom
}

fn fill(sketch: &mut Sketch, facts: &Facts<'_>, panel: &Panel, load: Load, row: &Row<'_>) {
    let Row { families, single, .. } = row;
    for (n, family) in families.iter().enumerate() {
        let aside = (n as f64 - (families.len() as f64 - 1.0) / 2.0) * 10.0;
        draw_family(sketch, facts, panel, load, family, aside);
    }
    for (n, &plan) in single.iter().enumerate() {
        let x = load.of(facts, plan);
        let same = |p: &usize| (panel.x_at(load.of(facts, *p)) - panel.x_at(x)).abs() < STEP_ASIDE;
        let (before, all) = (single[..n].iter().filter(|p| same(p)).count(), single.iter().filter(|p| same(p)).count());
        let aside = (before as f64 - (all as f64 - 1.0) / 2.0) * STEP_ASIDE;
        let middle = (panel.x_at(x) + aside).clamp(panel.area.left + 6.0, panel.area.right - 6.0);
        let (style, result) = (facts.style(plan), facts.result(plan));
        bar(sketch, panel, middle - 2.5, &result.alive, style, 1.4);
        bar(sketch, panel, middle + 2.5, &result.weaned, style, 2.4);
        sketch.mark((middle - 2.5, panel.y_at(result.alive.median)), style.marker, MARK, style.ink, false);
        sketch.mark((middle + 2.5, panel.y_at(result.weaned.median)), style.marker, MARK, style.ink, true);
    }
}

fn bar(sketch: &mut Sketch, panel: &Panel, x: f64, spread: &Spread, style: Style, width: f64) {
    sketch.line([(x, panel.y_at(spread.low)), (x, panel.y_at(spread.high))], Pen::new(style.ink, width));
}

fn draw_family(sketch: &mut Sketch, facts: &Facts<'_>, panel: &Panel, load: Load, family: &Family, aside: f64) {
    let style = family.style;
    let loads: Vec<f64> = family.members.iter().map(|&p| load.of(facts, p)).collect();
    // Members that stand above each other (a pump adds feeds, not visits) get no bars: they would hide each other.
    let stacked = family.members.len() > 1 && loads.iter().all(|x| (x - loads[0]).abs() < 0.5);
    for (weaned, width) in [(false, HAIR), (true, HAIR + 0.6)] {
        let of = |plan: usize| {
            let result = facts.result(plan);
            if weaned { &result.weaned } else { &result.alive }
        };
        if stacked && !weaned {
            continue;
        }
        // Beside each other, so that the bar of one does not hide the other's.
        let aside = match (stacked, weaned) {
            (true, _) => aside,
            (false, true) => aside + 2.0,
            (false, false) => aside - 2.0,
        };
        let at = |plan: usize, spread: &Spread| {
            let (x, y) = panel.at(load.of(facts, plan), spread.median);
            (x + aside, y)
        };
        let ink = FAMILY_INKS[usize::from(family.pump)];
        sketch.line(family.members.iter().map(|&p| at(p, of(p))), Pen::new(ink, width).dashed(style.dash));
        for &plan in &family.members {
            let point = at(plan, of(plan));
            if !stacked {
                let spread = of(plan);
                let ends = [(point.0, panel.y_at(spread.low)), (point.0, panel.y_at(spread.high))];
                sketch.line(ends, Pen::new(ink, HAIR).faint(0.45));
            }
            sketch.mark(point, style.marker, MARK * 0.75, ink, weaned);
        }
    }
}
