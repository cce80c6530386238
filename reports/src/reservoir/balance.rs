//! Reservoir chart 2, balance: where each food of a filling is when the next filling is due.

use super::parts::{self, Part};
use super::trials::Trials;
use crate::chart::{Chart, Swatch, head, head_lines, key, only_words};
use crate::draw::font;
use crate::draw::panel::{Panel, Scale, tick_label};
use crate::draw::sketch::{Rect, Sketch, Type};
use crate::look::Format;
use crate::words::{fry, quoted_briefly};

/// A loss of fewer parts of 100 than this makes no title.
const LITTLE: f64 = 5.0;

/// Draws the chart.
pub fn chart(trials: &Trials<'_>) -> Chart {
    let caption = "Each bar is all of one food that was poured in (100 parts, mean of the worlds). Only the dark part is \
                   food for the fry; look what the rest of the bar is made of.";
    let parts = trials.vessels.iter().flat_map(|vessel| {
        vessel.trial.foods.iter().map(move |food| {
            let parts = Part::ALL.map(|part| format!("{} {}", fry(part.of(&food.balance)), part.label()));
            format!("{}, {}: {}", vessel.name(), trials.food(food.food), parts.join(", "))
        })
    });
    let alt = format!(
        "Bars of food poured into each reservoir, out of 100 parts, split by where it is at the end. {}.",
        parts.collect::<Vec<_>>().join("; ")
    );
    Chart::new("r2-balance", title(trials), caption, alt, |format| draw(trials, format))
}

/// The largest loss of all.
fn title(trials: &Trials<'_>) -> String {
    let losses = trials.vessels.iter().flat_map(|vessel| {
        vessel.trial.foods.iter().flat_map(move |food| {
            Part::ALL[1..].iter().map(move |&part| (vessel, food.food, part, part.of(&food.balance)))
        })
    });
    // Of equals the first, as the bars stand.
    let largest = losses.fold(None, |most: Option<(_, _, _, f64)>, one| match most {
        Some(most) if most.3 >= one.3 => Some(most),
        _ => Some(one),
    });
    match largest {
        Some((vessel, food, part, share)) if share >= LITTLE => {
            let (name, food) = (quoted_briefly(vessel.name()), trials.food(food));
            let what = match part {
                Part::Spoiled => "are spoiled when they leave",
                Part::Afloat => "are still afloat at the next filling",
                Part::Resting => "rest on the floor at the next filling",
                Part::Stuck | Part::Fresh => "settle and stay",
            };
            format!("{name}: of 100 parts of {food} {} {what}", fry(share))
        }
        Some(_) => "Hardly any food is lost in any reservoir".to_owned(),
        None => "No food is in the filling shown".to_owned(),
    }
}

fn draw(trials: &Trials<'_>, format: Format) -> Sketch {
    if trials.foods().is_empty() {
        return only_words(format, "No food is in the filling shown.");
    }
    let gap = format.gap();
    let mut sketch = Sketch::new(format.width());
    let entries: Vec<(Swatch, String)> =
        Part::ALL.into_iter().map(|part| (Swatch::Block(part.fill()), part.label().to_owned())).collect();
    let top = key(&mut sketch, format, Rect::new(gap, gap * 0.4, format.width() - gap, f64::INFINITY), &entries) + 6.0;
    let narrow = format.is_narrow();
    let kind = Type::new(format.small());
    let names = if narrow { 0.0 } else { 190.0 };
    let (left, right) = (gap + 4.0 + names, format.width() - gap - 66.0);
    let most_name = if narrow { format.width() - 2.0 * gap - 8.0 } else { names - 12.0 };
    let bar: f64 = if narrow { 18.0 } else { 22.0 };
    let lines_of = |food: usize| font::wrap_to(trials.food(food), kind.size, false, most_name, 2);
    let head_width = format.width() - 2.0 * gap;

    // Bars and names are placed first, so that the grid can be drawn behind them.
    let mut y = top;
    let mut rows = Vec::new();
    for vessel in &trials.vessels {
        let at = y;
        let heads = head_lines(format, head_width, vessel.name()).len() as f64;
        y += heads * Type::new(format.label()).leading() + 4.0;
        let mut foods = Vec::new();
        for food in &vessel.trial.foods {
            let lines = lines_of(food.food);
            let words = lines.len() as f64 * kind.leading();
            let (name_top, bar_top) = if narrow {
                (y, y + words + 1.0)
            } else {
                (y + (bar.max(words) - words) / 2.0, y + (bar.max(words) - bar) / 2.0)
            };
            foods.push((food, lines, name_top, bar_top));
            y += if narrow { words + bar + 6.0 } else { bar.max(words) + 6.0 };
        }
        rows.push((vessel, at, foods));
        y += 8.0;
    }
    let panel =
        Panel { area: Rect::new(left, top, right, y), x: Scale::linear(0.0, 100.0), y: Scale::linear(0.0, 1.0) };
    for (vessel, at, foods) in rows {
        head(&mut sketch, format, (gap + 4.0, at), head_width, vessel.style, vessel.name());
        for (food, lines, name_top, bar_top) in foods {
            let name_left = if narrow { left } else { gap + 22.0 };
            sketch.lines((name_left, name_top), &lines, kind);
            let end = parts::bar(&mut sketch, &panel, &food.balance, (bar_top, bar_top + bar));
            let text = format!("{} fresh", fry(food.balance.drawn_fresh));
            sketch.words((end + 6.0, bar_top + bar / 2.0 + kind.size * 0.36), text, kind);
        }
    }
    let ticks: Vec<(f64, String)> = panel.x.ticks(5).into_iter().map(|v| (v, tick_label(v))).collect();
    let labels = panel.x_axis(&mut sketch, format, &ticks, false, 14.0);
    let bottom = panel.x_title(&mut sketch, format, labels, "parts of 100 poured in");
    sketch.reach(bottom + gap * 0.5);
    sketch
}
