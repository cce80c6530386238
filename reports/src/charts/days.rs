//! Chart 2, through the days: fry alive out of 100, a band per plan; nights shaded, new foods marked.

use crate::chart::{Chart, Swatch, head, head_height, key, not_drawn};
use crate::draw::font;
use crate::draw::panel::{Panel, Scale, spread};
use crate::draw::sketch::{Pen, Point, Rect, Sketch, Type};
use crate::facts::Facts;
use crate::look::{Format, HAIR, LINE, MARK, NIGHT, QUIET};
use crate::words::{capital, fry, fry_short, list, quoted_briefly, with_range};

/// More lines than this in one panel hide each other's bands.
const MOST_IN_ONE: usize = 4;
/// From this many days on, nights would be stripes too thin to see.
const MOST_NIGHTS: u32 = 21;

/// Draws the chart.
pub fn chart(facts: &Facts<'_>) -> Chart {
    let caption = "The line is the middle world, the band holds 80 % of the worlds; nights are shaded and each new \
                   food is marked below. Look for the days on which a line falls.";
    let lines = facts.drawn.iter().map(|&plan| {
        let end = with_range(&facts.result(plan).alive);
        format!("{}: {end} of 100 alive on day {}", facts.name(plan), facts.study.days)
    });
    let alt = format!(
        "Fry alive out of 100 against the day, one line with a band for each plan. {}.",
        lines.collect::<Vec<_>>().join("; ")
    );
    Chart::new("2-through-the-days", title(facts), caption, alt, |format| draw(facts, format))
}

/// When the losses come: the day on which the plans shown lose most, or that few die.
fn title(facts: &Facts<'_>) -> String {
    let days = facts.study.days as usize;
    let mut by_day = vec![0.0; days];
    for &plan in &facts.drawn {
        for (total, dead) in by_day.iter_mut().zip(&facts.result(plan).deaths) {
            *total += dead.iter().sum::<f64>() / facts.drawn.len() as f64;
        }
    }
    let all: f64 = by_day.iter().sum();
    if all < 5.0 {
        return format!("Few fry die: {} of every 100 on average over the plans", fry(all));
    }
    // The shortest run of days that holds half of the losses says when to look.
    let half = all / 2.0;
    let window = (1..=days)
        .find_map(|length| {
            by_day
                .windows(length)
                .enumerate()
                .map(|(start, run)| (start, run.iter().sum::<f64>()))
                .filter(|(_, sum)| *sum >= half)
                .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
                .map(|(start, _)| (start + 1, start + length))
        })
        .unwrap_or((1, days));
    // A mean counts the bad worlds, which the lines of the middle world do not show.
    let over = match (facts.drawn.len() > 1, facts.has_worlds()) {
        (true, true) => " over all plans and worlds",
        (true, false) => " over all plans",
        (false, true) => " over all worlds",
        (false, false) => "",
    };
    match window {
        (a, b) if a == b => format!("Half of all losses{over} fall on day {a}"),
        (a, b) if b == a + 1 => format!("Half of all losses{over} fall on days {a} and {b}"),
        (a, b) => format!("Half of all losses{over} fall on days {a} to {b}"),
    }
}

fn draw(facts: &Facts<'_>, format: Format) -> Sketch {
    let mut sketch = Sketch::new(format.width());
    if facts.drawn.len() <= MOST_IN_ONE {
        together(&mut sketch, facts, format);
    } else {
        apart(&mut sketch, facts, format);
    }
    sketch
}

/// Labels of days in the middle of their columns, thinned for long broods.
pub(super) fn day_ticks(days: u32, width: f64) -> Vec<(f64, String)> {
    let every = [1, 2, 5, 10, 20, 50]
        .into_iter()
        .find(|every| width / (f64::from(days) / f64::from(*every)) >= 24.0)
        .unwrap_or(50);
    (1..=days)
        .filter(|day| if every <= 2 { (day - 1) % every == 0 } else { day % every == 0 || *day == 1 })
        .map(|day| (f64::from(day) - 0.5, day.to_string()))
        .collect()
}

/// Shades the hours without light.
fn nights(sketch: &mut Sketch, facts: &Facts<'_>, panel: &Panel) {
    if facts.study.days > MOST_NIGHTS {
        return;
    }
    let (on, off) = (facts.study.light_on.hours() / 24.0, facts.study.light_off.hours() / 24.0);
    for day in 0..facts.study.days {
        let midnight = f64::from(day);
        for (from, to) in [(midnight, midnight + on), (midnight + off, midnight + 1.0)] {
            let rect = Rect::new(panel.x_at(from), panel.area.top, panel.x_at(to), panel.area.bottom);
            sketch.block(rect, NIGHT, 1.0);
        }
    }
}

fn panel_at(facts: &Facts<'_>, area: Rect) -> Panel {
    Panel { area, x: Scale::linear(0.0, f64::from(facts.study.days.max(1))), y: Scale::linear(0.0, 100.0) }
}

