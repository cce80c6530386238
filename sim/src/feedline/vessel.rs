//! The food in a reservoir: what is in suspension, what has landed and will come back, what lies for good.
//!
//! For each class of food, in items:
//!
//! ```text
//! landing rate   k = w·A / V                 w sinking speed, A plan area, V water
//! dM/dt = −(Q/V)·M − k·M + D/τ               M in suspension, Q pump
//! dD/dt = (1 − λ)·k·M − D/τ                  D landed, sliding or swept back within τ
//! dX/dt = λ·k·M                              X landed for good
//! λ = φ + (1 − φ)·s                          φ dead share of the floor, s chance of sticking elsewhere
//! ```
//!
//! Stirred by air the water is of one mixture (vertical differences are below a few hundredths, for the circulation
//! takes seconds and settling minutes). Without air the cloud sinks as a whole, `1 − w·t/H` of it is left above a clear
//! layer (Hazen 1904), and what lands slides to the lowest point, where it waits for the next run of the pump.
//!
//! Within a step the equations are linear and solved exactly. While the pump runs `V` changes, and with it `k` and `φ`:
//! see `Vessel::halves`.

use super::floor::{dead_share, slides};
use super::portion::{Portion, spoiling};
use crate::food::batch::FoodClass;
use crate::food::pools::Rates;
use crate::numbers::{FoodNumbers, ReservoirNumbers};
use crate::study::{Food, Reservoir};

/// Temperature at which the tabled lives of foods hold, °C.
pub const LIVES_AT_C: f64 = 27.0;
/// Longest step while the pump stands still, h.
const STEP_H: f64 = 0.25;
/// Largest share of the water drawn within a step.
const STEP_SHARE: f64 = 0.05;
/// An intake that stands no higher than this draws what lies at the lowest point, mm (estimate).
const AT_THE_TIP_MM: f64 = 5.0;
/// Gauss's two points in a step, `1/2 ∓ √3/6`, and their shares in its first half, `1/4 ± √3/6`.
const GAUSS: [f64; 2] = [0.211_324_865_405_187_1, 0.788_675_134_594_812_9];
const MIX: [f64; 2] = [0.538_675_134_594_812_9, -0.038_675_134_594_812_88];
/// A drop, mL: it always stays behind, for the rest is drawn in equal shares of what is left.
const DROP_ML: f64 = 0.05;
/// mm³ in a mL, and s in an h.
const MM3_PER_ML: f64 = 1000.0;
const S_PER_H: f64 = 3600.0;

/// How one class of food behaves in a reservoir.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Habits {
    /// Sinking speed while fresh, mm/s.
    pub fresh_mm_s: f64,
    /// Sinking speed once stale, mm/s.
    pub stale_mm_s: f64,
    /// Chance that a landing on swept or steep floor is for good.
    pub stick: f64,
    /// Stages of ageing passed per hour.
    pub ageing_per_h: f64,
    /// Stages before it is stale.
    pub stages: usize,
}

impl Habits {
    /// Those of a class in a reservoir of these numbers.
    #[must_use]
    pub fn new(class: &FoodClass, food: &Food, numbers: &FoodNumbers<f64>, place: &ReservoirNumbers<f64>) -> Self {
        let (ageing_per_h, stages) = Rates::ageing(food.sort.is_alive(), numbers.life_h);
        Self {
            fresh_mm_s: class.sinking_mm_s(food.sort, numbers, place.temperature_c),
            stale_mm_s: class.stale_sinking_mm_s(food.sort, numbers, place.temperature_c),
            stick: numbers.stick_chance,
            ageing_per_h: ageing_per_h * place.ageing_q10.powf((place.temperature_c - LIVES_AT_C) / 10.0),
            stages,
        }
    }
}

/// Items by place.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Places {
    /// In suspension.
    pub suspended: f64,
    /// Landed, and on its way back.
    pub resting: f64,
    /// Landed for good.
    pub stuck: f64,
    /// Without air: how far the top of the cloud has sunk below the surface, mm.
    pub clear_mm: f64,
}

impl Places {
    /// Items wherever they are.
    #[must_use]
    pub fn all(&self) -> f64 {
        self.suspended + self.resting + self.stuck
    }

    /// Takes out a share, wherever it lies.
    fn take(&mut self, share: f64) -> Self {
        let taken = Self {
            suspended: self.suspended * share,
            resting: self.resting * share,
            stuck: self.stuck * share,
            clear_mm: self.clear_mm,
        };
        self.suspended -= taken.suspended;
        self.resting -= taken.resting;
        self.stuck -= taken.stuck;
        taken
    }

