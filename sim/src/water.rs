//! The water of a tub: ammonia, oxygen, alkalinity, and the bacteria of a sponge.
//!
//! ```text
//! dN/dt = sources − wash·N − nitrified           total ammonia nitrogen N, mg in the tub
//! nitrified = credit · ripe · r · c / (1 + c)    c = N/V in mg/L; r ripeness, Monod with 1 mg/L
//! dr/dt = g·r·(1 − r)                            bacteria grow until they are ripe
//! dO/dt = (a + s + wash)·(Os − O) − (use + 4.57·nitrified)/V
//! dK/dt = wash·(K0 − K) − nitrified/(7·V)        alkalinity K, meq/L; K0 of the water that comes in
//! dA/dt = −(l + wash)·A                          acid A of culture liquid, rotting at l; so its oxygen and nitrogen
//! pH    = pH0 + log10((K − A/V) / K0)
//! ```
//!
//! a: transfer by the air stone; s: by the open surface; Os: saturation (Benson & Krause 1984). Nitrification takes
//! 4.57 mg of oxygen and 1/7 meq of alkalinity a mg of nitrogen (stoichiometry, from memory). Water that is open to air
//! keeps its carbon dioxide, so pH goes with the logarithm of alkalinity.

use crate::numbers::{LiquidNumbers, WaterNumbers};
use crate::physics::chemistry::{NH3_PER_N, oxygen_saturation_mg_l, unionised_share};

/// Share of digested nitrogen that leaves as ammonia (0.8 × 0.8 × 0.9, Timmons & Ebeling, Recirculating Aquaculture, from
/// memory).
pub const AS_AMMONIA: f64 = 0.58;
/// Share of digested nitrogen that leaves as faeces (by difference, estimate).
pub const AS_FAECES: f64 = 0.20;
/// Oxygen used for a mg of body or food burnt, mg (respiration of mixed protein and fat).
pub const OXYGEN_PER_BURNT: f64 = 1.46;
/// Rate at which faeces and dead fry rot at 27 °C, per day (estimate between food fines and crustacean carcasses).
pub const WASTE_PER_DAY: f64 = 1.0;
/// Temperature for which rates of rotting are given, °C, and their rise a degree (Aquaculture Science 37(1):27, 1989,
/// abstract).
const ROTTING: (f64, f64) = (27.0, 1.075);
/// Rate at which dissolved culture liquid is eaten by bacteria at 27 °C, per day (estimate: sugars and short acids go in
/// hours to a day; between 1 and 10).
pub const LIQUID_PER_DAY: f64 = 4.0;
/// Half-saturation of nitrification, mg N/L (common in textbooks; from memory).
pub const HALF_N_MG_L: f64 = 1.0;
/// Oxygen for a mg of ammonia nitrogen nitrified, mg (stoichiometry, from memory).
pub const OXYGEN_PER_N: f64 = 4.57;
/// Alkalinity that a mg of ammonia nitrogen nitrified takes, meq.
const ALKALINITY_PER_N: f64 = 1.0 / 7.0;
/// Least alkalinity, meq/L: below, pH would fall without end.
const LEAST_ALKALINITY: f64 = 0.02;
/// Longest step in which rates are held, h.
const STEP_H: f64 = 0.25;
/// Ripeness that a new sponge grows from even if it is given none: a few bacteria are everywhere.
pub const FEW: f64 = 1e-4;

/// Rotting at a temperature against that at which its rates are given.
#[must_use]
pub fn rotting_at(celsius: f64) -> f64 {
    ROTTING.1.powf(celsius - ROTTING.0)
}

/// Rate at which the bacteria of a sponge multiply while they are few, per h: from [`FEW`] half are there after so many
/// days.
#[must_use]
pub fn growth_per_h(ripening_days: f64) -> f64 {
    (1.0 / FEW - 1.0).ln() / (24.0 * ripening_days)
}

/// The water of a tub in use.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterState {
    numbers: WaterNumbers<f64>,
    /// Total ammonia nitrogen, mg in the tub.
    pub ammonia_mg: f64,
    /// Oxygen, mg/L.
    pub oxygen_mg_l: f64,
    /// Alkalinity, meq/L.
    pub alkalinity_meq_l: f64,
    /// Share of the bacteria of a ripe sponge that is there.
    pub ripeness: f64,
    /// Surface by volume, so that cm/h become per h.
    depth_mm: f64,
    /// True while the air stone bubbles.
    pub has_air: bool,
    /// Culture liquid in the water that has not rotted yet.
    pub liquid: Dissolved,
    /// What came and went.
    pub account: NitrogenAccount,
}

