//! Chart 5, mouth and food: how wide a bite the fry can take through the days, against the width of each food.
//!
//! One small panel a food, all with the same axes, so that foods of like width do not cover each other. What fits is
//! judged by the widest item, a share of the gape (`fit_most`, likely value), and not by the gape itself. Mouths are
//! known for the end of each day; the first day is drawn with the mouths of its end.

use frytub_sim::outcome::FoodBand;

use crate::chart::{Chart, Fill, Hatch, Swatch, key, only_words};
use crate::draw::font;
use crate::draw::panel::{Panel, Scale};
use crate::draw::sketch::{Pen, Rect, Sketch, Type};
use crate::facts::Facts;
use crate::look::{DASHES, FOOD_INKS, Format, GRID, LINE, QUIET, Style};
use crate::words::{figures, list, quoted_briefly};

use super::days::day_ticks;

const ID: &str = "5-mouth-and-food";
/// Foods shown; more are in the tables.
const MOST_FOODS: usize = 9;
/// What a food's band is filled with where it fits.
const FIT: Fill = Fill { ink: FOOD_INKS[1], alpha: 0.45, hatch: Hatch::None };

/// Draws the chart.
pub fn chart(facts: &Facts<'_>) -> Chart {
    if foods(facts).is_empty() {
        let text = "No food was offered.";
        return Chart::new(ID, title(facts), "", text, |format| only_words(format, text));
    }
    let caption = format!(
        "The level band is the width of a food (80 % of its items), filled where it fits the middle mouth of {}; bars in \
         it mark the days it is offered, and the rising lines are the widest bite ({} of the gape). Look for food \
         offered while its band is still empty (too big) or lies far below the lines (outgrown).",
        quoted_briefly(facts.name(facts.leader())),
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
    let alt = format!("Width of mouths and of each food in µm against the day. {alt}.");
    Chart::new(ID, title(facts), caption, alt, |format| draw(facts, format))
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
            Some(day) => format!("day {day:.0} with {}", quoted_briefly(facts.name(*plan))),
            None => format!("no day with {}", quoted_briefly(facts.name(*plan))),
        })
        .collect();
    match days.as_slice() {
        [(_, Some(a)), (_, Some(b))] if (a.round() - b.round()).abs() < 0.5 => {
            format!("Half of the living can take brine shrimp from day {a:.0}, with either plan")
        }
        _ => format!("Half of the living can take brine shrimp from {}", list(&told)),
    }
}

/// A food with the days on which each leading plan offers it.
struct Offered<'a> {
    band: &'a FoodBand,
    by: Vec<(usize, &'a [(u32, u32)])>,
}

/// Foods of the leading plans, in the order of the study.
fn foods<'a>(facts: &Facts<'a>) -> Vec<Offered<'a>> {
    let mut foods: Vec<Offered<'a>> = Vec::new();
    for plan in facts.leading() {
        for band in facts.found.bands.get(plan).into_iter().flatten() {
            match foods.iter_mut().find(|food| food.band.name == band.name) {
                Some(food) => food.by.push((plan, &band.offered)),
                None => foods.push(Offered { band, by: vec![(plan, &band.offered)] }),
            }
        }
    }
    let place = |food: &Offered<'_>| facts.study.foods.iter().position(|f| f.name == food.band.name);
    foods.sort_by_key(place);
    foods.truncate(MOST_FOODS);
    foods
}

/// Day and widest bite, µm, of the smallest tenth, the middle and the largest tenth.
fn bites(facts: &Facts<'_>, plan: usize) -> Vec<(f64, [f64; 3])> {
    let bite = facts.study.fish.fit_most.likely();
    let mut bites: Vec<(f64, [f64; 3])> =
        facts.result(plan).mouths.iter().map(|m| (f64::from(m.day), m.gape_um.map(|g| g * bite))).collect();
    if let Some(first) = bites.first().copied() {
        bites.insert(0, (0.0, first.1));
    }
    bites
}

