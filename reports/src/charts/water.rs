//! Chart 8, water: lowest oxygen and highest un-ionised ammonia through the days, with the zones in which fry die.

use frytub_sim::outcome::{Spread, WaterPoint, WaterResult};

use super::days::{End, day_ticks, end_labels};
use super::water_words::{BAD_AIR_MG_L, alt, not_reckoned, on_worst, title};
use crate::chart::{Chart, Fill, Hatch, Swatch, head, head_height, key};
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

/// What is followed in the water.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Lowest oxygen since the point before.
    Oxygen,
    /// Highest un-ionised ammonia since the point before.
    Ammonia,
}

impl What {
    /// Both, in the order in which they are drawn.
    pub const ALL: [Self; 2] = [Self::Oxygen, Self::Ammonia];

    /// How it stands at one time.
    #[must_use]
    pub fn at(self, point: &WaterPoint) -> Spread {
        match self {
            Self::Oxygen => point.oxygen_mg_l,
            Self::Ammonia => point.ammonia_mg_l,
        }
    }

    /// The worst of the whole brood.
    #[must_use]
    pub fn worst(self, water: &WaterResult) -> Spread {
        match self {
            Self::Oxygen => water.worst_oxygen_mg_l,
            Self::Ammonia => water.worst_ammonia_mg_l,
        }
    }

    /// Where harm begins, mg/L: below it for oxygen, above it for ammonia.
    #[must_use]
    pub fn limit(self, water: &WaterResult) -> f64 {
        match self {
            Self::Oxygen => water.harmful_oxygen_mg_l,
            Self::Ammonia => water.harmless_ammonia_mg_l,
        }
    }

    /// The end of a spread that lies nearer to harm.
    #[must_use]
    pub fn bad_end(self, spread: &Spread) -> f64 {
        match self {
            Self::Oxygen => spread.low,
            Self::Ammonia => spread.high,
        }
    }

    /// How deep a value lies in harm: above 1 fry can die, and the higher the worse; 0 for a missing value.
    #[must_use]
    pub fn harm(self, value: f64, limit: f64) -> f64 {
        match self {
            _ if value.is_nan() || limit.is_nan() => 0.0,
            Self::Oxygen => limit / value.max(1e-9),
            Self::Ammonia => value / limit.max(1e-9),
        }
    }

    fn heading(self) -> &'static str {
        match self {
            Self::Oxygen => "lowest oxygen, mg/L",
            Self::Ammonia => "highest un-ionised ammonia, mg NH3/L",
        }
    }
}

/// Draws the chart; none when no shown plan's water is reckoned with.
pub fn chart(facts: &Facts<'_>) -> Option<Chart> {
    let plans = plans(facts);
    if plans.is_empty() {
        return None;
    }
    let caption = "The line is the middle world, the band holds 80 % of the worlds, the mark is the worst hour of the \
                   line. Look whether a line dips into the shaded part below for oxygen, or climbs into the one above \
                   for ammonia: there fry can die.";
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
    entries.push((Swatch::Plain(bad_air_pen()), "fry feed less below".to_owned()));
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
        let under = sketch.paragraph((gap, y), what.heading(), kind, format.width() - 2.0 * gap) + 8.0;
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
    let columns = match (format, plans.len()) {
        (Format::Narrow, _) => 1,
        (Format::Wide, n @ 1..=3) => n,
        (Format::Wide, 4) => 2,
        (Format::Wide, _) => 3,
    };
    let kind = Type::new(format.small());
    let headings = format!("Above: {}. Below: {}.", What::Oxygen.heading(), What::Ammonia.heading());
    let mut y = sketch.paragraph((gap, top), &headings, kind, format.width() - 2.0 * gap) + 8.0;
    let left = gap + 46.0;
    let width = (format.width() - left - gap - (columns - 1) as f64 * gap) / columns as f64;
    let height = if format.is_narrow() { 90.0 } else { 110.0 };
    for row in plans.chunks(columns) {
        let under = y + head_height(format, width, row.iter().map(|&plan| facts.name(plan))) + 8.0;
        let mut bottom = under;
        for (n, &plan) in row.iter().enumerate() {
            let x = left + n as f64 * (width + gap);
            head(sketch, format, (x, y), width, facts.style(plan), facts.name(plan));
            let mut edge = under;
            for (what, scale) in What::ALL.into_iter().zip(scales) {
                let panel = panel(facts, Rect::new(x, edge, x + width, edge + height), scale);
                if let Some(water) = water(facts, plan) {
                    ground(sketch, format, &panel, what, water, n == 0);
                }
                band(sketch, facts, &panel, what, plan);
                line(sketch, facts, &panel, what, plan);
                edge += height + 16.0;
                if what == What::Ammonia {
                    let labels = panel.x_axis(sketch, format, &day_ticks(facts.study.days, width), false, 0.0);
                    bottom = bottom.max(panel.x_title(sketch, format, labels, "day"));
                }
            }
        }
        y = bottom + gap * 0.6;
    }
    y
}

