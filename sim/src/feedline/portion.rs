//! Food of one class under way to the tub, and how it ages there.
//!
//! Amounts are items, not yet whole: what is drawn from a reservoir is a share of what is in it. They become whole when
//! they enter the tub, and what rounding takes is carried over to the next dose.

use crate::food::pools::STAGES;

/// An amount of one class of food, all poured in at the same time.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Portion {
    /// Fresh items.
    pub fresh: f64,
    /// Spoiled or dead items.
    pub stale: f64,
    /// Stages of ageing that a fresh item would have passed by now, on average, had it not been spoiled by the last.
    pub age: f64,
}

impl Portion {
    /// Ages it by so many stages passed on average; `stages` is the number after which an item is stale.
    pub fn ages(&mut self, passed: f64, stages: usize) {
        let spoiled = self.fresh * spoiling(self.age, passed, stages);
        self.fresh -= spoiled;
        self.stale += spoiled;
        self.age += passed;
    }

    /// Fresh items by the stage of ageing that they are in.
    #[must_use]
    pub fn by_stage(&self, stages: usize) -> [f64; STAGES] {
        let mut terms = [0.0; STAGES];
        let mut term = 1.0;
        for (passed, cell) in terms[..stages].iter_mut().enumerate() {
            *cell = term;
            term *= self.age / (passed + 1) as f64;
        }
        let all: f64 = terms.iter().sum();
        terms.map(|term| self.fresh * term / all)
    }

    /// Fresh and stale items.
    #[must_use]
    pub fn items(&self) -> f64 {
        self.fresh + self.stale
    }

    /// A share of it.
    #[must_use]
    pub fn share(&self, share: f64) -> Self {
        Self { fresh: self.fresh * share, stale: self.stale * share, age: self.age }
    }
}

/// Share of the items still fresh at an age (in stages passed on average) that spoil while `passed` more go by.
///
/// Ageing passes stages at random, so the number passed is Poisson: `S(a) = e^(−a) Σ aᵏ/k!` over the stages before the
/// last, and the share is `1 − S(a + p) / S(a)`.
#[must_use]
pub fn spoiling(age: f64, passed: f64, stages: usize) -> f64 {
    if passed <= 0.0 {
        return 0.0;
    }
    let sum = |at: f64| {
        let (mut term, mut sum) = (1.0, 1.0);
        for k in 1..stages {
            term *= at / k as f64;
            sum += term;
        }
        sum
    };
    // Of animals just poured in next to none die at first, and rounding must not make it fewer than none.
    (1.0 - (-passed).exp() * sum(age + passed) / sum(age)).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::food::pools::Rates;

    #[test]
    fn half_of_the_animals_live_their_tabled_life_however_it_is_cut_up() {
        let (per_h, stages) = Rates::ageing(true, 5.0);
        for steps in [1, 7, 100] {
            let mut portion = Portion { fresh: 1000.0, ..Portion::default() };
            for _ in 0..steps {
                portion.ages(per_h * 5.0 / f64::from(steps), stages);
            }
            assert!((portion.fresh - 500.0).abs() < 1e-6, "{steps}: {}", portion.fresh);
            assert!((portion.items() - 1000.0).abs() < 1e-9);
            assert!((portion.by_stage(stages).iter().sum::<f64>() - portion.fresh).abs() < 1e-9);
        }
    }

    #[test]
    fn particles_spoil_at_a_constant_rate_whatever_their_age() {
        assert!((spoiling(0.0, 0.3, 1) - spoiling(9.0, 0.3, 1)).abs() < 1e-12);
        assert!(spoiling(0.0, 0.3, 3) < 0.01 && spoiling(4.0, 0.3, 3) > 0.1, "animals do not die at once");
    }
}
