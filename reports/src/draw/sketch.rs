//! A drawing as a list of shapes in design units, before it becomes SVG or pixels.
//!
//! Charts only add shapes here; [`super::paint`] turns the list into files. Keeping the list apart lets a chart find
//! its height while it draws, and lets tests read every text box. Origin at the top left, y downwards.

use super::font;
use crate::look::{Dash, HAIR, Ink, LEADING, Marker, PAPER, TEXT};

/// A point: x, y.
pub type Point = (f64, f64);

/// A rectangle with its edges along the axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left edge.
    pub left: f64,
    /// Top edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Bottom edge.
    pub bottom: f64,
}

impl Rect {
    /// A rectangle from its left, top, right and bottom edge.
    #[must_use]
    pub fn new(left: f64, top: f64, right: f64, bottom: f64) -> Self {
        Self { left, top, right, bottom }
    }

    /// Distance from left to right.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Distance from top to bottom.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }
}

/// Which point of a text its x stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Its left end.
    Left,
    /// Its middle.
    Middle,
    /// Its right end.
    Right,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Colour.
    pub ink: Ink,
    /// Width.
    pub width: f64,
    /// Broken or not.
    pub dash: Dash,
    /// 1 is opaque.
    pub alpha: f64,
}

impl Pen {
    /// An unbroken opaque line.
    #[must_use]
    pub fn new(ink: Ink, width: f64) -> Self {
        Self { ink, width, dash: Dash::Solid, alpha: 1.0 }
    }

    /// A thin unbroken line.
    #[must_use]
    pub fn hair(ink: Ink) -> Self {
        Self::new(ink, HAIR)
    }

    /// The same with a line style.
    #[must_use]
    pub fn dashed(self, dash: Dash) -> Self {
        Self { dash, ..self }
    }

    /// The same, partly see-through.
    #[must_use]
    pub fn faint(self, alpha: f64) -> Self {
        Self { alpha, ..self }
    }
}

/// How letters are set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Type {
    /// Size of the letters.
    pub size: f64,
    /// Heavy or not.
    pub bold: bool,
    /// Colour.
    pub ink: Ink,
    /// What x means.
    pub align: Align,
}

impl Type {
    /// Plain text from the left.
    #[must_use]
    pub fn new(size: f64) -> Self {
        Self { size, bold: false, ink: TEXT, align: Align::Left }
    }

    /// The same, heavy.
    #[must_use]
    pub fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    /// The same in another ink.
    #[must_use]
    pub fn ink(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    /// The same, set around its middle.
    #[must_use]
    pub fn middle(self) -> Self {
        Self { align: Align::Middle, ..self }
    }

    /// The same, ending at x.
    #[must_use]
    pub fn right(self) -> Self {
        Self { align: Align::Right, ..self }
    }

    /// Width that a text takes.
    #[must_use]
    pub fn width(&self, text: &str) -> f64 {
        font::width(text, self.size, self.bold)
    }

    /// Distance between two baselines.
    #[must_use]
    pub fn leading(&self) -> f64 {
        self.size * LEADING
    }
}

/// One thing drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A line through points.
    Line {
        /// Its points.
        points: Vec<Point>,
        /// How it is drawn.
        pen: Pen,
    },
    /// A filled outline.
    Area {
        /// Its corners.
        points: Vec<Point>,
        /// Colour.
        ink: Ink,
        /// 1 is opaque.
        alpha: f64,
    },
    /// A filled circle.
    Disc {
        /// Its middle.
        centre: Point,
        /// Its radius.
        radius: f64,
        /// Colour.
        ink: Ink,
    },
    /// A line of text.
    Words {
        /// x as the type's alignment says, y of the baseline.
        at: Point,
        /// The text.
        text: String,
        /// How it is set.
        kind: Type,
    },
}

/// A drawing: its size and its shapes, later ones on top.
#[derive(Debug, Clone, PartialEq)]
pub struct Sketch {
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// What is drawn, from the back to the front.
    pub shapes: Vec<Shape>,
}