fn plan_band(sketch: &mut Sketch, facts: &Facts<'_>, panel: &Panel, plan: usize) {
    let points = &facts.result(plan).survival;
    let band: Vec<(f64, f64, f64)> =
        points.iter().map(|p| (panel.x_at(p.hour / 24.0), panel.y_at(p.alive.low), panel.y_at(p.alive.high))).collect();
    sketch.ribbon(&band, facts.style(plan).ink, 0.18);
}

fn plan_line(sketch: &mut Sketch, facts: &Facts<'_>, panel: &Panel, plan: usize, pen: Pen) {
    let points = &facts.result(plan).survival;
    sketch.line(points.iter().map(|p| panel.at(p.hour / 24.0, p.alive.median)), pen);
}

/// All plans in one panel, named at the ends of their lines (on a phone above the panel).
fn together(sketch: &mut Sketch, facts: &Facts<'_>, format: Format) {
    let gap = format.gap();
    let left = gap + 30.0;
    let narrow = format.is_narrow();
    let names = if narrow { 42.0 } else { 170.0 };
    let small = Type::new(format.small());
    let mut top = gap * 0.5;
    if narrow {
        let entries: Vec<_> =
            facts.drawn.iter().map(|&p| (Swatch::Line(facts.style(p)), facts.name(p).to_owned())).collect();
        top = key(sketch, format, Rect::new(gap, top, format.width() - gap, f64::INFINITY), &entries) + 6.0;
    }
    let top = sketch.paragraph((gap, top), "fry alive out of 100", small, format.width() - 2.0 * gap) + 8.0;
    let height = if narrow { 220.0 } else { 300.0 };
    let panel = panel_at(facts, Rect::new(left, top, format.width() - names - gap * 0.5, top + height));
    nights(sketch, facts, &panel);
    panel.y_axis(sketch, format, &panel.y.ticks(5), true);
    let labels = panel.x_axis(sketch, format, &day_ticks(facts.study.days, panel.area.width()), false, 0.0);
    for &plan in &facts.drawn {
        plan_band(sketch, facts, &panel, plan);
    }
    for &plan in &facts.drawn {
        let style = facts.style(plan);
        plan_line(sketch, facts, &panel, plan, Pen::new(style.ink, LINE).dashed(style.dash));
    }
    let ends: Vec<End> = facts.drawn.iter().map(|&plan| survivors(facts, format, &panel, plan)).collect();
    end_labels(sketch, facts, format, &panel, names, &ends);
    let bottom = panel.x_title(sketch, format, labels, "day");
    let bottom = food_marks(sketch, facts, format, &panel, bottom + 4.0);
    sketch.reach(bottom + gap * 0.5);
}

/// The end of a plan's line of survivors: how many, and on a wide picture the plan's name.
fn survivors(facts: &Facts<'_>, format: Format, panel: &Panel, plan: usize) -> End {
    let alive = fry_short(facts.result(plan).alive.median);
    let last = facts.result(plan).survival.last().map_or(0.0, |p| p.alive.median);
    let text = if format.is_narrow() { alive } else { format!("{alive} {}", facts.name(plan)) };
    End { plan, at: (panel.area.right, panel.y_at(last)), text }
}

/// Where a plan's line ends, and what stands beside it.
pub(super) struct End {
    /// The plan.
    pub plan: usize,
    /// The last point of its line.
    pub at: Point,
    /// Words beside it.
    pub text: String,
}

/// Words at the ends of lines, shifted apart where they would touch.
pub(super) fn end_labels(
    sketch: &mut Sketch,
    facts: &Facts<'_>,
    format: Format,
    panel: &Panel,
    room: f64,
    ends: &[End],
) {
    let kind = Type::new(format.small());
    let wrapped = |end: &End| font::wrap_to(&end.text, kind.size, false, room - 24.0, 3);
    let texts: Vec<Vec<String>> = ends.iter().map(wrapped).collect();
    let heights: Vec<f64> = texts.iter().map(|lines| lines.len() as f64 * kind.leading() + 4.0).collect();
    let wanted: Vec<f64> = ends.iter().map(|end| end.at.1).collect();
    let places = spread(&wanted, &heights, panel.area.top - 10.0, panel.area.bottom + 14.0);
    for ((end, lines), &place) in ends.iter().zip(&texts).zip(&places) {
        let style = facts.style(end.plan);
        let x = panel.area.right;
        sketch.line([end.at, (x + 9.0, place)], Pen::new(style.ink, HAIR));
        sketch.mark((x + 12.0, place), style.marker, MARK - 0.5, style.ink, true);
        sketch.lines((x + 20.0, place - lines.len() as f64 * kind.leading() / 2.0), lines, kind);
    }
}

