//! Chart 11, what a setback costs: a group of rows for each setback, in it a mark and a bar for each plan it can strike.

use frytub_sim::outcome::Cost;
use frytub_sim::setbacks::Setback;

use crate::chart::{Chart, Fill, Hatch, Swatch, key};
use crate::draw::font;
use crate::draw::panel::{Panel, Scale, tick_label};
use crate::draw::sketch::{Pen, Rect, Sketch, Type};
use crate::facts::Facts;
use crate::look::{AXIS, Dash, Format, GRID, MARK, Marker, NIGHT, QUIET, Style, TEXT};
use crate::setbacks::words::{name, title, verdict_briefly, when, when_for_all, whole};
use crate::setbacks::{FORGIVEN, Verdict, cost, hidden, plans, tried, verdict};
use crate::words::{capital, quoted_briefly};

/// Distance between the rows of two plans.
const PITCH: f64 = 19.0;

/// What is forgiven lies on this.
const FORGIVEN_FILL: Fill = Fill { ink: NIGHT, alpha: 1.0, hatch: Hatch::None };

/// One setback with the costs of the plans that it can strike.
struct Group<'a> {
    setback: Setback,
    costs: Vec<&'a Cost>,
}

/// Draws the chart; none when nothing was tried.
pub fn chart(facts: &Facts<'_>) -> Option<Chart> {
    let groups = groups(facts);
    if groups.is_empty() {
        return None;
    }
    let caption = format!(
        "The mark is the mean over the worlds, the bar holds 80 % of them. A mark in the grey part costs fewer than \
         {FORGIVEN:.0} fry of 100; an open mark may lie in it or not. Each setback is forced at the hour at which it does \
         most harm."
    );
    let told = groups.iter().map(|group| {
        let of_plan = |cost: &&Cost| {
            format!(
                "{} {} (80 %: {} to {}; {}), {}",
                quoted_briefly(facts.name(cost.plan)),
                whole(cost.lost.mean),
                whole(cost.lost.low),
                whole(cost.lost.high),
                when(cost),
                verdict_briefly(Some(*cost)),
            )
        };
        let costs: Vec<String> = group.costs.iter().map(of_plan).collect();
        format!("{}: {}", capital(&name(facts.study, group.setback)), costs.join("; "))
    });
    let alt = format!("Weaned fry out of 100 that one setback costs. {}.", told.collect::<Vec<_>>().join(". "));
    Some(Chart::new("11-what-a-setback-costs", title(facts), caption, alt, |format| draw(facts, &groups, format)))
}

fn groups<'a>(facts: &Facts<'a>) -> Vec<Group<'a>> {
    let plans = plans(facts);
    let group = |setback: Setback| Group {
        setback,
        costs: plans.iter().filter_map(|&plan| cost(facts, plan, setback)).collect(),
    };
    tried(facts).into_iter().map(group).filter(|group| !group.costs.is_empty()).collect()
}

/// The words of a group, broken into lines: what it is, then when it struck.
fn words(facts: &Facts<'_>, group: &Group<'_>, kinds: [Type; 2], most: f64) -> [Vec<String>; 2] {
    let [what, hour] = kinds;
    [
        font::wrap(&capital(&name(facts.study, group.setback)), what.size, what.bold, most),
        font::wrap(&when_for_all(facts, group.setback), hour.size, hour.bold, most),
    ]
}

