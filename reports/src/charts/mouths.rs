//! Chart 5, mouth and food: how wide a bite the fry can take through the days, against the width of each food.
//!
//! What fits is judged by the widest item, a share of the gape (`fit_most`, likely value), and not by the gape itself.
//! Mouths are known for the end of each day; the first day is drawn with the mouths of its end.

use crate::chart::{Chart, head, only_words};
use crate::draw::font;
use crate::draw::panel::{Panel, Scale, spread};
use crate::draw::sketch::{Pen, Rect, Sketch, Type};
use crate::facts::Facts;
use crate::look::{DASHES, FOOD_INKS, Format, HAIR, Ink, LINE, QUIET};
use crate::words::{figures, list, quoted};

use super::days::day_ticks;

/// Plans shown, leader and rival; a third would repeat their foods again.
const MOST_PLANS: usize = 2;

/// Draws the chart.
pub fn chart(facts: &Facts<'_>) -> Chart {
    let caption = format!(
        "Level bands are the widths of the foods (80 % of the items), filled where they fit the middle mouth, with a \
         heavy line on the days they are offered; the rising lines are the widest bite ({} of the gape). Look for food \
         offered above the lines (too big) and bands left far below (outgrown).",
        figures(facts.study.fish.fit_most.likely())
    );
    let alt = facts
        .leading()
        .into_iter()
        .map(|plan| {
            let ends = facts.result(plan).mouths.iter().filter(|m| m.gape_um[1].is_finite()).collect::<Vec<_>>();
            match (ends.first(), ends.last()) {
                (Some(first), Some(last)) => format!(
                    "{}: middle gape {} µm on day {}, {} µm on day {}",
                    facts.name(plan),
                    figures(first.gape_um[1].round()),
                    first.day,
                    figures(last.gape_um[1].round()),
                    last.day
                ),
                _ => format!("{}: no living fry measured", facts.name(plan)),
            }
        })
        .collect::<Vec<_>>()
        .join("; ");
    let alt = format!("Width of mouths and foods in µm against the day. {alt}.");
    Chart::new("5-mouth-and-food", title(facts), caption, alt, |format| draw(facts, format))
}

fn title(facts: &Facts<'_>) -> String {
    let days: Vec<(usize, Option<f64>)> = facts
        .leading()
        .into_iter()
        .map(|plan| {
            let result = facts.result(plan);
            let often = result.ready_worlds[0] >= 0.5;
            (plan, result.half_ready_day.filter(|_| often).map(|day| day.median))
        })
        .collect();
    if days.iter().all(|(_, day)| day.is_none()) {
        return format!("Half of the fry cannot take brine shrimp by day {}", facts.study.days);
    }
    let told: Vec<String> = days
        .iter()
        .map(|(plan, day)| match day {
            Some(day) => format!("day {day:.0} with {}", quoted(facts.name(*plan))),
            None => format!("not at all with {}", quoted(facts.name(*plan))),
        })
        .collect();
    match days.as_slice() {
        [(_, Some(a)), (_, Some(b))] if a.round() == b.round() => {
            format!("Half of the living can take brine shrimp from day {a:.0}, with either plan")
        }
        _ => format!("Half of the living can take brine shrimp from {}", list(&told)),
    }
}

fn food_ink(facts: &Facts<'_>, name: &str) -> (usize, Ink) {
    let n = facts.study.foods.iter().position(|food| food.name == name).unwrap_or(0);
    (n, FOOD_INKS[n % FOOD_INKS.len()])
}

fn draw(facts: &Facts<'_>, format: Format) -> Sketch {
    let plans: Vec<usize> = facts.leading().into_iter().take(MOST_PLANS).collect();
    let bite = facts.study.fish.fit_most.likely();
    let mut lowest = f64::INFINITY;
    let mut highest: f64 = 0.0;
    for &plan in &plans {
        let bites = facts.result(plan).mouths.iter().flat_map(|m| m.gape_um.map(|g| g * bite));
        let bands = facts.found.bands.get(plan).into_iter().flatten().flat_map(|band| band.width_um);
        for v in bites.chain(bands).filter(|v| v.is_finite() && *v > 0.0) {
            lowest = lowest.min(v);
            highest = highest.max(v);
        }
    }
    if highest <= 0.0 {
        return only_words(format, "No mouth and no food was measured.");
    }
    // A few very fine items must not squash the rest.
    let scale = Scale::log((lowest * 0.8).max(highest / 300.0), highest * 1.25);
    let mut sketch = Sketch::new(format.width());
    let gap = format.gap();
    let mut y = gap * 0.5;
    for &plan in &plans {
        y = panel(&mut sketch, facts, format, plan, scale, y) + gap * 0.6;
    }
    sketch.reach(y);
    sketch
}

/// A label at the right edge: where it wants to be, its text and what stands before it.
struct EndLabel {
    y: f64,
    text: String,
    pen: Pen,
}

