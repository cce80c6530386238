//! Reservoir chart 1, feeds: what each feed of a filling brings of each food, fresh and spoiled, out of 100 wanted.

use super::trials::{Trials, Vessel};
use crate::chart::{Chart, Swatch, head, head_height, key, only_words};
use crate::charts::dose_bars::{self, Bar, fresh_fill, hour_ticks, in_place, spoiled_fill};
use crate::draw::font;
use crate::draw::panel::{Panel, Scale};
use crate::draw::sketch::{Pen, Rect, Sketch, Type};
use crate::look::{Format, TEXT};
use crate::words::{capital, fry, quoted_briefly};

/// Panels side by side on a wide picture; more vessels take more rows.
const MOST_ACROSS: usize = 5;
/// A feed may bring more than was wanted of it; the axis follows up to so much.
const MOST_SHOWN: f64 = 200.0;

/// Draws the chart.
pub fn chart(trials: &Trials<'_>) -> Chart {
    let caption = "One bar a feed, a row a food: the filled part reaches the tub fresh, the hatched part spoiled; a line \
                   at each bar holds 80 % of the worlds. The first feeds bring what stood in the tube. Look whether the bars fall after them.";
    let parts = trials.vessels.iter().map(|vessel| {
        let [first, last] = vessel.first_and_last().map(|share| fry(share.unwrap_or(f64::NAN)));
        format!(
            "{}: feeds {}, the first brings {first} fresh, the last {last}",
            vessel.name(),
            vessel.trial.feeds.len()
        )
    });
    let alt = format!(
        "Bars for each feed between two fillings: food out of 100 parts wanted of that feed. {}.",
        parts.collect::<Vec<_>>().join("; ")
    );
    Chart::new("r1-feeds", title(trials), caption, alt, |format| draw(trials, format))
}

fn title(trials: &Trials<'_>) -> String {
    let Some(best) = trials.best() else { return "No reservoir was tried".to_owned() };
    let name = quoted_briefly(best.name());
    let feeds = best.trial.feeds.len();
    let [Some(first), Some(last)] = best.first_and_last() else {
        return format!("{name}: no feed in the filling shown");
    };
    if first.max(last) < 0.5 {
        return "Hardly any fresh food reaches the tub".to_owned();
    }
    let which = if feeds == 1 { "the feed" } else { "the last feed" };
    match trials.other().and_then(|other| Some((other, other.first_and_last()[1]?))) {
        Some((other, theirs)) => format!(
            "Of 100 parts wanted, {which} from {name} brings {} fresh, from {} {}",
            fry(last),
            quoted_briefly(other.name()),
            fry(theirs)
        ),
        None if feeds == 1 => format!("{name}: of 100 parts wanted the feed brings {} fresh", fry(last)),
        None => {
            format!("{name}: of 100 parts wanted the first feed brings {} fresh, the last {}", fry(first), fry(last))
        }
    }
}

/// The bars of one food from one vessel; none when it is not in its filling.
fn bars(vessel: &Vessel<'_>, food: usize) -> Vec<Bar> {
    let Some(place) = vessel.trial.foods.iter().position(|one| one.food == food) else { return Vec::new() };
    let feeds = vessel.trial.feeds.iter().filter_map(|feed| {
        let (fresh, spoiled) = (feed.fresh.get(place)?, feed.spoiled.get(place)?);
        Some(Bar {
            at: feed.hour,
            wanted: 100.0,
            fresh: fresh.median,
            spoiled: spoiled.median,
            range: Some((fresh.low, fresh.high)),
        })
    });
    feeds.collect()
}

fn draw(trials: &Trials<'_>, format: Format) -> Sketch {
    let foods = trials.foods();
    let hours: Vec<f64> = trials.vessels.iter().flat_map(|vessel| &vessel.trial.feeds).map(|feed| feed.hour).collect();
    if foods.is_empty() || hours.is_empty() {
        return only_words(format, "No feed and no food are in the filling shown.");
    }
    let gap = format.gap();
    let mut sketch = Sketch::new(format.width());
    let entries = [
        (Swatch::Block(fresh_fill(TEXT)), "fresh".to_owned()),
        (Swatch::Block(spoiled_fill()), "spoiled".to_owned()),
        (Swatch::Plain(Pen::new(TEXT, 1.0)), "80 % of the worlds (fresh)".to_owned()),
    ];
    let top = key(&mut sketch, format, Rect::new(gap, gap * 0.4, format.width() - gap, f64::INFINITY), &entries);
    let words = "reaches the tub, parts of 100 wanted of each feed";
    let mut y = sketch.paragraph((gap, top + 4.0), words, Type::new(format.small()), format.width() - 2.0 * gap) + 6.0;

    let count = trials.vessels.len();
    let columns = match format {
        Format::Narrow => count.min(2),
        Format::Wide if count > MOST_ACROSS => 4,
        Format::Wide => count,
    };
    let (left, space) = (gap + 34.0, gap * 0.8);
    let width = (format.width() - left - gap - (columns - 1) as f64 * space) / columns as f64;
    let height = if format.is_narrow() { 84.0 } else { 110.0 };
    let earliest = hours.iter().copied().fold(f64::INFINITY, f64::min);
    let latest = hours.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let x = Scale::linear((earliest - 0.75).floor(), (latest + 0.75).ceil());
    let tops = foods.iter().flat_map(|&food| trials.vessels.iter().flat_map(move |vessel| bars(vessel, food)));
    let reach = tops.map(|bar| bar.fresh + bar.spoiled).fold(100.0, f64::max).min(MOST_SHOWN);
    let scale = Scale::linear(0.0, reach * 1.04);
    let one_row = count <= columns;
    let label = Type::new(format.label()).bold();
    for (row, &food) in foods.iter().enumerate() {
        if foods.len() > 1 || !one_row {
            let lines = font::wrap_to(&capital(trials.food(food)), label.size, true, format.width() - 2.0 * gap, 2);
            y = sketch.lines((gap, y), &lines, label) + 4.0;
        }
        for vessels in trials.vessels.chunks(columns) {
            let mut under = y;
            if row == 0 || !one_row {
                under += head_height(format, width, vessels.iter().map(Vessel::name)) + 4.0;
            }
            let mut bottom = under;
            for (n, vessel) in vessels.iter().enumerate() {
                let at = left + n as f64 * (width + space);
                if row == 0 || !one_row {
                    head(&mut sketch, format, (at, y), width, vessel.style, vessel.name());
                }
                let panel = Panel { area: Rect::new(at, under + 6.0, at + width, under + 6.0 + height), x, y: scale };
                panel.y_axis(&mut sketch, format, &[0.0, 50.0, 100.0], n == 0);
                dose_bars::draw(&mut sketch, &panel, &bars(vessel, food), vessel.style.ink);
                let about = (width / 40.0).round() as usize;
                let ticks = in_place(&panel, format, hour_ticks(x.from, x.to, about.clamp(1, 6)));
                let labels = panel.x_axis(&mut sketch, format, &ticks, false, 0.0);
                let last_row = row + 1 == foods.len() || !one_row;
                bottom = bottom.max(if last_row {
                    panel.x_title(&mut sketch, format, labels, "time of day")
                } else {
                    labels
                });
            }
            y = bottom + gap * 0.6;
        }
    }
    sketch.reach(y);
    sketch
}
