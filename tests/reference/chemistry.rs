//! Ammonia and oxygen in fresh water.
//!
//! - Un-ionised share of ammonia by Emerson et al. 1975 against the same equation written down a second time: all printed
//!   digits. A published page prints 2727.92 for 2729.92: the test must not pass with it.
//! - Oxygen by Benson & Krause 1984 against the same equation (all printed digits) and against the fit of Garcia & Gordon
//!   1992 in gsw 3.6.23: 4 parts in 10 000, by which the two fits differ.
//! - The pH term of fish (US EPA 1999, from memory) against three points worked out apart, and against the acute criteria
//!   of US EPA 2013: 3 parts in 1000, by which the published terms differ among themselves.
//! - No temperature term: below some 11 °C the criteria of 2013 are those of fish and stay the same, above they fall
//!   with the mussels.

use frytub_sim::fry::tolerance::Tolerance;
use frytub_sim::physics::chemistry::{NH3_PER_N, ammonia_tolerance_at, oxygen_saturation_mg_l, unionised_share};
use frytub_sim::worlds;

use super::Table;
use crate::support::Setting;

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

/// The acute criteria: temperature, pH, mg total ammonia nitrogen/L with and without salmonids.
fn criteria() -> Vec<[f64; 4]> {
    let table = Table::read(include_str!("epa2013_ammonia_criteria.csv"));
    table.columns(["celsius", "ph", "with_salmonids", "without_salmonids"])
}

#[test]
fn the_ph_term_of_fish_is_that_of_the_criteria() {
    let rows = criteria();
    // At 4 °C the two columns are the term of salmonids and that of other fish; at 20 °C both are that of the rest.
    for celsius in [4.0, 20.0] {
        let here: Vec<_> = rows.iter().filter(|row| row[0] == celsius).collect();
        assert_eq!(here.len(), 26, "every tenth from 6.5 to 9.0");
        let at_8 = here.iter().find(|row| row[1] == 8.0).expect("pH 8");
        let mut apart = [0.0_f64; 2];
        for row in &here {
            let ours = ammonia_tolerance_at(row[1]) / ammonia_tolerance_at(8.0);
            for (column, apart) in apart.iter_mut().enumerate() {
                let theirs = row[2 + column] / at_8[2 + column];
                *apart = apart.max((ours / theirs - 1.0).abs());
                assert!((ours / theirs - 1.0).abs() < 3e-3, "{celsius} °C, pH {}: {ours} against {theirs}", row[1]);
            }
        }
        eprintln!(
            "{celsius} °C: at most {:.3} % from salmonids, {:.3} % from others",
            100.0 * apart[0],
            100.0 * apart[1]
        );
    }
}

#[test]
fn what_fish_bear_has_no_temperature_term() {
    let rows = criteria();
    let acute = |celsius: f64, ph: f64| rows.iter().find(|row| row[..2] == [celsius, ph]).expect("a row")[3];
    let tolerance = Tolerance::new(&worlds::likely(&Setting::default().study()).fish);
    let borne = |celsius: f64, ph: f64| tolerance.lc50_mg_l(celsius, ph) / NH3_PER_N / unionised_share(celsius, ph);
    for ph in [6.5, 7.0, 7.6, 8.0, 8.5, 9.0] {
        assert!((acute(8.0, ph) / acute(4.0, ph) - 1.0).abs() < 1e-12, "the criteria of fish alone, pH {ph}");
        assert!(acute(28.0, ph) / acute(20.0, ph) < 0.6, "the criteria of mussels fall, pH {ph}");
        for celsius in [20.0, 24.0, 28.0, 30.0] {
            let apart = borne(celsius, ph) / borne(20.0, ph) - 1.0;
            assert!(apart.abs() < 1e-12, "{celsius} °C, pH {ph}: total ammonia that fry bear changes by {apart}");
        }
    }
}