impl Sketch {
    /// An empty drawing of a width; its height grows with [`Sketch::reach`].
    #[must_use]
    pub fn new(width: f64) -> Self {
        Self { width, height: 0.0, shapes: Vec::new() }
    }

    /// Makes the drawing at least this high.
    pub fn reach(&mut self, y: f64) {
        self.height = self.height.max(y);
    }

    /// A line; points that are not numbers break it.
    pub fn line(&mut self, points: impl IntoIterator<Item = Point>, pen: Pen) {
        let mut run: Vec<Point> = Vec::new();
        for point in points {
            if point.0.is_finite() && point.1.is_finite() {
                run.push(point);
            } else if run.len() > 1 {
                self.shapes.push(Shape::Line { points: std::mem::take(&mut run), pen });
            } else {
                run.clear();
            }
        }
        if run.len() > 1 {
            self.shapes.push(Shape::Line { points: run, pen });
        }
    }

    /// A filled outline.
    pub fn area(&mut self, points: Vec<Point>, ink: Ink, alpha: f64) {
        if points.len() > 2 && points.iter().all(|p| p.0.is_finite() && p.1.is_finite()) {
            self.shapes.push(Shape::Area { points, ink, alpha });
        }
    }

    /// A filled rectangle.
    pub fn block(&mut self, rect: Rect, ink: Ink, alpha: f64) {
        if rect.width() > 0.0 && rect.height() > 0.0 {
            let Rect { left, top, right, bottom } = rect;
            self.area(vec![(left, top), (right, top), (right, bottom), (left, bottom)], ink, alpha);
        }
    }

