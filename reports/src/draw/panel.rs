//! A panel: a rectangle with two axes, their ticks, grid and titles.
//!
//! The title of the upright axis stands above it, so that nothing has to be read sideways. Knows numbers and labels,
//! nothing of fish.

use super::sketch::{Pen, Point, Rect, Sketch, Type};
use crate::look::{AXIS, Format, GRID, QUIET, TEXT};

/// How a value becomes a place on an axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// Evenly.
    Linear,
    /// By its logarithm; only for values above zero.
    Log,
    /// By its logarithm on both sides of zero, evenly between minus and plus this value.
    SignedLog(f64),
}

/// Values at both ends of an axis, and the law between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Value at the left or lower end.
    pub from: f64,
    /// Value at the right or upper end.
    pub to: f64,
    /// The law between.
    pub law: Law,
}

/// Room of the even part beside zero of a [`Law::SignedLog`], in decades.
const EVEN_PART: f64 = 0.6;

impl Scale {
    /// An even scale.
    #[must_use]
    pub fn linear(from: f64, to: f64) -> Self {
        Self { from, to, law: Law::Linear }
    }

    /// A logarithmic scale; the ends must be above zero.
    #[must_use]
    pub fn log(from: f64, to: f64) -> Self {
        debug_assert!(from > 0.0 && to > from);
        Self { from, to, law: Law::Log }
    }

    fn bend(self, value: f64) -> f64 {
        match self.law {
            Law::Linear => value,
            Law::Log => value.max(self.from * 1e-3).ln(),
            Law::SignedLog(even) => {
                let scaled = (value / even).abs();
                let bent = if scaled <= 1.0 { EVEN_PART * scaled } else { EVEN_PART + scaled.log10() };
                bent.copysign(value)
            }
        }
    }

    /// Where a value lies: 0 at `from`, 1 at `to`, cut at both ends.
    #[must_use]
    pub fn place(self, value: f64) -> f64 {
        let (a, b) = (self.bend(self.from), self.bend(self.to));
        if b > a { ((self.bend(value) - a) / (b - a)).clamp(0.0, 1.0) } else { 0.5 }
    }

    /// Values worth a tick: round ones for an even scale, decades otherwise.
    #[must_use]
    pub fn ticks(self, about: usize) -> Vec<f64> {
        match self.law {
            Law::Linear => even_ticks(self.from, self.to, about),
            Law::Log => {
                let all: Vec<f64> = decades(self.from, self.to)
                    .into_iter()
                    .flat_map(|d| [1.0, 2.0, 5.0].map(|m| m * d))
                    .filter(|v| *v >= self.from * 0.999 && *v <= self.to * 1.001)
                    .collect();
                if all.len() <= about + 3 {
                    all
                } else {
                    decades(self.from, self.to).into_iter().filter(|v| *v >= self.from * 0.999).collect()
                }
            }
            Law::SignedLog(even) => {
                let side = |reach: f64| decades(even, reach).into_iter().filter(|v| *v > even * 0.999).collect();
                let (below, above): (Vec<f64>, Vec<f64>) = (side(-self.from), side(self.to));
                let thin = (below.len() + above.len()).div_ceil(about.max(1));
                let every = |side: Vec<f64>| side.into_iter().rev().step_by(thin.max(1)).collect::<Vec<_>>();
                let mut ticks: Vec<f64> = every(below).into_iter().map(|v| -v).collect();
                ticks.push(0.0);
                ticks.extend(every(above).into_iter().rev());
                ticks
            }
        }
    }
}

/// Powers of ten from at or below `from` to at most `to`.
fn decades(from: f64, to: f64) -> Vec<f64> {
    if from <= 0.0 || to < from {
        return Vec::new();
    }
    let first = from.log10().floor() as i32;
    let last = (to * 1.001).log10().floor() as i32;
    (first..=last).map(|n| 10_f64.powi(n)).collect()
}

/// Round values between two ends, about so many.
fn even_ticks(from: f64, to: f64, about: usize) -> Vec<f64> {
    let span = to - from;
    if span.is_nan() || span <= 0.0 {
        return vec![from];
    }
    let raw = span / about.max(1) as f64;
    let magnitude = 10_f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .map(|m| m * magnitude)
        .into_iter()
        .find(|step| span / step <= about as f64 + 0.5)
        .unwrap_or(10.0 * magnitude);
    let first = (from / step - 1e-9).ceil() as i64;
    let last = (to / step + 1e-9).floor() as i64;
    (first..=last).map(|n| n as f64 * step).collect()
}

