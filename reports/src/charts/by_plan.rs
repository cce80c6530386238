//! Small panels side by side, one a plan, each under its plan's head. Knows no data.

use crate::chart::{head, head_height};
use crate::draw::sketch::Sketch;
use crate::facts::Facts;
use crate::look::Format;

/// Where the panel of one plan stands.
#[derive(Debug, Clone, Copy)]
pub struct Place {
    /// The plan.
    pub plan: usize,
    /// Its left edge.
    pub left: f64,
    /// Its upper edge, below the head.
    pub top: f64,
    /// Its width.
    pub width: f64,
    /// True for the first of a row, which carries the words of the axis.
    pub is_first: bool,
}

/// Panels that stand side by side.
#[must_use]
pub fn columns(format: Format, plans: usize) -> usize {
    match (format, plans) {
        (Format::Narrow, _) => 1,
        (Format::Wide, n @ 1..=3) => n,
        (Format::Wide, 4) => 2,
        (Format::Wide, _) => 3,
    }
}

/// Draws a panel for each plan, row by row, with so much room for the words of the axis on the left; `draw` gives back the
/// bottom edge of what it drew, and this the bottom edge of all.
pub fn by_plan(
    sketch: &mut Sketch,
    facts: &Facts<'_>,
    plans: &[usize],
    format: Format,
    (top, axis): (f64, f64),
    mut draw: impl FnMut(&mut Sketch, Place) -> f64,
) -> f64 {
    let gap = format.gap();
    let columns = columns(format, plans.len());
    let left = gap + axis;
    let width = (format.width() - left - gap - (columns - 1) as f64 * gap) / columns as f64;
    let mut y = top;
    for row in plans.chunks(columns) {
        let under = y + head_height(format, width, row.iter().map(|&plan| facts.name(plan))) + 8.0;
        let mut bottom = under;
        for (n, &plan) in row.iter().enumerate() {
            let left = left + n as f64 * (width + gap);
            head(sketch, format, (left, y), width, facts.style(plan), facts.name(plan));
            bottom = bottom.max(draw(sketch, Place { plan, left, top: under, width, is_first: n == 0 }));
        }
        y = bottom + gap * 0.6;
    }
    y
}
