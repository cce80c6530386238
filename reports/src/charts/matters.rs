//! Chart 7, what matters most: uncertain numbers by how hard they pull on the leading difference.

use frytub_sim::outcome::Pull;

use crate::chart::{Chart, only_words};
use crate::draw::font;
use crate::draw::panel::{Panel, Scale, tick_label};
use crate::draw::sketch::{Pen, Rect, Sketch, Type};
use crate::facts::Facts;
use crate::look::{AXIS, Format, GRID, Ink, NIGHT, QUIET};
use crate::words::{capital, figures, quoted_briefly};

const ID: &str = "7-what-matters-most";
/// Rows shown; weaker pulls say nothing.
const MOST_ROWS: usize = 8;
/// A weaker pull (or one that is not a number, where nothing varied) is no pull.
const NOT_FELT: f64 = 0.005;
const FAVOURS_LEADER: Ink = Ink(0x33, 0x4a, 0x5e);

/// Draws the chart.
pub fn chart(facts: &Facts<'_>) -> Chart {
    let caption = "Bars to the right: a higher value makes the lead larger, to the left: smaller. Inside the grey band a \
                   pull may be chance; below each name stand its low, likely and high value.";
    if shown(facts).is_empty() {
        let text = if facts.found.pulls.is_empty() {
            "Every number was held at one value, so none can be ranked."
        } else {
            "The result was the same in every world, so no number can be ranked."
        };
        return Chart::new(ID, title(facts), "", text, |format| only_words(format, text));
    }
    let alt = shown(facts)
        .iter()
        .map(|pull| format!("{}: {:+.2}", pull.label, strength(facts, pull)))
        .collect::<Vec<_>>()
        .join("; ");
    let alt = format!(
        "Rank correlation of uncertain numbers with {}, longest first; chance reaches {:.2}. {alt}.",
        pulled(facts),
        facts.found.pull_threshold
    );
    Chart::new(ID, title(facts), caption, alt, |format| draw(facts, format))
}

/// The difference when there is a rival, else the leader's own weaned fry.
fn strength(facts: &Facts<'_>, pull: &Pull) -> f64 {
    if facts.rival().is_some() { pull.on_difference } else { pull.on_leader }
}

fn pulled(facts: &Facts<'_>) -> String {
    let leader = quoted_briefly(facts.name(facts.leader()));
    match facts.rival() {
        Some(rival) => format!("the difference in weaned fry, {leader} less {}", quoted_briefly(facts.name(rival))),
        None => format!("the weaned fry with {leader}"),
    }
}

fn shown<'a>(facts: &Facts<'a>) -> Vec<&'a Pull> {
    let felt = |pull: &&Pull| strength(facts, pull).abs() >= NOT_FELT;
    let mut pulls: Vec<&Pull> = facts.found.pulls.iter().filter(felt).collect();
    pulls.sort_by(|a, b| strength(facts, b).abs().total_cmp(&strength(facts, a).abs()));
    pulls.truncate(MOST_ROWS);
    pulls
}

/// The number to measure next: the strongest pull, if it is beyond chance.
fn next_to_measure<'a>(facts: &Facts<'a>) -> Option<&'a Pull> {
    shown(facts).first().copied().filter(|pull| strength(facts, pull).abs() > facts.found.pull_threshold)
}

fn title(facts: &Facts<'_>) -> String {
    match next_to_measure(facts) {
        Some(pull) => format!("What matters most and is least known: {}", pull.label),
        None if facts.found.pulls.is_empty() => "No uncertain number was varied".to_owned(),
        None if shown(facts).is_empty() => "No uncertain number changes the result".to_owned(),
        None => "No single uncertain number stands out from chance".to_owned(),
    }
}

