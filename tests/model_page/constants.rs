//! The constants that stand in the code, with what their comments say of them, read from the sources.

use std::path::{Path, PathBuf};

use super::table::table;
use super::{files_below, read};

/// Where constants of the model stand: every file of the simulator, and what of a scenario's text becomes numbers.
const PLACES: [&str; 3] = ["sim/src", "scenarios/src/read/sponge.rs", "scenarios/src/read/water.rs"];
/// Constants that say nothing of fish, food or water, but how it is reckoned: steps, limits, units. All of a file, or those
/// named.
const RECKONING: &[(&str, &[&str])] = &[
    ("brood/exact.rs", &[]),
    ("brood/kitchen.rs", &[]),
    ("brood/leap.rs", &[]),
    ("brood/pumping.rs", &[]),
    ("chance.rs", &[]),
    ("clock.rs", &[]),
    ("feedline/shape.rs", &[]),
    ("feedline/timer.rs", &[]),
    ("feedline/trial.rs", &[]),
    ("feedline/vessel.rs", &["STEP_H", "STEP_SHARE", "GAUSS", "MIX", "DROP_ML", "MM3_PER_ML", "S_PER_H"]),
    ("food/batch.rs", &[]),
    ("food/fit.rs", &[]),
    ("fry/feeding.rs", &["ONE_BY_ONE", "MOUTHFUL", "SATED", "REMEMBERED"]),
    ("fry/traits.rs", &["SWIM_UP_GRAIN_H"]),
    ("jar_tests.rs", &[]),
    ("monte_carlo.rs", &[]),
    ("outlet.rs", &["CM2_PER_M2", "WALL_E_FOLDS", "ML_PER_MM3"]),
    ("physics/plume.rs", &["ROUNDS"]),
    (
        "setbacks.rs",
        &["HARD", "MOST_DAYS_TRIED", "CUTS_TRIED_EVERY_H", "BROODS_SEARCHED", "MOST_BROODS_A_MOMENT", "AFTER_VISIT_H"],
    ),
    ("study/line.rs", &["MOST_FLOOR_PARTS"]),
    ("study/mod.rs", &[]),
    ("tally/mod.rs", &[]),
    ("tub.rs", &[]),
    ("water.rs", &["STEP_H"]),
    ("worlds.rs", &[]),
];

/// A constant with a number.
struct Constant {
    file: PathBuf,
    name: String,
    value: String,
    words: String,
}

impl Constant {
    fn is_of_reckoning(&self) -> bool {
        let is_here = |&&(file, names): &&(&str, &[&str])| {
            self.file.ends_with(file) && (names.is_empty() || names.contains(&self.name.as_str()))
        };
        RECKONING.iter().any(|place| is_here(&place))
    }
}

/// Constants of fish, food, water and equipment; and how it is reckoned.
pub fn tables() -> [String; 2] {
    let all = all();
    [false, true].map(|of_reckoning| {
        let chosen = all.iter().filter(|constant| constant.is_of_reckoning() == of_reckoning);
        let row = |constant: &Constant| {
            let file = constant.file.to_string_lossy();
            vec![format!("`{}`", constant.name), constant.value.clone(), constant.words.clone(), format!("`{file}`")]
        };
        table(&["constant", "value", "what it is, and its source", "file"], &chosen.map(row).collect::<Vec<_>>())
    })
}

/// Names of the constants of fish, food, water and equipment, with the value of those that are plain numbers.
pub fn names() -> Vec<(String, Option<f64>)> {
    let habits = all().into_iter().filter(|constant| !constant.is_of_reckoning());
    habits.map(|constant| (constant.name, constant.value.parse().ok())).collect()
}

fn all() -> Vec<Constant> {
    let of_place = |place: &&str| match Path::new(place).extension() {
        Some(_) => vec![PathBuf::from(place)],
        None => files_below(place, "rs"),
    };
    PLACES.iter().flat_map(of_place).flat_map(|file| constants_of(&file, &read(&file))).collect()
}

/// Constants of a source that are numbers and stand by themselves, in no block (and so in no test).
fn constants_of(file: &Path, source: &str) -> Vec<Constant> {
    let mut found: Vec<Constant> = Vec::new();
    let mut comment = String::new();
    for line in source.lines() {
        if let Some(words) = line.strip_prefix("///") {
            comment.push_str(words);
            continue;
        }
        if let Some((name, value)) = number(line) {
            let words = comment.trim().replace("[`", "`").replace("`]", "`");
            // A constant without words of its own stands with the one above it.
            let words = if words.is_empty() { "As the one above.".to_owned() } else { words };
            found.push(Constant { file: file.to_path_buf(), name, value, words });
        }
        comment.clear();
    }
    found
}

/// Name and value of a constant whose type is a number, or numbers.
fn number(line: &str) -> Option<(String, String)> {
    let (before, rest) = line.split_once("const ")?;
    let is_public = before.trim_end().starts_with("pub") || before.is_empty();
    let (name, rest) = rest.split_once(": ").filter(|_| is_public)?;
    let (kind, value) = rest.strip_suffix(';')?.split_once(" = ")?;
    let words = kind.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    let is_number = |word: &str| {
        matches!(word, "f64" | "u16" | "u32" | "u64" | "usize" | "i32" | "i64") || word.parse::<u32>().is_ok()
    };
    words.clone().all(is_number).then(|| (name.to_owned(), without_gaps(value)))
}

/// An expression whose figures are written together: 20000 for 20_000. Names stay as they are.
fn without_gaps(value: &str) -> String {
    let characters: Vec<char> = value.chars().collect();
    let is_gap = |at: usize| {
        let is_figure = |at: Option<usize>| at.and_then(|at| characters.get(at)).is_some_and(char::is_ascii_digit);
        characters[at] == '_' && is_figure(at.checked_sub(1)) && is_figure(Some(at + 1))
    };
    (0..characters.len()).filter(|&at| !is_gap(at)).map(|at| characters[at]).collect()
}

#[test]
fn constants_are_read_with_their_words() {
    let source = "/// A rate, per h (estimate);\n/// see [`B`].\nconst A: f64 = 1_000.5;\npub const B: (f64, f64) = (1.0, 2.0 * A_B);\n\
                  /// Words.\nconst C: &str = \"no\";\nmod tests {\n    const D: f64 = 1.0;\n}\n";
    let found = constants_of(Path::new("a.rs"), source);
    let told: Vec<[&str; 3]> = found.iter().map(|c| [c.name.as_str(), c.value.as_str(), c.words.as_str()]).collect();
    assert_eq!(
        told,
        [["A", "1000.5", "A rate, per h (estimate); see `B`."], ["B", "(1.0, 2.0 * A_B)", "As the one above."]]
    );
}
