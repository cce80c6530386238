//! Small scenarios for the tests, written as a breeder would write them, and broods run from them.
//!
//! Knows how a file is put together; knows nothing of what any test expects. Beside it: statistics that only tests need.

pub mod shares;
pub mod survival;

use frytub_scenarios::{example, read_text};
use frytub_sim::brood::diary::BroodRecord;
use frytub_sim::brood::{self, BroodSetup, Mode};
use frytub_sim::chance::Streams;
use frytub_sim::study::Study;
use frytub_sim::worlds::{self, Block, World};

use survival::Life;

/// Seed of all broods in these tests.
pub const SEED: u64 = 11;

/// A scenario with the parts that tests vary; everything else is plain and punctual.
#[derive(Debug, Clone, Copy)]
pub struct Setting<'a> {
    /// Name of the fish in the library.
    pub fish: &'a str,
    /// Fry at the start.
    pub fry: u32,
    /// Days followed.
    pub days: u32,
    /// Water, with its unit; a range may be given.
    pub volume: &'a str,
    /// Fresh water coming in.
    pub drip: &'a str,
    /// Further lines of the tub.
    pub tub: &'a str,
    /// The lines of the only mix.
    pub mix: &'a str,
    /// The `[[plan]]` tables.
    pub plans: &'a str,
    /// `[change.…]` tables and further mixes or recipes, if any.
    pub more: &'a str,
}

impl Default for Setting<'_> {
    fn default() -> Self {
        Self {
            fish: "dwarf cichlid",
            fry: 20,
            days: 3,
            volume: "2 L",
            drip: "0 mL/h",
            tub: "",
            mix: "rotifer = \"100 per mL\"",
            plans: "[[plan]]\nname = \"plan\"\nby_pump = { at = [\"08:00\", \"16:00\"], dose = \"10 mL\" }",
            more: "",
        }
    }
}

impl Setting<'_> {
    /// The scenario, checked.
    pub fn study(&self) -> Study {
        let Self { fish, fry, days, volume, drip, tub, mix, plans, more } = self;
        // A bare "2 L" is quoted here; a range in braces is not.
        let volume = if volume.starts_with('{') { (*volume).to_owned() } else { format!("\"{volume}\"") };
        let text = format!(
            r#"
name = "Test"
show_day = 1
[brood]
fish = "{fish}"
fry = {fry}
days = {days}
weaning_food = "newly hatched brine shrimp, small strain"
[tub]
volume = {volume}
depth = "10 cm"
temperature = "28 C"
drip = "{drip}"
air = "gentle"
light = {{ on = "07:00", off = "21:00" }}
{tub}
[keeper]
visits = ["08:00"]
late = "0 min"
very_late = "0 in 100"
missed = "0 in 100"
water_change = "0 %"
[mix.food]
{mix}
[[recipe]]
from_day = 1
mix = "food"
{plans}
{more}
"#
        );
        read_text("test.toml", &text).unwrap_or_else(|error| panic!("{error}")).study
    }
}

/// The study of a built-in example.
pub fn example_study(name: &str) -> Study {
    let scenario = example(name).unwrap_or_else(|error| panic!("{error}")).read();
    scenario.unwrap_or_else(|error| panic!("{error}")).study
}

/// Runs one brood of a plan in a world, with the day shown written down.
pub fn run(study: &Study, plan: usize, world: &World, streams: Streams, mode: Mode) -> BroodRecord {
    brood::run(&BroodSetup { study, plan, world, streams, mode, show_day: true, forced: None })
}

/// Broods of a plan with every number at its most likely value, one after the other.
pub fn likely_broods(study: &Study, plan: usize, mode: Mode, broods: u32) -> Vec<BroodRecord> {
    let world = worlds::likely(study);
    (0..broods).map(|brood| run(study, plan, &world, Streams::new(SEED, 1, brood), mode)).collect()
}

/// One brood of a plan in each of so many worlds.
pub fn brood_a_world(study: &Study, plan: usize, worlds: u32) -> Vec<BroodRecord> {
    let block = Block::draw(&worlds::uncertain(study), SEED, 1, worlds);
    let one = |w: u32| {
        let world = block.world(study, w as usize);
        run(study, plan, &world, Streams::new(SEED, w + 1, 1), Mode::Leaps)
    };
    (0..worlds).map(one).collect()
}

/// The lives of all fry of some broods that were followed for so many hours.
pub fn lives(broods: &[BroodRecord], hours: f64) -> Vec<Life> {
    let dead = |brood: &BroodRecord| -> Vec<Life> {
        brood.deaths.iter().map(|death| Life { at: death.hour, ended: true }).collect()
    };
    let living = |brood: &BroodRecord| vec![Life { at: hours, ended: false }; brood.fry - brood.deaths.len()];
    broods.iter().flat_map(|brood| [dead(brood), living(brood)].concat()).collect()
}

/// Index of the plan of a name.
pub fn plan_called(study: &Study, name: &str) -> usize {
    let found = study.plans.iter().position(|plan| plan.name == name);
    found.unwrap_or_else(|| panic!("no plan {name:?} among {:?}", study.plans.iter().map(|p| &p.name)))
}

/// Mean of values that are numbers.
pub fn mean(values: impl IntoIterator<Item = f64>) -> f64 {
    let (sum, count) =
        values.into_iter().filter(|v| !v.is_nan()).fold((0.0, 0), |(sum, count), value| (sum + value, count + 1));
    sum / f64::from(count)
}

/// The 10 % point, the median and the 90 % point of values that are numbers.
pub fn tenths(values: impl IntoIterator<Item = f64>) -> [f64; 3] {
    let spread = frytub_sim::statistics::spread(values);
    [spread.low, spread.median, spread.high]
}
