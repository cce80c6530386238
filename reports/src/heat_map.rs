//! A map of numbers: panels of shaded cells with the number in each, for pictures in the documentation.
//!
//! Knows nothing of what the numbers mean; whoever makes the map says how dark a cell is and which are harmful.

use crate::chart::{Chart, Fill, Hatch, Swatch, key};
use crate::draw::font;
use crate::draw::sketch::{Pen, Rect, Sketch, Type};
use crate::look::{EQUIPMENT, Format, HARM, PAPER, QUIET, TEXT};

/// Height of a cell.
const CELL: f64 = 27.0;
/// Room for the names of rows.
const ROW_NAMES: f64 = 46.0;
/// How strongly the lightest and the darkest harmless cell and a harmful one are filled.
const ALPHAS: (f64, f64, f64) = (0.0, 0.38, 0.92);

/// A map of numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatMap {
    /// Stem of its file names.
    pub id: &'static str,
    /// The finding.
    pub title: String,
    /// What to see.
    pub caption: String,
    /// What the picture shows, for those who do not see it.
    pub alt: String,
    /// What the columns of every panel are, with a unit.
    pub columns: String,
    /// What the rows of every panel are, with a unit.
    pub rows: String,
    /// What a harmful cell means.
    pub harmful: String,
    /// The panels, two side by side.
    pub panels: Vec<HeatPanel>,
}

/// One panel.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatPanel {
    /// What stands above it.
    pub head: String,
    /// Names of the columns.
    pub columns: Vec<String>,
    /// Names of the rows, from the top.
    pub rows: Vec<String>,
    /// Cells by row, then column.
    pub cells: Vec<Vec<HeatCell>>,
}

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatCell {
    /// Its number.
    pub text: String,
    /// How dark it is among the harmless ones, 0 to 1.
    pub shade: f64,
    /// True where it does harm: dark, with its number in bold white and an edge in the ink of harm.
    pub is_harmful: bool,
}

/// The map as a chart.
#[must_use]
pub fn heat_map(map: &HeatMap) -> Chart {
    Chart::new(map.id, map.title.clone(), map.caption.clone(), map.alt.clone(), |format| draw(map, format))
}

fn draw(map: &HeatMap, format: Format) -> Sketch {
    let mut sketch = Sketch::new(format.width());
    let gap = format.gap();
    let harmful = Fill { ink: EQUIPMENT, alpha: ALPHAS.2, hatch: Hatch::None };
    let entries = [(Swatch::Block(harmful), map.harmful.clone())];
    let y = key(&mut sketch, format, Rect::new(gap, gap * 0.4, format.width() - gap, f64::INFINITY), &entries);
    let small = Type::new(format.small());
    let mut y = sketch.paragraph((gap, y), &map.rows, small.ink(QUIET), format.width() - 2.0 * gap) + 6.0;
    let side_by_side = if format.is_narrow() { 1 } else { 2 };
    let width = (format.width() - 2.0 * gap - ROW_NAMES - (side_by_side - 1) as f64 * gap) / side_by_side as f64;
    let head = Type::new(format.label()).bold();
    for panels in map.panels.chunks(side_by_side) {
        let heads: Vec<Vec<String>> =
            panels.iter().map(|panel| font::wrap(&panel.head, head.size, head.bold, width)).collect();
        let top = y + heads.iter().map(Vec::len).max().unwrap_or(0) as f64 * head.leading() + 3.0;
        let mut bottom = y;
        for (n, panel) in panels.iter().enumerate() {
            let left = gap + ROW_NAMES + n as f64 * (width + gap);
            sketch.lines((left, y), &heads[n], head);
            let area = Rect::new(left, top, left + width, top + CELL * panel.cells.len() as f64);
            cells(&mut sketch, format, panel, area);
            if n == 0 {
                row_names(&mut sketch, format, panel, top);
            }
            let titled = sketch.paragraph(
                ((area.left + area.right) / 2.0, area.bottom + small.leading() + 2.0),
                &map.columns,
                small.middle(),
                width,
            );
            bottom = bottom.max(titled);
        }
        y = bottom + gap * 0.6;
    }
    sketch.reach(y);
    sketch
}

fn row_names(sketch: &mut Sketch, format: Format, panel: &HeatPanel, top: f64) {
    let kind = Type::new(format.small()).ink(QUIET).right();
    for (n, name) in panel.rows.iter().enumerate() {
        let middle = top + CELL * (n as f64 + 0.5);
        sketch.words((format.gap() + ROW_NAMES - 6.0, middle + kind.size * 0.36), name.as_str(), kind);
    }
}

fn cells(sketch: &mut Sketch, format: Format, panel: &HeatPanel, area: Rect) {
    let small = Type::new(format.small()).middle();
    let width = area.width() / panel.columns.len().max(1) as f64;
    let left = |column: usize| area.left + width * column as f64;
    for (row, cells) in panel.cells.iter().enumerate() {
        for (column, cell) in cells.iter().enumerate() {
            let top = area.top + CELL * row as f64;
            let rect = Rect::new(left(column) + 1.0, top + 1.0, left(column) + width - 1.0, top + CELL - 1.0);
            let (alpha, kind) = if cell.is_harmful {
                (ALPHAS.2, small.bold().ink(PAPER))
            } else {
                (ALPHAS.0 + (ALPHAS.1 - ALPHAS.0) * cell.shade.clamp(0.0, 1.0), small.ink(TEXT))
            };
            sketch.block(rect, EQUIPMENT, alpha);
            let edge = if cell.is_harmful { Pen::new(HARM, 2.0) } else { Pen::hair(QUIET).faint(0.5) };
            sketch.outline(rect, edge);
            let at = ((rect.left + rect.right) / 2.0, (rect.top + rect.bottom) / 2.0 + kind.size * 0.36);
            sketch.words(at, cell.text.as_str(), kind);
        }
    }
    for (column, name) in panel.columns.iter().enumerate() {
        let at = (left(column) + width / 2.0, area.bottom + small.size * 1.1);
        sketch.words(at, name.as_str(), small.ink(QUIET));
    }
}
