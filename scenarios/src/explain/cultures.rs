//! Cultures that may not be ready, in plain sentences; and what plans feed instead.

use frytub_sim::numbers::Range;
use frytub_sim::study::{Culture, Plan, StandIn, Study};

use super::amounts::Reckoning;
use super::doubts::Doubt;
use super::{Section, few, hundredths, ranged};
use crate::words::figure;

/// Of a stand-in, a fry must take at least this share of what it meets.
const HARDLY_TAKEN: f64 = 0.1;
/// A culture that crashes less often than once in so many days never does.
const NEVER_DAYS: f64 = 36_500.0;

/// The cultures of a study.
pub(super) fn tell(study: &Study) -> Section {
    let lines = study.cultures.iter().flat_map(|culture| tell_one(study, culture));
    Section { heading: "Cultures".to_string(), lines: lines.collect() }
}

fn tell_one(study: &Study, culture: &Culture) -> Vec<String> {
    let n = &culture.numbers;
    let name = &study.foods[culture.food].name;
    let late = &n.late_d;
    let ends = if late.is_certain() {
        String::new()
    } else {
        format!(" (at best {}, at worst {})", against_its_day(late.low()), against_its_day(late.high()))
    };
    let crash = if n.crash_days.low() >= NEVER_DAYS {
        "It does not crash".to_string()
    } else {
        format!(
            "In use it crashes once in {} on average, and is missing for {} then",
            days(&n.crash_days),
            days(&n.restart_d)
        )
    };
    let mut lines = vec![format!(
        "{name}: ready {} on average{ends}, give or take {} (standard deviation). {crash}.",
        against_its_day(late.likely()),
        days(&n.late_spread_d)
    )];
    let has_stand_in = |plan: &Plan| plan.stand_ins.iter().any(|stand_in| stand_in.food == culture.food);
    if !study.plans.iter().any(has_stand_in) {
        lines.push(format!("  No plan feeds anything instead of {name}: while it is missing, feeds go without it."));
    }
    lines
}

/// What a plan feeds instead of the foods that may be missing.
pub(super) fn tell_plan(study: &Study, plan: &Plan) -> Vec<String> {
    let name = |food: usize| &study.foods[food].name;
    let told = |s: &StandIn| format!("While {} is missing, {} is fed instead.", name(s.food), name(s.instead));
    plan.stand_ins.iter().map(told).collect()
}

/// A stand-in that is too wide for the mouths that would get it.
pub(super) fn stand_in_too_wide(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let study = reckoning.study;
    let told = plan.stand_ins.iter().filter_map(|stand_in| {
        let &(day, _) = study.days_offered(plan, stand_in.food).first()?;
        let taken = reckoning.fit(stand_in.instead, reckoning.fry_at_best(day)).taken;
        if taken >= HARDLY_TAKEN {
            return None;
        }
        let [food, instead] = [stand_in.food, stand_in.instead].map(|food| &study.foods[food].name);
        Some(format!(
            "{instead}, if fed instead of {food} on day {day}, would hardly be eaten: of 100 that it meets a fry takes {} at most",
            hundredths(taken)
        ))
    });
    let told: Vec<String> = told.collect();
    (!told.is_empty()).then(|| (few(&told), "Let a smaller food stand in."))
}

fn days(range: &Range) -> String {
    ranged(range, 1.0, unit(range.likely()))
}

fn unit(days: f64) -> &'static str {
    if (days - 1.0).abs() < 1e-9 { "day" } else { "days" }
}

fn against_its_day(days: f64) -> String {
    let amount = || format!("{} {}", figure(days.abs()), unit(days.abs()));
    match days {
        late if late > 0.0 => format!("{} after its day", amount()),
        early if early < 0.0 => format!("{} before its day", amount()),
        _ => "on its day".to_string(),
    }
}
