//! Chart 8, water: lowest oxygen and highest un-ionised ammonia through the days, with the zones in which fry die.

use frytub_sim::fry::tolerance::FEEDS_FREELY_MG_L;
use frytub_sim::outcome::WaterResult;

use super::by_plan::by_plan;
use super::days::{End, day_ticks, end_labels};
use super::water_curve::{MOST_HOURLY, What, curve};
use super::water_words::{alt, not_reckoned, title};
use crate::chart::{Chart, Fill, Hatch, Swatch, key};
use crate::draw::panel::{Panel, Scale};
use crate::draw::sketch::{Pen, Rect, Sketch, Type};
use crate::facts::Facts;
use crate::look::{Dash, Format, HAIR, HARM, LINE, MARK, QUIET};

/// More lines than this in one panel hide each other's bands.
const MOST_IN_ONE: usize = 4;
/// Plans shown.
const MOST_PLANS: usize = 9;
/// Limits of two plans further apart than this share cannot be drawn as one zone.
const ALIKE: f64 = 0.02;

/// Draws the chart; none when no shown plan's water is reckoned with.
pub fn chart(facts: &Facts<'_>) -> Option<Chart> {
    let plans = plans(facts);
    if plans.is_empty() {
        return None;
    }
    let of_day = if facts.study.days > MOST_HOURLY { "the worst of each day; " } else { "" };
    let caption = format!(
        "The line is the middle world, the band holds 80 % of the worlds ({of_day}the mark is the worst of all). Look \
         whether oxygen dips into the shaded part, or ammonia climbs into it: there fry can die."
    );
    Some(Chart::new("8-water", title(facts, &plans), caption, alt(facts, &plans), |format| draw(facts, &plans, format)))
}

fn water<'a>(facts: &Facts<'a>, plan: usize) -> Option<&'a WaterResult> {
    facts.result(plan).water.as_ref()
}

/// Shown plans whose water is reckoned with, as many as fit: leader and rival first, then those with the worst water.
/// In the order of the study.
fn plans(facts: &Facts<'_>) -> Vec<usize> {
    let harm = |plan: usize| {
        water(facts, plan).map_or(0.0, |w| {
            What::ALL.map(|what| what.harm(what.worst(w).median, what.limit(w))).into_iter().fold(0.0, f64::max)
        })
    };
    let leading = facts.leading();
    let mut others: Vec<usize> = facts.shown.iter().copied().filter(|plan| !leading.contains(plan)).collect();
    others.sort_by(|&a, &b| harm(b).total_cmp(&harm(a)).then(a.cmp(&b)));
    let mut plans: Vec<usize> = leading.into_iter().chain(others).filter(|&plan| facts.has_water(plan)).collect();
    plans.truncate(MOST_PLANS);
    plans.sort_unstable();
    plans
}

/// The lowest and the highest limit among plans.
fn limits(waters: &[&WaterResult], what: What) -> (f64, f64) {
    let all = || waters.iter().map(|w| what.limit(w));
    (all().fold(f64::INFINITY, f64::min), all().fold(0.0, f64::max))
}

/// The upright axis that all panels of one thing share.
fn scale(waters: &[&WaterResult], what: What) -> Scale {
    let points = waters.iter().flat_map(|w| &w.points);
    let top = points.map(|p| what.at(p).high).filter(|v| v.is_finite()).fold(0.0, f64::max);
    let (least, most) = limits(waters, what);
    match what {
        What::Oxygen => Scale::linear(0.0, (top * 1.08).max(most * 1.5)),
        // On an even axis the lines would lie flat on the floor, or the harmless part would be a hair.
        What::Ammonia if top > 0.0 && least > 0.0 && !(0.15 * most..=4.0 * least).contains(&top) => {
            let from = least.min(top.max(least / 100.0)) / 20.0;
            Scale::log(10_f64.powf(from.log10().floor()), top.max(most) * 2.0)
        }
        What::Ammonia => Scale::linear(0.0, (top * 1.1).max(most * 1.3).max(1e-3)),
    }
}

