//! A reservoir against what can be worked out on paper.
//!
//! With the share λ of landings that stay the same throughout, everything else coming back at once, and a plan area A
//! that does not change with the water, a pump that draws Q from V₀ down to V_T delivers
//! `F = [1 − (V_T/V₀)^(1+β)] / (1 + β)`, `β = λ w A / Q` (from `dM/dt = −(Q + λ w A) M / V`, `dV/dt = −Q`).
//! For V_T → 0 it is Hazen's mixed basin, `1/(1 + β)` (Hazen 1904, Trans. ASCE 53:45–88). Without a pump and with a floor
//! that keeps all, `exp(−w t/H)` stirred and `1 − w t/H` still.
//!
//! Tolerance of F: 1e-6. Landed food comes back within 0.1 ms here; what is under way meanwhile is `w A τ / V`, below 1e-8
//! of the food.

use frytub_sim::feedline::vessel::Vessel;
use frytub_sim::numbers::ReservoirNumbers;
use frytub_sim::study::Stone;

use super::{ITEMS, cone, cylinder, drawn, filled, lasting, numbers, reservoir};

const AREA_MM2: f64 = 2500.0 * std::f64::consts::PI;
const FULL_ML: f64 = 1000.0;
const HOURS: f64 = 12.0;

/// A cylinder of 10 cm whose current lifts whatever lands outside the dead share at once.
fn constant(dead: f64) -> ReservoirNumbers<f64> {
    ReservoirNumbers { dead_floor: dead, slide_s: 1e-4, lift_pa: 1e-9, ..numbers() }
}

/// Delivered on paper; speeds in mm/s, flow in mL/h.
fn on_paper(lambda: f64, speed_mm_s: f64, flow_ml_h: f64, left: f64) -> f64 {
    let beta = lambda * speed_mm_s * 3600.0 * AREA_MM2 / (flow_ml_h * 1000.0);
    (1.0 - left.powf(1.0 + beta)) / (1.0 + beta)
}

fn suspended(vessel: &Vessel<'_>) -> f64 {
    vessel.stocks[0].fresh.suspended / ITEMS
}

#[test]
fn a_run_delivers_what_the_closed_form_says() {
    for (dead, stick, speed) in [
        (0.0, 1e-6, 0.3),
        (0.0, 1e-3, 0.2),
        (0.01, 1e-6, 0.05),
        (0.05, 3e-3, 0.2),
        (0.3, 1e-2, 0.5),
        (1.0, 1e-3, 0.01),
        (1.0, 0.0, 1.0),
    ] {
        let lambda = dead + (1.0 - dead) * stick;
        for left in [0.9, 0.2, 0.02] {
            let ml = FULL_ML * (1.0 - left);
            let expected = on_paper(lambda, speed, ml / HOURS, left);
            let place = constant(dead);
            let reservoir = reservoir(cylinder(), Stone::Middle, &place);
            let mut vessel = filled(&reservoir, &place, &[lasting(speed, stick)], FULL_ML);
            let one = drawn(&mut vessel, ml, HOURS);
            assert!((one - expected).abs() < 1e-6, "λ {lambda}, {speed} mm/s, to {left}: {one} against {expected}");
            let mut vessel = filled(&reservoir, &place, &[lasting(speed, stick)], FULL_ML);
            let mut many = 0.0;
            for _ in 0..500 {
                many += drawn(&mut vessel, ml / 500.0, HOURS / 500.0);
                vessel.wait(0.0);
            }
            assert!((many - expected).abs() < 1e-6, "λ {lambda}, {speed} mm/s, in 500 runs: {many} against {expected}");
        }
    }
}

#[test]
fn food_that_does_not_sink_is_delivered_like_the_water() {
    let place = ReservoirNumbers { dry_ml: 40.0, ..constant(0.05) };
    let mut reservoir = reservoir(cylinder(), Stone::Middle, &place);
    for (intake_mm, unreached) in [(0.0, 40.0), (10.0, AREA_MM2 * 10.0 / 1000.0)] {
        reservoir.intake_mm = intake_mm;
        let mut vessel = filled(&reservoir, &place, &[lasting(0.0, 0.5)], FULL_ML);
        let draught = vessel.draw(2.0 * FULL_ML, 2.0 * HOURS);
        assert!((draught.water_ml - (FULL_ML - unreached)).abs() < 1e-9, "{} mL", draught.water_ml);
        let share = draught.food[0].fresh / ITEMS;
        assert!((share - (1.0 - unreached / FULL_ML)).abs() < 1e-12, "{share}");
    }
}

