//! Density and viscosity of water.
//!
//! - Density by Kell 1975 against IAPWS-95 (iapws 1.5.5; CoolProp 8.0.0 agrees to ten digits), from a reservoir kept at
//!   1 °C to a tub at 36 °C. Tolerance 0.004 kg/m³: Kell's temperatures are on the scale of 1968, worth up to 0.0034
//!   kg/m³.
//! - Density against the same equation written down a second time, in another language: all printed digits (1e-11 of
//!   the value leaves room for the order of the sums).
//! - Viscosity by IAPWS SR6-08 against IAPWS R12-08. Tolerance 5 parts in 100 000 from 1 to 36 °C, which is some 200
//!   times finer than R12-08's own uncertainty of 1 %.
//! - Viscosity against the same equation written down a second time: 1e-9.

use frytub_sim::physics::water::{density_kg_m3, viscosity_pa_s};

use super::Table;

fn table() -> Table {
    Table::read(include_str!("water_properties.csv"))
}

#[test]
fn density_is_within_four_grams_a_cubic_metre_of_the_standard() {
    let rows = table().columns(["celsius", "iapws95_kg_m3", "coolprop_kg_m3"]);
    assert_eq!(rows.len(), 71, "every half degree from 1, a reservoir kept cold, to 36");
    for [celsius, iapws, coolprop] in rows {
        let ours = density_kg_m3(celsius);
        assert!((ours - iapws).abs() < 0.004, "{celsius} °C: {ours} against {iapws}");
        assert!((iapws - coolprop).abs() < 1e-9 * iapws, "{celsius} °C: the two libraries differ");
    }
}

#[test]
fn density_is_kells_equation() {
    for [celsius, kell] in table().columns(["celsius", "kell_kg_m3"]) {
        let ours = density_kg_m3(celsius);
        assert!((ours / kell - 1.0).abs() < 1e-11, "{celsius} °C: {ours} against {kell}");
    }
}

#[test]
fn viscosity_is_within_five_in_a_hundred_thousand_of_the_standard() {
    for [celsius, iapws, coolprop] in table().columns(["celsius", "iapws_r1208_pa_s", "coolprop_pa_s"]) {
        let ours = viscosity_pa_s(celsius);
        assert!((ours / iapws - 1.0).abs() < 5e-5, "{celsius} °C: {ours} against {iapws}");
        assert!((iapws / coolprop - 1.0).abs() < 1e-9, "{celsius} °C: the two libraries differ");
    }
}

#[test]
fn viscosity_is_the_short_equation_of_iapws() {
    for [celsius, short] in table().columns(["celsius", "iapws_sr608_pa_s"]) {
        let ours = viscosity_pa_s(celsius);
        assert!((ours / short - 1.0).abs() < 1e-9, "{celsius} °C: {ours} against {short}");
    }
}
