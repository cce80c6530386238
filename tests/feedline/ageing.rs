//! Food that waits grows old: in the reservoir by its temperature, in the tube faster, animals in three stages.
//!
//! The survival of animals is that of an Erlang life of three equal stages whose median is the tabled life, here from the
//! gamma distribution of statrs; that of particles is exponential. Tolerance 1e-9 of the food, for the model's own sums
//! are closed forms as well.

use frytub_sim::feedline::tube::Tube;
use frytub_sim::feedline::vessel::{Habits, Vessel};
use frytub_sim::food::pools::Rates;
use frytub_sim::numbers::ReservoirNumbers;
use frytub_sim::study::{Stone, Study};
use frytub_sim::worlds::{self, World};
use statrs::distribution::{ContinuousCDF, Gamma};

use super::{ITEMS, cone, cylinder, line_numbers, numbers, reservoir};
use crate::support::Setting;

const NAUPLII: &str = "newly hatched brine shrimp, small strain";
const PARTICLES: &str = "powder 50 to 100 um";

fn study() -> Study {
    let mix = format!("\"{NAUPLII}\" = \"100 per mL\"\n\"{PARTICLES}\" = \"0.1 mg per mL\"");
    Setting { mix: &mix, ..Setting::default() }.study()
}

/// Habits of the first class of a library food at its most likely numbers, and its tabled life, h.
fn habits(study: &Study, world: &World, food: &str, place: &ReservoirNumbers<f64>) -> (Habits, f64) {
    let at = study.foods.iter().position(|f| f.name == food).expect("a food of the mix");
    let class = world.larder.classes.iter().find(|class| class.food == at).expect("a class");
    (Habits::new(class, &study.foods[at], &world.foods[at], place), world.foods[at].life_h)
}

/// Share of animals alive after some hours.
fn alive(hours: f64, half_life_h: f64) -> f64 {
    let one = Gamma::new(3.0, 1.0).expect("a distribution");
    1.0 - one.cdf(hours / half_life_h * one.inverse_cdf(0.5))
}

/// Share still fresh after waiting in a cone, in several pieces.
fn fresh_after(habits: Habits, place: &ReservoirNumbers<f64>, hours: f64) -> f64 {
    let reservoir = reservoir(cone(60.0), Stone::Middle, place);
    let mut vessel = Vessel::new(&reservoir, place, vec![habits]);
    vessel.refill(500.0, [(0, ITEMS)]);
    for share in [0.1, 0.15, 0.5, 0.25] {
        vessel.wait(hours * share);
    }
    vessel.stocks[0].fresh.all() / ITEMS
}

#[test]
fn nauplii_die_in_the_reservoir_as_their_tabled_life_says() {
    let (study, place) = (study(), numbers());
    let world = worlds::likely(&study);
    let (habits, life_h) = habits(&study, &world, NAUPLII, &place);
    assert!((life_h - 5.0).abs() < 1e-12, "half of them are dead after five hours, by the library");
    for hours in [1.0, 5.0, 10.0, 20.0] {
        let (found, expected) = (fresh_after(habits, &place, hours), alive(hours, life_h));
        eprintln!("nauplii after {hours} h: {found:.4} alive");
        assert!((found - expected).abs() < 1e-9, "{hours} h: {found} against {expected}");
    }
    assert!(fresh_after(habits, &place, 10.0) < 0.15, "ten hours are two half-lives and more");
}

#[test]
fn particles_spoil_at_a_constant_rate() {
    let (study, place) = (study(), numbers());
    let world = worlds::likely(&study);
    let (habits, life_h) = habits(&study, &world, PARTICLES, &place);
    for hours in [0.1, 0.5, 2.0_f64] {
        let found = fresh_after(habits, &place, hours);
        assert!((found - (-hours / life_h).exp()).abs() < 1e-9, "{hours} h: {found}");
    }
}

