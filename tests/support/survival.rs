//! Survival with lives that are still going on when looked at last: the estimate of Kaplan & Meier and the log-rank test.
//!
//! Knows times and ends; knows no fry.

/// One life.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Life {
    /// When it ended, or was looked at last.
    pub at: f64,
    /// Whether it ended then.
    pub ended: bool,
}

/// The estimate from one time at which lives ended until the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// From when.
    pub at: f64,
    /// Share alive from then on (Kaplan & Meier 1958, J. Am. Stat. Assoc. 53:457–481).
    pub share: f64,
    /// Its standard error (Greenwood 1926, Rep. Public Health Med. Subj. 33); 0 where none is left.
    pub error: f64,
}

/// Lives that go on up to a time, and those that end at it.
fn at_risk_and_ending(lives: &[Life], at: f64) -> (f64, f64) {
    let count = |which: &dyn Fn(&Life) -> bool| lives.iter().filter(|life| which(life)).count() as f64;
    (count(&|life| life.at >= at), count(&|life| life.ended && life.at == at))
}

/// The times at which lives end, each once, in order.
fn endings(lives: impl IntoIterator<Item = Life>) -> Vec<f64> {
    let mut times: Vec<f64> = lives.into_iter().filter(|life| life.ended).map(|life| life.at).collect();
    times.sort_by(f64::total_cmp);
    times.dedup();
    times
}

/// The estimate of Kaplan & Meier, one step a time at which lives ended.
pub fn kaplan_meier(lives: &[Life]) -> Vec<Step> {
    let (mut share, mut greenwood) = (1.0, 0.0);
    let step = |at| {
        let (at_risk, ending) = at_risk_and_ending(lives, at);
        share *= 1.0 - ending / at_risk;
        greenwood += ending / (at_risk * (at_risk - ending));
        Step { at, share, error: if share > 0.0 { share * f64::sqrt(greenwood) } else { 0.0 } }
    };
    endings(lives.iter().copied()).into_iter().map(step).collect()
}

/// Share alive just after a time.
pub fn share_at(steps: &[Step], at: f64) -> f64 {
    steps.iter().take_while(|step| step.at <= at).last().map_or(1.0, |step| step.share)
}

/// How many lives of the first group ended, against how many would if both groups fared alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogRank {
    /// Ended in the first group.
    pub observed: f64,
    /// Expected there.
    pub expected: f64,
    /// Variance of that, hypergeometric.
    pub variance: f64,
}

impl LogRank {
    /// Chi-squared with one degree of freedom; 0 where nothing ended.
    pub fn chi_squared(&self) -> f64 {
        if self.variance > 0.0 { (self.observed - self.expected).powi(2) / self.variance } else { 0.0 }
    }
}

/// The log-rank test (Mantel 1966, Cancer Chemother. Rep. 50:163–170) of two groups.
pub fn log_rank(first: &[Life], second: &[Life]) -> LogRank {
    let mut found = LogRank { observed: 0.0, expected: 0.0, variance: 0.0 };
    for at in endings(first.iter().chain(second).copied()) {
        let ((here, ended), (there, also_ended)) = (at_risk_and_ending(first, at), at_risk_and_ending(second, at));
        let (all, ending) = (here + there, ended + also_ended);
        let share = here / all;
        found.observed += ended;
        found.expected += ending * share;
        if all > 1.0 {
            found.variance += ending * share * (1.0 - share) * (all - ending) / (all - 1.0);
        }
    }
    found
}
