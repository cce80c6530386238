//! Tables behind the charts of level and doses.

use crate::charts::doses::Brought;
use crate::charts::level::rinsed;
use crate::facts::Facts;
use crate::tables::TextTable;
use crate::words::{NOTHING, capital, clock, figures, milligrams, with_range_to};

/// What the outlets did.
pub fn levels(facts: &Facts<'_>) -> TextTable {
    let mut table = TextTable::new(
        "The outlet of each plan: highest level of the middle world, and hours for which the tube's end was under water \
         and water went over the rim (80 % of the worlds in brackets).",
        &[
            "plan",
            "sponge",
            "highest level, mm",
            "end of the tube, mm",
            "rim, mm",
            "tube's end under water, h",
            "over the rim, h",
        ],
    );
    table.words = vec![1];
    for plan in 0..facts.found.plans.len() {
        let Some(outlet) = &facts.result(plan).outlet else { continue };
        let highest = outlet.level.iter().map(|point| point.level_mm.median).fold(0.0, f64::max);
        let cells = vec![
            capital(&rinsed(facts.plan(plan).rinses)),
            figures(highest),
            outlet.tube_end_mm.map_or_else(|| NOTHING.to_owned(), figures),
            figures(outlet.rim_mm),
            with_range_to(&outlet.under_water_h, 1),
            with_range_to(&outlet.over_rim_h, 1),
        ];
        table.row_of(facts, plan, cells);
    }
    table
}

/// What each pump feed of the day shown brought.
pub fn doses(facts: &Facts<'_>) -> TextTable {
    let mut table = TextTable::new(
        format!("Pump feeds of day {}, dry food of all kinds together; mean of all broods.", facts.study.show_day),
        &["plan and feed", "water wanted, mL", "water arrived, mL", "food wanted", "arrived fresh", "arrived spoiled"],
    );
    for &plan in &facts.shown {
        for dose in &facts.result(plan).doses {
            let brought = Brought::of(dose);
            let mut cells = vec![format!("{}, {}", facts.name(plan), clock(dose.hour))];
            cells.extend([dose.wanted_ml, dose.arrived_ml].map(figures));
            cells.extend([brought.wanted, brought.fresh, brought.spoiled].map(milligrams));
            table.row(cells);
        }
    }
    table
}
