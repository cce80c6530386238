//! Puts the parts of a scenario together: only what the plans use goes into the study, so that no unused food
//! adds uncertain numbers to a comparison.

use std::ops::Range as Bytes;

use frytub_sim::numbers::{FoodNumbers, NumberInfo, OutletNumbers, Range, WaterNumbers};
use frytub_sim::study::{
    By, Content, Culture, Food, JarTest, Mix, MixPart, Plan, PlanLine, Recipe, Stage, StandIn, Study, Tub,
};
use frytub_sim::worlds::BORNE_OF_WATER;

use crate::known::{Known, NumberUsed};
use crate::library::{FoodEntry, Library, culture_numbers_used, food_numbers_used};
use crate::mistakes::Findings;
use crate::programmes::Programmes;
use crate::read::brood::Brood;
use crate::read::changes::Changes;
use crate::read::cultures::CultureText;
use crate::read::jar_tests::{self, JarText};
use crate::read::keeper::KeeperText;
use crate::read::lines::LineText;
use crate::read::liquids::LiquidText;
use crate::read::mishaps::MishapText;
use crate::read::outlets;
use crate::read::own::{self, Own};
use crate::read::plans::{Body, PlanText};
use crate::read::pumping::Pumping;
use crate::read::recipes::{ITEMS, MILLIGRAMS, Recipes};
use crate::read::reservoirs::ReservoirText;
use crate::read::tubs::{TubAndLight, TubText};
use crate::read::unused;
use crate::words;

/// True if a number of the fish counts: what it bears of fouled water does so only where the water is reckoned with.
pub(super) fn counts_of_fish(builder: &Builder<'_, '_>, key: &str) -> bool {
    has_water(builder) || !BORNE_OF_WATER.contains(&key)
}

/// True if the water of some tub is reckoned with.
fn has_water(builder: &Builder<'_, '_>) -> bool {
    builder.tubs.iter().any(|(_, tub)| tub.water.is_some())
}

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
    /// What may go wrong.
    pub mishaps: Option<MishapText>,
    /// Cultures that may not be ready.
    pub cultures: Vec<CultureText<'l>>,
    /// Mixes and recipes.
    pub recipes: Recipes<'l>,
    /// The reservoirs; all are kept, so that they can be compared.
    pub reservoirs: Vec<ReservoirText>,
    /// The feed line, with its place in the file.
    pub line: Option<(Bytes<usize>, LineText)>,
    /// Jar tests that the keeper has made.
    pub jar_tests: Vec<JarText>,
    /// The plans.
    pub plans: Vec<PlanText>,
    /// Index of the plan to compare with.
    pub baseline: usize,
    /// Numbers that replace the library's.
    pub changes: Changes,
    /// Fish and foods that the file describes, with the library they were added to.
    pub own: &'l Own<'l>,
}

/// Gathers what plans use, each thing once, in the order of first use.
pub(super) struct Builder<'p, 'l> {
    recipes_written: &'p Recipes<'l>,
    /// Recipes, by their places in the file.
    pub recipes: Vec<usize>,
    /// Mixes, by their places in the file.
    pub mixes: Vec<usize>,
    /// Foods.
    pub foods: Vec<&'l FoodEntry>,
    /// Tubs, each with the name of its group of numbers.
    pub tubs: Vec<(String, TubText)>,
    /// Feed lines, likewise.
    pub lines: Vec<(String, LineText)>,
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

    /// What a plan's pump feeds through; its programme is made when the study is whole.
    fn line(&mut self, plan: &PlanText, pumping: &Pumping, usual: Option<&LineText>, recipe: usize) -> PlanLine {
        let text = &pumping.line;
        let group =
            || if Some(text) == usual { "feed line".to_string() } else { format!("feed line of {}", plan.name) };
        PlanLine {
            reservoir: pumping.reservoir,
            line: place_of(&mut self.lines, |(_, known)| known == text, || (group(), text.clone())),
            recipe: pumping.recipe.map_or(recipe, |written| self.recipe(written)),
            fill: pumping.fill,
            refills: pumping.refills,
            programme: Vec::new(),
        }
    }
}

