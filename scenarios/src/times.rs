//! Times of day, lists of them, and timetables in words: `every 75 min from 07:30 to 20:00`.
//!
//! Knows the clock; does not know what is done at a time.

use frytub_sim::clock::TimeOfDay;
use frytub_sim::study::MOST_FEEDS;
use toml::de::DeValue;

use crate::fields::{self, Node};
use crate::mistakes::Findings;
use crate::units;
use crate::words;

/// How a time of day is written.
const EXAMPLE: &str = "a time of day is expected, such as \"06:30\"";
/// How the times of hand feeds are written.
const HAND_EXPECTED: &str = "\"every visit\" or a list such as [\"07:30\", \"15:30\"] is expected";
/// How the times of pump feeds are written.
const PUMP_EXPECTED: &str = "\"every 75 min from 07:30 to 20:00\" or a list such as [\"07:30\", \"12:00\"] is expected";
/// Minutes in a day.
pub(crate) const DAY_MINUTES: u16 = 24 * 60;
/// Names of the days of the week, Monday first.
pub(crate) const WEEKDAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];

/// A time of day, in quotes or as TOML's own local time.
pub(crate) fn time(node: &Node<'_>, findings: &mut Findings) -> Option<TimeOfDay> {
    match node.get_ref() {
        DeValue::String(text) => match parse(text) {
            Ok(time) => Some(time),
            Err(what) => {
                findings.wrong(node.span(), what, EXAMPLE);
                None
            }
        },
        DeValue::Datetime(written) => {
            let whole_minute = written
                .time
                .filter(|time| written.date.is_none() && written.offset.is_none() && time.second.unwrap_or(0) == 0);
            let time = whole_minute.and_then(|t| TimeOfDay::from_minutes(u16::from(t.hour) * 60 + u16::from(t.minute)));
            if time.is_none() {
                findings.wrong(node.span(), "this is not a time of day to the minute", EXAMPLE);
            }
            time
        }
        _ => {
            fields::wrong_sort(node, EXAMPLE, findings);
            None
        }
    }
}

/// Reads `06:30`; the error says what is wrong.
fn parse(text: &str) -> Result<TimeOfDay, String> {
    let text = text.trim();
    let figures = |part: &str| -> Option<u16> {
        let short = (1..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        short.then(|| part.parse().ok()).flatten()
    };
    let (hour, minute) = text
        .split_once(':')
        .and_then(|(hour, minute)| Some((figures(hour)?, figures(minute).filter(|_| minute.len() == 2)?)))
        .ok_or_else(|| format!("\"{text}\" is not a time of day"))?;
    if hour > 23 {
        return Err(format!("there is no {text}: a day runs from 00:00 to 23:59"));
    }
    if minute > 59 {
        return Err(format!("there is no {text}: an hour has 60 minutes"));
    }
    TimeOfDay::from_minutes(hour * 60 + minute).ok_or_else(|| format!("there is no {text}"))
}

/// A list of times of day that rise.
pub(crate) fn times(node: &Node<'_>, findings: &mut Findings) -> Option<Vec<TimeOfDay>> {
    let items = fields::list(node, "a list of times is expected, such as [\"07:30\", \"15:30\"]", findings)?;
    if items.len() > MOST_FEEDS {
        let what = format!("a day may have {MOST_FEEDS} times at most, and this list has {}", items.len());
        findings.wrong(node.span(), what, "");
        return None;
    }
    let read: Vec<Option<TimeOfDay>> = items.iter().map(|item| time(item, findings)).collect();
    let mut last: Option<TimeOfDay> = None;
    let mut in_order = true;
    for (item, time) in items.iter().zip(&read) {
        let Some(time) = *time else { continue };
        if let Some(before) = last
            && time <= before
        {
            let what = if time == before {
                format!("{time} stands here twice")
            } else {
                format!("{time} comes after {before} in the list, but before it in the day")
            };
            findings.wrong(item.span(), what, "times must rise through the day");
            in_order = false;
        }
        last = Some(time);
    }
    if in_order { read.into_iter().collect() } else { None }
}

/// When something is given: at each visit, or at set times.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Timetable {
    /// At every visit of the keeper.
    EveryVisit,
    /// At these times, in order.
    At(Vec<TimeOfDay>),
}

/// Reads a timetable: `every visit` (where visits are allowed), `every 2 h from … to …`, or a list of times.
pub(crate) fn timetable(node: &Node<'_>, visits_allowed: bool, findings: &mut Findings) -> Option<Timetable> {
    let DeValue::String(text) = node.get_ref() else {
        return times(node, findings).map(Timetable::At);
    };
    let folded = words::squeeze(text);
    if folded == "every visit" && visits_allowed {
        return Some(Timetable::EveryVisit);
    }
    if folded == "every visit" {
        findings.wrong(node.span(), "a pump does not wait for visits", PUMP_EXPECTED);
        return None;
    }
    match every(&folded) {
        Ok(times) => Some(Timetable::At(times)),
        Err(what) => {
            let expected = if visits_allowed { HAND_EXPECTED } else { PUMP_EXPECTED };
            let near = words::nearest(&folded, visits_allowed.then_some("every visit"));
            findings.wrong_with(node.span(), what, expected, near.map(|near| format!("did you mean \"{near}\"?")));
            None
        }
    }
}

