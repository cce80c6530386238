//! The reservoir's equations written down a second time, for the tests to compare with: geometry, the air's current, the
//! dead share of the floor, and the balance of what is suspended, resting and stuck. SI units throughout.
//!
//! Shares no code with the model but the properties of water, which are checked elsewhere.

use frytub_sim::numbers::ReservoirNumbers;
use frytub_sim::physics::water::{density_kg_m3, viscosity_pa_s};
use frytub_sim::study::{Shape, Stone};
use std::f64::consts::PI;

/// A reservoir of these walls, with its stone; lengths in m, slopes in radians.
#[derive(Debug, Clone)]
pub struct Walls {
    shape: Kind,
    at_one_end: bool,
    place: ReservoirNumbers<f64>,
}

#[derive(Debug, Clone)]
enum Kind {
    Straight { area: f64, length: f64, width: f64, round: bool, slopes: Vec<(f64, f64)> },
    Cone { radius: f64, slope_deg: f64 },
}

impl Walls {
    pub fn new(shape: &Shape, stone: Stone, place: &ReservoirNumbers<f64>) -> Self {
        let shape = match shape {
            Shape::Box { length_mm, width_mm } => {
                let (length, width) = (length_mm / 1000.0, width_mm / 1000.0);
                Kind::Straight { area: length * width, length, width, round: false, slopes: vec![(0.0, 1.0)] }
            }
            Shape::Cylinder { diameter_mm } => {
                let d = diameter_mm / 1000.0;
                Kind::Straight { area: PI * d * d / 4.0, length: d, width: d, round: true, slopes: vec![(0.0, 1.0)] }
            }
            Shape::Own { floor } => {
                let area = floor.iter().map(|part| part.area_mm2 * 1e-6).sum::<f64>();
                let mut slopes: Vec<_> =
                    floor.iter().map(|part| (part.slope_deg, part.area_mm2 * 1e-6 / area)).collect();
                slopes.sort_by(|a, b| a.0.total_cmp(&b.0));
                Kind::Straight { area, length: area.sqrt(), width: area.sqrt(), round: false, slopes }
            }
            Shape::Cone { diameter_mm, slope_deg } => {
                Kind::Cone { radius: diameter_mm / 2000.0, slope_deg: *slope_deg }
            }
        };
        Self { shape, at_one_end: stone == Stone::OneEnd, place: place.clone() }
    }

    /// Height of so much water and area of its surface.
    pub fn height_and_area(&self, volume: f64) -> (f64, f64) {
        match &self.shape {
            Kind::Straight { area, .. } => (volume / area, *area),
            Kind::Cone { radius, slope_deg } => {
                // Up to the edge of the cone V = π h³ / (3 tan² slope).
                let steep = slope_deg.to_radians().tan();
                let edge = radius * steep;
                let height = (3.0 * volume * steep * steep / PI).cbrt();
                if height <= edge {
                    (height, PI * (height / steep).powi(2))
                } else {
                    let full = PI * radius * radius;
                    (edge + (volume - full * edge / 3.0) / full, full)
                }
            }
        }
    }

    /// Water that the stone lifts, m³/s: the plume of Morton, Taylor & Turner 1956 with slipping bubbles.
    fn lifted(&self, height: f64) -> f64 {
        let (a, gas) = (0.1_f64, self.place.air_ml_min * 1e-6 / 60.0);
        let z = height + 5.0 * self.place.stone_mm / 1000.0 / (6.0 * a);
        // Centre speed of the plume for a buoyancy; the slip is solved by halving the interval.
        let speed = |b: f64| 5.0 / (6.0 * a) * (9.0 * a / (10.0 * PI) * b / z).cbrt();
        let whole = 9.806_65 * gas;
        let (mut low, mut high) = (0.0, whole);
        for _ in 0..55 {
            let b = 0.5 * (low + high);
            if b < whole * speed(b) / (speed(b) + 0.25) { low = b } else { high = b }
        }
        1.2 * a * (0.9 * a * low).cbrt() * PI.powf(2.0 / 3.0) * z.powf(5.0 / 3.0)
    }

