//! The few statistics that a comparison needs, each with its source. Knows numbers only.

use rand::Rng;
use rand::seq::SliceRandom;
use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

use crate::outcome::{Interval, Spread};

/// Linear quantile of sorted values (Hyndman & Fan 1996, Am. Stat. 50:361–365, type 7); NaN for none.
#[must_use]
pub fn quantile(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else { return f64::NAN };
    let at = share.clamp(0.0, 1.0) * last as f64;
    let low = at as usize;
    let high = (low + 1).min(last);
    sorted[low] + (at - low as f64) * (sorted[high] - sorted[low])
}

/// Mean, median and the 10 % and 90 % quantiles of the values that are numbers; all NaN when there are none.
#[must_use]
pub fn spread(values: impl IntoIterator<Item = f64>) -> Spread {
    let mut sorted: Vec<f64> = values.into_iter().filter(|value| !value.is_nan()).collect();
    sorted.sort_by(f64::total_cmp);
    let at = |share| quantile(&sorted, share);
    Spread { mean: mean(&sorted), low: at(0.1), median: at(0.5), high: at(0.9) }
}

/// Arithmetic mean; NaN for none.
#[must_use]
pub fn mean(values: &[f64]) -> f64 {
    if values.is_empty() { f64::NAN } else { values.iter().sum::<f64>() / values.len() as f64 }
}

/// Interval for the mean of the population that `values` come from, by Student's t.
///
/// `level` is the confidence, for example 0.95. Not finite for fewer than two values.
#[must_use]
pub fn mean_interval(values: &[f64], level: f64) -> Interval {
    let n = values.len() as f64;
    let centre = mean(values);
    if values.len() < 2 {
        return Interval { low: f64::NEG_INFINITY, high: f64::INFINITY };
    }
    let variance = values.iter().map(|v| (v - centre).powi(2)).sum::<f64>() / (n - 1.0);
    let student = StudentsT::new(0.0, 1.0, n - 1.0).expect("at least one degree of freedom");
    let half = student.inverse_cdf(0.5 + level / 2.0) * (variance / n).sqrt();
    Interval { low: centre - half, high: centre + half }
}

/// Wilson's score interval for a proportion (Wilson 1927, J. Am. Stat. Assoc. 22:209–212).
///
/// `successes` of `n`; may be a half-integer where ties count half. `level` is the confidence.
#[must_use]
pub fn wilson(successes: f64, n: f64, level: f64) -> Interval {
    if n <= 0.0 {
        return Interval { low: 0.0, high: 1.0 };
    }
    let z = Normal::standard().inverse_cdf(0.5 + level / 2.0);
    let p = successes / n;
    let z2n = z * z / n;
    let centre = (p + z2n / 2.0) / (1.0 + z2n);
    let half = z / (1.0 + z2n) * (p * (1.0 - p) / n + z2n / (4.0 * n)).sqrt();
    Interval { low: (centre - half).max(0.0), high: (centre + half).min(1.0) }
}

/// Ranks from 1, ties sharing their mean rank.
#[must_use]
pub fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let mut ranks = vec![0.0; values.len()];
    let mut from = 0;
    while from < order.len() {
        let mut to = from + 1;
        while to < order.len() && values[order[to]].total_cmp(&values[order[from]]).is_eq() {
            to += 1;
        }
        for &i in &order[from..to] {
            ranks[i] = (from + to + 1) as f64 / 2.0;
        }
        from = to;
    }
    ranks
}

/// Pearson's correlation; 0 when one side does not vary.
#[must_use]
pub fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let (mean_a, mean_b) = (mean(a), mean(b));
    let (mut ab, mut aa, mut bb) = (0.0, 0.0, 0.0);
    for (x, y) in a.iter().zip(b) {
        let (x, y) = (x - mean_a, y - mean_b);
        ab += x * y;
        aa += x * x;
        bb += y * y;
    }
    if aa > 0.0 && bb > 0.0 { ab / (aa * bb).sqrt() } else { 0.0 }
}

/// The strongest correlation that chance alone gives: the 95 % point, over `shuffles`, of the largest absolute rank
/// correlation of any column with a shuffled outcome.
///
/// `columns` and `outcome` are ranks already.
pub fn shuffle_threshold(columns: &[Vec<f64>], outcome: &[f64], shuffles: usize, rng: &mut impl Rng) -> f64 {
    let mut shuffled = outcome.to_vec();
    let mut strongest: Vec<f64> = (0..shuffles)
        .map(|_| {
            shuffled.shuffle(rng);
            columns.iter().map(|column| correlation(column, &shuffled).abs()).fold(0.0, f64::max)
        })
        .collect();
    strongest.sort_by(f64::total_cmp);
    quantile(&strongest, 0.95)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wilson_gives_newcombes_table() {
        // Newcombe 1998, Stat. Med. 17:857–872, Table I; digits by statsmodels 0.15.0.
        for (x, n, low, high) in [
            (81.0, 263.0, 0.255_288_5, 0.366_209_6),
            (15.0, 148.0, 0.062_386_4, 0.160_487_2),
            (0.0, 20.0, 0.0, 0.161_125_2),
            (1.0, 29.0, 0.006_113_2, 0.171_755_2),
        ] {
            let got = wilson(x, n, 0.95);
            assert!((got.low - low).abs() < 1e-6 && (got.high - high).abs() < 1e-6, "{x}/{n}: {got:?}");
        }
    }

    #[test]
    fn student_interval_matches_the_table() {
        // t(0.975; 4) = 2.776 (any printed table of Student's t).
        let got = mean_interval(&[1.0, 2.0, 3.0, 4.0, 5.0], 0.95);
        let half = 2.776_445 * (2.5_f64 / 5.0).sqrt();
        assert!((got.low - (3.0 - half)).abs() < 1e-5 && (got.high - (3.0 + half)).abs() < 1e-5);
    }

    #[test]
    fn ranks_share_ties_and_correlate_monotone_things_perfectly() {
        assert_eq!(ranks(&[3.0, 1.0, 3.0, 7.0]), [2.5, 1.0, 2.5, 4.0]);
        let a: Vec<f64> = (0..20).map(f64::from).collect();
        let b: Vec<f64> = a.iter().map(|x| x.exp()).collect();
        assert!((correlation(&ranks(&a), &ranks(&b)) - 1.0).abs() < 1e-12);
        assert_eq!(correlation(&a, &[1.0; 20]), 0.0);
    }

    #[test]
    fn spreads_leave_out_what_is_not_a_number() {
        let got = spread([f64::NAN, 1.0, 2.0, 3.0]);
        assert_eq!((got.mean, got.median), (2.0, 2.0));
        assert!(spread([f64::NAN]).median.is_nan());
    }
}
