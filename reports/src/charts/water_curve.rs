//! What the chart of the water follows: oxygen and ammonia, their limits, and their curves as they are drawn.
//!
//! Knows nothing of layout or words but the headings of the two panels.

use frytub_sim::outcome::{Spread, WaterPoint, WaterResult};

use crate::draw::panel::{Law, Scale};

/// In longer broods than this many days only the worst of each day is drawn.
pub const MOST_HOURLY: u32 = 21;

/// What is followed in the water.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Lowest oxygen since the point before.
    Oxygen,
    /// Highest un-ionised ammonia since the point before.
    Ammonia,
}

impl What {
    /// Both, in the order in which they are drawn.
    pub const ALL: [Self; 2] = [Self::Oxygen, Self::Ammonia];

    /// How it stands at one time.
    #[must_use]
    pub fn at(self, point: &WaterPoint) -> Spread {
        match self {
            Self::Oxygen => point.oxygen_mg_l,
            Self::Ammonia => point.ammonia_mg_l,
        }
    }

    /// The worst of the whole brood.
    #[must_use]
    pub fn worst(self, water: &WaterResult) -> Spread {
        match self {
            Self::Oxygen => water.worst_oxygen_mg_l,
            Self::Ammonia => water.worst_ammonia_mg_l,
        }
    }

    /// Where harm begins, mg/L: below it for oxygen, above it for ammonia.
    #[must_use]
    pub fn limit(self, water: &WaterResult) -> f64 {
        match self {
            Self::Oxygen => water.harmful_oxygen_mg_l,
            Self::Ammonia => water.harmless_ammonia_mg_l,
        }
    }

    /// The end of a spread that lies nearer to harm.
    #[must_use]
    pub fn bad_end(self, spread: &Spread) -> f64 {
        match self {
            Self::Oxygen => spread.low,
            Self::Ammonia => spread.high,
        }
    }

    /// How deep a value lies in harm: above 1 fry can die, and the higher the worse; 0 for a missing value.
    #[must_use]
    pub fn harm(self, value: f64, limit: f64) -> f64 {
        match self {
            _ if value.is_nan() || limit.is_nan() => 0.0,
            Self::Oxygen => limit / value.max(1e-9),
            Self::Ammonia => value / limit.max(1e-9),
        }
    }

    /// What stands above its panel.
    #[must_use]
    pub fn heading(self, scale: Scale) -> &'static str {
        match self {
            Self::Oxygen => "lowest oxygen, mg/L",
            Self::Ammonia if scale.law == Law::Log => "highest un-ionised ammonia, mg NH3/L (logarithmic scale)",
            Self::Ammonia => "highest un-ionised ammonia, mg NH3/L",
        }
    }

    /// The worse of two values.
    #[must_use]
    pub fn worse(self, a: f64, b: f64) -> f64 {
        match self {
            Self::Oxygen => a.min(b),
            Self::Ammonia => a.max(b),
        }
    }
}

/// A point of a curve as it is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drawn {
    /// Days since midnight of day 1.
    pub day: f64,
    /// A tenth of the worlds lie below, mg/L.
    pub low: f64,
    /// Half lie below, mg/L.
    pub median: f64,
    /// A tenth lie above, mg/L.
    pub high: f64,
}

/// The curve of one thing: every point, or in long broods the worst of each day, since nights and feeds would make a
/// scribble of it.
#[must_use]
pub fn curve(water: &WaterResult, what: What, days: u32) -> Vec<Drawn> {
    let mut curve: Vec<Drawn> = Vec::new();
    let mut last_day = 0;
    for point in &water.points {
        let Spread { low, median, high, .. } = what.at(point);
        let day = day_of(point.hour);
        match curve.last_mut().filter(|_| days > MOST_HOURLY && day == last_day) {
            Some(drawn) => {
                drawn.low = what.worse(drawn.low, low);
                drawn.median = what.worse(drawn.median, median);
                drawn.high = what.worse(drawn.high, high);
            }
            None => {
                let at = if days > MOST_HOURLY { f64::from(day) - 0.5 } else { point.hour / 24.0 };
                curve.push(Drawn { day: at, low, median, high });
            }
        }
        last_day = day;
    }
    curve
}

/// The point at which the middle world is worst; the first of several, none when nothing is known.
#[must_use]
pub fn on_worst(water: &WaterResult, what: What) -> Option<&WaterPoint> {
    let known = water.points.iter().filter(|p| what.at(p).median.is_finite());
    match what {
        What::Oxygen => known.reduce(|a, b| if b.oxygen_mg_l.median < a.oxygen_mg_l.median { b } else { a }),
        What::Ammonia => known.reduce(|a, b| if b.ammonia_mg_l.median > a.ammonia_mg_l.median { b } else { a }),
    }
}

/// The day on which a point of the curve ends.
#[must_use]
pub fn day_of(hour: f64) -> u32 {
    ((hour / 24.0).ceil() as u32).max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_brood_is_drawn_by_the_worst_of_each_day() {
        let spread = |v: f64| Spread { mean: v, low: v * 0.5, median: v, high: v * 1.5 };
        let points = [0.4, 1.8, 1.0, 0.2, 0.6].into_iter().enumerate().map(|(n, oxygen)| WaterPoint {
            hour: 12.0 * n as f64,
            ammonia_mg_l: spread(2.0 - oxygen),
            oxygen_mg_l: spread(oxygen),
            nitrogen_mg_l: spread(1.0),
        });
        let water = WaterResult {
            points: points.collect(),
            worst_ammonia_mg_l: spread(1.8),
            worst_oxygen_mg_l: spread(0.2),
            harmless_ammonia_mg_l: 0.8,
            harmful_oxygen_mg_l: 1.7,
            ph: 7.4,
        };
        let medians = |days| curve(&water, What::Oxygen, days).iter().map(|p| (p.day, p.median)).collect::<Vec<_>>();
        assert_eq!(medians(60), [(0.5, 0.4), (1.5, 0.2)], "midnight ends a day");
        assert_eq!(medians(8).len(), 5);
        let ammonia = curve(&water, What::Ammonia, 60);
        assert_eq!((ammonia[0].median, ammonia[1].median), (1.6, 1.8));
        assert_eq!(on_worst(&water, What::Oxygen).map(|p| day_of(p.hour)), Some(2));
    }

    #[test]
    fn harm_counts_downwards_for_oxygen_and_upwards_for_ammonia() {
        assert!(What::Oxygen.harm(1.0, 1.7) > 1.0 && What::Oxygen.harm(3.0, 1.7) < 1.0);
        assert!(What::Ammonia.harm(1.0, 0.8) > 1.0 && What::Ammonia.harm(0.1, 0.8) < 1.0);
        assert_eq!(What::Oxygen.harm(f64::NAN, 1.7), 0.0, "a missing value is no harm");
        assert!(What::Oxygen.harm(0.0, 1.7) > What::Oxygen.harm(0.1, 1.7), "no oxygen at all is the worst");
    }
}
