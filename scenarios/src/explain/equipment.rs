//! Reservoirs, timers and tubes in words. Knows equipment; does not know doses.

use frytub_sim::study::{FloorPart, Reservoir, Shape, Stone, Timer};

use crate::words::{self, figure};

/// A vessel in words, to be read after "it is": shape, stone and intake.
pub(crate) fn vessel(reservoir: &Reservoir) -> String {
    let cm = |mm: f64| figure(mm / 10.0);
    let shape = match &reservoir.shape {
        Shape::Box { length_mm, width_mm } => {
            format!("a flat-floored box of {} × {} cm", cm(*length_mm), cm(*width_mm))
        }
        Shape::Cylinder { diameter_mm } => format!("a flat-floored cylinder, {} cm across", cm(*diameter_mm)),
        Shape::Cone { diameter_mm, slope_deg } => {
            format!("a cone of {} degrees under a straight wall, {} cm across", figure(*slope_deg), cm(*diameter_mm))
        }
        Shape::Own { floor } => {
            let part = |part: &FloorPart| {
                format!("{} cm² at {} degrees", figure(part.area_mm2 / 100.0), figure(part.slope_deg))
            };
            let parts: Vec<String> = floor.iter().map(part).collect();
            let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
            format!("straight walls over a floor of {}", words::list(&parts, "and"))
        }
    };
    let stone = match (&reservoir.shape, reservoir.stone, reservoir.numbers.air_ml_min.high() > 0.0) {
        (_, _, false) => "no air",
        (Shape::Cone { .. }, _, _) => "the air stone in the tip",
        (_, Stone::Middle, _) => "the air stone in the middle",
        (_, Stone::OneEnd, _) => "the air stone at one end",
    };
    let intake = if reservoir.intake_mm > 0.0 {
        format!("the intake {} mm above the lowest point", figure(reservoir.intake_mm))
    } else {
        "the intake at the lowest point".to_string()
    };
    format!("{shape}; {stone}; {intake}")
}

/// What a timer can do, in words.
pub(crate) fn timer(timer: &Timer) -> String {
    let slot = minutes(timer.slot_min);
    let starts = match timer.start_every_min {
        1 => "at any whole minute".to_string(),
        every => format!("at every {every} min of the clock"),
    };
    let clock =
        if timer.keeps_clock { "it keeps its clock in a power cut" } else { "it loses its clock in a power cut" };
    format!(
        "runs the pump for {slot} or whole multiples of it, {starts}, {} times a day at most; {clock}",
        timer.programmes
    )
}

/// A running time: seconds below one minute.
pub(crate) fn minutes(minutes: f64) -> String {
    if minutes < 1.0 { format!("{} s", figure(60.0 * minutes)) } else { format!("{} min", figure(minutes)) }
}
