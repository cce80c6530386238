//! The feed tube: first in, first out, with food ageing and settling in it.

use std::collections::VecDeque;

use super::portion::Portion;
use super::vessel::{Draught, Habits};
use crate::numbers::LineNumbers;
use crate::physics::tubes::{hold_up_ml, sweeping_flow_ml_min};

/// A piece of the column in the tube.
#[derive(Debug, Clone, PartialEq)]
struct Parcel {
    /// Room it takes, mL; air included.
    ml: f64,
    /// Water in it, mL.
    water_ml: f64,
    food: Vec<Portion>,
    /// When its food was last aged, h.
    aged_at: f64,
}

impl Parcel {
    /// Splits a share off.
    fn split(&mut self, share: f64) -> Self {
        let taken = Self {
            ml: self.ml * share,
            water_ml: self.water_ml * share,
            food: self.food.iter().map(|portion| portion.share(share)).collect(),
            aged_at: self.aged_at,
        };
        self.ml -= taken.ml;
        self.water_ml -= taken.water_ml;
        for (portion, gone) in self.food.iter_mut().zip(&taken.food) {
            portion.fresh -= gone.fresh;
            portion.stale -= gone.stale;
        }
        taken
    }

    fn age_to(&mut self, now_h: f64, ageing: &[Ageing]) {
        let hours = now_h - self.aged_at;
        if hours > 0.0 {
            for (portion, ageing) in self.food.iter_mut().zip(ageing) {
                portion.ages(ageing.per_h * hours, ageing.stages);
            }
            self.aged_at = now_h;
        }
    }
}

/// How a class ages and moves in the tube.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Ageing {
    per_h: f64,
    stages: usize,
    fresh_sinks: bool,
    stale_sinks: bool,
}

/// A feed tube in use. It starts full of clean water.
#[derive(Debug, Clone, PartialEq)]
pub struct Tube {
    column: VecDeque<Parcel>,
    /// Food that settled on its way, because the flow does not sweep it along.
    lying: Vec<Parcel>,
    /// True once the tube was handled: what lies in it leaves with the next dose.
    is_stirred_up: bool,
    ageing: Vec<Ageing>,
    /// True if the pump's flow carries along what has settled.
    is_swept: bool,
}

/// What left the tube's end in one run.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrival {
    /// Water, mL.
    pub water_ml: f64,
    /// Food by class; a class may come in several portions of different age.
    pub food: Vec<(usize, Portion)>,
}

impl Tube {
    /// A clean tube.
    ///
    /// `lift_pa` is the stress that lifts food, `celsius` the temperature for which food's lives in the tub are told; `ageing_per_h` holds for each class
    /// the stages passed per hour in the tub.
    #[must_use]
    pub fn new(line: &LineNumbers<f64>, lift_pa: f64, celsius: f64, habits: &[Habits], ageing_per_h: &[f64]) -> Self {
        let ageing = habits.iter().zip(ageing_per_h).map(|(habits, per_h)| Ageing {
            per_h: per_h * line.tube_ageing,
            stages: habits.stages,
            fresh_sinks: habits.fresh_mm_s > 0.0,
            stale_sinks: habits.stale_mm_s > 0.0,
        });
        let ml = hold_up_ml(line.bore_mm, line.length_m);
        let water = Parcel { ml, water_ml: ml, food: Vec::new(), aged_at: 0.0 };
        Self {
            column: VecDeque::from([water]),
            lying: Vec::new(),
            is_stirred_up: false,
            ageing: ageing.collect(),
            is_swept: line.pump_ml_min * line.pump_drift >= sweeping_flow_ml_min(line.bore_mm, lift_pa, celsius),
        }
    }

    /// The keeper has handled it: what lies in it is stirred up and leaves with the next dose as a slug.
    pub fn is_handled(&mut self) {
        self.is_stirred_up = true;
    }

    /// Pushes in what the pump drew, `pushed_ml` in all (what is not water is air); gives what leaves the other end.
    pub fn push(&mut self, draught: Draught, pushed_ml: f64, now_h: f64) -> Arrival {
        let Draught { water_ml, food } = draught;
        // Air follows the water: the pump draws it once the reservoir is empty.
        self.column.push_back(Parcel { ml: water_ml, water_ml, food, aged_at: now_h });
        if pushed_ml > water_ml {
            self.column.push_back(Parcel { ml: pushed_ml - water_ml, water_ml: 0.0, food: Vec::new(), aged_at: now_h });
        }
        let mut arrival = Arrival { water_ml: 0.0, food: Vec::new() };
        if self.is_stirred_up && pushed_ml > 0.0 {
            self.is_stirred_up = false;
            for mut parcel in std::mem::take(&mut self.lying) {
                parcel.age_to(now_h, &self.ageing);
                add(&mut arrival, parcel.food);
            }
        }
        let mut left = pushed_ml;
        while let Some(first) = self.column.front_mut().filter(|_| left > 0.0) {
            let taken = first.ml.min(left);
            let parcel = if first.ml <= left { None } else { Some(first.split(left / first.ml)) };
            let Some(mut parcel) = parcel.or_else(|| self.column.pop_front()) else { break };
            // Counted by what was asked for, not by the parcel's own rounding, or a last hair would be split for ever.
            left -= taken;
            parcel.age_to(now_h, &self.ageing);
            arrival.water_ml += parcel.water_ml;
            if !self.is_swept {
                self.settle(&mut parcel);
            }
            add(&mut arrival, parcel.food);
        }
        arrival
    }

