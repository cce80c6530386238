//! What one setback costs: the same brood played with it and without it.
//!
//! A setback is forced, not drawn: one late morning, one power cut at the hour that harms most, one water change
//! forgotten. Both broods share all their random streams, so that the difference is the setback's.

use crate::study::Study;

/// How late the late morning is, h.
pub const LATE_H: f64 = 3.0;
/// How long the power is off, h.
pub const CUT_H: f64 = 4.0;
/// By how many days a culture is late.
pub const CULTURE_LATE_D: u32 = 2;

/// Something that happens once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Setback {
    /// The day's first visit is [`LATE_H`] late.
    LateMorning,
    /// The day's first visit does not happen.
    MissedMorning,
    /// The water is not changed on a day on which it should be.
    SkippedChange,
    /// The power is off for [`CUT_H`].
    PowerCut,
    /// The air stone stops until the next visit.
    AirStop,
    /// The feed line clogs until the next visit.
    Clog,
    /// The feed tube slips until the next visit.
    Slip,
    /// A culture (index of its food in the study) is ready [`CULTURE_LATE_D`] days after it was to be fed first.
    LateCulture(usize),
}

/// The setbacks that can strike some plan of a study, in the order in which reports show them.
///
/// Visits are late and changes forgotten anywhere; a mishap only where the study describes it and does not switch it off.
#[must_use]
pub fn possible(study: &Study) -> Vec<Setback> {
    let mishaps = study.mishaps.as_ref();
    let may = |is_on: fn(&crate::study::Mishaps) -> bool| mishaps.is_some_and(is_on);
    let has_line = study.plans.iter().any(|plan| plan.line.is_some());
    let listed = [
        (Setback::LateMorning, true),
        (Setback::MissedMorning, true),
        (Setback::SkippedChange, study.keeper.changed_share.high() > 0.0),
        (Setback::PowerCut, may(|m| m.power_cut)),
        (Setback::AirStop, may(|m| m.air_stop) && study.tubs.iter().any(|tub| tub.air)),
        (Setback::Clog, may(|m| m.clog) && has_line),
        (Setback::Slip, may(|m| m.slip) && has_line),
    ];
    let listed = listed.into_iter().filter_map(|(setback, can)| can.then_some(setback));
    listed.chain(study.cultures.iter().map(|culture| Setback::LateCulture(culture.food))).collect()
}
