//! Setbacks, their hours and their costs in plain words.

use frytub_sim::outcome::Cost;
use frytub_sim::setbacks::{CULTURE_LATE_D, CUT_H, LATE_H, Setback};
use frytub_sim::study::Study;

use super::{FORGIVEN, Verdict, cost, forgiver, plans, tried, verdict, worst};
use crate::facts::Facts;
use crate::words::{NOTHING, capital, clock, count, fry, list, quoted, quoted_briefly};

/// So many setbacks that are not clear are named in the answer.
const MOST_NAMED: usize = 3;

/// A plan that weans less than this share of what the leader weans has little to lose to a setback.
const LITTLE_TO_LOSE: f64 = 0.5;

/// Said where nothing was varied.
const ONE_WORLD: &str = "One world alone does not tell what a setback costs";

/// A small whole number in letters; any other in figures.
fn spelled(value: f64) -> String {
    const NUMBERS: [&str; 10] = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    let whole = value.round();
    let known = (whole - value).abs() < 1e-9 && (1.0..=10.0).contains(&whole);
    if known { NUMBERS[whole as usize - 1].to_owned() } else { crate::words::figures(value) }
}

/// A culture that is late; brine shrimp are hatched, not cultured.
fn late_culture(study: &Study, food: usize) -> String {
    let food = &study.foods[food];
    let late = format!("{} days late", spelled(f64::from(CULTURE_LATE_D)));
    if food.weaning { format!("{}: {late}", food.name) } else { format!("{} culture {late}", food.name) }
}

/// As it stands at the head of a row or column: "power off for four hours".
#[must_use]
pub fn name(study: &Study, setback: Setback) -> String {
    match setback {
        Setback::LateMorning => format!("one morning {} hours late", spelled(LATE_H)),
        Setback::MissedMorning => "one morning missed".to_owned(),
        Setback::SkippedChange => "one water change skipped".to_owned(),
        Setback::PowerCut => format!("power off for {} hours", spelled(CUT_H)),
        Setback::AirStop => "air stone stopped until the next visit".to_owned(),
        Setback::Clog => "feed line clogged until the next visit".to_owned(),
        Setback::Slip => "feed tube slipped until the next visit".to_owned(),
        Setback::LateCulture(food) => late_culture(study, food),
    }
}

/// As it stands before "costs": "a power cut of four hours".
fn subject(study: &Study, setback: Setback) -> String {
    match setback {
        Setback::LateMorning => format!("one morning {} hours late", spelled(LATE_H)),
        Setback::MissedMorning => "one missed morning".to_owned(),
        Setback::SkippedChange => "one skipped water change".to_owned(),
        Setback::PowerCut => format!("a power cut of {} hours", spelled(CUT_H)),
        Setback::AirStop => "an air stone that stops until the next visit".to_owned(),
        Setback::Clog => "a feed line that clogs until the next visit".to_owned(),
        Setback::Slip => "a feed tube that slips until the next visit".to_owned(),
        Setback::LateCulture(food) if study.foods[food].weaning => {
            let days = spelled(f64::from(CULTURE_LATE_D));
            format!("a start {days} days late with {}", study.foods[food].name)
        }
        Setback::LateCulture(food) => format!("the {}", late_culture(study, food)),
    }
}

/// When it struck: "day 6, 22:00"; of a culture only the day on which it was to be fed first.
#[must_use]
pub fn when(cost: &Cost) -> String {
    match cost.setback {
        Setback::LateCulture(_) => format!("day {}", cost.day),
        _ => format!("day {}, {}", cost.day, clock(cost.hour)),
    }
}

/// When a setback struck the plans set side by side: one hour if it is the same for all, else the days.
#[must_use]
pub fn when_for_all(facts: &Facts<'_>, setback: Setback) -> String {
    let costs: Vec<&Cost> = plans(facts).into_iter().filter_map(|plan| cost(facts, plan, setback)).collect();
    let what = if matches!(setback, Setback::LateCulture(_)) { "due on" } else { "worst hour:" };
    let mut all: Vec<String> = costs.iter().map(|cost| when(cost)).collect();
    all.dedup();
    if let [one] = all.as_slice() {
        return format!("{what} {one}");
    }
    let days = costs.iter().map(|cost| cost.day);
    match (days.clone().min(), days.max()) {
        (Some(first), Some(last)) if first == last => format!("{what} day {first}, hours differ"),
        (Some(first), Some(last)) => format!("{what} day {first} to {last}, by plan"),
        _ => String::new(),
    }
}

/// Fry that were lost, as a whole number with a true minus sign.
#[must_use]
pub fn whole(value: f64) -> String {
    match value.round() {
        v if !v.is_finite() => NOTHING.to_owned(),
        v if v < 0.0 => format!("−{:.0}", v.abs()),
        v => format!("{:.0}", v.abs()),
    }
}

/// What is made of a cost in the least room; a dash where there is none.
#[must_use]
pub fn verdict_briefly(cost: Option<&Cost>) -> String {
    cost.map_or_else(
        || NOTHING.to_owned(),
        |cost| match verdict(cost) {
            Verdict::Forgives => "forgives".to_owned(),
            Verdict::Costs => format!("about {}", whole(cost.lost.mean)),
            Verdict::NotClear => "not clear".to_owned(),
        },
    )
}

