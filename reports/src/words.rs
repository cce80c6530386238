//! Numbers and names as a tired person reads them.
//!
//! Knows nothing of layout. Shares of a brood are whole fry out of 100; a missing number is a dash.

use frytub_sim::outcome::{Cause, Spread};
use frytub_sim::study::{Matched, Plan};

/// What stands where there is no number.
pub const NOTHING: &str = "–";

/// Fry out of 100, in whole fry; "under 1" where rounding would hide a few.
#[must_use]
pub fn fry(value: f64) -> String {
    if !value.is_finite() {
        NOTHING.to_owned()
    } else if value > 0.0 && value < 0.5 {
        "under 1".to_owned()
    } else {
        format!("{:.0}", value.max(0.0))
    }
}

/// Fry out of 100 in the least room.
#[must_use]
pub fn fry_short(value: f64) -> String {
    if value.is_finite() { format!("{:.0}", value.max(0.0)) } else { NOTHING.to_owned() }
}

/// The middle world and the range of 80 % of the worlds: "62 (41–80)"; only the middle when they agree.
#[must_use]
pub fn with_range(spread: &Spread) -> String {
    let [low, middle, high] = [spread.low, spread.median, spread.high].map(fry_short);
    if low == high { middle } else { format!("{middle} ({low}–{high})") }
}

/// The same for a number with decimals.
#[must_use]
pub fn with_range_to(spread: &Spread, decimals: usize) -> String {
    if !spread.median.is_finite() {
        return NOTHING.to_owned();
    }
    let [low, middle, high] = [spread.low, spread.median, spread.high].map(|v| format!("{v:.decimals$}"));
    if low == high { middle } else { format!("{middle} ({low}–{high})") }
}

/// The 80 % range of a difference in whole fry: "3 to 14 more", "from 2 fewer to 9 more".
#[must_use]
pub fn difference_range(low: f64, high: f64) -> String {
    let (l, h) = (low.round(), high.round());
    let side = |v: f64| if v < 0.0 { "fewer" } else { "more" };
    if l == 0.0 && h == 0.0 {
        "0".to_owned()
    } else if l == h {
        format!("{} {}", l.abs(), side(l))
    } else if (l < 0.0) == (h < 0.0) || l == 0.0 {
        let (a, b) = if l.abs() < h.abs() { (l, h) } else { (h, l) };
        format!("{} to {} {}", a.abs(), b.abs(), side(b))
    } else {
        format!("from {} {} to {} {}", l.abs(), side(l), h.abs(), side(h))
    }
}

/// A whole number with its sign: "+8", "−3", "0".
#[must_use]
pub fn signed(value: f64) -> String {
    match value.round() {
        v if v > 0.0 => format!("+{v:.0}"),
        v if v < 0.0 => format!("−{:.0}", v.abs()),
        _ => "0".to_owned(),
    }
}

/// Visits or feeds a day: whole where they are, else one decimal (a mean over the week).
#[must_use]
pub fn a_day(value: f64) -> String {
    if (value - value.round()).abs() < 0.05 { format!("{value:.0}") } else { format!("{value:.1}") }
}

/// "1 feed a day", "2.6 visits a day".
#[must_use]
pub fn so_many_a_day(value: f64, what: &str) -> String {
    let number = a_day(value);
    let s = if number == "1" { "" } else { "s" };
    format!("{number} {what}{s} a day")
}

/// "1 world", "160 worlds".
#[must_use]
pub fn count(number: u32, what: &str) -> String {
    format!("{number} {what}{}", if number == 1 { "" } else { "s" })
}

/// A day of the brood: "day 4".
#[must_use]
pub fn day(value: f64) -> String {
    format!("day {:.0}", value.max(1.0))
}

/// A name in quotes.
#[must_use]
pub fn quoted(name: &str) -> String {
    format!("“{name}”")
}

/// The longest name, in characters, that a title or an axis takes whole.
const BRIEF: usize = 44;

/// A name in quotes for titles: a long one loses its middle.
#[must_use]
pub fn quoted_briefly(name: &str) -> String {
    let chars: Vec<char> = name.chars().collect();
    quoted(&crate::draw::font::without_middle(&chars, BRIEF))
}

/// A whole number with a space between thousands.
#[must_use]
pub fn thousands(value: f64) -> String {
    let digits = format!("{:.0}", value.abs());
    let mut out = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i) % 3 == 0 {
            out.push('\u{a0}');
        }
        out.push(digit);
    }
    if value < 0.0 { format!("−{out}") } else { out }
}

/// A number of any size to about three figures.
#[must_use]
pub fn figures(value: f64) -> String {
    if !value.is_finite() {
        return NOTHING.to_owned();
    }
    let size = value.abs();
    let text = match size {
        0.0 => "0".to_owned(),
        s if s >= 10_000.0 => thousands(s),
        s if s >= 100.0 => format!("{s:.0}"),
        s => {
            let decimals = (2 - s.log10().floor() as i32).clamp(0, 8) as usize;
            let text = format!("{s:.decimals$}");
            if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
        }
    };
    if value < 0.0 { format!("−{text}") } else { text }
}

