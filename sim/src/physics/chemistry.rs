//! Ammonia and oxygen in fresh water.

/// Share of total ammonia that is un-ionised (NH3), 0 to 1, at a temperature in °C and a pH.
///
/// Emerson, Russo, Lund & Thurston 1975, J. Fish. Res. Board Can. 32:2379–2383: `pKa = 0.09018 + 2729.92 / T`,
/// `f = 1 / (1 + 10^(pKa − pH))`, T in kelvin; zero ionic strength. (A published page prints 2727.92; that makes f 1.5 %
/// too high.)
#[must_use]
pub fn unionised_share(celsius: f64, ph: f64) -> f64 {
    let pka = 0.090_18 + 2729.92 / (celsius + 273.15);
    1.0 / (1.0 + 10_f64.powf(pka - ph))
}

/// Oxygen in water saturated with air at sea level, mg/L, from 0 to 40 °C.
///
/// Benson & Krause 1984, Limnol. Oceanogr. 29:620–632, as in APHA Standard Methods 4500-O.
#[must_use]
pub fn oxygen_saturation_mg_l(celsius: f64) -> f64 {
    let t = celsius + 273.15;
    (-139.344_11 + (1.575_701e5 + (-6.642_308e7 + (1.243_800e10 - 8.621_949e11 / t) / t) / t) / t).exp()
}

/// Total ammonia that harms fish at a pH, against that at pH 8.
///
/// The pH term for fish of US EPA 1999, "Update of ambient water quality criteria for ammonia" (from memory), without the
/// temperature term of 2013, which mussels drive: `0.0489 / (1 + 10^(7.204 − pH)) + 6.95 / (1 + 10^(pH − 7.204))`.
#[must_use]
pub fn ammonia_tolerance_at(ph: f64) -> f64 {
    0.0489 / (1.0 + 10_f64.powf(7.204 - ph)) + 6.95 / (1.0 + 10_f64.powf(ph - 7.204))
}

/// mg of NH3 that hold a mg of nitrogen.
pub const NH3_PER_N: f64 = 17.031 / 14.007;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tolerance_is_that_of_ph_8_at_ph_8_and_higher_in_sour_water() {
        assert!((ammonia_tolerance_at(8.0) - 1.0).abs() < 0.01, "{}", ammonia_tolerance_at(8.0));
        assert!(ammonia_tolerance_at(7.0) > 3.0 && ammonia_tolerance_at(9.0) < 0.3);
    }

    #[test]
    fn a_hundredth_of_ammonia_is_unionised_in_neutral_warm_water() {
        assert!((unionised_share(25.0, 7.0) - 0.005_64).abs() < 1e-4, "{}", unionised_share(25.0, 7.0));
        assert!((oxygen_saturation_mg_l(28.0) - 7.828).abs() < 0.001);
    }
}
