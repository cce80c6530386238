//! How fast particles sink.
//!
//! - Against Ferguson & Church 2004 (equation 4, C1 = 18, C2 = 1.0) written down a second time, with the water of
//!   iapws 1.5.5. Tolerance 6 parts in 100 000: the model's own water has a viscosity that differs by up to 5 parts,
//!   and a tiny particle's speed goes with one over the viscosity; the density adds less than half a part.
//! - Against Brown & Lawler 2003, a drag curve fitted to balls that were dropped and timed, solved with scipy 1.17.1.
//!   Tolerance 7 % from 20 to 500 µm: the price of a closed form with C2 = 1.0, which is meant for natural grains.

use frytub_sim::physics::sinking::terminal_speed_mm_s;
use frytub_sim::physics::water::density_kg_m3;

use super::Table;

/// The tabled speed of Ferguson & Church, m/s.
pub fn tabled_speed_m_s(celsius: f64, diameter_um: f64, excess_kg_m3: f64) -> f64 {
    let table = Table::read(include_str!("terminal_velocity.csv"));
    let rows = table.columns(["celsius", "diameter_um", "excess_kg_m3", "ferguson_church_m_s"]);
    let found = rows.into_iter().find(|[t, d, e, _]| [*t, *d, *e] == [celsius, diameter_um, excess_kg_m3]);
    found.expect("a row of the table")[3]
}

/// Width, our speed in m/s, and the table's speed of the named column.
fn speeds(column: &str) -> Vec<[f64; 3]> {
    let table = Table::read(include_str!("terminal_velocity.csv"));
    let rows = table.columns(["celsius", "diameter_um", "excess_kg_m3", column]);
    assert_eq!(rows.len(), 1080, "6 temperatures, 18 widths, 10 densities");
    rows.into_iter()
        .map(|[celsius, um, excess, speed]| {
            // The same excess weight in the model's own water.
            let ours = terminal_speed_mm_s(um, density_kg_m3(celsius) + excess, 1.0, celsius) / 1000.0;
            [um, ours, speed]
        })
        .collect()
}

#[test]
fn speed_is_ferguson_and_churchs_but_for_the_water() {
    for [um, ours, theirs] in speeds("ferguson_church_m_s") {
        assert!((ours / theirs - 1.0).abs() < 6e-5, "{um} µm: {ours} against {theirs}");
    }
}

#[test]
fn speed_is_within_seven_in_a_hundred_of_timed_balls() {
    let mut worst = 0.0_f64;
    for [um, ours, theirs] in speeds("brown_lawler_m_s").into_iter().filter(|[um, ..]| *um >= 20.0) {
        let off = ours / theirs - 1.0;
        worst = worst.max(off.abs());
        assert!(off.abs() < 0.07, "{um} µm: {ours} against {theirs}");
    }
    eprintln!("largest difference from Brown & Lawler: {:.1} %", 100.0 * worst);
}