/// A tick's value with only the decimals it needs, and a true minus sign.
#[must_use]
pub fn tick_label(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let decimals = (0..6).find(|d| {
        let factor = 10_f64.powi(*d);
        ((value * factor).round() / factor - value).abs() < value.abs() * 1e-6
    });
    let text = format!("{:.*}", decimals.unwrap_or(3) as usize, value.abs());
    let text = if value.abs() >= 10_000.0 { crate::words::thousands(value.abs()) } else { text };
    if value < 0.0 { format!("−{text}") } else { text }
}

/// A panel being drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panel {
    /// Where the data are drawn.
    pub area: Rect,
    /// The level axis.
    pub x: Scale,
    /// The upright axis.
    pub y: Scale,
}

impl Panel {
    /// Where a pair of values lies.
    #[must_use]
    pub fn at(&self, x: f64, y: f64) -> Point {
        (self.x_at(x), self.y_at(y))
    }

    /// Where a value of the level axis lies.
    #[must_use]
    pub fn x_at(&self, x: f64) -> f64 {
        if x.is_finite() { self.area.left + self.x.place(x) * self.area.width() } else { f64::NAN }
    }

    /// Where a value of the upright axis lies.
    #[must_use]
    pub fn y_at(&self, y: f64) -> f64 {
        if y.is_finite() { self.area.bottom - self.y.place(y) * self.area.height() } else { f64::NAN }
    }

    /// Level grid lines with their values at the left.
    pub fn y_axis(&self, sketch: &mut Sketch, format: Format, ticks: &[f64], labelled: bool) {
        self.y_axis_named(sketch, format, ticks, labelled.then_some(tick_label as fn(f64) -> String));
    }

    /// The same with words of one's own for the values, or none.
    pub fn y_axis_named(&self, sketch: &mut Sketch, format: Format, ticks: &[f64], label: Option<fn(f64) -> String>) {
        let kind = Type::new(format.small()).ink(QUIET).right();
        let mut taken: Vec<f64> = Vec::new();
        let (zero, others): (Vec<f64>, Vec<f64>) = ticks.iter().partition(|tick| **tick == 0.0);
        for tick in others.into_iter().chain(zero).rev() {
            let y = self.y_at(tick);
            let ink = if tick == 0.0 { AXIS } else { GRID };
            sketch.line([(self.area.left, y), (self.area.right, y)], Pen::hair(ink));
            // Zero has the first claim to its place; values crowded about it go without.
            let free = taken.iter().all(|other| (other - y).abs() >= kind.size * 1.05);
            if let Some(label) = label.filter(|_| free) {
                sketch.words((self.area.left - 6.0, y + kind.size * 0.35), label(tick), kind);
                taken.push(y);
            }
        }
    }

    /// Values below the level axis, with upright grid lines where wanted.
    ///
    /// Labels that would touch the one before are left out; the first and last are pulled in so as not to reach
    /// further than `overhang` beyond the panel. Gives back the bottom edge of the labels.
    pub fn x_axis(
        &self,
        sketch: &mut Sketch,
        format: Format,
        ticks: &[(f64, String)],
        lines: bool,
        overhang: f64,
    ) -> f64 {
        let kind = Type::new(format.small()).ink(QUIET).middle();
        let baseline = self.area.bottom + kind.size * 1.25;
        let mut free_from = f64::NEG_INFINITY;
        for (value, label) in ticks {
            let x = self.x_at(*value);
            if lines {
                sketch.line([(x, self.area.top), (x, self.area.bottom)], Pen::hair(GRID));
            }
            let half = kind.width(label) / 2.0;
            let middle = x.clamp(
                self.area.left - overhang + half,
                (self.area.right + overhang - half).max(self.area.left - overhang + half),
            );
            if middle - half >= free_from {
                sketch.words((middle, baseline), label.as_str(), kind);
                free_from = middle + half + kind.size * 0.4;
            }
        }
        self.area.bottom + kind.size * 1.6
    }

