//! The commands that only show or write text: `check`, `library`, `example`; and how problems are told.

use std::fs::OpenOptions;
use std::io::{ErrorKind, IsTerminal, Write};
use std::path::Path;

use anyhow::{Context, Result, bail};
use frytub_scenarios::{
    Entry, NumberUsed, ReadError, Scenario, TimerEntry, example as find_example, examples, explain,
    library as built_in, read_file,
};

use crate::Done;

/// Reads a scenario file or, if no such file is there, the built-in example of that name; without a name, the first
/// example.
pub fn read(scenario: Option<&Path>) -> Result<Scenario> {
    let Some(path) = scenario else { return Ok(examples()[0].read()?) };
    match read_file(path) {
        Err(missing @ ReadError::Missing { .. }) => match path.to_str().map(find_example) {
            Some(Ok(example)) => Ok(example.read()?),
            // A name without a dot is meant for an example more often than for a file.
            Some(Err(unknown)) if path.extension().is_none() => bail!("{missing}, and {unknown}"),
            _ => Err(missing.into()),
        },
        read => Ok(read?),
    }
}

/// `frytub check`: what a scenario means, and what may not work.
pub fn check(path: &Path) -> Result<Done> {
    let scenario = read(Some(path))?;
    let mut screen = std::io::stdout().lock();
    let colour = screen.is_terminal() && colour_is_welcome();
    writeln!(screen, "{}", explain(&scenario).render(&scenario, colour).trim_end())?;
    Ok(Done::Whole)
}

/// `frytub library`: all names, or every number of one fish, food, culture liquid, reservoir or timer.
pub fn library(name: Option<&str>) -> Result<Done> {
    let mut screen = std::io::stdout().lock();
    let Some(name) = name else {
        let library = built_in();
        writeln!(screen, "Fish")?;
        for fish in &library.fish {
            write_entry(&mut screen, &fish.name, &fish.about)?;
        }
        writeln!(screen, "\nFoods")?;
        for food in &library.foods {
            write_entry(&mut screen, &food.name, &food.about)?;
        }
        writeln!(screen, "\nCulture liquids")?;
        for liquid in &library.liquids {
            write_entry(&mut screen, &liquid.name, &liquid.about)?;
        }
        writeln!(screen, "\nReservoirs")?;
        for reservoir in &library.reservoirs {
            write_entry(&mut screen, &reservoir.name, &reservoir.about)?;
        }
        writeln!(screen, "\nTimers")?;
        for entry in &library.timers {
            write_entry(&mut screen, &entry.timer.name, &entry.about)?;
        }
        writeln!(screen, "\nEvery number of one, with its source: frytub library NAME")?;
        return Ok(Done::Whole);
    };
    let (name, about, described, numbers) = match built_in().find(name)? {
        Entry::Fish(fish) => (&fish.name, &fish.about, None, fish.numbers_used()),
        Entry::Food(food) => (&food.name, &food.about, None, food.numbers_used()),
        Entry::Liquid(liquid) => (&liquid.name, &liquid.about, None, liquid.numbers_used()),
        Entry::Reservoir(entry) => (&entry.name, &entry.about, Some(entry.described()), entry.numbers_used()),
        Entry::Timer(entry) => return write_timer(&mut screen, entry),
    };
    writeln!(screen, "{name}\n{}", indented(about, ""))?;
    if let Some(described) = described {
        writeln!(screen, "\n{}", indented(&format!("Here it is {described}."), ""))?;
    }
    writeln!(screen, "\n{}", indented(HOW_TO_READ, ""))?;
    for number in &numbers {
        write_number(&mut screen, number)?;
    }
    if let Some(culture) = built_in().culture_of(name) {
        let heading = format!(
            "As a culture that may not be ready, if a scenario describes it in [culture.\"{name}\"] (there as late, \
             late_spread, crash and restart):"
        );
        writeln!(screen, "\n{}", indented(&heading, ""))?;
        for number in &culture.numbers_used() {
            write_number(&mut screen, number)?;
        }
    }
    Ok(Done::Whole)
}

