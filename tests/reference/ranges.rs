//! How worlds are drawn: PERT distributions, and Latin hypercubes of them.

use frytub_sim::numbers::{Range, Scale};
use frytub_sim::statistics::{correlation, mean};
use frytub_sim::worlds::{Block, Slot, pert_quantile, value_at};

use super::Table;

/// Worlds in a block, and blocks.
const WORLDS: u32 = 40;
const BLOCKS: u64 = 400;

fn rows() -> Vec<[f64; 7]> {
    Table::read(include_str!("pert_quantiles.csv"))
        .columns(["low", "likely", "high", "mean", "sd", "quantile", "value"])
}

#[test]
fn pert_quantiles_are_those_of_the_beta_distribution() {
    let rows = rows();
    assert_eq!(rows.len(), 54);
    for [low, likely, high, _, _, quantile, value] in rows {
        let ours = pert_quantile(&Range::new(low, likely, high).expect("a range"), quantile);
        assert!(
            (ours - value).abs() < 1e-9 * (high - low),
            "{low} {likely} {high} at {quantile}: {ours} against {value}"
        );
    }
}

#[test]
fn pert_has_the_moments_of_its_definition() {
    for [low, likely, high, mean, sd, ..] in rows() {
        let range = Range::new(low, likely, high).expect("a range");
        // The mean over quantiles, in the middle of 20 000 strata: their width leaves out less than 1e-6 of the range.
        let n = 20_000;
        let at = |i: u32| pert_quantile(&range, (f64::from(i) + 0.5) / f64::from(n));
        let (sum, squares) =
            (0..n).map(at).fold((0.0, 0.0), |(sum, squares), v| (sum + v, squares + (v - mean).powi(2)));
        let by_hand = (low + 4.0 * likely + high) / 6.0;
        assert!((mean - by_hand).abs() < 1e-12 * (high - low), "the table's mean {mean} against {by_hand}");
        assert!((sum / f64::from(n) - by_hand).abs() < 1e-6 * (high - low), "{low} {likely} {high}: mean");
        let deviation = (squares / f64::from(n)).sqrt();
        assert!((deviation - sd).abs() < 1e-4 * (high - low), "{low} {likely} {high}: {deviation} against {sd}");
    }
}

fn slots() -> [Slot; 2] {
    [("first", 2.0, 3.0, 10.0), ("second", 0.4, 0.4, 1.0)].map(|(name, low, likely, high)| Slot {
        name: name.into(),
        label: String::new(),
        unit: String::new(),
        range: Range::new(low, likely, high).expect("a range"),
        scale: Scale::Even,
    })
}

/// The values of a number in the worlds of a block.
fn drawn(block: &Block, slots: &[Slot; 2], number: usize) -> Vec<f64> {
    let slot = &slots[number];
    (0..WORLDS as usize).map(|w| value_at(&slot.range, slot.scale, block.quantiles(w)[number])).collect()
}

/// In a Latin hypercube of n the mean of one number has the variance of the strata within themselves, over n
/// (McKay, Beckman & Conover 1979): far less than the variance over n of plain draws.
#[test]
fn means_over_a_latin_hypercube_scatter_as_its_strata_do() {
    let slots = slots();
    for number in 0..2 {
        let range = &slots[number].range;
        let n = f64::from(WORLDS);
        let within = |stratum: u32| {
            let fine: Vec<f64> = (0..500)
                .map(|i| pert_quantile(range, (f64::from(stratum) + (f64::from(i) + 0.5) / 500.0) / n))
                .collect();
            let centre = mean(&fine);
            mean(&fine.iter().map(|v| (v - centre).powi(2)).collect::<Vec<_>>())
        };
        let expected = (0..WORLDS).map(within).sum::<f64>() / (n * n);
        let by_hand = (range.low() + 4.0 * range.likely() + range.high()) / 6.0;
        let off: Vec<f64> = (0..BLOCKS)
            .map(|seed| mean(&drawn(&Block::draw(&slots, seed, 1, WORLDS), &slots, number)) - by_hand)
            .collect();
        let variance = mean(&off.iter().map(|v| v * v).collect::<Vec<_>>());
        // A variance out of 400 is known to √(2/400) = 7 %; three times that.
        assert!((variance / expected - 1.0).abs() < 0.21, "number {number}: {variance:e} against {expected:e}");
        assert!(mean(&off).abs() < 3.0 * (expected / BLOCKS as f64).sqrt(), "number {number}: off by {}", mean(&off));
    }
}

#[test]
fn numbers_of_a_latin_hypercube_are_drawn_independently() {
    let slots = slots();
    let found: Vec<f64> = (0..BLOCKS)
        .map(|seed| {
            let block = Block::draw(&slots, seed, 1, WORLDS);
            correlation(&drawn(&block, &slots, 0), &drawn(&block, &slots, 1))
        })
        .collect();
    // A correlation of 40 pairs scatters by 1/√39; the mean of 400 by a twentieth of that. Three times it, and ± 15 %
    // (twice 7 %) for the scatter itself.
    let scatter = mean(&found.iter().map(|r| r * r).collect::<Vec<_>>()).sqrt() * 39_f64.sqrt();
    assert!(mean(&found).abs() < 3.0 / (39.0 * BLOCKS as f64).sqrt(), "mean correlation {}", mean(&found));
    assert!((scatter - 1.0).abs() < 0.15, "scatter against independence: {scatter}");
}
