//! Good scenarios with random damage: the reader must never panic, and what it accepts must be runnable.

use frytub_scenarios::{ReadError, example, examples, explain, read_text};
use proptest::prelude::*;

/// Bits that are put into a text: what a slip of the hand leaves, and what is awkward for a reader.
const BITS: [&str; 32] = [
    "",
    "\"",
    "[",
    "]",
    "{",
    "}",
    "=",
    "#",
    "\n",
    ",",
    "-",
    "0",
    "9999999999999999999999",
    "nan",
    "inf",
    "1e308",
    "\"0 mL\"",
    "\"-1 L\"",
    "µ",
    "\u{0}",
    "\r",
    "'''",
    "\"every 1 min\"",
    "\"1 to 96\"",
    "[[plan]]",
    "[[reservoir]]",
    "[feed_line]",
    "\"0 mm\"",
    "\"9 L\"",
    "true",
    "[]",
    "{}",
];

/// One piece of damage: at a place (as a share of the text) some bytes are replaced by a bit.
fn damage() -> impl Strategy<Value = (f64, usize, usize)> {
    (0.0..1.0, 0..12usize, 0..BITS.len())
}

fn apply(text: &mut String, (place, length, bit): (f64, usize, usize)) {
    let boundary = |mut at: usize| {
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let start = boundary((place * text.len() as f64) as usize);
    let end = boundary((start + length).min(text.len())).max(start);
    text.replace_range(start..end, BITS[bit]);
}

fn check(text: &str) -> Result<(), TestCaseError> {
    match read_text("damaged.toml", text) {
        Ok(scenario) => {
            prop_assert!(scenario.study.verify().is_ok());
            prop_assert!(!scenario.folder().is_empty());
            let warnings = scenario.render_warnings(&scenario.warnings, false);
            prop_assert_eq!(warnings.is_empty(), scenario.warnings.is_empty());
            let told = explain(&scenario).render(&scenario, false);
            prop_assert!(!told.contains("NaN"), "{}", told);
        }
        Err(ReadError::Mistakes(mistakes)) => {
            prop_assert!(!mistakes.list().is_empty());
            for mistake in mistakes.list() {
                prop_assert!(!mistake.what.is_empty());
                prop_assert!(mistake.place.end <= text.len());
            }
            prop_assert!(mistakes.render(true).len() >= mistakes.render(false).len());
        }
        Err(ReadError::Empty { .. }) => prop_assert!(text.len() < 4000, "a long text was called empty"),
        Err(other) => return Err(TestCaseError::fail(format!("{other}"))),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn damaged_examples_never_stop_the_reader(
        example in 0..examples().len(),
        damages in prop::collection::vec(damage(), 1..6),
    ) {
        let mut text = examples()[example].text.to_string();
        for damage in damages {
            apply(&mut text, damage);
        }
        check(&text)?;
    }

    #[test]
    fn lines_in_any_order_never_stop_the_reader(
        example in 0..examples().len(),
        seed in prop::collection::vec(any::<prop::sample::Index>(), 10..60),
    ) {
        let lines: Vec<&str> = examples()[example].text.lines().filter(|line| !line.starts_with('#')).collect();
        let text: Vec<&str> = seed.iter().map(|index| *index.get(&lines)).collect();
        check(&text.join("\n"))?;
    }

    #[test]
    fn quantities_of_any_letters_never_stop_the_reader(quantity in ".{0,24}", field in 0..6usize) {
        let good = ["\"6 L\"", "\"15 cm\"", "\"28 C\"", "\"200 mL/h\"", "\"100 per mL\"", "\"50 mL\""][field];
        let text = example("no-food").unwrap().text;
        prop_assert!(text.contains(good), "the example no longer has {}", good);
        check(&text.replace(good, &format!("{quantity:?}")))?;
    }
}

#[test]
fn a_large_file_of_nonsense_is_refused_at_once() {
    let size = usize::try_from(frytub_scenarios::MOST_BYTES).unwrap();
    let unknown: String = (0..size / 14).map(|line| format!("name{line:06} = 1\n")).collect();
    let doubled = "fry = 1\n".repeat(size / 8);
    for text in [unknown, doubled, "a = [".repeat(size / 5), "[[plan]]\n".repeat(size / 9), "\"".repeat(size)] {
        let started = std::time::Instant::now();
        let shown = read_text("large.toml", &text).unwrap_err().render(false);
        // Seconds at worst; a reader that looks at every pair of lines would take hours.
        assert!(started.elapsed().as_secs() < 60, "{} took {:?}", &text[..8], started.elapsed());
        assert!(shown.len() < 20_000, "{} brought {} bytes", &text[..8], shown.len());
    }
}
