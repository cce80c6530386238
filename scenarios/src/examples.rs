//! The example scenarios that are built into the program, as texts.

use crate::library::UnknownName;
use crate::read::{ReadError, Scenario, read_text};
use crate::words;

/// A built-in example.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Example {
    /// Its name on the command line.
    pub name: &'static str,
    /// Its text, with comments a breeder can read aloud.
    pub text: &'static str,
}

/// Every example; the first is the one that is run when no scenario is named.
const EXAMPLES: [Example; 11] = [
    Example { name: "school-biology-room", text: include_str!("../examples/school-biology-room.toml") },
    Example { name: "box-or-cone", text: include_str!("../examples/box-or-cone.toml") },
    Example { name: "sponge-and-tube-end", text: include_str!("../examples/sponge-and-tube-end.toml") },
    Example { name: "generous-hand-feeding", text: include_str!("../examples/generous-hand-feeding.toml") },
    Example { name: "weekend-with-one-visit", text: include_str!("../examples/weekend-with-one-visit.toml") },
    Example { name: "what-may-go-wrong", text: include_str!("../examples/what-may-go-wrong.toml") },
    Example { name: "unwashed-vinegar-eels", text: include_str!("../examples/unwashed-vinegar-eels.toml") },
    Example { name: "live-food-that-lasts", text: include_str!("../examples/live-food-that-lasts.toml") },
    Example { name: "zebrafish-delayed-feeding", text: include_str!("../../cases/zebrafish-delayed-feeding.toml") },
    Example { name: "no-food", text: include_str!("../examples/no-food.toml") },
    Example { name: "plenty", text: include_str!("../examples/plenty.toml") },
];

/// Every built-in example; the first is the one that is run when no scenario is named.
#[must_use]
pub fn examples() -> &'static [Example] {
    &EXAMPLES
}

/// The example of a name.
///
/// # Errors
/// If there is none; the error offers the nearest name.
pub fn example(name: &str) -> Result<&'static Example, UnknownName> {
    let plain = name.strip_suffix(".toml").unwrap_or(name);
    EXAMPLES.iter().find(|example| words::fold(example.name) == words::fold(plain)).ok_or_else(|| UnknownName {
        what: "built-in example",
        given: name.to_string(),
        hint: words::hint(name, &EXAMPLES.map(|example| example.name)),
    })
}

impl Example {
    /// The example as a scenario that can be run.
    ///
    /// # Errors
    /// All mistakes in its text; the tests of this crate rule them out.
    pub fn read(&self) -> Result<Scenario, ReadError> {
        read_text(&format!("{}.toml", self.name), self.text)
    }

    /// What it is about: its own first sentence.
    #[must_use]
    pub fn heading(&self) -> &'static str {
        self.text.lines().next().unwrap_or_default().trim_start_matches(['#', ' '])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_example_can_be_run_and_says_what_it_is() {
        for example in examples() {
            let scenario = example.read().unwrap_or_else(|error| panic!("{error}"));
            assert_eq!(scenario.warnings, [], "{}", example.name);
            assert_eq!(scenario.folder(), example.name, "the folder is called as the example");
            assert!(!example.heading().is_empty(), "{}", example.name);
        }
    }

    #[test]
    fn an_example_is_found_by_its_nearest_name() {
        assert_eq!(example("school-biology-room.toml").unwrap().name, "school-biology-room");
        let missing = example("no fod").unwrap_err().to_string();
        assert_eq!(missing, "there is no built-in example called \"no fod\"; did you mean \"no-food\"?");
    }
}
