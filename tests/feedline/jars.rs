//! Jar tests: what Bayes' rule over worlds makes of a reading, against the same rule worked out on a grid, and against
//! readings made up from a world that is known.

use frytub_sim::jar_tests::learn;
use frytub_sim::numbers::{Range, Scale};
use frytub_sim::outcome::JarLearnt;
use frytub_sim::study::{JarKind, JarTest, Study};
use frytub_sim::worlds::{uncertain, value_at};

use crate::support::{SEED, Setting};

/// A tub with a reservoir that one sinking animal waits in, of which only the sinking speed is uncertain.
fn study(tests: Vec<JarTest>) -> Study {
    let more = "[[reservoir]]\nname = \"box\"\nkind = \"box\"\n\
                [feed_line]\npump = \"20 mL/min\"\ntimer = \"one-minute timer\"\ntube_length = \"1 m\"\n\
                tube_bore = \"4 mm\"\ntube_end = \"40 mm\"\nabove_tub = \"30 cm\"\n";
    let mut study = Setting { mix: "microworm = \"100 per mL\"", more, ..Setting::default() }.study();
    for food in &mut study.foods {
        food.numbers = food.numbers.map(|_, range| Range::certain(range.likely()));
    }
    for reservoir in &mut study.reservoirs {
        reservoir.numbers = reservoir.numbers.map(|_, range| Range::certain(range.likely()));
    }
    let worm = study.foods.iter().position(|food| food.name == "microworm").expect("worms");
    assert_eq!(worm, 0);
    study.foods[worm].numbers.sink_mm_s = Range::new(0.05, 0.4, 0.9).expect("a range");
    study.jar_tests = tests;
    study
}

fn still(in_suspension: f64, reading_error: f64) -> JarTest {
    let how = JarKind::Still { height_mm: 100.0, celsius: 24.0 };
    JarTest { food: 0, how, after_min: 2.0, in_suspension, reading_error }
}

/// Mean of the speed given a reading, by Bayes' rule on a fine grid of its quantiles.
fn on_a_grid(range: &Range, reading: f64, error: f64) -> f64 {
    let n = 20_000;
    let (mut sum, mut weights) = (0.0, 0.0);
    for k in 0..n {
        let speed = value_at(range, Scale::Even, (f64::from(k) + 0.5) / f64::from(n));
        // Of a column of 100 mm, what has not sunk through in two minutes.
        let foretold = (1.0 - speed * 120.0 / 100.0).max(0.0);
        let weight = (-0.5 * ((foretold - reading) / error).powi(2)).exp();
        sum += weight * speed;
        weights += weight;
    }
    sum / weights
}

/// Tolerance: a thousand draws chosen evenly from three thousand candidates.
#[test]
fn a_still_jar_teaches_what_bayes_rule_says() {
    let range = Range::new(0.05, 0.4, 0.9).expect("a range");
    for (reading, error) in [(0.7, 0.07), (0.45, 0.07), (0.2, 0.15)] {
        let study = study(vec![still(reading, error)]);
        let learnt = learn(&study, &uncertain(&study), SEED).expect("something to learn");
        let [finding] = &learnt.findings[..] else { panic!("one finding: {:?}", learnt.findings) };
        let expected = on_a_grid(&range, reading, error);
        assert_eq!(finding.what, JarLearnt::SinkingSpeed);
        assert!(!finding.is_surprise);
        assert!((finding.after.mean / expected - 1.0).abs() < 0.03, "{reading}: {:?}, {expected}", finding.after);
        assert!(finding.after.high - finding.after.low < finding.before.high - finding.before.low, "{finding:?}");
    }
}

#[test]
fn two_tests_together_tell_speed_and_sticking_apart() {
    let mut study = study(Vec::new());
    study.reservoirs[0].numbers.dead_floor = Range::new(0.02, 0.2, 0.6).expect("a range");
    study.reservoirs[0].numbers.lift_pa = Range::certain(0.002);
    let stirred = |in_suspension: f64| JarTest {
        how: JarKind::Stirred { reservoir: 0, volume_ml: 1000.0 },
        after_min: 30.0,
        in_suspension,
        ..still(0.0, 0.05)
    };
    study.jar_tests = vec![still(0.52, 0.05), stirred(0.3)];
    let learnt = learn(&study, &uncertain(&study), SEED).expect("something to learn");
    let told = |what: JarLearnt| learnt.findings.iter().find(|finding| finding.what == what).expect("a finding");
    let speed = told(JarLearnt::SinkingSpeed);
    // 52 of 100 left after 2 min in 100 mm: 0.4 mm/s.
    assert!((speed.after.median - 0.4).abs() < 0.03, "{speed:?}");
    // A litre over 144 cm² is 69.4 mm high, and a landing that is not for good is soon back: exp(−λ·w·t/H) = 0.3 over
    // half an hour at 0.4 mm/s gives λ = 0.116, less what is on its way back.
    let staying = told(JarLearnt::StayingShare(0));
    assert!((staying.after.median - 0.116).abs() < 0.025, "{staying:?}");
    assert!(staying.after.high - staying.after.low < 0.5 * (staying.before.high - staying.before.low), "{staying:?}");
}

