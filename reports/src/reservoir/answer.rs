//! What the comparison of reservoirs comes to: first the food, then the fry, then what the trouble is.

use super::trials::{Trials, Trouble, Vessel};
use crate::answer::{Answer, BigNumber, Verdict, answer as of_comparison};
use crate::words::{capital, clock, figures, fry, list, milligrams, quoted, quoted_briefly};

/// Fewer parts of 100 than this are as good as none.
const NONE: f64 = 1.0;
/// A smaller difference than this many parts of 100 is hardly one.
const HARDLY: f64 = 3.0;
/// Broods and a filling on time of which one brings less than this share of the other want an explanation.
const FAR_APART: f64 = 0.5;
/// A feed that gives this many times what is wanted is told.
const MUCH_MORE: f64 = 1.25;
/// A feed that brings more than this share of a whole filling is one large meal...
const NEARLY_ALL: f64 = 0.6;
/// ...where there are so many feeds at least...
const FEW_FEEDS: usize = 3;
/// ...and so many parts of 100 wanted come.
const WORTH: f64 = 10.0;

/// The answer of the report.
#[must_use]
pub fn answer(trials: &Trials<'_>) -> Answer {
    let usual = of_comparison(trials.facts);
    let mut notes = troubles(trials);
    notes.extend(warnings(trials, &usual));
    Answer {
        verdict: usual.verdict,
        first: food(trials),
        second: usual.first.clone(),
        notes,
        numbers: numbers(trials, &usual),
    }
}

/// What must be known to read food and fry rightly, beside the troubles.
pub fn warnings(trials: &Trials<'_>, usual: &Answer) -> Vec<String> {
    let mut notes: Vec<String> = disagreement(trials, usual.verdict).into_iter().collect();
    notes.extend(in_the_broods(trials));
    notes.extend(too_much(trials));
    notes.extend(one_meal(trials));
    notes.extend(dry(trials));
    notes.extend(usual.notes.iter().cloned());
    if trials.facts.found.likely_only {
        notes.push("What the reservoirs bring of food is told over many worlds all the same.".to_owned());
    }
    notes
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
            format!(
                " In the broods, with visits as they come, its pump feeds of day {} bring {fresh} of {wanted} fresh (dry).",
                trials.facts.study.show_day
            )
        });
        return format!(
            "Filled on time, {name} brings {} of every 100 parts of the food that is wanted, fresh.{day}",
            parts(best)
        );
    };
    let (ours, theirs) = (best.fresh().median, other.fresh().median);
    let mut text = if ours - theirs < HARDLY {
        format!(
            "Filled on time there is hardly a difference in food: of every 100 parts wanted {name} brings {} fresh, {} {}.",
            parts(best),
            quoted(other.name()),
            fry(theirs)
        )
    } else {
        format!(
            "Filled on time, {name} brings most fresh food: {} of every 100 parts wanted, {} {}.",
            parts(best),
            quoted(other.name()),
            parts(other)
        )
    };
    if let Some((ours, theirs)) = best.day.zip(other.day) {
        text.push_str(&format!(
            " In the broods, with visits as they come, the pump feeds of day {} bring {} fresh against {}, of {} wanted \
             (dry).",
            trials.facts.study.show_day,
            milligrams(ours.fresh),
            milligrams(theirs.fresh),
            milligrams(ours.wanted)
        ));
    }
    text
}

