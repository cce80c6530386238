//! Nothing is lost between the jug and the end of the feed tube, and nothing falls below nothing, in reservoirs, foods and
//! days put together at random. Sums of items agree to one part in a thousand million of what was poured in.

use frytub_sim::feedline::portion::Portion;
use frytub_sim::feedline::tube::Tube;
use frytub_sim::feedline::vessel::{Habits, Places, Vessel};
use frytub_sim::numbers::{LineNumbers, ReservoirNumbers};
use frytub_sim::study::{FloorPart, Shape, Stone};
use proptest::prelude::*;

use super::{line_numbers, numbers, reservoir};

const ROUNDING: f64 = 1e-9;

fn shapes() -> impl Strategy<Value = Shape> {
    prop_oneof![
        (40.0..300.0_f64, 30.0..200.0_f64).prop_map(|(length_mm, width_mm)| Shape::Box { length_mm, width_mm }),
        (30.0..200.0_f64).prop_map(|diameter_mm| Shape::Cylinder { diameter_mm }),
        (30.0..200.0_f64, 5.0..85.0_f64).prop_map(|(diameter_mm, slope_deg)| Shape::Cone { diameter_mm, slope_deg }),
        prop::collection::vec((0.0..89.0_f64, 50.0..9000.0_f64), 1..5).prop_map(|parts| Shape::Own {
            floor: parts.into_iter().map(|(slope_deg, area_mm2)| FloorPart { slope_deg, area_mm2 }).collect(),
        }),
    ]
}

fn places() -> impl Strategy<Value = ReservoirNumbers<f64>> {
    let air = prop_oneof![Just(0.0), 10.0..2000.0_f64];
    let exponents = (-4.0..0.0_f64, -1.0..3.5_f64, -4.0..0.0_f64);
    (air, exponents, 0.0..60.0_f64, 1.0..36.0_f64).prop_map(|(air_ml_min, (dead, slide, lift), dry_ml, celsius)| {
        ReservoirNumbers {
            air_ml_min,
            dead_floor: 10_f64.powf(dead),
            slide_s: 10_f64.powf(slide),
            lift_pa: 10_f64.powf(lift),
            temperature_c: celsius,
            dry_ml,
            ..numbers()
        }
    })
}

/// Speeds fresh and stale, sticking, ageing: from what swims to what falls like a cyst.
fn foods() -> impl Strategy<Value = Vec<Habits>> {
    let speed = || prop_oneof![Just(0.0), (-3.0..1.0_f64).prop_map(|x| 10_f64.powf(x))];
    let one = (speed(), speed(), -5.0..0.0_f64, prop_oneof![Just(0.0), 0.001..20.0_f64], 1_usize..=3);
    let one = one.prop_map(|(fresh_mm_s, stale_mm_s, stick, ageing_per_h, stages)| Habits {
        fresh_mm_s,
        stale_mm_s,
        stick: 10_f64.powf(stick),
        ageing_per_h,
        stages,
    });
    prop::collection::vec(one, 1..4)
}

/// What happens at the line: what, how much (0 to 1), how long (0 to 1).
fn days() -> impl Strategy<Value = Vec<(u8, f64, f64)>> {
    prop::collection::vec((0_u8..8, 0.0..1.0_f64, 0.0..1.0_f64), 1..40)
}

fn whole(places: &Places) -> bool {
    [places.suspended, places.resting, places.stuck, places.clear_mm].iter().all(|&x| x >= 0.0)
}

fn items(vessel: &Vessel<'_>, class: usize) -> f64 {
    vessel.stocks[class].fresh.all() + vessel.stocks[class].stale.all()
}

