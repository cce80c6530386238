//! A number together with how it is known: its range, the kind of its source and the source itself.
//!
//! What the library states, what a scenario file sets and what is taken by default all end as [`Known`] numbers;
//! [`NumberUsed`] is one of them with the words that a report prints beside it.

use std::fmt;

use frytub_sim::numbers::{NumberInfo, Range};

/// How a number came to be known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Read in a publication.
    Read,
    /// Computed from a published equation.
    Computed,
    /// Derived from published values by simple reasoning.
    Derived,
    /// Estimated; nobody measured it.
    Estimate,
    /// From memory: a value that could not be traced.
    FromMemory,
    /// Common practice, without a source.
    CommonPractice,
    /// Written in the scenario file.
    ScenarioFile,
    /// Taken because the scenario file says nothing.
    Default,
}

impl Kind {
    /// Every kind that a library file may state.
    pub(crate) const OF_LIBRARY: [Self; 6] =
        [Self::Read, Self::Computed, Self::Derived, Self::Estimate, Self::FromMemory, Self::CommonPractice];

    /// Plain words, as library files and reports write them.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Computed => "computed",
            Self::Derived => "derived",
            Self::Estimate => "estimate",
            Self::FromMemory => "from memory",
            Self::CommonPractice => "common practice",
            Self::ScenarioFile => "scenario file",
            Self::Default => "default",
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.label())
    }
}

/// A number, how far it may reach, and how that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// Its range in the model's unit.
    pub range: Range,
    /// Kind of source.
    pub kind: Kind,
    /// The source in short words; empty when the kind says it all.
    pub source: String,
}

impl Known {
    /// A number that the scenario file sets.
    pub(crate) fn by_file(range: Range) -> Self {
        Self { range, kind: Kind::ScenarioFile, source: String::new() }
    }

    /// A number that is taken because the scenario file says nothing.
    pub(crate) fn by_default(range: Range, source: &str) -> Self {
        Self { range, kind: Kind::Default, source: source.to_string() }
    }

    /// The same from a low, a likely and a high value written in the program, which rise.
    pub(crate) fn usual((low, likely, high): (f64, f64, f64), source: &str) -> Self {
        Self::by_default(Range::new(low, likely, high).unwrap_or(Range::certain(likely)), source)
    }
}

/// One number of a study, as a report lists what was assumed.
#[derive(Debug, Clone, PartialEq)]
pub struct NumberUsed {
    /// What it belongs to: a fish, a food, a tub, the keeper or a mix, by name.
    pub group: String,
    /// Its name in library and scenario files.
    pub key: String,
    /// Its name among the uncertain numbers of the simulator (`Slot::name`, `Pull::name`).
    pub slot: String,
    /// Plain words, to be read after "the".
    pub label: String,
    /// Unit of the range; empty for a plain ratio.
    pub unit: String,
    /// Low, likely and high value.
    pub range: Range,
    /// Kind of source.
    pub kind: Kind,
    /// The source in short words; empty when the kind says it all.
    pub source: String,
}

impl NumberUsed {
    /// A number with the words of its list; `slots` is how the simulator calls what it belongs to.
    pub(crate) fn new(group: &str, slots: &str, info: &NumberInfo, known: &Known) -> Self {
        Self {
            slot: format!("{slots}: {}", info.key),
            group: group.to_string(),
            key: info.key.to_string(),
            label: info.label.to_string(),
            unit: info.unit.to_string(),
            range: known.range,
            kind: known.kind,
            source: known.source.clone(),
        }
    }
}
