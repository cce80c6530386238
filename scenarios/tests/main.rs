//! Tests of the scenario reader from outside: what a file comes to, broken files and their messages, files with
//! random damage, and what is said of a scenario before it is run.

mod bad_input;
mod cases;
mod cultures;
mod damage;
mod explaining;
mod liquids;
mod mishaps;
mod pump_lines;
mod reading;
mod waters;

/// A small sound scenario; tests change a line of it. Its name says what it is; its numbers are invented.
pub(crate) const SMALL: &str = r#"name = "Invented tub"

[brood]
fish = "dwarf cichlid"
fry = 220
days = 8

[tub]
volume = "6 L"

[keeper]
visits = ["07:30", "15:30"]

[mix."first food"]
"microworm" = "300 per mL"

[mix."second food"]
"newly hatched brine shrimp, small strain" = "100 per mL"

[[recipe]]
from_day = 1
mix = "first food"

[[recipe]]
from_day = 4
mix = "second food"
times = 2

[[plan]]
name = "Two hand feeds"
by_hand = { at = "every visit", dose = "20 mL" }
"#;

/// Reads the small scenario with some of its text replaced and more added.
pub(crate) fn small(replace: &[(&str, &str)], add: &str) -> frytub_scenarios::Scenario {
    let mut text = SMALL.to_string();
    for (old, new) in replace {
        assert!(text.contains(old), "the small scenario no longer has {old}");
        text = text.replacen(old, new, 1);
    }
    frytub_scenarios::read_text("small.toml", &(text + add)).unwrap_or_else(|error| panic!("{error}"))
}
