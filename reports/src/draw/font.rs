//! The embedded font: how wide a text is, and where a long one breaks.
//!
//! Its letters are as wide as those of the usual sans-serif fonts, so what fits here also fits where a browser draws
//! the SVG with its own font. Knows nothing of charts.

use std::sync::LazyLock;

use ab_glyph::{Font as _, FontRef, ScaleFont as _};
use plotters::style::{FontStyle, register_font};

static REGULAR_BYTES: &[u8] = include_bytes!("../../assets/font/arimo-regular-subset.ttf");
static BOLD_BYTES: &[u8] = include_bytes!("../../assets/font/arimo-bold-subset.ttf");

/// The family as an SVG names it, and under which the embedded font is registered for drawing.
pub const FAMILY: &str = "Arimo, 'Liberation Sans', Arial, Helvetica, sans-serif";

static FONTS: LazyLock<[FontRef<'static>; 2]> = LazyLock::new(|| {
    for (style, bytes) in [(FontStyle::Normal, REGULAR_BYTES), (FontStyle::Bold, BOLD_BYTES)] {
        // Fails only for bytes that are no font, which the tests would show.
        let _ = register_font(FAMILY, style, bytes);
    }
    [REGULAR_BYTES, BOLD_BYTES].map(|bytes| FontRef::try_from_slice(bytes).expect("the embedded font is sound"))
});

/// Makes the font known to the drawing library; cheap after the first time.
pub fn make_ready() {
    LazyLock::force(&FONTS);
}

/// Height of a line (ascent and descent) in the embedded font, as a multiple of its size.
#[must_use]
pub fn line_height_of_em() -> f64 {
    let font = &FONTS[0];
    f64::from(font.height_unscaled()) / f64::from(font.units_per_em().unwrap_or(2048.0))
}

/// Width of a text at a size, in the same unit as the size.
#[must_use]
pub fn width(text: &str, size: f64, bold: bool) -> f64 {
    let font = &FONTS[usize::from(bold)];
    let scaled = font.as_scaled((size * line_height_of_em()) as f32);
    let advances: f32 = text.chars().map(|c| scaled.h_advance(font.glyph_id(c))).sum();
    f64::from(advances)
}

/// Words of a text; a sign that belongs to the number before it (°C, µm, %) stays with it.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match words.last_mut() {
            Some(last) if word.starts_with(['°', 'µ', '%', '–', '+']) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Breaks a text into lines no wider than `most`; a single longer word is broken where it must be.
#[must_use]
pub fn wrap(text: &str, size: f64, bold: bool, most: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in words(text) {
        let line = lines.last_mut().expect("at least one line");
        let joined = if line.is_empty() { word.clone() } else { format!("{line} {word}") };
        if width(&joined, size, bold) <= most {
            *line = joined;
            continue;
        }
        if !line.is_empty() {
            lines.push(String::new());
        }
        for c in word.chars() {
            let line = lines.last_mut().expect("at least one line");
            if !line.is_empty() && width(&format!("{line}{c}"), size, bold) > most {
                lines.push(String::new());
            }
            lines.last_mut().expect("at least one line").push(c);
        }
    }
    lines
}

/// Like [`wrap`], with no more than `lines` lines; too long a text loses its middle, since the ends of names tell
/// plans apart.
#[must_use]
pub fn wrap_to(text: &str, size: f64, bold: bool, most: f64, lines: usize) -> Vec<String> {
    let whole = wrap(text, size, bold, most);
    if whole.len() <= lines {
        return whole;
    }
    let chars: Vec<char> = text.chars().collect();
    (1..chars.len())
        .rev()
        .map(|kept| wrap(&without_middle(&chars, kept), size, bold, most))
        .find(|wrapped| wrapped.len() <= lines)
        .unwrap_or_else(|| vec!["…".to_owned()])
}

/// A text cut to so many characters: two thirds from its start, one third from its end, an ellipsis between.
#[must_use]
pub fn without_middle(chars: &[char], kept: usize) -> String {
    if kept >= chars.len() {
        return chars.iter().collect();
    }
    let head = (kept * 2).div_ceil(3);
    let start: String = chars[..head].iter().collect();
    let end: String = chars[chars.len() - (kept - head)..].iter().collect();
    format!("{}…{}", start.trim_end(), end.trim_start())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_as_wide_as_its_letters() {
        // Advance widths of the font: digits 1139, space 569 of 2048 units.
        assert!((width("00", 20.48, false) - 22.78).abs() < 1e-3);
        assert!((width("0 0", 20.48, false) - 28.47).abs() < 1e-3);
        assert!(width("Wean", 10.0, true) > width("Wean", 10.0, false));
    }

    #[test]
    fn long_texts_and_long_words_break_to_fit() {
        let lines = wrap("eleven small feeds by pump unfathomablylongnameofaplan", 12.0, false, 90.0);
        assert!(lines.len() > 2);
        assert!(lines.iter().all(|line| width(line, 12.0, false) <= 90.0), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), "elevensmallfeedsbypumpunfathomablylongnameofaplan");
        let unit = wrap("burnt per day at 28 °C", 12.0, false, width("burnt per day at 28", 12.0, false));
        assert_eq!(unit, ["burnt per day at", "28 °C"]);
        let cut = wrap_to("eleven small feeds by pump and two by hand", 12.0, false, 90.0, 2);
        assert_eq!(cut.len(), 2);
        assert!(cut.iter().all(|line| width(line, 12.0, false) <= 90.0), "{cut:?}");
        assert!(cut[0].starts_with("eleven") && cut[1].ends_with("hand") && cut.concat().contains('…'), "{cut:?}");
    }

    #[test]
    fn the_font_has_every_character_that_reports_use() {
        for c in "0123456789 µ°–²³−×·…“”’‘éäøß½".chars() {
            assert_ne!(FONTS[0].glyph_id(c).0, 0, "{c} is missing");
        }
    }
}
