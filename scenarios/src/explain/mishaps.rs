//! What may go wrong, in plain sentences; what a plan has against it, and whether that can help.

use frytub_sim::numbers::Range;
use frytub_sim::study::{Mishaps, Plan, Study};

use super::amounts::Reckoning;
use super::doubts::Doubt;
use super::{Section, ranged};
use crate::words::{self, figure};

/// What the scenario lets go wrong.
pub(super) fn tell(mishaps: &Mishaps, has_line: bool) -> Section {
    let n = &mishaps.numbers;
    let every = |days: &Range| format!("once in {} on average", ranged(days, 1.0, "days"));
    let mut lines = Vec::new();
    if mishaps.power_cut {
        lines.push(format!(
            "The power fails {}; half of the cuts last longer than {}. Air, pump, light and heater stop, the drip goes on, \
             and the tub cools towards the {} of the room.",
            every(&n.power_cut_days),
            ranged(&n.power_cut_h, 1.0, "h"),
            ranged(&n.room_c, 1.0, "°C")
        ));
    }
    if mishaps.air_stop {
        lines.push(format!("The tub's air stone stops {}, until the next visit.", every(&n.air_stop_days)));
    }
    if mishaps.clog && has_line {
        lines.push(format!(
            "The feed line clogs {} with yolk or powder, {} as seldom with live food, until the next visit.",
            every(&n.clog_days),
            ranged(&n.live_clogs_less, 1.0, "times")
        ));
    }
    if mishaps.slip && has_line {
        lines.push(format!(
            "The end of the feed tube slips to {} {}, until the next visit.",
            ranged(&n.slips_to_mm, 1.0, "mm from the still water"),
            every(&n.slip_days)
        ));
    }
    if lines.is_empty() {
        lines.push("Nothing: every mishap is switched off.".to_string());
    }
    Section { heading: "What may go wrong".to_string(), lines }
}

/// What a plan has against mishaps; nothing for a plan without.
pub(super) fn owned(study: &Study, plan: &Plan) -> Vec<String> {
    let listed = [
        (plan.owns.backup_air, "an air pump that runs on when the power fails"),
        (plan.owns.battery, "a battery for the feed pump and its timer"),
    ];
    let has: Vec<&str> = listed.into_iter().filter_map(|(owned, what)| owned.then_some(what)).collect();
    let mut lines = Vec::new();
    if !has.is_empty() {
        let idle =
            if study.mishaps.is_none() { " Without [mishaps] nothing fails, and it is never needed." } else { "" };
        lines.push(format!("Against mishaps it has {}.{idle}", words::list(&has, "and")));
    }
    if let (true, Some(outlet)) = (plan.owns.float_alarm, &study.tubs[plan.tub].outlet) {
        lines.push(format!(
            "A float at the outlet stops drip and pump when the water has risen by {}, until the keeper comes.",
            ranged(&outlet.numbers.float_mm, 1.0, "mm")
        ));
    }
    lines
}

/// A float that has nothing to act on.
pub(super) fn float_without_outlet(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let has_outlet = reckoning.study.tubs[plan.tub].outlet.is_some();
    (plan.owns.float_alarm && !has_outlet).then(|| {
        let what = "a float alarm is of no effect in a tub without an outlet, where the water never rises".to_string();
        (what, "Give the tub an outlet with its sponge_face and rim, or take the float alarm out.")
    })
}

/// A float that acts when the harm is done.
pub(super) fn float_too_high(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    let outlet = reckoning.world.outlets[plan.tub].as_ref().filter(|_| plan.owns.float_alarm)?;
    let end = plan.line.as_ref().map(|line| reckoning.world.lines[line.line].end_mm);
    let (what, height) = match end {
        Some(end) if outlet.float_mm >= end && end < outlet.rim_mm => ("the end of the feed tube", end),
        _ if outlet.float_mm >= outlet.rim_mm => ("the rim", outlet.rim_mm),
        _ => return None,
    };
    let told = format!(
        "the float alarm acts at {} mm above the still water, too late: {what} is at {} mm",
        figure(outlet.float_mm),
        figure(height)
    );
    Some((told, "Set float_alarm_at of the outlet lower."))
}

/// A battery that has nothing to drive.
pub(super) fn battery_without_pump(_: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    (plan.owns.battery && !plan.has_pump()).then(|| {
        ("a battery for the feed pump is of no use without one".to_string(), "Give the plan by_pump, or take it out.")
    })
}

/// Backup air in a tub that has none to lose.
pub(super) fn backup_without_air(reckoning: &Reckoning<'_>, plan: &Plan) -> Option<Doubt> {
    (plan.owns.backup_air && !reckoning.study.tubs[plan.tub].air).then(|| {
        let what = "backup air is of no effect in a tub without air".to_string();
        (what, "Write air = \"gentle\" for the tub, or take it out.")
    })
}
