//! The `[mix]` tables and `[[recipe]]` stages of a scenario: what one mL of food holds, and what is fed on which day.

use std::ops::Range as Bytes;

use frytub_sim::numbers::{NumberInfo, Range, Scale};
use frytub_sim::study::{Content, MOST_DAYS};
use toml::Spanned;
use toml::de::DeValue;

use crate::fields::{self, Bare, Fields, Node};
use crate::library::{FoodEntry, Library};
use crate::mistakes::Findings;
use crate::read::liquids::{self, LiquidText};
use crate::read::{groups, unknown_name};
use crate::times;
use crate::units::{self, Measure};
use crate::words;

/// Limits of a mix given in animals or particles.
pub(super) const ITEMS: NumberInfo = NumberInfo {
    key: "content",
    label: "number of items in 1 mL",
    unit: "per mL",
    least: 0.0,
    most: 1e8,
    scale: Scale::Even,
};
/// Limits of a mix given in dry mass; 1 mL cannot hold more than some 1000 mg.
pub(super) const MILLIGRAMS: NumberInfo = NumberInfo {
    key: "content",
    label: "dry mass in 1 mL",
    unit: "mg per mL",
    least: 0.0,
    most: 1000.0,
    scale: Scale::Even,
};
/// Limits of a stage's multiplier.
const TIMES: NumberInfo = NumberInfo {
    key: "times",
    label: "multiplier of the doses",
    unit: "",
    least: 0.01,
    most: 1000.0,
    scale: Scale::Even,
};

/// Name in a mix of what is no food: the culture liquid in it.
const LIQUID: &str = "liquid";

/// Name of a recipe whose stages do not say one.
const STANDARD: &str = "standard";

/// One food in a mix.
pub(super) struct Part<'l> {
    /// The food.
    pub food: &'l FoodEntry,
    /// How much of it 1 mL holds.
    pub content: Content,
}

/// A mix as written.
pub(super) struct MixText<'l> {
    /// Its name.
    pub name: String,
    /// Where it is named.
    pub place: Bytes<usize>,
    /// What is in it, as far as it could be read.
    pub parts: Vec<Part<'l>>,
    /// Culture liquid in it.
    pub liquid: Option<LiquidText>,
}

/// A stage as written.
#[derive(Debug, Clone)]
pub(super) struct StageText {
    /// First day.
    pub from_day: u32,
    /// Index of its mix.
    pub mix: usize,
    /// Multiplies every dose.
    pub times: f64,
}

/// A recipe as written.
#[derive(Debug, Clone)]
pub(super) struct RecipeText {
    /// Its name.
    pub name: String,
    /// Where its first stage is.
    pub place: Bytes<usize>,
    /// Its stages, as far as they could be read.
    pub stages: Vec<StageText>,
}

/// All mixes and recipes.
pub(super) struct Recipes<'l> {
    /// Mixes in the order of the file.
    pub mixes: Vec<MixText<'l>>,
    /// Recipes in the order of the file.
    pub recipes: Vec<RecipeText>,
}

impl Recipes<'_> {
    /// Names of the recipes.
    pub fn names(&self) -> Vec<&str> {
        self.recipes.iter().map(|recipe| recipe.name.as_str()).collect()
    }

    /// The recipe that a text names; notes when there is none.
    pub fn named(&self, node: &Node<'_>, findings: &mut Findings) -> Option<usize> {
        let name = fields::text(node, "the name of a recipe is expected", findings)?;
        let names = self.names();
        let found = names.iter().position(|recipe| words::fold(recipe) == words::fold(name));
        if found.is_none() {
            unknown_name(node, "recipe", name, &names, findings);
        }
        found
    }

    /// True if a food is in a recipe on any day.
    pub fn holds(&self, recipe: usize, food: &str) -> bool {
        let mixes = self.recipes[recipe].stages.iter().map(|stage| &self.mixes[stage.mix]);
        mixes.flat_map(|mix| &mix.parts).any(|part| part.food.name == food)
    }

    /// The recipe of a plan that names none: the standard one, or the only one.
    pub fn usual(&self) -> Option<usize> {
        let standard = self.recipes.iter().position(|recipe| recipe.name == STANDARD);
        standard.or_else(|| (self.recipes.len() == 1).then_some(0))
    }
}

