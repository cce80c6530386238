//! When something goes wrong: drawn ahead of a brood, the same for every plan.

use rand::RngExt;
use rand_distr::{Distribution, Exp1, StandardNormal};

use crate::chance::{Source, Streams};
use crate::clock::{Moment, Span};
use crate::numbers::MishapNumbers;
use crate::study::Mishaps;

/// Spread of the length of power cuts (sd of the natural logarithm). Estimate: one in ten lasts three times the median.
const CUT_SPREAD: f64 = 0.85;

/// What can go wrong. The discriminants are part of a stream's key: never renumber them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u64)]
pub enum Kind {
    /// The power fails.
    PowerCut = 1,
    /// The air stone stops.
    AirStop = 2,
    /// The feed line clogs.
    Clog = 3,
    /// The feed tube slips.
    Slip = 4,
    /// A culture is not ready, or has crashed.
    Culture = 5,
}

impl Kind {
    /// Every kind, in the order in which reports show them.
    pub const ALL: [Self; 5] = [Self::PowerCut, Self::AirStop, Self::Clog, Self::Slip, Self::Culture];

    /// Its place in [`Kind::ALL`].
    #[must_use]
    pub fn index(self) -> usize {
        self as usize - 1
    }

    /// Plain words.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::PowerCut => "power cut",
            Self::AirStop => "air stone stopped",
            Self::Clog => "feed line clogged",
            Self::Slip => "feed tube slipped",
            Self::Culture => "culture not ready",
        }
    }
}

/// One thing that goes wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mishap {
    /// When.
    pub at: Moment,
    /// What.
    pub kind: Kind,
    /// How long a power cut lasts; the others last until the keeper comes.
    pub lasts: Span,
    /// From 0 to 1: a clog happens only where the food brings it with a chance above this.
    pub lot: f64,
}

/// Everything that goes wrong within so many days, in order of kind, then time.
///
/// Each kind is a Poisson process with a stream of its own, so that switching one off moves no other. Clogs are drawn as
/// often as with the worst food; which of them happen, the food in the line decides ([`clog_chance`]).
#[must_use]
pub fn draw(mishaps: &Mishaps, numbers: &MishapNumbers<f64>, streams: &Streams, days: u32) -> Vec<Mishap> {
    let kinds = [
        (mishaps.power_cut, Kind::PowerCut, numbers.power_cut_days),
        (mishaps.air_stop, Kind::AirStop, numbers.air_stop_days),
        (mishaps.clog, Kind::Clog, numbers.clog_days),
        (mishaps.slip, Kind::Slip, numbers.slip_days),
    ];
    let end = Moment::start_of_day(days + 1);
    let mut drawn = Vec::new();
    for (_, kind, mean_days) in kinds.into_iter().filter(|(may, ..)| *may) {
        let mut rng = streams.own(Source::Mishaps, kind as u64);
        let mut at = Moment(0);
        loop {
            let gap: f64 = Exp1.sample(&mut rng);
            let long: f64 = StandardNormal.sample(&mut rng);
            at = at + Span::from_hours(24.0 * mean_days * gap);
            if at >= end {
                break;
            }
            let hours = if kind == Kind::PowerCut { numbers.power_cut_h * (CUT_SPREAD * long).exp() } else { 0.0 };
            // Drawn for clogs alone, so that the other kinds stay where they were.
            let lot = if kind == Kind::Clog { rng.random() } else { 0.0 };
            drawn.push(Mishap { at, kind, lasts: Span::from_hours(hours), lot });
        }
    }
    drawn
}

/// Chance that a clog which yolk or powder would bring happens with food of which a share of the dry mass (0 to 1) is such.
#[must_use]
pub fn clog_chance(numbers: &MishapNumbers<f64>, share: f64) -> f64 {
    let with_live = 1.0 / numbers.live_clogs_less;
    with_live + (1.0 - with_live) * share
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numbers::Range;

    fn numbers() -> MishapNumbers<f64> {
        MishapNumbers {
            power_cut_days: 5.0,
            power_cut_h: 1.0,
            air_stop_days: 20.0,
            clog_days: 10.0,
            live_clogs_less: 3.0,
            slip_days: 40.0,
            slips_to_mm: -10.0,
            room_c: 21.0,
            cools_per_h: 0.15,
        }
    }

    fn mishaps(power_cut: bool) -> Mishaps {
        let numbers = numbers().map(|_, &value| Range::certain(value));
        Mishaps { numbers, power_cut, air_stop: true, clog: true, slip: true }
    }

    #[test]
    fn each_kind_comes_as_often_as_it_should_and_cuts_last_their_median() {
        let drawn: Vec<Mishap> =
            (0..2000).flat_map(|brood| draw(&mishaps(true), &numbers(), &Streams::new(1, 1, brood), 10)).collect();
        let count = |kind: Kind| drawn.iter().filter(|mishap| mishap.kind == kind).count() as f64 / 2000.0;
        for (kind, expected) in [(Kind::PowerCut, 2.0), (Kind::AirStop, 0.5), (Kind::Clog, 1.0), (Kind::Slip, 0.25)] {
            // Poisson: three standard errors.
            let error = 3.0 * (expected / 2000.0_f64).sqrt();
            assert!((count(kind) - expected).abs() < error, "{kind:?}: {} for {expected}", count(kind));
        }
        let mut cuts: Vec<f64> =
            drawn.iter().filter(|m| m.kind == Kind::PowerCut).map(|mishap| mishap.lasts.hours()).collect();
        cuts.sort_by(f64::total_cmp);
        assert!((cuts[cuts.len() / 2] - 1.0).abs() < 0.06, "{}", cuts[cuts.len() / 2]);
    }

    #[test]
    fn switching_one_off_moves_no_other() {
        let streams = Streams::new(4, 2, 1);
        let all = draw(&mishaps(true), &numbers(), &streams, 60);
        let without = draw(&mishaps(false), &numbers(), &streams, 60);
        let rest: Vec<Mishap> = all.into_iter().filter(|mishap| mishap.kind != Kind::PowerCut).collect();
        assert_eq!(rest, without);
        assert!(!without.is_empty());
    }
}
