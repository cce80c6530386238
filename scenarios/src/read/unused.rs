//! What a scenario says and no plan uses: each is told, so that nothing is left out in silence.

use crate::mistakes::Findings;
use crate::read::study::{Builder, Parts, counts_of_fish};

/// Notes everything that is of no effect.
pub(super) fn warn(parts: &Parts<'_, '_>, builder: &Builder<'_, '_>, findings: &mut Findings) {
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
    for culture in &parts.cultures {
        if builder.foods.iter().all(|food| food.name != culture.food.name) {
            let what = format!("the culture of {} is described, but no plan feeds it", culture.food.name);
            findings.doubt(culture.place.clone(), what, "Put it into a recipe's mix, or take the culture out.");
        }
    }
    for change in parts.changes.fish.iter().filter(|change| !counts_of_fish(builder, change.key)) {
        let what = format!(
            "{} counts only where the water is reckoned with, and no tub here has its water described",
            change.key
        );
        findings.doubt(change.place.clone(), what, "Describe it in [tub.water], or take this out.");
    }
    if let Some((place, _)) = parts.line.as_ref().filter(|_| builder.lines.is_empty()) {
        let what = "no plan feeds by a pump through the [feed_line]";
        findings.doubt(place.clone(), what, "Give a plan by_pump, or take the feed line out.");
    }
    if let Some(reservoir) = parts.reservoirs.first().filter(|_| parts.line.is_none()) {
        let what = "there is a reservoir, but no [feed_line]: pump feeds are taken to arrive whole and fresh";
        findings.doubt(reservoir.place.clone(), what, "Add a [feed_line] with pump, timer, tube_length and tube_end.");
    }
    for body in parts.plans.iter().filter_map(|plan| plan.body.as_ref()) {
        if let Some(place) = body.rinse_place.clone().filter(|_| body.tub.outlet.is_none()) {
            let what = "a rinse is of no effect in a tub without an outlet";
            findings.doubt(place, what, "Give the tub an outlet with its sponge_face and rim, or take this out.");
        }
    }
}