fn draw(facts: &Facts<'_>, plans: &[usize], format: Format) -> Sketch {
    let mut sketch = Sketch::new(format.width());
    let waters: Vec<&WaterResult> = plans.iter().filter_map(|&plan| water(facts, plan)).collect();
    let scales = What::ALL.map(|what| scale(&waters, what));
    let one_zone = What::ALL.iter().all(|what| {
        let (least, most) = limits(&waters, *what);
        most - least <= ALIKE * most
    });
    let together = plans.len() <= MOST_IN_ONE && one_zone;
    let gap = format.gap();
    let mut entries = Vec::new();
    if together && format.is_narrow() {
        entries.extend(plans.iter().map(|&p| (Swatch::Line(facts.style(p)), facts.name(p).to_owned())));
    }
    entries.push((Swatch::Block(harm_fill()), "fry can die here".to_owned()));
    entries.push((Swatch::Plain(bad_air_pen()), "below this line fry feed less".to_owned()));
    let whole = Rect::new(gap, gap * 0.4, format.width() - gap, f64::INFINITY);
    let top = key(&mut sketch, format, whole, &entries) + 4.0;
    let mut bottom = if together {
        in_one(&mut sketch, facts, plans, format, scales, top)
    } else {
        apart(&mut sketch, facts, plans, format, scales, top)
    };
    let small = Type::new(format.small()).ink(QUIET);
    for text in [more_in_the_file(facts, plans), not_reckoned(facts)].into_iter().flatten() {
        bottom = sketch.paragraph((gap, bottom + 4.0), &text, small, format.width() - 2.0 * gap);
    }
    sketch.reach(bottom + gap * 0.5);
    sketch
}

/// A sentence on plans with water that did not fit in.
fn more_in_the_file(facts: &Facts<'_>, plans: &[usize]) -> Option<String> {
    let missing = facts.shown.iter().filter(|&&plan| facts.has_water(plan)).count() - plans.len();
    match missing {
        0 => None,
        1 => Some("One more plan is in water.csv.".to_owned()),
        n => Some(format!("{n} more plans are in water.csv.")),
    }
}

/// Oxygen above, ammonia below, all plans in both; gives back the bottom edge.
fn in_one(
    sketch: &mut Sketch,
    facts: &Facts<'_>,
    plans: &[usize],
    format: Format,
    scales: [Scale; 2],
    top: f64,
) -> f64 {
    let gap = format.gap();
    let names = if format.is_narrow() { 0.0 } else { 190.0 };
    let height = if format.is_narrow() { 150.0 } else { 180.0 };
    let (left, right) = (gap + 46.0, format.width() - gap * 0.5 - names);
    let mut y = top;
    for (what, scale) in What::ALL.into_iter().zip(scales) {
        let kind = Type::new(format.small());
        let under = sketch.paragraph((gap, y), what.heading(scale), kind, format.width() - 2.0 * gap) + 8.0;
        let panel = panel(facts, Rect::new(left, under, right, under + height), scale);
        if let Some(water) = plans.first().and_then(|&plan| water(facts, plan)) {
            ground(sketch, format, &panel, what, water, true);
        }
        for &plan in plans {
            band(sketch, facts, &panel, what, plan);
        }
        for &plan in plans {
            line(sketch, facts, &panel, what, plan);
        }
        if !format.is_narrow() {
            let ends: Vec<End> = plans.iter().filter_map(|&plan| end(facts, &panel, what, plan)).collect();
            end_labels(sketch, facts, format, &panel, names, &ends);
        }
        let labels = panel.x_axis(sketch, format, &day_ticks(facts.study.days, panel.area.width()), false, 0.0);
        y = panel.x_title(sketch, format, labels, "day") + gap * 0.5;
    }
    y
}

/// A column of two small panels for each plan; gives back the bottom edge.
fn apart(sketch: &mut Sketch, facts: &Facts<'_>, plans: &[usize], format: Format, scales: [Scale; 2], top: f64) -> f64 {
    let gap = format.gap();
    let kind = Type::new(format.small());
    let headings = format!("Above: {}. Below: {}.", What::Oxygen.heading(scales[0]), What::Ammonia.heading(scales[1]));
    let top = sketch.paragraph((gap, top), &headings, kind, format.width() - 2.0 * gap) + 8.0;
    let height = if format.is_narrow() { 90.0 } else { 110.0 };
    by_plan(sketch, facts, plans, format, (top, 46.0), |sketch, place| {
        let (mut edge, mut bottom) = (place.top, place.top);
        for (what, scale) in What::ALL.into_iter().zip(scales) {
            let area = Rect::new(place.left, edge, place.left + place.width, edge + height);
            let panel = panel(facts, area, scale);
            if let Some(water) = water(facts, place.plan) {
                ground(sketch, format, &panel, what, water, place.is_first);
            }
            band(sketch, facts, &panel, what, place.plan);
            line(sketch, facts, &panel, what, place.plan);
            edge += height + 16.0;
            if what == What::Ammonia {
                let labels = panel.x_axis(sketch, format, &day_ticks(facts.study.days, place.width), false, 0.0);
                bottom = panel.x_title(sketch, format, labels, "day");
            }
        }
        bottom
    })
}

fn panel(facts: &Facts<'_>, area: Rect, y: Scale) -> Panel {
    Panel { area, x: Scale::linear(0.0, f64::from(facts.study.days.max(1))), y }
}