    /// Below the sweeping flow everything that sinks stays on the tube's floor.
    fn settle(&mut self, parcel: &mut Parcel) {
        let mut lies = Parcel { ml: 0.0, water_ml: 0.0, ..parcel.clone() };
        for ((moving, lying), ageing) in parcel.food.iter_mut().zip(&mut lies.food).zip(&self.ageing) {
            if ageing.fresh_sinks {
                moving.fresh = 0.0;
            } else {
                lying.fresh = 0.0;
            }
            if ageing.stale_sinks { moving.stale = 0.0 } else { lying.stale = 0.0 }
        }
        if lies.food.iter().any(|portion| portion.items() > 0.0) {
            self.lying.push(lies);
        }
    }

    /// Food in the tube by class: fresh and stale items together.
    #[must_use]
    pub fn items(&self) -> Vec<f64> {
        let mut sums = vec![0.0; self.ageing.len()];
        for parcel in self.column.iter().chain(&self.lying) {
            for (sum, portion) in sums.iter_mut().zip(&parcel.food) {
                *sum += portion.items();
            }
        }
        sums
    }
}

fn add(arrival: &mut Arrival, food: Vec<Portion>) {
    arrival.food.extend(food.into_iter().enumerate().filter(|(_, portion)| portion.items() > 0.0));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(pump_ml_min: f64) -> LineNumbers<f64> {
        LineNumbers {
            pump_ml_min,
            pump_drift: 1.0,
            pocket_ml: 0.0,
            bore_mm: 4.0,
            length_m: 1.0,
            tube_ageing: 1.5,
            end_mm: 40.0,
            entry_per_h: 0.01,
            above_mm: 300.0,
        }
    }

    const SINKS: Habits = Habits { fresh_mm_s: 0.3, stale_mm_s: 0.3, stick: 1e-3, ageing_per_h: 0.0, stages: 1 };

    fn tube(pump_ml_min: f64) -> Tube {
        Tube::new(&line(pump_ml_min), 0.018, 27.0, &[SINKS], &[0.0])
    }

    fn dose(items: f64, water_ml: f64) -> Draught {
        Draught { water_ml, food: vec![Portion { fresh: items, ..Portion::default() }] }
    }

    fn fresh(arrival: &Arrival) -> f64 {
        arrival.food.iter().map(|(_, portion)| portion.fresh).sum()
    }

    #[test]
    fn a_dose_smaller_than_the_tube_arrives_feeds_later() {
        // 12.57 mL in the tube, 5 mL a dose: the first food is seen in the third dose, and whole after the fourth.
        let mut tube = tube(50.0);
        let seen: Vec<f64> = (1..=5)
            .map(|k| fresh(&tube.push(dose(if k == 1 { 100.0 } else { 0.0 }, 5.0), 5.0, f64::from(k))))
            .collect();
        assert_eq!(seen[..2], [0.0, 0.0]);
        assert!((seen[2] - 100.0 * (15.0 - 12.566_37) / 5.0).abs() < 1e-3, "{seen:?}");
        assert!((seen.iter().sum::<f64>() - 100.0).abs() < 1e-9, "{seen:?}");
    }

    #[test]
    fn below_the_sweeping_flow_food_lies_until_the_tube_is_handled() {
        let mut slow = tube(5.0);
        for k in 0..6 {
            assert_eq!(fresh(&slow.push(dose(100.0, 10.0), 10.0, f64::from(k))), 0.0);
        }
        slow.is_handled();
        let slug = fresh(&slow.push(dose(0.0, 10.0), 10.0, 6.0));
        assert!(slug > 400.0, "{slug}");
        assert!((slug + slow.items()[0] - 600.0).abs() < 1e-9, "nothing is lost");
    }

    #[test]
    fn air_pushes_the_column_and_brings_no_water() {
        let mut tube = tube(50.0);
        let first = tube.push(dose(10.0, 5.0), 15.0, 1.0);
        assert!((first.water_ml - 12.566_37 - (15.0 - 12.566_37)).abs() < 1e-3, "{}", first.water_ml);
        let second = tube.push(dose(0.0, 0.0), 15.0, 2.0);
        assert!((second.water_ml - (5.0 - (15.0 - 12.566_37))).abs() < 1e-3, "{}", second.water_ml);
        assert!((fresh(&first) + fresh(&second) - 10.0).abs() < 1e-9);
    }

    /// What had been stirred up left a tube through which nothing was pushed.
    #[test]
    fn a_pump_that_stands_still_brings_no_slug() {
        let mut slow = tube(5.0);
        for k in 0..3 {
            slow.push(dose(100.0, 10.0), 10.0, f64::from(k));
        }
        slow.is_handled();
        assert_eq!(fresh(&slow.push(dose(0.0, 0.0), 0.0, 3.0)), 0.0);
        assert!(fresh(&slow.push(dose(0.0, 5.0), 5.0, 4.0)) > 0.0, "it waits for the next dose");
    }
}
