//! The answer in two sentences and three numbers.
//!
//! Knows what was found and says it plainly, also when it is "no clear difference", "none weaned" or "all dead".
//! Levels are those of the middle world, differences are means over paired worlds.

use frytub_sim::outcome::Pair;

use crate::facts::Facts;
use crate::jar_words::warning;
use crate::setbacks;
use crate::words::{
    a_day, day, difference_range, figures, fry, list, quoted, quoted_briefly, so_many_a_day, with_range,
};

/// A difference smaller than this many fry out of 100 is no reason to change a plan.
const WORTH_MENTION: f64 = 1.0;
/// Fewer fry than this out of 100 count as none.
const NONE: f64 = 0.5;
/// A plan that gives this many times the food of another is told apart for it.
const MUCH_MORE_FOOD: f64 = 1.25;

/// A mean and a middle further apart than this need a word of explanation, in fry out of 100.
const FAR_FROM_MIDDLE: f64 = 2.0;

/// So many plans that fall behind are named.
const MOST_NAMED: usize = 3;

/// Fewer worlds than this bear no advice.
const FEW_WORLDS: u32 = 20;

/// Where the leader may be ahead by no more than this many fry out of 100, a plan counts as doing as well.
const AS_GOOD: f64 = 3.0;

/// What the whole comparison comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The leader brings more weaned fry than the rival, beyond chance.
    Ahead,
    /// Leader and rival cannot be told apart, or differ by less than a fry in 100.
    NoClearDifference,
    /// Some live, none is weaned, under every plan.
    NoneWeaned,
    /// None lives under any plan.
    AllDead,
    /// There was only one plan.
    OnePlan,
}

/// A number worth a box of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BigNumber {
    /// The number.
    pub value: String,
    /// What it counts.
    pub label: String,
    /// Its range, or how it came about; may be empty.
    pub range: String,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// What kind of answer it is.
    pub verdict: Verdict,
    /// Which plan, how much better, with which odds.
    pub first: String,
    /// Whether less work does as well.
    pub second: String,
    /// What must be known to read the two rightly: more food, few worlds, no odds.
    pub notes: Vec<String>,
    /// Two or three numbers.
    pub numbers: Vec<BigNumber>,
}

/// True when a plan falls short of the leader by no more than chance or than is worth mention.
#[must_use]
pub fn within_noise(pair: &Pair) -> bool {
    pair.mean_95.low <= 0.0 || pair.difference.mean < WORTH_MENTION
}

/// What the comparison comes to.
#[must_use]
pub fn verdict(facts: &Facts<'_>) -> Verdict {
    let most =
        |value: fn(&frytub_sim::outcome::PlanResult) -> f64| facts.found.plans.iter().map(value).fold(0.0, f64::max);
    if most(|p| p.alive.mean) < NONE {
        Verdict::AllDead
    } else if most(|p| p.weaned.mean) < NONE {
        Verdict::NoneWeaned
    } else {
        match facts.rival().and_then(|rival| facts.pair(rival)) {
            None => Verdict::OnePlan,
            Some(pair) if within_noise(pair) => Verdict::NoClearDifference,
            Some(_) => Verdict::Ahead,
        }
    }
}

/// Tells the answer.
#[must_use]
pub fn answer(facts: &Facts<'_>) -> Answer {
    let verdict = verdict(facts);
    let first = match verdict {
        Verdict::AllDead => all_dead(facts),
        Verdict::NoneWeaned => none_weaned(facts),
        Verdict::OnePlan => one_plan(facts),
        Verdict::Ahead => ahead(facts),
        Verdict::NoClearDifference => no_clear_difference(facts),
    };
    let second = match verdict {
        Verdict::AllDead | Verdict::NoneWeaned => what_took_them(facts),
        Verdict::OnePlan => "There was no other plan to set it against.".to_owned(),
        Verdict::Ahead | Verdict::NoClearDifference => simpler(facts),
    };
    Answer { verdict, first, second, notes: notes(facts, verdict), numbers: numbers(facts, verdict) }
}

fn ahead(facts: &Facts<'_>) -> String {
    let (leader, rival) = (facts.leader(), facts.found.rival);
    let (ours, theirs) = (facts.result(leader).weaned, facts.result(rival).weaned);
    let mut text =
        format!("{} brings {} of every 100 fry to brine shrimp", quoted(facts.name(leader)), fry(ours.median));
    if let Some(pair) = facts.pair(rival) {
        text.push_str(&format!(", {} brings {}", quoted(facts.name(rival)), fry(theirs.median)));
        if facts.has_worlds() {
            text.push_str(&format!(
                " (middle world); over all worlds that is on average {} more (80 % range: {}). It is {}",
                fry(pair.difference.mean),
                difference_range(pair.difference.low, pair.difference.high),
                odds(pair)
            ));
        }
    }
    text + "."
}

