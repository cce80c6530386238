//! From a sketch to SVG text or PNG bytes, through the drawing library's elements and backends.
//!
//! Backends count in whole steps, so both are drawn on a finer grid than they are shown: the SVG is scaled back to
//! design units, the PNG averaged down, which also smooths its edges. Knows nothing of charts.

use std::fmt::Write as _;

use plotters::coord::Shift;
use plotters::element::{Circle, PathElement, Polygon, Text};
use plotters::prelude::{
    BitMapBackend, Color as _, DrawingArea, DrawingBackend, IntoDrawingArea as _, RGBAColor, SVGBackend,
};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{FontDesc, FontFamily, FontStyle, ShapeStyle, TextStyle};

use super::font;
use super::sketch::{Align, Pen, Point, Shape, Sketch, Type};
use crate::look::{Dash, Ink, PAPER};

/// Width of every PNG, px.
pub const PNG_WIDTH: u32 = 1600;
/// Steps of the SVG's grid in a design unit.
const SVG_STEPS: f64 = 4.0;
/// The PNG is drawn this many times as large as it is written.
const PNG_OVERSAMPLING: u32 = 2;

/// What went wrong while drawing.
#[derive(Debug, thiserror::Error)]
pub enum PaintError {
    /// The drawing library refused a shape.
    #[error("a chart could not be drawn: {0}")]
    Draw(String),
    /// The picture could not be encoded.
    #[error("a chart could not be written as PNG: {0}")]
    Png(#[from] png::EncodingError),
}

/// How a backend wants to be asked, so that both draw what the sketch means.
#[derive(Clone, Copy)]
struct Rule {
    /// The library's size for letters of size 1.
    size: f64,
    /// How far above the baseline the library's anchor lies, for letters of size 1.
    rise: f64,
    /// True when sharp corners would grow long spikes: the line is then drawn in parts with round joints.
    joins_by_hand: bool,
}

/// Text that goes into an SVG beside the drawing.
#[derive(Debug, Clone, Copy)]
pub struct SvgWords<'a> {
    /// Unique in its page; ids of title and description are made from it.
    pub id: &'a str,
    /// Short title, read out and shown as a tip.
    pub title: &'a str,
    /// What the picture shows, for those who do not see it.
    pub description: &'a str,
}

/// The sketch as an SVG of one element: real text, a title and a description, sized by whatever holds it.
///
/// # Errors
/// If the drawing library refuses a shape.
pub fn svg(sketch: &Sketch, words: SvgWords<'_>) -> Result<String, PaintError> {
    let size = ((sketch.width * SVG_STEPS).round() as u32, (sketch.height * SVG_STEPS).round() as u32);
    let mut drawn = String::new();
    {
        let area = SVGBackend::with_string(&mut drawn, size).into_drawing_area();
        // The backend divides sizes by 1.24 and puts the baseline 0.76 em below a top anchor.
        paint(sketch, &area, SVG_STEPS, Rule { size: 1.24, rise: 0.76, joins_by_hand: false })?;
        area.present().map_err(|e| PaintError::Draw(e.to_string()))?;
    }
    // The backend's own root carries fixed pixel sizes; only what is inside it is kept.
    let start = drawn.find(">\n").map_or(0, |at| at + 2);
    let end = drawn.rfind("</svg>").unwrap_or(drawn.len());
    let SvgWords { id, title, description } = words;
    let mut out = String::with_capacity(drawn.len() + 600);
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\" \
         aria-labelledby=\"{id}-title {id}-desc\">\n<title id=\"{id}-title\">{}</title>\n<desc id=\"{id}-desc\">{}</desc>\n\
         <g transform=\"scale({})\" stroke-linejoin=\"round\">",
        short(sketch.width),
        short(sketch.height.ceil()),
        escape(title),
        escape(description),
        1.0 / SVG_STEPS,
    );
    out.push_str(&joined_strokes(&drawn[start..end]));
    out.push_str("</g>\n</svg>\n");
    Ok(out)
}

