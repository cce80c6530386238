//! Reservoir and feed tube, held against closed forms, a second integration, particles followed one by one, balances,
//! and what keepers of such lines see.
//!
//! Everything goes through what `frytub_sim::feedline` offers to everyone. This file holds only how a reservoir is put
//! together for a test; it knows nothing of what any test expects.

mod ageing;
mod at_work;
mod balance;
mod closed_form;
mod fine_steps;
mod jars;
mod level;
mod one_by_one;
mod practice;
mod second_hand;

use frytub_sim::feedline::vessel::{Habits, Vessel};
use frytub_sim::numbers::{LineNumbers, Range, ReservoirNumbers};
use frytub_sim::study::{FloorPart, Reservoir, Shape, Stone};

/// Food that does not age, of one speed whether fresh or stale.
fn lasting(speed_mm_s: f64, stick: f64) -> Habits {
    Habits { fresh_mm_s: speed_mm_s, stale_mm_s: speed_mm_s, stick, ageing_per_h: 0.0, stages: 1 }
}

/// A litre's reservoir with 0.3 L/min of air: the case worked in the sources of the model.
fn numbers() -> ReservoirNumbers<f64> {
    ReservoirNumbers {
        volume_ml: 1000.0,
        air_ml_min: 300.0,
        temperature_c: 27.0,
        ageing_q10: 2.0,
        dead_floor: 0.0,
        slide_s: 30.0,
        lift_pa: 0.018,
        stone_mm: 10.0,
        dry_ml: 0.0,
    }
}

/// A feed line of a metre and a half of 4 mm bore, fast enough to be swept clean.
fn line_numbers() -> LineNumbers<f64> {
    LineNumbers {
        pump_ml_min: 30.0,
        pump_drift: 1.0,
        pocket_ml: 0.0,
        bore_mm: 4.0,
        length_m: 1.5,
        tube_ageing: 1.5,
        end_mm: 40.0,
        entry_per_h: 0.01,
        above_mm: 300.0,
    }
}

fn reservoir(shape: Shape, stone: Stone, numbers: &ReservoirNumbers<f64>) -> Reservoir {
    let numbers = numbers.map(|_, &value| Range::certain(value));
    Reservoir { name: "reservoir".into(), shape, stone, intake_mm: 0.0, numbers }
}

/// A vessel with 1000 items of each class in so much water.
fn filled<'a>(
    reservoir: &'a Reservoir,
    numbers: &'a ReservoirNumbers<f64>,
    habits: &[Habits],
    volume_ml: f64,
) -> Vessel<'a> {
    let mut vessel = Vessel::new(reservoir, numbers, habits.to_vec());
    vessel.refill(volume_ml, (0..habits.len()).map(|class| (class, ITEMS)));
    vessel
}

const ITEMS: f64 = 1000.0;

/// Share of the items of the first class that a run draws.
fn drawn(vessel: &mut Vessel<'_>, ml: f64, hours: f64) -> f64 {
    vessel.draw(ml, hours).food[0].items() / ITEMS
}

fn long_box() -> Shape {
    Shape::Box { length_mm: 160.0, width_mm: 90.0 }
}

fn cylinder() -> Shape {
    Shape::Cylinder { diameter_mm: 100.0 }
}

fn cone(slope_deg: f64) -> Shape {
    Shape::Cone { diameter_mm: 90.0, slope_deg }
}

/// A tray with a flat middle, a gentle and a steep slope around it.
fn own() -> Shape {
    let part = |slope_deg, area_mm2| FloorPart { slope_deg, area_mm2 };
    Shape::Own { floor: vec![part(60.0, 3000.0), part(0.0, 1500.0), part(48.0, 2000.0)] }
}
