//! What chart 8 says in words: its finding, its text for those who do not see it, and which plans it leaves out.
//!
//! The worst of a brood is the worst hour of each world, so the middle of it can lie beyond the chart's line, which is
//! the middle world hour by hour; it is the former that decides whether fry come to harm.

use frytub_sim::fry::tolerance::{FEEDS_FREELY_MG_L, SHY_FROM};
use frytub_sim::outcome::Cause;

use super::water_curve::{What, day_of, on_worst};
use crate::facts::Facts;
use crate::words::{NOTHING, fry, list, quoted_briefly};

/// So many plans without water are named; more are counted.
const MOST_NAMED: usize = 3;

/// An amount of oxygen as a keeper's kit would tell it, mg/L.
#[must_use]
pub fn oxygen(value: f64) -> String {
    match value {
        v if !v.is_finite() => NOTHING.to_owned(),
        v if v < 0.05 => "0".to_owned(),
        v => format!("{v:.1}"),
    }
}

/// Un-ionised ammonia to two figures, mg/L.
#[must_use]
pub fn ammonia(value: f64) -> String {
    match value {
        v if !v.is_finite() => NOTHING.to_owned(),
        v if v <= 0.0 => "0".to_owned(),
        v if v < 0.0005 => "under 0.001".to_owned(),
        v => {
            let decimals = (1 - v.log10().floor() as i32).clamp(0, 3) as usize;
            format!("{v:.decimals$}")
        }
    }
}

/// A plan's worst value of one thing.
struct Worst {
    plan: usize,
    what: What,
    value: f64,
    harm: f64,
    day: Option<u32>,
}

/// The worst of every plan and thing, oxygen first: it kills within hours.
fn worst_of_all(facts: &Facts<'_>, plans: &[usize], in_few_worlds: bool) -> Vec<Worst> {
    let mut all = Vec::new();
    for what in What::ALL {
        let mut of_one: Vec<Worst> = plans
            .iter()
            .filter_map(|&plan| {
                let water = facts.result(plan).water.as_ref()?;
                let spread = what.worst(water);
                let value = if in_few_worlds { what.bad_end(&spread) } else { spread.median };
                let day = on_worst(water, what).map(|point| day_of(point.hour));
                Some(Worst { plan, what, value, harm: what.harm(value, what.limit(water)), day })
            })
            .collect();
        of_one.sort_by(|a, b| b.harm.total_cmp(&a.harm).then(a.plan.cmp(&b.plan)));
        all.extend(of_one);
    }
    all
}

/// The finding: which plan fouls its water, how far and when; or that none does.
#[must_use]
pub fn title(facts: &Facts<'_>, plans: &[usize]) -> String {
    let middle = worst_of_all(facts, plans, false);
    let few = worst_of_all(facts, plans, true);
    let name = |worst: &Worst| quoted_briefly(facts.name(worst.plan));
    let on_day = |worst: &Worst| worst.day.map_or_else(String::new, |day| format!(" on day {day}"));
    let in_the_middle = if facts.has_worlds() { " in the middle world" } else { "" };
    if let Some(worst) = middle.iter().find(|worst| worst.harm > 1.0) {
        return format!("{}: {}{}{in_the_middle}", name(worst), course(worst), on_day(worst));
    }
    if let Some(worst) = few.iter().find(|worst| worst.harm > 1.0).filter(|_| facts.has_worlds()) {
        return format!("{}: {} in one world of ten{}", name(worst), course(worst), toll(facts, worst));
    }
    if let Some(worst) = middle.iter().find(|worst| feeds_less(worst).is_some()) {
        let less = feeds_less(worst).unwrap_or_default();
        return format!("{}: {}{}{in_the_middle}; {less}", name(worst), course(worst), on_day(worst));
    }
    if let Some(worst) = few.iter().find(|worst| feeds_less(worst).is_some()).filter(|_| facts.has_worlds()) {
        let less = feeds_less(worst).unwrap_or_default();
        return format!("{}: {} in one world of ten; {less}", name(worst), course(worst));
    }
    let whose = if facts.found.plans.len() == 1 {
        ""
    } else if facts.found.plans.iter().all(|plan| plan.water.is_some()) {
        " under all plans"
    } else {
        " under all plans whose water is reckoned with"
    };
    let worlds = if facts.has_worlds() { "In nine worlds of ten the" } else { "The" };
    format!("{worlds} water stays good{whose}")
}

