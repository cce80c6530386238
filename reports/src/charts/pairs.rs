//! Chart 6, plan against plan: how many more weaned fry the leader brings than each other plan, world by world.

use frytub_sim::outcome::Pair;

use crate::answer::{Verdict, verdict, within_noise};
use crate::chart::{Chart, only_words};
use crate::draw::font;
use crate::draw::panel::{Panel, Scale, tick_label};
use crate::draw::sketch::{Pen, Rect, Sketch, Type};
use crate::facts::Facts;
use crate::look::{AXIS, Format, GRID, MARK, QUIET};
use crate::words::{fry, fry_short, quoted_briefly, signed};

const ID: &str = "6-plan-against-plan";
/// More rows than this are left to the files.
const MOST_ROWS: usize = 24;

/// Draws the chart.
pub fn chart(facts: &Facts<'_>) -> Chart {
    let caption = "The mark is the mean difference in weaned fry, the heavy bar its 80 % and the thin bar its 95 % \
                   interval. One whose thin bar touches zero (open mark) cannot be told from the leader.";
    if facts.found.pairs.is_empty() {
        let text = "There is no other plan to set it against.";
        return Chart::new(ID, title(facts), "", text, |format| only_words(format, text));
    }
    let alt = rows(facts)
        .iter()
        .map(|pair| {
            format!(
                "{}: {} (95 %: {} to {}), better in {} and the same in {} of 100 worlds",
                facts.name(pair.plan),
                signed(pair.difference.mean),
                signed(pair.mean_95.low),
                signed(pair.mean_95.high),
                fry(pair.better),
                fry(pair.same)
            )
        })
        .collect::<Vec<_>>()
        .join("; ");
    let alt =
        format!("Weaned fry out of 100, {} less each other plan. {alt}.", quoted_briefly(facts.name(facts.leader())));
    Chart::new(ID, title(facts), caption, alt, |format| draw(facts, format))
}

/// Single plans first, then members of families, each in the order of the study.
fn rows<'a>(facts: &Facts<'a>) -> Vec<&'a Pair> {
    let mut rows: Vec<&Pair> = facts.found.pairs.iter().collect();
    rows.sort_by_key(|pair| (!facts.shown.contains(&pair.plan), pair.plan));
    rows.truncate(MOST_ROWS);
    rows
}

fn title(facts: &Facts<'_>) -> String {
    let leader = quoted_briefly(facts.name(facts.leader()));
    let all = facts.found.pairs.len();
    let close = facts.found.pairs.iter().filter(|pair| within_noise(pair)).count();
    match (verdict(facts), all, close) {
        (_, 0, _) => "Only one plan was run".to_owned(),
        (Verdict::AllDead | Verdict::NoneWeaned, ..) => "No plan weans any fry, so none is ahead".to_owned(),
        (_, 1, 0) => format!("{leader} is clearly ahead"),
        (_, 1, _) => format!("{leader} is not clearly ahead"),
        (_, 2, 0) => format!("{leader} is clearly ahead of both others"),
        (_, _, 0) => format!("{leader} is clearly ahead of all {all} others"),
        (_, _, n) if n == all => format!("{leader} is not clearly ahead of any other"),
        (_, 2, 1) => format!("{leader} is clearly ahead of one other, but not of both"),
        (_, _, 1) => format!("{leader} is clearly ahead of {} of {all} others", all - 1),
        (_, _, n) => format!("{leader} cannot be told from {n} of {all} others"),
    }
}