    /// Share of the floor on which landed food stays.
    pub fn dead(&self, volume: f64) -> f64 {
        let (height, area) = self.height_and_area(volume);
        let rho = density_kg_m3(self.place.temperature_c);
        let nu = viscosity_pa_s(self.place.temperature_c) / rho;
        let q = if self.place.air_ml_min > 0.0 { self.lifted(height) } else { 0.0 };
        let needed = |length: f64| (self.place.lift_pa / (0.332 * rho) * (0.5 * length / nu).sqrt()).powf(2.0 / 3.0);
        let slides = |deg: f64| {
            let x = ((deg - 40.0) / 18.0).clamp(0.0, 1.0);
            3.0 * x * x - 2.0 * x * x * x
        };
        let disc = |length: f64| {
            let radius = (area / PI).sqrt();
            let reach = q / (2.0 * PI * 0.36 * radius * needed(length));
            PI * reach.min(radius).powi(2)
        };
        let dead = match &self.shape {
            Kind::Cone { radius, slope_deg } => (1.0 - disc(2.0 * radius) / area) * (1.0 - slides(*slope_deg)),
            Kind::Straight { length, width, round, slopes, .. } => {
                let swept = if self.at_one_end && !round {
                    let near = q / (PI * height / 2.0 * needed(*length));
                    let far = q / (width * height / 2.0);
                    let along = (4.0 * height).min(*length) * width / (1.0 + (needed(*length) / far).powi(6));
                    (0.5 * PI * near * near).max(along)
                } else {
                    disc(*length)
                };
                let mut left = (swept / area).min(1.0);
                let mut dead = 0.0;
                for (deg, share) in slopes {
                    let swept = left.min(*share);
                    left -= swept;
                    dead += (share - swept) * (1.0 - slides(*deg));
                }
                dead
            }
        };
        dead.max(self.place.dead_floor)
    }
}

/// Suspended, resting, stuck and drawn, as shares of the food poured in.
pub type Shares = [f64; 4];

/// Runs the pump at a steady flow (m³/s; 0 to wait) for some seconds, by Runge and Kutta's fourth order.
///
/// `dM = −(Q/V + k) M + D/τ`, `dD = (1 − λ) k M − D/τ`, `dX = λ k M`, drawn `Q/V M`; `k = w A / V`.
pub fn run(walls: &Walls, shares: &mut Shares, volume: &mut f64, food: (f64, f64), flow: f64, seconds: f64, step: f64) {
    let (speed, stick) = food;
    let start = *volume;
    // Rates per second at a moment: drawn, landing to come back, landing for good.
    let rates = |t: f64| {
        let v = start - flow * t;
        let k = speed * walls.height_and_area(v).1 / v;
        let dead = walls.dead(v);
        let for_good = dead + (1.0 - dead) * stick;
        [flow / v, (1.0 - for_good) * k, for_good * k]
    };
    let slope = |[out, lands, stays]: [f64; 3], y: &Shares| -> Shares {
        let back = y[1] / walls.place.slide_s;
        [back - (out + lands + stays) * y[0], lands * y[0] - back, stays * y[0], out * y[0]]
    };
    let along = |y: &Shares, d: &Shares, h: f64| -> Shares { std::array::from_fn(|i| y[i] + h * d[i]) };
    let steps = (seconds / step).ceil();
    let h = seconds / steps;
    let mut now = rates(0.0);
    for n in 0..steps as u64 {
        let t = n as f64 * h;
        let (half, then) = if flow > 0.0 { (rates(t + h / 2.0), rates(t + h)) } else { (now, now) };
        let a = slope(now, shares);
        let b = slope(half, &along(shares, &a, h / 2.0));
        let c = slope(half, &along(shares, &b, h / 2.0));
        let d = slope(then, &along(shares, &c, h));
        for i in 0..4 {
            shares[i] += h / 6.0 * (a[i] + 2.0 * b[i] + 2.0 * c[i] + d[i]);
        }
        now = then;
    }
    *volume = start - flow * seconds;
}
