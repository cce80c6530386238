//! Chart 9, level: how high the water stands through the days above its still level, against the end of the feed tube
//! and the rim.

use frytub_sim::outcome::{LevelPoint, OutletResult};
use frytub_sim::study::Visits;

use super::by_plan::by_plan;
use super::days::day_ticks;
use crate::chart::{Chart, Fill, Hatch, Swatch, key};
use crate::draw::panel::{Panel, Scale};
use crate::draw::sketch::{Pen, Rect, Sketch, Type};
use crate::facts::Facts;
use crate::look::{Dash, Format, HARM, LINE, TEXT};
use crate::words::{capital, quoted_briefly};

/// Plans shown.
const MOST_PLANS: usize = 9;

/// What the water may reach.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Mark {
    TubeEnd,
    Rim,
}

impl Mark {
    fn words(self) -> &'static str {
        match self {
            Self::TubeEnd => "the tube's end",
            Self::Rim => "the rim",
        }
    }
}

/// Draws the chart; none when no plan has an outlet.
pub fn chart(facts: &Facts<'_>) -> Option<Chart> {
    let plans = plans(facts);
    if plans.is_empty() {
        return None;
    }
    let caption = "The line is the middle world, the band holds 80 % of the worlds: the highest level since the point \
                   before. Look whether it climbs into the shaded part, where fry can enter the end of the feed tube \
                   or go over the rim.";
    let parts = plans.iter().filter_map(|&plan| {
        let outlet = facts.result(plan).outlet.as_ref()?;
        let top = highest(outlet, |point| point.level_mm.median);
        let reached = match first_harm(outlet, |point| point.level_mm.median) {
            Some((mark, hour)) => format!("reaches {} on day {}", mark.words(), day_of(hour)),
            None => "stays below every mark".to_owned(),
        };
        Some(format!("{}: at most {}, {reached}", facts.name(plan), millimetres(top)))
    });
    let alt = format!(
        "Water level in mm above the still water against the day, a panel for each plan. Middle world: {}.",
        parts.collect::<Vec<_>>().join("; ")
    );
    Some(Chart::new("9-level", title(facts, &plans), caption, alt, |format| draw(facts, &plans, format)))
}

/// Plans shown whose level was followed, as many as fit.
fn plans(facts: &Facts<'_>) -> Vec<usize> {
    let has_outlet = |plan: &usize| facts.result(*plan).outlet.is_some();
    let mut plans: Vec<usize> = facts.leading().into_iter().filter(has_outlet).collect();
    let others = facts.shown.iter().copied().filter(has_outlet).filter(|plan| !facts.leading().contains(plan));
    plans.extend(others);
    plans.truncate(MOST_PLANS);
    plans.sort_unstable();
    plans
}

/// The lowest level at which harm begins, and what it is.
fn mark(outlet: &OutletResult) -> (Mark, f64) {
    match outlet.tube_end_mm {
        Some(end) if end <= outlet.rim_mm => (Mark::TubeEnd, end),
        _ => (Mark::Rim, outlet.rim_mm),
    }
}

fn highest(outlet: &OutletResult, value: impl Fn(&LevelPoint) -> f64) -> f64 {
    outlet.level.iter().map(value).filter(|v| v.is_finite()).fold(0.0, f64::max)
}

/// What is reached first, and after how many hours.
fn first_harm(outlet: &OutletResult, value: impl Fn(&LevelPoint) -> f64) -> Option<(Mark, f64)> {
    let (mark, height) = mark(outlet);
    outlet.level.iter().find(|point| value(point) >= height).map(|point| (mark, point.hour))
}

/// The day on which a point of the level's curve ends.
fn day_of(hour: f64) -> u32 {
    ((hour / 24.0).ceil() as u32).max(1)
}

/// A height as a keeper would measure it.
fn millimetres(value: f64) -> String {
    if value >= 3.0 { format!("{value:.0} mm") } else { format!("{value:.1} mm") }
}

