//! What keepers of feed lines see, in direction and rough size: common practice, no source, except where one is named.
//!
//! | what is seen | expected | when first tried |
//! |---|---|---|
//! | a flat box, stone at one end, twelve hourly runs: yolk, powder of 50–100 µm | below a quarter | below 0.002 |
//! | a steep cone, the same | above 0.6 | 0.70, 0.72 |
//! | living share of nauplii, last feed of a night against the first | below a third | 0.11 |
//! | living share of Paramecium, the same | above 0.9 | 0.998 |
//!
//! The table of shapes and foods is compared with figures that another implementation of the same equations gave
//! (LSODA, scipy 1.17.1), to two digits. They were computed, not measured, so direction and rough size are asserted:
//! within a factor of two where little comes out. Most agree to a tenth; 20 µm particles in the cone of 45 degrees are
//! the farthest, 0.48 against 0.52. All this hangs on the current's reach: with a cone of 45 degrees and 9 cm instead of 10 the stone
//! sweeps the whole floor at first, and ten times as much of the coarse food comes out.

use frytub_sim::clock::{Moment, Span, TimeOfDay};
use frytub_sim::cultures::Calendar;
use frytub_sim::feedline::portion::Portion;
use frytub_sim::feedline::rig::Rig;
use frytub_sim::feedline::timer::programme;
use frytub_sim::feedline::vessel::{Habits, Vessel};
use frytub_sim::numbers::ReservoirNumbers;
use frytub_sim::physics::sinking::terminal_speed_mm_s;
use frytub_sim::physics::water::density_kg_m3;
use frytub_sim::study::{FloorPart, Run, Shape, Stone, Study, Timer};
use frytub_sim::worlds;

use super::{ITEMS, cone, cylinder, filled, lasting, long_box, numbers, own, reservoir};
use crate::support::Setting;

/// Full and last water of a night, mL.
const FULL_ML: f64 = 1000.0;
const DRAWN_ML: f64 = 800.0;

/// Share of what dissolved food would bring that comes out in one run of twelve hours.
fn relative(shape: &Shape, stone: Stone, dead_floor: f64, food: Habits) -> f64 {
    let place = ReservoirNumbers { dead_floor, ..numbers() };
    let reservoir = reservoir(shape.clone(), stone, &place);
    let mut vessel = filled(&reservoir, &place, &[food], FULL_ML);
    vessel.draw(DRAWN_ML, 12.0).food[0].items() / ITEMS / (DRAWN_ML / FULL_ML)
}

/// What twelve hourly runs draw of each class; ages are not kept.
fn night(vessel: &mut Vessel<'_>) -> Vec<Portion> {
    let mut sums = vec![Portion::default(); vessel.stocks.len()];
    for _ in 0..12 {
        vessel.wait(58.0 / 60.0);
        for (sum, portion) in sums.iter_mut().zip(vessel.draw(DRAWN_ML / 12.0, 2.0 / 60.0).food) {
            sum.fresh += portion.fresh;
            sum.stale += portion.stale;
        }
    }
    sums
}

#[test]
fn shapes_and_foods_are_ranked_and_sized_as_another_implementation_has_them() {
    let ball = |um: f64, kg_m3: f64| {
        let excess = kg_m3 - 996.5;
        terminal_speed_mm_s(um, density_kg_m3(27.0) + excess, 1.0, 27.0)
    };
    let shapes = [
        ("box", long_box(), Stone::OneEnd, 0.10),
        ("cylinder", cylinder(), Stone::Middle, 0.05),
        ("cone 45", Shape::Cone { diameter_mm: 100.0, slope_deg: 45.0 }, Stone::Middle, 0.0),
        ("cone 60", cone(60.0), Stone::Middle, 0.0),
    ];
    let foods = [
        ("infusoria", 0.0, [1.00, 1.00, 1.00, 1.00]),
        ("yolk 20 µm, 1030", ball(20.0, 1030.0), [0.19, 0.32, 0.52, 0.997]),
        ("yolk 20 µm, 1080", ball(20.0, 1080.0), [0.08, 0.15, 0.31, 0.99]),
        ("yolk 50 µm, 1050", ball(50.0, 1050.0), [0.020, 0.044, 0.11, 0.97]),
        ("yolk 100 µm, 1030", ball(100.0, 1030.0), [0.008, 0.018, 0.05, 0.93]),
        ("yolk 100 µm, 1080", ball(100.0, 1080.0), [0.003, 0.008, 0.02, 0.84]),
        ("powder 100 µm, 1100", ball(100.0, 1100.0), [0.003, 0.006, 0.02, 0.80]),
        ("microworm, 0.3 mm/s", 0.3, [0.006, 0.013, 0.035, 0.90]),
        ("microworm, 1 mm/s", 1.0, [0.002, 0.004, 0.011, 0.72]),
    ];
    eprintln!("share delivered against dissolved food: ours, theirs");
    for (what, speed, theirs) in foods {
        let ours: Vec<f64> =
            shapes.iter().map(|(_, shape, stone, dead)| relative(shape, *stone, *dead, lasting(speed, 1e-3))).collect();
        let line: Vec<String> = shapes
            .iter()
            .zip(ours.iter().zip(theirs))
            .map(|((name, ..), (ours, theirs))| format!("{name} {ours:.3}, {theirs:.3}"))
            .collect();
        eprintln!("{what}: {}", line.join("; "));
        assert!(ours.windows(2).all(|pair| pair[0] <= pair[1] + 1e-9), "{what}: steeper brings more: {ours:?}");
        for (ours, theirs) in ours.iter().zip(theirs) {
            // Where little comes out within a factor of two, elsewhere within a tenth of the whole.
            let near = if theirs < 0.6 { (ours / theirs).ln().abs() < 2_f64.ln() } else { (ours - theirs).abs() < 0.1 };
            assert!(near, "{what}: {ours} against {theirs}");
        }
    }
}

