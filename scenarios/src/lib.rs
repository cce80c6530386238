//! From a breeder's text to a checked study.
//!
//! A scenario file is read into a [`Scenario`]: a study that can be simulated, every number it uses with its source,
//! and warnings. Whatever is wrong with a file comes out at once, each mistake with its line and a way out. The
//! [`library`] of fish, foods, cultures, reservoirs and timers and the example scenarios are built in. This room knows
//! text; it does not simulate.

mod cases;
mod examples;
mod explain;
mod fields;
mod known;
mod library;
mod mistakes;
mod programmes;
mod read;
mod shapes;
mod syntax;
mod times;
mod units;
mod words;

pub use cases::cases;
pub use examples::{Example, example, examples};
pub use explain::{Explanation, Section, explain};
pub use known::{Kind, Known, NumberUsed};
pub use library::{
    CultureEntry, Entry, FishEntry, FoodEntry, Library, LiquidEntry, ReservoirEntry, Texts, TimerEntry, UnknownName,
    counts_for, library,
};
pub use mistakes::{Mistake, Mistakes, Warning};
pub use read::{MOST_BYTES, ReadError, Scenario, read_file, read_text};
