//! A scenario told in plain sentences: what each number of the file comes to, before anything is simulated.
//!
//! Reckons with the most likely value of every number, and says so. What may not work is a [`Warning`] with a remedy.

mod amounts;
mod cultures;
mod doubts;
pub(crate) mod equipment;
mod filling;
mod liquids;
mod mishaps;
mod pump_doubts;
mod pumps;
mod setbacks;
mod waste;

use std::fmt::Write as _;

use frytub_sim::clock::TimeOfDay;
use frytub_sim::numbers::Range;
use frytub_sim::study::{By, DayPlan, Dose, Feed, Matched, Plan, Study, Visits};

use crate::mistakes::Warning;
use crate::read::Scenario;
use crate::times::WEEKDAYS;
use crate::words::{self, figure};
use amounts::Reckoning;

/// Columns of a terminal that everyone has.
const COLUMNS: usize = 80;

/// A scenario in plain sentences.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Explanation {
    /// Paragraphs with headings, in the order in which they are read.
    pub sections: Vec<Section>,
    /// What may not work as meant: what the file itself shows first, then what comes out of its numbers.
    pub warnings: Vec<Warning>,
}

/// A heading with its sentences.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// What it is about.
    pub heading: String,
    /// One sentence or list item a line; list items begin with two spaces.
    pub lines: Vec<String>,
}

impl Explanation {
    /// The whole text for a terminal, warnings last.
    #[must_use]
    pub fn render(&self, scenario: &Scenario, colour: bool) -> String {
        let mut text = String::new();
        for section in &self.sections {
            let _ = writeln!(text, "{}", section.heading);
            for line in &section.lines {
                let _ = writeln!(text, "{}", words::wrap(line, "  ", COLUMNS));
            }
            text.push('\n');
        }
        text + &scenario.render_warnings(&self.warnings, colour)
    }
}

/// Tells a scenario in plain sentences.
#[must_use]
pub fn explain(scenario: &Scenario) -> Explanation {
    let reckoning = Reckoning::new(&scenario.study);
    let mut sections = vec![brood(&reckoning), tub(&reckoning), keeper(&scenario.study)];
    sections.extend((0..scenario.study.recipes.len()).map(|recipe| tell_recipe(&reckoning, recipe)));
    if !scenario.study.reservoirs.is_empty() {
        sections.push(pumps::tell_reservoirs(&reckoning));
    }
    sections.extend((0..scenario.study.lines.len()).map(|line| pumps::tell_line(&reckoning, line)));
    if !scenario.study.jar_tests.is_empty() {
        sections.push(pumps::tell_jar_tests(&scenario.study));
    }
    if let Some(mishaps) = &scenario.study.mishaps {
        sections.push(mishaps::tell(mishaps, !scenario.study.lines.is_empty()));
    }
    if !scenario.study.cultures.is_empty() {
        sections.push(cultures::tell(&scenario.study));
    }
    let plans = &scenario.study.plans;
    sections.extend(plans.iter().filter(|plan| plan.family.is_none()).map(|plan| tell_plan(&reckoning, plan)));
    let mut families: Vec<&str> = plans.iter().filter_map(|plan| plan.family.as_deref()).collect();
    families.dedup();
    sections.extend(families.into_iter().map(|family| tell_family(&reckoning, family)));
    sections.push(setbacks::tell(&scenario.study));
    let mut warnings = scenario.warnings.clone();
    warnings.extend(doubts::find(&reckoning));
    Explanation { sections, warnings }
}

fn brood(reckoning: &Reckoning<'_>) -> Section {
    let study = reckoning.study;
    let fry = reckoning.fry_at_start();
    let mut lines = vec![format!(
        "{} fry of the {}, followed for {} from a {}.",
        words::exact(f64::from(study.fry)),
        study.fish_name,
        words::count(study.days as usize, "day", "days"),
        WEEKDAYS[usize::from(study.first_weekday) % 7]
    )];
    lines.push(format!(
        "A middle fry begins with {} mm and {} dry; its mouth opens {} µm; a full gut holds {}.",
        figure(fry.length_mm),
        mass(fry.mass_ug),
        figure(reckoning.gape_um(fry)),
        mass(reckoning.gut_ug(fry))
    ));
    lines.push(format!("Weaned means able to live on {}.", study.foods[study.weaning_food].name));
    lines.push("All of this is reckoned with the most likely value of each number.".to_string());
    Section { heading: "The brood".to_string(), lines }
}

