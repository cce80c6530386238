//! Every number of the library, and every number that is taken when a scenario says nothing, as tables.
//!
//! Rows that are the same for several fish, foods or reservoirs are told once.

use frytub_scenarios::{Kind, NumberUsed, library, read_text};
use frytub_sim::numbers::{
    CultureNumbers, FishNumbers, FoodNumbers, KeeperNumbers, LineNumbers, LiquidNumbers, MishapNumbers, NumberInfo,
    OutletNumbers, ReservoirNumbers, TubNumbers, WaterNumbers,
};

use super::table::{figure, table};

/// The kinds of source that the words of a default may name.
const KINDS: [Kind; 6] =
    [Kind::Read, Kind::Computed, Kind::Derived, Kind::Estimate, Kind::FromMemory, Kind::CommonPractice];

/// A scenario that says no more than it must. A litre of water, so that figures for each litre can be read off.
const LEAST: &str = r#"
name = "Defaults"
[brood]
fish = "dwarf cichlid"
fry = 100
days = 2
[tub]
volume = "1 L"
outlet = { sponge_face = "8 cm2", rim = "30 mm" }
water = { sponge = { volume = "1 L", SPONGE } }
[keeper]
visits = ["08:00"]
[mishaps]
[[reservoir]]
name = "cone"
kind = "steep cone"
[feed_line]
pump = "5 mL/min"
timer = "one-minute timer"
tube_length = "1 m"
tube_end = "40 mm"
[mix.food]
rotifer = "100 per mL"
[[recipe]]
from_day = 1
mix = "food"
[[plan]]
name = "plan"
by_pump = { at = ["08:00"], dose = "5 mL", reservoir = "cone" }
owns = ["float alarm"]
"#;

