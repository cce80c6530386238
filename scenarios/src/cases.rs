//! The published trials that are built into the program, as texts; their files stand in `cases/` beside the crates.

use crate::examples::Example;

/// Every built-in case, in the order in which it is told.
const CASES: [Example; 17] = [
    Example { name: "unfed-small-larvae", text: include_str!("../../cases/unfed-small-larvae.toml") },
    Example { name: "unfed-whitefish", text: include_str!("../../cases/unfed-whitefish.toml") },
    Example { name: "zebrafish-delayed-feeding", text: include_str!("../../cases/zebrafish-delayed-feeding.toml") },
    Example { name: "sea-bream-delayed-feeding", text: include_str!("../../cases/sea-bream-delayed-feeding.toml") },
    Example { name: "angelfish-two-or-four-feeds", text: include_str!("../../cases/angelfish-two-or-four-feeds.toml") },
    Example { name: "severum-two-or-four-feeds", text: include_str!("../../cases/severum-two-or-four-feeds.toml") },
    Example { name: "severum-one-to-five-feeds", text: include_str!("../../cases/severum-one-to-five-feeds.toml") },
    Example { name: "betta-on-brine-shrimp", text: include_str!("../../cases/betta-on-brine-shrimp.toml") },
    Example {
        name: "dwarf-gourami-rotifers-first",
        text: include_str!("../../cases/dwarf-gourami-rotifers-first.toml"),
    },
    Example { name: "nannacara-growth", text: include_str!("../../cases/nannacara-growth.toml") },
    Example { name: "angelfish-on-six-foods", text: include_str!("../../cases/angelfish-on-six-foods.toml") },
    Example { name: "catfish-fine-or-whole-food", text: include_str!("../../cases/catfish-fine-or-whole-food.toml") },
    Example { name: "catfish-once-a-day", text: include_str!("../../cases/catfish-once-a-day.toml") },
    Example { name: "snakehead-food-density", text: include_str!("../../cases/snakehead-food-density.toml") },
    Example { name: "river-characin-three-foods", text: include_str!("../../cases/river-characin-three-foods.toml") },
    Example { name: "pikeperch-first-ten-days", text: include_str!("../../cases/pikeperch-first-ten-days.toml") },
    Example { name: "catfish-gut", text: include_str!("../../cases/catfish-gut.toml") },
];

/// Every built-in case: a published trial to hold the model against.
#[must_use]
pub fn cases() -> &'static [Example] {
    &CASES
}
