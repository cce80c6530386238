//! Puts the parts of a scenario together: only what the plans use goes into the study, so that no unused food
//! adds uncertain numbers to a comparison.

use frytub_sim::numbers::FoodNumbers;
use frytub_sim::study::{Content, Food, Mix, MixPart, Plan, Recipe, Stage, Study, Tub};

use crate::known::{Known, NumberUsed};
use crate::library::{FoodEntry, Library, food_numbers_used};
use crate::mistakes::Findings;
use crate::read::brood::Brood;
use crate::read::changes::Changes;
use crate::read::keeper::KeeperText;
use crate::read::plans::{Body, PlanText};
use crate::read::recipes::{ITEMS, MILLIGRAMS, Recipes};
use crate::read::tubs::{TubAndLight, TubText};

/// Everything that was read, without gaps.
pub(super) struct Parts<'t, 'l> {
    /// Name of the scenario.
    pub name: &'t str,
    /// Its description.
    pub about: &'t str,
    /// The brood.
    pub brood: Brood<'l>,
    /// The day shown hour by hour.
    pub show_day: u32,
    /// The tub and its light.
    pub tub: TubAndLight,
    /// The keeper.
    pub keeper: KeeperText,
    /// Mixes and recipes.
    pub recipes: Recipes<'l>,
    /// The plans.
    pub plans: Vec<PlanText>,
    /// Index of the plan to compare with.
    pub baseline: usize,
    /// Numbers that replace the library's.
    pub changes: Changes,
}

/// Gathers what plans use, each thing once, in the order of first use.
struct Builder<'p, 'l> {
    recipes_written: &'p Recipes<'l>,
    recipes: Vec<usize>,
    mixes: Vec<usize>,
    foods: Vec<&'l FoodEntry>,
    tubs: Vec<(String, TubText)>,
}

/// Place of a thing in a list, put at the end if it is not there.
fn place_of<T>(list: &mut Vec<T>, same: impl Fn(&T) -> bool, new: impl FnOnce() -> T) -> usize {
    list.iter().position(same).unwrap_or_else(|| {
        list.push(new());
        list.len() - 1
    })
}

impl<'l> Builder<'_, 'l> {
    fn recipe(&mut self, written: usize) -> usize {
        for stage in &self.recipes_written.recipes[written].stages {
            place_of(&mut self.mixes, |mix| *mix == stage.mix, || stage.mix);
            for part in &self.recipes_written.mixes[stage.mix].parts {
                self.food(part.food);
            }
        }
        place_of(&mut self.recipes, |recipe| *recipe == written, || written)
    }

    fn food(&mut self, entry: &'l FoodEntry) -> usize {
        place_of(&mut self.foods, |food| food.name == entry.name, || entry)
    }

    fn tub(&mut self, group: impl FnOnce() -> String, tub: &TubText) -> usize {
        place_of(&mut self.tubs, |(_, known)| known == tub, || (group(), tub.clone()))
    }
}

/// Makes the study and the list of numbers it uses; notes what the file says and no plan uses.
pub(super) fn put_together(
    parts: &Parts<'_, '_>,
    library: &Library,
    findings: &mut Findings,
) -> Option<(Study, Vec<NumberUsed>)> {
    let mut builder = Builder {
        recipes_written: &parts.recipes,
        recipes: Vec::new(),
        mixes: Vec::new(),
        foods: Vec::new(),
        tubs: Vec::new(),
    };
    let mut plans = Vec::new();
    for plan in &parts.plans {
        let body = plan.body.as_ref()?;
        let group = || if body.tub == parts.tub.tub { "tub".to_string() } else { format!("tub of {}", plan.name) };
        let (tub, recipe) = (builder.tub(group, &body.tub), builder.recipe(body.recipe));
        plans.push(finished_plan(plan, body, tub, recipe));
    }
    let weaning_entry = parts
        .brood
        .weaning_food
        .or_else(|| builder.foods.iter().copied().find(|food| food.weaning))
        .or_else(|| library.foods.iter().find(|food| food.weaning))?;
    let weaning_food = builder.food(weaning_entry);
    warn_of_unused(parts, &builder, findings);

    let mut fish = parts.brood.fish.numbers.clone();
    for change in &parts.changes.fish {
        *fish.get_mut(change.key)? = change.known.clone();
    }
    let mut used: Vec<NumberUsed> =
        fish.iter().map(|(info, known)| NumberUsed::new(&parts.brood.fish.name, "fish", info, known)).collect();
    let mut foods = Vec::new();
    for entry in &builder.foods {
        let mut numbers = entry.numbers.clone();
        for change in parts.changes.foods.iter().filter(|change| change.food == entry.name).flat_map(|c| &c.changes) {
            *numbers.get_mut(change.key)? = change.known.clone();
        }
        used.extend(food_numbers_used(&entry.name, entry.sort, &numbers));
        foods.push(finished_food(entry, &numbers));
    }
    for (group, tub) in &builder.tubs {
        used.extend(tub.numbers.iter().map(|(info, known)| NumberUsed::new(group, "tub", info, known)));
    }
    used.extend(parts.keeper.numbers.iter().map(|(info, known)| NumberUsed::new("keeper", "keeper", info, known)));
    let mixes = builder.mixes.iter().map(|mix| finished_mix(*mix, &builder, &mut used)).collect();
    let recipes = builder.recipes.iter().map(|recipe| finished_recipe(*recipe, &builder)).collect();
    let study = Study {
        name: parts.name.to_string(),
        about: parts.about.to_string(),
        fish_name: parts.brood.fish.name.clone(),
        fish: fish.map(|_, known| known.range),
        foods,
        weaning_food,
        fry: parts.brood.fry,
        days: parts.brood.days,
        first_weekday: parts.brood.first_weekday,
        light_on: parts.tub.light_on,
        light_off: parts.tub.light_off,
        tubs: builder.tubs.iter().map(|(_, tub)| finished_tub(tub)).collect(),
        reservoirs: Vec::new(),
        lines: Vec::new(),
        jar_tests: Vec::new(),
        keeper: parts.keeper.numbers.map(|_, known| known.range),
        mixes,
        recipes,
        plans,
        baseline: parts.baseline,
        show_day: parts.show_day,
    };
    Some((study, used))
}