fn draw(facts: &Facts<'_>, format: Format) -> Sketch {
    let pulls = shown(facts);
    let mut sketch = Sketch::new(format.width());
    let gap = format.gap();
    let narrow = format.is_narrow();
    let (name, small) = (Type::new(format.small()), Type::new(format.small()).ink(QUIET));
    let names_width = if narrow { format.width() - 2.0 * gap } else { 400.0 };
    let left = if narrow { gap + 8.0 } else { gap + names_width + 20.0 };
    let next = next_to_measure(facts);
    let texts: Vec<(Vec<String>, Vec<String>)> = pulls
        .iter()
        .map(|pull| {
            let label = font::wrap_to(&capital(&pull.label), name.size, true, names_width, 3);
            (label, font::wrap(&values(pull), small.size, false, names_width))
        })
        .collect();
    let text_height = |texts: &(Vec<String>, Vec<String>)| (texts.0.len() + texts.1.len()) as f64 * name.leading();
    let heights: Vec<f64> = pulls
        .iter()
        .zip(&texts)
        .map(|(pull, texts)| {
            let mark = if next == Some(*pull) { name.leading() } else { 0.0 };
            text_height(texts) + mark + if narrow { 28.0 } else { 10.0 }
        })
        .collect();
    let top = gap * 0.5;
    let bottom = top + heights.iter().sum::<f64>();
    let panel = Panel {
        area: Rect::new(left, top, format.width() - gap - 8.0, bottom),
        x: Scale::linear(-1.0, 1.0),
        y: Scale::linear(0.0, 1.0),
    };
    let ticks: Vec<(f64, String)> = [-1.0, -0.5, 0.0, 0.5, 1.0].map(|v| (v, tick_label(v))).to_vec();
    let chance = facts.found.pull_threshold.clamp(0.0, 1.0);
    let mut y = top;
    for (n, pull) in pulls.iter().enumerate() {
        let marked = next == Some(*pull);
        let mut edge = y;
        if marked {
            edge = sketch.lines((gap, edge), &["Measure this next".to_owned()], name.bold());
        }
        edge = sketch.lines((gap, edge), &texts[n].0, if marked { name.bold() } else { name });
        edge = sketch.lines((gap, edge), &texts[n].1, small);
        let (from, to) = if narrow { (edge + 2.0, edge + 22.0) } else { (y, y + heights[n]) };
        sketch.block(Rect::new(panel.x_at(-chance), from, panel.x_at(chance), to), NIGHT, 1.0);
        for (value, _) in &ticks {
            let ink = if *value == 0.0 { AXIS } else { GRID };
            sketch.line([(panel.x_at(*value), from), (panel.x_at(*value), to)], Pen::hair(ink));
        }
        let middle = if narrow { (from + to) / 2.0 } else { y + (heights[n] - 10.0) / 2.0 };
        let r = strength(facts, pull);
        let (a, b) = (panel.x_at(r.min(0.0)), panel.x_at(r.max(0.0)));
        let bar = Rect::new(a, middle - 7.0, b, middle + 7.0);
        if r > 0.0 {
            sketch.block(bar, FAVOURS_LEADER, 1.0);
        } else {
            sketch.block(bar, FAVOURS_LEADER, 0.18);
            sketch.hatch(bar, 5.0, Pen::new(FAVOURS_LEADER, 1.0));
            sketch.outline(bar, Pen::new(FAVOURS_LEADER, 1.0));
        }
        y += heights[n];
    }
    let labels = panel.x_axis(&mut sketch, format, &ticks, false, 8.0);
    let axis = format!("pull (rank correlation) on {}", pulled(facts));
    let area = Rect::new(gap, top, format.width() - gap, bottom);
    let bottom = Panel { area, ..panel }.x_title(&mut sketch, format, labels, &axis);
    sketch.reach(bottom + gap * 0.5);
    sketch
}

fn values(pull: &Pull) -> String {
    let [low, likely, high] = pull.values.map(figures);
    let unit = if pull.unit.is_empty() { String::new() } else { format!(" {}", pull.unit) };
    format!("{low} – {likely} – {high}{unit}")
}
