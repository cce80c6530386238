//! Chart 3, what killed the rest: one bar a plan, split by cause.

use frytub_sim::outcome::Cause;

use crate::chart::{Chart, Fill, Hatch, Swatch, key, not_drawn};
use crate::draw::font;
use crate::draw::panel::{Panel, Scale};
use crate::draw::sketch::{Point, Rect, Sketch, Type};
use crate::facts::Facts;
use crate::look::{EQUIPMENT, FOUL, Format, HARM, Ink, MARK, PAPER, QUIET, TEXT};
use crate::words::{capital, fry, fry_short, quoted_briefly};

const GREY: Ink = Ink(0x80, 0x80, 0x80);
/// A loss of so many fry of 100 with another plan is worth the title.
const FAR_WORSE: f64 = 10.0;

/// How a cause is painted: the deaths of hunger in four strengths of the harm ink, those by the equipment in blue-greys
/// plain or hatched, those by fouled water in a dark green under level lines, the rest in greys.
fn fill(cause: Cause) -> Fill {
    match cause {
        Cause::NoFood => Fill { ink: HARM, alpha: 1.0, hatch: Hatch::None },
        Cause::FoodTooBig => Fill { ink: HARM, alpha: 0.5, hatch: Hatch::Rising(7.0) },
        Cause::FoodTooSmall => Fill { ink: HARM, alpha: 0.2, hatch: Hatch::None },
        Cause::TooWeak => Fill { ink: HARM, alpha: 0.08, hatch: Hatch::Rising(4.0) },
        Cause::FeedTube => Fill { ink: EQUIPMENT, alpha: 1.0, hatch: Hatch::None },
        Cause::OverRim => Fill { ink: EQUIPMENT, alpha: 0.25, hatch: Hatch::Rising(5.0) },
        Cause::NoOxygen => Fill { ink: FOUL, alpha: 0.6, hatch: Hatch::Level(5.0) },
        Cause::Ammonia => Fill { ink: FOUL, alpha: 0.08, hatch: Hatch::Level(7.0) },
        Cause::Background => Fill { ink: GREY, alpha: 0.7, hatch: Hatch::None },
        Cause::Stalled => Fill { ink: GREY, alpha: 0.1, hatch: Hatch::Rising(5.0) },
    }
}

/// Draws the chart.
pub fn chart(facts: &Facts<'_>) -> Chart {
    let mut caption = "Each bar is the fry lost out of 100 (mean of all broods), split by cause. Look which part \
                   shrinks from one bar to the next."
        .to_owned();
    if facts.drawn.iter().any(|&plan| in_mishaps(facts, plan).is_some()) {
        caption += " The thin black bar below is what was lost in or soon after a mishap.";
    }
    let alt = facts
        .drawn
        .iter()
        .map(|&plan| {
            let deaths = facts.result(plan).deaths_by_cause();
            let parts: Vec<String> = Cause::ALL
                .into_iter()
                .filter(|cause| deaths[cause.index()] >= 0.5)
                .map(|cause| format!("{} {}", cause.label(), fry(deaths[cause.index()])))
                .collect();
            let parts = if parts.is_empty() { "hardly any lost".to_owned() } else { parts.join(", ") };
            let mishaps = in_mishaps(facts, plan).map_or_else(String::new, |text| format!(" ({text})"));
            format!("{}: {parts}{mishaps}", facts.name(plan))
        })
        .collect::<Vec<_>>()
        .join("; ");
    let alt = format!("Bars of fry lost out of 100, split by cause. {alt}.");
    Chart::new("3-what-killed-the-rest", title(facts), caption, alt, |format| draw(facts, format))
}

/// How many of a plan's losses fell in or soon after a mishap, and in which; none for fewer than half a fry of 100.
fn in_mishaps(facts: &Facts<'_>, plan: usize) -> Option<String> {
    let lost = facts.lost_in_mishaps(plan);
    let all: f64 = lost.iter().map(|(_, dead)| dead).sum();
    let parts: Vec<String> = lost
        .iter()
        .filter(|(_, dead)| *dead >= 0.5)
        .map(|(kind, dead)| format!("{} {}", kind.label(), fry(*dead)))
        .collect();
    let which = if parts.is_empty() { String::new() } else { format!(": {}", parts.join(", ")) };
    (all >= 0.5).then(|| format!("of these {} in or soon after a mishap{which}", fry(all)))
}

