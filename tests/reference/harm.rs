//! Harm by ammonia: the reduced threshold model of survival, against its closed form under a constant exposure and an
//! integration by another library under pulses.

use frytub_sim::fry::tolerance::{Harm, Tolerance};
use frytub_sim::numbers::FishNumbers;
use frytub_sim::worlds;

use super::Table;
use crate::support::Setting;

/// A fish in which harm follows ammonia at a speed and kills above a threshold.
fn tolerance(speed_per_h: f64, threshold: f64) -> Tolerance {
    let fish = worlds::likely(&Setting::default().study()).fish;
    Tolerance::new(&FishNumbers { ammonia_speed_per_h: speed_per_h, ammonia_threshold: threshold, ..fish })
}

/// With `D(t) = C (1 − e^(−kt))` harm passes the threshold z at `t0 = −ln(1 − z/C)/k`; from there on the hazard is
/// `b [(C − z)(t − t0) − C (e^(−k t0) − e^(−k t))/k]`. Here without b.
fn harm_above(exposure: f64, k: f64, z: f64, t: f64) -> f64 {
    let from = if exposure > z { -(1.0 - z / exposure).ln() / k } else { f64::INFINITY };
    if t > from { (exposure - z) * (t - from) - exposure * ((-k * from).exp() - (-k * t).exp()) / k } else { 0.0 }
}

#[test]
fn under_a_constant_exposure_as_many_live_as_the_closed_form_says() {
    for (k, z) in [(0.03, 0.5), (0.1, 0.7), (0.3, 0.9)] {
        let tolerance = tolerance(k, z);
        // Half live through 96 h at the LC50: that is what an LC50 says.
        let b = std::f64::consts::LN_2 / harm_above(1.0, k, z, 96.0);
        for exposure in [0.4, 1.0, 1.7, 6.0] {
            let (mut harm, mut summed) = (Harm::default(), 0.0);
            let mut since = 0.0;
            for t in [1.0, 4.0, 24.0, 96.0, 192.0_f64] {
                summed += harm.pass(&tolerance, exposure, t - since);
                since = t;
                let (lives, paper) = ((-summed).exp(), (-b * harm_above(exposure, k, z, t)).exp());
                assert!((lives - paper).abs() < 1e-9, "{exposure} LC50 for {t} h: {lives} live against {paper}");
            }
        }
    }
}

#[test]
fn under_pulses_as_many_live_as_a_second_integration_says() {
    let table = Table::read(include_str!("harm_pulses.csv"));
    let rows = table.columns(["speed_per_h", "threshold", "exposure", "hours", "hazard"]);
    assert_eq!(rows.len(), 28);
    for pulses in rows.chunk_by(|one, other| one[..2] == other[..2]) {
        let tolerance = tolerance(pulses[0][0], pulses[0][1]);
        for cuts in [1, 7, 60] {
            let (mut harm, mut summed) = (Harm::default(), 0.0);
            for &[k, z, exposure, hours, hazard] in pulses {
                let step = hours / f64::from(cuts);
                summed += (0..cuts).map(|_| harm.pass(&tolerance, exposure, step)).sum::<f64>();
                let (lives, theirs) = ((-summed).exp(), (-hazard).exp());
                assert!((lives - theirs).abs() < 1e-7, "{k}/h, {z}, {exposure} LC50: {lives} live against {theirs}");
            }
        }
    }
}
