//! A vessel in cross-section: walls, water, stone, intake, and where food lies for good. Millimetres, x from the middle
//! to the right, y upwards from the lowest point.
//!
//! Knows the shape of a reservoir and the size of its dead floor; nothing of drawing. A box is cut along its longer
//! side, with the stone at the left. A shape of one's own is taken as round, its flattest part in the middle. Where a
//! dead floor lies is common sense about currents (far from the stone, in corners, under the wall), no result.

use std::f64::consts::PI;

use frytub_sim::study::{Reservoir, Shape, Stone};

/// A point: x, y in mm.
pub type Spot = (f64, f64);

/// Least share of a box's floor that lies dead in its corners, half of it at each end (estimate).
const CORNERS: f64 = 0.10;
/// Room above the fullest water, as a share of the height and in mm, so that a vessel does not look brim-full.
const FREE_ABOVE: (f64, f64) = (0.06, 5.0);
/// A smaller dead floor than this share is not drawn.
const HARDLY: f64 = 0.003;

/// A vessel in cross-section.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// Inner wall and floor, from the left rim over the floor to the right rim.
    pub walls: Vec<Spot>,
    /// The water: corners of the filled part, from the left surface over the floor to the right surface.
    pub water: Vec<Spot>,
    /// Stretches of the floor on which food stays, each from left to right.
    pub dead: Vec<Vec<Spot>>,
    /// Middle of the stone's foot, and half its width.
    pub stone: (Spot, f64),
    /// Lower end of the intake tube.
    pub intake: Spot,
    /// Half the inner width at the rim.
    pub half_width: f64,
    /// Height of the rim.
    pub rim: f64,
    /// Height of the water.
    pub surface: f64,
    /// Half the width of the water's surface.
    pub half_surface: f64,
}

/// The right half of a floor as (distance from the middle, height), outwards; the wall rises from its last point.
fn floor(shape: &Shape) -> Vec<Spot> {
    match shape {
        Shape::Box { length_mm, width_mm } => vec![(0.0, 0.0), (length_mm.max(*width_mm) / 2.0, 0.0)],
        Shape::Cylinder { diameter_mm } => vec![(0.0, 0.0), (diameter_mm / 2.0, 0.0)],
        Shape::Cone { diameter_mm, slope_deg } => {
            let radius = diameter_mm / 2.0;
            vec![(0.0, 0.0), (radius, radius * slope_deg.to_radians().tan())]
        }
        Shape::Own { floor } => {
            let mut parts = floor.clone();
            parts.sort_by(|a, b| a.slope_deg.total_cmp(&b.slope_deg));
            let (mut area, mut spots) = (0.0, vec![(0.0, 0.0)]);
            for part in parts {
                let (radius, height) = spots[spots.len() - 1];
                area += part.area_mm2;
                let next = (area / PI).sqrt();
                spots.push((next, height + (next - radius) * part.slope_deg.to_radians().tan()));
            }
            spots
        }
    }
}

/// Height of the floor at a distance from the middle.
fn floor_at(floor: &[Spot], x: f64) -> f64 {
    let x = x.abs();
    let piece = floor.windows(2).find(|pair| x <= pair[1].0);
    piece.map_or(floor[floor.len() - 1].1, |pair| {
        let run = pair[1].0 - pair[0].0;
        if run > 0.0 { pair[0].1 + (pair[1].1 - pair[0].1) * (x - pair[0].0) / run } else { pair[0].1 }
    })
}

/// Half the inner width at a height.
fn half_width_at(floor: &[Spot], y: f64) -> f64 {
    floor
        .windows(2)
        .filter(|pair| y >= pair[0].1)
        .map(|pair| {
            let rise = pair[1].1 - pair[0].1;
            if rise > 0.0 { pair[0].0 + (pair[1].0 - pair[0].0) * ((y - pair[0].1) / rise).min(1.0) } else { pair[1].0 }
        })
        .fold(0.0, f64::max)
}