/// Reads all mixes and recipes.
pub(super) fn read<'l>(
    root: Fields<'_, '_>,
    library: &'l Library,
    days: Option<u32>,
    findings: &mut Findings,
) -> Recipes<'l> {
    let mixes = read_mixes(root, library, findings);
    let stages = groups(root, "recipe", findings);
    let meant = findings.was_meant(root.place().start, "recipe");
    if stages.is_empty() && !meant && root.get("recipe").is_none_or(|node| node.get_ref().is_array()) {
        let list = root.get("recipe");
        let label = if list.is_some() { "this list is empty" } else { root.missing_label() };
        let place = list.map_or(root.place(), Spanned::span);
        let help = "for instance: [[recipe]] with from_day = 1 and mix = \"first food\"";
        findings.wrong_with(place, "there is no [[recipe]]: nothing says what is fed", label, Some(help.into()));
    }
    let mut recipes: Vec<RecipeText> = Vec::new();
    let mut broken: Vec<bool> = Vec::new();
    for node in stages {
        let Some(fields) = Fields::open(node, "[[recipe]]", &["recipe", "from_day", "mix", "times"], findings) else {
            continue;
        };
        let name = match fields.get("recipe") {
            Some(node) => fields::name(node, "recipe = \"small mouths\"", findings),
            None => Some(STANDARD),
        };
        let stage = read_stage(fields, &mixes, days, findings);
        let Some(name) = name else { continue };
        let found = recipes.iter().position(|recipe| words::fold(&recipe.name) == words::fold(name));
        let recipe = found.unwrap_or_else(|| {
            recipes.push(RecipeText { name: name.to_string(), place: node.span(), stages: Vec::new() });
            broken.push(false);
            recipes.len() - 1
        });
        match stage {
            Some(stage) if !broken[recipe] => add_stage(&mut recipes[recipe], stage, node, findings),
            Some(_) => {}
            None => broken[recipe] = true,
        }
    }
    Recipes { mixes, recipes }
}

