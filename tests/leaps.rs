//! The accuracy contract: leaps against the exact mode, in which every capture is its own event, for tubs as unlike
//! each other as a keeper might fill. Mean intake within 2 %, survival within the Monte Carlo error, and when fry die
//! within what a log-rank test lets pass.

use frytub_sim::brood::Mode;
use frytub_sim::brood::diary::BroodRecord;
use frytub_sim::study::Study;

use crate::support::survival::log_rank;
use crate::support::{Setting, likely_broods, lives};

/// Chi-squared that one comparison in a thousand exceeds by chance. The two modes share fry and background deaths, which
/// makes chance smaller than the test takes it to be: it lets pass rather too much.
const LOG_RANK_MOST: f64 = 10.83;

/// A scenario with the parts that the tubs differ in.
fn study(fish: &str, fry: u32, days: u32, volume: &str, drip: &str, mix: &str, feeds: &str) -> Study {
    let plans = format!("[[plan]]\nname = \"plan\"\nby_pump = {feeds}");
    Setting { fish, fry, days, volume, drip, mix, plans: &plans, ..Setting::default() }.study()
}

/// Mean intake of a fry and share alive over broods, with the standard error of the share.
fn summary(records: &[BroodRecord]) -> (f64, f64, f64) {
    let n = records.len() as f64;
    let intake = records.iter().map(|r| r.eaten_ug).sum::<f64>() / n;
    let alive: Vec<f64> = records.iter().map(|r| r.alive as f64 / r.fry as f64).collect();
    let mean = alive.iter().sum::<f64>() / n;
    let variance = alive.iter().map(|a| (a - mean).powi(2)).sum::<f64>() / (n - 1.0);
    (intake, mean, (variance / n).sqrt())
}

fn assert_contract(name: &str, study: &Study, broods: u32) {
    let [leaps, exact] = [Mode::Leaps, Mode::Exact].map(|mode| likely_broods(study, 0, mode, broods));
    let (leap_intake, leap_alive, leap_error) = summary(&leaps);
    let (exact_intake, exact_alive, exact_error) = summary(&exact);
    let hours = 24.0 * f64::from(study.days);
    let deaths = log_rank(&lives(&leaps, hours), &lives(&exact, hours));
    eprintln!(
        "{name}: intake {leap_intake:.2} against {exact_intake:.2} µg ({:+.2} %), alive {leap_alive:.3} against \
         {exact_alive:.3}, {} deaths where {:.1} are expected (chi-squared {:.2})",
        100.0 * (leap_intake / exact_intake - 1.0),
        deaths.observed,
        deaths.expected,
        deaths.chi_squared()
    );
    assert!((leap_intake / exact_intake - 1.0).abs() < 0.02, "{name}: {leap_intake} against {exact_intake} µg eaten");
    // The two modes share the fry but not their luck: the difference has both errors.
    let error = leap_error.hypot(exact_error).max(0.5 / f64::from(study.fry * broods));
    assert!(
        (leap_alive - exact_alive).abs() < 3.0 * error,
        "{name}: {leap_alive} against {exact_alive} ± {error} alive"
    );
    assert!(deaths.chi_squared() < LOG_RANK_MOST, "{name}: fry die at other times: {deaths:?}");
}

#[test]
fn two_big_feeds_of_nauplii() {
    let mix = r#""newly hatched brine shrimp, small strain" = "100 per mL""#;
    let study = study(
        "freshwater angelfish",
        20,
        4,
        "1 L",
        "0 mL/h",
        mix,
        r#"{ at = ["08:00", "16:00"], dose = "1000 items" }"#,
    );
    assert_contract("nauplii, twice", &study, 12);
}

#[test]
fn eleven_small_feeds_of_rotifers_with_a_drip() {
    let mix = r#"rotifer = "100 per mL""#;
    let study = study(
        "zebrafish",
        20,
        4,
        "2 L",
        "100 mL/h",
        mix,
        r#"{ at = "every 75 min from 07:30 to 20:00", dose = "320 items", over = "2 min" }"#,
    );
    assert_contract("rotifers, eleven times", &study, 10);
}

#[test]
fn worms_on_the_bottom_fought_over() {
    let mix = r#"microworm = "100 per mL""#;
    let study = study(
        "dwarf cichlid",
        24,
        4,
        "2 L",
        "50 mL/h",
        mix,
        r#"{ at = ["08:00", "12:00", "18:00"], dose = "900 items", over = "1 min" }"#,
    );
    assert_contract("microworms, three times", &study, 12);
}

#[test]
fn many_small_items_all_day() {
    let mix = r#"Paramecium = "100 per mL""#;
    let study = study(
        "dwarf cichlid",
        16,
        3,
        "1 L",
        "0 mL/h",
        mix,
        r#"{ at = ["07:30", "13:00"], dose = "5000 items", over = "1 min" }"#,
    );
    assert_contract("Paramecium, twice", &study, 8);
}

#[test]
fn a_short_ration_that_lets_some_starve() {
    let mix = r#"rotifer = "100 per mL"
microworm = "30 per mL""#;
    let study = study(
        "dwarf cichlid",
        24,
        7,
        "3 L",
        "100 mL/h",
        mix,
        r#"{ at = ["08:00", "14:00"], dose = "800 items", over = "1 min" }"#,
    );
    assert_contract("short ration", &study, 16);
}

#[test]
fn powder_that_spoils_within_minutes() {
    let mix = r#""powder under 50 um" = "0.1 mg per mL""#;
    let study = study(
        "dwarf cichlid",
        8,
        2,
        "1 L",
        "0 mL/h",
        mix,
        r#"{ at = ["08:00", "12:00", "16:00", "20:00"], dose = "0.3 mg", over = "1 min" }"#,
    );
    assert_contract("powder, four times", &study, 5);
}

#[test]
fn a_pump_that_feeds_every_ten_minutes() {
    // Leaps are cut short again and again while every gut is full: the fry must not gain by it.
    let mix = r#"microworm = "100 per mL""#;
    let study = study(
        "dwarf cichlid",
        16,
        2,
        "1 L",
        "0 mL/h",
        mix,
        r#"{ at = "every 10 min from 07:00 to 20:50", dose = "250 items", over = "1 min" }"#,
    );
    assert_contract("microworms, every ten minutes", &study, 2);
}

#[test]
fn worms_and_nauplii_through_a_reservoir_into_a_tub_that_fills() {
    // What comes in is of mixed age, the sponge clogs, the level rises over the tube's end: both modes must see the same.
    let plans = "[[plan]]\nname = \"plan\"\nrinse = \"never\"\n\
                 by_pump = { at = \"every 120 min from 07:00 to 19:00\", dose = \"10 mL\" }";
    let more = "[[reservoir]]\nname = \"cone\"\nkind = \"steep cone\"\n\
                [feed_line]\npump = \"10 mL/min\"\ntimer = \"one-minute timer\"\ntube_length = \"50 cm\"\n\
                tube_bore = \"4 mm\"\ntube_end = \"2 mm\"\nabove_tub = \"30 cm\"\n";
    let setting = Setting {
        fry: 24,
        days: 4,
        volume: "1.5 L",
        drip: "80 mL/h",
        tub: "outlet = { sponge_face = \"0.3 cm2\", rim = \"20 mm\" }",
        mix: "microworm = \"30 per mL\"\n\"newly hatched brine shrimp, small strain\" = \"12 per mL\"",
        plans,
        more,
        ..Setting::default()
    };
    assert_contract("through a reservoir", &setting.study(), 12);
}