/// What the trouble is with each reservoir, those with the same trouble together.
pub fn troubles(trials: &Trials<'_>) -> Vec<String> {
    // Those with the same trouble in one sentence; with several, those with the same ones.
    let kind = |vessel: &Vessel<'_>| {
        let losses = vessel.losses();
        let trouble = losses.trouble();
        (trouble, if trouble == Trouble::Several { losses.named() } else { Vec::new() })
    };
    let mut kinds: Vec<(Trouble, Vec<String>)> = Vec::new();
    for vessel in &trials.vessels {
        let one = kind(vessel);
        if !kinds.contains(&one) {
            kinds.push(one);
        }
    }
    let order = [Trouble::Shape, Trouble::Freshness, Trouble::Tube, Trouble::Several, Trouble::Little];
    kinds.sort_by_key(|(trouble, _)| order.iter().position(|one| one == trouble));
    let with = |wanted: &(Trouble, Vec<String>)| -> Vec<String> {
        let same = trials.vessels.iter().filter(|vessel| kind(vessel) == *wanted);
        same.map(|vessel| quoted(vessel.name())).collect()
    };
    kinds
        .into_iter()
        .filter_map(|of_kind| {
            let names = with(&of_kind);
            let (trouble, causes) = of_kind;
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
                        "{names} {} to more than one trouble: {}.",
                        if one { "loses" } else { "lose" },
                        list(&causes)
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

/// Where the broods get far less, or far more, than a filling on time brings, and why.
fn in_the_broods(trials: &Trials<'_>) -> Vec<String> {
    let names = |holds: &dyn Fn(f64, f64) -> bool| -> Option<String> {
        let told = trials
            .vessels
            .iter()
            .filter(|vessel| vessel.day.is_some_and(|day| holds(day.fresh_share() * 100.0, vessel.fresh().median)));
        let names: Vec<String> = told.map(|vessel| quoted(vessel.name())).collect();
        (!names.is_empty()).then(|| list(&names))
    };
    let less = names(&|played, on_time| on_time >= HARDLY && played < on_time * FAR_APART).map(|names| {
        format!(
            "With {names} the broods get far less than a filling on time brings: when a visit comes after its feed, the \
             feed pumps what has lain since the last filling, and the next one may be too late for what settles."
        )
    });
    let more = names(&|played, on_time| played >= HARDLY && on_time < played * FAR_APART).map(|names| {
        format!(
            "With {names} the broods get far more than the one filling brings in its own time: what stays in the tube \
             comes with a later filling."
        )
    });
    less.into_iter().chain(more).collect()
}

/// A word of warning where timer and pump give much more, or much less, than is wanted.
fn too_much(trials: &Trials<'_>) -> Option<String> {
    let feeds = trials.vessels.iter().flat_map(|vessel| &vessel.trial.feeds).filter(|feed| feed.wanted_ml > 0.0);
    let most = feeds.max_by(|a, b| (a.given_ml / a.wanted_ml).total_cmp(&(b.given_ml / b.wanted_ml)))?;
    let unless =
        if trials.facts.any_water() { "" } else { ", which is not reckoned with: describe it under [tub.water]" };
    (most.given_ml > most.wanted_ml * MUCH_MORE).then(|| {
        format!(
            "Timer and pump give up to {} mL where {} mL are wanted: so more than 100 parts of 100 wanted can come. That \
             is no merit: what nobody eats fouls the water{unless}.",
            figures(most.given_ml),
            figures(most.wanted_ml)
        )
    })
}

/// That nearly all of a filling comes in one feed, where it does.
fn one_meal(trials: &Trials<'_>) -> Vec<String> {
    let told = |vessel: &Vessel<'_>| {
        let feeds = &vessel.trial.feeds;
        let fresh: Vec<f64> = feeds.iter().filter_map(|feed| vessel.of_feed(Some(feed))).collect();
        let whole: f64 = fresh.iter().sum();
        let (at, most) = fresh.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1))?;
        let one = feeds.len() >= FEW_FEEDS && vessel.fresh().median >= WORTH && *most > whole * NEARLY_ALL;
        one.then(|| {
            format!(
                "Of what “{}” brings fresh, {} of 100 parts come with one feed, at {}: one large meal, not many small \
                 ones.",
                vessel.name(),
                fry(most / whole * 100.0),
                clock(feeds[at].hour)
            )
        })
    };
    trials.vessels.iter().filter_map(told).collect()
}

/// A warning for the reservoirs whose pump draws air, those alike together.
pub fn dry(trials: &Trials<'_>) -> Vec<String> {
    let when = |vessel: &Vessel<'_>| {
        let trial = vessel.trial;
        let feed = trial.dry_at.and_then(|at| Some((at, trial.feeds.get(at)?)));
        let first = match feed {
            Some((at, feed)) => {
                format!("at the likely values first at feed {} of {} ({})", at + 1, trial.feeds.len(), clock(feed.hour))
            }
            None => "not at the likely values".to_owned(),
        };
        format!(
            "draws air before the next filling in {} of 100 worlds, {first}: pour in more, or feed less.",
            fry(trial.dry_worlds * 100.0)
        )
    };
    let mut alike: Vec<(String, Vec<String>)> = Vec::new();
    for vessel in trials.vessels.iter().filter(|vessel| vessel.trial.dry_worlds > 0.0) {
        let (when, name) = (when(vessel), quoted(vessel.name()));
        match alike.iter_mut().find(|(told, _)| *told == when) {
            Some((_, names)) => names.push(name),
            None => alike.push((when, vec![name])),
        }
    }
    alike.into_iter().map(|(when, names)| format!("The pump of {} {when}", list(&names))).collect()
}

fn numbers(trials: &Trials<'_>, usual: &Answer) -> Vec<BigNumber> {
    let mut numbers = Vec::new();
    if let Some(best) = trials.best() {
        let fresh = best.fresh();
        numbers.push(BigNumber {
            value: fry(fresh.median),
            label: format!("parts of fresh food for 100 wanted, from {}", quoted_briefly(best.name())),
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
