//! Ammonia and oxygen in fresh water.
//!
//! - Un-ionised share of ammonia by Emerson et al. 1975 against the same equation written down a second time: all printed
//!   digits. A published page prints 2727.92 for 2729.92: the test must not pass with it.
//! - Oxygen by Benson & Krause 1984 against the same equation (all printed digits) and against the fit of Garcia & Gordon
//!   1992 in gsw 3.6.23: 4 parts in 10 000, by which the two fits differ.
//! - The pH term of fish (US EPA 1999, from memory) against three points worked out apart.

use frytub_sim::physics::chemistry::{ammonia_tolerance_at, oxygen_saturation_mg_l, unionised_share};

use super::Table;

#[test]
fn unionised_share_is_emersons() {
    let table = Table::read(include_str!("unionised_ammonia_fraction.csv"));
    let rows = table.columns(["celsius", "ph6.0", "ph7.0", "ph7.6", "ph8.0", "ph9.0"]);
    assert_eq!(rows.len(), 16);
    for [celsius, shares @ ..] in rows {
        for (ph, share) in [6.0, 7.0, 7.6, 8.0, 9.0].into_iter().zip(shares) {
            let ours = unionised_share(celsius, ph);
            assert!((ours / share - 1.0).abs() < 1e-11, "{celsius} °C, pH {ph}: {ours} against {share}");
            let misprint = 1.0 / (1.0 + 10_f64.powf(0.090_18 + 2727.92 / (celsius + 273.15) - ph));
            assert!((misprint / share - 1.0).abs() > 1e-3, "the misprint would be seen");
        }
    }
}

#[test]
fn oxygen_saturation_is_bensons_and_krauses() {
    let table = Table::read(include_str!("oxygen_saturation.csv"));
    let rows = table.columns(["celsius", "benson_krause_mg_l", "gsw_mg_l"]);
    assert_eq!(rows.len(), 21);
    for [celsius, equation, gsw] in rows {
        let ours = oxygen_saturation_mg_l(celsius);
        assert!((ours / equation - 1.0).abs() < 1e-11, "{celsius} °C: {ours} against {equation}");
        // From 20 to 32 °C, the temperatures of tubs.
        assert!(
            !(20.0..=32.0).contains(&celsius) || (ours / gsw - 1.0).abs() < 4e-4,
            "{celsius} °C: {ours} against {gsw}"
        );
    }
}

#[test]
fn fish_bear_more_total_ammonia_in_sour_water() {
    // By hand: 10^(7.204 − 7) = 1.5996, 10^(7 − 7.204) = 0.62517: 0.0489/2.5996 + 6.95/1.62517 = 4.2953.
    for (ph, by_hand) in [(7.0, 4.295_3), (8.0, 1.000_55), (6.5, 5.810_88)] {
        let ours = ammonia_tolerance_at(ph);
        assert!((ours / by_hand - 1.0).abs() < 1e-3, "pH {ph}: {ours} against {by_hand}");
    }
}
