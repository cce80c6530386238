//! A cone with air, against twenty thousand particles followed one by one.
//!
//! Every particle goes its own way in steps of a quarter of a second: it may be drawn, it may land, and if it lands, at a
//! place of the floor taken at random, it may lie on the dead part, stick elsewhere, or come back later. Nothing is shared
//! with the model but the properties of water; the dead share is the tests' own. Particles of 100 µm yolk sink at 0.2 to
//! 0.5 mm/s. Agreement: within three standard errors of the binomial count, which is about one part in a hundred; the
//! step of a quarter of a second against a return within 30 s is worth a tenth of that.

use frytub_sim::numbers::ReservoirNumbers;
use frytub_sim::study::{Shape, Stone};

use super::second_hand::Walls;
use super::{ITEMS, cone, filled, lasting, numbers, reservoir};

const PARTICLES: u32 = 20_000;
const STEP_S: f64 = 0.25;
const FULL_ML: f64 = 400.0;
const DRAWN_ML: f64 = 320.0;
const RUN_MIN: f64 = 40.0;

/// Steele, Lea & Flood 2014's mixer (Proc. OOPSLA, 453–472), written out so that no stream of the model is used.
struct Dice(u64);

impl Dice {
    fn throw(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Place {
    Afloat,
    Resting,
    Stuck,
    Drawn,
}

/// Shares of the particles afloat, resting, stuck and drawn after the run.
fn particles(walls: &Walls, place: &ReservoirNumbers<f64>, speed_m_s: f64, stick: f64, seed: u64) -> [f64; 4] {
    let mut dice = Dice(seed);
    let steps = (RUN_MIN * 60.0 / STEP_S) as usize;
    let flow = DRAWN_ML * 1e-6 / (RUN_MIN * 60.0);
    let mut at = vec![Place::Afloat; PARTICLES as usize];
    let returns = -(-STEP_S / place.slide_s).exp_m1();
    for step in 0..steps {
        let volume = FULL_ML * 1e-6 - flow * STEP_S * (step as f64 + 0.5);
        let (_, area) = walls.height_and_area(volume);
        let (leaves, lands) = (flow / volume, speed_m_s * area / volume);
        let moves = -(-(leaves + lands) * STEP_S).exp_m1();
        let dead = walls.dead(volume);
        for particle in &mut at {
            match particle {
                Place::Afloat if dice.throw() < moves => {
                    *particle = if dice.throw() < leaves / (leaves + lands) {
                        Place::Drawn
                    } else if dice.throw() < dead || dice.throw() < stick {
                        Place::Stuck
                    } else {
                        Place::Resting
                    };
                }
                Place::Resting if dice.throw() < returns => *particle = Place::Afloat,
                _ => (),
            }
        }
    }
    [Place::Afloat, Place::Resting, Place::Stuck, Place::Drawn]
        .map(|place| at.iter().filter(|&&p| p == place).count() as f64 / f64::from(PARTICLES))
}

fn assert_agrees(shape: &Shape, place: &ReservoirNumbers<f64>, speed_mm_s: f64, stick: f64, seed: u64) {
    let theirs = particles(&Walls::new(shape, Stone::Middle, place), place, speed_mm_s / 1000.0, stick, seed);
    let reservoir = reservoir(shape.clone(), Stone::Middle, place);
    let mut vessel = filled(&reservoir, place, &[lasting(speed_mm_s, stick)], FULL_ML);
    let drawn = vessel.draw(DRAWN_ML, RUN_MIN / 60.0).food[0].items();
    let places = vessel.stocks[0].fresh;
    let ours = [places.suspended, places.resting, places.stuck, drawn].map(|items| items / ITEMS);
    eprintln!("{shape:?}, {speed_mm_s} mm/s, sticking {stick}: ours {ours:.4?}, one by one {theirs:.4?}");
    for (ours, theirs) in ours.into_iter().zip(theirs) {
        let error = (ours * (1.0 - ours) / f64::from(PARTICLES)).sqrt();
        assert!((ours - theirs).abs() < 3.0 * error, "{ours} against {theirs}: {:.1} errors", (ours - theirs) / error);
    }
}

#[test]
fn a_steep_cone_delivers_what_particles_one_by_one_say() {
    assert_agrees(&cone(60.0), &ReservoirNumbers { dead_floor: 0.002, ..numbers() }, 0.21, 0.01, 1);
}

#[test]
fn a_half_steep_cone_with_a_dead_ring_does_too() {
    assert_agrees(&cone(52.0), &ReservoirNumbers { slide_s: 60.0, ..numbers() }, 0.5, 0.003, 2);
}
