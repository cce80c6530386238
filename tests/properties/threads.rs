//! The same study, seed and build give the same bytes on one, two and eight threads.
//!
//! Compared as text, in which every number is written with all the digits that tell it from its neighbours.

use std::sync::atomic::AtomicBool;

use frytub_sim::monte_carlo::{Settings, compare};
use frytub_sim::study::Study;

use crate::support::Setting;

const PLANS: &str = r#"
[[plan]]
name = "Two by hand"
by_hand = { at = ["08:00", "16:00"], dose = "10 mL" }
[[plan]]
name = "Five by pump"
by_pump = { at = "every 3 h from 07:30 to 20:00", dose = "4 mL", over = "2 min" }
[[plan]]
name = "One by hand, bottom siphoned"
siphon = true
by_hand = { at = ["12:00"], dose = "20 mL" }
"#;

fn told(study: &Study, threads: usize) -> String {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
    let settings = Settings { seed: 3, broods: 50, precision: None, likely_only: false };
    let told = pool.install(|| compare(study, &settings, &(), &AtomicBool::new(false))).expect("a sound study");
    assert!(told.worlds > 16, "{} worlds are too few to keep eight threads busy more than once", told.worlds);
    format!("{told:?}")
}

#[test]
fn one_two_and_eight_threads_tell_the_same() {
    let mix = "microworm = \"100 per mL\"\n\"egg yolk\" = \"0.02 mg per mL\"";
    let study = Setting { mix, plans: PLANS, drip: "100 mL/h", days: 5, ..Setting::default() }.study();
    let one = told(&study, 1);
    for threads in [2, 8] {
        assert!(told(&study, threads) == one, "{threads} threads tell something else than one");
    }
}
