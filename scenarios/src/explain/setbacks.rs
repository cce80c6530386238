//! The setbacks that a comparison tries, in plain words.

use frytub_sim::setbacks::{CULTURE_LATE_D, CUT_H, LATE_H, Setback, possible};
use frytub_sim::study::Study;

use super::Section;
use crate::words::{self, figure};

/// What would be tried.
pub(super) fn tell(study: &Study) -> Section {
    let told: Vec<String> = possible(study).into_iter().map(|setback| words_for(study, setback)).collect();
    let told: Vec<&str> = told.iter().map(String::as_str).collect();
    let lines = vec![format!(
        "frytub compare tries each of these once, when it does most harm, to see what it costs every plan: {}.",
        words::list(&told, "and")
    )];
    Section { heading: "Setbacks".to_string(), lines }
}

fn words_for(study: &Study, setback: Setback) -> String {
    match setback {
        Setback::LateMorning => format!("a day's first visit {} h late", figure(LATE_H)),
        Setback::MissedMorning => "a day's first visit that does not happen".to_string(),
        Setback::SkippedChange => "a water change forgotten".to_string(),
        Setback::PowerCut => format!("a power cut of {} h", figure(CUT_H)),
        Setback::AirStop => "an air stone that stops until the next visit".to_string(),
        Setback::Clog => "a feed line that clogs until the next visit".to_string(),
        Setback::Slip => "a feed tube that slips until the next visit".to_string(),
        Setback::LateCulture(food) => format!("{} ready {CULTURE_LATE_D} days late", study.foods[food].name),
    }
}