/// Makes the study and the list of numbers it uses; notes what the file says and no plan uses.
pub(super) fn put_together(parts: &Parts<'_, '_>, findings: &mut Findings) -> Option<(Study, Vec<NumberUsed>)> {
    let library: &Library = &parts.own.library;
    let mut builder = Builder {
        recipes_written: &parts.recipes,
        recipes: Vec::new(),
        mixes: Vec::new(),
        foods: Vec::new(),
        tubs: Vec::new(),
        lines: Vec::new(),
    };
    let mut plans = Vec::new();
    for plan in &parts.plans {
        let body = plan.body.as_ref()?;
        let group = || if body.tub == parts.tub.tub { "tub".to_string() } else { format!("tub of {}", plan.name) };
        let (tub, recipe) = (builder.tub(group, &body.tub), builder.recipe(body.recipe));
        let usual_line = parts.line.as_ref().map(|(_, line)| line);
        let line = body.pumping.as_ref().map(|pumping| builder.line(plan, pumping, usual_line, recipe));
        plans.push(finished_plan(plan, body, tub, recipe, line));
    }
    let weaning_entry = parts
        .brood
        .weaning_food
        .or_else(|| builder.foods.iter().copied().find(|food| food.weaning))
        .or_else(|| library.foods.iter().find(|food| food.weaning))?;
    let weaning_food = builder.food(weaning_entry);
    for (plan, written) in plans.iter_mut().zip(&parts.plans) {
        plan.stand_ins = finished_stand_ins(plan, written.body.as_ref()?, library, &mut builder)?;
    }
    let cultures = finished_cultures(parts, &builder)?;
    unused::warn(parts, &builder, findings);
    own::warn_of_unused(parts.own, &parts.brood.fish.name, &builder.foods, findings);

    let mut fish = parts.brood.fish.numbers.clone();
    for change in &parts.changes.fish {
        *fish.get_mut(change.key)? = change.known.clone();
    }
    let fish_used = fish.iter().filter(|(info, _)| counts_of_fish(&builder, info.key));
    let mut used: Vec<NumberUsed> =
        fish_used.map(|(info, known)| NumberUsed::new(&parts.brood.fish.name, "fish", info, known)).collect();
    let mut foods = Vec::new();
    for entry in &builder.foods {
        let mut numbers = entry.numbers.clone();
        for change in parts.changes.foods.iter().filter(|change| change.food == entry.name).flat_map(|c| &c.changes) {
            *numbers.get_mut(change.key)? = change.known.clone();
        }
        let counts = |number: &NumberUsed| match number.key.as_str() {
            "stick_chance" => !parts.reservoirs.is_empty(),
            "rot_oxygen" => has_water(&builder),
            _ => true,
        };
        used.extend(food_numbers_used(&entry.name, entry.sort, &numbers).into_iter().filter(counts));
        foods.push(finished_food(entry, &numbers));
    }
    for (group, tub) in &builder.tubs {
        used.extend(tub.numbers.iter().map(|(info, known)| NumberUsed::new(group, "tub", info, known)));
    }
    for (group, tub) in &builder.tubs {
        let group = group.replacen("tub", "outlet", 1);
        // A float counts only where somebody owns one.
        let has_float = plans.iter().any(|plan| plan.owns.float_alarm);
        let counts = |info: &NumberInfo| has_float || info.key != "float_mm";
        let numbers = tub.outlet.iter().flat_map(OutletNumbers::iter).filter(|(info, _)| counts(info));
        used.extend(numbers.map(|(info, known)| NumberUsed::new(&group, "outlet", info, known)));
    }
    for (group, tub) in &builder.tubs {
        let group = group.replacen("tub", "water", 1);
        let numbers = tub.water_numbers();
        let numbers = numbers.iter().flat_map(WaterNumbers::iter);
        used.extend(numbers.map(|(info, known)| NumberUsed::new(&group, "water", info, known)));
    }
    for reservoir in &parts.reservoirs {
        let group = format!("reservoir {}", reservoir.name);
        let numbers = reservoir.body.as_ref()?.numbers.iter();
        used.extend(numbers.map(|(info, known)| NumberUsed::new(&group, "reservoir", info, known)));
    }
    for (group, line) in &builder.lines {
        let numbers = line.numbers.iter();
        used.extend(numbers.map(|(info, known)| NumberUsed::new(group, "feed line", info, known)));
    }
    used.extend(parts.keeper.numbers.iter().map(|(info, known)| NumberUsed::new("keeper", "keeper", info, known)));
    if let Some(mishaps) = &parts.mishaps {
        used.extend(mishaps.numbers.iter().map(|(info, known)| NumberUsed::new("mishaps", "mishaps", info, known)));
    }
    for culture in &parts.cultures {
        if cultures.iter().any(|fed| foods[fed.food].name == culture.food.name) {
            used.extend(culture_numbers_used(&culture.food.name, culture.numbers.as_ref()?));
        }
    }
    let mixes = builder.mixes.iter().map(|mix| finished_mix(*mix, &builder, &mut used)).collect();
    let recipes = builder.recipes.iter().map(|recipe| finished_recipe(*recipe, &builder)).collect();
    let jar_tests = finished_jar_tests(parts, &builder, &mut used, findings);
    let mut study = Study {
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
        reservoirs: parts.reservoirs.iter().map(ReservoirText::finished).collect::<Option<_>>()?,
        lines: builder.lines.iter().map(|(_, line)| line.finished()).collect(),
        jar_tests,
        mishaps: parts.mishaps.as_ref().map(MishapText::finished),
        cultures,
        keeper: parts.keeper.numbers.map(|_, known| known.range),
        mixes,
        recipes,
        plans,
        baseline: parts.baseline,
        show_day: parts.show_day,
    };
    set_timers(&mut study, &parts.plans, findings);
    Some((study, used))
}

