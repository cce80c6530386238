//! Doses as written: `20 mL`, `6000 items a feed`, `16 mg a day`.

use frytub_sim::study::Dose;

use crate::fields::{self, Node};
use crate::mistakes::Findings;
use crate::units::{self, Trouble};
use crate::words;

/// What a dose should look like.
const EXPECTED: &str = "\"20 mL\", \"1.5 mg\" or \"6000 items\" is expected, then \"a feed\" or \"a day\"";
/// Largest dose in mL or mg.
const MOST_AMOUNT: f64 = 1e6;
/// Largest dose in items.
const MOST_ITEMS: f64 = 1e9;

/// A dose as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct DoseText {
    amount: Dose,
    /// True if it is a day's amount, to be divided among the day's feeds.
    pub a_day: bool,
}

impl DoseText {
    /// What one of a day's feeds brings.
    pub fn of_one(&self, feeds: usize) -> Dose {
        let share = if self.a_day { feeds.max(1) as f64 } else { 1.0 };
        match self.amount {
            Dose::Millilitres(amount) => Dose::Millilitres(amount / share),
            Dose::Milligrams(amount) => Dose::Milligrams(amount / share),
            Dose::Items(amount) => Dose::Items(amount / share),
        }
    }
}

/// Takes "a day" or "a feed" from the end of a text; true for a day.
fn per(text: &str) -> (&str, bool) {
    let endings = [("day", true), ("feed", false)];
    for (ending, a_day) in endings {
        let Some(rest) = text.strip_suffix(ending) else { continue };
        for word in [" a ", " per ", " each ", "/", "/ ", " / "] {
            if let Some(rest) = rest.strip_suffix(word) {
                return (rest, a_day);
            }
        }
    }
    (text, false)
}

/// Reads a dose.
pub(super) fn read(node: &Node<'_>, findings: &mut Findings) -> Option<DoseText> {
    if node.get_ref().is_integer() || node.get_ref().is_float() {
        findings.wrong(node.span(), "the unit is missing", EXPECTED);
        return None;
    }
    let text = words::squeeze(fields::text(node, EXPECTED, findings)?);
    let (amount, a_day) = per(&text);
    let (value, most, amount) = match units::read_any(amount, &["mL", "mg", "items"]) {
        Ok((value, "mL")) => (value, MOST_AMOUNT, Dose::Millilitres(value)),
        Ok((value, "mg")) => (value, MOST_AMOUNT, Dose::Milligrams(value)),
        Ok((value, _)) => (value, MOST_ITEMS, Dose::Items(value)),
        Err(trouble) => {
            let (what, help) = explain(&trouble);
            findings.wrong_with(node.span(), what, EXPECTED, help);
            return None;
        }
    };
    if value.is_nan() || value <= 0.0 {
        findings.wrong(node.span(), "a dose must be more than 0", EXPECTED);
        return None;
    }
    if value > most {
        let unit = if most > MOST_AMOUNT { "items" } else { "mL or mg" };
        findings.wrong(node.span(), format!("a dose may be {} {unit} at most", words::exact(most)), "");
        return None;
    }
    Some(DoseText { amount, a_day })
}

fn explain(trouble: &Trouble) -> (String, Option<String>) {
    let units = ["mL", "L", "mg", "µg", "g", "items"];
    match trouble {
        Trouble::NoUnit(number) => {
            ("the unit is missing".into(), Some(format!("for instance \"{} mL\"", words::exact(*number))))
        }
        Trouble::Unknown(unit) => {
            let hint = words::hint(unit, &units);
            (format!("\"{unit}\" is not a unit of a dose"), hint)
        }
        Trouble::Other(measure) => (format!("a {} cannot be a dose", measure.label()), None),
        Trouble::NoNumber | Trouble::Comma => units::explain(trouble, "mL"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_days_food_is_told_from_a_feeds() {
        assert_eq!(per("16 mg a day"), ("16 mg", true));
        assert_eq!(per("16 mg/day"), ("16 mg", true));
        assert_eq!(per("2 ml per feed"), ("2 ml", false));
        assert_eq!(per("2 ml"), ("2 ml", false));
    }

    #[test]
    fn a_days_food_is_divided_among_the_feeds() {
        let day = DoseText { amount: Dose::Milligrams(16.0), a_day: true };
        assert_eq!(day.of_one(4), Dose::Milligrams(4.0));
        let feed = DoseText { a_day: false, ..day };
        assert_eq!(feed.of_one(4), Dose::Milligrams(16.0));
    }
}