fn tub(reckoning: &Reckoning<'_>) -> Section {
    let study = reckoning.study;
    let mut lines = Vec::new();
    for (place, tub) in study.tubs.iter().enumerate() {
        let numbers = &tub.numbers;
        let drip = numbers.drip_ml_h;
        let dripping = if drip.likely() > 0.0 {
            let hours = numbers.volume_ml.likely() / drip.likely();
            format!("{} drip in, the tub's volume in {} h", ranged(&drip, 1.0, "mL/h"), figure(hours))
        } else if drip.high() > 0.0 {
            format!("{} drip in", ranged(&drip, 1.0, "mL/h"))
        } else {
            "no drip".to_string()
        };
        let users: Vec<&str> =
            study.plans.iter().filter(|plan| plan.tub == place).map(|plan| plan.name.as_str()).collect();
        let whose = if study.tubs.len() == 1 { String::new() } else { format!("{}: ", few(&users)) };
        let cooler = &numbers.night_cooler_c;
        let nights = if cooler.high() > 0.0 {
            format!(", by night {} cooler", ranged(cooler, 1.0, "°C"))
        } else {
            String::new()
        };
        lines.push(format!(
            "{whose}{} of water, {} deep, at {}{nights}; {dripping}; {}.{}",
            ranged(&numbers.volume_ml, 1000.0, "L"),
            ranged(&numbers.depth_mm, 10.0, "cm"),
            ranged(&numbers.temperature_c, 1.0, "°C"),
            if tub.air { "gentle air" } else { "still water" },
            tub.outlet.as_ref().map_or(String::new(), |outlet| format!(" {}.", pumps::tell_outlet(outlet)))
        ));
        lines.extend(waste::tell_water(reckoning, place).into_iter().map(|line| format!("  {line}")));
    }
    lines.push(format!("Light from {} to {}.", study.light_on, study.light_off));
    Section { heading: "The tub".to_string(), lines }
}

fn keeper(study: &Study) -> Section {
    let keeper = &study.keeper;
    let mut lines = vec![format!(
        "Half of the visits come more than {} late, {} one to four hours late, {} not at all.",
        ranged(&keeper.late_min, 1.0, "min"),
        in_100(&keeper.very_late_chance),
        in_100(&keeper.missed_chance)
    )];
    if keeper.changed_share.high() > 0.0 {
        lines.push(format!("The day's first visit changes {} of the water.", in_100(&keeper.changed_share)));
    }
    if study.plans.iter().any(|plan| plan.siphon) {
        let siphoned = in_100(&keeper.siphoned_share);
        lines.push(format!("Where a plan siphons, {siphoned} of what lies on the bottom goes out."));
    }
    Section { heading: "The keeper".to_string(), lines }
}

fn tell_recipe(reckoning: &Reckoning<'_>, recipe: usize) -> Section {
    let study = reckoning.study;
    let mut lines = Vec::new();
    let fry = reckoning.fry_at_start();
    for (place, stage) in study.recipes[recipe].stages.iter().enumerate() {
        let Some(last) = reckoning.last_day(recipe, place) else { continue };
        let days =
            if last == stage.from_day { format!("Day {last}") } else { format!("Days {} to {last}", stage.from_day) };
        let portions = reckoning.portions(stage.mix, 1.0);
        let total: f64 = portions.iter().map(|portion| portion.mass_ug).sum();
        let times = if (stage.times - 1.0).abs() > 1e-9 {
            format!(", doses times {}", figure(stage.times))
        } else {
            String::new()
        };
        lines.push(format!("{days}: {}{times}. 1 mL holds {} dry:", study.mixes[stage.mix].name, mass(total)));
        lines.extend(liquids::in_mix(reckoning, stage.mix));
        let best = reckoning.fry_at_best(stage.from_day);
        for portion in portions {
            let food = &study.foods[portion.food];
            let things = if food.sort.is_alive() { "animals" } else { "particles" };
            let (now, grown) = (reckoning.fit(portion.food, fry), reckoning.fit(portion.food, best));
            let taken = if stage.from_day > 1 {
                let [now, grown] = [now.taken, grown.taken].map(hundredths);
                format!("{now} if it has not grown, {grown} if it grew as fast as it can")
            } else {
                hundredths(now.taken)
            };
            let wide = if now.too_wide > 0.01 {
                format!("; for one that has not grown {} % of the mass is too wide", hundredths(now.too_wide))
            } else {
                String::new()
            };
            lines.push(format!(
                "  {}: {} {things}, {}. Of 100 that it meets, a middle fry takes {taken}{wide}.",
                food.name,
                figure(portion.items),
                mass(portion.mass_ug),
            ));
        }
    }
    let alone = study.recipes.len() == 1;
    let name = &study.recipes[recipe].name;
    Section { heading: if alone { "The recipe".to_string() } else { format!("The recipe \"{name}\"") }, lines }
}