/// Sets the timer of each plan that feeds through a line; notes runs that are not over when the next day begins.
fn set_timers(study: &mut Study, written: &[PlanText], findings: &mut Findings) {
    let mut plans = study.plans.clone();
    let programmes = Programmes::new(study);
    for (plan, text) in plans.iter_mut().zip(written) {
        let Some(mut line) = plan.line.take() else { continue };
        line.programme = (1..=study.days).map(|day| programmes.of_day(plan, &line, day).runs).collect();
        for feed in plan.week.iter_mut().flat_map(|day| &mut day.feeds).filter(|feed| feed.by == By::Pump) {
            feed.over_min = programmes.minutes(&line, feed);
        }
        if let (Some(overrun), Some(body)) = (Programmes::overrun(&line), &text.body) {
            let what = format!(
                "on day {} the pump would run for {} min from {}, into the feeds of the next day",
                overrun.day,
                words::exact((100.0 * overrun.minutes).round() / 100.0),
                overrun.at
            );
            findings.wrong(body.feeds_place.clone(), what, "a smaller dose or a faster pump is expected");
        }
        plan.line = Some(line);
    }
    study.plans = plans;
}

/// The jar tests of foods that are fed; notes those of others.
fn finished_jar_tests(
    parts: &Parts<'_, '_>,
    builder: &Builder<'_, '_>,
    used: &mut Vec<NumberUsed>,
    findings: &mut Findings,
) -> Vec<JarTest> {
    let mut tests = Vec::new();
    for test in &parts.jar_tests {
        let Some(food) = builder.foods.iter().position(|food| food.name == test.food) else {
            let what = format!("\"{}\" was tested in a jar, but no plan feeds it", test.food);
            findings.doubt(test.place.clone(), what, "Put it into a mix, or take the test out.");
            continue;
        };
        let (reading_error, written) = test.error();
        let error = Range::certain(reading_error);
        let source = "estimate: cloudiness judged by eye against a row of dilutions";
        let error = if written { Known::by_file(error) } else { Known::by_default(error, source) };
        let share = Known::by_file(Range::certain(test.in_suspension));
        let group = jar_tests::group_name(test);
        for (info, known) in [(&jar_tests::IN_SUSPENSION, share), (&jar_tests::READING_ERROR, error)] {
            used.push(NumberUsed::new(&group, &group, info, &known));
        }
        let JarText { how, after_min, in_suspension, .. } = *test;
        tests.push(JarTest { food, how, after_min, in_suspension, reading_error });
    }
    tests
}

