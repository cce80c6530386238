//! When a culture is not ready, drawn ahead of a brood; and what is fed instead.
//!
//! A culture is ready around the day on which it is to be fed first (normal), and crashes while it is in use (Poisson);
//! after a crash it is missing until it has been started anew. Each has a stream of its own, found by the food's name, so
//! that plans share the early, the late and the crashed ones.

use rand_distr::{Distribution, Exp1, StandardNormal};

use crate::brood::share_of_mass;
use crate::chance::{Source, Streams, individual_of};
use crate::clock::{Moment, Span};
use crate::setbacks::CULTURE_LATE_D;
use crate::study::{Plan, Study};
use crate::worlds::World;

/// The times at which foods are missing in one brood of a plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Calendar {
    /// Food, and from when to when it is not there.
    missing: Vec<(usize, Moment, Moment)>,
}

impl Calendar {
    /// Draws when each culture of a study is missing for a plan; `late` is a food whose culture comes late whatever is
    /// drawn.
    #[must_use]
    pub fn draw(study: &Study, plan: &Plan, world: &World, streams: &Streams, late: Option<usize>) -> Self {
        let end = Moment::start_of_day(study.days + 1);
        let mut missing = Vec::new();
        for (culture, numbers) in study.cultures.iter().zip(&world.cultures) {
            let Some(&(first, _)) = study.days_offered(plan, culture.food).first() else { continue };
            let mut rng = streams.own(Source::Cultures, individual_of(&study.foods[culture.food].name));
            let wanted = Moment::start_of_day(first);
            let score: f64 = StandardNormal.sample(&mut rng);
            let mut ready = (wanted + days(numbers.late_d + numbers.late_spread_d * score)).max(wanted);
            if late == Some(culture.food) {
                ready = ready.max(wanted + days(f64::from(CULTURE_LATE_D)));
            }
            if ready > wanted {
                missing.push((culture.food, Moment(0), ready));
            }
            while ready < end {
                let in_use: f64 = Exp1.sample(&mut rng);
                let crash = ready + days(numbers.crash_days * in_use);
                ready = crash + days(numbers.restart_d.max(1e-3));
                missing.push((culture.food, crash, ready));
            }
        }
        Self { missing }
    }

    /// True if a food is missing at a moment.
    #[must_use]
    pub fn is_missing(&self, food: usize, at: Moment) -> bool {
        self.missing.iter().any(|&(missing, from, to)| missing == food && (from..to).contains(&at))
    }

    /// Share of the dry mass of foods (items of each in a millilitre) that is there at a moment, 0 to 1: as much of their
    /// culture liquid is fed.
    #[must_use]
    pub fn share_there(&self, foods: &[(usize, f64)], item_mass_ug: &[f64], at: Moment) -> f64 {
        share_of_mass(foods, item_mass_ug, |food| !self.is_missing(food, at)).unwrap_or(1.0)
    }

    /// What is fed at a moment in place of foods with the items of each in a millilitre: the same dry mass of a missing
    /// food's stand-in, or nothing where the plan has none or it is missing too.
    #[must_use]
    pub fn available(
        &self,
        foods: Vec<(usize, f64)>,
        plan: &Plan,
        item_mass_ug: &[f64],
        at: Moment,
    ) -> Vec<(usize, f64)> {
        if foods.iter().all(|&(food, _)| !self.is_missing(food, at)) {
            return foods;
        }
        let mut fed: Vec<(usize, f64)> = Vec::new();
        for (food, per_ml) in foods {
            let (food, per_ml) = if self.is_missing(food, at) {
                let stand_in = plan.stand_ins.iter().find(|stand_in| stand_in.food == food);
                match stand_in.filter(|stand_in| !self.is_missing(stand_in.instead, at)) {
                    Some(s) => (s.instead, per_ml * item_mass_ug[food] / item_mass_ug[s.instead]),
                    None => continue,
                }
            } else {
                (food, per_ml)
            };
            match fed.iter_mut().find(|(there, _)| *there == food) {
                Some((_, sum)) => *sum += per_ml,
                None => fed.push((food, per_ml)),
            }
        }
        fed
    }
}

fn days(days: f64) -> Span {
    Span::from_hours(24.0 * days)
}
