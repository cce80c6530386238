//! A chart: its finding, its sentence, its words for those who do not see it, and its two layouts.
//!
//! Also the parts that several charts share: keys, panel heads, rows of small panels. Knows nothing of single charts.

use crate::draw::paint::{PaintError, SvgWords, png, svg};
use crate::draw::sketch::{Pen, Point, Rect, Sketch, Type};
use crate::facts::Facts;
use crate::look::{Format, Ink, LINE, MARK, QUIET, Style, TEXT};

/// A finished chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// Stem of its file names.
    pub id: &'static str,
    /// The finding.
    pub title: String,
    /// One sentence: what to see; empty when there is nothing to see.
    pub caption: String,
    /// What the picture shows, for those who do not see it.
    pub alt: String,
    wide: Sketch,
    narrow: Sketch,
}

impl Chart {
    /// Lays a chart out for both formats.
    pub fn new(
        id: &'static str,
        title: String,
        caption: impl Into<String>,
        alt: impl Into<String>,
        draw: impl Fn(Format) -> Sketch,
    ) -> Self {
        let [wide, narrow] = Format::ALL.map(draw);
        Self { id, title, caption: caption.into(), alt: alt.into(), wide, narrow }
    }

    /// The picture alone, for a page that prints title and sentence itself.
    ///
    /// # Errors
    /// If it cannot be drawn.
    pub fn inline_svg(&self, format: Format) -> Result<String, PaintError> {
        let (sketch, layout) = match format {
            Format::Wide => (&self.wide, "wide"),
            Format::Narrow => (&self.narrow, "narrow"),
        };
        let id = format!("chart-{}-{layout}", self.id);
        svg(sketch, SvgWords { id: &id, title: &self.title, description: &self.alt })
    }

    /// The wide picture with title and sentence, as a file of its own.
    ///
    /// # Errors
    /// If it cannot be drawn.
    pub fn file_svg(&self) -> Result<String, PaintError> {
        svg(&self.with_heading(), SvgWords { id: "chart", title: &self.title, description: &self.alt })
    }

    /// The same as PNG.
    ///
    /// # Errors
    /// If it cannot be drawn or encoded.
    pub fn file_png(&self) -> Result<Vec<u8>, PaintError> {
        png(&self.with_heading())
    }

    fn with_heading(&self) -> Sketch {
        let format = Format::Wide;
        let (gap, width) = (format.gap(), format.width());
        let mut sketch = Sketch::new(width);
        let title = Type::new(format.title()).bold();
        let bottom = sketch.paragraph((gap, gap), &self.title, title, width - 2.0 * gap);
        let sentence = Type::new(format.label()).ink(QUIET);
        let bottom = if self.caption.is_empty() {
            bottom
        } else {
            sketch.paragraph((gap, bottom + 4.0), &self.caption, sentence, width - 2.0 * gap)
        };
        sketch.place(self.wide.clone(), (0.0, bottom + 6.0));
        sketch
    }
}

/// What stands before a word in a key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Swatch {
    /// A line with its mark.
    Line(Style),
    /// A line without a mark.
    Plain(Pen),
    /// A mark alone, full or open.
    Mark(Style, bool),
    /// A filled block with an optional hatching, as chart 3 paints causes.
    Block(Fill),
    /// A keeper's visit, as chart 4 paints it.
    Visit,
}

/// A filling that grey print can tell apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fill {
    /// Colour.
    pub ink: Ink,
    /// 1 is opaque.
    pub alpha: f64,
    /// Lines over it.
    pub hatch: Hatch,
}

/// Lines over a filling; their direction survives grey print.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hatch {
    /// A plain filling.
    None,
    /// Lines that rise from left to right, so far apart.
    Rising(f64),
    /// Level lines, so far apart.
    Level(f64),
}

impl Fill {
    /// Fills a rectangle.
    pub fn paint(self, sketch: &mut Sketch, rect: Rect) {
        sketch.block(rect, self.ink, self.alpha);
        let pen = Pen::new(self.ink, 1.0);
        match self.hatch {
            Hatch::None => {}
            Hatch::Rising(step) => sketch.hatch(rect, step, pen),
            Hatch::Level(step) => sketch.level_hatch(rect, step, pen),
        }
        sketch.outline(rect, Pen::new(self.ink, 0.8));
    }
}

/// A keeper's visit: a stroke when it is planned, a grey block for as long as it may be late.
pub fn visit(sketch: &mut Sketch, at: Point, late_until: f64) {
    sketch.block(Rect::new(at.0, at.1 - 5.0, late_until.max(at.0 + 2.0), at.1 + 5.0), TEXT, 0.25);
    sketch.block(Rect::new(at.0 - 1.2, at.1 - 7.0, at.0 + 1.2, at.1 + 7.0), TEXT, 1.0);
}

