//! How fast a particle sinks in still water.

use super::water::{density_kg_m3, viscosity_pa_s};

/// Standard gravity, m/s².
pub const GRAVITY: f64 = 9.806_65;

/// Terminal speed of a particle, mm/s; 0 for one that floats.
///
/// Ferguson & Church 2004, J. Sed. Res. 74:933–937, equation 4, with C1 = 18 × `shape_factor` (1 for a smooth ball,
/// up to 1.33 for very angular grains) and C2 = 1.0: `w = R g d² / (C1 ν + √(0.75 C2 R g d³))`, R the excess density
/// against water. From 20 to 500 µm within 7 % of Brown & Lawler 2003.
///
/// `width_um` is the diameter in µm, `wet_kg_m3` the density of the wet particle, `celsius` the water temperature.
#[must_use]
pub fn terminal_speed_mm_s(width_um: f64, wet_kg_m3: f64, shape_factor: f64, celsius: f64) -> f64 {
    let water = density_kg_m3(celsius);
    let excess = wet_kg_m3 / water - 1.0;
    if excess <= 0.0 {
        return 0.0;
    }
    let d = width_um * 1e-6;
    let nu = viscosity_pa_s(celsius) / water;
    let rgd2 = excess * GRAVITY * d * d;
    1000.0 * rgd2 / (18.0 * shape_factor * nu + (0.75 * rgd2 * d).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn follows_stokes_when_tiny_and_slows_when_large() {
        let water = density_kg_m3(27.0);
        let stokes = |um: f64| GRAVITY * (um * 1e-6).powi(2) * 50.0 / (18.0 * viscosity_pa_s(27.0)) * 1000.0;
        let at = |um: f64| terminal_speed_mm_s(um, water + 50.0, 1.0, 27.0);
        assert!((at(10.0) / stokes(10.0) - 1.0).abs() < 0.003);
        assert!(at(300.0) < 0.9 * stokes(300.0));
        assert_eq!(terminal_speed_mm_s(50.0, 990.0, 1.0, 27.0), 0.0);
    }
}