/// The sponges for which the numbers that follow from a sponge are told, as written.
const SPONGES: [(&str, &str); 2] = [
    ("a new sponge in the outlet", r#"age = "new", where = "in the outlet""#),
    ("a ripe sponge in the tub", r#"age = "ripe", where = "in the tub""#),
];

/// Names of all numbers of the model.
pub fn keys() -> Vec<&'static str> {
    let lists: [&[NumberInfo]; 11] = [
        FishNumbers::<f64>::INFO,
        FoodNumbers::<f64>::INFO,
        TubNumbers::<f64>::INFO,
        WaterNumbers::<f64>::INFO,
        ReservoirNumbers::<f64>::INFO,
        LineNumbers::<f64>::INFO,
        OutletNumbers::<f64>::INFO,
        MishapNumbers::<f64>::INFO,
        KeeperNumbers::<f64>::INFO,
        CultureNumbers::<f64>::INFO,
        LiquidNumbers::<f64>::INFO,
    ];
    lists.concat().iter().map(|info| info.key).collect()
}

/// All fish.
pub fn fish() -> String {
    let entries = library().fish.iter().map(|fish| (fish.name.clone(), fish.numbers_used()));
    merged("fish", "all fish", &entries.collect::<Vec<_>>())
}

/// All foods.
pub fn foods() -> String {
    let entries = library().foods.iter().map(|food| (food.name.clone(), food.numbers_used()));
    merged("food", "all that have it", &entries.collect::<Vec<_>>())
}

/// All cultures, by the food that comes from them.
pub fn cultures() -> String {
    let entries = library().cultures.iter().map(|culture| (culture.food.clone(), culture.numbers_used()));
    merged("culture of", "all", &entries.collect::<Vec<_>>())
}

/// All culture liquids.
pub fn liquids() -> String {
    let entries = library().liquids.iter().map(|liquid| (liquid.name.clone(), liquid.numbers_used()));
    merged("liquid", "all", &entries.collect::<Vec<_>>())
}

/// All reservoirs.
pub fn reservoirs() -> String {
    let entries = library().reservoirs.iter().map(|entry| (entry.name.clone(), entry.numbers_used()));
    let shapes = library().reservoirs.iter().map(|entry| vec![entry.name.clone(), entry.described()]);
    let shapes = table(&["reservoir", "it is"], &shapes.collect::<Vec<_>>());
    format!("{shapes}\n{}", merged("reservoir", "all", &entries.collect::<Vec<_>>()))
}

/// All timers.
pub fn timers() -> String {
    let row = |entry: &frytub_scenarios::TimerEntry| {
        vec![entry.timer.name.clone(), entry.described(), entry.kind.to_string(), entry.source.clone()]
    };
    table(&["timer", "it", "kind", "source"], &library().timers.iter().map(row).collect::<Vec<_>>())
}

/// What is taken when a scenario says nothing: of tub, water, outlet, feed line, keeper and mishaps.
pub fn defaults() -> String {
    let read = |(what, sponge): (&str, &str)| {
        let scenario = read_text("defaults.toml", &LEAST.replace("SPONGE", sponge));
        let used = scenario.unwrap_or_else(|error| panic!("{error}")).numbers_used;
        // Fish, foods, reservoirs and mixes are no defaults of the scenario.
        let is_default = |number: &NumberUsed| {
            let named = library().find(&number.group).is_ok() || number.group.starts_with("reservoir ");
            !named && !number.slot.starts_with("mix ")
        };
        let with_group =
            |number: NumberUsed| NumberUsed { label: format!("{}: {}", number.group, number.label), ..number };
        (what.to_owned(), used.into_iter().filter(is_default).map(with_group).collect())
    };
    merged("for", "any", &SPONGES.map(read))
}

/// One row a number and a value of it, with all who have that value.
fn merged(who: &str, everybody: &str, entries: &[(String, Vec<NumberUsed>)]) -> String {
    let mut rows: Vec<(NumberUsed, Vec<String>)> = Vec::new();
    let is_same = |a: &NumberUsed, b: &NumberUsed| {
        (&a.key, a.range, a.kind, &a.source, &a.unit) == (&b.key, b.range, b.kind, &b.source, &b.unit)
    };
    for (name, numbers) in entries {
        for number in numbers {
            match rows.iter_mut().find(|(row, _)| is_same(row, number)) {
                Some((_, names)) => names.push(name.clone()),
                None => {
                    // Beside the other values of the same number.
                    let beside = rows.iter().rposition(|(row, _)| row.key == number.key && row.label == number.label);
                    rows.insert(beside.map_or(rows.len(), |at| at + 1), (number.clone(), vec![name.clone()]));
                }
            }
        }
    }
    let having = |key: &str| entries.iter().filter(|(_, numbers)| numbers.iter().any(|n| n.key == key)).count();
    let row = |(number, names): &(NumberUsed, Vec<String>)| {
        let names = if names.len() == having(&number.key) { everybody.to_owned() } else { names.join("; ") };
        let must_be_said = number.kind == Kind::ScenarioFile && number.source.is_empty();
        let [low, likely, high] = [number.range.low(), number.range.likely(), number.range.high()];
        let range = match (must_be_said, number.range.is_certain()) {
            (true, _) => [""; 3].map(str::to_owned),
            (_, true) => [String::new(), figure(likely), String::new()],
            _ => [low, likely, high].map(figure),
        };
        let kind = if must_be_said { "must be said".to_owned() } else { kind_of(number) };
        let said = format!("{} (`{}`)", number.label, number.key);
        let mut cells = vec![said, names];
        cells.extend(range);
        cells.extend([number.unit.clone(), kind, number.source.clone()]);
        cells
    };
    let head = ["number", who, "low", "likely", "high", "unit", "kind", "source"];
    table(&head, &rows.iter().map(row).collect::<Vec<_>>())
}

/// The kind of source: as the library says, or, of a default, the first that its words name.
fn kind_of(number: &NumberUsed) -> String {
    if KINDS.contains(&number.kind) {
        return number.kind.to_string();
    }
    let is_letter = |c: Option<char>| c.is_some_and(char::is_alphabetic);
    let stands = |label: &str| {
        let at = number.source.find(label)?;
        let around = (number.source[..at].chars().next_back(), number.source[at + label.len()..].chars().next());
        (!is_letter(around.0) && !is_letter(around.1)).then_some(at)
    };
    let named = KINDS.into_iter().filter_map(|kind| Some((stands(kind.label())?, kind))).min_by_key(|(at, _)| *at);
    named.map_or_else(|| "by definition".to_owned(), |(_, kind)| kind.to_string())
}