/// Room that a swatch takes before its words.
fn swatch_width(swatch: Swatch) -> f64 {
    match swatch {
        Swatch::Line(_) | Swatch::Plain(_) => 34.0,
        Swatch::Mark(..) => 12.0,
        Swatch::Block(_) => 20.0,
        Swatch::Visit => 16.0,
    }
}

/// Draws one swatch with its left end and middle height at `at`.
fn swatch(sketch: &mut Sketch, at: Point, swatch: Swatch) {
    let width = swatch_width(swatch);
    match swatch {
        Swatch::Line(style) => {
            sketch.line([at, (at.0 + width, at.1)], Pen::new(style.ink, LINE).dashed(style.dash));
            sketch.mark((at.0 + width / 2.0, at.1), style.marker, MARK, style.ink, true);
        }
        Swatch::Plain(pen) => sketch.line([at, (at.0 + width, at.1)], pen),
        Swatch::Mark(style, full) => {
            sketch.mark((at.0 + width / 2.0, at.1), style.marker, MARK + 0.5, style.ink, full);
        }
        Swatch::Block(fill) => fill.paint(sketch, Rect::new(at.0, at.1 - 6.0, at.0 + width, at.1 + 6.0)),
        Swatch::Visit => visit(sketch, (at.0 + 3.0, at.1), at.0 + width),
    }
}

/// A key: swatches with words, flowing from left to right and then down; gives back its bottom edge.
pub fn key(sketch: &mut Sketch, format: Format, rect: Rect, entries: &[(Swatch, String)]) -> f64 {
    let kind = Type::new(format.small());
    let row = kind.leading() + 3.0;
    let (mut x, mut y) = (rect.left, rect.top);
    for (what, text) in entries {
        let before = swatch_width(*what) + 7.0;
        let whole = before + kind.width(text);
        if x > rect.left && x + whole > rect.right {
            x = rect.left;
            y += row;
        }
        swatch(sketch, (x, y + row / 2.0), *what);
        let lines = crate::draw::font::wrap(text, kind.size, kind.bold, rect.right - x - before);
        sketch.lines((x + before, y + (row - kind.leading()) / 2.0 + 1.0), &lines, kind);
        if lines.len() > 1 {
            x = rect.left;
            y += row + (lines.len() - 1) as f64 * kind.leading();
        } else {
            x += whole + 18.0;
        }
    }
    if x > rect.left { y + row } else { y }
}

/// The head of a small panel: a plan's mark and its name in at most three lines; gives back its bottom edge.
pub fn head(sketch: &mut Sketch, format: Format, at: Point, width: f64, style: Style, name: &str) -> f64 {
    let kind = Type::new(format.label()).bold();
    let lines = head_lines(format, width, name);
    sketch.mark((at.0 + 6.0, at.1 + kind.size * 0.6), style.marker, MARK + 1.0, style.ink, true);
    sketch.lines((at.0 + 18.0, at.1), &lines, kind)
}

/// Lines that a panel's head takes.
#[must_use]
pub fn head_lines(format: Format, width: f64, name: &str) -> Vec<String> {
    crate::draw::font::wrap_to(name, format.label(), true, width - 18.0, 3)
}

/// Height of the highest of several heads, so that the panels below stand in line.
#[must_use]
pub fn head_height<'a>(format: Format, width: f64, names: impl IntoIterator<Item = &'a str>) -> f64 {
    let lines = names.into_iter().map(|name| head_lines(format, width, name).len()).max().unwrap_or(1);
    lines as f64 * Type::new(format.label()).leading()
}

/// A sentence on plans left out, below a picture; gives back the bottom edge.
pub fn not_drawn(sketch: &mut Sketch, facts: &Facts<'_>, format: Format, top: f64) -> f64 {
    facts.not_drawn().map_or(top, |text| {
        let gap = format.gap();
        sketch.paragraph((gap, top + 4.0), &text, Type::new(format.small()).ink(QUIET), format.width() - 2.0 * gap)
    })
}

/// A sentence in place of a picture, when there is nothing to draw.
#[must_use]
pub fn only_words(format: Format, text: &str) -> Sketch {
    let mut sketch = Sketch::new(format.width());
    let gap = format.gap();
    let bottom = sketch.paragraph((gap, gap), text, Type::new(format.label()), format.width() - 2.0 * gap);
    sketch.reach(bottom + gap);
    sketch
}