fn draw(facts: &Facts<'_>, groups: &[Group<'_>], format: Format) -> Sketch {
    let mut sketch = Sketch::new(format.width());
    let (gap, narrow) = (format.gap(), format.is_narrow());
    let small = Type::new(format.small());
    let kinds = [Type::new(format.label()).bold(), small.ink(QUIET)];
    let words_width = if narrow { format.width() - 2.0 * gap } else { 230.0 };
    let left = if narrow { gap + 8.0 } else { gap + words_width + 22.0 };
    let right = format.width() - gap - 56.0;
    let top = plans_key(&mut sketch, facts, groups, format);

    let lines: Vec<[Vec<String>; 2]> = groups.iter().map(|group| words(facts, group, kinds, words_width)).collect();
    let text_height = |lines: &[Vec<String>; 2]| {
        lines.iter().zip(kinds).map(|(lines, kind)| lines.len() as f64 * kind.leading()).sum::<f64>()
    };
    // The mean of each row stands at the right; its head is as high as a line.
    let head = sketch.lines((format.width() - gap, top), &["mean".to_owned()], small.ink(QUIET).right());
    let panel = Panel { area: Rect::new(left, head, right, head), x: reach(groups), y: Scale::linear(0.0, 1.0) };
    let ticks: Vec<(f64, String)> = panel.x.ticks(5).into_iter().map(|v| (v, tick_label(v))).collect();
    let mut y = head;
    for (group, lines) in groups.iter().zip(&lines) {
        let mut edge = y;
        for (lines, kind) in lines.iter().zip(kinds) {
            edge = sketch.lines((gap, edge), lines, kind);
        }
        let rows = group.costs.len() as f64 * PITCH;
        let from = if narrow { edge + 3.0 } else { y };
        let to = if narrow { from + rows } else { from + rows.max(text_height(lines)) };
        ground(&mut sketch, &panel, &ticks, (from, to));
        let mut middle = (from + to - rows + PITCH) / 2.0;
        for cost in &group.costs {
            one_row(&mut sketch, facts, format, &panel, cost, middle);
            middle += PITCH;
        }
        y = to + 13.0;
    }
    let bottom = y - 13.0;
    let panel = Panel { area: Rect::new(left, head, right, bottom), ..panel };
    let labels = panel.x_axis(&mut sketch, format, &ticks, false, 10.0);
    let mut bottom = panel.x_title(&mut sketch, format, labels, "weaned fry out of 100 that one setback costs");
    let more = hidden(facts);
    if more > 0 {
        let text = format!("{more} more plans are in setbacks.csv.");
        bottom = sketch.paragraph((gap, bottom + 4.0), &text, small.ink(QUIET), format.width() - 2.0 * gap);
    }
    sketch.reach(bottom + gap * 0.5);
    sketch
}

/// From zero, or below it if a range is, to the longest bar.
fn reach(groups: &[Group<'_>]) -> Scale {
    let spreads = || groups.iter().flat_map(|group| &group.costs).map(|cost| cost.lost);
    let ends = spreads().flat_map(|s| [s.low, s.mean, s.high]).filter(|v| v.is_finite());
    let (low, high) = ends.fold((0.0_f64, 2.0 * FORGIVEN), |(low, high), v| (low.min(v), high.max(v)));
    let margin = (high - low) * 0.04;
    Scale::linear(low - margin, high + margin)
}

/// Which mark is which plan, and what grey and open mean; gives back the bottom edge.
fn plans_key(sketch: &mut Sketch, facts: &Facts<'_>, groups: &[Group<'_>], format: Format) -> f64 {
    let gap = format.gap();
    let struck = |plan: &usize| groups.iter().any(|group| group.costs.iter().any(|cost| cost.plan == *plan));
    let mut entries: Vec<(Swatch, String)> = plans(facts)
        .into_iter()
        .filter(struck)
        .map(|plan| (Swatch::Mark(facts.style(plan), true), quoted_briefly(facts.name(plan))))
        .collect();
    entries.push((Swatch::Block(FORGIVEN_FILL), format!("under {FORGIVEN:.0} of 100: forgiven")));
    if groups.iter().flat_map(|group| &group.costs).any(|cost| verdict(cost) == Verdict::NotClear) {
        let open = Style { ink: TEXT, dash: Dash::Solid, marker: Marker::Disc };
        entries.push((Swatch::Mark(open, false), "open mark: not clear".to_owned()));
    }
    key(sketch, format, Rect::new(gap, gap * 0.4, format.width() - gap, f64::INFINITY), &entries) + 4.0
}

/// What lies behind a group: the part that is forgiven, the grid, the line of zero.
fn ground(sketch: &mut Sketch, panel: &Panel, ticks: &[(f64, String)], (from, to): (f64, f64)) {
    sketch.block(Rect::new(panel.area.left, from, panel.x_at(FORGIVEN), to), NIGHT, 1.0);
    for (value, _) in ticks {
        let x = panel.x_at(*value);
        sketch.line([(x, from), (x, to)], Pen::hair(GRID));
    }
    let zero = panel.x_at(0.0);
    sketch.line([(zero, from), (zero, to)], Pen::new(AXIS, 1.6));
}

fn one_row(sketch: &mut Sketch, facts: &Facts<'_>, format: Format, panel: &Panel, cost: &Cost, middle: f64) {
    let style = facts.style(cost.plan);
    let x = |value: f64| panel.x_at(value);
    sketch.line([(x(cost.lost.low), middle), (x(cost.lost.high), middle)], Pen::new(style.ink, 4.0).faint(0.55));
    sketch.mark((x(cost.lost.mean), middle), style.marker, MARK + 1.0, style.ink, verdict(cost) != Verdict::NotClear);
    let kind = Type::new(format.small()).right();
    sketch.words((format.width() - format.gap(), middle + kind.size * 0.36), whole(cost.lost.mean), kind);
}
