//! Words as people type them: the nearest right one, lists of them, figures with spaces.
//!
//! Knows nothing of fish or files.

use strsim::normalized_damerau_levenshtein;

/// How alike two words must be (0 to 1) before one is offered for the other.
const NEAR_ENOUGH: f64 = 0.6;
/// How alike a word and a part of a longer one are taken to be.
const PART_OF: f64 = 0.8;
/// Shortest text that may count as part of a longer word.
const SHORTEST_PART: usize = 4;
/// Longest list of words that is worth reading in a message.
const LONGEST_LIST: usize = 16;

/// Figures from this on are written with a power of ten.
const LONGEST_FIGURE: f64 = 1e12;

/// A word without regard to case, underscores, hyphens and doubled spaces.
pub(crate) fn fold(word: &str) -> String {
    squeeze(&word.replace(['_', '-'], " "))
}

/// A text in small letters with single spaces; signs are kept.
pub(crate) fn squeeze(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// The known word that is nearest to the one given, if one is near enough.
pub(crate) fn nearest<'a>(given: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let given = fold(given);
    let mut best: Option<(f64, &str)> = None;
    for word in known {
        let folded = fold(word);
        let part = given.chars().count() >= SHORTEST_PART && folded.contains(&given)
            || folded.chars().count() >= SHORTEST_PART && given.contains(&folded);
        let alike = normalized_damerau_levenshtein(&given, &folded).max(if part { PART_OF } else { 0.0 });
        if alike >= NEAR_ENOUGH && best.is_none_or(|(most, _)| alike > most) {
            best = Some((alike, word));
        }
    }
    best.map(|(_, word)| word)
}

/// A hint for a word that is not known: the nearest one, or else all of them if they are few.
pub(crate) fn hint(given: &str, known: &[&str]) -> Option<String> {
    match nearest(given, known.iter().copied()) {
        Some(word) => Some(format!("did you mean \"{word}\"?")),
        None if (1..=LONGEST_LIST).contains(&known.len()) => {
            let quoted: Vec<String> = known.iter().map(|word| format!("\"{word}\"")).collect();
            let quoted: Vec<&str> = quoted.iter().map(String::as_str).collect();
            Some(format!("known here: {}", list(&quoted, "and")))
        }
        None => None,
    }
}

/// Words in a row: `a, b and c`.
pub(crate) fn list(words: &[&str], last: &str) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_string(),
        [init @ .., end] => format!("{} {last} {end}", init.join(", ")),
    }
}

/// A figure as people write it: three figures, thousands apart, no needless zeros.
pub(crate) fn figure(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let size = value.abs().log10().floor() as i32;
    let decimals = usize::try_from(2 - size).unwrap_or(0);
    // Beyond three figures before the point the rest is rounded too: nobody counts 20 938 particles.
    let coarse = 10_f64.powi((size - 2).max(0));
    let shown = if size > 2 { (value / coarse).round() * coarse } else { value };
    let rounded = format!("{shown:.decimals$}");
    let trimmed = if rounded.contains('.') { rounded.trim_end_matches('0').trim_end_matches('.') } else { &rounded };
    thousands(trimmed)
}

/// Exactly the value given, thousands apart: for limits and for echoing what was written.
pub(crate) fn exact(value: f64) -> String {
    if value.abs() >= LONGEST_FIGURE {
        return format!("{value:e}");
    }
    thousands(&format!("{value}"))
}

/// Sets a narrow space between thousands when there are more than four figures before the point.
fn thousands(figure: &str) -> String {
    let (sign, unsigned) = figure.strip_prefix('-').map_or(("", figure), |rest| ("-", rest));
    let (whole, rest) = unsigned.find('.').map_or((unsigned, ""), |at| unsigned.split_at(at));
    if whole.len() < 5 {
        return figure.to_string();
    }
    let mut spaced = String::new();
    for (place, digit) in whole.chars().enumerate() {
        if place > 0 && (whole.len() - place).is_multiple_of(3) {
            spaced.push(' ');
        }
        spaced.push(digit);
    }
    format!("{sign}{spaced}{rest}")
}

/// A line broken to a width; it begins with `indent` and its own spaces, and goes on four columns further in.
pub(crate) fn wrap(line: &str, indent: &str, width: usize) -> String {
    let own = &line[..line.len() - line.trim_start().len()];
    let start = format!("{indent}{own}");
    let further = format!("{start}    ");
    // A figure keeps its unit, or the rest of its thousands, on the same line.
    let mut joined = String::new();
    for word in line.split_whitespace() {
        match joined.chars().next_back() {
            None => {}
            Some(last) if last.is_ascii_digit() => joined.push(NO_BREAK),
            Some(_) => joined.push(' '),
        }
        joined.push_str(word);
    }
    if joined.is_empty() {
        return start;
    }
    let options = textwrap::Options::new(width)
        .initial_indent(&start)
        .subsequent_indent(&further)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .wrap_algorithm(textwrap::WrapAlgorithm::FirstFit)
        .break_words(false);
    textwrap::fill(&joined, options).replace(NO_BREAK, " ")
}

/// A space at which no line is broken.
const NO_BREAK: char = '\u{a0}';

/// `1 day`, `2 days`.
pub(crate) fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offers_the_nearest_word_and_no_far_one() {
        let foods = ["Paramecium", "microworm", "egg yolk"];
        assert_eq!(nearest("micro wrm", foods), Some("microworm"));
        assert_eq!(nearest("EGG_YOLK", foods), Some("egg yolk"));
        assert_eq!(nearest("worm", foods), Some("microworm"));
        assert_eq!(nearest("daphnia", foods), None);
        assert_eq!(hint("daphnia", &foods).unwrap(), r#"known here: "Paramecium", "microworm" and "egg yolk""#);
    }

    #[test]
    fn lines_are_broken_between_words_only() {
        assert_eq!(wrap("  worms: many of them", " ", 14), "   worms: many\n       of them");
        assert_eq!(wrap("unbreakablewordsgoon", "", 5), "unbreakablewordsgoon");
        assert_eq!(wrap("", "  ", 5), "  ");
        assert_eq!(wrap("it takes 17 000 µg", "", 12), "it takes\n    17 000 µg");
    }

    #[test]
    fn figures_read_like_handwriting() {
        let shown = [6000.0, 12345.6, 0.3, 27.27, 0.00123, 1e6, -45678.0, 8.0].map(figure);
        assert_eq!(shown, ["6000", "12 300", "0.3", "27.3", "0.00123", "1 000 000", "-45 700", "8"]);
        assert_eq!(exact(20_000.0), "20 000");
        assert_eq!(exact(0.5), "0.5");
    }
}
