//! What a plan leaves to rot, and whether the tub's water can carry it: a day's balance of ammonia and of oxygen.
//!
//! A plain reckoning with the most likely numbers, without chance and without the hours of a day; the simulator does it
//! properly. It errs towards clean water: the fry eat their fill of all that fits their mouths, and grow on it. Knows
//! doses and water; does not know how files are written.

use frytub_sim::food::fit::place;
use frytub_sim::fry::shoal::Physiology;
use frytub_sim::fry::tolerance::{FEEDS_FREELY_MG_L, Tolerance};
use frytub_sim::numbers::WaterNumbers;
use frytub_sim::physics::chemistry::{NH3_PER_N, oxygen_saturation_mg_l, unionised_share};
use frytub_sim::study::Plan;
use frytub_sim::water::{
    AS_AMMONIA, AS_FAECES, HALF_N_MG_L, LIQUID_PER_DAY, OXYGEN_PER_BURNT, OXYGEN_PER_N, WASTE_PER_DAY, rotting_at,
};

use super::amounts::{Fry, Reckoning};
use super::doubts::Doubt;
use super::{hundredths, liquids, mass, ranged, spread};
use crate::words::figure;

/// What one day does to the water of a plan's tub.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Waste {
    day: u32,
    /// Dry food given, µg.
    given_ug: f64,
    /// Of it, not eaten, µg.
    left_ug: f64,
    /// Ammonia nitrogen from what was eaten, mg.
    from_eaten_mg: f64,
    /// Ammonia nitrogen from what rots, mg.
    from_rot_mg: f64,
    /// Oxygen used by fry and by what rots, mg.
    oxygen_mg: f64,
}

impl Waste {
    fn nitrogen_mg(&self) -> f64 {
        self.from_eaten_mg + self.from_rot_mg
    }
}

/// What the water comes to on the worst day.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Verdict {
    waste: Waste,
    /// Ammonia nitrogen given off in a day, mg/L.
    rise_mg_l: f64,
    /// Ammonia nitrogen that the water comes to, mg/L.
    nitrogen_mg_l: f64,
    /// True if it stays there, false if it is still rising when the brood ends.
    settles: bool,
    /// Un-ionised ammonia that the water comes to, mg/L.
    unionised_mg_l: f64,
    /// Un-ionised ammonia below which none die, mg/L.
    harmless_mg_l: f64,
    /// Ammonia nitrogen that drip and changes carry away in a day at that level, mg.
    carried_mg: f64,
    /// Ammonia nitrogen that bacteria turn over in a day at that level, mg.
    nitrified_mg: f64,
    /// The day on which most oxygen is used, which need not be the same.
    oxygen_day: u32,
    /// Oxygen used on that day, mg.
    oxygen_mg: f64,
    /// Oxygen that comes in in a day while the fry still feed freely, mg.
    supply_mg: f64,
    /// Oxygen in saturated water, mg/L.
    saturated_mg_l: f64,
    /// Oxygen that the water comes to; below 0 if more is used than can come in, mg/L.
    oxygen_mg_l: f64,
    /// The same with the least air and surface that their ranges allow.
    poorest_mg_l: f64,
    /// Oxygen below which fry begin to die, mg/L.
    harmful_mg_l: f64,
}

/// Share of the days of a week on which somebody comes.
fn visited(plan: &Plan) -> f64 {
    plan.week.iter().filter(|day| !day.visits.is_empty()).count() as f64 / 7.0
}

/// Share of what rots at a rate that rots before it is siphoned out, once every day with visits.
fn rots(reckoning: &Reckoning<'_>, plan: &Plan, per_day: f64) -> f64 {
    let celsius = reckoning.world.tubs[plan.tub].temperature_c;
    let rate = per_day * rotting_at(celsius);
    let siphoned = if plan.siphon { reckoning.world.keeper.siphoned_share } else { 0.0 };
    let taken = -(-siphoned.min(0.999)).ln_1p() * visited(plan);
    if taken > 0.0 { rate / (rate + taken) } else { 1.0 }
}

/// Share of the culture liquid that rots before the drip carries it out.
fn liquid_that_rots(reckoning: &Reckoning<'_>, plan: &Plan) -> f64 {
    let tub = &reckoning.world.tubs[plan.tub];
    let rate = LIQUID_PER_DAY * rotting_at(tub.temperature_c);
    rate / (rate + 24.0 * tub.drip_ml_h / tub.volume_ml)
}

