//! How fast broods are played: 220 fry for 8 days (`tub.toml`), in the world of the most likely values.
//!
//! One item of the throughput is one fry for one day, of those that the brood starts with. Each turn plays another
//! brood, since no two histories cost the same. The brood with a feed line (`line.toml`) is the last plan's, fed through
//! a reservoir and a tube into a tub whose level moves: it may cost half as much again as that plan, no more.

use divan::Bencher;
use divan::counter::ItemsCount;
use frytub_scenarios::read_text;
use frytub_sim::brood::{self, BroodSetup, Mode};
use frytub_sim::chance::Streams;
use frytub_sim::numbers::Range;
use frytub_sim::study::Study;
use frytub_sim::worlds::{self, BLOCK, Block};

/// Seed of all broods and worlds.
const SEED: u64 = 1;
/// The plans of the tub.
const PLANS: [&str; 4] = ["Two hand feeds", "Two heavier hand feeds", "Four hand feeds", "Eleven small pump feeds"];

fn main() {
    divan::main();
}

/// The tub, as a study.
const TUB: &str = include_str!("tub.toml");
/// The line of it that further tables of the tub are added to.
const AIR: &str = "air = \"gentle\"";

fn read(text: &str) -> Study {
    read_text("tub.toml", text).unwrap_or_else(|error| panic!("{error}")).study
}

fn study() -> Study {
    read(TUB)
}

/// Plays a plan again and again, in the world of the most likely values.
fn play(bencher: Bencher, study: &Study, plan: usize) {
    let world = &worlds::likely(study);
    let mut brood = 0;
    bencher
        .counter(ItemsCount::new(study.fry * study.days))
        .with_inputs(|| {
            brood += 1;
            Streams::new(SEED, 1, brood)
        })
        .bench_local_values(|streams| {
            brood::run(&BroodSetup { study, plan, world, streams, mode: Mode::Leaps, show_day: true, forced: None })
        });
}

/// The same tub with an outlet, and its pump fed from a steep cone.
fn study_with_line() -> Study {
    let with_outlet = format!("{AIR}\noutlet = {{ sponge_face = \"8 cm2\", rim = \"40 mm\" }}");
    let text = TUB.replace(AIR, &with_outlet).replace(", over = \"1 min\"", "");
    read(&(text + include_str!("line.toml")))
}

/// One brood by leaps, plan by plan.
#[divan::bench(args = PLANS)]
fn one_brood(bencher: Bencher, plan: &str) {
    let study = study();
    play(bencher, &study, study.plans.iter().position(|p| p.name == plan).expect("a plan of the tub"));
}

/// The pump plan by leaps with food that lasts and does not settle, so that as much is eaten either way: without its feed
/// line and with it.
#[divan::bench(args = [false, true])]
fn one_brood_with_line(bencher: Bencher, line: bool) {
    let mut study = if line { study_with_line() } else { study() };
    for food in &mut study.foods {
        food.numbers.life_h = Range::certain(1000.0);
        food.numbers.stick_chance = Range::certain(1e-6);
    }
    for reservoir in &mut study.reservoirs {
        reservoir.numbers.lift_pa = Range::certain(1e-4);
    }
    play(bencher, &study, PLANS.len() - 1);
}

/// The pump plan by leaps, without its water and with it: good water, so that as much is eaten either way.
#[divan::bench(args = [false, true])]
fn one_brood_with_water(bencher: Bencher, water: bool) {
    let study = if water { read(&TUB.replace(AIR, &format!("{AIR}\nwater = \"reckoned\""))) } else { study() };
    play(bencher, &study, PLANS.len() - 1);
}

/// The same, and everything that may go wrong switched on: mishaps as rare as usual, so that as much is eaten.
#[divan::bench(args = [false, true])]
fn one_brood_with_mishaps(bencher: Bencher, mishaps: bool) {
    let risky = "\n[mishaps]\n[culture.\"microworm\"]\nlate = \"-20 d\"\ncrash = \"1000 d\"\n";
    let study =
        if mishaps { read(&(TUB.replace(AIR, &format!("{AIR}\nwater = \"reckoned\"")) + risky)) } else { study() };
    play(bencher, &study, PLANS.len() - 1);
}

/// One block of worlds drawn and each given its values; one item is one world.
#[divan::bench]
fn one_block_of_worlds(bencher: Bencher) {
    let study = study();
    let slots = worlds::uncertain(&study);
    bencher.counter(ItemsCount::new(BLOCK)).bench(|| {
        let block = Block::draw(&slots, SEED, 1, BLOCK);
        (0..BLOCK as usize).map(|w| block.world(&study, w)).collect::<Vec<_>>()
    });
}
