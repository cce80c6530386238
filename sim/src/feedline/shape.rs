//! The inside of a reservoir: how high so much water stands, how large its surface is, how steep its floor.
//!
//! All shapes have straight walls above a floor; a cone has its slope below them.

use std::f64::consts::{FRAC_PI_4, PI};

use crate::study::{FloorPart, Shape};

/// mm³ in a mL.
const MM3_PER_ML: f64 = 1000.0;

/// A cone's radius at its wall and its height, mm.
fn cone(diameter_mm: f64, slope_deg: f64) -> (f64, f64) {
    let radius = diameter_mm / 2.0;
    (radius, radius * slope_deg.to_radians().tan())
}

impl Shape {
    /// Area of the water's surface, mm², when it stands so high above the lowest point. It is the area that settling
    /// food meets as well, seen from above.
    #[must_use]
    pub fn area_mm2(&self, height_mm: f64) -> f64 {
        match self {
            Self::Cone { diameter_mm, slope_deg } => {
                let (radius, top) = cone(*diameter_mm, *slope_deg);
                let here = if height_mm < top { radius * height_mm.max(0.0) / top } else { radius };
                PI * here * here
            }
            _ => self.floor_mm2(),
        }
    }

    /// Area of the whole floor seen from above, mm².
    #[must_use]
    pub fn floor_mm2(&self) -> f64 {
        match self {
            Self::Box { length_mm, width_mm } => length_mm * width_mm,
            Self::Cylinder { diameter_mm } | Self::Cone { diameter_mm, .. } => FRAC_PI_4 * diameter_mm * diameter_mm,
            Self::Own { floor } => floor.iter().map(|part| part.area_mm2).sum(),
        }
    }

    /// Water below a height, mL.
    #[must_use]
    pub fn volume_ml(&self, height_mm: f64) -> f64 {
        let height = height_mm.max(0.0);
        let mm3 = match self {
            Self::Cone { diameter_mm, slope_deg } => {
                let (radius, top) = cone(*diameter_mm, *slope_deg);
                let in_cone = height.min(top);
                let narrow = radius * in_cone / top;
                PI * narrow * narrow * in_cone / 3.0 + PI * radius * radius * (height - in_cone)
            }
            _ => self.floor_mm2() * height,
        };
        mm3 / MM3_PER_ML
    }

    /// Height above the lowest point at which so much water stands, mm; the inverse of [`Self::volume_ml`].
    #[must_use]
    pub fn height_mm(&self, volume_ml: f64) -> f64 {
        let mm3 = volume_ml.max(0.0) * MM3_PER_ML;
        match self {
            Self::Cone { diameter_mm, slope_deg } => {
                let (radius, top) = cone(*diameter_mm, *slope_deg);
                let whole = PI * radius * radius * top / 3.0;
                if mm3 <= whole { top * (mm3 / whole).cbrt() } else { top + (mm3 - whole) / (PI * radius * radius) }
            }
            _ => mm3 / self.floor_mm2(),
        }
    }

    /// The floor in parts by slope, flattest first, of the part that so much water covers.
    #[must_use]
    pub fn floor_parts(&self, height_mm: f64) -> Vec<FloorPart> {
        let mut parts = match self {
            Self::Cone { slope_deg, .. } => {
                vec![FloorPart { slope_deg: *slope_deg, area_mm2: self.area_mm2(height_mm) }]
            }
            Self::Own { floor } => floor.clone(),
            _ => vec![FloorPart { slope_deg: 0.0, area_mm2: self.floor_mm2() }],
        };
        parts.sort_by(|a, b| a.slope_deg.total_cmp(&b.slope_deg));
        parts
    }

    /// Length and width of the floor that currents must cross, mm; those of a square of the same area where the shape
    /// has none of its own.
    #[must_use]
    pub fn length_and_width_mm(&self) -> (f64, f64) {
        match self {
            Self::Box { length_mm, width_mm } => (length_mm.max(*width_mm), length_mm.min(*width_mm)),
            Self::Cylinder { diameter_mm } | Self::Cone { diameter_mm, .. } => (*diameter_mm, *diameter_mm),
            Self::Own { .. } => {
                let side = self.floor_mm2().sqrt();
                (side, side)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shapes() -> [Shape; 4] {
        [
            Shape::Box { length_mm: 160.0, width_mm: 90.0 },
            Shape::Cylinder { diameter_mm: 100.0 },
            Shape::Cone { diameter_mm: 90.0, slope_deg: 60.0 },
            Shape::Own {
                floor: vec![
                    FloorPart { slope_deg: 60.0, area_mm2: 3000.0 },
                    FloorPart { slope_deg: 0.0, area_mm2: 1000.0 },
                ],
            },
        ]
    }

    #[test]
    fn height_and_volume_are_inverses_and_the_surface_is_their_slope() {
        for shape in shapes() {
            for ml in [3.0, 40.0, 333.0, 1000.0] {
                let height = shape.height_mm(ml);
                assert!((shape.volume_ml(height) / ml - 1.0).abs() < 1e-12, "{shape:?} {ml}");
                let step = 1e-4;
                let slope = (shape.volume_ml(height + step) - shape.volume_ml(height - step)) / (2.0 * step) * 1000.0;
                assert!((slope / shape.area_mm2(height) - 1.0).abs() < 1e-5, "{shape:?} {ml}");
            }
        }
    }

    #[test]
    fn a_cone_holds_a_third_of_its_cylinder() {
        let cone = Shape::Cone { diameter_mm: 100.0, slope_deg: 45.0 };
        assert!((cone.volume_ml(50.0) - PI * 2500.0 * 50.0 / 3000.0).abs() < 1e-9);
    }
}