/// The waste of every day that is fed, from the first to the last.
fn days(reckoning: &Reckoning<'_>, plan: &Plan, water: &WaterNumbers<f64>) -> Vec<Waste> {
    let study = reckoning.study;
    let fish = &reckoning.world.fish;
    let physiology = Physiology::new(fish, reckoning.world.tubs[plan.tub].temperature_c);
    let lit_h = f64::from(study.light_off.minutes() - study.light_on.minutes()) / 60.0;
    let feeding_h = lit_h + fish.dark_share * (24.0 - lit_h);
    let start = reckoning.fry_at_start();
    let (mut grown, fry) = (start, f64::from(study.fry));
    let mut days = Vec::new();
    for day in plan.first_feed_day..=study.days {
        let (foods, given) = foods_of_day(reckoning, plan, day, grown);
        let fits: f64 = foods.iter().map(|food| food.fits_ug).sum();
        // A gut that is full at first light, and is kept full while it empties.
        let fill = fry * reckoning.gut_ug(grown) * (1.0 + physiology.gut.fast * feeding_h);
        let share = if fits > fill { fill / fits } else { 1.0 };
        let (eaten, left) = (share * fits, given - share * fits);
        let mut waste =
            Waste { day, given_ug: given, left_ug: left, from_eaten_mg: 0.0, from_rot_mg: 0.0, oxygen_mg: 0.0 };
        for food in &foods {
            let eaten_mg = share * food.fits_ug / 1000.0;
            // Of what is eaten, the share that is still there to rot as faeces.
            let faeces_mg = eaten_mg * rots(reckoning, plan, WASTE_PER_DAY);
            let left_mg = (food.given_ug / 1000.0 - eaten_mg) * rots(reckoning, plan, food.rots_per_day);
            waste.from_eaten_mg += AS_AMMONIA * eaten_mg * food.nitrogen;
            waste.from_rot_mg += (AS_FAECES * faeces_mg + left_mg) * food.nitrogen * water.decay_nitrogen;
            waste.oxygen_mg += (1.0 - fish.absorbed) * faeces_mg * water.decay_oxygen + left_mg * food.rot_oxygen;
        }
        let liquid = liquids::of_day(reckoning, plan, day);
        let rots = liquid_that_rots(reckoning, plan);
        waste.from_rot_mg += liquid.nitrogen_mg * rots * water.decay_nitrogen;
        waste.oxygen_mg += liquid.oxygen_mg * rots;
        let routine = 24.0 * physiology.routine_ug_h(grown.mass_ug);
        let absorbed = fish.absorbed * eaten / fry;
        let burnt = fry * (routine + fish.growth_cost * absorbed);
        waste.oxygen_mg += OXYGEN_PER_BURNT * burnt / 1000.0;
        days.push(waste);
        let growth = (absorbed * (1.0 - fish.growth_cost) - routine) / grown.mass_ug;
        let growth = growth.clamp(0.0, fish.growth_most_per_day);
        let mass_ug = grown.mass_ug * growth.exp();
        let length_mm = start.length_mm * (mass_ug / start.mass_ug).powf(1.0 / fish.mass_exponent);
        grown = Fry { length_mm, mass_ug };
    }
    days
}

/// One food of a day.
struct DaysFood {
    given_ug: f64,
    /// Of it, what the mouth of a fry could pass.
    fits_ug: f64,
    nitrogen: f64,
    rots_per_day: f64,
    /// Oxygen that a mg of it uses as it rots, mg.
    rot_oxygen: f64,
}

/// What is given on a day, food by food, and all of it together.
fn foods_of_day(reckoning: &Reckoning<'_>, plan: &Plan, day: u32, fry: Fry) -> (Vec<DaysFood>, f64) {
    let place = place(reckoning.gape_um(fry).ln());
    let mut foods = Vec::new();
    for portion in reckoning.given_on(plan, day).iter().flat_map(|given| reckoning.portions(given.mix, given.volume_ml))
    {
        let classes = || reckoning.world.larder.classes.iter().filter(|class| class.food == portion.food);
        let all: f64 = classes().map(|class| class.items * class.mass_ug).sum();
        let wide: f64 = classes().map(|class| class.items * class.mass_ug * class.fit.too_big(place)).sum();
        let food = &reckoning.world.foods[portion.food];
        foods.push(DaysFood {
            given_ug: portion.mass_ug,
            fits_ug: portion.mass_ug * (1.0 - wide / all),
            nitrogen: food.nitrogen,
            rots_per_day: food.decay_per_day,
            rot_oxygen: food.rot_oxygen,
        });
    }
    let given = foods.iter().map(|food| food.given_ug).sum();
    (foods, given)
}