/// The same drawing with neighbouring lines of one style joined into one path: a dashed line comes as one element a
/// dash, which would make most of the file.
fn joined_strokes(drawn: &str) -> String {
    let mut out = String::with_capacity(drawn.len());
    let mut open: Option<&str> = None;
    for line in drawn.lines() {
        let stroke = line
            .strip_prefix("<polyline ")
            .and_then(|rest| rest.split_once("points=\""))
            .and_then(|(style, rest)| Some((style, rest.strip_suffix("\"/>")?.trim_end())));
        if let Some((style, points)) = stroke {
            if open != Some(style) {
                if open.is_some() {
                    out.push_str("\"/>\n");
                }
                let _ = write!(out, "<path {}d=\"", style.replace("opacity=\"1\" ", ""));
                open = Some(style);
            }
            let _ = write!(out, "M{points}");
            continue;
        }
        if open.take().is_some() {
            out.push_str("\"/>\n");
        }
        out.push_str(&line.replace("opacity=\"1\" ", ""));
        out.push('\n');
    }
    if open.is_some() {
        out.push_str("\"/>\n");
    }
    out
}

/// The sketch as a PNG, [`PNG_WIDTH`] pixels wide.
///
/// # Errors
/// If the drawing library refuses a shape or the picture cannot be encoded.
pub fn png(sketch: &Sketch) -> Result<Vec<u8>, PaintError> {
    let scale = f64::from(PNG_WIDTH) / sketch.width;
    let height = (sketch.height * scale).ceil() as u32;
    let fine = (PNG_WIDTH * PNG_OVERSAMPLING, height * PNG_OVERSAMPLING);
    let mut pixels = vec![255_u8; fine.0 as usize * fine.1 as usize * 3];
    {
        let area = BitMapBackend::with_buffer(&mut pixels, fine).into_drawing_area();
        // The library scales line height to the size given and hangs the baseline half of that below a top anchor.
        let em = font::line_height_of_em();
        paint(
            sketch,
            &area,
            scale * f64::from(PNG_OVERSAMPLING),
            Rule { size: em, rise: em / 2.0, joins_by_hand: true },
        )?;
        area.present().map_err(|e| PaintError::Draw(e.to_string()))?;
    }
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, PNG_WIDTH, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    // Flat colours pack best unfiltered.
    encoder.set_filter(png::FilterType::NoFilter);
    encoder.set_compression(png::Compression::Default);
    encoder.write_header()?.write_image_data(&averaged(&pixels, fine.0 as usize))?;
    Ok(out)
}

/// Averages squares of pixels (three bytes each) of a picture `width` pixels wide.
fn averaged(pixels: &[u8], width: usize) -> Vec<u8> {
    let n = PNG_OVERSAMPLING as usize;
    let row = width * 3;
    let mut out = Vec::with_capacity(pixels.len() / (n * n));
    for rows in pixels.chunks_exact(row * n) {
        for x in 0..width / n {
            for channel in 0..3 {
                let sum: u32 = (0..n * n).map(|i| u32::from(rows[(i / n) * row + (x * n + i % n) * 3 + channel])).sum();
                out.push((sum / (PNG_OVERSAMPLING * PNG_OVERSAMPLING)) as u8);
            }
        }
    }
    out
}

fn colour(ink: Ink, alpha: f64) -> RGBAColor {
    RGBAColor(ink.0, ink.1, ink.2, alpha)
}