/// Share by mass of a library food, at its most likely numbers and whatever its age, that a night delivers.
fn delivered(food: &str, shape: Shape, stone: Stone, dead_floor: f64) -> f64 {
    let mix = format!("\"{food}\" = \"0.1 mg per mL\"");
    let study = Setting { mix: &mix, ..Setting::default() }.study();
    let world = worlds::likely(&study);
    let place = ReservoirNumbers { dead_floor, ..numbers() };
    let classes: Vec<_> = world.larder.classes.iter().filter(|class| study.foods[class.food].name == food).collect();
    let habits: Vec<Habits> = classes
        .iter()
        .map(|class| Habits::new(class, &study.foods[class.food], &world.foods[class.food], &place))
        .collect();
    let reservoir = reservoir(shape, stone, &place);
    let mut vessel = Vessel::new(&reservoir, &place, habits);
    vessel.refill(FULL_ML, classes.iter().enumerate().map(|(index, class)| (index, class.items)));
    let mass = |of: &dyn Fn(usize) -> f64| -> f64 {
        classes.iter().enumerate().map(|(index, class)| of(index) * class.mass_ug).sum()
    };
    let night = night(&mut vessel);
    mass(&|index| night[index].items()) / mass(&|index| classes[index].items)
}

#[test]
fn a_flat_box_keeps_the_food_and_a_steep_cone_gives_it() {
    for food in ["egg yolk", "powder 50 to 100 um"] {
        let flat = delivered(food, long_box(), Stone::OneEnd, 0.1);
        let jar = delivered(food, cylinder(), Stone::Middle, 0.05);
        let steep = delivered(food, cone(60.0), Stone::Middle, 0.0);
        let own = delivered(food, own(), Stone::Middle, 0.0);
        eprintln!("{food}: box {flat:.3}, jar {jar:.3}, a tray partly steep {own:.3}, cone {steep:.3}");
        assert!(flat < 0.25, "{food} from a flat box: {flat}");
        assert!(steep > 0.6, "{food} from a steep cone: {steep}");
        assert!(flat <= jar && jar < steep && flat < own && own < steep, "{food}: the flat parts of a floor decide");
    }
}

#[test]
fn a_floor_described_in_parts_acts_like_the_shape_it_describes() {
    let part = |slope_deg, area_mm2| FloorPart { slope_deg, area_mm2 };
    let food = lasting(0.2, 1e-3);
    // A box of 160 × 160 mm, said in two parts, with the stone at one end; and a square with the stone in the middle.
    let square = Shape::Box { length_mm: 160.0, width_mm: 160.0 };
    let said = Shape::Own { floor: vec![part(0.0, 15_600.0), part(0.0, 10_000.0)] };
    for stone in [Stone::OneEnd, Stone::Middle] {
        let (a, b) = (relative(&square, stone, 0.05, food), relative(&said, stone, 0.05, food));
        assert!((a - b).abs() < 1e-9, "{a} and {b}");
    }
    let gentle = relative(&Shape::Own { floor: vec![part(30.0, 25_600.0)] }, Stone::Middle, 0.0, food);
    let steep = relative(&Shape::Own { floor: vec![part(60.0, 25_600.0)] }, Stone::Middle, 0.0, food);
    assert!(gentle < 0.25 && steep > 0.6, "{gentle}, {steep}");
}