    /// The outline of a rectangle.
    pub fn outline(&mut self, rect: Rect, pen: Pen) {
        let Rect { left, top, right, bottom } = rect;
        self.line([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)], pen);
    }

    /// The space between a lower and an upper line, as (x, lower y, upper y); gaps where a value is not a number.
    pub fn ribbon(&mut self, points: &[(f64, f64, f64)], ink: Ink, alpha: f64) {
        for run in points.split(|p| !(p.0.is_finite() && p.1.is_finite() && p.2.is_finite())) {
            let upper = run.iter().map(|p| (p.0, p.2));
            let lower = run.iter().rev().map(|p| (p.0, p.1));
            self.area(upper.chain(lower).collect(), ink, alpha);
        }
    }

    /// Lines that rise from left to right inside a rectangle, a step apart.
    pub fn hatch(&mut self, rect: Rect, step: f64, pen: Pen) {
        let (w, h) = (rect.width(), rect.height());
        let mut offset = step;
        while offset < w + h {
            let from = if offset < h { (0.0, offset) } else { (offset - h, h) };
            let to = if offset < w { (offset, 0.0) } else { (w, offset - w) };
            self.line([(rect.left + from.0, rect.top + from.1), (rect.left + to.0, rect.top + to.1)], pen);
            offset += step;
        }
    }

    /// Level lines across a rectangle, a step apart and as far from both its edges.
    pub fn level_hatch(&mut self, rect: Rect, step: f64, pen: Pen) {
        let count = ((rect.height() / step).floor() as usize).max(1);
        let margin = (rect.height() - (count - 1) as f64 * step) / 2.0;
        for n in 0..count {
            let y = rect.top + margin + n as f64 * step;
            self.line([(rect.left, y), (rect.right, y)], pen);
        }
    }

    /// One line of text on a baseline.
    pub fn words(&mut self, at: Point, text: impl Into<String>, kind: Type) {
        let text = text.into();
        if !text.is_empty() {
            self.shapes.push(Shape::Words { at, text, kind });
        }
    }

    /// Text broken into lines no wider than `most`, from the top edge `at.1` down; gives back the bottom edge.
    pub fn paragraph(&mut self, at: Point, text: &str, kind: Type, most: f64) -> f64 {
        let lines = font::wrap(text, kind.size, kind.bold, most);
        self.lines(at, &lines, kind)
    }

    /// Lines of text from the top edge `at.1` down; gives back the bottom edge.
    pub fn lines(&mut self, at: Point, lines: &[String], kind: Type) -> f64 {
        for (n, line) in lines.iter().enumerate() {
            let baseline = at.1 + n as f64 * kind.leading() + kind.size * 0.95;
            self.words((at.0, baseline), line.as_str(), kind);
        }
        at.1 + lines.len() as f64 * kind.leading()
    }

    /// A mark; `full` ones are filled with their ink, open ones with paper.
    pub fn mark(&mut self, at: Point, marker: Marker, radius: f64, ink: Ink, full: bool) {
        if !(at.0.is_finite() && at.1.is_finite()) {
            return;
        }
        if marker == Marker::Disc {
            self.shapes.push(Shape::Disc { centre: at, radius, ink });
            if !full {
                self.shapes.push(Shape::Disc { centre: at, radius: radius - 1.7, ink: PAPER });
            }
            return;
        }
        let outline = |r: f64| -> Vec<Point> {
            let corners: &[Point] = match marker {
                Marker::Square => &[(-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)],
                Marker::Up => &[(0.0, -1.2), (1.15, 0.85), (-1.15, 0.85)],
                Marker::Down => &[(0.0, 1.2), (1.15, -0.85), (-1.15, -0.85)],
                Marker::Diamond | Marker::Disc => &[(0.0, -1.3), (1.1, 0.0), (0.0, 1.3), (-1.1, 0.0)],
                Marker::Cross => &[
                    (-0.4, -1.2),
                    (0.4, -1.2),
                    (0.4, -0.4),
                    (1.2, -0.4),
                    (1.2, 0.4),
                    (0.4, 0.4),
                    (0.4, 1.2),
                    (-0.4, 1.2),
                    (-0.4, 0.4),
                    (-1.2, 0.4),
                    (-1.2, -0.4),
                    (-0.4, -0.4),
                ],
            };
            corners.iter().map(|c| (at.0 + c.0 * r, at.1 + c.1 * r)).collect()
        };
        self.area(outline(radius), ink, 1.0);
        if !full {
            let inner = if marker == Marker::Cross { radius * 0.45 } else { radius * 0.52 };
            self.area(outline(inner), PAPER, 1.0);
        }
    }

    /// Adds another drawing with its top left corner at `at`.
    pub fn place(&mut self, other: Sketch, at: Point) {
        let moved = |p: Point| (p.0 + at.0, p.1 + at.1);
        self.shapes.extend(other.shapes.into_iter().map(|shape| match shape {
            Shape::Line { points, pen } => Shape::Line { points: points.into_iter().map(moved).collect(), pen },
            Shape::Area { points, ink, alpha } => {
                Shape::Area { points: points.into_iter().map(moved).collect(), ink, alpha }
            }
            Shape::Disc { centre, radius, ink } => Shape::Disc { centre: moved(centre), radius, ink },
            Shape::Words { at, text, kind } => Shape::Words { at: moved(at), text, kind },
        }));
        self.reach(at.1 + other.height);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_broken_where_a_value_is_missing() {
        let mut sketch = Sketch::new(100.0);
        let points = [(0.0, 1.0), (1.0, 1.0), (2.0, f64::NAN), (3.0, 1.0), (4.0, f64::NAN), (5.0, 1.0), (6.0, 2.0)];
        sketch.line(points, Pen::hair(TEXT));
        assert_eq!(sketch.shapes.len(), 2, "the lone point in the middle draws nothing");
    }

    #[test]
    fn hatching_stays_inside_its_rectangle() {
        let mut sketch = Sketch::new(100.0);
        let rect = Rect::new(10.0, 10.0, 50.0, 22.0);
        sketch.hatch(rect, 5.0, Pen::hair(TEXT));
        assert!(sketch.shapes.len() > 5);
        let rising = sketch.shapes.len();
        sketch.level_hatch(rect, 5.0, Pen::hair(TEXT));
        assert_eq!(sketch.shapes.len(), rising + 2, "two level lines fit into 12 units");
        for shape in &sketch.shapes {
            let Shape::Line { points, .. } = shape else { panic!("only lines") };
            assert!(points.iter().all(|p| (10.0..=50.0).contains(&p.0) && (10.0..=22.0).contains(&p.1)), "{points:?}");
        }
    }
}
