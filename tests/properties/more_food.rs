//! More food of one kind, everything else equal, never lowers what a fry eats.
//!
//! Means over broods that share their fry and their streams, at likely values, from a ration that starves to one that
//! is more than they can hold. Chance within a brood is allowed for: the mean difference may not lie more than three
//! of its standard errors below nothing. Three days, so that no fry outgrows its food; a food is alone in the mix,
//! since a fry may well eat less of the better food when more of a poorer one is about.

use frytub_sim::brood::Mode;

use crate::support::{Setting, likely_broods, mean};

const BROODS: u32 = 24;

fn intakes(fish: &str, mix: &str, dose_ml: f64) -> Vec<f64> {
    let plans = format!(
        "[[plan]]\nname = \"plan\"\nby_pump = {{ at = [\"08:00\", \"12:00\", \"17:00\"], dose = \"{dose_ml} mL\" }}"
    );
    let study = Setting { fish, mix, plans: &plans, drip: "100 mL/h", ..Setting::default() }.study();
    likely_broods(&study, 0, Mode::Leaps, BROODS).iter().map(|record| record.eaten_ug).collect()
}

#[test]
fn more_food_never_lowers_the_mean_intake() {
    for (fish, mix) in [
        ("dwarf cichlid", "rotifer = \"100 per mL\""),
        ("dwarf cichlid", "microworm = \"100 per mL\""),
        ("zebrafish", "Paramecium = \"800 per mL\""),
        ("freshwater angelfish", "\"newly hatched brine shrimp, small strain\" = \"25 per mL\""),
        ("dwarf cichlid", "\"egg yolk\" = \"0.05 mg per mL\""),
    ] {
        let doses = [1.0, 1.5, 2.5, 4.0, 8.0, 16.0, 32.0];
        let all = doses.map(|dose| intakes(fish, mix, dose));
        eprintln!("{fish}, {mix}: {:.1?} µg", all.each_ref().map(|eaten| mean(eaten.iter().copied())));
        for (step, pair) in all.windows(2).enumerate() {
            let gains: Vec<f64> = pair[1].iter().zip(&pair[0]).map(|(more, less)| more - less).collect();
            let gain = mean(gains.iter().copied());
            let variance = gains.iter().map(|g| (g - gain).powi(2)).sum::<f64>() / f64::from(BROODS - 1);
            let error = (variance / f64::from(BROODS)).sqrt();
            let (less, more) = (doses[step], doses[step + 1]);
            assert!(gain > -3.0 * error, "{fish}, {mix}: {more} mL against {less} mL gains {gain} ± {error} µg");
        }
        let (least, most) = (mean(all[0].iter().copied()), mean(all[6].iter().copied()));
        assert!(most > 1.5 * least, "{fish}, {mix}: 32 times the food gives {most} after {least} µg");
    }
}
