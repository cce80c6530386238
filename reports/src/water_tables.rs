//! The table behind the chart of the water, and what the table of plans says of it.

use frytub_sim::outcome::Spread;

use crate::charts::water_curve::{What, day_of, on_worst};
use crate::charts::water_words::{ammonia, oxygen};
use crate::facts::Facts;
use crate::tables::TextTable;
use crate::words::{NOTHING, with_range_to};

/// What became of the water under each plan for which it is reckoned with.
pub fn waters(facts: &Facts<'_>) -> TextTable {
    let mut table = TextTable::new(
        "The worst of the water over the whole brood, mg/L (80 % of the worlds in brackets), and the day on which the \
         middle world was worst. The worst hour is not the same in every world, so these figures may lie beyond the \
         lines of the chart. The limits are those of likely values. Total ammonia is counted as nitrogen.",
        &[
            "plan",
            "lowest oxygen",
            "on day",
            "harmful below",
            "highest un-ionised ammonia",
            "on day",
            "harmless up to",
            "highest total ammonia",
            "pH at the end",
        ],
    );
    for plan in 0..facts.found.plans.len() {
        let Some(water) = &facts.result(plan).water else { continue };
        let day = |what| on_worst(water, what).map_or_else(|| NOTHING.to_owned(), |p| day_of(p.hour).to_string());
        let total = water.points.iter().map(|p| p.nitrogen_mg_l.median).filter(|v| v.is_finite()).reduce(f64::max);
        let cells = vec![
            with_range_to(&water.worst_oxygen_mg_l, 1),
            day(What::Oxygen),
            oxygen(water.harmful_oxygen_mg_l),
            ammonia_range(&water.worst_ammonia_mg_l),
            day(What::Ammonia),
            ammonia(water.harmless_ammonia_mg_l),
            total.map_or_else(|| NOTHING.to_owned(), ammonia),
            if water.ph.is_finite() { format!("{:.1}", water.ph) } else { NOTHING.to_owned() },
        ];
        table.row_of(facts, plan, cells);
    }
    table
}

/// Heads of the two columns that the table of plans has where water is reckoned with.
pub const HEADS: [&str; 2] = ["lowest oxygen, mg/L", "highest un-ionised ammonia, mg/L"];

/// The cells of a plan under [`HEADS`].
pub fn worst_cells(facts: &Facts<'_>, plan: usize) -> [String; 2] {
    facts.result(plan).water.as_ref().map_or_else(
        || [NOTHING, NOTHING].map(str::to_owned),
        |water| [with_range_to(&water.worst_oxygen_mg_l, 1), ammonia_range(&water.worst_ammonia_mg_l)],
    )
}

/// The middle world and the range of 80 % of the worlds: "0.02 (0.004–0.11)".
fn ammonia_range(spread: &Spread) -> String {
    let [low, middle, high] = [spread.low, spread.median, spread.high].map(ammonia);
    if low == high { middle } else { format!("{middle} ({low}–{high})") }
}
