//! One plan's broods added up as they come, in brood order, in memory that does not grow with their number beyond a
//! few figures a world.

mod outlet;
mod water;

use self::outlet::OutletTally;
use self::water::WaterTally;
use crate::brood::diary::{BroodRecord, DoseRecord, FoodMass, Look};
use crate::brood::survival_step;
use crate::clock::{MS_PER_DAY, MS_PER_HOUR};
use crate::mishaps::Kind;
use crate::outcome::{Cause, DayPoint, DosePoint, FoodFate, MouthPoint, PlanResult, Spread, SurvivalPoint, WorldRow};
use crate::statistics::{mean, spread};
use crate::study::{Plan, Study};

/// Bins of the day shown.
const DAY_BINS: usize = 144;

/// What is kept of a plan.
#[derive(Debug, Clone)]
pub(crate) struct Tally {
    /// Figures of each world, means over its broods.
    pub(crate) rows: Vec<WorldRow>,
    growth_all: Vec<f64>,
    half_ready: Vec<f64>,
    most_ready: Vec<f64>,
    /// Fry alive out of 100 by world, then point.
    survival: Vec<f32>,
    hours: Vec<f64>,
    outlet: Option<OutletTally>,
    water: Option<WaterTally>,
    doses: Vec<DoseRecord>,
    broods: f64,
    deaths: Vec<[f64; Cause::ALL.len()]>,
    by_mishap: [[f64; Cause::ALL.len()]; Kind::ALL.len()],
    mouths: Vec<MouthSum>,
    day: Vec<DaySum>,
    fifths: [Mean; 5],
    food: FoodMass,
    visits: f64,
    lateness_min: f64,
    visits_planned: f64,
}

/// A mean under way that leaves out what is not a number.
#[derive(Debug, Clone, Copy, Default)]
struct Mean {
    sum: f64,
    count: f64,
}

impl Mean {
    fn add(&mut self, value: f64) {
        if !value.is_nan() {
            self.sum += value;
            self.count += 1.0;
        }
    }

    fn get(self) -> f64 {
        if self.count > 0.0 { self.sum / self.count } else { f64::NAN }
    }
}

#[derive(Debug, Clone, Default)]
struct MouthSum {
    gape_um: [Mean; 3],
    length_mm: [Mean; 3],
    ready: f64,
    living: f64,
}

#[derive(Debug, Clone, Default)]
struct DaySum {
    in_water: Vec<f64>,
    on_bottom: Vec<f64>,
    gut: [Mean; 3],
    broods: f64,
}

impl Tally {
    pub(crate) fn new(study: &Study, plan: &Plan) -> Self {
        let step = survival_step(study.days);
        let end = i64::from(study.days) * MS_PER_DAY;
        let mut hours: Vec<f64> = (0..).map(|k| k * step).take_while(|t| *t < end).map(to_hours).collect();
        hours.push(to_hours(end));
        let visits_planned = (1..=study.days).map(|day| plan.week[study.weekday(day)].visits.len()).sum::<usize>();
        Self {
            rows: Vec::new(),
            growth_all: Vec::new(),
            half_ready: Vec::new(),
            most_ready: Vec::new(),
            survival: Vec::new(),
            hours,
            outlet: OutletTally::new(study, plan),
            water: WaterTally::new(study, plan),
            doses: Vec::new(),
            broods: 0.0,
            deaths: vec![[0.0; Cause::ALL.len()]; study.days as usize],
            by_mishap: [[0.0; Cause::ALL.len()]; Kind::ALL.len()],
            mouths: vec![MouthSum::default(); study.days as usize],
            day: Vec::new(),
            fifths: Default::default(),
            food: FoodMass::default(),
            visits: 0.0,
            lateness_min: 0.0,
            visits_planned: visits_planned as f64,
        }
    }

    /// Adds the broods of one world.
    pub(crate) fn add_world(&mut self, world: u32, plan: usize, records: &[BroodRecord]) {
        let over = |f: &dyn Fn(&BroodRecord) -> f64| mean_of(records.iter().map(f));
        let of_100 = |count: usize, record: &BroodRecord| 100.0 * count as f64 / record.fry as f64;
        self.rows.push(WorldRow {
            world,
            plan,
            alive: over(&|r| of_100(r.alive, r)),
            weaned: over(&|r| of_100(r.weaned, r)),
            length_mm: over(&|r| r.days.last().map_or(f64::NAN, |day| day.length_mm[1])),
            growth: over(&|r| r.growth_living),
            eaten_ug: over(&|r| r.eaten_ug),
        });
        self.growth_all.push(over(&|r| r.growth_all));
        self.half_ready.push(over(&|r| first_day_with(r, 0.5)));
        self.most_ready.push(over(&|r| first_day_with(r, 0.9)));
        for &hour in &self.hours {
            let alive = |r: &BroodRecord| {
                let dead = r.deaths.partition_point(|death| death.hour <= hour);
                of_100(r.fry - dead, r)
            };
            self.survival.push(over(&alive) as f32);
        }
        if let Some(outlet) = &mut self.outlet {
            outlet.add_world(records, self.hours.len());
        }
        if let Some(water) = &mut self.water {
            water.add_world(records, self.hours.len());
        }
        for record in records {
            self.add_brood(record);
        }
    }