fn finished_plan(plan: &PlanText, body: &Body, tub: usize, recipe: usize, line: Option<PlanLine>) -> Plan {
    let week = std::array::from_fn(|day| if day < 5 { body.weekday.clone() } else { body.weekend.clone() });
    Plan {
        name: plan.name.clone(),
        family: plan.family.clone(),
        matched: body.matched,
        tub,
        recipe,
        first_feed_day: body.first_feed_day,
        siphon: body.siphon,
        rinses: body.rinses,
        owns: body.owns,
        // Known when all that is fed is known.
        stand_ins: Vec::new(),
        line,
        week,
    }
}

/// The cultures of foods that plans feed.
fn finished_cultures(parts: &Parts<'_, '_>, builder: &Builder<'_, '_>) -> Option<Vec<Culture>> {
    let mut cultures = Vec::new();
    for culture in &parts.cultures {
        let Some(food) = builder.foods.iter().position(|food| food.name == culture.food.name) else { continue };
        cultures.push(Culture { food, numbers: culture.numbers.as_ref()?.map(|_, known| known.range) });
    }
    Some(cultures)
}

/// What a plan feeds instead of those of its foods whose culture is described.
fn finished_stand_ins<'l>(
    plan: &Plan,
    body: &Body,
    library: &'l Library,
    builder: &mut Builder<'_, 'l>,
) -> Option<Vec<StandIn>> {
    let recipes = [plan.recipe].into_iter().chain(plan.line.as_ref().map(|line| line.recipe));
    let written: Vec<usize> = recipes.map(|recipe| builder.recipes[recipe]).collect();
    let mut stand_ins = Vec::new();
    for stand_in in &body.stand_ins {
        let Some(instead) = &stand_in.instead else { continue };
        if !written.iter().any(|recipe| builder.recipes_written.holds(*recipe, &stand_in.food)) {
            continue;
        }
        let food = builder.foods.iter().position(|food| food.name == stand_in.food)?;
        let instead = builder.food(library.find_food(instead).ok()?);
        stand_ins.push(StandIn { food, instead });
    }
    Some(stand_ins)
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
    Tub {
        air: tub.air,
        outlet: tub.outlet.as_ref().map(outlets::finished),
        water: tub.water_numbers().map(|water| water.map(|_, known| known.range)),
        numbers: tub.numbers.map(|_, known| known.range),
    }
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
    let parts = parts.collect();
    if let Some(liquid) = &mix.liquid {
        let group = format!("liquid in {}", mix.name);
        used.extend(liquid.numbers.iter().map(|(info, known)| NumberUsed::new(&group, &group, info, known)));
    }
    Mix { name: mix.name.clone(), parts, liquid: mix.liquid.as_ref().map(LiquidText::finished) }
}

fn finished_recipe(written: usize, builder: &Builder<'_, '_>) -> Recipe {
    let recipe = &builder.recipes_written.recipes[written];
    let stages = recipe.stages.iter().filter_map(|stage| {
        let mix = builder.mixes.iter().position(|mix| *mix == stage.mix)?;
        Some(Stage { from_day: stage.from_day, mix, times: stage.times })
    });
    Recipe { name: recipe.name.clone(), stages: stages.collect() }
}
