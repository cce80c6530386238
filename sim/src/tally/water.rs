//! A plan's water added up.

use super::mean_of;
use crate::brood::diary::{BroodRecord, WaterRecord};
use crate::fry::tolerance::Tolerance;
use crate::outcome::{WaterPoint, WaterResult};
use crate::statistics::spread;
use crate::study::{Plan, Study};

/// What is kept of a plan's water.
#[derive(Debug, Clone)]
pub(super) struct WaterTally {
    harmless_ammonia_mg_l: f64,
    harmful_oxygen_mg_l: f64,
    /// By world, then point.
    ammonia: Vec<f32>,
    oxygen: Vec<f32>,
    nitrogen: Vec<f32>,
    ph: Vec<f64>,
}

impl WaterTally {
    pub(super) fn new(study: &Study, plan: &Plan) -> Option<Self> {
        let tub = &study.tubs[plan.tub];
        let water = tub.water.as_ref()?;
        let tolerance = Tolerance::new(&study.fish.map(|_, range| range.likely()));
        Some(Self {
            harmless_ammonia_mg_l: tolerance.harmless_mg_l(tub.numbers.temperature_c.likely(), water.ph.likely()),
            harmful_oxygen_mg_l: tolerance.harmful_oxygen_mg_l(),
            ammonia: Vec::new(),
            oxygen: Vec::new(),
            nitrogen: Vec::new(),
            ph: Vec::new(),
        })
    }

    pub(super) fn add_world(&mut self, records: &[BroodRecord], points: usize) {
        let over = |values: &dyn Fn(&WaterRecord) -> &Vec<f64>, point: usize| {
            // A point without a look of its own is as the last one before it.
            let at = |record: &BroodRecord| {
                let values = values(record.water.as_ref()?);
                values.get(point).or(values.last()).copied()
            };
            mean_of(records.iter().filter_map(at)) as f32
        };
        for point in 0..points {
            self.ammonia.push(over(&|water| &water.ammonia_mg_l, point));
            self.oxygen.push(over(&|water| &water.oxygen_mg_l, point));
            self.nitrogen.push(over(&|water| &water.nitrogen_mg_l, point));
        }
        self.ph.push(mean_of(records.iter().filter_map(|record| Some(record.water.as_ref()?.ph))));
    }

    pub(super) fn result(&self, hours: &[f64]) -> WaterResult {
        let points = hours.len();
        let at = |values: &[f32], point: usize| {
            spread(values.iter().skip(point).step_by(points).map(|&value| f64::from(value)))
        };
        let worst = |values: &[f32], worse: fn(f32, f32) -> f32| {
            spread(
                values.chunks(points).map(|world| f64::from(world.iter().copied().reduce(worse).unwrap_or(f32::NAN))),
            )
        };
        let point = |(point, &hour): (usize, &f64)| WaterPoint {
            hour,
            ammonia_mg_l: at(&self.ammonia, point),
            oxygen_mg_l: at(&self.oxygen, point),
            nitrogen_mg_l: at(&self.nitrogen, point),
        };
        WaterResult {
            points: hours.iter().enumerate().map(point).collect(),
            worst_ammonia_mg_l: worst(&self.ammonia, f32::max),
            worst_oxygen_mg_l: worst(&self.oxygen, f32::min),
            harmless_ammonia_mg_l: self.harmless_ammonia_mg_l,
            harmful_oxygen_mg_l: self.harmful_oxygen_mg_l,
            ph: spread(self.ph.iter().copied()).median,
        }
    }
}
