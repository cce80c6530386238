//! A plan's water level added up.

use super::mean_of;
use crate::brood::diary::BroodRecord;
use crate::outcome::{LevelPoint, OutletResult};
use crate::statistics::spread;
use crate::study::{Plan, Study};

/// What is kept of a plan's outlet.
#[derive(Debug, Clone)]
pub(super) struct OutletTally {
    tube_end_mm: Option<f64>,
    rim_mm: f64,
    /// Highest level by world, then point, mm.
    levels: Vec<f32>,
    under_water_h: Vec<f64>,
    over_rim_h: Vec<f64>,
}

impl OutletTally {
    pub(super) fn new(study: &Study, plan: &Plan) -> Option<Self> {
        let outlet = study.tubs[plan.tub].outlet.as_ref()?;
        Some(Self {
            tube_end_mm: plan.line.as_ref().map(|line| study.lines[line.line].numbers.end_mm.likely()),
            rim_mm: outlet.numbers.rim_mm.likely(),
            levels: Vec::new(),
            under_water_h: Vec::new(),
            over_rim_h: Vec::new(),
        })
    }

    pub(super) fn add_world(&mut self, records: &[BroodRecord], points: usize) {
        let over = |f: &dyn Fn(&BroodRecord) -> f64| mean_of(records.iter().map(f));
        for point in 0..points {
            self.levels.push(over(&|r| r.levels.get(point).copied().unwrap_or(0.0)) as f32);
        }
        self.under_water_h.push(over(&|r| r.under_water_h));
        self.over_rim_h.push(over(&|r| r.over_rim_h));
    }

    pub(super) fn result(&self, hours: &[f64]) -> OutletResult {
        let at = |point: usize| self.levels.iter().skip(point).step_by(hours.len()).map(|&level| f64::from(level));
        let level = hours.iter().enumerate().map(|(point, &hour)| LevelPoint { hour, level_mm: spread(at(point)) });
        OutletResult {
            level: level.collect(),
            under_water_h: spread(self.under_water_h.iter().copied()),
            over_rim_h: spread(self.over_rim_h.iter().copied()),
            tube_end_mm: self.tube_end_mm,
            rim_mm: self.rim_mm,
        }
    }
}