/// Concentration at which as much leaves and is turned over as comes in, mg/L; infinite if there is none.
///
/// `source = renewed · V · c + most · c / (1 + c)` is a quadratic in c; all per day, V in litres.
fn settled_mg_l(source_mg: f64, renewed: f64, litres: f64, most_mg: f64) -> f64 {
    let wash = renewed * litres;
    if wash <= 0.0 {
        let spare = most_mg - source_mg;
        return if spare > 0.0 { HALF_N_MG_L * source_mg / spare } else { f64::INFINITY };
    }
    let b = wash * HALF_N_MG_L + most_mg - source_mg;
    (-b + (b * b + 4.0 * wash * source_mg * HALF_N_MG_L).sqrt()) / (2.0 * wash)
}

/// What the water of a plan's tub comes to; `None` if it is not reckoned with, or nothing is ever fed.
fn verdict(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Verdict> {
    let world = &reckoning.world;
    let water = world.waters[plan.tub].as_ref()?;
    let tub = &world.tubs[plan.tub];
    let (litres, celsius) = (tub.volume_ml / 1000.0, tub.temperature_c);
    let days = days(reckoning, plan, water);
    let worst = *days.iter().max_by(|one, other| one.nitrogen_mg().total_cmp(&other.nitrogen_mg()))?;
    let changed = -(-world.keeper.changed_share.min(0.999)).ln_1p() * visited(plan);
    let drip = 24.0 * tub.drip_ml_h / tub.volume_ml;
    let most = water.outlet_credit * water.ripe_mg_day * water.ripeness;
    let settled = settled_mg_l(worst.nitrogen_mg(), drip + changed, litres, most);
    // It cannot come to more than all that is given off in the brood's days.
    let gathered = days.iter().map(Waste::nitrogen_mg).sum::<f64>() / litres;
    let nitrogen_mg_l = settled.min(gathered);
    let tolerance = Tolerance::new(&world.fish);
    let nitrified = most * nitrogen_mg_l / (HALF_N_MG_L + nitrogen_mg_l);
    let thirstiest = days.iter().max_by(|one, other| one.oxygen_mg.total_cmp(&other.oxygen_mg))?;
    let oxygen_mg = thirstiest.oxygen_mg + OXYGEN_PER_N * nitrified;
    let transfer =
        |air_per_h: f64, surface_cm_h: f64| air_per_h + surface_per_h(surface_cm_h, tub.depth_mm) + drip / 24.0;
    let transfer_per_h = transfer(water.air_per_h, water.surface_cm_h);
    let ranges = reckoning.study.tubs[plan.tub].water.as_ref()?;
    let poorest_per_h = transfer(ranges.air_per_h.low(), ranges.surface_cm_h.low());
    let saturated_mg_l = oxygen_saturation_mg_l(celsius);
    let settles_at = |transfer_per_h: f64| saturated_mg_l - oxygen_mg / 24.0 / litres / transfer_per_h;
    Some(Verdict {
        waste: worst,
        rise_mg_l: worst.nitrogen_mg() / litres,
        nitrogen_mg_l,
        settles: settled <= gathered,
        unionised_mg_l: nitrogen_mg_l * NH3_PER_N * unionised_share(celsius, water.ph),
        harmless_mg_l: tolerance.harmless_mg_l(celsius, water.ph),
        carried_mg: (drip + changed) * litres * nitrogen_mg_l,
        nitrified_mg: nitrified,
        oxygen_day: thirstiest.day,
        oxygen_mg,
        supply_mg: 24.0 * litres * transfer_per_h * (saturated_mg_l - FEEDS_FREELY_MG_L),
        saturated_mg_l,
        oxygen_mg_l: settles_at(transfer_per_h),
        poorest_mg_l: settles_at(poorest_per_h),
        harmful_mg_l: tolerance.harmful_oxygen_mg_l(),
    })
}

/// Oxygen that an open surface takes in, per h.
fn surface_per_h(surface_cm_h: f64, depth_mm: f64) -> f64 {
    10.0 * surface_cm_h / depth_mm
}

/// The water of a tub: what it is like, and what renews its oxygen.
pub(super) fn tell_water(reckoning: &Reckoning<'_>, tub: usize) -> Vec<String> {
    let Some(ranges) = &reckoning.study.tubs[tub].water else { return Vec::new() };
    let Some(water) = &reckoning.world.waters[tub] else { return Vec::new() };
    let numbers = &reckoning.world.tubs[tub];
    let air = if water.air_per_h > 0.0 {
        format!("the air stone renews the oxygen in {}", time(1.0 / water.air_per_h))
    } else {
        "no air stone".to_string()
    };
    let surface = time(1.0 / surface_per_h(water.surface_cm_h, numbers.depth_mm));
    let mut lines = vec![
        format!(
            "Its pH is {}, its alkalinity {}.",
            format_args!("{}{}", figure(ranges.ph.likely()), spread(&ranges.ph)),
            ranged(&ranges.alkalinity_meq_l, 1.0, "meq/L")
        ),
        format!(
            "Saturated with air it holds {} mg/L of oxygen; {air}, the open surface in {surface}.",
            figure(oxygen_saturation_mg_l(numbers.temperature_c))
        ),
    ];
    if water.ripe_mg_day > 0.0 {
        let credit = if water.outlet_credit < 1.0 {
            format!(", and {} in 100 of their work cleans the tub", hundredths(water.outlet_credit))
        } else {
            String::new()
        };
        lines.push(format!(
            "Ripe, the bacteria of its sponge turn over {} mg of ammonia nitrogen a day at most; {} in 100 of them are there at the start{credit}.",
            figure(water.ripe_mg_day),
            hundredths(water.ripeness)
        ));
    } else {
        lines.push("No sponge cleans it.".to_string());
    }
    lines
}

/// A time in minutes, or in hours if it is long.
fn time(hours: f64) -> String {
    if hours < 3.0 { format!("{} min", figure(60.0 * hours)) } else { format!("{} h", figure(hours)) }
}

/// What a plan does to the water, in sentences; none if the water is not reckoned with.
pub(super) fn tell_waste(reckoning: &Reckoning<'_>, plan: &Plan) -> Vec<String> {
    let Some(verdict) = verdict(reckoning, plan) else { return Vec::new() };
    let waste = &verdict.waste;
    let left = if waste.left_ug > 0.0 {
        format!("{} of {} dry are left to rot at least", mass(waste.left_ug), mass(waste.given_ug))
    } else {
        format!("all of the {} dry may be eaten", mass(waste.given_ug))
    };
    let level = figure(verdict.nitrogen_mg_l);
    let comes_to = if verdict.settles {
        format!("It settles near {level} mg/L")
    } else {
        format!("It rises to {level} mg/L by the last day")
    };
    let mut gone = Vec::new();
    if verdict.carried_mg > 0.0 {
        gone.push(format!("drip and water changes carry {} mg a day away", figure(verdict.carried_mg)));
    }
    if verdict.nitrified_mg > 0.0 {
        gone.push(format!("the sponge turns over {} mg a day", figure(verdict.nitrified_mg)));
    }
    let gone =
        if gone.is_empty() { "; nothing takes it away".to_string() } else { format!(", where {}", gone.join(" and ")) };
    let level =
        |mg_l: f64| if mg_l > 0.0 { format!("settles near {} mg/L", figure(mg_l)) } else { "runs out".to_string() };
    let mut oxygen = format!("it {} (saturated: {} mg/L)", level(verdict.oxygen_mg_l), figure(verdict.saturated_mg_l));
    if verdict.poorest_mg_l < FEEDS_FREELY_MG_L && verdict.oxygen_mg_l >= FEEDS_FREELY_MG_L {
        let poorest = level(verdict.poorest_mg_l);
        oxygen.push_str(&format!(
            "; with the least air and surface that are thought possible it {poorest}, and below {} fry begin to die",
            figure(verdict.harmful_mg_l)
        ));
    }
    vec![
        format!("Day {} does most to the water. If the fry eat their fill and grow on it, {left}.", waste.day),
        format!(
            "  Ammonia nitrogen: {} mg from what is eaten and {} mg from what rots, {} mg/L a day in this tub. {comes_to}{gone}. Then {} mg/L of un-ionised ammonia (NH3) are in the water; up to {} none die of it.",
            figure(waste.from_eaten_mg),
            figure(waste.from_rot_mg),
            figure(verdict.rise_mg_l),
            figure(verdict.unionised_mg_l),
            figure(verdict.harmless_mg_l)
        ),
        format!(
            "  Oxygen: {} mg are used on day {}; {} mg a day can come in before less than {} mg/L are left. On average over the day {oxygen}.",
            figure(verdict.oxygen_mg),
            verdict.oxygen_day,
            figure(verdict.supply_mg),
            figure(FEEDS_FREELY_MG_L)
        ),
    ]
}

/// Ammonia that the tub cannot carry.
pub(super) fn too_much_ammonia(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let verdict = verdict(reckoning, plan)?;
    (verdict.unionised_mg_l > verdict.harmless_mg_l).then(|| {
        let what = format!(
            "the water cannot carry this food: un-ionised ammonia comes to {} mg/L, and above {} fry die of it",
            figure(verdict.unionised_mg_l),
            figure(verdict.harmless_mg_l)
        );
        (what, "Give less food, let more fresh water drip in or change more of it, siphon what is left, or use a ripe sponge.")
    })
}

/// Oxygen that does not suffice.
pub(super) fn too_little_oxygen(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let verdict = verdict(reckoning, plan)?;
    (verdict.oxygen_mg_l < FEEDS_FREELY_MG_L).then(|| {
        let falls = if verdict.oxygen_mg_l > 0.0 {
            format!("falls to {} mg/L", figure(verdict.oxygen_mg_l))
        } else {
            "runs out".to_string()
        };
        let effect = if verdict.oxygen_mg_l < verdict.harmful_mg_l { "fry die of that" } else { "fry eat less then" };
        let what = format!("on day {} the oxygen {falls} on average over the day: {effect}", verdict.oxygen_day);
        (what, "Give more air or less food, siphon what is left, or use a wider, shallower tub.")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use frytub_sim::water::{Load, WaterState};

    #[test]
    fn the_settled_concentration_balances_what_comes_and_goes() {
        for (source, renewed, litres, most) in [(3.0, 0.5, 6.0, 0.0), (3.0, 0.0, 6.0, 12.0), (8.0, 0.8, 2.0, 5.0)] {
            let c = settled_mg_l(source, renewed, litres, most);
            let gone = renewed * litres * c + most * c / (HALF_N_MG_L + c);
            assert!((gone - source).abs() < 1e-9, "{c} mg/L: {gone} go of {source}");
        }
        assert_eq!(settled_mg_l(3.0, 0.0, 6.0, 3.0), f64::INFINITY);
    }

    #[test]
    fn the_simulators_water_settles_at_the_same_concentration() {
        let numbers = WaterNumbers {
            ph: 7.5,
            alkalinity_meq_l: 4.0,
            air_per_h: 0.5,
            surface_cm_h: 1.5,
            decay_oxygen: 1.3,
            decay_nitrogen: 0.75,
            ripe_mg_day: 6.0,
            ripeness: 1.0,
            ripening_days: 28.0,
            outlet_credit: 0.5,
        };
        let (source, drip_a_day, litres) = (5.0, 0.6, 4.0);
        let mut water = WaterState::new(&numbers, 120.0, 28.0);
        let load = Load { ammonia_mg: source, oxygen_mg: 0.0 };
        for _ in 0..60 {
            water.pass(&load, 1000.0 * litres, drip_a_day / 24.0, 28.0, 24.0);
        }
        let simulated = water.ammonia_mg / litres;
        let reckoned = settled_mg_l(source, drip_a_day, litres, 3.0);
        assert!((simulated / reckoned - 1.0).abs() < 1e-3, "{simulated} against {reckoned} mg/L");
        let transfer = numbers.air_per_h + surface_per_h(numbers.surface_cm_h, 120.0);
        assert!((water.transfer_per_h() - transfer).abs() < 1e-12);
    }
}