fn title(facts: &Facts<'_>) -> String {
    let leader = facts.leader();
    let mains: Vec<Option<Cause>> = facts
        .drawn
        .iter()
        .map(|&plan| facts.main_loss(plan).filter(|(_, dead)| *dead >= 1.0).map(|(cause, _)| cause))
        .collect();
    match facts.main_loss(leader).filter(|(_, dead)| *dead >= 1.0) {
        None if mains.iter().all(Option::is_none) => "Hardly any fry are lost".to_owned(),
        None => format!("{} loses hardly any fry", quoted_briefly(facts.name(leader))),
        Some((cause, _)) if mains.len() > 1 && mains.iter().all(|m| *m == Some(cause)) => {
            format!("The main loss everywhere: {}", in_a_title(cause))
        }
        Some((cause, dead)) => {
            if let Some(worst) = far_worse(facts, cause, dead) {
                return worst;
            }
            format!(
                "The main loss with {}: {} ({} of 100)",
                quoted_briefly(facts.name(leader)),
                in_a_title(cause),
                fry(dead)
            )
        }
    }
}

/// A cause that takes far more fry with another plan than the leader's main loss takes with the leader: that is what the
/// choice is about.
fn far_worse(facts: &Facts<'_>, of_leader: Cause, lost: f64) -> Option<String> {
    let leader = facts.leader();
    let (plan, cause, dead) = facts
        .drawn
        .iter()
        .filter_map(|&plan| facts.main_loss(plan).map(|(cause, dead)| (plan, cause, dead)))
        .filter(|&(_, cause, dead)| cause != of_leader && dead > FAR_WORSE.max(2.0 * lost))
        .reduce(|worst, next| if next.2 > worst.2 { next } else { worst })?;
    Some(format!(
        "{}: {} of 100 lost with {}, {} with {}",
        capital(&in_a_title(cause)),
        fry(dead),
        quoted_briefly(facts.name(plan)),
        fry(facts.result(leader).deaths_by_cause()[cause.index()]),
        quoted_briefly(facts.name(leader)),
    ))
}

/// A cause behind a colon of its own.
fn in_a_title(cause: Cause) -> String {
    cause.label().replacen(": ", ", ", 1)
}

/// A plan's bar: the lines of its name above it, and those on mishaps below it.
struct Row {
    plan: usize,
    name: Vec<String>,
    mishaps: Vec<String>,
}