fn sound(portion: &Portion) -> bool {
    portion.fresh >= 0.0 && portion.stale >= 0.0 && portion.age >= 0.0
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn poured_in_is_arrived_and_under_way_and_thrown_away(
        shape in shapes(),
        at_one_end in any::<bool>(),
        intake_mm in 0.0..20.0_f64,
        place in places(),
        foods in foods(),
        (bore_mm, length_m, pump_ml_min) in (2.0..8.0_f64, 0.0..4.0_f64, 2.0..150.0_f64),
        days in days(),
    ) {
        let stone = if at_one_end { Stone::OneEnd } else { Stone::Middle };
        let mut reservoir = reservoir(shape, stone, &place);
        reservoir.intake_mm = intake_mm;
        let line = LineNumbers { bore_mm, length_m, pump_ml_min, ..line_numbers() };
        let mut vessel = Vessel::new(&reservoir, &place, foods.clone());
        let ageing: Vec<f64> = foods.iter().map(|food| food.ageing_per_h).collect();
        let mut tube = Tube::new(&line, place.lift_pa, 27.0, &foods, &ageing);
        let (mut poured, mut away, mut arrived) =
            (vec![0.0; foods.len()], vec![0.0; foods.len()], vec![0.0; foods.len()]);
        let (mut drawn_ml, mut came_ml, mut now) = (0.0, 0.0, 0.0);
        // A first filling, then whatever comes; doses shrink to none at all.
        for (what, much, long) in [(0, 0.7, 0.0)].into_iter().chain(days) {
            match what {
                0 => {
                    for class in 0..foods.len() {
                        away[class] += items(&vessel, class);
                        poured[class] += 5000.0 * much;
                    }
                    vessel.refill(30.0 + 970.0 * much, (0..foods.len()).map(|class| (class, 5000.0 * much)));
                    tube.is_handled();
                }
                1..=3 => {
                    vessel.wait(6.0 * long * long);
                    now += 6.0 * long * long;
                }
                _ => {
                    let (wanted, hours) = (200.0 * much * much, 0.01 + 2.0 * long * long);
                    let (before, volume) = (vessel.clone(), vessel.volume_ml);
                    let draught = vessel.draw(wanted, hours);
                    prop_assert!(draught.water_ml >= 0.0 && draught.water_ml <= wanted);
                    prop_assert!((volume - draught.water_ml - vessel.volume_ml).abs() < 1e-9 * volume);
                    for (class, portion) in draught.food.iter().enumerate() {
                        prop_assert!(sound(portion), "{portion:?}");
                        let gone = items(&before, class) - items(&vessel, class);
                        prop_assert!((gone - portion.items()).abs() <= ROUNDING * poured[class], "{gone} {portion:?}");
                    }
                    drawn_ml += draught.water_ml;
                    let arrival = tube.push(draught, wanted, now);
                    now += hours;
                    came_ml += arrival.water_ml;
                    for (class, portion) in arrival.food {
                        prop_assert!(sound(&portion), "{portion:?}");
                        arrived[class] += portion.items();
                    }
                }
            }
            prop_assert!(came_ml <= drawn_ml + frytub_sim::physics::tubes::hold_up_ml(bore_mm, length_m) + 1e-6);
            for (class, under_way) in tube.items().into_iter().enumerate() {
                let stock = vessel.stocks[class];
                prop_assert!(whole(&stock.fresh) && whole(&stock.stale) && stock.age >= 0.0, "{stock:?}");
                let found = arrived[class] + under_way + items(&vessel, class) + away[class];
                prop_assert!((found - poured[class]).abs() <= ROUNDING * poured[class], "{found} of {}", poured[class]);
            }
        }
    }
}

/// Running a pump on an empty reservoir once gave amounts that were no numbers.
#[test]
fn an_empty_reservoir_gives_nothing_however_often_it_is_asked() {
    let place = numbers();
    for dry_ml in [0.0, 7.3] {
        let place = ReservoirNumbers { dry_ml, ..place.clone() };
        let reservoir = reservoir(Shape::Cone { diameter_mm: 90.0, slope_deg: 60.0 }, Stone::Middle, &place);
        let food = Habits { fresh_mm_s: 0.3, stale_mm_s: 0.3, stick: 1e-3, ageing_per_h: 0.5, stages: 1 };
        let mut vessel = Vessel::new(&reservoir, &place, vec![food]);
        vessel.refill(200.0, [(0, 1000.0)]);
        for run in 0..20 {
            let draught = vessel.draw(33.3, 0.1);
            assert!(sound(&draught.food[0]) && draught.water_ml >= 0.0, "{draught:?}");
            assert!(run < 7 || draught.water_ml == 0.0 && draught.food[0].items() == 0.0, "{draught:?}");
        }
    }
}

/// A dose of next to nothing once kept the tube busy for ever.
#[test]
fn a_dose_of_next_to_nothing_passes() {
    let mut tube = Tube::new(&line_numbers(), 0.018, 27.0, &[], &[]);
    let nothing = frytub_sim::feedline::vessel::Draught { water_ml: 5e-324, food: Vec::new() };
    assert!(tube.push(nothing, 5e-324, 0.0).water_ml < 1e-300);
}
