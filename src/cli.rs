//! What can be typed. Knows words and defaults only; the commands decide what they mean.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};
use frytub_sim::cases::USUAL_BROODS;

/// Broods for each plan, when nothing is said.
pub const BROODS: u32 = 160;
/// Worlds in which every setback is tried, when nothing is said.
pub const SETBACK_WORLDS: u32 = 40;
/// The most worlds in which setbacks can be tried.
const MOST_SETBACK_WORLDS: u32 = 1000;
/// The most broods that can be asked for.
const MOST_BROODS: u32 = 100_000;

/// Decide, before the eggs hatch, on the feeding plan that brings most of a brood to brine shrimp.
#[derive(Debug, Parser)]
#[command(name = "frytub", version, about, max_term_width = 100, after_help = EXAMPLES)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

const EXAMPLES: &str = "\
Examples:
  frytub compare                          the built-in example, a school biology room
  frytub example --out my-brood.toml      a commented scenario to start from
  frytub check my-brood.toml              is it sound, and what does it mean?
  frytub compare my-brood.toml            which plan brings most fry to brine shrimp
  frytub reservoir box-or-cone            what a box and a cone deliver overnight
  frytub library microworm                every number of a food, with its source
  frytub check-cases                      the model against published trials

frytub gives odds from a model, not promises. It does not replace a vet or local rules.";

const COMPARE_EXAMPLES: &str = "\
Examples:
  frytub compare
  frytub compare my-brood.toml --out club-talk
  frytub compare my-brood.toml --precision 1 --broods 4000
  frytub compare zebrafish-delayed-feeding --likely
  frytub compare what-may-go-wrong --setbacks 200
  frytub compare --setbacks 0             without them, in half of the time

Besides the table, the folder of results holds report.html (the whole answer, for any
browser), the charts as SVG and PNG, CSV files, and the exact inputs.";

const RESERVOIR_EXAMPLES: &str = "\
Examples:
  frytub reservoir
  frytub reservoir my-brood.toml
  frytub reservoir my-brood.toml --plan \"Eleven small pump feeds\" --out vessels

Each reservoir of the scenario is first tried without fry: how much of each food every feed
brings, fresh or spoiled, where the rest lies, and what would help. Then the whole brood is
simulated with each, so that the answer is in fry.";

const CASES_EXAMPLES: &str = "\
Examples:
  frytub check-cases
  frytub check-cases --assumed
  frytub check-cases my-trials --broods 200 --out my-trials/outcomes.csv

A case is a scenario file with two more parts:

  [case]
  kind = \"validation\"             # or \"calibration\", or \"sign only\"
  source = \"author, year, title\"
  assumed = [\"28 C; the paper does not say\"]

  [[expected]]
  of = \"Two hand feeds\"           # the name of a plan
  quantity = \"survival\"           # or growth, length, mass, ...
  published = \"66 %\"              # or from = \"60 %\" and to = \"70 %\"
  give_or_take = \"8 %\"            # where it was published with a ±

  [[expected]]                    # two plans compared
  of = \"Four hand feeds\"
  against = \"Two hand feeds\"
  quantity = \"survival\"
  compare = \"ratio\"               # or \"difference\"; or \"order\", with no published value but
  published = 1.4                 # expect = \"more\", \"less\" or \"no difference\"

Write down what was published and what is assumed before the first run, and leave it so.";

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Simulate a scenario's feeding plans many times over, and tell which does best, with odds
    Compare(CompareOptions),
    /// Try the reservoirs of a scenario: what each brings of each food to the tub, and to the fry
    Reservoir(ReservoirOptions),
    /// Is a scenario file sound, and what does it mean in plain words?
    #[command(after_help = "Examples:\n  frytub check my-brood.toml\n  frytub check school-biology-room")]
    Check {
        /// A scenario file, or the name of a built-in example
        scenario: PathBuf,
    },
    /// Hold the model against published trials: what it says of each, and whether that fits
    CheckCases(CheckCasesOptions),
    /// The fish, foods, cultures, reservoirs and timers that are built in: every number with its range and source
    #[command(
        after_help = "Examples:\n  frytub library\n  frytub library microworm\n  frytub library \"dwarf cichlid\"\n  frytub library \"steep cone\""
    )]
    Library {
        /// A fish, a food, a culture liquid, a reservoir or a timer; without it, all names
        name: Option<String>,
    },
    /// Write a commented scenario to start from
    #[command(
        after_help = "Examples:\n  frytub example --out my-brood.toml\n  frytub example --list\n  frytub example no-food --out no-food.toml"
    )]
    Example {
        /// Which example; without it, the school biology room
        name: Option<String>,
        /// Write to this file instead of the screen; a file that is there already is left alone
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// Only list the examples
        #[arg(long, conflicts_with_all = ["name", "out"])]
        list: bool,
    },
}

