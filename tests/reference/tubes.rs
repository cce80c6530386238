//! Water in small tubes at 27 °C, against tables made with fluids 1.3.1, scipy 1.17.1 and iapws 1.5.5.
//!
//! - Hold-up: geometry, 1e-12.
//! - Head of laminar flow (Hagen and Poiseuille): 6 parts in 100 000. The model's own water has a viscosity that differs
//!   by up to 5 parts and a density that differs by less than half a part.
//! - An open siphon (friction of Churchill 1977, smooth tube, K = 1.5): 6 parts in 100 000, for the same reason. The table
//!   meets laminar, transitional and turbulent flow.
//! - The flow that sweeps a tube clean: 6 parts in 100 000. The stresses are those of fresh fish-farm waste, 0.018 Pa
//!   (Cromey et al. 2002, Estuaries 25:916–929), and of salmon faeces, 0.06 Pa (Carvajalino-Fernández et al. 2020,
//!   Aquacult. Environ. Interact. 12:117–129).
//! - Whether a tube holds its water (Bretherton 1961, J. Fluid Mech. 10:166–188): yes or no.

use frytub_sim::physics::tubes::{
    hold_up_ml, holds_its_water, laminar_head_mm, siphon_flow_ml_min, sweeping_flow_ml_min,
};

use super::Table;

const CELSIUS: f64 = 27.0;
/// What the model's own water may change.
const WATER: f64 = 6e-5;

#[test]
fn a_tube_holds_and_resists_as_hagen_and_poiseuille_say() {
    let table = Table::read(include_str!("tube_holdup_laminar.csv"));
    let rows = table.columns(["bore_mm", "length_m", "flow_ml_min", "holdup_ml", "head_mm", "head_fluids_mm"]);
    assert_eq!(rows.len(), 108);
    for [bore, length, flow, holds, head, by_factor] in rows {
        let (our_hold, our_head) = (hold_up_ml(bore, length), laminar_head_mm(bore, length, flow, CELSIUS));
        assert!((our_hold / holds - 1.0).abs() < 1e-12, "{bore} mm, {length} m: {our_hold} against {holds} mL");
        assert!((our_head / head - 1.0).abs() < WATER, "{bore} mm, {flow} mL/min: {our_head} against {head} mm");
        // Two millimetres of bore turn turbulent at the last flow; everywhere else the friction factor says the same.
        if (bore, flow) != (2.0, 200.0) {
            assert!((head / by_factor - 1.0).abs() < 1e-9, "{bore} mm, {flow} mL/min: the table differs with itself");
        }
    }
}

#[test]
fn an_open_siphon_runs_as_churchills_friction_lets_it() {
    let table = Table::read(include_str!("siphon_flow.csv"));
    let rows = table.columns(["bore_mm", "length_m", "head_m", "flow_ml_min", "reynolds"]);
    assert_eq!(rows.len(), 81);
    assert!(rows.iter().any(|row| row[4] < 100.0) && rows.iter().any(|row| row[4] > 4000.0), "all kinds of flow");
    for [bore, length, head, flow, reynolds] in rows {
        let ours = siphon_flow_ml_min(bore, length, 1000.0 * head, CELSIUS);
        assert!((ours / flow - 1.0).abs() < WATER, "{bore} mm, {head} m, Re {reynolds:.0}: {ours} against {flow}");
    }
    assert_eq!(siphon_flow_ml_min(4.0, 1.5, -10.0, CELSIUS), 0.0, "nothing runs uphill");
}

#[test]
fn the_sweeping_flow_is_where_the_wall_stress_lifts() {
    let table = Table::read(include_str!("tube_transport_min_flow.csv"));
    let rows = table.columns(["bore_mm", "flow_0.018_ml_min", "flow_0.06_ml_min"]);
    assert_eq!(rows.len(), 4);
    for [bore, gentle, strong] in rows {
        for (stress, flow) in [(0.018, gentle), (0.06, strong)] {
            let ours = sweeping_flow_ml_min(bore, stress, CELSIUS);
            assert!((ours / flow - 1.0).abs() < WATER, "{bore} mm, {stress} Pa: {ours} against {flow}");
        }
    }
}

#[test]
fn narrow_tubes_hold_their_water_and_wide_ones_do_not() {
    let rows = Table::read(include_str!("tube_bond_number.csv")).columns(["bore_mm", "bond", "holds"]);
    assert_eq!(rows.iter().map(|row| row[0]).collect::<Vec<_>>(), [2.0, 3.0, 4.0, 5.0, 6.0, 8.0]);
    for [bore, bond, holds] in rows {
        assert_eq!(holds_its_water(bore, CELSIUS), holds == 1.0, "{bore} mm, Bond number {bond}");
    }
}