/// Hatched, so that grey print tells it from the bands.
fn harm_fill() -> Fill {
    Fill { ink: HARM, alpha: 0.14, hatch: Hatch::Rising(9.0) }
}

fn harm_pen() -> Pen {
    Pen::new(HARM, 2.0).dashed(Dash::Broken(7, 4))
}

fn bad_air_pen() -> Pen {
    Pen::new(QUIET, HAIR + 0.4).dashed(Dash::Broken(3, 3))
}

/// The zone of harm, its edge, and the axis.
fn ground(sketch: &mut Sketch, format: Format, panel: &Panel, what: What, water: &WaterResult, labelled: bool) {
    let area = panel.area;
    let edge = panel.y_at(what.limit(water));
    let zone = match what {
        What::Oxygen => Rect::new(area.left, edge, area.right, area.bottom),
        What::Ammonia => Rect::new(area.left, area.top, area.right, edge),
    };
    sketch.block(zone, HARM, 0.14);
    sketch.hatch(zone, 9.0, Pen::new(HARM, 1.0).faint(0.4));
    panel.y_axis(sketch, format, &panel.y.ticks(4), labelled);
    sketch.line([(area.left, edge), (area.right, edge)], harm_pen());
    if what == What::Oxygen && FEEDS_FREELY_MG_L < panel.y.to {
        let y = panel.y_at(FEEDS_FREELY_MG_L);
        sketch.line([(area.left, y), (area.right, y)], bad_air_pen());
    }
}

fn band(sketch: &mut Sketch, facts: &Facts<'_>, panel: &Panel, what: What, plan: usize) {
    let Some(water) = water(facts, plan) else { return };
    let curve = curve(water, what, facts.study.days);
    let edges = curve.iter().map(|p| (panel.x_at(p.day), panel.y_at(p.low), panel.y_at(p.high)));
    sketch.ribbon(&edges.collect::<Vec<_>>(), facts.style(plan).ink, 0.18);
}

/// The middle world, with the plan's mark where it is worst.
fn line(sketch: &mut Sketch, facts: &Facts<'_>, panel: &Panel, what: What, plan: usize) {
    let Some(water) = water(facts, plan) else { return };
    let style = facts.style(plan);
    let curve = curve(water, what, facts.study.days);
    sketch.line(curve.iter().map(|p| panel.at(p.day, p.median)), Pen::new(style.ink, LINE).dashed(style.dash));
    let known = curve.iter().filter(|p| p.median.is_finite());
    // The first of several.
    let worst = known.reduce(|a, b| if what.worse(a.median, b.median) == a.median { a } else { b });
    if let Some(worst) = worst {
        sketch.mark(panel.at(worst.day, worst.median), style.marker, MARK, style.ink, true);
    }
}

/// Where the line of a plan ends, with its name.
fn end(facts: &Facts<'_>, panel: &Panel, what: What, plan: usize) -> Option<End> {
    let curve = curve(water(facts, plan)?, what, facts.study.days);
    let last = curve.iter().rev().find(|p| p.median.is_finite())?;
    Some(End { plan, at: panel.at(last.day, last.median), text: facts.name(plan).to_owned() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use frytub_sim::outcome::{Spread, WaterPoint};

    fn water(ammonia: f64, limit: f64) -> WaterResult {
        let spread = |v: f64| Spread { mean: v, low: v * 0.5, median: v, high: v };
        let point = |hour: f64, share: f64| WaterPoint {
            hour,
            ammonia_mg_l: spread(ammonia * share),
            oxygen_mg_l: spread(7.0),
            nitrogen_mg_l: spread(1.0),
        };
        WaterResult {
            points: vec![point(0.0, 0.0), point(24.0, 0.4), point(48.0, 1.0)],
            worst_ammonia_mg_l: spread(ammonia),
            worst_oxygen_mg_l: spread(7.0),
            harmless_ammonia_mg_l: limit,
            harmful_oxygen_mg_l: 1.7,
            ph: 7.4,
        }
    }

    #[test]
    fn every_axis_of_ammonia_shows_its_line_and_its_limit_apart() {
        for (ammonia, limit) in [(0.0, 0.8), (1e-6, 0.8), (0.02, 0.8), (0.4, 0.8), (0.8, 0.8), (3.0, 0.8), (40.0, 0.8)]
        {
            let water = water(ammonia, limit);
            let scale = scale(&[&water], What::Ammonia);
            let edge = scale.place(limit);
            assert!((0.15..=0.96).contains(&edge), "{ammonia}: the limit stands at {edge}");
            assert!(scale.place(ammonia) < 1.0, "{ammonia}: the line is cut");
            if ammonia >= 0.02 {
                assert!(scale.place(ammonia) > 0.09, "{ammonia}: the line lies on the floor");
            }
        }
    }
}
