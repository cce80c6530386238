//! Reservoir chart 3, vessels: each in cross-section, all to one scale, with the dead part of its floor, and beside it
//! where each food ends up.

use super::outline::{Outline, Spot, outline};
use super::parts::{self, Part};
use super::trials::{Trials, Vessel};
use crate::chart::{Chart, Fill, Hatch, Swatch, head, head_height, key, only_words};
use crate::draw::font;
use crate::draw::panel::{Panel, Scale};
use crate::draw::sketch::{Pen, Point, Rect, Sketch, Type};
use crate::look::{AXIS, Format, HAIR, HARM, Marker, PAPER, QUIET, TEXT, WATER};
use crate::words::{capital, fry, quoted_briefly};
use frytub_sim::study::Shape;

/// Rows of vessels hold so many on a wide picture.
const MOST_ACROSS: usize = 2;
/// No vessel is drawn higher.
const MOST_HIGH: f64 = 230.0;
/// Room left of a vessel for the height of its water.
const HEIGHT_ROOM: f64 = 58.0;
/// Places of bubbles above the stone: shares of its half width, and of the way to the surface.
const BUBBLES: [(f64, f64); 7] =
    [(-0.3, 0.12), (0.5, 0.25), (-0.8, 0.38), (0.1, 0.5), (0.9, 0.64), (-0.6, 0.76), (0.3, 0.9)];

/// Draws the chart.
pub fn chart(trials: &Trials<'_>) -> Chart {
    let caption = "All vessels in cross-section to one scale, filled as usual; the thick part of the floor is where landed \
                   food stays for good (about where, not measured). Beside each: where the food of a filling ends up.";
    let parts = trials.vessels.iter().map(|vessel| {
        let drawn = section(vessel);
        format!(
            "{}: {}, water {:.0} mm high, food stays for good on {} of 100 parts of the floor",
            vessel.name(),
            size(&vessel.reservoir.shape, &drawn),
            drawn.surface,
            fry(vessel.trial.dead_floor * 100.0)
        )
    });
    let alt = format!(
        "Cross-sections of the reservoirs with air stone, intake and dead floor. {}.",
        parts.collect::<Vec<_>>().join("; ")
    );
    Chart::new("r3-vessels", title(trials), caption, alt, |format| draw(trials, format))
}

fn title(trials: &Trials<'_>) -> String {
    let by_floor = |a: &&Vessel<'_>, b: &&Vessel<'_>| a.trial.dead_floor.total_cmp(&b.trial.dead_floor);
    let (Some(most), Some(least)) =
        (trials.vessels.iter().rev().max_by(by_floor), trials.vessels.iter().min_by(by_floor))
    else {
        return "No reservoir was tried".to_owned();
    };
    let on = |vessel: &Vessel<'_>| match vessel.trial.dead_floor * 100.0 {
        share if share <= 0.0 => "none".to_owned(),
        share if share < 0.5 => "hardly any".to_owned(),
        share => format!("{share:.0} of 100 parts"),
    };
    let (high, low) = (on(most), on(least));
    let first = format!("Food stays for good on {high} of the floor of {}", quoted_briefly(most.name()));
    match trials.vessels.len() {
        1 => first,
        _ if high == low => format!("Food stays for good on {high} of the floor of every reservoir"),
        _ => format!("{first}, on {low} of that of {}", quoted_briefly(least.name())),
    }
}

fn section(vessel: &Vessel<'_>) -> Outline {
    outline(vessel.reservoir, vessel.trial.filled_ml, vessel.trial.dead_floor)
}

/// The inner size of a vessel seen from above.
fn size(shape: &Shape, drawn: &Outline) -> String {
    match shape {
        Shape::Box { length_mm, width_mm } => {
            format!("{:.0} × {:.0} mm", length_mm.max(*width_mm), length_mm.min(*width_mm))
        }
        Shape::Cylinder { diameter_mm } | Shape::Cone { diameter_mm, .. } => format!("{diameter_mm:.0} mm across"),
        Shape::Own { .. } => format!("about {:.0} mm across", 2.0 * drawn.half_width),
    }
}