/// Ammonia nitrogen that came into or left the water since the start, mg.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct NitrogenAccount {
    /// Came in.
    pub given: f64,
    /// Turned into nitrate.
    pub nitrified: f64,
    /// Left with the water.
    pub washed: f64,
    /// Of what came in, from culture liquid.
    pub from_liquid: f64,
}

/// What culture liquid has brought into the water, dissolved: in the tub, not a litre.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Dissolved {
    /// Acid, meq: it takes as much alkalinity until it is eaten by bacteria, which give it back (acetate burns to
    /// bicarbonate).
    pub acid_meq: f64,
    /// Oxygen that it will use, mg.
    pub oxygen_mg: f64,
    /// Nitrogen in it, mg.
    pub nitrogen_mg: f64,
}

impl Dissolved {
    /// The same with every part multiplied.
    fn times(self, factor: f64) -> Self {
        Self {
            acid_meq: self.acid_meq * factor,
            oxygen_mg: self.oxygen_mg * factor,
            nitrogen_mg: self.nitrogen_mg * factor,
        }
    }
}

/// What acts on the water in a step.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Load {
    /// Ammonia nitrogen coming in evenly, mg.
    pub ammonia_mg: f64,
    /// Oxygen used, nitrification apart, mg.
    pub oxygen_mg: f64,
}

/// The worst of a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worst {
    /// Highest un-ionised ammonia, mg NH3/L.
    pub ammonia_mg_l: f64,
    /// Lowest oxygen, mg/L.
    pub oxygen_mg_l: f64,
}

impl WaterState {
    /// Clean, aerated water of a tub `depth_mm` deep at `celsius`.
    #[must_use]
    pub fn new(numbers: &WaterNumbers<f64>, depth_mm: f64, celsius: f64) -> Self {
        Self {
            ammonia_mg: 0.0,
            oxygen_mg_l: oxygen_saturation_mg_l(celsius),
            alkalinity_meq_l: numbers.alkalinity_meq_l,
            ripeness: numbers.ripeness.clamp(FEW, 1.0),
            depth_mm,
            has_air: true,
            liquid: Dissolved::default(),
            account: NitrogenAccount::default(),
            numbers: numbers.clone(),
        }
    }

    /// pH as it is.
    #[must_use]
    pub fn ph(&self, volume_ml: f64) -> f64 {
        let left = (self.alkalinity_meq_l - self.liquid.acid_meq / (volume_ml / 1000.0)).max(LEAST_ALKALINITY);
        self.numbers.ph + (left / self.numbers.alkalinity_meq_l).log10()
    }

    /// Culture liquid comes in, mL.
    pub fn add_liquid(&mut self, liquid: &LiquidNumbers<f64>, ml: f64) {
        self.liquid.acid_meq += ml * liquid.acid_meq_ml;
        self.liquid.oxygen_mg += ml * liquid.oxygen_mg_ml;
        self.liquid.nitrogen_mg += ml * liquid.nitrogen_mg_ml;
    }

    /// Un-ionised ammonia, mg NH3/L.
    #[must_use]
    pub fn unionised_mg_l(&self, volume_ml: f64, celsius: f64) -> f64 {
        self.ammonia_mg / (volume_ml / 1000.0) * NH3_PER_N * unionised_share(celsius, self.ph(volume_ml))
    }

    /// Transfer of oxygen from air, per h.
    #[must_use]
    pub fn transfer_per_h(&self) -> f64 {
        let air = if self.has_air { self.numbers.air_per_h } else { 0.0 };
        air + 10.0 * self.numbers.surface_cm_h / self.depth_mm
    }

    /// Carries the water forward under a load; `wash_per_h` of it is renewed with clean, saturated water.
    pub fn pass(&mut self, load: &Load, volume_ml: f64, wash_per_h: f64, celsius: f64, hours: f64) -> Worst {
        let mut worst = Worst { ammonia_mg_l: 0.0, oxygen_mg_l: f64::INFINITY };
        if hours <= 0.0 {
            return self.look(worst, volume_ml, celsius);
        }
        let steps = (hours / STEP_H).ceil();
        let share = 1.0 / steps;
        let part = Load { ammonia_mg: load.ammonia_mg * share, oxygen_mg: load.oxygen_mg * share };
        for _ in 0..steps as u32 {
            self.step(&part, volume_ml, wash_per_h, celsius, hours * share);
            worst = self.look(worst, volume_ml, celsius);
        }
        worst
    }

    fn look(&self, worst: Worst, volume_ml: f64, celsius: f64) -> Worst {
        Worst {
            ammonia_mg_l: worst.ammonia_mg_l.max(self.unionised_mg_l(volume_ml, celsius)),
            oxygen_mg_l: worst.oxygen_mg_l.min(self.oxygen_mg_l),
        }
    }