    /// The title of the level axis, in the middle below its labels; gives back its bottom edge.
    pub fn x_title(&self, sketch: &mut Sketch, format: Format, top: f64, title: &str) -> f64 {
        let kind = Type::new(format.small()).ink(TEXT).middle();
        let middle = (self.area.left + self.area.right) / 2.0;
        let most = (2.0 * (middle - 2.0)).min(2.0 * (sketch.width - middle - 2.0)).max(60.0);
        sketch.paragraph((middle, top), title, kind, most)
    }
}

/// Shifts labels of the given heights apart so that none overlaps, each as near to where it wants to be as possible.
///
/// `wanted` are middles, in any order; gives back middles in the same order, between `low` and `high` if they fit.
#[must_use]
pub fn spread(wanted: &[f64], heights: &[f64], low: f64, high: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|&a, &b| wanted[a].total_cmp(&wanted[b]).then(a.cmp(&b)));
    let mut placed = wanted.to_vec();
    // Groups of touching labels share one shift: the mean of what their members want.
    let mut groups: Vec<(Vec<usize>, f64)> = Vec::new(); // members, top edge
    let height_of = |members: &[usize]| members.iter().map(|&i| heights[i]).sum::<f64>();
    let settle = |members: &[usize]| {
        let mut before = 0.0;
        let mut sum = 0.0;
        for &i in members {
            sum += wanted[i] - before - heights[i] / 2.0;
            before += heights[i];
        }
        (sum / members.len() as f64).min(high - before).max(low)
    };
    for i in order {
        groups.push((vec![i], settle(&[i])));
        while let [.., (above, top_above), (_, top)] = groups.as_slice()
            && top_above + height_of(above) > *top + 1e-9
        {
            let (members, _) = groups.pop().expect("two groups");
            let (mut joined, _) = groups.pop().expect("two groups");
            joined.extend(members);
            let top = settle(&joined);
            groups.push((joined, top));
        }
    }
    for (members, top) in groups {
        let mut edge = top;
        for i in members {
            placed[i] = edge + heights[i] / 2.0;
            edge += heights[i];
        }
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_inside() {
        assert_eq!(Scale::linear(0.0, 100.0).ticks(5), [0.0, 20.0, 40.0, 60.0, 80.0, 100.0]);
        assert_eq!(Scale::linear(-7.0, 12.0).ticks(4), [-5.0, 0.0, 5.0, 10.0]);
        assert_eq!(Scale::log(20.0, 500.0).ticks(6), [20.0, 50.0, 100.0, 200.0, 500.0]);
        let signed = Scale { from: -10.0, to: 100.0, law: Law::SignedLog(1.0) };
        assert_eq!(signed.ticks(6), [-10.0, -1.0, 0.0, 1.0, 10.0, 100.0]);
    }

    #[test]
    fn signed_logarithm_is_even_about_zero_and_rises() {
        let scale = Scale { from: -100.0, to: 100.0, law: Law::SignedLog(1.0) };
        assert!((scale.place(0.0) - 0.5).abs() < 1e-12);
        assert!((scale.place(10.0) - (1.0 - scale.place(-10.0))).abs() < 1e-12);
        let places: Vec<f64> = [-100.0, -1.0, -0.5, 0.0, 0.5, 1.0, 50.0].map(|v| scale.place(v)).to_vec();
        assert!(places.windows(2).all(|pair| pair[0] < pair[1]), "{places:?}");
    }

    #[test]
    fn labels_say_no_more_than_they_must() {
        assert_eq!(tick_label(20.0), "20");
        assert_eq!(tick_label(0.05), "0.05");
        assert_eq!(tick_label(-2.5), "−2.5");
        assert_eq!(tick_label(20_000.0), "20\u{a0}000");
    }

    #[test]
    fn crowded_labels_move_apart_and_free_ones_stay() {
        let placed = spread(&[10.0, 11.0, 12.0, 60.0], &[10.0; 4], 0.0, 100.0);
        assert_eq!(placed[3], 60.0);
        let mut near = placed[..3].to_vec();
        near.sort_by(f64::total_cmp);
        assert!(near.windows(2).all(|pair| pair[1] - pair[0] >= 10.0 - 1e-9), "{near:?}");
        assert!(near[0] >= 5.0 && placed[0] < placed[1] && placed[1] < placed[2]);
        let low = spread(&[98.0, 99.0], &[10.0, 10.0], 0.0, 100.0);
        assert!(low.iter().all(|middle| *middle <= 95.0 + 1e-9), "{low:?}");
    }
}