/// A cause of death in the least room.
#[must_use]
pub fn cause_briefly(cause: Cause) -> &'static str {
    match cause {
        Cause::NoFood => "no food",
        Cause::FoodTooBig => "food too big",
        Cause::FoodTooSmall => "food too small",
        Cause::TooWeak => "too weak to eat",
        Cause::FeedTube => "feed tube",
        Cause::OverRim => "over the rim",
        Cause::NoOxygen => "low oxygen",
        Cause::Ammonia => "ammonia",
        Cause::Background => "background",
        Cause::Stalled => "stopped growing",
    }
}

/// About which part of a whole a share is, to be read before "of": "a fifth", "hardly anything".
#[must_use]
pub fn part(share: f64) -> &'static str {
    const PARTS: [(f64, &str); 10] = [
        (0.03, "hardly anything"),
        (0.075, "a twentieth"),
        (0.15, "a tenth"),
        (0.225, "a fifth"),
        (0.29, "a quarter"),
        (0.42, "a third"),
        (0.585, "half"),
        (0.71, "two thirds"),
        (0.83, "three quarters"),
        (0.95, "nine tenths"),
    ];
    PARTS.iter().find(|(most, _)| share < *most).map_or("as much", |(_, words)| words)
}

/// A time of day from hours since some midnight: "06:30".
#[must_use]
pub fn clock(hours: f64) -> String {
    let minutes = (hours * 60.0).round().rem_euclid(1440.0) as u32;
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// Dry milligrams to about two figures, in no more than hundredths: "3.1 mg".
#[must_use]
pub fn milligrams(value: f64) -> String {
    match value {
        v if !v.is_finite() => NOTHING.to_owned(),
        v if v >= 9.95 => format!("{v:.0} mg"),
        v if v >= 0.995 => format!("{v:.1} mg"),
        v if v >= 0.005 => format!("{v:.2} mg"),
        v if v > 0.0 => "under 0.01 mg".to_owned(),
        _ => "0 mg".to_owned(),
    }
}

/// "a, b and c".
#[must_use]
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// The same text with a capital first letter.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// What was held equal when a plan was set against others.
#[must_use]
pub fn matched(plan: &Plan) -> &'static str {
    if plan.family.is_some() { held(plan.matched) } else { "its own doses" }
}

/// What a family holds equal.
#[must_use]
pub fn held(matched: Matched) -> &'static str {
    match matched {
        Matched::FoodPerDay => "same food a day",
        Matched::FoodPerFeed => "same food a feed",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_plainly() {
        assert_eq!(fry(61.6), "62");
        assert_eq!(fry(0.2), "under 1");
        assert_eq!(fry(0.0), "0");
        assert_eq!(fry(f64::NAN), "–");
        assert_eq!(signed(-3.2), "−3");
        assert_eq!(signed(0.3), "0");
        assert_eq!(a_day(12.0 / 7.0), "1.7");
        assert_eq!(so_many_a_day(1.0, "feed"), "1 feed a day");
        assert_eq!(thousands(1_234_567.0), "1\u{a0}234\u{a0}567");
        assert_eq!(figures(0.001_234), "0.00123");
        assert_eq!(figures(-12.30), "−12.3");
        assert_eq!(figures(300.0), "300");
    }

    #[test]
    fn parts_times_and_amounts_read_plainly() {
        assert_eq!(part(0.2), "a fifth");
        assert_eq!(part(0.5), "half");
        assert_eq!(part(0.01), "hardly anything");
        assert_eq!(part(1.3), "as much");
        assert_eq!(clock(6.5), "06:30");
        assert_eq!(clock(30.25), "06:15", "the next morning");
        assert_eq!(clock(23.9999), "00:00");
        assert_eq!(milligrams(12.34), "12 mg");
        assert_eq!(milligrams(3.12), "3.1 mg");
        assert_eq!(milligrams(0.416), "0.42 mg");
        assert_eq!(milligrams(0.02), "0.02 mg");
        assert_eq!(milligrams(1e-4), "under 0.01 mg");
        assert_eq!(milligrams(0.0), "0 mg");
    }

    #[test]
    fn ranges_of_differences_say_which_way() {
        assert_eq!(difference_range(3.2, 13.8), "3 to 14 more");
        assert_eq!(difference_range(-2.0, 9.0), "from 2 fewer to 9 more");
        assert_eq!(difference_range(-9.0, -2.0), "2 to 9 fewer");
        assert_eq!(difference_range(0.0, 4.0), "0 to 4 more");
        assert_eq!(difference_range(4.1, 4.3), "4 more");
        assert_eq!(difference_range(-0.2, 0.3), "0");
        assert_eq!(difference_range(-5.0, 0.0), "from 5 fewer to 0 more");
    }
}