/// How the numbers of one thing of the library are told.
const HOW_TO_READ: &str = "Low – likely – high; a number without a range is taken as certain. In square brackets what \
                           kind of source the likely value has: read in a publication, computed or derived from what was \
                           read, common practice, from memory, or an estimate.";

fn write_entry(screen: &mut impl Write, name: &str, about: &str) -> Result<()> {
    Ok(writeln!(screen, "  {name}\n{}", indented(about, "      "))?)
}

/// A timer has no uncertain numbers: what it can do, and how that is known.
fn write_timer(screen: &mut impl Write, entry: &TimerEntry) -> Result<Done> {
    writeln!(screen, "{}\n{}", entry.timer.name, indented(&entry.about, ""))?;
    writeln!(screen, "\n{}", indented(&format!("It {}.", entry.described()), ""))?;
    let source = format!("[{}] {}", entry.kind, entry.source);
    writeln!(screen, "{}", indented(source.trim_end(), "  "))?;
    Ok(Done::Whole)
}

/// Text broken to the width of a terminal, every line behind an indent.
fn indented(text: &str, indent: &str) -> String {
    let width = usize::from(frytub_reports::TERMINAL_WIDTH);
    textwrap::fill(text, textwrap::Options::new(width).initial_indent(indent).subsequent_indent(indent))
}

fn write_number(screen: &mut impl Write, number: &NumberUsed) -> Result<()> {
    let unit = if number.unit.is_empty() { String::new() } else { format!(" {}", number.unit) };
    writeln!(screen, "\n{}: {}{unit}", number.key, number.range)?;
    writeln!(screen, "{}", indented(&number.label, "  "))?;
    let source = format!("[{}] {}", number.kind, number.source);
    Ok(writeln!(screen, "{}", indented(source.trim_end(), "  "))?)
}

/// `frytub example`: a commented scenario, on the screen or in a new file.
pub fn example(name: Option<&str>, out: Option<&Path>, list: bool) -> Result<Done> {
    let mut screen = std::io::stdout().lock();
    if list {
        for example in examples() {
            writeln!(screen, "{:<28} {}", example.name, example.heading())?;
        }
        return Ok(Done::Whole);
    }
    let example = name.map_or(Ok(&examples()[0]), find_example)?;
    let Some(path) = out else {
        write!(screen, "{}", example.text)?;
        return Ok(Done::Whole);
    };
    // `create_new` refuses what is there already, without a moment in which it could be lost.
    match OpenOptions::new().write(true).create_new(true).open(path) {
        Ok(mut file) => {
            file.write_all(example.text.as_bytes()).with_context(|| format!("cannot write {}", path.display()))?;
        }
        Err(error) if error.kind() == ErrorKind::AlreadyExists => {
            bail!("{} is there already: choose another name for the new scenario", path.display());
        }
        Err(error) => return Err(error).with_context(|| format!("cannot write {}", path.display())),
    }
    writeln!(screen, "Written to {0}. Next: frytub check {0}", path.display())?;
    Ok(Done::Whole)
}

/// True unless the keeper asked for no colour (see no-color.org).
pub fn colour_is_welcome() -> bool {
    std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}

/// Says something beside the results, on the error stream.
pub fn note(text: &str) {
    // Nobody is left to tell if this fails.
    let _ = writeln!(std::io::stderr(), "{text}");
}

/// Tells what went wrong: a scenario's mistakes as they are, anything else with its causes.
pub fn complain(error: &anyhow::Error) {
    if let Some(read) = error.downcast_ref::<ReadError>() {
        note(&read.render(std::io::stderr().is_terminal() && colour_is_welcome()));
    } else {
        note(&format!("frytub: {error:#}"));
    }
}