/// That fry feed less in such water; none where they do not.
fn feeds_less(worst: &Worst) -> Option<String> {
    match worst.what {
        What::Oxygen => {
            (worst.value < FEEDS_FREELY_MG_L).then(|| format!("below {FEEDS_FREELY_MG_L:.0} fry feed less"))
        }
        What::Ammonia => (worst.harm > SHY_FROM).then(|| "fry feed less in it".to_owned()),
    }
}

/// How many fry the fouled water takes over all worlds, where the tenth that is told does not tell how many more harm.
fn toll(facts: &Facts<'_>, worst: &Worst) -> String {
    let (cause, takes) = match worst.what {
        What::Oxygen => (Cause::NoOxygen, "too little oxygen takes"),
        What::Ammonia => (Cause::Ammonia, "ammonia takes"),
    };
    let dead = facts.result(worst.plan).deaths_by_cause()[cause.index()];
    if dead < 1.0 { String::new() } else { format!("; {takes} {} of 100 fry on average", fry(dead)) }
}

/// "oxygen falls to 1.0 mg/L".
fn course(worst: &Worst) -> String {
    match worst.what {
        What::Oxygen if worst.value < 0.05 => "the oxygen is used up".to_owned(),
        What::Oxygen => format!("oxygen falls to {} mg/L", oxygen(worst.value)),
        What::Ammonia => format!("un-ionised ammonia rises to {} mg/L", ammonia(worst.value)),
    }
}

/// What the picture shows, for those who do not see it.
#[must_use]
pub fn alt(facts: &Facts<'_>, plans: &[usize]) -> String {
    let parts = plans.iter().filter_map(|&plan| {
        let water = facts.result(plan).water.as_ref()?;
        let told = What::ALL.map(|what| {
            let value = what.worst(water).median;
            let (number, harmful) = match what {
                What::Oxygen => (format!("oxygen at least {} mg/L", oxygen(value)), "harmful below"),
                What::Ammonia => (format!("un-ionised ammonia at most {} mg/L", ammonia(value)), "harmless up to"),
            };
            let limit = match what {
                What::Oxygen => oxygen(what.limit(water)),
                What::Ammonia => ammonia(what.limit(water)),
            };
            let day = on_worst(water, what).map_or_else(String::new, |p| format!(", worst on day {}", day_of(p.hour)));
            format!("{number} ({harmful} {limit}){day}")
        });
        Some(format!("{}: {}", facts.name(plan), told.join("; ")))
    });
    let missing = not_reckoned(facts).map_or_else(String::new, |text| format!(" {text}"));
    format!(
        "Lowest oxygen and highest un-ionised ammonia against the day. Middle world: {}.{missing}",
        parts.collect::<Vec<_>>().join("; ")
    )
}

/// A sentence on shown plans whose water is not reckoned with; none when there are none.
#[must_use]
pub fn not_reckoned(facts: &Facts<'_>) -> Option<String> {
    let names: Vec<String> = facts
        .shown
        .iter()
        .filter(|&&plan| !facts.has_water(plan))
        .map(|&plan| quoted_briefly(facts.name(plan)))
        .collect();
    match names.len() {
        0 => None,
        n if n <= MOST_NAMED => Some(format!("Not reckoned with: the water of {}.", list(&names))),
        n => Some(format!("Not reckoned with: the water of {n} other plans.")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_read_plainly() {
        assert_eq!(oxygen(1.04), "1.0");
        assert_eq!(oxygen(0.01), "0");
        assert_eq!(ammonia(0.0234), "0.023");
        assert_eq!(ammonia(0.84), "0.84");
        assert_eq!(ammonia(3.21), "3.2");
        assert_eq!(ammonia(0.0001), "under 0.001");
        assert_eq!(ammonia(f64::NAN), "–");
    }
}