/// Reads `every 75 min from 07:30 to 20:00`, or `every 2 h` for the whole day; both ends are included.
fn every(text: &str) -> Result<Vec<TimeOfDay>, String> {
    let unclear = || format!("\"{text}\" is not understood as a timetable");
    let rest = text.strip_prefix("every ").ok_or_else(unclear)?;
    let (step, span) = match rest.split_once(" from ") {
        Some((step, span)) => (step, Some(span)),
        None => (rest, None),
    };
    let minutes =
        units::read(step, "min").map_err(|_| format!("\"{step}\" is not a length of time such as \"2 h\""))?;
    if !(1.0..=f64::from(DAY_MINUTES)).contains(&minutes) || minutes.fract() != 0.0 {
        return Err("the step of a timetable is a whole number of minutes, from 1 min to 24 h".to_string());
    }
    let step = minutes as u16;
    let (from, to) = match span {
        None => (0, DAY_MINUTES - 1),
        Some(span) => {
            let (from, to) = span.split_once(" to ").ok_or_else(unclear)?;
            (parse(from)?.minutes(), parse(to)?.minutes())
        }
    };
    if from > to {
        return Err("a timetable must end after it begins, on the same day".to_string());
    }
    let count = usize::from((to - from) / step) + 1;
    if count > MOST_FEEDS {
        return Err(format!("that makes {count} feeds a day; a plan may give {MOST_FEEDS} at most"));
    }
    Ok((from..=to).step_by(usize::from(step)).filter_map(TimeOfDay::from_minutes).collect())
}

/// A number of times evenly spaced from `first` to `last`, both included; a single one is at `first`.
///
/// `None` if two would fall into the same minute.
pub(crate) fn spaced(number: usize, first: TimeOfDay, last: TimeOfDay) -> Option<Vec<TimeOfDay>> {
    let (from, to) = (f64::from(first.minutes()), f64::from(last.minutes()));
    let gaps = number.saturating_sub(1).max(1) as f64;
    let times: Option<Vec<TimeOfDay>> = (0..number)
        .map(|place| TimeOfDay::from_minutes((from + (to - from) * place as f64 / gaps).round() as u16))
        .collect();
    times.filter(|times| times.windows(2).all(|pair| pair[0] < pair[1]))
}

/// A day of the week, 0 for Monday; the first three letters are enough.
pub(crate) fn weekday(node: &Node<'_>, findings: &mut Findings) -> Option<u8> {
    let expected = "a day of the week is expected, such as \"Monday\"";
    let text = fields::text(node, expected, findings)?;
    let folded = words::fold(text);
    let found = WEEKDAYS.iter().position(|day| {
        let day = day.to_lowercase();
        folded == day || folded == day[..3]
    });
    if found.is_none() {
        findings.wrong_with(
            node.span(),
            format!("\"{text}\" is not a day of the week"),
            expected,
            words::hint(text, &WEEKDAYS),
        );
    }
    found.and_then(|day| u8::try_from(day).ok())
}

/// A day of the brood, `4` or `"day 4"`, from 1 to `most`.
pub(crate) fn day(node: &Node<'_>, what: &str, most: u32, findings: &mut Findings) -> Option<u32> {
    let DeValue::String(text) = node.get_ref() else {
        return fields::count(node, what, most, findings);
    };
    let number = words::squeeze(text).strip_prefix("day ").and_then(|rest| rest.parse::<u64>().ok());
    match number {
        Some(day) if (1..=u64::from(most)).contains(&day) => u32::try_from(day).ok(),
        Some(_) => {
            findings.wrong(node.span(), format!("{what} must be from 1 to {most}"), "");
            None
        }
        None => {
            findings.wrong(
                node.span(),
                format!("\"{text}\" is not a day"),
                "a day is expected, such as \"day 4\" or 4",
            );
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(times: &[TimeOfDay]) -> Vec<String> {
        times.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn times_of_day_are_read_and_refused() {
        assert_eq!(parse("06:30").unwrap().minutes(), 390);
        assert_eq!(parse("6:30").unwrap().minutes(), 390);
        for wrong in ["25:00", "24:00", "12:60", "6.30", "06:3", "6", "", "-1:00", "006:30", "6:30 pm"] {
            assert!(parse(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn timetables_in_words_include_both_ends() {
        let eleven = every("every 75 min from 07:30 to 20:00").unwrap();
        assert_eq!(eleven.len(), 11);
        assert_eq!(eleven[10].to_string(), "20:00");
        assert_eq!(every("every 2 h").unwrap().len(), 12);
        assert_eq!(every("every 24 h").unwrap().len(), 1);
        assert!(every("every 10 s").is_err());
        assert!(every("every 5 min").unwrap_err().contains("288 feeds"));
        assert!(every("every 2 h from 20:00 to 07:00").is_err());
        assert!(every("now and then").is_err());
    }

    #[test]
    fn feeds_of_a_family_are_evenly_spaced() {
        let [first, last] = [450, 1230].map(|m| TimeOfDay::from_minutes(m).unwrap());
        assert_eq!(shown(&spaced(1, first, last).unwrap()), ["07:30"]);
        assert_eq!(shown(&spaced(3, first, last).unwrap()), ["07:30", "14:00", "20:30"]);
        assert_eq!(spaced(14, first, last).unwrap().len(), 14);
        assert_eq!(spaced(3, first, TimeOfDay::from_minutes(451).unwrap()), None);
    }
}
