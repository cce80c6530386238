//! A batch of food as size classes of equal dry mass, each with its own width, item mass and sinking speed.
//!
//! Where items differ much, the few large ones hold most of the mass while the many small ones make up the count:
//! the middle yolk particle understates where the mass is, and how fast it sinks, several-fold. A batch is therefore
//! cut into classes that each hold the same share of its mass.

use statrs::distribution::{ContinuousCDF, Normal};

use crate::food::fit::{FitTable, Taste};
use crate::numbers::FoodNumbers;
use crate::physics::sinking::terminal_speed_mm_s;
use crate::study::{Food, FoodSort};

/// Points of equal mass at which a class is averaged over its widths.
const POINTS: usize = 12;

/// One class of widths in a batch whose widths are log-normal, cut at the cloth.
#[derive(Debug, Clone, PartialEq)]
pub struct WidthClass {
    /// Share of the batch's items in this class.
    pub items: f64,
    /// Mean item mass of this class against the mean of the batch.
    pub mass_factor: f64,
    /// Widths at points of equal mass, µm.
    pub widths_um: Vec<f64>,
}

/// How many classes a spread of ln width needs (estimate: below, one class behaves as the batch does).
fn class_count(spread: f64) -> usize {
    match spread {
        s if s <= 0.25 => 1,
        s if s <= 0.6 => 3,
        _ => 4,
    }
}

/// Cuts a log-normal batch into classes of equal mass.
///
/// Widths: median `median_um`, sd of the logarithm `spread`, none above `largest_um`. Mass goes with width³, so the
/// mass distribution is the same log-normal shifted by 3·spread² (a property of the log-normal).
#[must_use]
pub fn width_classes(median_um: f64, spread: f64, largest_um: f64) -> Vec<WidthClass> {
    let spread = spread.max(1e-6);
    let normal = Normal::standard();
    let cut = (largest_um / median_um).ln() / spread;
    // z: standard score of ln width by count; the same width has score z − 3·spread by mass.
    let by_mass = 3.0 * spread;
    let mass_below_cut = normal.cdf(cut - by_mass).max(1e-300);
    let items_below_cut = normal.cdf(cut).max(1e-300);
    let score_at_mass = |share: f64| {
        let p = (share * mass_below_cut).clamp(1e-300, 1.0 - 1e-12);
        (normal.inverse_cdf(p) + by_mass).min(cut)
    };
    let classes = class_count(spread);
    let bounds: Vec<f64> = (0..=classes).map(|k| k as f64 / classes as f64).collect();
    let items_below: Vec<f64> = bounds
        .iter()
        .map(|&share| match share {
            s if s <= 0.0 => 0.0,
            s if s >= 1.0 => 1.0,
            s => normal.cdf(score_at_mass(s)) / items_below_cut,
        })
        .collect();
    (0..classes)
        .map(|k| {
            let items = (items_below[k + 1] - items_below[k]).max(1e-12);
            let widths_um = (0..POINTS)
                .map(|j| {
                    let share = bounds[k] + (bounds[k + 1] - bounds[k]) * (j as f64 + 0.5) / POINTS as f64;
                    median_um * (spread * score_at_mass(share)).exp()
                })
                .collect();
            WidthClass { items, mass_factor: 1.0 / (classes as f64 * items), widths_um }
        })
        .collect()
}

/// One class of one food in one world: what the tub and the fry need to know of it.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodClass {
    /// Index of the food in the study.
    pub food: usize,
    /// Share of the food's items in this class.
    pub items: f64,
    /// Mean dry mass of an item, µg.
    pub mass_ug: f64,
    /// What fits which mouth.
    pub fit: FitTable,
    widths_um: Vec<f64>,
}

/// All classes of all foods of a study in one world.
#[derive(Debug, Clone, PartialEq)]
pub struct Larder {
    /// Every class; those of one food stand together, in the order of the foods.
    pub classes: Vec<FoodClass>,
    /// Mean dry mass of an item of each food, µg.
    pub item_mass_ug: Vec<f64>,
}

impl Larder {
    /// Cuts each food into classes and tabulates what fits.
    #[must_use]
    pub fn new(foods: &[Food], numbers: &[FoodNumbers<f64>], taste: &Taste) -> Self {
        let mut classes = Vec::new();
        let mut mean_masses = Vec::new();
        for (index, (food, n)) in foods.iter().zip(numbers).enumerate() {
            let cut = width_classes(n.width_um, n.width_spread, n.largest_um);
            let mean_mass = item_mass_ug(food.sort, n);
            mean_masses.push(mean_mass);
            for class in cut {
                let effective = WidthClass {
                    widths_um: class.widths_um.iter().map(|w| w * n.limb_factor).collect(),
                    ..class.clone()
                };
                classes.push(FoodClass {
                    food: index,
                    items: class.items,
                    mass_ug: mean_mass * class.mass_factor,
                    fit: FitTable::new(&effective, taste),
                    widths_um: class.widths_um,
                });
            }
        }
        Self { classes, item_mass_ug: mean_masses }
    }
}

