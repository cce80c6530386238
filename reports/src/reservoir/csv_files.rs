//! CSV files on fillings: feeds, balance, remedies, and jar tests worth doing.

use csv::Writer;

use super::parts::Part;
use super::tables::remedy;
use super::trials::Trials;
use crate::csv_files::{CsvError, finish, four, number};

/// Every file by name, in a fixed order.
///
/// # Errors
/// If the CSV library refuses a row.
pub fn all(trials: &Trials<'_>) -> Result<Vec<(&'static str, Vec<u8>)>, CsvError> {
    Ok(vec![
        ("reservoir_feeds.csv", feeds(trials)?),
        ("reservoir_balance.csv", balance(trials)?),
        ("reservoir_remedies.csv", remedies(trials)?),
        ("jar_tests_worth.csv", tests_worth(trials)?),
    ])
}

/// Heads of the four numbers of a spread.
fn ends(what: &str, unit: &str) -> [String; 4] {
    ["low", "median", "high", "mean"].map(|end| format!("{what}, {end} ({unit})"))
}

fn feeds(trials: &Trials<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    let mut header = [
        "reservoir",
        "day of the filling",
        "feed",
        "time since midnight of that day (h)",
        "water wanted (mL)",
        "water given at likely values (mL)",
        "food",
    ]
    .map(str::to_owned)
    .to_vec();
    header.extend(ends("fresh", "parts of 100 wanted of the feed"));
    header.extend(ends("spoiled", "parts of 100 wanted of the feed"));
    writer.write_record(&header)?;
    for vessel in &trials.vessels {
        for (n, feed) in vessel.trial.feeds.iter().enumerate() {
            for (food, (fresh, spoiled)) in vessel.trial.foods.iter().zip(feed.fresh.iter().zip(&feed.spoiled)) {
                let mut row = vec![
                    vessel.name().to_owned(),
                    vessel.trial.day.to_string(),
                    (n + 1).to_string(),
                    number(feed.hour),
                    number(feed.wanted_ml),
                    number(feed.given_ml),
                    trials.food(food.food).to_owned(),
                ];
                row.extend(four(fresh).into_iter().chain(four(spoiled)));
                writer.write_record(&row)?;
            }
        }
    }
    finish(writer)
}

fn balance(trials: &Trials<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    let mut header = ["reservoir", "poured in (mL)", "hours to the next filling (h)", "dead floor (share)", "food"]
        .map(str::to_owned)
        .to_vec();
    header.extend(Part::ALL.map(|part| format!("{} (parts of 100 poured in)", part.label())));
    header.push("wanted (dry mg)".to_owned());
    for what in [
        "delivered fresh",
        "delivered spoiled",
        "delivered fresh with settling in the reservoir only",
        "delivered fresh with ageing in the reservoir only",
        "delivered fresh with the tube only",
        "delivered fresh without trouble",
    ] {
        header.extend(ends(what, "parts of 100 wanted"));
    }
    writer.write_record(&header)?;
    for vessel in &trials.vessels {
        let trial = vessel.trial;
        for food in &trial.foods {
            let mut row = vec![
                vessel.name().to_owned(),
                number(trial.filled_ml),
                number(trial.hours),
                number(trial.dead_floor),
                trials.food(food.food).to_owned(),
            ];
            row.extend(Part::ALL.map(|part| number(part.of(&food.balance))));
            row.push(number(food.wanted_mg));
            for spread in [
                &food.delivered_fresh,
                &food.delivered_spoiled,
                &food.by_settling_alone,
                &food.by_ageing_alone,
                &food.by_tube_alone,
                &food.by_none,
            ] {
                row.extend(four(spread));
            }
            writer.write_record(&row)?;
        }
    }
    finish(writer)
}

fn remedies(trials: &Trials<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    let mut header = ["reservoir", "way of keeping the food"].map(str::to_owned).to_vec();
    header.extend(ends("fresh food delivered", "parts of 100 wanted"));
    writer.write_record(&header)?;
    for vessel in &trials.vessels {
        for one in &vessel.trial.remedies {
            let mut row = vec![vessel.name().to_owned(), remedy(one.what).to_owned()];
            row.extend(four(&one.delivered_fresh));
            writer.write_record(&row)?;
        }
    }
    finish(writer)
}

fn tests_worth(trials: &Trials<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    let mut header =
        ["reservoir", "food", "test", "read after (min)", "water", "unit of the water"].map(str::to_owned).to_vec();
    header.extend(ends("reading to expect", "share still in the water"));
    header.push("80 % range of fresh delivery now (parts of 100)".to_owned());
    header.push("80 % range expected after the test (parts of 100)".to_owned());
    writer.write_record(&header)?;
    for vessel in &trials.vessels {
        for test in &vessel.trial.tests {
            let (how, unit) = if test.stirred { ("stirred", "mL") } else { ("still", "mm high") };
            let mut row = vec![
                vessel.name().to_owned(),
                trials.food(test.food).to_owned(),
                how.to_owned(),
                number(test.after_min),
                number(test.water),
                unit.to_owned(),
            ];
            row.extend(four(&test.reading));
            row.extend([test.width_before, test.width_after].map(number));
            writer.write_record(&row)?;
        }
    }
    finish(writer)
}