/// How often the sponge is rinsed, in plain words.
#[must_use]
pub fn rinsed(visits: Visits) -> String {
    match visits {
        Visits::None => "never rinsed".to_owned(),
        Visits::First | Visits::FirstEvery(0 | 1) => "rinsed once a day".to_owned(),
        Visits::FirstEvery(2) => "rinsed every other day".to_owned(),
        Visits::FirstEvery(days) => format!("rinsed every {days} days"),
        Visits::Every => "rinsed at every visit".to_owned(),
    }
}

fn title(facts: &Facts<'_>, plans: &[usize]) -> String {
    let outlets: Vec<(usize, &OutletResult)> =
        plans.iter().filter_map(|&plan| Some((plan, facts.result(plan).outlet.as_ref()?))).collect();
    let earliest = |value: fn(&LevelPoint) -> f64| {
        let reached = outlets.iter().filter_map(|(plan, outlet)| first_harm(outlet, value).map(|(m, h)| (*plan, m, h)));
        reached.min_by(|a, b| a.2.total_cmp(&b.2).then(a.0.cmp(&b.0)))
    };
    let whose = |plan: usize| {
        let rinsed = capital(&rinsed(facts.plan(plan).rinses));
        if outlets.len() > 1 { format!("{rinsed} ({}),", quoted_briefly(facts.name(plan))) } else { rinsed + "," }
    };
    if let Some((plan, mark, hour)) = earliest(|point| point.level_mm.median) {
        return format!("{} the water reaches {} on day {}", whose(plan), mark.words(), day_of(hour));
    }
    if let Some((plan, mark, hour)) = earliest(|point| point.level_mm.high) {
        let whose = whose(plan);
        return format!("{whose} the water reaches {} on day {} in one world of ten", mark.words(), day_of(hour));
    }
    let tubes = outlets.iter().any(|(_, outlet)| outlet.tube_end_mm.is_some());
    let top = outlets.iter().map(|(_, outlet)| highest(outlet, |point| point.level_mm.high)).fold(0.0, f64::max);
    let below = if tubes { "the tube's end" } else { "the rim" };
    let worlds = if facts.has_worlds() { "In nine worlds of ten the" } else { "The" };
    format!("{worlds} water stays below {below}: it rises by {} at most", millimetres(top))
}

fn draw(facts: &Facts<'_>, plans: &[usize], format: Format) -> Sketch {
    let gap = format.gap();
    let mut sketch = Sketch::new(format.width());
    let outlets: Vec<&OutletResult> = plans.iter().filter_map(|&plan| facts.result(plan).outlet.as_ref()).collect();
    let tubes = outlets.iter().any(|outlet| outlet.tube_end_mm.is_some());
    let mut entries = vec![(Swatch::Plain(rim_pen()), "rim".to_owned())];
    if tubes {
        entries.push((Swatch::Plain(tube_pen()), "end of the feed tube".to_owned()));
    }
    entries.push((Swatch::Block(harm_fill()), "fry are lost here".to_owned()));
    let top = key(&mut sketch, format, Rect::new(gap, gap * 0.4, format.width() - gap, f64::INFINITY), &entries);
    let words = "water level, mm above the still water";
    let top = sketch.paragraph((gap, top + 4.0), words, Type::new(format.small()), format.width() - 2.0 * gap) + 8.0;
    // Far above rim and tube nothing new happens: the picture ends there.
    let marks = outlets.iter().fold(1.0, |most: f64, o| most.max(o.rim_mm).max(o.tube_end_mm.unwrap_or(0.0)));
    let top_level = outlets.iter().map(|outlet| highest(outlet, |point| point.level_mm.high)).fold(0.0, f64::max);
    let reach = (top_level * 1.05).clamp(marks * 1.12, marks * 1.3);
    let lowest = outlets.iter().filter_map(|outlet| outlet.tube_end_mm).fold(0.0, f64::min) * 1.1;
    let height = if format.is_narrow() { 120.0 } else { 180.0 };
    let days = f64::from(facts.study.days.max(1));
    let y = by_plan(&mut sketch, facts, plans, format, (top, 38.0), |sketch, place| {
        let area = Rect::new(place.left, place.top, place.left + place.width, place.top + height);
        let panel = Panel { area, x: Scale::linear(0.0, days), y: Scale::linear(lowest, reach) };
        panel.y_axis(sketch, format, &panel.y.ticks(4), place.is_first);
        one_level(sketch, facts, &panel, place.plan);
        let labels = panel.x_axis(sketch, format, &day_ticks(facts.study.days, place.width), false, 0.0);
        panel.x_title(sketch, format, labels, "day")
    });
    sketch.reach(y);
    sketch
}

