//! What may go wrong, in plain sentences, and what a plan has against it.

use frytub_sim::numbers::Range;
use frytub_sim::study::{Mishaps, Plan, Study};

use super::{Section, ranged};

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
        lines.push(format!("The feed line clogs {}, until the next visit.", every(&n.clog_days)));
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
pub(super) fn owned(study: &Study, plan: &Plan) -> Option<String> {
    let has = match (plan.owns.backup_air, plan.owns.battery) {
        (true, true) => "an air pump that runs on when the power fails, and a battery for the feed pump",
        (true, false) => "an air pump that runs on when the power fails",
        (false, true) => "a battery for the feed pump and its timer",
        (false, false) => return None,
    };
    let idle = if study.mishaps.is_none() { " Without [mishaps] nothing fails, and it is never needed." } else { "" };
    Some(format!("Against mishaps it has {has}.{idle}"))
}
