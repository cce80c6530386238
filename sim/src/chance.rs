//! Random numbers: one stream for every (seed, world, brood, source, individual).
//!
//! Because a stream is found by its key and not by its turn, changing a plan shifts no other draw: all plans face
//! the same worlds, the same fry and the same late mornings (common random numbers). Generators are named and
//! portable: ChaCha8 for brood-level sources, xoshiro256++ for individuals.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Binomial, Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;

/// Where a random number comes from. The discriminants are part of the stream's key: never renumber them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u64)]
pub enum Source {
    /// Values of uncertain numbers (individual: the number's name, hashed).
    Worlds = 1,
    /// What a fry is born with.
    Traits = 2,
    /// What a fry catches.
    Feeding = 3,
    /// What settles, washes out and spoils in the tub.
    Tub = 4,
    /// When the keeper comes (individual: planned day and minute).
    Keeper = 5,
    /// Shuffles of the report's threshold.
    Shuffles = 6,
    /// Where the rollers of the pump stand (individual: planned day and minute).
    Pump = 7,
    /// Which worlds a jar test keeps.
    JarTests = 8,
    /// When something goes wrong (individual: its kind).
    Mishaps = 9,
    /// When a culture is missing (individual: the food's name, hashed).
    Cultures = 10,
}

/// The streams of one brood.
#[derive(Debug, Clone, Copy)]
pub struct Streams {
    seed: u64,
    world: u32,
    brood: u32,
}

impl Streams {
    /// The streams of brood `brood` in world `world` under `seed`.
    #[must_use]
    pub fn new(seed: u64, world: u32, brood: u32) -> Self {
        Self { seed, world, brood }
    }

    /// A stream shared by the whole brood.
    #[must_use]
    pub fn shared(&self, source: Source) -> ChaCha8Rng {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&self.seed.to_le_bytes());
        key[8..12].copy_from_slice(&self.world.to_le_bytes());
        key[12..16].copy_from_slice(&self.brood.to_le_bytes());
        let mut generator = ChaCha8Rng::from_seed(key);
        generator.set_stream(source as u64);
        generator
    }

    /// A stream of one individual: a fry, a visit, a number.
    #[must_use]
    pub fn own(&self, source: Source, individual: u64) -> Xoshiro256PlusPlus {
        let words = [u64::from(self.world) << 32 | u64::from(self.brood), source as u64, individual];
        let key = words.iter().fold(mix(self.seed), |key, word| mix(key ^ word));
        Xoshiro256PlusPlus::seed_from_u64(key)
    }
}

/// The finaliser of `SplitMix64` (Steele, Lea & Flood 2014): every bit of the input moves every bit of the output.
fn mix(mut z: u64) -> u64 {
    z = z.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// A name as an individual: FNV-1a, so that a number keeps its stream when others come or go.
#[must_use]
pub fn individual_of(name: &str) -> u64 {
    name.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3))
}

/// Up to so many things a binomial count is drawn one by one.
const FEW: u64 = 12;
/// Above this variance a binomial count is drawn from its normal limit.
const PLENTIFUL: f64 = 100.0;
/// Above this mean a Poisson count is drawn from its normal limit.
const MANY: f64 = 25.0;

/// How many of `n` things happen when each does with chance `p`.
pub fn binomial(rng: &mut impl rand::Rng, n: u64, p: f64) -> u64 {
    if n == 0 || p <= 0.0 {
        return 0;
    }
    if p >= 1.0 {
        return n;
    }
    if n <= FEW {
        return (0..n).filter(|_| rng.random::<f64>() < p).count() as u64;
    }
    let mean = n as f64 * p;
    let variance = mean * (1.0 - p);
    if variance > PLENTIFUL {
        let z: f64 = StandardNormal.sample(rng);
        return ((mean + variance.sqrt() * z).round().max(0.0) as u64).min(n);
    }
    Binomial::new(n, p).map_or(0, |distribution| distribution.sample(rng))
}

/// A count with the given mean, when things happen independently.
pub fn poisson(rng: &mut impl rand::Rng, mean: f64) -> u64 {
    if mean <= 0.0 {
        return 0;
    }
    if mean > MANY {
        let z: f64 = StandardNormal.sample(rng);
        return (mean + mean.sqrt() * z).round().max(0.0) as u64;
    }
    // Inversion: walk up the distribution until the uniform draw is used up.
    let mut left: f64 = rng.random();
    let mut term = (-mean).exp();
    let mut count = 0;
    while left > term {
        left -= term;
        count += 1;
        term *= mean / count as f64;
        if count > 200 {
            break;
        }
    }
    count
}

/// A whole number next to `x`, above or below with the chance that keeps the mean.
pub fn whole(rng: &mut impl rand::Rng, x: f64) -> u64 {
    (x.max(0.0) + rng.random::<f64>()).floor() as u64
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::Rng;

    #[test]
    fn streams_are_pinned() {
        let streams = Streams::new(7, 3, 1);
        let mut shared = streams.shared(Source::Tub);
        let mut own = streams.own(Source::Feeding, 12);
        assert_eq!(
            [shared.next_u64(), shared.next_u64(), own.next_u64(), own.next_u64()],
            [
                14_969_869_612_458_322_832,
                1_046_919_428_014_158_463,
                1_030_043_398_146_652_860,
                17_748_419_050_316_537_888
            ],
            "a change here changes every result for a fixed seed: say so in CHANGELOG.md under Reproducibility"
        );
    }

    #[test]
    fn streams_differ_in_every_part_of_the_key() {
        let first = |seed, world, brood, source, individual| {
            Streams::new(seed, world, brood).own(source, individual).next_u64()
        };
        let all = [
            first(1, 1, 1, Source::Feeding, 1),
            first(2, 1, 1, Source::Feeding, 1),
            first(1, 2, 1, Source::Feeding, 1),
            first(1, 1, 2, Source::Feeding, 1),
            first(1, 1, 1, Source::Traits, 1),
            first(1, 1, 1, Source::Feeding, 2),
        ];
        let mut distinct = all.to_vec();
        distinct.sort_unstable();
        distinct.dedup();
        assert_eq!(distinct.len(), all.len());
    }

    fn moments(draws: impl Iterator<Item = u64>) -> (f64, f64) {
        let values: Vec<f64> = draws.map(|v| v as f64).collect();
        let n = values.len() as f64;
        let mean = values.iter().sum::<f64>() / n;
        (mean, values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0))
    }

    #[test]
    fn counts_have_the_right_mean_and_variance_on_both_sides_of_the_limits() {
        let mut rng = Streams::new(1, 0, 0).shared(Source::Tub);
        for mean in [0.3, 4.0, 24.0, 26.0, 400.0] {
            let (m, v) = moments((0..40_000).map(|_| poisson(&mut rng, mean)));
            assert!((m / mean - 1.0).abs() < 0.02, "mean {m} for {mean}");
            assert!((v / mean - 1.0).abs() < 0.05, "variance {v} for {mean}");
        }
        for (n, p) in [(7, 0.3), (200, 0.02), (1000, 0.3), (100_000, 0.9)] {
            let (m, v) = moments((0..40_000).map(|_| binomial(&mut rng, n, p)));
            let mean = n as f64 * p;
            assert!((m / mean - 1.0).abs() < 0.02, "mean {m} for {n}, {p}");
            assert!((v / (mean * (1.0 - p)) - 1.0).abs() < 0.05, "variance {v} for {n}, {p}");
        }
        let (m, _) = moments((0..40_000).map(|_| whole(&mut rng, 2.3)));
        assert!((m - 2.3).abs() < 0.01);
    }
}
