//! What cannot work, or hardly, about a pump: its doses, its tube, its reservoir and the end of its tube.
//!
//! Each doubt is about one plan; plans of which the same is to be said are told together by the caller.

use frytub_sim::physics::tubes::{hold_up_ml, holds_its_water, sweeping_flow_ml_min};
use frytub_sim::study::{FoodSort, Plan, PlanLine, Run, Visits};

use super::amounts::Reckoning;
use super::doubts::Doubt;
use super::filling;
use super::{equipment, few};
use crate::words::{self, figure};

/// A real dose that differs by more than this share from the wanted one is doubted.
const DOSE_OFF: f64 = 0.2;
/// A tube whose end hangs lower than this over the water is doubted where the level can rise, mm.
const LOW_END_MM: f64 = 10.0;

/// Every doubt about a pump that feeds through a line.
pub(super) const DOUBTS: [fn(&Reckoning<'_>, &Plan) -> Option<Doubt>; 12] = [
    |r, plan| about(r, plan, dose_off),
    |r, plan| about(r, plan, thinned),
    |r, plan| about(r, plan, run_together),
    |r, plan| about(r, plan, runs_dry),
    |r, plan| about(r, plan, late_food),
    |r, plan| about(r, plan, food_gone_before_fed),
    |r, plan| about(r, plan, earlier_food),
    |r, plan| about(r, plan, no_air),
    |r, plan| about(r, plan, unswept_tube),
    |r, plan| about(r, plan, draining_tube),
    |r, plan| about(r, plan, end_under_water),
    |r, plan| about(r, plan, low_end),
];

/// A doubt about a plan that has a feed line.
fn about(
    reckoning: &Reckoning<'_>,
    plan: &Plan,
    doubt: fn(&Reckoning<'_>, &Plan, &PlanLine) -> Option<Doubt>,
) -> Option<Doubt> {
    doubt(reckoning, plan, plan.line.as_ref()?)
}

/// Flow to which a plan's pump is set, mL/min.
fn flow(reckoning: &Reckoning<'_>, line: &PlanLine) -> f64 {
    reckoning.study.lines[line.line].numbers.pump_ml_min.likely()
}

/// Water in a plan's tube, mL.
fn in_tube_ml(reckoning: &Reckoning<'_>, line: &PlanLine) -> f64 {
    let numbers = &reckoning.study.lines[line.line].numbers;
    hold_up_ml(numbers.bore_mm.likely(), numbers.length_m.likely())
}

/// Temperature of the food in a plan's reservoir, °C.
fn celsius(reckoning: &Reckoning<'_>, line: &PlanLine) -> f64 {
    reckoning.study.reservoirs[line.reservoir].numbers.temperature_c.likely()
}

/// Every run of a plan with its day.
fn runs(line: &PlanLine) -> impl Iterator<Item = (u32, &Run)> {
    (1..).zip(&line.programme).flat_map(|(day, runs)| runs.iter().map(move |run| (day, run)))
}

fn dose_off(reckoning: &Reckoning<'_>, _: &Plan, line: &PlanLine) -> Option<Doubt> {
    let flow = flow(reckoning, line);
    let off = |run: &Run| (run.minutes * flow / run.wanted_ml).ln().abs();
    // The first of those that are farthest off.
    let mut all = runs(line);
    let first = all.next()?;
    let (day, run) = all.fold(first, |worst, next| if off(next.1) > off(worst.1) + 1e-9 { next } else { worst });
    let given = run.minutes * flow;
    ((given / run.wanted_ml - 1.0).abs() > DOSE_OFF).then(|| {
        let what = format!(
            "the timer gives {} mL at {} on day {day} where {} mL are wanted, because it runs the pump for whole multiples of {}",
            figure(given),
            run.at,
            figure(run.wanted_ml),
            equipment::minutes(reckoning.study.lines[line.line].timer.slot_min)
        );
        (what, "Use a timer with shorter runs, set the pump to another flow, or give fewer and larger feeds.")
    })
}

/// The day on which most of something happens to a plan's feeds, with how many feeds are wanted then.
fn worst_day(
    reckoning: &Reckoning<'_>,
    plan: &Plan,
    line: &PlanLine,
    count: impl Fn(&frytub_sim::feedline::timer::Programme) -> usize,
) -> Option<(usize, usize)> {
    let of_day = |day: u32| {
        let programme = reckoning.programmes.of_day(plan, line, day);
        let wanted = reckoning.programmes.wanted(plan, line, day).len();
        (count(&programme), wanted)
    };
    let most = (1..=reckoning.study.days).map(of_day).max_by_key(|(found, _)| *found)?;
    (most.0 > 0).then_some(most)
}

fn thinned(reckoning: &Reckoning<'_>, plan: &Plan, line: &PlanLine) -> Option<Doubt> {
    let (left_out, wanted) = worst_day(reckoning, plan, line, |programme| programme.left_out.len())?;
    let programmes = reckoning.study.lines[line.line].timer.programmes;
    let what = format!(
        "{left_out} of {} a day {} left out, because the timer holds {}",
        words::count(wanted, "pump feed", "pump feeds"),
        if left_out == 1 { "is" } else { "are" },
        words::count(programmes, "programme", "programmes")
    );
    Some((what, "Use a timer that holds more, or ask for fewer feeds: those that stay do not become larger."))
}

fn run_together(reckoning: &Reckoning<'_>, plan: &Plan, line: &PlanLine) -> Option<Doubt> {
    let (merged, wanted) = worst_day(reckoning, plan, line, |programme| programme.merged.len())?;
    let what = format!(
        "{merged} of {} a day {} before the one before it has ended and {} one run with it",
        words::count(wanted, "pump feed", "pump feeds"),
        if merged == 1 { "begins" } else { "begin" },
        if merged == 1 { "becomes" } else { "become" }
    );
    Some((what, "Use a timer with shorter steps, a faster pump, or fewer feeds."))
}

fn runs_dry(reckoning: &Reckoning<'_>, plan: &Plan, line: &PlanLine) -> Option<Doubt> {
    let fillings = filling::fillings(reckoning, plan, line);
    let filling = fillings.iter().find(|filling| filling.dry.is_some())?;
    let dry = filling.dry?;
    let what = format!(
        "the reservoir runs dry on day {} in the feed at {}: {} mL were poured in, and {} up to the next refill {} short",
        dry.day,
        dry.at,
        figure(filling.poured_ml),
        words::count(dry.runs, "feed", "feeds"),
        if dry.runs == 1 { "falls" } else { "fall" }
    );
    Some((what, "Pour in more, refill more often, use a larger reservoir, or give less."))
}

fn late_food(reckoning: &Reckoning<'_>, _: &Plan, line: &PlanLine) -> Option<Doubt> {
    let flow = flow(reckoning, line);
    let smallest = runs(line).map(|(_, run)| run.minutes * flow).min_by(f64::total_cmp)?;
    let tube = in_tube_ml(reckoning, line);
    let before = (tube / smallest).ceil();
    (smallest < tube).then(|| {
        let what = format!(
            "the tube holds {} mL and a feed is {} mL: what arrives was loaded {} feeds before, and every morning begins with last evening's food",
            figure(tube),
            figure(smallest),
            figure(before)
        );
        (what, "Use a shorter or narrower tube, or fewer and larger feeds.")
    })
}

/// Foods that are mostly dead or spoiled before the last feed of a filling has left the reservoir.
fn food_gone_before_fed(reckoning: &Reckoning<'_>, plan: &Plan, line: &PlanLine) -> Option<Doubt> {
    let study = reckoning.study;
    let fillings = filling::fillings(reckoning, plan, line);
    let wait_h = fillings.iter().map(|filling| filling.longest_wait_h).max_by(f64::total_cmp)?;
    let tub = study.tubs[plan.tub].numbers.temperature_c.likely();
    let rise = study.reservoirs[line.reservoir].numbers.ageing_q10.likely();
    let warmth = rise.powf((celsius(reckoning, line) - tub) / 10.0);
    let fed = |stage: &&frytub_sim::study::Stage| stage.from_day <= study.days;
    let mixes = study.recipes[line.recipe].stages.iter().filter(fed).map(|stage| stage.mix);
    let mut foods: Vec<usize> = mixes.flat_map(|mix| study.mixes[mix].parts.iter().map(|part| part.food)).collect();
    foods.sort_unstable();
    foods.dedup();
    let gone: Vec<String> = foods
        .into_iter()
        .map(|food| (&study.foods[food], study.foods[food].numbers.life_h.likely() / warmth))
        .filter(|(_, hours)| *hours < wait_h)
        .map(|(food, hours)| {
            let how = if food.sort.is_alive() { "half of it dead" } else { "most of it spoiled" };
            format!("{} ({how} after {} h)", food.name, figure(hours))
        })
        .collect();
    (!gone.is_empty()).then(|| {
        let what = format!("food waits up to {} h in the reservoir, too long for {}", figure(wait_h), few(&gone));
        (
            what,
            "Refill more often, keep the reservoir cold, or give such food by hand and let the pump give what lasts.",
        )
    })
}

/// A recipe that changes on a day on which the reservoir is not refilled.
fn earlier_food(reckoning: &Reckoning<'_>, _: &Plan, line: &PlanLine) -> Option<Doubt> {
    let Visits::FirstEvery(every) = line.refills else { return None };
    let reached = |day: &u32| *day <= reckoning.study.days;
    let changes = reckoning.study.recipes[line.recipe].stages.iter().map(|stage| stage.from_day).filter(reached);
    let day = changes.into_iter().find(|day| !(day - 1).is_multiple_of(every))?;
    let refill = (day - 1).div_ceil(every) * every + 1;
    let what = format!(
        "the recipe changes on day {day}, but the reservoir holds the food poured in before until its refill on day {refill}"
    );
    Some((what, "Let the recipe change on a day of a refill, or refill every day."))
}

fn no_air(reckoning: &Reckoning<'_>, _: &Plan, line: &PlanLine) -> Option<Doubt> {
    let reservoir = &reckoning.study.reservoirs[line.reservoir];
    (reservoir.numbers.air_ml_min.high() <= 0.0).then(|| {
        let what = format!("the reservoir \"{}\" has no air, so whatever sinks is soon on its floor", reservoir.name);
        (what, "Put an air stone into it.")
    })
}

fn unswept_tube(reckoning: &Reckoning<'_>, _: &Plan, line: &PlanLine) -> Option<Doubt> {
    let study = reckoning.study;
    let sinks = study.recipes[line.recipe]
        .stages
        .iter()
        .flat_map(|stage| &study.mixes[stage.mix].parts)
        .any(|part| study.foods[part.food].sort != FoodSort::Swimmer);
    let bore = study.lines[line.line].numbers.bore_mm.likely();
    let lift = study.reservoirs[line.reservoir].numbers.lift_pa.likely();
    let (flow, swept) = (flow(reckoning, line), sweeping_flow_ml_min(bore, lift, celsius(reckoning, line)));
    (sinks && flow < swept).then(|| {
        let what = format!(
            "{} mL/min do not sweep a tube of {} mm clean ({} would): what sinks stays in it and comes later all at once",
            figure(flow),
            figure(bore),
            figure(swept)
        );
        (what, "Let the pump run faster for a shorter time, or use a narrower tube.")
    })
}

fn draining_tube(reckoning: &Reckoning<'_>, _: &Plan, line: &PlanLine) -> Option<Doubt> {
    let numbers = &reckoning.study.lines[line.line].numbers;
    let bore = numbers.bore_mm.likely();
    (numbers.end_mm.likely() > 0.0 && !holds_its_water(bore, celsius(reckoning, line))).then(|| {
        let what = format!(
            "a tube of {} mm that ends in air runs empty between feeds, so that a feed is up to {} mL short",
            figure(bore),
            figure(in_tube_ml(reckoning, line))
        );
        (what, "Use a tube of 4 mm or less.")
    })
}

fn end_under_water(reckoning: &Reckoning<'_>, _: &Plan, line: &PlanLine) -> Option<Doubt> {
    let end = reckoning.study.lines[line.line].numbers.end_mm.likely();
    (end <= 0.0).then(|| {
        let what = "the end of the feed tube is under water, where fry go into it".to_string();
        (what, "Hang it above the rim, or at least well above the water.")
    })
}

fn low_end(reckoning: &Reckoning<'_>, plan: &Plan, line: &PlanLine) -> Option<Doubt> {
    reckoning.study.tubs[plan.tub].outlet.as_ref()?;
    let end = reckoning.study.lines[line.line].numbers.end_mm.likely();
    (end > 0.0 && end < LOW_END_MM).then(|| {
        let what = format!(
            "the end of the feed tube hangs only {} mm above the water, which rises when the sponge clogs",
            figure(end)
        );
        (what, "Hang it higher, above the rim if it can be done, or rinse the sponge more often.")
    })
}
