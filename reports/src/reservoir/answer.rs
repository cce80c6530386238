//! What the comparison of reservoirs comes to: first the food, then the fry, then what the trouble is.

use super::trials::{Trials, Trouble, Vessel};
use crate::answer::{Answer, BigNumber, Verdict, answer as of_comparison};
use crate::words::{capital, clock, fry, list, milligrams, quoted, quoted_briefly};

/// Fewer parts of 100 than this are as good as none.
const NONE: f64 = 1.0;
/// A smaller difference than this many parts of 100 is hardly one.
const HARDLY: f64 = 3.0;

/// The answer of the report.
#[must_use]
pub fn answer(trials: &Trials<'_>) -> Answer {
    let usual = of_comparison(trials.facts);
    let mut notes = troubles(trials);
    notes.extend(disagreement(trials, usual.verdict));
    notes.extend(dry(trials));
    notes.extend(usual.notes.clone());
    Answer {
        verdict: usual.verdict,
        first: food(trials),
        second: usual.first.clone(),
        notes,
        numbers: numbers(trials, &usual),
    }
}

/// Parts of 100 with their range: "93 (80 % range: 67 to 96)".
fn parts(vessel: &Vessel<'_>) -> String {
    let fresh = vessel.fresh();
    let [low, middle, high] = [fresh.low, fresh.median, fresh.high].map(fry);
    if low == high { middle } else { format!("{middle} (80 % range: {low} to {high})") }
}

/// Which reservoir brings most fresh food, and by how much.
pub fn food(trials: &Trials<'_>) -> String {
    let Some(best) = trials.best() else { return "No reservoir was tried.".to_owned() };
    let name = quoted(best.name());
    if best.fresh().median < NONE {
        return match trials.vessels.len() {
            1 => format!("{name} brings hardly any fresh food to the tub: {} of every 100 parts wanted.", parts(best)),
            _ => format!(
                "No reservoir brings fresh food worth mention to the tub: with the best, {name}, it is {} of every 100 \
                 parts wanted.",
                parts(best)
            ),
        };
    }
    let Some(other) = trials.other() else {
        let day = best.day.map_or_else(String::new, |day| {
            let (fresh, wanted) = (milligrams(day.fresh), milligrams(day.wanted));
            format!(" On day {} that is {fresh} of {wanted} (dry).", trials.facts.study.show_day)
        });
        return format!("{name} brings {} of every 100 parts of the food that is wanted, fresh.{day}", parts(best));
    };
    let (ours, theirs) = (best.fresh().median, other.fresh().median);
    let mut text = if ours - theirs < HARDLY {
        format!(
            "In food there is hardly a difference: of every 100 parts wanted {name} brings {} fresh, {} {}.",
            parts(best),
            quoted(other.name()),
            fry(theirs)
        )
    } else {
        format!(
            "{name} brings most fresh food: {} of every 100 parts wanted, {} {}.",
            parts(best),
            quoted(other.name()),
            parts(other)
        )
    };
    if let Some((ours, theirs)) = best.day.zip(other.day) {
        let more = ours.fresh - theirs.fresh;
        let way = if more < 0.0 { "less" } else { "more" };
        text.push_str(&format!(
            " On day {} that is {} against {}, {} {way} (dry).",
            trials.facts.study.show_day,
            milligrams(ours.fresh),
            milligrams(theirs.fresh),
            milligrams(more.abs())
        ));
    }
    text
}

/// What the trouble is with each reservoir, those with the same trouble together.
pub fn troubles(trials: &Trials<'_>) -> Vec<String> {
    let with = |trouble: Trouble| -> Vec<String> {
        let same = trials.vessels.iter().filter(|vessel| vessel.losses().trouble() == trouble);
        same.map(|vessel| quoted(vessel.name())).collect()
    };
    [Trouble::Shape, Trouble::Freshness, Trouble::Tube, Trouble::Several, Trouble::Little]
        .into_iter()
        .filter_map(|trouble| {
            let names = with(trouble);
            (!names.is_empty()).then(|| {
                let (names, one) = (list(&names), names.len() == 1);
                match trouble {
                    Trouble::Shape => format!(
                        "The trouble with {names} is {} shape: food settles on the floor and stays there.",
                        if one { "its" } else { "their" }
                    ),
                    Trouble::Freshness => {
                        format!("The trouble with {names} is freshness: food spoils or dies while it waits.")
                    }
                    Trouble::Tube => format!(
                        "The trouble with {names} is the tube: food lies down in it or grows old there. A faster pump or \
                         a shorter tube would help."
                    ),
                    Trouble::Several => format!(
                        "{names} {} to more than one trouble: settling, ageing, the tube.",
                        if one { "loses" } else { "lose" }
                    ),
                    Trouble::Little => {
                        format!("{names} {} little food to any trouble.", if one { "loses" } else { "lose" })
                    }
                }
            })
        })
        .collect()
}