#[test]
fn ten_degrees_colder_it_lasts_q10_times_as_long() {
    let study = study();
    let world = worlds::likely(&study);
    let warm = numbers();
    for q10 in [1.5, 2.0, 3.0] {
        let cold = ReservoirNumbers { temperature_c: 17.0, ageing_q10: q10, ..numbers() };
        for (food, hours) in [(NAUPLII, 6.0), (PARTICLES, 0.4)] {
            let warm_share = fresh_after(habits(&study, &world, food, &warm).0, &warm, hours);
            let cold_share = fresh_after(habits(&study, &world, food, &cold).0, &cold, hours * q10);
            assert!((warm_share - cold_share).abs() < 1e-12, "{food}, Q10 {q10}: {warm_share} and {cold_share}");
        }
    }
}

#[test]
fn in_the_tube_it_ages_so_many_times_as_fast() {
    let study = study();
    let world = worlds::likely(&study);
    // Food drawn fresh from a cold reservoir, then six hours in the tube of a room at 27 °C.
    let place = ReservoirNumbers { temperature_c: 8.0, air_ml_min: 0.0, ..numbers() };
    let (food, life_h) = habits(&study, &world, NAUPLII, &place);
    let reservoir = reservoir(cone(60.0), Stone::Middle, &place);
    let mut vessel = Vessel::new(&reservoir, &place, vec![food]);
    vessel.refill(500.0, [(0, ITEMS)]);
    let mut tube = Tube::new(&line_numbers(), 0.018, 27.0, &[food], &[Rates::ageing(true, life_h).0]);
    let drawn = vessel.draw(18.0, 1e-6);
    let poured = drawn.food[0].items();
    tube.push(drawn, 18.0, 0.0);
    let out = tube.push(vessel.draw(18.0, 1e-6), 18.0, 6.0);
    let (fresh, all) = out.food.iter().fold((0.0, 0.0), |(f, a), (_, p)| (f + p.fresh, a + p.items()));
    // A metre and a half holds 18.85 mL of water first, so nearly the whole first dose comes with the second.
    assert!((all / poured - (36.0 - 18.849_56) / 18.0).abs() < 1e-4, "{all} of {poured}");
    let expected = alive(6.0 * line_numbers().tube_ageing, life_h);
    assert!((fresh / all - expected).abs() < 1e-5, "{} against {expected}", fresh / all);
}

/// Living swimmers stay in the water and their dead sink: over a floor that keeps all, of animals that die at a rate `a`
/// and, dead, land at a rate `k`, there are `e^(−a t)` alive and `a/(k − a)·(e^(−a t) − e^(−k t))` dead and afloat.
///
/// The model lets those that die within a quarter of an hour die at its beginning, hence 2 % of all for the dead (1.3 %
/// when first tried).
#[test]
fn the_dead_sink_and_the_living_do_not() {
    let place = ReservoirNumbers { dead_floor: 1.0, ..numbers() };
    let jar = reservoir(cylinder(), Stone::Middle, &place);
    let food = Habits { fresh_mm_s: 0.0, stale_mm_s: 0.02, stick: 0.0, ageing_per_h: 0.3, stages: 1 };
    let mut vessel = Vessel::new(&jar, &place, vec![food]);
    vessel.refill(1000.0, [(0, ITEMS)]);
    let (a, k) = (0.3, 0.02 * 3600.0 / (1e6 / (2500.0 * std::f64::consts::PI)));
    let mut waited = 0.0;
    for hours in [1.0, 2.0, 4.0_f64] {
        vessel.wait(hours - waited);
        waited = hours;
        let (fresh, stale) = (vessel.stocks[0].fresh, vessel.stocks[0].stale);
        assert!((fresh.suspended / ITEMS - (-a * hours).exp()).abs() < 1e-9, "{hours} h: {fresh:?}");
        let afloat = a / (k - a) * ((-a * hours).exp() - (-k * hours).exp());
        assert!((stale.suspended / ITEMS - afloat).abs() < 0.02, "{hours} h: {stale:?} against {afloat}");
        assert!((stale.all() / ITEMS - (1.0 - (-a * hours).exp())).abs() < 1e-9, "{hours} h: {stale:?}");
    }
}