impl FoodClass {
    /// Speed at which fresh items sink, mm/s, mean by mass.
    #[must_use]
    pub fn sinking_mm_s(&self, sort: FoodSort, numbers: &FoodNumbers<f64>, celsius: f64) -> f64 {
        match sort {
            FoodSort::Swimmer => 0.0,
            FoodSort::Sinker => numbers.sink_mm_s,
            FoodSort::Particle => self.particle_speed(numbers, celsius),
        }
    }

    /// Speed at which stale items sink, mm/s.
    #[must_use]
    pub fn stale_sinking_mm_s(&self, sort: FoodSort, numbers: &FoodNumbers<f64>, celsius: f64) -> f64 {
        match sort {
            FoodSort::Swimmer => numbers.dead_sink_mm_s,
            FoodSort::Sinker => numbers.sink_mm_s,
            FoodSort::Particle => self.particle_speed(numbers, celsius),
        }
    }

    fn particle_speed(&self, n: &FoodNumbers<f64>, celsius: f64) -> f64 {
        particle_speeds(&self.widths_um, n, celsius).sum::<f64>() / self.widths_um.len() as f64
    }
}

fn particle_speeds(widths_um: &[f64], n: &FoodNumbers<f64>, celsius: f64) -> impl Iterator<Item = f64> {
    widths_um.iter().map(move |w| terminal_speed_mm_s(*w, n.wet_kg_m3, n.shape_factor, celsius))
}

/// Speeds at which fresh items of a food sink, mm/s, by class and within it; every class holds the same dry mass, and
/// every speed the same share of it.
#[must_use]
pub fn sinking_speeds_mm_s(sort: FoodSort, n: &FoodNumbers<f64>, celsius: f64) -> Vec<Vec<f64>> {
    let classes = width_classes(n.width_um, n.width_spread, n.largest_um);
    let of_class = |class: &WidthClass| match sort {
        FoodSort::Swimmer => vec![0.0],
        FoodSort::Sinker => vec![n.sink_mm_s],
        FoodSort::Particle => particle_speeds(&class.widths_um, n, celsius).collect(),
    };
    classes.iter().map(of_class).collect()
}

/// Mean dry mass of an item, µg.
#[must_use]
pub fn item_mass_ug(sort: FoodSort, numbers: &FoodNumbers<f64>) -> f64 {
    if sort.is_alive() { numbers.mass_ug } else { mean_particle_mass_ug(numbers) }
}

/// Mean dry mass of a particle of the batch, µg: balls of `dry_kg_m3`, averaged over all items (not the mass of the
/// middle one, which is several times less). Third moment of the cut log-normal.
fn mean_particle_mass_ug(n: &FoodNumbers<f64>) -> f64 {
    let spread = n.width_spread.max(1e-6);
    let normal = Normal::standard();
    let cut = (n.largest_um / n.width_um).ln() / spread;
    let cut_effect = normal.cdf(cut - 3.0 * spread) / normal.cdf(cut).max(1e-300);
    let mean_cube_m3 = (n.width_um * 1e-6).powi(3) * (4.5 * spread * spread).exp() * cut_effect;
    std::f64::consts::PI / 6.0 * mean_cube_m3 * n.dry_kg_m3 * 1e9
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn classes_share_items_and_mass_out_whole() {
        for (spread, largest) in [(0.06, 1e4), (0.35, 1e4), (0.5, 100.0), (0.8, 150.0)] {
            let classes = width_classes(40.0, spread, largest);
            let items: f64 = classes.iter().map(|c| c.items).sum();
            let mass: f64 = classes.iter().map(|c| c.items * c.mass_factor).sum();
            assert!((items - 1.0).abs() < 1e-9, "{spread}: items {items}");
            assert!((mass - 1.0).abs() < 1e-9, "{spread}: mass {mass}");
            let widths: Vec<f64> = classes.iter().flat_map(|c| c.widths_um.clone()).collect();
            assert!(widths.windows(2).all(|w| w[0] < w[1]), "{spread}: widths rise");
            assert!(widths.last().unwrap() <= &largest);
        }
    }

    #[test]
    fn most_yolk_mass_sits_in_few_large_particles() {
        // Log-normal, uncut: mass-median = median · exp(3 s²), 6.8-fold for s = 0.8.
        let uncut = width_classes(40.0, 0.8, 1e9);
        let middle = &uncut[1].widths_um;
        let mass_median = (middle[POINTS - 1] * uncut[2].widths_um[0]).sqrt();
        assert!((mass_median / (40.0 * (3.0_f64 * 0.64).exp()) - 1.0).abs() < 0.05, "{mass_median}");
        assert!(uncut[0].items > 0.9);
    }
}