/// That most food and most fry are not the same reservoir's, if so.
fn disagreement(trials: &Trials<'_>, verdict: Verdict) -> Option<String> {
    let best = trials.best()?;
    let leader = trials.vessels.iter().find(|vessel| vessel.plan == Some(trials.facts.leader()))?;
    (verdict == Verdict::Ahead && best.plan.is_some() && best.trial.reservoir != leader.trial.reservoir).then(|| {
        format!(
            "Most fry come with {}, though {} brings most fresh food over the whole filling: look at the hours at which \
             it comes, and at the single foods.",
            quoted(leader.name()),
            quoted(best.name())
        )
    })
}

/// A warning for each reservoir whose pump draws air.
pub fn dry(trials: &Trials<'_>) -> Vec<String> {
    let told = |vessel: &&Vessel<'_>| vessel.trial.dry_worlds > 0.0;
    let warning = |vessel: &Vessel<'_>| {
        let trial = vessel.trial;
        let feed = trial.dry_at.and_then(|at| Some((at, trial.feeds.get(at)?)));
        let when = match feed {
            Some((at, feed)) => {
                format!("at the likely values first at feed {} of {} ({})", at + 1, trial.feeds.len(), clock(feed.hour))
            }
            None => "not at the likely values".to_owned(),
        };
        format!(
            "The pump of {} draws air before the next filling in {} of 100 worlds, {when}: pour in more, or feed less.",
            quoted(vessel.name()),
            fry(trial.dry_worlds * 100.0)
        )
    };
    trials.vessels.iter().filter(told).map(warning).collect()
}

fn numbers(trials: &Trials<'_>, usual: &Answer) -> Vec<BigNumber> {
    let mut numbers = Vec::new();
    if let Some(best) = trials.best() {
        let fresh = best.fresh();
        numbers.push(BigNumber {
            value: fry(fresh.median),
            label: format!("of 100 parts of food brought fresh by {}", quoted_briefly(best.name())),
            range: format!("80 % of worlds: {} to {}", fry(fresh.low), fry(fresh.high)),
        });
        if let (Some(other), Some(ours)) = (trials.other(), best.day)
            && let Some(theirs) = other.day
        {
            let more = ours.fresh - theirs.fresh;
            let amount = milligrams(more.abs());
            let amount = amount.strip_suffix(" mg").unwrap_or(&amount);
            numbers.push(BigNumber {
                value: match more {
                    m if m.abs() < 0.005 => "0".to_owned(),
                    m if m < 0.0 => format!("−{amount}"),
                    _ => format!("+{amount}"),
                },
                label: format!(
                    "mg of fresh dry food on day {} against {}",
                    trials.facts.study.show_day,
                    quoted_briefly(other.name())
                ),
                range: format!("{} against {}", milligrams(ours.fresh), milligrams(theirs.fresh)),
            });
        }
    }
    // The difference in fry where there is one to tell, else the fry alone.
    let of_fry = match usual.verdict {
        Verdict::Ahead | Verdict::NoClearDifference => usual.numbers.get(1),
        _ => usual.numbers.first(),
    };
    numbers.extend(of_fry.map(|number| BigNumber {
        label: if number.label.contains("fry") {
            number.label.clone()
        } else {
            number.label.replace("of 100", "of 100 fry weaned")
        },
        ..number.clone()
    }));
    numbers
}

/// The trouble of a reservoir in one word, for tables.
#[must_use]
pub fn trouble_word(trouble: Trouble) -> String {
    capital(match trouble {
        Trouble::Shape => "shape",
        Trouble::Freshness => "freshness",
        Trouble::Tube => "tube",
        Trouble::Several => "more than one",
        Trouble::Little => "little of any",
    })
}