#[test]
fn readings_that_no_world_explains_are_told() {
    let one = still(0.95, 0.02);
    let other = still(0.1, 0.02);
    let study = study(vec![one, other]);
    let learnt = learn(&study, &uncertain(&study), SEED).expect("something to learn");
    assert!(learnt.findings.iter().all(|finding| finding.is_surprise), "{:?}", learnt.findings);
}

/// The worlds of a comparison have the numbers that the tests left likely, and all their other numbers as before.
#[test]
fn worlds_are_taught_and_nothing_else_moves() {
    use frytub_sim::worlds::Block;
    let study = study(vec![still(0.7, 0.03)]);
    let slots = uncertain(&study);
    let learnt = learn(&study, &slots, SEED).expect("something to learn");
    let before = Block::draw(&slots, SEED, 1, 40);
    let mut after = before.clone();
    learnt.teach(&mut after, SEED, 1);
    let speed = slots.iter().position(|slot| slot.name == "microworm: sink_mm_s").expect("the speed");
    for world in 0..40 {
        for (at, (old, new)) in before.quantiles(world).iter().zip(after.quantiles(world)).enumerate() {
            assert!(at == speed || old.to_bits() == new.to_bits(), "{}", slots[at].name);
        }
        let sinks = after.world(&study, world).foods[0].sink_mm_s;
        assert!((0.1..0.45).contains(&sinks), "0.25 ± 0.025 mm/s were read, {sinks}");
    }
}

/// Three tests that agree hid a fourth that no world explains beside them.
#[test]
fn one_reading_at_odds_with_three_others_is_told() {
    let agreeing = still(0.6, 0.03);
    let odd = still(0.45, 0.03);
    let study = study(vec![agreeing.clone(), agreeing.clone(), agreeing, odd]);
    let learnt = learn(&study, &uncertain(&study), SEED).expect("something to learn");
    assert!(learnt.findings.iter().all(|finding| finding.is_surprise), "{:?}", learnt.findings);
}

/// A still jar changed the draws of numbers that it tells nothing of: the width of an animal whose speed is tabled, how
/// food sticks, and where the currents of a reservoir reach.
#[test]
fn a_still_jar_leaves_alone_what_it_cannot_tell_of() {
    use frytub_sim::worlds::Block;
    let mut study = study(vec![still(0.7, 0.03)]);
    study.foods[0].numbers.width_um = Range::new(15.0, 20.0, 30.0).expect("a range");
    study.foods[0].numbers.stick_chance = Range::new(1e-4, 1e-3, 1e-2).expect("a range");
    study.reservoirs[0].numbers.dead_floor = Range::new(0.02, 0.2, 0.6).expect("a range");
    let slots = uncertain(&study);
    let before = Block::draw(&slots, SEED, 1, 20);
    let mut after = before.clone();
    learn(&study, &slots, SEED).expect("something to learn").teach(&mut after, SEED, 1);
    let moved = |at: &usize| (0..20).any(|w| before.quantiles(w)[*at].to_bits() != after.quantiles(w)[*at].to_bits());
    let moved: Vec<&str> = (0..slots.len()).filter(moved).map(|at| slots[at].name.as_str()).collect();
    assert_eq!(moved, ["microworm: sink_mm_s"]);
}

/// Four careful readings made up from one world were taken for readings that no world explains: too few of the candidates
/// came near all of them.
#[test]
fn careful_readings_that_fit_together_are_no_surprise() {
    let mut study = study(Vec::new());
    study.reservoirs[0].numbers.lift_pa = Range::certain(0.002);
    study.reservoirs[0].numbers.dead_floor = Range::new(0.02, 0.2, 0.6).expect("a range");
    study.reservoirs[0].numbers.slide_s = Range::new(5.0, 30.0, 300.0).expect("a range");
    study.foods[0].numbers.stick_chance = Range::new(1e-4, 1e-3, 1e-1).expect("a range");
    // 0.3 mm/s, λ = 0.2: exp(−0.2 × 0.3 × t / H), less a hundredth on its way back.
    let stirred = |volume_ml: f64, height_mm: f64, after_min: f64| {
        let in_suspension = 0.99 * (-0.2 * 0.3 * 60.0 * after_min / height_mm).exp();
        let how = JarKind::Stirred { reservoir: 0, volume_ml };
        JarTest { how, after_min, in_suspension, ..still(0.0, 0.012) }
    };
    study.jar_tests = vec![
        still(0.64, 0.012),
        JarTest { after_min: 4.0, ..still(0.28, 0.012) },
        stirred(1000.0, 69.44, 20.0),
        stirred(1000.0, 69.44, 40.0),
    ];
    let learnt = learn(&study, &uncertain(&study), SEED).expect("something to learn");
    assert!(learnt.findings.iter().all(|finding| !finding.is_surprise), "{:?}", learnt.findings);
}
