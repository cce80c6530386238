//! Density and viscosity of fresh water.

/// Density of air-free water at atmospheric pressure, kg/m³, for `celsius` from 0 to 150.
///
/// Kell 1975, J. Chem. Eng. Data 20:97–105, equation 16; within 0.003 kg/m³ of IAPWS-95 from 20 to 32 °C.
#[must_use]
pub fn density_kg_m3(celsius: f64) -> f64 {
    let t = celsius;
    let numerator = 999.839_52
        + t * (16.945_176 + t * (-7.987_040_1e-3 + t * (-46.170_461e-6 + t * (105.563_02e-9 + t * -280.542_53e-12))));
    numerator / (1.0 + 16.879_850e-3 * t)
}

/// Dynamic viscosity of water at 0.1 MPa, Pa s, for `celsius` from −20 to 110.
///
/// IAPWS SR6-08(2011), equation for the liquid (Pátek et al. 2009, J. Phys. Chem. Ref. Data 38:21).
#[must_use]
pub fn viscosity_pa_s(celsius: f64) -> f64 {
    let x = (celsius + 273.15) / 300.0;
    1e-6 * (280.68 * x.powf(-1.9) + 511.45 * x.powf(-7.7) + 61.131 * x.powf(-19.6) + 0.459_03 * x.powf(-40.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_the_reference_library_at_28_degrees() {
        // iapws 1.5.5: Kell 996.23351 kg/m³ (computed from the same equation), R12-08 viscosity 0.8323778 mPa s.
        assert!((density_kg_m3(28.0) - 996.233_51).abs() < 1e-4);
        assert!((viscosity_pa_s(28.0) / 0.832_377_8e-3 - 1.0).abs() < 5e-5);
    }
}
