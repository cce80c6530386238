//! The `[brood]` of a scenario: which fish, how many, how long, and what "weaned" is judged by.

use frytub_sim::study::{MOST_DAYS, MOST_FRY};

use crate::fields::{self, Fields};
use crate::library::{FishEntry, FoodEntry, Library};
use crate::mistakes::Findings;
use crate::read::unknown_name;
use crate::times;

/// The day shown hour by hour when the file says nothing.
const USUAL_SHOW_DAY: u32 = 3;

/// What could be read of the brood.
pub(super) struct Read<'l> {
    /// The fish.
    pub fish: Option<&'l FishEntry>,
    /// Fry at the start.
    pub fry: Option<u32>,
    /// Days followed.
    pub days: Option<u32>,
    /// Day of the week of day 1, 0 for Monday.
    pub first_weekday: Option<u8>,
    /// The weaning food, if the file names one.
    pub weaning_food: Option<&'l FoodEntry>,
}

/// A brood without gaps.
pub(super) struct Brood<'l> {
    /// The fish.
    pub fish: &'l FishEntry,
    /// Fry at the start.
    pub fry: u32,
    /// Days followed.
    pub days: u32,
    /// Day of the week of day 1, 0 for Monday.
    pub first_weekday: u8,
    /// The weaning food, if the file names one.
    pub weaning_food: Option<&'l FoodEntry>,
}

impl<'l> Read<'l> {
    /// The brood, if nothing was missing.
    pub fn complete(self) -> Option<Brood<'l>> {
        Some(Brood {
            fish: self.fish?,
            fry: self.fry?,
            days: self.days?,
            first_weekday: self.first_weekday?,
            weaning_food: self.weaning_food,
        })
    }
}

/// Reads `[brood]`.
pub(super) fn read<'l>(root: Fields<'_, '_>, library: &'l Library, findings: &mut Findings) -> Option<Read<'l>> {
    let node = root.need("brood", "[brood] with fish, fry and days", findings)?;
    let brood = Fields::open(node, "[brood]", &["fish", "fry", "days", "first_day", "weaning_food"], findings)?;
    let fish = brood.need("fish", "fish = \"dwarf cichlid\"", findings).and_then(|node| {
        let name = fields::text(node, "the name of a fish is expected", findings)?;
        let found = library.find_fish(name).ok();
        if found.is_none() {
            unknown_name(node, "fish", name, &library.fish_names(), findings);
        }
        found
    });
    let fry = brood.need("fry", "fry = 200", findings);
    let days = brood.need("days", "days = 10", findings);
    let weaning_food = brood.get("weaning_food").and_then(|node| {
        let name = fields::text(node, "the name of a food is expected", findings)?;
        let weaning: Vec<&FoodEntry> = library.foods.iter().filter(|food| food.weaning).collect();
        let names: Vec<&str> = weaning.iter().map(|food| food.name.as_str()).collect();
        match library.find_food(name) {
            Ok(food) if food.weaning => Some(food),
            Ok(food) => {
                let what = format!("fry are not weaned onto \"{}\"", food.name);
                let help = format!("newly hatched brine shrimp are: \"{}\"", names.join("\" or \""));
                findings.wrong_with(node.span(), what, "a food that ends the weaning is expected", Some(help));
                None
            }
            Err(_) => {
                unknown_name(node, "weaning food", name, &names, findings);
                None
            }
        }
    });
    Some(Read {
        fish,
        fry: fry.and_then(|node| fields::count(node, "the number of fry", MOST_FRY, findings)),
        days: days.and_then(|node| fields::count(node, "the number of days", MOST_DAYS, findings)),
        first_weekday: brood.get("first_day").map_or(Some(0), |node| times::weekday(node, findings)),
        weaning_food,
    })
}

/// Reads `show_day`; without one it is day 3, or the last day of a shorter brood.
pub(super) fn show_day(root: Fields<'_, '_>, days: Option<u32>, findings: &mut Findings) -> Option<u32> {
    let last = days.unwrap_or(MOST_DAYS);
    match root.get("show_day") {
        Some(node) => times::day(node, "the day shown", last, findings),
        None => Some(USUAL_SHOW_DAY.min(last)),
    }
}
