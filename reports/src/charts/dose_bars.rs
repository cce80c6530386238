//! Bars for single feeds on a time axis: what was wanted, what arrived fresh, what arrived spoiled.
//!
//! Shared by the chart of doses and the feeds of the reservoirs. Knows no plan and no reservoir.

use crate::chart::{Fill, Hatch};
use crate::draw::panel::Panel;
use crate::draw::sketch::{Pen, Rect, Sketch, Type};
use crate::look::{Format, HAIR, HARM, Ink, QUIET, TEXT};
use crate::words::clock;

/// Width of the widest bar.
const WIDEST: f64 = 15.0;
/// Bars narrower than this have no room for an outline or a hatching of their own.
const SLENDER: f64 = 5.0;
/// A range narrower than this share of the axis is not drawn.
const LEAST_RANGE: f64 = 0.01;

/// One feed, in the units of its panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// Place on the level axis.
    pub at: f64,
    /// What was wanted.
    pub wanted: f64,
    /// What arrived fresh.
    pub fresh: f64,
    /// What arrived spoiled; stacked on the fresh part.
    pub spoiled: f64,
    /// 80 % range of the fresh part, where it is known.
    pub range: Option<(f64, f64)>,
}

/// How the fresh part is painted.
#[must_use]
pub fn fresh_fill(ink: Ink) -> Fill {
    Fill { ink, alpha: 0.75, hatch: Hatch::None }
}

/// How the spoiled part is painted.
#[must_use]
pub fn spoiled_fill() -> Fill {
    Fill { ink: HARM, alpha: 0.15, hatch: Hatch::Rising(4.0) }
}

/// How what was wanted is painted, where it did not come.
#[must_use]
pub fn wanted_fill() -> Fill {
    Fill { ink: QUIET, alpha: 0.0, hatch: Hatch::None }
}

/// Draws the bars of one panel.
pub fn draw(sketch: &mut Sketch, panel: &Panel, bars: &[Bar], ink: Ink) {
    let width = width(panel, bars);
    let reach = panel.y.to - panel.y.from;
    for bar in bars {
        let x = panel.x_at(bar.at);
        let (left, right) = (x - width / 2.0, x + width / 2.0);
        let between = |low: f64, high: f64| Rect::new(left, panel.y_at(high), right, panel.y_at(low));
        let fresh = bar.fresh.max(0.0);
        let top = fresh + bar.spoiled.max(0.0);
        if width >= SLENDER {
            sketch.outline(between(0.0, bar.wanted), Pen::new(QUIET, HAIR).faint(0.8));
            paint(sketch, fresh_fill(ink), between(0.0, fresh));
            paint(sketch, spoiled_fill(), between(fresh, top));
        } else {
            // Without outlines, which would fill so slender a bar.
            sketch.block(between(top, bar.wanted), QUIET, 0.18);
            sketch.block(between(0.0, fresh), ink, 0.85);
            sketch.block(between(fresh, top), HARM, 0.5);
        }
        if let Some((low, high)) = bar.range
            && width >= SLENDER
            && high - low > reach * LEAST_RANGE
        {
            sketch.line([(x, panel.y_at(low)), (x, panel.y_at(high))], Pen::new(TEXT, HAIR));
            for y in [low, high].map(|end| panel.y_at(end)) {
                sketch.line([(x - 2.5, y), (x + 2.5, y)], Pen::new(TEXT, HAIR));
            }
        }
    }
    if width < SLENDER {
        // So many ranges side by side would be a black field: two lines hold them between them.
        for end in [|range: (f64, f64)| range.0, |range: (f64, f64)| range.1] {
            let line = bars.iter().filter_map(|bar| Some(panel.at(bar.at, end(bar.range?))));
            sketch.line(line, Pen::new(TEXT, HAIR));
        }
    }
}

fn paint(sketch: &mut Sketch, fill: Fill, rect: Rect) {
    if rect.height() > 0.3 {
        fill.paint(sketch, rect);
    }
}

/// As wide as the nearest two bars allow.
fn width(panel: &Panel, bars: &[Bar]) -> f64 {
    let mut places: Vec<f64> = bars.iter().map(|bar| panel.x_at(bar.at)).filter(|x| x.is_finite()).collect();
    places.sort_by(f64::total_cmp);
    let nearest = places.windows(2).map(|pair| pair[1] - pair[0]).filter(|d| *d > 0.0).fold(f64::INFINITY, f64::min);
    (nearest * 0.72).clamp(1.5, WIDEST)
}

/// Hours of a time axis between two hours, about so many, with their times of day.
#[must_use]
pub fn hour_ticks(from: f64, to: f64, about: usize) -> Vec<(f64, String)> {
    let every = [1.0, 2.0, 3.0, 4.0, 6.0, 12.0, 24.0, 48.0];
    let step = every.into_iter().find(|step| (to - from) / step <= about as f64).unwrap_or(96.0);
    let (first, last) = ((from / step - 1e-9).ceil() as i64, (to / step + 1e-9).floor() as i64);
    (first..=last).map(|n| n as f64 * step).map(|hour| (hour, clock(hour))).collect()
}

/// The ticks whose labels stand under their hours without leaving the panel: pushed inside, the first one would look an
/// hour late and take the room of the next.
#[must_use]
pub fn in_place(panel: &Panel, format: Format, mut ticks: Vec<(f64, String)>) -> Vec<(f64, String)> {
    let kind = Type::new(format.small());
    ticks.retain(|(hour, label)| {
        let (x, half) = (panel.x_at(*hour), kind.width(label) / 2.0);
        x - half >= panel.area.left && x + half <= panel.area.right
    });
    ticks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::panel::Scale;

    #[test]
    fn no_label_is_pushed_away_from_its_hour() {
        let ticks = in_place(&panel(), Format::Wide, hour_ticks(6.0, 24.0, 6));
        let labels: Vec<&str> = ticks.iter().map(|(_, label)| label.as_str()).collect();
        assert_eq!(labels, ["09:00", "12:00", "15:00", "18:00", "21:00"]);
    }

    fn panel() -> Panel {
        Panel { area: Rect::new(0.0, 0.0, 180.0, 100.0), x: Scale::linear(6.0, 24.0), y: Scale::linear(0.0, 100.0) }
    }

    #[test]
    fn bars_never_touch_and_one_alone_is_not_a_wall() {
        let bar = |at| Bar { at, wanted: 100.0, fresh: 50.0, spoiled: 0.0, range: None };
        assert_eq!(width(&panel(), &[bar(12.0)]), WIDEST);
        let close = width(&panel(), &[bar(12.0), bar(12.5), bar(20.0)]);
        assert!(close < 5.0 && close > 2.0, "{close}");
    }

    #[test]
    fn ticks_past_midnight_are_times_of_the_next_day() {
        let labels: Vec<String> = hour_ticks(18.0, 31.0, 4).into_iter().map(|(_, label)| label).collect();
        assert_eq!(labels, ["20:00", "00:00", "04:00"]);
    }
}