fn tell_plan(reckoning: &Reckoning<'_>, plan: &Plan) -> Section {
    let mut lines = tell_week(plan);
    let (day, days) = (plan.first_feed_day, reckoning.study.days);
    if plan.siphon {
        lines.push("The bottom is siphoned at the day's first visit.".to_string());
    }
    if reckoning.study.tubs[plan.tub].outlet.is_some() {
        lines.push(match plan.rinses {
            Visits::None => "The sponge of the outlet is never rinsed.".to_string(),
            visits => format!("The sponge of the outlet is rinsed {}.", pumps::at_visits(visits)),
        });
    }
    lines.extend(mishaps::owned(reckoning.study, plan));
    lines.extend(cultures::tell_plan(reckoning.study, plan));
    if day > days {
        lines.push(format!("No feed before day {day}: the fry go unfed for all {days} days."));
        return Section { heading: format!("Plan \"{}\"", plan.name), lines };
    }
    if day > 1 {
        lines.push(format!("No feed before day {day}."));
    }
    for feed in amounts::samples(plan) {
        lines.extend(tell_feed(reckoning, plan, &feed, day));
        lines.extend(tell_weekend_feed(reckoning, plan, feed.by, day));
    }
    if let Some(line) = &plan.line {
        lines.extend(pumps::tell_pumping(reckoning, plan, line));
    }
    lines.push(tell_days_food(reckoning, plan));
    lines.extend(liquids::tell(reckoning, plan));
    lines.extend(waste::tell_waste(reckoning, plan));
    Section { heading: format!("Plan \"{}\"", plan.name), lines }
}

/// Visits and feeds of the week, weekend apart where it differs.
fn tell_week(plan: &Plan) -> Vec<String> {
    let (weekday, weekend) = (&plan.week[0], &plan.week[5]);
    if weekday == weekend {
        return vec![format!("Every day: {}.", tell_day(weekday))];
    }
    vec![format!("Monday to Friday: {}.", tell_day(weekday)), format!("Saturday and Sunday: {}.", tell_day(weekend))]
}

fn tell_day(day: &DayPlan) -> String {
    let at = |by: By| -> Vec<TimeOfDay> { day.feeds.iter().filter(|feed| feed.by == by).map(|feed| feed.at).collect() };
    let (hand, pump) = (at(By::Hand), at(By::Pump));
    let mut parts = Vec::new();
    if hand == day.visits && !hand.is_empty() {
        let with = if hand.len() == 1 {
            "1 visit with a hand feed".into()
        } else {
            format!("{} visits with a hand feed each", hand.len())
        };
        parts.push(format!("{with}, {}", clock(&hand)));
    } else {
        parts.push(match day.visits.len() {
            0 => "no visit".to_string(),
            visits => format!("{}, {}", words::count(visits, "visit", "visits"), clock(&day.visits)),
        });
        if !hand.is_empty() {
            parts.push(format!("{}, {}", words::count(hand.len(), "hand feed", "hand feeds"), clock(&hand)));
        }
    }
    if !pump.is_empty() {
        parts.push(format!("{}, {}", words::count(pump.len(), "pump feed", "pump feeds"), clock(&pump)));
    }
    if hand.is_empty() && pump.is_empty() {
        parts.push("no feed".to_string());
    }
    parts.join("; ")
}