fn dead_fill() -> Fill {
    Fill { ink: HARM, alpha: 1.0, hatch: Hatch::None }
}

fn draw(trials: &Trials<'_>, format: Format) -> Sketch {
    if trials.vessels.is_empty() {
        return only_words(format, "No reservoir was tried.");
    }
    let gap = format.gap();
    let mut sketch = Sketch::new(format.width());
    let mut entries = vec![(Swatch::Block(dead_fill()), "dead floor: food stays".to_owned())];
    entries.extend(Part::ALL.into_iter().map(|part| (Swatch::Block(part.fill()), part.label().to_owned())));
    let top = key(&mut sketch, format, Rect::new(gap, gap * 0.4, format.width() - gap, f64::INFINITY), &entries);

    let count = trials.vessels.len();
    let columns = if format.is_narrow() { 1 } else { count.min(MOST_ACROSS) };
    let cell = (format.width() - 2.0 * gap - (columns - 1) as f64 * gap) / columns as f64;
    let beside = (cell * 0.42).clamp(96.0, 220.0);
    let room = cell - beside - HEIGHT_ROOM - 10.0;
    let drawn: Vec<Outline> = trials.vessels.iter().map(section).collect();
    let widest = drawn.iter().map(|one| 2.0 * one.half_width).fold(1.0, f64::max);
    let highest = drawn.iter().map(|one| one.rim).fold(1.0, f64::max);
    let per_mm = (room / widest).min(MOST_HIGH / highest);
    let mut y = top + 8.0;
    for row in (0..count).collect::<Vec<_>>().chunks(columns) {
        let names = row.iter().map(|&n| trials.vessels[n].name());
        let under = y + head_height(format, cell, names) + 10.0;
        let tallest = row.iter().map(|&n| drawn[n].rim * per_mm).fold(0.0, f64::max);
        let mut bottom = under;
        for (place, &n) in row.iter().enumerate() {
            let (vessel, one) = (&trials.vessels[n], &drawn[n]);
            let left = gap + place as f64 * (cell + gap);
            head(&mut sketch, format, (left, y), cell, vessel.style, vessel.name());
            let scene = Scene { room, middle: left + HEIGHT_ROOM + room / 2.0, floor: under + tallest, per_mm };
            picture(&mut sketch, vessel, one, &scene);
            let end = measures(&mut sketch, format, vessel, one, &scene);
            let bars = Rect::new(left + HEIGHT_ROOM + room + 14.0, under, left + cell, under);
            bottom = bottom.max(end).max(food_bars(&mut sketch, format, trials, vessel, bars));
        }
        y = bottom + gap * 0.7;
    }
    sketch.reach(y);
    sketch
}

/// From millimetres to the picture: x of the vessel's middle, y of its lowest point, units a millimetre; and the width
/// that a vessel may take.
struct Scene {
    room: f64,
    middle: f64,
    floor: f64,
    per_mm: f64,
}

impl Scene {
    fn at(&self, spot: Spot) -> Point {
        (self.middle + spot.0 * self.per_mm, self.floor - spot.1 * self.per_mm)
    }

    fn all(&self, spots: &[Spot]) -> Vec<Point> {
        spots.iter().map(|spot| self.at(*spot)).collect()
    }
}