/// The same with the mean and the range of 80 % of the worlds.
#[must_use]
pub fn verdict_at_length(cost: Option<&Cost>) -> String {
    let Some(cost) = cost else { return NOTHING.to_owned() };
    let [low, mean, high] = [cost.lost.low, cost.lost.mean, cost.lost.high].map(whole);
    let range = if low == high { String::new() } else { format!(" ({low} to {high})") };
    match verdict(cost) {
        Verdict::Forgives => format!("forgives: {mean}{range}"),
        Verdict::Costs => format!("costs about {mean}{range}"),
        Verdict::NotClear => format!("not clear: {mean}{range}"),
    }
}

/// True when the costs have intervals.
fn has_worlds(facts: &Facts<'_>) -> bool {
    facts.found.costs.iter().any(|cost| cost.worlds > 1)
}

/// How the costs came about, and how far they can be trusted.
#[must_use]
pub fn method(facts: &Facts<'_>) -> String {
    let worlds = facts.found.costs.iter().map(|cost| cost.worlds).max().unwrap_or(0);
    format!(
        "Each setback is forced once, not drawn: at the hour at which it does most harm to the plan with every number at \
         its likely value. The same broods are played with it and without it. Mean over {}; small effects are lost in \
         chance.{}",
        count(worlds, "world"),
        little_to_lose(facts)
    )
}

/// That a plan which fails anyway forgives easily; empty where none does.
fn little_to_lose(facts: &Facts<'_>) -> String {
    let most = facts.result(facts.leader()).weaned.mean;
    let few = |plan: &usize| facts.result(*plan).weaned.mean < LITTLE_TO_LOSE * most;
    let names: Vec<String> = plans(facts).into_iter().filter(few).map(|plan| quoted(facts.name(plan))).collect();
    match names.len() {
        0 => String::new(),
        1 => format!(" {} weans few fry even without a setback, so it has little to lose.", names[0]),
        _ => format!(" {} wean few fry even without a setback, so they have little to lose.", list(&names)),
    }
}

/// The finding: which setback costs which plan most, and which plan forgives it.
#[must_use]
pub fn title(facts: &Facts<'_>) -> String {
    let plans = plans(facts);
    let study = facts.study;
    let most = plans
        .iter()
        .filter_map(|&plan| worst(facts, plan))
        .reduce(|most, next| if next.lost.mean > most.lost.mean { next } else { most });
    let name = |plan: usize| quoted_briefly(facts.name(plan));
    if !has_worlds(facts) {
        return ONE_WORLD.to_owned();
    }
    if let Some(most) = most {
        let subject = capital(&subject(study, most.setback));
        let lost = fry(most.lost.mean);
        let others = plans.iter().filter(|&&plan| cost(facts, plan, most.setback).is_some()).count() > 1;
        let most_of_all = if others { " most" } else { "" };
        let forgives = forgiver(facts, most.setback).map_or_else(String::new, |p| format!("; {} forgives it", name(p)));
        return format!("{subject} costs {}{most_of_all}: {lost} of 100 fry{forgives}", name(most.plan));
    }
    let mut costs = plans.iter().flat_map(|&plan| tried(facts).into_iter().filter_map(move |s| cost(facts, plan, s)));
    match (costs.all(|cost| verdict(cost) == Verdict::Forgives), plans.as_slice()) {
        (true, [one]) => format!("{} forgives every setback that was tried", name(*one)),
        (true, _) => "Every plan forgives every setback that was tried".to_owned(),
        (false, _) => format!("No setback that was tried surely costs {FORGIVEN:.0} of 100 fry or more"),
    }
}

/// One sentence for the answer: what costs the leader most, and who forgives it; none when nothing was tried.
#[must_use]
pub fn for_the_answer(facts: &Facts<'_>) -> Option<String> {
    let leader = facts.leader();
    let ours: Vec<&Cost> = tried(facts).into_iter().filter_map(|setback| cost(facts, leader, setback)).collect();
    if ours.is_empty() {
        return None;
    }
    if !has_worlds(facts) {
        return Some(format!("{ONE_WORLD}."));
    }
    let name = quoted(facts.name(leader));
    let Some(worst) = worst(facts, leader) else {
        let unclear: Vec<String> = ours
            .iter()
            .filter(|cost| verdict(cost) == Verdict::NotClear)
            .map(|cost| self::name(facts.study, cost.setback))
            .collect();
        let surely = format!("No setback that was tried surely costs {name} {FORGIVEN:.0} fry of 100");
        return Some(match unclear.len() {
            0 => format!("{name} forgives every setback that was tried."),
            n if n > MOST_NAMED => format!("{surely}; {n} of {} are not clear.", ours.len()),
            _ => format!("{surely}; not clear: {}.", list(&unclear)),
        });
    };
    let forgives =
        forgiver(facts, worst.setback).map_or_else(String::new, |p| format!("; {} forgives it", quoted(facts.name(p))));
    Some(format!(
        "Of the setbacks tried, {} ({}) costs {name} most: about {} weaned fry of 100{forgives}.",
        subject(facts.study, worst.setback),
        when(worst),
        fry(worst.lost.mean),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_spelled_as_far_as_ten() {
        assert_eq!(spelled(4.0), "four");
        assert_eq!(spelled(2.5), "2.5");
        assert_eq!(spelled(11.0), "11");
    }

    #[test]
    fn losses_have_a_true_minus_sign_and_no_minus_zero() {
        assert_eq!(whole(-2.6), "−3");
        assert_eq!(whole(-0.2), "0");
        assert_eq!(whole(f64::NAN), "–");
    }
}