    fn put(&mut self, more: &Self) {
        let cloud = self.suspended + more.suspended;
        if cloud > 0.0 {
            self.clear_mm = (self.clear_mm * self.suspended + more.clear_mm * more.suspended) / cloud;
        }
        self.suspended = cloud;
        self.resting += more.resting;
        self.stuck += more.stuck;
    }
}

/// The food of one class in a reservoir.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Stock {
    /// Fresh items.
    pub fresh: Places,
    /// Spoiled or dead items.
    pub stale: Places,
    /// See [`Portion::age`].
    pub age: f64,
}

/// What holds for all food over one step.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Step {
    hours: f64,
    /// Share of the suspension drawn per h.
    drawn_per_h: f64,
    /// Landing rate for 1 mm/s, per h.
    landing_per_h: f64,
    dead: f64,
    back_per_h: f64,
}

impl Step {
    /// Carries one kind forward with air on; gives back what the pump draws.
    ///
    /// `M` and `D` follow `y' = A y` with `A = [[−(q + k), b], [(1 − λ) k, −b]]`, whose eigenvalues are real.
    fn stirred(&self, places: &mut Places, speed_mm_s: f64, stick: f64) -> f64 {
        let (before, landed) = (places.suspended, places.resting);
        if before + landed <= 0.0 {
            return 0.0;
        }
        let k = self.landing_per_h * speed_mm_s;
        let for_good = self.dead + (1.0 - self.dead) * stick;
        let (q, b) = (self.drawn_per_h, self.back_per_h);
        let back = (1.0 - for_good) * k;
        let (a11, a22) = (-(q + k), -b);
        let (middle, half) = (0.5 * (a11 + a22), (0.25 * (a11 - a22).powi(2) + b * back).sqrt());
        let t = self.hours;
        // exp(A t) = e^(m t) [cosh(h t) I + sinh(h t)/h (A − m I)], written with the two decaying exponentials.
        // Their product is `b (q + λ k)`; the slow one is taken from it, since as a sum it would lose its last digits.
        let steep = middle - half;
        let (slow, fast) = ((b * (q + for_good * k) / steep * t).exp(), (steep * t).exp());
        let cosh = 0.5 * (slow + fast);
        let sinh = if half > 0.0 { 0.5 * (slow - fast) / half } else { t * slow };
        // Where nearly all has moved on, rounding may leave a hair less than nothing.
        places.suspended = ((cosh + sinh * (a11 - middle)) * before + sinh * b * landed).max(0.0);
        places.resting = (sinh * back * before + (cosh + sinh * (a22 - middle)) * landed).max(0.0);
        // What is gone from both went to the pump and the dead floor, in proportion of their rates.
        let gone = before + landed - places.suspended - places.resting;
        let (to_pump, to_floor) = (q, for_good * k);
        if gone <= 0.0 || to_pump + to_floor <= 0.0 {
            return 0.0;
        }
        places.stuck += gone * to_floor / (to_pump + to_floor);
        gone * to_pump / (to_pump + to_floor)
    }
}

/// A reservoir in use.
#[derive(Debug, Clone, PartialEq)]
pub struct Vessel<'a> {
    /// What it is.
    pub reservoir: &'a Reservoir,
    /// Its numbers.
    pub numbers: &'a ReservoirNumbers<f64>,
    /// Water in it, mL.
    pub volume_ml: f64,
    /// Food by class.
    pub stocks: Vec<Stock>,
    habits: Vec<Habits>,
    has_air: bool,
}

/// What a run of the pump took out.
#[derive(Debug, Clone, PartialEq)]
pub struct Draught {
    /// Water, mL; less than was asked for when the reservoir ran dry.
    pub water_ml: f64,
    /// Food by class.
    pub food: Vec<Portion>,
}

impl<'a> Vessel<'a> {
    /// An empty reservoir for foods of these habits.
    #[must_use]
    pub fn new(reservoir: &'a Reservoir, numbers: &'a ReservoirNumbers<f64>, habits: Vec<Habits>) -> Self {
        Self { reservoir, numbers, volume_ml: 0.0, stocks: vec![Stock::default(); habits.len()], habits, has_air: true }
    }