/// A small panel for each plan, with the leader's line in grey behind.
fn apart(sketch: &mut Sketch, facts: &Facts<'_>, format: Format) {
    let gap = format.gap();
    let plans = &facts.drawn;
    let columns = match (format, plans.len()) {
        (Format::Narrow, _) => 2,
        (Format::Wide, 5 | 6 | 9) => 3,
        (Format::Wide, _) => 4,
    };
    let small = Type::new(format.small());
    let left = gap + 30.0;
    let width = (format.width() - left - gap - (columns - 1) as f64 * gap) / columns as f64;
    let text = format!("fry alive out of 100; grey: {}", quoted_briefly(facts.name(facts.leader())));
    let mut top = sketch.paragraph((gap, gap * 0.5), &text, small, format.width() - 2.0 * gap) + 8.0;
    let height = if format.is_narrow() { 110.0 } else { 130.0 };
    for row in plans.chunks(columns) {
        let under = top + head_height(format, width, row.iter().map(|&p| facts.name(p))) + 6.0;
        let mut bottom = under;
        for (n, &plan) in row.iter().enumerate() {
            let x = left + n as f64 * (width + gap);
            let style = facts.style(plan);
            head(sketch, format, (x, top), width, style, facts.name(plan));
            let panel = panel_at(facts, Rect::new(x, under, x + width, under + height));
            nights(sketch, facts, &panel);
            panel.y_axis(sketch, format, &[0.0, 50.0, 100.0], n == 0);
            if plan != facts.leader() {
                plan_line(sketch, facts, &panel, facts.leader(), Pen::new(QUIET, HAIR + 0.4).faint(0.7));
            }
            plan_band(sketch, facts, &panel, plan);
            plan_line(sketch, facts, &panel, plan, Pen::new(style.ink, LINE).dashed(style.dash));
            let labels = panel.x_axis(sketch, format, &day_ticks(facts.study.days, width), false, 0.0);
            bottom = bottom.max(panel.x_title(sketch, format, labels, "day"));
        }
        top = bottom + gap * 0.6;
    }
    let panel = panel_at(facts, Rect::new(left, top, format.width() - gap, top));
    let bottom = food_marks(sketch, facts, format, &panel, top);
    let bottom = not_drawn(sketch, facts, format, bottom);
    sketch.reach(bottom + gap * 0.5);
}

/// The day each new food starts, one row for each recipe that a shown plan uses, or for several that bring the same
/// foods on the same days; gives back the bottom edge.
fn food_marks(sketch: &mut Sketch, facts: &Facts<'_>, format: Format, panel: &Panel, top: f64) -> f64 {
    // What a pump takes from its reservoir may follow a recipe of its own.
    let of_plan = |plan: usize| {
        let plan = facts.plan(plan);
        std::iter::once(plan.recipe).chain(plan.line.as_ref().map(|line| line.recipe))
    };
    let mut recipes: Vec<usize> = facts.drawn.iter().flat_map(|&plan| of_plan(plan)).collect();
    recipes.sort_unstable();
    recipes.dedup();
    let mut rows: Vec<(Vec<String>, Starts)> = Vec::new();
    for recipe in recipes {
        let (name, starts) = (facts.study.recipes[recipe].name.clone(), starts(facts, recipe));
        match rows.iter_mut().find(|(_, others)| *others == starts) {
            Some((names, _)) => names.push(name),
            None => rows.push((vec![name], starts)),
        }
    }
    let kind = Type::new(format.small());
    let gap = format.gap();
    let most = format.width() - 2.0 * gap;
    let mut y = top;
    for (place, (recipes, starts)) in rows.iter().enumerate() {
        let texts = starts
            .iter()
            .map(|(day, names)| format!("day {day}: {}", names.join(" + ")))
            .collect::<Vec<_>>()
            .join("; ");
        let head = if rows.len() == 1 { "New foods".to_owned() } else { format!("New foods, {}", list(recipes)) };
        if panel.area.height() > 0.0 {
            for (day, _) in starts {
                let x = panel.x_at(f64::from(*day) - 1.0);
                sketch.mark((x, panel.area.bottom + 3.0), crate::look::Marker::Up, 3.5, QUIET, place == 0);
            }
        }
        let lead = if panel.area.height() > 0.0 { 14.0 } else { 0.0 };
        if lead > 0.0 {
            let at = (gap + 5.0, y + kind.size * 0.6);
            sketch.mark(at, crate::look::Marker::Up, 3.5, QUIET, place == 0);
        }
        y = sketch.paragraph((gap + lead, y), &format!("{} – {texts}.", capital(&head)), kind, most - lead);
    }
    y
}

/// Days on which foods start, with their names.
type Starts = Vec<(u32, Vec<String>)>;

/// First days of the foods of a recipe: each day on which a food appears that was not there before.
fn starts(facts: &Facts<'_>, recipe: usize) -> Starts {
    let mut seen: Vec<usize> = Vec::new();
    let mut starts = Vec::new();
    for stage in facts.study.recipes[recipe].stages.iter().filter(|s| s.from_day <= facts.study.days) {
        let mut names = Vec::new();
        for part in &facts.study.mixes[stage.mix].parts {
            if !seen.contains(&part.food) {
                seen.push(part.food);
                names.push(facts.study.foods[part.food].name.clone());
            }
        }
        if !names.is_empty() {
            starts.push((stage.from_day, names));
        }
    }
    starts
}
