//! Tables of the report on reservoirs: shape or freshness, what would help, jar tests worth doing.

use frytub_sim::outcome::{Remedy, RemedyKind, TestWorth};

use super::answer::trouble_word;
use super::parts::Part;
use super::trials::{Losses, Trials, Vessel};
use crate::tables::TextTable;
use crate::words::{NOTHING, capital, clock, figures, fry_short, with_range};

/// What a remedy is called.
#[must_use]
pub fn remedy(what: RemedyKind) -> &'static str {
    match what {
        RemedyKind::AsItIs => "as it is",
        RemedyKind::Cold => "kept at 8 °C",
        RemedyKind::FilledTwice => "filled twice, half each time",
        RemedyKind::FilledLate => "filled one hour before the first feed",
        RemedyKind::SteepCone => "in a steep cone (60°), stone and intake in the tip",
    }
}

/// Every way of keeping the food, in the order of tables.
const REMEDIES: [RemedyKind; 5] =
    [RemedyKind::AsItIs, RemedyKind::Cold, RemedyKind::FilledTwice, RemedyKind::FilledLate, RemedyKind::SteepCone];

/// Each food of each reservoir: as it is, and with one trouble taken away.
pub fn shape_or_freshness(trials: &Trials<'_>) -> TextTable {
    let mut table = TextTable::new(
        "Food delivered fresh, parts of 100 wanted; in brackets the range that holds 80 % of the worlds. Each column but \
         the first leaves one trouble only; the last none: what timer and pump make of the doses.",
        &[
            "reservoir and food",
            "as it is",
            "settling in the reservoir only",
            "ageing in the reservoir only",
            "the tube only",
            "no trouble",
            "the trouble",
        ],
    );
    table.words = vec![6];
    for vessel in &trials.vessels {
        for food in &vessel.trial.foods {
            table.row(vec![
                format!("{}, {}", vessel.name(), trials.food(food.food)),
                with_range(&food.delivered_fresh),
                with_range(&food.by_settling_alone),
                with_range(&food.by_ageing_alone),
                with_range(&food.by_tube_alone),
                with_range(&food.by_none),
                trouble_word(Losses::of(food).trouble()),
            ]);
        }
    }
    table
}

/// What other ways of keeping the food would bring: a row a way, a column a reservoir.
pub fn what_would_help(trials: &Trials<'_>) -> TextTable {
    let mut table = TextTable::new(
        "Fresh food of all kinds delivered, parts of 100 wanted; in brackets the range that holds 80 % of the worlds.",
        &["way of keeping the food"],
    );
    table.head.extend(trials.vessels.iter().map(|vessel| vessel.name().to_owned()));
    for what in REMEDIES {
        let found: Vec<_> = trials
            .vessels
            .iter()
            .map(|vessel| vessel.trial.remedies.iter().find(|remedy| remedy.what == what))
            .collect();
        if found.iter().all(Option::is_none) {
            continue;
        }
        let mut row = vec![capital(remedy(what))];
        let cell = |remedy: Option<&Remedy>| {
            remedy.map_or_else(|| NOTHING.to_owned(), |remedy| with_range(&remedy.delivered_fresh))
        };
        row.extend(found.into_iter().map(cell));
        table.row(row);
    }
    table
}

/// How a test is made, in a few words.
fn how(test: &TestWorth) -> String {
    if test.stirred {
        format!("in the reservoir, air on, pump off, {} mL", figures(test.water))
    } else {
        format!("still jar, water {} mm high", figures(test.water))
    }
}

/// A test that narrows the range by fewer parts of 100 than this is not worth half an hour.
const LEAST_GAIN: f64 = 1.0;

/// The tests of a reservoir that are worth making, by their worth.
pub fn worth_making<'a>(vessel: &Vessel<'a>) -> Vec<&'a TestWorth> {
    vessel.trial.tests.iter().filter(|test| test.width_before - test.width_after >= LEAST_GAIN).collect()
}

/// Jar tests worth making, those of each reservoir by their worth.
pub fn tests_worth(trials: &Trials<'_>) -> TextTable {
    let mut table = TextTable::new(
        "Most worth doing first for each reservoir. The reading is the share still in the water; the last two columns say \
         how wide the 80 % range of the food's fresh delivery is now (parts of 100), and how wide it would be after the \
         test. Tests that would narrow nothing are left out; jar_tests_worth.csv has all.",
        &["reservoir and food", "test", "read after, min", "reading to expect, %", "range now", "range after"],
    );
    table.words = vec![1];
    for vessel in &trials.vessels {
        for test in worth_making(vessel) {
            let percent = |share: f64| fry_short(share * 100.0);
            let reading = &test.reading;
            table.row(vec![
                format!("{}, {}", vessel.name(), trials.food(test.food)),
                how(test),
                figures(test.after_min),
                format!("{} ({}–{})", percent(reading.median), percent(reading.low), percent(reading.high)),
                fry_short(test.width_before),
                fry_short(test.width_after),
            ]);
        }
    }
    table
}

/// The numbers behind a chart of the fillings.
pub fn behind(trials: &Trials<'_>, chart: &str) -> Option<TextTable> {
    let table = match chart {
        "r1-feeds" => feeds(trials),
        "r2-balance" => balance(trials),
        _ => return None,
    };
    (!table.rows.is_empty()).then_some(table)
}

fn feeds(trials: &Trials<'_>) -> TextTable {
    let mut table = TextTable::new(
        "First, middle and last feed of the filling (all feeds are in reservoir_feeds.csv): water, and food out of 100 \
         parts wanted of that feed (80 % of the worlds in brackets).",
        &["reservoir and feed", "food", "water wanted, mL", "water given, mL", "fresh", "spoiled"],
    );
    table.words = vec![1];
    for vessel in &trials.vessels {
        let feeds = &vessel.trial.feeds;
        let mut shown = vec![0, feeds.len() / 2, feeds.len().saturating_sub(1)];
        shown.dedup();
        for feed in shown.into_iter().filter_map(|n| feeds.get(n)) {
            for (food, (fresh, spoiled)) in vessel.trial.foods.iter().zip(feed.fresh.iter().zip(&feed.spoiled)) {
                table.row(vec![
                    format!("{}, {}", vessel.name(), clock(feed.hour)),
                    trials.food(food.food).to_owned(),
                    figures(feed.wanted_ml),
                    figures(feed.given_ml),
                    with_range(fresh),
                    with_range(spoiled),
                ]);
            }
        }
    }
    table
}

fn balance(trials: &Trials<'_>) -> TextTable {
    let mut table =
        TextTable::new("Where each food is at the next filling, parts of 100 poured in.", &["reservoir and food"]);
    table.head.extend(Part::ALL.map(|part| part.label().to_owned()));
    for vessel in &trials.vessels {
        for food in &vessel.trial.foods {
            let mut row = vec![format!("{}, {}", vessel.name(), trials.food(food.food))];
            row.extend(Part::ALL.map(|part| format!("{:.0}", part.of(&food.balance))));
            table.row(row);
        }
    }
    table
}