    fn add_brood(&mut self, record: &BroodRecord) {
        self.broods += 1.0;
        let share = 100.0 / record.fry as f64;
        for death in &record.deaths {
            let day = ((death.hour / 24.0) as usize).min(self.deaths.len() - 1);
            self.deaths[day][death.cause.index()] += share;
            if let Some(mishap) = death.mishap {
                self.by_mishap[mishap.index()][death.cause.index()] += share;
            }
        }
        for (sum, day) in self.mouths.iter_mut().zip(&record.days) {
            for k in 0..3 {
                sum.gape_um[k].add(day.gape_um[k]);
                sum.length_mm[k].add(day.length_mm[k]);
            }
            sum.ready += day.ready * day.alive as f64;
            sum.living += day.alive as f64;
        }
        for (mean, value) in self.fifths.iter_mut().zip(record.intake_fifths) {
            mean.add(value);
        }
        self.food.given += record.food.given;
        self.food.eaten += record.food.eaten;
        self.food.washed += record.food.washed;
        self.food.spoiled += record.food.spoiled;
        self.food.left += record.food.left;
        self.food.arrived_spoiled += record.food.arrived_spoiled;
        self.food.kept += record.food.kept;
        self.food.in_tube += record.food.in_tube;
        self.add_doses(&record.doses);
        self.visits += f64::from(record.visits);
        self.lateness_min += record.lateness_min;
        self.add_day(&record.looks);
    }

    /// Adds the pump feeds of the day shown; they are the same ones in every brood.
    fn add_doses(&mut self, doses: &[DoseRecord]) {
        if self.doses.is_empty() {
            self.doses = doses.to_vec();
            return;
        }
        for (sum, dose) in self.doses.iter_mut().zip(doses) {
            sum.arrived_ml += dose.arrived_ml;
            for (sums, values) in [
                (&mut sum.wanted_ug, &dose.wanted_ug),
                (&mut sum.fresh_ug, &dose.fresh_ug),
                (&mut sum.spoiled_ug, &dose.spoiled_ug),
            ] {
                sums.iter_mut().zip(values).for_each(|(sum, value)| *sum += value);
            }
        }
    }

    /// Adds the day shown, read off at the middle of each bin between the two looks around it.
    fn add_day(&mut self, looks: &[Look]) {
        let Some(first) = looks.first() else { return };
        if self.day.is_empty() {
            let foods = first.in_water.len();
            let empty = DaySum { in_water: vec![0.0; foods], on_bottom: vec![0.0; foods], ..DaySum::default() };
            self.day = vec![empty; DAY_BINS];
        }
        for (bin, sum) in self.day.iter_mut().enumerate() {
            let hour = bin_hour(bin);
            let after = looks.partition_point(|look| look.hour < hour).min(looks.len() - 1);
            let (a, b) = (&looks[after.saturating_sub(1)], &looks[after]);
            let span = b.hour - a.hour;
            let part = if span > 0.0 { ((hour - a.hour) / span).clamp(0.0, 1.0) } else { 0.0 };
            let between = |x: f64, y: f64| x + part * (y - x);
            for food in 0..sum.in_water.len() {
                sum.in_water[food] += between(a.in_water[food], b.in_water[food]);
                sum.on_bottom[food] += between(a.on_bottom[food], b.on_bottom[food]);
            }
            for k in 0..3 {
                sum.gut[k].add(between(a.gut[k], b.gut[k]));
            }
            sum.broods += 1.0;
        }
    }

    /// Weaned fry out of 100 in each world.
    pub(crate) fn weaned(&self) -> Vec<f64> {
        self.rows.iter().map(|row| row.weaned).collect()
    }

    /// Mean of the weaned, then of the living: what plans are ranked by.
    pub(crate) fn rank_key(&self) -> (f64, f64) {
        (mean(&self.weaned()), mean_of(self.rows.iter().map(|row| row.alive)))
    }

