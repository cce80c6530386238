//! How fast particles sink.
//!
//! - Against Ferguson & Church 2004 (equation 4, C1 = 18, C2 = 1.0) written down a second time, with the water of
//!   iapws 1.5.5. Tolerance 6 parts in 100 000: the model's own water has a viscosity that differs by up to 5 parts,
//!   and a tiny particle's speed goes with one over the viscosity; the density adds less than half a part.
//! - Against Brown & Lawler 2003, a drag curve fitted to balls that were dropped and timed, solved with scipy 1.17.1.
//!   Tolerance 7 % from 20 to 500 µm: the price of a closed form with C2 = 1.0, which is meant for natural grains.
//! - Against the drag curves of fluids 1.3.1. Tolerance 8 % from 20 to 500 µm: the 7 % of timed balls, and one more by
//!   which such curves differ among themselves. Missed from 150 µm on: by 9 %.

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

/// By how much our speeds of particles from 20 µm on lie apart from those of a column: width, share.
fn apart(column: &str) -> Vec<(f64, f64)> {
    let wide = speeds(column).into_iter().filter(|[um, ..]| *um >= 20.0);
    wide.map(|[um, ours, theirs]| (um, (ours / theirs - 1.0).abs())).collect()
}

fn largest(apart: &[(f64, f64)]) -> f64 {
    apart.iter().map(|(_, off)| *off).fold(0.0, f64::max)
}

#[test]
fn speed_is_within_seven_in_a_hundred_of_timed_balls() {
    let worst = largest(&apart("brown_lawler_m_s"));
    eprintln!("largest difference from Brown & Lawler: {:.1} %", 100.0 * worst);
    assert!(worst < 0.07, "{worst}");
}

#[test]
fn speed_is_within_eight_in_a_hundred_of_the_drag_curves_of_a_library() {
    let apart = apart("fluids_m_s");
    for (um, off) in apart.iter().filter(|(um, _)| *um < 150.0) {
        assert!(*off < 0.08, "{um} µm: {off}");
    }
    // Above, the demand was missed: that must be told, with the figure that comes out.
    let worst = format!("{:.1} %", 100.0 * largest(&apart));
    let check = include_str!("checks/sinking-drag-curves.toml");
    let told = check.split_once("\nmissed = ").expect("a miss that is told").1;
    assert!(told.contains(&worst), "the largest difference is {worst}");
}