/// In how many worlds the leader did better, the same and worse.
fn odds(pair: &Pair) -> String {
    format!(
        "better in {}, the same in {} and worse in {} of 100 worlds",
        fry(pair.better),
        fry(pair.same),
        fry(pair.worse())
    )
}

fn no_clear_difference(facts: &Facts<'_>) -> String {
    let (leader, rival) = (facts.leader(), facts.found.rival);
    let mut text = format!(
        "There is no clear difference: {} brings {} of every 100 fry to brine shrimp, {} brings {}",
        quoted(facts.name(leader)),
        fry(facts.result(leader).weaned.median),
        quoted(facts.name(rival)),
        fry(facts.result(rival).weaned.median),
    );
    if let Some(pair) = facts.pair(rival)
        && facts.has_worlds()
    {
        text.push_str(&format!(
            " (80 % range of the difference: {}). The first is {}",
            difference_range(pair.difference.low, pair.difference.high),
            odds(pair)
        ));
    }
    text + "."
}

fn one_plan(facts: &Facts<'_>) -> String {
    let result = facts.result(facts.leader());
    let mut text = format!(
        "{} brings {} of every 100 fry to brine shrimp by day {}",
        quoted(facts.name(facts.leader())),
        fry(result.weaned.median),
        facts.study.days
    );
    if facts.has_worlds() {
        text.push_str(&format!(" (80 % range: {} to {})", fry(result.weaned.low), fry(result.weaned.high)));
    }
    text + "."
}

fn none_weaned(facts: &Facts<'_>) -> String {
    let best = facts.leader();
    let alive = fry(facts.result(best).alive.median);
    if facts.found.plans.len() == 1 {
        return format!(
            "{} brings no fry to brine shrimp by day {}; {alive} of every 100 are still alive then.",
            quoted(facts.name(best)),
            facts.study.days
        );
    }
    format!(
        "No plan brings fry to brine shrimp by day {}; most are still alive with {}: {alive} of every 100.",
        facts.study.days,
        quoted(facts.name(best)),
    )
}

fn all_dead(facts: &Facts<'_>) -> String {
    // The last day on which the best plan still had one fry in 100 alive.
    let last = facts.found.plans.iter().flat_map(|plan| &plan.survival).filter(|p| p.alive.mean >= 1.0);
    let last = last.map(|p| p.hour).fold(0.0, f64::max);
    let when = day((last / 24.0).floor() + 1.0);
    if facts.found.plans.len() == 1 {
        format!("All fry die with {}: the last on about {when}.", quoted(facts.name(facts.leader())))
    } else {
        format!("All fry die with every plan: the last on about {when}.")
    }
}

fn what_took_them(facts: &Facts<'_>) -> String {
    let leader = facts.leader();
    match facts.main_loss(leader) {
        Some((cause, dead)) => format!(
            "With {} most are lost to “{}”: {} of every 100.",
            quoted(facts.name(leader)),
            cause.label(),
            fry(dead)
        ),
        None => "None died: they have not grown into brine shrimp yet.".to_owned(),
    }
}