fn draw(facts: &Facts<'_>, format: Format) -> Sketch {
    let rows = rows(facts);
    let mut sketch = Sketch::new(format.width());
    let gap = format.gap();
    let narrow = format.is_narrow();
    let small = Type::new(format.small());
    let kind = Type::new(if narrow { format.label() } else { format.small() });
    let names_width = if narrow { format.width() - 2.0 * gap - 18.0 } else { 250.0 };
    let left = if narrow { gap + 14.0 } else { gap + names_width + 34.0 };
    let right = format.width() - gap - if narrow { 74.0 } else { 110.0 };
    let lines: Vec<Vec<String>> =
        rows.iter().map(|pair| font::wrap_to(facts.name(pair.plan), kind.size, false, names_width, 2)).collect();
    let heights: Vec<f64> = lines
        .iter()
        .map(|l| {
            let text = l.len() as f64 * kind.leading();
            if narrow { text + 24.0 } else { text.max(18.0) + 9.0 }
        })
        .collect();
    let odds = "better in so many of 100 worlds";
    let odds_kind = small.ink(QUIET).right();
    let top = if facts.has_worlds() {
        let most = if narrow { 180.0 } else { 130.0 };
        sketch.paragraph((format.width() - gap, gap * 0.3), odds, odds_kind, most) + 4.0
    } else {
        gap * 0.5
    };
    let reach = |value: fn(&Pair) -> f64, start: f64, pick: fn(f64, f64) -> f64| {
        rows.iter().map(|pair| value(pair)).filter(|v| v.is_finite()).fold(start, pick)
    };
    let low = reach(|p| p.mean_95.low.min(p.difference.mean), 0.0, f64::min);
    let high = reach(|p| p.mean_95.high.max(p.difference.mean), 0.0, f64::max);
    let margin = ((high - low) * 0.06).max(0.6);
    let bottom = top + heights.iter().sum::<f64>();
    let panel = Panel {
        area: Rect::new(left, top, right, bottom),
        x: Scale::linear(low - margin, high + margin),
        y: Scale::linear(0.0, 1.0),
    };
    let ticks: Vec<(f64, String)> = panel.x.ticks(5).into_iter().map(|v| (v, tick_label(v))).collect();
    let mut y = top;
    for (n, pair) in rows.iter().enumerate() {
        let middle = if narrow { y + heights[n] - 12.0 } else { y + heights[n] / 2.0 };
        let span = if narrow { (middle - 9.0, middle + 9.0) } else { (y, y + heights[n]) };
        for (value, _) in &ticks {
            let x = panel.x_at(*value);
            sketch.line([(x, span.0), (x, span.1)], Pen::hair(GRID));
        }
        let zero = panel.x_at(0.0);
        sketch.line([(zero, span.0), (zero, span.1)], Pen::new(AXIS, 1.6));
        let text_top = if narrow { y } else { middle - lines[n].len() as f64 * kind.leading() / 2.0 };
        let style = facts.style(pair.plan);
        sketch.mark((gap + 6.0, text_top + kind.size * 0.62), style.marker, MARK, style.ink, true);
        sketch.lines((gap + 18.0, text_top), &lines[n], kind);
        let level = |from: f64, to: f64| [(panel.x_at(from), middle), (panel.x_at(to), middle)];
        sketch.line(level(pair.mean_95.low, pair.mean_95.high), Pen::new(style.ink, 1.4));
        sketch.line(level(pair.mean_80.low, pair.mean_80.high), Pen::new(style.ink, 4.5));
        let at = panel.at(pair.difference.mean, 0.0);
        sketch.mark((at.0, middle), style.marker, MARK + 1.0, style.ink, !within_noise(pair));
        if facts.has_worlds() {
            sketch.words((format.width() - gap, middle + small.size * 0.36), fry_short(pair.better), small.right());
        }
        y += heights[n];
    }
    let labels = panel.x_axis(&mut sketch, format, &ticks, false, 10.0);
    let leader = facts.name(facts.leader());
    let title = format!("weaned fry out of 100: {} less the other", quoted_briefly(leader));
    let area = Rect::new(gap, top, format.width() - gap, bottom);
    let middle = Panel { area, ..panel };
    let mut bottom = middle.x_title(&mut sketch, format, labels, &title);
    let hidden = facts.found.pairs.len() - rows.len();
    if hidden > 0 {
        let text = format!("{hidden} more plans are in plans.csv.");
        bottom = sketch.paragraph((gap, bottom + 4.0), &text, small.ink(QUIET), format.width() - 2.0 * gap);
    }
    sketch.reach(bottom + gap * 0.5);
    sketch
}
