//! The `[[family]]` entries of a scenario: plans that differ in nothing but the number of feeds a day.

use frytub_sim::clock::TimeOfDay;
use frytub_sim::study::{By, MOST_FEEDS, MOST_PLANS};
use toml::de::DeValue;

use crate::fields::{self, Fields, Node};
use crate::mistakes::Findings;
use crate::read::doses;
use crate::read::feeders::{self, Feeder, refuse_overlap};
use crate::read::keeper::Visits;
use crate::read::plans::{PlanText, Surroundings, read_shared, spell_out};
use crate::read::pumping::{self, Wording};
use crate::times::{self, Timetable};
use crate::words;

/// Reads one family and adds its plans to the list.
pub(super) fn read(
    node: &Node<'_>,
    around: Surroundings<'_, '_>,
    plans: &mut Vec<PlanText>,
    findings: &mut Findings,
) -> Option<()> {
    let known = [
        "name",
        "feeds",
        "by",
        "between",
        "dose",
        "over",
        "visits",
        "weekend_visits",
        "recipe",
        "tub",
        "first_feed",
        "siphon",
        "rinse",
        "owns",
        "instead",
        "feed_line",
        "reservoir",
        "pump_recipe",
        "refill",
        "fill",
    ];
    let family = Fields::open(node, "[[family]]", &known, findings)?;
    let name_node = family.need("name", "name = \"By pump, same food a day\"", findings);
    let name = name_node.and_then(|node| fields::name(node, "name = \"By pump, same food a day\"", findings));
    let numbers_node = family.need("feeds", "feeds = \"1 to 14\"", findings);
    let numbers = numbers_node.and_then(|node| read_numbers(node, findings));
    let by = family.need("by", "by = \"pump\"", findings).and_then(|node| read_by(node, findings));
    let between_node = family.need("between", "between = [\"07:30\", \"20:30\"]", findings);
    let between = between_node.and_then(|node| read_between(node, findings));
    let dose = family.need("dose", "dose = \"16 mg a day\"", findings).and_then(|node| doses::read(node, findings));
    let over_min = match by {
        Some(By::Pump) => feeders::over(family, pumping::is_through_line(family, around.equipment), findings),
        _ => Some(Some(0.0)),
    };
    let pumping = match by {
        Some(By::Pump) => {
            let wording = Wording { group: family, plan: family, recipe_key: "pump_recipe" };
            pumping::read(wording, around.equipment, around.recipes, findings)
        }
        _ => Some(None),
    };
    if by == Some(By::Hand) {
        for key in ["over", "feed_line", "reservoir", "pump_recipe", "refill", "fill"] {
            if let Some(node) = family.get(key) {
                let what = if key == "over" { "a hand feed goes in at once" } else { "a hand feed needs no pump" };
                findings.wrong(node.span(), what, format!("\"{key}\" is for pump feeds; take it out"));
            }
        }
        for key in ["visits", "weekend_visits"] {
            if let Some(node) = family.get(key) {
                let what = "a family by hand brings its own visits, one for each feed";
                findings.wrong(node.span(), what, format!("take \"{key}\" out"));
            }
        }
    }
    let before = findings.mistakes.len();
    let shared = read_shared(family, around, findings);
    let shared_is_sound = findings.mistakes.len() == before;
    let (name, name_node, numbers) = (name?, name_node?, numbers?);
    if plans.len() + numbers.len() > MOST_PLANS {
        let what = format!(
            "this family brings {}, which makes {} in all: a comparison may hold {MOST_PLANS} at most",
            words::count(numbers.len(), "plan", "plans"),
            plans.len() + numbers.len()
        );
        findings.wrong(numbers_node?.span(), what, "fewer numbers of feeds are expected");
        return None;
    }
    let feeder = match (by, between, dose, over_min, pumping, shared_is_sound) {
        (Some(by), Some(between), Some(dose), Some(over_min), Some(pumping), true) => {
            Some((by, between, dose, over_min, pumping))
        }
        _ => None,
    };
    for number in numbers {
        let body = feeder.as_ref().and_then(|&(by, (first, last), dose, over_min, ref pumping)| {
            let Some(times) = times::spaced(number, first, last) else {
                let what = format!("{number} feeds do not fit between {first} and {last}");
                findings.wrong(between_node?.span(), what, "feeds must be a minute apart at least");
                return None;
            };
            let timetable = Timetable::At(times);
            let place = family.get("over").unwrap_or(name_node).span();
            let feeder = Feeder { weekday: timetable.clone(), weekend: timetable, dose, over_min, place };
            let mut shared = shared.clone();
            match by {
                By::Hand => {
                    shared.visits = Some(Visits::default());
                    spell_out(shared, Some(&feeder), None, None, findings)
                }
                By::Pump => {
                    refuse_overlap(&feeder, findings)?;
                    spell_out(shared, None, Some(&feeder), pumping.clone(), findings)
                }
            }
        });
        plans.push(PlanText {
            name: format!("{name}: {}", words::count(number, "feed", "feeds")),
            place: name_node.span(),
            family: Some(name.to_string()),
            body,
        });
    }
    Some(())
}