fn draw(facts: &Facts<'_>, format: Format) -> Sketch {
    let foods = foods(facts);
    let mut lowest = f64::INFINITY;
    let mut highest: f64 = 0.0;
    let all_bites = facts.leading().into_iter().flat_map(|plan| bites(facts, plan)).flat_map(|(_, three)| three);
    for v in all_bites.chain(foods.iter().flat_map(|food| food.band.width_um)) {
        if v.is_finite() && v > 0.0 {
            lowest = lowest.min(v);
            highest = highest.max(v);
        }
    }
    if highest <= 0.0 {
        return only_words(format, "No width is known.");
    }
    // A few very fine items must not squash the rest.
    let scale = Scale::log((lowest * 0.8).max(highest / 300.0), highest * 1.25);
    let mut sketch = Sketch::new(format.width());
    let gap = format.gap();
    let top =
        key(&mut sketch, format, Rect::new(gap, gap * 0.4, format.width() - gap, f64::INFINITY), &key_entries(facts));
    let columns = match (format, foods.len()) {
        (_, 1) => 1,
        (Format::Narrow, _) | (Format::Wide, 2 | 4) => 2,
        (Format::Wide, _) => 3,
    };
    let left = gap + 34.0;
    let space = 14.0;
    let width = (format.width() - left - gap - (columns - 1) as f64 * space) / columns as f64;
    let small = Type::new(format.small());
    let mut y = sketch.paragraph((gap, top + 6.0), "width, µm", small, format.width() - 2.0 * gap) + 2.0;
    let kind = Type::new(format.label()).bold();
    for row in foods.chunks(columns) {
        let heads: Vec<Vec<String>> = row
            .iter()
            .map(|food| {
                let text = format!("{}, {} µm", food.band.name, figures(food.band.width_um[1].round()));
                font::wrap_to(&text, kind.size, true, width, 3)
            })
            .collect();
        let under = y + heads.iter().map(Vec::len).max().unwrap_or(1) as f64 * kind.leading() + 4.0;
        let mut bottom = under;
        for (n, food) in row.iter().enumerate() {
            let x = left + n as f64 * (width + space);
            sketch.lines((x, y), &heads[n], kind);
            let height = if format.is_narrow() { 150.0 } else { 190.0 };
            let panel = Panel {
                area: Rect::new(x, under, x + width, under + height),
                x: Scale::linear(0.0, f64::from(facts.study.days.max(1))),
                y: scale,
            };
            bottom = bottom.max(one_food(&mut sketch, facts, format, &panel, food, n == 0));
        }
        y = bottom + gap * 0.6;
    }
    sketch.reach(y);
    sketch
}

fn key_entries(facts: &Facts<'_>) -> Vec<(Swatch, String)> {
    let mut entries: Vec<(Swatch, String)> = facts
        .leading()
        .into_iter()
        .map(|plan| {
            let style = facts.style(plan);
            (Swatch::Plain(middle_pen(style)), format!("middle fry, {}", facts.name(plan)))
        })
        .collect();
    let style = facts.style(facts.leader());
    entries.push((Swatch::Plain(tenth_pen(style)), "smallest and largest tenth".to_owned()));
    entries.push((Swatch::Block(FIT), "fits the middle mouth".to_owned()));
    entries.push((Swatch::Plain(Pen::new(QUIET, 3.5)), "offered".to_owned()));
    entries
}

fn middle_pen(style: Style) -> Pen {
    Pen::new(style.ink, LINE + 0.3).dashed(style.dash)
}

fn tenth_pen(style: Style) -> Pen {
    Pen::new(style.ink, 1.2).dashed(DASHES[2])
}

fn one_food(
    sketch: &mut Sketch,
    facts: &Facts<'_>,
    format: Format,
    panel: &Panel,
    food: &Offered<'_>,
    labelled: bool,
) -> f64 {
    let days = facts.study.days.max(1);
    let [low, middle, high] = food.band.width_um;
    let (left, right) = (panel.area.left, panel.area.right);
    let band = Rect::new(left, panel.y_at(high), right, panel.y_at(low));
    sketch.block(band, GRID, 0.5);
    let leader = bites(facts, facts.leader());
    let fits: Vec<(f64, f64, f64)> = leader
        .iter()
        .map(|(x, bite)| {
            let upper = if bite[1] > low { high.min(bite[1]) } else { f64::NAN };
            (panel.x_at(*x), panel.y_at(low), panel.y_at(upper))
        })
        .collect();
    sketch.ribbon(&fits, FIT.ink, FIT.alpha);
    panel.y_axis(sketch, format, &panel.y.ticks(5), labelled);
    sketch.outline(band, Pen::new(FIT.ink, 0.8));
    let rows = food.by.len() as f64;
    for (n, (plan, offered)) in food.by.iter().enumerate() {
        let y = panel.y_at(middle) + (n as f64 - (rows - 1.0) / 2.0) * 5.5;
        for (first, last) in *offered {
            let from = panel.x_at(f64::from(first.saturating_sub(1)));
            let to = panel.x_at(f64::from((*last).min(days)));
            sketch.line([(from, y), (to, y)], Pen::new(facts.style(*plan).ink, 3.5));
        }
    }
    for plan in facts.leading().into_iter().rev() {
        let (style, bites) = (facts.style(plan), bites(facts, plan));
        let line = |tenth: usize| bites.iter().map(move |(x, bite)| panel.at(*x, bite[tenth]));
        if plan == facts.leader() {
            sketch.line(line(0), tenth_pen(style));
            sketch.line(line(2), tenth_pen(style));
        }
        sketch.line(line(1), middle_pen(style));
    }
    let under = panel.x_axis(sketch, format, &day_ticks(days, panel.area.width()), false, 0.0);
    panel.x_title(sketch, format, under, "day")
}