/// How to run a comparison.
#[derive(Debug, Args)]
#[command(after_help = COMPARE_EXAMPLES)]
pub struct CompareOptions {
    /// A scenario file, or the name of a built-in example; without it, the school biology room
    pub scenario: Option<PathBuf>,
    /// Worlds in which every setback (a late morning, a power cut) is tried on every plan; 0 for none
    #[arg(long, default_value_t = SETBACK_WORLDS, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(0..=i64::from(MOST_SETBACK_WORLDS)))]
    pub setbacks: u32,
    #[command(flatten)]
    pub run: RunOptions,
}

/// How to try reservoirs.
#[derive(Debug, Args)]
#[command(after_help = RESERVOIR_EXAMPLES)]
pub struct ReservoirOptions {
    /// A scenario file, or the name of a built-in example; without it, a box against a cone
    pub scenario: Option<PathBuf>,
    /// The plan whose pump, timer, tube and feeds are used; without it, the first that has them
    #[arg(long, value_name = "NAME")]
    pub plan: Option<String>,
    #[command(flatten)]
    pub run: RunOptions,
}

/// How to hold the model against published trials.
#[derive(Debug, Args)]
#[command(after_help = CASES_EXAMPLES)]
pub struct CheckCasesOptions {
    /// A folder of cases, or one case; without it, the trials that are built in
    #[arg(value_name = "FOLDER")]
    pub cases: Option<PathBuf>,
    /// Start of all random numbers: the same seed gives the same results
    #[arg(long, default_value_t = 1, value_name = "NUMBER")]
    pub seed: u64,
    /// Simulated broods for each arm of a trial, each in a world of its own
    #[arg(long, default_value_t = USUAL_BROODS, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=i64::from(MOST_BROODS)))]
    pub broods: u32,
    /// Tell the source of each case, and what had to be assumed
    #[arg(long)]
    pub assumed: bool,
    /// Threads to use; without it, all that the machine has
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// Write the table as CSV to this file too
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Replace the file even if frytub did not write it
    #[arg(long)]
    pub force: bool,
}

/// What all commands that simulate share.
#[derive(Debug, Args)]
pub struct RunOptions {
    /// Start of all random numbers: the same seed gives the same results
    #[arg(long, default_value_t = 1, value_name = "NUMBER")]
    pub seed: u64,
    /// Simulated broods for each plan, at most
    #[arg(long, default_value_t = BROODS, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=i64::from(MOST_BROODS)))]
    pub broods: u32,
    /// Stop early once the leading difference is known to this many fry out of 100 (95 % sure)
    #[arg(long, value_name = "FRY", value_parser = parse_precision)]
    pub precision: Option<f64>,
    /// Hold every number at its most likely value: shows chance alone, not what is unknown
    #[arg(long)]
    pub likely: bool,
    /// Threads to use; without it, all that the machine has
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// Folder for the results; without it, a folder in out/ with the scenario's name
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Write into a folder even if frytub did not make it
    #[arg(long)]
    pub force: bool,
}

fn parse_precision(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(fry) if fry > 0.0 && fry <= 100.0 => Ok(fry),
        _ => Err("expected a number of fry out of 100, above 0, for example 1 or 0.5".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_command_line_holds_together() {
        use clap::CommandFactory;
        Cli::command().debug_assert();
    }

    #[test]
    fn precision_is_a_positive_number_of_fry() {
        assert_eq!(parse_precision("0.5"), Ok(0.5));
        for nonsense in ["0", "-1", "NaN", "inf", "101", "two"] {
            assert!(parse_precision(nonsense).is_err(), "{nonsense}");
        }
    }
}
