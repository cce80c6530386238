//! One feeder of a plan, by hand or pump: its times, its dose, how long a feed runs; and a day of feeds and visits.
//!
//! Knows one plan's feeds; does not know which food they bring.

use std::ops::Range as Bytes;

use frytub_sim::clock::TimeOfDay;
use frytub_sim::numbers::{NumberInfo, Scale};
use frytub_sim::study::{By, DayPlan, Feed};

use crate::fields::{self, Bare, Fields, Node};
use crate::mistakes::Findings;
use crate::read::doses::{self, DoseText};
use crate::times::{self, DAY_MINUTES, Timetable};
use crate::words;

/// Limits of the time over which a pump feed enters the tub.
const OVER: NumberInfo = NumberInfo {
    key: "over",
    label: "time over which a feed enters",
    unit: "min",
    least: 0.0,
    most: 1440.0,
    scale: Scale::Even,
};
/// Minutes over which a pump feed enters when the file says nothing: a small pump's usual run.
const USUAL_OVER_MIN: f64 = 1.0;

/// Times and dose of one feeder, by hand or pump.
pub(super) struct Feeder {
    /// Times from Monday to Friday.
    pub weekday: Timetable,
    /// Times on Saturday and Sunday.
    pub weekend: Timetable,
    /// How much it brings.
    pub dose: DoseText,
    /// Minutes over which a feed enters; `None` if the flow of the pump decides.
    pub over_min: Option<f64>,
    /// Where it is written.
    pub place: Bytes<usize>,
}

/// Reads a feeder from its group, whose fields are known; `through_line` if a pump feeds through a feed line.
pub(super) fn read(feeder: Fields<'_, '_>, by: By, through_line: bool, findings: &mut Findings) -> Option<Feeder> {
    let example = if by == By::Hand { "at = \"every visit\"" } else { "at = \"every 75 min from 07:30 to 20:00\"" };
    let timetable = |node: &Node<'_>, findings: &mut Findings| times::timetable(node, by == By::Hand, findings);
    let weekday = feeder.need("at", example, findings).and_then(|node| timetable(node, findings));
    let weekend = match feeder.get("weekend_at") {
        Some(node) => timetable(node, findings),
        None => weekday.clone(),
    };
    let dose = feeder.need("dose", "dose = \"20 mL\"", findings).and_then(|node| doses::read(node, findings));
    let over_min = match by {
        By::Hand => Some(Some(0.0)),
        By::Pump => over(feeder, through_line, findings),
    };
    let place = feeder.get("over").or(feeder.get("at")).map_or(feeder.place(), toml::Spanned::span);
    let feeder = Feeder { weekday: weekday?, weekend: weekend?, dose: dose?, over_min: over_min?, place };
    if by == By::Pump {
        refuse_overlap(&feeder, findings)?;
    }
    Some(feeder)
}

/// Reads how long a pump feed runs; the inner `None` where the flow of the pump decides.
pub(super) fn over(group: Fields<'_, '_>, through_line: bool, findings: &mut Findings) -> Option<Option<f64>> {
    match group.get("over") {
        Some(node) if through_line => {
            let what = "the flow of the pump decides how long a feed runs, so \"over\" says nothing here";
            findings.wrong(node.span(), what, "take it out; the flow is set by pump = \"5 mL/min\" in [feed_line]");
            None
        }
        Some(node) => fields::value(node, &OVER, Bare::Refused, findings).map(Some),
        None if through_line => Some(None),
        None => Some(Some(USUAL_OVER_MIN)),
    }
}

/// Notes pump feeds that would still be running when the next begins, over midnight too.
pub(super) fn refuse_overlap(feeder: &Feeder, findings: &mut Findings) -> Option<()> {
    // A timer makes one run of feeds that fall together.
    let Some(over_min) = feeder.over_min else { return Some(()) };
    let (Timetable::At(weekday), Timetable::At(weekend)) = (&feeder.weekday, &feeder.weekend) else { return Some(()) };
    let gap = |from: TimeOfDay, to: TimeOfDay| i32::from(to.minutes()) - i32::from(from.minutes());
    let within = weekday.windows(2).chain(weekend.windows(2)).map(|pair| gap(pair[0], pair[1]));
    let nights = [(weekday, weekday), (weekday, weekend), (weekend, weekend), (weekend, weekday)];
    let over_night = nights
        .iter()
        .filter_map(|(today, tomorrow)| Some(gap(*today.last()?, *tomorrow.first()?) + i32::from(DAY_MINUTES)));
    let shortest = within.chain(over_night).min()?;
    if over_min > f64::from(shortest) {
        let over = words::exact(over_min);
        let what = format!("a feed runs for {over} min, but the next begins after {shortest} min");
        findings.wrong(feeder.place.clone(), what, "a feed must end before the next begins");
        return None;
    }
    Some(())
}

/// One day of a plan: hand feeds add their visits, and feeds stand in the order of time, hand before pump.
pub(super) fn spell_out_day(
    mut visits: Vec<TimeOfDay>,
    hand: Option<(&Timetable, &Feeder)>,
    pump: Option<(&Timetable, &Feeder)>,
) -> DayPlan {
    let mut feeds = Vec::new();
    for (by, feeder) in [(By::Hand, hand), (By::Pump, pump)] {
        let Some((timetable, feeder)) = feeder else { continue };
        let times = match timetable {
            Timetable::EveryVisit => visits.clone(),
            Timetable::At(times) => times.clone(),
        };
        if by == By::Hand {
            visits.extend(&times);
            visits.sort_unstable();
            visits.dedup();
        }
        let dose = feeder.dose.of_one(times.len());
        let over_min = feeder.over_min.unwrap_or(0.0);
        feeds.extend(times.into_iter().map(|at| Feed { at, by, dose, over_min }));
    }
    feeds.sort_by_key(|feed| feed.at);
    DayPlan { visits, feeds }
}
