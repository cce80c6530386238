//! What cannot work, or hardly: found in the numbers of a study, each with a remedy.
//!
//! A doubt that several plans share is told once, with their names.

use frytub_sim::fry::shoal::Physiology;
use frytub_sim::study::{Plan, Recipe, Study, Tub};

use super::amounts::Reckoning;
use super::{cultures, few, hundredths, liquids, mass, mishaps, pump_doubts, waste};
use crate::mistakes::Warning;
use crate::words::{self, figure};

/// A single feed of more than this share of the tub is doubted.
const LARGE_FEED: f64 = 0.25;
/// A fish that feeds in the dark with less than this share of its skill is taken to feed by sight.
const SIGHT_FEEDER: f64 = 0.5;
/// A drip that exchanges the tub in less than these hours is doubted.
const FAST_DRIP_H: f64 = 6.0;
/// A day's food of more than this many times the fry's own mass is doubted.
const HUGE_RATION: f64 = 20.0;
/// A share of a food taken below this counts as nothing.
const NOTHING: f64 = 0.005;

/// What is doubtful about a plan, and what to do about it.
pub(super) type Doubt = (String, &'static str);

/// Finds everything doubtful.
pub(super) fn find(reckoning: &Reckoning<'_>) -> Vec<Warning> {
    let mut doubts = foods_too_wide(reckoning);
    doubts.extend(stages_nobody_can_eat(reckoning));
    let by_plan: [fn(&Reckoning<'_>, &Plan) -> Option<Doubt>; 17] = [
        never_fed,
        fasting_days,
        large_feeds,
        dark_feeds,
        too_few_items,
        short_ration,
        huge_ration,
        weaning_food_missing,
        waste::too_much_ammonia,
        waste::too_little_oxygen,
        liquids::without_water,
        liquids::too_much_acid,
        cultures::stand_in_too_wide,
        mishaps::float_without_outlet,
        mishaps::float_too_high,
        mishaps::battery_without_pump,
        mishaps::backup_without_air,
    ];
    for doubt in by_plan {
        doubts.extend(merged(reckoning, doubt));
    }
    for doubt in pump_doubts::DOUBTS {
        doubts.extend(merged(reckoning, doubt));
    }
    doubts.extend(fast_drip(reckoning.study));
    doubts
}

/// Tells a doubt about plans once for all plans of which the same is to be said.
fn merged(reckoning: &Reckoning<'_>, doubt: fn(&Reckoning<'_>, &Plan) -> Option<Doubt>) -> Vec<Warning> {
    let mut told: Vec<(String, &'static str, Vec<&str>)> = Vec::new();
    for plan in &reckoning.study.plans {
        let Some((what, remedy)) = doubt(reckoning, plan) else { continue };
        match told.iter_mut().find(|(known, _, _)| *known == what) {
            Some((_, _, names)) => names.push(&plan.name),
            None => told.push((what, remedy, vec![&plan.name])),
        }
    }
    let warning = |(what, remedy, names): (String, &str, Vec<&str>)| Warning {
        place: None,
        what: format!("{}: {what}", few(&names.iter().map(|name| format!("\"{name}\"")).collect::<Vec<_>>())),
        remedy: remedy.to_string(),
    };
    told.into_iter().map(warning).collect()
}

/// Foods of which no fry could take anything, however well it grew.
fn foods_too_wide(reckoning: &Reckoning<'_>) -> Vec<Warning> {
    let study = reckoning.study;
    let mut doubts = Vec::new();
    for (food, entry) in study.foods.iter().enumerate() {
        let offered = |recipe: usize, stage: usize| {
            let mix = &study.mixes[study.recipes[recipe].stages[stage].mix];
            mix.parts.iter().any(|part| part.food == food)
        };
        let last_day = stages(study)
            .filter(|&(recipe, stage)| offered(recipe, stage))
            .filter_map(|(recipe, stage)| reckoning.last_day(recipe, stage))
            .max();
        let Some(last_day) = last_day else { continue };
        let fry = reckoning.fry_at_best(last_day);
        if reckoning.fit(food, fry).taken < NOTHING {
            doubts.push(Warning {
                place: None,
                what: format!(
                    "{} is wider than every mouth up to day {last_day}: even the fastest growth brings the gape to {} µm",
                    entry.name,
                    figure(reckoning.gape_um(fry))
                ),
                remedy: "Offer it later, or a smaller food.".to_string(),
            });
        }
    }
    doubts
}

/// Stages of which a fry grown at full speed could take next to nothing when they begin.
fn stages_nobody_can_eat(reckoning: &Reckoning<'_>) -> Vec<Warning> {
    let study = reckoning.study;
    let mut doubts = Vec::new();
    for (recipe, stage) in stages(study) {
        if reckoning.last_day(recipe, stage).is_none() {
            continue;
        }
        let stage = study.recipes[recipe].stages[stage];
        let fry = reckoning.fry_at_best(stage.from_day);
        let parts = &study.mixes[stage.mix].parts;
        let most = parts.iter().map(|part| reckoning.fit(part.food, fry).taken).fold(0.0, f64::max);
        if most < 0.1 {
            doubts.push(Warning {
                place: None,
                what: format!(
                    "on day {} only \"{}\" is offered, and a fry takes at most {} in 100 of what it meets, however well it has grown",
                    stage.from_day,
                    study.mixes[stage.mix].name,
                    hundredths(most)
                ),
                remedy: "Keep a smaller food in the mix for a few more days.".to_string(),
            });
        }
    }
    doubts
}

/// Every recipe and stage by index.
fn stages(study: &Study) -> impl Iterator<Item = (usize, usize)> + '_ {
    let of = |(recipe, entry): (usize, &Recipe)| (0..entry.stages.len()).map(move |stage| (recipe, stage));
    study.recipes.iter().enumerate().flat_map(of)
}

fn never_fed(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let days = reckoning.study.days;
    (plan.first_feed_day > days).then(|| {
        let what = format!("the first feed is on day {}, after the last count on day {days}", plan.first_feed_day);
        (what, "Right if the fry are meant to go unfed; else let first_feed be earlier.")
    })
}

fn fasting_days(_: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let days = match (plan.week[0].feeds.is_empty(), plan.week[5].feeds.is_empty()) {
        (true, false) => "Monday to Friday",
        (false, true) => "Saturday and Sunday",
        _ => return None,
    };
    Some((format!("no feed on {days}"), "Give those days a visit or a pump feed, if the fry are not meant to fast."))
}

fn large_feeds(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let tub_ml = reckoning.world.tubs[plan.tub].volume_ml;
    let given = (1..=reckoning.study.days).flat_map(|day| reckoning.given_on(plan, day));
    let largest = given.map(|given| given.volume_ml).fold(0.0, f64::max);
    (largest > LARGE_FEED * tub_ml).then(|| {
        let against = if largest > tub_ml { "more than the tub holds" } else { "more than a quarter of the tub" };
        let what = format!("one feed is {} mL, {against} ({} mL)", figure(largest), figure(tub_ml));
        (what, "Give less, or let one mL of the mix hold more.")
    })
}

fn dark_feeds(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    if reckoning.world.fish.dark_share >= SIGHT_FEEDER {
        return None;
    }
    let day = plan.week.iter().max_by_key(|day| day.feeds.iter().filter(|feed| reckoning.in_the_dark(feed)).count())?;
    let dark = day.feeds.iter().filter(|feed| reckoning.in_the_dark(feed)).count();
    (dark > 0).then(|| {
        let feeds = words::count(day.feeds.len(), "feed", "feeds");
        let what = format!(
            "{dark} of {feeds} a day {} while the light is off, when these fry hardly eat",
            if dark == 1 { "comes" } else { "come" }
        );
        (what, "Let the light burn longer, or feed between light on and light off.")
    })
}

fn too_few_items(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let study = reckoning.study;
    let day = plan.first_feed_day.min(study.days);
    let fewest = reckoning
        .given_on(plan, day)
        .iter()
        .map(|given| reckoning.portions(given.mix, given.volume_ml).iter().map(|p| p.items).sum::<f64>())
        .min_by(f64::total_cmp)?;
    (fewest < f64::from(study.fry)).then(|| {
        let fry = words::exact(f64::from(study.fry));
        let what = format!("one feed on day {day} brings {} items for {fry} fry: many get none", figure(fewest));
        (what, "Give more in a feed, or a food of smaller items.")
    })
}

/// Shortest ration that is not doubted: what a fry burns in a day, as a share of its mass.
fn short_ration(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let study = reckoning.study;
    let first = plan.first_feed_day;
    let fry = reckoning.fry_at_start();
    let ration = reckoning.mass_of_day_ug(plan, first) / f64::from(study.fry);
    let physiology = Physiology::new(&reckoning.world.fish, reckoning.world.tubs[plan.tub].temperature_c);
    let burnt = 24.0 * physiology.routine_ug_h(fry.mass_ug);
    (first <= study.days && ration < burnt).then(|| {
        let what = format!(
            "day {first} brings each fry {}, less than the {} that it burns in a day even at rest",
            mass(ration),
            mass(burnt)
        );
        (what, "Give more food, if the fry are meant to grow.")
    })
}

/// Where the water is reckoned with, its own doubts tell what a huge ration does.
fn huge_ration(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let study = reckoning.study;
    if study.tubs[plan.tub].water.is_some() {
        return None;
    }
    let first = plan.first_feed_day;
    let ration = reckoning.mass_of_day_ug(plan, first) / f64::from(study.fry);
    let times = ration / reckoning.fry_at_start().mass_ug;
    (first <= study.days && times > HUGE_RATION).then(|| {
        let what =
            format!("day {first} brings each fry {} times its own mass in food, which would foul a tub", figure(times));
        (what, "Give less: fry eat about their own mass in a day at most. Write water = \"reckoned\" for the tub to have its water reckoned with.")
    })
}

fn weaning_food_missing(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let study = reckoning.study;
    let fed = (plan.first_feed_day..=study.days).flat_map(|day| reckoning.given_on(plan, day));
    let offered = fed.flat_map(|given| &study.mixes[given.mix].parts).any(|part| part.food == study.weaning_food);
    (!offered && plan.first_feed_day <= study.days).then(|| {
        let what = format!("{} is never offered, so no fry can count as weaned", study.foods[study.weaning_food].name);
        (what, "Put it into the recipe's last days, or name another weaning_food in [brood].")
    })
}

fn fast_drip(study: &Study) -> Vec<Warning> {
    let hours = |tub: &Tub| tub.numbers.volume_ml.likely() / tub.numbers.drip_ml_h.likely();
    let fastest = study.tubs.iter().map(hours).fold(f64::INFINITY, f64::min);
    if fastest >= FAST_DRIP_H {
        return Vec::new();
    }
    vec![Warning {
        place: None,
        what: format!(
            "the drip brings the tub's volume in {} h and carries swimming food out with it",
            figure(fastest)
        ),
        remedy: "Slow the drip, or give small feeds often.".to_string(),
    }]
}