/// A scenario with a steep cone and a tube of a metre and a half, nauplii and Paramecium in the mix.
fn line_study() -> Study {
    let mix = "\"newly hatched brine shrimp, small strain\" = \"20 per mL\"\nParamecium = \"100 per mL\"";
    let plans = "[[plan]]\nname = \"plan\"\nby_pump = { at = [\"20:00\"], dose = \"60 mL\" }";
    let more = "[[reservoir]]\nname = \"cone\"\nkind = \"steep cone\"\ntemperature = \"27 C\"\n[feed_line]\n\
                pump = \"30 mL/min\"\ntimer = \"one-minute timer\"\ntube_length = \"1.5 m\"\n\
                tube_end = \"40 mm\"\n";
    Setting { mix, plans, more, ..Setting::default() }.study()
}

#[test]
fn nauplii_pumped_all_night_are_mostly_dead_by_morning_and_paramecium_is_not() {
    let study = line_study();
    let world = worlds::likely(&study);
    let mut rig = Rig::new(&study, 0, &world).expect("a plan with a line");
    let evening = Moment::on_day(1, TimeOfDay::from_minutes(20 * 60).expect("a time"));
    rig.refill_with(evening, 900.0, &Calendar::default());
    // Twelve feeds of 60 mL, the first at once, the last after eleven hours.
    let feeds: Vec<_> = (0..12)
        .map(|hour| {
            let now = evening + Span::from_minutes(60.0 * f64::from(hour));
            let run = Run { at: study.light_on, minutes: 2.0, wanted_ml: 60.0 };
            rig.run(now, &run, 60.0)
        })
        .collect();
    let living = |feed: usize, name: &str| {
        let of_food = |(class, _): &&(usize, Portion)| study.foods[world.larder.classes[*class].food].name == name;
        let portions: Vec<_> = feeds[feed].food.iter().filter(of_food).collect();
        let fresh: f64 = portions.iter().map(|(_, portion)| portion.fresh).sum();
        (fresh, fresh / portions.iter().map(|(_, portion)| portion.items()).sum::<f64>())
    };
    for (name, last_share) in [("newly hatched brine shrimp, small strain", 0.0..1.0 / 3.0), ("Paramecium", 0.9..1.1)] {
        // The tube holds 19 mL of water first: feeds are compared from the second on, which is full.
        let ((first, first_share), (last, share)) = (living(1, name), living(11, name));
        eprintln!(
            "{name}: alive {first_share:.3} of the first, {share:.3} of the last feed; living {first:.0}, {last:.0}"
        );
        assert!(last_share.contains(&(share / first_share)), "{name}: {share} against {first_share}");
    }
    let nauplii = "newly hatched brine shrimp, small strain";
    assert!(living(11, nauplii).0 < living(1, nauplii).0 / 3.0, "in numbers too");
}

#[test]
fn eleven_small_feeds_need_a_fine_timer() {
    // Eleven feeds of 5 mL between 07:00 and 20:00 at 5 mL/min.
    let times = (0..11).map(|k| TimeOfDay::from_minutes(420 + 78 * k).expect("a time"));
    let wanted: Vec<(TimeOfDay, f64)> = times.map(|at| (at, 5.0)).collect();
    let timer = |slot_min, start_every_min| Timer {
        name: "timer".into(),
        slot_min,
        programmes: 48,
        start_every_min,
        keeps_clock: true,
    };
    let given = |timer: &Timer| -> Vec<f64> {
        programme(&wanted, timer, 5.0).runs.iter().map(|run| run.minutes * 5.0).collect()
    };
    let fine = given(&timer(1.0, 1));
    assert_eq!(fine.len(), 11);
    assert!(fine.iter().all(|ml| (ml - 5.0).abs() < 1e-9), "{fine:?}");
    let coarse = given(&timer(30.0, 30));
    assert!(coarse.iter().all(|&ml| ml >= 150.0), "thirty times the dose at the least: {coarse:?}");
    // With a pump slow enough for its shortest slot the coarse timer could; at 1/6 mL/min.
    let slow = programme(&wanted, &timer(30.0, 30), 5.0 / 30.0);
    assert_eq!(slow.runs.len(), 11);
    assert!(slow.runs.iter().all(|run| (run.minutes - 30.0).abs() < 1e-9));
}
