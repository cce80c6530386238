//! What a count of draws leaves possible of the chance behind it.

use statrs::distribution::{Beta, ContinuousCDF};

/// The exact interval of Clopper & Pearson 1934 (Biometrika 26:404–413) for a proportion: low and high.
pub fn clopper_pearson(successes: u64, trials: u64, level: f64) -> [f64; 2] {
    let (x, n) = (successes as f64, trials as f64);
    let tail = (1.0 - level) / 2.0;
    let beta = |a: f64, b: f64, share: f64| Beta::new(a, b).expect("counts above zero").inverse_cdf(share);
    let low = if successes == 0 { 0.0 } else { beta(x, n - x + 1.0, tail) };
    let high = if successes == trials { 1.0 } else { beta(x + 1.0, n - x, 1.0 - tail) };
    [low, high]
}
