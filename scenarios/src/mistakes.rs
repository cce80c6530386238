//! What is wrong with a file, and how it is shown: line, caret, what was expected, the nearest right word.
//!
//! All mistakes of a file are gathered before any is shown. This room does not know what a scenario is.

use std::fmt;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use crate::words;

/// The most mistakes shown at once; the rest are counted.
const MOST_SHOWN: usize = 30;

/// One thing wrong in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistake {
    /// Bytes of the text it concerns.
    pub place: Range<usize>,
    /// What is wrong.
    pub what: String,
    /// What was expected there; may be empty.
    pub expected: String,
    /// A way out, such as the nearest right word.
    pub help: Option<String>,
}

/// Something that may not work as meant, although the file can be run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Warning {
    /// Bytes of the text it concerns, if it concerns one place.
    pub place: Option<Range<usize>>,
    /// What may not work.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}. {}", self.what, self.remedy)
    }
}

/// Mistakes and warnings found so far.
#[derive(Debug, Default)]
pub(crate) struct Findings {
    /// What is wrong.
    pub mistakes: Vec<Mistake>,
    /// What may not work as meant.
    pub warnings: Vec<Warning>,
    /// Names that were probably meant by misspelt ones, with the place of their group; they are not missed again.
    meant: Vec<(usize, String)>,
}

impl Findings {
    /// Notes that a misspelt name in the group at a place probably means this one.
    pub fn mean(&mut self, group: usize, name: &str) {
        self.meant.push((group, name.to_string()));
    }

    /// True if a misspelt name in the group at a place probably means this one.
    pub fn was_meant(&self, group: usize, name: &str) -> bool {
        self.meant.iter().any(|(place, meant)| *place == group && meant == name)
    }

    /// Notes a mistake.
    pub fn wrong(&mut self, place: Range<usize>, what: impl Into<String>, expected: impl Into<String>) {
        self.wrong_with(place, what, expected, None);
    }

    /// Notes a mistake with a way out.
    pub fn wrong_with(
        &mut self,
        place: Range<usize>,
        what: impl Into<String>,
        expected: impl Into<String>,
        help: Option<String>,
    ) {
        self.mistakes.push(Mistake { place, what: what.into(), expected: expected.into(), help });
    }

    /// Notes a warning about a place in the file.
    pub fn doubt(&mut self, place: Range<usize>, what: impl Into<String>, remedy: impl Into<String>) {
        self.warnings.push(Warning { place: Some(place), what: what.into(), remedy: remedy.into() });
    }
}

/// All mistakes of one file, in the order of their places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistakes {
    file: String,
    text: String,
    list: Vec<Mistake>,
}

impl Mistakes {
    /// Sorts mistakes by place; `file` is the name shown.
    pub(crate) fn new(file: &str, text: &str, mut list: Vec<Mistake>) -> Self {
        list.sort_by_key(|mistake| (mistake.place.start, mistake.place.end));
        Self { file: file.to_string(), text: text.to_string(), list }
    }

    /// The mistakes, in the order of their places.
    #[must_use]
    pub fn list(&self) -> &[Mistake] {
        &self.list
    }

    /// The whole message, coloured for a terminal if asked for.
    #[must_use]
    pub fn render(&self, colour: bool) -> String {
        let groups = self.list.iter().take(MOST_SHOWN).map(|mistake| {
            let label = (!mistake.expected.is_empty()).then_some(mistake.expected.as_str());
            let place = within(&self.text, &mistake.place);
            let caret = AnnotationKind::Primary.span(place).label(label);
            let snippet = Snippet::source(&self.text).path(&self.file).annotation(caret);
            let group = Level::ERROR.with_name("mistake").primary_title(&mistake.what).element(snippet);
            vec![match &mistake.help {
                Some(help) => group.element(Level::HELP.message(help)),
                None => group,
            }]
        });
        let shown = show(groups, colour);
        let left = match self.list.len().saturating_sub(MOST_SHOWN) {
            0 => String::new(),
            more => format!(" (the first {MOST_SHOWN} are shown, {more} more are not)"),
        };
        let count = words::count(self.list.len(), "mistake", "mistakes");
        format!("{shown}\n{count} in {}{left}\n", self.file)
    }
}

impl fmt::Display for Mistakes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(false))
    }
}

/// Warnings as shown to a person, each with its place in the file if it has one.
pub(crate) fn render_warnings(file: &str, text: &str, warnings: &[Warning], colour: bool) -> String {
    if warnings.is_empty() {
        return String::new();
    }
    let groups = warnings.iter().map(|warning| {
        let title = Level::WARNING.primary_title(&warning.what);
        match &warning.place {
            Some(place) => {
                let caret = AnnotationKind::Primary.span(within(text, place));
                let snippet = Snippet::source(text).path(file).annotation(caret);
                vec![title.element(snippet).element(Level::HELP.message(&warning.remedy))]
            }
            // Two lines of their own: as parts of one report an empty gutter would stand between them.
            None => {
                vec![Group::with_title(title), Group::with_title(Level::HELP.secondary_title(&warning.remedy))]
            }
        }
    });
    show(groups, colour) + "\n"
}

fn show<'a>(reports: impl Iterator<Item = Vec<Group<'a>>>, colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    // One at a time: rendered together, all would share the gutter of the widest line number and no gap.
    let each =
        |report: Vec<Group<'a>>| report.into_iter().map(|group| renderer.render(&[group]) + "\n").collect::<String>();
    let shown: Vec<String> = reports.map(each).collect();
    shown.join("\n")
}

/// The place cut to the text, to whole characters and to its first line, so that carets are always drawable.
fn within(text: &str, place: &Range<usize>) -> Range<usize> {
    let mut start = place.start.min(text.len());
    while !text.is_char_boundary(start) {
        start -= 1;
    }
    let mut end = place.end.clamp(start, text.len());
    while !text.is_char_boundary(end) {
        end += 1;
    }
    match text[start..end].find(['\n', '\r']) {
        Some(line) if line > 0 => start..start + line,
        _ => start..end,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn carets_stay_inside_the_text_and_on_whole_letters() {
        assert_eq!(within("µm", &(1..9)), 0..3);
        assert_eq!(within("ab\ncd", &(0..5)), 0..2);
        assert_eq!(within("", &(7..9)), 0..0);
    }

    #[test]
    fn many_mistakes_are_counted_but_not_all_shown() {
        let list = (0..50).map(|place| Mistake {
            place: place..place + 1,
            what: format!("wrong {place}"),
            expected: String::new(),
            help: None,
        });
        let message = Mistakes::new("tub.toml", &"x".repeat(60), list.rev().collect()).to_string();
        assert!(message.contains("wrong 29") && !message.contains("wrong 30"));
        assert!(message.ends_with("50 mistakes in tub.toml (the first 30 are shown, 20 more are not)\n"));
        assert!(message.find("wrong 3").unwrap() < message.find("wrong 4").unwrap());
    }
}
