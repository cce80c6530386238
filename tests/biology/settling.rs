//! What sinks in a whole tub, held against the closed form, from the scenario to the looks into the tub.
//!
//! In stirred water with a floor that keeps a share f of what lands, items of one speed w leave the water of depth H as
//! exp(−(f·w/H + Q/V)·t), Q being the drip and V the tub; what lies on the bottom is the part f·w/H of what has left.
//! The speed is Ferguson & Church's, taken from the reference table (iapws 1.5.5 water) and not from the model. Particles
//! of 50 µm, 50 kg/m³ heavier than water, 28 °C, in the dark, so that nobody eats. Tolerance: four standard deviations of
//! the binomial count plus 2 parts in 10 000 for the water's viscosity. Without air every landing stays (f = 1).

use frytub_sim::brood::Mode;
use frytub_sim::chance::{Source, Streams};
use frytub_sim::clock::TimeOfDay;
use frytub_sim::numbers::Range;
use frytub_sim::physics::water::density_kg_m3;
use frytub_sim::study::Study;
use frytub_sim::tub::TubState;
use frytub_sim::worlds;

use crate::reference::sinking::tabled_speed_m_s;
use crate::support::{SEED, Setting, run};

const DEPTH_MM: f64 = 100.0;
const VOLUME_ML: f64 = 2000.0;
const FED_AT_H: f64 = 1.0;

fn study(items: u32, drip_ml_h: u32, kept: Option<f64>) -> Study {
    let drip = format!("{drip_ml_h} mL/h");
    let plans = format!("[[plan]]\nname = \"plan\"\nby_hand = {{ at = [\"01:00\"], dose = \"{items} items\" }}");
    let mix = "\"powder under 50 um\" = \"50000 per mL\"";
    let setting = Setting { fry: 1, days: 1, drip: &drip, mix, plans: &plans, ..Setting::default() };
    let mut study = setting.study();
    let numbers = &mut study.foods.iter_mut().find(|food| food.name == "powder under 50 um").expect("powder").numbers;
    for (key, value) in [
        ("width_um", 50.0),
        ("width_spread", 0.0),
        ("limb_factor", 1.0),
        ("largest_um", 1000.0),
        ("wet_kg_m3", density_kg_m3(28.0) + 50.0),
        ("shape_factor", 1.0),
        ("life_h", 5e9),
        ("stay_share", kept.unwrap_or(0.1)),
    ] {
        *numbers.get_mut(key).expect("a number of a food") = Range::certain(value);
    }
    study.tubs[0].air = kept.is_some();
    // Dark but for the day's last minute.
    study.light_on = TimeOfDay::from_minutes(23 * 60 + 58).expect("a time");
    study.light_off = TimeOfDay::from_minutes(23 * 60 + 59).expect("a time");
    study
}

fn assert_settles(items: u32, drip_ml_h: u32, kept: Option<f64>, mode: Mode) {
    let study = study(items, drip_ml_h, kept);
    let record = run(&study, 0, &worlds::likely(&study), Streams::new(6, 1, 1), mode);
    let given = f64::from(items);
    let speed_mm_h = tabled_speed_m_s(28.0, 50.0, 50.0) * 1000.0 * 3600.0;
    let landing = kept.unwrap_or(1.0) * speed_mm_h / DEPTH_MM;
    let leaving = landing + f64::from(drip_ml_h) / VOLUME_ML;
    let mut compared = 0;
    for look in record.looks.iter().filter(|look| look.hour > FED_AT_H && look.hour < 23.9) {
        let gone = -(-leaving * (look.hour - FED_AT_H)).exp_m1();
        for (what, per_ml, share) in
            [("water", &look.in_water, 1.0 - gone), ("bottom", &look.on_bottom, gone * landing / leaving)]
        {
            let items = per_ml.iter().sum::<f64>() * VOLUME_ML;
            let tolerance = 4.0 * (given * share * (1.0 - share)).sqrt() + 2e-4 * given;
            let off = items - given * share;
            assert!(off.abs() <= tolerance, "{mode:?}, {:.2} h, {what}: {items} for {}", look.hour, given * share);
        }
        compared += 1;
    }
    assert!(compared >= 20, "only {compared} looks");
}

#[test]
fn stirred_settling_follows_its_closed_form_in_a_whole_tub() {
    assert_settles(400_000, 0, None, Mode::Leaps);
    assert_settles(400_000, 300, None, Mode::Leaps);
    assert_settles(400_000, 300, Some(0.4), Mode::Leaps);
}

#[test]
fn stirred_settling_played_item_by_item_follows_its_closed_form() {
    assert_settles(3_000, 300, Some(0.4), Mode::Exact);
}

/// What lands is within reach still, if less: over a leap the mean number within reach must be that of many small steps,
/// and not that of a steady exponential loss, which made fry eat 2 % too little of food that sinks. Tolerance 3 parts in
/// a thousand: the binomial noise of a million worms, and steps of a thirtieth of the leap, taken at their middles.
#[test]
fn worms_that_have_landed_are_not_lost_to_the_fry() {
    let mut study = Setting { mix: "microworm = \"100 per mL\"", drip: "200 mL/h", ..Setting::default() }.study();
    study.fish.bottom_reach = Range::certain(0.5);
    let world = worlds::likely(&study);
    let tub = TubState::new(&study, &world, 0, Streams::new(1, 0, 0).shared(Source::Tub));
    let class = tub.classes.iter().position(|class| study.foods[class.food].name == "microworm").expect("worms");
    for hours in [0.03, 0.1, 0.5] {
        let mut tub = tub.clone();
        tub.add(class, 0, 1_000_000);
        let told = tub.mean_share_within_reach(class, 0.0, hours);
        let step = hours / 30.0;
        tub.leap(class, 0.0, 0.5 * step);
        let mut sum = 0.0;
        for _ in 0..30 {
            sum += tub.within_reach(class);
            tub.leap(class, 0.0, step);
        }
        let mean = sum / 30.0 / 1e6;
        assert!(mean < 0.95, "{hours} h: the worms must have begun to land, {mean}");
        assert!((told / mean - 1.0).abs() < 0.003, "{hours} h: {told} told, {mean} by small steps");
    }
}

/// Food that the air keeps up entirely lands like any other once the air has stopped, and is kept up again afterwards. It
/// once stayed up for good.
#[test]
fn without_air_everything_lands_whatever_the_air_kept_up() {
    let with = |stay_share: f64| {
        let mut study = Setting { mix: "microworm = \"100 per mL\"", ..Setting::default() }.study();
        study.foods.iter_mut().for_each(|food| food.numbers.stay_share = Range::certain(stay_share));
        let world = worlds::likely(&study);
        let mut tub = TubState::new(&study, &world, 0, Streams::new(SEED, 1, 1).shared(Source::Tub));
        [true, false, true].map(|runs| {
            tub.set_air(runs);
            tub.rates(0).landing_per_h
        })
    };
    let (none, half) = (with(0.0), with(0.5));
    assert!(none[1] > 0.0 && none == [0.0, none[1], 0.0], "{none:?}");
    assert_eq!(half, [0.5 * none[1], none[1], 0.5 * none[1]]);
}
