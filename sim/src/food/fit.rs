//! What fits the mouth.

use crate::food::batch::WidthClass;

/// A fish's taste for item width, against its gape.
///
/// With ratio r = width / gape: straight from `floor` at r = 0 to 1 at `best`, straight down to 0 at `most`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taste {
    /// Acceptance of very small items, 0 to 1.
    pub floor: f64,
    /// Ratio liked best.
    pub best: f64,
    /// No item with a ratio above this is eaten.
    pub most: f64,
}

impl Taste {
    /// Chance that an item of this width, in shares of the gape, is taken when met.
    #[must_use]
    pub fn of(&self, ratio: f64) -> f64 {
        if ratio <= self.best {
            self.floor + (1.0 - self.floor) * ratio / self.best
        } else {
            ((self.most - ratio) / (self.most - self.best)).max(0.0)
        }
    }
}

/// Steps of the table, evenly spaced in the logarithm of the gape.
const STEPS: usize = 192;
/// Smallest and largest gape of the table, µm.
const GAPES_UM: (f64, f64) = (40.0, 8000.0);

/// Steps of the table in which a gape grows e-fold: `STEPS / ln(8000 / 40)`.
pub const PLACES_PER_E_FOLD: f64 = STEPS as f64 / 5.298_317_366_548_036;

/// The logarithm of a gape in µm as a place in every [`FitTable`].
#[must_use]
pub fn place(ln_gape_um: f64) -> f64 {
    let (low, high) = (GAPES_UM.0.ln(), GAPES_UM.1.ln());
    ((ln_gape_um - low) / (high - low) * STEPS as f64).clamp(0.0, STEPS as f64 - 1e-9)
}

/// Every step of the tables, from small mouths to large ones.
pub fn places() -> impl Iterator<Item = f64> {
    // The last step is left out: a place always has a next one.
    (0..STEPS * 8).map(|step| step as f64 / 8.0)
}

/// One class of a food against every gape: how much of it is taken, and how much is too big.
#[derive(Debug, Clone, PartialEq)]
pub struct FitTable {
    accepted: Box<[f64; STEPS + 1]>,
    too_big: Box<[f64; STEPS + 1]>,
}

impl FitTable {
    /// Averages a taste over the widths of a class, weighted by mass, so that what is eaten is right in mass.
    #[must_use]
    pub fn new(class: &WidthClass, taste: &Taste) -> Self {
        let step = (GAPES_UM.1 / GAPES_UM.0).ln() / STEPS as f64;
        let gape = |i: usize| GAPES_UM.0 * (step * i as f64).exp();
        let average = |f: &dyn Fn(f64) -> f64, i: usize| {
            class.widths_um.iter().map(|w| f(w / gape(i))).sum::<f64>() / class.widths_um.len() as f64
        };
        Self {
            accepted: Box::new(std::array::from_fn(|i| average(&|r| taste.of(r), i))),
            too_big: Box::new(std::array::from_fn(|i| average(&|r| f64::from(u8::from(r > taste.most)), i))),
        }
    }

    /// Share of the class that is taken when met, at a [`place`].
    #[must_use]
    pub fn accepted(&self, place: f64) -> f64 {
        between(&self.accepted, place)
    }

    /// Share of the class, by mass, that no effort would get into the mouth, at a [`place`].
    #[must_use]
    pub fn too_big(&self, place: f64) -> f64 {
        between(&self.too_big, place)
    }
}

fn between(table: &[f64; STEPS + 1], place: f64) -> f64 {
    let i = (place as i32).clamp(0, STEPS as i32 - 1);
    // A fish may outgrow the table; the ends hold beyond it.
    let part = (place - f64::from(i)).clamp(0.0, 1.0);
    let i = i as usize;
    table[i] + part * (table[i + 1] - table[i])
}

#[cfg(test)]
mod tests {
    use super::*;

    const TASTE: Taste = Taste { floor: 0.2, best: 0.35, most: 0.55 };

    #[test]
    fn taste_peaks_at_the_best_width_and_ends_at_the_widest() {
        assert!((TASTE.of(0.0) - 0.2).abs() < 1e-12);
        assert!((TASTE.of(0.35) - 1.0).abs() < 1e-12);
        assert!((TASTE.of(0.45) - 0.5).abs() < 1e-12);
        assert_eq!(TASTE.of(0.56), 0.0);
    }

    #[test]
    fn a_table_of_one_width_is_the_taste_itself() {
        let class = WidthClass { items: 1.0, mass_factor: 1.0, widths_um: vec![160.0] };
        let table = FitTable::new(&class, &TASTE);
        for gape in [300.0_f64, 410.0, 700.0, 1500.0] {
            let got = table.accepted(place(gape.ln()));
            assert!((got - TASTE.of(160.0 / gape)).abs() < 0.01, "{gape}: {got}");
        }
        assert!((place(500_f64.ln()) - place(400_f64.ln()) - 1.25_f64.ln() * PLACES_PER_E_FOLD).abs() < 1e-9);
        assert_eq!(table.too_big(place(200_f64.ln())), 1.0);
        assert_eq!(table.too_big(place(400_f64.ln())), 0.0);
    }
}