/// Reads the numbers of feeds of a family: `"1 to 14"`, a list or one number.
fn read_numbers(node: &Node<'_>, findings: &mut Findings) -> Option<Vec<usize>> {
    let most = u32::try_from(MOST_FEEDS).unwrap_or(u32::MAX);
    let expected = "\"1 to 14\" or a list such as [1, 2, 4, 8] is expected";
    let what = "the number of feeds a day";
    match node.get_ref() {
        DeValue::String(text) => {
            let squeezed = words::squeeze(text);
            let ends = squeezed.split_once(" to ").map(|(from, to)| (from.parse::<u64>(), to.parse::<u64>()));
            let Some((Ok(from), Ok(to))) = ends else {
                findings.wrong(node.span(), format!("\"{text}\" is not understood as numbers of feeds"), expected);
                return None;
            };
            if from < 1 || from > to {
                findings.wrong(node.span(), "the numbers of feeds must begin at 1 or more, and rise", expected);
                return None;
            }
            if to > u64::from(most) {
                findings.wrong(node.span(), format!("{what} may be {most} at most"), expected);
                return None;
            }
            (from..=to).map(|number| usize::try_from(number).ok()).collect()
        }
        DeValue::Array(items) if items.is_empty() => {
            findings.wrong(node.span(), "this list of numbers of feeds is empty", expected);
            None
        }
        DeValue::Array(items) => {
            let mut numbers = Vec::new();
            let mut sound = true;
            for item in items.iter() {
                match fields::count(item, what, most, findings) {
                    Some(number) if numbers.contains(&number) => {
                        findings.wrong(item.span(), format!("{number} stands here twice"), "take one of the two out");
                        sound = false;
                    }
                    Some(number) => numbers.push(number),
                    None => sound = false,
                }
            }
            if !sound {
                return None;
            }
            numbers.into_iter().map(|number| usize::try_from(number).ok()).collect()
        }
        DeValue::Integer(_) => {
            fields::count(node, what, most, findings).and_then(|number| usize::try_from(number).ok()).map(|n| vec![n])
        }
        _ => {
            fields::wrong_sort(node, expected, findings);
            None
        }
    }
}

fn read_by(node: &Node<'_>, findings: &mut Findings) -> Option<By> {
    let expected = "\"hand\" or \"pump\" is expected";
    match fields::text(node, expected, findings)?.trim() {
        "hand" => Some(By::Hand),
        "pump" => Some(By::Pump),
        other => {
            findings.wrong(node.span(), format!("\"{other}\" cannot feed"), expected);
            None
        }
    }
}

/// Reads two times of day, the second after the first.
fn read_between(node: &Node<'_>, findings: &mut Findings) -> Option<(TimeOfDay, TimeOfDay)> {
    let times = times::times(node, findings)?;
    if let [first, last] = times[..] {
        return Some((first, last));
    }
    let what = format!(
        "there {} {} here",
        if times.len() == 1 { "is" } else { "are" },
        words::count(times.len(), "time", "times")
    );
    findings.wrong(node.span(), what, "two times are expected, such as [\"07:30\", \"20:30\"]");
    None
}