    /// What the plan brought.
    pub(crate) fn result(&self) -> PlanResult {
        let per_brood = |x: f64| if self.broods > 0.0 { x / self.broods } else { f64::NAN };
        let food = |x: f64| if self.food.given > 0.0 { x / self.food.given } else { 0.0 };
        let reached = |days: &[f64]| -> (Option<Spread>, f64) {
            let came = days.iter().filter(|day| !day.is_nan()).count();
            let share = if days.is_empty() { 0.0 } else { came as f64 / days.len() as f64 };
            let never = self.deaths.len() as f64 + 1.0;
            let counted = days.iter().map(|day| if day.is_nan() { never } else { *day });
            ((came > 0).then(|| spread(counted)), share)
        };
        let (half_ready_day, half) = reached(&self.half_ready);
        let (most_ready_day, most) = reached(&self.most_ready);
        let points = self.hours.len();
        let survival = self.hours.iter().enumerate().map(|(k, &hour)| SurvivalPoint {
            hour,
            alive: spread(self.survival.iter().skip(k).step_by(points).map(|&alive| f64::from(alive))),
        });
        let dose = |sum: &DoseRecord| {
            let each = |values: &[f64]| values.iter().map(|&x| per_brood(x)).collect();
            DosePoint {
                hour: sum.hour,
                wanted_ml: sum.wanted_ml,
                arrived_ml: per_brood(sum.arrived_ml),
                wanted_ug: each(&sum.wanted_ug),
                fresh_ug: each(&sum.fresh_ug),
                spoiled_ug: each(&sum.spoiled_ug),
            }
        };
        let mouths = self.mouths.iter().zip(1..).map(|(sum, day)| MouthPoint {
            day,
            gape_um: sum.gape_um.map(Mean::get),
            length_mm: sum.length_mm.map(Mean::get),
            ready: if sum.living > 0.0 { 100.0 * sum.ready / sum.living } else { 0.0 },
        });
        let day = self.day.iter().enumerate().map(|(bin, sum)| DayPoint {
            hour: bin_hour(bin),
            in_water: sum.in_water.iter().map(|n| n / sum.broods).collect(),
            on_bottom: sum.on_bottom.iter().map(|n| n / sum.broods).collect(),
            gut: sum.gut.map(Mean::get),
        });
        PlanResult {
            worlds: self.rows.len() as u32,
            alive: spread(self.rows.iter().map(|row| row.alive)),
            weaned: spread(self.rows.iter().map(|row| row.weaned)),
            length_mm: spread(self.rows.iter().map(|row| row.length_mm)),
            growth_living: spread(self.rows.iter().map(|row| row.growth)),
            growth_all: spread(self.growth_all.iter().copied()),
            intake_fifths: self.fifths.map(Mean::get),
            food_given_mg: per_brood(self.food.given) / 1000.0,
            half_ready_day,
            most_ready_day,
            ready_worlds: [half, most],
            survival: survival.collect(),
            deaths: self.deaths.iter().map(|day| day.map(per_brood)).collect(),
            by_mishap: self.by_mishap.map(|causes| causes.map(per_brood)),
            mouths: mouths.collect(),
            day: day.collect(),
            fate: FoodFate {
                eaten: food(self.food.eaten),
                washed_out: food(self.food.washed),
                spoiled: food(self.food.spoiled),
                left: food(self.food.left),
                arrived_spoiled: food(self.food.arrived_spoiled),
                kept_in_reservoir: food(self.food.kept),
                in_tube: food(self.food.in_tube),
            },
            doses: self.doses.iter().map(dose).collect(),
            outlet: self.outlet.as_ref().map(|outlet| outlet.result(&self.hours)),
            water: self.water.as_ref().map(|water| water.result(&self.hours)),
            visits_kept: if self.visits_planned > 0.0 { per_brood(self.visits) / self.visits_planned } else { 1.0 },
            lateness_min: if self.visits > 0.0 { self.lateness_min / self.visits } else { 0.0 },
        }
    }
}

fn to_hours(ms: i64) -> f64 {
    ms as f64 / MS_PER_HOUR as f64
}

/// Hour of the middle of a bin of the day shown.
fn bin_hour(bin: usize) -> f64 {
    (bin as f64 + 0.5) * 24.0 / DAY_BINS as f64
}

/// Mean of the values that are numbers; NaN for none.
fn mean_of(values: impl Iterator<Item = f64>) -> f64 {
    let mut mean = Mean::default();
    values.for_each(|value| mean.add(value));
    mean.get()
}

/// First day at whose end a share of the living could take brine shrimp; NaN if none.
fn first_day_with(record: &BroodRecord, share: f64) -> f64 {
    let day = record.days.iter().position(|day| day.alive > 0 && day.ready >= share);
    day.map_or(f64::NAN, |index| index as f64 + 1.0)
}