    /// Height of the water, mm.
    #[must_use]
    pub fn height_mm(&self) -> f64 {
        self.reservoir.shape.height_mm(self.volume_ml)
    }

    /// Water that the pump cannot reach, mL; at least a drop.
    #[must_use]
    pub fn unreached_ml(&self) -> f64 {
        self.numbers.dry_ml.max(self.reservoir.shape.volume_ml(self.reservoir.intake_mm)).max(DROP_ML)
    }

    /// Throws away what is in it, wherever it lies, and pours in water with fresh items of each class.
    pub fn refill(&mut self, volume_ml: f64, items: impl IntoIterator<Item = (usize, f64)>) {
        self.volume_ml = volume_ml;
        self.stocks.fill(Stock::default());
        for (class, count) in items {
            self.stocks[class].fresh.suspended += count;
        }
    }

    /// Lets it stand.
    pub fn wait(&mut self, hours: f64) {
        let steps = (hours / STEP_H).ceil().max(1.0);
        if hours > 0.0 && self.volume_ml > 0.0 {
            let step = self.step(hours / steps, self.volume_ml);
            for _ in 0..steps as u32 {
                self.pass(&step, None);
            }
        }
    }

    /// Runs the pump for some time (above 0); less comes than was asked for when the water no longer reaches the intake.
    pub fn draw(&mut self, wanted_ml: f64, hours: f64) -> Draught {
        let water_ml = wanted_ml.min(self.volume_ml - self.unreached_ml());
        // What rounding leaves above the intake of an empty vessel is no water.
        let water_ml = if water_ml > 1e-9 * self.volume_ml { water_ml } else { 0.0 };
        let mut food = vec![Portion::default(); self.stocks.len()];
        let running = if wanted_ml > 0.0 { hours * water_ml / wanted_ml } else { 0.0 };
        if water_ml > 0.0 {
            if !self.is_stirred() && self.reservoir.intake_mm <= AT_THE_TIP_MM {
                self.draw_slug(&mut food);
            }
            // Equal shares of what is left, so that near the end no step empties the vessel.
            let left = 1.0 - water_ml / self.volume_ml;
            let steps = (left.ln() / (1.0 - STEP_SHARE).ln()).ceil().max(1.0).max((running / STEP_H).ceil());
            for _ in 0..steps as u32 {
                for (step, after) in self.halves(left.powf(1.0 / steps), running / water_ml) {
                    self.pass(&step, Some((&mut food, self.volume_ml - after)));
                    self.volume_ml = after;
                }
            }
        }
        if hours > running {
            self.wait(hours - running);
        }
        Draught { water_ml, food }
    }

    fn is_stirred(&self) -> bool {
        self.has_air && self.numbers.air_ml_min > 0.0
    }

    /// Its air runs or stands still. When it comes back, the clear layer above the cloud is mixed in again.
    pub fn set_air(&mut self, runs: bool) {
        if runs && !self.has_air {
            for stock in &mut self.stocks {
                stock.fresh.clear_mm = 0.0;
                stock.stale.clear_mm = 0.0;
            }
        }
        self.has_air = runs;
    }

    fn step(&self, hours: f64, volume_ml: f64) -> Step {
        let height_mm = self.reservoir.shape.height_mm(volume_ml);
        Step {
            hours,
            drawn_per_h: 0.0,
            landing_per_h: S_PER_H * self.reservoir.shape.area_mm2(height_mm) / (volume_ml * MM3_PER_ML),
            dead: dead_share(self.reservoir, self.numbers, height_mm),
            back_per_h: S_PER_H / self.numbers.slide_s,
        }
    }