/// Whether a plan with fewer visits or feeds does as well within the noise.
fn simpler(facts: &Facts<'_>) -> String {
    if facts.has_worlds() && facts.found.worlds < FEW_WORLDS {
        return "Too few worlds were run to say whether less work would do as well.".to_owned();
    }
    let leader = facts.plan(facts.leader());
    let load = |plan: usize| (facts.plan(plan).visits_a_day(), facts.plan(plan).feeds_a_day());
    let (visits, feeds) = (leader.visits_a_day(), leader.feeds_a_day());
    let less_work: Vec<&Pair> = facts
        .found
        .pairs
        .iter()
        .filter(|pair| {
            let (v, f) = load(pair.plan);
            v <= visits + 1e-9 && f <= feeds + 1e-9 && (v < visits - 1e-9 || f < feeds - 1e-9)
        })
        .collect();
    let work = |plan: usize| {
        let (v, f) = load(plan);
        format!("{} and {}", so_many_a_day(v, "visit"), so_many_a_day(f, "feed"))
    };
    let least_work = |a: &&&Pair, b: &&&Pair| {
        let (a_load, b_load) = (load(a.plan), load(b.plan));
        a_load.0.total_cmp(&b_load.0).then(a_load.1.total_cmp(&b_load.1)).then(a.plan.cmp(&b.plan))
    };
    // No proof of a difference is no proof of equality: the interval must also be short.
    let as_good = less_work.iter().filter(|pair| within_noise(pair) && pair.mean_95.high <= AS_GOOD).min_by(least_work);
    if let Some(pair) = as_good {
        return format!(
            "Less work does as well: {} ({} instead of {} and {}) brings {}.",
            quoted(facts.name(pair.plan)),
            work(pair.plan),
            a_day(visits),
            a_day(feeds),
            fry(facts.result(pair.plan).weaned.median),
        );
    }
    if let Some(pair) = less_work.iter().filter(|pair| within_noise(pair)).min_by(least_work) {
        return format!(
            "Whether less work would do as well cannot be told yet: {} ({}) may fall short by up to {}; run more broods.",
            quoted(facts.name(pair.plan)),
            work(pair.plan),
            fry(pair.mean_95.high),
        );
    }
    let nearest = less_work.iter().min_by(|a, b| a.difference.mean.total_cmp(&b.difference.mean));
    match nearest {
        Some(pair) => format!(
            "No plan with less work does as well: the nearest, {} ({}), falls short by {} on average over the worlds.",
            quoted(facts.name(pair.plan)),
            work(pair.plan),
            fry(pair.difference.mean),
        ),
        None if facts.found.pairs.iter().all(|pair| {
            let (v, f) = load(pair.plan);
            (v - visits).abs() < 1e-9 && (f - feeds).abs() < 1e-9
        }) =>
        {
            "All plans ask for the same visits and feeds.".to_owned()
        }
        None => "No plan with fewer visits or feeds was compared.".to_owned(),
    }
}

/// Whom the leader does leave behind, where it cannot be told from the first rival.
fn left_behind(facts: &Facts<'_>) -> Option<String> {
    let mut clear: Vec<&Pair> =
        facts.found.pairs.iter().filter(|pair| facts.shown.contains(&pair.plan) && !within_noise(pair)).collect();
    clear.sort_by(|a, b| a.difference.mean.total_cmp(&b.difference.mean).then(a.plan.cmp(&b.plan)));
    let more = clear.len().saturating_sub(MOST_NAMED);
    clear.truncate(MOST_NAMED);
    let mut named: Vec<String> = clear
        .iter()
        .map(|pair| format!("{} by {}", quoted(facts.name(pair.plan)), fry(pair.difference.mean)))
        .collect();
    if more > 0 {
        named.push(format!("{more} more by still more"));
    }
    let mean = if facts.has_worlds() { ", on average over the worlds" } else { "" };
    (!named.is_empty()).then(|| {
        format!("{} is clearly ahead of {} fry of 100{mean}.", quoted(facts.name(facts.leader())), list(&named))
    })
}

fn notes(facts: &Facts<'_>, verdict: Verdict) -> Vec<String> {
    let mut notes = Vec::new();
    if verdict == Verdict::NoClearDifference {
        notes.extend(left_behind(facts));
    }
    if let (Some(rival), Verdict::Ahead | Verdict::NoClearDifference) = (facts.rival(), verdict) {
        let (ours, theirs) = (facts.result(facts.leader()).food_given_mg, facts.result(rival).food_given_mg);
        if theirs > 0.0 && !(1.0 / MUCH_MORE_FOOD..=MUCH_MORE_FOOD).contains(&(ours / theirs)) {
            let (more, less, ratio) = if ours > theirs {
                (facts.leader(), rival, ours / theirs)
            } else {
                (rival, facts.leader(), theirs / ours)
            };
            let mut note = format!(
                "{} also gives {} times as much food as {}; part of the difference may be the food.",
                quoted(facts.name(more)),
                figures((ratio * 10.0).round() / 10.0),
                quoted(facts.name(less)),
            );
            if !facts.has_water(more) && !facts.has_water(less) {
                note.push_str(
                    " What uneaten food does to the water is not reckoned with: describe it under [tub.water].",
                );
            }
            notes.push(note);
        }
        notes.extend(water_of_one(facts, facts.leader(), rival));
    }
    if let (Some(pair), Verdict::Ahead) = (facts.rival().and_then(|rival| facts.pair(rival)), verdict) {
        let (mean, middle) = (pair.difference.mean, pair.difference.median);
        if facts.has_worlds() && mean - middle > FAR_FROM_MIDDLE.max(mean / 3.0) {
            let lead = match fry(middle).as_str() {
                "0" => "there is no lead".to_owned(),
                some => format!("the lead is {some} or less"),
            };
            notes.push(format!(
                "In half of the worlds {lead}: the mean of {} counts the bad worlds, in which {} fails.",
                fry(mean),
                quoted(facts.name(pair.plan)),
            ));
        }
    }
    notes.extend(setbacks::words::for_the_answer(facts));
    notes.extend(facts.found.jar_tests.iter().filter_map(|finding| warning(facts.study, finding)));
    if facts.found.likely_only {
        notes.push(
            "Every uncertain number was held at its most likely value, so no odds are given: run without that to get them."
                .to_owned(),
        );
    } else if facts.found.worlds < FEW_WORLDS {
        notes.push(match facts.found.worlds {
            1 => "Only one world was run: it tells nothing of what is not known.".to_owned(),
            worlds => format!("Only {worlds} worlds were run: take every range as rough."),
        });
    }
    notes
}

