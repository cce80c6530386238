//! Water in a small tube: what it holds, what it takes to push it through, what falls through it by itself.

use super::sinking::GRAVITY;
use super::water::{density_kg_m3, viscosity_pa_s};

/// Loss at entry and bends of an open siphon, in velocity heads: 0.5 at the entry and 1.0 for its bends (from memory,
/// handbook values).
const SIPHON_LOSSES: f64 = 1.5;
/// Bond number above which the water in a tube that is closed at its upper end runs out by a rising bubble
/// (Bretherton 1961, J. Fluid Mech. 10:166–188).
const BUBBLE_RISES: f64 = 0.842;
/// Surface tension of pure water at 27 °C, N/m (IAPWS R1-76, from the reference library iapws 1.5.5).
const SURFACE_TENSION_N_M: f64 = 0.071_66;

/// Water in a tube, mL, for a bore in mm and a length in m: `π d² L / 4`.
#[must_use]
pub fn hold_up_ml(bore_mm: f64, length_m: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * bore_mm * bore_mm * length_m
}

/// Head that laminar flow loses in a tube, mm of water (Hagen and Poiseuille: `Δp = 128 µ L Q / (π d⁴)`).
#[must_use]
pub fn laminar_head_mm(bore_mm: f64, length_m: f64, flow_ml_min: f64, celsius: f64) -> f64 {
    let (d, q) = (bore_mm * 1e-3, flow_ml_min * 1e-6 / 60.0);
    let pressure = 128.0 * viscosity_pa_s(celsius) * length_m * q / (std::f64::consts::PI * d.powi(4));
    1000.0 * pressure / (density_kg_m3(celsius) * GRAVITY)
}

/// Flow from which on a tube is swept clean, mL/min: that at which the stress on its wall reaches `lift_pa`.
///
/// Laminar flow: `τ = 8 µ v / d`, hence `Q = τ π d³ / (32 µ)`.
#[must_use]
pub fn sweeping_flow_ml_min(bore_mm: f64, lift_pa: f64, celsius: f64) -> f64 {
    let d = bore_mm * 1e-3;
    lift_pa * std::f64::consts::PI * d.powi(3) / (32.0 * viscosity_pa_s(celsius)) * 1e6 * 60.0
}

/// Friction factor (Darcy) of a smooth tube over all kinds of flow: Churchill 1977, Chem. Eng. 84(24):91–92.
fn friction_factor(reynolds: f64) -> f64 {
    let a = (2.457 * (1.0 / (7.0 / reynolds).powf(0.9)).ln()).powi(16);
    let b = (37_530.0 / reynolds).powi(16);
    8.0 * ((8.0 / reynolds).powi(12) + (a + b).powf(-1.5)).powf(1.0 / 12.0)
}

/// Flow of an open siphon through a smooth tube, mL/min: `g h = (f L/d + K + 1) v² / 2`, solved by bisection.
///
/// What runs when the tube slips off the pump's rollers while the reservoir stands `head_mm` above the tub; 0 for a
/// reservoir that does not.
#[must_use]
pub fn siphon_flow_ml_min(bore_mm: f64, length_m: f64, head_mm: f64, celsius: f64) -> f64 {
    if head_mm <= 0.0 {
        return 0.0;
    }
    let (d, head) = (bore_mm * 1e-3, head_mm * 1e-3);
    let nu = viscosity_pa_s(celsius) / density_kg_m3(celsius);
    let needed = |v: f64| (friction_factor(v * d / nu) * length_m / d + SIPHON_LOSSES + 1.0) * v * v / (2.0 * GRAVITY);
    let (mut low, mut high) = (0.0, (2.0 * GRAVITY * head).sqrt());
    for _ in 0..60 {
        let v = 0.5 * (low + high);
        if needed(v) < head { low = v } else { high = v }
    }
    std::f64::consts::FRAC_PI_4 * d * d * low * 1e6 * 60.0
}

/// True if a tube that is closed by the pump holds its water when its end hangs in air: `ρ g r² / σ < 0.842`.
#[must_use]
pub fn holds_its_water(bore_mm: f64, celsius: f64) -> bool {
    let r = bore_mm * 0.5e-3;
    density_kg_m3(celsius) * GRAVITY * r * r / SURFACE_TENSION_N_M < BUBBLE_RISES
}