fn read_stage(
    fields: Fields<'_, '_>,
    mixes: &[MixText<'_>],
    days: Option<u32>,
    findings: &mut Findings,
) -> Option<StageText> {
    let from_day = fields.need("from_day", "from_day = 1", findings);
    let from_day = from_day.and_then(|node| {
        let day = times::day(node, "the first day of a stage", MOST_DAYS, findings)?;
        if let Some(days) = days.filter(|days| day > *days) {
            let what = format!("this stage begins on day {day}, after the last day ({days})");
            findings.doubt(node.span(), what, "Take it out, or follow the brood for longer.");
        }
        Some(day)
    });
    let mix = fields.need("mix", "mix = \"first food\"", findings).and_then(|node| {
        let name = fields::text(node, "the name of a mix is expected", findings)?;
        let found = mixes.iter().position(|mix| words::fold(&mix.name) == words::fold(name));
        if found.is_none() {
            let names: Vec<&str> = mixes.iter().map(|mix| mix.name.as_str()).collect();
            unknown_name(node, "[mix]", name, &names, findings);
        }
        found
    });
    let times = fields.get("times").map_or(Some(1.0), |node| fields::value(node, &TIMES, Bare::Refused, findings));
    Some(StageText { from_day: from_day?, mix: mix?, times: times? })
}

fn add_stage(recipe: &mut RecipeText, stage: StageText, node: &Node<'_>, findings: &mut Findings) {
    match recipe.stages.last() {
        None if stage.from_day != 1 => {
            let what = format!("the recipe \"{}\" begins on day {}: day 1 has no food", recipe.name, stage.from_day);
            let help = "let its first stage have from_day = 1; a plan can wait with first_feed = \"day 4\"";
            findings.wrong_with(node.span(), what, "", Some(help.into()));
        }
        Some(last) if stage.from_day <= last.from_day => {
            let what =
                format!("this stage begins on day {}, the one before it on day {}", stage.from_day, last.from_day);
            findings.wrong(node.span(), what, "stages must follow each other day by day");
        }
        _ => {}
    }
    recipe.stages.push(stage);
}

fn read_mixes<'l>(root: Fields<'_, '_>, library: &'l Library, findings: &mut Findings) -> Vec<MixText<'l>> {
    let example = "[mix.\"first food\"] with \"Paramecium\" = \"200 per mL\"";
    let Some(node) = root.need("mix", example, findings) else { return Vec::new() };
    let Some(tables) = Fields::open_any(node, "[mix.\"name\"]", findings) else { return Vec::new() };
    let mut mixes: Vec<MixText<'l>> = Vec::new();
    for (key, node) in tables.in_order() {
        let name = key.get_ref().trim();
        fields::name_is_fit(name, key.span(), findings);
        if mixes.iter().any(|mix| words::fold(&mix.name) == words::fold(name)) {
            findings.wrong(key.span(), format!("there are two mixes called \"{name}\""), "give one another name");
        }
        let mix = Fields::open_any(node, "[mix.\"name\"]", findings);
        let parts = mix.map(|mix| read_parts(mix, name, node, library, findings)).unwrap_or_default();
        let liquid = mix.and_then(|mix| mix.get(LIQUID)).and_then(|node| liquids::read(node, library, findings));
        mixes.push(MixText { name: name.to_string(), place: key.span(), parts, liquid });
    }
    mixes
}

fn read_parts<'l>(
    mix: Fields<'_, '_>,
    name: &str,
    node: &Node<'_>,
    library: &'l Library,
    findings: &mut Findings,
) -> Vec<Part<'l>> {
    let mut written = mix.in_order();
    written.retain(|(key, _)| key.get_ref() != LIQUID);
    if written.is_empty() {
        findings.wrong(node.span(), format!("there is no food in the mix \"{name}\""), "a food = amount is expected");
    }
    let mut parts: Vec<Part<'l>> = Vec::new();
    for (key, node) in written {
        let food = library.find_food(key.get_ref()).ok();
        if food.is_none() {
            let hint = words::hint(key.get_ref(), &library.food_names());
            let what = format!("there is no food called \"{}\"", key.get_ref());
            findings.wrong_with(key.span(), what, "a food of the library is expected", hint);
        }
        if let Some(food) = food
            && parts.iter().any(|part| part.food.name == food.name)
        {
            findings.wrong(key.span(), format!("\"{}\" is in this mix twice", food.name), "take one of the two out");
        }
        let content = read_content(node, findings);
        if let (Some(food), Some(content)) = (food, content) {
            parts.push(Part { food, content });
        }
    }
    parts
}

/// Reads how much of a food 1 mL holds; the unit of the likely value decides between items and mass.
fn read_content(node: &Node<'_>, findings: &mut Findings) -> Option<Content> {
    let likely = match node.get_ref() {
        DeValue::Table(range) => range.get("likely"),
        _ => Some(node),
    };
    let written = likely.and_then(|node| node.get_ref().as_str()).and_then(|text| units::split(text).ok());
    let by_mass = written.is_some_and(|written| {
        [Measure::MassPerVolume, Measure::Mass, Measure::Density].contains(&units::measure_of(written.unit))
    });
    let (info, content): (_, fn(Range) -> Content) =
        if by_mass { (&MILLIGRAMS, Content::Milligrams) } else { (&ITEMS, Content::Items) };
    let range = fields::range(node, info, findings)?;
    if range.likely() <= 0.0 {
        findings.wrong(node.span(), format!("the {} must be more than 0", info.label), "");
        return None;
    }
    Some(content(range))
}
