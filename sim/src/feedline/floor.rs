//! Where on the floor of a reservoir landed food stays: the reach of the air's currents, and steepness.

use crate::numbers::ReservoirNumbers;
use crate::physics::plume::lifted_ml_s;
use crate::physics::water::{density_kg_m3, viscosity_pa_s};
use crate::study::{Reservoir, Shape, Stone};

/// Slopes between which food begins to slide and slides always, degrees. Sludge hoppers are built at 59.5° (Great
/// Lakes–Upper Mississippi board, in WEF Manual of Practice 8), Imhoff tanks at 56°; below 40° soft food rests
/// (estimate).
const SLIDING_DEG: (f64, f64) = (40.0, 58.0);
/// The current of a stone at one end reaches so many water heights (estimate; 4 to 7 for aerated channels, from memory).
const REACH_HEIGHTS: f64 = 4.0;
/// How sharply the far current stops lifting as it falls below the speed needed (estimate).
const SHARPNESS: i32 = 6;
/// Share of a round floor's radius that the current along it is thick (estimate).
const ROUND_CURRENT: f64 = 0.36;

/// Chance that food landing on a slope slides down it.
#[must_use]
pub fn slides(slope_deg: f64) -> f64 {
    let x = ((slope_deg - SLIDING_DEG.0) / (SLIDING_DEG.1 - SLIDING_DEG.0)).clamp(0.0, 1.0);
    x * x * (3.0 - 2.0 * x)
}

/// Speed along the floor that lifts landed food, m/s: that at which the wall stress of a laminar layer of age
/// `run_m` reaches `lift_pa` (Blasius: `τ = 0.332 ρ U² / √(U x / ν)`).
fn lifting_speed_m_s(lift_pa: f64, run_m: f64, celsius: f64) -> f64 {
    let density = density_kg_m3(celsius);
    let nu = viscosity_pa_s(celsius) / density;
    (lift_pa / (0.332 * density) * (run_m / nu).sqrt()).powf(2.0 / 3.0)
}

/// Share of the floor, seen from above, on which food that lands stays for good, 0 to 1.
///
/// With air, the stone's current sweeps part of the floor; elsewhere food stays unless it slides off. Without air (or a
/// stone) only slopes help. Never below `dead_floor`.
///
/// Box with the stone at one end: a half disc around the stone, or the current along the floor as far as it lifts;
/// otherwise a disc around the middle. A reduced model (estimates marked above), not checked against measurements.
#[must_use]
pub fn dead_share(reservoir: &Reservoir, numbers: &ReservoirNumbers<f64>, height_mm: f64) -> f64 {
    let parts = reservoir.shape.floor_parts(height_mm);
    let floor_mm2: f64 = parts.iter().map(|part| part.area_mm2).sum();
    if floor_mm2 <= 0.0 {
        return numbers.dead_floor;
    }
    let mut swept_mm2 = swept_mm2(reservoir, numbers, height_mm).min(floor_mm2);
    let mut dead_mm2 = 0.0;
    // The current is strongest where the floor is lowest, and that is where it is flattest.
    for part in parts {
        let swept = swept_mm2.min(part.area_mm2);
        swept_mm2 -= swept;
        dead_mm2 += (part.area_mm2 - swept) * (1.0 - slides(part.slope_deg));
    }
    (dead_mm2 / floor_mm2).max(numbers.dead_floor).min(1.0)
}

/// Area that the current of the stone sweeps clean, mm².
fn swept_mm2(reservoir: &Reservoir, numbers: &ReservoirNumbers<f64>, height_mm: f64) -> f64 {
    let lifted = lifted_ml_s(numbers.air_ml_min, height_mm, numbers.stone_mm) * 1e-6;
    if lifted <= 0.0 {
        return 0.0;
    }
    let (length_mm, width_mm) = reservoir.shape.length_and_width_mm();
    let (length, width, height) = (length_mm * 1e-3, width_mm * 1e-3, height_mm * 1e-3);
    let needed = lifting_speed_m_s(numbers.lift_pa, length / 2.0, numbers.temperature_c);
    let pi = std::f64::consts::PI;
    let swept_m2 = match (&reservoir.shape, reservoir.stone) {
        (Shape::Box { .. } | Shape::Own { .. }, Stone::OneEnd) => {
            let thick = height / 2.0;
            let near = lifted / (pi * thick * needed);
            let far = lifted / (width * thick);
            let along = (REACH_HEIGHTS * height).min(length) * width / (1.0 + (needed / far).powi(SHARPNESS));
            (0.5 * pi * near * near).max(along)
        }
        _ => {
            let radius = (reservoir.shape.area_mm2(height_mm) / pi).sqrt() * 1e-3;
            let near = (lifted / (2.0 * pi * ROUND_CURRENT * radius * needed)).min(radius);
            pi * near * near
        }
    };
    swept_m2 * 1e6
}