/// Volume of a round vessel below a height, mm³.
fn round_volume(floor: &[Spot], y: f64) -> f64 {
    let mut sum = 0.0;
    for pair in floor.windows(2) {
        let (bottom, top) = (pair[0].1, pair[1].1.min(y));
        if top > bottom {
            let (a, b) = (pair[0].0, half_width_at(&pair[..2], top));
            sum += PI * (a * a + a * b + b * b) / 3.0 * (top - bottom);
        }
    }
    let (radius, wall) = floor[floor.len() - 1];
    sum + PI * radius * radius * (y - wall).max(0.0)
}

/// Height at which so much water stands in the vessel as it is drawn.
fn height(shape: &Shape, floor: &[Spot], volume_ml: f64) -> f64 {
    if !matches!(shape, Shape::Own { .. }) {
        return shape.height_mm(volume_ml);
    }
    let wanted = volume_ml.max(0.0) * 1000.0;
    let (mut low, mut high) = (0.0, floor[floor.len() - 1].1 + wanted / shape.floor_mm2() + 1.0);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if round_volume(floor, middle) < wanted { low = middle } else { high = middle }
    }
    (low + high) / 2.0
}

/// The whole section below a height: left to right.
fn section(floor: &[Spot], y: f64) -> Vec<Spot> {
    let edge = half_width_at(floor, y);
    let mut right: Vec<Spot> = floor.iter().copied().filter(|spot| spot.0 < edge && spot.1 < y).collect();
    let foot = floor_at(floor, edge).min(y);
    if right.last().is_none_or(|last| *last != (edge, foot)) {
        right.push((edge, foot));
    }
    if foot < y {
        right.push((edge, y));
    }
    let left = right.iter().rev().filter(|spot| spot.0 > 0.0).map(|spot| (-spot.0, spot.1));
    left.chain(right.iter().copied()).collect()
}

/// Stretches of the floor, as distances from the middle, on which food stays.
fn dead_stretches(reservoir: &Reservoir, half: f64, share: f64) -> Vec<(f64, f64)> {
    let share = share.clamp(0.0, 1.0);
    if share < HARDLY || half <= 0.0 {
        return Vec::new();
    }
    let round = |from: f64| vec![(-half, -from), (from, half)];
    match (&reservoir.shape, reservoir.stone) {
        (Shape::Box { .. }, Stone::Middle) => round(half * (1.0 - share)),
        (Shape::Box { .. }, Stone::OneEnd) => {
            // By the stone only the corners; the rest of it at the far end.
            let near = share.min(CORNERS) / 2.0 * 2.0 * half;
            let far = share * 2.0 * half - near;
            vec![(-half, -half + near), (half - far, half)]
        }
        (Shape::Cylinder { .. }, Stone::OneEnd) => vec![(chord(half, share), half)],
        (Shape::Own { floor }, _) => {
            let flattest = floor.iter().min_by(|a, b| a.slope_deg.total_cmp(&b.slope_deg));
            let flat = flattest.map_or(0.0, |part| part.area_mm2);
            let dead = share * floor.iter().map(|part| part.area_mm2).sum::<f64>();
            // On the flattest part first, from its edge inwards; what has no room there lies around it.
            let (inner, outer) = ((flat - dead).max(0.0), flat.max(dead));
            let (inner, outer) = ((inner / PI).sqrt(), (outer / PI).sqrt().min(half));
            vec![(-outer, -inner), (inner, outer)]
        }
        (Shape::Cylinder { .. } | Shape::Cone { .. }, _) => round(half * (1.0 - share).sqrt()),
    }
}

/// Where a straight cut across a disc leaves so large a share of it to the right.
fn chord(radius: f64, share: f64) -> f64 {
    let right_of = |x: f64| {
        let t = (x / radius).clamp(-1.0, 1.0);
        (t.acos() - t * (1.0 - t * t).max(0.0).sqrt()) / PI
    };
    let (mut low, mut high) = (-radius, radius);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if right_of(middle) > share { low = middle } else { high = middle }
    }
    (low + high) / 2.0
}