/// What one feed brings to each fry on a day.
fn tell_feed(reckoning: &Reckoning<'_>, plan: &Plan, feed: &Feed, day: u32) -> Vec<String> {
    let study = reckoning.study;
    let recipe = reckoning.recipe_of(plan, feed);
    let Some(stage) = reckoning.stage(recipe, day) else { return Vec::new() };
    let volume = reckoning.volume_ml(feed, stage);
    let fry = f64::from(study.fry);
    let portions = reckoning.portions(stage.mix, volume);
    let each: f64 = portions.iter().map(|portion| portion.mass_ug).sum::<f64>() / fry;
    let by = match feed.by {
        By::Hand => "One hand feed",
        By::Pump => "One pump feed",
    };
    let gut = each / reckoning.gut_ug(reckoning.fry_at_start());
    let (dose, gut) = (dose_words(&feed.dose, volume, stage.times), share_of(gut, "a full gut"));
    // What a timer makes of the dose, and what is lost on the way, is told elsewhere.
    let mut lines = vec![if feed.by == By::Pump && plan.line.is_some() {
        format!("{by} on day {day} is to be {dose}. All of it, fresh, would bring each fry {}, {gut}:", mass(each))
    } else {
        let over = if feed.over_min > 0.0 { format!(" over {} min", figure(feed.over_min)) } else { String::new() };
        format!("{by} on day {day} is {dose}{over}. It brings each fry {}, {gut}:", mass(each))
    }];
    for portion in portions {
        let name = &study.foods[portion.food].name;
        let alive = study.foods[portion.food].sort.is_alive();
        let things = if alive { "animals" } else { "particles" };
        lines.push(format!(
            "  {name}: {} {things}, {} per fry, {} each",
            figure(portion.items),
            figure(portion.items / fry),
            mass(portion.mass_ug / fry)
        ));
    }
    lines
}

/// How a feed of the weekend differs from one of the week, as where a day's food is divided among fewer feeds.
fn tell_weekend_feed(reckoning: &Reckoning<'_>, plan: &Plan, by: By, day: u32) -> Option<String> {
    let first = |weekday: usize| plan.week[weekday].feeds.iter().find(|feed| feed.by == by);
    let (week, weekend) = (first(0)?, first(5)?);
    let stage = reckoning.stage(reckoning.recipe_of(plan, week), day)?;
    let [usual, other] = [week, weekend].map(|feed| reckoning.volume_ml(feed, stage));
    let times = other / usual;
    ((times - 1.0).abs() > 0.005).then(|| {
        let sort = if by == By::Hand { "hand" } else { "pump" };
        format!("On Saturday and Sunday one {sort} feed is {} times as much as on other days.", figure(times))
    })
}

/// What a day brings, on the first day fed and on the last day.
fn tell_days_food(reckoning: &Reckoning<'_>, plan: &Plan) -> String {
    let study = reckoning.study;
    let fry = f64::from(study.fry);
    let first = plan.first_feed_day.min(study.days);
    let given = reckoning.mass_of_day_ug(plan, first);
    let share = given / fry / reckoning.fry_at_start().mass_ug;
    let last = reckoning.mass_of_day_ug(plan, study.days);
    // What settles, spoils or stays behind on the way through a feed line is not taken off here.
    let (brings, rest) = match &plan.line {
        None => ("brings", ""),
        Some(line) if filling::fillings(reckoning, plan, line).iter().any(|filling| filling.dry.is_some()) => {
            ("would bring", ", if the reservoir did not run dry and all of it arrived")
        }
        Some(_) => ("would bring", ", if all of it arrived: frytub reservoir tells how much does"),
    };
    let later =
        if study.days > first { format!("; day {} {brings} {}", study.days, mass(last)) } else { String::new() };
    format!(
        "Day {first} {brings} {} in all, {} per fry, {}{later}{rest}.",
        mass(given),
        mass(given / fry),
        share_of(share, "what a fry weighs at the start")
    )
}

