//! The level before a clogging sponge, by hand and against a second integration.
//!
//! - Steady rise `h = Q R₀ exp(m/mₑ)`: Darcy's law through clean foam of 30 pores an inch, 20 cm² × 2 cm, at 30 mL/min
//!   gives 0.024 mm, a hundred and a thousand times that when clogged so far. Tolerance 2 %: the model's resistance was
//!   worked out from a figure of two digits. Permeability 0.025 of the pore size squared, 1.8e-8 m² (an order of magnitude, estimate).
//! - A blocked sponge: rise = volume ÷ area, exactly.
//! - When the level reaches the tube's end and the rim: against `A dh/dt = Q − h/R` integrated in steps of a ten-thousandth
//!   of an hour by Runge and Kutta, to 1e-6 h and, over the rim, 1e-6 of the water.

use frytub_sim::numbers::OutletNumbers;
use frytub_sim::outlet::OutletState;
use frytub_sim::physics::water::{density_kg_m3, viscosity_pa_s};

fn numbers() -> OutletNumbers<f64> {
    OutletNumbers {
        face_cm2: 20.0,
        resistance: 1.33e-5,
        clog_g_m2: 15.0,
        catch_share: 1.0,
        slime_per_day: 0.0,
        rinse_leaves: 0.2,
        rim_mm: 60.0,
        rim_share: 0.2,
        float_mm: 8.0,
    }
}

/// An outlet whose sponge resists so many times as much as a clean one; `m_e` is 15 g/m² of 20 cm², 30 mg.
fn clogged(times: f64, area_mm2: f64) -> OutletState {
    let mut outlet = OutletState::new(&numbers(), area_mm2);
    outlet.catches(30.0 * times.ln(), 1e-9);
    outlet
}

#[test]
fn a_clean_sponge_shows_nothing_and_a_clogged_one_centimetres() {
    let pore_m = 0.0254 / 30.0;
    let permeability = 0.025 * pore_m * pore_m;
    let flow_m3_s = 30e-6 / 60.0;
    let weight = density_kg_m3(27.0) * 9.806_65;
    let darcy_mm = 1000.0 * viscosity_pa_s(27.0) * 0.02 * flow_m3_s / (permeability * weight * 20e-4);
    assert!((darcy_mm / 0.024 - 1.0).abs() < 0.02, "{darcy_mm} mm");
    for times in [1.0, 100.0, 1000.0] {
        let mut outlet = clogged(times, 40_000.0);
        outlet.pass(1800.0, 1000.0, 99.0);
        let expected = darcy_mm * times;
        assert!((outlet.level_mm / expected - 1.0).abs() < 0.02, "{} against {expected} mm", outlet.level_mm);
        // The steady level does not depend on the tub.
        let mut small = clogged(times, 12_000.0);
        small.pass(1800.0, 1000.0, 99.0);
        assert!((small.level_mm / outlet.level_mm - 1.0).abs() < 1e-9);
    }
}

#[test]
fn half_the_face_rises_twice_and_clogs_with_half() {
    let half = OutletNumbers { face_cm2: 10.0, ..numbers() };
    let mut outlet = OutletState::new(&half, 40_000.0);
    outlet.pass(1800.0, 1000.0, 99.0);
    let clean = outlet.level_mm;
    assert!((clean / (2.0 * 1800.0 * 1.33e-5) - 1.0).abs() < 1e-9, "{clean}");
    outlet.catches(15.0, 1e-9);
    outlet.pass(1800.0, 1000.0, 99.0);
    assert!((outlet.level_mm / clean - std::f64::consts::E).abs() < 1e-6, "{}", outlet.level_mm);
}

#[test]
fn behind_a_blocked_sponge_the_level_rises_by_volume_over_area() {
    // 0.8 L a night: 20 mm in a tub of 400 cm², 67 mm (over the rim) in one of 120 cm².
    for (area_mm2, over_ml) in [(40_000.0, 0.0), (12_000.0, 800.0 - 60.0 * 12.0)] {
        let mut outlet = clogged(1e12, area_mm2);
        let passed = outlet.pass(800.0 / 12.0, 12.0, 99.0);
        let expected = (800.0 / area_mm2 * 1000.0_f64).min(60.0);
        assert!((outlet.level_mm - expected).abs() < 1e-5, "{} against {expected} mm", outlet.level_mm);
        assert!((passed.rim_ml - over_ml).abs() < 1e-3, "{passed:?}");
    }
}

/// Level, hours at or above a height, water over the rim: integrated.
fn integrated(resistance: f64, area_mm2: f64, start: f64, inflow: f64, hours: f64, height: f64, rim: f64) -> [f64; 3] {
    let ml_per_mm = area_mm2 / 1000.0;
    let slope = |h: f64| (inflow - h / resistance) / ml_per_mm;
    let step = 1e-4;
    let (mut h, mut above, mut over) = (start, 0.0, 0.0);
    for _ in 0..(hours / step).round() as u64 {
        let a = slope(h);
        let b = slope(h + 0.5 * step * a);
        let c = slope(h + 0.5 * step * b);
        let d = slope(h + step * c);
        let mut then = h + step / 6.0 * (a + 2.0 * b + 2.0 * c + d);
        if then > rim {
            // From where it meets the rim, all that neither leaves through the sponge nor finds room runs over.
            let free = ((then - rim) / (then - h)).min(1.0);
            over += free * step * (inflow - rim / resistance);
            then = rim;
        }
        above += match (h >= height, then >= height) {
            (true, true) => step,
            (false, false) => 0.0,
            (false, true) => step * (then - height) / (then - h),
            (true, false) => step * (h - height) / (h - then),
        };
        h = then;
    }
    [h, above, over]
}

#[test]
fn the_tubes_end_goes_under_and_comes_out_when_the_integration_says() {
    // Clogging, area, level at the start, inflow, hours, height of the tube's end.
    for (times, area_mm2, start, inflow, hours, height) in [
        (3e4, 12_000.0, 0.0, 150.0, 12.0, 20.0),
        (1e4, 20_000.0, 30.0, 40.0, 12.0, 20.0),
        (3e5, 12_000.0, 5.0, 200.0, 8.0, 40.0),
        (1e3, 12_000.0, 55.0, 0.0, 2.0, 20.0),
        (1e9, 12_000.0, 0.0, 100.0, 10.0, 33.0),
    ] {
        let mut outlet = clogged(times, area_mm2);
        let resistance = 1.33e-5 * times;
        outlet.level_mm = start;
        let passed = outlet.pass(inflow, hours, height);
        let [level, above, over] = integrated(resistance, area_mm2, start, inflow, hours, height, 60.0);
        eprintln!("clogged {times:e}: level {level:.3} mm, under water {above:.4} h, over the rim {over:.2} mL");
        assert!((outlet.level_mm - level).abs() < 1e-6, "{} against {level} mm", outlet.level_mm);
        assert!((passed.above_h - above).abs() < 1e-6, "{} against {above} h", passed.above_h);
        assert!((passed.rim_ml - over).abs() < 1e-6 * (1.0 + inflow * hours), "{} against {over} mL", passed.rim_ml);
        let water = passed.ml() + (outlet.level_mm - start) * area_mm2 / 1000.0;
        assert!((water - inflow * hours).abs() < 1e-9 * 5000.0, "water balances: {water}");
        assert!(above > 0.0 && above < hours, "a case that says something");
    }
}