#[test]
fn emptied_to_the_last_drop_it_is_hazens_basin() {
    for (speed, dead) in [(0.02, 0.1), (0.2, 0.1), (0.2, 1.0)] {
        let place = constant(dead);
        let reservoir = reservoir(cylinder(), Stone::Middle, &place);
        let mut vessel = filled(&reservoir, &place, &[lasting(speed, 0.0)], FULL_ML);
        let draught = vessel.draw(FULL_ML, HOURS);
        assert!(draught.water_ml > 0.999 * FULL_ML, "{} mL", draught.water_ml);
        let beta = dead * speed * 3600.0 * AREA_MM2 * HOURS / (FULL_ML * 1000.0);
        let share = draught.food[0].items() / ITEMS;
        // A drop of 0.05 mL stays behind, one part in 20 000.
        assert!((share - 1.0 / (1.0 + beta)).abs() < 5.001e-5, "β {beta}: {share}");
    }
}

#[test]
fn stirred_over_a_floor_that_keeps_all_it_clears_exponentially() {
    let place = constant(1.0);
    let reservoir = reservoir(cylinder(), Stone::Middle, &place);
    let height_mm = FULL_ML * 1000.0 / AREA_MM2;
    for minutes in [1.0, 7.0, 40.0, 300.0_f64] {
        let mut vessel = filled(&reservoir, &place, &[lasting(0.05, 0.0)], FULL_ML);
        vessel.wait(minutes / 60.0);
        let expected = (-0.05 * 60.0 * minutes / height_mm).exp();
        assert!((suspended(&vessel) - expected).abs() < 1e-12, "{minutes} min: {}", suspended(&vessel));
    }
}

#[test]
fn without_air_it_clears_from_the_top_at_the_speed_of_the_food() {
    let place = ReservoirNumbers { air_ml_min: 0.0, ..constant(0.0) };
    let reservoir = reservoir(cylinder(), Stone::Middle, &place);
    let height_mm = FULL_ML * 1000.0 / AREA_MM2;
    for minutes in [1.0, 7.0, 30.0, 42.0_f64] {
        let mut vessel = filled(&reservoir, &place, &[lasting(0.05, 0.0)], FULL_ML);
        for _ in 0..3 {
            vessel.wait(minutes / 60.0 / 3.0);
        }
        let expected = (1.0 - 0.05 * 60.0 * minutes / height_mm).max(0.0);
        assert!((suspended(&vessel) - expected).abs() < 1e-9, "{minutes} min: {}", suspended(&vessel));
        let stuck = vessel.stocks[0].fresh.stuck / ITEMS;
        assert!((stuck - (1.0 - expected)).abs() < 1e-9, "a flat floor keeps what lands: {stuck}");
    }
}

#[test]
fn without_air_a_steep_cone_gives_what_has_settled_as_one_slug() {
    let place = ReservoirNumbers { air_ml_min: 0.0, ..numbers() };
    let (stick, ml) = (0.02, 5.0);
    let mut reservoir = reservoir(cone(60.0), Stone::Middle, &place);
    for (intake_mm, share) in [(0.0, 1.0 - stick), (20.0, 0.0)] {
        reservoir.intake_mm = intake_mm;
        let mut vessel = filled(&reservoir, &place, &[lasting(0.2, stick)], 500.0);
        // 13 cm of water clear within eleven minutes.
        vessel.wait(0.5);
        let first = drawn(&mut vessel, ml, 0.05);
        assert!((first - share).abs() < 1e-9, "intake at {intake_mm} mm: {first}");
        assert_eq!(drawn(&mut vessel, ml, 0.05), 0.0, "then clear water");
    }
}

#[test]
fn a_cloud_sinking_in_a_cone_fills_the_volume_below_its_top() {
    // Below the edge of a cone V = c h³: after the top has sunk from H to H − w t, ((H − w t)/H)³ is left in suspension.
    let place = ReservoirNumbers { air_ml_min: 0.0, ..numbers() };
    let reservoir = reservoir(cone(60.0), Stone::Middle, &place);
    let mut vessel = filled(&reservoir, &place, &[lasting(0.05, 0.0)], 150.0);
    let height_mm = (3.0 * 150_000.0 * 3.0 / std::f64::consts::PI).cbrt();
    for minutes in [5.0, 10.0, 15.0_f64] {
        vessel.wait(5.0 / 60.0);
        let expected = (1.0 - 0.05 * 60.0 * minutes / height_mm).powi(3);
        assert!((suspended(&vessel) - expected).abs() < 1e-9, "{minutes} min: {}", suspended(&vessel));
    }
}