fn draw(facts: &Facts<'_>, format: Format) -> Sketch {
    let mut sketch = Sketch::new(format.width());
    let gap = format.gap();
    let (left, right) = (gap + 4.0, format.width() - gap - 84.0);
    let most =
        facts.drawn.iter().map(|&plan| facts.result(plan).deaths_by_cause().iter().sum::<f64>()).fold(0.0, f64::max);
    // A whole brood, unless so few are lost that their causes could not be seen.
    let reach = if most > 50.0 { 100.0 } else { (most * 1.1).max(5.0) };
    let top = gap * 0.5;
    let kind = Type::new(format.label());
    let bar = if format.is_narrow() { 20.0 } else { 24.0 };
    let small = Type::new(format.small()).ink(QUIET);
    let row = |plan: usize| Row {
        plan,
        name: font::wrap_to(facts.name(plan), kind.size, false, format.width() - 2.0 * gap - 18.0, 2),
        mishaps: in_mishaps(facts, plan)
            .map_or_else(Vec::new, |text| font::wrap(&text, small.size, false, right - left)),
    };
    let rows: Vec<Row> = facts.drawn.iter().map(|&plan| row(plan)).collect();
    let height = |row: &Row| {
        let under = if row.mishaps.is_empty() { 0.0 } else { 9.0 + row.mishaps.len() as f64 * small.leading() };
        row.name.len() as f64 * kind.leading() + bar + under + 16.0
    };
    let bottom = top + rows.iter().map(height).sum::<f64>();
    let panel =
        Panel { area: Rect::new(left, top, right, bottom), x: Scale::linear(0.0, reach), y: Scale::linear(0.0, 1.0) };
    let ticks: Vec<(f64, String)> =
        panel.x.ticks(5).into_iter().map(|v| (v, crate::draw::panel::tick_label(v))).collect();
    let labels = panel.x_axis(&mut sketch, format, &ticks, true, 14.0);
    let mut y = top;
    for row in &rows {
        let style = facts.style(row.plan);
        let under = y + row.name.len() as f64 * kind.leading();
        clear(&mut sketch, (left + 18.0, y), &row.name, kind);
        sketch.mark((left + 6.0, y + kind.size * 0.62), style.marker, MARK, style.ink, true);
        sketch.lines((left + 18.0, y), &row.name, kind);
        one_bar(&mut sketch, facts, format, &panel, row.plan, (under + 2.0, under + 2.0 + bar));
        if !row.mishaps.is_empty() {
            let top = under + bar + 5.0;
            let lost = facts.lost_in_mishaps(row.plan).iter().map(|(_, dead)| dead).sum();
            sketch.block(Rect::new(panel.x_at(0.0), top, panel.x_at(lost), top + 4.0), TEXT, 1.0);
            clear(&mut sketch, (left, top + 6.0), &row.mishaps, small);
            sketch.lines((left, top + 6.0), &row.mishaps, small);
        }
        y += height(row);
    }
    let bottom = panel.x_title(&mut sketch, format, labels, "fry lost out of 100") + 6.0;
    let entries: Vec<(Swatch, String)> = Cause::ALL
        .into_iter()
        .filter(|cause| facts.drawn.iter().any(|&plan| facts.result(plan).deaths_by_cause()[cause.index()] > 0.0))
        .map(|cause| (Swatch::Block(fill(cause)), cause.label().to_owned()))
        .collect();
    let bottom = key(&mut sketch, format, Rect::new(gap, bottom, format.width() - gap, f64::INFINITY), &entries);
    let bottom = not_drawn(&mut sketch, facts, format, bottom);
    sketch.reach(bottom + gap * 0.5);
    sketch
}

/// Keeps grid lines from running through lines of text.
fn clear(sketch: &mut Sketch, at: Point, lines: &[String], kind: Type) {
    let widest = lines.iter().map(|line| kind.width(line)).fold(0.0, f64::max);
    let bottom = at.1 + lines.len() as f64 * kind.leading() + 1.0;
    sketch.block(Rect::new(at.0 - 22.0, at.1, at.0 + widest + 6.0, bottom), PAPER, 1.0);
}

fn one_bar(
    sketch: &mut Sketch,
    facts: &Facts<'_>,
    format: Format,
    panel: &Panel,
    plan: usize,
    (top, bottom): (f64, f64),
) {
    let deaths = facts.result(plan).deaths_by_cause();
    let largest = facts.main_loss(plan).map(|(cause, _)| cause);
    let kind = Type::new(format.small()).bold().middle();
    let mut sum = 0.0;
    for cause in Cause::ALL {
        let dead = deaths[cause.index()];
        if dead <= 0.0 {
            continue;
        }
        let rect = Rect::new(panel.x_at(sum), top, panel.x_at(sum + dead), bottom);
        fill(cause).paint(sketch, rect);
        let text = fry_short(dead);
        let width = kind.width(&text);
        if Some(cause) == largest && dead >= 0.5 && rect.width() > width + 10.0 {
            let middle = (rect.left + rect.right) / 2.0;
            let plate = Rect::new(middle - width / 2.0 - 4.0, top + 2.5, middle + width / 2.0 + 4.0, bottom - 2.5);
            sketch.block(plate, PAPER, 0.92);
            sketch.words((middle, (top + bottom) / 2.0 + kind.size * 0.36), text, kind);
        }
        sum += dead;
    }
    let text = format!("{} lost", fry(sum));
    let at = (panel.x_at(sum) + 8.0, (top + bottom) / 2.0 + format.small() * 0.36);
    sketch.words(at, text, Type::new(format.small()));
}