fn paint<DB: DrawingBackend>(
    sketch: &Sketch,
    area: &DrawingArea<DB, Shift>,
    scale: f64,
    rule: Rule,
) -> Result<(), PaintError> {
    font::make_ready();
    let step = |v: f64| (v * scale).round() as i32;
    let at = |p: &Point| (step(p.0), step(p.1));
    let fail = |e: plotters::drawing::DrawingAreaErrorKind<DB::ErrorType>| PaintError::Draw(e.to_string());
    area.fill(&colour(PAPER, 1.0)).map_err(fail)?;
    for shape in &sketch.shapes {
        match shape {
            Shape::Line { points, pen } => draw_line(area, points, pen, scale, rule).map_err(fail)?,
            Shape::Area { points, ink, alpha } => {
                let points: Vec<(i32, i32)> = points.iter().map(at).collect();
                area.draw(&Polygon::new(points, colour(*ink, *alpha).filled())).map_err(fail)?;
            }
            Shape::Disc { centre, radius, ink } => {
                area.draw(&Circle::new(at(centre), step(*radius), colour(*ink, 1.0).filled())).map_err(fail)?;
            }
            Shape::Words { at: place, text, kind } => {
                let style = text_style(kind, scale, rule);
                let top = (step(place.0), step(place.1 - kind.size * rule.rise));
                area.draw(&Text::new(text.as_str(), top, style)).map_err(fail)?;
            }
        }
    }
    Ok(())
}

fn draw_line<DB: DrawingBackend>(
    area: &DrawingArea<DB, Shift>,
    points: &[Point],
    pen: &Pen,
    scale: f64,
    rule: Rule,
) -> Result<(), plotters::drawing::DrawingAreaErrorKind<DB::ErrorType>> {
    let width = (pen.width * scale).round().max(1.0);
    let style: ShapeStyle = colour(pen.ink, pen.alpha).stroke_width(width as u32);
    let pieces = match pen.dash {
        Dash::Solid => vec![points.to_vec()],
        Dash::Broken(on, off) => dashes(points, f64::from(on), f64::from(off)),
    };
    for piece in pieces {
        let mut steps: Vec<(i32, i32)> =
            piece.iter().map(|p| ((p.0 * scale).round() as i32, (p.1 * scale).round() as i32)).collect();
        steps.dedup();
        if !rule.joins_by_hand || steps.len() < 3 {
            area.draw(&PathElement::new(steps, style))?;
            continue;
        }
        for pair in steps.windows(2) {
            area.draw(&PathElement::new(pair.to_vec(), style))?;
        }
        for joint in &steps[1..steps.len() - 1] {
            area.draw(&Circle::new(*joint, (width / 2.0).floor() as i32, style.filled()))?;
        }
    }
    Ok(())
}

/// Cuts a line into dashes of a length with gaps of a length, going on round its corners.
fn dashes(points: &[Point], on: f64, off: f64) -> Vec<Vec<Point>> {
    let mut pieces: Vec<Vec<Point>> = Vec::new();
    let (mut drawing, mut left) = (true, on);
    for pair in points.windows(2) {
        let (mut from, to) = (pair[0], pair[1]);
        if drawing && pieces.last().and_then(|piece| piece.last()) != Some(&from) {
            pieces.push(vec![from]);
        }
        loop {
            let length = (to.0 - from.0).hypot(to.1 - from.1);
            let end = if length > left {
                let share = left / length;
                (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share)
            } else {
                to
            };
            if drawing && let Some(piece) = pieces.last_mut() {
                piece.push(end);
            }
            if length <= left {
                left -= length;
                break;
            }
            from = end;
            drawing = !drawing;
            left = if drawing { on } else { off };
            if drawing {
                pieces.push(vec![from]);
            }
        }
    }
    pieces
}

fn text_style(kind: &Type, scale: f64, rule: Rule) -> TextStyle<'static> {
    let anchor = match kind.align {
        Align::Left => HPos::Left,
        Align::Middle => HPos::Center,
        Align::Right => HPos::Right,
    };
    let weight = if kind.bold { FontStyle::Bold } else { FontStyle::Normal };
    let font = FontDesc::new(FontFamily::Name(font::FAMILY), kind.size * scale * rule.size, weight);
    TextStyle { font, color: colour(kind.ink, 1.0).to_backend_color(), pos: Pos::new(anchor, VPos::Top) }
}