fn panel(sketch: &mut Sketch, facts: &Facts<'_>, format: Format, plan: usize, scale: Scale, top: f64) -> f64 {
    let gap = format.gap();
    let small = Type::new(format.small());
    let width = format.width();
    let style = facts.style(plan);
    let y = head(sketch, format, (gap, top), width - 2.0 * gap, style, facts.name(plan));
    let y = sketch.paragraph((gap, y + 2.0), "width, µm", small, width - 2.0 * gap) + 8.0;
    let labels = if format.is_narrow() { 132.0 } else { 210.0 };
    let height = if format.is_narrow() { 230.0 } else { 270.0 };
    let days = facts.study.days.max(1);
    let panel = Panel {
        area: Rect::new(gap + 40.0, y, width - labels, y + height),
        x: Scale::linear(0.0, f64::from(days)),
        y: scale,
    };
    panel.y_axis(sketch, format, &scale.ticks(6), true);

    let bite = facts.study.fish.fit_most.likely();
    // x and the widest bite of the smallest tenth, the middle and the largest tenth.
    let mut bites: Vec<(f64, [f64; 3])> =
        facts.result(plan).mouths.iter().map(|m| (f64::from(m.day), m.gape_um.map(|g| g * bite))).collect();
    if let Some(first) = bites.first().copied() {
        bites.insert(0, (0.0, first.1));
    }
    let mut ends: Vec<EndLabel> = Vec::new();
    for band in facts.found.bands.get(plan).into_iter().flatten() {
        let (n, ink) = food_ink(facts, &band.name);
        let [low, middle, high] = band.width_um;
        let fits: Vec<(f64, f64, f64)> = bites
            .iter()
            .map(|(x, b)| {
                let upper = if b[1] > low { high.min(b[1]) } else { f64::NAN };
                (panel.x_at(*x), panel.y_at(low), panel.y_at(upper))
            })
            .collect();
        sketch.ribbon(&fits, ink, 0.2);
        for edge in [low, high] {
            sketch.line([panel.at(0.0, edge), panel.at(f64::from(days), edge)], Pen::hair(ink).faint(0.35));
        }
        let pen = Pen::new(ink, LINE + 0.8).dashed(DASHES[n % DASHES.len()]);
        for (first, last) in &band.offered {
            let (from, to) = (f64::from(first.saturating_sub(1)), f64::from((*last).min(days)));
            sketch.line([panel.at(from, middle), panel.at(to, middle)], Pen::new(ink, LINE + 0.8));
            for x in [from, to] {
                let (x, y) = panel.at(x, middle);
                sketch.line([(x, y - 5.0), (x, y + 5.0)], Pen::new(ink, 1.4));
            }
        }
        let text = format!("{}, {} µm", band.name, figures(middle.round()));
        ends.push(EndLabel { y: panel.y_at(middle), text, pen: Pen::new(pen.ink, 1.6) });
    }
    let rising = [("smallest tenth", 0), ("middle fry", 1), ("largest tenth", 2)];
    for (words, tenth) in rising {
        let pen = if tenth == 1 { Pen::new(style.ink, LINE + 0.6) } else { Pen::new(style.ink, 1.4).dashed(DASHES[1]) };
        sketch.line(bites.iter().map(|(x, b)| panel.at(*x, b[tenth])), pen);
        if let Some((_, last)) = bites.iter().rev().find(|(_, b)| b[tenth].is_finite()) {
            ends.push(EndLabel { y: panel.y_at(last[tenth]), text: format!("bite of {words}"), pen: Pen { width: 1.6, ..pen } });
        }
    }
    place_labels(sketch, format, &panel, &ends, labels);
    let under = panel.x_axis(sketch, format, &day_ticks(days, panel.area.width()), false, 0.0);
    panel.x_title(sketch, format, under, "day")
}

fn place_labels(sketch: &mut Sketch, format: Format, panel: &Panel, ends: &[EndLabel], room: f64) {
    let kind = Type::new(format.small()).ink(QUIET);
    let lines: Vec<Vec<String>> =
        ends.iter().map(|end| font::wrap_to(&end.text, kind.size, false, room - 30.0, 2)).collect();
    let heights: Vec<f64> = lines.iter().map(|l| l.len() as f64 * kind.leading() + 2.0).collect();
    let wanted: Vec<f64> = ends.iter().map(|end| end.y).collect();
    let places = spread(&wanted, &heights, panel.area.top - 12.0, panel.area.bottom + 12.0);
    let x = panel.area.right;
    for (n, end) in ends.iter().enumerate() {
        sketch.line([(x + 2.0, wanted[n]), (x + 18.0, places[n])], Pen::new(end.pen.ink, HAIR));
        sketch.line([(x + 18.0, places[n]), (x + 24.0, places[n])], Pen::new(end.pen.ink, HAIR + 0.6));
        let top = places[n] - lines[n].len() as f64 * kind.leading() / 2.0;
        sketch.lines((x + 28.0, top), &lines[n], Type { ink: crate::look::TEXT, ..kind });
    }
}