fn rim_pen() -> Pen {
    Pen::new(TEXT, 2.0)
}

fn tube_pen() -> Pen {
    Pen::new(HARM, 2.0).dashed(Dash::Broken(7, 4))
}

fn harm_fill() -> Fill {
    Fill { ink: HARM, alpha: 0.16, hatch: Hatch::None }
}

fn one_level(sketch: &mut Sketch, facts: &Facts<'_>, panel: &Panel, plan: usize) {
    let Some(outlet) = &facts.result(plan).outlet else { return };
    let area = panel.area;
    let (_, height) = mark(outlet);
    sketch.block(Rect::new(area.left, area.top, area.right, panel.y_at(height)), HARM, 0.16);
    let style = facts.style(plan);
    let band: Vec<(f64, f64, f64)> = outlet
        .level
        .iter()
        .map(|p| (panel.x_at(p.hour / 24.0), panel.y_at(p.level_mm.low), panel.y_at(p.level_mm.high)))
        .collect();
    sketch.ribbon(&band, style.ink, 0.2);
    let across = |mm: f64| [(area.left, panel.y_at(mm)), (area.right, panel.y_at(mm))];
    sketch.line(across(outlet.rim_mm), rim_pen());
    if let Some(end) = outlet.tube_end_mm {
        sketch.line(across(end), tube_pen());
    }
    let points = outlet.level.iter().map(|p| panel.at(p.hour / 24.0, p.level_mm.median));
    sketch.line(points, Pen::new(style.ink, LINE).dashed(style.dash));
}

#[cfg(test)]
mod tests {
    use super::*;
    use frytub_sim::outcome::Spread;

    fn outlet(tube_end_mm: Option<f64>, rim_mm: f64, levels: &[f64]) -> OutletResult {
        let level = levels.iter().enumerate().map(|(n, mm)| LevelPoint {
            hour: 24.0 * n as f64,
            level_mm: Spread { mean: *mm, low: mm * 0.5, median: *mm, high: mm * 2.0 },
        });
        let none = Spread::default();
        OutletResult { level: level.collect(), under_water_h: none, over_rim_h: none, tube_end_mm, rim_mm }
    }

    #[test]
    fn the_lower_of_tube_and_rim_is_reached_first() {
        let median = |point: &LevelPoint| point.level_mm.median;
        let levels = [0.0, 4.0, 12.0, 40.0];
        assert_eq!(first_harm(&outlet(Some(10.0), 30.0, &levels), median), Some((Mark::TubeEnd, 48.0)));
        assert_eq!(first_harm(&outlet(Some(35.0), 30.0, &levels), median), Some((Mark::Rim, 72.0)));
        assert_eq!(first_harm(&outlet(None, 30.0, &levels), median), Some((Mark::Rim, 72.0)));
        assert_eq!(first_harm(&outlet(None, 60.0, &levels), median), None);
        assert_eq!(
            first_harm(&outlet(None, 60.0, &levels), |point| point.level_mm.high).map(|(_, h)| day_of(h)),
            Some(3)
        );
    }
}