    fn step(&mut self, load: &Load, volume_ml: f64, wash_per_h: f64, celsius: f64, hours: f64) {
        let litres = volume_ml / 1000.0;
        let rotted = self.rot_liquid(wash_per_h, celsius, hours);
        let load = Load {
            ammonia_mg: load.ammonia_mg + rotted.nitrogen_mg * self.numbers.decay_nitrogen,
            oxygen_mg: load.oxygen_mg + rotted.oxygen_mg,
        };
        self.account.from_liquid += rotted.nitrogen_mg * self.numbers.decay_nitrogen;
        // Ammonia by the classical fourth-order Runge–Kutta rule: Monod's term bends little within a quarter of an hour.
        let source = load.ammonia_mg / hours;
        let most = self.numbers.outlet_credit * self.numbers.ripe_mg_day / 24.0 * self.ripeness;
        // A step may look beyond what is there: bacteria take nothing from less than nothing.
        let nitrifying = |n: f64| most * n.max(0.0) / (HALF_N_MG_L * litres + n.max(0.0));
        let slope = |n: f64| source - wash_per_h * n - nitrifying(n);
        let before = self.ammonia_mg;
        let k1 = slope(before);
        let k2 = slope(before + 0.5 * hours * k1);
        let k3 = slope(before + 0.5 * hours * k2);
        let k4 = slope(before + hours * k3);
        let after = (before + hours / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4)).max(0.0);
        // What did not stay was nitrified or left with the water, in proportion of their rates at the mean.
        let gone = (before + load.ammonia_mg - after).max(0.0);
        let mean = 0.5 * (before + after);
        let rates = [nitrifying(mean), wash_per_h * mean];
        let sum: f64 = rates.iter().sum();
        let nitrified = if sum > 0.0 { gone * rates[0] / sum } else { 0.0 };
        self.ammonia_mg = after;
        self.account.given += load.ammonia_mg;
        self.account.nitrified += nitrified;
        self.account.washed += gone - nitrified;
        // Logistic growth has its closed form.
        let growth = growth_per_h(self.numbers.ripening_days);
        let odds = self.ripeness / (1.0 - self.ripeness).max(1e-12) * (growth * hours).exp();
        self.ripeness = odds / (1.0 + odds);
        // Oxygen under steady rates.
        let saturated = oxygen_saturation_mg_l(celsius);
        let renewal = self.transfer_per_h() + wash_per_h;
        let used = (load.oxygen_mg + OXYGEN_PER_N * nitrified) / litres / hours;
        let still = (-renewal * hours).exp();
        let supplied = if renewal > 0.0 { -(-renewal * hours).exp_m1() / renewal } else { hours };
        self.oxygen_mg_l = (saturated + (self.oxygen_mg_l - saturated) * still - used * supplied).max(0.0);
        let kept = (-wash_per_h * hours).exp();
        let alkalinity = self.numbers.alkalinity_meq_l + (self.alkalinity_meq_l - self.numbers.alkalinity_meq_l) * kept;
        self.alkalinity_meq_l = (alkalinity - ALKALINITY_PER_N * nitrified / litres).max(LEAST_ALKALINITY);
    }

    /// What of the culture liquid rots in a step; some of it leaves with the water meanwhile.
    fn rot_liquid(&mut self, wash_per_h: f64, celsius: f64, hours: f64) -> Dissolved {
        let decay = LIQUID_PER_DAY / 24.0 * rotting_at(celsius);
        let gone = -(-(decay + wash_per_h) * hours).exp_m1();
        let rotted = self.liquid.times(gone * decay / (decay + wash_per_h));
        self.liquid = self.liquid.times(1.0 - gone);
        rotted
    }

    /// A share `gone` of what is dissolved leaves with its water, and a share `fresh` of the water in the tub is clean,
    /// saturated water then. They differ where the level rises or falls.
    pub fn change(&mut self, gone: f64, fresh: f64, celsius: f64) {
        self.liquid = self.liquid.times(1.0 - gone);
        self.account.washed += self.ammonia_mg * gone;
        self.ammonia_mg *= 1.0 - gone;
        self.oxygen_mg_l += (oxygen_saturation_mg_l(celsius) - self.oxygen_mg_l) * fresh;
        self.alkalinity_meq_l += (self.numbers.alkalinity_meq_l - self.alkalinity_meq_l) * fresh;
    }

    /// The sponge is rinsed: so much of the bacteria stays.
    pub fn rinsed(&mut self, leaves: f64) {
        self.ripeness = (self.ripeness * leaves).max(FEW);
    }
}