/// A number with at most two decimals and no trailing zeros.
fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Text made safe for XML content and attributes.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    // The page builder's escaper is the one used for everything else in the report.
    let _ = write!(maud::Escaper::new(&mut out), "{text}");
    // XML 1.0 has no place for control characters other than these.
    out.retain(|c| !c.is_control() || matches!(c, '\n' | '\t'));
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::sketch::Rect;

    fn picture() -> Sketch {
        let mut sketch = Sketch::new(100.0);
        sketch.block(Rect::new(10.0, 10.0, 50.0, 30.0), Ink(0, 0, 0), 1.0);
        sketch.words((10.0, 45.0), "a < b & \"c\"", Type::new(12.0));
        sketch.reach(60.0);
        sketch
    }

    #[test]
    fn an_svg_keeps_text_as_text_and_has_no_fixed_size() {
        let words = SvgWords { id: "x", title: "<title>", description: "5 > 4 & 3 \u{7}" };
        let text = svg(&picture(), words).unwrap();
        let parsed = roxmltree::Document::parse(&text).expect("well-formed");
        let root = parsed.root_element();
        assert_eq!(root.attribute("viewBox"), Some("0 0 100 60"));
        assert!(root.attribute("width").is_none() && root.attribute("height").is_none());
        let words = parsed.descendants().find(|n| n.has_tag_name("text")).unwrap();
        assert_eq!(words.text().unwrap().trim(), "a < b & \"c\"");
        let desc = parsed.descendants().find(|n| n.has_tag_name("desc")).unwrap();
        assert_eq!(desc.text(), Some("5 > 4 & 3 "));
    }

    #[test]
    fn dashes_cover_their_share_of_a_line_and_bend_with_it() {
        let length =
            |piece: &Vec<Point>| -> f64 { piece.windows(2).map(|p| (p[1].0 - p[0].0).hypot(p[1].1 - p[0].1)).sum() };
        let pieces = dashes(&[(0.0, 0.0), (7.0, 0.0), (7.0, 13.0)], 3.0, 2.0);
        let lengths: Vec<f64> = pieces.iter().map(length).collect();
        assert_eq!(lengths.len(), 4, "{pieces:?}");
        assert!(lengths.iter().all(|l| (l - 3.0).abs() < 1e-9), "{lengths:?}");
        assert_eq!(pieces[1], [(5.0, 0.0), (7.0, 0.0), (7.0, 1.0)], "one dash goes round the corner");
    }

    #[test]
    fn a_sharp_corner_grows_no_spike_in_a_png() {
        let mut sketch = Sketch::new(100.0);
        sketch.line([(50.0, 30.0), (50.0 + 1.0 / 32.0, 28.0), (50.0 + 1.0 / 32.0, 30.0)], Pen::new(Ink(0, 0, 0), 1.9));
        sketch.reach(60.0);
        let bytes = png(&sketch).unwrap();
        let mut reader = png::Decoder::new(bytes.as_slice()).read_info().unwrap();
        let mut pixels = vec![0; reader.output_buffer_size()];
        reader.next_frame(&mut pixels).unwrap();
        let inked = |y: &usize| (0..1600).any(|x| pixels[(y * 1600 + x) * 3] < 200);
        let (first, last) = ((0..960).find(inked).unwrap(), (0..960).rev().find(inked).unwrap());
        assert!(first >= 448 - 20 && last <= 480 + 20, "ink from row {first} to {last} instead of 448 to 480");
    }

    #[test]
    fn a_png_has_its_shapes_where_the_sketch_has_them() {
        let bytes = png(&picture()).unwrap();
        let mut reader = png::Decoder::new(bytes.as_slice()).read_info().unwrap();
        let mut pixels = vec![0; reader.output_buffer_size()];
        let info = reader.next_frame(&mut pixels).unwrap();
        assert_eq!((info.width, info.height), (1600, 960));
        let at = |x: usize, y: usize| pixels[(y * 1600 + x) * 3];
        assert_eq!(at(160 + 20, 160 + 20), 0, "inside the block");
        assert_eq!(at(140, 140), 255, "outside it");
        let lettered = (560..760).any(|y| (160..900).any(|x| at(x, y) < 80));
        assert!(lettered, "the words leave ink");
        // Letters sit on the baseline at 45 units: no ink of "a" below it.
        assert!((726..760).all(|y| (160..240).all(|x| at(x, y) > 200)), "a letter hangs below its baseline");
    }
}
