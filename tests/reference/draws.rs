//! Counts drawn at random, against the binomial and Poisson distributions of a reference library.

use frytub_sim::chance::{Source, Streams, binomial, poisson};

use super::Table;
use crate::support::shares::clopper_pearson;

const DRAWS: u64 = 60_000;
/// So sure must it be that a share of draws is not the tabled one: some 130 shares are looked at.
const LEVEL: f64 = 0.9999;
/// φ(0): a normal limit leaves out the skewness, worth at most skewness/6·φ(0) in any share (the first term of the
/// Edgeworth series; Feller 1971, vol. 2, XVI.4).
const SKEWNESS_COUNTS: f64 = 0.398_942_3 / 6.0;

/// Where counts begin to be drawn from their normal limit: variance of a binomial, mean of a Poisson count.
fn is_at_the_limit(trials: f64, chance: f64) -> bool {
    if trials == 0.0 { chance > 25.0 } else { trials * chance * (1.0 - chance) > 100.0 }
}

#[test]
fn counts_are_distributed_as_the_library_says() {
    let table = Table::read(include_str!("counts.csv"));
    let rows = table.columns(["trials", "chance_or_mean", "count", "share", "skewness"]);
    assert!(rows.len() > 100);
    let mut rng = Streams::new(3, 0, 0).shared(Source::Tub);
    let mut worst = (0.0_f64, String::new());
    for law in rows.chunk_by(|one, other| one[..2] == other[..2]) {
        let [trials, chance, _, _, skewness] = law[0];
        let mut draw =
            || if trials == 0.0 { poisson(&mut rng, chance) } else { binomial(&mut rng, trials as u64, chance) };
        let drawn: Vec<u64> = (0..DRAWS).map(|_| draw()).collect();
        let limit = if is_at_the_limit(trials, chance) { SKEWNESS_COUNTS * skewness.abs() } else { 0.0 };
        for &[_, _, count, share, _] in law {
            let found = drawn.iter().filter(|drawn| **drawn as f64 <= count).count() as u64;
            let [low, high] = clopper_pearson(found, DRAWS, LEVEL);
            let told =
                format!("{trials} × {chance}: {:.4} at most {count}, {share:.4} expected", found as f64 / DRAWS as f64);
            assert!((low - limit..=high + limit).contains(&share), "{told}");
            let apart = (found as f64 / DRAWS as f64 - share).abs();
            if apart > worst.0 {
                worst = (apart, told);
            }
        }
    }
    eprintln!("largest difference of a share: {:.4} ({})", worst.0, worst.1);
}