    /// A step in which the pump draws the water down to a share `factor` of it, at `hours_per_ml`, as two halves, each
    /// with the volume after it.
    ///
    /// Counted not by the clock but by the logarithm of the volume, the pump takes food at a constant rate, and so does
    /// the floor under straight walls. What still changes, coming back and the reach of the current, is taken at the two
    /// points of Gauss and mixed so that the two halves together are right to the fourth order of the step (Blanes &
    /// Moan 2006, Appl. Numer. Math. 56:1519–1537, the commutator-free method of two exponentials; from memory).
    fn halves(&self, factor: f64, hours_per_ml: f64) -> [(Step, f64); 2] {
        let before = self.volume_ml;
        let log = -factor.ln();
        let nodes = GAUSS.map(|at| {
            let volume = before * factor.powf(at);
            // dt = V dln V / Q: hours spent for each unit of the logarithm.
            let hours = volume * hours_per_ml;
            let step = self.step(hours, volume);
            [step.landing_per_h * hours, step.landing_per_h * hours * step.dead, step.back_per_h * hours]
        });
        let (middle, after) = (before * factor.sqrt(), before * factor);
        [(MIX, before, middle), ([MIX[1], MIX[0]], middle, after)].map(|(mix, from, to)| {
            let hours = (from - to) * hours_per_ml;
            let mixed = |what: usize| (mix[0] * nodes[0][what] + mix[1] * nodes[1][what]) * log / hours;
            let landing_per_h = mixed(0);
            let dead = if landing_per_h > 0.0 { (mixed(1) / landing_per_h).clamp(0.0, 1.0) } else { 0.0 };
            (Step { hours, drawn_per_h: 0.5 * log / hours, landing_per_h, dead, back_per_h: mixed(2) }, to)
        })
    }

    /// Carries all food forward by a step; with a pump running, what it draws goes into the portions given.
    fn pass(&mut self, step: &Step, mut drawn: Option<(&mut Vec<Portion>, f64)>) {
        let stirred = self.is_stirred();
        for (class, habits) in self.habits.iter().enumerate() {
            let stock = &mut self.stocks[class];
            if stock.fresh.all() + stock.stale.all() <= 0.0 {
                continue;
            }
            let passed = habits.ageing_per_h * step.hours;
            let spoiled = stock.fresh.take(spoiling(stock.age, passed, habits.stages));
            stock.stale.put(&spoiled);
            stock.age += passed;
            let move_on = |places: &mut Places, speed: f64| {
                if stirred {
                    step.stirred(places, speed, habits.stick)
                } else {
                    let water = drawn.as_ref().map_or(0.0, |(_, ml)| *ml);
                    still(self.reservoir, self.volume_ml, places, speed, habits.stick, step, water)
                }
            };
            let (fresh, stale) =
                (move_on(&mut stock.fresh, habits.fresh_mm_s), move_on(&mut stock.stale, habits.stale_mm_s));
            if let Some((food, _)) = &mut drawn {
                food[class].fresh += fresh;
                food[class].stale += stale;
                food[class].age = stock.age;
            }
        }
    }

    /// Without air, what has slid onto the intake leaves with the first water.
    fn draw_slug(&mut self, food: &mut [Portion]) {
        for (stock, portion) in self.stocks.iter_mut().zip(food) {
            portion.fresh += std::mem::take(&mut stock.fresh.resting);
            portion.stale += std::mem::take(&mut stock.stale.resting);
            portion.age = stock.age;
        }
    }
}

/// Carries one kind forward in still water, and draws `water_ml` at the intake; gives back what is drawn.
fn still(
    reservoir: &Reservoir,
    volume_ml: f64,
    places: &mut Places,
    speed_mm_s: f64,
    stick: f64,
    step: &Step,
    water_ml: f64,
) -> f64 {
    if places.suspended <= 0.0 {
        return 0.0;
    }
    let shape = &reservoir.shape;
    let surface = shape.height_mm(volume_ml);
    let top = (surface - places.clear_mm).max(0.0);
    let lower = (top - speed_mm_s * S_PER_H * step.hours).max(0.0);
    let (cloud_ml, left_ml) = (shape.volume_ml(top), shape.volume_ml(lower));
    let landed = places.suspended * if cloud_ml > 0.0 { 1.0 - left_ml / cloud_ml } else { 1.0 };
    places.suspended -= landed;
    let parts = shape.floor_parts(lower.max(1e-3));
    let floor: f64 = parts.iter().map(|part| part.area_mm2).sum();
    let sliding = parts.iter().map(|part| part.area_mm2 * slides(part.slope_deg)).sum::<f64>() / floor * (1.0 - stick);
    places.resting += landed * sliding;
    places.stuck += landed * (1.0 - sliding);
    // The pump takes water from around its intake: cloud while the cloud stands above it, clear water afterwards.
    let cloudy = if lower > reservoir.intake_mm { water_ml.min(left_ml) } else { 0.0 };
    let drawn = if left_ml > 0.0 { places.suspended * (cloudy / left_ml) } else { 0.0 };
    places.suspended -= drawn;
    let new_top = shape.height_mm((left_ml - cloudy).max(0.0));
    places.clear_mm = (shape.height_mm(volume_ml - water_ml) - new_top).max(0.0);
    drawn
}