/// A family in one paragraph: a line for each of its plans.
fn tell_family(reckoning: &Reckoning<'_>, family: &str) -> Section {
    let members: Vec<&Plan> =
        reckoning.study.plans.iter().filter(|plan| plan.family.as_deref() == Some(family)).collect();
    let mut lines = Vec::new();
    for plan in &members {
        let day = plan.first_feed_day.min(reckoning.study.days);
        let feeds = &plan.week[0].feeds;
        let Some(first) = feeds.first() else { continue };
        let Some(stage) = reckoning.stage(reckoning.recipe_of(plan, first), day) else { continue };
        let visits = plan.week[0].visits.len();
        let runs = plan.line.as_ref().map_or(String::new(), |_| format!(" in {}", equipment::minutes(first.over_min)));
        lines.push(format!(
            "{} and {}: {} a feed{runs}, {} on day {day}",
            words::count(feeds.len(), "feed", "feeds"),
            words::count(visits, "visit", "visits"),
            dose_words(&first.dose, reckoning.volume_ml(first, stage), stage.times),
            mass(reckoning.mass_of_day_ug(plan, day))
        ));
    }
    let way = members.first().map(|plan| plan.matched);
    lines.push(match way {
        Some(Matched::FoodPerDay) => "All are to bring the same food a day.".to_string(),
        _ => "All are to bring the same food a feed: more feeds bring more food.".to_string(),
    });
    if let Some((plan, line)) = members.last().and_then(|plan| plan.line.as_ref().map(|line| (plan, line))) {
        lines.push(format!("For \"{}\":", plan.name));
        lines.extend(pumps::tell_pumping(reckoning, plan, line));
    }
    Section { heading: format!("Family \"{family}\""), lines }
}

/// A dose as the file gives it, with the volume it comes to where that is something else.
fn dose_words(dose: &Dose, volume_ml: f64, times: f64) -> String {
    match *dose {
        Dose::Millilitres(_) => format!("{} mL", figure(volume_ml)),
        Dose::Milligrams(mg) => format!("{} ({} mL)", mass(mg * times * 1000.0), figure(volume_ml)),
        Dose::Items(items) => format!("{} items ({} mL)", figure(items * times), figure(volume_ml)),
    }
}

/// Times of day in words; many evenly spaced ones as first, last and step.
fn clock(times: &[TimeOfDay]) -> String {
    let steps: Vec<u16> = times.windows(2).map(|pair| pair[1].minutes() - pair[0].minutes()).collect();
    if let (Some(first), Some(last), Some(step)) = (times.first(), times.last(), steps.first())
        && times.len() > 4
        && steps.iter().all(|other| other == step)
    {
        return format!("every {step} min from {first} to {last}");
    }
    let words: Vec<String> = times.iter().map(ToString::to_string).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    format!("at {}", words::list(&words, "and"))
}

/// A few names, the rest counted; one more is named, for that takes no more room.
fn few(names: &[impl AsRef<str>]) -> String {
    const MOST: usize = 3;
    let names: Vec<&str> = names.iter().map(AsRef::as_ref).collect();
    match names.len().saturating_sub(MOST) {
        0 | 1 => words::list(&names, "and"),
        more => format!("{} and {more} more", names[..MOST].join(", ")),
    }
}

/// A dry mass in the unit that suits it.
fn mass(ug: f64) -> String {
    if ug >= 1000.0 { format!("{} mg", figure(ug / 1000.0)) } else { format!("{} µg", figure(ug)) }
}

/// A share of something: `70 % of a full gut`, `2.9 times a full gut`.
fn share_of(share: f64, what: &str) -> String {
    if share >= 2.0 { format!("{} times {what}", figure(share)) } else { format!("{} % of {what}", hundredths(share)) }
}

/// A share in hundredths; small ones are not rounded away.
fn hundredths(share: f64) -> String {
    let hundred = 100.0 * share;
    if hundred > 0.0 && hundred < 1.0 { "less than 1".to_string() } else { format!("{hundred:.0}") }
}

fn in_100(share: &Range) -> String {
    let share = share.times(100.0);
    format!("{} in 100{}", figure(share.likely()), spread(&share))
}

/// A number in a unit of another size, with its range if it has one.
fn ranged(range: &Range, size: f64, unit: &str) -> String {
    let scaled = range.times(1.0 / size);
    format!("{} {unit}{}", figure(scaled.likely()), spread(&scaled))
}

/// The ends of a range in brackets; nothing for a number without one.
fn spread(range: &Range) -> String {
    if range.is_certain() { String::new() } else { format!(" ({} to {})", figure(range.low()), figure(range.high())) }
}