fn finished_plan(plan: &PlanText, body: &Body, tub: usize, recipe: usize) -> Plan {
    let week = std::array::from_fn(|day| if day < 5 { body.weekday.clone() } else { body.weekend.clone() });
    Plan {
        name: plan.name.clone(),
        family: plan.family.clone(),
        matched: body.matched,
        tub,
        recipe,
        first_feed_day: body.first_feed_day,
        siphon: body.siphon,
        rinses: frytub_sim::study::Visits::First,
        line: None,
        week,
    }
}

fn finished_food(entry: &FoodEntry, numbers: &FoodNumbers<Known>) -> Food {
    Food {
        name: entry.name.clone(),
        sort: entry.sort,
        lively: entry.lively,
        weaning: entry.weaning,
        numbers: numbers.map(|_, known| known.range),
    }
}

fn finished_tub(tub: &TubText) -> Tub {
    Tub { air: tub.air, outlet: None, numbers: tub.numbers.map(|_, known| known.range) }
}

fn finished_mix(written: usize, builder: &Builder<'_, '_>, used: &mut Vec<NumberUsed>) -> Mix {
    let mix = &builder.recipes_written.mixes[written];
    let parts = mix.parts.iter().filter_map(|part| {
        let (info, range) = match part.content {
            Content::Items(range) => (&ITEMS, range),
            Content::Milligrams(range) => (&MILLIGRAMS, range),
        };
        let mut number = NumberUsed::new(&mix.name, "mix", info, &Known::by_file(range));
        number.key = part.food.name.clone();
        number.slot = format!("mix {}: {}", mix.name, part.food.name);
        number.label = format!("{} of {}", info.label, part.food.name);
        used.push(number);
        let food = builder.foods.iter().position(|food| food.name == part.food.name)?;
        Some(MixPart { food, content: part.content })
    });
    Mix { name: mix.name.clone(), parts: parts.collect() }
}

fn finished_recipe(written: usize, builder: &Builder<'_, '_>) -> Recipe {
    let recipe = &builder.recipes_written.recipes[written];
    let stages = recipe.stages.iter().filter_map(|stage| {
        let mix = builder.mixes.iter().position(|mix| *mix == stage.mix)?;
        Some(Stage { from_day: stage.from_day, mix, times: stage.times })
    });
    Recipe { name: recipe.name.clone(), stages: stages.collect() }
}

fn warn_of_unused(parts: &Parts<'_, '_>, builder: &Builder<'_, '_>, findings: &mut Findings) {
    for (place, mix) in parts.recipes.mixes.iter().enumerate() {
        if !builder.mixes.contains(&place) {
            let what = format!("the mix \"{}\" is in no recipe that a plan uses", mix.name);
            findings.doubt(mix.place.clone(), what, "Name it in a [[recipe]], or take it out.");
        }
    }
    for (place, recipe) in parts.recipes.recipes.iter().enumerate() {
        if !builder.recipes.contains(&place) {
            let what = format!("no plan uses the recipe \"{}\"", recipe.name);
            findings.doubt(recipe.place.clone(), what, "Name it in a [[plan]], or take it out.");
        }
    }
    for change in &parts.changes.foods {
        if builder.foods.iter().all(|food| food.name != change.food) {
            let what = format!("\"{}\" is changed here, but no plan feeds it", change.food);
            findings.doubt(change.place.clone(), what, "Put it into a mix, or take the change out.");
        }
    }
}
