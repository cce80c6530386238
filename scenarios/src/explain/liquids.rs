//! What unwashed food brings into the water besides food: the culture liquid of a day's doses.

use frytub_sim::study::Plan;

use super::amounts::Reckoning;
use super::doubts::Doubt;
use super::hundredths;
use crate::words::figure;

/// The culture liquid of one day.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Brought {
    /// Liquid, mL.
    pub volume_ml: f64,
    /// Acid, meq.
    pub acid_meq: f64,
    /// Oxygen that it uses as it rots, mg.
    pub oxygen_mg: f64,
    /// Nitrogen, mg.
    pub nitrogen_mg: f64,
}

/// What a plan's doses of a day bring of it.
pub(super) fn of_day(reckoning: &Reckoning<'_>, plan: &Plan, day: u32) -> Brought {
    let mut brought = Brought::default();
    for given in reckoning.given_on(plan, day) {
        let Some(liquid) = &reckoning.world.liquids[given.mix] else { continue };
        let volume_ml = liquid.share * given.volume_ml;
        brought.volume_ml += volume_ml;
        brought.acid_meq += volume_ml * liquid.acid_meq_ml;
        brought.oxygen_mg += volume_ml * liquid.oxygen_mg_ml;
        brought.nitrogen_mg += volume_ml * liquid.nitrogen_mg_ml;
    }
    brought
}

/// How much of a mix is culture liquid; nothing for a washed one.
pub(super) fn in_mix(reckoning: &Reckoning<'_>, mix: usize) -> Option<String> {
    let liquid = reckoning.study.mixes[mix].liquid.as_ref()?;
    let share = hundredths(liquid.numbers.share.likely());
    Some(format!("  Of 100 mL of it, {share} are unwashed liquid: {}.", liquid.name))
}

/// The day on which a plan brings most of it, with what that is.
fn worst(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<(u32, Brought)> {
    let days = (plan.first_feed_day..=reckoning.study.days).map(|day| (day, of_day(reckoning, plan, day)));
    let with_some = days.filter(|(_, brought)| brought.volume_ml > 0.0);
    // Of equals the first: `max_by` would take the last.
    with_some.rev().max_by(|(_, one), (_, other)| one.volume_ml.total_cmp(&other.volume_ml))
}

/// What a plan's worst day of it does to the tub.
pub(super) fn tell(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<String> {
    let (day, brought) = worst(reckoning, plan)?;
    let litres = reckoning.world.tubs[plan.tub].volume_ml / 1000.0;
    let acid = brought.acid_meq / litres;
    let against = match &reckoning.world.waters[plan.tub] {
        Some(water) => format!("against an alkalinity of {} meq/L", figure(water.alkalinity_meq_l)),
        None => "but nothing comes of it here: that needs the water described in [tub.water]".to_string(),
    };
    Some(format!(
        "Day {day} brings most culture liquid, {} mL: it uses {} mg of oxygen as it rots ({} mg/L of this tub), holds {} mg of nitrogen, and its acid takes {} meq/L until it has rotted, {against}.",
        figure(brought.volume_ml),
        figure(brought.oxygen_mg),
        figure(brought.oxygen_mg / litres),
        figure(brought.nitrogen_mg),
        figure(acid)
    ))
}

/// Liquid that counts for nothing.
pub(super) fn without_water(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    if reckoning.study.tubs[plan.tub].water.is_some() {
        return None;
    }
    worst(reckoning, plan)?;
    let what = "culture liquid is fed along, but does nothing: the water of the tub is not described".to_string();
    Some((what, "Describe it in [tub.water], or take the liquid out of the mix."))
}

/// Acid that the water cannot take.
pub(super) fn too_much_acid(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let alkalinity = reckoning.world.waters[plan.tub].as_ref()?.alkalinity_meq_l;
    let (day, brought) = worst(reckoning, plan)?;
    let acid = brought.acid_meq / (reckoning.world.tubs[plan.tub].volume_ml / 1000.0);
    (acid > alkalinity).then(|| {
        let what = format!(
            "the culture liquid of day {day} brings {} meq/L of acid, more than the water can take ({} meq/L): its pH falls far",
            figure(acid),
            figure(alkalinity)
        );
        (what, "Wash the food, or give less of it.")
    })
}