/// That of two plans only one can lose fry to its water, which makes the comparison lopsided.
fn water_of_one(facts: &Facts<'_>, a: usize, b: usize) -> Option<String> {
    let (with, without) = match (facts.has_water(a), facts.has_water(b)) {
        (true, false) => (a, b),
        (false, true) => (b, a),
        _ => return None,
    };
    Some(format!(
        "The water is reckoned with for {} only: fry of {} cannot die of fouled water here, which favours that plan.",
        quoted(facts.name(with)),
        quoted(facts.name(without)),
    ))
}

fn numbers(facts: &Facts<'_>, verdict: Verdict) -> Vec<BigNumber> {
    let leader = facts.leader();
    let result = facts.result(leader);
    let range = |spread: &frytub_sim::outcome::Spread| {
        if facts.has_worlds() {
            format!("80 % of worlds: {} to {}", fry(spread.low), fry(spread.high))
        } else {
            String::new()
        }
    };
    let mut numbers = vec![BigNumber {
        value: fry(result.weaned.median),
        label: format!("of 100 fry weaned with {}", quoted_briefly(facts.name(leader))),
        range: range(&result.weaned),
    }];
    match (facts.rival().and_then(|rival| facts.pair(rival)), verdict) {
        (Some(pair), Verdict::Ahead | Verdict::NoClearDifference) => {
            numbers.push(BigNumber {
                value: crate::words::signed(pair.difference.mean),
                label: format!("of 100 against {}, on average", quoted_briefly(facts.name(pair.plan))),
                range: if facts.has_worlds() {
                    format!("80 % of worlds: {}", difference_range(pair.difference.low, pair.difference.high))
                } else {
                    String::new()
                },
            });
            if facts.has_worlds() {
                numbers.push(BigNumber {
                    value: fry(pair.better),
                    label: "of 100 worlds in which it does better".to_owned(),
                    range: format!("the same in {}, worse in {}", fry(pair.same), fry(pair.worse())),
                });
            }
        }
        _ => {
            numbers.push(BigNumber {
                value: fry(result.alive.median),
                label: format!("of 100 fry alive on day {}", facts.study.days),
                range: range(&result.alive),
            });
            if let Some((cause, dead)) = facts.main_loss(leader) {
                numbers.push(BigNumber {
                    value: fry(dead),
                    label: format!("of 100 lost: {}", cause.label()),
                    range: String::new(),
                });
            }
        }
    }
    numbers
}

/// A short finding for a chart's title: who leads by how much.
#[must_use]
pub fn finding(facts: &Facts<'_>) -> String {
    let leader = quoted_briefly(facts.name(facts.leader()));
    match verdict(facts) {
        Verdict::AllDead => format!("No fry live to day {}", facts.study.days),
        Verdict::NoneWeaned => format!("No fry reach brine shrimp by day {}", facts.study.days),
        Verdict::OnePlan => {
            format!("{leader}: {} of every 100 fry weaned", with_range(&facts.result(facts.leader()).weaned))
        }
        Verdict::NoClearDifference => {
            format!("No clear difference between {leader} and {}", quoted_briefly(facts.name(facts.found.rival)))
        }
        Verdict::Ahead => {
            let more = facts.pair(facts.found.rival).map_or(0.0, |pair| pair.difference.mean);
            let rival = quoted_briefly(facts.name(facts.found.rival));
            let mean = if facts.has_worlds() { "on average " } else { "" };
            format!("{leader}: {mean}{} more of every 100 fry weaned than {rival}", fry(more))
        }
    }
}