fn picture(sketch: &mut Sketch, vessel: &Vessel<'_>, one: &Outline, scene: &Scene) {
    sketch.area(scene.all(&one.water), WATER, 1.0);
    let surface = [(-one.half_surface, one.surface), (one.half_surface, one.surface)];
    sketch.line(surface.map(|spot| scene.at(spot)), Pen::new(AXIS, HAIR));
    let ((stone_x, stone_y), half) = one.stone;
    let stone_top = stone_y + half.max(4.0);
    if vessel.reservoir.numbers.air_ml_min.likely() > 0.0 {
        for (aside, up) in BUBBLES {
            // The plume widens as it rises.
            let at = (stone_x + aside * half * (0.6 + up), stone_top + up * (one.surface - stone_top));
            if at.1 > stone_top && at.1 < one.surface && at.0.abs() < one.half_surface {
                sketch.mark(scene.at(at), Marker::Disc, 2.7, AXIS, false);
            }
        }
        let stone = [
            (stone_x - half, stone_y),
            (stone_x + half, stone_y),
            (stone_x + half * 0.7, stone_top),
            (stone_x - half * 0.7, stone_top),
        ];
        sketch.area(scene.all(&stone), QUIET, 1.0);
    }
    let intake = [(one.intake.0, one.rim), one.intake].map(|spot| scene.at(spot));
    sketch.line(intake, Pen::new(TEXT, 5.0));
    sketch.line(intake, Pen::new(PAPER, 2.6));
    sketch.line(scene.all(&one.walls), Pen::new(TEXT, 2.6));
    for stretch in &one.dead {
        // On the inner side of the floor's line.
        let inside = scene.all(stretch).into_iter().map(|(x, y)| (x, y - 3.6));
        sketch.line(inside, Pen::new(HARM, 6.0));
    }
}

/// Height of the water at the left and width below; gives back the bottom edge.
fn measures(sketch: &mut Sketch, format: Format, vessel: &Vessel<'_>, one: &Outline, scene: &Scene) -> f64 {
    let kind = Type::new(format.small());
    let pen = Pen::new(QUIET, HAIR);
    let (foot, top) = (scene.at((0.0, 0.0)).1, scene.at((0.0, one.surface)).1);
    let x = scene.at((-one.half_width, 0.0)).0 - 10.0;
    sketch.line([(x, foot), (x, top)], pen);
    for y in [foot, top] {
        sketch.line([(x - 3.5, y), (x + 3.5, y)], pen);
    }
    let text = format!("{:.0} mm", one.surface);
    sketch.words((x - 6.0, (foot + top) / 2.0 + kind.size * 0.36), text, kind.right());

    let y = foot + 9.0;
    let ends = [-one.half_width, one.half_width].map(|mm| scene.at((mm, 0.0)).0);
    sketch.line([(ends[0], y), (ends[1], y)], pen);
    for x in ends {
        sketch.line([(x, y - 3.5), (x, y + 3.5)], pen);
    }
    sketch.paragraph((scene.middle, y + 5.0), &size(&vessel.reservoir.shape, one), kind.middle(), scene.room) + 4.0
}

/// A small bar a food, with what is in it in words; gives back the bottom edge.
fn food_bars(sketch: &mut Sketch, format: Format, trials: &Trials<'_>, vessel: &Vessel<'_>, place: Rect) -> f64 {
    let kind = Type::new(format.small());
    let mut y = place.top;
    for food in &vessel.trial.foods {
        let name = font::wrap_to(&capital(trials.food(food.food)), kind.size, false, place.width(), 2);
        y = sketch.lines((place.left, y), &name, kind) + 2.0;
        let area = Rect::new(place.left, y, place.right, y + 14.0);
        let panel = Panel { area, x: Scale::linear(0.0, 100.0), y: Scale::linear(0.0, 1.0) };
        parts::bar(sketch, &panel, &food.balance, (area.top, area.bottom));
        let told = Part::ALL.into_iter().filter(|part| part.of(&food.balance) >= 0.5);
        let words = told.map(|part| format!("{} {}", fry(part.of(&food.balance)), part.word()));
        y = sketch.lines((place.left, y + 17.0), &in_lines(words, kind, place.width()), kind.ink(QUIET)) + 8.0;
    }
    y
}

/// Items with commas between them, in lines that never part a number from its word.
fn in_lines(items: impl Iterator<Item = String>, kind: Type, most: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for item in items {
        match lines.last_mut() {
            Some(line) if kind.width(&format!("{line}, {item},")) <= most => {
                line.push_str(", ");
                line.push_str(&item);
            }
            Some(line) => {
                line.push(',');
                lines.push(item);
            }
            None => lines.push(item),
        }
    }
    lines
}
