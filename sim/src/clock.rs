//! Time in the tub: an integer number of milliseconds since midnight of day 1.
//!
//! Integers, so that "06:30 every day for sixty days" is exact and two events either share a moment or do not.

use std::fmt;
use std::ops::{Add, Sub};

/// Milliseconds in an hour.
pub const MS_PER_HOUR: i64 = 3_600_000;
/// Milliseconds in a day.
pub const MS_PER_DAY: i64 = 24 * MS_PER_HOUR;

/// A point in time: milliseconds since midnight of day 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Moment(pub i64);

impl Moment {
    /// Midnight at which day `day` begins; the first day is day 1.
    #[must_use]
    pub fn start_of_day(day: u32) -> Self {
        Self((i64::from(day) - 1) * MS_PER_DAY)
    }

    /// The moment on day `day` at a time of day.
    #[must_use]
    pub fn on_day(day: u32, at: TimeOfDay) -> Self {
        Self::start_of_day(day) + Span::from_minutes(f64::from(at.minutes()))
    }

    /// Hours since midnight of day 1.
    #[must_use]
    pub fn hours(self) -> f64 {
        self.0 as f64 / MS_PER_HOUR as f64
    }

    /// The day it falls on, counting from 1 (moments before day 1 count as day 1).
    #[must_use]
    pub fn day(self) -> u32 {
        u32::try_from(self.0.max(0) / MS_PER_DAY + 1).unwrap_or(u32::MAX)
    }
}

/// A length of time in milliseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span(pub i64);

impl Span {
    /// From hours, rounded to the millisecond.
    #[must_use]
    pub fn from_hours(hours: f64) -> Self {
        Self((hours * MS_PER_HOUR as f64).round() as i64)
    }

    /// From minutes, rounded to the millisecond.
    #[must_use]
    pub fn from_minutes(minutes: f64) -> Self {
        Self::from_hours(minutes / 60.0)
    }

    /// Length in hours.
    #[must_use]
    pub fn hours(self) -> f64 {
        self.0 as f64 / MS_PER_HOUR as f64
    }
}

impl Add<Span> for Moment {
    type Output = Self;
    fn add(self, span: Span) -> Self {
        Self(self.0 + span.0)
    }
}

impl Sub for Moment {
    type Output = Span;
    fn sub(self, earlier: Self) -> Span {
        Span(self.0 - earlier.0)
    }
}

/// A time of day to the minute, 00:00 to 23:59.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TimeOfDay(u16);

impl TimeOfDay {
    /// From minutes since midnight; `None` from 24:00 on.
    #[must_use]
    pub fn from_minutes(minutes: u16) -> Option<Self> {
        (minutes < 24 * 60).then_some(Self(minutes))
    }

    /// Minutes since midnight.
    #[must_use]
    pub fn minutes(self) -> u16 {
        self.0
    }

    /// Hours since midnight.
    #[must_use]
    pub fn hours(self) -> f64 {
        f64::from(self.0) / 60.0
    }
}

impl fmt::Display for TimeOfDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_begin_at_midnight_and_count_from_one() {
        let half_six = TimeOfDay::from_minutes(390).unwrap();
        assert_eq!(half_six.to_string(), "06:30");
        let moment = Moment::on_day(3, half_six);
        assert_eq!(moment.day(), 3);
        assert!((moment.hours() - 54.5).abs() < 1e-12);
        assert_eq!((moment - Moment::start_of_day(3)).hours(), 6.5);
        assert_eq!(TimeOfDay::from_minutes(1440), None);
    }
}