fn panel(facts: &Facts<'_>, area: Rect, y: Scale) -> Panel {
    Panel { area, x: Scale::linear(0.0, f64::from(facts.study.days.max(1))), y }
}

fn harm_fill() -> Fill {
    Fill { ink: HARM, alpha: 0.16, hatch: Hatch::None }
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
    sketch.block(zone, HARM, 0.16);
    panel.y_axis(sketch, format, &panel.y.ticks(4), labelled);
    sketch.line([(area.left, edge), (area.right, edge)], harm_pen());
    if what == What::Oxygen && BAD_AIR_MG_L < panel.y.to {
        let y = panel.y_at(BAD_AIR_MG_L);
        sketch.line([(area.left, y), (area.right, y)], bad_air_pen());
    }
}

fn band(sketch: &mut Sketch, facts: &Facts<'_>, panel: &Panel, what: What, plan: usize) {
    let Some(water) = water(facts, plan) else { return };
    let edges = water.points.iter().map(|p| {
        let spread = what.at(p);
        (panel.x_at(p.hour / 24.0), panel.y_at(spread.low), panel.y_at(spread.high))
    });
    sketch.ribbon(&edges.collect::<Vec<_>>(), facts.style(plan).ink, 0.18);
}

/// The middle world, with the plan's mark at its worst hour.
fn line(sketch: &mut Sketch, facts: &Facts<'_>, panel: &Panel, what: What, plan: usize) {
    let Some(water) = water(facts, plan) else { return };
    let style = facts.style(plan);
    let points = water.points.iter().map(|p| panel.at(p.hour / 24.0, what.at(p).median));
    sketch.line(points, Pen::new(style.ink, LINE).dashed(style.dash));
    if let Some(worst) = on_worst(water, what) {
        let at = panel.at(worst.hour / 24.0, what.at(worst).median);
        sketch.mark(at, style.marker, MARK, style.ink, true);
    }
}

/// Where the line of a plan ends, with its name.
fn end(facts: &Facts<'_>, panel: &Panel, what: What, plan: usize) -> Option<End> {
    let water = water(facts, plan)?;
    let last = water.points.iter().rev().find(|p| what.at(p).median.is_finite())?;
    let at = panel.at(last.hour / 24.0, what.at(last).median);
    Some(End { plan, at, text: facts.name(plan).to_owned() })
}

#[cfg(test)]
mod tests {
    use super::*;

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

    #[test]
    fn harm_counts_downwards_for_oxygen_and_upwards_for_ammonia() {
        assert!(What::Oxygen.harm(1.0, 1.7) > 1.0 && What::Oxygen.harm(3.0, 1.7) < 1.0);
        assert!(What::Ammonia.harm(1.0, 0.8) > 1.0 && What::Ammonia.harm(0.1, 0.8) < 1.0);
        assert_eq!(What::Oxygen.harm(f64::NAN, 1.7), 0.0, "a missing value is no harm");
        assert!(What::Oxygen.harm(0.0, 1.7) > What::Oxygen.harm(0.1, 1.7), "no oxygen at all is the worst");
    }
}