/// The cross-section of a reservoir with so much water in it and such a share of its floor dead.
#[must_use]
pub fn outline(reservoir: &Reservoir, filled_ml: f64, dead_floor: f64) -> Outline {
    let shape = &reservoir.shape;
    let floor = floor(shape);
    let surface = height(shape, &floor, filled_ml);
    let full = height(shape, &floor, filled_ml.max(reservoir.numbers.volume_ml.likely()));
    let rim = full * (1.0 + FREE_ABOVE.0) + FREE_ABOVE.1;
    let half_surface = half_width_at(&floor, surface);
    let wet = half_surface.min(floor[floor.len() - 1].0);
    let dead = dead_stretches(reservoir, wet, dead_floor).into_iter().filter(|(from, to)| to - from > 1e-9);
    let dead = dead.map(|(from, to)| {
        // Corners of the floor between the two ends belong to the stretch.
        let corners = floor.iter().flat_map(|spot| [-spot.0, spot.0]).filter(|x| *x > from && *x < to);
        let mut xs: Vec<f64> = corners.chain([from, to]).collect();
        xs.sort_by(f64::total_cmp);
        xs.dedup();
        xs.into_iter().map(|x| (x, floor_at(&floor, x))).collect()
    });
    let radius = reservoir.numbers.stone_mm.likely();
    let widest = floor[floor.len() - 1].0;
    let half_stone = radius.min(widest * 0.4);
    let stone_x = match reservoir.stone {
        Stone::Middle => 0.0,
        Stone::OneEnd => -(widest - half_stone * 1.3),
    };
    // In a tip the stone sits where it touches the walls.
    let stone_y = floor_at(&floor, stone_x.abs() + if stone_x == 0.0 { half_stone } else { 0.0 });
    let intake_y = reservoir.intake_mm.min(rim);
    let room = (half_width_at(&floor, intake_y.max(1.0)) - 2.0).max(0.0);
    Outline {
        walls: section(&floor, rim),
        water: section(&floor, surface),
        dead: dead.collect(),
        stone: ((stone_x, stone_y), half_stone),
        intake: ((widest * 0.3).min(room), intake_y),
        half_width: half_width_at(&floor, rim),
        rim,
        surface,
        half_surface,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use frytub_sim::numbers::{Range, ReservoirNumbers};
    use frytub_sim::study::FloorPart;

    fn vessel(shape: Shape, stone: Stone) -> Reservoir {
        let numbers = ReservoirNumbers::try_from_fn(|info| {
            let value = match info.key {
                "volume_ml" => 1000.0,
                "stone_mm" => 8.0,
                _ => info.least,
            };
            Ok::<_, ()>(Range::certain(value))
        });
        Reservoir { name: "vessel".to_owned(), shape, stone, intake_mm: 5.0, numbers: numbers.unwrap() }
    }

    fn length(stretches: &[(f64, f64)]) -> f64 {
        stretches.iter().map(|(from, to)| to - from).sum()
    }

    #[test]
    fn a_box_of_1440_square_centimetres_holds_a_litre_7_cm_high() {
        let outline = outline(&vessel(Shape::Box { length_mm: 160.0, width_mm: 90.0 }, Stone::OneEnd), 1000.0, 0.6);
        assert!((outline.surface - 1e6 / (160.0 * 90.0)).abs() < 1e-9);
        let surface = outline.surface;
        assert_eq!(outline.water, [(-80.0, surface), (-80.0, 0.0), (0.0, 0.0), (80.0, 0.0), (80.0, surface)]);
        assert!(outline.rim > surface);
        assert!(outline.stone.0.0 < -60.0, "the stone stands at the left end");
    }

    #[test]
    fn the_water_of_a_cone_ends_where_its_walls_stand() {
        let cone = vessel(Shape::Cone { diameter_mm: 90.0, slope_deg: 60.0 }, Stone::Middle);
        let low = outline(&cone, 50.0, 0.0);
        let half = low.surface / 60_f64.to_radians().tan();
        assert!((low.half_surface - half).abs() < 1e-9);
        assert_eq!(low.water.len(), 3, "a triangle: {:?}", low.water);
        assert!((PI * half * half * low.surface / 3.0 - 50_000.0).abs() < 1e-6);
        assert!(low.dead.is_empty());
        let full = outline(&cone, 1000.0, 0.0);
        assert_eq!(full.water.len(), 5, "above the cone a straight wall: {:?}", full.water);
        assert!(full.intake.0 < 45.0 && full.intake.0 >= 0.0);
    }

    #[test]
    fn the_dead_floor_is_as_large_as_it_was_found_and_lies_where_no_current_goes() {
        let share = 0.62;
        let long = vessel(Shape::Box { length_mm: 160.0, width_mm: 90.0 }, Stone::OneEnd);
        let stretches = dead_stretches(&long, 80.0, share);
        assert!((length(&stretches) / 160.0 - share).abs() < 1e-12);
        assert!(length(&stretches[1..]) > 5.0 * length(&stretches[..1]), "mostly at the far end: {stretches:?}");
        let few = dead_stretches(&long, 80.0, 0.08);
        assert!((length(&few[..1]) - length(&few[1..])).abs() < 1e-9, "corners alone are alike at both ends");

        let round = vessel(Shape::Cylinder { diameter_mm: 100.0 }, Stone::Middle);
        let ring = dead_stretches(&round, 50.0, share);
        assert!((1.0 - (ring[1].0 / 50.0).powi(2) - share).abs() < 1e-12, "a ring at the wall");
        assert_eq!(ring[1].1, 50.0);
        let aside = dead_stretches(&vessel(Shape::Cylinder { diameter_mm: 100.0 }, Stone::OneEnd), 50.0, 0.5);
        assert!(aside[0].0.abs() < 1e-9 && aside.len() == 1, "half a disc begins in its middle: {aside:?}");

        let parts = [(60.0, 3000.0), (0.0, 1000.0)].map(|(slope_deg, area_mm2)| FloorPart { slope_deg, area_mm2 });
        let own = vessel(Shape::Own { floor: parts.to_vec() }, Stone::Middle);
        let on_flat = dead_stretches(&own, 40.0, 0.2);
        assert!((PI * (on_flat[1].1.powi(2) - on_flat[1].0.powi(2)) - 800.0).abs() < 1e-6, "{on_flat:?}");
        assert!((on_flat[1].1 - (1000.0 / PI).sqrt()).abs() < 1e-9, "it ends with the flat part");
    }

    #[test]
    fn a_shape_of_ones_own_is_drawn_with_the_volume_it_holds() {
        let parts = [(60.0, 4200.0), (5.0, 1500.0)].map(|(slope_deg, area_mm2)| FloorPart { slope_deg, area_mm2 });
        let own = vessel(Shape::Own { floor: parts.to_vec() }, Stone::OneEnd);
        let floor = floor(&own.shape);
        for ml in [20.0, 150.0, 800.0] {
            let drawn = outline(&own, ml, 0.3);
            assert!((round_volume(&floor, drawn.surface) / 1000.0 / ml - 1.0).abs() < 1e-6, "{ml}");
        }
        // A cone by the same sums as by its own formula.
        let cone = Shape::Cone { diameter_mm: 90.0, slope_deg: 60.0 };
        let floor = super::floor(&cone);
        assert!((round_volume(&floor, 30.0) / 1000.0 - cone.volume_ml(30.0)).abs() < 1e-9);
        assert!((round_volume(&floor, 130.0) / 1000.0 - cone.volume_ml(130.0)).abs() < 1e-9);
    }

    #[test]
    fn nothing_reaches_out_of_the_walls() {
        let shapes = [
            Shape::Box { length_mm: 160.0, width_mm: 90.0 },
            Shape::Cylinder { diameter_mm: 100.0 },
            Shape::Cone { diameter_mm: 90.0, slope_deg: 60.0 },
            Shape::Own { floor: vec![FloorPart { slope_deg: 30.0, area_mm2: 5000.0 }] },
        ];
        for shape in shapes {
            for stone in [Stone::Middle, Stone::OneEnd] {
                for share in [0.0, 0.01, 0.5, 1.0] {
                    let drawn = outline(&vessel(shape.clone(), stone), 700.0, share);
                    let half = drawn.half_width + 1e-9;
                    for spot in drawn.dead.iter().flatten().chain(&drawn.water) {
                        assert!(spot.0.abs() <= half && spot.1 >= 0.0 && spot.1 <= drawn.rim, "{shape:?} {spot:?}");
                    }
                    let ((x, _), wide) = drawn.stone;
                    assert!(x.abs() + wide <= half && drawn.intake.0 <= half, "{shape:?}");
                    assert!(drawn.dead.iter().all(|stretch| stretch.windows(2).all(|pair| pair[0].0 < pair[1].0)));
                }
            }
        }
    }
}
